import * as v from "valibot";
import type { NoteEvent } from "../event/index.ts";
import { check } from "../ground/check.ts";
import { MusicError } from "../ground/errors.ts";
import { known, nth } from "../ground/list.ts";
import type { Key, Pitch } from "../pitch/index.ts";
import { comparePitches, parseKey, spellInKey } from "../pitch/index.ts";
import { feelShape, keyShape } from "../score/inner.ts";
import type { Feel } from "../swing/index.ts";
import { parseFeel, soundingTime, straight } from "../swing/index.ts";
import type { Beats } from "../time/index.ts";
import { addBeats, beats, beatsToNumber, compareBeats, subtractBeats } from "../time/index.ts";
import type { MidiPerformance, PerformedNote } from "./read.ts";
import { performanceShape } from "./shape.ts";

/** Options of {@link notatePerformance}. */
export interface NotatePerformanceOptions {
  /** Which track, from 1 as a sequencer counts them. @defaultValue the track whose notes lie highest on average */
  readonly track?: number | undefined;
  /** The feel that is taken out of it, its name or its ratio. @defaultValue straight */
  readonly feel?: Feel | string | undefined;
  /** The key by which black keys are spelled, or its name. @defaultValue C major */
  readonly key?: Key | string | undefined;
}

const optionsShape = /* @__PURE__ */ v.strictObject({
  track: /* @__PURE__ */ v.optional(/* @__PURE__ */ v.unknown()),
  feel: /* @__PURE__ */ v.optional(/* @__PURE__ */ v.union([/* @__PURE__ */ v.string(), feelShape])),
  key: /* @__PURE__ */ v.optional(/* @__PURE__ */ v.union([/* @__PURE__ */ v.string(), keyShape])),
});

/** Written places of a beat on a duple and on a triple grid, in quarter notes. */
const DUPLE = ["0", "1/4", "1/2", "3/4", "1"].map(beats);
const TRIPLE = ["0", "1/3", "2/3", "1"].map(beats);

interface Place {
  readonly written: Beats;
  readonly sounding: number;
}

/**
 * The notes of a MIDI track as they would be written: each beat on the grid, of sixteenths or of eighth triplets, that lies nearest
 * to all its starts (least squares), with the swing taken out. Of equal fits the duple grid is taken, since a swung pair at 2:1 sounds
 * as two notes of a triplet do.
 *
 * Notes that start together are one event, as long as its longest note. Our own rule, no source.
 *
 * @returns events in order of time, from tick 0 of the file; none when the track has no notes
 * @throws MusicError `midi/track` when there is no such track
 *
 * @example
 * ```ts
 * import { beats, formatBeats, makeScore, metre, notatePerformance, parseFeel, parseKey, pitch, readMidi, writeMidi } from "hands-together";
 *
 * const right = [0, 1].map((half) => ({ at: beats(`${half}/2`), duration: beats("1/2"), pitches: [pitch("E4")] }));
 * const file = writeMidi(makeScore({ key: parseKey("C"), metre: metre("4/4"), bars: 1, feel: parseFeel("2:1"), right }));
 * notatePerformance(readMidi(file), { feel: "2:1" }).map((event) => formatBeats(event.at)); // => ["0", "1/2"]
 * ```
 */
export function notatePerformance(
  performance: MidiPerformance,
  options: NotatePerformanceOptions = {},
): readonly NoteEvent[] {
  check(performanceShape, performance, "midi/argument");
  check(optionsShape, options, "midi/argument");
  const notes = trackNotes(performance, options.track);
  const { ticksPerQuarter } = performance;
  const feel = typeof options.feel === "string" ? parseFeel(options.feel) : (options.feel ?? straight);
  const key = typeof options.key === "string" ? parseKey(options.key) : (options.key ?? parseKey("C"));
  const grids = new Map<number, readonly Place[]>();
  const startsByBeat = groupBy(notes, (note) => Math.floor(note.onsetTicks / ticksPerQuarter + 1 / 12));
  for (const [beat, inBeat] of startsByBeat)
    grids.set(
      beat,
      nearestGrid(
        feel,
        beat,
        inBeat.map((note) => note.onsetTicks / ticksPerQuarter),
      ),
    );
  const placed = [...startsByBeat].flatMap(([beat, inBeat]) =>
    inBeat.map((note) => {
      const at = nearest(known(grids.get(beat)), note.onsetTicks / ticksPerQuarter);
      const endTicks = (note.onsetTicks + note.durationTicks) / ticksPerQuarter;
      const endBeat = Math.floor(endTicks);
      const end = nearest(grids.get(endBeat) ?? placesOf(feel, endBeat, DUPLE), endTicks);
      const shortest = beats("1/4");
      return {
        at,
        duration: compareBeats(end, at) > 0 ? subtractBeats(end, at) : shortest,
        pitch: spellInKey(note.midi, key),
      };
    }),
  );
  const together = groupBy(placed, (note) => beatsToNumber(note.at));
  return [...together.values()]
    .map((chord): NoteEvent => {
      const first = nth(chord, 0);
      const longest = chord.reduce((a, b) => (compareBeats(b.duration, a.duration) > 0 ? b : a));
      return { at: first.at, duration: longest.duration, pitches: distinct(chord.map((note) => note.pitch)) };
    })
    .sort((a, b) => compareBeats(a.at, b.at));
}

const distinct = (pitches: readonly Pitch[]): readonly Pitch[] =>
  [...pitches].sort(comparePitches).filter((p, i, sorted) => i === 0 || p.semitones !== sorted[i - 1]?.semitones);

const trackNotes = ({ notes, tracks }: MidiPerformance, track: number | undefined): readonly PerformedNote[] => {
  if (track !== undefined) {
    if (!Number.isInteger(track) || track < 1 || track > tracks.length) {
      throw new MusicError({ code: "midi/track", input: track, expected: `a track from 1 to ${tracks.length}` });
    }
    return notes.filter((note) => note.track === track - 1);
  }
  // Channel 10 is percussion in General MIDI.
  const byTrack = [
    ...groupBy(
      notes.filter((note) => note.channel !== 9),
      (note) => note.track,
    ).values(),
  ];
  const height = (group: readonly PerformedNote[]): number =>
    group.reduce((sum, note) => sum + note.midi, 0) / group.length;
  return byTrack.reduce<readonly PerformedNote[]>(
    (best, group) => (best.length === 0 || height(group) > height(best) ? group : best),
    [],
  );
};

const placesOf = (feel: Feel, beat: number, grid: readonly Beats[]): readonly Place[] =>
  grid.map((offset) => {
    const written = addBeats(beats(beat), offset);
    return { written, sounding: beatsToNumber(soundingTime(feel, written)) };
  });

const nearestGrid = (feel: Feel, beat: number, starts: readonly number[]): readonly Place[] => {
  const [duple, triple] = [placesOf(feel, beat, DUPLE), placesOf(feel, beat, TRIPLE)];
  const misfit = (places: readonly Place[]): number =>
    starts.reduce((sum, start) => sum + Math.min(...places.map(({ sounding }) => (sounding - start) ** 2)), 0);
  return misfit(triple) < misfit(duple) - 1e-6 ? triple : duple;
};

const nearest = (places: readonly Place[], at: number): Beats =>
  places.reduce((best, place) => (Math.abs(place.sounding - at) < Math.abs(best.sounding - at) ? place : best)).written;

const groupBy = <Item, Name>(items: readonly Item[], nameOf: (item: Item) => Name): Map<Name, Item[]> => {
  const groups = new Map<Name, Item[]>();
  for (const item of items) {
    const group = groups.get(nameOf(item));
    if (group === undefined) groups.set(nameOf(item), [item]);
    else group.push(item);
  }
  return groups;
};
