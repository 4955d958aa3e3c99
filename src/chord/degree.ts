import { need } from "../ground/check.ts";
import type { Degree, NoteName } from "../pitch/index.ts";
import { noteInterval } from "../pitch/index.ts";
import { isDegree } from "../pitch/inner.ts";

// Semitones of the major scale.
const MAJOR: readonly number[] = [0, 2, 4, 5, 7, 9, 11];

/**
 * The degree of a note over a root, 1 to 7, whether or not a chord holds it; it keeps the note's letter.
 *
 * @throws MusicError `pitch/name` when either is no note name
 *
 * @example
 * ```ts
 * import { degreeOver } from "hands-together/chord";
 *
 * degreeOver("C", "Eb"); // => "b3"
 * degreeOver("G", "C#"); // => "#4"
 * ```
 */
export function degreeOver(root: NoteName, note: NoteName): Degree {
  const { steps, semitones } = noteInterval(root, note);
  const alteration = semitones - (MAJOR[steps] ?? 0);
  return `${alteration < 0 ? "b".repeat(-alteration) : "#".repeat(alteration)}${steps + 1}` as Degree;
}

/**
 * A degree as it is printed, with ♭ and ♯.
 *
 * @example
 * ```ts
 * import { formatDegree } from "hands-together/chord";
 *
 * formatDegree("#11"); // => "♯11"
 * formatDegree("bb7"); // => "♭♭7"
 * ```
 */
export function formatDegree(degree: Degree): string {
  need(isDegree, degree, "chord/argument", "a degree such as b3, #11 or bb7");
  return degree.replaceAll("b", "♭").replaceAll("#", "♯");
}
