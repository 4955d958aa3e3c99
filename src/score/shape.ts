import * as v from "valibot";

/** A stretch of time in a stored score. */
export interface TimeSpanJson {
  /** Quarter notes from the first bar line, as exact text: `"7/3"`; negative in a pickup. */
  readonly at: string;
  /** Quarter notes as exact text, above zero. */
  readonly duration: string;
}

/** A grace note in a stored score. */
export interface GraceJson {
  /** Name with octave: `"Eb4"`. */
  readonly pitch: string;
  readonly style: "slide" | "crushed";
  readonly finger?: 1 | 2 | 3 | 4 | 5;
}

/** An event of a hand or of the bass in a stored score. */
export interface NoteJson extends TimeSpanJson {
  /** Names with octave, lowest first. */
  readonly pitches: readonly string[];
  /** One a pitch. */
  readonly fingers?: readonly (1 | 2 | 3 | 4 | 5)[];
  readonly graces?: readonly GraceJson[];
  readonly articulation?: "accent" | "staccato";
  /** 1 to 127. */
  readonly velocity?: number;
}

/** A chord symbol in a stored score. */
export interface ChordJson extends TimeSpanJson {
  /** The symbol as written; null for no chord. */
  readonly symbol: string | null;
  readonly numeral?: string;
}

/** A stroke of the drummer in a stored score. */
export interface DrumJson extends TimeSpanJson {
  /** Note number of the General MIDI percussion map. */
  readonly midi: number;
  /** 1 to 127. */
  readonly velocity?: number;
}

/** A swing ratio in a stored score. */
export interface RatioJson {
  readonly first: number;
  readonly second: number;
}

/** What one part does otherwise than the rest, in a stored score. */
export interface PartFeelJson {
  readonly ratio?: RatioJson;
  /** Quarter notes as exact text. */
  readonly downbeatDelay?: string;
}

/** A feel in a stored score. */
export interface FeelJson {
  readonly id: string;
  readonly ratio: RatioJson;
  readonly unit: "eighth" | "16th";
  /** Quarter notes as exact text. */
  readonly downbeatDelay?: string;
  /** By part: right, left, bass, drums. */
  readonly parts?: {
    readonly right?: PartFeelJson;
    readonly left?: PartFeelJson;
    readonly bass?: PartFeelJson;
    readonly drums?: PartFeelJson;
  };
}

/** A stored score: the document that `scoreJsonSchema` describes. */
export interface ScoreJson {
  readonly kind: "score";
  readonly version: 1;
  readonly title: string;
  /** Tonic and mode: `"Eb major"`. */
  readonly key: string;
  /** Time signature: `"4/4"`. */
  readonly metre: string;
  /** Quarter notes a minute. */
  readonly tempo: number;
  readonly feel: FeelJson;
  /** Length before bar 1 in quarter notes, as exact text. */
  readonly pickup: string;
  readonly bars: number;
  readonly chords: readonly ChordJson[];
  readonly right: readonly NoteJson[];
  readonly left: readonly NoteJson[];
  readonly bass?: readonly NoteJson[];
  readonly drums?: readonly DrumJson[];
  readonly phrases?: readonly TimeSpanJson[];
  /** The recipe that the score was made from. */
  readonly recipe?: Readonly<Record<string, unknown>>;
}

const moment = v.pipe(
  v.string(),
  v.regex(/^-?[0-9]{1,15}(\/[1-9][0-9]{0,14})?$/, "a moment in quarter notes such as 3/2"),
);
const length = v.pipe(
  v.string(),
  v.regex(/^[0-9]{1,15}(\/[1-9][0-9]{0,14})?$/, "a length in quarter notes such as 3/2"),
);
const pitchText = v.pipe(v.string(), v.regex(/^[A-G](b{1,3}|#{1,3})?(-1|[0-9])$/, "a pitch such as Eb4"));
const finger = v.picklist([1, 2, 3, 4, 5]);
const velocity = v.pipe(v.number(), v.integer(), v.minValue(1), v.maxValue(127));
const span = { at: moment, duration: length };

const note = v.strictObject({
  ...span,
  pitches: v.pipe(v.array(pitchText), v.minLength(1)),
  fingers: v.exactOptional(v.array(finger)),
  graces: v.exactOptional(
    v.array(
      v.strictObject({ pitch: pitchText, style: v.picklist(["slide", "crushed"]), finger: v.exactOptional(finger) }),
    ),
  ),
  articulation: v.exactOptional(v.picklist(["accent", "staccato"])),
  velocity: v.exactOptional(velocity),
});

const share = v.pipe(v.number(), v.integer(), v.minValue(1), v.maxValue(99_990_000));
const ratio = v.strictObject({ first: share, second: share });
const partFeel = v.strictObject({ ratio: v.exactOptional(ratio), downbeatDelay: v.exactOptional(length) });

/** The shapes that others are made of, under their names in the JSON Schema. */
export const SHAPES = {
  Moment: moment,
  Length: length,
  Pitch: pitchText,
  Note: note,
  Ratio: ratio,
  PartFeel: partFeel,
};

/** The shape of a stored score; names in it are read afterwards. */
export const scoreDocumentSchema = v.strictObject({
  kind: v.literal("score"),
  version: v.literal(1),
  title: v.string(),
  key: v.pipe(v.string(), v.regex(/^[A-G](b|#)? (major|minor)$/, "a key such as Eb major")),
  metre: v.pipe(v.string(), v.regex(/^[1-9][0-9]?\/(2|4|8|16)$/, "a metre such as 4/4")),
  tempo: v.pipe(v.number(), v.minValue(10), v.maxValue(1000)),
  feel: v.strictObject({
    id: v.string(),
    ratio,
    unit: v.picklist(["eighth", "16th"]),
    downbeatDelay: v.exactOptional(length),
    parts: v.exactOptional(
      v.strictObject({
        right: v.exactOptional(partFeel),
        left: v.exactOptional(partFeel),
        bass: v.exactOptional(partFeel),
        drums: v.exactOptional(partFeel),
      }),
    ),
  }),
  pickup: length,
  bars: v.pipe(v.number(), v.integer(), v.minValue(1), v.maxValue(10_000)),
  chords: v.array(v.strictObject({ ...span, symbol: v.nullable(v.string()), numeral: v.exactOptional(v.string()) })),
  right: v.array(note),
  left: v.array(note),
  bass: v.exactOptional(v.array(note)),
  drums: v.exactOptional(
    v.array(
      v.strictObject({
        ...span,
        midi: v.pipe(v.number(), v.integer(), v.minValue(35), v.maxValue(81)),
        velocity: v.exactOptional(velocity),
      }),
    ),
  ),
  phrases: v.exactOptional(v.array(v.strictObject(span))),
  recipe: v.exactOptional(v.record(v.string(), v.unknown())),
}) satisfies v.GenericSchema<unknown, ScoreJson>;
