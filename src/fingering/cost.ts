import { nth } from "../ground/list.ts";
import { kept } from "../ground/memo.ts";
import type { Model, ModelRule } from "./model.ts";
import { FREE, hears, isApart, MOVE_KINDS, placeIn } from "./model.ts";
import type { Passage } from "./passage.ts";
import { byteAt, fingerOf, gripsAt, stepAt } from "./reading.ts";
import type { FingeredKey, FingeringRule } from "./rules.ts";
import { commonKeys, gapsOf, inTwoVoices, keysOf, voicesBetween } from "./solve.ts";

/** What rules charge for one window. */
type Charges = readonly (readonly [rule: string, cost: number])[];

interface Known {
  readonly note: Map<number, Charges>;
  readonly pair: Map<number, Charges>;
  readonly triple: Map<number, Charges>;
}

// Windows come again and again, and what is charged for one is worked out once for each model. Intervals lie within 31 semitones.
const knownWindows = new WeakMap<Model, Known>();
const knownOf = (model: Model): Known => {
  const before = knownWindows.get(model);
  if (before !== undefined) return before;
  const made = { note: new Map(), pair: new Map(), triple: new Map() };
  knownWindows.set(model, made);
  return made;
};
const chargesOf = <R extends FingeringRule>(rules: readonly ModelRule<R>[], points: (rule: R) => number): Charges =>
  rules.flatMap(({ rule, weight }) => {
    const own = points(rule);
    return own === 0 ? [] : [[rule.id, weight * own] as const];
  });
const colour = (black: boolean | undefined): number => (black === undefined ? 0 : black ? 2 : 1);
const code = ({ finger, black }: FingeredKey): number => finger * 2 + (black ? 1 : 0);

const NONE: ReturnType<typeof commonKeys> = [];

/** What each rule charges, with the note at which it is charged; calls back only for charges above zero. */
export const eachCharge = (
  model: Model,
  p: Passage,
  way: Uint8Array,
  cyclic: boolean,
  charge: (rule: string, note: number, cost: number) => void,
): void => {
  const { length, kinds } = p;
  const known = knownOf(model);
  const giveAll = (charges: Charges, note: number): void => {
    for (const [rule, cost] of charges) charge(rule, note, cost);
  };
  const give = ({ id }: FingeringRule, weight: number, note: number, points: number): void => {
    if (points !== 0) charge(id, note, weight * points);
  };
  const keyAt = (fingers: Uint8Array, black: Uint8Array, i: number): FingeredKey => ({
    finger: fingerOf(byteAt(fingers, byteAt(way, i)) + 1),
    black: black[i] === 1,
  });
  const spokenInChords = model.rules.note.filter(({ rule }) => rule.inChords === true);
  const inner = Array.from(way, (_, i) => keyAt(gripsAt(p.grips, i).inner, p.innerBlack, i));
  const outer = Array.from(way, (_, i) =>
    p.chord[i] === 1 ? keyAt(gripsAt(p.grips, i).outer, p.outerBlack, i) : nth(inner, i),
  );
  // Across a rest there is no neighbour.
  const neighbour = (i: number, later: number): boolean | undefined =>
    i < 0 || later < 0 || kinds[later] === FREE ? undefined : p.allBlack[i] === 1;
  for (let i = 0; i < length; i++) {
    const previous = i > 0 ? i - 1 : cyclic ? length - 1 : -1;
    const next = i < length - 1 ? i + 1 : cyclic ? 0 : -1;
    const keys = p.moments[i]?.keys ?? [];
    const chord = p.chord[i] === 1;
    let [first, last] = [-1, 0];
    for (const { note, struck } of keys) {
      if (!struck) continue;
      if (first < 0) first = note;
      last = note;
    }
    if (!chord) {
      const role = byteAt(p.role, first);
      const own = nth(inner, i);
      const [previousBlack, nextBlack] = [neighbour(previous, i), neighbour(next, next)];
      const at = ((colour(previousBlack) * 3 + colour(nextBlack)) * 32 + role) * 16 + code(own);
      const charges = kept(known.note, at, () => {
        const window = { ...own, previousBlack, nextBlack, ...placeIn(role) };
        return chargesOf(model.rules.note, (rule) => rule.points(window));
      });
      giveAll(charges, first);
    }
    if (keys.length > 1) {
      const window = { keys: keysOf(p, i, byteAt(way, i)), gaps: gapsOf(p, i) };
      if (chord)
        keys.forEach(({ note, struck }, k) => {
          if (!struck) return;
          const own = { ...nth(window.keys, k), previousBlack: undefined, nextBlack: undefined };
          const seen = { ...own, ...placeIn(byteAt(p.role, note)) };
          for (const { rule, weight } of spokenInChords) give(rule, weight, note, rule.points(seen));
        });
      for (const { rule, weight } of model.rules.chord) give(rule, weight, first, rule.points(window, model.spans));
    }
    // A note that repeats without end follows itself at no charge.
    if (previous < 0 || (cyclic && length === 1)) continue;
    const move = MOVE_KINDS[byteAt(kinds, i)] ?? "plain";
    const two = inTwoVoices(p, previous, i);
    const voices = voicesBetween(p, previous, i);
    for (let v = 0; v < 2; v++) {
      if (v === 0 ? !voices.inner : !voices.outer) continue;
      const voice = v === 0 ? inner : outer;
      const interval = stepAt(v === 0 ? p.innerMoves : p.outerMoves, i);
      const [from, to] = [nth(voice, previous), nth(voice, i)];
      const at = ((interval + 32) * 8 + byteAt(kinds, i)) * 256 + code(from) * 16 + code(to);
      const charges = kept(known.pair, at, () => {
        const window = { from, to, interval, move };
        return chargesOf(model.rules.pair, (rule) => (hears(rule, move) ? rule.points(window, model.spans) : 0));
      });
      giveAll(charges, v === 0 ? first : last);
    }
    const common = p.single[previous] === 1 && p.single[i] === 1 ? NONE : commonKeys(p, previous, i);
    for (const [before, after, held] of common) {
      const [from, to] = [gripsAt(p.grips, previous), gripsAt(p.grips, i)];
      const left = from.fingers[byteAt(way, previous) * from.width + before];
      if (left === to.fingers[byteAt(way, i) * to.width + after]) continue;
      for (const { rule, weight } of model.rules.held)
        give(rule, weight, keys[after]?.note ?? 0, rule.points({ held }));
    }
    if (next < 0 || isApart(byteAt(kinds, i)) || isApart(byteAt(kinds, next))) continue;
    for (let v = 0; v < (two || p.chord[next] === 1 ? 2 : 1); v++) {
      const voice = v === 0 ? inner : outer;
      const moves = v === 0 ? p.innerMoves : p.outerMoves;
      const [one, middle, three] = [nth(voice, previous), nth(voice, i), nth(voice, next)];
      const [before, after] = [stepAt(moves, i), stepAt(moves, next)];
      const at = ((before + 32) * 64 + after + 32) * 4096 + code(one) * 256 + code(middle) * 16 + code(three);
      const charges = kept(known.triple, at, () => {
        const window = { first: one, middle, last: three, before, after };
        return chargesOf(model.rules.triple, (rule) => rule.points(window, model.spans));
      });
      giveAll(charges, v === 0 ? first : last);
    }
  }
};
