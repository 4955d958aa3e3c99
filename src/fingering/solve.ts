import type { Model } from "./model.ts";

/** What the solver knows of a passage: arrays over its notes. */
export interface Passage {
  readonly length: number;
  /** 1 where the key is black. */
  readonly black: Uint8Array;
  /** Semitones from the note before, for a right hand, clamped; at 0 the step from the last note when cyclic. */
  readonly moves: Int8Array;
  /** How each note follows the one before: an index of MOVE_KINDS. */
  readonly kinds: Uint8Array;
  /** What the note is to its scale: {@link roleOf}. */
  readonly role: Uint8Array;
  /** Bit f - 1 is set where finger f may play. */
  readonly allowed: Uint8Array;
}

/** Fingers 1 to 5 with what they cost. */
export interface Solution {
  readonly fingers: Uint8Array;
  readonly cost: number;
}

const IMPOSSIBLE = 1e12;

/**
 * The best fingering of an open passage: exact, by dynamic programming from the end over pairs of fingers, so that
 * every rule sees its three notes. Ties go to the fingering with the lower finger at the first note where two differ.
 *
 * @param from - first note
 * @param to - one past the last note; costs look at no note outside
 */
export const solveOpen = (model: Model, passage: Passage, from: number, to: number): Solution => {
  const { black, allowed, role } = passage;
  const length = to - from;
  const noteTable = (i: number): Int32Array =>
    model.note(i > from ? (black[i - 1] as number) + 1 : 0, black[i] as number, i < to - 1 ? (black[i + 1] as number) + 1 : 0, role[i] as number);
  if (length === 1) {
    const notes = noteTable(from);
    let best = -1;
    for (let f = 0; f < 5; f++) {
      if (((allowed[from] as number) >> f) & 1 && (best < 0 || (notes[f] as number) < (notes[best] as number))) best = f;
    }
    return { fingers: Uint8Array.of(best + 1), cost: notes[best] as number };
  }
  const choice = new Uint8Array(length * 25);
  let ahead = new Float64Array(25);
  let here = new Float64Array(25);
  for (let i = to - 1; i > from; i--) {
    const notes = noteTable(i);
    const pairs = pairTable(model, passage, i, i - 1);
    const last = i === to - 1;
    const triples = last ? undefined : tripleTable(model, passage, i - 1, i, i + 1);
    const mayLeave = allowed[i - 1] as number;
    const mayPlay = allowed[i] as number;
    const row = (i - from) * 25;
    for (let b = 0; b < 5; b++) {
      const playable = (mayPlay >> b) & 1;
      for (let a = 0; a < 5; a++) {
        const state = a * 5 + b;
        if (!playable || !((mayLeave >> a) & 1)) {
          here[state] = IMPOSSIBLE;
          continue;
        }
        let least = IMPOSSIBLE;
        if (triples === undefined) least = 0;
        else {
          const base = state * 5;
          const onward = b * 5;
          for (let c = 0; c < 5; c++) {
            const cost = (triples[base + c] as number) + (ahead[onward + c] as number);
            if (cost < least) {
              least = cost;
              choice[row + state] = c;
            }
          }
        }
        here[state] = least + (pairs[state] as number) + (notes[b] as number);
      }
    }
    [ahead, here] = [here, ahead];
  }
  const notes = noteTable(from);
  let cost = Infinity;
  let state = 0;
  for (let s = 0; s < 25; s++) {
    const total = (ahead[s] as number) + (notes[Math.floor(s / 5)] as number);
    if (total < cost) {
      cost = total;
      state = s;
    }
  }
  const fingers = new Uint8Array(length);
  fingers[0] = Math.floor(state / 5) + 1;
  fingers[1] = (state % 5) + 1;
  for (let i = 2; i < length; i++) {
    const next = choice[(i - 1) * 25 + state] as number;
    fingers[i] = next + 1;
    state = (state % 5) * 5 + next;
  }
  return { fingers, cost };
};

const pairTable = (model: Model, passage: Passage, i: number, previous: number): Int32Array =>
  model.pair(passage.moves[i] as number, passage.kinds[i] as number, passage.black[previous] as number, passage.black[i] as number);

const tripleTable = (model: Model, passage: Passage, previous: number, i: number, next: number): Int32Array =>
  model.triple(
    passage.moves[i] as number,
    passage.moves[next] as number,
    (passage.black[previous] as number) * 4 + (passage.black[i] as number) * 2 + (passage.black[next] as number),
  );

interface Ranked {
  readonly cost: number;
  /** The finger after the state's two, and its place in the list of the state that follows; absent at the end. */
  readonly next?: number;
  readonly rank?: number;
}

/** By the fingers of two notes, the best ways on. */
type Lists = readonly (readonly Ranked[])[];

const byCostThenFingers = (a: Ranked & { readonly order: number }, b: Ranked & { readonly order: number }): number =>
  a.cost - b.cost || a.order - b.order || (a.rank ?? 0) - (b.rank ?? 0);

/**
 * The best fingerings in order, all different: exact, keeping the best continuations of every pair of fingers. With
 * `cyclic` the passage repeats without end, its last note leading to its first, one programme for each pair of
 * fingers on the first two notes. Ties as in {@link solveOpen}.
 */
export const solveRanked = (model: Model, passage: Passage, count: number, cyclic: boolean): readonly Solution[] => {
  if (passage.length === 1) return rankedNote(model, passage, count, cyclic);
  const found: { readonly cost: number; readonly order: number; readonly rank: number; readonly fingers: Uint8Array }[] = [];
  if (cyclic) {
    for (let state = 0; state < 25; state++) {
      const lists = rankedLists(model, passage, count, state);
      ((lists[1] as Lists)[state] as readonly Ranked[]).forEach((entry, rank) => found.push({ cost: entry.cost, order: state, rank, fingers: trace(lists, state, rank) }));
    }
  } else {
    const lists = rankedLists(model, passage, count, undefined);
    const notes = windowNote(model, passage, 0, false);
    for (let state = 0; state < 25; state++) {
      ((lists[1] as Lists)[state] as readonly Ranked[]).forEach((entry, rank) =>
        found.push({ cost: entry.cost + (notes[Math.floor(state / 5)] as number), order: state, rank, fingers: trace(lists, state, rank) }));
    }
  }
  return found.sort(byCostThenFingers).slice(0, count).map(({ cost, fingers }) => ({ cost, fingers }));
};

const rankedNote = (model: Model, passage: Passage, count: number, cyclic: boolean): readonly Solution[] => {
  const notes = windowNote(model, passage, 0, cyclic);
  // A note that repeats without end is its own neighbour.
  const around = (finger: number): number =>
    (pairTable(model, passage, 0, 0)[6 * finger] as number) + (tripleTable(model, passage, 0, 0, 0)[31 * finger] as number);
  return [0, 1, 2, 3, 4]
    .filter((finger) => (passage.allowed[0] as number) >> finger & 1)
    .map((finger) => ({ fingers: Uint8Array.of(finger + 1), cost: (notes[finger] as number) + (cyclic ? around(finger) : 0), order: finger }))
    .sort(byCostThenFingers)
    .slice(0, count)
    .map(({ cost, fingers }) => ({ cost, fingers }));
};

const windowNote = (model: Model, { black, role, length }: Passage, i: number, cyclic: boolean): Int32Array =>
  model.note(
    i > 0 || cyclic ? (black[(i + length - 1) % length] as number) + 1 : 0,
    black[i] as number,
    i < length - 1 || cyclic ? (black[(i + 1) % length] as number) + 1 : 0,
    role[i] as number,
  );

// The lists of note i hold, by the fingers of notes i - 1 and i, the best costs from note i to the end.
const rankedLists = (model: Model, passage: Passage, count: number, opening: number | undefined): readonly Lists[] => {
  const { length, allowed } = passage;
  const cyclic = opening !== undefined;
  const mayPlay = (i: number, finger: number): boolean => ((allowed[i] as number) >> finger & 1) === 1;
  const lists: (readonly Ranked[])[][] = [];
  for (let i = length - 1; i >= 1; i--) {
    const notes = windowNote(model, passage, i, cyclic);
    const pairs = pairTable(model, passage, i, i - 1);
    const triples = i < length - 1 ? tripleTable(model, passage, i - 1, i, i + 1) : undefined;
    lists[i] = Array.from({ length: 25 }, (_, state) => {
      const [a, b] = [Math.floor(state / 5), state % 5];
      if (!mayPlay(i - 1, a) || !mayPlay(i, b)) return [];
      const here = (pairs[state] as number) + (notes[b] as number);
      if (triples === undefined) return [{ cost: here + (cyclic ? closingCost(model, passage, state, opening) : 0) }];
      const onward: (Ranked & { readonly order: number })[] = [];
      for (let c = 0; c < 5; c++) {
        ((lists[i + 1] as Lists)[b * 5 + c] as readonly Ranked[]).forEach((entry, rank) =>
          onward.push({ cost: entry.cost + (triples[state * 5 + c] as number) + here, next: c, order: c, rank }));
      }
      return onward.sort(byCostThenFingers).slice(0, count);
    });
  }
  return lists;
};

// From the last two fingers round to the first two: what the last, the first and their neighbours cost together.
const closingCost = (model: Model, passage: Passage, state: number, opening: number): number => {
  const last = passage.length - 1;
  const [b, first] = [state % 5, Math.floor(opening / 5)];
  return (
    (tripleTable(model, passage, last - 1, last, 0)[state * 5 + first] as number) +
    (pairTable(model, passage, 0, last)[b * 5 + first] as number) +
    (windowNote(model, passage, 0, true)[first] as number) +
    (tripleTable(model, passage, last, 0, 1)[b * 25 + opening] as number)
  );
};

const trace = (lists: readonly Lists[], opening: number, rank: number): Uint8Array => {
  const fingers = new Uint8Array(lists.length);
  fingers[0] = Math.floor(opening / 5) + 1;
  let state = opening;
  let place = rank;
  for (let i = 1; i < lists.length; i++) {
    fingers[i] = (state % 5) + 1;
    const entry = ((lists[i] as Lists)[state] as readonly Ranked[])[place] as Ranked;
    state = (state % 5) * 5 + (entry.next ?? 0);
    place = entry.rank ?? 0;
  }
  return fingers;
};
