import * as v from "valibot";
import type { NoteEvent, TimeSpan } from "../event/index.ts";
import { check } from "../ground/check.ts";
import type { Pitch } from "../pitch/index.ts";
import type { ChordSpan } from "../progression/index.ts";
import type { Scale } from "../scale/index.ts";
import type { Beats, Metre } from "../time/index.ts";
import { addBeats, barPosition, metre, subtractBeats } from "../time/index.ts";
import type { HeardNote, HeardPhrase } from "./heard.ts";
import { hear } from "./heard.ts";
import { phraseRuleCatalogue, phraseRuleRow } from "./rules/index.ts";
import type { PhraseRuleRow } from "./rules/rule.ts";
import {
  chordsSchema,
  eventsShape,
  metreShape,
  pitchNamed,
  pitchShape,
  scaleNamed,
  scaleShape,
  spansShape,
  tempoSchema,
} from "./shape.ts";
import type { Idiom } from "./vocabulary.ts";

/** Options of {@link checkLine}: the more it knows, the more rules can speak. */
export interface CheckLineOptions {
  /** @defaultValue 4/4 */
  readonly metre?: Metre | undefined;
  /** The chords; they repeat for as long as the line lasts. @defaultValue none: rules about chords are silent */
  readonly chords?: readonly ChordSpan[] | undefined;
  /** The scale or its name. @defaultValue none: a note belongs if it agrees with its chord */
  readonly scale?: Scale | string | undefined;
  /** What the left hand plays. @defaultValue none: the rule about held clashes is silent */
  readonly voicings?: readonly NoteEvent[] | undefined;
  /** Where each phrase starts. @defaultValue phrases part at a rest of a beat, where two beats bring no new note, and after a note of a beat that is held to a bar line */
  readonly phrases?: readonly TimeSpan[] | undefined;
  /** Quarter notes a minute. @defaultValue 120 */
  readonly tempo?: number | undefined;
  /** Ids of {@link phraseRuleCatalogue}, or rows of your own. @defaultValue every rule that ships */
  readonly rules?: readonly (string | PhraseRuleRow)[] | undefined;
  /** `"blues"`: blue notes of the key belong everywhere. @defaultValue none */
  readonly idiom?: Idiom | undefined;
  /** @defaultValue A0, the lowest key */
  readonly lowest?: Pitch | string | undefined;
  /** @defaultValue C8, the highest key */
  readonly highest?: Pitch | string | undefined;
}

const optionsSchema = /* @__PURE__ */ v.strictObject({
  metre: /* @__PURE__ */ v.optional(metreShape),
  chords: /* @__PURE__ */ v.optional(chordsSchema),
  scale: /* @__PURE__ */ v.optional(scaleShape),
  voicings: /* @__PURE__ */ v.optional(eventsShape),
  phrases: /* @__PURE__ */ v.optional(spansShape),
  tempo: /* @__PURE__ */ v.optional(v.unknown()),
  rules: /* @__PURE__ */ v.optional(
    /* @__PURE__ */ v.pipe(/* @__PURE__ */ v.array(v.unknown()), /* @__PURE__ */ v.maxLength(200)),
  ),
  idiom: /* @__PURE__ */ v.optional(/* @__PURE__ */ v.picklist(["blues", "melodic", "bebop"])),
  lowest: /* @__PURE__ */ v.optional(pitchShape),
  highest: /* @__PURE__ */ v.optional(pitchShape),
});

/** One breach of a rule: where, what and what to try. */
export interface LineFinding {
  /** The id of the rule. */
  readonly rule: string;
  readonly severity: "must" | "unusual";
  /** 1 for the first full bar, 0 for a pickup. */
  readonly bar: number;
  /** Beat of the bar, counted from 1. */
  readonly beat: Beats;
  readonly message: string;
  /** What to try instead. */
  readonly suggestion: string;
  /** How many of a hundred phrases of the corpus are less unusual, where that was counted. */
  readonly percentile?: number;
}

/** A phrase that was found in a line. */
export interface FoundPhrase extends TimeSpan {
  readonly bar: number;
  /** Beat of the bar, counted from 1. */
  readonly beat: Beats;
  /** How many notes it has. */
  readonly notes: number;
}

/** What {@link checkLine} finds. */
export interface LineReport {
  readonly kind: "line-report";
  readonly phrases: readonly FoundPhrase[];
  /** By time, then in the order of {@link phraseRuleCatalogue}; empty when every rule is kept. */
  readonly findings: readonly LineFinding[];
}

/**
 * Holds a line to the rules of phrasing.
 *
 * @param events - the line, in any order; of several pitches struck together the highest is the line's
 * @throws MusicError `line/rule` for no such rule, `line/tempo` unless the tempo is from 1 to 1000, and what `parseScale` throws
 *
 * @example
 * ```ts
 * import { beats, checkLine, parseProgression, pitch } from "hands-together";
 *
 * const chords = parseProgression("Cmaj7").chords;
 * const held = [{ at: beats(0), duration: beats(4), pitches: [pitch("F4")] }];
 * const [finding] = checkLine(held, { chords, scale: "C major" }).findings;
 * finding?.rule; // => "held-avoid"
 * finding?.message; // => "F is held over Cmaj7"
 * ```
 */
export function checkLine(events: readonly NoteEvent[], options: CheckLineOptions = {}): LineReport {
  check(eventsShape, events, "line/argument");
  check(optionsSchema, options, "line/argument");
  const m = options.metre ?? metre("4/4");
  const tempo = options.tempo ?? 120;
  check(tempoSchema, tempo, "line/tempo");
  const line = hear(events, {
    metre: m,
    chords: options.chords ?? [],
    scale: options.scale === undefined ? undefined : scaleNamed(options.scale),
    voicings: options.voicings ?? [],
    phrases: options.phrases,
    bluesy: options.idiom === "blues",
    range: { lowest: pitchNamed(options.lowest ?? "A0"), highest: pitchNamed(options.highest ?? "C8") },
    tempo,
  });
  const rules = options.rules?.map(phraseRuleRow) ?? phraseRuleCatalogue;
  const breaches = rules.flatMap((rule) => rule.check(line).map((breach) => ({ rule, ...breach })));
  return {
    kind: "line-report",
    phrases: line.phrases.map((phrase) => foundPhrase(phrase, m)),
    findings: breaches
      .sort((a, b) => a.note.at - b.note.at)
      .map(
        ({ rule, note, message, suggestion, percentile }): LineFinding => ({
          rule: rule.id,
          severity: rule.severity,
          ...placeOf(note, m),
          message,
          suggestion,
          ...(percentile !== undefined && { percentile }),
        }),
      ),
  };
}

const placeOf = (note: HeardNote, m: Metre): { bar: number; beat: Beats } => {
  const { bar, beat } = barPosition(note.event.at, m);
  return { bar, beat };
};

const foundPhrase = ({ notes, first, last }: HeardPhrase, m: Metre): FoundPhrase => {
  const at = first.event.at;
  return {
    at,
    duration: subtractBeats(addBeats(last.event.at, last.event.duration), at),
    ...placeOf(first, m),
    notes: notes.length,
  };
};
