import fc from "fast-check";
import type { Chord } from "../../src/chord/index.ts";
import { parseChord } from "../../src/chord/index.ts";
import { parseKey } from "../../src/pitch/index.ts";
import type { ChordSpan, Progression } from "../../src/progression/index.ts";
import type { Metre } from "../../src/time/index.ts";
import {
  addBeats,
  barLength,
  beats,
  beatsOf,
  compareBeats,
  isCompound,
  multiplyBeats,
  parseMetre,
  pulseLength,
  subtractBeats,
} from "../../src/time/index.ts";

const ROOTS = ["C", "Db", "D", "Eb", "E", "F", "F#", "G", "Ab", "A", "Bb", "B"];
const SUFFIXES = [
  "",
  "m",
  "7",
  "maj7",
  "m7",
  "m7b5",
  "dim7",
  "7b9",
  "7alt",
  "6",
  "m6",
  "9",
  "13",
  "7sus4",
  "+7",
  "m(maj7)",
  "69",
];
const KEYS = ["C", "F", "Bb", "Eb", "Ab", "Db", "G", "D", "A", "E", "C minor", "G minor", "F# minor", "Bb minor"];

export const anyChord: fc.Arbitrary<Chord> = fc
  .tuple(
    fc.constantFrom(...ROOTS),
    fc.constantFrom(...SUFFIXES),
    fc.option(fc.constantFrom("E", "G", "Bb", "F#"), { freq: 6 }),
  )
  .map(([root, suffix, bass]) => parseChord(`${root}${suffix}${bass === null ? "" : `/${bass}`}`));

/** Chords back to back that fill whole bars; lengths in halves of a pulse (eighths in compound metres), some places without chord. */
export const anyProgression = (metres: readonly string[], wholePulses = false): fc.Arbitrary<Progression> =>
  fc
    .tuple(
      fc.constantFrom(...metres).map(parseMetre),
      fc.constantFrom(...KEYS).map(parseKey),
      fc.array(fc.tuple(fc.integer({ min: 1, max: wholePulses ? 8 : 12 }), fc.option(anyChord, { freq: 12 })), {
        minLength: 1,
        maxLength: 8,
      }),
    )
    .map(([metre, key, items]) => {
      const unit = wholePulses
        ? pulseLength(metre)
        : multiplyBeats(pulseLength(metre), isCompound(metre) ? beatsOf(1, 3) : beatsOf(1, 2));
      let at = beats(0);
      const spans: ChordSpan[] = [];
      for (const [length, chord] of items) {
        const duration = multiplyBeats(unit, beats(length));
        spans.push({ at, duration, chord: chord ?? undefined });
        at = addBeats(at, duration);
      }
      return filled(spans, at, metre, key);
    });

// The last span is drawn out to the next bar line.
const filled = (
  spans: readonly ChordSpan[],
  end: ReturnType<typeof beats>,
  metre: Metre,
  key: Progression["key"],
): Progression => {
  let bars = 1;
  while (compareBeats(multiplyBeats(barLength(metre), beats(bars)), end) < 0) bars++;
  const rest = subtractBeats(multiplyBeats(barLength(metre), beats(bars)), end);
  const last = spans.at(-1) as ChordSpan;
  return {
    kind: "progression",
    key,
    metre,
    bars,
    chords: [...spans.slice(0, -1), { ...last, duration: addBeats(last.duration, rest) }],
    sections: [],
  };
};
