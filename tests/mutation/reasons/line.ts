import type { Reason } from "../reasons.ts";

const EDGE = "times differ by far less than the tolerance, or by far more";
const TIE = "of equals either will do";

export const REASONS: readonly Reason[] = [
  { file: "src/line/heard.ts", line: "Math.abs(a - b) < SAME_MOMENT", change: "<=", why: EDGE },
  { file: "src/line/heard.ts", line: "value > least - SAME_MOMENT", change: ">=", why: EDGE },
  { file: "src/line/heard.ts", line: "p.semitones > best.semitones", change: ">=", why: TIE },
];
