import { readFileSync, writeFileSync } from "node:fs";
import { parseChord } from "../src/chord/index.ts";
import { FAMILIES, familyOf } from "../src/harmony/family.ts";
import type { Home } from "../src/harmony/home.ts";
import { awayFrom } from "../src/harmony/home.ts";
import type { Unit, Weights } from "../src/harmony/search.ts";
import { chordEntries, LENGTHS, noWeights, readKeys, stepEntries } from "../src/harmony/search.ts";
import { parseNote, pitchClassOf } from "../src/pitch/index.ts";

// Learns the points of src/harmony/weights.ts from annotated charts, given as
// `npx tsx bench/harmony.ts CHARTS.json`: in folds, to be judged on charts of tunes that nothing was learnt from, and then on all, to be shipped.

interface ChartRow {
  readonly id: number;
  /** Of the whole, such as `"Eb-maj"`. */
  readonly key: string | null;
  readonly chords: readonly (readonly [number, number, string | null, string | null, string | null, string])[];
}

interface Example {
  readonly home: Home | undefined;
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

const homeOf = (name: string | null): Home | undefined => {
  const [, tonic, mode] = /^([A-G][b#]?)-(maj|min)/.exec(name ?? "") ?? [];
  return tonic === undefined ? undefined : { tonic: parseNote(tonic), mode: mode === "min" ? "minor" : "major" };
};

const exampleOf = ({ key: whole, chords }: ChartRow): Example => {
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
  return { home: homeOf(whole), units, keys };
};

const examples = charts.map(exampleOf);
const usable = examples.filter(({ units }) => units.length > 3);

// Averaged perceptron with a margin. Source: Collins, M. (2002), Discriminative training methods for hidden Markov models, EMNLP.
const MARGINS = [2, 4, 6, 9, 12];
const ROUNDS = [4, 8];

/** How it learns: chosen anew in each fold, on what that fold learns from. */
interface Settings {
  readonly margin: number;
  readonly rounds: number;
}

const SETTINGS: readonly Settings[] = MARGINS.flatMap((margin) => ROUNDS.map((rounds) => ({ margin, rounds })));

const tables = Object.keys(noWeights()) as readonly (keyof Weights)[];

const learn = (from: readonly Example[], { margin, rounds }: Settings): Weights => {
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
  for (let round = 0; round < rounds; round++) {
    for (let i = order.length - 1; i > 0; i--) {
      state = (state * 48271) % 2147483647;
      const j = state % (i + 1);
      [order[i], order[j]] = [order[j] as Example, order[i] as Example];
    }
    for (const example of order) {
      const { keys } = readKeys(example.units, weights, (i, key) => (example.keys[i] === key ? margin : 0));
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

/** Chords that agree in key, in tonic, and all. */
type Score = readonly [key: number, tonic: number, all: number];

/** How far a reading agrees, by the points alone or with what is stated of a blues, as it ships. */
const judge = (weights: Weights, on: readonly Example[], stated = false): Score => {
  let [right, tonic, all] = [0, 0, 0];
  for (const { home, units, keys } of on) {
    const less = stated && home !== undefined ? awayFrom(units, home) : undefined;
    for (const [i, key] of readKeys(units, weights, less).keys.entries()) {
      all++;
      if (key === keys[i]) right++;
      if (key % 12 === (keys[i] ?? 0) % 12) tonic++;
    }
  }
  return [right, tonic, all];
};

const sum = (scores: readonly Score[]): Score =>
  scores.reduce<Score>(([a, b, c], [x, y, z]) => [a + x, b + y, c + z], [0, 0, 0]);

const share = (n: number, of: number): string => `${((100 * n) / of).toFixed(1)} %`;
const told = ([right, tonic, all]: Score): string =>
  `${share(right, all)} of ${all} chords agree in key, ${share(tonic, all)} in its tonic`;

/** Where readings differ, by kind of chord, its degree as annotated and as read here; the most frequent first. */
const kinds = (weights: Weights, on: readonly Example[], counts: Map<string, number>): void => {
  for (const { units, keys } of on) {
    for (const [i, key] of readKeys(units, weights).keys.entries()) {
      const [unit, annotated] = [units[i], keys[i] ?? 0];
      if (unit === undefined || key === annotated) continue;
      const degree = (k: number): string => `${(unit.root - (k % 12) + 12) % 12} ${k < 12 ? "major" : "minor"}`;
      const kind = `  ${unit.family} annotated on ${degree(annotated)}, read on ${degree(key)}`;
      counts.set(kind, (counts.get(kind) ?? 0) + 1);
    }
  }
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

const [OUTER, INNER] = [5, 4];
/** Charts by fold, each tune in one. */
const foldOf = (chart: number, folds: number, of: readonly number[]): number => of.indexOf(tuneOf[chart] ?? 0) % folds;

/** The settings that agree most on tunes kept aside among some charts. */
const chosen = (among: readonly number[]): Settings => {
  const own = [...new Set(among.map((i) => tuneOf[i] ?? 0))];
  const scores = SETTINGS.map((settings) => {
    const folds = Array.from({ length: INNER }, (_, fold) => {
      const [from, on] = [true, false].map((learnt) =>
        among.filter((i) => (foldOf(i, INNER, own) !== fold) === learnt).flatMap((i) => usable[i] ?? []),
      );
      return judge(learn(from ?? [], settings), on ?? []);
    });
    return { settings, right: sum(folds)[0] };
  });
  return scores.sort((a, b) => b.right - a.right)[0]?.settings ?? { margin: 6, rounds: 8 };
};

const everyChart = usable.map((_, i) => i);
const differences = new Map<string, number>();
const scores: Score[] = [];
const stated: Score[] = [];
for (let fold = 0; fold < OUTER; fold++) {
  const learnt = everyChart.filter((i) => foldOf(i, OUTER, tunes) !== fold);
  const aside = everyChart.filter((i) => foldOf(i, OUTER, tunes) === fold).flatMap((i) => usable[i] ?? []);
  const settings = chosen(learnt);
  const weights = learn(
    learnt.flatMap((i) => usable[i] ?? []),
    settings,
  );
  const score = judge(weights, aside);
  scores.push(score);
  stated.push(judge(weights, aside, true));
  kinds(weights, aside, differences);
  console.log(
    `fold ${fold + 1}, margin ${settings.margin}, ${settings.rounds} rounds, ${aside.length} charts aside: ${told(score)}`,
  );
}
console.log(`all folds: ${told(sum(scores))}`);
console.log(`with what is stated of a blues: ${told(sum(stated))}`);
const sorted = [...differences].sort((a, b) => b[1] - a[1]);
console.log(
  sorted
    .slice(0, 25)
    .map(([kind, count]) => `${kind}: ${count}`)
    .join("\n"),
);

const shippedBy = chosen(everyChart);
const shipped = learn(usable, shippedBy);
console.log(
  `learnt on all ${usable.length}, margin ${shippedBy.margin}, ${shippedBy.rounds} rounds: ${told(judge(shipped, usable))}; with a blues in its key ${told(judge(shipped, usable, true))}`,
);

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
