import { MusicError } from "../ground/errors.ts";
import { shortened } from "../ground/text.ts";
import type { Beats, Metre } from "../time/index.ts";
import {
  addBeats,
  beats,
  beatsOf,
  compareBeats,
  divideBeats,
  equalBeats,
  formatBeats,
  isCompound,
  multiplyBeats,
  subtractBeats,
  ZERO,
} from "../time/index.ts";
import type { Draft, Item, Placed } from "./drafts.ts";
import { pulsesIn, sharesOf, sumOf } from "./lengths.ts";
import type { Reading } from "./reading.ts";

/** A bar to be filled with chords. */
interface Bar {
  readonly draft: Draft;
  readonly metre: Metre;
  /** From 1, for refusals. */
  readonly number: number;
  readonly reading: Reading;
}

/** The pulses of a first bar whose beats, all written, are fewer than the others have; `undefined` where it is none. */
export const pickupIn = (draft: Draft, bars: number, metre: Metre, reading: Reading): Beats | undefined => {
  if (bars < 2 || draft.same > 0 || draft.items.length === 0) return undefined;
  if (!draft.items.every((item) => item.beats !== undefined)) return undefined;
  const sum = sumOf(draft.items.map((item) => item.beats ?? ZERO));
  if (compareBeats(sum, pulsesIn(metre)) >= 0) return undefined;
  reading.guess("a short first bar taken as a pickup", draft.at);
  return sum;
};

/** Where the chords of a bar begin: by the beats given, by strokes, or in shares. */
export const placedIn = (bar: Bar, pickup: Beats | undefined): Placed => {
  const { draft, metre, reading } = bar;
  const { items } = draft;
  const pulses = pickup ?? pulsesIn(metre);
  if (items.length === 0) return [];
  if (items.some((item) => item.beats !== undefined))
    return startsOf(items, givenLengths(bar, pulses), beats(draft.lead));
  if (draft.lead > 0 || items.some((item) => item.strokes > 0)) return byStrokes(bar);
  if (pickup !== undefined)
    return startsOf(
      items,
      items.map(() => divideBeats(pickup, beats(items.length))),
    );
  const shares = sharesOf(items.length, metre);
  if (shares.some((share) => !equalBeats(share, shares[0] ?? ZERO)))
    reading.guess(
      `${inWords(items.length)} chords in ${inWords(pulses.num)} beats taken as ${shares.map((share) => formatBeats(share)).join(" + ")}`,
      draft.at,
    );
  return startsOf(items, shares);
};

const givenLengths = (bar: Bar, pulses: Beats): readonly Beats[] => {
  const { items, lead } = bar.draft;
  const given = items.map((item) => item.beats ?? (item.strokes > 0 ? beats(1 + item.strokes) : undefined));
  const sum = addBeats(beats(lead), sumOf(given.filter((one) => one !== undefined)));
  const open = given.filter((one) => one === undefined).length;
  const rest = subtractBeats(pulses, sum);
  if (open === 0 ? !equalBeats(sum, pulses) : compareBeats(rest, ZERO) <= 0) throw unfilled(bar, pulses, sum);
  const share = open === 0 ? ZERO : divideBeats(rest, beats(open));
  return given.map((one) => one ?? share);
};

const unfilled = ({ draft, number, reading }: Bar, pulses: Beats, sum: Beats, hint?: string): MusicError =>
  new MusicError({
    code: "progression/beats",
    input: reading.original,
    expected: `beats that fill the bar, ${formatBeats(pulses)} in all, given ${formatBeats(sum)}, ${reading.where(draft.at, number)}`,
    hint,
  });

// Strokes count pulses where they fill the bar. Where they do not, they may part chords that share it, or the last chord lasts on.
const byStrokes = (bar: Bar): Placed => {
  const { draft, metre, reading } = bar;
  const { items, lead, at } = draft;
  const pulses = pulsesIn(metre);
  const counted = items.map((item) => beats(1 + item.strokes));
  const sum = addBeats(sumOf(counted), beats(lead));
  if (equalBeats(sum, pulses)) return startsOf(items, counted, beats(lead));
  if (isCompound(metre) && equalBeats(sum, beats(metre.count))) {
    const third = (length: Beats): Beats => multiplyBeats(length, beatsOf(1, 3));
    return startsOf(items, counted.map(third), third(beats(lead)));
  }
  const all = items.map((item) => beats(item.strokes));
  if (lead === 0 && equalBeats(sumOf(all), pulses) && all.every(({ num }) => num > 0)) {
    reading.guess("strokes taken as all beats of their chord, its first included", at);
    return startsOf(items, all);
  }
  refuseLooseBass(bar, pulses, sum);
  const parts =
    lead === 0 && items.length > 1 && items.every((item, i) => item.strokes === (i === items.length - 1 ? 0 : 1));
  const shares = parts ? sharesOf(items.length, metre) : undefined;
  const last = counted.at(-1);
  const held =
    compareBeats(sum, pulses) < 0 && last !== undefined
      ? [...counted.slice(0, -1), addBeats(last, subtractBeats(pulses, sum))]
      : undefined;
  if (shares !== undefined && (held === undefined || shares.every((share, i) => equalBeats(share, held[i] ?? ZERO)))) {
    reading.guess(`${items[0]?.strokeSign ?? "/"} taken as a sign between chords that share a bar`, at);
    return startsOf(items, shares);
  }
  if (held !== undefined && shares === undefined && items.length === 1) {
    reading.guess("fewer strokes than beats: the chord lasts to the end of the bar", at);
    return startsOf(items, held, beats(lead));
  }
  const written = items.map((item, i) => `${item.text}*${formatBeats((held ?? counted)[i] ?? ZERO)}`).join(" ");
  throw unfilled(bar, pulses, sum, held === undefined ? undefined : `write ${shortened(written, 80)}`);
};

// "C / E": a bass note, or two chords?
const refuseLooseBass = (bar: Bar, pulses: Beats, sum: Beats): void => {
  const { items, lead } = bar.draft;
  const bass = items.findIndex(
    (item, i) => i > 0 && items[i - 1]?.strokeSign === "/" && /^[A-G][b#]?$/.test(item.text),
  );
  const [before, note] = [items[bass - 1]?.text, items[bass]?.text];
  if (before === undefined || note === undefined || lead > 0 || compareBeats(sum, pulses) === 0) return;
  throw unfilled(bar, pulses, sum, `write ${before}/${note} for a bass note, ${before} ${note} for two chords`);
};

const startsOf = (items: readonly Item[], lengths: readonly Beats[], from: Beats = ZERO): Placed => {
  let at = from;
  return items.map((item, i) => {
    const start = at;
    at = addBeats(at, lengths[i] ?? ZERO);
    return [item, start];
  });
};

const inWords = (count: number): string =>
  ["no", "one", "two", "three", "four", "five", "six", "seven"][count] ?? String(count);
