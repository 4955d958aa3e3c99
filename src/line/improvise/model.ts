import type { LineModel } from "../../line-model/index.ts";
import { CELLS, CHORD_KINDS, KINDS, partsOf, RANGE, TEMPOS } from "../../line-model/inner.ts";

/** How many signed intervals there are from an octave down to an octave up. */
export const INTERVALS = 2 * RANGE + 1;
const NONE = INTERVALS;
const PLACES = 4;
const TEMPO_CLASSES = TEMPOS.length + 1;

/** A learnt model, ready to be drawn from. */
export interface Model {
  /** How many histories are told apart. */
  readonly states: number;
  /** `states × INTERVALS`: how likely each interval is after a history. */
  readonly melody: Float64Array;
  /** `states × INTERVALS`: the history after one more interval. */
  readonly next: Int32Array;
  /** By history: its last interval, and how long it has gone in one direction, as {@link pairOf} counts them. */
  readonly pairs: Int32Array;
  /** `runs × 2 (on a beat, or not) × INTERVALS`: how much likelier an interval is after a run of so many in one direction; see {@link stepRun}. */
  readonly runs: Float64Array;
  /** `states × INTERVALS`: 1 where an interval goes on circling: to and fro between two notes for the third time, or the same note for the fourth;
   * 2 where it leaps back after a leap, by a fourth or more each way. */
  readonly circles: Uint8Array;
  /** By history: how many intervals it holds. */
  readonly orders: Uint8Array;
  /** The history of a phrase's first note. */
  readonly start: number;
  /** `(kind of chord × 12 + degree left) × places × INTERVALS`: how much likelier an interval is there than anywhere. */
  readonly harmony: Float64Array;
  /** `kinds of chord × 12`: how much likelier a degree is at the start, and at the end, of a phrase than anywhere. */
  readonly firsts: Float64Array;
  readonly lasts: Float64Array;
  /** `kinds of chord × 12`: the share of each degree. */
  readonly degrees: Float64Array;
  /** From two octaves down to two up: how likely the interval from one phrase to the next is. */
  readonly between: Float64Array;
  /** `kinds of idea × INTERVALS`: how much likelier an interval is in such an idea. */
  readonly moves: Float64Array;
  /** `tempo classes × kinds of idea`. */
  readonly kinds: Float64Array;
  /** `kinds of idea × 61`: notes of a phrase. */
  readonly lengths: Float64Array;
  /** `tempo classes × 48`: twelfths of a beat in the bar. */
  readonly starts: Float64Array;
  /** `tempo classes × 49`: half beats. */
  readonly gaps: Float64Array;
  /** `kinds of idea × 12`: how much likelier a phrase ends at a place than a note stands there. */
  readonly ends: Float64Array;
  /** How likely each rhythm of a beat is; {@link CELLS}`.length` stands for none before. */
  readonly cell: (tempo: number, kind: number, inBar: number, before: number, earlier: number) => Float64Array;
}

interface Row {
  readonly left: number;
  readonly outcomes: readonly (readonly [outcome: number, count: number])[];
}

const readTable = (text: string): ReadonlyMap<number, Row> => {
  const rows = new Map<number, Row>();
  let context = 0;
  for (const part of text === "" ? [] : text.split(",")) {
    const [step = "0", left = "0", ...outcomes] = part.split(" ");
    context += Number.parseInt(step, 36);
    rows.set(context, {
      left: Number.parseInt(left, 36),
      outcomes: outcomes.map((pair) => {
        const [outcome = "0", count = "0"] = pair.split(".");
        return [Number.parseInt(outcome, 36), Number.parseInt(count, 36)];
      }),
    });
  }
  return rows;
};

/**
 * A context's distribution, smoothed by that of the shorter one: what was left out goes to it, and so much for each outcome seen.
 * Source: Witten, I. H., & Bell, T. C. (1991), The zero-frequency problem, IEEE Transactions on Information Theory 37(4), 1085-1094 (method C).
 */
const smooth = (row: Row | undefined, shorter: Float64Array, trust: number): Float64Array => {
  if (row === undefined) return shorter;
  const total = row.outcomes.reduce((sum, [, count]) => sum + count, 0);
  const lent = row.left + trust * row.outcomes.length;
  const result = shorter.map((share) => (lent * share) / (total + lent));
  for (const [outcome, count] of row.outcomes) result[outcome] = (result[outcome] ?? 0) + count / (total + lent);
  return result;
};

const even = (size: number): Float64Array => new Float64Array(size).fill(1 / size);

// Found on solos left out: bits for each next interval were fewest at these.
const TRUST = 20;
const HARMONY_WEIGHT = 0.85;
const CELL_TRUST = 4;
// What must hold of a line turns it sooner than the corpus's: so a run in one direction goes on so much likelier.
const GOING_ON = 1.3;

/** Distributions of some contexts one after the other, each smoothed by one for all. */
const byContext = (text: string, contexts: number, size: number): Float64Array => {
  const table = readTable(text);
  const all = new Float64Array(size);
  for (const { outcomes } of table.values())
    for (const [outcome, count] of outcomes) all[outcome] = (all[outcome] ?? 0) + count;
  const total = all.reduce((sum, count) => sum + count, 0);
  const shared = all.map((count) => (count + 0.01) / (total + 0.01 * size));
  const result = new Float64Array(contexts * size);
  for (let c = 0; c < contexts; c++) result.set(smooth(table.get(c), shared, 1), c * size);
  return result;
};

const ratio = (over: Float64Array, under: Float64Array): Float64Array =>
  over.map((share, i) => share / Math.max(1e-4, under[i] ?? 0));

/** How many pairs of a last interval and a length of run there are. */
export const PAIRS = (INTERVALS + 1) * 3;

/** The number of a history's last interval and of how many intervals it has gone in one direction, three at most. */
const pairOf = (history: readonly number[]): number => {
  const [last = NONE] = history;
  const ways = history.map((d) => Math.sign(d - RANGE));
  const turned = ways.findIndex((way) => way !== ways[0]);
  return last * 3 + (last === NONE ? 1 : turned < 0 ? history.length : turned) - 1;
};

/** The longest run in one direction that is told from longer ones. */
export const LONGEST_RUN = 8;
/** How many runs there are: falling ones, none, rising ones. */
export const RUNS = 2 * LONGEST_RUN + 1;
/** The number of no run: at the start, and after a repeated note. */
export const NO_RUN = LONGEST_RUN;

/** The run after one more interval in semitones. */
export const stepRun = (run: number, interval: number): number => {
  const way = Math.sign(interval);
  const before = run - NO_RUN;
  if (way === 0) return NO_RUN;
  return NO_RUN + (Math.sign(before) === way ? Math.max(-LONGEST_RUN, Math.min(LONGEST_RUN, before + way)) : way);
};

// A fourth.
const LEAP = 5;

/** Sorts of interval: leaps and steps down, repeats, steps and leaps up. */
export const SORTS = 5;
export const sortOf = (interval: number): number =>
  2 + Math.sign(interval) * (Math.abs(interval) > 2 ? 2 : interval === 0 ? 0 : 1);

const known = new WeakMap<LineModel, Model>();

/** Reads a model once. */
export const readModel = (tables: LineModel): Model => {
  const before = known.get(tables);
  if (before !== undefined) return before;
  const made = decode(tables);
  known.set(tables, made);
  return made;
};

const decode = (tables: LineModel): Model => {
  const [none, one, two, three] = [0, 1, 2, 3].map((order) => readTable(tables.intervals[order] ?? ""));
  const base = smooth(none?.get(0), even(INTERVALS), 1);
  // Histories: none, then by one interval, two, three, where the corpus has something to say of what follows.
  const ids = new Map<string, number>();
  const rows: Float64Array[] = [];
  const histories: (readonly number[])[] = [];
  const add = (history: readonly number[], row: Float64Array): void => {
    ids.set(history.join(), rows.length);
    rows.push(row);
    histories.push(history);
  };
  add([NONE], smooth(one?.get(NONE), base, TRUST));
  for (let a = 0; a < INTERVALS; a++) add([a], smooth(one?.get(a), base, TRUST));
  const rowOf = (history: readonly number[]): Float64Array => rows[ids.get(history.join()) ?? 0] ?? base;
  for (const [context, row] of two ?? []) {
    const [b, a] = [Math.floor(context / (NONE + 1)), context % (NONE + 1)];
    add([a, b], smooth(row, rowOf([a]), TRUST));
  }
  for (const [context, row] of three ?? []) {
    const a = context % (NONE + 1);
    const b = Math.floor(context / (NONE + 1)) % (NONE + 1);
    const c = Math.floor(context / (NONE + 1) ** 2);
    if (ids.has([a, b].join())) add([a, b, c], smooth(row, rowOf([a, b]), TRUST));
  }
  const states = rows.length;
  const melody = new Float64Array(states * INTERVALS);
  const next = new Int32Array(states * INTERVALS);
  rows.forEach((row, s) => {
    melody.set(row, s * INTERVALS);
  });
  histories.forEach((history, s) => {
    const kept = history[0] === NONE ? [] : history;
    for (let d = 0; d < INTERVALS; d++) {
      const long = [d, ...kept].slice(0, 3);
      const found = [long, long.slice(0, 2), [d]].map((h) => ids.get(h.join())).find((id) => id !== undefined);
      next[s * INTERVALS + d] = found ?? 0;
    }
  });
  const circles = new Uint8Array(states * INTERVALS);
  histories.forEach(([last = NONE, before, first], s) => {
    // Intervals are numbered, so that two that undo each other add up to two octaves.
    const undoes = (one: number | undefined, other: number | undefined): boolean =>
      one !== undefined && other !== undefined && one + other === 2 * RANGE;
    if (undoes(last, before) && last === first && last !== RANGE) circles[s * INTERVALS + 2 * RANGE - last] = 1;
    if (last === RANGE && before === RANGE) circles[s * INTERVALS + RANGE] = 1;
    for (let d = 0; d < INTERVALS; d++) {
      const [come, gone] = [last - RANGE, d - RANGE];
      if (last !== NONE && come * gone < 0 && Math.min(Math.abs(come), Math.abs(gone)) >= LEAP)
        circles[s * INTERVALS + d] = 2;
    }
  });
  const loose = readTable(tables.harmony[0] ?? "");
  const placed = readTable(tables.harmony[1] ?? "");
  const harmony = new Float64Array(CHORD_KINDS * 12 * PLACES * INTERVALS);
  for (let context = 0; context < CHORD_KINDS * 12; context++) {
    const general = smooth(loose.get(context), base, TRUST);
    for (let place = 0; place < PLACES; place++) {
      const row = smooth(placed.get(context * PLACES + place), general, TRUST);
      harmony.set(
        row.map((share, d) => (share / (base[d] ?? 1)) ** HARMONY_WEIGHT),
        (context * PLACES + place) * INTERVALS,
      );
    }
  }
  // What both say is counted once.
  const pair = factors(tables.pairs);
  const target = factors(tables.targets);
  const sorted = factors(tables.runs);
  const on = (run: number, d: number): number =>
    Math.abs(run - NO_RUN) >= 2 && Math.sign(run - NO_RUN) === Math.sign(d) && tables.runs !== "" ? GOING_ON : 1;
  const runs = Float64Array.from(
    { length: RUNS * 2 * INTERVALS },
    (_, i) =>
      sorted(Math.floor(i / INTERVALS) * SORTS + sortOf((i % INTERVALS) - RANGE)) *
      on(Math.floor(i / INTERVALS / 2), (i % INTERVALS) - RANGE),
  );
  const pairs = Int32Array.from(histories, pairOf);
  pairs.forEach((before, s) => {
    for (let d = 0; d < INTERVALS; d++)
      melody[s * INTERVALS + d] = (melody[s * INTERVALS + d] ?? 0) * pair(before * INTERVALS + d);
  });
  harmony.forEach((share, at) => {
    const d = at % INTERVALS;
    const place = Math.floor(at / INTERVALS) % PLACES;
    const context = Math.floor(at / INTERVALS / PLACES);
    const to = Math.floor(context / 12) * 12 + (((context % 12) + d + 24 - RANGE) % 12);
    harmony[at] = share * target(to * PLACES + place);
  });
  const degrees = byContext(tables.degrees, CHORD_KINDS, 12);
  const kinds = KINDS.length;
  const overall = new Float64Array(kinds * INTERVALS);
  for (let k = 0; k < kinds; k++) overall.set(base, k * INTERVALS);
  return {
    states,
    melody,
    next,
    pairs,
    runs,
    circles,
    orders: Uint8Array.from(histories, (history) => (history[0] === NONE ? 0 : history.length)),
    start: 0,
    harmony,
    degrees,
    firsts: ratio(byContext(tables.firsts, CHORD_KINDS, 12), degrees),
    lasts: ratio(byContext(tables.lasts, CHORD_KINDS, 12), degrees),
    between: byContext(tables.between, 1, 4 * RANGE + 1),
    moves: ratio(byContext(tables.moves, kinds, INTERVALS), overall),
    kinds: byContext(tables.kinds, TEMPO_CLASSES, kinds),
    lengths: byContext(tables.lengths, kinds, 61),
    starts: byContext(tables.starts, TEMPO_CLASSES, 48),
    gaps: byContext(tables.gaps, TEMPO_CLASSES, 49),
    ends: ratio(byContext(tables.ends, kinds, 12), byContext(tables.places, kinds, 12)),
    cell: cellsOf(tables),
  };
};

const factors = (text: string): ((index: number) => number) => {
  const logs = text === "" ? [] : text.split(" ").map((word) => Math.exp(Number(word) / 100));
  return (index) => logs[index] ?? 1;
};

const PARTS = [1, 2, 3, 4, 6];

const cellsOf = (tables: LineModel): Model["cell"] => {
  const size = CELLS.length;
  const many = size + 1;
  const read = [0, 1, 2, 3, 4].map((order) => readTable(tables.cells[order] ?? ""));
  const made = new Map<number, Float64Array>();
  const factor = factors(tables.parts);
  const family = CELLS.map((cell) => Math.max(0, PARTS.indexOf(partsOf(cell)) - 1));
  return (tempo, kind, inBar, before, earlier) => {
    const key = (((earlier * many + before) * 4 + inBar) * KINDS.length + kind) * TEMPO_CLASSES + tempo;
    const known = made.get(key);
    if (known !== undefined) return known;
    const contexts = [
      tempo,
      kind * 4 + tempo,
      (tempo * many + before) * 4 + inBar,
      (tempo * many + earlier) * many + before,
      ((tempo * many + earlier) * many + before) * 4 + inBar,
    ];
    const row = contexts.reduce(
      (shorter, context, order) => smooth(read[order]?.get(context), shorter, CELL_TRUST),
      even(size),
    );
    const set = row.map((share, i) => share * factor(tempo * 4 + (family[i] ?? 0)));
    made.set(key, set);
    return set;
  };
};
