import { need } from "../ground/check.ts";
import { MusicError } from "../ground/errors.ts";
import type { Degree, Interval, IntervalName, NoteName } from "../pitch/index.ts";
import { degreeInterval, formatPitch, transposeNote } from "../pitch/index.ts";
import { isNoteName } from "../pitch/inner.ts";
import { COMMON_SUFFIXES } from "./catalogue.ts";
import type { ChordQuality } from "./name.ts";
import { nameShape } from "./name.ts";
import type { Refusal } from "./scan.ts";
import { scanSymbol } from "./scan.ts";
import { DEGREES } from "./shape.ts";

/** One tone of a chord: its degree against the root and its spelled name. */
export interface ChordTone {
  /** Counted against the major scale of the root. */
  readonly degree: Degree;
  /** Spelled with the letter of its degree. */
  readonly note: NoteName;
}

/** A chord symbol that has been read and spelled. */
export interface Chord {
  /** Tells a chord from other values. */
  readonly kind: "chord";
  /** The symbol as it was written. */
  readonly symbol: string;
  /** The same chord in the library's own ASCII spelling, such as `"Dm7"` or `"G7(b9)/B"`. */
  readonly canonical: string;
  /** The note that the degrees count from. */
  readonly root: NoteName;
  /** The lowest note: the root unless a slash names another. */
  readonly bass: NoteName;
  /** The family that third, fifth and seventh make of it. */
  readonly quality: ChordQuality;
  /** Every tone, by rising degree from the root; a slash bass that is no chord tone is not among them. */
  readonly tones: readonly ChordTone[];
}

// Names along the line of fifths from F𝄫♭ to B♯♯♯, and where C lies among them.
const NOTES: readonly NoteName[] = ["bbb", "bb", "b", "", "#", "##", "###"].flatMap((sign) =>
  [..."FCGDAEB"].map((letter) => letter + sign).filter(isNoteName),
);
const C = NOTES.indexOf("C");
// By bit: how many fifths a degree lies from its root. A fifth is 4 steps and 7 semitones, an octave 7 and 12.
const DEGREE_FIFTHS: readonly number[] = DEGREES.map((degree) => {
  const { steps, semitones } = degreeInterval(degree);
  return 7 * semitones - 12 * steps;
});

/**
 * Reads a chord symbol of a lead sheet and spells its tones: every tone keeps the letter of its degree.
 *
 * What the grammar takes, and how it decides where the trade has no single habit:
 *
 * - A root A to G in upper case with accidentals, then a quality (`maj` `M` `Δ`, `m` `-`, `ø`, `o` `°` `dim`, `+` `aug`), then a figure
 *   (5, 6, 69, 6/9, 7, 9, 11, 13), then any stack of alterations, `sus`, `add`, `no`, `alt`, with or without brackets, commas and strokes.
 * - 9 implies the 7th; 11 the 9th and 7th; 13 the 9th and 7th, not the 11th. A number alone has a minor 7th, `Δ` alone a major one.
 * - An alteration takes the place of the natural of its number (`13(b9)` has no natural 9); `add` keeps both. `+` and `-` before a figure
 *   in the stack mean ♯ and ♭; straight after the root they are augmented and minor.
 * - A number alone in brackets or after a stroke adds that one degree: `7(13)`, `7/13`, `C(9)`. A stroke before a letter names the bass.
 * - `alt` is ♭9 ♯9 ♯11 ♭13 with 3rd and ♭7 and without a 5th. `sus` is sus4; a suspension swallows the extension of its letter.
 * - With a 7th a 6th is called 13. A bare 2 or 4 is refused, since `add` and `sus` are both meant by it.
 *
 * Source: W3C, MusicXML 4.0 (2021), `kind-value`, for the tones of each kind; MacDonald, E., "Rootless Left Hand Piano Voicings" (University of
 * Connecticut) for 9, 11 and 13; Garcia, A. J., "Clear Chord Symbols" for 13 against 6; the rest is common practice, no source.
 *
 * @throws MusicError `chord/root` when no root stands at the start, `chord/symbol` at the first character that can't be read (its
 * position counts from 1), `chord/bass` when more than a note follows the slash, `chord/no-chord` for `N.C.`, which only a chart can hold,
 * `pitch/unspellable` when a tone needs more than three accidentals
 *
 * @example
 * ```ts
 * import { parseChord } from "hands-together";
 *
 * parseChord("Cdim7").tones.map((tone) => tone.note); // => ["C", "Eb", "Gb", "Bbb"]
 * parseChord("G13(b9)").tones.map((tone) => tone.degree); // => ["1", "3", "5", "b7", "b9", "13"]
 * parseChord("B♭-7/A♭").canonical; // => "Bbm7/Ab"
 * parseChord("Cmaj8"); // throws "chord/symbol"
 * ```
 */
export function parseChord(symbol: string): Chord {
  const scanned = typeof symbol === "string" ? scanSymbol(symbol) : NO_TEXT;
  if ("part" in scanned) throw refuse(symbol, scanned);
  const { shape } = scanned;
  // The grammar reads no name that the line of fifths does not hold.
  const [root = "C", bass = root] = [NOTES[C + scanned.root], NOTES[C + scanned.bass]];
  const tones: ChordTone[] = [];
  for (let rest = shape; rest !== 0; rest &= rest - 1) {
    const bit = 31 - Math.clz32(rest & -rest);
    const degree = DEGREES[bit] ?? "1";
    const note = NOTES[C + scanned.root + (DEGREE_FIFTHS[bit] ?? 0)];
    if (note === undefined) throw unspellable(degree, root);
    tones.push({ degree, note });
  }
  const { suffix, quality } = nameShape(shape);
  return { kind: "chord", symbol, canonical: canonicalOf(root, bass, suffix), root, bass, quality, tones };
}

const known = /* @__PURE__ */ new WeakSet<object>();

/** Whether a value is a chord, and all that it says is what its symbol means. */
export const isChord = (value: unknown): value is Chord => {
  const own: object = Object(value);
  if (known.has(own)) return true;
  const { kind, symbol, canonical, root, bass, quality, tones }: Partial<Chord> = own;
  if (kind !== "chord" || typeof symbol !== "string" || "part" in scanSymbol(symbol) || !Array.isArray(tones))
    return false;
  const meant = parseChord(symbol);
  const right =
    canonical === meant.canonical &&
    root === meant.root &&
    bass === meant.bass &&
    quality === meant.quality &&
    tones.length === meant.tones.length &&
    meant.tones.every(({ degree, note }, i) => tones[i]?.degree === degree && tones[i]?.note === note);
  if (right) known.add(own);
  return right;
};

/** The chord that an argument is, or whose symbol it is. */
export const chordOf = (chord: Chord | string): Chord => {
  if (typeof chord === "string") return parseChord(chord);
  need(isChord, chord, "chord/argument", "a chord or its symbol");
  return chord;
};

const canonicalOf = (root: NoteName, bass: NoteName, suffix: string): string =>
  root + suffix + (bass === root ? "" : `/${bass}`);

const NO_TEXT: Refusal = { at: 0, part: "root", expected: "a chord symbol as text" };

const unspellable = (degree: Degree, root: NoteName): MusicError =>
  new MusicError({
    code: "pitch/unspellable",
    input: `${degree} of ${root}`,
    expected: "tones that stay within three accidentals",
    hint: "respell the root",
    reason: "cannot-be-done",
  });

const refuse = (symbol: unknown, refusal: Refusal): MusicError => {
  const text = typeof symbol === "string" ? symbol : "";
  if (/^\s*N\.?C\.?\s*$/i.test(text.slice(0, 16))) {
    return new MusicError({
      code: "chord/no-chord",
      input: symbol,
      expected: "a chord symbol",
      hint: "N.C. belongs in a chart",
    });
  }
  const { at, part, expected } = refusal;
  const where =
    at < text.length ? ` at character ${at + 1}, ${JSON.stringify(text.slice(at, at + 16))}` : text && " at the end";
  return new MusicError({
    code: `chord/${part}`,
    input: symbol,
    expected: expected + where,
    hint: capitalised(text) ?? refusal.hint ?? nearestSymbol(text),
  });
};

// Hints look at the start of the text only, so that a long one costs no more.
const LONGEST_HINT = 24;

/** Root and bass in upper case, where that is all that is wrong. */
const capitalised = (text: string): string | undefined => {
  const raised = text.replace(/^[a-g]|\/[a-g](?=[b♭#♯]*$)/g, (note) => note.toUpperCase());
  return text.length > LONGEST_HINT || raised === text || "part" in scanSymbol(raised)
    ? undefined
    : `did you mean ${raised}?`;
};

const nearestSymbol = (text: string): string | undefined => {
  if (/^\s*h/i.test(text)) return "the English name of H is B";
  const root = /^[A-G][b#♭♯]*/.exec(text)?.[0];
  const near = root && nearestSuffix(text.slice(root.length));
  return near && `did you mean ${root}${near}?`;
};

// A hint may mend a misspelt word or a stray mark, but never the chord: figures and accidentals stay, and so does every sign of a quality.
const nearestSuffix = (typed: string): string | undefined => {
  if (typed.length > LONGEST_HINT || !/^[\w#♭♯(),/ ]*$/.test(typed)) return undefined;
  const like = COMMON_SUFFIXES.filter((suffix) => figuresOf(suffix) === figuresOf(typed));
  const letters = lettersOf(typed);
  const same = like.find((suffix) => lettersOf(suffix) === letters);
  if (same !== undefined || letters.length < 3) return same;
  return like.find((suffix) => isMisspelt(letters, lettersOf(suffix)));
};

// Two letters changed places, or one too many or too few; the first stands for the quality.
const isMisspelt = (typed: string, word: string): boolean => {
  if (typed.charAt(0) !== word.charAt(0) || Math.abs(typed.length - word.length) > 1) return false;
  if (typed.length === word.length) return [...typed].sort().join("") === [...word].sort().join("");
  const [long, short] = typed.length > word.length ? [typed, word] : [word, typed];
  return [...long].some((_, i) => i > 0 && long.slice(0, i) + long.slice(i + 1) === short);
};

const figuresOf = (suffix: string): string =>
  (suffix.match(/[b#♭♯](?![a-z])|\d+/g) ?? []).join(" ").replace(/♭/g, "b").replace(/♯/g, "#");
const lettersOf = (suffix: string): string => suffix.replace(/[b♭](?=[\d♭b])|[^A-Za-z]/g, "");

/**
 * A chord moved by an interval, spelled; its symbol keeps the way in which the quality was written.
 *
 * @throws MusicError `pitch/unspellable` when a note would need more than three accidentals
 *
 * @example
 * ```ts
 * import { interval, parseChord, transposeChord } from "hands-together";
 *
 * transposeChord(parseChord("D-7/C"), interval("m3")).symbol; // => "F-7/Eb"
 * ```
 */
export function transposeChord(chord: Chord | string, by: Interval | IntervalName): Chord {
  const { symbol, quality, tones, ...notes } = chordOf(chord);
  const scanned = scanSymbol(symbol);
  if ("part" in scanned) throw refuse(symbol, scanned);
  const root = transposeNote(notes.root, by);
  const bass = transposeNote(notes.bass, by);
  const slash = scanned.shapeEnd < symbol.length ? `/${bass}` : "";
  return {
    kind: "chord",
    symbol: root + symbol.slice(scanned.rootEnd, scanned.shapeEnd) + slash,
    canonical: canonicalOf(root, bass, nameShape(scanned.shape).suffix),
    root,
    bass,
    quality,
    tones: tones.map(({ degree, note }) => ({ degree, note: transposeNote(note, by) })),
  };
}

/**
 * A chord as a lead sheet prints it, with ♯ and ♭, from its canonical text.
 *
 * @example
 * ```ts
 * import { formatChord, parseChord } from "hands-together";
 *
 * formatChord(parseChord("Eb7#9")); // => "E♭7(♯9)"
 * ```
 */
export function formatChord(chord: Chord | string): string {
  const own = chordOf(chord);
  const bass = own.bass === own.root ? "" : `/${formatPitch(own.bass)}`;
  return formatPitch(own.root) + printSigns(suffixOf(own)) + bass;
}

/** The canonical text between root and slash. */
const suffixOf = (chord: Chord): string => {
  const end = chord.bass === chord.root ? chord.canonical.length : chord.canonical.length - chord.bass.length - 1;
  return chord.canonical.slice(chord.root.length, end);
};

/** Accidentals before figures in print; letters such as the b of "sub" are left alone. */
const printSigns = (suffix: string): string => suffix.replace(/b(?=b?[0-9])/g, "♭").replace(/#(?=#?[0-9])/g, "♯");
