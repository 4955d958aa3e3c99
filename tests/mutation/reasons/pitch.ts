import type { Reason } from "../reasons.ts";

export const REASONS: readonly Reason[] = [
  { file: "src/pitch/interval.ts", line: "const [, sign, quality, number] =", change: "[] →", why: "the whole match, which a list made in its place would fill, is not looked at" },
  { file: "src/pitch/key.ts", line: "Array.from({ length: Math.abs(key.fifths) }", change: "key.fifths >= 0", why: "a signature of nothing has no first note" },
  { file: "src/pitch/names.ts", line: "export const capitalised", change: '"" →', why: "what is no text only needs some text that names no note" },
];
