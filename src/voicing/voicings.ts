import * as v from "valibot";
import type { Chord } from "../chord/index.ts";
import { parseChord } from "../chord/index.ts";
import { check, checkOnce, isRecord, shapeOf } from "../ground/check.ts";
import { MusicError } from "../ground/errors.ts";
import { kept } from "../ground/memo.ts";
import type { Pitch, PitchName } from "../pitch/index.ts";
import { parsePitch, pitchName, transpose } from "../pitch/index.ts";
import { voicingCatalogue } from "./catalogue.ts";
import type { VoicingRow, VoicingStyle } from "./form.ts";
import { BASS, STYLES } from "./form.ts";
import { breachesOf, countBreaches } from "./limits.ts";
import type { Dress, Fit, FormSet, ReadyForm } from "./match.ts";
import { fitting, fittingOn, formSet, readyForm } from "./match.ts";
import { bassWithin, degreeOfNote, OCTAVE_DOWN, pitchesOf, rootOf } from "./place.ts";
import type { VoicingStyles } from "./row.ts";
import { MOST_STYLES, RISES, rangeFields, rises, voicingRow, voicingRowSchema } from "./row.ts";
import { chordSchema } from "./shape.ts";
import type { Voicing, VoicingWarning } from "./voicing.ts";

/** A range of pitches by name, both ends included. */
export interface PitchRange {
  readonly from: PitchName;
  readonly to: PitchName;
}

/** How {@link voicingsFor} chooses and places forms. */
export interface VoicingOptions {
  /**
   * A style or a voicing of your own; or several of them in order of preference, of which the first that can play the chord is used. Voicings
   * of your own that name the same `style` and stand side by side are one choice.
   *
   * @defaultValue `"rootless"`
   */
  readonly style?: VoicingStyles | undefined;
  /** Ids of catalogue rows or rows of your own, instead of a style, all one choice. @defaultValue those of the style */
  readonly forms?: readonly (string | VoicingRow)[] | undefined;
  /**
   * Of a style that has forms for one hand and for two: `"both"` those for two, `"one"` those for one.
   *
   * @defaultValue `"either"`
   */
  readonly hands?: "either" | "one" | "both" | undefined;
  /**
   * The window of a form's top note (lowest note, for two-note shells, tenths and spread forms).
   *
   * @defaultValue the form's own register, such as C4 to C5 for rootless forms
   */
  readonly register?: PitchRange | undefined;
  /**
   * The range of bass notes that are struck by themselves.
   *
   * @defaultValue E2 to E♭3
   */
  readonly bass?: PitchRange | undefined;
  /**
   * Puts such bass notes an octave lower.
   *
   * @defaultValue `false`
   */
  readonly dropBass?: boolean | undefined;
  /**
   * The widest stretch of one hand in semitones: 12 an octave, 14 a ninth, 16 a tenth. Spans are not safe for every
   * hand: warm up, take breaks, stop at pain, and ask a teacher or a clinician before going beyond what is easy.
   *
   * @defaultValue `12`
   */
  readonly span?: number | undefined;
  /**
   * What to do with notes below their low-interval limit: nothing, a warning on the voicing, or leave it out.
   *
   * @defaultValue `"warn"`
   */
  readonly lowIntervals?: "off" | "warn" | "forbid" | undefined;
  /**
   * Whether limits are also tested against a root that a bass player adds just below.
   *
   * @defaultValue `false`
   */
  readonly assumedRoot?: boolean | undefined;
}

const OCTAVE = 12;
const WIDEST_SPAN = 24;

interface Ends {
  readonly from: Pitch;
  readonly to: Pitch;
}

interface Limits {
  readonly register: Ends | undefined;
  readonly bass: Ends;
  readonly span: number;
  readonly lowIntervals: "off" | "warn" | "forbid";
  readonly assumedRoot: boolean;
}

const flag = /* @__PURE__ */ v.optional(/* @__PURE__ */ v.boolean());

/** The names of the options; what each must be is checked below, with a code of its own. */
export const optionFields = {
  style: /* @__PURE__ */ v.unknown(),
  forms: /* @__PURE__ */ v.unknown(),
  hands: /* @__PURE__ */ v.optional(/* @__PURE__ */ v.picklist(["either", "one", "both"])),
  register: /* @__PURE__ */ v.unknown(),
  bass: /* @__PURE__ */ v.unknown(),
  dropBass: flag,
  span: /* @__PURE__ */ v.unknown(),
  lowIntervals: /* @__PURE__ */ v.unknown(),
  assumedRoot: flag,
} as const;

const optionsSchema = /* @__PURE__ */ v.partial(/* @__PURE__ */ v.strictObject(optionFields));

/** The options that say where a bass note lies. */
export const bassOptionsSchema = /* @__PURE__ */ v.strictObject({
  bass: /* @__PURE__ */ v.optional(/* @__PURE__ */ v.unknown()),
  dropBass: flag,
});

const rangeSchema = /* @__PURE__ */ v.pipe(
  /* @__PURE__ */ v.looseObject(rangeFields),
  /* @__PURE__ */ v.check((range) => rises(range), RISES),
);

const spanSchema = /* @__PURE__ */ shapeOf(
  (value): value is number => Number.isInteger(value) && Number(value) >= 1 && Number(value) <= WIDEST_SPAN,
  `a span of 1 to ${WIDEST_SPAN} semitones`,
);

const lowIntervalsSchema = /* @__PURE__ */ v.picklist(["off", "warn", "forbid"]);

const MOST_FORMS = 1000;
const formsSchema = /* @__PURE__ */ v.pipe(
  /* @__PURE__ */ v.array(/* @__PURE__ */ v.unknown()),
  /* @__PURE__ */ v.minLength(1),
  /* @__PURE__ */ v.maxLength(MOST_FORMS),
);

const endsOf = (range: PitchRange): Ends => {
  check(rangeSchema, range, "voicing/register");
  return { from: parsePitch(range.from), to: parsePitch(range.to) };
};

const BASS_RANGE = /* @__PURE__ */ endsOf(BASS);

const bassRange = ({ bass, dropBass = false }: Pick<VoicingOptions, "bass" | "dropBass">): Ends => {
  const ends = bass === undefined ? BASS_RANGE : endsOf(bass);
  return dropBass ? { from: transpose(ends.from, OCTAVE_DOWN), to: transpose(ends.to, OCTAVE_DOWN) } : ends;
};

const limitsOf = (options: VoicingOptions): Limits => {
  const { register, span = OCTAVE, lowIntervals = "warn", assumedRoot = false } = options;
  check(spanSchema, span, "voicing/span");
  check(lowIntervalsSchema, lowIntervals, "voicing/low-intervals");
  return {
    register: register === undefined ? undefined : endsOf(register),
    bass: bassRange(options),
    span,
    lowIntervals,
    assumedRoot,
  };
};

// The forms of each style that ships, gathered on the first asking; and those that are kept back for places where none of these will do.
const SHIPPED = /* @__PURE__ */ new Map<string, FormSet>();
const SPARE = /* @__PURE__ */ new Map<string, FormSet>();
const gathered = (style: string, onRequest: boolean): FormSet =>
  formSet(
    voicingCatalogue.filter((row) => row.style === style && (row.onRequest === true) === onRequest).map(readyForm),
  );
const shipped = (style: string): FormSet => kept(SHIPPED, style, () => gathered(style, false));

const hasRight = ({ hands }: ReadyForm): boolean => hands.includes("right");

/** Whether a style, or a voicing, has notes for both hands. */
export const isForBothHands = (style: VoicingStyle | VoicingRow): boolean =>
  typeof style === "string" ? shipped(style).forms.some(hasRight) : hasRight(readyForm(style));

const SOME = /* @__PURE__ */ new Map<string, FormSet>();
const formsFor = (style: string, hands: "either" | "one" | "both"): FormSet => {
  const all = shipped(style);
  if (hands === "either") return all;
  return kept(SOME, `${style} ${hands}`, () => {
    const some = all.forms.filter((form) => hasRight(form) === (hands === "both"));
    return some.length === 0 || some.length === all.forms.length ? all : formSet(some);
  });
};
const spare = (style: string): FormSet => kept(SPARE, style, () => gathered(style, true));

/** One choice among those that the options offer in order of preference. */
interface Choice {
  /** Its name, for messages. */
  readonly name: string;
  readonly forms: FormSet;
}

const choiceOf = (rows: readonly VoicingRow[]): Choice => ({
  name: rows[0]?.style ?? rows[0]?.id ?? "",
  forms: formSet(rows.map(readyForm)),
});

const styleSchema = /* @__PURE__ */ v.picklist(STYLES);
const listSchema = /* @__PURE__ */ v.pipe(
  /* @__PURE__ */ v.array(/* @__PURE__ */ v.unknown()),
  /* @__PURE__ */ v.minLength(1),
  /* @__PURE__ */ v.maxLength(MOST_STYLES),
);

// One by one, so that a refusal names what is wrong with the row, not that it is no name of a style.
const requireStyles = (asked: unknown): void => {
  check(listSchema, asked, "voicing/style");
  for (const one of asked) {
    if (isRecord(one)) checkOnce(voicingRowSchema, one, "voicing/style");
    else check(styleSchema, one, "voicing/style");
  }
};

const choicesOf = ({ forms, style = "rootless", hands = "either" }: VoicingOptions): readonly Choice[] => {
  if (forms !== undefined) {
    check(formsSchema, forms, "voicing/form");
    const rows = forms.map((form) => voicingRow(form));
    return [{ ...choiceOf(rows), name: rows.map(({ id }) => id).join(" or ") }];
  }
  const asked = [style].flat();
  requireStyles(asked);
  const choices: Choice[] = [];
  let own: VoicingRow[] = [];
  const gather = (): void => {
    if (own.length > 0) choices.push(choiceOf(own));
    own = [];
  };
  for (const one of asked) {
    if (typeof one === "string" || (own[0] !== undefined && (own[0].style ?? own[0].id) !== (one.style ?? one.id)))
      gather();
    if (typeof one === "string") choices.push({ name: one, forms: formsFor(one, hands) });
    else own.push(one);
  }
  gather();
  return choices;
};

const none = (chord: Chord, choices: readonly Choice[]): MusicError => {
  const others = STYLES.filter((style) => fitting(chord, shipped(style)).length > 0);
  return new MusicError({
    code: "voicing/none",
    input: chord.symbol,
    expected: `a chord that has a ${choices.map(({ name }) => name).join(" or ")} voicing`,
    hint: others.length === 0 ? "no style has a form for this chord" : `styles that have one: ${others.join(", ")}`,
    reason: "cannot-be-done",
  });
};

/** Where a form could lie for a chord, in numbers: most are never more than weighed, so that a voicing is made only of those that are chosen. */
export interface Placement {
  readonly chord: Chord;
  readonly fit: Fit;
  readonly octave: number;
  readonly form: string;
  readonly label: string;
  /** Semitones of its notes but a struck bass, low to high, above `base`. */
  readonly stack: readonly number[];
  readonly base: number;
  readonly bass: Pitch | undefined;
  /** As in a voicing. */
  readonly offMiddle: number;
  readonly outside: number;
  readonly mud: number;
}

/** A chord's placements in the first choice that can play it. */
export interface Voiced {
  readonly placements: readonly Placement[];
  /** Which of the choices plays it; `wanted` names those before it. */
  readonly choice: number;
  readonly wanted: readonly string[];
}

/** How chords are voiced under some options, which are read once. */
export interface Voicer {
  /** @throws MusicError `voicing/none` where no choice has a form for the chord */
  readonly requireForm: (chord: Chord) => void;
  /** @throws MusicError `voicing/none`, or `voicing/out-of-reach` where no form can be placed */
  readonly voice: (chord: Chord, dress?: Dress) => Voiced;
  /** The same for a chord that goes on: what it may move to beside. */
  readonly voiceOn: (chord: Chord, dress?: Dress) => Voiced;
  /** What a placement is on the keyboard. */
  readonly voicingAt: (placement: Placement) => Voicing;
}

const NOBODY: readonly string[] = [];

// What speaks against the place is better than no voicing in this style.
const dressed = ({ forms, name: style }: Choice, chord: Chord, dress: Dress | undefined): readonly Fit[] => {
  if (dress === undefined) return fitting(chord, forms);
  const fits = fitting(chord, forms, dress);
  if (fits.length > 0) return fits;
  const others = fitting(chord, spare(style), dress);
  return others.length > 0 ? others : fitting(chord, forms);
};

const ON = /* @__PURE__ */ new Map<string, FormSet>();
/** What of a style may follow on the same chord: all that one hand plays, what is kept back among it. */
const lastingForms = (style: string): FormSet =>
  kept(ON, style, () => formSet([...shipped(style).forms, ...spare(style).forms.filter((form) => !hasRight(form))]));

const lasting = ({ forms, name }: Choice, chord: Chord, dress: Dress | undefined): readonly Fit[] =>
  fittingOn(chord, forms === SHIPPED.get(name) ? lastingForms(name) : forms, dress);

/** Reads options, which have been checked for names that are none. */
export const voicerOf = (options: VoicingOptions): Voicer => {
  const limits = limitsOf(options);
  const choices = choicesOf(options);
  const voice = (chord: Chord, dress?: Dress): Voiced => {
    const misses: Misses = { span: Infinity, lowIntervals: false };
    let fits = 0;
    for (const [choice, one] of choices.entries()) {
      const found = dressed(one, chord, dress);
      fits += found.length;
      const inPlace = placed(chord, found, limits, misses);
      const placements =
        inPlace.length > 0 || dress === undefined ? inPlace : placed(chord, fitting(chord, one.forms), limits, misses);
      if (placements.length === 0) continue;
      return { placements, choice, wanted: choice === 0 ? NOBODY : choices.slice(0, choice).map(({ name }) => name) };
    }
    throw fits === 0 ? none(chord, choices) : unreachable(chord, limits.span, misses);
  };
  return {
    requireForm: (chord) => {
      if (choices.every(({ forms }) => fitting(chord, forms).length === 0)) throw none(chord, choices);
    },
    voice,
    voiceOn: (chord, dress) => {
      const first = voice(chord, dress);
      const one = choices[first.choice];
      const more =
        one === undefined ? [] : placed(chord, lasting(one, chord, dress), limits, { span: 0, lowIntervals: false });
      return more.length === 0 ? first : { ...first, placements: more };
    },
    voicingAt: (placement) => voicingAt(placement, limits),
  };
};

/** A chord, or a symbol read. */
export const chordGiven = (chord: Chord | string): Chord => {
  if (typeof chord === "string") return parseChord(chord);
  checkOnce(chordSchema, chord, "voicing/argument");
  return chord;
};

/**
 * Every way to play a chord in a style: all forms that fit it, in the order of the catalogue (or of your own rows), each in every octave
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
 * form of the style fits the chord; and, once it is read, `voicing/out-of-reach` when none that fits can be placed
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
  const read = chordGiven(chord);
  check(optionsSchema, options, "voicing/argument");
  const { requireForm, voice, voicingAt } = voicerOf(options);
  requireForm(read);
  return { [Symbol.iterator]: () => voice(read).placements.map(voicingAt)[Symbol.iterator]() };
}

/** Why placements were left out, for the error that no placement is left. */
interface Misses {
  span: number;
  lowIntervals: boolean;
}

const placed = (chord: Chord, fits: readonly Fit[], limits: Limits, misses: Misses): readonly Placement[] => {
  const found: Placement[] = [];
  const root = rootOf(chord);
  const assumed = limits.assumedRoot ? chord.root : undefined;
  for (const fit of fits) {
    const { ready, stacked, span } = fit;
    const { form, ofTop, width } = ready;
    if (span > limits.span) {
      misses.span = Math.min(misses.span, span);
      continue;
    }
    const bass = ready.bass ? bassWithin(chord, limits.bass.from, limits.bass.to) : undefined;
    if (ready.bass && bass === undefined) continue;
    const low = limits.register?.from.semitones ?? ready.from;
    const high = limits.register?.to.semitones ?? ready.to;
    const comfortable = ofTop ? high - Math.floor((high - low) / 4) : high;
    const held = root.semitones + (ofTop ? stacked.highest : stacked.lowest);
    for (let octave = Math.ceil((low - held) / OCTAVE); held + OCTAVE * octave <= high; octave++) {
      const base = root.semitones + OCTAVE * octave;
      const lowest = base + stacked.lowest;
      if (bass !== undefined && bass.semitones >= lowest) continue;
      const mud =
        limits.lowIntervals === "off" ? 0 : countBreaches(stacked.semitones, base, bass?.semitones, assumed, root);
      if (mud > 0 && limits.lowIntervals === "forbid") {
        misses.lowIntervals = true;
        continue;
      }
      found.push({
        chord,
        fit,
        octave,
        form: form.id,
        label: form.label,
        stack: stacked.semitones,
        base,
        bass,
        offMiddle: Math.abs(lowest + width - (low + high) / 2),
        outside: Math.max(0, held + OCTAVE * octave - comfortable),
        mud,
      });
    }
  }
  return found;
};

const voicingAt = ({ chord, fit, octave, bass, offMiddle, outside, mud }: Placement, limits: Limits): Voicing => {
  const { ready, degrees, stacked, span, leftOut } = fit;
  const { form, hands } = ready;
  const upper = pitchesOf(stacked, rootOf(chord), octave);
  const pitches = bass === undefined ? upper : [bass, ...upper];
  const voicing: Voicing = {
    kind: "voicing",
    chord,
    form: form.id,
    style: form.style,
    label: form.label,
    degrees: bass === undefined ? degrees : [degreeOfNote(chord, chord.bass), ...degrees.slice(1)],
    pitches,
    upper,
    hands,
    offMiddle,
    outside,
    mud,
    warnings: warningsOf(chord, pitches, span, limits),
    leftOut,
  };
  return bass === undefined ? voicing : { ...voicing, bass };
};

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

const NO_WARNINGS: readonly VoicingWarning[] = [];

const warningsOf = (
  chord: Chord,
  pitches: readonly Pitch[],
  span: number,
  limits: Limits,
): readonly VoicingWarning[] => {
  const low = limits.lowIntervals === "off" ? [] : breachesOf(pitches, limits.assumedRoot ? chord.root : undefined);
  const slash = chord.bass !== chord.root && !stands(chord, pitches[0]);
  if (low.length === 0 && span <= OCTAVE && !slash) return NO_WARNINGS;
  return [
    ...low.map(
      ({ lower, upper, limit }): VoicingWarning => ({
        kind: "low-interval",
        message: `${pitchName(lower)} with ${pitchName(upper)} lies below ${limit.lowest}, the low-interval limit of their ${limit.interval}`,
      }),
    ),
    ...(span > OCTAVE ? [WIDE_SPAN] : []),
    ...(slash ? [slashBass(chord)] : []),
  ];
};

const slashBass = ({ bass }: Chord): VoicingWarning => ({
  kind: "slash-bass",
  message: `leaves the bass note ${bass} to another player or hand`,
});

const stands = (chord: Chord, lowest: Pitch | undefined): boolean =>
  lowest !== undefined && bassWithin(chord, lowest, lowest) !== undefined;

/**
 * The bass note of a chord, for left-hand patterns that strike it before or under a chord: the root or the bass of a
 * slash chord, inside one octave.
 *
 * Source: common practice, no source: from E to the E♭ above.
 *
 * @param options - `bass` and `dropBass` as in {@link VoicingOptions}
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
  const read = chordGiven(chord);
  check(bassOptionsSchema, options, "voicing/argument");
  return bassOf(read, options);
}

/** As {@link bassNote}, of what has been checked. */
export const bassOf = (chord: Chord, options: Pick<VoicingOptions, "bass" | "dropBass">): Pitch => {
  const { from, to } = bassRange(options);
  const bass = bassWithin(chord, from, to);
  if (bass === undefined) throw outOfReach(chord, "a bass note within the range", "widen the range");
  return bass;
};
