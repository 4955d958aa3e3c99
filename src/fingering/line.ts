import type { Finger, GraceNote, Hand, NoteEvent } from "../event/index.ts";
import { MusicError } from "../ground/errors.ts";
import type { Pitch } from "../pitch/index.ts";
import { formatPitch, keyColour, noteName, pitchName } from "../pitch/index.ts";
import type { Scale } from "../scale/index.ts";
import type { Beats } from "../time/index.ts";
import { chordFingers } from "./chord.ts";
import { handInterval } from "./crossings.ts";
import type { ChordPart, Fingering, FingeringRemark } from "./fingering.ts";
import { describe } from "./fingering.ts";
import { MOVE_KINDS, roleOf } from "./model.ts";
import type { FingeringOptions } from "./passage.ts";
import { passageOf, recogniseIn } from "./passage.ts";
import type { PatternSlide } from "./pattern.ts";
import { slidPatternByClass } from "./pattern.ts";
import { modelFor } from "./rule-set.ts";
import type { MoveKind } from "./rules.ts";
import { isSlide } from "./rules.ts";
import type { Passage } from "./solve.ts";
import { partOf, solveOpen } from "./solve.ts";

/** What {@link fingerPassage} is asked about notes in time. */
export interface LineFingeringOptions extends Omit<FingeringOptions, "loop"> {
  /** Quarter notes a minute. @defaultValue 120 */
  readonly tempo?: number | undefined;
  /**
   * How a slide is played: one finger where the keys allow it (a black key to the white one beside it), else two; or two
   * neighbouring fingers, 2 and 3 or 3 and 4. @defaultValue `"one-finger"`
   */
  readonly slides?: "one-finger" | "2-3" | "3-4" | undefined;
  /** Whether fingers already written on the events stay. @defaultValue `false` */
  readonly keepWritten?: boolean | undefined;
}

/** How a grace note reaches its main note. */
export interface FingeredSlide {
  /** Index of the main note in the fingering's pitches. */
  readonly index: number;
  readonly from: Pitch;
  readonly to: Pitch;
  /** The finger of the grace note and that of the main note. */
  readonly fingers: readonly [Finger, Finger];
  /** Whether one finger plays both. */
  readonly oneFinger: boolean;
  /** Whether the keys allow one finger: black to the white one beside it. */
  readonly possible: boolean;
}

/** The fingering of notes in time. */
export interface LineFingering extends Fingering {
  /** The events as given, each with its fingers. */
  readonly events: readonly NoteEvent[];
  /** The grace notes marked as slides, and how they are played. */
  readonly slides: readonly FingeredSlide[];
}

// Notes closer than this are fast: about six and a half a second. Ours.
const FAST_SECONDS = 0.155;
// A rest of a beat or more frees the hand.
const FREEING_REST = 1;

interface Flat {
  readonly pitch: Pitch;
  /** How it follows the note before it. */
  readonly kind: MoveKind;
  /** Whether the hand is free before it. */
  readonly free: boolean;
  readonly chord: boolean;
  readonly fixed: Finger | undefined;
  /** Whether it is a grace note. */
  readonly grace: boolean;
  /** Whether it is the main note of a slide. */
  readonly slide: boolean;
}

const seconds = (b: Beats): number => b.num / b.den;

/** Fingers events that follow each other in time. */
export const fingerEvents = (events: readonly NoteEvent[], options: LineFingeringOptions): LineFingering => {
  const flat = flatten(events, options);
  const pitches = flat.map((note) => note.pitch);
  const passage = passageOf(pitches, options);
  flat.forEach((note, i) => {
    passage.kinds[i] = MOVE_KINDS.indexOf(note.kind);
    if (note.fixed !== undefined && options.fixed?.[i] === undefined) passage.allowed[i] = 1 << (note.fixed - 1);
  });
  if (options.scale !== undefined && options.scale !== false) slidPattern(flat, passage, options.scale, options.hand);
  const model = modelFor(options);
  const fingers: Finger[] = [];
  const remarks: FingeringRemark[] = [];
  const chords: ChordPart[] = [];
  const breaks = flat.flatMap((note, i) => (note.free ? [i] : []));
  const bounds = [0, ...breaks, flat.length];
  for (let part = 0; part + 1 < bounds.length; part++) {
    const [from, to] = [bounds[part] as number, bounds[part + 1] as number];
    if ((flat[from] as Flat).chord) {
      const fixed = Object.fromEntries(
        [...Array(to - from).keys()].flatMap((i) => {
          const finger = options.fixed?.[from + i] ?? (flat[from + i] as Flat).fixed;
          return finger === undefined ? [] : [[i, finger]];
        }),
      );
      const chord = chordFingers(pitches.slice(from, to), { ...options, fixed });
      chord.fingers.forEach((finger, i) => (fingers[from + i] = finger));
      chords.push({ from, to, cost: chord.cost });
      remarks.push(...chord.remarks.map((remark) => ({ ...remark, index: from })));
    } else {
      recogniseIn(pitches.slice(from, to), passage, from, options);
      solveOpen(model, partOf(passage, from, to)).forEach((finger, i) => (fingers[from + i] = finger as Finger));
    }
  }
  const slides = slidesOf(flat, fingers);
  remarks.push(
    ...slides
      .filter((slide) => !slide.possible)
      .map(
        (slide): FingeringRemark => ({
          kind: "two-finger-slide",
          index: slide.index,
          message: `one finger can't slide from ${named(slide.from)} to ${named(slide.to)} (only from a black key to the white one beside it): ${slide.fingers.join(" ")}`,
        }),
      ),
  );
  const played = { hand: options.hand, pitches, passage, fingers, breaks, chords, cyclic: false };
  return {
    ...describe(model, played, options.explain === true, remarks),
    events: withFingers(events, fingers),
    slides,
  };
};

// Runs in one direction that are slid in borrow the fingers of the scale with these slides; the others, of the plain scale.
const slidPattern = (flat: readonly Flat[], passage: Passage, scale: Scale | string, hand: Hand): void => {
  const slid = new Map<number, PatternSlide>();
  flat.forEach((note, i) => {
    if (!note.slide) return;
    const rise = note.pitch.semitones - (flat[i - 1] as Flat).pitch.semitones;
    slid.set(pitchClass(note.pitch), { main: pitchClass(note.pitch), rise, oneFinger: note.kind === "slide" });
  });
  flat.forEach((note, i) => note.grace && (passage.role[i] = 0));
  if (slid.size === 0) return;
  const pattern = slidPatternByClass(scale, hand, [...slid.values()]);
  for (const run of runsOf(flat)) {
    if (!run.some((i) => (flat[i] as Flat).slide)) continue;
    for (const i of run) passage.role[i] = roleOf(false, pattern.get(pitchClass((flat[i] as Flat).pitch)) ?? 0);
  }
};

// Indices of main notes that move one way, each run with the note that it turns on.
const runsOf = (flat: readonly Flat[]): readonly (readonly number[])[] => {
  const mains = [...flat.keys()].filter((i) => !(flat[i] as Flat).grace);
  const runs: number[][] = [];
  let way = 0;
  mains.forEach((i, place) => {
    const before = mains[place - 1];
    const move =
      before === undefined ? 0 : Math.sign((flat[i] as Flat).pitch.semitones - (flat[before] as Flat).pitch.semitones);
    if (before === undefined || (move !== 0 && way !== 0 && move !== way)) {
      runs.push(before === undefined ? [i] : [before, i]);
      way = move;
      return;
    }
    if (move !== 0) way = move;
    (runs.at(-1) as number[]).push(i);
  });
  return runs;
};

const pitchClass = (p: Pitch): number => ((p.semitones % 12) + 12) % 12;
const named = (p: Pitch): string => formatPitch(noteName(p));

const flatten = (events: readonly NoteEvent[], options: LineFingeringOptions): readonly Flat[] => {
  const tempo = options.tempo ?? 120;
  if (!(tempo > 0) || !Number.isFinite(tempo)) {
    throw new MusicError({ code: "fingering/tempo", input: tempo, expected: "quarter notes a minute, above zero" });
  }
  if (![undefined, "one-finger", "2-3", "3-4"].includes(options.slides)) {
    throw new MusicError({ code: "fingering/slides", input: options.slides, expected: "one-finger, 2-3 or 3-4" });
  }
  const flat: Flat[] = [];
  let before: NoteEvent | undefined;
  for (const event of events) {
    if (event.pitches.length === 0)
      throw new MusicError({ code: "fingering/notes", input: event, expected: "events with at least one pitch" });
    const gap = before === undefined ? Infinity : seconds(event.at) - seconds(before.at);
    if (gap < 0) {
      throw new MusicError({
        code: "fingering/order",
        input: event.at,
        expected: "events in the order in which they are played",
      });
    }
    const chord = event.pitches.length > 1;
    const free =
      before !== undefined && (gap - seconds(before.duration) >= FREEING_REST || chord || before.pitches.length > 1);
    const fast = (gap * 60) / tempo < FAST_SECONDS;
    flat.push(...notesOf(event, free, fast ? "fast" : "plain", options));
    before = event;
  }
  return flat;
};

const notesOf = (
  event: NoteEvent,
  free: boolean,
  arrival: MoveKind,
  options: LineFingeringOptions,
): readonly Flat[] => {
  const notes: Flat[] = [];
  const graces = event.graces ?? [];
  let kind = arrival;
  const written = (finger: Finger | undefined): Finger | undefined =>
    options.keepWritten === true ? finger : undefined;
  graces.forEach((grace, i) => {
    const next = graces[i + 1]?.pitch ?? (event.pitches[0] as Pitch);
    const pair = slideFingers(grace, next, options);
    notes.push({
      pitch: grace.pitch,
      kind,
      free: free && i === 0,
      chord: false,
      fixed: written(grace.finger) ?? pair?.[0],
      grace: true,
      slide: false,
    });
    kind = pair === undefined && grace.style === "slide" && slidePossible(grace.pitch, next) ? "slide" : "crushed";
  });
  const last = graces.at(-1);
  const pair = last === undefined ? undefined : slideFingers(last, event.pitches[0] as Pitch, options);
  const chord = event.pitches.length > 1;
  event.pitches.forEach((pitch, i) => {
    if (i > 0 && pitch.semitones <= (event.pitches[i - 1] as Pitch).semitones) {
      throw new MusicError({
        code: "fingering/order",
        input: event.pitches.map(pitchName),
        expected: "the pitches of an event from low to high",
      });
    }
    notes.push({
      pitch,
      kind,
      free: i === 0 && (graces.length === 0 ? free : chord),
      chord,
      fixed: written(event.fingers?.[i]) ?? (i === 0 ? pair?.[1] : undefined),
      grace: false,
      slide: i === 0 && last?.style === "slide",
    });
  });
  return notes;
};

const slidePossible = (from: Pitch, to: Pitch): boolean =>
  isSlide(keyColour(from) === "black", keyColour(to) === "black", to.semitones - from.semitones);

// Two neighbouring fingers were asked for: the lower one on the key nearer to the thumb's side.
const slideFingers = (
  grace: GraceNote,
  to: Pitch,
  { slides, hand }: LineFingeringOptions,
): readonly [Finger, Finger] | undefined => {
  if (grace.style !== "slide" || slides === undefined || slides === "one-finger") return undefined;
  const [low, high]: readonly [Finger, Finger] = slides === "2-3" ? [2, 3] : [3, 4];
  return handInterval(hand, grace.pitch, to) > 0 ? [low, high] : [high, low];
};

const slidesOf = (flat: readonly Flat[], fingers: readonly Finger[]): readonly FingeredSlide[] =>
  flat.flatMap((note, index) => {
    if (!note.slide) return [];
    const from = (flat[index - 1] as Flat).pitch;
    const pair: readonly [Finger, Finger] = [fingers[index - 1] as Finger, fingers[index] as Finger];
    return [
      {
        index,
        from,
        to: note.pitch,
        fingers: pair,
        oneFinger: pair[0] === pair[1],
        possible: slidePossible(from, note.pitch),
      },
    ];
  });

const withFingers = (events: readonly NoteEvent[], fingers: readonly Finger[]): readonly NoteEvent[] => {
  let at = 0;
  return events.map(({ graces: before, ...event }) => {
    const graces = before?.map((grace) => ({ ...grace, finger: fingers[at++] as Finger }));
    const own = event.pitches.map(() => fingers[at++] as Finger);
    return { ...event, fingers: own, ...(graces === undefined ? {} : { graces }) };
  });
};
