import type { Chord } from "../chord/index.ts";
import type { Degree } from "../pitch/index.ts";

/**
 * What a chord is to the ear that looks for a key: `M` major (triad, sixth, major seventh), `7` dominant (augmented among them), `s`
 * suspended, `m` minor (triad or minor seventh), `n` minor with a major sixth or seventh, `h` half-diminished, `o` diminished.
 */
export type Family = "M" | "7" | "s" | "m" | "n" | "h" | "o";

/** The families by the number that the weights count them by. */
export const FAMILIES = ["M", "7", "s", "m", "n", "h", "o"] as const satisfies readonly Family[];

/** A chord's family, by its tones. */
export const familyOf = ({ tones }: Chord): Family => {
  const degrees = new Set<Degree>(tones.map(({ degree }) => degree));
  const seventh = degrees.has("b7");
  if (degrees.has("3")) return seventh || (degrees.has("#5") && !degrees.has("7")) ? "7" : "M";
  if (!degrees.has("b3")) return degrees.has("5") && !degrees.has("4") && !degrees.has("2") && !seventh ? "M" : "s";
  if (degrees.has("b5")) return seventh ? "h" : "o";
  return degrees.has("6") || degrees.has("7") || (degrees.has("13") && !seventh) ? "n" : "m";
};

export const dominates = (family: Family): boolean => family === "7" || family === "s";
export const isMinor = (family: Family): boolean => family === "m" || family === "n" || family === "h";
