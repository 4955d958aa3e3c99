import { MusicError, nearestName } from "../errors.ts";
import { beatsOf } from "../time/index.ts";
import type { Feel } from "./feel.ts";
import { straight, swungFeel } from "./feel.ts";

/** A named feel. */
export interface FeelRow {
  readonly id: string;
  readonly title: string;
  readonly feel: Feel;
  /** Where the numbers come from: authors and year, our derivation, or common practice. */
  readonly source: string;
}

const COMMON = "common practice, no source";

// The sources in full: Corcoran, C. & Frieler, K. (2021), Playing it straight, Music Perception 38(4), 372-385 (abstract; "soloist" is the
// mean over 456 solos); Friberg, A. & Sundström, A. (2002), Swing ratios and ensemble timing in jazz performance, Music Perception 19(3),
// 333-349 (abstract); Nelias, C. et al. (2022), Downbeat delays are a key component of swing in jazz, Communications Physics 5 (near 150 a
// minute). The ratios derived from a tempo are those of swingRatioAtTempo: a ride cymbal whose short note lasts 100 ms.

/** Feels by plain names; {@link feelAtTempo} makes one for a tempo. */
export const feelCatalogue = [
  { id: "straight", title: "Straight", feel: straight, source: COMMON },
  { id: "soloist", title: "Close to straight, as soloists play on average", feel: swungFeel("1.3:1", { id: "soloist" }), source: "Corcoran & Frieler (2021)" },
  { id: "light swing", title: "Between straight and triplets", feel: swungFeel("3:2", { id: "light swing" }), source: "our derivation: a ride cymbal at 240 a minute" },
  {
    id: "triplet swing",
    title: "The textbook swing: the offbeat is the last of three",
    feel: swungFeel("2:1", { id: "triplet swing" }),
    source: "traditional, as in Corcoran & Frieler (2021)",
  },
  { id: "hard swing", title: "Dotted: the offbeat is the last of four", feel: swungFeel("3:1", { id: "hard swing" }), source: "our derivation: a ride cymbal at 150 a minute" },
  { id: "slow cymbal", title: "The widest ratio, as a ride cymbal plays at slow tempi", feel: swungFeel("3.5:1", { id: "slow cymbal" }), source: "Friberg & Sundström (2002)" },
  {
    id: "laid back",
    title: "Triplet swing with the right hand late on the beat",
    feel: swungFeel("2:1", { id: "laid back", parts: { right: { downbeatDelay: beatsOf(85, 960) } } }),
    source: "ratio: traditional; delay: Nelias et al. (2022)",
  },
  { id: "sixteenth swing", title: "Swung sixteenths, the eighths even", feel: swungFeel("2:1", { id: "sixteenth swing", unit: "16th" }), source: COMMON },
] as const satisfies readonly FeelRow[];

/** The ids of {@link feelCatalogue}. */
export type FeelId = (typeof feelCatalogue)[number]["id"];

/**
 * A feel by its name in the catalogue, or by a ratio.
 *
 * @param text - an id of {@link feelCatalogue}, or a ratio such as `"5:3"`
 * @throws MusicError `swing/feel` when it is neither
 *
 * @example
 * ```ts
 * import { parseFeel } from "hands-together";
 *
 * parseFeel("light swing").ratio; // => { first: 3, second: 2 }
 * parseFeel("5:3").ratio; // => { first: 5, second: 3 }
 * parseFeel("hrad swing"); // throws "swing/feel"
 * ```
 */
export function parseFeel(text: string): Feel {
  const row = feelCatalogue.find((candidate) => candidate.id === text);
  if (row !== undefined) return row.feel;
  if (typeof text === "string" && text.includes(":")) return swungFeel(text);
  const ids = feelCatalogue.map((candidate) => candidate.id);
  const near = nearestName(String(text), ids);
  throw new MusicError({
    code: "swing/feel",
    input: text,
    expected: `a ratio such as 2:1, or one of ${ids.join(", ")}`,
    hint: near && `did you mean ${near}?`,
  });
}
