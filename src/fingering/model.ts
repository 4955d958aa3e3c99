import type { Finger } from "../event/index.ts";
import type { HandSpans } from "./spans.ts";
import type { FingeringRule, MoveKind, NoteRule, NoteWindow, PairRule, TripleRule } from "./rules/rule.ts";

/** Intervals beyond two octaves count as two octaves: all leaps are alike. */
export const LARGEST_INTERVAL = 24;
const INTERVALS = 2 * LARGEST_INTERVAL + 1;
const ROLES = 12;

export const MOVE_KINDS: readonly MoveKind[] = ["plain", "fast", "slide", "crushed"];
export const FINGERS: readonly Finger[] = [1, 2, 3, 4, 5];

/** A rule with the weight that it has in a model. */
export interface WeightedRule<R extends FingeringRule = FingeringRule> {
  readonly rule: R;
  readonly weight: number;
}

/**
 * The cost of every window that the rules can see, worked out once each: five fingers for a note, 25 pairs, 125
 * triples. The tables fill as passages need them and can't outgrow the intervals within two octaves.
 */
export interface Model {
  readonly rules: readonly WeightedRule[];
  readonly spans: HandSpans;
  /** By finger - 1; neighbours: 0 none, 1 white, 2 black; role: {@link roleOf}. */
  readonly note: (previous: number, black: number, next: number, role: number) => Int32Array;
  /** By 5 · (from - 1) + to - 1. */
  readonly pair: (interval: number, move: number, fromBlack: number, toBlack: number) => Int32Array;
  /** By 25 · (first - 1) + 5 · (middle - 1) + last - 1. */
  readonly triple: (before: number, after: number, colours: number) => Int32Array;
}

const neighbour = (colour: number): boolean | undefined => (colour === 0 ? undefined : colour === 2);

/** What a note is to its scale, as one number: whether it is the tonic, and its finger in the scale's pattern (0 for none). */
export const roleOf = (tonic: boolean, pattern: number): number => pattern * 2 + (tonic ? 1 : 0);

/** The finger of the scale's pattern that a role holds. */
export const patternIn = (role: number): Finger | undefined => (role >> 1 === 0 ? undefined : ((role >> 1) as Finger));

/** The window of one note, as the note rules see it. */
const noteWindow = (finger: Finger, previous: number, black: number, next: number, role: number): NoteWindow => ({
  finger,
  black: black === 1,
  previousBlack: neighbour(previous),
  nextBlack: neighbour(next),
  tonic: role % 2 === 1,
  pattern: patternIn(role),
});

/** Builds the tables of a set of rules. */
export const compileModel = (rules: readonly WeightedRule[], spans: HandSpans): Model => {
  const active = rules.filter(({ weight }) => weight !== 0);
  const notes = active.filter((w): w is WeightedRule<NoteRule> => w.rule.reads === "note");
  const pairs = active.filter((w): w is WeightedRule<PairRule> => w.rule.reads === "pair");
  const triples = active.filter((w): w is WeightedRule<TripleRule> => w.rule.reads === "triple");
  const noteTables: Int32Array[] = [];
  const pairTables: (Int32Array | undefined)[] = new Array(INTERVALS * 16).fill(undefined);
  const tripleTables: (Int32Array | undefined)[] = new Array(INTERVALS * INTERVALS * 8).fill(undefined);

  for (let key = 0; key < 18 * ROLES; key++) {
    const neighbours = Math.floor(key / ROLES);
    const window = [Math.floor(neighbours / 6), Math.floor(neighbours / 3) % 2, neighbours % 3, key % ROLES] as const;
    noteTables.push(Int32Array.from(FINGERS, (finger) =>
      notes.reduce((sum, { rule, weight }) => sum + weight * rule.points(noteWindow(finger, ...window)), 0)));
  }

  const fillPair = (interval: number, move: number, fromBlack: number, toBlack: number): Int32Array => {
    const table = new Int32Array(25);
    for (let index = 0; index < 25; index++) {
      const window = {
        from: { finger: (Math.floor(index / 5) + 1) as Finger, black: fromBlack === 1 },
        to: { finger: ((index % 5) + 1) as Finger, black: toBlack === 1 },
        interval,
        move: MOVE_KINDS[move] as MoveKind,
      };
      for (const { rule, weight } of pairs) table[index] = (table[index] as number) + weight * rule.points(window, spans);
    }
    return table;
  };

  const fillTriple = (before: number, after: number, colours: number): Int32Array => {
    const table = new Int32Array(125);
    for (let index = 0; index < 125; index++) {
      const window = {
        first: { finger: (Math.floor(index / 25) + 1) as Finger, black: (colours & 4) !== 0 },
        middle: { finger: ((Math.floor(index / 5) % 5) + 1) as Finger, black: (colours & 2) !== 0 },
        last: { finger: ((index % 5) + 1) as Finger, black: (colours & 1) !== 0 },
        before,
        after,
      };
      for (const { rule, weight } of triples) table[index] = (table[index] as number) + weight * rule.points(window, spans);
    }
    return table;
  };

  return {
    rules: active,
    spans,
    note: (previous, black, next, role) => noteTables[(previous * 6 + black * 3 + next) * ROLES + role] as Int32Array,
    pair: (interval, move, fromBlack, toBlack) => {
      const key = (interval + LARGEST_INTERVAL) * 16 + move * 4 + fromBlack * 2 + toBlack;
      return (pairTables[key] ??= fillPair(interval, move, fromBlack, toBlack));
    },
    triple: (before, after, colours) => {
      const key = ((before + LARGEST_INTERVAL) * INTERVALS + after + LARGEST_INTERVAL) * 8 + colours;
      return (tripleTables[key] ??= fillTriple(before, after, colours));
    },
  };
};
