/** A note of a pickup: the root or the fifth of the chord that it leads to, or the key beside that root. */
export type PickupPart = "root" | "fifth" | "semitone-below" | "semitone-above";

/** Quick notes in the left hand that lead into a chord. */
export interface PickupRow {
  readonly id: string;
  readonly title: string;
  /** From 1 (first lessons) to 5. */
  readonly level: 1 | 2 | 3 | 4 | 5;
  /** In order of time; the last ends where the chord enters. A root is left out where the pattern itself has it on the beat. */
  readonly play: readonly PickupPart[];
  /** The length of each in pulses. */
  readonly each: string;
  readonly source: string;
}

const COMMON = "common practice, no source";

/**
 * The pickups; a new one is one more row.
 *
 * @example
 * ```ts
 * import { pickupCatalogue } from "hands-together";
 *
 * pickupCatalogue[0].play; // => ["fifth", "root"]
 * ```
 */
export const pickupCatalogue = [
  { id: "fifth", title: "5th, then root, in triplets", level: 2, play: ["fifth", "root"], each: "1/3", source: COMMON },
  {
    id: "below",
    title: "the semitone below, then root, in triplets",
    level: 3,
    play: ["semitone-below", "root"],
    each: "1/3",
    source: COMMON,
  },
  {
    id: "above",
    title: "the semitone above, then root, in triplets",
    level: 3,
    play: ["semitone-above", "root"],
    each: "1/3",
    source: COMMON,
  },
  {
    id: "beat-below",
    title: "the semitone below the next root, a whole beat",
    level: 2,
    play: ["semitone-below"],
    each: "1",
    source: COMMON,
  },
  {
    id: "beat-above",
    title: "the semitone above the next root, a whole beat",
    level: 2,
    play: ["semitone-above"],
    each: "1",
    source: COMMON,
  },
] as const satisfies readonly PickupRow[];

/** The ids of {@link pickupCatalogue}. */
export type PickupId = (typeof pickupCatalogue)[number]["id"];
