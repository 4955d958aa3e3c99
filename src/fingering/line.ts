import type { Finger, GraceNote, Hand, NoteEvent } from "../event/index.ts";
import { MusicError } from "../ground/errors.ts";
import { nth } from "../ground/list.ts";
import type { Pitch } from "../pitch/index.ts";
import { formatPitch, keyColour, noteName } from "../pitch/index.ts";
import type { Scale } from "../scale/index.ts";
import { sizeName } from "./chord.ts";
import { handInterval } from "./crossings.ts";
import type { Fingering, FingeringRemark, Played } from "./fingering.ts";
import { describe, fingersOf } from "./fingering.ts";
import type { Model } from "./model.ts";
import { roleOf } from "./model.ts";
import type { FlatNote, HandLine, Trouble } from "./moments.ts";
import { momentsOf } from "./moments.ts";
import type { LineFingeringOptions } from "./options.ts";
import type { Passage } from "./passage.ts";
import { allowedOf, passageOf, playingFingers } from "./passage.ts";
import type { PatternSlide } from "./pattern.ts";
import { giveScale, slidPatternByClass } from "./pattern.ts";
import { byteAt } from "./reading.ts";
import { recogniseScale } from "./recognise.ts";
import { modelFor } from "./rule-set.ts";
import { isSlide } from "./rules.ts";
import { giveSequences } from "./sequence.ts";
import type { Struck } from "./strain.ts";
import { strains } from "./strain.ts";

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

/** A line made ready for the solver. */
export interface EventsTask {
  readonly model: Model;
  readonly line: HandLine;
  readonly pitches: readonly Pitch[];
  readonly passage: Passage;
}

export const eventsTask = (
  events: readonly NoteEvent[],
  options: LineFingeringOptions,
  model: Model = modelFor(options),
): EventsTask => {
  const { hand, fixed, scale } = options;
  const tempo = Math.max(tempoOf(options.tempo ?? 120), tempoOf(options.goal ?? options.tempo ?? 120));
  if (![undefined, "one-finger", "2-3", "3-4"].includes(options.slides)) {
    throw new MusicError({ code: "fingering/slides", input: options.slides, expected: "one-finger, 2-3 or 3-4" });
  }
  const length = events.reduce((sum, event) => sum + event.pitches.length + (event.graces?.length ?? 0), 0);
  const settled = allowedOf(length, fixed, options.resting);
  const line = momentsOf(events, {
    outward: ({ semitones }) => (hand === "right" ? semitones : -semitones),
    tempo,
    spans: model.spans,
    onHeld: playingFingers(options.resting),
    arrival: (grace, to) =>
      slideFingers(grace, to, options) === undefined && grace.style === "slide" && slidePossible(grace.pitch, to)
        ? "slide"
        : "crushed",
    allowedFor: (note, event, place) => {
      const own = fixed?.[note] === undefined ? givenFinger(event, place, options) : undefined;
      return own === undefined ? byteAt(settled, note) : 1 << (own - 1);
    },
  });
  const pitches = line.notes.map((note) => note.pitch);
  const passage = passageOf(pitches, hand, line.moments, model.spans, line.allowed, playingFingers(options.resting));
  if (scale !== undefined && scale !== false) {
    giveScale(pitches, passage, scale, hand);
    slidPattern(line, passage, scale, hand);
  } else if (scale === undefined) recogniseStretches(pitches, passage, hand);
  if (options.sequences !== false) giveSequences(model, passage);
  return { model, line, pitches, passage };
};

const tempoOf = (tempo: unknown): number => {
  if (typeof tempo === "number" && tempo > 0 && Number.isFinite(tempo)) return tempo;
  throw new MusicError({ code: "fingering/tempo", input: tempo, expected: "quarter notes a minute, above zero" });
};

// The finger that is written, or that two fingers of a slide ask for.
const givenFinger = (
  event: NoteEvent,
  place: number | GraceNote,
  options: LineFingeringOptions,
): Finger | undefined => {
  const graces = event.graces ?? [];
  const [first] = event.pitches;
  if (first === undefined) return undefined;
  const written = options.keepWritten === true;
  if (typeof place !== "number") {
    const next = graces[graces.indexOf(place) + 1]?.pitch ?? first;
    return (written ? place.finger : undefined) ?? slideFingers(place, next, options)?.[0];
  }
  const last = graces.at(-1);
  return (
    (written ? event.fingers?.[place] : undefined) ??
    (place === 0 && last !== undefined ? slideFingers(last, first, options)?.[1] : undefined)
  );
};

// Notes by themselves between two rests or chords may be nothing but a scale.
const recogniseStretches = (pitches: readonly Pitch[], passage: Passage, hand: Hand): void => {
  let stretch: number[] = [];
  const close = (): void => {
    const found = recogniseScale(
      stretch.map((note) => nth(pitches, note)),
      hand,
    );
    found?.forEach((finger, i) => (passage.role[nth(stretch, i)] = roleOf(false, finger)));
    stretch = [];
  };
  passage.moments.forEach(({ keys, kind }) => {
    const [only] = keys;
    if (keys.length > 1 || kind === "free") close();
    if (keys.length === 1 && only !== undefined) stretch.push(only.note);
  });
  close();
};

/** How a way through events is told. */
export const lineAnswer = (
  events: readonly NoteEvent[],
  options: LineFingeringOptions,
  { model, line, pitches, passage }: EventsTask,
  way: Uint8Array,
): LineFingering => {
  const played: Played = { hand: options.hand, pitches, passage, way, twins: line.twins, cyclic: false };
  const fingers = fingersOf(played);
  const slides = slidesOf(line.notes, fingers);
  const remarks: readonly FingeringRemark[] = [
    ...strains(options.hand, pitches, fingers, struckIn(events, line, options.tempo ?? 120), model.spans),
    ...troubleRemarks(line.troubles, sizeName(options.size ?? "medium")),
    ...slides
      .filter((slide) => !slide.possible)
      .map(
        (slide): FingeringRemark => ({
          kind: "two-finger-slide",
          index: slide.index,
          message: `one finger can't slide from ${named(slide.from)} to ${named(slide.to)} (only from a black key to the white one beside it): ${slide.fingers.join(" ")}`,
        }),
      ),
  ];
  return {
    ...describe(model, played, options.explain === true, remarks),
    events: withFingers(events, fingers),
    slides,
  };
};

// Grace notes take what time is left to them.
const struckIn = (events: readonly NoteEvent[], { moments, notes }: HandLine, tempo: number): readonly Struck[] =>
  moments.flatMap(({ keys, kind }): readonly Struck[] => {
    const struck = keys.flatMap((key) => (key.struck && notes[key.note]?.grace === false ? [key.note] : []));
    const at = events[notes[struck[0] ?? 0]?.event ?? 0]?.at;
    if (struck.length === 0 || at === undefined) return [];
    return [{ notes: struck, at: ((at.num / at.den) * 60) / tempo, free: kind === "free" }];
  });

const troubleRemarks = (troubles: readonly Trouble[], size: string): readonly FingeringRemark[] =>
  troubles.map(({ kind, index, span }) => ({
    kind,
    index,
    message:
      kind === "out-of-reach"
        ? `no ${size} hand reaches these notes at once (${span} semitones): fingered rolled, from the lowest note up; or leave a note out`
        : `what was held can't be held on with these notes (${span} semitones): let it go, or hold it with the pedal`,
  }));

// Runs in one direction that are slid in borrow the fingers of the scale with these slides; the others, of the plain scale.
const slidPattern = ({ notes: flat, moments }: HandLine, passage: Passage, scale: Scale | string, hand: Hand): void => {
  const slid = new Map<number, PatternSlide>();
  const slidOnto = new Set(moments.flatMap(({ keys, kind }) => (kind === "slide" ? keys.map(({ note }) => note) : [])));
  flat.forEach((note, i) => {
    if (!note.slide) return;
    const rise = note.pitch.semitones - nth(flat, i - 1).pitch.semitones;
    slid.set(pitchClass(note.pitch), { main: pitchClass(note.pitch), rise, oneFinger: slidOnto.has(i) });
  });
  flat.forEach((note, i) => note.grace && (passage.role[i] = 0));
  if (slid.size === 0) return;
  const pattern = slidPatternByClass(scale, hand, [...slid.values()]);
  for (const run of runsOf(flat)) {
    if (!run.some((i) => nth(flat, i).slide)) continue;
    for (const i of run) passage.role[i] = roleOf(false, pattern.get(pitchClass(nth(flat, i).pitch)) ?? 0);
  }
};

// Indices of main notes that move one way, each run with the note that it turns on.
const runsOf = (flat: readonly FlatNote[]): readonly (readonly number[])[] => {
  const mains = [...flat.keys()].filter((i) => !nth(flat, i).grace);
  const runs: number[][] = [];
  let way = 0;
  mains.forEach((i, place) => {
    const before = mains[place - 1];
    const move = before === undefined ? 0 : Math.sign(nth(flat, i).pitch.semitones - nth(flat, before).pitch.semitones);
    if (before === undefined || (move !== 0 && way !== 0 && move !== way)) {
      runs.push(before === undefined ? [i] : [before, i]);
      way = move;
      return;
    }
    if (move !== 0) way = move;
    nth(runs, -1).push(i);
  });
  return runs;
};

const pitchClass = (p: Pitch): number => ((p.semitones % 12) + 12) % 12;
const named = (p: Pitch): string => formatPitch(noteName(p));

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

const slidesOf = (flat: readonly FlatNote[], fingers: readonly Finger[]): readonly FingeredSlide[] =>
  flat.flatMap((note, index) => {
    if (!note.slide) return [];
    const from = nth(flat, index - 1).pitch;
    const pair: readonly [Finger, Finger] = [nth(fingers, index - 1), nth(fingers, index)];
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
    const graces = before?.map((grace) => ({ ...grace, finger: nth(fingers, at++) }));
    const own = event.pitches.map(() => nth(fingers, at++));
    return { ...event, fingers: own, ...(graces === undefined ? {} : { graces }) };
  });
};
