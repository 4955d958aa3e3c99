import type { Finger } from "../event/index.ts";
import type { Model } from "./model.ts";
import { MOVE_KINDS, patternIn } from "./model.ts";
import type { FingeredKey, MoveKind, NoteWindow, PairWindow, TripleWindow } from "./rules.ts";
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
  const [first, middle, last] = [{}, {}, {}] as [Mutable<FingeredKey>, Mutable<FingeredKey>, Mutable<FingeredKey>];
  const note = {} as Mutable<NoteWindow>;
  const pair = { from: first, to: middle } as Mutable<PairWindow>;
  const triple = { first, middle, last } as Mutable<TripleWindow>;
  const read = (key: Mutable<FingeredKey>, i: number): void => {
    key.finger = fingers[i] as Finger;
    key.black = black[i] === 1;
  };
  for (let i = from; i < to; i++) {
    const previous = i > from ? i - 1 : cyclic ? to - 1 : -1;
    const next = i < to - 1 ? i + 1 : cyclic ? from : -1;
    // At an end there is nothing to read, and no rule is asked about it.
    read(first, previous);
    read(middle, i);
    read(last, next);
    note.finger = middle.finger;
    note.black = middle.black;
    note.previousBlack = previous < 0 ? undefined : black[previous] === 1;
    note.nextBlack = next < 0 ? undefined : black[next] === 1;
    note.tonic = (role[i] as number) % 2 === 1;
    note.pattern = patternIn(role[i] as number);
    pair.interval = triple.before = moves[i] as number;
    pair.move = MOVE_KINDS[kinds[i] as number] as MoveKind;
    triple.after = moves[next] as number;
    for (const { rule, weight } of model.rules) {
      const points =
        rule.reads === "note"
          ? rule.points(note)
          : previous < 0
            ? 0
            : rule.reads === "pair"
              ? rule.points(pair, model.spans)
              : next < 0
                ? 0
                : rule.points(triple, model.spans);
      if (points !== 0) charge(rule.id, i, weight * points);
    }
  }
};

type Mutable<T> = { -readonly [K in keyof T]: T[K] };

/** Adds the charges of a stretch of notes to sums by rule. */
export const costsByRule = (
  model: Model,
  passage: Passage,
  fingers: ArrayLike<number>,
  from: number,
  to: number,
  cyclic: boolean,
  sums: Map<string, number>,
): void =>
  eachCharge(model, passage, fingers, from, to, cyclic, (rule, _, cost) =>
    sums.set(rule, (sums.get(rule) ?? 0) + cost),
  );
