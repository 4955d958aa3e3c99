import type { GraceNote, NoteEvent } from "../event/index.ts";
import { MusicError } from "../ground/errors.ts";
import { nth } from "../ground/list.ts";
import type { Pitch } from "../pitch/index.ts";
import { pitchName } from "../pitch/index.ts";
import type { Moment, SoundingKey } from "./passage.ts";
import { ALL_FINGERS, reaches } from "./passage.ts";
import type { MoveKind } from "./rules.ts";
import type { HandSpans } from "./spans.ts";

/** A note as it comes, before it is known when the hand plays it. */
export interface FlatNote {
  readonly pitch: Pitch;
  /** The event that it belongs to. */
  readonly event: number;
  /** Whether it is a grace note. */
  readonly grace: boolean;
  /** Whether it is the main note of a slide. */
  readonly slide: boolean;
}

/** Something that the keys do not allow, told where it happens. */
export interface Trouble {
  readonly kind: "out-of-reach" | "let-go";
  /** Index of its first note. */
  readonly index: number;
  /** Index after its last note. */
  readonly to: number;
  /** Semitones that it spans. */
  readonly span: number;
}

/** Notes in time as a hand meets them. */
export interface HandLine {
  readonly notes: readonly FlatNote[];
  readonly moments: readonly Moment[];
  readonly troubles: readonly Trouble[];
  /** Notes on a key that another voice strikes too, with the note whose finger is theirs. */
  readonly twins: readonly (readonly [note: number, own: number])[];
}

// Notes closer than this are fast, so that a key struck again takes another finger: ours, after printed repetitions.
const FAST_SECONDS = 0.4;
// A rest of a beat or more frees the hand.
const FREEING_REST = 1;
// Exact fractions as numbers.
const ALMOST = 1e-9;

const quarters = ({ num, den }: { readonly num: number; readonly den: number }): number => num / den;

/** What is asked of a line in time. */
export interface HandLineAsked {
  readonly outward: (p: Pitch) => number;
  readonly tempo: number;
  readonly spans: HandSpans;
  /** The fingers that may stand on a key that is held. */
  readonly onHeld: number;
  /** By index of a note, which fingers may play it. */
  readonly allowedFor: (note: number, event: NoteEvent, place: number | GraceNote) => number;
  /** How a grace note leads to the note after it. */
  readonly arrival: (grace: GraceNote, to: Pitch) => MoveKind;
}

interface Held {
  readonly note: number;
  readonly key: number;
  readonly ends: number;
}

/** The moments of events: who is struck, who is held, and how the hand comes there; and the fingers that each note may have. */
export const momentsOf = (
  events: readonly NoteEvent[],
  asked: HandLineAsked,
): HandLine & { readonly allowed: Uint8Array } => {
  const { outward, spans } = asked;
  const notes: FlatNote[] = [];
  const allowed: number[] = [];
  const moments: Moment[] = [];
  const troubles: Trouble[] = [];
  const twins: (readonly [number, number])[] = [];
  let held: readonly Held[] = [];
  let before: { readonly at: number; readonly ends: number } | undefined;
  const single = (note: number): readonly SoundingKey[] => [{ note, struck: true }];
  const mask = (note: number): number => allowed[note] ?? 0;
  for (let from = 0; from < events.length; ) {
    const at = quarters(nth(events, from).at);
    let to = from;
    while (to < events.length && Math.abs(quarters(nth(events, to).at) - at) < ALMOST) to++;
    if (before !== undefined && at < before.at - ALMOST) {
      throw new MusicError({
        code: "fingering/order",
        input: nth(events, from).at,
        expected: "events in the order in which they are played",
      });
    }
    held = held.filter(({ ends }) => ends > at + ALMOST);
    const rest = before === undefined ? 0 : at - before.ends;
    const seconds = before === undefined ? Number.POSITIVE_INFINITY : ((at - before.at) * 60) / asked.tempo;
    let kind: MoveKind =
      rest >= FREEING_REST - ALMOST && held.length === 0 ? "free" : seconds < FAST_SECONDS ? "fast" : "plain";
    const struck: Held[] = [];
    const first = notes.length;
    for (let e = from; e < to; e++) {
      const event = nth(events, e);
      requireChord(event);
      for (const [i, grace] of (event.graces ?? []).entries()) {
        allowed.push(asked.allowedFor(notes.length, event, grace));
        moments.push({ keys: single(notes.length), kind });
        kind = asked.arrival(grace, event.graces?.[i + 1]?.pitch ?? nth(event.pitches, 0));
        notes.push({ pitch: grace.pitch, event: e, grace: true, slide: false });
      }
      const slid = event.graces?.at(-1)?.style === "slide";
      event.pitches.forEach((pitch, place) => {
        allowed.push(asked.allowedFor(notes.length, event, place));
        struck.push({ note: notes.length, key: outward(pitch), ends: at + quarters(event.duration) });
        notes.push({ pitch, event: e, grace: false, slide: slid && place === 0 });
      });
    }
    // Two voices on one key are one finger.
    const keys = struck
      .filter((one, i) => struck.findIndex(({ key }) => key === one.key) === i)
      .sort((a, b) => a.key - b.key);
    const reach = (all: readonly Held[]): boolean =>
      all.length <= 5 &&
      reaches(
        all.map(({ key }) => key),
        all.map((one) => (struck.includes(one) ? mask(one.note) : asked.onHeld)),
        spans,
      ).length > 0;
    if (reach(keys)) {
      const over = held.filter(({ key }) => keys.every((one) => one.key !== key));
      let under: readonly Held[] = over;
      const withHeld = (): readonly Held[] => [...keys, ...under].sort((a, b) => a.key - b.key);
      // What can't be held is left to the pedal, what lies farthest from the new notes first.
      while (under.length > 0 && !reach(withHeld())) under = withoutFarthest(under, keys);
      if (under.length < over.length) {
        troubles.push({ kind: "let-go", index: first, to: notes.length, span: spanOf([...keys, ...over]) });
      }
      const sounding = withHeld().map((one) => ({ note: one.note, struck: keys.includes(one) }));
      moments.push({ keys: sounding, kind });
      held = [...under, ...keys];
    } else {
      const places = keys.map(({ key }) => key);
      if (
        keys.length <= 5 &&
        reaches(
          places,
          places.map(() => ALL_FINGERS),
          spans,
        ).length > 0
      ) {
        throw settled(keys.map(({ note }) => pitchName(nth(notes, note).pitch)));
      }
      troubles.push({ kind: "out-of-reach", index: first, to: notes.length, span: spanOf(keys) });
      // Rolled from the lowest note up, each note by itself.
      const pitchOf = ({ note }: Held): number => nth(notes, note).pitch.semitones;
      for (const { note } of [...keys].sort((a, b) => pitchOf(a) - pitchOf(b))) {
        moments.push({ keys: single(note), kind });
        kind = "plain";
      }
      held = [];
    }
    for (const { note, key } of struck) {
      const own = keys.find((one) => one.key === key)?.note ?? note;
      if (own !== note) twins.push([note, own]);
    }
    before = { at, ends: Math.max(...[...struck, ...held].map(({ ends }) => ends)) };
    from = to;
  }
  return { notes, moments, troubles, twins, allowed: Uint8Array.from(allowed) };
};

const spanOf = (keys: readonly Held[]): number =>
  Math.max(...keys.map(({ key }) => key)) - Math.min(...keys.map(({ key }) => key));

const withoutFarthest = (held: readonly Held[], keys: readonly Held[]): readonly Held[] => {
  const distance = ({ key }: Held): number => Math.min(...keys.map((one) => Math.abs(one.key - key)));
  const most = Math.max(...held.map(distance));
  const farthest = held.findIndex((one) => distance(one) === most);
  return held.filter((_, i) => i !== farthest);
};

const requireChord = (event: NoteEvent): void => {
  if (event.pitches.length === 0) {
    throw new MusicError({ code: "fingering/notes", input: event, expected: "events with at least one pitch" });
  }
  if (event.pitches.some((p, i) => i > 0 && p.semitones <= nth(event.pitches, i - 1).semitones)) {
    throw new MusicError({
      code: "fingering/order",
      input: event.pitches.map(pitchName),
      expected: "the pitches of an event from low to high",
    });
  }
};

const settled = (names: readonly string[]): MusicError =>
  new MusicError({
    code: "fingering/fixed",
    input: names,
    expected: "settled fingers with which one hand can play the notes together",
    reason: "cannot-be-done",
  });
