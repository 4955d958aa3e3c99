import type { Reason } from "../reasons.ts";

const EQUAL = "on the limit both sides are the limit";

export const REASONS: readonly Reason[] = [
  { file: "src/swing/feel.ts", line: "Number(second) > 0 && size >= 1", change: "Number(second) >= 0", why: "nothing divided by zero lies from 1 to 8" },
  { file: "src/swing/tempo.ts", line: "compareBeats(value, low) < 0 ? low", change: "= 0", why: EQUAL },
  { file: "src/swing/sounding.ts", line: "const inTuplet =", change: "pair)) < 0", why: "a tuplet's note that ends with its pair starts on a tuplet position, which does not move" },
  { file: "src/swing/sounding.ts", line: "feel.downbeatDelay === undefined) return at;", change: "→ false", why: "speed alone: bent straight, a moment is where it was" },
  { file: "src/swing/sounding.ts", line: "compareBeats(x, middle) <= 0 ?", change: "compareBeats(x, middle) < 0", why: "the two halves meet in the middle" },
];
