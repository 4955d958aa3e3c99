import type { Hand } from "../../event/index.ts";
import { nth } from "../../ground/list.ts";
import { APART, COST, pitchCost, timeCost, WINDOW } from "./cost.ts";
import { AHEAD, boardOf, expander, firstAhead, hopeOf, landings } from "./landings.ts";
import type { HandMap, Struck, Wanted } from "./places.ts";
import { Layer, Steps } from "./places.ts";

export type { Struck, Wanted };

/** How {@link solve} counts. */
export interface SolveOptions {
  /** Whether the player may go back or ahead, play one hand alone, or leave the score for a while; without a clock only. */
  readonly jumps: boolean;
  /** Semitones by which each hand was played too high. */
  readonly shift?: Readonly<Record<Hand, number>>;
  /** Places from which the music goes on alike for two to the power of so many moments are one place to go to: the nearest. @defaultValue 6 */
  readonly alike?: number;
  /** Give up as soon as the cost must reach this. */
  readonly below?: number;
}

/** The cheapest way to read a take. */
export interface Solution {
  readonly cost: number;
  /** For each struck key the index of the wanted note that it was meant for, -1 for none, or -2 where the score had been left. */
  readonly meant: Int32Array;
  /** Indices of struck keys before which the player went elsewhere, in order. */
  readonly jumps: readonly number[];
}

// Of equal readings both hands are meant rather than one. Jumps of equal cost: back rather than ahead, and the shorter, is meant. All of them together stay below the least difference in cost, which is 1.
const PER_JUMP = 1e-4;
const ALONE = 1e-3;

// What a step did, where it was not to take a key for the note of that index.
const START = -1;
/** What the first state of all comes from. */
const NOWHERE = -2;
const EXTRA = -1;
const SKIP = -2;
const LAND_AT_END = -3;
const ASIDE = -4;
// Music that goes on alike for two to the power of so many moments is the same place to land in: of several the nearest are tried.
const ALIKE = 6;
/** As `SKIP`, of what can no longer be played. */
const GONE = -5;
/** A jump, then the note of index `LANDED - what`. */
const LANDED = -6;

/**
 * The exact least-cost reading of struck keys as wanted notes: a dynamic programme over the keys in their order, whose state is what
 * lies behind each hand.
 *
 * A hand's moments come in order, the keys of one moment in any order, and a hand is at most {@link APART} ahead of the other. Each
 * struck key is meant for one note (at the cost of pitch, and of time where a clock is known) or is extra; each note that is passed
 * over is missed. With jumps the player may at any time go to any state.
 *
 * Why it is exact yet quick. With jumps, no state is worth more than the cheapest of its layer plus a jump, so only states below that
 * are stored: the rest are all there, at that one price, and are looked at only when the cheapest has just become dearer and only
 * where the struck key is wanted. With a clock, a note off by more than {@link WINDOW} is cheaper as missed and extra, so no other
 * pairing need be looked at. Either way nothing that could be part of the best is left out.
 *
 * @param wanted - in order of `sounds`
 * @param struck - in the order in which they were struck; all with `sounds`, or none
 * @returns undefined when the cost is not below `options.below`
 */
export const solve = (
  wanted: readonly Wanted[],
  struck: readonly Struck[],
  options: SolveOptions,
): Solution | undefined => {
  const shift = options.shift ?? { right: 0, left: 0 };
  const board = boardOf(wanted, shift);
  const { right, left, midi, sounds, isLeft, missing } = board;
  const [rightEnd, leftEnd] = [right.momentAt.length - 1, left.momentAt.length - 1];
  const below = options.below ?? Infinity;
  // What a jump costs at most: no state is worth more than the cheapest one and this.
  const ceiling = !options.jumps
    ? Infinity
    : struck.reduce<number>((most, { jump = COST.jump }) => Math.max(most, jump), COST.jump);
  const steps = new Steps();
  const next = expander(board);
  // By key: no key from here on lies earlier.
  const earliest = new Float64Array(struck.length + 1).fill(Infinity);
  for (let j = struck.length - 1; j >= 0; j--)
    earliest[j] = Math.min(earliest[j + 1] ?? Infinity, struck[j]?.sounds ?? -Infinity);

  /** What not yet having a note behind is worth at most: to play it with a later key, instead of leaving that key over. */
  const worth = (note: number, from: number): number =>
    from === -Infinity ? COST.extra : Math.max(0, COST.extra - timeCost(Math.max(0, from - (sounds[note] ?? 0))));

  /** The same for all notes of a hand that lie behind one place and not behind another, which is not further ahead; Infinity where that is. */
  const owed = (map: HandMap, place: number, best: number, from: number): number => {
    if (place === best) return 0;
    const [m, b] = [map.momentAt[place] ?? 0, map.momentAt[best] ?? 0];
    if (m > b || b - m > MOST_BEHIND) return Infinity;
    const [own, ahead] = [place - (map.base[m] ?? 0), m === b ? best - (map.base[b] ?? 0) : -1];
    // Inside one moment some keys may be behind here and not there.
    if (m === b && (own & ~ahead) !== 0) return Infinity;
    let sum = 0;
    const [start, end] = [map.begins[m] ?? 0, map.begins[b] ?? 0];
    if (m === b) {
      for (let bit = 0; ahead >> bit !== 0; bit++)
        if (((ahead & ~own) >> bit) & 1) sum += worth(map.notes[start + bit] ?? 0, from);
      return sum;
    }
    const first = map.begins[m + 1] ?? 0;
    for (let rank = start; rank < end; rank++)
      if (rank >= first || ((own >> (rank - start)) & 1) === 0) sum += worth(map.notes[rank] ?? 0, from);
    const mask = best - (map.base[b] ?? 0);
    for (let bit = 0; mask >> bit !== 0; bit++) if ((mask >> bit) & 1) sum += worth(map.notes[end + bit] ?? 0, from);
    return sum;
  };

  let queue = new Int32Array(256);
  let isLive = new Uint8Array(256);
  let known = 0;
  let end = 0;
  const push = (index: number): void => {
    if (index < 0) return;
    if (end === queue.length) {
      const twice = new Int32Array(2 * end);
      twice.set(queue);
      queue = twice;
    }
    queue[end++] = index;
  };
  /** What it costs to pass over what is left of a moment. */
  const rest = (map: HandMap, moment: number, place: number): number => {
    const mask = place - (map.base[moment] ?? 0);
    const [begin, end] = [map.begins[moment] ?? 0, map.begins[moment + 1] ?? 0];
    let sum = 0;
    for (let rank = begin; rank < end; rank++)
      if ((mask & (1 << (rank - begin))) === 0) sum += missing[map.notes[rank] ?? 0] ?? 0;
    return sum;
  };
  /**
   * Adds the states reached by passing over what is left of a moment (part of it never need be: a note of it can be played all the same), and marks those to go on from. A state that lags behind the cheapest one is left where
   * that one, with all the keys left over that the other could still use, costs no more.
   */
  const close = (layer: Layer, best: number, limit: number, from: number, to: number, later: number): void => {
    end = layer.count;
    while (queue.length < end) queue = new Int32Array(2 * queue.length);
    for (let i = 0; i < end; i++) queue[i] = i;
    isLive.fill(0, 0, known);
    const [r0, l0, c0] =
      best < 0 ? [0, 0, Infinity] : [layer.right[best] ?? 0, layer.left[best] ?? 0, layer.costs[best] ?? 0];
    for (let q = 0; q < end; q++) {
      const i = queue[q] ?? 0;
      const cost = layer.costs[i] ?? 0;
      if (cost >= limit) continue;
      const r = layer.right[i] ?? 0;
      const l = layer.left[i] ?? 0;
      if (i !== best && cost > c0) {
        const behind = owed(right, r, r0, later);
        if (behind < Infinity && cost >= c0 + behind + owed(left, l, l0, later)) continue;
      }
      const own = layer.from[i] === NOWHERE ? START : steps.add(layer.from[i] ?? 0, layer.what[i] ?? 0);
      layer.steps[i] = own;
      while (i >= isLive.length) {
        const twice = new Uint8Array(2 * isLive.length);
        twice.set(isLive);
        isLive = twice;
      }
      isLive[i] = 1;
      const rm = right.momentAt[r] ?? 0;
      const lm = left.momentAt[l] ?? 0;
      const rt = right.times[rm] ?? 0;
      const lt = left.times[lm] ?? 0;
      // What can no longer be played is passed over at once.
      if (Math.min(rt, lt) < from) isLive[i] = 0;
      if (rt < Infinity && rt <= to && rt <= lt + APART) {
        const passed = cost + rest(right, rm, r);
        if (passed < limit) push(layer.put(right.base[rm + 1] ?? 0, l, passed, own, rt < from ? GONE : SKIP));
      }
      if (lt < Infinity && lt <= to && lt <= rt + APART) {
        const passed = cost + rest(left, lm, l);
        if (passed < limit) push(layer.put(r, left.base[lm + 1] ?? 0, passed, own, lt < from ? GONE : SKIP));
      }
    }
    known = Math.min(isLive.length, layer.count);
  };

  /** What the live states lead to with one key more. */
  const consume = (layer: Layer, after: Layer, key: Struck, most: number): void => {
    const at = key.sounds;
    for (let i = 0; i < layer.count; i++) {
      if (isLive[i] !== 1) continue;
      const r = layer.right[i] ?? 0;
      const l = layer.left[i] ?? 0;
      const cost = layer.costs[i] ?? 0;
      const from = layer.steps[i] ?? 0;
      const count = next.from(r, l);
      for (let k = 0; k < count; k++) {
        const note = next.notes[k] ?? 0;
        const other = isLeft[note] === 1;
        if (key.hand !== undefined && (key.hand === "left") !== other) continue;
        const total =
          cost + pitchCost(midi[note] ?? 0, key.midi) + (at === undefined ? 0 : timeCost(at - (sounds[note] ?? 0)));
        if (total >= most) continue;
        const by = next.by[k] ?? 0;
        after.put(other ? r : r + by, other ? l + by : l, total, from, note);
      }
      // To pass notes over and then have a key too many is the same as the other way round.
      if (layer.what[i] !== SKIP && cost + COST.extra < most) after.put(r, l, cost + COST.extra, from, EXTRA);
    }
  };
  /** What the next keys cost where nobody goes elsewhere: the whole once so many keys more are consumed; few states are followed. */
  const onward = (from: number, right: number, left: number, cost: number): readonly number[] => {
    const costs = [cost];
    let [now, then] = scratch;
    now.clear();
    now.put(right, left, cost, NOWHERE, EXTRA);
    for (let j = from; j < Math.min(struck.length, from + AHEAD + 1); j++) {
      const best = now.cheapest();
      const limit = (now.costs[best] ?? 0) + FEW;
      close(now, best, limit, -Infinity, Infinity, -Infinity);
      then.clear();
      consume(now, then, nth(struck, j), limit);
      costs.push(then.costs[then.cheapest()] ?? Infinity);
      [now, then] = [then, now];
    }
    return costs;
  };
  const scratch = [new Layer(), new Layer()] as const;

  const places = options.jumps ? landings(board, struck, options.alike ?? ALIKE) : undefined;

  let [layer, after] = [new Layer(), new Layer()];
  layer.put(0, 0, 0, NOWHERE, EXTRA);
  // One hand alone: the other one lies behind as a whole, and nothing of it is missed.
  if (options.jumps && rightEnd > 0 && leftEnd > 0) {
    layer.put(0, leftEnd, ALONE, NOWHERE, EXTRA);
    layer.put(rightEnd, 0, ALONE, NOWHERE, EXTRA);
  }
  // Outside of the score: what it costs to be there, the step that led there, and the note before which the score was left.
  let [outside, way, away] = [options.jumps ? 0 : Infinity, START, 0];
  for (let j = 0; j <= struck.length; j++) {
    const best = layer.cheapest();
    const cheapest = best < 0 ? Infinity : (layer.costs[best] ?? 0);
    if (Math.min(cheapest, outside) >= below) return undefined;
    const key = struck[j];
    const at = key?.sounds;
    const limit = Math.min(cheapest + ceiling, outside + COST.leave);
    const reach = at === undefined ? Infinity : WINDOW;
    close(layer, best, limit, (at ?? 0) - reach, (at ?? 0) + reach, key === undefined ? Infinity : (earliest[j] ?? 0));
    if (key === undefined) {
      const end = layer.indexOf(rightEnd, leftEnd);
      const whole = end < 0 ? Infinity : (layer.costs[end] ?? 0);
      // With jumps the player may stop anywhere.
      const stopped = options.jumps ? Math.min(cheapest, outside) : Infinity;
      const cost = Math.min(whole, stopped);
      if (cost >= below) return undefined;
      const last =
        whole <= stopped + 1e-9
          ? (layer.steps[end] ?? START)
          : steps.add(cheapest <= outside ? (layer.steps[best] ?? START) : way, LAND_AT_END);
      return { cost: options.jumps ? Math.floor(cost) : cost, ...trace(steps, last, struck.length) };
    }
    after.clear();
    const most = cheapest + COST.extra + ceiling;
    consume(layer, after, key, most);
    if (places !== undefined) {
      const jump = key.jump ?? COST.jump;
      const turn = key.leave ?? COST.leave;
      const back = outside + turn;
      // Where coming back costs less than the cheapest reading, nothing goes on from that.
      const inside = cheapest < outside + COST.leave;
      const from = inside ? (layer.steps[best] ?? START) : way;
      const start = inside ? firstAhead(board, layer.right[best] ?? 0, layer.left[best] ?? 0) : 0;
      const nearest = after.cheapest();
      const least = nearest < 0 ? Infinity : (after.costs[nearest] ?? 0);
      // Going elsewhere can wait for as long as the cheapest reading stays as cheap, unless it is cheaper now than later.
      const go = inside && (least > cheapest || jump < ceiling) ? cheapest + jump : Infinity;
      const landed = Math.min(go, back);
      if (landed < least + ceiling) {
        const stay = inside ? onward(j, layer.right[best] ?? 0, layer.left[best] ?? 0, cheapest) : [];
        const hope = hopeOf(landed, ceiling, outside, stay, board.graces);
        places(j, [start, away], hope, (r, l, note) => {
          const by = note - start;
          const far = go + PER_JUMP * (by > 0 ? 1 + by / wanted.length : -by / wanted.length);
          // Coming back to one of several equal places, the one nearest to where the score was left is meant.
          const home = back + (PER_JUMP * Math.abs(note - away)) / wanted.length;
          after.put(r, l, Math.min(far, home), far <= home ? from : way, LANDED - note);
        });
      }
      const leaving = inside ? cheapest + turn : Infinity;
      if (leaving < outside) away = start;
      way = steps.add(leaving < outside ? from : way, ASIDE);
      outside = Math.min(leaving, outside) + COST.aside;
    }
    [layer, after] = [after, layer];
  }
  return undefined;
};

// What is followed beside the cheapest state, to tell what going on will cost.
const FEW = 9;
// Moments by which a state may lag and still be held against the cheapest.
const MOST_BEHIND = 16;

/** What each struck key was meant for, and where the player jumped, on the way to a step. */
const trace = (steps: Steps, last: number, count: number): Pick<Solution, "meant" | "jumps"> => {
  const meant = new Int32Array(count).fill(-1);
  const jumps: number[] = [];
  let j = count;
  for (let at = last; at !== START; at = steps.beforeOf(at)) {
    const what = steps.whatOf(at);
    if (what === SKIP || what === GONE) continue;
    if (what !== LAND_AT_END) j--;
    if (what >= 0) meant[j] = what;
    else if (what === ASIDE) meant[j] = -2;
    else if (what <= LANDED) meant[j] = LANDED - what;
    if (what === LAND_AT_END || what <= LANDED) jumps.push(j);
  }
  return { meant, jumps: jumps.reverse() };
};
