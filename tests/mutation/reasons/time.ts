import type { Reason } from "../reasons.ts";

const SPEED = "speed alone: numbers and big integers give the same result";

export const REASONS: readonly Reason[] = [
  { file: "src/time/beats.ts", line: "let [a, b] = [num < 0n ? -num : num, den];", change: "num <= 0n", why: "zero has no sign" },
  { file: "src/time/beats.ts", line: "const [left, right] = [a.num * b.den, b.num * a.den];", why: SPEED },
  { file: "src/time/beats.ts", line: "const small =", change: "→ false", why: SPEED },
  { file: "src/time/beats.ts", line: "if (a.den === b.den) return a.num - b.num;", change: "→ false", why: SPEED },
  { file: "src/time/beats.ts", line: "? left - right :", change: "→ false", why: SPEED },
  {
    file: "src/time/beats.ts", line: "? left - right :", change: "Number.isSafeInteger(left) || Number.isSafeInteger(right)",
    why: "where one product alone is exact the other is larger, and the sign of the difference is right",
  },
  { file: "src/time/beats.ts", line: "return compareBeats(a, b) <= 0 ? a : b;", change: "< 0", why: "of two equal moments either is the earlier" },
];
