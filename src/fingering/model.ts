import type { Finger } from "../event/index.ts";
import { MusicError } from "../ground/errors.ts";
import { kept } from "../ground/memo.ts";
import { fingerOf } from "./reading.ts";
import type {
  ChordRule,
  FingeredKey,
  FingeringRule,
  HeldRule,
  MoveKind,
  NoteRule,
  NoteWindow,
  PairRule,
  TripleRule,
} from "./rules.ts";
import type { HandSpans } from "./spans.ts";

/** Intervals beyond two octaves count as two octaves: all leaps are alike. */
export const LARGEST_INTERVAL = 24;

export const MOVE_KINDS: readonly MoveKind[] = ["plain", "fast", "slide", "crushed", "free", "moved"];
/** Indices of kinds. */
export const [PLAIN, FAST, SLIDE, CRUSHED, FREE, MOVED] = [0, 1, 2, 3, 4, 5] as const;

/** Whether rules that look at what came before are silent: the hand is free, or moves as it is. */
export const isApart = (kind: number): boolean => kind >= FREE;

/** A rule with the weight that it has in a model. */
export interface ModelRule<R extends FingeringRule = FingeringRule> {
  readonly rule: R;
  readonly weight: number;
}

/** The rules of a model by what they read. */
export interface ModelRules {
  readonly note: readonly ModelRule<NoteRule>[];
  readonly pair: readonly ModelRule<PairRule>[];
  readonly triple: readonly ModelRule<TripleRule>[];
  readonly chord: readonly ModelRule<ChordRule>[];
  readonly held: readonly ModelRule<HeldRule>[];
}

/**
 * The cost of every window that the rules can see, worked out once each: five fingers for a note, 25 pairs, 125
 * triples. The tables fill as passages need them and can't outgrow the intervals within two octaves.
 */
export interface Model {
  readonly all: readonly ModelRule[];
  readonly rules: ModelRules;
  readonly spans: HandSpans;
  /** By finger - 1; neighbours: 0 none, 1 white, 2 black; role: {@link roleOf}. */
  readonly note: (previous: number, black: number, next: number, role: number) => Int32Array;
  /** The same for a note of a chord, by the rules that speak there too; {@link FREE_OF_CHARGE} where they charge nothing. */
  readonly chordNote: (black: number, role: number) => Int32Array;
  /** By 5 · (from - 1) + to - 1. */
  readonly pair: (interval: number, kind: number, fromBlack: number, toBlack: number) => Int32Array;
  /** By 25 · (first - 1) + 5 · (middle - 1) + last - 1. */
  readonly triple: (before: number, after: number, colours: number) => Int32Array;
  /** What the fingers of a hand on more than one key cost together. */
  readonly chord: (keys: readonly FingeredKey[], gaps: readonly number[]) => number;
  /** What it costs that a key has another finger than at the moment before: held on, or struck again within chords. */
  readonly change: (held: boolean) => number;
}

const keyAt = (finger: number, black: number): FingeredKey => ({ finger: fingerOf(finger + 1), black: black !== 0 });
const neighbour = (colour: number): boolean | undefined => (colour === 0 ? undefined : colour === 2);

/** What a note is to its scale, as one number: whether it is the tonic, and its finger in the scale's pattern (0 for none). */
export const roleOf = (tonic: boolean, pattern: number): number => pattern * 2 + (tonic ? 1 : 0);

const SEQUENCE = 12;

/** What a note is to a figure that comes back: its finger every time, and whether the figure is played three times or more, and has chords. */
export const sequenceRole = (finger: Finger, often: boolean, chords = false): number =>
  SEQUENCE + finger + (often ? 5 : 0) + (chords ? 10 : 0);

const fingerIn = (number: number): Finger | undefined => (number === 0 ? undefined : fingerOf(number));

/** The finger of the scale's pattern that a role holds. */
export const patternIn = (role: number): Finger | undefined => (role > SEQUENCE ? undefined : fingerIn(role >> 1));

/** The finger of a figure that comes back that a role holds. */
export const sequenceIn = (role: number): Finger | undefined =>
  role > SEQUENCE ? fingerOf(((role - SEQUENCE - 1) % 5) + 1) : undefined;

/** How often the figure of a role is played, where it comes back: 3 for three times or more. */
export const timesIn = (role: number): 2 | 3 | undefined =>
  role > SEQUENCE ? ((role - SEQUENCE - 1) % 10 > 4 ? 3 : 2) : undefined;

/** Whether the figure of a role has chords. */
export const chordsIn = (role: number): boolean => role > SEQUENCE + 10;

/** What rules see of a note's place in its scale and its figure. */
export const placeIn = (
  role: number,
): Pick<NoteWindow, "tonic" | "pattern" | "sequence" | "sequenceTimes" | "sequenceChords"> => ({
  tonic: role < SEQUENCE && role % 2 === 1,
  pattern: patternIn(role),
  sequence: sequenceIn(role),
  sequenceTimes: timesIn(role),
  sequenceChords: chordsIn(role),
});

/** A table that charges no finger. */
export const FREE_OF_CHARGE: Int32Array = /* @__PURE__ */ new Int32Array(5);

/** Tables by up to four numbers between -32 and 31, each filled when it is first asked for. */
const tables = (
  fill: (a: number, b: number, c: number, d: number) => Int32Array,
): ((a: number, b: number, c: number, d?: number) => Int32Array) => {
  const filled = new Map<number, Int32Array>();
  return (a, b, c, d = 0) => kept(filled, ((a * 64 + b) * 64 + c) * 64 + d, () => fill(a, b, c, d));
};

// A rule of one's own may charge what no table holds.
const MOST_POINTS = 100_000;

/** The points of a rule, which must be whole and not below zero. */
export const wholePoints = (points: unknown, { id }: FingeringRule): number => {
  if (typeof points === "number" && Number.isInteger(points) && points >= 0 && points <= MOST_POINTS) return points;
  throw new MusicError({
    code: "fingering/rule",
    input: points,
    expected: `whole points from 0 to ${MOST_POINTS} from the rule ${id}`,
  });
};

const reading = <R extends FingeringRule>(
  rules: readonly ModelRule[],
  isOne: (rule: FingeringRule) => rule is R,
): readonly ModelRule<R>[] => rules.flatMap(({ rule, weight }) => (isOne(rule) ? [{ rule, weight }] : []));

/** Whether a rule says something about a pair of notes that follow each other so. */
export const hears = (rule: PairRule, kind: MoveKind): boolean =>
  (kind !== "free" && kind !== "moved") || rule.acrossRests === true;

/** Builds the tables of a set of rules. */
export const compileModel = (rules: readonly ModelRule[], spans: HandSpans): Model => {
  const active = rules.filter(({ weight }) => weight !== 0);
  const by: ModelRules = {
    note: reading(active, (rule): rule is NoteRule => rule.reads === "note"),
    pair: reading(active, (rule): rule is PairRule => rule.reads === "pair"),
    triple: reading(active, (rule): rule is TripleRule => rule.reads === "triple"),
    chord: reading(active, (rule): rule is ChordRule => rule.reads === "chord"),
    held: reading(active, (rule): rule is HeldRule => rule.reads === "held"),
  };
  const note = tables((previous, black, next, role) =>
    Int32Array.from({ length: 5 }, (_, index) => {
      const window = {
        ...keyAt(index, black),
        previousBlack: neighbour(previous),
        nextBlack: neighbour(next),
        ...placeIn(role),
      };
      return by.note.reduce((sum, { rule, weight }) => sum + weight * wholePoints(rule.points(window), rule), 0);
    }),
  );

  const inChords = by.note.filter(({ rule }) => rule.inChords === true);
  const chordNotes = new Map<number, Int32Array>();
  const chordNote: Model["chordNote"] = (black, role) =>
    kept(chordNotes, role * 2 + black, () => {
      const table = Int32Array.from({ length: 5 }, (_, index) => {
        const window = {
          ...keyAt(index, black),
          previousBlack: undefined,
          nextBlack: undefined,
          ...placeIn(role),
        };
        return inChords.reduce((sum, { rule, weight }) => sum + weight * wholePoints(rule.points(window), rule), 0);
      });
      return table.some((points) => points !== 0) ? table : FREE_OF_CHARGE;
    });

  const pair = tables((interval, kind, fromBlack, toBlack) =>
    Int32Array.from({ length: 25 }, (_, index) => {
      const move = MOVE_KINDS[kind] ?? "plain";
      const window = {
        from: keyAt(Math.floor(index / 5), fromBlack),
        to: keyAt(index % 5, toBlack),
        interval,
        move,
      };
      return by.pair.reduce(
        (sum, { rule, weight }) =>
          hears(rule, move) ? sum + weight * wholePoints(rule.points(window, spans), rule) : sum,
        0,
      );
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
      return by.triple.reduce(
        (sum, { rule, weight }) => sum + weight * wholePoints(rule.points(window, spans), rule),
        0,
      );
    }),
  );

  const chord: Model["chord"] = (keys, gaps) =>
    by.chord.reduce((sum, { rule, weight }) => sum + weight * wholePoints(rule.points({ keys, gaps }, spans), rule), 0);

  const changes = [true, false].map((held) =>
    by.held.reduce((sum, { rule, weight }) => sum + weight * wholePoints(rule.points({ held }), rule), 0),
  );
  return {
    all: active,
    rules: by,
    spans,
    note,
    chordNote,
    pair,
    triple,
    chord,
    change: (held) => changes[held ? 0 : 1] ?? 0,
  };
};
