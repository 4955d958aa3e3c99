import type { NoteEvent, TimeSpan } from "../event/index.ts";
import type { Pitch } from "../pitch/index.ts";
import { midiNumber, pitchFromMidi } from "../pitch/index.ts";
import type { Beats, Metre } from "../time/index.ts";
import {
  addBeats,
  barLength,
  beats,
  compareBeats,
  minBeats,
  multiplyBeats,
  pulseLength,
  pulseTime,
  subtractBeats,
} from "../time/index.ts";
import type { InMetres } from "../time/inner.ts";
import { placeInMetres } from "../time/inner.ts";
import type { CompingHit, CompingPart } from "./catalogue.ts";
import type { LaidOutChord } from "./lay-out.ts";
import type { PickupPart, PickupRow } from "./pickups.ts";

/** A stroke on its way to become an event: when it must have ended, and whether a chord enters with it. */
export interface Stroke {
  readonly at: Beats;
  readonly end: Beats;
  readonly pitches: readonly Pitch[];
  /** What the right hand strikes with it. */
  readonly right: readonly Pitch[];
  readonly articulation: CompingHit["articulation"];
  readonly enters: boolean;
  /** Struck before its chord's time. */
  readonly early: boolean;
}

export const asEvent = ({ at, end, pitches, articulation }: Stroke): NoteEvent => ({
  at,
  duration: subtractBeats(end, at),
  pitches,
  ...(articulation === undefined ? {} : { articulation }),
});

export const endOf = (span: TimeSpan): Beats => addBeats(span.at, span.duration);

/** A chord's stretch of one bar. */
export interface InBar extends TimeSpan {
  readonly metre: Metre;
}

// The stretches of a chord between bar lines; the pattern starts again in each.
export const barsOf = (chord: TimeSpan, form: InMetres): readonly InBar[] => {
  const end = endOf(chord);
  const stretches: InBar[] = [];
  for (let from = chord.at; compareBeats(from, end) < 0; ) {
    const { offset, metre } = placeInMetres(form, from);
    const to = minBeats(addBeats(from, subtractBeats(barLength(metre), offset)), end);
    stretches.push({ at: from, duration: subtractBeats(to, from), metre });
    from = to;
  }
  return stretches;
};

const NOTHING: readonly Pitch[] = [];

export const strokeAt = (from: Beats, hit: CompingHit, stretch: TimeSpan, chord: LaidOutChord, m: Metre): Stroke => {
  const at = addBeats(stretch.at, pulseTime(from, m));
  const left = endOf(chord);
  return {
    at,
    end:
      hit.hold === "end" ? left : minBeats(left, addBeats(stretch.at, pulseTime(addBeats(from, beats(hit.hold)), m))),
    pitches: pitchesOf(chord, hit.play),
    right: hit.play === "chord" || hit.play === "all" || hit.play === 1 ? (chord.right ?? NOTHING) : NOTHING,
    articulation: hit.articulation,
    enters: compareBeats(at, chord.at) <= 0,
    early: from.num < 0,
  };
};

// Strokes come in order but for anticipations: one silences what the chord before still had to strike from there on.
export const withoutOverlaps = <S extends Stroke>(strokes: readonly S[]): readonly S[] => {
  const kept: S[] = [];
  for (const stroke of strokes) {
    let last = kept.pop();
    while (stroke.early && last !== undefined && compareBeats(last.at, stroke.at) >= 0) last = kept.pop();
    if (last !== undefined) kept.push({ ...last, end: minBeats(last.end, stroke.at) });
    kept.push(stroke);
  }
  return kept;
};

const pitchesOf = (chord: LaidOutChord, part: CompingPart): readonly Pitch[] =>
  typeof part === "number"
    ? turningBack(chord.chord, part - 1)
    : part === "root"
      ? [chord.root]
      : part === "fifth"
        ? [chord.fifth]
        : part === "chord"
          ? chord.chord
          : chord.all;

// One note of a chord.
const turningBack = (pitches: readonly Pitch[], index: number): readonly Pitch[] => {
  const round = Math.max(1, 2 * (pitches.length - 1));
  const step = index % round;
  const at = Math.min(step, round - step);
  return pitches.slice(at, at + 1);
};

/** Strokes with quick notes into every bar that starts with a new chord; `onRoot`: the pattern has the root there. */
export const withPickups = (
  strokes: readonly Stroke[],
  chords: readonly LaidOutChord[],
  onRoot: boolean,
  pickup: PickupRow,
  form: InMetres,
): readonly NoteEvent[] => {
  const led = chords
    .map((chord, i) => ({ chord, before: chords[i - 1] }))
    .filter(({ chord }) => placeInMetres(form, chord.at).offset.num === 0);
  const quick = led.flatMap(({ chord, before }) => pickupInto(chord, before, onRoot, pickup, form.metre));
  const beat = pulseLength(form.metre);
  const lastBeats = quick
    .filter((event, i) => event.leadsTo !== quick[i - 1]?.leadsTo)
    .map(({ at, leadsTo }) => ({ at, from: subtractBeats(leadsTo, beat), to: leadsTo }));
  const cut = strokes.flatMap((stroke): NoteEvent[] => {
    const lead = lastBeats.find(
      ({ from, to }) => compareBeats(stroke.end, from) > 0 && compareBeats(stroke.at, to) < 0,
    );
    if (lead === undefined) return [asEvent(stroke)];
    // A stroke between that beat and its pickup would be a grain; a chord that enters there is heard all the same.
    const stays = compareBeats(stroke.at, lead.at) < 0 && (stroke.enters || compareBeats(stroke.at, lead.from) <= 0);
    // What is held when that beat comes is let go there: the hand has to travel, and the page stays free of a chain of ties.
    const until = compareBeats(stroke.at, lead.from) < 0 ? lead.from : lead.at;
    return stays ? [asEvent({ ...stroke, end: minBeats(stroke.end, until) })] : [];
  });
  return [...cut, ...quick.map(({ leadsTo: _, ...event }) => event)].sort((a, b) => compareBeats(a.at, b.at));
};

interface QuickNote extends NoteEvent {
  readonly leadsTo: Beats;
}

// Where the pattern's own root waits on the beat the pickup's is left out, and its notes move up.
const pickupInto = (
  chord: LaidOutChord,
  before: TimeSpan | undefined,
  onRoot: boolean,
  pickup: PickupRow,
  m: Metre,
): readonly QuickNote[] => {
  const parts = pickup.play.filter((part) => !(onRoot && part === "root"));
  const each = pulseTime(beats(pickup.each), m);
  const notes = parts.map(
    (part, i): QuickNote => ({
      at: subtractBeats(chord.at, multiplyBeats(each, beats(parts.length - i))),
      duration: each,
      pitches: [pickupPitch(chord, part)],
      leadsTo: chord.at,
    }),
  );
  // The chord before keeps its entry, unless it has left already.
  return before === undefined ? notes : notes.filter((note) => compareBeats(note.at, before.at) > 0);
};

const pickupPitch = (chord: LaidOutChord, part: PickupPart): Pitch =>
  part === "root"
    ? chord.root
    : part === "fifth"
      ? chord.fifth
      : part === "semitone-below"
        ? pitchFromMidi(midiNumber(chord.root) - 1, "sharps")
        : pitchFromMidi(midiNumber(chord.root) + 1, "flats");
