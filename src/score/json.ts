import * as v from "valibot";
import { parseChord } from "../chord/index.ts";
import type { GraceNote, NoteEvent, TimeSpan } from "../event/index.ts";
import { CAUTION } from "../ground/caution.ts";
import { faultsOf, refusal } from "../ground/check.ts";
import { MusicError } from "../ground/errors.ts";
import { parseKey, parsePitch, pitchName } from "../pitch/index.ts";
import type { ChordSpan } from "../progression/index.ts";
import type { Feel, PartFeel } from "../swing/index.ts";
import { parseSwingRatio, swungFeel } from "../swing/index.ts";
import type { Beats } from "../time/index.ts";
import { beats, formatBeats, formatMetre, parseMetre, ZERO } from "../time/index.ts";
import type { DrumEvent, Score } from "./score.ts";
import { checkScore, makeScore } from "./score.ts";
import type { FeelJson, NoteJson, ScoreJson, TimeSpanJson } from "./shape.ts";
import { scoreDocumentSchema } from "./shape.ts";

/**
 * A score as a plain JSON document: notes as names, beats as exact text, chord symbols as written.
 *
 * @returns a fresh document for `JSON.stringify`; {@link scoreFromJson} reads it back without loss
 * @throws MusicError `pitch/unspellable` for a pitch outside octaves -1 to 9 or with more than three accidentals
 *
 * @example
 * ```ts
 * import { beats, makeScore, metre, parseKey, pitch, scoreToJson } from "hands-together";
 *
 * const note = { at: beats("1/3"), duration: beats("2/3"), pitches: [pitch("Eb4")], fingers: [2 as const] };
 * const score = makeScore({ key: parseKey("Eb"), metre: metre("4/4"), bars: 1, right: [note] });
 * scoreToJson(score).right; // => [{ at: "1/3", duration: "2/3", pitches: ["Eb4"], fingers: [2] }]
 * ```
 */
export function scoreToJson(score: Score): ScoreJson {
  checkScore(score, "score/argument");
  return {
    kind: "score",
    version: 1,
    title: score.title,
    key: `${score.key.tonic} ${score.key.mode}`,
    metre: formatMetre(score.metre),
    ...(score.metres && {
      metres: score.metres.map(({ bar, metre }) => ({ bar, metre: formatMetre(metre) })),
    }),
    tempo: score.tempo,
    feel: feelToJson(score.feel),
    pickup: formatBeats(score.pickup),
    bars: score.bars,
    chords: score.chords.map((span) => ({
      ...spanToJson(span),
      symbol: span.chord === undefined ? null : span.chord.symbol,
      ...(span.numeral === undefined ? {} : { numeral: span.numeral }),
    })),
    right: score.right.map(noteToJson),
    left: score.left.map(noteToJson),
    ...(score.bass === undefined ? {} : { bass: score.bass.map(noteToJson) }),
    ...(score.drums === undefined
      ? {}
      : { drums: score.drums.map((d) => ({ ...spanToJson(d), midi: d.midi, ...kept("velocity", d.velocity) })) }),
    ...(score.phrases === undefined ? {} : { phrases: score.phrases.map(spanToJson) }),
    ...(score.form === undefined ? {} : { form: structuredClone(score.form) }),
    ...(score.recipe === undefined ? {} : { recipe: structuredClone(score.recipe) }),
    caution: CAUTION,
  };
}

const spanToJson = (span: TimeSpan): TimeSpanJson => ({
  at: formatBeats(span.at),
  duration: formatBeats(span.duration),
});

// The field of an object under its name, where it is there.
const kept = <K extends string, T>(name: K, value: T | undefined): { [P in K]?: T } => {
  const some: { [P in K]?: T } = {};
  if (value !== undefined) some[name] = value;
  return some;
};

const noteToJson = (event: NoteEvent): NoteJson => ({
  ...spanToJson(event),
  pitches: event.pitches.map(pitchName),
  ...(event.fingers === undefined ? {} : { fingers: [...event.fingers] }),
  ...(event.graces === undefined
    ? {}
    : {
        graces: event.graces.map((g) => ({ pitch: pitchName(g.pitch), style: g.style, ...kept("finger", g.finger) })),
      }),
  ...kept("articulation", event.articulation),
  ...kept("velocity", event.velocity),
});

const feelToJson = (feel: Feel): FeelJson => ({
  id: feel.id,
  ratio: { ...feel.ratio },
  unit: feel.unit,
  ...delayToJson(feel),
  ...(feel.parts === undefined
    ? {}
    : {
        parts: mapParts(feel.parts, (part) => ({
          ...(part.ratio === undefined ? {} : { ratio: { ...part.ratio } }),
          ...delayToJson(part),
        })),
      }),
});

const delayToJson = (from: { readonly downbeatDelay?: Beats }): { downbeatDelay?: string } =>
  from.downbeatDelay === undefined ? {} : { downbeatDelay: formatBeats(from.downbeatDelay) };

const mapParts = <A, B>(parts: { readonly [part: string]: A }, map: (part: A) => B): { [part: string]: B } =>
  Object.fromEntries(Object.entries(parts).map(([part, value]) => [part, map(value)]));

/**
 * Reads a score from its JSON document.
 *
 * @param json - the document, or its text
 * @throws MusicError `score/json` for text that is no JSON or a document that breaks the schema, with the paths of all faults; the
 * codes of `makeScore` for a score that can't be; the codes of pitch, time, chord and swing for a name that can't be read
 *
 * @example
 * ```ts
 * import { makeScore, metre, parseKey, scoreFromJson, scoreToJson } from "hands-together";
 *
 * const score = makeScore({ key: parseKey("F"), metre: metre("3/4"), bars: 8 });
 * scoreFromJson(JSON.stringify(scoreToJson(score))).bars; // => 8
 * scoreFromJson({ version: 2 }); // throws "score/json"
 * ```
 */
export function scoreFromJson(json: unknown): Score {
  const document = typeof json === "string" ? parsed(json) : json;
  const result = v.safeParse(scoreDocumentSchema, document);
  if (!result.success) throw refusal("score/json", document, faultsOf(result.issues));
  const read: ScoreJson = result.output;
  const { title, tempo, bars } = read;
  return makeScore({
    title,
    tempo,
    bars,
    key: parseKey(read.key),
    metre: parseMetre(read.metre),
    metres: read.metres?.map(({ bar, metre }) => ({ bar, metre: parseMetre(metre) })),
    feel: feelFromJson(read.feel),
    pickup: read.pickup === "0" ? ZERO : beats(read.pickup),
    chords: read.chords.map(
      (span): ChordSpan => ({
        ...spanFromJson(span),
        chord: span.symbol === null ? undefined : parseChord(span.symbol),
        ...kept("numeral", span.numeral),
      }),
    ),
    right: read.right.map(noteFromJson),
    left: read.left.map(noteFromJson),
    ...(read.bass === undefined ? {} : { bass: read.bass.map(noteFromJson) }),
    ...(read.drums === undefined
      ? {}
      : {
          drums: read.drums.map(
            (d): DrumEvent => ({ ...spanFromJson(d), midi: d.midi, ...kept("velocity", d.velocity) }),
          ),
        }),
    ...(read.phrases === undefined ? {} : { phrases: read.phrases.map(spanFromJson) }),
    ...(read.form === undefined ? {} : { form: read.form }),
    ...(read.recipe === undefined ? {} : { recipe: structuredClone(read.recipe) }),
  });
}

const parsed = (text: string): unknown => {
  try {
    return JSON.parse(text);
  } catch {
    throw new MusicError({ code: "score/json", input: text, expected: "a JSON document" });
  }
};

const spanFromJson = (span: TimeSpanJson): TimeSpan => ({ at: beats(span.at), duration: beats(span.duration) });

const noteFromJson = (note: NoteJson): NoteEvent => ({
  ...spanFromJson(note),
  pitches: note.pitches.map(parsePitch),
  ...(note.fingers === undefined ? {} : { fingers: note.fingers }),
  ...(note.graces === undefined
    ? {}
    : {
        graces: note.graces.map(
          (g): GraceNote => ({ pitch: parsePitch(g.pitch), style: g.style, ...kept("finger", g.finger) }),
        ),
      }),
  ...kept("articulation", note.articulation),
  ...kept("velocity", note.velocity),
});

const feelFromJson = (feel: FeelJson): Feel =>
  swungFeel(feel.ratio, {
    id: feel.id,
    unit: feel.unit,
    ...kept("downbeatDelay", feel.downbeatDelay),
    ...(feel.parts === undefined
      ? {}
      : {
          parts: mapParts(
            feel.parts,
            (part): PartFeel => ({
              ...(part.ratio === undefined ? {} : { ratio: parseSwingRatio(part.ratio) }),
              ...(part.downbeatDelay === undefined ? {} : { downbeatDelay: beats(part.downbeatDelay) }),
            }),
          ),
        }),
  });
