import { MusicError } from "../errors.ts";
import type { NoteEvent } from "../event/index.ts";
import type { LineFinding } from "../line/index.ts";
import { checkLine } from "../line/index.ts";
import { spellInKey } from "../pitch/index.ts";
import type { Score } from "../score/index.ts";
import type { Feel } from "../swing/index.ts";
import { partFeel, soundingTime } from "../swing/index.ts";
import type { Beats } from "../time/index.ts";
import { addBeats, beats, beatsOf, beatsToNumber, compareBeats, subtractBeats } from "../time/index.ts";
import { alignTake, clockStep } from "./align.ts";
import { askedNotes } from "./asked.ts";
import type { Heard } from "./clock.ts";
import { fitClock } from "./clock.ts";
import type { PlayedNote } from "./played.ts";
import { inOrder } from "./played.ts";

/** Options of {@link assessImprovisation}. */
export interface ImprovisationOptions {
  /** MIDI note from which notes without a hand belong to the line. @defaultValue one above the left hand's highest, or middle C */
  readonly from?: number;
  /** Seconds at the first bar line, used where no left hand tells the time. @defaultValue 0 */
  readonly startSeconds?: number;
}

/** An improvised line as it was heard, and the rules of phrasing that it breaks. */
export interface Improvisation {
  readonly kind: "improvisation";
  /** The line, put on the nearest eighths, triplets or sixteenths. */
  readonly line: readonly NoteEvent[];
  /** How far the notes were from there, in milliseconds on the whole (root mean square). */
  readonly offMs: number;
  /** Every breach, in order of time. */
  readonly findings: readonly LineFinding[];
  /** What to tell the student: three at most, each rule once, "must" before "should" and what is broken most before the rest. */
  readonly say: readonly string[];
}

const TOGETHER_SECONDS = 0.04;
const FEWEST_HEARD = 4;
const GRIDS: readonly number[] = [2, 3, 4];
// What a finer grid must save, as a share of the squared beat, before it is believed: coarser music is likelier.
const GRID_PRICE: Readonly<Record<number, number>> = { 2: 0, 3: 0.004, 4: 0.012 };

/**
 * Listens to a line improvised over a score's changes: puts it on the beat by the left hand's clock, and holds it to the rules of phrasing.
 *
 * The time is told by the left hand, where at least four of its moments can be found; else by the score's tempo from `startSeconds`. Each
 * beat of the line is put on eighths (swung as the score asks), triplets or sixteenths, whichever fits best. Nothing is said of right
 * and wrong notes: there are none.
 *
 * @throws MusicError `assess/played` for a take without notes or with figures that are none, `assess/line` when no note belongs to the line
 *
 * @example
 * ```ts
 * import { assessImprovisation, formatBeats, makeScore, metre, parseKey } from "hands-together";
 *
 * const score = makeScore({ key: parseKey("C"), metre: metre("4/4"), bars: 2, tempo: 60 });
 * const played = [60, 62, 64, 67].map((midi, i) => ({ midi, onsetSeconds: i / 2 + 0.01, durationSeconds: i === 3 ? 2 : 0.4, velocity: 80 }));
 * assessImprovisation(score, played).line.map((event) => formatBeats(event.at)); // => ["0", "1/2", "1", "3/2"]
 * ```
 */
export function assessImprovisation(score: Score, played: readonly PlayedNote[], options: ImprovisationOptions = {}): Improvisation {
  const ordered = inOrder(played).map(({ note }) => note);
  const highest = leftKeys(score).reduce((top, midi) => Math.max(top, midi), 59);
  const from = options.from ?? highest + 1;
  const isLine = (note: PlayedNote): boolean => (note.hand === undefined ? note.midi >= from : note.hand === "right");
  const own = ordered.filter(isLine);
  if (own.length === 0) throw new MusicError({ code: "assess/line", input: `${ordered.length} notes`, expected: `a note of the line, from MIDI note ${from} up` });
  const pace = 60 / score.tempo;
  const clock = fitClock(leftHeard(score, ordered.filter((note) => !isLine(note))) ?? [0, 1].map((beat) => (
    { beat, seconds: (options.startSeconds ?? 0) + beat * pace }
  )), clockStep(score), pace);
  const { line, offBeats } = writeDown(score, own, clock.beatAt);
  const { findings } = checkLine(line, { metre: score.metre, chords: score.chords, voicings: score.left, tempo: score.tempo });
  return {
    kind: "improvisation",
    line,
    offMs: Math.round(1000 * pace * Math.sqrt(offBeats.reduce((sum, off) => sum + off * off, 0) / offBeats.length)),
    findings,
    say: worth(findings).map((finding) => `${finding.message} ${finding.suggestion}`),
  };
}

const leftKeys = (score: Score): readonly number[] =>
  score.left.length === 0 ? [] : askedNotes({ ...score, right: [] }).map(({ midi }) => midi);

/** The left hand's moments by the seconds at which they were heard; undefined where too few were found to tell the time. */
const leftHeard = (score: Score, left: readonly PlayedNote[]): readonly Heard[] | undefined => {
  if (score.left.length === 0 || left.length === 0) return undefined;
  try {
    const { asked, notes } = alignTake({ ...score, right: [] }, left);
    const seconds = new Map<number, number>();
    for (const note of notes) {
      const place = note.asked === undefined ? undefined : asked[note.asked]?.sounds;
      if (note.state === "right" && note.run === 0 && place !== undefined && !seconds.has(place)) seconds.set(place, left[note.played as number]?.onsetSeconds as number);
    }
    const heard = [...seconds].map(([beat, at]) => ({ beat, seconds: at })).sort((a, b) => a.beat - b.beat);
    return heard.length >= FEWEST_HEARD ? heard : undefined;
  } catch (error) {
    // Another left hand than the one written tells nothing of where the beat is.
    if (error instanceof MusicError && error.reason === "cannot-be-done") return undefined;
    throw error;
  }
};

interface Struck {
  readonly at: number;
  readonly until: number;
  readonly keys: number[];
}

const writeDown = (score: Score, own: readonly PlayedNote[], beatAt: (seconds: number) => number): { line: readonly NoteEvent[]; offBeats: readonly number[] } => {
  const struck: (Struck & { seconds: number })[] = [];
  for (const { onsetSeconds, durationSeconds, midi } of own) {
    const last = struck.at(-1);
    if (last !== undefined && onsetSeconds - last.seconds <= TOGETHER_SECONDS) {
      if (!last.keys.includes(midi)) last.keys.push(midi);
    } else struck.push({ seconds: onsetSeconds, at: beatAt(onsetSeconds), until: beatAt(onsetSeconds + durationSeconds), keys: [midi] });
  }
  const feel = partFeel(score.feel, "right");
  const byBeat = new Map<number, number[]>();
  struck.forEach(({ at }, i) => {
    const beat = Math.floor(at + 1 / 8);
    byBeat.set(beat, [...(byBeat.get(beat) ?? []), i]);
  });
  const places: Beats[] = [];
  const offBeats: number[] = [];
  for (const [beat, members] of [...byBeat].sort((a, b) => a[0] - b[0])) {
    const best = GRIDS.map((grid) => fit(feel, beat, grid, members.map((i) => (struck[i] as Struck).at))).reduce((a, b) => (b.cost < a.cost ? b : a));
    members.forEach((i, k) => {
      places[i] = best.places[k] as Beats;
      offBeats.push(best.offs[k] as number);
    });
  }
  const line = struck.flatMap((note, i): readonly NoteEvent[] => {
    const at = places[i] as Beats;
    const next = places[i + 1];
    // A place that the next note shares is its own: the earlier of the two was a brush.
    if (next !== undefined && compareBeats(next, at) <= 0) return [];
    const pitches = [...note.keys].sort((a, b) => a - b).map((midi) => spellInKey(midi, score.key));
    return [{ at, duration: lengthOf(note, at, next), pitches }];
  });
  return { line, offBeats };
};

/** Puts the onsets of one beat on the nearest places of a grid. */
const fit = (feel: Feel, beat: number, grid: number, onsets: readonly number[]): { cost: number; places: readonly Beats[]; offs: readonly number[] } => {
  const all = Array.from({ length: grid + 1 }, (_, i) => addBeats(beats(beat), beatsOf(i, grid))).map((place) => ({ place, sounds: beatsToNumber(soundingTime(feel, place)) }));
  const nearest = onsets.map((onset) => all.reduce((a, b) => (Math.abs(b.sounds - onset) < Math.abs(a.sounds - onset) ? b : a)));
  const offs = nearest.map(({ sounds }, i) => (onsets[i] as number) - sounds);
  const shared = new Set(nearest.map(({ sounds }) => sounds)).size < onsets.length ? 1 : 0;
  return { cost: offs.reduce((sum, off) => sum + off * off, 0) + (GRID_PRICE[grid] as number) + shared, places: nearest.map(({ place }) => place), offs };
};

/** Held to the next note unless half a beat of silence or more was left; then to the nearest half beat. */
const lengthOf = (note: Struck, at: Beats, next: Beats | undefined): Beats => {
  const sounding = Math.max(0.5, Math.round(2 * (note.until - beatsToNumber(at))) / 2);
  const own = beatsOf(Math.round(2 * sounding), 2);
  if (next === undefined) return own;
  const room = subtractBeats(next, at);
  return note.until > beatsToNumber(next) - 0.5 || compareBeats(own, room) > 0 ? room : own;
};

const worth = (findings: readonly LineFinding[]): readonly LineFinding[] => {
  const times = new Map<string, number>();
  for (const { rule } of findings) times.set(rule, (times.get(rule) ?? 0) + 1);
  const firsts = findings.filter((finding, i) => findings.findIndex(({ rule }) => rule === finding.rule) === i);
  return firsts
    .sort((a, b) => Number(b.grade === "must") - Number(a.grade === "must") || (times.get(b.rule) as number) - (times.get(a.rule) as number))
    .slice(0, 3);
};
