import { MusicError } from "../ground/errors.ts";
import { memo } from "../ground/memo.ts";
import { nearestName } from "../ground/text.ts";
import { END_RULES } from "./ends.ts";
import type { Model } from "./model.ts";
import { compileModel } from "./model.ts";
import type { FingeringRuleSet } from "./rules/index.ts";
import { ALL_RULES, RULE_SETS } from "./rules/index.ts";
import type { FingeringRule } from "./rules/rule.ts";
import type { HandSize } from "./spans.ts";
import { spansOf } from "./spans.ts";

/** The rules that a fingering is judged by. */
export interface FingeringRuleOptions {
  /**
   * The set to start from: `"parncutt-1997"` the twelve rules of the paper alone; `"standard"` these and ours; `"scale"` the
   * conventions of scales and arpeggios. @defaultValue `"standard"` for passages and lines, `"scale"` for scales
   */
  readonly rules?: FingeringRuleSet;
  /** Weights that differ from the catalogue's, by rule; whole numbers of zero or more. A rule outside the set joins it. @defaultValue none */
  readonly weights?: Readonly<Record<string, number>>;
  /** Rules to leave out. @defaultValue none */
  readonly without?: readonly string[];
  /** How far the hand opens; no span is safe for every hand. @defaultValue `"medium"` */
  readonly size?: HandSize;
}

const SIZES: readonly HandSize[] = ["small", "medium", "large"];

const models = memo<Model>(12);

const refuse = (input: unknown, expected: string, hint?: string): never => {
  throw new MusicError({ code: "fingering/rule", input, expected, hint });
};

const ruleNamed = (id: string): FingeringRule => {
  const rule = ALL_RULES.find((r) => r.id === id);
  if (rule !== undefined) return rule;
  const near = nearestName(
    String(id),
    [...ALL_RULES, ...END_RULES].map((r) => r.id),
  );
  return refuse(id, "the id of a rule in fingeringRules", near === undefined ? undefined : `did you mean ${near}?`);
};

/** The compiled model of the rules asked for. */
export const modelFor = (options: FingeringRuleOptions): Model => {
  const set = options.rules ?? "standard";
  const size = options.size ?? "medium";
  return models(JSON.stringify([set, size, options.weights, options.without]), () => build(set, size, options));
};

const build = (set: FingeringRuleSet, size: HandSize, options: FingeringRuleOptions): Model => {
  if (!Object.hasOwn(RULE_SETS, set)) return refuse(set, `one of ${Object.keys(RULE_SETS).join(", ")}`);
  if (!SIZES.includes(size)) return refuse(size, "a small, medium or large hand");
  const weights = new Map(RULE_SETS[set]);
  for (const [id, weight] of Object.entries(options.weights ?? {})) {
    if (!Number.isInteger(weight) || weight < 0 || weight > 1000)
      refuse({ [id]: weight }, "a whole weight from 0 to 1000");
    weights.set(ruleNamed(id), weight);
  }
  for (const id of options.without ?? []) {
    // What happens at the ends of a scale costs nothing; fingerScale leaves it out by itself.
    if (!END_RULES.some((rule) => rule.id === id)) weights.delete(ruleNamed(id));
  }
  return compileModel(
    [...weights].map(([rule, weight]) => ({ rule, weight })),
    spansOf(size),
  );
};
