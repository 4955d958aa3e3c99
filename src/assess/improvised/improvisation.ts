import type { NoteEvent } from "../../event/index.ts";
import { MusicError } from "../../ground/errors.ts";
import { known, nth } from "../../ground/list.ts";
import type { FoundPhrase, LineFinding } from "../../line/index.ts";
import { checkLine, usualScale } from "../../line/index.ts";
import { spellInKey } from "../../pitch/index.ts";
import type { Scale } from "../../scale/index.ts";
import type { Score } from "../../score/index.ts";
import type { Feel } from "../../swing/index.ts";
import { partFeel, soundingTime } from "../../swing/index.ts";
import type { Beats } from "../../time/index.ts";
import { addBeats, barLength, beats, beatsOf, beatsToNumber, compareBeats, subtractBeats } from "../../time/index.ts";
import type { Alignment } from "../align/align.ts";
import { clockStep } from "../align/align.ts";
import type { Heard } from "../align/clock.ts";
import { fitClock, median } from "../align/clock.ts";
import type { PlayedNote } from "../align/played.ts";
import { inOrder } from "../align/played.ts";
import type { Assessment } from "../assess.ts";
import { assessTake } from "../assess.ts";
import type { LeftHandHeard, Remark } from "../say/remarks.ts";
import { heardLines, praiseLine, remarks, soundRemarks, timeRemark } from "../say/remarks.ts";
import { checkImprovisationOptions, checkScore } from "../shapes.ts";
import type { PhraseAnswer } from "./answers.ts";
import { answersOf } from "./answers.ts";
import { besideRiff, leapingShare, riffOf, strongBeatsOf } from "./line-facts.ts";
import type { LineSound } from "./line-sound.ts";
import { lineSound } from "./line-sound.ts";
import type { OverChord } from "./over-chords.ts";
import { outsideShare, overChords } from "./over-chords.ts";
import { partHands } from "./parting.ts";

/** Options of {@link assessImprovisation}. */
export interface ImprovisationOptions {
  /** The scale that the line is made from, or its name with its tonic. @defaultValue what `usualScale` gives for the score's key and chords */
  readonly scale?: Scale | string | undefined;
  /** MIDI note from which notes without a hand belong to the line. @defaultValue none: what the written left hand accounts for is the left hand's, and of the rest what lies from middle C up is the line's */
  readonly from?: number | undefined;
  /** Seconds at the first bar line, used where no left hand tells the time; given, the line can be late against it. @defaultValue 0 */
  readonly startSeconds?: number | undefined;
}

/** An improvised line as it was heard, the rules of phrasing that it breaks, and the left hand beside it. */
export interface Improvisation {
  readonly kind: "improvisation";
  readonly version: 1;
  /** The score's title. */
  readonly title: string;
  readonly bars: number;
  /** The line, put on the nearest eighths, triplets or sixteenths. */
  readonly line: readonly NoteEvent[];
  /** Its phrases, parted by ear. */
  readonly phrases: readonly FoundPhrase[];
  /** How far the notes were from there, in milliseconds on the whole (root mean square), {@link lateMs} aside. */
  readonly offMs: number;
  /** By how much the line as a whole comes after the beat, in milliseconds; negative where before; 0 where neither a left hand nor `startSeconds` tells the beat. */
  readonly lateMs: number;
  /** How the line is swung and touched. */
  readonly sound: LineSound;
  /** What was played over each chord, by degree, role and figure. */
  readonly overChords: readonly OverChord[];
  /** Each phrase beside the one before it, as an answer to a call: in rhythm and shape. */
  readonly answers: readonly PhraseAnswer[];
  /** How often the figure comes back that the line is built on; absent where it is built on none. */
  readonly riff?: number;
  /** What told the beat: the left hand, or the score's tempo counted from `startSeconds`. */
  readonly beatFrom: "left-hand" | "tempo";
  /** Every breach, in order of time. */
  readonly findings: readonly LineFinding[];
  /** The left hand against the score; absent where none is written, where none was heard, or where another one was played. */
  readonly left?: Assessment;
  /** Why there is, or is not, an assessment of the left hand. */
  readonly leftHand: LeftHandHeard;
  /** What was heard of each hand and what told the beat, in plain sentences. */
  readonly heard: readonly string[];
  /** What went well, in a sentence. */
  readonly praise: string;
  /** What to tell the student: three things at most, on the line and on the left hand by turns. */
  readonly say: readonly Remark[];
}

const FEWEST_HEARD = 4;
// What a finer grid must save, as a share of the squared beat, before it is believed: coarser music is likelier.
const GRIDS = [
  { grid: 2, price: 0 },
  { grid: 3, price: 0.004 },
  { grid: 4, price: 0.012 },
] as const;
const TOGETHER_SECONDS = 0.04;

/**
 * Listens to a line improvised over a score's changes: puts it on the beat by the left hand's clock, and holds it to the rules of phrasing.
 * The score's own right hand is passed over; its left hand is assessed as {@link assessTake} does, where it was played.
 *
 * The time is told by the left hand, where at least four of its moments can be found; else by the score's tempo from `startSeconds`. Each
 * beat of the line is put on eighths (swung as the score asks), triplets or sixteenths, whichever fits best. Nothing is said of right
 * and wrong notes in the line: there are none.
 *
 * @throws MusicError `assess/metre` for a score whose metre changes, `assess/played` for a take without notes or with figures that are none, `assess/line` when no note belongs to the line,
 * `assess/long` for a line of more than a thousand bars, `assess/start` for `startSeconds` that are no number from -36000 to 36000, and what `parseScale` throws
 *
 * @example
 * ```ts
 * import { assessImprovisation, formatBeats, makeScore, metre, parseKey } from "hands-together";
 *
 * const score = makeScore({ key: parseKey("C"), metre: metre("4/4"), bars: 2, tempo: 60 });
 * const played = [60, 62, 64, 67].map((midi, i) => ({ midi, onsetSeconds: i / 2 + 0.01, durationSeconds: i === 3 ? 2 : 0.4, velocity: 80 }));
 * const heard = assessImprovisation(score, played);
 * heard.line.map((event) => formatBeats(event.at)); // => ["0", "1/2", "1", "3/2"]
 * heard.say; // => []
 * ```
 */
export function assessImprovisation(
  score: Score,
  played: readonly PlayedNote[],
  options: ImprovisationOptions = {},
): Improvisation {
  checkScore(score);
  checkImprovisationOptions(options);
  const start = options.startSeconds ?? 0;
  if (!(typeof start === "number" && Math.abs(start) <= LATEST_START)) {
    throw new MusicError({
      code: "assess/start",
      input: start,
      expected: `seconds from -${LATEST_START} to ${LATEST_START} at the first bar line`,
    });
  }
  const written: Score = { ...score, right: [] };
  const ordered = inOrder(played).map(({ note }) => note);
  const { line: own, left: leftNotes } = partHands(written, ordered, options.from);
  if (own.length === 0)
    throw new MusicError({
      code: "assess/line",
      input: `${ordered.length} notes`,
      expected: "at least one note of an improvised line, from middle C up",
    });
  const left = assessLeft(written, leftNotes);
  const heard = left === undefined ? undefined : leftMoments(left.alignment, leftNotes);
  const pace = 60 / score.tempo;
  const clock = fitClock(
    heard ?? [0, 1].map((beat) => ({ beat, seconds: start + beat * pace })),
    clockStep(score),
    pace,
  );
  // Against the left hand a line can be late or early as a whole, or against a beat that is known; by the clock on the wall nobody can tell.
  const beatKnown = heard !== undefined || options.startSeconds !== undefined;
  const lag = beatKnown ? lagOf(score, own, clock.beatAt) : 0;
  const lateMs = Math.round(1000 * pace * lag);
  const { line, offBeats } = writeDown(score, own, (seconds) => clock.beatAt(seconds) - lag);
  const bar = beatsToNumber(barLength(score.metre));
  const far = line
    .map((event) => Math.floor(beatsToNumber(event.at) / bar) + 1)
    .find((number) => Math.abs(number) > LONGEST);
  if (far !== undefined)
    throw new MusicError({
      code: "assess/long",
      input: `bar ${far}`,
      expected: `a line within ${LONGEST} bars`,
      hint: "is the tempo of the score that of the take?",
    });
  const { key, metre, chords, left: voicings, tempo } = score;
  const checked = checkLine(line, { metre, chords, voicings, tempo, scale: options.scale ?? usualScale(key, chords) });
  const riff = riffOf(line, checked.phrases);
  const report = { ...checked, findings: besideRiff(checked.findings, riff) };
  const offMs = Math.round(1000 * pace * rms(offBeats));
  const sound = lineSound(
    score,
    own,
    own.map(({ onsetSeconds }) => clock.beatAt(onsetSeconds) - lag),
    clockStep(score),
  );
  const over = overChords(line, score);
  const answers = answersOf(line, report.phrases);
  const time = { lag, lateMs, offMs, beatMs: 1000 * pace, beat: heard === undefined ? "the beat" : "your left hand" };
  const told: Omit<Improvisation, "heard"> = {
    kind: "improvisation",
    version: 1,
    title: score.title,
    bars: score.bars,
    line,
    phrases: report.phrases,
    offMs,
    lateMs,
    sound,
    overChords: over,
    answers,
    ...(riff === undefined ? {} : { riff: riff.times }),
    beatFrom: heard === undefined ? "tempo" : "left-hand",
    findings: report.findings,
    ...(left === undefined ? {} : { left }),
    leftHand:
      left !== undefined
        ? "assessed"
        : score.left.length === 0
          ? "not-written"
          : leftNotes.length === 0
            ? "not-heard"
            : "another",
    praise: praiseLine(report, line.length, strongBeatsOf(line, score), {
      inTime: heard !== undefined && lag === 0 && offMs <= IN_TIME_MS,
      offTime: timeRemark(time).length > 0,
      riff: riff?.times,
      outside: outsideShare(over),
      leaping: leapingShare(line),
      answer: answers.find(({ rhythm, shape = 0, even }) => !even && rhythm >= ALIKE_RHYTHM && shape >= ALIKE_SHAPE),
    }),
    say: remarks(report.findings, left, [...timeRemark(time), ...soundRemarks(sound, line.length)]),
  };
  return { ...told, heard: heardLines(told) };
}

// What trained players' onsets spread by about a beat and less (Repp, B. H. (2005), Sensorimotor synchronization, Psychonomic Bulletin & Review
// 12(6), 969-992; from memory).
const IN_TIME_MS = 20;
// An answer that anybody would hear as one; of two rows of even notes the rhythm tells nothing.
const ALIKE_RHYTHM = 0.8;
const ALIKE_SHAPE = 0.85;
const LATEST_START = 36_000;
const LONGEST = 1000;

const assessLeft = (written: Score, left: readonly PlayedNote[]): Assessment | undefined => {
  if (written.left.length === 0 || left.length === 0) return undefined;
  try {
    return assessTake(written, left);
  } catch (error) {
    // Another left hand than the one written tells nothing of where the beat is.
    if (error instanceof MusicError && error.reason === "cannot-be-done") return undefined;
    throw error;
  }
};

/** The left hand's moments by the seconds at which they were heard; undefined where too few were found to tell the time. */
const leftMoments = ({ asked, notes }: Alignment, left: readonly PlayedNote[]): readonly Heard[] | undefined => {
  const seconds = new Map<number, number>();
  for (const { state, run, asked: index, played } of notes) {
    if (state !== "right" || run > 0) continue;
    const { sounds } = nth(asked, known(index));
    if (!seconds.has(sounds)) seconds.set(sounds, nth(left, known(played)).onsetSeconds);
  }
  const heard = [...seconds].map(([beat, at]) => ({ beat, seconds: at }));
  return heard.length >= FEWEST_HEARD ? heard : undefined;
};

interface Struck {
  readonly at: number;
  readonly until: number;
  readonly keys: number[];
}

// Lags that are tried, in beats, and what believing one costs: its square by this.
const MOST_LAG = 0.32;
const LAG_STEP = 0.02;
const LAG_PRICE = 0.02;
// A lag is believed where without it the line lies as far from every place as this, in beats, and with it less than three fifths as far.
const PLAINLY_OFF = 0.05;
const LESS = 0.6;
const GRACE_SECONDS = 0.1;

const rms = (values: readonly number[]): number =>
  Math.sqrt(values.reduce((sum, value) => sum + value * value, 0) / values.length);

/** By how many beats a line comes late as a whole: the lag under which it lies nearest to the places of the beat; 0 where none helps. */
const lagOf = (score: Score, all: readonly PlayedNote[], beatAt: (seconds: number) => number): number => {
  // Grace notes have no place of their own.
  const own = all.filter((note, i) => {
    const gap = (all[i + 1]?.onsetSeconds ?? Infinity) - note.onsetSeconds;
    return gap <= TOGETHER_SECONDS || gap > GRACE_SECONDS;
  });
  if (own.length === 0) return 0;
  const plain = writeDown(score, own, beatAt);
  const off = rms(plain.offBeats);
  if (off < PLAINLY_OFF) return 0;
  const steps = Math.round(MOST_LAG / LAG_STEP);
  let [best, least] = [0, plain.cost / own.length];
  for (let i = -steps; i <= steps; i++) {
    const lag = i * LAG_STEP;
    const read = writeDown(score, own, (seconds) => beatAt(seconds) - lag);
    const cost = read.cost / own.length + LAG_PRICE * lag * lag;
    if (cost < least && rms(read.offBeats) < LESS * off) [best, least] = [lag, cost];
  }
  if (best === 0) return 0;
  return best + median(writeDown(score, own, (seconds) => beatAt(seconds) - best).offBeats);
};

const writeDown = (
  score: Score,
  own: readonly PlayedNote[],
  beatAt: (seconds: number) => number,
): { line: readonly NoteEvent[]; offBeats: readonly number[]; cost: number } => {
  const struck: (Struck & { seconds: number })[] = [];
  for (const { onsetSeconds, durationSeconds, midi } of own) {
    const last = struck.at(-1);
    if (last !== undefined && onsetSeconds - last.seconds <= TOGETHER_SECONDS) {
      if (!last.keys.includes(midi)) last.keys.push(midi);
    } else
      struck.push({
        seconds: onsetSeconds,
        at: beatAt(onsetSeconds),
        until: beatAt(onsetSeconds + durationSeconds),
        keys: [midi],
      });
  }
  const feel = partFeel(score.feel, "right");
  const byBeat = new Map<number, number[]>();
  struck.forEach(({ at }, i) => {
    const beat = Math.floor(at + 1 / 8);
    byBeat.set(beat, [...(byBeat.get(beat) ?? []), i]);
  });
  const places: Beats[] = [];
  const offBeats: number[] = [];
  let cost = 0;
  for (const [beat, members] of byBeat) {
    const best = GRIDS.map((choice) =>
      fit(
        feel,
        beat,
        choice,
        members.map((i) => nth(struck, i).at),
      ),
    ).reduce((a, b) => (b.cost < a.cost ? b : a));
    cost += best.cost;
    members.forEach((i, k) => {
      places[i] = nth(best.places, k);
      offBeats.push(nth(best.offs, k));
    });
  }
  const line = struck.flatMap((note, i): readonly NoteEvent[] => {
    const at = nth(places, i);
    const next = places[i + 1];
    // A place that the next note shares is its own: the earlier of the two was a brush.
    if (next !== undefined && compareBeats(next, at) <= 0) return [];
    const pitches = [...note.keys].sort((a, b) => a - b).map((midi) => spellInKey(midi, score.key));
    return [{ at, duration: lengthOf(note, at, next), pitches }];
  });
  return { line, offBeats, cost };
};

/** Puts the onsets of one beat on the nearest places of a grid. */
const fit = (
  feel: Feel,
  beat: number,
  { grid, price }: (typeof GRIDS)[number],
  onsets: readonly number[],
): { cost: number; places: readonly Beats[]; offs: readonly number[] } => {
  const all = Array.from({ length: grid + 1 }, (_, i) => addBeats(beats(beat), beatsOf(i, grid))).map((place) => ({
    place,
    sounds: beatsToNumber(soundingTime(feel, place)),
  }));
  const nearest = onsets.map((onset) =>
    all.reduce((a, b) => (Math.abs(b.sounds - onset) < Math.abs(a.sounds - onset) ? b : a)),
  );
  const offs = nearest.map(({ sounds }, i) => nth(onsets, i) - sounds);
  const shared = new Set(nearest.map(({ sounds }) => sounds)).size < onsets.length ? 1 : 0;
  return {
    cost: offs.reduce((sum, off) => sum + off * off, 0) + price + shared,
    places: nearest.map(({ place }) => place),
    offs,
  };
};

/** Held to the next note unless half a beat of silence or more was left; then to the nearest half beat. */
const lengthOf = (note: Struck, at: Beats, next: Beats | undefined): Beats => {
  const sounding = Math.max(0.5, Math.round(2 * (note.until - beatsToNumber(at))) / 2);
  const own = beatsOf(Math.round(2 * sounding), 2);
  if (next === undefined) return own;
  return note.until > beatsToNumber(next) - 0.5 ? subtractBeats(next, at) : own;
};
