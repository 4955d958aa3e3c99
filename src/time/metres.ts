import type { Beats } from "./beats.ts";
import { addBeats, beats, compareBeats, multiplyBeats, subtractBeats, ZERO } from "./beats.ts";
import type { BarPosition, Metre } from "./metre.ts";
import { barLength, barPosition, isMetre } from "./metre.ts";

/** A change of metre. */
export interface MetreChange {
  /** The first bar that has it, from 1. */
  readonly bar: number;
  readonly metre: Metre;
}

const MOST_BARS = 10_000;

/** Whether a value is a list of changes of metre, in order. */
export const isMetreChanges = (value: unknown): value is readonly MetreChange[] => {
  if (!Array.isArray(value) || value.length > MOST_BARS) return false;
  let before = 1;
  return value.every((one: unknown) => {
    const { bar, metre }: Partial<MetreChange> = Object(one);
    const inOrder = Number.isInteger(bar) && Number(bar) > before && Number(bar) <= MOST_BARS;
    before = Number(bar);
    return inOrder && isMetre(metre);
  });
};

/** The metre of the first bar, and its changes on the way, where there are any. */
export interface InMetres {
  readonly metre: Metre;
  readonly metres?: readonly MetreChange[] | undefined;
}

/** Bars of one metre in a row. */
export interface MetreStretch {
  readonly metre: Metre;
  /** Its first bar, from 1. */
  readonly bar: number;
  /** Where that begins. */
  readonly at: Beats;
  /** How many; `Infinity` for the last. */
  readonly bars: number;
}

/** The stretches of one metre, in order. */
export const metreStretches = ({ metre, metres = [] }: InMetres): readonly MetreStretch[] => {
  let at = ZERO;
  return [{ bar: 1, metre }, ...metres].map((change, i) => {
    const next = metres[i];
    const stretch = { ...change, at, bars: next === undefined ? Number.POSITIVE_INFINITY : next.bar - change.bar };
    if (next !== undefined) at = addBeats(at, multiplyBeats(barLength(change.metre), beats(stretch.bars)));
    return stretch;
  });
};

/** The stretch that a moment lies in; what lies before bar 1 belongs to the first. */
export const stretchAt = (stretches: readonly MetreStretch[], at: Beats): MetreStretch => {
  const [first] = stretches;
  const found = stretches.findLast((stretch) => compareBeats(stretch.at, at) <= 0) ?? first;
  if (found === undefined) throw new RangeError("no metre");
  return found;
};

/** The bar and beat of a moment, whatever the metres. */
export const placeInMetres = (form: InMetres, at: Beats): BarPosition & { readonly metre: Metre } => {
  if (form.metres === undefined) return { ...barPosition(at, form.metre), metre: form.metre };
  const stretch = stretchAt(metreStretches(form), at);
  const place = barPosition(subtractBeats(at, stretch.at), stretch.metre);
  return { ...place, bar: place.bar + stretch.bar - 1, metre: stretch.metre };
};

/** The metre of a bar. */
export const metreOfBar = ({ metre, metres = [] }: InMetres, bar: number): Metre =>
  metres.findLast((change) => change.bar <= bar)?.metre ?? metre;

/** Where a bar begins, in quarter notes from bar 1, whatever the metres. */
export const barStartInMetres = (form: InMetres, bar: number): Beats => {
  const stretch = metreStretches(form).findLast((one) => one.bar <= bar) ?? { bar: 1, at: ZERO, metre: form.metre };
  return addBeats(stretch.at, multiplyBeats(barLength(stretch.metre), beats(bar - stretch.bar)));
};

const sameMetre = (a: Metre, b: Metre): boolean => a.count === b.count && a.unit === b.unit;

/** Its metres when some bars are played so many times; absent where they never change. */
export const metresOverTurns = (
  form: InMetres & { readonly bars: number },
  turns: number,
): readonly MetreChange[] | undefined => {
  const { metre, metres, bars } = form;
  if (metres === undefined || metres.length === 0) return undefined;
  const returns = !sameMetre(metreOfBar(form, bars), metre);
  return Array.from({ length: turns }, (_, turn) => turn * bars).flatMap((before) => [
    ...(returns && before > 0 ? [{ bar: before + 1, metre }] : []),
    ...metres.map((change) => ({ bar: change.bar + before, metre: change.metre })),
  ]);
};

/** Its metres from a bar to another, which become the first and the last. */
export const metresBetween = (form: InMetres, from: number, to: number): InMetres => {
  const metres = (form.metres ?? [])
    .filter(({ bar }) => bar > from && bar <= to)
    .map(({ bar, metre }) => ({ bar: bar - from + 1, metre }));
  return { metre: metreOfBar(form, from), ...(metres.length > 0 && { metres }) };
};
