import * as v from "valibot";
import type { BackingId, BackingRow } from "../backing/index.ts";
import { arrangementCatalogue, backingCatalogue, makeBacking } from "../backing/index.ts";
import { arrangementRowSchema, backingRow, backingRowSchema } from "../backing/inner.ts";
import type { Chord } from "../chord/index.ts";
import { parseChord } from "../chord/index.ts";
import type { CompingId, CompingMannerId, CompingMannerRow, CompingRow, PickupRow } from "../comping/index.ts";
import { compingCatalogue, compingMannerCatalogue, fitsMetre, pickupCatalogue } from "../comping/index.ts";
import type { LeftHandRow } from "../comping/inner.ts";
import { compingMannerRowSchema, compingRowSchema, isManner, leftHandRow, pickupRowSchema } from "../comping/inner.ts";
import { DEFAULT_SEED, MOST_SEED } from "../ground/chance.ts";
import { isRecord, shapeOf } from "../ground/check.ts";
import { memo } from "../ground/memo.ts";
import type { ExerciseRow, PhraseRuleRow } from "../line/index.ts";
import { exerciseCatalogue, phraseRuleCatalogue } from "../line/index.ts";
import { exerciseRowSchema, phraseRuleRowSchema } from "../line/inner.ts";
import { parseKey } from "../pitch/index.ts";
import type { Progression, ProgressionRow } from "../progression/index.ts";
import { parseProgression, transposeProgression } from "../progression/index.ts";
import { progressionRowSchema } from "../progression/inner.ts";
import type { Scale } from "../scale/index.ts";
import { parseScale, scale } from "../scale/index.ts";
import { scaleRowSchema } from "../scale/inner.ts";
import { touchCatalogue } from "../score/index.ts";
import { touchRowSchema } from "../score/inner.ts";
import type { FeelRow } from "../swing/index.ts";
import { feelFor } from "../swing/index.ts";
import { isFeelRow } from "../swing/inner.ts";
import type { Metre } from "../time/index.ts";
import { beats, formatMetre, isCompound, parseMetre } from "../time/index.ts";
import type { VoicingRow, VoicingStyle } from "../voicing/index.ts";
import { voicingsFor } from "../voicing/index.ts";
import { isForBothHands, STYLES, voicingStylesSchema } from "../voicing/inner.ts";
import type { Clash, Given } from "./field.ts";
import {
  answerOf,
  documentFields,
  field,
  idOf,
  idOrRow,
  listOf,
  plainDocument,
  readBy,
  refusedBy,
  rule,
  together,
  whole,
} from "./field.ts";
import { readDocument } from "./read.ts";
import type { RightHandId } from "./right-hand.ts";
import { rightHandCatalogue } from "./right-hand.ts";

// Rows as they are typed for users; a schema of a row says the same.
const voicings: v.GenericSchema<LeftHand | readonly LeftHand[]> = voicingStylesSchema;
const progressionRow: v.GenericSchema<ProgressionRow> = progressionRowSchema;
const compingRow: v.GenericSchema<CompingRow> = compingRowSchema;
const compingMannerRow: v.GenericSchema<CompingMannerRow> = compingMannerRowSchema;
const pickupRow: v.GenericSchema<PickupRow> = pickupRowSchema;
const exerciseRow: v.GenericSchema<ExerciseRow> = exerciseRowSchema;
const phraseRule: v.GenericSchema<PhraseRuleRow> = phraseRuleRowSchema;
const feelRow = shapeOf(isFeelRow, "a row with id, title, source and a feel");

/** Fields that the drills of a packet share; each has its place in a drill too. */
export const sharedFields = {
  changes: field(
    v.union([readBy(parseProgression), progressionRow]),
    "Changes",
    "A named progression, or a row of one's own, Roman numerals, or a chart of chord symbols, which stays as written unless chartKey is given (turnaround, in minor minor-turnaround, unless given).",
  ),
  chartKey: field(
    readBy(parseKey, 40),
    "Chart key",
    "The key that a chart of chord symbols is written in; it is transposed from there to the key of the drill (unless given, it stays as written).",
    { argument: "key" },
  ),
  metre: field(
    readBy(parseMetre, 5),
    "Metre",
    "The metre of a chart or of numerals, such as 3/4 (unless given, 4/4, or that of a named progression).",
  ),
  left: field(
    voicings,
    "Left hand",
    "Style of the left hand's voicings, a voicing of one's own as a row, or several in order of preference: a chord that the first has no form for takes the next. Shells have two notes where they are held, so that one hand reaches them; of voicings for two hands the left hand's notes are played.",
    { argument: "styles" },
  ),
  span: field(
    whole(3, 17),
    "Span",
    "The widest stretch of the left hand in semitones: 12 an octave, 14 a ninth, 16 a tenth (12 unless given, 16 where tenths are asked for). No span is safe for every hand.",
    { argument: "semitones" },
  ),
  comping: field(
    v.union([idOf(compingCatalogue), idOf(compingMannerCatalogue), compingRow, compingMannerRow]),
    "Comping",
    "Pattern of the left hand, or a manner that listens to the right hand and is drawn bar by bar from the seed, or a row of one's own (unless given, listening under an improvised line, in the manner of its band; root then chord for shells, held chords for the rest).",
    { argument: "pattern" },
  ),
  pickup: field(
    v.union([v.boolean(), idOf(pickupCatalogue), pickupRow]),
    "Pickup",
    "Pickups in the left hand: a pattern of them, a row of one's own, or true for 5th, then root.",
  ),
  lowBass: field(v.boolean(), "Low bass", "Bass roots an octave lower, E1 to E♭2."),
  colour: field(
    v.picklist(["written", "in-context"]),
    "Colour",
    "What voicings add to plain symbols: what suits the kind of chord, as written, or what it does where it stands, in context.",
  ),
  aims: field(
    v.picklist(["smooth", "pianist"]),
    "Aims",
    "What the left hand keeps small: motion alone, smooth, or as a pianist plays, with register, a singing top line, contrary motion and variety.",
  ),
  numerals: field(
    v.boolean(),
    "Numerals",
    "Roman numerals under the chords of the printed music, in the key of the drill, and brackets from each ii to its V.",
  ),
  asWritten: field(
    v.boolean(),
    "As written",
    "Whether repeats, endings and codas of a chart are printed as it writes them: what is repeated is the same each time (played out, and made anew each time, unless given).",
  ),
  fingers: field(
    v.picklist(["all", "first", "turns", "none"]),
    "Fingers",
    "Which fingers are printed: all, those of what comes for the first time, those where the hand turns, or none (all in MusicXML, first on pages, unless given).",
  ),
  leftAs: field(
    v.picklist(["notes", "rhythm", "slashes"]),
    "Left as",
    "How the left hand is printed: its notes, their rhythm under the chord symbols, or a stroke a beat (notes unless given).",
  ),
  bassLine: field(v.boolean(), "Bass line", "The bass player's line, printed small under both hands."),
  scale: field(
    v.union([readBy((text) => parseScale(`C ${text}`), 80), scaleRowSchema]),
    "Scale",
    'Scale of the right hand, without its tonic, such as "minor blues", or a row of one\'s own (unless given, major blues in major and minor blues in minor; under diatonic exercises the usual scale of the key).',
  ),
  rules: field(
    listOf(v.union([idOf(phraseRuleCatalogue), phraseRule]), 40),
    "Rules",
    "Rules of phrasing that the right hand's line is held to, by id or as rows of one's own (which hold a function: programs only). Of an improvised line's seed and the 15 after it, the first that breaks them least is taken; what stays broken is told.",
    { argument: "rules" },
  ),
  values: field(
    v.picklist(["eighths", "triplets"]),
    "Values",
    "Note values of the right hand (eighths, or an improvised line's mixture, unless given).",
  ),
  octaves: field(
    v.picklist([1, 2, 3]),
    "Octaves",
    "Octaves of the scale, 1 to 3, or that an improvised line ranges over from C4 (the fewest that the exercise needs, or what suits the line's level, unless given).",
    { argument: "n" },
  ),
  tempo: field(
    v.pipe(v.number(), v.minValue(20), v.maxValue(400)),
    "Tempo",
    "Beats a minute, 20 to 400; those of a chart that states its tempo, where none are given. No tempo is safe for every hand.",
    { argument: "bpm" },
  ),
  feel: field(
    v.union([readBy((text) => feelFor(text, 100, "4/4"), 80), feelRow]),
    "Feel",
    "A swing ratio such as 2:1, a named feel, a row of one's own, or swing, late swing or ballad, which follow the tempo (swing unless given, ballad in a ballad; straight where the band plays even eighths, and in compound metres always).",
  ),
  touch: field(
    idOrRow(touchCatalogue, touchRowSchema),
    "Touch",
    "How MIDI files and pages play what is written, as a touch or a row of one's own: plain keeps one loudness a part and full lengths (played, and ballad in a ballad, unless given).",
  ),
  spread: field(
    v.pipe(v.number(), v.minValue(0), v.maxValue(30)),
    "Spread",
    "How far strokes in the MIDI file lie from their place, in milliseconds as a standard deviation, 0 to 30 (0, exact, unless given).",
    { argument: "ms" },
  ),
  backing: field(
    v.union([v.picklist(["none", ...backingCatalogue.map(({ id }) => id)]), backingRowSchema]),
    "Backing",
    "Bass and drums to play along with, as a style or a row of one's own, or none (swing, six-eight in 6/8 and 9/8, the band that a chart names for its feel, or the first style with a bar of the metre, unless given).",
    { argument: "style" },
  ),
  arrangement: field(
    idOrRow(arrangementCatalogue, arrangementRowSchema),
    "Arrangement",
    "How bass and drums differ from chorus to chorus, each once through the changes, or a row of one's own (throughout, unless given).",
  ),
  ending: field(
    v.picklist(["none", "held", "ritard", "tag"]),
    "Ending",
    "How the piece ends after its last repeat: held adds a bar of the tonic, voiced and held by all; ritard slows the bar before it in the MIDI file; tag plays the last four bars once more before it (none, so that it leads on to the first bar, unless given).",
  ),
  seed: field(
    whole(0, MOST_SEED),
    "Seed",
    "The chance in bass, drums and an improvised line: another seed, another track and another line.",
    { argument: "n" },
  ),
  repeats: field(whole(1, 100), "Repeats", "How many times the whole is played, 1 to 100. Take breaks.", {
    argument: "n",
  }),
  countIn: field(
    whole(0, 4),
    "Count-in",
    "Bars of count-in where it is played, 0 to 4 (1 in packets and on pages, none in a drill's MIDI file, unless given).",
    { argument: "bars" },
  ),
} as const;

/** What the right hand of a drill plays. */
export const rightField = field(
  idOrRow(rightHandCatalogue, exerciseRow),
  "Right hand",
  "Exercise of the right hand, or a row of one's own, or improvised for a generated line of phrases over the chords, or comping for chords with both hands, whose voicings the left hand's field names (shells have upper structures over them).",
  { argument: "exercise" },
);

/** The fields of a drill. */
export const drillFields = {
  key: field(
    readBy(parseKey, 40),
    "Key",
    'Key of the drill, such as Eb, F# or "C minor"; exactly the spelling asked for.',
  ),
  changes: v.optional(sharedFields.changes),
  chartKey: v.optional(sharedFields.chartKey),
  metre: v.optional(sharedFields.metre),
  title: v.optional(
    field(
      v.pipe(v.string(), v.minLength(1), v.maxLength(200)),
      "Title",
      "What is printed above the music (the changes and the key, unless given).",
    ),
  ),
  left: v.optional(sharedFields.left, "shell"),
  span: v.optional(sharedFields.span),
  comping: v.optional(sharedFields.comping),
  pickup: v.optional(sharedFields.pickup, false),
  lowBass: v.optional(sharedFields.lowBass, false),
  colour: v.optional(sharedFields.colour, "in-context"),
  aims: v.optional(sharedFields.aims, "pianist"),
  numerals: v.optional(sharedFields.numerals),
  asWritten: v.optional(sharedFields.asWritten),
  fingers: v.optional(sharedFields.fingers),
  leftAs: v.optional(sharedFields.leftAs),
  bassLine: v.optional(sharedFields.bassLine),
  right: v.optional(rightField, "up-and-down"),
  level: v.optional(
    field(
      v.picklist([1, 2, 3, 4, 5]),
      "Level",
      "How hard an improvised line is, 1 to 5 (3 unless given); an exercise has a level of its own.",
      { argument: "n" },
    ),
  ),
  scale: v.optional(sharedFields.scale),
  rules: v.optional(sharedFields.rules),
  values: v.optional(sharedFields.values),
  octaves: v.optional(sharedFields.octaves),
  hands: v.optional(
    field(v.picklist(["both", "left", "right"]), "Hands", "Both hands, or one of them with bass and drums."),
    "both",
  ),
  bars: v.optional(
    field(
      v.strictTuple([whole(1, 2000), whole(1, 2000)]),
      "Bars",
      "The first and the last bar to play, of the drill as it is without repeats (all of it unless given).",
      { argument: "from,to" },
    ),
  ),
  tempo: v.optional(sharedFields.tempo, 100),
  lineTempo: v.optional(
    field(
      v.pipe(v.number(), v.minValue(20), v.maxValue(400)),
      "Line tempo",
      "The tempo that an improvised line is made for, where it is practised at another: the same line, slower (the tempo, unless given).",
      { argument: "bpm" },
    ),
  ),
  feel: v.optional(sharedFields.feel),
  touch: v.optional(sharedFields.touch),
  spread: v.optional(sharedFields.spread),
  backing: v.optional(sharedFields.backing),
  arrangement: v.optional(sharedFields.arrangement),
  ending: v.optional(sharedFields.ending),
  seed: v.optional(sharedFields.seed, DEFAULT_SEED),
  repeats: v.optional(sharedFields.repeats, 1),
  countIn: v.optional(sharedFields.countIn),
} as const;

const drillObject = v.strictObject({ ...documentFields("drill"), ...drillFields });

/** What depends on several fields, as far as it can be told without making the drill. */
type DrillDocument = v.InferOutput<typeof drillObject>;

const levelIsForLines = rule<DrillDocument>(
  ({ level, right }) =>
    level === undefined || right === "improvised"
      ? []
      : [
          {
            field: "level",
            expected: `no level beside the exercise ${idOfRow(right)}, which has its own: levels are for "improvised"`,
          },
        ],
  { if: { required: ["level"] }, then: { properties: { right: { const: "improvised" } }, required: ["right"] } },
);

const exerciseOf = (right: RightHandId | ExerciseRow): ExerciseRow | undefined =>
  typeof right === "object" ? right : exerciseCatalogue.find(({ id }) => id === right);

const leastOctaves = (right: RightHandId | ExerciseRow): 1 | 2 => exerciseOf(right)?.leastOctaves ?? 1;

/** The id of what may be a row. */
export const idOfRow = (given: string | { readonly id: string }): string =>
  typeof given === "string" ? given : given.id;

const wideExercises = exerciseCatalogue.filter(({ leastOctaves }) => leastOctaves > 1).map(({ id }) => id);

const octavesSuffice = rule<DrillDocument>(
  ({ octaves, right }) => {
    const least = leastOctaves(right);
    return octaves === undefined || octaves >= least
      ? []
      : [{ field: "octaves", expected: `at least ${least} octaves for ${idOfRow(right)}` }];
  },
  {
    if: { properties: { right: { enum: wideExercises } }, required: ["right"] },
    then: { properties: { octaves: { minimum: 2 } } },
  },
);

const leftHandAlone = exerciseCatalogue.flatMap(({ id, ...row }) =>
  "left" in row && row.left === "alone" ? [id] : [],
);

const hasNotes = rule<DrillDocument>(
  ({ right, hands }) =>
    hands === "right" && exerciseOf(right)?.left === "alone"
      ? [{ field: "hands", expected: `both hands or the left, which alone plays ${idOfRow(right)}` }]
      : [],
  {
    if: { properties: { right: { enum: leftHandAlone } }, required: ["right"] },
    then: { properties: { hands: { enum: ["both", "left"] } } },
  },
);

const barsRise = rule<DrillDocument>(({ bars }) =>
  bars === undefined || bars[0] <= bars[1]
    ? []
    : [{ field: "bars", expected: "a last bar that is not before the first" }],
);

const endsWhole = rule<DrillDocument>(({ bars, asWritten, ending = "none" }) =>
  (bars === undefined && asWritten !== true) || ending === "none"
    ? []
    : [{ field: "ending", expected: "no ending where some bars are played by themselves, or repeats are printed" }],
);

const fitsTogether = rule<DrillDocument>((recipe) => {
  const changes = answerOf(() => changesOf(recipe));
  if ("refused" in changes)
    return [{ field: recipe.chartKey === undefined ? "changes" : "chartKey", expected: changes.refused }];
  return [
    ...lengthClashes(changes, recipe),
    ...handClashes(recipe),
    ...chordClashes(changes, recipe),
    ...scaleClashes(changes, recipe),
    ...lineClashes(changes, recipe),
    ...compingClashes(changes, recipe),
    ...backingClashes(changes, recipe),
  ];
});

// An hour and more of music; beyond that time and memory are better spent on several drills.
export const MOST_BARS = 2000;
export const MOST_CHORDS = 8000;

const lengthClashes = ({ bars, chords }: Progression, { repeats }: DrillDocument): readonly Clash<DrillDocument>[] => {
  const most = Math.floor(Math.min(MOST_BARS / bars, MOST_CHORDS / chords.length));
  if (most === 0) return [{ field: "changes", expected: `at most ${MOST_BARS} bars and ${MOST_CHORDS} chords` }];
  return repeats > most
    ? [{ field: "repeats", expected: `at most ${most}, for ${MOST_BARS} bars and ${MOST_CHORDS} chords in all` }]
    : [];
};

const handClashes = (recipe: DrillDocument): readonly Clash<DrillDocument>[] => {
  if (recipe.right !== "comping" || askedForBoth(recipe).every(isForBothHands)) return [];
  const fitting = STYLES.filter(isForBothHands).join(", ");
  return [
    { field: "left", expected: `voicings for two hands where both comp: shell (with upper structures), ${fitting}` },
  ];
};

const chordClashes = (changes: Progression, recipe: DrillDocument): readonly Clash<DrillDocument>[] => {
  const { chords } = changes;
  const sounding = chords.flatMap(({ chord }) => (chord === undefined ? [] : [chord]));
  if (sounding.length === 0) return [{ field: "changes", expected: "changes with at least one chord" }];
  const hands = recipe.right === "comping" ? ("both" as const) : undefined;
  const options = { style: stylesOf(recipe), span: spanOf(recipe), dropBass: recipe.lowBass, hands };
  for (const chord of new Map(sounding.map((one) => [one.symbol, one])).values()) {
    // A placement is looked for when the list is read.
    const refused = refusedBy(() => voicingsFor(chord, options)[Symbol.iterator]().next());
    if (refused !== undefined) {
      return [{ field: recipe.span === undefined ? "changes" : "span", expected: `${refused}, for ${chord.symbol}` }];
    }
  }
  if ((recipe.ending ?? "none") === "none") return [];
  const last = tonicAtEnd(changes);
  const held = { ...options, style: stylesOf({ ...recipe, comping: "held" }) };
  const refused = refusedBy(() => voicingsFor(last, held)[Symbol.iterator]().next());
  return refused === undefined ? [] : [{ field: "ending", expected: `none here: ${refused}, for ${last.symbol}` }];
};

// Common practice, no source.
const TAG_BARS = 4;

/** Bars after the last repeat: what a tag plays once more, of so many bars, and the last. */
export const barsAfter = (
  { ending = "none" }: Pick<DrillRecipe, "ending">,
  { metres }: Pick<Progression, "metres">,
  bars: number,
): { readonly tag: number; readonly last: 0 | 1 } => ({
  tag: ending === "tag" && metres === undefined ? Math.min(TAG_BARS, bars) : 0,
  last: ending === "none" ? 0 : 1,
});

/** The chord that a piece ends on: a sixth, or a seventh where the key note carries a dominant seventh, as in a blues. Common practice, no source. */
export const tonicAtEnd = ({ key, chords }: Progression): Chord => {
  return parseChord(`${key.tonic}${isBlue({ key, chords }) ? "7" : key.mode === "minor" ? "m6" : "6"}`);
};

/** Whether the key note carries a dominant seventh, as in a blues. */
const isBlue = ({ key, chords }: Pick<Progression, "key" | "chords">): boolean =>
  chords.some(
    ({ chord }) =>
      chord?.root === key.tonic && ["3", "b7"].every((degree) => chord.tones.some((tone) => tone.degree === degree)),
  );

const scaleClashes = (changes: Progression, recipe: DrillDocument): readonly Clash<DrillDocument>[] => {
  const refused = refusedBy(() => scaleOf(changes, recipe));
  return refused === undefined ? [] : [{ field: recipe.scale === undefined ? "key" : "scale", expected: refused }];
};

const lineClashes = ({ metres }: Progression, { right }: DrillDocument): readonly Clash<DrillDocument>[] =>
  right === "improvised" && metres !== undefined
    ? [
        {
          field: "right",
          expected: `an exercise where the metre changes, as in bar ${metres[0]?.bar ?? 2}: phrases of an improvised line count bars of one length`,
        },
      ]
    : [];

const compingClashes = (
  { metre }: Progression,
  { comping, pickup }: DrillDocument,
): readonly Clash<DrillDocument>[] => {
  if (comping === undefined) return [];
  const row = leftHandRow(comping);
  if (isManner(row)) return [];
  if (!fitsMetre(row, metre)) {
    const fitting = compingCatalogue.filter(({ id }) => fitsMetre(id, metre)).map(({ id }) => id);
    return [
      {
        field: "comping",
        expected: `a pattern with a bar of ${formatMetre(metre)}: ${fitting.join(", ")}`,
      },
    ];
  }
  const { hits, others = [] } = row;
  const early = [hits, ...others.map((bar) => bar.hits)].flat().some(({ at }) => beats(at).num < 0);
  return early && pickup !== false
    ? [{ field: "pickup", expected: `no pickup beside ${idOfRow(comping)}, which strikes its chords before the beat` }]
    : [];
};

const backingClashes = ({ metre }: Progression, { backing }: DrillDocument): readonly Clash<DrillDocument>[] => {
  if (backing === undefined || backing === "none") return [];
  return canPlay(backing, metre)
    ? []
    : [
        {
          field: "backing",
          expected: `bass and drums with a bar of ${formatMetre(metre)}: ${[...backingIn(metre), "none"].join(", ")}`,
        },
      ];
};

/** What {@link DrillRecipe} says, as valibot checks it. */
export const drillRecipeSchema = v.pipe(
  drillObject,
  v.title("Drill"),
  v.description(
    "A drill for two hands in words and figures: changes, left hand, right hand, time. Everything but the key has a default. No span or tempo is safe for every hand.",
  ),
  together(levelIsForLines, octavesSuffice, hasNotes, barsRise, endsWhole, fitsTogether),
);

// Recipes are type aliases, for an interface would not fit where other fields may stand beside, as in assess's PracticeRecipe.

/**
 * A drill in words and figures, as JSON: what `makeDrill` makes a score from. Unknown fields are refused.
 *
 * Everything but the key has a default, so `{ "key": "Eb" }` is a whole recipe. Each field is told in the JSON Schema of a drill, which ships
 * as `hands-together/schemas/drill.json` and which `hands-together schema drill` prints. No span or tempo is safe for every hand.
 */
export type DrillRecipe = Given<v.InferInput<typeof drillObject>>;

/** A drill recipe with every default filled in; what depends on other fields may stay open. */
export type FullDrillRecipe = Given<Omit<v.InferOutput<typeof drillObject>, "$schema" | "kind" | "version">> & {
  readonly changes: string | ProgressionRow;
  readonly feel: string | FeelRow;
  readonly backing: BackingId | BackingRow | "none";
};

/**
 * Checks a recipe from any source and fills in its defaults.
 *
 * @param recipe - a value such as `JSON.parse` gives
 * @throws MusicError `recipe/drill` for unknown fields, bad values and fields that don't go together: all that is wrong, each with its path
 *
 * @example
 * ```ts
 * import { parseDrillRecipe } from "hands-together";
 *
 * parseDrillRecipe({ key: "Eb" }).changes; // => "turnaround"
 * parseDrillRecipe({ key: "Eb", tempo: "fast" }); // throws "recipe/drill"
 * ```
 */
export function parseDrillRecipe(recipe: unknown): FullDrillRecipe {
  const given = plainDocument(readDocument(drillRecipeSchema, recipe, "recipe/drill"));
  const { metre, chartTempo, chartFeel } = changesOf(given);
  const backing = given.backing ?? bandOf(chartFeel, metre) ?? usualBand(metre) ?? "none";
  const states = isRecord(recipe) && recipe.tempo === undefined && v.is(sharedFields.tempo, chartTempo);
  const read = {
    ...given,
    ...(states && chartTempo !== undefined && { tempo: chartTempo }),
    changes: given.changes ?? usualChanges(given.chartKey ?? given.key),
    feel: given.feel ?? feelOf(backing, metre),
    backing,
  };
  if (read.right === "improvised") return { ...read, level: read.level ?? 3 };
  if (read.right === "comping") return read;
  return { ...read, values: read.values ?? "eighths", octaves: read.octaves ?? leastOctaves(read.right) };
}

// Swung sixteenths in a ballad: common practice, no source.
// What players call a feel beside the names of the bands: common practice, no source.
const CALLED: readonly (readonly [words: string, band: BackingId])[] = [
  ["two[ -]?feel|in (?:two|2)", "two-beat"],
  ["samba", "bossa"],
  ["latin|straight|even|8ths|eighths|funk|rock", "even"],
  ["swing|swung", "swing"],
];

/** The band that a chart's words for its feel name, if they name one and it plays in the metre. */
const bandOf = (words: string | undefined, metre: Metre): BackingId | undefined => {
  if (words === undefined) return undefined;
  const says = (named: string): boolean => new RegExp(`\\b(?:${named})\\b`, "i").test(words);
  // Nearly every feel swings: that word tells least.
  const byName = backingCatalogue.map(({ id }) => id).filter((id) => id !== "swing" && says(id.replace("-", "[ -]")));
  const called = CALLED.filter(([named]) => says(named)).map(([, id]) => id);
  return [...byName, ...called].find((id) => canPlay(id, metre));
};

const feelOf = (backing: BackingId | BackingRow | "none", metre: Metre): string => {
  const straight = isCompound(metre) || (backing !== "none" && backingRow(backing).eighths === "even");
  return straight ? "straight" : backing === "ballad" ? "ballad" : "swing";
};

// Two or three beats of three eighths each have a band of their own.
const usualBand = (metre: Metre): BackingId | undefined => {
  const [first] = backingIn(metre);
  return isCompound(metre) && metre.count < 12 && canPlay("six-eight", metre) ? "six-eight" : first;
};

/** The styles of bass and drums that have a bar of a metre, in the order of the catalogue. */
const backingIn = (metre: Metre): readonly BackingId[] =>
  backingCatalogue.filter(({ id }) => canPlay(id, metre)).map(({ id }) => id);

const canPlay = (style: BackingId | BackingRow, metre: Metre): boolean =>
  typeof style === "string"
    ? playing(`${style} ${formatMetre(metre)}`, () => plays(style, metre))
    : plays(style, metre);

// Every recipe asks it of every style that ships.
const playing = /* @__PURE__ */ memo<boolean>(500);

const plays = (style: BackingId | BackingRow, metre: Metre): boolean =>
  refusedBy(() => makeBacking(oneBar(metre), { style })) === undefined;

const oneBar = (metre: Metre): Progression => parseProgression("C", { metre });

const usualChanges = (key: string): string => (parseKey(key).mode === "minor" ? "minor-turnaround" : "turnaround");

/** The changes of a drill in its key. */
export const changesOf = ({
  changes,
  key,
  chartKey,
  metre,
}: Pick<DrillRecipe, "changes" | "key" | "chartKey" | "metre">): Progression => {
  const read = (): Progression => {
    const options = metre === undefined ? {} : { metre: parseMetre(metre) };
    return chartKey === undefined
      ? parseProgression(changes ?? usualChanges(key), { ...options, key })
      : transposeProgression(parseProgression(changes ?? usualChanges(chartKey), { ...options, key: chartKey }), key);
  };
  return typeof changes === "object" ? read() : lately(JSON.stringify([changes, key, chartKey, metre]), read);
};

// A recipe is checked, filled in and made, and each step asks for its changes.
const lately = /* @__PURE__ */ memo<Progression>(20);

/** The scale of a drill's right hand. */
export const scaleOf = (
  { key, chords }: Progression,
  { scale: given, right }: Pick<FullDrillRecipe, "scale"> & Pick<DrillRecipe, "right">,
): Scale => {
  if (typeof given === "object") return scale(key.tonic, given);
  if (given !== undefined) return parseScale(`${key.tonic} ${given}`);
  const row: ExerciseRow | undefined =
    typeof right === "object" ? right : exerciseCatalogue.find(({ id }) => id === right);
  return row?.sevenNotes === true
    ? parseScale(`${key.tonic} ${key.mode === "minor" ? "minor" : isBlue({ key, chords }) ? "mixolydian" : "major"}`)
    : parseScale(`${key.tonic} ${key.mode === "minor" ? "minor blues" : "major blues"}`);
};

type OfLeftHand = Pick<DrillRecipe, "comping" | "right" | "backing"> & Pick<FullDrillRecipe, "left">;

/** The pattern of a drill's left hand, or the manner in which it listens. */
export const compingOf = ({ left, comping, right, backing }: OfLeftHand): LeftHandRow =>
  leftHandRow(comping ?? (right === "improvised" ? mannerOf(backing) : usualPattern(left, right)));

const usualPattern = (left: FullDrillRecipe["left"], right: DrillRecipe["right"]): CompingId =>
  [left].flat()[0] === "shell" && right !== "comping" ? "root-then-chord" : "held";

const mannerOf = (backing: DrillRecipe["backing"]): CompingMannerId => {
  if (backing === undefined || backing === "none") return "listening";
  const { id, eighths } = backingRow(backing);
  return eighths === "even" ? "listening-even" : id === "ballad" ? "listening-ballad" : "listening";
};

type LeftHand = VoicingStyle | VoicingRow;

// Of shells that are held, the one that a hand reaches: the root with the 3rd or the 7th.
const askedStyles = (recipe: OfLeftHand): readonly LeftHand[] => {
  const row = compingOf(recipe);
  const held = (isManner(row) ? row.cells : [row]).some(({ hits }) => hits.some((hit) => hit.play === "all"));
  return [recipe.left].flat().map((style) => (style === "shell" && held ? "two-note-shell" : style));
};

// Between them they have a form for nearly every chord, the second even for a bare fifth.
const LAST_RESORT = ["close", "two-note-shell"] as const satisfies readonly VoicingStyle[];

/** The styles of a drill's left hand, or of both hands where both comp, in order of preference: those asked for, then what has a form for most chords. */
export const stylesOf = (recipe: OfLeftHand): readonly LeftHand[] => [
  ...new Set([
    ...(recipe.right === "comping" ? [...askedForBoth(recipe), "spread" as const] : askedStyles(recipe)),
    ...LAST_RESORT,
  ]),
];

// A shell has its upper structure in the right hand.
const askedForBoth = ({ left }: Pick<FullDrillRecipe, "left">): readonly LeftHand[] =>
  [left].flat().map((style) => (style === "shell" || style === "two-note-shell" ? "upper-structure" : style));

const OCTAVE = 12;
const TENTH = 16;

/** The widest stretch of a drill's left hand. */
export const spanOf = ({ left, span }: Pick<FullDrillRecipe, "left" | "span">): number =>
  span ?? ([left].flat().includes("tenth") ? TENTH : OCTAVE);
