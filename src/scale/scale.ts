import type { OptionTests } from "../ground/check.ts";
import { need, needOptions } from "../ground/check.ts";
import { MusicError } from "../ground/errors.ts";
import type { Degree, Interval, IntervalName, NoteName, Pitch, PitchName } from "../pitch/index.ts";
import {
  comparePitches,
  degreeInterval,
  fifthsOf,
  parseNote,
  pitchAtOrAbove,
  pitchClassOf,
  transpose,
  transposeNote,
} from "../pitch/index.ts";
import { isDegree, isNoteName, pitchOf } from "../pitch/inner.ts";
import type { ScaleId, ScaleRow } from "./catalogue.ts";
import { scaleRow } from "./row.ts";

/** A scale in a key, spelled: every note keeps the letter of its degree. */
export interface Scale {
  readonly kind: "scale";
  readonly tonic: NoteName;
  /** The scale's name without the key, such as `"major blues"`. */
  readonly type: string;
  /** Degrees within one octave from the tonic, rising. */
  readonly degrees: readonly Degree[];
  /** The notes of the degrees, in the same order. */
  readonly notes: readonly NoteName[];
}

/**
 * A scale of this library's own catalogue, or of a row of your own, in a key.
 *
 * @param tonic - the key note
 * @param type - a name that the type checker has read, or a row; {@link parseScale} takes any text
 * @throws MusicError `scale/type` for neither, `pitch/unspellable` when a degree would need more than three accidentals
 *
 * @example
 * ```ts
 * import { scale } from "hands-together";
 *
 * scale("C", "major blues").notes; // => ["C", "D", "Eb", "E", "G", "A"]
 * scale("Gb", "minor blues").notes; // => ["Gb", "Bbb", "Cb", "Dbb", "Db", "Fb"]
 * ```
 */
export function scale(tonic: NoteName, type: ScaleId | ScaleRow): Scale {
  const { id, degrees } = scaleRow(type);
  return scaleOn(parseNote(tonic), id, degrees);
}

/** The scale of degrees on a tonic. */
export const scaleOn = (tonic: NoteName, type: string, degrees: readonly Degree[]): Scale => ({
  kind: "scale",
  tonic,
  type,
  degrees,
  notes: degrees.map((degree) => transposeNote(tonic, degreeInterval(degree))),
});

const known = /* @__PURE__ */ new WeakSet<object>();

/** Whether a value is a scale whose notes are those of its degrees. */
export const isScale = (value: unknown): value is Scale => {
  const own: object = Object(value);
  if (known.has(own)) return true;
  const { kind, tonic, type, degrees, notes }: Partial<Scale> = own;
  const right =
    kind === "scale" &&
    typeof type === "string" &&
    isNoteName(tonic) &&
    Array.isArray(degrees) &&
    degrees.length > 0 &&
    degrees.length <= MOST_DEGREES &&
    degrees.every(isDegree) &&
    Array.isArray(notes) &&
    notes.length === degrees.length &&
    notes.every((note, i) => isNoteName(note) && note === transposeNote(tonic, degreeInterval(degrees[i] ?? "1")));
  if (right) known.add(own);
  return right;
};

const MOST_DEGREES = 24;

// Every scale of the dictionary by name would carry the dictionary into each page that walks a scale.
const scaleIn = (given: Scale | string): Scale => {
  if (typeof given === "string") {
    const [, tonic, type] = /^\s*(\S{1,6})\s+(\S.{0,60}?)\s*$/u.exec(given) ?? [];
    if (tonic !== undefined && type !== undefined) return scaleOn(parseNote(tonic), type, scaleRow(type).degrees);
  }
  need(
    isScale,
    given,
    "scale/argument",
    'a scale, as parseScale reads one from text, or its name, as in "C major blues"',
  );
  return given;
};

/**
 * A scale moved by an interval, spelled.
 *
 * @throws MusicError `pitch/unspellable` when a note would need more than three accidentals
 *
 * @example
 * ```ts
 * import { interval, scale } from "hands-together";
 * import { transposeScale } from "hands-together/scale";
 *
 * transposeScale(scale("C", "major blues"), interval("m3")).tonic; // => "Eb"
 * ```
 */
export function transposeScale(ofScale: Scale | string, by: Interval | IntervalName): Scale {
  const s = scaleIn(ofScale);
  return { ...s, tonic: transposeNote(s.tonic, by), notes: s.notes.map((note) => transposeNote(note, by)) };
}

/**
 * The pitch at an index of a scale that starts on a given tonic: 0 is the tonic, one full turn is the octave,
 * negative indexes lie below.
 *
 * @param ofScale - the scale
 * @param tonic - the pitch of index 0; its name must be the scale's tonic
 * @throws MusicError `scale/index` when the index is not whole or the pitch is not the tonic
 *
 * @example
 * ```ts
 * import { pitch, pitchName, scale } from "hands-together";
 * import { scalePitchAt } from "hands-together/scale";
 *
 * const blues = scale("C", "major blues");
 * pitchName(scalePitchAt(blues, pitch("C4"), 7)); // => "D5"
 * pitchName(scalePitchAt(blues, pitch("C4"), -1)); // => "A3"
 * ```
 */
export function scalePitchAt(ofScale: Scale | string, tonic: Pitch | PitchName, index: number): Pitch {
  const s = scaleIn(ofScale);
  const start = pitchOf(tonic);
  if (!Number.isSafeInteger(index) || Math.abs(index) > FARTHEST)
    throw new MusicError({
      code: "scale/index",
      input: index,
      expected: `a whole number from -${FARTHEST} to ${FARTHEST}`,
    });
  if (pitchClassOf(s.tonic) !== ((start.semitones % 12) + 12) % 12) {
    throw new MusicError({ code: "scale/index", input: tonic, expected: `a ${s.tonic} in any octave` });
  }
  return pitchAt(s, start, index);
}

// Many times the keys of any piano.
const FARTHEST = 1000;

const pitchAt = (s: Scale, tonic: Pitch, index: number): Pitch => {
  const octaves = Math.floor(index / s.degrees.length);
  const step = degreeInterval(s.degrees[index - octaves * s.degrees.length] ?? "1");
  return transpose(transpose(tonic, step), { kind: "interval", steps: 7 * octaves, semitones: 12 * octaves });
};

// What looks after itself when it is read.
const ANY: OptionTests[string] = [() => true, ""];

/** Options of {@link scalePitches}. */
export interface ScalePitchesOptions {
  /** How many octaves, 1 to 7. @defaultValue 1 */
  readonly octaves?: number | undefined;
  /** The tonic is the lowest at or above this pitch. @defaultValue C4 */
  readonly floor?: Pitch | PitchName | undefined;
}

/**
 * The pitches of a scale from a tonic up to the tonic at the top, both included.
 *
 * @throws MusicError `scale/octaves` unless 1 to 7 whole octaves are asked for
 *
 * @example
 * ```ts
 * import { pitchName, scale, scalePitches } from "hands-together";
 *
 * scalePitches(scale("C", "major blues")).map(pitchName); // => ["C4", "D4", "Eb4", "E4", "G4", "A4", "C5"]
 * ```
 */
export function scalePitches(ofScale: Scale | string, options: ScalePitchesOptions = {}): readonly Pitch[] {
  const s = scaleIn(ofScale);
  needOptions(options, { octaves: ANY, floor: ANY }, "scale/argument");
  const octaves = options.octaves ?? 1;
  if (!Number.isInteger(octaves) || octaves < 1 || octaves > 7) {
    throw new MusicError({ code: "scale/octaves", input: octaves, expected: "1 to 7 whole octaves" });
  }
  const tonic = pitchAtOrAbove(s.tonic, options.floor ?? "C4");
  return Array.from({ length: octaves * s.degrees.length + 1 }, (_, index) => pitchAt(s, tonic, index));
}

/**
 * Every pitch of a scale between two pitches, both included, from low to high.
 *
 * @example
 * ```ts
 * import { pitch, pitchName, scale } from "hands-together";
 * import { scalePitchesBetween } from "hands-together/scale";
 *
 * scalePitchesBetween(scale("C", "major blues"), pitch("G4"), pitch("D5")).map(pitchName); // => ["G4", "A4", "C5", "D5"]
 * ```
 */
export function scalePitchesBetween(
  ofScale: Scale | string,
  low: Pitch | PitchName,
  high: Pitch | PitchName,
): readonly Pitch[] {
  const s = scaleIn(ofScale);
  const [from, to] = [pitchOf(low).semitones, pitchOf(high).semitones];
  if (to - from > WIDEST)
    throw new MusicError({
      code: "scale/argument",
      input: high,
      expected: `at most ${WIDEST} semitones above the lower`,
    });
  const tonic = pitchAtOrAbove(s.tonic, low);
  const pitches: Pitch[] = [];
  for (let index = -s.degrees.length; ; index++) {
    const p = pitchAt(s, tonic, index);
    if (p.semitones > to) return pitches.sort(comparePitches);
    if (p.semitones >= from) pitches.push(p);
  }
}

// All that MIDI knows, and more.
const WIDEST = 240;

const TONICS: readonly NoteName[] = ["Cb", "Gb", "Db", "Ab", "Eb", "Bb", "F", "C", "G", "D", "A", "E", "B", "F#", "C#"];

const requireDegrees: (degrees: unknown) => asserts degrees is readonly Degree[] = (degrees) =>
  need(
    (value): value is readonly Degree[] => Array.isArray(value) && value.length <= 1000 && value.every(isDegree),
    degrees,
    "scale/argument",
    "a list of degrees such as b3 or #11",
  );

/**
 * The name of a key note with which a set of degrees reads best: fewest double accidentals, then fewest
 * accidentals, then flats. Only the fifteen tonics that have a major key signature are considered.
 *
 * @param pitchClass - semitones above C, 0 to 11
 * @param degrees - all the degrees that will be written out: the scale's and, for a drill, the chords'
 * @throws MusicError `scale/pitch-class` when it is not 0 to 11
 *
 * @example
 * ```ts
 * import { scale } from "hands-together";
 * import { bestTonic } from "hands-together/scale";
 *
 * bestTonic(6, scale("C", "minor blues").degrees); // => "F#"
 * bestTonic(6, ["1", "3", "5"]); // => "Gb"
 * ```
 */
export function bestTonic(pitchClass: number, degrees: readonly Degree[]): NoteName {
  requireDegrees(degrees);
  const candidates = TONICS.filter((tonic) => pitchClassOf(tonic) === pitchClass);
  const cost = (tonic: NoteName): number =>
    degrees.reduce((sum, degree) => {
      const alteration = Math.abs(Math.floor((fifthsOf(transposeNote(tonic, degreeInterval(degree))) + 1) / 7));
      return sum + alteration + (alteration > 1 ? 1000 : 0);
    }, 0);
  const best = candidates.reduce<{ tonic: NoteName; cost: number } | undefined>((kept, tonic) => {
    const here = cost(tonic);
    return kept === undefined || here < kept.cost ? { tonic, cost: here } : kept;
  }, undefined);
  if (best === undefined)
    throw new MusicError({ code: "scale/pitch-class", input: pitchClass, expected: "a whole number from 0 to 11" });
  return best.tonic;
}

/** An order in which twelve keys are practised. */
export type KeyOrder = "fourths" | "fifths" | "chromatic";

/** Options of {@link twelveKeys} and `drillKeys`. */
export interface KeyOrderOptions {
  /** Round the cycle of fourths, of fifths, or up by semitones. @defaultValue `"fourths"` */
  readonly order?: KeyOrder | undefined;
}

/** Options of {@link twelveKeys}. */
export interface TwelveKeysOptions extends KeyOrderOptions {
  /** All the degrees that will be written out, where keys are to be named so that these read best. @defaultValue those of the major scale */
  readonly degrees?: readonly Degree[] | undefined;
}

const MAJOR: readonly Degree[] = ["1", "2", "3", "4", "5", "6", "7"];
const STRIDES = { fourths: 5, fifths: 7, chromatic: 1 } as const;

/**
 * The twelve keys from C in an order of practice, each named so that the given degrees read best.
 *
 * @throws MusicError `scale/order` for an order that is none of the three
 *
 * @example
 * ```ts
 * import { scale, twelveKeys } from "hands-together";
 *
 * twelveKeys(); // => ["C", "F", "Bb", "Eb", "Ab", "Db", "Gb", "B", "E", "A", "D", "G"]
 * twelveKeys({ degrees: scale("C", "major blues").degrees, order: "fifths" }); // => ["C", "G", "D", "A", "E", "B", "F#", "Db", "Ab", "Eb", "Bb", "F"]
 * ```
 */
export function twelveKeys(options: TwelveKeysOptions = {}): readonly NoteName[] {
  needOptions(options, { order: ANY, degrees: ANY }, "scale/argument");
  const { order = "fourths", degrees = MAJOR } = options;
  if (typeof order !== "string" || !Object.hasOwn(STRIDES, order))
    throw new MusicError({ code: "scale/order", input: order, expected: "fourths, fifths or chromatic" });
  return Array.from({ length: 12 }, (_, i) => bestTonic((i * STRIDES[order]) % 12, degrees));
}
