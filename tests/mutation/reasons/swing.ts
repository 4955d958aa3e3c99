import type { Reason } from "../reasons.ts";

const LIMIT = "a limit of our own, which an onset would have to meet to the last bit";
const EQUAL = "on the limit both sides are the limit";

export const REASONS: readonly Reason[] = [
  { file: "src/swing/feel.ts", line: "Number(second) > 0 && size >= 1", change: "Number(second) >= 0", why: "nothing divided by zero lies from 1 to 8" },
  { file: "src/swing/measure.ts", line: "const isPair", change: "first < 0.25", why: LIMIT },
  { file: "src/swing/measure.ts", line: "const isPair", change: "second > 0.4", why: LIMIT },
  { file: "src/swing/tempo.ts", line: "compareBeats(value, low) < 0 ? low", change: "= 0", why: EQUAL },
  { file: "src/swing/sounding.ts", line: "const inTuplet =", change: "pair)) < 0", why: "a tuplet's note that ends with its pair starts on a tuplet position, which does not move" },
  { file: "src/swing/sounding.ts", line: "feel.downbeatDelay === undefined) return at;", change: "→ false", why: "speed alone: bent straight, a moment is where it was" },
  { file: "src/swing/sounding.ts", line: "compareBeats(x, middle) <= 0 ?", change: "compareBeats(x, middle) < 0", why: "the two halves meet in the middle" },
];
