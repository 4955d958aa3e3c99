import type { Chord } from "../chord/index.ts";
import { formatChord, parseChord } from "../chord/index.ts";
import type { AnalysedChord } from "../harmony/index.ts";
import { analysisOf } from "../harmony/inner.ts";
import type { NoteName } from "../pitch/index.ts";
import { pitchClassOf } from "../pitch/index.ts";
import type { ChordSpan, Progression, ProgressionRow } from "../progression/index.ts";
import { progressionOf } from "../progression/inner.ts";
import type { Beats } from "../time/index.ts";
import { addBeats, beats, beatsToNumber, divideBeats, multiplyBeats } from "../time/index.ts";
import type { VoiceProgressionOptions } from "./progression.ts";
import { voiceProgression } from "./progression.ts";

/** A way to change a chord that its function allows. */
export type ReharmonisationId = "tritone-substitute" | "related-two" | "two-five" | "backdoor" | "passing-diminished";

/** A change of a chord, offered. */
export interface Reharmonisation {
  readonly kind: "reharmonisation";
  readonly way: ReharmonisationId;
  /** Which chord, from 0, bars without a chord not counted. */
  readonly index: number;
  /** From 1. */
  readonly bar: number;
  /** In pulses of the metre, from 1. */
  readonly beat: Beats;
  readonly from: string;
  /** What stands in its place, in time. */
  readonly to: readonly string[];
  /** How long each of them lasts, in quarter notes. */
  readonly durations: readonly Beats[];
  readonly reason: string;
  /** Semitones that all voices together move more than without it; less where below zero. */
  readonly motion: number;
}

// The names with the fewest accidentals: nobody reads F♭7 on a page.
const NAMES: readonly NoteName[] = ["C", "Db", "D", "Eb", "E", "F", "Gb", "G", "Ab", "A", "Bb", "B"];
const RAISED: readonly NoteName[] = ["C", "C#", "D", "D#", "E", "F", "F#", "G", "G#", "A", "A#", "B"];

const above = (chord: Chord, semitones: number, names = NAMES): NoteName =>
  names[(pitchClassOf(chord.root) + semitones + 12) % 12] ?? "C";

interface Offer {
  readonly way: ReharmonisationId;
  readonly to: readonly string[];
  /** How much of the time each of them takes, as parts. @defaultValue all as much */
  readonly parts?: readonly number[];
  readonly reason: string;
}

const rootStep = (from: Chord, to: Chord | undefined): number | undefined =>
  to === undefined ? undefined : (pitchClassOf(to.root) - pitchClassOf(from.root) + 12) % 12;

const HALF_A_BAR = 2;
const BAR = 4;

const MINOR: readonly Chord["quality"][] = ["minor", "minor-major", "half-diminished"];

const offersFor = (
  here: AnalysedChord,
  before: AnalysedChord | undefined,
  after: AnalysedChord | undefined,
): readonly Offer[] => {
  const { chord, duration } = here;
  const step = rootStep(chord, after?.chord);
  const dominant = here.function === "dominant" || here.function === "applied-dominant";
  const long = beatsToNumber(duration) >= HALF_A_BAR;
  const offers: Offer[] = [];
  if (dominant && step === 5 && chord.bass === chord.root && after !== undefined) {
    const minor = MINOR.includes(after.chord.quality);
    offers.push({
      way: "tritone-substitute",
      to: [`${above(chord, 6)}7`],
      reason: `has the 3rd and 7th of ${formatChord(chord)}, and falls a semitone to ${formatChord(after.chord)}`,
    });
    const hasTwo = before !== undefined && rootStep(before.chord, chord) === 5 && before.chord.quality !== "dominant";
    if (long && !hasTwo) {
      offers.push({
        way: "related-two",
        to: [`${above(chord, 7)}m7${minor ? "b5" : ""}`, chord.symbol],
        reason: `puts its ii before ${formatChord(chord)}`,
      });
    }
    if (here.function === "dominant" && !minor && after.function === "tonic") {
      offers.push({
        way: "backdoor",
        to: long ? [`${above(chord, 10)}m7`, `${above(chord, 3)}7`] : [`${above(chord, 3)}7`],
        reason: `comes to ${formatChord(after.chord)} from a whole tone below, with its minor subdominant`,
      });
    }
  }
  if (long && !dominant && step === 2 && after !== undefined && chord.quality !== "diminished") {
    offers.push({
      way: "passing-diminished",
      to: [chord.symbol, `${above(chord, 1, RAISED)}dim7`],
      reason: `leads from ${formatChord(chord)} to ${formatChord(after.chord)} by semitones in the bass`,
    });
  }
  // A ii that goes to its V, or a chord that goes on, is no place for another ii–V.
  const leads = step !== undefined && step !== 0 && !(step === 5 && MINOR.includes(chord.quality));
  const arrives = after !== undefined && !NO_ARRIVAL.includes(after.chord.quality);
  const firm = chord.quality !== "dominant" && chord.quality !== "diminished";
  if (beatsToNumber(duration) >= BAR && firm && leads && arrives) {
    const [minor, target] = [MINOR.includes(after.chord.quality), pitchClassOf(after.chord.root)];
    const flat = minor ? "b5" : "";
    offers.push({
      way: "two-five",
      to: [chord.symbol, `${NAMES[(target + 2) % 12] ?? "C"}m7${flat}`, `${NAMES[(target + 7) % 12] ?? "C"}7`],
      parts: [2, 1, 1],
      reason: `leads to ${formatChord(after.chord)} by its own ii and V`,
    });
  }
  return offers;
};

const NO_ARRIVAL: readonly Chord["quality"][] = ["dominant", "diminished", "suspended", "augmented"];

const partsOf = ({ to, parts = to.map(() => 1) }: Offer, duration: Beats): readonly Beats[] => {
  const all = parts.reduce((sum, part) => sum + part, 0);
  return parts.map((part) => divideBeats(multiplyBeats(duration, beats(part)), beats(all)));
};

const replaced = (
  chords: readonly ChordSpan[],
  at: number,
  symbols: readonly string[],
  durations: readonly Beats[],
): readonly ChordSpan[] =>
  chords.flatMap((span, i) => {
    if (i !== at) return [span];
    let start = span.at;
    return symbols.map((symbol, part): ChordSpan => {
      const duration = durations[part] ?? span.duration;
      const here = { at: start, duration, chord: parseChord(symbol) };
      start = addBeats(start, duration);
      return here;
    });
  });

/**
 * Changes that the function of each chord allows: tritone substitutes, the ii of a dominant, a ii–V before a chord, the backdoor, passing
 * diminished chords. They are offered, each with its reason and the motion that it costs; nothing is changed. Substitutes are spelled with the fewest accidentals.
 *
 * Source: common practice, no source.
 *
 * @param progression - a progression, a row of the catalogue, or a text for `parseProgression`
 * @param options - how chords are voiced, for the motion; rootless, and close where there is no such form, unless given
 * @returns in order of the chords; none where no chord allows one
 * @throws MusicError the codes of `voiceProgression`
 *
 * @example
 * ```ts
 * import { reharmonisations } from "hands-together/voice-leading";
 *
 * const offers = reharmonisations("Dm7 | G7 | Cmaj7");
 * offers.map((offer) => `${offer.from}: ${offer.to.join(" ")}`); // => ["G7: Db7", "G7: Fm7 Bb7"]
 * offers[0]?.reason; // => "has the 3rd and 7th of G7, and falls a semitone to Cmaj7"
 * ```
 */
export function reharmonisations(
  progression: string | Progression | ProgressionRow,
  options: VoiceProgressionOptions = {},
): readonly Reharmonisation[] {
  const chart = progressionOf(progression);
  const sounding = chart.chords.flatMap((span, i) => (span.chord === undefined ? [] : [i]));
  if (sounding.length === 0) return [];
  const usual: VoiceProgressionOptions = { style: ["rootless", "close"], ...options };
  const { totalMotion } = voiceProgression(chart, usual);
  const { chords } = analysisOf(chart);
  return chords.flatMap((here, index) =>
    offersFor(here, chords[index - 1], chords[index + 1]).map((offer): Reharmonisation => {
      const { way, to, reason } = offer;
      const durations = partsOf(offer, here.duration);
      const changed = { ...chart, chords: replaced(chart.chords, sounding[index] ?? 0, to, durations) };
      const motion = voiceProgression(changed, usual).totalMotion - totalMotion;
      const { bar, beat, chord } = here;
      return { kind: "reharmonisation", way, index, bar, beat, from: chord.symbol, to, durations, reason, motion };
    }),
  );
}
