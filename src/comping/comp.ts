import { MusicError, nearestName } from "../errors.ts";
import type { NoteEvent, Span } from "../event/index.ts";
import type { Pitch } from "../pitch/index.ts";
import type { Beats, Metre } from "../time/index.ts";
import { addBeats, barLength, barPosition, barStart, beats, compareBeats, subtractBeats } from "../time/index.ts";
import type { CompingHit, CompingId, CompingPart, CompingRow } from "./catalogue.ts";
import { compingCatalogue } from "./catalogue.ts";

/** A chord for the left hand, laid out: what a pattern strikes from the moment it enters until it leaves. */
export interface LaidOutChord extends Span {
  /** The bass root, in the bass's range. */
  readonly root: Pitch;
  /** The chord's fifth beside that root. */
  readonly fifth: Pitch;
  /** The voicing without a bass root, from low to high. */
  readonly chord: readonly Pitch[];
  /** The whole voicing as it lies under the hand, from low to high. */
  readonly all: readonly Pitch[];
}

/** Options of {@link comp}. */
export interface CompOptions {
  readonly metre: Metre;
  /** @defaultValue `"held"` */
  readonly pattern?: CompingId;
  /**
   * A quick pickup into every bar that starts with a new chord: 5th, then root, ending on the beat where the pattern starts
   * with its root, and on the last triplet of the bar before where it starts with the chord. @defaultValue false
   */
  readonly pickup?: boolean;
}

/**
 * The row of a left-hand pattern.
 *
 * @throws MusicError `comping/pattern` when there is no such pattern
 *
 * @example
 * ```ts
 * import { compingPattern } from "hands-together";
 *
 * compingPattern("root-then-chord").hits.map((hit) => hit.play); // => ["root", "chord"]
 * ```
 */
export function compingPattern(id: string): CompingRow {
  const row = compingCatalogue.find((candidate) => candidate.id === id);
  if (row === undefined) {
    const ids = compingCatalogue.map((candidate) => candidate.id);
    const near = nearestName(String(id), ids);
    throw new MusicError({
      code: "comping/pattern",
      input: id,
      expected: `a left-hand pattern: ${ids.join(", ")}`,
      ...(near === undefined ? {} : { hint: `did you mean ${near}?` }),
    });
  }
  return row;
}

/**
 * The left hand's notes over a series of chords: the pattern bar by bar, started again where a chord enters and cut
 * where it leaves.
 *
 * @param chords - in order of time, not overlapping
 * @returns events in order of time; a pickup into bar 1 lies before the first bar line, at a negative moment
 * @throws MusicError `comping/pattern` when there is no such pattern
 *
 * @example
 * ```ts
 * import { beats, comp, metre, pitch, pitchName } from "hands-together";
 *
 * const chord = { at: beats(0), duration: beats(4), root: pitch("C3"), fifth: pitch("G2"), chord: [pitch("E3"), pitch("B3")], all: [pitch("C3"), pitch("E3"), pitch("B3")] };
 * const events = comp([chord], { metre: metre("4/4"), pattern: "root-then-chord" });
 * events.map((event) => event.pitches.map(pitchName).join(" ")); // => ["C3", "E3 B3"]
 * events.map((event) => event.duration.num); // => [1, 3]
 * ```
 */
export function comp(chords: readonly LaidOutChord[], options: CompOptions): readonly NoteEvent[] {
  const row = compingPattern(options.pattern ?? "held");
  const struck = chords.flatMap((chord) => barsOf(chord, options.metre).flatMap((stretch) => strike(chord, stretch, row)));
  return options.pickup === true ? withPickups(struck, chords, row, options.metre) : struck;
}

// The stretches of a chord between bar lines; the pattern starts again in each.
const barsOf = (chord: Span, m: Metre): readonly Span[] => {
  const end = addBeats(chord.at, chord.duration);
  const stretches: Span[] = [];
  for (let from = chord.at; compareBeats(from, end) < 0;) {
    const bar = addBeats(barStart(barPosition(from, m).bar, m), barLength(m));
    const to = compareBeats(bar, end) < 0 ? bar : end;
    stretches.push({ at: from, duration: subtractBeats(to, from) });
    from = to;
  }
  return stretches;
};

const strike = (chord: LaidOutChord, stretch: Span, row: CompingRow): readonly NoteEvent[] => {
  const hits = row.hits.filter((hit) => compareBeats(beats(hit.at), stretch.duration) < 0);
  return hits.map((hit, i) => {
    const next = hits[i + 1];
    const room = subtractBeats(next === undefined ? stretch.duration : beats(next.at), beats(hit.at));
    return {
      at: addBeats(stretch.at, beats(hit.at)),
      duration: hit.hold === "end" ? room : shorter(beats(hit.hold), room),
      pitches: pitchesOf(chord, hit.play),
      ...accentOf(hit),
    };
  });
};

const accentOf = (hit: CompingHit): Pick<NoteEvent, "articulation"> => (hit.accent === true ? { articulation: "accent" } : {});

const shorter = (a: Beats, b: Beats): Beats => (compareBeats(a, b) <= 0 ? a : b);

const pitchesOf = (chord: LaidOutChord, part: CompingPart): readonly Pitch[] =>
  part === "root" ? [chord.root] : part === "fifth" ? [chord.fifth] : part === "chord" ? chord.chord : chord.all;

const TRIPLET = beats("1/3");

const withPickups = (events: readonly NoteEvent[], chords: readonly LaidOutChord[], row: CompingRow, m: Metre): readonly NoteEvent[] => {
  const quick = chords.filter((chord) => barPosition(chord.at, m).offset.num === 0).flatMap((chord) => pickupInto(chord, row));
  const starts = quick.map((event) => event.at);
  const cut = events.flatMap((event): NoteEvent[] => {
    const end = addBeats(event.at, event.duration);
    const first = starts.find((at) => compareBeats(at, event.at) > 0 && compareBeats(at, end) < 0);
    if (starts.some((at) => compareBeats(at, event.at) === 0)) return [];
    return [first === undefined ? event : { ...event, duration: subtractBeats(first, event.at) }];
  });
  return [...cut, ...quick].sort((a, b) => compareBeats(a.at, b.at));
};

// Where the pattern's own root waits on the beat, one triplet is enough; a chord on the beat wants both notes before it.
const pickupInto = (chord: LaidOutChord, row: CompingRow): readonly NoteEvent[] => {
  const last = subtractBeats(chord.at, TRIPLET);
  const note = (at: Beats, p: Pitch): NoteEvent => ({ at, duration: TRIPLET, pitches: [p] });
  return row.hits[0]?.play === "root"
    ? [note(last, chord.fifth)]
    : [note(subtractBeats(last, TRIPLET), chord.fifth), note(last, chord.root)];
};
