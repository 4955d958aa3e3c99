import * as v from "valibot";
import type { NoteEvent } from "../event/index.ts";
import type { Chance } from "../ground/chance.ts";
import { chanceOf, DEFAULT_SEED, seedSchema } from "../ground/chance.ts";
import { check, isRecord, shapeOf } from "../ground/check.ts";
import { MusicError } from "../ground/errors.ts";
import type { LineModel } from "../line-model/index.ts";
import { lineModel } from "../line-model/index.ts";
import { KINDS, tempoClass } from "../line-model/inner.ts";
import type { Key, Pitch } from "../pitch/index.ts";
import { pitch, pitchAtOrAbove, pitchClassOf, pitchName } from "../pitch/index.ts";
import type { ChordSpan } from "../progression/index.ts";
import type { Scale } from "../scale/index.ts";
import { parseScale } from "../scale/index.ts";
import { formatMetre } from "../time/index.ts";
import { addFingers } from "./fingers.ts";
import type { LineValues } from "./grid.ts";
import { gridOf, ticksToBeats } from "./grid.ts";
import { chordSlots } from "./harmony.ts";
import { compose } from "./improvise/compose.ts";
import { figuresOf } from "./improvise/figures.ts";
import type { Brief, Frame } from "./improvise/frame.ts";
import type { Grade } from "./improvise/grades.ts";
import { GRADES } from "./improvise/grades.ts";
import { readModel } from "./improvise/model.ts";
import type { MotifRole, PlannedPhrase } from "./improvise/plan.ts";
import { planLine } from "./improvise/plan.ts";
import type { Drawn } from "./improvise/search.ts";
import { settingsOf } from "./improvise/setting.ts";
import { writeDown } from "./improvise/write.ts";
import type { Line } from "./line.ts";
import { phraseRuleCatalogue, phraseRuleRow } from "./rules/index.ts";
import type { PhraseRuleRow } from "./rules/rule.ts";
import type { ChangesLike } from "./shape.ts";
import { changesOf, eventsShape, pitchNamed, pitchShape, scaleNamed, scaleShape, tempoSchema } from "./shape.ts";
import { usualScale } from "./usual-scale.ts";
import type { Idiom, VocabularyRow } from "./vocabulary.ts";
import { vocabularyCatalogue, vocabularyRow } from "./vocabulary.ts";

/** What a phrase of a generated line does. */
export interface GeneratedPhrase {
  /** The motif that it begins with: `"A"` is the first that is heard. */
  readonly motif: string;
  /** `"return"`: the same rhythm and, where the chords let it, the same intervals, of a long phrase those of its head; `"answer"`: turned upside down; `"variation"`: its second half changed. */
  readonly role: MotifRole;
  /** The kind of idea. */
  readonly idea: (typeof KINDS)[number];
  readonly idiom: Idiom;
}

/** A figure of the vocabulary in a generated line. */
export interface GeneratedFigure {
  /** The id of its row in {@link vocabularyCatalogue}. */
  readonly id: string;
  /** Index of the event on which it begins. */
  readonly event: number;
}

/** A generated line and how it was made. */
export interface GeneratedLine extends Line {
  readonly id: "improvised";
  readonly seed: number;
  readonly level: 1 | 2 | 3 | 4 | 5;
  /** One for each of the line's phrases. */
  readonly form: readonly GeneratedPhrase[];
  /** The figures of the vocabulary that the line took up, in order of time. */
  readonly figures: readonly GeneratedFigure[];
}

/** Options of {@link generateLine}. */
export interface GenerateLineOptions {
  /** A whole number from 0 to 4294967295; the same seed gives the same line. @defaultValue 1 */
  readonly seed?: number | undefined;
  /** 1 for a handful of notes in short phrases, to 5 for all that the corpus plays. @defaultValue 3 */
  readonly level?: 1 | 2 | 3 | 4 | 5 | undefined;
  /** The scale or its name. @defaultValue the major or minor scale of the progression's key, or its mixolydian scale where the key note carries a dominant seventh */
  readonly scale?: Scale | string | undefined;
  /** What phrases are made from first. @defaultValue a mixture by level, of the blues mostly where the key note carries a dominant seventh */
  readonly idiom?: Idiom | undefined;
  /** Quarter notes a minute: the faster, the fewer notes a beat. @defaultValue 120 */
  readonly tempo?: number | undefined;
  /** @defaultValue the mixture of the level and the tempo */
  readonly values?: LineValues | undefined;
  /** @defaultValue C4, or a semitone above the left hand where all that it plays reaches higher, an octave below the highest at most */
  readonly lowest?: Pitch | string | undefined;
  /** @defaultValue as far above the lowest as the level ranges (above C4 where the left hand sets the lowest, and at least an octave above that), at most C7 */
  readonly highest?: Pitch | string | undefined;
  /** What the left hand plays: no long note clashes with it, and the line keeps above it where it can. @defaultValue none */
  readonly voicings?: readonly NoteEvent[] | undefined;
  /** Figures that may be taken up: ids of {@link vocabularyCatalogue}, or rows of your own. @defaultValue all that ship */
  readonly vocabulary?: readonly (string | VocabularyRow)[] | undefined;
  /** Rules whose `keep` and `lead` every phrase is held to: ids of {@link phraseRuleCatalogue}, or rows of your own. @defaultValue all that ship */
  readonly rules?: readonly (string | PhraseRuleRow)[] | undefined;
  /** `"likeliest"`: the rhythm is drawn, and its pitches are the likeliest there are. @defaultValue `"drawn"` */
  readonly pitches?: "drawn" | "likeliest" | undefined;
  /** What the line is drawn from. @defaultValue the model on the subpath `line-model` */
  readonly model?: LineModel | undefined;
}

const isModel = (value: unknown): value is LineModel =>
  isRecord(value) &&
  Object.keys(lineModel).every((name) => {
    const table = value[name];
    return typeof table === "string" || (Array.isArray(table) && table.every((part) => typeof part === "string"));
  });

const rows = () => v.pipe(v.array(v.unknown()), v.maxLength(500));

const optionsSchema = /* @__PURE__ */ v.strictObject({
  seed: /* @__PURE__ */ v.optional(v.unknown()),
  level: /* @__PURE__ */ v.optional(v.unknown()),
  scale: /* @__PURE__ */ v.optional(scaleShape),
  idiom: /* @__PURE__ */ v.optional(/* @__PURE__ */ v.picklist(["blues", "melodic", "bebop"])),
  tempo: /* @__PURE__ */ v.optional(v.unknown()),
  values: /* @__PURE__ */ v.optional(/* @__PURE__ */ v.picklist(["eighths", "triplets", "mixed"])),
  lowest: /* @__PURE__ */ v.optional(pitchShape),
  highest: /* @__PURE__ */ v.optional(pitchShape),
  voicings: /* @__PURE__ */ v.optional(eventsShape),
  vocabulary: /* @__PURE__ */ v.optional(/* @__PURE__ */ rows()),
  rules: /* @__PURE__ */ v.optional(/* @__PURE__ */ rows()),
  pitches: /* @__PURE__ */ v.optional(/* @__PURE__ */ v.picklist(["drawn", "likeliest"])),
  model: /* @__PURE__ */ v.optional(/* @__PURE__ */ shapeOf(isModel, "a model of lines")),
});

/**
 * A line of phrases over chord changes, with fingers.
 *
 * The seed settles the form first: ideas (lines, licks, melodies, riffs) as long and as far apart as in a corpus of solos, some of which take up
 * earlier ones, and their rhythms beat by beat. Then the pitches of each idea are drawn: from exactly the model's distribution, a back-off model
 * of the next interval given the last three, the chord, the degree and the place in the beat, given all that must hold
 * (`keep` and `lead` of {@link phraseRuleCatalogue}, the thirds of dominants, the range). Figures of the {@link vocabularyCatalogue} are taken up on the way. A level narrows
 * the range, the rhythms and the notes; the tempo sets how many notes a second there can be: at most 12.5 over a beat, and 16 from one to the next in a turn.
 *
 * Source of the model: Weimar Jazz Database, by way of the R package jazzodata (Frieler, Pfleiderer, Zaddach, Abesser 2022); Pfleiderer, M. et al. (eds.) (2017), Inside the
 * Jazzomat.
 *
 * @param given - a progression or its text or row; or bars, metre and chords
 * @throws MusicError `line/seed`, `line/level`, `line/tempo` for options out of range, `line/scale` when neither scale nor key is given, `line/range` when the
 * range is empty, `line/metre` where the metre changes on the way, `line/bars` when there is no room for a phrase, `line/rule` and `line/vocabulary` for rows that are none, `line/conflict` when none of the
 * seed's first eight forms has a line that keeps every rule, naming the rules that conflict
 *
 * @example
 * ```ts
 * import { checkLine, generateLine, parseProgression } from "hands-together";
 *
 * const changes = parseProgression("blues", { key: "F" });
 * const line = generateLine(changes, { seed: 7, level: 3 });
 * line.bars; // => 12
 * checkLine(line.events, { chords: changes.chords, scale: line.scale }).findings.filter((f) => f.severity === "must"); // => []
 * ```
 */
export function generateLine(given: ChangesLike, options: GenerateLineOptions = {}): GeneratedLine {
  check(optionsSchema, options, "line/argument");
  const changes = changesOf(given);
  const [change] = changes.metres ?? [];
  if (change !== undefined)
    throw new MusicError({
      code: "line/metre",
      input: `${formatMetre(change.metre)} in bar ${change.bar}`,
      expected: `one metre throughout, ${formatMetre(changes.metre)} as it begins: phrases of a line count bars of one length`,
      hint: "make a line for the bars of one metre, or take an exercise, which goes over any",
      reason: "cannot-be-done",
    });
  const seed = options.seed ?? DEFAULT_SEED;
  check(seedSchema, seed, "line/seed");
  const tempo = options.tempo ?? DEFAULT_TEMPO;
  check(tempoSchema, tempo, "line/tempo");
  const level = options.level ?? 3;
  // A text would find its place in the list by arithmetic, and a symbol has none.
  const grade = typeof level === "number" ? GRADES[level - 1] : undefined;
  if (grade === undefined) throw new MusicError({ code: "line/level", input: level, expected: "a level from 1 to 5" });
  const { frame, scale, bluesy } = frameOf(changes, options, level, grade);
  // Streams of their own: what pitches a key allows leaves form and rhythm alone.
  const [form, melody, ornament] = [chanceOf(seed), chanceOf(seed, 1), chanceOf(seed, 2)];
  const mix = mixOf(options.idiom, level, bluesy);
  const kinds = KIND_WEIGHTS[options.idiom ?? (level > EASY ? "bebop" : bluesy ? "blues" : "melodic")];
  const plan = (): readonly Brief[] =>
    briefly(
      planLine(
        {
          model: frame.model,
          grid: frame.grid,
          bars: changes.bars,
          grade,
          values: options.values,
          tempoClass: tempoClass(tempo),
          tempo,
          kinds,
          aab: bluesy ? AAB : 0,
          heads: headsOf(frame, changes.bars),
        },
        form,
      ),
      { mix, scale, level, bluesy },
      form,
    );
  const { briefs, drawn } = drawnLine(plan, frame, melody, { seed, bars: changes.bars });
  const events = addFingers(writeDown(briefs, drawn, blueSpelling(scale), frame, ornament));
  let first = 0;
  const figures = drawn.flatMap((one) => {
    const begun = one.figures.map(({ row, at }) => ({ id: frame.figures.rows[row]?.id ?? "", event: first + at }));
    first += one.pitches.length;
    return begun;
  });
  return {
    kind: "line",
    id: "improvised",
    scale,
    metre: changes.metre,
    bars: changes.bars,
    events,
    phrases: briefs.map(({ phrase: { notes } }) => {
      const [from, end] = [notes[0], notes.at(-1)];
      const at = from?.at ?? 0;
      return { at: ticksToBeats(at), duration: ticksToBeats((end?.at ?? 0) + (end?.duration ?? 1) - at) };
    }),
    seed,
    level,
    form: briefs.map(({ phrase: { motif, role, kind }, idiom }) => ({
      motif: letterOf(motif),
      role,
      idea: KINDS[kind] ?? "line",
      idiom,
    })),
    figures,
  };
}

const DEFAULT_TEMPO = 120;
const EASY = 2;
const AAB = 0.45;
const MOST_PLANS = 8;

const letterOf = (motif: number): string => {
  const letter = String.fromCharCode(65 + (motif % 26));
  return motif < 26 ? letter : letterOf(Math.floor(motif / 26) - 1) + letter;
};

type Mix = readonly (readonly [Idiom, number])[];

// Shares of the idioms in a hundred phrases by level, where the key note carries a dominant seventh and where not. Ours, set by listening.
const BLUES_MIX: readonly Mix[] = [
  [["blues", 100]],
  [
    ["blues", 90],
    ["melodic", 10],
  ],
  [
    ["blues", 50],
    ["melodic", 15],
    ["bebop", 35],
  ],
  [
    ["blues", 35],
    ["melodic", 5],
    ["bebop", 60],
  ],
  [
    ["blues", 25],
    ["bebop", 75],
  ],
];
const OTHER_MIX: readonly Mix[] = [
  [
    ["melodic", 80],
    ["blues", 20],
  ],
  [
    ["melodic", 75],
    ["blues", 25],
  ],
  [
    ["melodic", 35],
    ["blues", 10],
    ["bebop", 55],
  ],
  [
    ["melodic", 20],
    ["blues", 10],
    ["bebop", 70],
  ],
  [
    ["melodic", 10],
    ["blues", 10],
    ["bebop", 80],
  ],
];
const mixOf = (idiom: Idiom | undefined, level: number, bluesy: boolean): Mix =>
  idiom === undefined ? ((bluesy ? BLUES_MIX : OTHER_MIX)[level - 1] ?? [["bebop", 1]]) : [[idiom, 1]];

// How much likelier each kind of idea is than in the corpus: line, lick, melody, riff.
const KIND_WEIGHTS: Readonly<Record<Idiom, readonly number[]>> = {
  blues: [0.6, 1.3, 1.1, 1.8],
  melodic: [0.7, 1, 1.8, 0.8],
  bebop: [1, 1, 1, 1],
};

// By level, how many phrases leave out the thirds of their dominants on purpose: of the corpus's dominants half go without. Ours, no source.
const BARE = [0.15, 0.15, 0.15, 0.25, 0.3];
// How many phrases of the blues are made from the major blues scale, where the key is major.
const MAJOR_SHARE = 0.4;
const MAJOR_BLUES = [0, 2, 3, 4, 7, 9];
const MINOR_BLUES = [0, 3, 5, 6, 7, 10];
const MAJOR_FIVE = [0, 2, 4, 7, 9];
const MINOR_FIVE = [0, 3, 5, 7, 10];

interface Taste {
  readonly mix: Mix;
  readonly scale: Scale;
  readonly level: number;
  readonly bluesy: boolean;
}

/** Settles what each phrase is made from: the blues scales of the key, its five-note scale, or anything. */
const briefly = (phrases: readonly PlannedPhrase[], { mix, scale, level }: Taste, chance: Chance): readonly Brief[] => {
  const tonic = pitchClassOf(scale.tonic);
  const minor = isMinor(scale);
  const briefs: Brief[] = [];
  for (const phrase of phrases) {
    const source = phrase.source === undefined ? undefined : briefs[phrase.source];
    const idiom = source?.idiom ?? chance.pick(mix);
    const major = !minor && chance.share() < MAJOR_SHARE;
    const above =
      idiom === "blues"
        ? major
          ? MAJOR_BLUES
          : MINOR_BLUES
        : idiom === "melodic" && level <= EASY
          ? minor
            ? MINOR_FIVE
            : MAJOR_FIVE
          : undefined;
    const palette = new Uint8Array(12);
    for (const semitones of above ?? []) palette[(tonic + semitones) % 12] = 1;
    const bare = chance.share() < (BARE[level - 1] ?? 0);
    briefs.push({
      phrase,
      idiom,
      palette: source === undefined ? above && palette : source.palette,
      bare,
      closes: phrase === phrases.at(-1),
    });
  }
  return briefs;
};

const isMinor = ({ degrees }: Scale): boolean => degrees.includes("b3") && !degrees.includes("3");

/** By pitch class, the spelling of the notes of both blues scales on the tonic. */
const blueSpelling = ({ tonic }: Scale): readonly (Pitch | undefined)[] => {
  const spelled: (Pitch | undefined)[] = Array.from({ length: 12 }, () => undefined);
  // B double flat over E flat reads better as it is led: as A or B flat's neighbour.
  for (const type of ["minor blues", "major blues"])
    for (const note of parseScale(`${tonic} ${type}`).notes)
      if (note.length < 3) spelled[pitchClassOf(note)] = pitchAtOrAbove(note, C4);
  return spelled;
};

// A form can leave no line that keeps every rule; then another is drawn from the same chance, so that a seed still means one line.
const drawnLine = (
  plan: () => readonly Brief[],
  frame: Frame,
  chance: Chance,
  input: { readonly seed: number; readonly bars: number },
): { readonly briefs: readonly Brief[]; readonly drawn: readonly Drawn[] } => {
  for (let left = MOST_PLANS; ; left--) {
    const briefs = plan();
    const drawn = compose(briefs, frame, chance);
    if (typeof drawn !== "number") return { briefs, drawn };
    if (left <= 1) throw conflict(briefs, frame, input);
  }
};

/** Names a smallest set of rules that can't be kept together: each of them, left out, would let some line through. */
const conflict = (
  briefs: readonly Brief[],
  frame: Frame,
  input: { readonly seed: number; readonly bars: number },
): MusicError => {
  const asking = frame.rules.filter(({ keep, lead }) => keep !== undefined || lead !== undefined);
  const possible = (rules: readonly PhraseRuleRow[]): boolean =>
    typeof compose(briefs, { ...frame, rules }, chanceOf(input.seed)) !== "number";
  let named = asking;
  for (const rule of asking) {
    const rest = named.filter((other) => other !== rule);
    if (!possible(rest)) named = rest;
  }
  return new MusicError({
    code: "line/conflict",
    input,
    expected: `a line that keeps ${["range", ...named.map(({ id }) => id)].join(", ")}, which here conflict`,
    hint: "widen the range, or change the voicings",
    reason: "cannot-be-done",
  });
};

// Where four bars have the chords of the first four.
const headsOf = ({ settings: { slots }, grid }: Frame, bars: number): readonly number[] => {
  const four = 4 * grid.bar;
  const heard = new Map<number, string[]>();
  for (const { at, chord } of slots) {
    const part = Math.floor(at / four);
    heard.set(part, [...(heard.get(part) ?? []), `${at - part * four} ${chord?.symbol ?? ""}`]);
  }
  const first = heard.get(0)?.join();
  const parts = Array.from({ length: Math.floor(bars / 4) }, (_, part) => part);
  return parts.filter((part) => part > 0 && heard.get(part)?.join() === first).map((part) => 4 * part);
};

const C4 = /* @__PURE__ */ pitch("C4");
const HIGHEST = /* @__PURE__ */ pitch("C7");
const LEAST_ROOM = 48;
const MOST_RANGE = 60;
const MIDI_OF_C0 = 12;
/** The least that a line ranges over above a left hand, in semitones. */
const LEAST_RANGE = 12;

/** The highest note of the voicing that reaches least high, in semitones above C0. */
const lowestTop = (voicings: readonly NoteEvent[] = []): number =>
  voicings.reduce(
    (least, { pitches }) =>
      pitches.length === 0 ? least : Math.min(least, Math.max(...pitches.map((p) => p.semitones))),
    voicings.length === 0 ? -Infinity : Infinity,
  );

const frameOf = (
  changes: ReturnType<typeof changesOf>,
  options: GenerateLineOptions,
  level: 1 | 2 | 3 | 4 | 5,
  grade: Grade,
): { readonly frame: Frame; readonly scale: Scale; readonly bluesy: boolean } => {
  const grid = gridOf(changes.metre);
  if (changes.bars * grid.bar < LEAST_ROOM)
    throw new MusicError({
      code: "line/bars",
      input: changes.bars,
      expected: "whole bars with room for at least four quarter notes",
    });
  const lowest = options.lowest === undefined ? undefined : pitchNamed(options.lowest);
  const highest = options.highest === undefined ? undefined : pitchNamed(options.highest);
  const above = lowestTop(options.voicings);
  const low =
    lowest?.semitones ??
    Math.max(C4.semitones, Math.min(Number.isFinite(above) ? above + 1 : 0, (highest?.semitones ?? Infinity) - 12));
  const reach = lowest === undefined ? Math.max(C4.semitones + grade.range, low + LEAST_RANGE) : low + grade.range;
  const high = highest?.semitones ?? Math.max(low, Math.min(reach, HIGHEST.semitones));
  if (high < low || high - low > MOST_RANGE || low < -MIDI_OF_C0 || high > 115)
    throw new MusicError({
      code: "line/range",
      input: [lowest, highest].map((p) => (p === undefined ? undefined : pitchName(p))),
      expected: "a lowest note below the highest, at most five octaves apart",
    });
  const chords = changes.chords ?? [];
  const scale = scaleOf(changes.key, chords, options.scale);
  const tonic = pitchClassOf(scale.tonic);
  const slots = chordSlots(chords, scale, changes.key);
  const bluesy = slots.some(({ chord, function: what }) => chord?.root === scale.tonic && what === "blues");
  return {
    scale,
    bluesy,
    frame: {
      model: readModel(options.model ?? lineModel),
      settings: settingsOf(slots, scale),
      grid,
      tempo: options.tempo ?? DEFAULT_TEMPO,
      level,
      grade,
      low: low + MIDI_OF_C0,
      high: high + MIDI_OF_C0,
      tonic,
      voicings: options.voicings ?? [],
      rules: options.rules?.map(phraseRuleRow) ?? phraseRuleCatalogue,
      figures: figuresOf(options.vocabulary?.map(vocabularyRow) ?? vocabularyCatalogue, level),
      likeliest: options.pitches === "likeliest",
    },
  };
};

const scaleOf = (key: Key | undefined, chords: readonly ChordSpan[], scale: Scale | string | undefined): Scale => {
  if (scale !== undefined) return scaleNamed(scale);
  if (key !== undefined) return usualScale(key, chords);
  throw new MusicError({ code: "line/scale", input: scale, expected: "a scale, or a progression with a key" });
};
