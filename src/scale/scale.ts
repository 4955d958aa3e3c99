import { MusicError } from "../ground/errors.ts";
import { nearestName } from "../ground/text.ts";
import { dictionaryScales } from "../ground/tonal.ts";
import type { Degree, Interval, NoteName, Pitch } from "../pitch/index.ts";
import {
  comparePitches,
  degreeInterval,
  fifthsOf,
  parseNote,
  parsePitch,
  pitchAtOrAbove,
  pitchClassOf,
  transpose,
  transposeNote,
} from "../pitch/index.ts";
import type { ScaleId } from "./catalogue.ts";
import { scaleCatalogue } from "./catalogue.ts";

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

const degreesOf = (type: string): { readonly type: string; readonly degrees: readonly Degree[] } | undefined => {
  const wanted = type.trim().toLowerCase().replace(/\s+/g, " ");
  const own = scaleCatalogue.find((row) => row.id === wanted || (row.aliases as readonly string[]).includes(wanted));
  if (own !== undefined) return { type: own.id, degrees: own.degrees };
  const known = dictionaryScales().find(
    (row) => row.name.toLowerCase() === wanted || row.aliases.some((a) => a.toLowerCase() === wanted),
  );
  return known === undefined ? undefined : { type: known.name, degrees: known.degrees as readonly Degree[] };
};

/**
 * Every scale name that {@link parseScale} reads after the tonic: our own catalogue first, then tonal's dictionary.
 *
 * @example
 * ```ts
 * import { scaleNames } from "hands-together/scale";
 *
 * scaleNames()[0]; // => "major blues"
 * scaleNames().includes("harmonic minor"); // => true
 * ```
 */
export function scaleNames(): readonly string[] {
  const own = scaleCatalogue.map((row): string => row.id);
  return [
    ...own,
    ...dictionaryScales()
      .map((row) => row.name)
      .filter((name) => !own.includes(name)),
  ];
}

/**
 * A scale of this library's own catalogue in a key.
 *
 * @param tonic - the key note
 * @param type - a name that the type checker has read; {@link parseScale} takes any text
 * @throws MusicError `pitch/unspellable` when a degree would need more than three accidentals
 *
 * @example
 * ```ts
 * import { scale } from "hands-together";
 *
 * scale("C", "major blues").notes; // => ["C", "D", "Eb", "E", "G", "A"]
 * scale("Gb", "minor blues").notes; // => ["Gb", "Bbb", "Cb", "Dbb", "Db", "Fb"]
 * ```
 */
export function scale(tonic: NoteName, type: ScaleId): Scale {
  return scaleOf(parseNote(tonic), type);
}

/**
 * Reads a scale: tonic and name, as in `"E♭ major blues"`, `"F# dorian"` or `"C harmonic minor"`; a tonic alone is major.
 *
 * Names outside this library's catalogue come from tonal's scale dictionary.
 *
 * @throws MusicError `scale/tonic` when the text does not start with a note name, `scale/type` when the scale is not known
 *
 * @example
 * ```ts
 * import { parseScale } from "hands-together";
 *
 * parseScale("Eb major blues").notes; // => ["Eb", "F", "Gb", "G", "Bb", "C"]
 * parseScale("F# dorian").notes; // => ["F#", "G#", "A", "B", "C#", "D#", "E"]
 * parseScale("C majr blues"); // throws "scale/type"
 * ```
 */
export function parseScale(text: string): Scale {
  const match = typeof text === "string" ? /^\s*([A-G][b#♭♯x𝄪𝄫]{0,3})(?:\s+(.{1,60}))?\s*$/u.exec(text) : null;
  if (match === null) {
    const raised = typeof text === "string" ? text.trim().charAt(0).toUpperCase() + text.trim().slice(1) : "";
    throw new MusicError({
      code: "scale/tonic",
      input: text,
      expected: 'a tonic A to G in upper case, then a scale name, as in "Eb major blues"',
      ...(/^[a-g]/.test(String(text).trim()) ? { hint: `did you mean "${raised}"?` } : {}),
    });
  }
  return scaleOf(parseNote(match[1] as string), match[2] ?? "major", text);
}

const scaleOf = (tonic: NoteName, name: string, input: string = name): Scale => {
  const found = degreesOf(name);
  if (found === undefined) {
    const near = nearestName(name, scaleNames());
    throw new MusicError({
      code: "scale/type",
      input,
      expected: "a scale name such as major blues, minor blues, major, dorian or harmonic minor",
      ...(near === undefined ? {} : { hint: `did you mean "${tonic} ${near}"?` }),
    });
  }
  return {
    kind: "scale",
    tonic,
    ...found,
    notes: found.degrees.map((degree) => transposeNote(tonic, degreeInterval(degree))),
  };
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
export function transposeScale(s: Scale, by: Interval): Scale {
  return { ...s, tonic: transposeNote(s.tonic, by), notes: s.notes.map((note) => transposeNote(note, by)) };
}

/**
 * The pitch at an index of a scale that starts on a given tonic: 0 is the tonic, one full turn is the octave,
 * negative indexes lie below.
 *
 * @param s - the scale
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
export function scalePitchAt(s: Scale, tonic: Pitch, index: number): Pitch {
  const size = s.degrees.length;
  if (!Number.isSafeInteger(index))
    throw new MusicError({ code: "scale/index", input: index, expected: "a whole number" });
  if (pitchClassOf(s.tonic) !== ((tonic.semitones % 12) + 12) % 12) {
    throw new MusicError({ code: "scale/index", input: tonic, expected: `a ${s.tonic} in any octave` });
  }
  const octaves = Math.floor(index / size);
  const step = degreeInterval(s.degrees[index - octaves * size] as Degree);
  return transpose(transpose(tonic, step), { kind: "interval", steps: 7 * octaves, semitones: 12 * octaves });
}

/** Options of {@link scalePitches}. */
export interface ScalePitchesOptions {
  /** How many octaves, 1 to 7. @defaultValue 1 */
  readonly octaves?: number;
  /** The tonic is the lowest at or above this pitch. @defaultValue C4 */
  readonly floor?: Pitch;
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
export function scalePitches(s: Scale, options: ScalePitchesOptions = {}): readonly Pitch[] {
  const octaves = options.octaves ?? 1;
  if (!Number.isInteger(octaves) || octaves < 1 || octaves > 7) {
    throw new MusicError({ code: "scale/octaves", input: octaves, expected: "1 to 7 whole octaves" });
  }
  const tonic = pitchAtOrAbove(s.tonic, options.floor ?? parsePitch("C4"));
  return Array.from({ length: octaves * s.degrees.length + 1 }, (_, index) => scalePitchAt(s, tonic, index));
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
export function scalePitchesBetween(s: Scale, low: Pitch, high: Pitch): readonly Pitch[] {
  const tonic = pitchAtOrAbove(s.tonic, low);
  const pitches: Pitch[] = [];
  for (let index = -s.degrees.length; ; index++) {
    const p = scalePitchAt(s, tonic, index);
    if (p.semitones > high.semitones) return pitches.sort(comparePitches);
    if (p.semitones >= low.semitones) pitches.push(p);
  }
}

const TONICS: readonly NoteName[] = ["Cb", "Gb", "Db", "Ab", "Eb", "Bb", "F", "C", "G", "D", "A", "E", "B", "F#", "C#"];

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
  readonly order?: KeyOrder;
}

/**
 * The twelve keys from C in an order of practice, each named so that the given degrees read best.
 *
 * @param degrees - all the degrees that will be written out
 *
 * @example
 * ```ts
 * import { scale, twelveKeys } from "hands-together";
 *
 * twelveKeys(scale("C", "major blues").degrees, { order: "fourths" }); // => ["C", "F", "Bb", "Eb", "Ab", "Db", "F#", "B", "E", "A", "D", "G"]
 * ```
 */
export function twelveKeys(
  degrees: readonly Degree[],
  { order = "fourths" }: KeyOrderOptions = {},
): readonly NoteName[] {
  const stride = order === "fourths" ? 5 : order === "fifths" ? 7 : 1;
  return Array.from({ length: 12 }, (_, i) => bestTonic((i * stride) % 12, degrees));
}
