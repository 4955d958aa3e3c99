import type { Score, TakeFaults } from "../../src/index.ts";
import { assessTake, beatsOf, makeDrill, makeScore, metre, parseKey, pitchFromMidi, simulateTake, swungFeel } from "../../src/index.ts";

/** One known fault, and the findings that name it. */
export interface Scenario {
  readonly title: string;
  readonly faults: TakeFaults;
  /** The finding that must be there; none for takes that are clean as far as anyone can ask. */
  readonly expected?: string;
  /** Findings that are true of such a take too. */
  readonly also?: readonly string[];
  /** Scores that the fault can show in; all by default. */
  readonly scores?: readonly number[];
}

/** What every simulated student does: a little unevenness that nobody would mention. */
export const HUMAN: TakeFaults = { jitterMs: 10, velocitySpread: 5, chordSpreadMs: 10, lateLeftMs: 5 };

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
  { title: "offbeats spread by 10 % of the beat", faults: { swingSpread: 0.1 }, expected: "uneven-swing", also: ["uneven-timing", "hands-apart"], scores: [1, 2] },
  { title: "triplets leaning by 8 % of the beat", faults: { tripletLean: -0.08 }, expected: "uneven-triplets", scores: [0] },
  { title: "onsets spread by 45 ms", faults: { jitterMs: 45 }, expected: "uneven-timing", also: ["hands-apart", "uneven-triplets", "uneven-swing", "chord-spread"] },
  { title: "long notes held for 40 %", faults: { held: 0.4 }, expected: "held-short" },
  { title: "chords rolled over 70 ms", faults: { chordSpreadMs: 70 }, expected: "chord-spread", also: ["hands-apart"] },
  { title: "velocity spread by 20", faults: { velocitySpread: 20 }, expected: "uneven-touch" },
  { title: "thumb louder by 20", faults: { loudFinger: { finger: 1, by: 20 } }, expected: "uneven-touch" },
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
      const found = new Set(assessTake(score, simulateTake(score, { ...HUMAN, ...scenario.faults, seed }).played).findings.map(({ id }) => id));
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
export const noteByNote = (score: Score, faults: TakeFaults): Readonly<Record<"wrong" | "missed" | "extra", NoteCount>> => {
  const take = simulateTake(score, { ...HUMAN, ...faults });
  const { alignment } = assessTake(score, take.played);
  const wrong = new Set(take.wrong);
  const missed = new Set(take.missed);
  const extra = new Set(take.meant.flatMap((meant, played) => (meant < 0 ? [played] : [])));
  const said = (state: string): readonly (typeof alignment.notes)[number][] => alignment.notes.filter((note) => note.state === state);
  const count = (truth: ReadonlySet<number>, found: readonly (number | undefined)[]): NoteCount => (
    { truth: truth.size, found: found.length, correct: found.filter((index) => truth.has(index as number)).length }
  );
  return {
    wrong: count(wrong, said("wrong").map((note) => note.asked)),
    missed: count(missed, [...said("missed").map((note) => note.asked), ...alignment.leftOut]),
    extra: count(extra, said("extra").map((note) => note.played)),
  };
};

/** Swing measured in takes of 64 swung pairs at a tempo, as relative errors of the ratio. */
export const swingErrors = (ratio: string, tempo: number, seeds: readonly number[]): readonly number[] => {
  const right = Array.from({ length: 128 }, (_, i) => ({ at: beatsOf(i, 2), duration: beatsOf(1, 2), pitches: [pitchFromMidi(60 + ((i * 5) % 13), "flats")] }));
  const score = makeScore({ key: parseKey("C"), metre: metre("4/4"), bars: 16, tempo, feel: swungFeel("2:1"), right });
  const { first, second } = swungFeel(ratio).ratio;
  return seeds.map((seed) => {
    const swing = assessTake(score, simulateTake(score, { jitterMs: 10, swing: ratio, seed }).played).hands[0]?.swing;
    if (swing === undefined || swing.measured.pairs < 60) throw new Error(`${swing?.measured.pairs} pairs, seed ${seed}`);
    return swing.measured.ratio.value / (first / second) - 1;
  });
};
