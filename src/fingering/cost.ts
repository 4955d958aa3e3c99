import type { Finger } from "../event/index.ts";
import type { Model } from "./model.ts";
import { FREE, hears, isApart, MOVE_KINDS, patternIn, sequenceIn } from "./model.ts";
import type { Grips, Passage } from "./passage.ts";
import type { FingeredKey, FingeringRule } from "./rules.ts";
import { commonKeys, gapsOf, inTwoVoices, keysOf } from "./solve.ts";

/** What each rule charges, with the note at which it is charged; calls back only for charges above zero. */
export const eachCharge = (
  model: Model,
  p: Passage,
  way: Uint8Array,
  cyclic: boolean,
  charge: (rule: string, note: number, cost: number) => void,
): void => {
  const { length, kinds } = p;
  const give = ({ id }: FingeringRule, weight: number, note: number, points: number): void => {
    if (points !== 0) charge(id, note, weight * points);
  };
  const voice = (i: number, outer: boolean): FingeredKey => {
    const grips = p.grips[i] as Grips;
    return {
      finger: (((outer ? grips.outer : grips.inner)[way[i] as number] as number) + 1) as Finger,
      black: (outer ? p.outerBlack : p.innerBlack)[i] === 1,
    };
  };
  // Across a rest there is no neighbour.
  const neighbour = (i: number, later: number): boolean | undefined =>
    i < 0 || later < 0 || kinds[later] === FREE ? undefined : p.allBlack[i] === 1;
  for (let i = 0; i < length; i++) {
    const previous = i > 0 ? i - 1 : cyclic ? length - 1 : -1;
    const next = i < length - 1 ? i + 1 : cyclic ? 0 : -1;
    const keys = p.moments[i]?.keys ?? [];
    const hand = keysOf(p, i, way[i] as number);
    const struck = keys.filter((key) => key.struck);
    const ends = [struck[0]?.note ?? 0, struck.at(-1)?.note ?? 0] as const;
    const chord = p.chord[i] === 1;
    keys.forEach(({ note, struck: isStruck }, k) => {
      const key = hand[k];
      if (chord || !isStruck || key === undefined) return;
      const role = p.role[note] as number;
      const window = {
        ...key,
        previousBlack: neighbour(previous, i),
        nextBlack: neighbour(next, next),
        tonic: sequenceIn(role) === undefined && role % 2 === 1,
        pattern: patternIn(role),
        sequence: sequenceIn(role),
      };
      for (const { rule, weight } of model.rules.note) give(rule, weight, note, rule.points(window));
    });
    if (hand.length > 1) {
      const window = { keys: hand, gaps: gapsOf(p, i) };
      for (const { rule, weight } of model.rules.chord) give(rule, weight, ends[0], rule.points(window, model.spans));
    }
    // A note that repeats without end follows itself at no charge.
    if (previous < 0 || (cyclic && length === 1)) continue;
    const move = MOVE_KINDS[kinds[i] as number] ?? "plain";
    for (const outer of inTwoVoices(p, previous, i) ? [false, true] : [false]) {
      const interval = (outer ? p.outerMoves : p.innerMoves)[i] as number;
      const window = { from: voice(previous, outer), to: voice(i, outer), interval, move };
      for (const { rule, weight } of model.rules.pair)
        if (hears(rule, move)) give(rule, weight, ends[outer ? 1 : 0], rule.points(window, model.spans));
    }
    for (const [before, after, held] of commonKeys(p, previous, i)) {
      const [from, to] = [p.grips[previous] as Grips, p.grips[i] as Grips];
      const left = from.fingers[(way[previous] as number) * from.width + before];
      if (left === to.fingers[(way[i] as number) * to.width + after]) continue;
      for (const { rule, weight } of model.rules.held)
        give(rule, weight, keys[after]?.note ?? 0, rule.points({ held }));
    }
    if (next < 0 || isApart(kinds[i] as number) || isApart(kinds[next] as number)) continue;
    for (const outer of inTwoVoices(p, previous, i) || p.chord[next] === 1 ? [false, true] : [false]) {
      const moves = outer ? p.outerMoves : p.innerMoves;
      const window = {
        first: voice(previous, outer),
        middle: voice(i, outer),
        last: voice(next, outer),
        before: moves[i] as number,
        after: moves[next] as number,
      };
      for (const { rule, weight } of model.rules.triple)
        give(rule, weight, ends[outer ? 1 : 0], rule.points(window, model.spans));
    }
  }
};
