import * as v from "valibot";
import type { Chord } from "../chord/index.ts";
import { formatChord, parseChord } from "../chord/index.ts";
import { isChord } from "../chord/inner.ts";
import { check, shapeOf } from "../ground/check.ts";
import type { Degree, NoteName } from "../pitch/index.ts";
import { formatPitch } from "../pitch/index.ts";
import type { HarmonyKindRow } from "./kinds.ts";
import { HARMONY_KINDS } from "./kinds.ts";

/** A `degree` element of a MusicXML harmony. */
export interface MusicXmlHarmonyDegree {
  /** The degree's number, 1 to 13. */
  readonly value: number;
  /**
   * Semitones. For `"alter"` and `"subtract"` against the tone of the kind; for `"add"` against a dominant
   * chord, whose seventh is minor: an added ♭7 has 0, an added major seventh 1.
   */
  readonly alter: number;
  /** Whether the kind gains a tone, has one moved, or loses one. */
  readonly type: "add" | "alter" | "subtract";
}

/** What a MusicXML `harmony` element says of a chord. */
export interface MusicXmlHarmony {
  /** The chord's root. */
  readonly root: NoteName;
  /** A `kind-value` of MusicXML 4.0. */
  readonly kind: string;
  /** The quality as a lead sheet prints it after the root, the degrees included: `"7(♭9)"`; `""` for a major triad. */
  readonly text: string;
  /** Absent where the root is the bass. */
  readonly bass?: NoteName;
  /** In rising order; kind and degrees add up to the chord's tones. */
  readonly degrees: readonly MusicXmlHarmonyDegree[];
}

/**
 * A chord as MusicXML states it: the kind that needs the fewest degree elements, and those degrees.
 *
 * Kinds are sought within the chord's own family, so that 7sus4 is a suspended fourth and never a dominant that
 * lost its third. At equal count a degree added is preferred to one altered (7♭9 is `dominant` and ♭9) and that to one left
 * out (an added ninth is `major` and 9), save that 13 is `dominant-13th` less the 11th, which that kind contains.
 *
 * Source: W3C Music Notation Community Group, MusicXML 4.0 (2021), `kind-value`, `degree-alter` and `degree-type`.
 *
 * @param given - a chord, or its symbol
 * @throws MusicError the codes of `parseChord` for a symbol that can't be read
 *
 * @example
 * ```ts
 * import { parseChord } from "hands-together/chord";
 * import { musicXmlHarmony } from "hands-together/musicxml";
 *
 * musicXmlHarmony(parseChord("C7b9/E")); // => { root: "C", kind: "dominant", text: "7(♭9)", bass: "E", degrees: [{ value: 9, alter: -1, type: "add" }] }
 * musicXmlHarmony("C13").degrees; // => [{ value: 11, alter: 0, type: "subtract" }]
 * ```
 */
export function musicXmlHarmony(given: Chord | string): MusicXmlHarmony {
  check(chordShape, given, "musicxml/argument");
  return harmonyOf(typeof given === "string" ? parseChord(given) : given);
}

const chordShape = /* @__PURE__ */ v.union([/* @__PURE__ */ v.string(), /* @__PURE__ */ shapeOf(isChord, "a chord")]);

/** What MusicXML says of a chord that is known to be one. */
export const harmonyOf = (chord: Chord): MusicXmlHarmony => {
  const wanted = chord.tones.map((tone) => tone.degree);
  let best: { readonly kind: string; readonly degrees: readonly MusicXmlHarmonyDegree[]; readonly cost: number } = {
    kind: "",
    degrees: [],
    cost: Infinity,
  };
  for (const row of HARMONY_KINDS) {
    if (!row.qualities.includes(chord.quality)) continue;
    const degrees = degreesFrom(row, wanted);
    const cost = degrees.reduce((sum, degree) => sum + costOf(degree), 0);
    if (cost < best.cost) best = { kind: row.kind, degrees, cost };
  }
  // Every family has a row, so one was found.
  const { kind, degrees } = best;
  return {
    root: chord.root,
    kind,
    text: qualityText(chord),
    ...(chord.bass === chord.root ? {} : { bass: chord.bass }),
    degrees,
  };
};

/** What stands between root and slash, as printed. */
const qualityText = (chord: Chord): string => {
  const printed = formatChord(chord);
  const slash = chord.bass === chord.root ? 0 : formatPitch(chord.bass).length + 1;
  return printed.slice(formatPitch(chord.root).length, printed.length - slash);
};

// The count of degrees outweighs their types; an 11th is the first to be left out.
const COST = { add: 101, alter: 102, subtract: 103 } as const;
const costOf = ({ value, type }: MusicXmlHarmonyDegree): number => (value === 11 ? 100 : COST[type]);

const parts = (degree: Degree): { value: number; alteration: number } => {
  const sign = degree.slice(0, degree.search(/\d/));
  return { value: Number(degree.slice(sign.length)), alteration: sign.startsWith("b") ? -sign.length : sign.length };
};

const degreesFrom = (row: HarmonyKindRow, wanted: readonly Degree[]): readonly MusicXmlHarmonyDegree[] => {
  const missing = row.degrees.filter((degree) => !wanted.includes(degree)).map(parts);
  const extra = wanted.filter((degree) => !row.degrees.includes(degree)).map(parts);
  const degrees: MusicXmlHarmonyDegree[] = [];
  for (const { value, alteration } of extra) {
    const replaced = missing.findIndex((degree) => degree.value === value);
    if (replaced < 0) {
      degrees.push({ value, alter: value === 7 ? alteration + 1 : alteration, type: "add" });
      continue;
    }
    for (const from of missing.splice(replaced, 1))
      degrees.push({ value, alter: alteration - from.alteration, type: "alter" });
  }
  for (const { value } of missing) degrees.push({ value, alter: 0, type: "subtract" });
  return degrees.sort((a, b) => a.value - b.value || a.alter - b.alter);
};
