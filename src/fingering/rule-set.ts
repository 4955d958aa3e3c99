import { MusicError } from "../ground/errors.ts";
import { memo } from "../ground/memo.ts";
import { nearestName } from "../ground/text.ts";
import { END_RULES } from "./ends.ts";
import type { Model } from "./model.ts";
import { compileModel } from "./model.ts";
import type { FingeringRule, FingeringRuleSetId, FingeringRuleSetRow, WeightedRule } from "./rules.ts";
import { fingeringRule, fingeringRuleCatalogue, fingeringRuleSet } from "./rules.ts";
import type { HandSize, MeasuredHand } from "./spans.ts";
import { isHandSize, spansOf } from "./spans.ts";

/** The rules that a fingering is judged by. */
export interface FingeringRuleOptions {
  /**
   * The set to start from: `"parncutt-1997"` the twelve rules of the paper alone; `"standard"` these and ours; `"scale"` the
   * conventions of scales and arpeggios; or a set of one's own. @defaultValue `"standard"` for passages and lines, `"scale"` for scales
   */
  readonly rules?: FingeringRuleSetId | FingeringRuleSetRow | undefined;
  /** Rules of one's own that join the set, with their weights. @defaultValue none */
  readonly also?: readonly WeightedRule[] | undefined;
  /** Weights that differ from the set's, by rule; whole numbers from 0 to 1000. A rule outside the set joins it. @defaultValue none */
  readonly weights?: Readonly<Record<string, number>> | undefined;
  /** Rules to leave out. @defaultValue none */
  readonly without?: readonly string[] | undefined;
  /** How far the hand opens: a size, or a hand that was measured; no span is safe for every hand. @defaultValue `"medium"` */
  readonly size?: HandSize | MeasuredHand | undefined;
}

const models = memo<Model>(12);

const refuse = (input: unknown, expected: string, hint?: string): never => {
  throw new MusicError({ code: "fingering/rule", input, expected, hint });
};

const isEnd = (id: string): boolean => END_RULES.some((rule) => rule.id === id);

const ruleNamed = (id: string): FingeringRule => {
  const known = fingeringRuleCatalogue.find((rule) => rule.id === id);
  if (known !== undefined && known.reads !== "ends") return known;
  const near = nearestName(
    String(id),
    fingeringRuleCatalogue.map((rule) => rule.id),
  );
  return refuse(
    id,
    "the id of a rule in fingeringRuleCatalogue",
    near === undefined ? undefined : `did you mean ${near}?`,
  );
};

// Rules of one's own are told apart by themselves, not by their names.
const numbers = new WeakMap<object, number>();
let given = 0;
const numberOf = (rule: object): number => {
  const known = numbers.get(rule) ?? ++given;
  numbers.set(rule, known);
  return known;
};
const nameOf = (rule: string | object): string | number => (typeof rule === "string" ? rule : numberOf(rule));

/** What tells one choice of rules from another. */
export const keyOfRules = ({ rules = "standard", also = [], weights, without, size }: FingeringRuleOptions): string =>
  JSON.stringify([
    nameOf(rules),
    also.map(({ rule, weight }) => [nameOf(rule), weight]),
    weights,
    without,
    size ?? "medium",
  ]);

/** The compiled model of the rules asked for. */
export const modelFor = (options: FingeringRuleOptions): Model => models(keyOfRules(options), () => build(options));

const weightFor = (id: string, weight: unknown): number =>
  typeof weight === "number" && Number.isInteger(weight) && weight >= 0 && weight <= 1000
    ? weight
    : refuse({ [id]: weight }, "a whole weight from 0 to 1000");

const build = ({
  rules = "standard",
  also = [],
  weights = {},
  without = [],
  size = "medium",
}: FingeringRuleOptions): Model => {
  if (!isHandSize(size))
    return refuse(size, "a small, medium or large hand, or the widest spans of a measured one by pair of fingers");
  const found = new Map<string, { readonly rule: FingeringRule; readonly weight: number }>();
  const join = (rule: FingeringRule, weight: unknown): unknown =>
    found.set(rule.id, { rule, weight: weightFor(rule.id, weight) });
  for (const { rule, weight } of [...fingeringRuleSet(rules).rules, ...also]) join(fingeringRule(rule), weight);
  for (const [id, weight] of Object.entries(weights)) join(found.get(id)?.rule ?? ruleNamed(id), weight);
  for (const id of without) {
    // What happens at the ends of a scale costs nothing; fingerScale leaves it out by itself.
    if (!isEnd(id) && !found.delete(id)) ruleNamed(id);
  }
  return compileModel([...found.values()], spansOf(size));
};
