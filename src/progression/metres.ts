import { MusicError } from "../ground/errors.ts";
import type { BarPosition, Beats, Metre } from "../time/index.ts";
import {
  addBeats,
  barLength,
  barPosition,
  beats,
  compareBeats,
  formatMetre,
  multiplyBeats,
  subtractBeats,
  ZERO,
} from "../time/index.ts";
import type { Progression } from "./types.ts";

/** The bar and beat of a moment of a progression, whatever its metres. */
export const placeIn = ({ metre, metres = [] }: Pick<Progression, "metre" | "metres">, at: Beats): BarPosition => {
  let own: Metre = metre;
  let [from, first] = [ZERO, 1];
  for (const change of metres) {
    const start = addBeats(from, multiplyBeats(barLength(own), beats(change.bar - first)));
    if (compareBeats(start, at) > 0) break;
    [own, from, first] = [change.metre, start, change.bar];
  }
  const place = barPosition(subtractBeats(at, from), own);
  return { ...place, bar: place.bar + first - 1 };
};

/**
 * A progression whose metre does not change, for what counts bars by one metre.
 *
 * @throws MusicError `progression/metre` where it does
 */
export const inOneMetre = (progression: Progression): Progression => {
  const [change] = progression.metres ?? [];
  if (change === undefined) return progression;
  throw new MusicError({
    code: "progression/metre",
    input: `${formatMetre(change.metre)} in bar ${change.bar}`,
    expected: `one metre throughout, ${formatMetre(progression.metre)} as it begins, for what is to be played over it`,
    reason: "cannot-be-done",
  });
};
