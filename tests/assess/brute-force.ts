import { APART, COST, pitchCost, timeCost } from "../../src/assess/align/cost.ts";
import type { Struck, Wanted } from "../../src/assess/align/solve.ts";
import type { Hand } from "../../src/event/index.ts";

const precedes = (a: Wanted, b: Wanted): boolean =>
  a.hand === b.hand ? a.sounds < b.sounds : b.sounds - a.sounds > APART;

const missing = (note: Wanted): number => (note.grace === true ? COST.missedGrace : COST.missed);

const priceOf = (wanted: Wanted, struck: Struck): number => {
  if (struck.hand !== undefined && struck.hand !== wanted.hand) return Infinity;
  return (
    pitchCost(wanted.midi, struck.midi) + (struck.sounds === undefined ? 0 : timeCost(struck.sounds - wanted.sounds))
  );
};

/** The least cost over every pairing of struck and wanted notes that keeps the order, each tried: no jumps. */
export const cheapestPairing = (wanted: readonly Wanted[], struck: readonly Struck[]): number => {
  const total = wanted.reduce((sum, note) => sum + missing(note), 0) + struck.length * COST.extra;
  let best = Infinity;
  const pairs: (readonly [number, number])[] = [];
  const search = (j: number, cost: number): void => {
    if (j === struck.length) {
      best = Math.min(best, cost);
      return;
    }
    search(j + 1, cost);
    wanted.forEach((note, i) => {
      const inOrder = pairs.every(([k]) => k !== i && !precedes(note, wanted[k] as Wanted));
      const price = priceOf(note, struck[j] as Struck);
      if (!inOrder || price === Infinity) return;
      pairs.push([i, j]);
      search(j + 1, cost + price - missing(note) - COST.extra);
      pairs.pop();
    });
  };
  search(0, total);
  return best;
};

/**
 * The least cost with jumps: shortest paths over sets of notes that lie behind, every set and every jump in the graph, and one state
 * outside of the score. One hand alone is a set in which the other hand lies behind from the start.
 */
export const cheapestWithJumps = (wanted: readonly Wanted[], struck: readonly Struck[]): number => {
  const n = wanted.length;
  const free = (behind: number, i: number): boolean =>
    (behind & (1 << i)) === 0 &&
    wanted.every((other, k) => (behind & (1 << k)) !== 0 || !precedes(other, wanted[i] as Wanted));
  const whole = (hand: Hand): number => wanted.reduce((set, note, i) => set | (note.hand === hand ? 1 << i : 0), 0);
  const starts = [0, ...(whole("right") > 0 && whole("left") > 0 ? [whole("right"), whole("left")] : [])];
  // The sets that can lie behind: those that are reached by putting free notes behind one by one.
  const states = new Set<number>(starts);
  for (const state of states) for (let i = 0; i < n; i++) if (free(state, i)) states.add(state | (1 << i));
  // After how many keys the player went elsewhere or came back is free; what it costs depends on the next key.
  type Turn = Pick<Struck, "jump" | "leave">;
  const settle = (at: Map<number, number>, outside: number, turn: Turn): Map<number, number> => {
    const { jump = COST.jump, leave = COST.leave } = turn;
    for (let changed = true; changed; ) {
      changed = false;
      const cheapest = Math.min(...at.values());
      for (const state of states) {
        let cost = Math.min(at.get(state) as number, cheapest + jump, outside + leave);
        for (let i = 0; i < n; i++) {
          const behind = state & ~(1 << i);
          if (behind !== state && states.has(behind) && free(behind, i))
            cost = Math.min(cost, (at.get(behind) as number) + missing(wanted[i] as Wanted));
        }
        if (cost < (at.get(state) as number)) {
          at.set(state, cost);
          changed = true;
        }
      }
    }
    return at;
  };
  const before = (j: number): Turn => struck[j] ?? { jump: Infinity, leave: Infinity };
  let outside = 0;
  let costs = new Map<number, number>([...states].map((state) => [state, starts.includes(state) ? 0 : Infinity]));
  costs = settle(costs, outside, before(0));
  struck.forEach((key, j) => {
    const next = new Map<number, number>();
    for (const state of states) {
      let cost = (costs.get(state) as number) + COST.extra;
      for (let i = 0; i < n; i++) {
        const behind = state & ~(1 << i);
        if (behind !== state && states.has(behind) && free(behind, i))
          cost = Math.min(cost, (costs.get(behind) as number) + priceOf(wanted[i] as Wanted, key));
      }
      next.set(state, cost);
    }
    outside = Math.min(outside, Math.min(...costs.values()) + (key.leave ?? COST.leave)) + COST.aside;
    costs = settle(next, outside, before(j + 1));
  });
  // The player may stop anywhere.
  return Math.min(outside, ...costs.values());
};

/** What a solution's own pairs cost, counted afresh; also checks that each wanted note is meant once between jumps. */
export const costOfPairs = (wanted: readonly Wanted[], struck: readonly Struck[], meant: ArrayLike<number>): number => {
  const used = new Set<number>();
  let cost = 0;
  for (let j = 0; j < struck.length; j++) {
    const i = meant[j] as number;
    if (i < 0) {
      cost += COST.extra;
      continue;
    }
    if (used.has(i)) throw new Error(`note ${i} is meant twice`);
    for (const k of used)
      if (precedes(wanted[i] as Wanted, wanted[k] as Wanted)) throw new Error(`note ${i} comes after note ${k}`);
    used.add(i);
    cost += priceOf(wanted[i] as Wanted, struck[j] as Struck);
  }
  return cost + wanted.reduce((sum, note, i) => sum + (used.has(i) ? 0 : missing(note)), 0);
};
