import type { Score, SimulateTakeOptions } from "../all.ts";
import {
  assessTake,
  beatsOf,
  makeDrill,
  makeScore,
  metre,
  parseKey,
  pitchFromMidi,
  simulateTake,
  swungFeel,
} from "../all.ts";
import { improvisedTable } from "./improvised-proof.ts";

/** One known fault, and the findings that name it. */
export interface Scenario {
  readonly title: string;
  readonly faults: SimulateTakeOptions;
  /** The finding that must be there; none for takes that are clean as far as anyone can ask. */
  readonly expected?: string;
  /** Findings that are true of such a take too. */
  readonly also?: readonly string[];
  /** Scores that the fault can show in; all by default. */
  readonly scores?: readonly number[];
}

/** What every simulated student does: a little unevenness that nobody would mention. */
export const HUMAN: SimulateTakeOptions = { jitterMs: 10, velocitySpread: 5, chordSpreadMs: 10, lateLeftMs: 5 };

export const scores = (): readonly Score[] => [
  makeDrill({ key: "Eb", repeats: 4, values: "triplets" }).score,
  makeDrill({ key: "C", repeats: 4, values: "eighths", octaves: 2 }).score,
  makeDrill({ key: "F", left: "rootless", repeats: 4, values: "eighths" }).score,
];

const SLIPS = ["trouble-spot"];

export const scenarios: readonly Scenario[] = [
  { title: "clean", faults: {} },
  { title: "wrong keys, 4 %", faults: { wrong: 0.04 }, expected: "wrong-notes", also: SLIPS },
  { title: "notes left out, 4 %", faults: { missed: 0.04 }, expected: "missed-notes", also: SLIPS },
  { title: "keys besides, 4 %", faults: { extra: 0.04 }, expected: "extra-notes", also: SLIPS },
  { title: "went back twice", faults: { restarts: 2 }, expected: "restarts" },
  { title: "stopped twice", faults: { pauses: 2 }, expected: "pauses" },
  { title: "an octave higher", faults: { transpose: 12 }, expected: "other-key" },
  { title: "a minor third lower", faults: { transpose: -3 }, expected: "other-key" },
  { title: "half speed", faults: { tempo: 50 }, expected: "other-tempo" },
  { title: "speeding up by 15 %", faults: { drift: 1.15 }, expected: "tempo-drift", also: ["other-tempo"] },
  { title: "slowing down by 15 %", faults: { drift: 0.85 }, expected: "tempo-drift", also: ["other-tempo"] },
  { title: "tempo swaying by 6 %", faults: { wander: 0.06 }, expected: "unsteady-tempo", also: ["tempo-drift"] },
  { title: "left hand 60 ms late", faults: { lateLeftMs: 60 }, expected: "hands-apart" },
  { title: "left hand 60 ms early", faults: { lateLeftMs: -60 }, expected: "hands-apart" },
  { title: "1.3:1 where 2:1 is asked", faults: { swing: "1.3:1" }, expected: "swing-ratio", scores: [1, 2] },
  { title: "3:1 where 2:1 is asked", faults: { swing: "3:1" }, expected: "swing-ratio", scores: [1, 2] },
  {
    title: "offbeats spread by 10 % of the beat",
    faults: { swingSpread: 0.1 },
    expected: "uneven-swing",
    also: ["uneven-timing", "hands-apart"],
    scores: [1, 2],
  },
  {
    title: "triplets leaning by 8 % of the beat",
    faults: { tripletLean: -0.08 },
    expected: "uneven-triplets",
    scores: [0],
  },
  {
    title: "onsets spread by 45 ms",
    faults: { jitterMs: 45 },
    expected: "uneven-timing",
    also: ["hands-apart", "uneven-triplets", "uneven-swing", "chord-spread"],
  },
  { title: "long notes held for 40 %", faults: { held: 0.4 }, expected: "held-short" },
  { title: "chords rolled over 70 ms", faults: { chordSpreadMs: 70 }, expected: "chord-spread", also: ["hands-apart"] },
  { title: "velocity spread by 20", faults: { velocitySpread: 20 }, expected: "uneven-touch" },
  { title: "thumb louder by 20", faults: { loudFinger: { finger: 1, by: 20 } }, expected: "uneven-touch" },
];

/** Faults so small that a teacher might or might not mention them. */
export const small: readonly Scenario[] = [
  { title: "left hand 20 ms late", faults: { lateLeftMs: 20 }, expected: "hands-apart" },
  { title: "left hand 30 ms late", faults: { lateLeftMs: 30 }, expected: "hands-apart" },
  { title: "1.8:1 where 2:1 is asked", faults: { swing: "1.8:1" }, expected: "swing-ratio", scores: [1, 2] },
  { title: "1.6:1 where 2:1 is asked", faults: { swing: "1.6:1" }, expected: "swing-ratio", scores: [1, 2] },
  { title: "speeding up by 4 %", faults: { drift: 1.04 }, expected: "tempo-drift" },
  { title: "speeding up by 8 %", faults: { drift: 1.08 }, expected: "tempo-drift" },
  { title: "tempo swaying by 3 %", faults: { wander: 0.03 }, expected: "unsteady-tempo", also: ["tempo-drift"] },
  {
    title: "offbeats spread by 6 % of the beat",
    faults: { swingSpread: 0.06 },
    expected: "uneven-swing",
    also: ["uneven-timing", "hands-apart"],
    scores: [1, 2],
  },
  {
    title: "onsets spread by 30 ms",
    faults: { jitterMs: 30 },
    expected: "uneven-timing",
    also: ["hands-apart", "uneven-triplets", "uneven-swing", "chord-spread"],
  },
  { title: "chords rolled over 35 ms", faults: { chordSpreadMs: 35 }, expected: "chord-spread", also: ["hands-apart"] },
];

/** How often the expected finding was made, and how many other findings were. */
export interface Result {
  readonly takes: number;
  readonly recalled: number;
  /** Takes with a finding that is neither expected nor true as well. */
  readonly wronglyTold: number;
  readonly told: Readonly<Record<string, number>>;
}

export const tryOut = (scenario: Scenario, all: readonly Score[], seeds: readonly number[]): Result => {
  let [takes, recalled, wronglyTold] = [0, 0, 0];
  const told: Record<string, number> = {};
  for (const index of scenario.scores ?? all.map((_, i) => i)) {
    for (const seed of seeds) {
      const score = all[index] as Score;
      const found = new Set(
        assessTake(score, simulateTake(score, { ...HUMAN, ...scenario.faults, seed }).played).findings.map(
          ({ id }) => id,
        ),
      );
      takes++;
      if (scenario.expected !== undefined && found.has(scenario.expected)) recalled++;
      const others = [...found].filter((id) => id !== scenario.expected && !(scenario.also ?? []).includes(id));
      if (others.length > 0) wronglyTold++;
      for (const id of others) told[id] = (told[id] ?? 0) + 1;
    }
  }
  return { takes, recalled, wronglyTold, told };
};

/** Notes of a take as they were simulated, held against how they were read. */
export interface NoteCount {
  readonly truth: number;
  readonly found: number;
  readonly correct: number;
}

/** By state: how many notes were so, were said to be so, and were both. */
export const noteByNote = (
  score: Score,
  faults: SimulateTakeOptions,
): Readonly<Record<"wrong" | "missed" | "extra", NoteCount>> => {
  const take = simulateTake(score, { ...HUMAN, ...faults });
  const { alignment } = assessTake(score, take.played);
  const wrong = new Set(take.wrong);
  const missed = new Set(take.missed);
  const extra = new Set(take.meant.flatMap((meant, played) => (meant < 0 ? [played] : [])));
  const said = (state: string): readonly (typeof alignment.notes)[number][] =>
    alignment.notes.filter((note) => note.state === state);
  const count = (truth: ReadonlySet<number>, found: readonly (number | undefined)[]): NoteCount => ({
    truth: truth.size,
    found: found.length,
    correct: found.filter((index) => truth.has(index as number)).length,
  });
  return {
    wrong: count(
      wrong,
      said("wrong").map((note) => note.asked),
    ),
    missed: count(missed, [...said("missed").map((note) => note.asked), ...alignment.leftOut]),
    extra: count(
      extra,
      said("extra").map((note) => note.played),
    ),
  };
};

/** Swing measured in takes of 64 swung pairs at a tempo, as relative errors of the ratio. */
export const swingErrors = (ratio: string, tempo: number, seeds: readonly number[]): readonly number[] => {
  const right = Array.from({ length: 128 }, (_, i) => ({
    at: beatsOf(i, 2),
    duration: beatsOf(1, 2),
    pitches: [pitchFromMidi(60 + ((i * 5) % 13), "flats")],
  }));
  const score = makeScore({ key: parseKey("C"), metre: metre("4/4"), bars: 16, tempo, feel: swungFeel("2:1"), right });
  const { first, second } = swungFeel(ratio).ratio;
  return seeds.map((seed) => {
    const swing = assessTake(score, simulateTake(score, { jitterMs: 10, swing: ratio, seed }).played).hands[0]?.swing;
    if (swing === undefined || swing.measured.pairs < 60)
      throw new Error(`${swing?.measured.pairs} pairs, seed ${seed}`);
    return swing.measured.ratio.value / (first / second) - 1;
  });
};

const percent = (part: number, whole: number): string => (whole === 0 ? "–" : `${Math.round((100 * part) / whole)} %`);

const SEEDS = [1, 2, 3, 4];

const scenarioTable = (rows: readonly Scenario[], all: readonly Score[]): string =>
  [
    "| fault | finding | takes | recalled | takes with another, untrue finding |",
    "|---|---|---|---|---|",
    ...rows.map((scenario) => {
      const { takes, recalled, wronglyTold, told } = tryOut(scenario, all, SEEDS);
      const others = Object.entries(told)
        .map(([id, count]) => `${id} ${count}`)
        .join(", ");
      return `| ${scenario.title} | ${scenario.expected ?? "none"} | ${takes} | ${scenario.expected === undefined ? "–" : percent(recalled, takes)} | ${wronglyTold}${others === "" ? "" : ` (${others})`} |`;
    }),
  ].join("\n");

const noteTable = (all: readonly Score[]): string => {
  const sums = { wrong: [0, 0, 0], missed: [0, 0, 0], extra: [0, 0, 0] };
  for (const score of all) {
    for (const seed of SEEDS) {
      const counts = noteByNote(score, { wrong: 0.04, missed: 0.04, extra: 0.04, seed });
      for (const state of ["wrong", "missed", "extra"] as const) {
        const { truth, found, correct } = counts[state];
        sums[state] = sums[state].map((sum, i) => sum + ([truth, found, correct][i] as number));
      }
    }
  }
  return [
    "| slip | made | said | recall | precision |",
    "|---|---|---|---|---|",
    ...Object.entries(sums).map(
      ([state, [truth = 0, found = 0, correct = 0]]) =>
        `| ${state} | ${truth} | ${found} | ${percent(correct, truth)} | ${percent(correct, found)} |`,
    ),
  ].join("\n");
};

const SWING_SEEDS = Array.from({ length: 20 }, (_, i) => i + 1);

const swingTable = (): string =>
  [
    "| ratio played | tempo | root-mean-square error | takes within 2 % |",
    "|---|---|---|---|",
    ...(
      [
        ["1.3:1", 120],
        ["2:1", 120],
        ["2:1", 80],
        ["3:1", 120],
        ["3:1", 80],
      ] as const
    ).map(([ratio, tempo]) => {
      const errors = swingErrors(ratio, tempo, SWING_SEEDS);
      const rms = Math.sqrt(errors.reduce((sum, error) => sum + error * error, 0) / errors.length);
      return `| ${ratio} | ${tempo} | ${(100 * rms).toFixed(1)} % | ${errors.filter((error) => Math.abs(error) <= 0.02).length} of ${errors.length} |`;
    }),
  ].join("\n");

/** The tables of the guide, by the name of their place in it. */
export const reportTables = (): Readonly<Record<string, string>> => {
  const all = scores();
  return {
    faults: scenarioTable(scenarios, all),
    small: scenarioTable(small, all),
    notes: noteTable(all),
    swing: swingTable(),
    improvised: improvisedTable(4),
  };
};

/** The guide with its tables put in. */
export const withTables = (guide: string, tables: Readonly<Record<string, string>>): string =>
  Object.entries(tables).reduce(
    (text, [name, table]) =>
      text.replace(
        new RegExp(`(<!-- ${name} -->\\n)[\\s\\S]*?(<!-- end -->)`),
        (_, start: string, end: string) => `${start}\n${table}\n\n${end}`,
      ),
    guide,
  );
