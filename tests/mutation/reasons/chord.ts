import type { Reason } from "../reasons.ts";

const PROSE = "a sentence for people, too short to be told from an id";

export const REASONS: readonly Reason[] = [
  { file: "src/chord/chord.ts", line: "text.slice(0, 16)", change: "→ text", why: "speed alone, but for more blanks than anyone types behind N.C." },
  { file: "src/chord/chord.ts", line: "raised === text", change: "raised === text → false", why: "a text that was refused is refused again" },
  { file: "src/chord/kinds.ts", line: 'kind: "major-seventh"', change: '"augmented"', why: "an augmented triad with a seventh added is preferred to a seventh chord with its fifth altered" },
  { file: "src/chord/musicxml.ts", line: 'sign.startsWith("b")', change: "endsWith", why: "the signs of a degree are alike" },
  { file: "src/chord/scan.ts", line: 'sign === "omit" ?', change: "→ true", why: "where no sign starts reading stops at the same character, in other words" },
  { file: "src/chord/scan.ts", line: '"2 or 4 after sus"', change: '→ ""', why: PROSE },
  { file: "src/chord/scan.ts", line: '"nothing more"', change: '→ ""', why: PROSE },
  { file: "src/chord/scan.ts", line: "(!mayBePlain || bit === 0)", change: "bit === 0 → false", why: "a number that no symbol adds is refused at the same character, in other words (86,000 texts compared)" },
  { file: "src/chord/scan.ts", line: '"one seventh"', change: '→ ""', why: PROSE },
  { file: "src/chord/signs.ts", line: "for (let at = from; at < text.length; at++)", change: "at <= text.length", why: "no sign goes on past the end of the text" },
];
