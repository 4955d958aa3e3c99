import type { NoteEvent, TimeSpan } from "../event/index.ts";
import { nth } from "../ground/list.ts";
import { pitchName } from "../pitch/index.ts";
import type { BarSigns, ChordSpan, WrittenForm } from "../progression/index.ts";
import type { Beats } from "../time/index.ts";
import { addBeats, compareBeats, formatBeats, minBeats, subtractBeats, ZERO } from "../time/index.ts";
import { barStartInMetres, metreOfBar, placeInMetres } from "../time/inner.ts";
import type { Score } from "./score.ts";
import { makeScore } from "./score.ts";

/** A score as it is put on paper. */
export interface WrittenScore {
  /** Each bar once where repeats and jumps are written; else the score itself. */
  readonly score: Score;
  /** The signs of each of its bars. */
  readonly signs: readonly BarSigns[];
  /** For each bar as played its bar on paper, from 1. */
  readonly bars: readonly number[];
  /** The moment on paper of a moment as played. */
  readonly onPaper: (at: Beats) => Beats;
}

/**
 * The score as its form is written: repeats, endings and jumps as signs, where both hands do the same each time that a bar comes, and nothing
 * is held where it goes back or leaves. Else it is written out, and its sections are named.
 */
export const writtenScore = (score: Score): WrittenScore => {
  const { form } = score;
  const all = Array.from({ length: score.bars }, (_, i) => i + 1);
  const out: WrittenScore = { score, signs: all.map(() => ({})), bars: all, onPaper: (at) => at };
  if (form === undefined) return out;
  const straight = form.order.every((bar, i) => bar === i + 1) && form.bars.length === score.bars;
  if (straight) return { ...out, signs: form.bars };
  return folded(score, form) ?? { ...out, signs: sectionsPlayed(form) };
};

/** The names of sections at the bars as played, for music that is written out. */
export const sectionsPlayed = ({ bars, order }: WrittenForm): readonly BarSigns[] =>
  order.map((bar): BarSigns => {
    const { section, coda } = nth(bars, bar - 1);
    const name = section ?? (coda === true ? "Coda" : undefined);
    return name === undefined ? {} : { section: name };
  });

/** Bars without repeats, with the sections that begin at some of them; none where there are none. */
export const writtenOut = (bars: readonly BarSigns[]): WrittenForm | undefined =>
  bars.some(({ section }) => section !== undefined) ? { bars, order: bars.map((_, i) => i + 1) } : undefined;

interface Stretch {
  readonly from: number;
  readonly to: number;
}

/** Bars on paper after which something else than the next bar is played, at some time. */
export const cutsIn = (order: readonly number[]): ReadonlySet<number> => {
  const cuts = new Set<number>();
  order.forEach((bar, i) => {
    const next = order[i + 1];
    if (next === bar + 1) return;
    cuts.add(bar);
    if (next !== undefined) cuts.add(next - 1);
  });
  return cuts;
};

/** Bars on paper in stretches that are always played through. */
export const stretchesIn = (order: readonly number[], bars: number): readonly Stretch[] => {
  const cuts = cutsIn(order);
  const stretches: Stretch[] = [];
  let from = 1;
  for (let bar = 1; bar <= bars; bar++) {
    if (!cuts.has(bar) && bar < bars) continue;
    stretches.push({ from, to: bar });
    from = bar + 1;
  }
  return stretches;
};

const endOf = ({ at, duration }: TimeSpan): Beats => addBeats(at, duration);

const folded = (score: Score, form: WrittenForm): WrittenScore | undefined => {
  const count = form.bars.length;
  const stretches = stretchesIn(form.order, count);
  // Where each stretch is played: bars as played, from 1.
  const places = stretches.map(({ from }) => form.order.flatMap((bar, i) => (bar === from ? [i + 1] : [])));
  if (places.some((played) => played.length === 0)) return undefined;
  const startOf = (bar: number): Beats => barStartInMetres(score, bar);
  const bounds = (s: number, played: number): { readonly start: Beats; readonly end: Beats } => {
    const { from, to } = nth(stretches, s);
    return { start: startOf(played), end: startOf(played + to - from + 1) };
  };
  const within = <T extends TimeSpan>(items: readonly T[], s: number, played: number): readonly T[] => {
    const { start, end } = bounds(s, played);
    return items.filter((item) => compareBeats(item.at, start) >= 0 && compareBeats(item.at, end) < 0);
  };
  const told = (s: number, played: number): string | undefined => {
    const { start, end } = bounds(s, played);
    const said: string[] = [];
    for (const hand of ["right", "left"] as const) {
      for (const event of score[hand]) {
        if (compareBeats(endOf(event), start) <= 0 || compareBeats(event.at, end) >= 0) continue;
        const inside = compareBeats(event.at, start) >= 0 && compareBeats(endOf(event), end) <= 0;
        if (!inside) return undefined;
        said.push(`${hand} ${formatBeats(subtractBeats(event.at, start))} ${noteText(event)}`);
      }
    }
    for (const span of within(score.chords, s, played))
      said.push(`${formatBeats(subtractBeats(span.at, start))} ${span.chord?.symbol ?? "N.C."}`);
    return `${formatBeats(subtractBeats(end, start))} ${said.join("; ")}`;
  };
  for (const [s, played] of places.entries()) {
    const [first, ...others] = played.map((one) => told(s, one));
    if (first === undefined || others.some((other) => other !== first)) return undefined;
  }
  // The first time that each stretch is played is what is written.
  let at = ZERO;
  const starts = stretches.map((_, s) => {
    const { start, end } = bounds(s, nth(nth(places, s), 0));
    const own = { paper: at, start, end };
    at = addBeats(at, subtractBeats(end, start));
    return own;
  });
  const moved = <T extends TimeSpan>(items: readonly T[]): readonly T[] => [
    ...items.filter((item) => item.at.num < 0),
    ...starts.flatMap(({ paper, start }, s) =>
      within(items, s, nth(nth(places, s), 0)).map((item) => ({
        ...item,
        at: addBeats(subtractBeats(item.at, start), paper),
      })),
    ),
  ];
  const cut = (spans: readonly TimeSpan[]): readonly TimeSpan[] =>
    starts.flatMap(({ paper, start, end }) =>
      spans.flatMap((span) => {
        const from = compareBeats(span.at, start) < 0 ? start : span.at;
        const to = minBeats(endOf(span), end);
        return compareBeats(from, to) < 0
          ? [{ at: addBeats(subtractBeats(from, start), paper), duration: subtractBeats(to, from) }]
          : [];
      }),
    );
  const playedBar = (bar: number): number => {
    const s = stretches.findIndex(({ from, to }) => bar >= from && bar <= to);
    return nth(nth(places, s), 0) + bar - nth(stretches, s).from;
  };
  const metres = Array.from({ length: count }, (_, i) => metreOfBar(score, playedBar(i + 1)));
  const first = nth(metres, 0);
  const changes = metres.flatMap((metre, i) => {
    const before = metres[i - 1];
    return before === undefined || (before.count === metre.count && before.unit === metre.unit)
      ? []
      : [{ bar: i + 1, metre }];
  });
  const { form: _, recipe: __, bass: ___, drums: ____, ...rest } = score;
  const paper = makeScore({
    ...rest,
    metre: first,
    metres: changes,
    bars: count,
    chords: moved<ChordSpan>(score.chords),
    right: moved(score.right),
    left: moved(score.left),
    ...(score.bass && { bass: cutNotes(score.bass, starts) }),
    ...(score.phrases && { phrases: cut(score.phrases) }),
  });
  return {
    score: paper,
    signs: form.bars,
    bars: form.order,
    onPaper: (moment) => {
      if (moment.num < 0) return moment;
      const played = placeInMetres(score, moment).bar;
      const bar = form.order[played - 1];
      return bar === undefined
        ? moment
        : addBeats(barStartInMetres(paper, bar), subtractBeats(moment, startOf(played)));
    },
  };
};

// A bass player does not do the same twice: the first time is written, for the eye.
const cutNotes = (
  events: readonly NoteEvent[],
  starts: readonly { readonly paper: Beats; readonly start: Beats; readonly end: Beats }[],
): readonly NoteEvent[] =>
  starts.flatMap(({ paper, start, end }) =>
    events.flatMap((event) => {
      if (compareBeats(event.at, start) < 0 || compareBeats(event.at, end) >= 0) return [];
      const to = minBeats(endOf(event), end);
      return [{ ...event, at: addBeats(subtractBeats(event.at, start), paper), duration: subtractBeats(to, event.at) }];
    }),
  );

const noteText = ({ duration, pitches, graces = [], articulation }: NoteEvent): string =>
  [
    formatBeats(duration),
    ...pitches.map(pitchName),
    ...graces.map((grace) => `${grace.style} ${pitchName(grace.pitch)}`),
    articulation ?? "",
  ].join(" ");
