/**
 * Makes `src/progression/key-weights.ts` from charts with a known key, and says how often the likeliest key is right on charts that were
 * not used: `npx tsx bench/likely-keys.ts charts.json`. Without `--write` nothing is written.
 */
import { readFileSync, writeFileSync } from "node:fs";
import type { KeyMode } from "../src/pitch/index.ts";
import { parseKey, pitchClassOf } from "../src/pitch/index.ts";
import { playChart } from "../src/progression/index.ts";
import type { Feature } from "../src/progression/key-features.ts";
import { KEY_FEATURES } from "../src/progression/key-features.ts";
import { keyEvidence } from "../src/progression/keys.ts";

/** A row: bar, beat, symbol, degree, local key, section. */
type Row = readonly [number, number, string | null, unknown, unknown, string];
interface Measured {
  readonly key: string;
  readonly metre: string;
  readonly chords: readonly Row[];
}

/** A chart of the collection as text: every beat that has a new chord. */
export const chartText = ({ chords, metre }: Measured): string => {
  const bars = new Map<number, { section: string; beats: (readonly [number, string])[] }>();
  let section = "";
  for (const [bar, beat, symbol, , , name] of chords) {
    const own = bars.get(bar) ?? { section: name === section ? "" : name, beats: [] };
    section = name;
    bars.set(bar, own);
    if (own.beats.at(-1)?.[1] !== (symbol ?? "N.C.")) own.beats.push([beat, symbol ?? "N.C."]);
  }
  const count = Number((metre || "4/4").split("/")[0]);
  const text = [...bars.values()].map(({ section: name, beats }) => {
    const ends = [...beats.slice(1).map(([beat]) => beat), count + 1];
    const items = beats.map(([beat, symbol], i) =>
      beats.length === 1 ? symbol : `${symbol}*${(ends[i] ?? 0) - (i === 0 ? 1 : beat)}`,
    );
    return `${name === "" ? "" : `[${name}] `}${items.join(" ")}`;
  });
  return `Metre: ${metre || "4/4"}\n${text.join(" | ")}`;
};

interface Example {
  readonly keys: readonly (readonly number[])[];
  readonly profiles: readonly (readonly number[])[];
  readonly right: number;
}

const MODES: readonly KeyMode[] = ["major", "minor"];
const BLANK = new Array<number>(60).fill(0);

const exampleOf = (chart: Measured): Example[] => {
  const [, tonic, mode] = /^([A-G][b#]?)-(maj|min)$/.exec(chart.key) ?? [];
  if (tonic === undefined) return [];
  const rows = keyEvidence(playChart(chartText(chart)), { major: BLANK, minor: BLANK });
  const named = mode === "min" ? "minor" : "major";
  const right = rows.findIndex(
    (row) => row.tonic === pitchClassOf(parseKey(tonic === "D#" ? "Eb" : tonic).tonic) && row.mode === named,
  );
  return [{ keys: rows.map((row) => row.features), profiles: rows.map((row) => row.profile), right }];
};

// Additive smoothing, a twelfth of a chart for each of the sixty.
const SMOOTHING = 1 / 12;
const profilesFrom = (examples: readonly Example[], without?: Example): Record<KeyMode, number[]> => {
  const sums: Record<KeyMode, number[]> = { major: [...BLANK], minor: [...BLANK] };
  for (const example of examples) {
    if (example === without) continue;
    const mode = MODES[example.right % 2] ?? "major";
    example.profiles[example.right]?.forEach((share, i) => {
      sums[mode][i] = (sums[mode][i] ?? 0) + share;
    });
  }
  const logs = (list: readonly number[]): number[] => {
    const all = list.reduce((sum, one) => sum + one + SMOOTHING, 0);
    return list.map((one) => Math.log((one + SMOOTHING) / all));
  };
  return { major: logs(sums.major), minor: logs(sums.minor) };
};

const withProfile = (example: Example, profiles: Record<KeyMode, number[]>): number[][] =>
  example.keys.map((features, k) => {
    const table = profiles[MODES[k % 2] ?? "major"];
    const likelihood = (example.profiles[k] ?? []).reduce((sum, share, i) => sum + share * (table[i] ?? 0), 0);
    return [...features.slice(0, -1), likelihood];
  });

const dot = (a: readonly number[], b: readonly number[]): number => a.reduce((sum, x, i) => sum + x * (b[i] ?? 0), 0);

// A conditional logit with a quadratic penalty, by plain gradient steps with moments.
const PENALTY = 0.02;
// The collection has hardly a chart of plain triads, so what they weigh is set by hand and the rest learnt beside it.
const BY_HAND: Readonly<Partial<Record<Feature, number>>> = { outside: -8 };
const fit = (examples: readonly Example[]): number[] => {
  const rows = examples.map((example) => ({
    keys: withProfile(example, profilesFrom(examples, example)),
    right: example.right,
  }));
  const size = KEY_FEATURES.length;
  const weights = KEY_FEATURES.map((feature) => BY_HAND[feature] ?? 0);
  const mean = new Array<number>(size).fill(0);
  const square = new Array<number>(size).fill(0);
  for (let step = 1; step <= 1500; step++) {
    const slope = weights.map((weight) => -PENALTY * weight);
    for (const { keys, right } of rows) {
      const scores = keys.map((key) => dot(weights, key));
      const most = Math.max(...scores);
      const odds = scores.map((score) => Math.exp(score - most));
      const all = odds.reduce((sum, one) => sum + one, 0);
      keys.forEach((key, k) => {
        const pull = ((k === right ? 1 : 0) - (odds[k] ?? 0) / all) / rows.length;
        for (let i = 0; i < size; i++) slope[i] = (slope[i] ?? 0) + pull * (key[i] ?? 0);
      });
    }
    for (const [i, feature] of KEY_FEATURES.entries()) {
      if (BY_HAND[feature] !== undefined) continue;
      const g = slope[i] ?? 0;
      mean[i] = 0.9 * (mean[i] ?? 0) + 0.1 * g;
      square[i] = 0.999 * (square[i] ?? 0) + 0.001 * g * g;
      const rate = (0.05 * (mean[i] ?? 0)) / (1 - 0.9 ** step);
      weights[i] = (weights[i] ?? 0) + rate / (Math.sqrt((square[i] ?? 0) / (1 - 0.999 ** step)) + 1e-8);
    }
  }
  return weights;
};

const rightShare = (
  weights: readonly number[],
  profiles: Record<KeyMode, number[]>,
  tested: readonly Example[],
): number =>
  tested.filter((example) => {
    const scores = withProfile(example, profiles).map((key) => dot(weights, key));
    return scores.indexOf(Math.max(...scores)) === example.right;
  }).length / tested.length;

const [file, write] = process.argv.slice(2);
if (file !== undefined) {
  const charts: readonly Measured[] = JSON.parse(readFileSync(file, "utf8"));
  const examples = charts.flatMap(exampleOf);
  const halves = [0, 1].map((half) => examples.filter((_, i) => i % 2 === half));
  const percent = (share: number): string => `${(100 * share).toFixed(1)} %`;
  const held = halves.map((own, half) => {
    const other = halves[1 - half] ?? [];
    const weights = fit(own);
    const share = rightShare(weights, profilesFrom(own), other);
    console.log(
      `half ${half}: learnt on ${own.length}, ${percent(rightShare(weights, profilesFrom(own), own))}; on the other ${other.length}, ${percent(share)}`,
    );
    return share * other.length;
  });
  const kept = held.reduce((sum, one) => sum + one, 0) / examples.length;
  const weights = fit(examples);
  const profiles = profilesFrom(examples);
  console.log(
    `all ${examples.length}: ${percent(rightShare(weights, profiles, examples))}; on charts not learnt from ${percent(kept)}`,
  );
  if (write === "--write") {
    const list = (values: readonly number[]): string => values.map((value) => value.toFixed(2)).join(", ");
    writeFileSync(
      new URL("../src/progression/key-weights.ts", import.meta.url),
      `import type { KeyMode } from "../pitch/index.ts";
import type { Feature } from "./key-features.ts";

// Made by bench/likely-keys.ts from ${examples.length} first choruses with a stated major or minor key. Source: Weimar Jazz Database by way of jazzodata
// (MIT licence; Frieler, Pfleiderer, Zaddach, Abesser 2022); Pfleiderer, M. et al. (eds.) (2017), Inside the Jazzomat. Learnt on one half and
// tried on the other, both ways, the first key is right for ${percent(kept)}. The weight of "outside" is set by hand.

/** How much each feature of a key counts. */
export const KEY_WEIGHTS: Readonly<Record<Feature, number>> = {
${KEY_FEATURES.map((feature, i) => `  ${/-/.test(feature) ? JSON.stringify(feature) : feature}: ${(weights[i] ?? 0).toFixed(2)},`).join("\n")}
};

/** Logarithm of the share of time on each of twelve degrees, five families of chords each: major, dominant, minor, half-diminished, diminished. */
export const KEY_PROFILES: Readonly<Record<KeyMode, readonly number[]>> = {
  major: [${list(profiles.major)}],
  minor: [${list(profiles.minor)}],
};
`,
    );
  }
}
