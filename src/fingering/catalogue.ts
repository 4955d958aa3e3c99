import { END_RULES } from "./ends.ts";
import type { FingeringRuleSet } from "./rules/index.ts";
import { ALL_RULES, RULE_SETS } from "./rules/index.ts";

/** A rule of fingering as the catalogue lists it. */
export interface FingeringRuleRow {
  /** Stable name, for `weights` and `without`. */
  readonly id: string;
  /** What it charges or does, in one sentence. */
  readonly title: string;
  /** The published rule, or "common practice" or "ours". */
  readonly source: string;
  /** What it looks at: one, two or three consecutive notes, or the ends of a scale. */
  readonly reads: "note" | "pair" | "triple" | "ends";
  /** Its weight in each set of rules that it belongs to. */
  readonly weights: Readonly<Partial<Record<FingeringRuleSet, number>>>;
}

const weightsOf = (id: string): FingeringRuleRow["weights"] =>
  Object.fromEntries(
    Object.entries(RULE_SETS).flatMap(([set, rows]) =>
      rows.filter(([rule]) => rule.id === id).map(([, weight]) => [set, weight]),
    ),
  );

/**
 * Every rule of fingering, published and ours.
 *
 * @example
 * ```ts
 * import { fingeringRuleCatalogue } from "hands-together";
 *
 * fingeringRuleCatalogue.filter((rule) => rule.source.startsWith("Parncutt et al. (1997), rule")).length; // => 12
 * ```
 */
export const fingeringRuleCatalogue: readonly FingeringRuleRow[] = [
  ...ALL_RULES.map(({ id, title, source, reads }) => ({ id, title, source, reads, weights: weightsOf(id) })),
  ...END_RULES.map(({ id, title, source }) => ({ id, title, source, reads: "ends" as const, weights: {} })),
];
