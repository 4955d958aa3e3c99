import { nth } from "../ground/list.ts";
import { step } from "../ground/watch.ts";
import type { Model } from "./model.ts";
import { CRUSHED, FREE, FREE_OF_CHARGE, isApart, MOVED, SLIDE } from "./model.ts";
import type { Passage } from "./passage.ts";
import { byteAt, costAt, fingerOf, gripsAt, stepAt, sumAt } from "./reading.ts";
import type { FingeredKey } from "./rules.ts";

const IMPOSSIBLE = 1e12;
const NO_CHARGE = /* @__PURE__ */ new Int32Array(125);

const colourOf = (p: Passage, i: number): number => byteAt(p.allBlack, i) + 1;

/** What the note rules charge a note that is struck by itself, by finger. */
export const noteTable = (model: Model, p: Passage, i: number, note: number, cyclic: boolean): Int32Array => {
  const { length } = p;
  const [previous, next] = [(i + length - 1) % length, (i + 1) % length];
  // Across a rest there is no neighbour.
  const before = (i > 0 || cyclic) && p.kinds[i] !== FREE ? colourOf(p, previous) : 0;
  const after = (i < length - 1 || cyclic) && p.kinds[next] !== FREE ? colourOf(p, next) : 0;
  return model.note(before, byteAt(p.black, note), after, byteAt(p.role, note));
};

/** The keys under the hand as the rules of chords see them. */
export const keysOf = (p: Passage, i: number, grip: number): readonly FingeredKey[] => {
  const { fingers, width } = gripsAt(p.grips, i);
  return (p.moments[i]?.keys ?? []).map(({ note }, k) => ({
    finger: fingerOf(byteAt(fingers, grip * width + k) + 1),
    black: p.black[note] === 1,
  }));
};

/** Semitones between neighbouring keys under the hand. */
export const gapsOf = (p: Passage, i: number): readonly number[] => {
  const keys = p.moments[i]?.keys ?? [];
  return keys.slice(1).map(({ note }, k) => (p.keys[note] ?? 0) - (p.keys[keys[k]?.note ?? note] ?? 0));
};

// What chords cost by themselves, for each model: they come again and again.
const chordTables = new WeakMap<Model, Map<string, Int32Array>>();
const MOST_CHORDS = 4096;

const chordTable = (model: Model, p: Passage, i: number): Int32Array => {
  let known = chordTables.get(model);
  if (known === undefined) chordTables.set(model, (known = new Map()));
  const grips = gripsAt(p.grips, i);
  const gaps = gapsOf(p, i);
  let blacks = 0;
  let free = 1;
  for (const { note } of p.moments[i]?.keys ?? []) {
    blacks = blacks * 2 + byteAt(p.black, note);
    if (p.allowed[note] !== 31) free = 0;
  }
  const name = `${gaps.join()} ${blacks} ${grips.width}`;
  const before = free === 1 ? known.get(name) : undefined;
  if (before !== undefined) return before;
  const table = Int32Array.from({ length: grips.count }, (_, grip) => model.chord(keysOf(p, i, grip), gaps));
  if (free === 1 && known.size < MOST_CHORDS) known.set(name, table);
  return table;
};

// And what rules of single notes charge the notes of a chord.
const withNotes = (model: Model, p: Passage, i: number, chord: Int32Array): Int32Array => {
  const { count, width, fingers } = gripsAt(p.grips, i);
  let table = chord;
  (p.moments[i]?.keys ?? []).forEach(({ note, struck }, k) => {
    const charges = struck ? model.chordNote(byteAt(p.black, note), byteAt(p.role, note)) : FREE_OF_CHARGE;
    if (charges === FREE_OF_CHARGE) return;
    if (table === chord) table = Int32Array.from(chord);
    for (let g = 0; g < count; g++) table[g] = costAt(table, g) + costAt(charges, byteAt(fingers, g * width + k));
  });
  return table;
};

/** What a moment costs by itself, by grip. */
export const unaryTable = (model: Model, p: Passage, i: number, cyclic: boolean): Int32Array => {
  const moment = p.moments[i];
  const grips = gripsAt(p.grips, i);
  if (p.single[i] === 1 && grips.count === 5) return noteTable(model, p, i, moment?.keys[0]?.note ?? 0, cyclic);
  if (p.chord[i] === 1) return withNotes(model, p, i, chordTable(model, p, i));
  const table = grips.width > 1 ? Int32Array.from(chordTable(model, p, i)) : new Int32Array(grips.count);
  moment?.keys.forEach(({ note, struck }, k) => {
    if (!struck) return;
    const notes = noteTable(model, p, i, note, cyclic);
    for (let g = 0; g < grips.count; g++)
      table[g] = costAt(table, g) + costAt(notes, byteAt(grips.fingers, g * grips.width + k));
  });
  return table;
};

/** Whether rules look at the outermost voice as well as at the innermost: where chords are struck. */
export const inTwoVoices = (p: Passage, i: number, j: number): boolean => p.chord[i] === 1 || p.chord[j] === 1;

/** The voices in which rules look at two neighbouring moments: a slide or a crushed note leads to the nearer one alone. */
const [INNER, BOTH, OUTER] = [
  { inner: true, outer: false },
  { inner: true, outer: true },
  { inner: false, outer: true },
] as const;
export const voicesBetween = (
  p: Passage,
  i: number,
  j: number,
): { readonly inner: boolean; readonly outer: boolean } => {
  if (!inTwoVoices(p, i, j)) return INNER;
  const kind = byteAt(p.kinds, j);
  if (kind !== SLIDE && kind !== CRUSHED) return BOTH;
  return Math.abs(stepAt(p.innerMoves, j)) <= Math.abs(stepAt(p.outerMoves, j)) ? INNER : OUTER;
};

/** Places, in two neighbouring moments, of keys that sound in both, or that are one shape elsewhere, and whether they are held on. */
export const commonKeys = (
  p: Passage,
  i: number,
  j: number,
): readonly (readonly [before: number, after: number, held: boolean])[] => {
  if (p.single[i] === 1 && p.single[j] === 1) return [];
  const [before, after] = [p.moments[i]?.keys ?? [], p.moments[j]?.keys ?? []];
  if (p.kinds[j] === MOVED) return after.map((_, k) => [k, k, false] as const);
  return after.flatMap((key, b) => {
    const a = before.findIndex(({ note }) => p.keys[note] === p.keys[key.note]);
    return a < 0 ? [] : [[a, b, !key.struck] as const];
  });
};

/** What two neighbouring moments cost together, by the grip of the first and that of the second. */
export const pairTable = (model: Model, p: Passage, i: number, j: number): Int32Array => {
  const kind = byteAt(p.kinds, j);
  const inner = model.pair(stepAt(p.innerMoves, j), kind, byteAt(p.innerBlack, i), byteAt(p.innerBlack, j));
  const [from, to] = [gripsAt(p.grips, i), gripsAt(p.grips, j)];
  if (p.single[i] === 1 && p.single[j] === 1 && from.count === 5 && to.count === 5) return inner;
  const voices = voicesBetween(p, i, j);
  const outer = voices.outer
    ? model.pair(stepAt(p.outerMoves, j), kind, byteAt(p.outerBlack, i), byteAt(p.outerBlack, j))
    : undefined;
  const common = commonKeys(p, i, j);
  const table = new Int32Array(from.count * to.count);
  for (let a = 0; a < from.count; a++)
    for (let b = 0; b < to.count; b++) {
      let cost = !voices.inner ? 0 : costAt(inner, byteAt(from.inner, a) * 5 + byteAt(to.inner, b));
      if (outer !== undefined) cost += costAt(outer, byteAt(from.outer, a) * 5 + byteAt(to.outer, b));
      for (const [k, l, held] of common)
        if (from.fingers[a * from.width + k] !== to.fingers[b * to.width + l]) cost += model.change(held);
      table[a * to.count + b] = cost;
    }
  return table;
};

/** The tables of three neighbouring moments, one a voice; none where the hand is free between them. */
export interface Voices {
  readonly inner: Int32Array;
  readonly outer: Int32Array | undefined;
}

export const tripleTables = (model: Model, p: Passage, i: number, j: number, k: number): Voices | undefined => {
  if (isApart(byteAt(p.kinds, j)) || isApart(byteAt(p.kinds, k))) return undefined;
  const colours = (black: Uint8Array): number => byteAt(black, i) * 4 + byteAt(black, j) * 2 + byteAt(black, k);
  return {
    inner: model.triple(stepAt(p.innerMoves, j), stepAt(p.innerMoves, k), colours(p.innerBlack)),
    outer:
      inTwoVoices(p, i, j) || p.chord[k] === 1
        ? model.triple(stepAt(p.outerMoves, j), stepAt(p.outerMoves, k), colours(p.outerBlack))
        : undefined,
  };
};

/** What three neighbouring moments cost together, by their grips. */
const tripleTable = (model: Model, p: Passage, i: number, j: number, k: number): Int32Array => {
  const voices = tripleTables(model, p, i, j, k);
  const [first, middle, last] = [gripsAt(p.grips, i), gripsAt(p.grips, j), gripsAt(p.grips, k)];
  const size = first.count * middle.count * last.count;
  if (voices === undefined) return size <= 125 ? NO_CHARGE : new Int32Array(size);
  const { inner, outer } = voices;
  if (outer === undefined && first.width + middle.width + last.width === 3 && size === 125) return inner;
  const table = new Int32Array(size);
  let at = 0;
  for (let a = 0; a < first.count; a++)
    for (let b = 0; b < middle.count; b++) {
      const fromInner = byteAt(first.inner, a) * 25 + byteAt(middle.inner, b) * 5;
      const fromOuter = byteAt(first.outer, a) * 25 + byteAt(middle.outer, b) * 5;
      for (let c = 0; c < last.count; c++)
        table[at++] =
          costAt(inner, fromInner + byteAt(last.inner, c)) +
          (outer === undefined ? 0 : costAt(outer, fromOuter + byteAt(last.outer, c)));
    }
  return table;
};

/**
 * The best way through an open passage, one grip a moment: exact, by dynamic programming from the end over pairs of grips, so that
 * every rule sees its three moments. Ties go to the way with the lower finger at the first note where two differ.
 */
export const solveOpen = (model: Model, p: Passage): Uint8Array => {
  const { length, grips } = p;
  if (length === 1) return nth(solveRanked(model, p, 1, false), 0);
  const choice = new Uint8Array(length * 100);
  let ahead = new Float64Array(100);
  let here = new Float64Array(100);
  for (let i = length - 1; i > 0; i--) {
    step();
    const alone = unaryTable(model, p, i, false);
    const pairs = pairTable(model, p, i - 1, i);
    const triples = i < length - 1 ? tripleTable(model, p, i - 1, i, i + 1) : NO_CHARGE;
    const [before, now] = [gripsAt(grips, i - 1).count, gripsAt(grips, i).count];
    const after = i < length - 1 ? gripsAt(grips, i + 1).count : 1;
    for (let b = 0; b < now; b++) {
      const onward = b * after;
      for (let a = 0; a < before; a++) {
        const state = a * now + b;
        const base = state * after;
        let least = IMPOSSIBLE;
        let best = 0;
        for (let c = 0; c < after; c++) {
          const cost = costAt(triples, base + c) + sumAt(ahead, onward + c);
          if (cost < least) {
            least = cost;
            best = c;
          }
        }
        choice[i * 100 + state] = best;
        here[state] = least + costAt(pairs, state) + costAt(alone, b);
      }
    }
    [ahead, here] = [here, ahead];
  }
  const alone = unaryTable(model, p, 0, false);
  const [first, second] = [gripsAt(grips, 0).count, gripsAt(grips, 1).count];
  let least = Number.POSITIVE_INFINITY;
  let [a, b] = [0, 0];
  for (let s = 0; s < first * second; s++) {
    const total = sumAt(ahead, s) + costAt(alone, Math.floor(s / second));
    if (total < least) {
      least = total;
      [a, b] = [Math.floor(s / second), s % second];
    }
  }
  const way = new Uint8Array(length);
  way[0] = a;
  for (let i = 1; i < length; i++) {
    way[i] = b;
    const next = byteAt(choice, i * 100 + a * gripsAt(grips, i).count + b);
    [a, b] = [b, next];
  }
  return way;
};

/**
 * The best way through a passage of two moments or more that leads back to itself without end: exact, one programme for each pair of grips on the first
 * two that may still be the best, by what the passage costs when its end leads wherever that is cheapest. Ties as in {@link solveOpen}.
 */
export const solveCycle = (model: Model, p: Passage): Uint8Array => {
  const { length } = p;
  const at = (i: number): number => (i + length) % length;
  const count = (i: number): number => gripsAt(p.grips, at(i)).count;
  const moments = Array.from({ length }, (_, i) => ({
    alone: unaryTable(model, p, i, true),
    pairs: pairTable(model, p, at(i - 1), i),
    triples: tripleTable(model, p, at(i - 2), at(i - 1), i),
  }));
  const [opens, follows] = [nth(moments, 0), nth(moments, 1)];
  const choices = moments.map((_, i) => new Uint8Array(count(i - 2) * count(i - 1)));
  const openings = count(0) * count(1);
  const [last, firsts, seconds] = [count(-1), count(0), count(1)];
  const closing = (state: number, opening: number): number => {
    const b = state % last;
    const first = Math.floor(opening / seconds);
    return (
      costAt(opens.pairs, b * firsts + first) +
      costAt(opens.triples, state * firsts + first) +
      costAt(follows.triples, b * openings + opening)
    );
  };
  // What follows the first two moments costs, by their grips, where the end leads to an opening, or to whichever is cheapest there.
  const onward = (opening: number | undefined): Float64Array => {
    step();
    let ahead = new Float64Array(count(-2) * last);
    for (let state = 0; state < ahead.length; state++) {
      let least = opening === undefined ? Number.POSITIVE_INFINITY : closing(state, opening);
      if (opening === undefined) for (let o = 0; o < openings; o++) least = Math.min(least, closing(state, o));
      ahead[state] = least;
    }
    for (let i = length - 1; i >= 2; i--) {
      const { alone, pairs, triples } = nth(moments, i);
      const chosen = nth(choices, i);
      const [middle, now] = [count(i - 1), count(i)];
      const here = new Float64Array(count(i - 2) * middle);
      for (let state = 0; state < here.length; state++) {
        const base = (state % middle) * now;
        let least = Number.POSITIVE_INFINITY;
        for (let c = 0; c < now; c++) {
          const cost =
            costAt(alone, c) + costAt(pairs, base + c) + costAt(triples, state * now + c) + sumAt(ahead, base + c);
          if (cost < least) {
            least = cost;
            chosen[state] = c;
          }
        }
        here[state] = least;
      }
      ahead = here;
    }
    return ahead;
  };
  const open = onward(undefined);
  const own = (opening: number): number =>
    costAt(opens.alone, Math.floor(opening / count(1))) +
    costAt(follows.alone, opening % count(1)) +
    costAt(follows.pairs, opening);
  const bounds = Float64Array.from({ length: openings }, (_, opening) => own(opening) + sumAt(open, opening));
  let [least, best] = [Number.POSITIVE_INFINITY, 0];
  let way = new Uint8Array(length);
  for (const opening of [...bounds.keys()].sort((a, b) => sumAt(bounds, a) - sumAt(bounds, b))) {
    if (sumAt(bounds, opening) > least) break;
    const cost = own(opening) + sumAt(onward(opening), opening);
    if (cost > least || (cost === least && opening > best)) continue;
    [least, best] = [cost, opening];
    way = new Uint8Array(length);
    [way[0], way[1]] = [Math.floor(opening / count(1)), opening % count(1)];
    for (let i = 2; i < length; i++)
      way[i] = byteAt(nth(choices, i), byteAt(way, i - 2) * count(i - 1) + byteAt(way, i - 1));
  }
  return way;
};

interface Solution {
  readonly way: Uint8Array;
  readonly cost: number;
}

interface Ranked {
  readonly cost: number;
  /** The grip after the state's two, and its place in the list of the state that follows; absent at the end. */
  readonly next?: number;
  readonly rank?: number;
}

/** By the grips of two moments, the best ways on. */
type Lists = readonly (readonly Ranked[])[];

// Sorting is stable, and all lists are filled in the order of their grips: so ties stay.
const byCost = (a: { readonly cost: number }, b: { readonly cost: number }): number => a.cost - b.cost;

/**
 * The best ways in order, all different: exact, keeping the best continuations of every pair of grips. With `cyclic` the passage repeats
 * without end, its last moment leading to its first, one programme for each pair of grips on the first two. Ties as in {@link solveOpen}.
 */
export const solveRanked = (model: Model, p: Passage, count: number, cyclic: boolean): readonly Uint8Array[] => {
  const found = p.length === 1 ? rankedMoment(model, p, cyclic) : rankedPassage(model, p, count, cyclic);
  return [...found]
    .sort(byCost)
    .slice(0, count)
    .map(({ way }) => way);
};

// A note that repeats without end follows itself at no charge; it is its own neighbour.
const rankedMoment = (model: Model, p: Passage, cyclic: boolean): readonly Solution[] =>
  Array.from(unaryTable(model, p, 0, cyclic), (cost, grip) => ({ way: Uint8Array.of(grip), cost }));

const rankedPassage = (model: Model, p: Passage, count: number, cyclic: boolean): readonly Solution[] => {
  const alone = unaryTable(model, p, 0, cyclic);
  const open = cyclic ? undefined : rankedLists(model, p, count, undefined);
  const [first, second] = [gripsAt(p.grips, 0).count, gripsAt(p.grips, 1).count];
  return Array.from({ length: first * second }, (_, state) => {
    const lists = open ?? rankedLists(model, p, count, state);
    return nth(nth(lists, 1), state).map(({ cost }, rank) => ({
      cost: cost + costAt(alone, Math.floor(state / second)),
      way: trace(p, lists, state, rank),
    }));
  }).flat();
};

// The lists of moment i hold, by the grips of moments i - 1 and i, the best costs from moment i to the end.
const rankedLists = (model: Model, p: Passage, count: number, opening: number | undefined): readonly Lists[] => {
  const { length, grips } = p;
  const lists: (readonly Ranked[])[][] = [];
  for (let i = length - 1; i >= 1; i--) {
    const alone = unaryTable(model, p, i, opening !== undefined);
    const pairs = pairTable(model, p, i - 1, i);
    const triples = i < length - 1 ? tripleTable(model, p, i - 1, i, i + 1) : undefined;
    const [before, now] = [gripsAt(grips, i - 1).count, gripsAt(grips, i).count];
    const after = (grips[i + 1] ?? ANY_COUNT).count;
    lists[i] = Array.from({ length: before * now }, (_, state) => {
      const b = state % now;
      const here = costAt(pairs, state) + costAt(alone, b);
      if (triples === undefined)
        return [{ cost: here + (opening === undefined ? 0 : closingCost(model, p, state, opening)) }];
      return Array.from({ length: after }, (_, next) =>
        nth(nth(lists, i + 1), b * after + next).map(({ cost }, rank) => ({
          cost: cost + costAt(triples, state * after + next) + here,
          next,
          rank,
        })),
      )
        .flat()
        .sort(byCost)
        .slice(0, count);
    });
  }
  return lists;
};

const ANY_COUNT = { count: 1 } as const;

// From the last two grips round to the first two: what the last and the first, each with its neighbours, cost together.
const closingCost = (model: Model, p: Passage, state: number, opening: number): number => {
  const last = p.length - 1;
  const [first, second, final] = [gripsAt(p.grips, 0), gripsAt(p.grips, 1), gripsAt(p.grips, last)];
  const b = state % final.count;
  const a = Math.floor(opening / second.count);
  return (
    costAt(tripleTable(model, p, last - 1, last, 0), state * first.count + a) +
    costAt(pairTable(model, p, last, 0), b * first.count + a) +
    costAt(tripleTable(model, p, last, 0, 1), b * first.count * second.count + opening)
  );
};

const trace = (p: Passage, lists: readonly Lists[], opening: number, rank: number): Uint8Array => {
  const way = new Uint8Array(p.length);
  const second = gripsAt(p.grips, 1).count;
  let [a, b] = [Math.floor(opening / second), opening % second];
  let place = rank;
  way[0] = a;
  for (let i = 1; i < p.length; i++) {
    way[i] = b;
    const entry = nth(nth(lists, i), a * gripsAt(p.grips, i).count + b)[place];
    [a, b] = [b, entry?.next ?? 0];
    place = entry?.rank ?? 0;
  }
  return way;
};

/** The fingers of a way through a passage, by note. */
export const fingersOfWay = (p: Passage, way: Uint8Array, notes: number): Uint8Array => {
  const fingers = new Uint8Array(notes);
  for (let i = 0; i < p.length; i++) {
    const grips = gripsAt(p.grips, i);
    const at = byteAt(way, i) * grips.width;
    const keys = p.moments[i]?.keys ?? [];
    for (let k = 0; k < keys.length; k++) {
      const key = keys[k];
      if (key?.struck) fingers[key.note] = byteAt(grips.fingers, at + k) + 1;
    }
  }
  return fingers;
};
