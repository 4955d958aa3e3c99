import type { Finger, Hand } from "../../event/index.ts";
import { known, nth } from "../../ground/list.ts";
import { partFeel } from "../../swing/index.ts";
import type { Beats } from "../../time/index.ts";
import { barLength, beats, beatsOf, beatsToNumber, divideBeats, floorBeats, subtractBeats } from "../../time/index.ts";
import type { AlignedNote } from "../align/align.ts";
import { mean } from "../align/align.ts";
import { median } from "../align/clock.ts";
import type { Moment, Pair, Take } from "./model.ts";
import { notesOf, rounded, spreadOf } from "./model.ts";
import type { AccentReport, LegatoReport } from "./sound.ts";
import { accentsOf, legatoOf, touchedNotes } from "./sound.ts";
import type { SwingMeasurement } from "./swing-measure.ts";
import { measureSwing } from "./swing-measure.ts";

/** How many notes were asked for, and what became of them. */
export interface AccuracyReport {
  /** Asked for, each as often as the student came to it; notes that no run came to count once. */
  readonly asked: number;
  readonly right: number;
  readonly wrong: number;
  readonly missed: number;
  readonly extra: number;
  /** Right notes as a share of all that were asked for or added, 0 to 1. */
  readonly accuracy: number;
}

/** How late a hand is by the player's own clock. */
export interface TimingReport {
  /** Moments that the figures rest on. */
  readonly moments: number;
  /** Mean, in milliseconds; negative when early. */
  readonly meanMs: number;
  /** The same as a share of a quarter note. */
  readonly meanBeats: number;
  /** Spread about what is usual at the same place of the beat, in milliseconds (robust standard deviation). */
  readonly spreadMs: number;
  readonly spreadBeats: number;
}

/** Swing as it was asked for and as it was played. */
export interface SwingReport {
  /** First to second, as one number: 2 for 2:1. */
  readonly asked: number;
  readonly measured: SwingMeasurement;
  /** Spread of the offbeats, as a share of the pair. */
  readonly spread: number;
}

/** How even triplets are. */
export interface TripletReport {
  /** Full triplets that the figures rest on. */
  readonly beats: number;
  /** How late the second of three is, as a share of the triplet's length; negative when early. */
  readonly second: number;
  /** How late the third of three is. */
  readonly third: number;
  /** Spread of both about their means. */
  readonly spread: number;
}

/** How long notes are held that are written a quarter note or longer. */
export interface HoldingReport {
  readonly notes: number;
  /** Notes let go before three fifths of their length. */
  readonly short: number;
  /** Median share of the written length. */
  readonly share: number;
}

/** How far apart the keys of a chord are struck. */
export interface ChordSpreadReport {
  readonly chords: number;
  /** Median number of their keys. */
  readonly keys: number;
  /** Median time from the first to the last key, in milliseconds. */
  readonly medianMs: number;
}

/** How even a hand's touch is, beside what the score asks for or the touches that scores are played with, whichever is nearer. */
export interface TouchReport {
  readonly notes: number;
  /** Mean velocity. */
  readonly mean: number;
  /** Spread of velocity about its neighbours. */
  readonly spread: number;
  /** By finger: how much harder it strikes than the hand as a whole, where a finger has at least six notes. */
  readonly byFinger: Readonly<Partial<Record<Finger, number>>>;
}

/** One hand of a take. */
export interface HandReport extends AccuracyReport {
  readonly hand: Hand;
  /** Absent for fewer than three right moments. */
  readonly timing?: TimingReport;
  /** Absent where fewer than four beats hold a pair. */
  readonly swing?: SwingReport;
  readonly triplets?: TripletReport;
  readonly held?: HoldingReport;
  readonly chords?: ChordSpreadReport;
  readonly touch?: TouchReport;
  readonly legato?: LegatoReport;
  readonly accents?: AccentReport;
}

/** One hand in one bar, over all runs. */
export interface BarReport extends AccuracyReport {
  readonly hand: Hand;
  /** From 1; 0 for a pickup. */
  readonly bar: number;
  /** Mean lateness in milliseconds; absent where nothing was right. */
  readonly meanMs?: number;
  readonly spreadMs?: number;
}

/** Both hands where they strike together. */
export interface TogetherReport {
  readonly moments: number;
  /** How late the left hand is after the right, in milliseconds: the median. */
  readonly leftAfterMs: number;
  readonly spreadMs: number;
}

/** The player's tempo, in quarter notes a minute. */
export interface TempoReport {
  readonly asked: number;
  /** Median. */
  readonly played: number;
  /** At the start and the end of the longest run, by a straight line through it. */
  readonly start: number;
  readonly end: number;
  /** Spread about that line, as a share of the tempo. */
  readonly sway: number;
  /** The same beside arches that come back every two, four or eight bars, as phrases have them. */
  readonly besideArches: number;
}

const FEWEST_MOMENTS = 3;
const LONG = 1;
const SHORT_SHARE = 0.6;

const accuracyOf = (notes: readonly AlignedNote[], leftOut: number): AccuracyReport => {
  const count = (state: AlignedNote["state"]): number => notes.filter((note) => note.state === state).length;
  const [right, wrong, extra] = [count("right"), count("wrong"), count("extra")];
  const missed = count("missed") + leftOut;
  const all = right + wrong + missed + extra;
  return {
    asked: right + wrong + missed,
    right,
    wrong,
    missed,
    extra,
    accuracy: all === 0 ? 1 : rounded(right / all, 4),
  };
};

export const wholeAccuracy = (take: Take): AccuracyReport =>
  accuracyOf(take.alignment.notes, take.alignment.leftOut.length);

/** A place inside the pulse, by which timing is compared with itself. */
const placeInPulse = (at: Beats, step: number): string => {
  const pulses = divideBeats(at, beatsOf(step * 2, 2));
  const rest = subtractBeats(pulses, beats(floorBeats(pulses)));
  return `${rest.num}/${rest.den}`;
};

/** Lateness with what is usual at each place of the pulse taken away: swing and triplets are spoken of elsewhere. */
export const residuals = (take: Take, moments: readonly Moment[]): readonly number[] => {
  const places = moments.map((m) => placeInPulse(nth(m.pairs, 0).asked.at, take.step));
  const byPlace = new Map<string, number[]>();
  moments.forEach((m, i) => {
    const own = byPlace.get(nth(places, i));
    if (own === undefined) byPlace.set(nth(places, i), [m.off]);
    else own.push(m.off);
  });
  const middles = new Map([...byPlace].map(([place, offs]) => [place, median(offs)]));
  return moments.map((m, i) => m.off - known(middles.get(nth(places, i))));
};

const timingOf = (take: Take, moments: readonly Moment[]): TimingReport | undefined => {
  if (moments.length < FEWEST_MOMENTS) return undefined;
  const meanMs = mean(moments.map((m) => m.off));
  const spreadMs = spreadOf(residuals(take, moments));
  const beatMs = 1000 * take.pace;
  return {
    moments: moments.length,
    meanMs: rounded(meanMs),
    meanBeats: rounded(meanMs / beatMs, 3),
    spreadMs: rounded(spreadMs),
    spreadBeats: rounded(spreadMs / beatMs, 3),
  };
};

const isWhole = (at: Beats, unit: Beats): boolean => divideBeats(at, unit).den === 1;

/** Written moments of a hand by run and beat, so that only beats played as asked are measured. */
const byBeat = (moments: readonly Moment[], length: Beats): readonly (readonly Moment[])[] => {
  const groups = new Map<string, Moment[]>();
  for (const m of moments) {
    const key = `${m.run} ${floorBeats(divideBeats(nth(m.pairs, 0).asked.at, length))}`;
    groups.set(key, [...(groups.get(key) ?? []), m]);
  }
  return [...groups.values()];
};

// Runs are laid end to end so far apart that no beat of one meets another's.
const RUN_APART = 1_000_000;

/** The mean without what lies three spreads from the median. */
const plainMean = (values: readonly number[]): number => {
  const [middle, reach] = [median(values), 3 * spreadOf(values)];
  return mean(values.filter((value) => Math.abs(value - middle) <= reach + 1e-9));
};

const swingOf = (take: Take, hand: Hand, moments: readonly Moment[]): SwingReport | undefined => {
  if (take.step !== 1) return undefined;
  const feel = partFeel(take.score.feel, hand);
  const [pair, half] = feel.unit === "eighth" ? [beats(1), beatsOf(1, 2)] : [beatsOf(1, 2), beatsOf(1, 4)];
  const beatOf = (at: Beats): number => floorBeats(divideBeats(at, pair));
  const otherwise = new Set(
    take.asked.filter((note) => note.hand === hand && !isWhole(note.at, half)).map(({ at }) => beatOf(at)),
  );
  const written = (moment: Moment): Beats => nth(moment.pairs, 0).asked.at;
  const found = byBeat(moments, pair).filter(
    (group) => group.length === 2 && !otherwise.has(beatOf(written(nth(group, 0)))),
  );
  if (found.length === 0) return undefined;
  // A hand that is late as a whole does not swing differently.
  const lag = plainMean(found.map(([first]) => known(first).heard - known(first).sounds));
  const onsets = found.flatMap((group) => group.map((m) => m.heard - lag + m.run * RUN_APART));
  try {
    const measured = measureSwing(onsets, { unit: feel.unit });
    const shares = found.map(
      ([first, second]) => (known(second).heard - beatsToNumber(written(known(first)))) / beatsToNumber(pair),
    );
    return { asked: rounded(feel.ratio.first / feel.ratio.second, 3), measured, spread: rounded(spreadOf(shares), 3) };
  } catch {
    // Too few pairs to tell.
    return undefined;
  }
};

const tripletsOf = (take: Take, moments: readonly Moment[]): TripletReport | undefined => {
  const length = beatsOf(take.step * 2, 2);
  const third = divideBeats(length, beats(3));
  const size = take.step;
  const found = byBeat(moments, length).filter(
    (group) => group.length === 3 && group.every((m) => isWhole(nth(m.pairs, 0).asked.at, third)),
  );
  if (found.length < 4) return undefined;
  const lean = (index: 1 | 2): readonly number[] =>
    found.map((group) => {
      const [first, own] = [nth(group, 0), nth(group, index)];
      return (own.heard - first.heard - (own.sounds - first.sounds)) / size;
    });
  const [second, last] = [lean(1), lean(2)];
  return {
    beats: found.length,
    second: rounded(median(second), 3),
    third: rounded(median(last), 3),
    spread: rounded(Math.max(spreadOf(second), spreadOf(last)), 3),
  };
};

const holdingOf = (pairs: readonly Pair[]): HoldingReport | undefined => {
  const long = pairs.filter(({ asked }) => !asked.grace && asked.lasts >= LONG);
  if (long.length === 0) return undefined;
  const shares = long.map(({ asked, lasted }) => lasted / asked.lasts);
  return {
    notes: long.length,
    short: shares.filter((share) => share < SHORT_SHARE).length,
    share: rounded(median(shares), 2),
  };
};

const chordSpreadOf = (moments: readonly Moment[]): ChordSpreadReport | undefined => {
  const chords = moments.filter((m) => m.pairs.length > 1);
  if (chords.length === 0) return undefined;
  const spreads = chords.map((m) => {
    const offs = m.pairs.map((p) => p.off);
    return Math.max(...offs) - Math.min(...offs);
  });
  return {
    chords: chords.length,
    keys: median(chords.map((m) => m.pairs.length)),
    medianMs: rounded(median(spreads)),
  };
};

const NEIGHBOURS = 4;
const FEWEST_OF_FINGER = 6;

const touchOf = ({ score, pairs }: Take, hand: Hand): TouchReport | undefined => {
  const notes = pairs[hand].filter(({ asked }) => !asked.grace);
  if (notes.length < 8) return undefined;
  // A player may be even, or shape the line as it is shaped when it is played to the student: what sticks out of all of these sticks out.
  const shaped = (["played", "ballad"] as const).map((touch) => touchedNotes(score, hand, touch));
  const against = [
    againstTouch(notes, ({ asked }) => asked.velocity),
    ...shaped.map((loud) =>
      againstTouch(notes, ({ asked }) => loud.get(`${asked.event} ${asked.midi}`) ?? asked.velocity),
    ),
  ];
  const byFinger: Partial<Record<Finger, number>> = {};
  for (const finger of [1, 2, 3, 4, 5] as const) {
    const [least] = against
      .flatMap(({ byFinger: { [finger]: by } }) => by ?? [])
      .sort((x, y) => Math.abs(x) - Math.abs(y));
    if (least !== undefined) byFinger[finger] = least;
  }
  return {
    notes: notes.length,
    mean: rounded(mean(notes.map(({ played }) => played.velocity))),
    spread: Math.min(...against.map(({ spread }) => spread)),
    byFinger,
  };
};

/** How far loudness strays from what a touch asks for, about the neighbours and by finger. */
const againstTouch = (
  notes: readonly Pair[],
  wanted: (pair: Pair) => number,
): Pick<TouchReport, "spread" | "byFinger"> => {
  const over = notes.map((pair) => pair.played.velocity - wanted(pair));
  const beside = over.map((value, i) => value - median(over.slice(Math.max(0, i - NEIGHBOURS), i + NEIGHBOURS + 1)));
  const whole = mean(over);
  const byFinger: Partial<Record<Finger, number>> = {};
  for (const finger of [1, 2, 3, 4, 5] as const) {
    const own = over.filter((_, i) => nth(notes, i).asked.finger === finger);
    if (own.length >= FEWEST_OF_FINGER) byFinger[finger] = rounded(mean(own) - whole);
  }
  return { spread: rounded(spreadOf(beside)), byFinger };
};

export const handReport = (take: Take, hand: Hand): HandReport => {
  const moments = take.moments[hand];
  const leftOut = take.alignment.leftOut.filter((index) => nth(take.asked, index).hand === hand).length;
  const timing = timingOf(take, moments);
  const swing = swingOf(take, hand, moments);
  const triplets = tripletsOf(take, moments);
  const held = holdingOf(take.pairs[hand]);
  const chords = chordSpreadOf(moments);
  const touch = touchOf(take, hand);
  const [legato, accents] = [legatoOf(take, hand), accentsOf(take, hand)];
  return {
    hand,
    ...accuracyOf(notesOf(take, hand), leftOut),
    ...(timing === undefined ? {} : { timing }),
    ...(swing === undefined ? {} : { swing }),
    ...(triplets === undefined ? {} : { triplets }),
    ...(held === undefined ? {} : { held }),
    ...(chords === undefined ? {} : { chords }),
    ...(touch === undefined ? {} : { touch }),
    ...(legato === undefined ? {} : { legato }),
    ...(accents === undefined ? {} : { accents }),
  };
};

/** The bar in which a note lies: the asked one's, or where an extra one was heard. */
export const barOf = (take: Take, note: AlignedNote, barLength: number): number =>
  note.asked === undefined ? Math.floor(known(note.heard) / barLength + 1e-9) + 1 : known(take.asked[note.asked]?.bar);

export const barReports = (take: Take, barLength: number): readonly BarReport[] => {
  const reports: BarReport[] = [];
  for (const hand of ["right", "left"] as const) {
    const notes = new Map<number, AlignedNote[]>();
    for (const note of notesOf(take, hand)) {
      const bar = Math.max(0, Math.min(take.score.bars, barOf(take, note, barLength)));
      const own = notes.get(bar);
      if (own === undefined) notes.set(bar, [note]);
      else own.push(note);
    }
    const leftOut = new Map<number, number>();
    for (const index of take.alignment.leftOut) {
      const note = nth(take.asked, index);
      if (note.hand !== hand) continue;
      leftOut.set(note.bar, (leftOut.get(note.bar) ?? 0) + 1);
      if (!notes.has(note.bar)) notes.set(note.bar, []);
    }
    for (const [bar, own] of [...notes].sort((a, b) => a[0] - b[0])) {
      const offs = own.filter((note) => note.state === "right").map((note) => known(note.offMs));
      reports.push({
        hand,
        bar,
        ...accuracyOf(own, leftOut.get(bar) ?? 0),
        ...(offs.length === 0 ? {} : { meanMs: rounded(mean(offs)), spreadMs: rounded(spreadOf(offs)) }),
      });
    }
  }
  return reports;
};

export const togetherOf = (take: Take): TogetherReport | undefined => {
  const rights = new Map(take.moments.right.map((m) => [`${m.run} ${m.sounds}`, m.off]));
  const gaps = take.moments.left.flatMap((m) => {
    const right = rights.get(`${m.run} ${m.sounds}`);
    return right === undefined ? [] : [m.off - right];
  });
  return gaps.length < FEWEST_MOMENTS
    ? undefined
    : { moments: gaps.length, leftAfterMs: rounded(median(gaps)), spreadMs: rounded(spreadOf(gaps)) };
};

// The clock's ends are the least sure, and a tempo is read over this many of its steps.
const OVER = 4;
const ENDS = 8;

export const tempoReport = (take: Take): TempoReport => {
  const all = take.alignment.runs.flatMap((run) => run.tempos.map(({ tempo }) => tempo));
  const played = all.length === 0 ? 60 / take.pace : median(all);
  const longest = take.alignment.runs.reduce<readonly { quarter: number; tempo: number }[]>(
    (best, run) => (run.tempos.length > best.length ? run.tempos : best),
    [],
  );
  const steady = {
    asked: take.score.tempo,
    played: rounded(played),
    start: rounded(played),
    end: rounded(played),
    sway: 0,
    besideArches: 0,
  };
  // The last bars may slow down and the first ones find their pace; they are heard, and no fault is made of them.
  const ends = Math.min(ENDS, Math.floor((longest.length - 2 * OVER) / 3));
  const body = ends > 0 ? longest.slice(Math.min(ends, OVER), -ends) : longest;
  if (body.length < 2 * OVER) return steady;
  const smooth = body.slice(0, -OVER + 1).map(({ quarter }, i) => {
    const window = body.slice(i, i + OVER);
    return { quarter, log: Math.log(OVER / window.reduce((sum, { tempo }) => sum + 1 / tempo, 0)) };
  });
  const x = mean(smooth.map((s) => s.quarter));
  const y = mean(smooth.map((s) => s.log));
  const slope =
    smooth.reduce((sum, s) => sum + (s.quarter - x) * (s.log - y), 0) /
    smooth.reduce((sum, s) => sum + (s.quarter - x) ** 2, 0);
  const at = (quarter: number): number => Math.exp(y + slope * (quarter - x));
  const [first, last] = [nth(body, 0), nth(body, -1)];
  const rest = smooth.map(({ quarter, log }) => ({ quarter, off: log - y - slope * (quarter - x) }));
  const sway = Math.sqrt(mean(rest.map(({ off }) => off ** 2)));
  const bar = beatsToNumber(barLength(take.score.metre));
  const besideArches = Math.min(sway, ...ARCHES.map((bars) => withoutArch(rest, bars * bar)));
  return {
    ...steady,
    start: rounded(at(first.quarter)),
    end: rounded(at(last.quarter)),
    sway: rounded(sway, 4),
    besideArches: rounded(besideArches, 4),
  };
};

// Bars of a phrase.
const ARCHES = [2, 4, 8] as const;

/** What is left of a sway when the wave of one length that fits best is taken away. */
const withoutArch = (rest: readonly { readonly quarter: number; readonly off: number }[], length: number): number => {
  const span = nth(rest, -1).quarter - nth(rest, 0).quarter;
  // Of less than one and a half arches nobody can tell that they come back.
  if (span < 1.5 * length) return Infinity;
  const waves = rest.map(({ quarter, off }) => {
    const angle = (2 * Math.PI * quarter) / length;
    return { off, c: Math.cos(angle), s: Math.sin(angle) };
  });
  const sum = (of: (wave: (typeof waves)[number]) => number): number => waves.reduce((total, w) => total + of(w), 0);
  const [cc, ss, cs] = [sum(({ c }) => c * c), sum(({ s }) => s * s), sum(({ c, s }) => c * s)];
  const [oc, os] = [sum(({ off, c }) => off * c), sum(({ off, s }) => off * s)];
  const det = cc * ss - cs * cs;
  const [a, b] = [(oc * ss - os * cs) / det, (os * cc - oc * cs) / det];
  return Math.sqrt(mean(waves.map(({ off, c, s }) => (off - a * c - b * s) ** 2)));
};
