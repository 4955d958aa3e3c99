import { MusicError } from "../ground/errors.ts";
import { nearestName } from "../ground/text.ts";
import { beatsOf } from "../time/index.ts";
import type { Feel, SwungFeelOptions } from "./feel.ts";
import { isFeel, swungFeel } from "./feel.ts";

/** A named feel. */
export interface FeelRow {
  readonly id: string;
  readonly title: string;
  readonly feel: Feel;
  /** Where the numbers come from: authors and year, our derivation, or common practice. */
  readonly source: string;
}

// The sources in full: Corcoran, C. & Frieler, K. (2021), Playing it straight, Music Perception 38(4), 372-385 (abstract; "soloist" is the
// mean over 456 solos); Friberg, A. & Sundström, A. (2002), Swing ratios and ensemble timing in jazz performance, Music Perception 19(3),
// 333-349 (abstract); Nelias, C. et al. (2022), Downbeat delays are a key component of swing in jazz, Communications Physics 5 (near 150 a
// minute). A cymbal's ratios are those of swingRatioAtTempo: its short note lasts 100 ms.
const COMMON = "common practice, no source";
const CORCORAN = "Corcoran & Frieler (2021)";

const row = <I extends string>(
  id: I,
  title: string,
  ratio: string,
  source: string,
  options?: SwungFeelOptions,
): FeelRow & { readonly id: I } => ({ id, title, feel: swungFeel(ratio, { id, ...options }), source });

/** Feels by plain names; {@link feelAtTempo} makes one for a tempo. */
export const feelCatalogue = [
  row("straight", "Straight", "1:1", COMMON),
  row("soloist", "Nearly straight, as soloists play", "1.3:1", CORCORAN),
  row("light swing", "Between straight and triplets", "3:2", "our derivation: a cymbal at 240"),
  row("triplet swing", "The offbeat is the last of three", "2:1", CORCORAN),
  row("hard swing", "The offbeat is the last of four", "3:1", "our derivation: a cymbal at 150"),
  row("slow cymbal", "The widest, as a cymbal plays when slow", "3.5:1", "Friberg & Sundström (2002)"),
  row("laid back", "Triplet swing, the right hand late", "2:1", "delay: Nelias et al. (2022)", {
    parts: { right: { downbeatDelay: beatsOf(85, 960) } },
  }),
  row("sixteenth swing", "Swung sixteenths", "2:1", COMMON, { unit: "16th" }),
] as const;

/** The ids of {@link feelCatalogue}. */
export type FeelId = (typeof feelCatalogue)[number]["id"];

/**
 * A feel by its name in the catalogue, by a ratio, or of a row of your own.
 *
 * @param feel - an id of {@link feelCatalogue}, a ratio such as `"5:3"`, or a row
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
export function parseFeel(feel: string | FeelRow): Feel {
  if (isFeelRow(feel)) return feel.feel;
  const row = feelCatalogue.find((candidate) => candidate.id === feel);
  if (row !== undefined) return row.feel;
  if (typeof feel === "string" && feel.includes(":")) return swungFeel(feel);
  const ids = feelCatalogue.map((candidate) => candidate.id);
  const near = typeof feel === "string" ? nearestName(feel, ids) : undefined;
  throw new MusicError({
    code: "swing/feel",
    input: feel,
    expected: `a ratio such as 2:1, one of ${ids.join(", ")}, or a row`,
    hint: near && `did you mean ${near}?`,
  });
}

/** Whether a value is a row of a feel. */
export const isFeelRow = (value: unknown): value is FeelRow => {
  const { id, title, source, feel }: Partial<FeelRow> = Object(value);
  return (
    [id, title, source].every((text) => typeof text === "string" && text.length > 0 && text.length <= 1000) &&
    isFeel(feel)
  );
};
