import type { Family } from "./family.ts";
import { FAMILIES } from "./family.ts";
import type { Weights } from "./search.ts";
import { LENGTHS, noWeights } from "./search.ts";
import { POINTS } from "./weights.ts";

const F = FAMILIES.length;
const families: readonly string[] = FAMILIES satisfies readonly Family[];

const place = (text: string): number => (text.startsWith("-") ? 12 : 0) + Number.parseInt(text.charAt(1), 12);
const withFamily = (text: string): number => place(text) * F + families.indexOf(text.charAt(2));
const modeOf = (text: string): number => (text === "-" ? 1 : 0);

const INDEX: Readonly<Record<keyof Weights, (name: string) => number>> = {
  chord: withFamily,
  length: (name) => withFamily(name) * LENGTHS + Number(name.charAt(3)),
  step: (name) => place(name) * 12 + Number.parseInt(name.charAt(2), 12),
  pair: (name) => (withFamily(name) * 12 + Number.parseInt(name.charAt(3), 12)) * F + families.indexOf(name.charAt(4)),
  leave: withFamily,
  enter: withFamily,
  change: (name) => Number.parseInt(name, 12) * 4 + 2 * modeOf(name.charAt(1)) + modeOf(name.charAt(2)),
  stay: modeOf,
};

const TABLES = ["chord", "length", "step", "pair", "leave", "enter", "change", "stay"] as const;

const read = (): Weights => {
  const weights = noWeights();
  for (const table of TABLES) {
    for (const entry of POINTS[table].join(" ").split(" ")) {
      const [name = "", points] = entry.split("=");
      weights[table][INDEX[table](name)] = Number(points);
    }
  }
  return weights;
};

let known: Weights | undefined;

/** The points that ship, in tenths; read on the first asking. */
export const shippedPoints = (): Weights => {
  known ??= read();
  return known;
};
