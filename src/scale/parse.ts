import { MusicError } from "../ground/errors.ts";
import { nearestName } from "../ground/text.ts";
import { dictionaryScales } from "../ground/tonal.ts";
import type { Degree } from "../pitch/index.ts";
import { parseNote } from "../pitch/index.ts";
import { isDegree } from "../pitch/inner.ts";
import type { ScaleRow } from "./catalogue.ts";
import { scaleCatalogue } from "./catalogue.ts";
import type { Scale } from "./scale.ts";
import { scaleOn } from "./scale.ts";

const OWN: readonly ScaleRow[] = scaleCatalogue;

const degreesOf = (type: string): { readonly type: string; readonly degrees: readonly Degree[] } | undefined => {
  const wanted = type.trim().toLowerCase().replace(/\s+/g, " ");
  const own = OWN.find((row) => row.id === wanted || row.aliases?.includes(wanted));
  if (own !== undefined) return { type: own.id, degrees: own.degrees };
  const known = dictionaryScales().find(
    (row) => row.name.toLowerCase() === wanted || row.aliases.some((a) => a.toLowerCase() === wanted),
  );
  return known && { type: known.name, degrees: known.degrees.filter(isDegree) };
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
  const own = OWN.map((row) => row.id);
  return [
    ...own,
    ...dictionaryScales()
      .map((row) => row.name)
      .filter((name) => !own.includes(name)),
  ];
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
  const [, tonic, name = "major"] =
    (typeof text === "string" && /^\s*([A-G][b#♭♯x𝄪𝄫]{0,3})(?:\s+(.{1,60}))?\s*$/u.exec(text)) || [];
  if (tonic === undefined) {
    const raised =
      typeof text === "string"
        ? text
            .trim()
            .slice(0, 80)
            .replace(/^[a-g]/, (note) => note.toUpperCase())
        : "";
    throw new MusicError({
      code: "scale/tonic",
      input: text,
      expected: 'a tonic A to G in upper case, then a scale name, as in "Eb major blues"',
      hint: /^[A-G]/.test(raised) && raised !== text ? `did you mean "${raised}"?` : undefined,
    });
  }
  const found = degreesOf(name);
  if (found !== undefined) return scaleOn(parseNote(tonic), found.type, found.degrees);
  const near = nearestName(name, scaleNames());
  throw new MusicError({
    code: "scale/type",
    input: text,
    expected: "a scale name such as major blues, minor blues, major, dorian or harmonic minor",
    hint: near && `did you mean "${tonic} ${near}"?`,
  });
}
