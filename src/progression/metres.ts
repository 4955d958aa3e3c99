import type { BarPosition, Beats } from "../time/index.ts";
import { placeInMetres } from "../time/inner.ts";
import type { Progression } from "./types.ts";

/** The bar and beat of a moment of a progression, whatever its metres. */
export const placeIn = (progression: Pick<Progression, "metre" | "metres">, at: Beats): BarPosition =>
  placeInMetres(progression, at);
