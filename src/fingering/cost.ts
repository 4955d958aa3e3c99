import type { Finger } from "../event/index.ts";
import type { Model } from "./model.ts";
import { MOVE_KINDS, noteWindow } from "./model.ts";
import type { MoveKind } from "./rules/rule.ts";
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
  const key = (i: number): { finger: Finger; black: boolean } => ({ finger: fingers[i] as Finger, black: black[i] === 1 });
  for (let i = from; i < to; i++) {
    const previous = i > from ? i - 1 : cyclic ? to - 1 : -1;
    const next = i < to - 1 ? i + 1 : cyclic ? from : -1;
    const note = noteWindow(
      fingers[i] as Finger,
      previous < 0 ? 0 : (black[previous] as number) + 1,
      black[i] as number,
      next < 0 ? 0 : (black[next] as number) + 1,
      role[i] as number,
    );
    const pair = previous < 0
      ? undefined
      : { from: key(previous), to: key(i), interval: moves[i] as number, move: MOVE_KINDS[kinds[i] as number] as MoveKind };
    const triple = previous < 0 || next < 0
      ? undefined
      : { first: key(previous), middle: key(i), last: key(next), before: moves[i] as number, after: moves[next] as number };
    for (const { rule, weight } of model.rules) {
      const points =
        rule.reads === "note" ? rule.points(note)
        : rule.reads === "pair" ? (pair === undefined ? 0 : rule.points(pair, model.spans))
        : triple === undefined ? 0 : rule.points(triple, model.spans);
      if (points !== 0) charge(rule.id, i, weight * points);
    }
  }
};

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
