import { readSymbol } from "./symbol.ts";

// German names of notes and the international ones. B is B flat there and H is B. Source: DIN 1318 and every German handbook of theory.
const NAMES: Readonly<Record<string, string>> = {
  H: "B",
  His: "B#",
  Cis: "C#",
  Dis: "D#",
  Eis: "E#",
  Fis: "F#",
  Gis: "G#",
  Ais: "A#",
  Ces: "Cb",
  Des: "Db",
  Es: "Eb",
  Fes: "Fb",
  Ges: "Gb",
  As: "Ab",
};

/** A chord with a German name in the international writing, such as B7 for H7 and F#m for Fism; `undefined` for what is none. */
export const fromGerman = (word: string): string | undefined => {
  const [, name = "", rest = ""] = /^(H(?:is)?|[CDEFGA]is|[CDFG]es|Es|As)(.*)$/.exec(word) ?? [];
  const root = NAMES[name];
  const symbol = root === undefined ? "" : root + rest.replace(/\/([A-H][a-z]*)$/, (_, low) => `/${NAMES[low] ?? low}`);
  return root !== undefined && readSymbol(symbol) !== undefined ? symbol : undefined;
};
