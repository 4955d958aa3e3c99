import type { Hand } from "../../event/index.ts";
import { known, nth } from "../../ground/list.ts";
import type { Score, TouchId } from "../../score/index.ts";
import { soundingNotes } from "../../score/index.ts";
import { partFeel } from "../../swing/index.ts";
import { beatsToNumber } from "../../time/index.ts";
import { mean } from "../align/align.ts";
import { median } from "../align/clock.ts";
import type { Moment, Pair, Take } from "./model.ts";
import { rounded, spreadOf } from "./model.ts";

/** How a hand joins notes that follow at once. */
export interface LegatoReport {
  /** Notes shorter than a quarter that the next one of the hand follows at once. */
  readonly notes: number;
  /** Median share of the way to the next note for which the key is held: 1 is joined, above it overlaps. */
  readonly share: number;
}

/** Accents of a swung line. */
export interface AccentReport {
  /** Notes on the beat and off it, the fewer of the two. */
  readonly notes: number;
  /** How much louder the offbeats are than the beats, in velocity; negative where the beats are. */
  readonly offbeats: number;
  /** Twice the standard error of that. */
  readonly doubt: number;
  /** Correlation of the line's velocities with those of the touch `"played"`: 1 where tops, offbeats and ends are shaped as there. */
  readonly shape: number;
}

/** How loud the hands are beside each other. */
export interface BalanceReport {
  /** Mean velocities. */
  readonly right: number;
  readonly left: number;
  /** How much louder the right hand is asked to be. */
  readonly asked: number;
  /** Twice the standard error of the difference. */
  readonly doubt: number;
}

/** What the sustain pedal did, where the take has one. */
export interface PedalReport {
  /** Notes that it held on. */
  readonly notes: number;
  /** Of these, notes that it held into another chord for half a beat or more. */
  readonly blurred: number;
  /** The bars where that was. */
  readonly bars: readonly number[];
}

const FEWEST = 8;
const QUARTER = 1;
const NEARLY = 1e-6;

/** Undefined for fewer than eight such notes. */
export const legatoOf = ({ moments }: Take, hand: Hand): LegatoReport | undefined => {
  const own = moments[hand];
  const shares = own.flatMap((moment, i): readonly number[] => {
    const next = own[i + 1];
    const { asked, played } = nth(moment.pairs, 0);
    if (next === undefined || next.run !== moment.run || asked.lasts >= QUARTER - NEARLY) return [];
    // What is written shorter than its place is meant to be short.
    const way = next.sounds - moment.sounds;
    if (asked.lasts < way - 0.05) return [];
    const after = nth(next.pairs, 0).played.onsetSeconds - played.onsetSeconds;
    return after > 0 ? [played.durationSeconds / after] : [];
  });
  return shares.length < FEWEST ? undefined : { notes: shares.length, share: rounded(median(shares), 2) };
};

const isFlat = (pairs: readonly Pair[]): boolean =>
  pairs.every(({ played }) => played.velocity === pairs[0]?.played.velocity);

const velocityOf = ({ pairs }: Moment): number => mean(pairs.map(({ played }) => played.velocity));

/** How loud a touch has each note of a hand, by event and key. */
export const touchedNotes = (score: Score, hand: Hand, touch: TouchId): ReadonlyMap<string, number> =>
  new Map(soundingNotes(score, hand, { touch }).map(({ event, midi, velocity }) => [`${event} ${midi}`, velocity]));

/** Undefined for hands that don't swing, or fewer than eight notes on and off the beat, or an instrument without touch. */
export const accentsOf = (take: Take, hand: Hand): AccentReport | undefined => {
  const { score, moments, pairs } = take;
  const { ratio, unit } = partFeel(score.feel, hand);
  if (ratio.first <= ratio.second || unit !== "eighth" || take.step !== 1 || isFlat(pairs[hand])) return undefined;
  const line = moments[hand].filter((moment) => moment.pairs.length === 1);
  const at = (den: number): readonly number[] =>
    line.filter((moment) => nth(moment.pairs, 0).asked.at.den === den).map(velocityOf);
  const [on, off] = [at(1), at(2)];
  const notes = Math.min(on.length, off.length);
  if (notes < FEWEST) return undefined;
  const error = Math.hypot(spreadOf(on) / Math.sqrt(on.length), spreadOf(off) / Math.sqrt(off.length));
  const touch = touchedNotes(score, hand, "played");
  const wanted = line.map(({ pairs: [one] }) => touch.get(`${known(one).asked.event} ${known(one).asked.midi}`) ?? 0);
  return {
    notes,
    offbeats: rounded(mean(off) - mean(on)),
    doubt: rounded(2 * error),
    shape: rounded(correlation(line.map(velocityOf), wanted), 2),
  };
};

const correlation = (xs: readonly number[], ys: readonly number[]): number => {
  const [x, y] = [mean(xs), mean(ys)];
  const product = (a: readonly number[], am: number, b: readonly number[], bm: number): number =>
    a.reduce((sum, value, i) => sum + (value - am) * (nth(b, i) - bm), 0);
  const both = Math.sqrt(product(xs, x, xs, x) * product(ys, y, ys, y));
  return both === 0 ? 0 : product(xs, x, ys, y) / both;
};

/** Undefined where a hand has fewer than eight notes, or where the instrument has no touch. */
export const balanceOf = ({ pairs: { right, left } }: Take): BalanceReport | undefined => {
  if (right.length < FEWEST || left.length < FEWEST || isFlat([...right, ...left])) return undefined;
  const [r, l] = [right, left].map((own) => own.map(({ played }) => played.velocity));
  const asked = (own: readonly Pair[]): number => mean(own.map((pair) => pair.asked.velocity));
  const error = Math.hypot(spreadOf(known(r)) / Math.sqrt(right.length), spreadOf(known(l)) / Math.sqrt(left.length));
  return {
    right: rounded(mean(known(r))),
    left: rounded(mean(known(l))),
    asked: rounded(asked(right) - asked(left)),
    doubt: rounded(2 * error),
  };
};

// A chord may ring this far into the next one.
const RINGS = 0.5;

/** Undefined where no note was held on by a pedal. */
export const pedalOf = ({ score, pairs }: Take): PedalReport | undefined => {
  const held = [...pairs.right, ...pairs.left].filter(
    ({ played: { durationSeconds, soundingSeconds = durationSeconds } }) => soundingSeconds > durationSeconds + 0.05,
  );
  if (held.length === 0) return undefined;
  const changes = score.chords.map(({ at }) => beatsToNumber(at)).sort((a, b) => a - b);
  const blurred = held.filter(({ asked, heard, lasted }) => {
    const change = changes.find((at) => at > asked.sounds + NEARLY);
    // What is written over the change is meant to be.
    if (change === undefined || asked.sounds + asked.lasts > change + RINGS) return false;
    return heard + lasted > change + RINGS;
  });
  return {
    notes: held.length,
    blurred: blurred.length,
    bars: [...new Set(blurred.map(({ asked }) => asked.bar))].sort((a, b) => a - b),
  };
};
