import { nth } from "../../ground/list.ts";
import type { Evidence, FindingRule, Found } from "../findings/finding.ts";
import { capital, inBars } from "./words.ts";

/** What a rule found. */
export interface Ranked {
  readonly rule: FindingRule;
  readonly one: Found;
}

const kindOf = ({ rule, one }: Ranked): string => `${rule.id} ${one.kind ?? ""}`;

/** What was found, weightiest first; the same in both hands is one finding. */
export const ranked = (found: readonly Ranked[]): readonly Ranked[] => {
  const sorted = [...found].sort((a, b) => b.one.weight - a.one.weight);
  const merged: Ranked[] = [];
  for (const candidate of sorted) {
    const place = merged.findIndex(
      (other) =>
        kindOf(other) === kindOf(candidate) &&
        other.one.hand !== undefined &&
        candidate.one.hand !== undefined &&
        other.one.hand !== candidate.one.hand,
    );
    if (place < 0 || candidate.rule.id === "trouble-spot") merged.push(candidate);
    else merged[place] = { rule: candidate.rule, one: inBothHands(nth(merged, place).one, candidate.one) };
  }
  return merged.sort((a, b) => b.one.weight - a.one.weight);
};

const inBothHands = ({ hand: _hand, ...one }: Found, other: Found): Found => {
  const where = other.bars.length === 0 ? "" : ` (${inBars(other.bars)})`;
  const bars = [...new Set([...one.bars, ...other.bars])].sort((a, b) => a - b);
  return {
    ...one,
    // The hand that is worse sets the weight; that it is both makes it a little more.
    weight: one.weight + 0.2 * other.weight,
    bars,
    text: `${one.text} The same goes for the ${other.hand ?? "other"} hand${where}.`,
    advice: {
      ...one.advice,
      hands: "both",
      bars,
      how: one.advice.how.replace(/(right|left) hand alone/i, (words) =>
        words.startsWith(capital(words)) ? "Each hand alone" : "each hand alone",
      ),
    },
  };
};

// A take in which this share of the notes is right, that went on without a stop, and of which nothing weighs much, is a good one.
const GOOD = 0.96;
const MUCH = 0.45;
// One slip among more notes than this is not worth a word.
const NEGLIGIBLE = 120;

/** Whether a teacher would call it a good take. */
export const isGood = ({ whole, take }: Evidence, found: readonly Ranked[]): boolean =>
  whole.accuracy >= GOOD &&
  take.alignment.runs.every(({ begins, pauses }) => begins !== "back" && pauses.length === 0) &&
  found.every(({ one }) => one.weight < MUCH);

const overlap = (a: Found, b: Found): boolean => a.hand === undefined || b.hand === undefined || a.hand === b.hand;

/** Whether what is said already leaves no room for it: the same topic in the same hand, but that slips of other kinds are told apart. */
const isSaid = (told: Ranked, candidate: Ranked): boolean =>
  told.rule.topic === candidate.rule.topic &&
  overlap(told.one, candidate.one) &&
  (told.rule.topic !== "notes" ||
    told.rule.id === "trouble-spot" ||
    candidate.rule.id === "trouble-spot" ||
    kindOf(told) === kindOf(candidate));

/** What the student is told: the weightiest, each of another topic or cause; one thing at most after a good take. */
export const choose = (found: readonly Ranked[], most: number, evidence: Evidence): readonly Ranked[] => {
  const good = isGood(evidence, found);
  const slips = evidence.whole.wrong + evidence.whole.missed + evidence.whole.extra;
  const limit = good ? Math.min(1, most) : most;
  const told: Ranked[] = [];
  for (const candidate of found) {
    if (told.length >= limit) break;
    if (good && candidate.rule.topic === "notes" && slips === 1 && evidence.whole.asked > NEGLIGIBLE) continue;
    if (!told.some((one) => isSaid(one, candidate))) told.push(candidate);
  }
  return told;
};
