import { MusicError, nearestName } from "../errors.ts";
import type { Chord } from "../chord/index.ts";
import { parseChord } from "../chord/index.ts";
import type { Hand } from "../event/index.ts";
import type { Degree, Pitch, PitchName } from "../pitch/index.ts";
import { interval, parsePitch, pitchName, transpose } from "../pitch/index.ts";
import { voicingCatalogue } from "./catalogue.ts";
import type { VoicingForm, VoicingStyle } from "./form.ts";
import { STYLES } from "./form.ts";
import { lowIntervalBreaches } from "./limits.ts";
import type { Fit } from "./match.ts";
import { fitting } from "./match.ts";
import type { Window } from "./place.ts";
import { bassWithin, degreeOfNote, offMiddle, placements, stack, windowOf } from "./place.ts";

/** Something to know about a voicing that was kept all the same. */
export interface VoicingWarning {
  /** A low-interval limit that is bent, a span beyond an octave, or a slash bass that the form leaves to someone else. */
  readonly rule: "low-interval" | "wide-span" | "slash-bass";
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
  /** Ids of catalogue rows, instead of a style. They are tried in the catalogue's order. */
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
const BASS_RANGE: PitchRange = { from: "E2", to: "Eb3" };

interface Limits {
  readonly register: { readonly from: number; readonly to: number } | undefined;
  readonly bassFrom: Pitch;
  readonly bassTo: Pitch;
  readonly span: number;
  readonly lowIntervals: "off" | "warn" | "forbid";
  readonly assumedRoot: boolean;
}

const refuse = (what: string, input: unknown, expected: string, hint?: string): MusicError =>
  new MusicError({ code: `voicing/${what}`, input, expected, ...(hint === undefined ? {} : { hint }) });

const range = ({ from, to }: PitchRange): { readonly from: Pitch; readonly to: Pitch } => {
  const ends = { from: parsePitch(from), to: parsePitch(to) };
  if (ends.from.semitones > ends.to.semitones) throw refuse("register", { from, to }, "a range from a lower to a higher pitch");
  return ends;
};

const limitsOf = (options: VoicingOptions): Limits => {
  const { span = OCTAVE, lowIntervals = "warn" } = options;
  if (!Number.isInteger(span) || span < 1 || span > 24) throw refuse("span", span, "a hand span in semitones from 1 to 24, such as 12 for an octave");
  if (!["off", "warn", "forbid"].includes(lowIntervals)) throw refuse("low-intervals", lowIntervals, '"off", "warn" or "forbid"');
  const register = options.register === undefined ? undefined : range(options.register);
  const bass = range(options.bass ?? BASS_RANGE);
  const drop = interval(options.dropBass === true ? "-P8" : "P1");
  return {
    register: register === undefined ? undefined : { from: register.from.semitones, to: register.to.semitones },
    bassFrom: transpose(bass.from, drop),
    bassTo: transpose(bass.to, drop),
    span,
    lowIntervals,
    assumedRoot: options.assumedRoot ?? false,
  };
};

const formsOf = (style: VoicingStyle): readonly VoicingForm[] => voicingCatalogue.filter((form) => form.style === style && form.onRequest !== true);
const FORMS_BY_STYLE: ReadonlyMap<string, readonly VoicingForm[]> = new Map(STYLES.map((style) => [style, formsOf(style)]));

/** The choices that the options offer, in order of preference. */
const choicesOf = (options: VoicingOptions): readonly (readonly VoicingForm[])[] => {
  if (options.forms !== undefined) {
    const ids = options.forms;
    for (const id of ids) {
      if (!voicingCatalogue.some((form) => form.id === id)) {
        const near = nearestName(id, voicingCatalogue.map((form) => form.id));
        throw refuse("form", id, "the id of a row of the voicing catalogue", near === undefined ? undefined : `did you mean ${near}?`);
      }
    }
    return [voicingCatalogue.filter((form) => ids.includes(form.id))];
  }
  const style = options.style ?? "rootless";
  return (typeof style === "string" ? [style] : style).map((name) => {
    const forms = FORMS_BY_STYLE.get(name);
    if (forms === undefined) throw refuse("style", name, `a style of voicing: ${STYLES.join(", ")}`);
    return forms;
  });
};

const styleText = (options: VoicingOptions): string =>
  options.forms === undefined ? [options.style ?? "rootless"].flat().join(" or ") : options.forms.join(" or ");

const none = (chord: Chord, options: VoicingOptions): MusicError => {
  const others = STYLES.filter((style) => fitting(chord, FORMS_BY_STYLE.get(style) as readonly VoicingForm[]).length > 0);
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
 * form of the style fits the chord; and, once read to the end, `voicing/unreachable` when none that fits can be placed
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
  const fits = choicesOf(options).map((forms) => fitting(read, forms)).find((found) => found.length > 0);
  if (fits === undefined) throw none(read, options);
  return { [Symbol.iterator]: () => enumerate(read, fits, limits) };
}

/** Why placements were left out, for the error that no placement is left. */
interface Misses {
  span: number;
  lowIntervals: boolean;
}

function* enumerate(chord: Chord, fits: readonly Fit[], limits: Limits): Generator<Voicing, void> {
  const misses: Misses = { span: Number.POSITIVE_INFINITY, lowIntervals: false };
  let found = false;
  for (const fit of fits) {
    for (const voicing of placed(chord, fit, limits, misses)) {
      found = true;
      yield voicing;
    }
  }
  if (!found) throw unreachable(chord, limits, misses);
}

const unreachable = (chord: Chord, limits: Limits, misses: Misses): MusicError => {
  const [expected, hint] = misses.lowIntervals
    ? ["a voicing that keeps the low-interval limits", "raise the register, or let the limits warn"]
    : misses.span < Number.POSITIVE_INFINITY
      ? [`a voicing within a span of ${limits.span} semitones`, `the narrowest needs ${misses.span}`]
      : ["a voicing that lies in the register", "widen the register"];
  return new MusicError({ code: "voicing/unreachable", input: chord.symbol, expected, hint, reason: "cannot-be-done" });
};

function* placed(chord: Chord, { form, degrees }: Fit, limits: Limits, misses: Misses): Generator<Voicing, void> {
  const withBass = form.groups[0]?.bass === true;
  const window: Window = { ...windowOf(form.register), ...limits.register };
  const upperDegrees = withBass ? degrees.slice(1) : degrees;
  const bass = withBass ? bassWithin(chord, limits.bassFrom, limits.bassTo) : undefined;
  if (withBass && bass === undefined) return;
  const allDegrees = bass === undefined ? degrees : [degreeOfNote(chord, chord.bass), ...upperDegrees];
  const stacked = stack(chord.root, upperDegrees);
  const span = widest(stacked, form);
  if (span > limits.span) {
    misses.span = Math.min(misses.span, span);
    return;
  }
  for (const upper of placements(stacked, window)) {
    if (bass !== undefined && bass.semitones >= (upper[0] as Pitch).semitones) continue;
    const pitches = bass === undefined ? upper : [bass, ...upper];
    const low = limits.lowIntervals === "off" ? [] : lowIntervalBreaches(pitches, limits.assumedRoot ? chord.root : undefined);
    if (limits.lowIntervals === "forbid" && low.length > 0) {
      misses.lowIntervals = true;
      continue;
    }
    yield {
      kind: "voicing",
      chord,
      form: form.id,
      style: form.style,
      label: form.label,
      degrees: allDegrees,
      pitches,
      ...(bass === undefined ? {} : { bass }),
      upper,
      hands: form.groups.flatMap((group) => Array<Hand>(group.notes).fill(group.hand)),
      offMiddle: offMiddle(upper, window),
      warnings: [
        ...low.map(({ lower, upper: above, limit }): VoicingWarning => ({
          rule: "low-interval",
          message: `${pitchName(lower)} with ${pitchName(above)} lies below ${limit.lowest}, the low-interval limit of their ${limit.interval}`,
        })),
        ...(span > OCTAVE ? [WIDE_SPAN] : []),
        ...(chord.bass === chord.root || stands(chord, pitches) ? [] : [slashWarning(chord)]),
      ],
    };
  }
}

const WIDE_SPAN: VoicingWarning = {
  rule: "wide-span",
  message: "wider than an octave for one hand, which is not safe for every hand: leave a note out or roll it, and stop at pain",
};

const stands = (chord: Chord, pitches: readonly Pitch[]): boolean => {
  const lowest = pitches[0] as Pitch;
  return bassWithin(chord, lowest, lowest) !== undefined;
};

const slashWarning = (chord: Chord): VoicingWarning => ({ rule: "slash-bass", message: `leaves the bass note ${chord.bass} to another player or hand` });

/** The widest stretch of one hand. */
const widest = (upper: readonly Pitch[], form: VoicingForm): number => {
  let at = 0;
  let span = 0;
  for (const group of form.groups) {
    if (group.bass === true) continue;
    span = Math.max(span, (upper[at + group.notes - 1] as Pitch).semitones - (upper[at] as Pitch).semitones);
    at += group.notes;
  }
  return span;
};

/**
 * The bass note of a chord, for left-hand patterns that strike it before or under a chord: the root or the bass of a
 * slash chord, inside one octave.
 *
 * Source: common practice, no source: from E to the E♭ above.
 *
 * @param options - `bass` and `dropBass` as in {@link VoicingOptions}; the rest is not used
 * @throws MusicError the codes of {@link parseChord}; `voicing/register` for a range that runs downwards; `voicing/unreachable`
 * when the range is narrower than an octave and misses the note
 *
 * @example
 * ```ts
 * import { bassNote, pitchName } from "hands-together";
 *
 * pitchName(bassNote("Ebmaj7")); // => "Eb3"
 * pitchName(bassNote("C/E", { dropBass: true })); // => "E1"
 * ```
 */
export function bassNote(chord: Chord | string, options: Pick<VoicingOptions, "bass" | "dropBass"> = {}): Pitch {
  const read = typeof chord === "string" ? parseChord(chord) : chord;
  const limits = limitsOf(options);
  const bass = bassWithin(read, limits.bassFrom, limits.bassTo);
  if (bass === undefined) throw unreachable(read, limits, { span: Number.POSITIVE_INFINITY, lowIntervals: false });
  return bass;
}
