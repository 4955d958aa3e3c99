import type { HeardLine, HeardNote, HeardPhrase } from "../heard.ts";
import { PERCENTILES } from "./percentiles.ts";
import type { PhraseRuleRow } from "./rule.ts";
import { CORPUS } from "./rule.ts";

/** What a rule counts in a phrase: the more, the rarer; and the note that it is told of. */
export interface Count {
  readonly value: number;
  readonly note: HeardNote;
}

/** A rule that counts something in each phrase and tells of what is rare in the corpus. */
export interface CountingRule {
  readonly id: string;
  readonly title: string;
  /** Of a hundred phrases so many must be less unusual before anything is said. */
  readonly from?: number;
  readonly count: (phrase: HeardPhrase, line: HeardLine) => Count | undefined;
  readonly say: (
    count: Count,
    phrase: HeardPhrase,
    line: HeardLine,
  ) => { readonly message: string; readonly suggestion: string };
  readonly keep?: PhraseRuleRow["keep"];
  readonly lead?: PhraseRuleRow["lead"];
}

/** Of a hundred phrases of the corpus so many must be less unusual before anything is said, unless the rule has a figure of its own. */
const RARE = 95;

/** How many of a hundred phrases of the corpus have less of what a rule counts. */
export const percentileOf = (id: string, value: number): number => {
  const steps = new Map(Object.entries(PERCENTILES)).get(id) ?? [];
  return steps.findLast(([from]) => from <= value)?.[1] ?? 0;
};

/** The row of a counting rule. */
export const rare = (rule: CountingRule): PhraseRuleRow => ({
  id: rule.id,
  title: rule.title,
  severity: "unusual",
  source: CORPUS,
  keep: rule.keep,
  lead: rule.lead,
  check: (line) =>
    line.phrases.flatMap((phrase) => {
      const count = rule.count(phrase, line);
      if (count === undefined) return [];
      const percentile = percentileOf(rule.id, count.value);
      return percentile < (rule.from ?? RARE)
        ? []
        : [{ note: count.note, ...rule.say(count, phrase, line), percentile }];
    }),
});
