import * as v from "valibot";
import {
  caution,
  document,
  figure,
  guesses,
  named,
  note,
  pitch,
  pitches,
  sentences,
  tally,
  text,
  whole,
} from "./answer-fields.ts";

// What commands print with --json, one document each: see tests/cli/answers.test.ts, which holds answers against them.

/** A chord spelled, and its voicings where a style was named. */
export const chordAnswerSchema = document("Answer of chord", "A chord symbol spelled.", {
  symbol: text("Symbol", "As it was read."),
  root: named(note, "Root", "The root."),
  bass: named(note, "Bass", "The lowest note: the root, unless another is written."),
  tones: named(
    v.array(v.strictObject({ degree: v.string(), note })),
    "Tones",
    "Degrees with their notes, from the root up.",
  ),
  voicings: v.exactOptional(
    named(
      v.array(
        v.strictObject({
          form: v.string(),
          degrees: v.array(v.string()),
          left: v.array(pitch),
          right: v.array(pitch),
          warnings: v.array(v.string()),
        }),
      ),
      "Voicings",
      "In the style asked for, the left hand's notes and the right hand's.",
    ),
  ),
  caution,
});

/** The best voicings of a progression. */
export const voiceAnswerSchema = document("Answer of voice", "The best voicings of a progression.", {
  voicings: named(
    v.array(
      v.strictObject({ symbol: v.string(), form: v.string(), pitches: v.array(pitch), bass: v.exactOptional(pitch) }),
    ),
    "Voicings",
    "One a chord, pitches from low to high; a bass where one is told.",
  ),
  motion: named(v.array(v.number()), "Motion", "Semitones from each voicing to the next."),
  totalMotion: named(v.number(), "Motion in all", "Their sum."),
  warnings: named(
    v.array(v.strictObject({ symbol: v.string(), kind: v.string(), message: v.string() })),
    "Warnings",
    "What is to be known of the voicings.",
  ),
  guesses,
  caution,
});

const finger = v.picklist([1, 2, 3, 4, 5]);
const fingeringFields = {
  pitches: pitches("As they are played."),
  fingers: named(v.array(finger), "Fingers", "One a pitch; 1 is the thumb."),
  crossings: named(
    v.array(v.strictObject({ index: whole("Index", "Of the note that is crossed to."), kind: v.string() })),
    "Crossings",
    "Where the thumb goes under or a finger over it.",
  ),
  cost: named(v.number(), "Cost", "In points of the rules."),
  remarks: v.exactOptional(sentences("Remarks", "What is hard about it.")),
  costByRule: v.exactOptional(named(v.record(v.string(), v.number()), "Cost by rule", "With --why.")),
  why: v.exactOptional(sentences("Why", "A sentence a note, with --why.")),
};
const fingering = v.strictObject(fingeringFields);
const points = figure("In points of the rules.");

/** The best fingering of a passage or a scale. */
export const fingerAnswerSchema = document("Answer of finger", "The best fingering of a passage or a scale.", {
  ...fingeringFields,
  caution,
});

/** Several fingerings. */
export const alternativesAnswerSchema = document(
  "Answer of finger --alternatives",
  "Fingerings that set the hand at other places.",
  { alternatives: named(v.array(fingering), "Alternatives", "The cheapest first."), caution },
);

/** The price of a finger. */
export const priceAnswerSchema = document("Answer of finger --why-not", "What a finger on a note costs more.", {
  price: named(v.number(), "Price", "In points of the rules, above the best fingering."),
  priceByRule: named(v.record(v.string(), v.number()), "Price by rule", "More or less than in the best fingering."),
  best: named(fingering, "Best", "The best fingering."),
  instead: named(fingering, "Instead", "The best one with that finger."),
  changes: named(v.array(tally("A note, from 0.")), "Changes", "Notes that another finger takes then."),
  caution,
});

/** One fingering through keys. */
export const keysAnswerSchema = document("Answer of finger --keys", "One fingering through the keys.", {
  shared: named(v.array(finger), "Shared", "One a note: those that cost least when every key takes them."),
  keys: named(v.array(v.strictObject({ key: note, ...fingeringFields })), "Keys", "Each with its own fingers."),
  caution,
});

const hardBar = v.strictObject({ bar: tally("Bar of four, from 1.", 1), difficulty: points });

/** How hard a passage lies. */
export const difficultyAnswerSchema = document("Answer of finger --difficulty", "How hard each bar of four lies.", {
  bars: named(v.array(hardBar), "Bars", "Points of the busiest second of each."),
  difficulty: named(v.number(), "Difficulty", "Their mean."),
  hardest: named(hardBar, "Hardest", "The hardest bar."),
  caution,
});

/** Files that were written. */
export const filesAnswerSchema = document("Answer with files", "What drill, packet and schema --out wrote.", {
  files: sentences("Files", "Paths, in order."),
  remarks: v.exactOptional(sentences("Remarks", "What was done otherwise than asked, and why.")),
  guesses,
  caution,
});

/** A refusal, as lines of JSON Lines have it. */
export const errorAnswerSchema = document("Refusal", "Why a line was refused, in its place among the answers.", {
  error: v.strictObject({
    code: v.pipe(v.string(), v.regex(/^[a-z-]+\/[a-z-]+$/, "area/what")),
    input: v.unknown(),
    expected: v.string(),
    hint: v.exactOptional(v.string()),
    reason: v.picklist(["bad-input", "cannot-be-done"]),
  }),
});
