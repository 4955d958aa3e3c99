import type { Hand } from "../../event/index.ts";
import { nth } from "../../ground/list.ts";
import { APART, COST } from "./cost.ts";
import type { HandMap, Struck, Wanted } from "./places.ts";
import { mapHand } from "./places.ts";

/** The wanted notes laid out for the search. */
export interface Board {
  readonly wanted: readonly Wanted[];
  readonly shift: Readonly<Record<Hand, number>>;
  readonly right: HandMap;
  readonly left: HandMap;
  /** By note: the key that it is played with, when it sounds, whether the left hand has it, what it costs where it is missed. */
  readonly midi: Int32Array;
  readonly sounds: Float64Array;
  readonly isLeft: Uint8Array;
  readonly missing: Float64Array;
  /** Whether there are grace notes. */
  readonly graces: boolean;
}

export const boardOf = (wanted: readonly Wanted[], shift: Readonly<Record<Hand, number>>): Board => ({
  wanted,
  shift,
  right: mapHand(wanted, "right"),
  left: mapHand(wanted, "left"),
  midi: Int32Array.from(wanted, ({ midi, hand }) => midi + shift[hand]),
  sounds: Float64Array.from(wanted, ({ sounds }) => sounds),
  isLeft: Uint8Array.from(wanted, ({ hand }) => (hand === "left" ? 1 : 0)),
  missing: Float64Array.from(wanted, ({ grace }) => (grace === true ? COST.missedGrace : COST.missed)),
  graces: wanted.some(({ grace }) => grace === true),
});

/** Notes that may come next, hands no further apart than allowed; lists that the next call overwrites. */
export interface Expander {
  readonly notes: Int32Array;
  /** By how much the place of the note's hand moves on. */
  readonly by: Int32Array;
  /** How many there are. */
  from(right: number, left: number): number;
}

const MOST_NEXT = 32;

export const expander = ({ right, left }: Board): Expander => {
  const [notes, by] = [new Int32Array(MOST_NEXT), new Int32Array(MOST_NEXT)];
  let count = 0;
  const add = (map: HandMap, moment: number, mask: number): void => {
    const begin = map.begins[moment] ?? 0;
    const size = (map.begins[moment + 1] ?? begin) - begin;
    for (let bit = 0; bit < size; bit++) {
      if ((mask & (1 << bit)) !== 0) continue;
      notes[count] = map.notes[begin + bit] ?? 0;
      by[count++] = 1 << bit;
    }
  };
  return {
    notes,
    by,
    from: (r, l) => {
      const rm = right.momentAt[r] ?? 0;
      const lm = left.momentAt[l] ?? 0;
      const rt = right.times[rm] ?? Infinity;
      const lt = left.times[lm] ?? Infinity;
      count = 0;
      if (rt <= lt + APART) add(right, rm, r - (right.base[rm] ?? 0));
      if (lt <= rt + APART) add(left, lm, l - (left.base[lm] ?? 0));
      return count;
    },
  };
};

/** The first note of the moments before which the hands stand. */
export const firstAhead = ({ wanted, right, left }: Board, r: number, l: number): number =>
  Math.min(
    ...[[right, r] as const, [left, l] as const].map(
      ([map, place]) => map.notes[map.begins[map.momentAt[place] ?? 0] ?? 0] ?? wanted.length,
    ),
  );

/** Keys that are looked ahead. */
export const AHEAD = 12;

/** By the keys after a landing, the first of them at 1: how many may find nothing there so far, and how many notes may have been passed over. */
export interface Hope {
  readonly strangers: readonly number[];
  readonly passed: readonly number[];
}

/**
 * What a landing must show to be of any use. It costs so much; each of the next keys that the music there doesn't have costs four; and as soon
 * as the sum isn't below what anybody would have paid who had not gone there, and a jump later, it is left. That holds for as long
 * as it can't be the cheapest reading itself.
 */
export const hopeOf = (
  landed: number,
  ceiling: number,
  outside: number,
  onward: readonly number[],
  graces: boolean,
): Hope => {
  const [strangers, passed]: [number[], number[]] = [[], []];
  for (let i = 1; i <= AHEAD + 1; i++) {
    const inside = onward[i] ?? Infinity;
    if (inside >= landed) break;
    const budget = Math.min(inside + ceiling, outside + COST.aside * i + COST.leave) - landed;
    strangers.push(Math.ceil(budget / COST.extra) - 1);
    passed.push(Math.ceil(budget / (graces ? COST.missedGrace : COST.missed)));
  }
  return { strangers, passed };
};

/** Finds the states in which a key is wanted next and from which it is worth going on. */
export type Landings = (
  key: number,
  from: readonly number[],
  hope: Hope,
  land: (right: number, left: number, note: number) => void,
) => void;

interface Landing {
  readonly moment: number;
  readonly bit: number;
  readonly note: number;
}

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

// Of more places than this the ones that go on best are tried, the earlier first; no piece for practice has as many, and no take may hang.
const MOST_PLACES = 64;

/** Finds every state in which a given key is wanted next; of places where the music goes on alike, those nearest to the places named. */
export const landings = (board: Board, struck: readonly Struck[], doublings: number): Landings => {
  const { wanted, right, left, shift, midi } = board;
  const going = continuations(wanted, doublings);
  const maps = { right, left };
  const byKey = new Map<string, Map<string, Landing[]>>();
  for (const hand of HANDS) {
    const map = maps[hand];
    for (let m = 0; m + 1 < map.begins.length; m++) {
      const begin = nth(map.begins, m);
      for (let rank = begin; rank < nth(map.begins, m + 1); rank++) {
        const note = nth(map.notes, rank);
        const bit = rank - begin;
        const own = `${hand} ${nth(wanted, note).midi}`;
        const alike = byKey.get(own) ?? new Map<string, Landing[]>();
        byKey.set(own, alike);
        const kind = `${going.get(nth(map.times, m))} ${bit}`;
        const list = alike.get(kind);
        if (list === undefined) alike.set(kind, [{ moment: m, bit, note }]);
        else list.push({ moment: m, bit, note });
      }
    }
  }
  const kinds = new Map([...byKey].map(([own, alike]) => [own, [...alike.values()]]));

  /** Whether a key is among some notes of a hand. */
  const has = (map: HandMap, begin: number, end: number, key: number): boolean => {
    const last = Math.min(end, map.notes.length);
    for (let rank = begin; rank < last; rank++) if (midi[map.notes[rank] ?? 0] === key) return true;
    return false;
  };

  /** How many of the next keys the music there doesn't have within reach; Infinity as soon as there is no hope. */
  const strangersOf = (j: number, hand: Hand, place: Landing, { strangers, passed }: Hope): number => {
    const [own, other] = hand === "right" ? [right, left] : [left, right];
    const time = own.times[place.moment] ?? 0;
    const [begin, end] = [own.begins[place.moment] ?? 0, own.begins[place.moment + 1] ?? 0];
    const low = momentFrom(other, time - APART);
    let high = low;
    while ((other.times[high] ?? Infinity) <= time + APART) high++;
    const [from, to] = [other.begins[low] ?? 0, other.begins[Math.min(high + 1, other.begins.length - 1)] ?? 0];
    let count = 0;
    for (let i = 1; i < strangers.length; i++) {
      const key = struck[j + i];
      if (key === undefined) break;
      const further = i + (passed[i] ?? 0);
      const inOwn = (key.hand === undefined || key.hand === hand) && has(own, begin, end + further, key.midi);
      if (inOwn || (key.hand !== hand && has(other, from, to + further, key.midi))) continue;
      count++;
      if (count > (strangers[i] ?? 0)) return Infinity;
    }
    return count;
  };

  return (j, from, hope, land) => {
    const key = nth(struck, j);
    const found: { readonly hand: Hand; readonly place: Landing; readonly strange: number }[] = [];
    for (const hand of HANDS) {
      if (key.hand !== undefined && key.hand !== hand) continue;
      for (const alike of kinds.get(`${hand} ${key.midi - shift[hand]}`) ?? [])
        for (const place of nearest(alike, from)) {
          const strange = strangersOf(j, hand, place, hope);
          if (strange < Infinity) found.push({ hand, place, strange });
        }
    }
    const kept =
      found.length <= MOST_PLACES
        ? found
        : found
            .map((one) => ({ ...one, strange: strangersOf(j, one.hand, one.place, ANY) }))
            .sort((a, b) => a.strange - b.strange)
            .slice(0, MOST_PLACES);
    for (const { hand, place } of kept) {
      const [own, other] = hand === "right" ? [right, left] : [left, right];
      const start = nth(own.base, place.moment);
      const size = nth(own.begins, place.moment + 1) - nth(own.begins, place.moment);
      const [low, high] = standing(other, nth(own.times, place.moment));
      const alone = nth(other.base, -1);
      for (let o = low; o <= alone; o++) {
        // Beside the places that are near in time, the one behind the last note: then the other hand rests.
        if (o > high) o = alone;
        for (let mask = 0; mask < 2 ** size - 1; mask++) {
          if ((mask & (1 << place.bit)) !== 0) continue;
          const to = start + mask + (1 << place.bit);
          if (hand === "right") land(to, o, place.note);
          else land(o, to, place.note);
        }
      }
    }
  };
};

// All keys that are looked ahead, whatever they find.
const ANY: Hope = {
  strangers: Array.from({ length: AHEAD + 1 }, () => AHEAD),
  passed: Array.from({ length: AHEAD + 1 }, () => 1),
};

const HANDS = ["right", "left"] as const;

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

/** The first moment that does not sound before a time. */
const momentFrom = ({ times }: HandMap, time: number): number => {
  let [low, high] = [0, times.length - 1];
  while (low < high) {
    const middle = (low + high) >> 1;
    if ((times[middle] ?? Infinity) >= time) high = middle;
    else low = middle + 1;
  }
  return low;
};

/** The first and last place where one hand may stand while the other is about to play at a time. */
const standing = (map: HandMap, time: number): readonly [number, number] => {
  const low = momentFrom(map, time - APART);
  let last = low;
  while (nth(map.times, last) <= time + APART) last++;
  return [nth(map.base, low), nth(map.base, last)];
};
