import type { Hand } from "../../event/index.ts";
import { known, nth } from "../../ground/list.ts";
import { APART, COST, pitchCost, timeCost, WINDOW } from "./cost.ts";

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

// The keys of a moment come in any order; those of a cluster, more than any hand has fingers for twice, are taken by a few at a time, from
// the lowest up.
const MOST_AT_ONCE = 10;
const FEW = 5;

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
/** A jump, then the note of index `LANDED - what`. */
const LANDED = -5;

/** The notes of one hand as places to stand: between two notes, or inside a chord with some of its keys (a bit each) behind. */
interface HandMap {
  /** Wanted notes by moment. */
  readonly moments: readonly (readonly number[])[];
  /** When each moment sounds, then Infinity. */
  readonly times: readonly number[];
  /** The first place of each moment, then the place at the end. */
  readonly base: readonly number[];
  /** The moment that each place stands in. */
  readonly momentAt: Int32Array;
}

const mapHand = (wanted: readonly Wanted[], hand: Hand): HandMap => {
  const moments: number[][] = [];
  const times: number[] = [];
  const sizes = new Map<number, number>();
  for (const note of wanted) if (note.hand === hand) sizes.set(note.sounds, (sizes.get(note.sounds) ?? 0) + 1);
  wanted.forEach((note, i) => {
    if (note.hand !== hand) return;
    const most = known(sizes.get(note.sounds)) > MOST_AT_ONCE ? FEW : MOST_AT_ONCE;
    if (times.at(-1) !== note.sounds || nth(moments, -1).length === most) {
      moments.push([]);
      times.push(note.sounds);
    }
    nth(moments, -1).push(i);
  });
  const base: number[] = [];
  const momentAt: number[] = [];
  moments.forEach((moment, m) => {
    base.push(momentAt.length);
    for (let mask = 0; mask < 2 ** moment.length - 1; mask++) momentAt.push(m);
  });
  base.push(momentAt.length);
  momentAt.push(moments.length);
  times.push(Infinity);
  return { moments, times, base, momentAt: Int32Array.from(momentAt) };
};

/** Where a place leads once one more of its moment's notes is behind; with the last of them it is the next moment's first place. */
const after = (map: HandMap, place: number, bit: number): number => {
  const start = nth(map.base, nth(map.momentAt, place));
  return start + ((place - start) | (1 << bit));
};

const least = (costs: readonly number[]): number => costs.reduce((low, cost) => Math.min(low, cost), Infinity);

/** The steps that led to states: each with the one before it and what it did. */
class Steps {
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

  /** What each struck key was meant for, and where the player jumped, on the way to a step. */
  trace(last: number, count: number): Pick<Solution, "meant" | "jumps"> {
    const meant = new Int32Array(count).fill(-1);
    const jumps: number[] = [];
    let j = count;
    for (let at = last; at !== START; at = nth(this.before, at)) {
      const what = nth(this.what, at);
      if (what === SKIP) continue;
      if (what !== LAND_AT_END) j--;
      if (what >= 0) meant[j] = what;
      else if (what === ASIDE) meant[j] = -2;
      else if (what <= LANDED) meant[j] = LANDED - what;
      if (what === LAND_AT_END || what <= LANDED) jumps.push(j);
    }
    return { meant, jumps: jumps.reverse() };
  }
}

/** The states reached once so many keys are consumed, each with its least cost and how it was reached. */
class Layer {
  readonly keys: number[] = [];
  readonly costs: number[] = [];
  /** The step before, and what was done then. */
  readonly from: number[] = [];
  readonly what: number[] = [];
  /** The state's own step, once it is known to be worth going on from. */
  readonly steps: number[] = [];
  private readonly found = new Map<number, number>();

  /** Whether the state is new or cheaper than it was known to be. */
  improves(key: number, cost: number): boolean {
    const i = this.found.get(key);
    return cost < (i === undefined ? Infinity : nth(this.costs, i));
  }

  put(key: number, cost: number, from: number, what: number): number {
    let i = this.found.get(key);
    if (i === undefined) {
      i = this.keys.length;
      this.found.set(key, i);
      this.keys.push(key);
    }
    this.costs[i] = cost;
    this.from[i] = from;
    this.what[i] = what;
    return i;
  }

  clear(): void {
    for (const list of [this.keys, this.costs, this.from, this.what, this.steps]) list.length = 0;
    this.found.clear();
  }

  indexOf(key: number): number | undefined {
    return this.found.get(key);
  }
}

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
  const right = mapHand(wanted, "right");
  const left = mapHand(wanted, "left");
  const width = left.momentAt.length;
  const endKey = (right.momentAt.length - 1) * width + width - 1;
  const below = options.below ?? Infinity;
  // What a jump costs at most: no state is worth more than the cheapest one and this.
  const ceiling = !options.jumps
    ? Infinity
    : struck.reduce<number>((most, { jump = COST.jump }) => Math.max(most, jump), COST.jump);
  const shift = options.shift ?? { right: 0, left: 0 };
  const steps = new Steps();
  const missing = (note: number): number => (nth(wanted, note).grace === true ? COST.missedGrace : COST.missed);
  const price = (note: number, key: Struck): number => {
    const w = nth(wanted, note);
    if (key.hand !== undefined && key.hand !== w.hand) return Infinity;
    return (
      pitchCost(w.midi + shift[w.hand], key.midi) + (key.sounds === undefined ? 0 : timeCost(key.sounds - w.sounds))
    );
  };

  /** The first note of the moments before which the hands stand. */
  const firstAhead = (key: number): number => {
    const r = Math.floor(key / width);
    const ahead = [right.moments[nth(right.momentAt, r)], left.moments[nth(left.momentAt, key - r * width)]];
    return Math.min(...ahead.map((moment) => moment?.[0] ?? wanted.length));
  };

  /** Calls back for every note that may come next, hands no further apart than allowed, with the state once it is behind. */
  const eachNext = (key: number, visit: (note: number, next: number) => void): void => {
    const r = Math.floor(key / width);
    const l = key - r * width;
    const [rm, lm] = [nth(right.momentAt, r), nth(left.momentAt, l)];
    const [rt, lt] = [nth(right.times, rm), nth(left.times, lm)];
    if (rt <= lt + APART) {
      const mask = r - nth(right.base, rm);
      right.moments[rm]?.forEach((note, bit) => {
        if ((mask & (1 << bit)) === 0) visit(note, after(right, r, bit) * width + l);
      });
    }
    if (lt <= rt + APART) {
      const mask = l - nth(left.base, lm);
      left.moments[lm]?.forEach((note, bit) => {
        if ((mask & (1 << bit)) === 0) visit(note, r * width + after(left, l, bit));
      });
    }
  };

  /** Adds the states reached by passing notes over; returns which states to go on from. */
  const close = (layer: Layer, limit: number, from: number, to: number): readonly number[] => {
    const live = new Set<number>();
    // A state that is found to be cheaper after it was looked at is looked at again.
    const queue = layer.keys.map((_, i) => i);
    for (const i of queue) {
      const cost = nth(layer.costs, i);
      if (cost >= limit) continue;
      const own = layer.from[i] === NOWHERE ? START : steps.add(nth(layer.from, i), nth(layer.what, i));
      layer.steps[i] = own;
      live.add(i);
      eachNext(nth(layer.keys, i), (note, state) => {
        const time = nth(wanted, note).sounds;
        // What can no longer be played is passed over at once.
        if (time < from) live.delete(i);
        const passed = cost + missing(note);
        if (time <= to && layer.improves(state, passed)) queue.push(layer.put(state, passed, own, SKIP));
      });
    }
    return [...live];
  };

  const places = options.jumps ? landings(wanted, right, left, width, options.alike ?? ALIKE) : undefined;

  let [layer, next] = [new Layer(), new Layer()];
  layer.put(0, 0, NOWHERE, EXTRA);
  // One hand alone: the other one lies behind as a whole, and nothing of it is missed.
  if (options.jumps && left.moments.length > 0 && right.moments.length > 0) {
    layer.put(width - 1, ALONE, NOWHERE, EXTRA);
    layer.put(endKey - width + 1, ALONE, NOWHERE, EXTRA);
  }
  // Outside of the score: what it costs to be there, the step that led there, and the note before which the score was left.
  let [outside, way, away] = [options.jumps ? 0 : Infinity, START, 0];
  for (let j = 0; j <= struck.length; j++) {
    const cheapest = least(layer.costs);
    if (Math.min(cheapest, outside) >= below) return undefined;
    const best = layer.costs.indexOf(cheapest);
    const key = struck[j];
    const at = key?.sounds;
    const live = close(
      layer,
      Math.min(cheapest + ceiling, outside + COST.leave),
      at === undefined ? -Infinity : at - WINDOW,
      at === undefined ? Infinity : at + WINDOW,
    );
    if (key === undefined) {
      const end = layer.indexOf(endKey);
      const whole = end === undefined ? Infinity : nth(layer.costs, end);
      // With jumps the player may stop anywhere.
      const stopped = options.jumps ? Math.min(cheapest, outside) : Infinity;
      const cost = Math.min(whole, stopped);
      if (cost >= below) return undefined;
      const last =
        end !== undefined && whole <= stopped + 1e-9
          ? nth(layer.steps, end)
          : steps.add(cheapest <= outside ? nth(layer.steps, best) : way, LAND_AT_END);
      return { cost: options.jumps ? Math.floor(cost) : cost, ...steps.trace(last, struck.length) };
    }
    next.clear();
    const most = cheapest + COST.extra + ceiling;
    for (const i of live) {
      const [state, cost, from] = [nth(layer.keys, i), nth(layer.costs, i), nth(layer.steps, i)];
      eachNext(state, (note, to) => {
        const total = cost + price(note, key);
        if (total < most && next.improves(to, total)) next.put(to, total, from, note);
      });
      const extra = cost + COST.extra;
      if (extra < most && next.improves(state, extra)) next.put(state, extra, from, EXTRA);
    }
    if (places !== undefined) {
      const jump = key.jump ?? COST.jump;
      const turn = key.leave ?? COST.leave;
      const back = outside + turn;
      // Where coming back costs less than the cheapest reading, nothing goes on from that.
      const inside = cheapest < outside + COST.leave;
      const from = inside ? nth(layer.steps, best) : way;
      const start = inside ? firstAhead(nth(layer.keys, best)) : 0;
      const dearer = least(next.costs) > cheapest;
      // Going elsewhere can wait for as long as the cheapest reading stays as cheap, unless it is cheaper now than later.
      const go = inside && (dearer || jump < ceiling) ? cheapest + jump : Infinity;
      if (Math.min(go, back) < least(next.costs) + ceiling) {
        places(key, shift, [start, away], (to, note) => {
          const by = note - start;
          const far = go + PER_JUMP * (by > 0 ? 1 + by / wanted.length : -by / wanted.length);
          // Coming back to one of several equal places, the one nearest to where the score was left is meant.
          const home = back + (PER_JUMP * Math.abs(note - away)) / wanted.length;
          if (next.improves(to, Math.min(far, home)))
            next.put(to, Math.min(far, home), far <= home ? from : way, LANDED - note);
        });
      }
      const leaving = inside ? cheapest + turn : Infinity;
      if (leaving < outside) away = start;
      way = steps.add(leaving < outside ? from : way, ASIDE);
      outside = Math.min(leaving, outside) + COST.aside;
    }
    [layer, next] = [next, layer];
  }
  return undefined;
};

type Landings = (
  key: Struck,
  shift: Readonly<Record<Hand, number>>,
  from: readonly number[],
  land: (to: number, note: number) => void,
) => void;

interface Landing {
  readonly moment: number;
  readonly bit: number;
  readonly note: number;
}

// Music that goes on alike for two to the power of so many moments is the same place to land in: of several the nearest are tried.
const ALIKE = 6;

/** By moment of the score a number for how the music goes on from there: equal where the next two to the power of `doublings` moments are. */
const continuations = (wanted: readonly Wanted[], doublings: number): ReadonlyMap<number, number> => {
  const times = [...new Set(wanted.map(({ sounds }) => sounds))];
  const named = new Map<number, string[]>(times.map((time) => [time, []]));
  for (const { sounds, hand, midi, grace } of wanted) named.get(sounds)?.push(`${hand}${midi}${grace === true}`);
  const number = (names: readonly string[]): number[] => {
    const ids = new Map<string, number>();
    return names.map((name) => {
      const id = ids.get(name) ?? ids.size;
      ids.set(name, id);
      return id;
    });
  };
  let ids = number(
    times.map((time, i) => `${[...(named.get(time) ?? [])].sort().join()} ${((times[i + 1] ?? -1) - time).toFixed(6)}`),
  );
  for (let step = 1; step < 2 ** doublings && step < times.length; step *= 2)
    ids = number(ids.map((id, i) => `${id} ${ids[i + step] ?? -1}`));
  return new Map(times.map((time, i) => [time, nth(ids, i)]));
};

/** Finds every state in which a given key is wanted next; of places where the music goes on alike, those nearest to the places named. */
const landings = (
  wanted: readonly Wanted[],
  right: HandMap,
  left: HandMap,
  width: number,
  doublings: number,
): Landings => {
  const going = continuations(wanted, doublings);
  const byKey = new Map<number, Map<string, Landing[]>>();
  for (const [hand, map] of [
    ["right", right],
    ["left", left],
  ] as const) {
    map.moments.forEach((moment, m) =>
      moment.forEach((note, bit) => {
        const { midi } = nth(wanted, note);
        const own = midi * 2 + (hand === "right" ? 0 : 1);
        const alike = byKey.get(own) ?? new Map<string, Landing[]>();
        byKey.set(own, alike);
        const kind = `${going.get(nth(map.times, m))} ${bit}`;
        const list = alike.get(kind);
        if (list === undefined) alike.set(kind, [{ moment: m, bit, note }]);
        else list.push({ moment: m, bit, note });
      }),
    );
  }
  return (key, shift, from, land) => {
    for (const [hand, own, other] of [
      ["right", right, left],
      ["left", left, right],
    ] as const) {
      if (key.hand !== undefined && key.hand !== hand) continue;
      const kinds = byKey.get((key.midi - shift[hand]) * 2 + (hand === "right" ? 0 : 1));
      for (const place of kinds === undefined ? [] : [...kinds.values()].flatMap((alike) => nearest(alike, from))) {
        const time = nth(own.times, place.moment);
        const start = nth(own.base, place.moment);
        const size = nth(own.moments, place.moment).length;
        const [low, high] = standing(other, time);
        const alone = nth(other.base, -1);
        for (let o = low; o <= alone; o++) {
          // Beside the places that are near in time, the one behind the last note: then the other hand rests.
          if (o > high) o = alone;
          for (let mask = 0; mask < 2 ** size - 1; mask++) {
            if ((mask & (1 << place.bit)) !== 0) continue;
            const to = after(own, start + mask, place.bit);
            land(hand === "right" ? to * width + o : o * width + to, place.note);
          }
        }
      }
    }
  };
};

/** Of places in order the first, after which there is most left to play, and those before and behind each note named. */
const nearest = (places: readonly Landing[], from: readonly number[]): readonly Landing[] => {
  if (places.length <= 2) return places;
  const chosen = new Set(places.slice(0, 1));
  for (const note of from) {
    let [low, high] = [0, places.length];
    while (low < high) {
      const middle = (low + high) >> 1;
      if (nth(places, middle).note < note) low = middle + 1;
      else high = middle;
    }
    // The nearest one behind, and two ahead: the next may be the one that is being played.
    for (const place of [places[low - 1], places[low], places[low + 1]]) if (place !== undefined) chosen.add(place);
  }
  return [...chosen];
};

/** The first and last place where one hand may stand while the other is about to play at a time. */
const standing = (map: HandMap, time: number): readonly [number, number] => {
  const { times, base } = map;
  let [low, high] = [0, times.length - 1];
  while (low < high) {
    const middle = (low + high) >> 1;
    if (nth(times, middle) >= time - APART) high = middle;
    else low = middle + 1;
  }
  let last = low;
  while (nth(times, last) <= time + APART) last++;
  return [nth(base, low), nth(base, last)];
};
