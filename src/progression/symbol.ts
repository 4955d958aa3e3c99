import type { Chord } from "../chord/index.ts";
import { parseChord } from "../chord/index.ts";
import { attempt } from "../ground/attempt.ts";
import { degreeInterval, parseNote, transposeNote } from "../pitch/index.ts";

/** A chord as it was typed, read. */
export interface ReadSymbol {
  readonly chord: Chord;
  /** What it was taken for, where it was not written as a chord symbol is. */
  readonly taken?: string;
}

const tried = (symbol: string): Chord | undefined => attempt(() => parseChord(symbol));

/** Ways to say that no chord sounds. */
export const NO_CHORD = /^(?:N\.? ?\/?C\.?|n\.? ?\/?c\.?|no[ -]?chord|No[ -]?[Cc]hord|NO[ -]?CHORD|tacet|Tacet)$/;

// Shorthands of the research notation and the lead-sheet suffixes that they are. Source: Harte, C., Sandler, M., Abdallah, S. & Gómez, E.
// (2005), Symbolic representation of musical chords, ISMIR, table 3 and section 4, and what has been added to it since.
const SHORTHANDS: Readonly<Record<string, string>> = {
  maj: "",
  min: "m",
  dim: "dim",
  aug: "aug",
  maj7: "maj7",
  min7: "m7",
  "7": "7",
  dim7: "dim7",
  hdim7: "m7b5",
  hdim: "m7b5",
  minmaj7: "mMaj7",
  maj6: "6",
  "6": "6",
  min6: "m6",
  "9": "9",
  maj9: "maj9",
  min9: "m9",
  "11": "11",
  maj11: "maj11",
  min11: "m11",
  "13": "13",
  maj13: "maj13",
  min13: "m13",
  sus2: "sus2",
  sus4: "sus4",
  "5": "5",
  "": "",
};

const inResearchNotation = (word: string): string | undefined => {
  const match = /^([A-G][b#]{0,2}):([a-z]*\d*)(?:\(([^()]*)\))?(?:\/([b#]{0,2}\d{1,2}))?$/.exec(word);
  if (match === null) return undefined;
  const [, root = "", shorthand = "", list, low] = match;
  const suffix = SHORTHANDS[shorthand];
  if (suffix === undefined || (shorthand === "" && list === undefined)) return undefined;
  const items = (list ?? "").split(",").filter((item) => item !== "");
  // Without a shorthand the list holds every degree but the root.
  if (shorthand === "") {
    const plain = items.filter((item) => item !== "1").join(",");
    const found = Object.entries(DEGREE_LISTS).find(([, degrees]) => degrees === plain)?.[0];
    return found === undefined ? undefined : root + found + bassOf(root, low);
  }
  const tail = items.map((item) => (item.startsWith("*") ? `no${item.slice(1).replace(/^[b#]+/, "")}` : added(item)));
  return root + suffix + (tail.length === 0 ? "" : `(${tail.join(",")})`) + bassOf(root, low);
};

const added = (item: string): string => (/^[b#]/.test(item) ? item : `add${item}`);

const DEGREE_LISTS: Readonly<Record<string, string>> = {
  "": "3,5",
  m: "b3,5",
  "7": "3,5,b7",
  maj7: "3,5,7",
  m7: "b3,5,b7",
  "5": "5",
};

const bassOf = (root: string, low: string | undefined): string => {
  if (low === undefined || low === "1") return "";
  const degree = DEGREES.find((one) => one === low);
  return degree === undefined ? `/${low}` : `/${transposeNote(parseNote(root), degreeInterval(degree))}`;
};
const DEGREES = [
  "b2",
  "2",
  "b3",
  "3",
  "4",
  "#4",
  "b5",
  "5",
  "#5",
  "b6",
  "6",
  "bb7",
  "b7",
  "7",
  "9",
  "b9",
  "11",
  "13",
] as const;

// Sevenths, extensions and alterations run together, the accidental behind its number: 79b, j7911#, sus79, 713b. So they are written in a
// published database of transcribed solos (Pfleiderer, M. et al. (eds.) (2017), Inside the Jazzomat).
const NUMBERS_FIRST = /^([A-G][b#]?)((?:maj|sus|m|-|\+|o|j)*)((?:(?:13|11|[4-9])[b#]?)+)((?:alt)?)(\/[A-G][b#]?)?$/;
const inNumbersFirst = (word: string): string | undefined => {
  const match = NUMBERS_FIRST.exec(word);
  if (match === null) return undefined;
  const [, root = "", quality = "", run = "", alt = "", bass = ""] = match;
  const numbers = [...run.matchAll(/(13|11|[4-9])([b#]?)/g)].map(([, number = "", sign = ""]) => sign + number);
  const [first, ...rest] = numbers;
  if (first === undefined || /^[b#]/.test(first)) return undefined;
  const suspended = quality.includes("sus");
  const highest = [...rest].reverse().find((one) => first === "7" && (one === "9" || one === "11" || one === "13"));
  const figure = first === "6" && rest[0] === "9" ? "6/9" : (highest ?? first);
  const tail = rest.filter((one) => /^[b#]/.test(one));
  const base = quality.replace("sus", "").replace("j", "maj");
  return `${root}${base}${figure}${suspended ? "sus4" : ""}${tail.length === 0 ? "" : `(${tail.join(",")})`}${alt}${bass}`;
};

// Other signs for what the grammar of chord symbols reads; each must leave nothing else to mean.
const REWRITTEN: readonly (readonly [sign: RegExp, plain: string])[] = [
  [/^([A-G][b#♭♯]*-?m?)\^/, "$1Δ"],
  [/^([A-G][b#♭♯]*(?:-|m)?)j(?=7|9|11|13|$)/, "$1maj"],
  [/^([A-G][b#♭♯]*)[0O](7?)(?=$|\/)/, "$1dim$2"],
  [/^([A-G][b#♭♯]*)(?:half-?dim|hdim|halfdim)(?:inished)?7?/i, "$1ø7"],
  [/^([A-G][b#♭♯]*)dom(?:inant)?\.?/i, "$1dom"],
  [/^([A-G][b#♭♯]*)(?:min|mi)\.(?=\d)/, "$1m"],
  [/^([A-G][b#♭♯]*)(?:maj|ma)\.(?=\d)/, "$1maj"],
  [/^([A-G][b#♭♯]*)dim(?:inished)/i, "$1dim"],
  [/^([A-G][b#♭♯]*)aug(?:mented)/i, "$1aug"],
  [/\\(?=[A-G][b#♭♯]*$)/, "/"],
  [/ over (?=[A-G][b#♭♯]*$)/, "/"],
  [/\[([^[\]]*)\]$/, "($1)"],
];

const rewritten = (word: string): string => REWRITTEN.reduce((text, [sign, plain]) => text.replace(sign, plain), word);

/** Reads a chord as people type it; `undefined` for what is no chord. */
export const readSymbol = (word: string): ReadSymbol | undefined => {
  const plain = tried(word);
  if (plain !== undefined) return { chord: plain };
  const published = inResearchNotation(word) ?? inNumbersFirst(word.replace(/^([A-G][b#]?-?m?)\^/, "$1j"));
  const known = published === undefined ? undefined : tried(published);
  if (known !== undefined) return { chord: known };
  const other = rewritten(word);
  const chord = other === word ? undefined : tried(other);
  return chord && { chord, taken: chord.symbol };
};

/** A chord whose root was typed in lower case, as if in upper case. */
export const raised = (word: string): string =>
  word.charAt(0).toUpperCase() +
  word.slice(1).replace(/\/([a-g])(?=[b#]*$)/, (_, note: string) => `/${note.toUpperCase()}`);
