import { readFileSync, writeFileSync } from "node:fs";
import { parseChord } from "../src/chord/index.ts";
import { FAMILIES, familyOf } from "../src/harmony/family.ts";
import type { Unit, Weights } from "../src/harmony/search.ts";
import { chordEntries, LENGTHS, noWeights, readKeys, stepEntries } from "../src/harmony/search.ts";
import { parseNote, pitchClassOf } from "../src/pitch/index.ts";

// Learns the points of src/harmony/weights.ts from annotated charts, given as
// `npx tsx bench/harmony.ts CHARTS.json`: on one half, to be judged on the other, and then on all, to be shipped.

interface ChartRow {
  readonly id: number;
  readonly chords: readonly (readonly [number, number, string | null, string | null, string | null, string])[];
}

interface Example {
  readonly units: readonly Unit[];
  readonly keys: readonly number[];
}

const [, , file = "", target = "src/harmony/weights.ts"] = process.argv;
const charts: readonly ChartRow[] = JSON.parse(readFileSync(file, "utf8"));

// The blues of the annotations is a key in major here, with dominants as its tonic and subdominant.
const keyNumber = (name: string): number => {
  const [tonic = "C", mode] = name.split("-");
  return pitchClassOf(parseNote(tonic)) + (mode === "min" ? 12 : 0);
};

const exampleOf = ({ chords }: ChartRow): Example => {
  const units: { root: number; family: Unit["family"]; length: number }[] = [];
  const keys: number[] = [];
  let before = "";
  for (const [, , symbol, , key] of chords) {
    if (symbol === null || key === null || symbol.startsWith("N")) continue;
    const last = units.at(-1);
    if (last !== undefined && before === symbol + key) {
      last.length += 1;
      continue;
    }
    before = symbol + key;
    const chord = parseChord(symbol);
    units.push({ root: pitchClassOf(chord.root), family: familyOf(chord), length: 1 });
    keys.push(keyNumber(key));
  }
  return { units, keys };
};

const examples = charts.map(exampleOf);
const usable = examples.filter(({ units }) => units.length > 3);

// Averaged perceptron with a margin. Source: Collins, M. (2002), Discriminative training methods for hidden Markov models, EMNLP.
const MARGIN = 6;
const ROUNDS = 8;

const tables = Object.keys(noWeights()) as readonly (keyof Weights)[];

const learn = (from: readonly Example[]): Weights => {
  const [weights, summed] = [noWeights(), noWeights()];
  let time = 1;
  const move = ({ units }: Example, keys: readonly number[], by: number): void => {
    const add = (table: keyof Weights, index: number): void => {
      weights[table][index] = (weights[table][index] ?? 0) + by;
      summed[table][index] = (summed[table][index] ?? 0) + by * time;
    };
    for (const [i, unit] of units.entries()) {
      const [key, before, previous] = [keys[i] ?? 0, keys[i - 1] ?? 0, units[i - 1]];
      chordEntries(unit, key, add);
      if (previous !== undefined) stepEntries(previous, unit, before, key, add);
    }
  };
  let state = 1;
  const order = [...from];
  for (let round = 0; round < ROUNDS; round++) {
    for (let i = order.length - 1; i > 0; i--) {
      state = (state * 48271) % 2147483647;
      const j = state % (i + 1);
      [order[i], order[j]] = [order[j] as Example, order[i] as Example];
    }
    for (const example of order) {
      const { keys } = readKeys(example.units, weights, (i, key) => (example.keys[i] === key ? MARGIN : 0));
      if (keys.some((key, i) => key !== example.keys[i])) {
        move(example, example.keys, 1);
        move(example, keys, -1);
      }
      time++;
    }
  }
  const averaged = noWeights();
  for (const table of tables)
    for (const i of averaged[table].keys())
      averaged[table][i] = Math.round(10 * ((weights[table][i] ?? 0) - (summed[table][i] ?? 0) / time));
  return averaged;
};

const judge = (weights: Weights, on: readonly Example[]): string => {
  let [right, tonic, all] = [0, 0, 0];
  for (const { units, keys } of on) {
    for (const [i, key] of readKeys(units, weights).keys.entries()) {
      all++;
      if (key === keys[i]) right++;
      if (key % 12 === (keys[i] ?? 0) % 12) tonic++;
    }
  }
  const share = (n: number): string => `${((100 * n) / all).toFixed(1)} %`;
  return `${share(right)} of ${all} chords agree in key, ${share(tonic)} in its tonic`;
};

/** Where readings differ, by kind of chord, its degree as annotated and as read here; the most frequent first. */
const kinds = (weights: Weights, on: readonly Example[]): readonly string[] => {
  const counts = new Map<string, number>();
  for (const { units, keys } of on) {
    for (const [i, key] of readKeys(units, weights).keys.entries()) {
      const [unit, annotated] = [units[i], keys[i] ?? 0];
      if (unit === undefined || key === annotated) continue;
      const degree = (k: number): string => `${(unit.root - (k % 12) + 12) % 12} ${k < 12 ? "major" : "minor"}`;
      const kind = `  ${unit.family} annotated on ${degree(annotated)}, read on ${degree(key)}`;
      counts.set(kind, (counts.get(kind) ?? 0) + 1);
    }
  }
  return [...counts].sort((a, b) => b[1] - a[1]).map(([kind, count]) => `${kind}: ${count}`);
};

// Charts of one tune go to one half: those that share three quarters of their steps from chord to chord, in whatever key.
const stepsOf = ({ units }: Example): ReadonlySet<string> =>
  new Set(
    units.slice(2).map((unit, i) => {
      const [a, b] = [units[i] ?? unit, units[i + 1] ?? unit];
      return [a, b, unit].map(({ root, family }) => `${(root - a.root + 12) % 12}${family}`).join(" ");
    }),
  );
const sets = usable.map(stepsOf);
const tuneOf: number[] = [];
for (const [i, steps] of sets.entries()) {
  const twin = sets.slice(0, i).findIndex((other) => {
    const shared = [...steps].filter((step) => other.has(step)).length;
    return shared >= 0.75 * Math.min(steps.size, other.size);
  });
  tuneOf.push(twin < 0 ? i : (tuneOf[twin] ?? i));
}
const tunes = [...new Set(tuneOf)];
console.log(`${usable.length} charts of ${tunes.length} tunes`);
const halves = [0, 1].map((half) => usable.filter((_, i) => tunes.indexOf(tuneOf[i] ?? 0) % 2 === half)) as [
  Example[],
  Example[],
];
for (const [learnt, kept] of [halves, [halves[1], halves[0]]] as const) {
  const weights = learn(learnt);
  console.log(`learnt on ${learnt.length} charts: ${judge(weights, learnt)}`);
  console.log(`kept aside, ${kept.length} charts: ${judge(weights, kept)}`);
  console.log(kinds(weights, kept).slice(0, 8).join("\n"));
}

const shipped = learn(usable);
console.log(`learnt on all ${usable.length}: ${judge(shipped, usable)}`);

const FAMILY = FAMILIES.join("");
const F = FAMILIES.length;
const place = (index: number): string => `${index < 12 ? "+" : "-"}${(index % 12).toString(12)}`;
const withFamily = (index: number): string => `${place(Math.floor(index / F))}${FAMILY.charAt(index % F)}`;
const NAMES: Readonly<Record<keyof Weights, (index: number) => string>> = {
  chord: withFamily,
  length: (i) => `${withFamily(Math.floor(i / LENGTHS))}${i % LENGTHS}`,
  step: (i) => `${place(Math.floor(i / 12))}${(i % 12).toString(12)}`,
  pair: (i) => {
    const [from, to] = [Math.floor(i / (12 * F)), i % (12 * F)];
    return `${withFamily(from)}${Math.floor(to / F).toString(12)}${FAMILY.charAt(to % F)}`;
  },
  leave: withFamily,
  enter: withFamily,
  change: (i) => `${Math.floor(i / 4).toString(12)}${i % 4 < 2 ? "+" : "-"}${i % 2 === 0 ? "+" : "-"}`,
  stay: (i) => (i === 0 ? "+" : "-"),
};

const wrapped = (text: string): string => {
  const lines: string[] = [""];
  for (const word of text.split(" ")) {
    const line = lines.at(-1) ?? "";
    if (line.length + word.length > 108) lines.push(word);
    else lines[lines.length - 1] = line === "" ? word : `${line} ${word}`;
  }
  return lines.map((line) => `    "${line}",`).join("\n");
};

const today = new Date().toISOString().slice(0, 10);
const text = tables.map((table) => {
  const entries = [...shipped[table]].flatMap((points, i) => (points === 0 ? [] : [`${NAMES[table](i)}=${points}`]));
  return `  ${table}: [\n${wrapped(entries.join(" "))}\n  ],`;
});
writeFileSync(
  target,
  `// Made by bench/harmony.ts on ${today} from the local keys of ${usable.length} charts of the Weimar Jazz Database (Pfleiderer, M. et al. (eds.)
// (2017), Inside the Jazzomat), annotated by its authors by rule; counts and weights only. Points in tenths. + is major, - minor; a degree is
// semitones above the tonic, in base 12; then the family of the chord, for "length" its class, for "pair" the next degree and family; for
// "change" semitones from tonic to tonic and both modes.
export const POINTS = {
${text.join("\n")}
} as const;
`,
);
