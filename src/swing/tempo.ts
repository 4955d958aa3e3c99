import { MusicError } from "../ground/errors.ts";
import type { Beats, Metre, MetreName } from "../time/index.ts";
import {
  addBeats,
  beats,
  beatsOf,
  compareBeats,
  divideBeats,
  minBeats,
  multiplyBeats,
  pulseLength,
  subtractBeats,
  ZERO,
} from "../time/index.ts";
import type { FeelRow } from "./catalogue.ts";
import { parseFeel } from "./catalogue.ts";
import type { Feel, SwingRatio } from "./feel.ts";
import { isFeel, pairLength, straight, swungFeel } from "./feel.ts";

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
  return cymbalAt(exactTempo(tempo));
}

const cymbalAt = (tempo: Beats): SwingRatio => {
  const { num, den } = clip(subtractBeats(divideBeats(600, tempo), 1), beats(1), beats("7/2"));
  return { first: num, second: den };
};

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
  return delayAt(exactTempo(tempo));
}

const delayAt = (tempo: Beats): Beats =>
  clip(multiplyBeats(beatsOf(85, 960), divideBeats(subtractBeats(300, tempo), 150)), ZERO, beatsOf(1, 8));

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
  return lateAt(exactTempo(tempo), `swing at ${tempo}`);
}

const lateAt = (tempo: Beats, id: string): Feel => {
  const delay = delayAt(tempo);
  return swungFeel(cymbalAt(tempo), {
    id,
    ...(delay.num > 0 && { parts: { right: { downbeatDelay: delay } } }),
  });
};

/**
 * The ratio of a soloist who does not delay the downbeats: that of {@link feelAtTempo}'s right hand from downbeat to offbeat, to hundredths.
 *
 * Our derivation. It lies between 1:1 and 2.05:1 at every tempo; Corcoran & Frieler (2021) found 1.3:1 on average over 456 solos, and 2:1 and
 * more now and then, at slow and moderate tempi.
 *
 * @param tempo - quarter notes a minute
 * @throws MusicError `swing/tempo` unless it is above 0 and at most 1000
 *
 * @example
 * ```ts
 * import { soloistRatioAtTempo } from "hands-together/swing";
 *
 * soloistRatioAtTempo(150); // => { first: 39, second: 20 }
 * soloistRatioAtTempo(240); // => { first: 13, second: 10 }
 * ```
 */
export function soloistRatioAtTempo(tempo: number | string): SwingRatio {
  return soloistAt(exactTempo(tempo));
}

const soloistAt = (tempo: Beats): SwingRatio => {
  const { first, second } = cymbalAt(tempo);
  const long = subtractBeats(beatsOf(first, first + second), delayAt(tempo));
  const { num, den } = divideBeats(long, subtractBeats(1, long));
  const ratio = beatsOf(Math.max(100, Math.round((100 * num) / den)), 100);
  return { first: ratio.num, second: ratio.den };
};

/** A way to swing that is made for a tempo. */
export interface TempoFeelRow {
  readonly id: string;
  readonly title: string;
  readonly source: string;
}

const CURVES = "our derivation from Friberg & Sundström (2002) and Nelias et al. (2022)";

/**
 * The ways to swing that {@link feelFor} makes for a tempo.
 *
 * @example
 * ```ts
 * import { tempoFeelCatalogue } from "hands-together/swing";
 *
 * tempoFeelCatalogue.map((row) => row.id); // => ["swing", "late swing", "ballad"]
 * ```
 */
export const tempoFeelCatalogue = [
  { id: "swing", title: "As the tempo asks: cymbal and bass wide, both hands as a soloist", source: CURVES },
  { id: "late swing", title: "As the tempo asks, the right hand late on the downbeats", source: CURVES },
  {
    id: "ballad",
    title: "Even eighths, sixteenths swung as the eighths of twice the tempo",
    source: "common practice, no source",
  },
] as const satisfies readonly TempoFeelRow[];

/** The ids of {@link tempoFeelCatalogue}. */
export type TempoFeelId = (typeof tempoFeelCatalogue)[number]["id"];

/**
 * A feel for a tempo and a metre: by name, by ratio, a row or a feel of your own, or a way of {@link tempoFeelCatalogue}.
 *
 * It is straight where its pairs do not fit into the pulse of the metre: the eighths of 6/8, 9/8 and 12/8, thirds of the beat already, are never
 * swung, nor those of 3/8, 5/8 and 7/8, which do not come in pairs.
 *
 * @param tempo - quarter notes a minute
 * @throws MusicError `swing/feel` for no feel, `swing/tempo` unless the tempo is above 0 and at most 1000
 *
 * @example
 * ```ts
 * import { feelFor, partFeel } from "hands-together/swing";
 *
 * const feel = feelFor("swing", 150, "4/4");
 * partFeel(feel, "right").ratio; // => { first: 39, second: 20 }
 * partFeel(feel, "drums").ratio; // => { first: 3, second: 1 }
 * feelFor("swing", 90, "12/8").id; // => "straight"
 * ```
 */
export function feelFor(feel: string | Feel | FeelRow, tempo: number | string, metre: Metre | MetreName): Feel {
  const exact = exactTempo(typeof tempo === "number" ? Math.round(tempo * 1000) / 1000 : tempo);
  const own = isFeel(feel) ? feel : (byTempo(feel, exact) ?? parseFeel(feel));
  return divideBeats(pulseLength(metre), pairLength(own.unit)).den === 1 ? own : straight;
}

const byTempo = (feel: string | FeelRow, tempo: Beats): Feel | undefined => {
  if (feel === "late swing") return lateAt(tempo, feel);
  if (feel !== "swing" && feel !== "ballad") return undefined;
  const pace = feel === "swing" ? tempo : addBeats(tempo, tempo);
  const ratio = cymbalAt(pace);
  return swungFeel(soloistAt(pace), {
    id: feel,
    unit: feel === "swing" ? "eighth" : "16th",
    parts: { bass: { ratio }, drums: { ratio } },
  });
};

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
