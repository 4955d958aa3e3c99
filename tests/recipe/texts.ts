import fc from "fast-check";
import { progressionCatalogue } from "../../src/progression/index.ts";
import { scaleNames } from "../../src/scale/index.ts";
import { feelCatalogue } from "../../src/swing/index.ts";
import type { Texts } from "./arbitrary.ts";

const tonic = fc.constantFrom("C", "C#", "Db", "D", "Eb", "E", "F", "F#", "Gb", "G", "Ab", "A", "Bb", "B", "Cb");
const key = fc.tuple(tonic, fc.constantFrom("", " minor")).map(([name, mode]) => name + mode);
const symbol = fc
  .tuple(
    fc.constantFrom("C", "Db", "D", "Eb", "E", "F", "F#", "G", "Ab", "A", "Bb", "B"),
    fc.constantFrom(
      "",
      "m",
      "7",
      "m7",
      "maj7",
      "m7b5",
      "dim7",
      "sus2",
      "sus4",
      "7sus4",
      "6",
      "m6",
      "9",
      "13",
      "7b9",
      "7#9",
      "m9",
      "maj9",
      "aug",
      "7alt",
      "7#11",
      "5",
      "m(maj7)",
      "add9",
      "7#5",
      "6/9",
    ),
    fc.constantFrom("", "", "", "/C", "/G"),
  )
  .map((parts) => parts.join(""));
const bar = fc.oneof(
  symbol,
  fc.tuple(symbol, symbol).map((two) => two.join(" ")),
  fc.constant("N.C."),
);
const changes = fc.oneof(
  fc.constantFrom(...progressionCatalogue.map(({ id }) => id)),
  fc.array(bar, { minLength: 1, maxLength: 9 }).map((bars) => bars.join(" | ")),
  fc.constantFrom("I vi ii V", "iiø V7b9 i", "I7 | IV7 | I7 | V7", "bVII7 | I"),
);

/** Texts that the fields of recipes may hold. */
export const TEXTS: Texts = {
  key,
  changes,
  chartKey: key,
  metre: fc.constantFrom("4/4", "3/4", "2/4", "5/4", "6/8", "12/8", "7/8", "2/2", "9/8", "3/8", "7/4"),
  scale: fc.constantFrom(...scaleNames()),
  feel: fc.constantFrom("2:1", "3:2", "straight", "1:1", ...feelCatalogue.map(({ id }) => id)),
};
