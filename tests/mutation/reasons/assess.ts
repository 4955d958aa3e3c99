import type { Reason } from "../reasons.ts";

const LIMIT = "a limit of our own, which an onset would have to meet to the last bit";

export const REASONS: readonly Reason[] = [
  { file: "src/assess/swing-measure.ts", line: "const isPair", change: "first < 0.25", why: LIMIT },
  { file: "src/assess/swing-measure.ts", line: "const isPair", change: "second > 0.4", why: LIMIT },
];
