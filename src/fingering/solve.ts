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

const IMPOSSIBLE = 1e12;

/** A stretch of a passage by itself. */
export const partOf = ({ black, moves, kinds, role, allowed }: Passage, from: number, to: number): Passage => ({
  length: to - from,
  black: black.subarray(from, to),
  moves: moves.subarray(from, to),
  kinds: kinds.subarray(from, to),
  role: role.subarray(from, to),
  allowed: allowed.subarray(from, to),
});

/**
 * The best fingering of an open passage: exact, by dynamic programming from the end over pairs of fingers, so that
 * every rule sees its three notes. Ties go to the fingering with the lower finger at the first note where two differ.
 */
export const solveOpen = (model: Model, passage: Passage): Uint8Array => {
  const { length, allowed } = passage;
  if (length === 1) return solveRanked(model, passage, 1, false)[0] as Uint8Array;
  const choice = new Uint8Array(length * 25);
  let ahead = new Float64Array(25);
  let here = new Float64Array(25);
  for (let i = length - 1; i > 0; i--) {
    const notes = noteTable(model, passage, i, false);
    const pairs = pairTable(model, passage, i - 1, i);
    const triples = i < length - 1 ? tripleTable(model, passage, i - 1, i, i + 1) : NO_CHARGE;
    const mayLeave = allowed[i - 1] as number;
    const mayPlay = allowed[i] as number;
    for (let b = 0; b < 5; b++) {
      const playable = (mayPlay >> b) & 1;
      for (let a = 0; a < 5; a++) {
        const state = a * 5 + b;
        if (!playable || !((mayLeave >> a) & 1)) {
          here[state] = IMPOSSIBLE;
          continue;
        }
        const base = state * 5;
        const onward = b * 5;
        let least = IMPOSSIBLE;
        let best = 0;
        for (let c = 0; c < 5; c++) {
          const cost = (triples[base + c] as number) + (ahead[onward + c] as number);
          if (cost < least) {
            least = cost;
            best = c;
          }
        }
        choice[i * 25 + state] = best;
        here[state] = least + (pairs[state] as number) + (notes[b] as number);
      }
    }
    [ahead, here] = [here, ahead];
  }
  const notes = noteTable(model, passage, 0, false);
  let least = Infinity;
  let state = 0;
  for (let s = 0; s < 25; s++) {
    const total = (ahead[s] as number) + (notes[Math.floor(s / 5)] as number);
    if (total < least) {
      least = total;
      state = s;
    }
  }
  const fingers = new Uint8Array(length);
  fingers[0] = Math.floor(state / 5) + 1;
  for (let i = 1; i < length; i++) {
    fingers[i] = (state % 5) + 1;
    state = (state % 5) * 5 + (choice[i * 25 + state] as number);
  }
  return fingers;
};

const NO_CHARGE = new Int32Array(125);

const noteTable = (model: Model, { black, role, length }: Passage, i: number, cyclic: boolean): Int32Array => {
  const before = i > 0 || cyclic ? (black[(i + length - 1) % length] as number) + 1 : 0;
  const after = i < length - 1 || cyclic ? (black[(i + 1) % length] as number) + 1 : 0;
  return model.note(before, black[i] as number, after, role[i] as number);
};

const pairTable = (model: Model, passage: Passage, previous: number, i: number): Int32Array =>
  model.pair(
    passage.moves[i] as number,
    passage.kinds[i] as number,
    passage.black[previous] as number,
    passage.black[i] as number,
  );

const tripleTable = (model: Model, passage: Passage, previous: number, i: number, next: number): Int32Array =>
  model.triple(
    passage.moves[i] as number,
    passage.moves[next] as number,
    (passage.black[previous] as number) * 4 + (passage.black[i] as number) * 2 + (passage.black[next] as number),
  );

const mayPlay = ({ allowed }: Passage, i: number, finger: number): boolean =>
  (((allowed[i] as number) >> finger) & 1) === 1;

interface Solution {
  readonly fingers: Uint8Array;
  readonly cost: number;
}

interface Ranked {
  readonly cost: number;
  /** The finger after the state's two, and its place in the list of the state that follows; absent at the end. */
  readonly next?: number;
  readonly rank?: number;
}

/** By the fingers of two notes, the best ways on. */
type Lists = readonly (readonly Ranked[])[];

// Sorting is stable, and all lists are filled in the order of their fingers: so ties stay.
const byCost = (a: { readonly cost: number }, b: { readonly cost: number }): number => a.cost - b.cost;

/**
 * The best fingerings in order, all different: exact, keeping the best continuations of every pair of fingers. With
 * `cyclic` the passage repeats without end, its last note leading to its first, one programme for each pair of
 * fingers on the first two notes. Ties as in {@link solveOpen}.
 */
export const solveRanked = (model: Model, passage: Passage, count: number, cyclic: boolean): readonly Uint8Array[] => {
  const found =
    passage.length === 1 ? rankedNote(model, passage, cyclic) : rankedPassage(model, passage, count, cyclic);
  return [...found]
    .sort(byCost)
    .slice(0, count)
    .map(({ fingers }) => fingers);
};

// A note that repeats without end follows itself at no charge; it is its own neighbour.
const rankedNote = (model: Model, passage: Passage, cyclic: boolean): readonly Solution[] => {
  const notes = noteTable(model, passage, 0, cyclic);
  return [0, 1, 2, 3, 4]
    .filter((finger) => mayPlay(passage, 0, finger))
    .map((finger) => ({ fingers: Uint8Array.of(finger + 1), cost: notes[finger] as number }));
};

const rankedPassage = (model: Model, passage: Passage, count: number, cyclic: boolean): readonly Solution[] => {
  const notes = noteTable(model, passage, 0, cyclic);
  const open = cyclic ? undefined : rankedLists(model, passage, count, undefined);
  return Array.from({ length: 25 }, (_, state) => {
    const lists = open ?? rankedLists(model, passage, count, state);
    return ((lists[1] as Lists)[state] as readonly Ranked[]).map(({ cost }, rank) => ({
      cost: cost + (notes[Math.floor(state / 5)] as number),
      fingers: trace(lists, state, rank),
    }));
  }).flat();
};

// The lists of note i hold, by the fingers of notes i - 1 and i, the best costs from note i to the end.
const rankedLists = (model: Model, passage: Passage, count: number, opening: number | undefined): readonly Lists[] => {
  const { length } = passage;
  const lists: (readonly Ranked[])[][] = [];
  for (let i = length - 1; i >= 1; i--) {
    const notes = noteTable(model, passage, i, opening !== undefined);
    const pairs = pairTable(model, passage, i - 1, i);
    const triples = i < length - 1 ? tripleTable(model, passage, i - 1, i, i + 1) : undefined;
    lists[i] = Array.from({ length: 25 }, (_, state) => {
      const [a, b] = [Math.floor(state / 5), state % 5];
      if (!mayPlay(passage, i - 1, a) || !mayPlay(passage, i, b)) return [];
      const here = (pairs[state] as number) + (notes[b] as number);
      if (triples === undefined)
        return [{ cost: here + (opening === undefined ? 0 : closingCost(model, passage, state, opening)) }];
      return [0, 1, 2, 3, 4]
        .flatMap((next) =>
          ((lists[i + 1] as Lists)[b * 5 + next] as readonly Ranked[]).map(({ cost }, rank) => ({
            cost: cost + (triples[state * 5 + next] as number) + here,
            next,
            rank,
          })),
        )
        .sort(byCost)
        .slice(0, count);
    });
  }
  return lists;
};

// From the last two fingers round to the first two: what the last and the first, each with its neighbours, cost together.
const closingCost = (model: Model, passage: Passage, state: number, opening: number): number => {
  const last = passage.length - 1;
  const [b, first] = [state % 5, Math.floor(opening / 5)];
  return (
    (tripleTable(model, passage, last - 1, last, 0)[state * 5 + first] as number) +
    (pairTable(model, passage, last, 0)[b * 5 + first] as number) +
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
