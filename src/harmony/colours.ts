import type { Chord } from "../chord/index.ts";
import type { Degree, Key } from "../pitch/index.ts";
import type { Family } from "./family.ts";
import type { HarmonicFunction } from "./function.ts";

/** What may be added to a plain symbol where it stands: a row. */
export interface ColourRow {
  readonly id: string;
  readonly title: string;
  /** Degrees that belong to the chord there; they are played where the form has room for them. */
  readonly add: readonly Degree[];
  /** Degrees that may be played. */
  readonly may: readonly Degree[];
  /** Degrees that are not added, since they speak against the place. */
  readonly avoid: readonly Degree[];
  /** Where it is written down, or "common practice, no source". */
  readonly source: string;
}

const COMMON = "common practice, no source";
const HANDOUT = "common practice, no source; the forms of a minor ii–V–i are those of tables of rootless voicings";

/**
 * Colours in context, by what a chord does. What a symbol names is played in any case, and nothing is added that it speaks against.
 *
 * @example
 * ```ts
 * import { colourCatalogue } from "hands-together/harmony";
 *
 * colourCatalogue.find((row) => row.id === "dominant-into-minor")?.add; // => ["b9", "b13"]
 * ```
 */
export const colourCatalogue = [
  {
    id: "dominant-into-minor",
    title: "a dominant that leads to a minor chord",
    add: ["b9", "b13"],
    may: [],
    avoid: ["9", "13"],
    source: HANDOUT,
  },
  {
    id: "dominant-from-outside",
    title: "a substitute or backdoor dominant",
    add: ["#11"],
    may: ["9", "13"],
    avoid: ["b9", "b13"],
    source: "Levine, M. (1995), The Jazz Theory Book, on lydian dominants (cited from memory)",
  },
  {
    id: "dominant-into-major",
    title: "a dominant that leads to a major chord",
    add: [],
    may: ["9", "13"],
    avoid: [],
    source: COMMON,
  },
  { id: "blues", title: "a dominant at rest", add: [], may: ["9", "13"], avoid: ["b9", "b13"], source: COMMON },
  {
    id: "half-diminished",
    title: "a half-diminished chord, whose 9th would be the major third of its key",
    add: [],
    may: ["11"],
    avoid: ["9"],
    source: HANDOUT,
  },
  {
    id: "third-degree",
    title: "iii of a major key, whose 9th would be the key's raised fourth",
    add: [],
    may: ["b7", "11"],
    avoid: ["9", "13"],
    source: COMMON,
  },
  {
    id: "two-of-minor",
    title: "ii of a minor chord, whose 9th would be the major third there",
    add: [],
    may: ["b7", "11"],
    avoid: ["9", "13"],
    source: COMMON,
  },
  { id: "minor-seventh", title: "a minor seventh", add: [], may: ["11"], avoid: [], source: COMMON },
  {
    id: "tonic-minor",
    title: "a minor triad as tonic",
    add: ["6", "9"],
    may: [],
    avoid: ["b7"],
    source: HANDOUT,
  },
  {
    id: "major-triad",
    title: "a major triad",
    add: ["6", "9"],
    may: [],
    avoid: ["7"],
    source: COMMON,
  },
] as const satisfies readonly ColourRow[];

/** The ids of {@link colourCatalogue}. */
export type ColourId = (typeof colourCatalogue)[number]["id"];

/** What a colour hangs on. */
export interface Context {
  readonly chord: Chord;
  readonly family: Family;
  /** Semitones above the tonic of the key of the moment, and of the whole. */
  readonly semitones: number;
  readonly inHome: number;
  readonly key: Key;
  readonly home: Key;
  readonly what: HarmonicFunction;
  readonly leadsToMinor: boolean;
  /** Whether its minor seventh is its bass, or the bass that follows under it. */
  readonly seventhBelow: boolean;
}

/** Which row of the colours a chord takes; none for most chords that name their own colours. */
export const colourIdOf = ({
  chord,
  family,
  semitones,
  inHome,
  key,
  home,
  what,
  leadsToMinor,
  seventhBelow,
}: Context): ColourId | undefined => {
  const has = (degree: Degree): boolean => chord.tones.some((tone) => tone.degree === degree);
  if (family === "7" && has("b7")) {
    if (what === "blues") return "blues";
    if (what === "substitute-dominant" || what === "backdoor-dominant") return "dominant-from-outside";
    if (leadsToMinor) return "dominant-into-minor";
    return what === "dominant" || what === "applied-dominant" ? "dominant-into-major" : undefined;
  }
  if (family === "h") return "half-diminished";
  const triad = !["6", "7", "b7", "2", "4"].some((degree) => chord.tones.some((tone) => tone.degree === degree));
  const third =
    (semitones === 4 && key.mode === "major") || (inHome === 4 && home.mode === "major" && what !== "related-two");
  const two = what === "related-two" && leadsToMinor;
  if (family === "m" && has("b7")) return two ? "two-of-minor" : third ? "third-degree" : "minor-seventh";
  if (family === "m" && triad) {
    if (seventhBelow) return "minor-seventh";
    if ((what === "tonic" || what === "borrowed") && (semitones === 0 || inHome === 0)) return "tonic-minor";
    if (third) return "third-degree";
  }
  return family === "M" && triad && !has("#5") ? "major-triad" : undefined;
};
