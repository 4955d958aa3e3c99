import type { Chord } from "../../chord/index.ts";
import { known, nth } from "../../ground/list.ts";
import type { NoteName, Pitch } from "../../pitch/index.ts";
import type { DraftNote, DraftPhrase, Tone } from "../draft.ts";
import { layOut } from "../draft.ts";
import { beatCycle } from "../grid.ts";
import { guideTones, nearest, pitchesOf, slotAt } from "../harmony.ts";
import { beside, blueNoteBelow, semitoneAbove, semitoneBelow, toneAbove, toneBelow } from "../spelling.ts";
import type { Pattern, PatternContext } from "./context.ts";

/** A beat of a phrase: where it is and the chord over it. */
interface Beat {
  readonly at: number;
  readonly duration: number;
  readonly chord: Chord | undefined;
  /** The notes over it. */
  readonly notes: readonly NoteName[];
  /** Whether a chord enters on it. */
  readonly enters: boolean;
  /** Its number in the bar, from 0. */
  readonly inBar: number;
}

const beatsOf = ({ chords, grid, bars }: PatternContext): readonly (readonly Beat[])[] => {
  const perPhrase = 2;
  return Array.from({ length: Math.ceil(bars / perPhrase) }, (_, phrase) => {
    const from = phrase * perPhrase * grid.bar;
    const to = Math.min(bars, (phrase + 1) * perPhrase) * grid.bar;
    const found: Beat[] = [];
    for (let at = from; at < to; at += grid.pulse) {
      const slot = slotAt(chords, at);
      found.push({
        at,
        duration: grid.pulse,
        chord: slot?.chord,
        notes: slot?.notes ?? [],
        enters: slot?.at === at,
        inBar: (at % grid.bar) / grid.pulse,
      });
    }
    return found;
  });
};

/** The range that a chord exercise moves in: the notes between the bottom and the top tonic. */
const rangeOf = ({ ladder }: PatternContext): { low: Pitch; high: Pitch } => ({
  low: nth(ladder, 0),
  high: nth(ladder, -1),
});

/** A walk over chord tones that turns at the ends of the range and takes the nearest tone where the chord changes. */
const toneWalker = (context: PatternContext) => {
  const { low, high } = rangeOf(context);
  let direction = context.direction === "up" ? 1 : -1;
  let last: Pitch | undefined;
  return (chord: Chord): Pitch => {
    const tones = pitchesOf(
      chord.tones.map((tone) => tone.note),
      low,
      high,
    );
    const ahead = (): Pitch | undefined => {
      const isAhead = (tone: Pitch): boolean =>
        last === undefined || Math.sign(tone.semitones - last.semitones) === direction;
      return direction === 1 ? tones.find(isAhead) : tones.findLast(isAhead);
    };
    let next = ahead();
    if (next === undefined) {
      direction = -direction;
      next = ahead() ?? nth(tones, 0);
    }
    last = next;
    return next;
  };
};

const draft = (context: PatternContext, phrases: readonly (readonly DraftNote[])[]): readonly DraftPhrase[] => {
  const { grid, bars } = context;
  return phrases.map((notes, i) => {
    const start = 2 * i * grid.bar;
    return { bars: Math.min(2, bars - 2 * i), notes: notes.map((note) => ({ ...note, at: note.at - start })) };
  });
};

/** The notes of a beat as the exercise's values cut it. */
const lengthsOf = (beat: Beat, index: number, { values, grid }: PatternContext): readonly number[] => {
  const cycle = beatCycle(values, grid);
  const full = cycle[index % cycle.length] as readonly number[];
  return full.map((length) => (length * beat.duration) / grid.pulse);
};

/** Joins the beats of a phrase so that its last note is held over the beats that are left. */
const heldTo = (notes: readonly DraftNote[], end: number): readonly DraftNote[] =>
  notes.map((note, i) => (i === notes.length - 1 ? { ...note, duration: end - note.at } : note));

const endOfPhrase = (phrase: readonly Beat[]): number => {
  const last = nth(phrase, -1);
  return last.at + last.duration;
};

/** The chord's tones one after the other, up and down the range; the last note of each second bar held. */
export const chordTones: Pattern = (context) => {
  const walk = toneWalker(context);
  return draft(
    context,
    beatsOf(context).map((phrase) =>
      phrase.flatMap((beat, i): readonly DraftNote[] => {
        const chord = beat.chord;
        if (chord === undefined) return [];
        const lengths = i === phrase.length - 1 ? [beat.duration] : lengthsOf(beat, i, context);
        return layOut(
          lengths.map((): Tone => ({ pitch: walk(chord) })),
          lengths,
          beat.at,
        );
      }),
    ),
  );
};

/** As the chord tones, with a slide into the third of each chord. */
export const slidesIntoThirds: Pattern = (context) =>
  chordTones(context).map((phrase, i) => ({
    ...phrase,
    notes: phrase.notes.map((note): DraftNote => {
      const { chord } = known(slotAt(context.chords, note.at + 2 * i * context.grid.bar));
      const third = known(chord).tones.find((tone) => tone.degree === "3");
      const isThird = third !== undefined && pitchesOf([third.note], note.pitch, note.pitch).length > 0;
      return isThird ? { ...note, grace: blueNoteBelow(note.pitch) } : note;
    }),
  }));

const inRange = (p: Pitch, { low, high }: { low: Pitch; high: Pitch }): boolean =>
  p.semitones >= low.semitones && p.semitones <= high.semitones;

// Semitones from the target, best first: from below, from above, from both sides, by a whole tone.
const WAYS_IN: Readonly<Record<1 | 2, readonly (readonly number[])[]>> = {
  1: [[-1], [1], [-2], [2]],
  2: [
    [-2, -1],
    [2, 1],
    [1, -1],
    [1, 2],
    [-1, -2],
  ],
};

/** One or two notes that lead into a target without leaving the range or repeating the note before. */
const approach = (
  count: number,
  target: Pitch,
  before: Pitch,
  range: { low: Pitch; high: Pitch },
): readonly Pitch[] => {
  const ways = WAYS_IN[count === 1 ? 1 : 2].map((way) => way.map((semitones) => beside(target, semitones)));
  return ways.find(
    (notes) => notes.every((p) => inRange(p, range)) && notes[0]?.semitones !== before.semitones,
  ) as readonly Pitch[];
};

/** A chord tone on each beat and, between them, the chromatic notes that lead into the next. */
export const approachNotes: Pattern = (context) => {
  const range = rangeOf(context);
  const walk = toneWalker(context);
  return draft(
    context,
    beatsOf(context).map((phrase) => {
      const targets = phrase.map((beat) => (beat.chord === undefined ? undefined : walk(beat.chord)));
      return phrase.flatMap((beat, i): readonly DraftNote[] => {
        const target = targets[i];
        const next = targets[i + 1];
        if (target === undefined) return [];
        if (next === undefined) return [{ at: beat.at, duration: beat.duration, pitch: target }];
        const lengths = lengthsOf(beat, i, context);
        const tones = [target, ...approach(lengths.length - 1, next, target, range)];
        return layOut(
          tones.map((pitch): Tone => ({ pitch })),
          lengths,
          beat.at,
        );
      });
    }),
  );
};

/** The note of the chord's scale above a target, or another a semitone or a tone above where that one has just been played, and the semitone below the target. */
const enclosing = (
  count: number,
  target: Pitch,
  before: Pitch | undefined,
  over: readonly NoteName[],
  context: PatternContext,
): readonly Pitch[] => {
  const { low, high } = rangeOf(context);
  const notes = pitchesOf(over, low, { ...high, semitones: high.semitones + 2 });
  const above = notes.filter((p) => p.semitones > target.semitones && p.semitones <= target.semitones + 2);
  const upper = known(
    [...above, toneAbove(target), semitoneAbove(target)].find((p) => p.semitones !== before?.semitones),
  );
  return count === 2 ? [upper, semitoneBelow(target)] : [upper, toneBelow(target), semitoneBelow(target)];
};

/** A chord tone for a beat, then the notes above and below the next one, which comes on the beat after. */
export const enclosures: Pattern = (context) => {
  const { low, high } = rangeOf(context);
  const walk = toneWalker({
    ...context,
    ladder: [
      { ...low, semitones: low.semitones + 2 },
      { ...high, semitones: high.semitones - 2 },
    ],
  });
  return draft(
    context,
    beatsOf(context).map((phrase) => {
      const targets = phrase.map((beat) =>
        beat.chord === undefined || beat.inBar % 2 === 1 ? undefined : walk(beat.chord),
      );
      const notes = phrase.flatMap((beat, i): readonly DraftNote[] => {
        const target = targets[i];
        if (target !== undefined) return [{ at: beat.at, duration: beat.duration, pitch: target }];
        const next = targets[i + 1];
        if (next === undefined || beat.chord === undefined) return [];
        const lengths = lengthsOf(beat, i, context);
        return layOut(
          enclosing(lengths.length, next, targets[i - 1], phrase[i + 1]?.notes ?? [], context).map(
            (pitch): Tone => ({ pitch }),
          ),
          lengths,
          beat.at,
        );
      });
      return heldTo(notes, endOfPhrase(phrase));
    }),
  );
};

/**
 * The way along a row of pitches from one to another in a given number of moves: by step where it can, with few
 * turns, and into the goal by a semitone or a tone.
 */
const pathBetween = (row: readonly Pitch[], from: Pitch, to: Pitch, between: number): readonly Pitch[] => {
  interface Way {
    readonly cost: number;
    readonly way: number;
    readonly notes: readonly number[];
  }
  const start = row.indexOf(nearest(row, from));
  let ways: readonly Way[] = [{ cost: 0, way: 0, notes: [] }];
  for (let i = 0; i < between; i++) {
    const next = new Map<string, Way>();
    for (const { cost, way, notes } of ways) {
      const here = notes.at(-1) ?? start;
      for (const move of [1, -1, 2, -2]) {
        const there = here + move;
        if (there < 0 || there >= row.length) continue;
        const turn = way !== 0 && Math.sign(move) !== way ? 3 : 0;
        const candidate = {
          cost: cost + turn + (Math.abs(move) === 2 ? 2 : 0),
          way: Math.sign(move),
          notes: [...notes, there],
        };
        const place = `${there} ${candidate.way}`;
        const known = next.get(place);
        if (known === undefined || candidate.cost < known.cost) next.set(place, candidate);
      }
    }
    ways = [...next.values()];
  }
  const landing = (last: number): number => {
    const size = Math.abs(nth(row, last).semitones - to.semitones);
    return size === 0 ? 20 : size <= 2 ? 0 : size * 3;
  };
  const costOf = ({ cost, notes }: Way): number => cost + landing(notes.at(-1) ?? start);
  const best = ways.reduce((least, way) => (costOf(way) < costOf(least) ? way : least));
  return best.notes.map((index) => nth(row, index));
};

/** Where a chord enters, one of its guide tones, nearest to the last; between them a way along the scale that leads there. */
const guideTonePhrases = (
  context: PatternContext,
  lead: (next: Pitch, before: Pitch | undefined, over: readonly NoteName[], count: number) => readonly Pitch[],
): readonly DraftPhrase[] => {
  const { low, high } = rangeOf(context);
  const middle: Pitch = { ...low, semitones: Math.round((low.semitones + high.semitones) / 2) };
  let last = middle;
  const phrases = beatsOf(context);
  const targetOf = (beat: Beat, first: boolean): Pitch | undefined => {
    if (beat.chord === undefined || !(beat.enters || first)) return undefined;
    last = nearest(pitchesOf(guideTones(beat.chord), low, high), last);
    return last;
  };
  return draft(
    context,
    phrases.map((phrase) => {
      const entries = phrase.flatMap((beat, i) => {
        const target = targetOf(beat, i === 0);
        return target === undefined ? [] : [{ i, beat, target }];
      });
      const notes = entries.flatMap(({ i, beat, target }, k): readonly DraftNote[] => {
        const held = { at: beat.at, duration: beat.duration, pitch: target };
        const next = entries[k + 1];
        if (next === undefined) return [held];
        const beats = phrase.slice(i + 1, next.i).map((between, j) => lengthsOf(between, i + 1 + j, context));
        const lengths = beats.flat();
        const close = lead(
          next.target,
          beats.length === 1 ? target : undefined,
          next.beat.notes,
          beats.at(-1)?.length ?? 0,
        );
        const row = pitchesOf(beat.notes, low, high);
        const way = pathBetween(row, target, close[0] ?? next.target, lengths.length - close.length);
        return [
          held,
          ...layOut(
            [...way, ...close].map((pitch): Tone => ({ pitch })),
            lengths,
            beat.at + beat.duration,
          ),
        ];
      });
      return heldTo(notes, endOfPhrase(phrase));
    }),
  );
};

/** A guide tone where each chord enters, nearest to the last, and the scale between them. */
export const guideToneTargets: Pattern = (context) => guideTonePhrases(context, () => []);

/** Guide tones likewise, each enclosed from above and below in the beat before it. */
export const enclosedGuideTones: Pattern = (context) =>
  guideTonePhrases(context, (next, before, over, count) =>
    count < 2 ? [] : enclosing(count, next, before, over, context),
  );
