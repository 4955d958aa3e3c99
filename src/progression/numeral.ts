import type { Chord } from "../chord/index.ts";
import { parseChord } from "../chord/index.ts";
import { check } from "../ground/check.ts";
import { MusicError } from "../ground/errors.ts";
import type { Degree, Key, KeyMode, NoteName } from "../pitch/index.ts";
import { degreeInterval, parseKey, transposeNote } from "../pitch/index.ts";
import { keySchema, numeralSchema } from "./shape.ts";

/** A degree of a key and the mode there: where an applied chord leads. */
interface Target {
  readonly degree: Degree;
  readonly mode: KeyMode;
}

/** Which tone of the chord lies lowest, by its number above the root. */
type LowTone = 3 | 5 | 7;

/** A Roman numeral taken apart. */
export interface Numeral {
  /** Degree of the key's tonic that the chord stands on, counted against the major scale. */
  readonly degree: Degree;
  /** Whether it was written in upper case. */
  readonly upper: boolean;
  /** A tritone substitute: `subV7`. */
  readonly substitute: boolean;
  /** The chord's quality as written, without a figured inversion; `""` for none. */
  readonly suffix: string;
  /** What the figures of an inversion ask for. */
  readonly inversion?: { readonly low: LowTone; readonly seventh: boolean };
  /** From the nearest to the furthest: in V7/V/ii first V, then ii. */
  readonly targets: readonly Target[];
  /** A degree of the key in the bass. */
  readonly bass?: Degree;
}

const ROMANS: readonly string[] = ["I", "II", "III", "IV", "V", "VI", "VII"];

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

// Figures of thoroughbass, as analysts put them behind a numeral: the number of the tone that lies lowest. A 6 alone is an added sixth on
// I and IV, as in chord symbols; elsewhere it is told apart below. Source: the figures of thoroughbass, in every handbook of harmony.
const FIGURES: Readonly<Record<string, { readonly low: LowTone; readonly seventh: boolean }>> = {
  "63": { low: 3, seventh: false },
  "6/3": { low: 3, seventh: false },
  "64": { low: 5, seventh: false },
  "6/4": { low: 5, seventh: false },
  "65": { low: 3, seventh: true },
  "6/5": { low: 3, seventh: true },
  "43": { low: 5, seventh: true },
  "4/3": { low: 5, seventh: true },
  "42": { low: 7, seventh: true },
  "4/2": { low: 7, seventh: true },
  "2": { low: 7, seventh: true },
};

/** A chord with a name of its own, and what it is in any key. */
interface NamedChord {
  readonly signs: readonly string[];
  readonly numeral: Numeral;
}

const named = (signs: string, degree: Degree, suffix: string, inversion?: Numeral["inversion"]): NamedChord => ({
  signs: signs.split(" "),
  numeral: { degree, suffix, upper: true, substitute: false, targets: [], ...(inversion && { inversion }) },
});

// The augmented sixths sound as a dominant on the flat sixth degree, and a chord symbol can only spell them so. Common practice, no source.
const NAMED: readonly NamedChord[] = [
  named("N6 N63 N6/3", "b2", "maj", { low: 3, seventh: false }),
  named("N", "b2", "maj"),
  named("It6 It+6 It", "b6", "7(no5)"),
  named("Ger6 Ger+6 Ger65 Ger6/5 Gr6 Gr+6 Ger Gr", "b6", "7"),
  named("Fr6 Fr+6 Fr43 Fr4/3 Fr", "b6", "7b5"),
];

/** Whether a chart's token starts as a Roman numeral does: no chord symbol has I, V or "sub" there. */
export const looksLikeNumeral = (text: string): boolean =>
  /^(?:[b#♭♯♮]{0,3}(?:sub)?[IViv]|sub[IV])/.test(text) || isNamed(text);

/** A chord by name, such as N6 or Ger65; a plain N is no chord in some notations, so the reader of a chart decides. */
const isNamed = (text: string): boolean => {
  const { head } = parted(text);
  return NAMED.some(({ signs }) => signs.includes(head));
};

const refuse = (text: string, expected: string, hint?: string): MusicError =>
  new MusicError({ code: "progression/numeral", input: text, expected, ...(hint !== undefined && { hint }) });

// Accidentals, letters and what follows, all read by position.
const readHead = (text: string): { sign: string; roman: string; rest: string } => {
  const [whole = "", sign = "", roman = ""] = /^([b#♭♯]{0,2})([IViv]*)/.exec(text) ?? [];
  return { sign: sign.replace(/♭/g, "b").replace(/♯/g, "#"), roman, rest: text.slice(whole.length) };
};

const asDegree = (sign: string, number: number): Degree => {
  const degree = `${sign}${number}`;
  if (isDegree(degree)) return degree;
  throw refuse(degree, "a degree with at most two accidentals of one kind");
};

const isDegree = (text: string): text is Degree => /^(?:b{0,2}|#{0,2})[1-7]$/.test(text);

const degreeOf = (whole: string, sign: string, roman: string): { degree: Degree; upper: boolean } => {
  const upper = roman === roman.toUpperCase();
  const index = ROMANS.indexOf(roman.toUpperCase());
  if (index < 0 || (!upper && roman !== roman.toLowerCase()) || sign === "b#" || sign === "#b") {
    throw refuse(
      whole,
      `a Roman numeral I to VII or i to vii, which ${JSON.stringify((sign + roman).slice(0, 24) || whole.slice(0, 24))} is not`,
    );
  }
  return { degree: asDegree(sign, index + 1), upper };
};

/** What stands before, between and behind the strokes of a numeral: V6/5/V/ii@1 is V6/5, V and ii, over 1. */
const parted = (whole: string): { head: string; targets: readonly string[]; bass: string | undefined } => {
  const [, before = whole, bass, behind = ""] = /^([^@]*)@([^/]*)(\/.*)?$/.exec(whole) ?? [];
  const [head = "", ...targets] = (before + behind).split(/\/(?=[b#♭♯]{0,2}[IViv])/);
  return { head, targets, bass };
};

/** Takes a Roman numeral apart. */
export const readNumeral = (whole: string): Numeral => {
  const { head, targets: targetTexts, bass: bassText } = parted(whole);
  const targets = targetTexts.map((text) => targetOf(whole, text));
  const bass = bassText === undefined ? {} : { bass: bassDegree(whole, bassText) };
  const byName = NAMED.find(({ signs }) => signs.includes(head));
  if (byName !== undefined) return { ...byName.numeral, targets, ...bass };
  const substitute = head.startsWith("sub");
  const { sign, roman, rest } = readHead(substitute ? head.slice(3) : head);
  const { degree, upper } = degreeOf(whole, sign, roman);
  if (substitute && (degree !== "5" || !upper))
    throw refuse(whole, "subV, the tritone substitute of a dominant", "did you mean subV7?");
  const { suffix, inversion } = figured(whole, rest);
  requireOneReading(whole, head, sign + roman, suffix, targetTexts);
  return { degree, upper, substitute, suffix, targets, ...(inversion && { inversion }), ...bass };
};

// The quality may stand before the figures, as in viiø65 and viio6.
const figured = (whole: string, rest: string): { suffix: string; inversion?: Numeral["inversion"] } => {
  const [, quality = "", figures = ""] = /^(o|°|º|ø|Ø|\+|dim|aug|maj|m)?(\d(?:\/?\d)?)$/.exec(rest) ?? [];
  const inversion = FIGURES[figures];
  if (inversion !== undefined) return { suffix: quality, inversion };
  if (figures === "6" && /^(?:o|°|º|dim|ø|Ø|\+|aug)$/.test(quality))
    return { suffix: quality, inversion: { low: 3, seventh: false } };
  // A stroke and a number that is no figure: the 7th below, or the dominant of the seventh degree?
  const stroke = /^(.*\d)\/(\d)$/.exec(rest);
  if (stroke !== null && rest !== "6/9" && !/[(,]/.test(rest)) {
    const [, before = "", number = ""] = stroke;
    const roman = ROMANS[Number(number) - 1];
    const head = whole.slice(0, whole.indexOf(`${before}/`));
    const low = { "3": "65", "5": "43", "7": "42" }[number];
    if (roman !== undefined) {
      throw refuse(
        whole,
        "one reading",
        `write ${head}${before}/${roman.toLowerCase()} for the chord that leads to degree ${number}` +
          (low === undefined ? "" : `, ${head}${low} for the chord over its ${number === "3" ? "3rd" : `${number}th`}`),
      );
    }
  }
  return { suffix: rest };
};

// Chords that are applied to other degrees; of any other numeral over a numeral some mean the degree in the bass.
const APPLIED = /^(?:V|v?ii|vii|sub|bII|bVII|#iv|N|It|Ger|Gr|Fr)/;

const requireOneReading = (
  whole: string,
  head: string,
  roman: string,
  suffix: string,
  targets: readonly string[],
): void => {
  if (suffix === "6" && !["I", "i", "IV", "iv"].includes(roman)) {
    throw refuse(
      whole,
      "one reading",
      `write ${roman}(add6) for a chord with an added sixth, ${roman}63 for a triad over its 3rd`,
    );
  }
  const [target] = targets;
  if (target === undefined || (APPLIED.test(head) && !/^(?:VI|vi(?!i))/.test(head))) return;
  const number = ROMANS.indexOf(readHead(target).roman.toUpperCase()) + 1;
  throw refuse(
    whole,
    "one reading",
    `write ${head}@${readHead(target).sign}${number} for ${head} with ${target} in the bass, [${head}]/${targets.join("/")} for the ${head} of ${target}`,
  );
};

const targetOf = (whole: string, text: string): Target => {
  const { sign, roman, rest } = readHead(text);
  const { degree, upper } = degreeOf(whole, sign, roman);
  if (rest !== "") throw refuse(whole, "a plain numeral after the stroke, as in V7/ii");
  return { degree, mode: upper ? "major" : "minor" };
};

const bassDegree = (whole: string, text: string): Degree => {
  if (!/^[b#]?[1-7]$/.test(text) || !isDegree(text)) throw refuse(whole, "a degree of the key after @, as in ii@5");
  return text;
};

/** A numeral of a bracketed group, such as the ii of [ii V]/IV, as one that leads to the group's goal. */
export const appliedTo = (numeral: Numeral, goals: string): Numeral => ({
  ...numeral,
  targets: [...numeral.targets, ...goals.split("/").map((goal) => targetOf(goals, goal))],
});

/** The chord of a numeral in a key. */
export const chordOf = (numeral: Numeral, whole: string, tonic: NoteName, mode: KeyMode): Chord => {
  try {
    let [home, homeMode] = [tonic, mode];
    for (const target of [...numeral.targets].reverse()) {
      home = transposeNote(home, degreeInterval(inMinor(target.degree, homeMode)));
      homeMode = target.mode;
    }
    requireClear(numeral, whole, home, homeMode);
    const degree = numeral.substitute ? "b2" : inMinor(numeral.degree, homeMode, numeral);
    const chord = transposeNote(home, degreeInterval(degree)) + suffixIn(numeral, homeMode);
    const bass =
      numeral.bass === undefined ? lowest(numeral, whole, chord) : transposeNote(tonic, degreeInterval(numeral.bass));
    return parseChord(bass === undefined ? chord : `${chord}/${bass}`);
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

const lowest = ({ inversion }: Numeral, whole: string, chord: string): NoteName | undefined => {
  if (inversion === undefined) return undefined;
  const tone = parseChord(chord).tones.find(({ degree }) => Number(degree.replace(/^[b#]+/, "")) === inversion.low);
  if (tone === undefined) throw refuse(whole, `figures that fit a chord with a ${inversion.low}th`);
  return tone.note;
};

// In minor a sharp raises the degree of the minor scale: #vi and #vii are the sixth and seventh of the melodic minor. III and VI with a
// major seventh can only be those of the minor scale.
const inMinor = (degree: Degree, mode: KeyMode, numeral?: Numeral): Degree => {
  if (mode === "major") return degree;
  if (degree === "#6") return "6";
  if (degree === "#7") return "7";
  if (numeral === undefined || !isFlatByQuality(numeral)) return degree;
  return degree === "3" ? "b3" : degree === "6" ? "b6" : degree;
};

const isFlatByQuality = ({ upper, suffix }: Numeral): boolean => upper && /^(?:maj|M|Δ)(?:7|9|13)?$/.test(suffix);

// In minor, III, VI and VII are E♭, A♭ and B♭ to some and E, A and B to others: neither is assumed.
const requireClear = (numeral: Numeral, whole: string, tonic: NoteName, mode: KeyMode): void => {
  const number = Number(numeral.degree);
  if (mode === "major" || !numeral.upper || ![3, 6, 7].includes(number)) return;
  if (number !== 7 && isFlatByQuality(numeral)) return;
  const roman = ROMANS[number - 1];
  const natural = transposeNote(tonic, degreeInterval(asDegree("", number)));
  const flat = transposeNote(tonic, degreeInterval(asDegree("b", number)));
  // A fifth below the natural degree: 3 is the dominant of vi, 6 of ii, 7 of iii.
  const lower = ROMANS[(number + 2) % 7]?.toLowerCase();
  throw refuse(
    whole,
    `b${roman} for ${flat} in minor, where ${roman} alone is read in two ways`,
    `for a dominant on ${natural} write V7/${lower}`,
  );
};

const suffixIn = (numeral: Numeral, mode: KeyMode): string => {
  const { suffix, upper, substitute, inversion } = numeral;
  if (inversion?.seventh === false) return triad(suffix, upper);
  if (suffix === "") {
    const roman = ROMANS[Number(numeral.degree.slice(-1)) - 1] ?? "";
    const sign = numeral.degree.slice(0, -1);
    return substitute ? "7" : bareSuffix(sign + (upper ? roman : roman.toLowerCase()), upper, mode);
  }
  // Diminished chords are sevenths like the others.
  if (suffix === "o" || suffix === "°" || suffix === "º" || suffix === "dim") return "dim7";
  if (inversion !== undefined)
    return { ø: "m7b5", Ø: "m7b5", "+": "7#5", aug: "7#5", maj: "maj7", m: "m7" }[suffix] ?? suffix;
  if (!upper && suffix.startsWith("maj")) return `mM${suffix.slice(1)}`;
  return upper || /^(?:m(?!aj|a(?!d))|mi|min|-|−|–|o|°|º|dim|ø|Ø|∅)/.test(suffix) ? suffix : `m${suffix}`;
};

const triad = (suffix: string, upper: boolean): string =>
  /^(?:o|°|º|dim|ø|Ø)$/.test(suffix) ? "dim" : /^(?:\+|aug)$/.test(suffix) ? "aug" : upper && suffix !== "m" ? "" : "m";

/**
 * The chord that a Roman numeral stands for in a key.
 *
 * Degrees count against the major scale of the tonic, in minor keys too: the sixth of the minor scale is `bVI`. Upper case is major,
 * lower case minor; the quality is a chord symbol's (`ii7`, `iiø`, `V7b9`, `imaj7`, `#ivo7`, `IIm7`). A bare numeral is a seventh chord: the
 * key's own where its case fits (I maj7, ii m7, V 7; in minor i m6, ii m7♭5), else a dominant in upper case (II, VI7) and a minor seventh
 * in lower. `maj` and `m` alone ask for a triad.
 *
 * - Figures are inversions: `I6/4` or `I64`, `ii65`, `V43`, `V4/2` or `V2`, `viio6`; `63` is a triad over its 3rd. `I6`, `i6`, `IV6` and
 *   `iv6` have an added sixth; on other degrees a 6 alone is refused with both readings.
 * - `V7/ii` leads to ii, `V7/V/V` to the dominant of the dominant; so do `vii`, `ii` and `subV`. Any other numeral over a numeral (`IV/V`) is
 *   refused, since it may name a bass; `ii@5` has the key's fifth degree in the bass.
 * - `subV7` is the tritone substitute, `N6` the Neapolitan sixth; `It6`, `Ger65` and `Fr43` are the augmented sixths, written as the dominants
 *   on the flat sixth degree that they sound as.
 * - In minor `#vi` and `#vii` are the raised degrees, `bVI` and `bVII` those of the minor scale, which `VImaj7` and `IIImaj7` can only be;
 *   otherwise a plain III, VI or VII is refused, since two habits of reading it exist.
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
 * parseNumeral("I6/4", "C").symbol; // => "C/G"
 * parseNumeral("ii65", "C").symbol; // => "Dm7/F"
 * parseNumeral("V7/V/V", "C").symbol; // => "A7"
 * parseNumeral("N6", "C minor").symbol; // => "Db/F"
 * parseNumeral("subV7", "Eb").symbol; // => "Fb7"
 * parseNumeral("ii", "C minor").symbol; // => "Dm7b5"
 * parseNumeral("IV/V", "C"); // throws "progression/numeral"
 * ```
 */
export function parseNumeral(numeral: string, key: Key | string): Chord {
  check(numeralSchema, numeral, "progression/numeral");
  check(keySchema, key, "pitch/key");
  const { tonic, mode } = typeof key === "string" ? parseKey(key) : key;
  const group = /^\[([^\]]*)\]\/(.+)$/.exec(numeral);
  if (group === null) return chordOf(readNumeral(numeral), numeral, tonic, mode);
  const [, inner = "", goals = ""] = group;
  return chordOf(appliedTo(readNumeral(inner), goals), numeral, tonic, mode);
}
