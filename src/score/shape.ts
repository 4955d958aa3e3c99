import * as v from "valibot";
import type { WrittenForm } from "../progression/index.ts";

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

/** A stored score: the document that the package ships a JSON Schema of, `schemas/score.json`. */
export interface ScoreJson {
  /** The address of the JSON Schema; read past. */
  readonly $schema?: string;
  readonly kind: "score";
  readonly version: 1;
  readonly title: string;
  /** Tonic and mode: `"Eb major"`. */
  readonly key: string;
  /** Time signature: `"4/4"`. */
  readonly metre: string;
  /** Changes of metre on the way. */
  readonly metres?: readonly { readonly bar: number; readonly metre: string }[];
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
  /** Signs of the bars as written, and for each bar as played the bar as written, from 1. */
  readonly form?: WrittenForm;
  /** The recipe that the score was made from. */
  readonly recipe?: Readonly<Record<string, unknown>>;
  /** What to tell whoever plays it; written always, and not read. */
  readonly caution?: string;
}

const named = <S extends v.GenericSchema>(schema: S, title: string, description: string) =>
  v.pipe(schema, v.title(title), v.description(description));

const moment = v.pipe(
  v.string(),
  v.regex(/^-?[0-9]{1,15}(\/[1-9][0-9]{0,14})?$/, "a moment in quarter notes such as 3/2"),
  v.title("Moment"),
  v.description('Quarter notes from the first bar line, as exact text such as "7/3"; negative in a pickup.'),
);
const length = v.pipe(
  v.string(),
  v.regex(/^[0-9]{1,15}(\/[1-9][0-9]{0,14})?$/, "a length in quarter notes such as 3/2"),
  v.title("Length"),
  v.description('Quarter notes, as exact text such as "3/2".'),
);
const pitchText = v.pipe(
  v.string(),
  v.regex(/^[A-G](b{1,3}|#{1,3})?(-1|[0-9])$/, "a pitch such as Eb4"),
  v.title("Pitch"),
  v.description("A spelled pitch with its octave, such as Eb4; middle C is C4."),
);
const finger = named(v.picklist([1, 2, 3, 4, 5]), "Finger", "1 is the thumb, 5 the little finger.");
const velocity = v.pipe(
  v.number(),
  v.integer(),
  v.minValue(1),
  v.maxValue(127),
  v.title("Velocity"),
  v.description("How hard a note is struck, as MIDI counts it."),
);
const span = { at: moment, duration: length };
const spanSchema = v.strictObject(span);

const note = v.pipe(
  v.strictObject({
    ...span,
    pitches: v.pipe(
      v.array(pitchText),
      v.minLength(1),
      v.title("Pitches"),
      v.description("Struck together, lowest first."),
    ),
    fingers: v.exactOptional(named(v.array(finger), "Fingers", "One for each pitch, in the same order.")),
    graces: v.exactOptional(
      named(
        v.array(
          v.strictObject({
            pitch: pitchText,
            style: named(v.picklist(["slide", "crushed"]), "Style", "A slide from a key, or a note crushed in."),
            finger: v.exactOptional(finger),
          }),
        ),
        "Grace notes",
        "Played before the note, in this order.",
      ),
    ),
    articulation: v.exactOptional(named(v.picklist(["accent", "staccato"]), "Articulation", "The sign over the note.")),
    velocity: v.exactOptional(velocity),
  }),
  v.title("Note"),
  v.description("What one hand, or the bass, strikes at one moment."),
);

const share = v.pipe(
  v.number(),
  v.integer(),
  v.minValue(1),
  v.maxValue(99_990_000),
  v.title("Share"),
  v.description("Its share of the pair, against the other."),
);
const ratio = named(
  v.strictObject({ first: share, second: share }),
  "Ratio",
  "Long to short of a swung pair: 2 and 1.",
);
const partFeel = named(
  v.strictObject({ ratio: v.exactOptional(ratio), downbeatDelay: v.exactOptional(length) }),
  "Feel of a part",
  "What one part does otherwise than the rest.",
);
const notes = (title: string, description: string) => named(v.array(note), title, description);

const pass = v.pipe(v.number(), v.integer(), v.minValue(1), v.maxValue(16));
const flag = (title: string, description: string) => v.exactOptional(named(v.boolean(), title, description));
const form = named(
  v.strictObject({
    bars: named(
      v.pipe(
        v.array(
          v.strictObject({
            section: v.exactOptional(
              named(v.pipe(v.string(), v.maxLength(24)), "Section", "The section that begins here."),
            ),
            repeatStart: flag("Repeat start", "A repeat begins here."),
            repeatEnd: v.exactOptional(
              named(
                v.pipe(v.number(), v.integer(), v.minValue(2), v.maxValue(16)),
                "Repeat end",
                "A repeat ends here: times in all.",
              ),
            ),
            ending: v.exactOptional(
              named(
                v.pipe(v.array(pass), v.minLength(1), v.maxLength(16)),
                "Ending",
                "An ending begins here: its passes.",
              ),
            ),
            segno: flag("Segno", "The sign that D.S. goes back to."),
            toCoda: flag("To coda", "After a jump al Coda the coda follows this bar."),
            coda: flag("Coda", "The coda begins here."),
            fine: flag("Fine", "After a jump the music ends with this bar."),
            jump: v.exactOptional(
              named(
                v.picklist(["D.C.", "D.C. al Fine", "D.C. al Coda", "D.S.", "D.S. al Fine", "D.S. al Coda"]),
                "Jump",
                "Where the music goes on after this bar.",
              ),
            ),
          }),
        ),
        v.maxLength(10_000),
      ),
      "Bars",
      "The signs of each bar as it is written.",
    ),
    order: named(
      v.pipe(v.array(v.pipe(v.number(), v.integer(), v.minValue(1))), v.maxLength(10_000)),
      "Order",
      "For each bar as played the bar as written, from 1.",
    ),
  }),
  "Form",
  "How the bars are written, with sections, repeats, endings and jumps.",
);

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
export const scoreDocumentSchema = v.pipe(
  v.strictObject({
    $schema: v.exactOptional(named(v.string(), "Schema", "The address of this schema.")),
    kind: named(v.literal("score"), "Kind", "Tells a score from other documents."),
    version: named(v.literal(1), "Version", "Version of this shape."),
    title: named(v.string(), "Title", "Printed above the music; may be empty."),
    key: v.pipe(
      v.string(),
      v.regex(/^[A-G](b|#)? (major|minor)$/, "a key such as Eb major"),
      v.title("Key"),
      v.description("Tonic and mode, such as Eb major."),
    ),
    metre: v.pipe(
      v.string(),
      v.regex(/^[1-9][0-9]?\/(2|4|8|16)$/, "a metre such as 4/4"),
      v.title("Metre"),
      v.description("The time signature, such as 4/4."),
    ),
    metres: v.exactOptional(
      named(
        v.pipe(
          v.array(
            v.strictObject({
              bar: named(v.pipe(v.number(), v.integer(), v.minValue(2)), "Bar", "The first bar that has it."),
              metre: named(
                v.pipe(v.string(), v.regex(/^[1-9][0-9]?\/(2|4|8|16)$/, "a metre such as 4/4")),
                "Metre",
                "Its time signature.",
              ),
            }),
          ),
          v.maxLength(10_000),
        ),
        "Changes of metre",
        "Where the metre changes on the way, in order.",
      ),
    ),
    tempo: v.pipe(
      v.number(),
      v.minValue(10),
      v.maxValue(1000),
      v.title("Tempo"),
      v.description("Quarter notes a minute; no figure is safe for every hand."),
    ),
    feel: named(
      v.strictObject({
        id: named(v.string(), "Id", "Its name in the catalogue, or one of your own."),
        ratio,
        unit: named(v.picklist(["eighth", "16th"]), "Unit", "The note value that swings."),
        downbeatDelay: v.exactOptional(length),
        parts: v.exactOptional(
          named(
            v.strictObject({
              right: v.exactOptional(partFeel),
              left: v.exactOptional(partFeel),
              bass: v.exactOptional(partFeel),
              drums: v.exactOptional(partFeel),
            }),
            "Parts",
            "Parts with a feel of their own.",
          ),
        ),
      }),
      "Feel",
      "How written time becomes sounding time.",
    ),
    pickup: length,
    bars: v.pipe(
      v.number(),
      v.integer(),
      v.minValue(1),
      v.maxValue(10_000),
      v.title("Bars"),
      v.description("Whole bars after the pickup."),
    ),
    chords: named(
      v.array(
        v.strictObject({
          ...span,
          symbol: named(v.nullable(v.string()), "Symbol", "The chord symbol as written; null for no chord."),
          numeral: v.exactOptional(named(v.string(), "Numeral", "The chord as a Roman numeral of its key.")),
        }),
      ),
      "Chords",
      "The chord symbols, in order of time.",
    ),
    right: notes("Right hand", "In order of time."),
    left: notes("Left hand", "In order of time."),
    bass: v.exactOptional(notes("Bass", "In order of time.")),
    drums: v.exactOptional(
      named(
        v.array(
          v.strictObject({
            ...span,
            midi: v.pipe(
              v.number(),
              v.integer(),
              v.minValue(35),
              v.maxValue(81),
              v.title("Instrument"),
              v.description("Note number of the General MIDI percussion map."),
            ),
            velocity: v.exactOptional(velocity),
          }),
        ),
        "Drums",
        "Strokes in order of time.",
      ),
    ),
    phrases: v.exactOptional(named(v.array(spanSchema), "Phrases", "Stretches that are played in one breath.")),
    form: v.exactOptional(form),
    caution: v.exactOptional(named(v.string(), "Caution", "What to tell whoever plays it; not read.")),
    recipe: v.exactOptional(
      named(v.record(v.string(), v.unknown()), "Recipe", "The recipe that the score was made from."),
    ),
  }),
  v.title("Score"),
  v.description(
    "Music for two hands, with bass and drums where they play. Notes are names; times are quarter notes from the first bar line as exact text.",
  ),
) satisfies v.GenericSchema<unknown, ScoreJson>;
