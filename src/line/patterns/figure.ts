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
      /** Degrees over each chord, 1 its root, 9 its ninth; those that the chord lacks are taken from the scale. */
      readonly degrees: readonly number[];
      /** Degrees over a chord whose root lies a fourth above that of the chord before, as the V after a ii. @defaultValue the same */
      readonly then?: readonly number[] | undefined;
      /** Whether the notes share each chord's time, in half beats, instead of running in the exercise's values. @defaultValue false */
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
  const indexes = [...starts.flatMap((start) => steps.map((step) => start + step)), top];
  // Where the figure itself ends on the top tonic, that is the note that is held.
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

/** A degree of a chord as its pitches in a range: the chord's own tone, or the note of its scale with the letter of that degree. */
const pitchesOfDegree = (degree: number, { chord, notes }: Sounding, low: Pitch, high: Pitch) => {
  const simple = ((degree - 1) % 7) + 1;
  const own = chord.tones.find((tone) => {
    const number = Number(tone.degree.replace(/[b#]/g, ""));
    return number === degree || ((number - 1) % 7) + 1 === simple;
  });
  const letter = LETTERS[(LETTERS.indexOf(chord.root.charAt(0)) + simple - 1) % 7];
  const note = own?.note ?? notes.findLast((one) => one.charAt(0) === letter) ?? chord.root;
  return pitchesOf([note], low, high);
};

/** The degrees over each chord, rising from its first one, which lies nearest to the note before; the last note of each second bar is held. */
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
    const firsts = pitchesOfDegree(degrees[0] ?? 1, over, bottom, lift(top, 1));
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
  let lastRoot: number | undefined;
  const cycle = beatCycle(values, grid);
  const phrases: DraftPhrase[] = [];
  for (let bar = 0; bar < bars; bar += BARS) {
    const from = bar * grid.bar;
    const to = Math.min(bars, bar + BARS) * grid.bar;
    const drafted: DraftNote[] = [];
    for (const { slot, start, end } of within(chords, from, to)) {
      const { chord, notes } = slot;
      if (chord === undefined) continue;
      const root = pitchClassOf(chord.root);
      const falls = lastRoot !== undefined && (root - lastRoot + 12) % 12 === 5;
      lastRoot = root;
      const pitches = figureOver({ chord, notes }, falls ? then : usual, before);
      const lengths = long
        ? shareOut(end - start, pitches.length, grid.pulse)
        : runIn(start, end, cycle, grid.pulse, end === to);
      const tones = lengths.flatMap((_, i): readonly Tone[] => {
        const pitch = pitches[i % pitches.length];
        return pitch === undefined ? [] : [{ pitch }];
      });
      drafted.push(...layOut(tones, lengths, start - from));
      before = tones.at(-1)?.pitch;
    }
    phrases.push({ bars: Math.min(BARS, bars - bar), notes: drafted });
  }
  return phrases;
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
