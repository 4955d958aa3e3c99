import * as v from "valibot";

// What schemas of answers are made from.
export const named = <T extends v.GenericSchema>(schema: T, title: string, description: string) =>
  v.pipe(schema, v.title(title), v.description(description));

export const text = (title: string, description: string) => named(v.string(), title, description);
export const whole = (title: string, description: string, least = 0) =>
  v.pipe(v.number(), v.integer(), v.minValue(least), v.title(title), v.description(description));
export const sentences = (title: string, description: string) => named(v.array(v.string()), title, description);

export const caution = v.exactOptional(text("Caution", "What to tell whoever plays it."));
export const guesses = v.exactOptional(sentences("Guesses", "What the reader of a chart took for granted."));
export const note = v.pipe(v.string(), v.regex(/^[A-G](?:b{1,3}|#{1,3})?$/, "a note such as Eb"));
export const pitch = v.pipe(v.string(), v.regex(/^[A-G](?:b{1,3}|#{1,3})?-?\d$/, "a pitch such as Eb4"));
export const pitches = (description: string) => named(v.array(pitch), "Pitches", description);

export const document = <T extends v.ObjectEntries>(title: string, description: string, fields: T) =>
  named(v.strictObject(fields), title, description);

/** A number inside an answer, told in a few words with its unit. */
export const figure = (description: string) => v.pipe(v.number(), v.description(description));

/** A number that counts something. */
export const tally = (description: string, least = 0) =>
  v.pipe(v.number(), v.integer(), v.minValue(least), v.description(description));

/** Text inside an answer. */
export const words = (description: string) => v.pipe(v.string(), v.description(description));

/** A moment or a length as exact text. */
export const exact = (description: string) =>
  v.pipe(v.string(), v.regex(/^-?\d+(?:\/\d+)?$/, 'exact, such as "7/2"'), v.description(description));

export const hand = v.picklist(["right", "left"]);
export const hands = v.picklist(["right", "left", "both"]);
/** A bar as people count: 0 is a pickup. */
export const bar = tally("Bar, from 1; 0 for a pickup.");
export const bars = v.pipe(v.array(bar), v.description("Bars in order; empty for the whole."));
export const files = v.exactOptional(sentences("Files", "Paths of what --out wrote, in order."));

/** A breach of a rule of phrasing. */
export const lineFinding = v.strictObject({
  rule: words("Which rule of phrasing."),
  severity: v.picklist(["must", "unusual"]),
  bar,
  beat: exact("Beat of the bar, from 1."),
  message: words("What is wrong or unusual there."),
  suggestion: words("What to try instead."),
  percentile: v.exactOptional(figure("How many of a hundred phrases of the corpus are less unusual.")),
});
