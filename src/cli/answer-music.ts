import * as v from "valibot";
import type { Cadence, HarmonicFunction } from "../harmony/index.ts";
import type { ReharmonisationId } from "../voice-leading/index.ts";
import {
  bar,
  document,
  exact,
  figure,
  guesses,
  lineFinding,
  named,
  note,
  tally,
  text,
  words,
} from "./answer-fields.ts";

const key = v.pipe(v.string(), v.regex(/^[A-G](?:b{1,2}|#{1,2})? (?:major|minor)$/, "a key such as Eb major"));
const placeFields = { bar, beat: exact("Beat of the bar, from 1.") };
const symbol = words("A chord symbol.");

const FUNCTIONS = [
  "tonic",
  "subdominant",
  "dominant",
  "applied-dominant",
  "related-two",
  "substitute-dominant",
  "backdoor-dominant",
  "leading-diminished",
  "passing-diminished",
  "blues",
  "borrowed",
  "colour",
] as const satisfies readonly HarmonicFunction[];
const CADENCES = [
  "authentic",
  "tritone",
  "backdoor",
  "plagal",
  "deceptive",
  "half",
] as const satisfies readonly Cadence[];
const WAYS = [
  "tritone-substitute",
  "related-two",
  "two-five",
  "backdoor",
  "passing-diminished",
] as const satisfies readonly ReharmonisationId[];

const chordPlace = tally("A place in the list of chords, from 0.");

/** What the chords of a chart do. */
export const analyseAnswerSchema = document("Answer of analyse", "What the chords of a chart do.", {
  key: named(key, "Key", "Of the whole."),
  chords: named(
    v.array(
      v.strictObject({
        ...placeFields,
        symbol,
        key,
        numeral: words("The chord in the key of the moment."),
        home: words("The chord in the key of the whole."),
        function: v.picklist(FUNCTIONS),
        cadence: v.exactOptional(v.picklist(CADENCES)),
        scale: words("The scale that it is heard with, as a row of the chord-scale table."),
        pedal: v.exactOptional(note),
        margin: figure("How many points the best reading with another key here costs more."),
        otherKey: key,
        sentence: words("All this as a sentence."),
      }),
    ),
    "Chords",
    "One a chord of the chart.",
  ),
  regions: named(
    v.array(v.strictObject({ key, from: chordPlace, to: chordPlace })),
    "Regions",
    "Stretches in one key of the moment, both ends included.",
  ),
  twoFives: named(
    v.array(v.strictObject({ two: chordPlace, five: chordPlace, one: v.exactOptional(chordPlace) })),
    "ii–Vs",
    "Each with the chord that it leads to, where it does.",
  ),
  pedals: named(
    v.array(v.strictObject({ note, from: chordPlace, to: chordPlace })),
    "Pedals",
    "Bass notes that stay while the chords change.",
  ),
  guesses,
});

/** Other chords that could stand in a chart. */
export const reharmoniseAnswerSchema = document(
  "Answer of reharmonise",
  "Other chords that the function of each chord allows.",
  {
    offers: named(
      v.array(
        v.strictObject({
          ...placeFields,
          way: v.picklist(WAYS),
          from: symbol,
          to: v.array(symbol),
          durations: v.array(exact("How long, in quarter notes.")),
          reason: words("Why it may stand there."),
          motion: figure("Semitones that all voices together move more than without it."),
        }),
      ),
      "Offers",
      "By time.",
    ),
  },
);

/** A chart as it is played. */
export const chartAnswerSchema = document("Answer of chart", "A chart as it is played, bar by bar.", {
  title: text("Title", "May be empty."),
  key: named(key, "Key", "Of the whole."),
  metre: text("Metre", "The first time signature."),
  tempo: v.exactOptional(named(v.number(), "Tempo", "Pulses a minute.")),
  feel: v.exactOptional(text("Feel", "In words.")),
  bars: named(
    v.array(
      v.strictObject({
        bar,
        section: v.nullable(v.string()),
        chords: v.array(
          v.strictObject({
            symbol,
            beat: exact("Where it begins, in pulses from 1."),
            numeral: v.exactOptional(v.string()),
            optional: v.exactOptional(v.literal(true)),
            mark: v.exactOptional(v.picklist(["hold", "stop"])),
          }),
        ),
        written: tally("The bar of the chart that it is, from 1.", 1),
        metre: v.exactOptional(words("The time signature, where it is another than the first.")),
        key: v.exactOptional(key),
      }),
    ),
    "Bars",
    "As they are played, repeats and jumps followed.",
  ),
  written: text("Written", "The chart as text."),
  sections: named(
    v.array(v.strictObject({ name: v.string(), bar, bars: tally("How many.", 1) })),
    "Sections",
    "As they are played.",
  ),
  keys: named(
    v.pipe(
      v.array(
        v.strictObject({
          key,
          share: v.pipe(v.number(), v.minValue(0), v.maxValue(1), v.description("How likely, of all keys.")),
          reasons: v.array(v.string()),
        }),
      ),
      v.maxLength(3),
    ),
    "Keys",
    "The likeliest keys of the whole.",
  ),
  guesses,
});

/** A line held to the rules of phrasing. */
export const checkAnswerSchema = document("Answer of check", "A line held to the rules of phrasing.", {
  phrases: named(
    v.array(v.strictObject({ ...placeFields, beats: exact("How long, in quarter notes."), notes: tally("How many.") })),
    "Phrases",
    "As they were found.",
  ),
  findings: named(v.array(lineFinding), "Findings", "By time; empty where every rule is kept."),
  guesses,
});
