import * as v from "valibot";
import type { Chord } from "../../chord/index.ts";
import type { NoteName, Pitch } from "../../pitch/index.ts";
import { pitchClassOf } from "../../pitch/index.ts";
import type { DraftNote, DraftPhrase, Tone } from "../draft.ts";
import { layOut, runAndHold } from "../draft.ts";
import { beatCycle } from "../grid.ts";
import type { ChordSlot } from "../harmony.ts";
import { pitchesOf } from "../harmony.ts";
import type { PatternContext } from "./context.ts";
import { bothWays } from "./context.ts";
import type { Lick } from "./lick.ts";
import { draftLick, lickSchema } from "./lick.ts";

/** An exercise's pattern as data: a few notes, carried through the scale or from chord to chord. */
export type Figure =
  | {
      readonly over: "scale";
      /** Steps of the scale from each note that the figure starts on: `[0, 2]` for thirds, `[0, 2, 4, 6]` for sevenths. */
      readonly steps: readonly number[];
      /** Steps from one start to the next. @defaultValue 1 */
      readonly by?: number | undefined;
    }
  | {
      readonly over: "chords";
      /** Degrees over each chord, 1 its root, 9 its ninth; those that the chord lacks are taken from the scale, for its third first what is suspended. */
      readonly degrees: readonly number[];
      /** Degrees over a dominant seventh whose root lies a fourth above that of a minor chord before, as the V after a ii. @defaultValue the same */
      readonly then?: readonly number[] | undefined;
      /** Whether the notes share each chord's time, in half beats, instead of running in the exercise's values; a chord with a sixth and no seventh then gives its sixth for it. @defaultValue false */
      readonly long?: boolean | undefined;
    }
  | Lick;

const MOST_NOTES = 16;
const whole = (least: number, most: number) => v.pipe(v.number(), v.integer(), v.minValue(least), v.maxValue(most));
const notes = (least: number, most: number) =>
  v.pipe(v.array(whole(least, most)), v.minLength(1), v.maxLength(MOST_NOTES));

/** What a {@link Figure} must be. */
export const figureSchema = /* @__PURE__ */ v.variant("over", [
  /* @__PURE__ */ v.strictObject({
    over: /* @__PURE__ */ v.literal("scale"),
    steps: /* @__PURE__ */ notes(0, 14),
    by: /* @__PURE__ */ v.optional(/* @__PURE__ */ whole(1, 7)),
  }),
  /* @__PURE__ */ v.strictObject({
    over: /* @__PURE__ */ v.literal("chords"),
    degrees: /* @__PURE__ */ notes(1, 15),
    then: /* @__PURE__ */ v.optional(/* @__PURE__ */ notes(1, 15)),
    long: /* @__PURE__ */ v.optional(/* @__PURE__ */ v.boolean()),
  }),
  lickSchema,
]);

/** The phrases of one round of a figure. */
export const draftFigure = (figure: Figure, context: PatternContext): readonly DraftPhrase[] =>
  figure.over === "scale"
    ? throughScale(figure.steps, figure.by ?? 1, context)
    : figure.over === "lick"
      ? draftLick(figure, context)
      : overChords(figure, context);

/** The figure from each note of the ladder that leaves room for it, then the top tonic held; and back down, turned over. */
const throughScale = (steps: readonly number[], by: number, context: PatternContext): readonly DraftPhrase[] => {
  const top = context.ladder.length - 1;
  const reach = Math.max(...steps);
  const starts = Array.from({ length: Math.max(0, Math.floor((top - reach) / by) + 1) }, (_, i) => i * by);
  // A figure that ends on the top tonic would leave the others between the beats, or the tonic struck twice: the one before leads into it.
  const led = starts.length > 1 && (starts.at(-1) ?? 0) + (steps.at(-1) ?? 0) === top ? starts.slice(0, -1) : starts;
  const indexes = [...led.flatMap((start) => steps.map((step) => start + step)), top];
  const run = indexes.at(-2) === top ? indexes.slice(0, -1) : indexes;
  return bothWays(context, context.ladder, (ladder) =>
    runAndHold(
      run.flatMap((index): readonly Tone[] => {
        const pitch = ladder[index];
        return pitch === undefined ? [] : [{ pitch }];
      }),
      context.values,
      context.grid,
    ),
  );
};

const LETTERS = "CDEFGAB";
const BARS = 2;

interface Sounding {
  readonly chord: Chord;
  /** The notes over it. */
  readonly notes: readonly NoteName[];
}

// Semitones of each degree over the root, as over a dominant.
const USUAL = [0, 2, 4, 5, 7, 9, 10];

const numberOf = (degree: string): number => Number(degree.replace(/[b#]/g, ""));

/** A degree of a chord as its pitches in a range: the chord's own tone, or the note of its scale with the letter of that degree, or the one that lies nearest. */
const pitchesOfDegree = (degree: number, { chord, notes }: Sounding, low: Pitch, high: Pitch) => {
  const simple = ((degree - 1) % 7) + 1;
  const toneOf = (...numbers: readonly number[]) =>
    numbers.map((number) => chord.tones.find((tone) => numberOf(tone.degree) === number)).find(Boolean);
  const own =
    chord.tones.find(({ degree: one }) => numberOf(one) === degree || ((numberOf(one) - 1) % 7) + 1 === simple) ??
    (simple === 3 ? toneOf(4, 2) : undefined);
  const letter = LETTERS[(LETTERS.indexOf(chord.root.charAt(0)) + simple - 1) % 7];
  const away = (note: NoteName): number =>
    Math.abs(((pitchClassOf(note) - pitchClassOf(chord.root) + 12) % 12) - (USUAL[simple - 1] ?? 0));
  const note =
    own?.note ??
    notes.findLast((one) => one.charAt(0) === letter) ??
    notes.reduce((best, one) => (away(one) <= away(best) ? one : best), chord.root);
  return pitchesOf([note], low, high);
};

const hasDegree = ({ tones }: Chord, degree: string): boolean => tones.some((tone) => tone.degree === degree);

/** The degrees of a line of long notes over a chord: the sixth for a seventh that it lacks. */
const withSixth = (degrees: readonly number[], { tones }: Chord): readonly number[] =>
  tones.some(({ degree }) => numberOf(degree) === 6) && !tones.some(({ degree }) => numberOf(degree) === 7)
    ? degrees.map((degree) => (degree % 7 === 0 ? degree - 1 : degree))
    : degrees;

/** The degrees over each chord, rising from its first one, which lies nearest to the note before, or long ones that move least; the last note of each second bar is held. */
const overChords = (
  { degrees: usual, then = usual, long = false }: Extract<Figure, { over: "chords" }>,
  context: PatternContext,
): readonly DraftPhrase[] => {
  const { chords, grid, bars, ladder, values } = context;
  const [bottom] = ladder;
  const top = ladder.at(-1);
  if (bottom === undefined || top === undefined) return [];
  const lift = (p: Pitch, octaves: number): Pitch => ({
    ...p,
    steps: p.steps + 7 * octaves,
    semitones: p.semitones + 12 * octaves,
  });
  const figureOver = (over: Sounding, degrees: readonly number[], before: Pitch | undefined): readonly Pitch[] => {
    // A figure from a tenth lies an octave above the third that it is counted from.
    const lowest = (degrees[0] ?? 1) > 7 ? lift(bottom, -1) : bottom;
    const firsts = pitchesOfDegree(degrees[0] ?? 1, over, lowest, lift(top, 1));
    const ways = firsts.map((first) => {
      const base = first.semitones - ((((first.semitones - pitchClassOf(over.chord.root)) % 12) + 12) % 12);
      return degrees.map((degree) => {
        const from = {
          ...bottom,
          semitones: Math.max(base + 12 * Math.floor((degree - 1) / 7), bottom.semitones - 12),
        };
        return pitchesOfDegree(degree, over, from, lift(top, 2))[0] ?? first;
      });
    });
    const inside = ways.filter((way) =>
      way.every((p) => p.semitones >= bottom.semitones && p.semitones <= top.semitones),
    );
    const choices = inside.length > 0 ? inside : ways;
    const away = (way: readonly Pitch[]): number => Math.abs((way[0]?.semitones ?? 0) - (before ?? bottom).semitones);
    return choices.reduce((best, way) => (away(way) < away(best) ? way : best), choices[0] ?? []);
  };
  let before: Pitch | undefined;
  let last: Chord | undefined;
  const cycle = beatCycle(values, grid);
  const phrases: DraftPhrase[] = [];
  /** Where each long note may lie. */
  const places: (readonly Pitch[])[] = [];
  for (let bar = 0; bar < bars; bar += BARS) {
    const from = bar * grid.bar;
    const to = Math.min(bars, bar + BARS) * grid.bar;
    const drafted: DraftNote[] = [];
    for (const { slot, start, end } of within(chords, from, to)) {
      const { chord, notes } = slot;
      if (chord === undefined) continue;
      const isFive =
        last !== undefined &&
        (pitchClassOf(chord.root) - pitchClassOf(last.root) + 12) % 12 === 5 &&
        hasDegree(last, "b3") &&
        hasDegree(chord, "b7") &&
        !hasDegree(chord, "b3");
      if (slot.at + slot.duration === end) last = chord;
      const degrees = isFive ? then : usual;
      const over = { chord, notes };
      const pitches = long ? [] : figureOver(over, degrees, before);
      const lengths = long
        ? shareOut(end - start, degrees.length, grid.pulse)
        : runIn(start, end, cycle, grid.pulse, end === to);
      if (long) {
        const held = withSixth(degrees, chord).slice(0, lengths.length);
        places.push(...held.map((degree) => pitchesOfDegree(degree, over, bottom, top)));
      }
      const tones = lengths.flatMap((_, i): readonly Tone[] => {
        const pitch = long ? bottom : pitches[i % pitches.length];
        return pitch === undefined ? [] : [{ pitch }];
      });
      drafted.push(...layOut(tones, lengths, start - from));
      before = tones.at(-1)?.pitch;
    }
    phrases.push({ bars: Math.min(BARS, bars - bar), notes: drafted });
  }
  if (!long) return phrases;
  const pitches = smoothest(places, Math.round((7 * bottom.semitones + 5 * top.semitones) / 12));
  let next = 0;
  return phrases.map((phrase) => ({
    ...phrase,
    notes: phrase.notes.map((note) => ({ ...note, pitch: pitches[next++] ?? note.pitch })),
  }));
};

/** One pitch of each list, so that they move least from each to the next, and stay about the middle where that is open. */
const smoothest = (places: readonly (readonly Pitch[])[], middle: number): readonly Pitch[] => {
  interface Way {
    readonly cost: number;
    readonly pitch: Pitch;
    readonly before?: Way | undefined;
  }
  const least = (ways: readonly Way[]): Way | undefined =>
    ways.reduce<Way | undefined>((best, way) => (best === undefined || way.cost < best.cost ? way : best), undefined);
  let ways: readonly Way[] = [];
  for (const place of places)
    ways = place.map((pitch): Way => {
      const own = Math.abs(pitch.semitones - middle) / 4;
      const moves = ways.map((way) => ({
        cost: way.cost + own + Math.abs(pitch.semitones - way.pitch.semitones),
        pitch,
        before: way,
      }));
      return least(moves) ?? { cost: own, pitch };
    });
  const found: Pitch[] = [];
  for (let way = least(ways); way !== undefined; way = way.before) found.push(way.pitch);
  return found.reverse();
};

/** A stretch shared out among a number of notes, each of whole half beats; where it holds fewer, the last notes fall away. */
const shareOut = (length: number, notes: number, pulse: number): readonly number[] => {
  const halves = Math.max(1, Math.floor((2 * length) / pulse));
  const count = Math.min(notes, halves);
  const ends = Array.from({ length: count + 1 }, (_, i) =>
    i === count ? length : (Math.round((i * halves) / count) * pulse) / 2,
  );
  return ends.slice(1).map((end, i) => end - (ends[i] ?? 0));
};

const within = (chords: readonly ChordSlot[], from: number, to: number) =>
  chords.flatMap((slot) => {
    const start = Math.max(from, slot.at);
    const end = Math.min(to, slot.at + slot.duration);
    return start < end ? [{ slot, start, end }] : [];
  });

/** Lengths that fill a stretch in the exercise's values, its last beat held where the phrase ends there. */
const runIn = (
  from: number,
  to: number,
  cycle: readonly (readonly number[])[],
  pulse: number,
  held: boolean,
): readonly number[] => {
  const lengths: number[] = [];
  for (let at = from, i = 0; at < to; at += pulse, i++) {
    const room = Math.min(pulse, to - at);
    const beat = room < pulse || (held && at + pulse >= to) ? [room] : (cycle[i % cycle.length] ?? [room]);
    lengths.push(...beat);
  }
  return lengths;
};
