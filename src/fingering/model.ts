import type { Finger } from "../event/index.ts";
import { MusicError } from "../ground/errors.ts";
import type { FingeredKey, FingeringRule, MoveKind, NoteRule, PairRule, TripleRule } from "./rules.ts";
import type { HandSpans } from "./spans.ts";

/** Intervals beyond two octaves count as two octaves: all leaps are alike. */
export const LARGEST_INTERVAL = 24;

export const MOVE_KINDS: readonly MoveKind[] = ["plain", "fast", "slide", "crushed"];

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
  readonly pair: (interval: number, kind: number, fromBlack: number, toBlack: number) => Int32Array;
  /** By 25 · (first - 1) + 5 · (middle - 1) + last - 1. */
  readonly triple: (before: number, after: number, colours: number) => Int32Array;
}

const keyAt = (finger: number, black: number): FingeredKey => ({ finger: (finger + 1) as Finger, black: black !== 0 });
const neighbour = (colour: number): boolean | undefined => (colour === 0 ? undefined : colour === 2);

/** What a note is to its scale, as one number: whether it is the tonic, and its finger in the scale's pattern (0 for none). */
export const roleOf = (tonic: boolean, pattern: number): number => pattern * 2 + (tonic ? 1 : 0);

/** The finger of the scale's pattern that a role holds. */
export const patternIn = (role: number): Finger | undefined => (role >> 1 === 0 ? undefined : ((role >> 1) as Finger));

/** Tables by up to four numbers between -32 and 31, each filled when it is first asked for. */
const tables = (
  fill: (a: number, b: number, c: number, d: number) => Int32Array,
): ((a: number, b: number, c: number, d?: number) => Int32Array) => {
  const filled = new Map<number, Int32Array>();
  return (a, b, c, d = 0) => {
    const key = ((a * 64 + b) * 64 + c) * 64 + d;
    const known = filled.get(key);
    if (known !== undefined) return known;
    const table = fill(a, b, c, d);
    filled.set(key, table);
    return table;
  };
};

// A rule of one's own may charge what no table holds.
const MOST_POINTS = 100_000;
const whole = (points: unknown, { id }: FingeringRule): number => {
  if (typeof points === "number" && Number.isInteger(points) && points >= 0 && points <= MOST_POINTS) return points;
  throw new MusicError({
    code: "fingering/rule",
    input: points,
    expected: `whole points from 0 to ${MOST_POINTS} from the rule ${id}`,
  });
};

/** Builds the tables of a set of rules. */
export const compileModel = (rules: readonly WeightedRule[], spans: HandSpans): Model => {
  const active = rules.filter(({ weight }) => weight !== 0);
  const notes = active.filter((w): w is WeightedRule<NoteRule> => w.rule.reads === "note");
  const pairs = active.filter((w): w is WeightedRule<PairRule> => w.rule.reads === "pair");
  const triples = active.filter((w): w is WeightedRule<TripleRule> => w.rule.reads === "triple");
  const note = tables((previous, black, next, role) =>
    Int32Array.from({ length: 5 }, (_, index) => {
      const window = {
        ...keyAt(index, black),
        previousBlack: neighbour(previous),
        nextBlack: neighbour(next),
        tonic: role % 2 === 1,
        pattern: patternIn(role),
      };
      return notes.reduce((sum, { rule, weight }) => sum + weight * whole(rule.points(window), rule), 0);
    }),
  );

  const pair = tables((interval, kind, fromBlack, toBlack) =>
    Int32Array.from({ length: 25 }, (_, index) => {
      const window = {
        from: keyAt(Math.floor(index / 5), fromBlack),
        to: keyAt(index % 5, toBlack),
        interval,
        move: MOVE_KINDS[kind] as MoveKind,
      };
      return pairs.reduce((sum, { rule, weight }) => sum + weight * whole(rule.points(window, spans), rule), 0);
    }),
  );

  const triple = tables((before, after, colours) =>
    Int32Array.from({ length: 125 }, (_, index) => {
      const window = {
        first: keyAt(Math.floor(index / 25), colours & 4),
        middle: keyAt(Math.floor(index / 5) % 5, colours & 2),
        last: keyAt(index % 5, colours & 1),
        before,
        after,
      };
      return triples.reduce((sum, { rule, weight }) => sum + weight * whole(rule.points(window, spans), rule), 0);
    }),
  );

  return { rules: active, spans, note, pair, triple };
};
