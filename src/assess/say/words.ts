import type { Difficulty } from "../measure/places.ts";

const NUMBERS = [
  "no",
  "one",
  "two",
  "three",
  "four",
  "five",
  "six",
  "seven",
  "eight",
  "nine",
  "ten",
  "eleven",
  "twelve",
];

/** A number in words up to twelve. */
export const inWords = (count: number): string => NUMBERS[count] ?? String(count);

export const plural = (count: number, one: string, many = `${one}s`): string =>
  `${inWords(count)} ${count === 1 ? one : many}`;

/** ", three times", and nothing for once. */
export const timesInWords = (count: number): string =>
  count === 1 ? "" : count === 2 ? ", twice" : `, ${inWords(count)} times`;

export const capital = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1);

const MOST_BARS = 4;

/** "bar 3", "bars 3 and 5", "bars 2, 5, 9, 10 and more", "the pickup and bar 2". All that lies before bar 1 is the pickup. */
export const inBars = (bars: readonly number[]): string => {
  const all = [...new Set(bars.map((bar) => Math.max(bar, 0)))];
  const shown = all.slice(0, MOST_BARS);
  const numbers = shown.filter((bar) => bar > 0);
  const last = all.length > MOST_BARS ? "more" : numbers.pop();
  const named = numbers.length === 0 ? `bar ${last}` : `bars ${numbers.join(", ")} and ${last}`;
  if (shown[0] !== 0) return named;
  return last === undefined ? "the pickup" : `the pickup and ${named}`;
};

/** What happens there, after "right where". */
export const DIFFICULTY_WORDS: Readonly<Record<Difficulty, string>> = {
  "thumb-under": "the thumb goes under",
  "cross-over": "a finger crosses over the thumb",
  leap: "the hand leaps",
};

/** "half a beat" and the like are left to teachers: milliseconds, and the share of a beat as a percentage. */
export const msAndShare = (ms: number, share: number): string =>
  `${Math.round(Math.abs(ms))} ms, ${Math.round(Math.abs(share) * 100)} % of a beat`;
