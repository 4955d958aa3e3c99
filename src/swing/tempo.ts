import { MusicError } from "../ground/errors.ts";
import type { Beats } from "../time/index.ts";
import {
  beats,
  beatsOf,
  compareBeats,
  divideBeats,
  minBeats,
  multiplyBeats,
  subtractBeats,
  ZERO,
} from "../time/index.ts";
import type { Feel, SwingRatio } from "./feel.ts";
import { swungFeel } from "./feel.ts";

const clip = (value: Beats, low: Beats, high: Beats): Beats =>
  compareBeats(value, low) < 0 ? low : compareBeats(value, high) > 0 ? high : value;

const exactTempo = (tempo: number | string): Beats => {
  const text = typeof tempo === "number" || typeof tempo === "string" ? String(tempo) : "";
  const exact = /^\d{1,4}(\.\d{1,6}|\/(?!0+$)\d{1,4})?$/.test(text) ? beats(text) : ZERO;
  if (exact.num > 0 && compareBeats(exact, beats(1000)) <= 0) return exact;
  throw new MusicError({ code: "swing/tempo", input: tempo, expected: "quarter notes a minute above 0, at most 1000" });
};

/**
 * The swing ratio of a ride cymbal at a tempo: 600/tempo - 1, kept between 1:1 and 3.5:1.
 *
 * Our derivation, not a published formula: it is what a short note of 100 ms leaves of the beat. It meets the
 * published facts: a ratio that falls with tempo, up to 3.5:1 at slow tempi and 1:1 at fast, 2:1 at one tempo
 * only (200 a minute), a short note of about 100 ms, constant, for medium to fast tempi. Source of the facts: Friberg, A. &
 * Sundström, A. (2002), Swing ratios and ensemble timing in jazz performance, Music Perception 19(3), 333–349.
 *
 * @param tempo - quarter notes a minute, a number or exact text such as `"400/3"`
 * @throws MusicError `swing/tempo` unless it is above 0 and at most 1000
 *
 * @example
 * ```ts
 * import { swingRatioAtTempo } from "hands-together/swing";
 *
 * swingRatioAtTempo(200); // => { first: 2, second: 1 }
 * swingRatioAtTempo(120); // => { first: 7, second: 2 }
 * ```
 */
export function swingRatioAtTempo(tempo: number | string): SwingRatio {
  const ratio = clip(subtractBeats(divideBeats(beats(600), exactTempo(tempo)), beats(1)), beats(1), beats("7/2"));
  return { first: ratio.num, second: ratio.den };
}

/**
 * How late a soloist places downbeats at a tempo, in quarter notes: 85/960 at 150 a minute, along a straight line
 * to nothing at 300, never above an eighth of a quarter.
 *
 * The one point is published, and that the delay falls with tempo, nearly linearly in ticks: Nelias, C.,
 * Sturm, E. M., Albrecht, T., Hagmayer, Y. & Geisel, T. (2022), Downbeat delays are a key component of swing in jazz,
 * Communications Physics 5. The line's other end is our derivation: the tempo at which {@link swingRatioAtTempo} is straight.
 *
 * @param tempo - quarter notes a minute
 * @throws MusicError `swing/tempo` unless it is above 0 and at most 1000
 *
 * @example
 * ```ts
 * import { downbeatDelayAtTempo } from "hands-together/swing";
 *
 * downbeatDelayAtTempo(150); // => { num: 17, den: 192 }
 * ```
 */
export function downbeatDelayAtTempo(tempo: number | string): Beats {
  const left = divideBeats(subtractBeats(beats(300), exactTempo(tempo)), beats(150));
  return clip(multiplyBeats(beatsOf(85, 960), left), ZERO, beatsOf(1, 8));
}

/**
 * The feel of a small group at a tempo: everyone shares the offbeat of {@link swingRatioAtTempo}, and the right hand, as soloist, is late
 * on the downbeats by {@link downbeatDelayAtTempo}.
 *
 * Our derivation from the two sources named there. The right hand's own beat-upbeat ratio comes out below the
 * cymbal's, as reported, yet above the 1.3:1 that Corcoran & Frieler (2021) found on average over 456 solos; the preset `"soloist"` has that.
 *
 * @param tempo - quarter notes a minute
 * @throws MusicError `swing/tempo` unless it is above 0 and at most 1000
 *
 * @example
 * ```ts
 * import { feelAtTempo } from "hands-together";
 * import { partFeel } from "hands-together/swing";
 *
 * const feel = feelAtTempo(150);
 * feel.ratio; // => { first: 3, second: 1 }
 * partFeel(feel, "right").downbeatDelay; // => { num: 17, den: 192 }
 * partFeel(feel, "left").downbeatDelay; // => undefined
 * ```
 */
export function feelAtTempo(tempo: number | string): Feel {
  const delay = downbeatDelayAtTempo(tempo);
  return swungFeel(swingRatioAtTempo(tempo), {
    id: `swing at ${tempo}`,
    ...(delay.num > 0 && { parts: { right: { downbeatDelay: delay } } }),
  });
}

/**
 * How long a grace note sounds, in quarter notes: 60 ms, but at most an eighth of a quarter note, taken from the
 * time before its main note. Common practice, no source; the feel does not change it.
 *
 * @param tempo - quarter notes a minute
 * @throws MusicError `swing/tempo` unless it is above 0 and at most 1000
 *
 * @example
 * ```ts
 * import { graceLength } from "hands-together/swing";
 *
 * graceLength(100); // => { num: 1, den: 10 }
 * ```
 */
export function graceLength(tempo: number | string): Beats {
  return minBeats(divideBeats(exactTempo(tempo), beats(1000)), beatsOf(1, 8));
}
