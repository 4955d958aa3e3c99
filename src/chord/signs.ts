import { QUALITY_SIGNS, SPLIT_BEFORE, TAIL_WORDS } from "./catalogue.ts";
import type { QualitySign, TailWord } from "./catalogue.ts";

/** What symbols are read from: a string, or in a test something that counts the reads. */
export type CharSource = Pick<string, "length" | "charCodeAt">;

/** A sign that was found. */
export interface FoundSign {
  readonly sign: QualitySign | TailWord;
  /** Characters of the sign itself, fewer than those read where what follows decides. */
  readonly length: number;
}

// A prefix of signs. Characters outside ASCII are numbered where control characters would be.
interface Node {
  readonly next: (Node | undefined)[];
  found: FoundSign | undefined;
}

const OTHER_CODES = new Map<number, number>();
const FIRST_PRINTABLE = 32;
const newNode = (): Node => ({ next: new Array<Node | undefined>(128).fill(undefined), found: undefined });
const ROOT = newNode();

const plant = (text: string, sign: QualitySign | TailWord, length: number): void => {
  let node = ROOT;
  for (let i = 0; i < text.length; i++) {
    const code = text.charCodeAt(i);
    if (code > 127 && !OTHER_CODES.has(code)) OTHER_CODES.set(code, OTHER_CODES.size + 1);
    node = node.next[OTHER_CODES.get(code) ?? code] ??= newNode();
  }
  node.found = { sign, length };
};

for (const row of QUALITY_SIGNS) for (const sign of row.signs) plant(sign, row, sign.length);
for (const { word, signs } of TAIL_WORDS) for (const sign of signs) plant(sign, word, sign.length);
for (const { sign, before } of SPLIT_BEFORE) {
  plant(sign + before, QUALITY_SIGNS.find((row) => row.signs.includes(sign)) as QualitySign, sign.length);
}

/** The longest sign of the catalogue that starts at an index; `undefined` where none does. */
export const longestSign = (text: CharSource, from: number): FoundSign | undefined => {
  let node: Node | undefined = ROOT;
  let found: FoundSign | undefined;
  for (let at = from; at < text.length; at++) {
    const code = text.charCodeAt(at);
    node = node.next[code > 127 ? (OTHER_CODES.get(code) ?? 0) : code < FIRST_PRINTABLE ? 0 : code];
    if (node === undefined) return found;
    if (node.found !== undefined) found = node.found;
  }
  return found;
};
