import type { Finger } from "../event/index.ts";
import type { Model } from "./model.ts";
import { MOVE_KINDS, patternIn } from "./model.ts";
import type { FingeredKey, MoveKind, NoteWindow, PairWindow, TripleWindow } from "./rules/rule.ts";
import type { Passage } from "./solve.ts";

/** What each rule charges at each note; calls back only for charges above zero. */
export const eachCharge = (
  model: Model,
  passage: Passage,
  fingers: ArrayLike<number>,
  from: number,
  to: number,
  cyclic: boolean,
  charge: (rule: string, index: number, cost: number) => void,
): void => {
  const { black, moves, kinds, role } = passage;
  // One window of each kind serves all notes; the rules only read them.
  const [first, middle, last] = [{ ...KEY }, { ...KEY }, { ...KEY }];
  const note: Mutable<NoteWindow> = { ...KEY, previousBlack: undefined, nextBlack: undefined, tonic: false, pattern: undefined };
  const pair: Mutable<PairWindow> = { from: first, to: middle, interval: 0, move: "plain" };
  const triple: Mutable<TripleWindow> = { first, middle, last, before: 0, after: 0 };
  const read = (key: Mutable<FingeredKey>, i: number): void => {
    key.finger = fingers[i] as Finger;
    key.black = black[i] === 1;
  };
  for (let i = from; i < to; i++) {
    const previous = i > from ? i - 1 : cyclic ? to - 1 : -1;
    const next = i < to - 1 ? i + 1 : cyclic ? from : -1;
    read(middle, i);
    note.finger = middle.finger;
    note.black = middle.black;
    note.previousBlack = previous < 0 ? undefined : black[previous] === 1;
    note.nextBlack = next < 0 ? undefined : black[next] === 1;
    note.tonic = (role[i] as number) % 2 === 1;
    note.pattern = patternIn(role[i] as number);
    if (previous >= 0) {
      read(first, previous);
      pair.interval = triple.before = moves[i] as number;
      pair.move = MOVE_KINDS[kinds[i] as number] as MoveKind;
    }
    if (next >= 0) {
      read(last, next);
      triple.after = moves[next] as number;
    }
    for (const { rule, weight } of model.rules) {
      const points =
        rule.reads === "note" ? rule.points(note)
        : previous < 0 ? 0
        : rule.reads === "pair" ? rule.points(pair, model.spans)
        : next < 0 ? 0 : rule.points(triple, model.spans);
      if (points !== 0) charge(rule.id, i, weight * points);
    }
  }
};

type Mutable<T> = { -readonly [K in keyof T]: T[K] };
const KEY: Mutable<FingeredKey> = { finger: 1, black: false };

/** Adds the charges of a stretch of notes to sums by rule. */
export const costsByRule = (
  model: Model,
  passage: Passage,
  fingers: ArrayLike<number>,
  from: number,
  to: number,
  cyclic: boolean,
  sums: Map<string, number>,
): void => eachCharge(model, passage, fingers, from, to, cyclic, (rule, _, cost) => sums.set(rule, (sums.get(rule) ?? 0) + cost));
