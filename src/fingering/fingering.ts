import type { Finger, Hand } from "../event/index.ts";
import type { Pitch } from "../pitch/index.ts";
import { costsByRule, eachCharge } from "./cost.ts";
import type { Crossing, HandPosition } from "./crossings.ts";
import { findCrossings, findPositions } from "./crossings.ts";
import type { Model } from "./model.ts";
import { chordSentence, sentenceFor } from "./sentence.ts";
import type { Passage } from "./solve.ts";

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
  readonly kind: "thumb-on-black" | "two-finger-slide" | "wide-span";
  /** The note it is about; absent where it is about the whole. */
  readonly index?: number;
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

/** Notes struck together inside a passage; what they cost is worked out by themselves. */
export interface ChordPart {
  readonly from: number;
  readonly to: number;
  readonly cost: number;
}

/** The name under which the cost of chords is listed among the rules. */
const CHORD = "chord";

/** A passage with its fingers, before it is described. */
export interface Played {
  readonly hand: Hand;
  readonly pitches: readonly Pitch[];
  readonly passage: Passage;
  readonly fingers: readonly Finger[];
  /** Notes before which the hand is free, in order; costs look at no note across them. */
  readonly breaks: readonly number[];
  readonly chords: readonly ChordPart[];
  readonly cyclic: boolean;
}

/** Describes a fingered passage: crossings, positions, costs and, where asked, every step. */
export const describe = (
  model: Model,
  played: Played,
  explain: boolean,
  remarks: readonly FingeringRemark[] = [],
): Fingering => {
  const { hand, pitches, passage, fingers, cyclic } = played;
  const breaks = new Set(played.breaks);
  const bounds = [0, ...played.breaks, pitches.length];
  const struck = new Set(played.chords.map((chord) => chord.from));
  const spans = bounds
    .slice(1)
    .map((to, i) => [bounds[i] as number, to] as const)
    .filter(([from]) => !struck.has(from));
  const sums = new Map<string, number>();
  for (const [from, to] of spans) costsByRule(model, passage, fingers, from, to, cyclic, sums);
  const costByRule: Record<string, number> = {};
  let cost = 0;
  for (const { rule } of model.rules) {
    const sum = sums.get(rule.id);
    if (sum === undefined) continue;
    costByRule[rule.id] = sum;
    cost += sum;
  }
  const chords = played.chords.reduce((sum, chord) => sum + chord.cost, 0);
  if (chords > 0) costByRule[CHORD] = chords;
  cost += chords;
  return {
    kind: "fingering",
    hand,
    pitches: [...pitches],
    fingers: [...fingers],
    crossings: findCrossings(hand, pitches, fingers, breaks),
    positions: findPositions(hand, pitches, fingers, breaks),
    cost,
    costByRule,
    remarks,
    ...(explain ? { steps: stepsOf(model, played, spans, breaks) } : {}),
  };
};

const stepsOf = (
  model: Model,
  played: Played,
  spans: readonly (readonly [number, number])[],
  breaks: ReadonlySet<number>,
): readonly FingeringStep[] => {
  const { hand, pitches, passage, fingers, cyclic } = played;
  const charges: Record<string, number>[] = pitches.map(() => ({}));
  for (const [from, to] of spans) {
    eachCharge(model, passage, fingers, from, to, cyclic, (rule, index, cost) => {
      (charges[index] as Record<string, number>)[rule] = cost;
    });
  }
  for (const { from, cost } of played.chords) if (cost > 0) (charges[from] as Record<string, number>)[CHORD] = cost;
  const together = new Map(
    played.chords.flatMap(({ from, to }) => Array.from({ length: to - from }, (_, i) => [from + i, i === 0] as const)),
  );
  return pitches.map((pitch, index) => ({
    index,
    pitch,
    finger: fingers[index] as Finger,
    cost: Object.values(charges[index] as Record<string, number>).reduce((sum, cost) => sum + cost, 0),
    costByRule: charges[index] as Record<string, number>,
    sentence: together.has(index)
      ? chordSentence(pitch, fingers[index] as Finger, together.get(index) === true)
      : sentenceFor(hand, pitches, fingers, index, breaks),
  }));
};
