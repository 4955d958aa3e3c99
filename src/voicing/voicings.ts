import type { Chord } from "../chord/index.ts";
import { parseChord } from "../chord/index.ts";
import type { Hand } from "../event/index.ts";
import { MusicError } from "../ground/errors.ts";
import { nearestName } from "../ground/text.ts";
import type { Degree, Pitch, PitchName } from "../pitch/index.ts";
import { parsePitch, pitchName, transpose } from "../pitch/index.ts";
import { STYLES } from "./catalogue.ts";
import type { VoicingStyle } from "./form.ts";
import { BASS } from "./form.ts";
import { lowIntervalBreaches } from "./limits.ts";
import type { Fit, FormSet } from "./match.ts";
import { fitting, formSet, READY_FORMS } from "./match.ts";
import { bassWithin, degreeOfNote, OCTAVE_DOWN, pitchesOf, rootOf } from "./place.ts";

/** Something to know about a voicing that was kept all the same. */
export interface VoicingWarning {
  /** A low-interval limit that is bent, a span beyond an octave, or a slash bass that the form leaves to someone else. */
  readonly kind: "low-interval" | "wide-span" | "slash-bass";
  readonly message: string;
}

/** A chord laid out on the keyboard. */
export interface Voicing {
  readonly kind: "voicing";
  readonly chord: Chord;
  /** Id of its row in the catalogue. */
  readonly form: string;
  readonly style: VoicingStyle;
  /** `"A"`, `"B"`, or the name of another layout. */
  readonly label: string;
  /** One a pitch, in the same order. */
  readonly degrees: readonly Degree[];
  /** All notes from low to high, a bass note first. */
  readonly pitches: readonly Pitch[];
  /** The bass note that is struck by itself, in forms that have one. */
  readonly bass?: Pitch;
  /** What is struck as a chord: all notes but the bass. */
  readonly upper: readonly Pitch[];
  /** One a pitch, in the same order. */
  readonly hands: readonly Hand[];
  /** How far its lowest note but the bass lies from its place in the middle of the register, in semitones by halves. */
  readonly offMiddle: number;
  readonly warnings: readonly VoicingWarning[];
}

/** A range of pitches by name, both ends included. */
export interface PitchRange {
  readonly from: PitchName;
  readonly to: PitchName;
}

/** How {@link voicingsFor} chooses and places forms. */
export interface VoicingOptions {
  /**
   * A style, or several in order of preference: the first that has a form for the chord is used.
   *
   * @defaultValue `"rootless"`
   */
  readonly style?: VoicingStyle | readonly VoicingStyle[];
  /** Ids of catalogue rows, instead of a style. They are tried in the catalogue's order. @defaultValue those of the style */
  readonly forms?: readonly string[];
  /**
   * The window of a form's top note (lowest note, for two-note shells, tenths and spread forms).
   *
   * @defaultValue the form's own register, such as C4 to C5 for rootless forms
   */
  readonly register?: PitchRange;
  /**
   * The range of bass notes that are struck by themselves.
   *
   * @defaultValue E2 to E♭3
   */
  readonly bass?: PitchRange;
  /**
   * Puts such bass notes an octave lower.
   *
   * @defaultValue `false`
   */
  readonly dropBass?: boolean;
  /**
   * The widest stretch of one hand in semitones: 12 an octave, 14 a ninth, 16 a tenth. Spans are not safe for every
   * hand: warm up, take breaks, stop at pain, and ask a teacher or a clinician before going beyond what is easy.
   *
   * @defaultValue `12`
   */
  readonly span?: number;
  /**
   * What to do with notes below their low-interval limit: nothing, a warning on the voicing, or leave it out.
   *
   * @defaultValue `"warn"`
   */
  readonly lowIntervals?: "off" | "warn" | "forbid";
  /**
   * Whether limits are also tested against a root that a bass player adds just below.
   *
   * @defaultValue `false`
   */
  readonly assumedRoot?: boolean;
}

const OCTAVE = 12;
const LOW_INTERVALS: readonly string[] = ["off", "warn", "forbid"];

interface Limits {
  readonly register: { readonly from: Pitch; readonly to: Pitch } | undefined;
  readonly bass: { readonly from: Pitch; readonly to: Pitch };
  readonly span: number;
  readonly lowIntervals: "off" | "warn" | "forbid";
  readonly assumedRoot: boolean;
}

const refuse = (what: string, input: unknown, expected: string, hint?: string): MusicError =>
  new MusicError({ code: `voicing/${what}`, input, expected, hint });

const range = ({ from, to }: PitchRange): { readonly from: Pitch; readonly to: Pitch } => {
  const ends = { from: parsePitch(from), to: parsePitch(to) };
  if (ends.from.semitones > ends.to.semitones) throw refuse("register", { from, to }, "a range that rises");
  return ends;
};

const BASS_RANGE = range(BASS);

const bassRange = ({ bass, dropBass = false }: Pick<VoicingOptions, "bass" | "dropBass">): Limits["bass"] => {
  const ends = bass === undefined ? BASS_RANGE : range(bass);
  return dropBass ? { from: transpose(ends.from, OCTAVE_DOWN), to: transpose(ends.to, OCTAVE_DOWN) } : ends;
};

const limitsOf = (options: VoicingOptions): Limits => {
  const { register, span = OCTAVE, lowIntervals = "warn", assumedRoot = false } = options;
  if (!Number.isInteger(span) || span < 1 || span > 24) throw refuse("span", span, "a span of 1 to 24 semitones");
  if (!LOW_INTERVALS.includes(lowIntervals)) throw refuse("low-intervals", lowIntervals, '"off", "warn" or "forbid"');
  return {
    register: register === undefined ? undefined : range(register),
    bass: bassRange(options),
    span,
    lowIntervals,
    assumedRoot,
  };
};

const FORMS_BY_STYLE: ReadonlyMap<string, FormSet> = new Map(
  STYLES.map((style) => [
    style,
    formSet(READY_FORMS.filter(({ form }) => form.style === style && form.onRequest !== true)),
  ]),
);

const formsOfStyle = (style: VoicingStyle): FormSet => {
  const forms = FORMS_BY_STYLE.get(style);
  if (forms === undefined) throw refuse("style", style, `a style of voicing: ${STYLES.join(", ")}`);
  return forms;
};

const formsOfIds = (ids: readonly string[]): FormSet => {
  for (const id of ids) {
    if (READY_FORMS.some(({ form }) => form.id === id)) continue;
    const near = nearestName(
      id,
      READY_FORMS.map(({ form }) => form.id),
    );
    throw refuse("form", id, "an id of the voicing catalogue", near && `did you mean ${near}?`);
  }
  return formSet(READY_FORMS.filter(({ form }) => ids.includes(form.id)));
};

/** The choices that the options offer, in order of preference. */
const choicesOf = ({ forms, style = "rootless" }: VoicingOptions): readonly FormSet[] =>
  forms !== undefined
    ? [formsOfIds(forms)]
    : typeof style === "string"
      ? [formsOfStyle(style)]
      : style.map(formsOfStyle);

const styleText = ({ forms, style = "rootless" }: VoicingOptions): string => [forms ?? style].flat().join(" or ");

const none = (chord: Chord, options: VoicingOptions): MusicError => {
  const others = STYLES.filter((style) => fitting(chord, formsOfStyle(style)).length > 0);
  return new MusicError({
    code: "voicing/none",
    input: chord.symbol,
    expected: `a chord that has a ${styleText(options)} voicing`,
    hint: others.length === 0 ? "no style has a form for this chord" : `styles that have one: ${others.join(", ")}`,
    reason: "cannot-be-done",
  });
};

/**
 * Every way to play a chord in a style: all forms that fit it, in the order of the catalogue, each in every octave
 * that its register allows, from low to high. The list is worked out as it is read, and may be read again.
 *
 * A form fits when each of its notes is a tone of the chord or a tension that the form may add: G7 takes the 9 and
 * the 13, Cmaj7 the 9 or the sound of a 6/9, Dm7 the 9. Of the forms that fit, those are used that sound the most of
 * the alterations and extensions which the symbol names, so G7♭9 is played with its ♭9. A major triad is dressed as a
 * 6/9, a minor triad as a minor 9; nothing is guessed from the key. Shells of a triad take its 5th. A slash bass is
 * played by forms with a bass note of their own, and may double a note above it.
 *
 * Spans are not safe for every hand: see {@link VoicingOptions.span}.
 *
 * Source: each form names its own in the catalogue; the register of rootless forms is MacDonald's (University of
 * Connecticut, handout "Rootless Left Hand Piano Voicings").
 *
 * @param chord - a chord, or a symbol to read
 * @throws MusicError the codes of {@link parseChord} for a symbol that can't be read; `voicing/style`, `voicing/form`,
 * `voicing/span`, `voicing/register` or `voicing/low-intervals` for an option that can't be read; `voicing/none` when no
 * form of the style fits the chord; and, once read to the end, `voicing/out-of-reach` when none that fits can be placed
 *
 * @example
 * ```ts
 * import { pitchName, voicingsFor } from "hands-together";
 *
 * const [a, b] = [...voicingsFor("Dm9")];
 * a?.label; // => "A"
 * a?.pitches.map(pitchName); // => ["F3", "A3", "C4", "E4"]
 * b?.pitches.map(pitchName); // => ["C4", "E4", "F4", "A4"]
 * [...voicingsFor("G7", { style: "shell" })][0]?.pitches.map(pitchName); // => ["G2", "B3", "F4"]
 * voicingsFor("C5"); // throws "voicing/none"
 * ```
 */
export function voicingsFor(chord: Chord | string, options: VoicingOptions = {}): Iterable<Voicing> {
  const read = typeof chord === "string" ? parseChord(chord) : chord;
  const limits = limitsOf(options);
  const fits = choicesOf(options)
    .map((forms) => fitting(read, forms))
    .find((found) => found.length > 0);
  if (fits === undefined) throw none(read, options);
  return { [Symbol.iterator]: () => enumerate(read, fits, limits) };
}

/** Why placements were left out, for the error that no placement is left. */
interface Misses {
  span: number;
  lowIntervals: boolean;
}

function* enumerate(chord: Chord, fits: readonly Fit[], limits: Limits): Generator<Voicing, void> {
  const misses: Misses = { span: Infinity, lowIntervals: false };
  const root = rootOf(chord);
  let found = false;
  for (const {
    ready: { form, bass: withBass, hands, from, to },
    degrees,
    stacked,
    span,
  } of fits) {
    if (span > limits.span) {
      misses.span = Math.min(misses.span, span);
      continue;
    }
    const bass = withBass ? bassWithin(chord, limits.bass.from, limits.bass.to) : undefined;
    if (withBass && bass === undefined) continue;
    const allDegrees = bass === undefined ? degrees : [degreeOfNote(chord, chord.bass), ...degrees.slice(1)];
    const lowest = root.semitones + (stacked.semitones[0] as number);
    const { of, width } = form.register;
    const low = limits.register?.from.semitones ?? from;
    const high = limits.register?.to.semitones ?? to;
    const note = of === "top" ? root.semitones + (stacked.semitones[stacked.semitones.length - 1] as number) : lowest;
    for (let octave = Math.ceil((low - note) / OCTAVE); note + OCTAVE * octave <= high; octave++) {
      if (bass !== undefined && bass.semitones >= lowest + OCTAVE * octave) continue;
      const upper = pitchesOf(stacked, root, octave);
      const pitches = bass === undefined ? upper : [bass, ...upper];
      const warnings = warningsOf(chord, pitches, span, limits);
      if (limits.lowIntervals === "forbid" && warnings.some((warning) => warning.kind === "low-interval")) {
        misses.lowIntervals = true;
        continue;
      }
      found = true;
      const offMiddle = Math.abs(lowest + OCTAVE * octave + width - (low + high) / 2);
      const { id, style, label } = form;
      yield {
        kind: "voicing",
        chord,
        form: id,
        style,
        label,
        degrees: allDegrees,
        pitches,
        ...(bass && { bass }),
        upper,
        hands,
        offMiddle,
        warnings,
      };
    }
  }
  if (!found) throw unreachable(chord, limits.span, misses);
}

const outOfReach = (chord: Chord, expected: string, hint: string): MusicError =>
  new MusicError({ code: "voicing/out-of-reach", input: chord.symbol, expected, hint, reason: "cannot-be-done" });

const unreachable = (chord: Chord, span: number, misses: Misses): MusicError =>
  misses.lowIntervals
    ? outOfReach(chord, "a voicing within the low-interval limits", "raise the register, or let the limits warn")
    : misses.span < Infinity
      ? outOfReach(chord, `a voicing within ${span} semitones`, `the narrowest needs ${misses.span}`)
      : outOfReach(chord, "a voicing within the register", "widen the register");

const WIDE_SPAN: VoicingWarning = {
  kind: "wide-span",
  message:
    "wider than an octave for one hand, which is not safe for every hand: leave a note out or roll it, and stop at pain",
};

const warningsOf = (
  chord: Chord,
  pitches: readonly Pitch[],
  span: number,
  limits: Limits,
): readonly VoicingWarning[] => {
  const low =
    limits.lowIntervals === "off" ? [] : lowIntervalBreaches(pitches, limits.assumedRoot ? { root: chord.root } : {});
  const slash = chord.bass !== chord.root && !stands(chord, pitches[0] as Pitch);
  return [
    ...low.map(
      ({ lower, upper, limit }): VoicingWarning => ({
        kind: "low-interval",
        message: `${pitchName(lower)} with ${pitchName(upper)} lies below ${limit.lowest}, the low-interval limit of their ${limit.interval}`,
      }),
    ),
    ...(span > OCTAVE ? [WIDE_SPAN] : []),
    ...(slash
      ? [{ kind: "slash-bass" as const, message: `leaves the bass note ${chord.bass} to another player or hand` }]
      : []),
  ];
};

const stands = (chord: Chord, lowest: Pitch): boolean => bassWithin(chord, lowest, lowest) !== undefined;

/**
 * The bass note of a chord, for left-hand patterns that strike it before or under a chord: the root or the bass of a
 * slash chord, inside one octave.
 *
 * Source: common practice, no source: from E to the E♭ above.
 *
 * @param options - `bass` and `dropBass` as in {@link VoicingOptions}; the rest is not used
 * @throws MusicError the codes of {@link parseChord}; `voicing/register` for a range that runs downwards; `voicing/out-of-reach`
 * when the range is narrower than an octave and misses the note
 *
 * @example
 * ```ts
 * import { pitchName } from "hands-together";
 * import { bassNote } from "hands-together/voicing";
 *
 * pitchName(bassNote("Ebmaj7")); // => "Eb3"
 * pitchName(bassNote("C/E", { dropBass: true })); // => "E1"
 * ```
 */
export function bassNote(chord: Chord | string, options: Pick<VoicingOptions, "bass" | "dropBass"> = {}): Pitch {
  const read = typeof chord === "string" ? parseChord(chord) : chord;
  const { from, to } = bassRange(options);
  const bass = bassWithin(read, from, to);
  if (bass === undefined) throw outOfReach(read, "a bass note within the range", "widen the range");
  return bass;
}
