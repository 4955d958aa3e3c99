import type { Chord } from "../chord/index.ts";
import { parseChord } from "../chord/index.ts";
import { check } from "../ground/check.ts";
import { MusicError } from "../ground/errors.ts";
import { nearestName } from "../ground/text.ts";
import type { Degree, Key, KeyMode, NoteName } from "../pitch/index.ts";
import { degreeInterval, parseKey, transposeNote } from "../pitch/index.ts";
import { keySchema, numeralSchema } from "./shape.ts";

/** A Roman numeral taken apart. */
export interface Numeral {
  /** Degree of the key's tonic that the chord stands on, counted against the major scale. */
  readonly degree: Degree;
  /** Whether it was written in upper case. */
  readonly upper: boolean;
  /** A tritone substitute: `subV7`. */
  readonly substitute: boolean;
  /** The chord's quality as written, `""` for none. */
  readonly suffix: string;
  /** The degree of the key that a secondary chord leads to, and the mode there. */
  readonly target?: { readonly degree: Degree; readonly mode: KeyMode };
  /** A degree of the key in the bass. */
  readonly bass?: Degree;
}

const ROMANS = ["I", "II", "III", "IV", "V", "VI", "VII"] as const;

/** A bare numeral and the seventh chord that it stands for. */
interface BareRow {
  readonly numeral: string;
  readonly major: string;
  readonly minor: string;
}

// What a numeral without a quality means, by the mode of its key: the seventh of the key on that degree; the minor tonic has a sixth.
// Any other upper-case numeral is a dominant seventh, any other lower-case one a minor seventh. Common practice, no source.
const BARE: readonly BareRow[] = [
  { numeral: "I", major: "maj7", minor: "maj7" },
  { numeral: "i", major: "m7", minor: "m6" },
  { numeral: "ii", major: "m7", minor: "m7b5" },
  { numeral: "bIII", major: "maj7", minor: "maj7" },
  { numeral: "IV", major: "maj7", minor: "7" },
  { numeral: "bVI", major: "maj7", minor: "maj7" },
  { numeral: "vi", major: "m7", minor: "m7b5" },
  { numeral: "vii", major: "m7b5", minor: "dim7" },
];

const bareSuffix = (numeral: string, upper: boolean, mode: KeyMode): string =>
  BARE.find((row) => row.numeral === numeral)?.[mode] ?? (upper ? "7" : "m7");

/** Whether a chart's token starts as a Roman numeral does: no chord symbol has I, V or "sub" there. */
export const looksLikeNumeral = (text: string): boolean => /^(?:[b#♭♯♮]{0,3}(?:sub)?[IViv]|sub)/.test(text);

const refuse = (text: string, expected: string, hint?: string): MusicError =>
  new MusicError({ code: "progression/numeral", input: text, expected, ...(hint === undefined ? {} : { hint }) });

// Accidentals, letters and what follows, all read by position.
const readHead = (text: string): { sign: string; roman: string; rest: string } => {
  let at = 0;
  let sign = "";
  while (at < 2 && "b#♭♯".includes(text.charAt(at)) && text.charAt(at) !== "") {
    sign += text.charAt(at) === "b" || text.charAt(at) === "♭" ? "b" : "#";
    at++;
  }
  const start = at;
  while (at < text.length && "IViv".includes(text.charAt(at))) at++;
  return { sign, roman: text.slice(start, at), rest: text.slice(at) };
};

// In the case of what was written, those with its first letter before the others.
const candidates = (roman: string): readonly string[] => {
  const cased = ROMANS.map((one) => (roman === roman.toLowerCase() ? one.toLowerCase() : one));
  return [...cased.filter((one) => one.startsWith(roman.slice(0, 1))).reverse(), ...cased];
};

const degreeOf = (whole: string, sign: string, roman: string): { degree: Degree; upper: boolean } => {
  const upper = roman === roman.toUpperCase();
  const index = (ROMANS as readonly string[]).indexOf(roman.toUpperCase());
  if (index < 0 || (!upper && roman !== roman.toLowerCase()) || sign === "b#" || sign === "#b") {
    const near = nearestName(roman, candidates(roman));
    throw refuse(
      whole,
      `a Roman numeral I to VII or i to vii, which ${JSON.stringify((sign + roman).slice(0, 24) || whole.slice(0, 24))} is not`,
      near === undefined ? undefined : `did you mean ${sign.slice(0, 1)}${near}?`,
    );
  }
  return { degree: `${sign}${index + 1}` as Degree, upper };
};

/** Takes a Roman numeral apart. */
export const readNumeral = (whole: string): Numeral => {
  const stroke = targetStroke(whole);
  const main = stroke < 0 ? whole : whole.slice(0, stroke);
  const at = main.indexOf("@");
  const head = at < 0 ? main : main.slice(0, at);
  const bass = at < 0 ? undefined : bassDegree(whole, main.slice(at + 1));
  const substitute = head.startsWith("sub");
  const { sign, roman, rest } = readHead(substitute ? head.slice(3) : head);
  const { degree, upper } = degreeOf(whole, sign, roman);
  if (substitute && (degree !== "5" || !upper))
    throw refuse(whole, "subV, the tritone substitute of a dominant", "did you mean subV7?");
  const target = stroke < 0 ? undefined : targetOf(whole, whole.slice(stroke + 1));
  return {
    degree,
    upper,
    substitute,
    suffix: rest,
    ...(target === undefined ? {} : { target }),
    ...(bass === undefined ? {} : { bass }),
  };
};

// The last stroke, where a numeral follows it; a stroke before a figure belongs to the chord, as in I6/9.
const targetStroke = (text: string): number => {
  const stroke = text.lastIndexOf("/");
  return stroke > 0 && /^[b#♭♯]{0,2}[IViv]/.test(text.slice(stroke + 1, stroke + 4)) ? stroke : -1;
};

const targetOf = (whole: string, text: string): { degree: Degree; mode: KeyMode } => {
  const { sign, roman, rest } = readHead(text);
  const { degree, upper } = degreeOf(whole, sign, roman);
  if (rest !== "") throw refuse(whole, "a plain numeral after the stroke, as in V7/ii");
  return { degree, mode: upper ? "major" : "minor" };
};

const bassDegree = (whole: string, text: string): Degree => {
  if (!/^[b#]?[1-7]$/.test(text)) throw refuse(whole, "a degree of the key after @, as in ii@5");
  return text as Degree;
};

/** The chord of a numeral in a key. */
export const chordOf = (numeral: Numeral, whole: string, tonic: NoteName, mode: KeyMode): Chord => {
  try {
    const { target } = numeral;
    const home = target === undefined ? tonic : transposeNote(tonic, degreeInterval(target.degree));
    const homeMode = target === undefined ? mode : target.mode;
    requireClear(numeral, whole, home, homeMode);
    const degree = numeral.substitute ? "b2" : numeral.degree;
    const root = transposeNote(home, degreeInterval(degree));
    const bass = numeral.bass === undefined ? "" : `/${transposeNote(tonic, degreeInterval(numeral.bass))}`;
    return parseChord(root + suffixIn(numeral, homeMode) + bass);
  } catch (error) {
    if (error instanceof MusicError && error.code === "pitch/unspellable") {
      throw new MusicError({
        code: "progression/unspellable",
        input: whole,
        expected: `a chord that can be written with at most three accidentals in ${tonic} ${mode}`,
        hint: "take the key's enharmonic twin",
        reason: "cannot-be-done",
      });
    }
    throw error;
  }
};

// In minor, III, VI and VII are E♭, A♭ and B♭ to some and E, A and B to others: neither is assumed.
const requireClear = (numeral: Numeral, whole: string, tonic: NoteName, mode: KeyMode): void => {
  if (mode === "major" || !numeral.upper || !["3", "6", "7"].includes(numeral.degree)) return;
  const roman = ROMANS[Number(numeral.degree) - 1] as string;
  const natural = transposeNote(tonic, degreeInterval(numeral.degree));
  const flat = transposeNote(tonic, degreeInterval(`b${numeral.degree}` as Degree));
  // A fifth below the natural degree: 3 is the dominant of vi, 6 of ii, 7 of iii.
  const lower = (ROMANS[(Number(numeral.degree) + 2) % 7] as string).toLowerCase();
  throw refuse(
    whole,
    `b${roman} for ${flat} in minor, where ${roman} alone is read in two ways`,
    `for a dominant on ${natural} write V7/${lower}`,
  );
};

const suffixIn = (numeral: Numeral, mode: KeyMode): string => {
  const { suffix, upper, substitute } = numeral;
  if (suffix === "") {
    const roman = ROMANS[Number(numeral.degree.slice(-1)) - 1] as string;
    const sign = numeral.degree.slice(0, -1);
    return substitute ? "7" : bareSuffix(sign + (upper ? roman : roman.toLowerCase()), upper, mode);
  }
  // Diminished chords are sevenths like the others.
  if (suffix === "o" || suffix === "°" || suffix === "dim") return "dim7";
  if (!upper && suffix.startsWith("maj")) return `mM${suffix.slice(1)}`;
  return upper || /^(?:m(?!aj|a(?!d))|mi|min|-|−|–|o|°|º|dim|ø|Ø|∅)/.test(suffix) ? suffix : `m${suffix}`;
};

/**
 * The chord that a Roman numeral stands for in a key.
 *
 * Degrees count against the major scale of the tonic, in minor keys too: the sixth of the minor scale is `bVI`. Upper case is major,
 * lower case minor; the quality is a chord symbol's (`ii7`, `iiø`, `V7b9`, `imaj7`, `#ivo7`, `IIm7`). A bare numeral is a seventh chord: the
 * key's own where its case fits (I maj7, ii m7, V 7; in minor i m6, ii m7♭5), else a dominant in upper case (II, VI7) and a minor seventh
 * in lower. `maj` and `m` alone ask for a triad. `V7/ii` is a secondary dominant, `subV7` and `subV7/ii` are tritone substitutes, `ii@5` has the
 * key's fifth degree in the bass. In minor a plain III, VI or VII is refused, since two habits of reading it exist.
 *
 * Source: common practice, no source.
 *
 * @throws MusicError `progression/numeral` for no numeral, `progression/unspellable` when a tone would need more than three accidentals,
 * `chord/symbol` when the quality can't be read, `pitch/key` for no key
 *
 * @example
 * ```ts
 * import { parseNumeral } from "hands-together/progression";
 *
 * parseNumeral("V7/ii", "C").symbol; // => "A7"
 * parseNumeral("subV7", "Eb").symbol; // => "Fb7"
 * parseNumeral("ii", "C minor").symbol; // => "Dm7b5"
 * parseNumeral("viii", "C"); // throws "progression/numeral"
 * ```
 */
export function parseNumeral(numeral: string, key: Key | string): Chord {
  check(numeralSchema, numeral, "progression/numeral");
  check(keySchema, key, "pitch/key");
  const { tonic, mode } = typeof key === "string" ? parseKey(key) : key;
  return chordOf(readNumeral(numeral), numeral, tonic, mode);
}
