import type { Beats, Metre } from "../time/index.ts";
import {
  addBeats,
  barLength,
  beats,
  compareBeats,
  divideBeats,
  isCompound,
  multiplyBeats,
  pulseLength,
  ZERO,
} from "../time/index.ts";

/** How many pulses a bar has. */
export const pulsesIn = (metre: Metre): Beats => divideBeats(barLength(metre), pulseLength(metre));

/**
 * How chords without beats share a bar, in pulses: whole pulses where there are enough, the first chords the longer, so that three in four
 * beats have 2 + 1 + 1; else counts of a compound metre, then halves, quarters and so on. Common practice, no source.
 */
export const sharesOf = (chords: number, metre: Metre): readonly Beats[] => {
  const pulses = pulsesIn(metre);
  const counts = isCompound(metre) ? beats(metre.count) : multiplyBeats(pulses, beats(2));
  let units = compareBeats(beats(chords), pulses) <= 0 && pulses.den === 1 ? pulses : counts;
  while (compareBeats(beats(chords), units) > 0) units = multiplyBeats(units, beats(2));
  if (units.den !== 1) return Array.from({ length: chords }, () => divideBeats(pulses, beats(chords)));
  const unit = divideBeats(pulses, units);
  const [each, extra] = [Math.floor(units.num / chords), units.num % chords];
  return Array.from({ length: chords }, (_, i) => multiplyBeats(unit, beats(each + (i < extra ? 1 : 0))));
};

/** A number of pulses as it is written, such as 3, 1/2 or 1.5; `undefined` for none. */
export const pulsesOf = (text: string): Beats | undefined => {
  const fits = /^[0-9]{1,4}(?:\/[0-9]{1,4}|\.[0-9]{1,4})?$/.test(text);
  return fits && !/^[0.]*$/.test(text) && !/\/0+$/.test(text) && !/^0+\//.test(text) ? beats(text) : undefined;
};

/** Lengths put together. */
export const sumOf = (lengths: readonly Beats[]): Beats => lengths.reduce(addBeats, ZERO);
