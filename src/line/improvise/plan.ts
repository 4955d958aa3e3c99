import type { Chance } from "../../ground/chance.ts";
import { CELLS, KINDS, partsOf } from "../../line-model/inner.ts";
import type { Grid, LineValues } from "../grid.ts";
import type { Grade } from "./grades.ts";
import type { Model } from "./model.ts";

/** What a phrase does with the one that it takes up. */
export type MotifRole = "statement" | "return" | "answer" | "variation";

/** A note whose pitch is still open, in ticks. */
export interface PlannedNote {
  readonly at: number;
  readonly duration: number;
}

/** A phrase whose rhythm is settled. */
export interface PlannedPhrase {
  readonly notes: readonly PlannedNote[];
  /** Index in {@link KINDS}. */
  readonly kind: number;
  readonly role: MotifRole;
  /** Which motif: 0 for the first that was heard. */
  readonly motif: number;
  /** Index of the phrase that it takes up, and how many of its notes. */
  readonly source?: number | undefined;
  readonly taken: number;
}

/** What a plan is drawn for. */
export interface PlanFrame {
  readonly model: Model;
  readonly grid: Grid;
  readonly bars: number;
  readonly grade: Grade;
  readonly values: LineValues | undefined;
  /** Class of tempo, and quarter notes a minute. */
  readonly tempoClass: number;
  readonly tempo: number;
  /** Weights of the kinds of idea beside the corpus's. */
  readonly kinds: readonly number[];
  /** How often the first third of a twelve-bar form comes twice. */
  readonly aab: number;
  /** Bars at which the form comes back to its beginning, counted from 0. */
  readonly heads: readonly number[];
}

const BEAT = 12;
// How much likelier than in the corpus rhythms are that hands don't feel, which are mostly noise of the annotation: triplets with one of their thirds
// halved are seldom played or not at all, turns and runs in sixths of a beat the more; a note a sixteenth before a beat is mostly an eighth that is swung far. Ours, from reading lines.
const FELT: ReadonlyMap<string, number> = new Map([
  ["0,4,8,10", 0.5],
  ["0,4,6,8,10", 0],
  ["2,4,6,8,10", 0],
  ["0,2,4,6", 2.4],
  ["0,6,8,10", 2.4],
  ["6,8,10", 2.4],
  ["0,2,4,6,8,10", 1.6],
  ["9", 0.7],
]);
const NONE = CELLS.length;
// By when a line has begun.
const FIRST = 48;
// How often the first idea comes back where the form does; how many notes are taken up whole, and of how many a head has at least. Ours.
const HEAD = 0.6;
// Before the end no phrase begins.
const LEAST_ROOM = 2 * BEAT;
const WHOLE = 10;
const LEAST_HEAD = 4;
const ENOUGH = 8;
const LEAST_END = 3;
// From the last note to the end of the bars at least.
const LAST = BEAT;

/** One outcome by its weights. */
export const draw = (weights: ArrayLike<number>, chance: Chance): number => {
  let total = 0;
  for (let i = 0; i < weights.length; i++) total += weights[i] ?? 0;
  let left = chance.share() * total;
  let last = -1;
  for (let i = 0; i < weights.length; i++) {
    const weight = weights[i] ?? 0;
    if (weight <= 0) continue;
    last = i;
    left -= weight;
    if (left < 0) break;
  }
  return last;
};

/** How much likelier than in the corpus each of {@link CELLS} is; 0 where it may not be played. */
const playable = ({ grade, grid, values, tempo }: PlanFrame): readonly number[] => {
  const seconds = (60 / tempo) * (grid.pulse / BEAT);
  return CELLS.map((cell) => {
    const parts = partsOf(cell);
    const gap = cell.reduce((least, tick, i) => Math.min(least, (cell[i + 1] ?? BEAT) - tick), BEAT);
    const inValues =
      parts === 1 ||
      (values === undefined
        ? grade.parts.includes(parts)
        : parts === 3
          ? values !== "eighths"
          : parts === 2 && values !== "triplets");
    const fast =
      parts > 1 && (BEAT / gap / seconds > grade.burst + 1e-9 || cell.length / seconds > grade.fastest + 1e-9);
    if (!(grid.compound ? parts <= 3 : inValues) || fast) return 0;
    return (parts === 6 ? grade.sixths : 1) * (FELT.get(cell.join()) ?? 1);
  });
};

/** Settles form and rhythm. */
export const planLine = (frame: PlanFrame, chance: Chance): readonly PlannedPhrase[] => {
  const { grid, bars, grade, model, tempoClass } = frame;
  const cells = playable(frame);
  const scale = grid.pulse / BEAT;
  const pulses = Math.round(grid.bar / grid.pulse);
  const end = bars * pulses * BEAT;
  const bar = pulses * BEAT;
  // The second of two notes in a beat of three parts is its last.
  const written = (tick: number): number => (grid.compound && tick === 6 ? 8 : tick);
  // Everything is drawn in twelfths of a pulse and set to the grid's ticks at the end.
  interface Draft {
    readonly ats: readonly number[];
    /** Beat by beat, from that of the first note. */
    readonly cells: readonly number[];
    readonly kind: number;
    readonly role: MotifRole;
    readonly motif: number;
    readonly source?: number | undefined;
    readonly taken: number;
  }
  const drafts: Draft[] = [];
  let motifs = 0;
  const startable = Array.from({ length: BEAT }, (_, tick) =>
    CELLS.some(([first = -1], i) => written(first) === tick && (cells[i] ?? 0) > 0),
  );
  const startAt = (at: number): number =>
    startable[at % BEAT] === true ? (model.starts[tempoClass * 48 + ((at % bar) % 48)] ?? 0) : 0;
  // Half beats from the last note, and half a beat later than that note at least.
  const restAfter = (last: number): number => {
    const weights: number[] = [];
    for (let gap = 6; gap < 288 && last + gap < end - LEAST_ROOM; gap++) {
      const half = Math.round(gap / 6);
      const rest = grade.rest ** (half / 2);
      weights[gap] = startAt(last + gap) * (model.gaps[tempoClass * 49 + half] ?? 0) * rest;
    }
    const gap = draw(weights, chance);
    return gap < 0 ? end : last + gap;
  };
  const firstStart = (): number => {
    const weights = Array.from({ length: Math.min(FIRST, end - 6) }, (_, at) => startAt(at));
    return Math.max(0, draw(weights, chance));
  };
  /** So many notes from a moment on, before another one; the first beats may be settled. */
  const fill = (
    from: number,
    { kind, count, until, settled }: { kind: number; count: number; until: number; settled: readonly number[] },
  ): Pick<Draft, "ats" | "cells"> => {
    const ats: number[] = [];
    const drawn: number[] = [];
    let [one, two] = [NONE, NONE];
    for (let beat = Math.floor(from / BEAT); ats.length < count && beat * BEAT < until; beat++) {
      const row = model.cell(tempoClass, kind, (beat % pulses) % 4, one, two);
      const first = ats.length === 0;
      const weights = row.map((share, i) => {
        const cell = CELLS[i] ?? [];
        const may = cells[i] ?? 0;
        if (may === 0) return 0;
        if (first && written(cell[0] ?? -1) !== from - beat * BEAT) return 0;
        // Two silent beats in a phrase would part it.
        if (cell.length === 0 && one === 0) return 0;
        return may * share;
      });
      let cell = settled[drawn.length] ?? draw(weights, chance);
      if (cell < 0)
        cell = CELLS.findIndex(([tick, ...more]) => more.length === 0 && tick === (first ? from % BEAT : 0));
      for (const tick of CELLS[cell] ?? []) if (ats.length < count) ats.push(beat * BEAT + written(tick));
      drawn.push(cell);
      [two, one] = [one, cell];
    }
    return { ats: ats.filter((at) => at < until), cells: drawn };
  };
  const endWeight = (kind: number, at: number): number => {
    const tick = at % BEAT;
    return (
      model.ends[kind * 12 + (tick === 0 ? 0 : tick === 6 ? 1 : 2) * 4 + ((Math.floor(at / BEAT) % pulses) % 4)] ?? 1
    );
  };
  const kindWeights = KINDS.map((_, k) => (model.kinds[tempoClass * KINDS.length + k] ?? 0) * (frame.kinds[k] ?? 1));
  const lengths = KINDS.map((_, kind) =>
    model.lengths.slice(kind * 61, (kind + 1) * 61).map((share, n) => (n < 2 || n > grade.notes ? 0 : share)),
  );
  const lengthFor = (kind: number): number => draw(lengths[kind] ?? [], chance);
  // The last note of all has room to sound, and stands on a beat or halfway between two where the phrase says enough without what follows it.
  const closed = (ats: readonly number[]): readonly number[] => {
    let kept = ats.filter((one) => one <= end - LAST);
    if (kept.length < ats.length)
      while (kept.length > 2 && (kept.at(-1) ?? 0) % (BEAT / 2) !== 0) kept = kept.slice(0, -1);
    return kept.length > 1 ? kept : ats;
  };
  const fresh = (from: number, until: number): Draft => {
    const kind = draw(kindWeights, chance);
    let best: Pick<Draft, "ats" | "cells"> = { ats: [], cells: [] };
    for (let tries = 0; tries < 8; tries++) {
      const count = lengthFor(kind);
      best = fill(from, { kind, count, until, settled: [] });
      // What the end of the bars cuts short is no phrase, unless enough has been said.
      const cut = best.ats.length < count;
      if (until === end) best = { ...best, ats: closed(best.ats) };
      const whole = best.ats.length > 1 && (!cut || (until === end && best.ats.length >= ENOUGH));
      if (whole && chance.share() * 2 < endWeight(kind, best.ats.at(-1) ?? 0)) break;
    }
    return { ...best, kind, role: "statement", motif: motifs++, taken: 0 };
  };
  // A short phrase comes back whole or with another end; of a long one the head comes back, and goes on otherwise.
  const takeUp = (index: number, shift: number, until: number, roles: readonly MotifRole[]): Draft | undefined => {
    const source = drafts[index];
    const from = source?.ats[0];
    if (source === undefined || from === undefined || from + shift >= until) return undefined;
    const { kind, motif, ats } = source;
    const role = roles[chance.below(roles.length)] ?? "return";
    const whole = ats.length <= WHOLE && role !== "variation";
    const least = whole ? ats.length : Math.min(Math.ceil(ats.length / 2), LEAST_HEAD + chance.below(4));
    let [beats, taken] = [0, 0];
    for (; taken < least && beats < source.cells.length; beats++) taken += CELLS[source.cells[beats] ?? 0]?.length ?? 0;
    taken = Math.min(taken, ats.length);
    const count = whole ? ats.length : ats.length <= WHOLE ? ats.length : Math.max(taken, lengthFor(kind));
    const filled = fill(from + shift, { kind, count, until, settled: source.cells.slice(0, beats) });
    const made = until === end ? { ...filled, ats: closed(filled.ats) } : filled;
    return { ...made, kind, role, motif, source: index, taken: Math.min(taken, made.ats.length) };
  };
  const aab = bars % 12 === 0 && chance.share() < frame.aab;
  // Where the first idea of a form comes back: when, and from which moment on it was heard.
  const heads = [
    ...frame.heads.filter(() => chance.share() < HEAD).map((at) => ({ at: at * bar, of: 0 })),
    ...(aab ? Array.from({ length: bars / 12 }, (_, k) => ({ at: (12 * k + 4) * bar, of: 12 * k * bar })) : []),
  ].sort((a, b) => a.at - b.at);
  const startOf = (index: number): number => drafts[index]?.ats[0] ?? 0;
  let at = firstStart();
  while (at < end) {
    const lastAt = drafts.at(-1)?.ats.at(-1) ?? -BEAT;
    let next: Draft | undefined;
    const coming = heads.flatMap(({ at: back, of }) => {
      const index = drafts.findIndex(({ ats: [first = -1] }) => first >= of - BEAT && first < of + 2 * bar);
      const start = startOf(index) + back - of;
      return index >= 0 && start >= lastAt + 6 && start < end - 6 ? [{ index, start, shift: back - of }] : [];
    });
    const head = coming.find(({ start }) => start > lastAt);
    const until = head === undefined ? end : head.start - 6;
    if (head !== undefined && at > head.start - 2 * BEAT)
      next = takeUp(head.index, head.shift, end, ["return", "return", "variation"]);
    const chorus = Math.floor(at / (12 * bar)) * 12 * bar;
    if (next === undefined && aab && at >= chorus + 4 * bar && at < chorus + 8 * bar) {
      // The second line of the form goes on as the first did.
      const index = drafts.findIndex(
        ({ ats: [first = 0] }) => first >= chorus && first + 4 * bar > lastAt + 6 && first < chorus + 4 * bar,
      );
      if (index >= 0 && startOf(index) + 4 * bar - lastAt <= 2 * bar)
        next = takeUp(index, 4 * bar, until, ["return", "return", "variation", "answer"]);
    }
    // What was heard three times is left alone for a while.
    const worn = drafts.length > 2 && drafts.slice(-3).every(({ motif }) => motif === drafts.at(-1)?.motif);
    if (next === undefined && drafts.length > 0 && !worn && chance.share() < grade.returns) {
      const index = drafts.length - 1 - chance.below(Math.min(3, drafts.length));
      const from = startOf(index);
      const length = drafts[index]?.ats.length ?? 0;
      const shift = Math.ceil((lastAt + BEAT - from) / bar) * bar;
      if (length >= 3 && from + shift - lastAt <= 2 * bar && from + shift < until - BEAT)
        next = takeUp(index, shift, until, ["return", "return", "variation", "answer"]);
    }
    next ??= fresh(at, until);
    // No room is left for an idea before the head comes back.
    if (head !== undefined && next.ats.length < 3 && at < head.start) {
      at = head.start;
      continue;
    }
    // A note or two in the last bar are an end that says nothing.
    if (next.ats.length === 0 || (drafts.length > 0 && next.ats.length < LEAST_END && (next.ats[0] ?? 0) >= end - bar))
      break;
    drafts.push(next);
    at = restAfter(next.ats.at(-1) ?? at);
  }
  const seen = new Map<number, number>();
  return drafts.map((draft, k): PlannedPhrase => {
    const following = drafts[k + 1]?.ats[0] ?? end;
    if (!seen.has(draft.motif)) seen.set(draft.motif, seen.size);
    return {
      kind: draft.kind,
      role: draft.role,
      motif: seen.get(draft.motif) ?? 0,
      source: draft.source,
      taken: draft.taken,
      notes: draft.ats.map((start, i) => {
        const next = draft.ats[i + 1];
        const room = (next ?? following) - start;
        return { at: start * scale, duration: lengthOf(start, room, next === undefined, chance) * scale };
      }),
    };
  });
};

/** How long a note is held, in twelfths of a pulse: to the next inside a phrase unless more than a beat and a half is left; then and at the end as is usual. */
const lengthOf = (at: number, room: number, last: boolean, chance: Chance): number => {
  if (!last && room <= 18) return room;
  const onBeat = at % BEAT === 0;
  const short = onBeat ? BEAT : at % 6 === 0 ? 6 : BEAT - (at % BEAT);
  const lengths = onBeat ? [short, short, 2 * BEAT] : [short, short, short + BEAT, short + BEAT, short + 2 * BEAT];
  const wanted = lengths[chance.below(lengths.length)] ?? short;
  // At the end of a phrase a silence is left, where there is room for one.
  const most = last ? (room > BEAT ? room - 6 : room) : room;
  return Math.max(1, Math.min(wanted, most));
};
