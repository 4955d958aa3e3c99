import { nth } from "../../ground/list.ts";
import { barLength, barPosition, beatsToNumber, floorBeats } from "../../time/index.ts";
import { mean } from "../align/align.ts";
import { median } from "../align/clock.ts";
import type { Moment, Take } from "./model.ts";
import { rounded, spreadOf } from "./model.ts";

/** How late one place of the bar is against the band. */
export interface BandBeat {
  /** Beat of the bar, from 1. */
  readonly beat: number;
  /** Whether these are the notes after the beat. */
  readonly off: boolean;
  readonly moments: number;
  /** Median, in milliseconds; negative when ahead. */
  readonly lateMs: number;
}

/** A take against the clock of a band that plays along, or of a metronome. */
export interface BandReport {
  /** Quarter notes a minute of the band. */
  readonly tempo: number;
  /** Seconds of the take at the first bar line. */
  readonly startSeconds: number;
  /** Moments that the figures rest on. */
  readonly moments: number;
  /** How late the player is on the whole: the median, in milliseconds, beside what the feel itself asks for; negative when ahead. */
  readonly lateMs: number;
  /** Spread about that, in milliseconds, drift aside. */
  readonly spreadMs: number;
  /** The same at the start and at the end of the longest run. */
  readonly startMs: number;
  readonly endMs: number;
  /** Place by place of the bar, where at least three moments lie there. */
  readonly byBeat: readonly BandBeat[];
  /** Runs that were in time with the band, but whole bars away from where it was: how many bars behind it, negative when ahead. */
  readonly elsewhere: readonly { readonly bar: number; readonly bars: number }[];
}

/** What the band goes by. */
export interface BandClock {
  readonly tempo: number;
  readonly startSeconds: number;
}

const FEWEST = 3;
// Moments by which the start and the end of a run are told.
const AT_AN_END = 8;

interface Late {
  readonly moment: Moment;
  readonly ms: number;
}

/** Undefined where fewer than three moments were right. */
export const bandReport = (take: Take, { tempo, startSeconds }: BandClock): BandReport | undefined => {
  const pace = 60 / tempo;
  const barSeconds = pace * beatsToNumber(barLength(take.score.metre));
  const byRun = new Map<number, Late[]>();
  for (const moment of [...take.moments.right, ...take.moments.left]) {
    const heard = mean(moment.pairs.map(({ played }) => played.onsetSeconds));
    const own = byRun.get(moment.run) ?? [];
    own.push({ moment, ms: 1000 * (heard - startSeconds - pace * moment.sounds) });
    byRun.set(moment.run, own);
  }
  const elsewhere: { readonly bar: number; readonly bars: number }[] = [];
  const runs = [...byRun.values()].map((own): readonly Late[] => {
    const sorted = [...own].sort((a, b) => a.moment.sounds - b.moment.sounds);
    // Who went back is behind the band by as many bars, and may yet be in time with it.
    const bars = Math.round(median(sorted.slice(0, AT_AN_END).map(({ ms }) => ms)) / (1000 * barSeconds));
    if (bars !== 0) elsewhere.push({ bar: nth(nth(sorted, 0).moment.pairs, 0).asked.bar, bars });
    return sorted.map(({ moment, ms }) => ({ moment, ms: ms - 1000 * bars * barSeconds }));
  });
  const all = runs.flat();
  if (all.length < FEWEST) return undefined;
  const longest = runs.reduce((best, run) => (run.length > best.length ? run : best));
  const count = Math.max(1, Math.min(AT_AN_END, Math.floor(longest.length / 2)));
  const msOf = (some: readonly Late[]): number => rounded(median(some.map(({ ms }) => ms)));
  return {
    tempo: rounded(tempo),
    startSeconds: rounded(startSeconds, 3),
    moments: all.length,
    lateMs: msOf(all),
    spreadMs: rounded(spreadOf(runs.flatMap(besideDrift))),
    startMs: msOf(longest.slice(0, count)),
    endMs: msOf(longest.slice(-count)),
    byBeat: beatByBeat(take, all),
    elsewhere,
  };
};

/** Lateness beside its median over the neighbours, so that a drift is no spread. */
const besideDrift = (run: readonly Late[]): readonly number[] =>
  run.map(({ ms }, i) => ms - median(run.slice(Math.max(0, i - AT_AN_END), i + AT_AN_END + 1).map((one) => one.ms)));

const beatByBeat = (take: Take, all: readonly Late[]): readonly BandBeat[] => {
  const places = new Map<number, Late[]>();
  for (const late of all) {
    const { at } = nth(late.moment.pairs, 0).asked;
    const { beat } = barPosition(at, take.score.metre);
    const whole = floorBeats(beat);
    const place = 2 * whole + (beat.den === 1 ? 0 : 1);
    const own = places.get(place);
    if (own === undefined) places.set(place, [late]);
    else own.push(late);
  }
  return [...places]
    .filter(([, own]) => own.length >= FEWEST)
    .sort((a, b) => a[0] - b[0])
    .map(([place, own]) => ({
      beat: place >> 1,
      off: place % 2 === 1,
      moments: own.length,
      lateMs: rounded(median(own.map(({ ms }) => ms))),
    }));
};
