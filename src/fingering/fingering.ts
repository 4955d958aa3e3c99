import type { Finger, Hand } from "../event/index.ts";
import { nth } from "../ground/list.ts";
import type { Pitch } from "../pitch/index.ts";
import { formatPitch, noteName } from "../pitch/index.ts";
import { eachCharge } from "./cost.ts";
import type { Crossing, HandPosition } from "./crossings.ts";
import { findCrossings, findPositions } from "./crossings.ts";
import { departures } from "./departures.ts";
import type { Model } from "./model.ts";
import { FREE } from "./model.ts";
import type { Passage } from "./passage.ts";
import { byteAt, fingerOf, gripsAt, heightAt } from "./reading.ts";
import { chordSentence, heldSentence, sentenceFor } from "./sentence.ts";
import { commonKeys, fingersOfWay } from "./solve.ts";

/** One note of a fingering and why it has its finger. */
export interface FingeringStep {
  readonly index: number;
  readonly pitch: Pitch;
  readonly finger: Finger;
  /** What the rules charge here: for the note, for coming from the note before, and for standing between its neighbours. */
  readonly cost: number;
  /** The same by rule; rules that charge nothing are left out. */
  readonly costByRule: Readonly<Record<string, number>>;
  /** What a teacher would say, such as "thumb under onto E after 3 on E♭". */
  readonly sentence: string;
}

/** Something that a teacher would point out about a fingering. */
export interface FingeringRemark {
  readonly kind:
    | "thumb-on-black"
    | "two-finger-slide"
    | "wide-span"
    | "out-of-reach"
    | "let-go"
    | "substitution"
    | "departure"
    | "strain";
  /** The note it is about; absent where it is about the whole. */
  readonly index?: number;
  /** The note whose key forces a departure, where one does. */
  readonly forcedBy?: Pitch;
  readonly message: string;
}

/** One finger a note, and what it costs. */
export interface Fingering {
  readonly kind: "fingering";
  readonly hand: Hand;
  /** The notes in the order in which they are played. */
  readonly pitches: readonly Pitch[];
  /** One finger a note. */
  readonly fingers: readonly Finger[];
  /** Where the hand turns. */
  readonly crossings: readonly Crossing[];
  /** What lies under the hand between crossings. */
  readonly positions: readonly HandPosition[];
  /** The sum of all charges. */
  readonly cost: number;
  /** The same cost by rule; rules that charge nothing are left out. */
  readonly costByRule: Readonly<Record<string, number>>;
  /** What a teacher would point out; empty where there is nothing. */
  readonly remarks: readonly FingeringRemark[];
  /** Every note with its charges and a sentence, where `explain` was asked; their costs add up to `cost`. */
  readonly steps?: readonly FingeringStep[];
}

/** A passage with its fingers, before it is described. */
export interface Played {
  readonly hand: Hand;
  readonly pitches: readonly Pitch[];
  readonly passage: Passage;
  /** One grip a moment. */
  readonly way: Uint8Array;
  /** Notes on a key that another voice strikes too, with the note whose finger is theirs. */
  readonly twins: readonly (readonly [note: number, own: number])[];
  readonly cyclic: boolean;
}

/** One finger a note. */
export const fingersOf = ({ passage, way, pitches, twins }: Played): readonly Finger[] => {
  const found = fingersOfWay(passage, way, pitches.length);
  for (const [note, own] of twins) found[note] = byteAt(found, own);
  return Array.from(found, fingerOf);
};

/** Notes with which something new begins: after a rest, with a chord and after one. */
const breaksOf = ({ moments, kinds }: Passage): ReadonlySet<number> => {
  const breaks = new Set<number>();
  moments.forEach(({ keys }, i) => {
    const apart = keys.length > 1 || (moments[i - 1]?.keys.length ?? 1) > 1 || kinds[i] === FREE;
    if (i === 0 || !apart) return;
    const notes = keys.filter(({ struck }) => struck).map(({ note }) => note);
    breaks.add(Math.min(...notes));
  });
  return breaks;
};

/** Describes a fingered passage: crossings, positions, costs and, where asked, every step. */
export const describe = (
  model: Model,
  played: Played,
  explain: boolean,
  remarks: readonly FingeringRemark[] | ((fingers: readonly Finger[]) => readonly FingeringRemark[]) = [],
): Fingering => {
  const { hand, pitches, passage, way, cyclic } = played;
  const fingers = fingersOf(played);
  const breaks = breaksOf(passage);
  const sums = new Map<string, number>();
  eachCharge(model, passage, way, cyclic, (rule, _, charge) => sums.set(rule, (sums.get(rule) ?? 0) + charge));
  const costByRule: Record<string, number> = {};
  let cost = 0;
  for (const { rule } of model.all) {
    const sum = sums.get(rule.id);
    if (sum === undefined) continue;
    costByRule[rule.id] = sum;
    cost += sum;
  }
  return {
    kind: "fingering",
    hand,
    pitches: [...pitches],
    fingers,
    crossings: findCrossings(hand, pitches, fingers, breaks),
    positions: findPositions(hand, pitches, fingers, breaks),
    cost,
    costByRule,
    remarks: [
      ...(typeof remarks === "function" ? remarks(fingers) : remarks),
      ...handRemarks(played),
      ...departures(model, passage, pitches, fingers),
    ].sort((a, b) => (a.index ?? -1) - (b.index ?? -1)),
    ...(explain ? { steps: stepsOf(model, played, fingers, breaks) } : {}),
  };
};

const OCTAVE = 12;
const named = (p: Pitch): string => formatPitch(noteName(p));

/** What a teacher would point out about a hand on several keys. */
const handRemarks = ({ passage, way, pitches }: Played): readonly FingeringRemark[] => {
  const remarks: FingeringRemark[] = [];
  passage.moments.forEach(({ keys }, i) => {
    if (passage.single[i] === 1) return;
    const notes = keys.filter(({ struck }) => struck).map(({ note }) => note);
    const index = Math.min(...notes);
    const heights = notes.map((note) => heightAt(passage.keys, note));
    const span = Math.max(...heights) - Math.min(...heights);
    if (span > OCTAVE) remarks.push({ kind: "wide-span", index, message: wideSpan(span) });
    if (i === 0) return;
    const [from, to] = [gripsAt(passage.grips, i - 1), gripsAt(passage.grips, i)];
    for (const [before, after, held] of commonKeys(passage, i - 1, i)) {
      const left = byteAt(from.fingers, byteAt(way, i - 1) * from.width + before);
      const taken = byteAt(to.fingers, byteAt(way, i) * to.width + after);
      const note = keys[after]?.note;
      if (!held || left === taken || note === undefined) continue;
      remarks.push({
        kind: "substitution",
        index: note,
        message: `change from ${left + 1} to ${taken + 1} on ${named(nth(pitches, note))} while it is held, before ${named(nth(pitches, index))}`,
      });
    }
  });
  return remarks;
};

/** What is said about a hand that opens more than an octave. */
export const wideSpan = (span: number): string =>
  `it opens the hand ${span} semitones, more than an octave: roll it or leave a note out if it strains, and stop at pain`;

const stepsOf = (
  model: Model,
  { hand, pitches, passage, way, cyclic }: Played,
  fingers: readonly Finger[],
  breaks: ReadonlySet<number>,
): readonly FingeringStep[] => {
  const charges = pitches.map(() => new Map<string, number>());
  eachCharge(model, passage, way, cyclic, (rule, note, charge) => {
    const own = charges[note];
    own?.set(rule, (own.get(rule) ?? 0) + charge);
  });
  const together = new Map<number, boolean>();
  const held = new Map<number, readonly number[]>();
  passage.moments.forEach(({ keys }, i) => {
    const notes = keys.filter(({ struck }) => struck).map(({ note }) => note);
    if (passage.chord[i] === 1) for (const note of notes) together.set(note, note === Math.min(...notes));
    else if (keys.length > 1)
      for (const note of notes)
        held.set(
          note,
          keys.filter(({ struck }) => !struck).map((key) => key.note),
        );
  });
  const free = new Set(
    passage.moments.flatMap(({ keys }, i) => (passage.kinds[i] === FREE ? keys.map((k) => k.note) : [])),
  );
  return pitches.map((pitch, index) => {
    const own = charges[index] ?? new Map<string, number>();
    const finger = nth(fingers, index);
    const lowest = together.get(index);
    const under = (held.get(index) ?? []).map((note) => named(nth(pitches, note)));
    return {
      index,
      pitch,
      finger,
      cost: [...own.values()].reduce((sum, cost) => sum + cost, 0),
      costByRule: Object.fromEntries(own),
      sentence:
        lowest !== undefined
          ? chordSentence(pitch, finger, lowest)
          : under.length > 0
            ? heldSentence(pitch, finger, under)
            : sentenceFor(hand, pitches, fingers, index, breaks, free.has(index)),
    };
  });
};
