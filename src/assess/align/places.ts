import type { Hand } from "../../event/index.ts";
import { nth } from "../../ground/list.ts";

/** A note to be found: its hand, its key and when it sounds in quarter notes. */
export interface Wanted {
  readonly hand: Hand;
  readonly midi: number;
  readonly sounds: number;
  readonly grace?: boolean;
}

/** A key that was struck, with its place in quarter notes where a clock is known. */
export interface Struck {
  readonly midi: number;
  readonly hand?: Hand;
  readonly sounds?: number;
  /** What it costs to go elsewhere before this key: at most {@link COST.seamless}; {@link COST.jump} where absent. */
  readonly jump?: number;
  /** What it costs to leave the score, or to come back to it, before this key: at most {@link COST.leave}, as where it is absent. */
  readonly leave?: number;
}

// The keys of a moment come in any order; those of a cluster, more than any hand has fingers for twice, are taken by a few at a time, from
// the lowest up.
const MOST_AT_ONCE = 10;
const FEW = 5;

/**
 * The notes of one hand as places to stand: between two moments, or inside a chord with some of its keys (a bit each) behind. With one key
 * more behind, place `p` leads to `p + 2 ** bit`; with the last of them that is the next moment's first place.
 */
export interface HandMap {
  /** Wanted notes, moment by moment, and where in that list each moment begins; then its end. */
  readonly notes: Int32Array;
  readonly begins: Int32Array;
  /** When each moment sounds, then Infinity. */
  readonly times: Float64Array;
  /** The first place of each moment, then the place at the end. */
  readonly base: Int32Array;
  /** The moment that each place stands in. */
  readonly momentAt: Int32Array;
}

export const mapHand = (wanted: readonly Wanted[], hand: Hand): HandMap => {
  const own = wanted.flatMap((note, i) => (note.hand === hand ? [i] : []));
  const sizes = new Map<number, number>();
  for (const i of own) {
    const { sounds } = nth(wanted, i);
    sizes.set(sounds, (sizes.get(sounds) ?? 0) + 1);
  }
  const times: number[] = [];
  const begins: number[] = [];
  own.forEach((i, rank) => {
    const { sounds } = nth(wanted, i);
    const most = (sizes.get(sounds) ?? 0) > MOST_AT_ONCE ? FEW : MOST_AT_ONCE;
    if (times.at(-1) !== sounds || rank - nth(begins, -1) === most) {
      times.push(sounds);
      begins.push(rank);
    }
  });
  begins.push(own.length);
  const base = [0];
  times.forEach((_, m) => {
    base.push(nth(base, m) + 2 ** (nth(begins, m + 1) - nth(begins, m)) - 1);
  });
  const momentAt = new Int32Array(nth(base, -1) + 1);
  times.forEach((_, m) => {
    momentAt.fill(m, nth(base, m), nth(base, m + 1));
  });
  momentAt[nth(base, -1)] = times.length;
  return {
    notes: Int32Array.from(own),
    begins: Int32Array.from(begins),
    times: Float64Array.from([...times, Infinity]),
    base: Int32Array.from(base),
    momentAt,
  };
};

/** The steps that led to states: each with the one before it and what it did. */
export class Steps {
  private before = new Int32Array(1024);
  private what = new Int32Array(1024);
  private count = 0;

  add(before: number, what: number): number {
    if (this.count === this.before.length) {
      const [b, w] = [new Int32Array(2 * this.count), new Int32Array(2 * this.count)];
      b.set(this.before);
      w.set(this.what);
      [this.before, this.what] = [b, w];
    }
    this.before[this.count] = before;
    this.what[this.count] = what;
    return this.count++;
  }

  beforeOf(step: number): number {
    return this.before[step] ?? 0;
  }

  whatOf(step: number): number {
    return this.what[step] ?? 0;
  }
}

const whole = (length: number): Int32Array<ArrayBuffer> => new Int32Array(length);
const real = (length: number): Float64Array<ArrayBuffer> => new Float64Array(length);

const longer = (list: Int32Array): Int32Array<ArrayBuffer> => {
  const twice = whole(2 * list.length);
  twice.set(list);
  return twice;
};

/**
 * The states reached once so many keys are consumed, each with its least cost and how it was reached. Lists by index and a table of our own
 * from state to index: a take has some hundred states a key, and a Map takes three times as long.
 */
export class Layer {
  count = 0;
  /** Where each hand stands. */
  right = whole(64);
  left = whole(64);
  costs = real(64);
  /** The step before, and what was done then. */
  from = whole(64);
  what = whole(64);
  /** The state's own step, once it is known to be worth going on from. */
  steps = whole(64);
  private slots = whole(64);
  private table = whole(256).fill(-1);

  /** Puts a state in where it is new or cheaper than it was known to be; returns its index, or -1. */
  put(right: number, left: number, cost: number, from: number, what: number): number {
    const mask = this.table.length - 1;
    let slot = (Math.imul(right, 0x9e3779b1) ^ Math.imul(left, 0x85ebca6b)) & mask;
    let i = this.table[slot] ?? -1;
    while (i >= 0 && (this.right[i] !== right || this.left[i] !== left)) {
      slot = (slot + 1) & mask;
      i = this.table[slot] ?? -1;
    }
    if (i >= 0) {
      if (cost >= (this.costs[i] ?? 0)) return -1;
    } else {
      if (2 * this.count >= this.table.length || this.count === this.costs.length) {
        this.grow();
        return this.put(right, left, cost, from, what);
      }
      i = this.count++;
      this.table[slot] = i;
      this.slots[i] = slot;
      this.right[i] = right;
      this.left[i] = left;
    }
    this.costs[i] = cost;
    this.from[i] = from;
    this.what[i] = what;
    return i;
  }

  private grow(): void {
    if (this.count === this.costs.length) {
      this.right = longer(this.right);
      this.left = longer(this.left);
      this.from = longer(this.from);
      this.what = longer(this.what);
      this.steps = longer(this.steps);
      this.slots = longer(this.slots);
      const costs = real(2 * this.count);
      costs.set(this.costs);
      this.costs = costs;
    }
    if (2 * this.count < this.table.length) return;
    const mask = 2 * this.table.length - 1;
    this.table = whole(mask + 1).fill(-1);
    for (let i = 0; i < this.count; i++) {
      let slot = (Math.imul(this.right[i] ?? 0, 0x9e3779b1) ^ Math.imul(this.left[i] ?? 0, 0x85ebca6b)) & mask;
      while ((this.table[slot] ?? -1) >= 0) slot = (slot + 1) & mask;
      this.table[slot] = i;
      this.slots[i] = slot;
    }
  }

  clear(): void {
    for (let i = 0; i < this.count; i++) this.table[this.slots[i] ?? 0] = -1;
    this.count = 0;
  }

  /** The index of the cheapest state, the first of equals; -1 where there is none. */
  cheapest(): number {
    let best = -1;
    for (let i = 0; i < this.count; i++) if (best < 0 || (this.costs[i] ?? 0) < (this.costs[best] ?? 0)) best = i;
    return best;
  }

  indexOf(right: number, left: number): number {
    for (let i = 0; i < this.count; i++) if (this.right[i] === right && this.left[i] === left) return i;
    return -1;
  }
}
