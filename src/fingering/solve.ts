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
  const { black, allowed } = passage;
  const length = to - from;
  const noteTable = (i: number): Int32Array =>
    model.note(i > from ? (black[i - 1] as number) + 1 : 0, black[i] as number, i < to - 1 ? (black[i + 1] as number) + 1 : 0);
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
    const mayFollow = last ? 1 : (allowed[i + 1] as number);
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
            if (!((mayFollow >> c) & 1)) continue;
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

/**
 * The best fingering of a passage that repeats without end, its last note leading to its first: exact, one programme
 * for each pair of fingers on the first two notes. Ties as in {@link solveOpen}.
 */
export const solveCyclic = (model: Model, passage: Passage): Solution => {
  const { length, allowed } = passage;
  let best: Solution | undefined;
  for (let first = 0; first < 5; first++) {
    if (!(((allowed[0] as number) >> first) & 1)) continue;
    for (let second = 0; second < (length === 1 ? 1 : 5); second++) {
      if (length > 1 && !(((allowed[1] as number) >> second) & 1)) continue;
      const found = length <= 2 ? shortCycle(model, passage, first, second) : cycleFrom(model, passage, first, second);
      if (best === undefined || found.cost < best.cost) best = found;
    }
  }
  return best as Solution;
};

const shortCycle = (model: Model, passage: Passage, first: number, second: number): Solution => {
  const fingers = passage.length === 1 ? Uint8Array.of(first + 1) : Uint8Array.of(first + 1, second + 1);
  return { fingers, cost: costOf(model, passage, fingers, 0, passage.length, true) };
};

const cycleFrom = (model: Model, passage: Passage, first: number, second: number): Solution => {
  const { length, black, allowed } = passage;
  const noteTable = (i: number): Int32Array =>
    model.note((black[(i + length - 1) % length] as number) + 1, black[i] as number, (black[(i + 1) % length] as number) + 1);
  const choice = new Uint8Array(length * 25);
  let ahead = new Float64Array(25).fill(IMPOSSIBLE);
  let here = new Float64Array(25);
  // The state before the first note of the next round: any finger, then the first finger again.
  const opening = tripleTable(model, passage, length - 1, 0, 1);
  const closing = pairTable(model, passage, 0, length - 1);
  const firstCost = noteTable(0)[first] as number;
  for (let a = 0; a < 5; a++) {
    ahead[a * 5 + first] = (opening[a * 25 + first * 5 + second] as number) + (closing[a * 5 + first] as number) + firstCost;
  }
  for (let i = length - 1; i >= 1; i--) {
    const notes = noteTable(i);
    const pairs = pairTable(model, passage, i, i - 1);
    const triples = tripleTable(model, passage, i - 1, i, (i + 1) % length);
    for (let state = 0; state < 25; state++) {
      const b = state % 5;
      let least = IMPOSSIBLE;
      if (((allowed[i] as number) >> b) & 1) {
        for (let c = 0; c < 5; c++) {
          const cost = (triples[state * 5 + c] as number) + (ahead[b * 5 + c] as number);
          if (cost < least) {
            least = cost;
            choice[i * 25 + state] = c;
          }
        }
      }
      here[state] = least >= IMPOSSIBLE ? IMPOSSIBLE : least + (pairs[state] as number) + (notes[b] as number);
    }
    [ahead, here] = [here, ahead];
  }
  const fingers = new Uint8Array(length);
  fingers[0] = first + 1;
  fingers[1] = second + 1;
  let state = first * 5 + second;
  const cost = ahead[state] as number;
  for (let i = 2; i < length; i++) {
    const next = choice[(i - 1) * 25 + state] as number;
    fingers[i] = next + 1;
    state = (state % 5) * 5 + next;
  }
  return { fingers, cost };
};

/** The cost of given fingers over the notes from `from` to one before `to`. */
export const costOf = (model: Model, passage: Passage, fingers: ArrayLike<number>, from: number, to: number, cyclic: boolean): number => {
  const { black } = passage;
  let cost = 0;
  for (let i = from; i < to; i++) {
    const previous = i > from ? i - 1 : cyclic ? to - 1 : -1;
    const next = i < to - 1 ? i + 1 : cyclic ? from : -1;
    const b = (fingers[i] as number) - 1;
    const before = previous < 0 ? 0 : (black[previous] as number) + 1;
    const after = next < 0 ? 0 : (black[next] as number) + 1;
    cost += model.note(before, black[i] as number, after)[b] as number;
    if (previous < 0) continue;
    const a = (fingers[previous] as number) - 1;
    cost += pairTable(model, passage, i, previous)[a * 5 + b] as number;
    if (next < 0) continue;
    cost += tripleTable(model, passage, previous, i, next)[a * 25 + b * 5 + (fingers[next] as number) - 1] as number;
  }
  return cost;
};
