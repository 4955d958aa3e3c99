import type { BarPosition, Beats } from "../time/index.ts";
import { placeInMetres } from "../time/inner.ts";
import type { Progression } from "./types.ts";

/** A progression with the chords of its pickup among the others, as bar 0. */
export const fromPickup = (progression: Progression): Progression =>
  progression.pickupChords === undefined
    ? progression
    : { ...progression, chords: [...progression.pickupChords, ...progression.chords] };

/** The bar and beat of a moment of a progression, whatever its metres. */
export const placeIn = (progression: Pick<Progression, "metre" | "metres">, at: Beats): BarPosition =>
  placeInMetres(progression, at);
