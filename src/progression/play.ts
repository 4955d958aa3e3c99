import { parseChord } from "../chord/index.ts";
import { MusicError } from "../ground/errors.ts";
import { parseKey } from "../pitch/index.ts";
import type { Beats } from "../time/index.ts";
import {
  addBeats,
  barLength,
  beats,
  compareBeats,
  formatMetre,
  multiplyBeats,
  parseMetre,
  pulseLength,
  subtractBeats,
  ZERO,
} from "../time/index.ts";
import type { Chart, ChartBar, ChartChord, ChartNote } from "./document.ts";
import { MOST_BARS } from "./document.ts";
import type { BarSigns, ChordSpan, MetreChange, Progression, ProgressionSection, WrittenForm } from "./types.ts";

/** A bar as it is played. */
export interface PlayedBar {
  /** From 1; 0 is the pickup. */
  readonly bar: number;
  /** The bar of the document that it is, by its index. */
  readonly written: number;
  /** The section that it belongs to; none before the first. */
  readonly section?: string | undefined;
  /** Its time signature. */
  readonly metre: string;
  /** Its key. */
  readonly key: string;
  /** From its first beat on; a chord that lasts on from the bar before stands on beat 1 again. */
  readonly chords: readonly ChartChord[];
  /** The melody's notes that begin here. */
  readonly melody?: readonly ChartNote[] | undefined;
}

const refuse = (input: unknown, expected: string): MusicError =>
  new MusicError({ code: "progression/chart", input, expected });

/** What stands against playing a chart, and the written bar, from 1; `undefined` for nothing. */
export const problemIn = ({
  bars,
  pickup,
  metre,
}: Pick<Chart, "bars" | "pickup" | "metre">): { readonly expected: string; readonly bar: number } | undefined => {
  const inBars = repeatProblem(bars) ?? chordProblem(bars, pickup !== undefined);
  if (inBars !== undefined) return inBars;
  if (pickup !== undefined) {
    const length = multiplyBeats(beats(pickup), pulseLength(parseMetre(metre)));
    if (length.num <= 0 || compareBeats(length, barLength(parseMetre(metre))) >= 0)
      return { expected: "a pickup shorter than a bar", bar: 1 };
    if (bars.length < 2) return { expected: "a bar after the pickup", bar: 1 };
  }
  return roadProblem(bars);
};

/** What stands against following the signs of bars, and the bar, from 1; `undefined` for nothing. */
export const signProblem = (bars: readonly BarSigns[]): ReturnType<typeof problemIn> =>
  repeatProblem(bars) ?? roadProblem(bars);

const repeatProblem = (bars: readonly BarSigns[]): ReturnType<typeof problemIn> => {
  let open = false;
  let ending = 0;
  let closed = true;
  for (const [i, { repeatStart, repeatEnd, ending: passes }] of bars.entries()) {
    const bar = i + 1;
    if (repeatStart === true) {
      if (open && ending === 0) return { expected: "the end of one repeat before the next begins", bar };
      [open, ending, closed] = [true, 0, false];
    }
    if (passes !== undefined) {
      const [first = 0] = passes;
      if (!open || first !== ending + 1 || (ending > 0 && !closed) || repeatStart === true)
        return { expected: "endings in order inside a repeat", bar };
      if (passes.some((pass, j) => pass !== first + j)) return { expected: "passes that follow one another", bar };
      ending = passes.at(-1) ?? first;
      closed = false;
    }
    if (repeatEnd !== undefined) {
      if (!open || (ending > 0 && closed)) return { expected: "the beginning of the repeat that ends here", bar };
      if (ending > 0 && repeatEnd !== 2)
        return { expected: "a repeat with endings that is played once for each ending (repeatEnd 2)", bar };
      if (ending === 0) open = false;
      closed = true;
    }
  }
  return open && ending === 0 ? { expected: "the end of the repeat, :|", bar: bars.length } : undefined;
};

const chordProblem = (bars: readonly ChartBar[], pickup: boolean): ReturnType<typeof problemIn> => {
  for (const [i, { chords }] of bars.entries()) {
    for (const [j, { beat }] of chords.entries()) {
      const before = chords[j - 1];
      if (before !== undefined && compareBeats(beats(before.beat), beats(beat)) >= 0)
        return { expected: "chords in order of time", bar: i + 1 };
    }
  }
  // What lasts on into the first bar would have nothing before it.
  const [first, second] = bars;
  if (!pickup && first?.chords[0]?.beat !== "1")
    return { expected: "a chord at the beginning of the first bar, or N.C.", bar: 1 };
  return pickup && first?.chords.length === 0 && second?.chords[0]?.beat !== "1"
    ? { expected: "a chord at the beginning of the first full bar, or N.C.", bar: 2 }
    : undefined;
};

const roadProblem = (bars: readonly BarSigns[]): ReturnType<typeof problemIn> => {
  const at = (sign: "jump" | "segno" | "coda" | "toCoda" | "fine"): readonly number[] =>
    bars.flatMap((bar, i) => (bar[sign] === undefined || bar[sign] === false ? [] : [i + 1]));
  const [jump, second] = at("jump");
  const [segno, otherSegno] = at("segno");
  const [coda, otherCoda] = at("coda");
  if (second !== undefined) return { expected: "one D.C. or D.S.", bar: second };
  if (otherSegno !== undefined) return { expected: "one segno", bar: otherSegno };
  if (otherCoda !== undefined) return { expected: "one coda", bar: otherCoda };
  if (jump === undefined) return undefined;
  const word = bars[jump - 1]?.jump ?? "";
  if (word.startsWith("D.S.") && (segno === undefined || segno > jump))
    return { expected: "the sign that D.S. goes back to (Segno), before it", bar: jump };
  const [fine] = at("fine");
  if (word.endsWith("Fine") && fine === undefined)
    return { expected: `the place where it ends (Fine) beside ${word}`, bar: jump };
  if (!word.endsWith("Coda")) return undefined;
  const [leave] = at("toCoda");
  if (coda === undefined) return { expected: `the coda (Coda) beside ${word}`, bar: jump };
  return leave === undefined || leave > jump
    ? { expected: `the bar that leaves for the coda (To Coda) before ${word}`, bar: jump }
    : undefined;
};

/** The order in which written bars are played, by their indices. */
export const orderOf = (bars: readonly BarSigns[]): readonly number[] => {
  const order: number[] = [];
  const jumpAt = bars.findIndex(({ jump }) => jump !== undefined);
  const jump = bars[jumpAt]?.jump;
  const passes = passesOf(bars);
  let [at, pass, start, jumped] = [0, 1, 0, false];
  while (at < bars.length) {
    const bar = bars[at];
    if (bar === undefined) break;
    if (bar.repeatStart === true && at !== start) {
      start = at;
      pass = 1;
    }
    if (bar.repeatStart === true && jumped) pass = passes[at] ?? 1;
    if (bar.ending !== undefined && !bar.ending.includes(pass)) {
      at = afterEnding(bars, at);
      continue;
    }
    if (order.length >= MOST_BARS) throw refuse(`${bars.length} bars`, `at most ${MOST_BARS} bars as played`);
    order.push(at);
    const times = bar.repeatEnd === undefined ? 1 : (passes[at] ?? 1);
    if (pass < times) {
      pass++;
      at = start;
      continue;
    }
    if (jumped && bar.fine === true && (jump === "D.C." || jump === "D.S." || jump?.endsWith("Fine") === true)) break;
    if (jumped && bar.toCoda === true && jump?.endsWith("Coda") === true) {
      at = bars.findIndex(({ coda }) => coda === true);
      continue;
    }
    if (!jumped && at === jumpAt) {
      jumped = true;
      at = jump?.startsWith("D.S.") === true ? bars.findIndex(({ segno }) => segno === true) : 0;
      start = -1;
      pass = 1;
      continue;
    }
    // A jump without Fine or coda ends where it was taken.
    if (jumped && at === jumpAt && (jump === "D.C." || jump === "D.S.")) break;
    at++;
  }
  return order;
};

/** For each bar inside a repeat how often the repeat is played. */
const passesOf = (bars: readonly BarSigns[]): readonly (number | undefined)[] => {
  const passes: (number | undefined)[] = bars.map(() => undefined);
  let start: number | undefined;
  let times = 1;
  const close = (end: number): void => {
    if (start !== undefined) passes.fill(times, start, end);
    start = undefined;
  };
  bars.forEach((bar, i) => {
    if (bar.repeatStart === true) {
      close(i);
      start = i;
      times = 1;
    }
    if (bar.ending !== undefined) times = Math.max(times, ...bar.ending);
    if (bar.repeatEnd !== undefined) {
      times = Math.max(times, bar.repeatEnd);
      const more = bars
        .slice(i + 1)
        .findIndex(({ ending, repeatStart }) => ending !== undefined || repeatStart === true);
      if (more < 0 || bars[i + 1 + more]?.ending === undefined) {
        // The last bar of the repeat.
        passes.fill(times, start ?? i, i + 1);
        if (times > 1) start = undefined;
      }
    }
  });
  close(bars.length);
  return passes;
};

// Where the next ending begins, or what follows the repeat.
const afterEnding = (bars: readonly BarSigns[], from: number): number => {
  for (let at = from; at < bars.length; at++) {
    if (at > from && bars[at]?.ending !== undefined) return at;
    if (bars[at]?.repeatEnd !== undefined) return at + 1;
  }
  return bars.length;
};

/** The bars of a chart as they are played. */
export const playBars = (chart: Chart): readonly PlayedBar[] => {
  const { bars, pickup } = chart;
  const problem = problemIn(chart);
  if (problem !== undefined) throw refuse(chart.title, `${problem.expected}, in bar ${problem.bar}`);
  let [section, metre, key] = [undefined as string | undefined, chart.metre, chart.key];
  const around = bars.map((bar) => {
    section = bar.section ?? (bar.coda === true ? "Coda" : section);
    metre = bar.metre ?? metre;
    key = bar.key ?? key;
    return { section, metre, key };
  });
  let last: ChartChord | undefined;
  return orderOf(bars)
    .filter((written, i) => pickup === undefined || written !== 0 || i === 0)
    .map((written, i): PlayedBar => {
      const bar = bars[written];
      const chords = bar?.chords ?? [];
      const isPickup = pickup !== undefined && i === 0;
      const lasts = chords[0]?.beat !== "1" && last !== undefined && !isPickup ? [lasting(last)] : [];
      last = chords.at(-1) ?? last;
      const context = around[written];
      return {
        bar: pickup === undefined ? i + 1 : i,
        written,
        ...(context?.section !== undefined && { section: context.section }),
        metre: context?.metre ?? chart.metre,
        key: context?.key ?? chart.key,
        chords: [...lasts, ...chords],
        ...(bar?.melody !== undefined && { melody: bar.melody }),
      };
    });
};

const lasting = ({ symbol, numeral }: ChartChord): ChartChord => ({
  symbol,
  beat: "1",
  ...(numeral !== undefined && { numeral }),
});

/** The chords of a pickup bar, at negative moments; none where it has none. */
const pickupIn = (
  first: PlayedBar | undefined,
  { pickup, metre }: Chart,
  spanOf: (at: Beats, duration: Beats, symbol: string, numeral: string | undefined) => ChordSpan,
): readonly ChordSpan[] => {
  if (pickup === undefined || first === undefined) return [];
  const pulse = pulseLength(parseMetre(metre));
  const length = multiplyBeats(beats(pickup), pulse);
  const starts = first.chords.map(({ beat }) => multiplyBeats(subtractBeats(beats(beat), beats(1)), pulse));
  return first.chords.map(({ symbol, numeral }, i) => {
    const [start, end] = [starts[i] ?? ZERO, starts[i + 1] ?? length];
    if (compareBeats(start, length) >= 0) throw refuse(symbol, `beats inside the pickup of ${pickup}, in bar 0`);
    return spanOf(subtractBeats(start, length), subtractBeats(end, start), symbol, numeral);
  });
};

const SIGNS = ["section", "repeatStart", "repeatEnd", "ending", "segno", "toCoda", "coda", "fine", "jump"] as const;

/** The form of a chart as it is written; none where it has no sign. */
const formOf = ({ bars, pickup }: Chart, played: readonly PlayedBar[]): WrittenForm | undefined => {
  const before = pickup === undefined ? 0 : 1;
  const signs = bars
    .slice(before)
    .map((bar): BarSigns => Object.fromEntries(SIGNS.flatMap((sign) => (bar[sign] ? [[sign, bar[sign]]] : []))));
  return signs.every((bar) => Object.keys(bar).length === 0)
    ? undefined
    : { bars: signs, order: played.map(({ written }) => written - before + 1) };
};

/** A chart played out: the chords of its full bars in exact time, those of a pickup before them. */
export const progressionIn = (chart: Chart): Progression => {
  const all = playBars(chart);
  const played = all.filter(({ bar }) => bar > 0);
  const metre = parseMetre(chart.metre);
  const spans: ChordSpan[] = [];
  const metres: MetreChange[] = [];
  const sections: ProgressionSection[] = [];
  const chords = new Map<string, ChordSpan["chord"]>();
  const spanOf = (from: Beats, duration: Beats, symbol: string, numeral: string | undefined): ChordSpan => {
    if (!chords.has(symbol)) chords.set(symbol, symbol === "N.C." ? undefined : parseChord(symbol));
    return { at: from, duration, chord: chords.get(symbol), ...(numeral !== undefined && { numeral }) };
  };
  const pickupChords = pickupIn(all[0], chart, spanOf);
  let at: Beats = ZERO;
  let running = formatMetre(metre);
  for (const [i, { bar, written, chords: placed, section, metre: own }] of played.entries()) {
    if (own !== running) {
      metres.push({ bar, metre: parseMetre(own) });
      running = own;
    }
    const barMetre = parseMetre(own);
    const length = barLength(barMetre);
    const pulse = pulseLength(barMetre);
    const starts = placed.map(({ beat }) => multiplyBeats(subtractBeats(beats(beat), beats(1)), pulse));
    for (const [j, { symbol, numeral }] of placed.entries()) {
      const start = starts[j] ?? ZERO;
      const end = starts[j + 1] ?? length;
      if (compareBeats(start, length) >= 0) throw refuse(symbol, `beats inside a bar of ${own} in bar ${bar}`);
      spans.push(spanOf(addBeats(at, start), subtractBeats(end, start), symbol, numeral));
    }
    const before = played[i - 1];
    if (section !== undefined && (chart.bars[written]?.section !== undefined || section !== before?.section))
      sections.push({ name: section, bar, bars: 0 });
    at = addBeats(at, length);
  }
  const end = played.length + 1;
  const form = formOf(chart, played);
  return {
    kind: "progression",
    key: parseKey(chart.key),
    metre,
    bars: played.length,
    chords: spans,
    ...(chart.title !== "" && { name: chart.title }),
    sections: sections.map((one, i) => ({ ...one, bars: (sections[i + 1]?.bar ?? end) - one.bar })),
    ...(form && { form }),
    ...(pickupChords.length > 0 && { pickupChords }),
    ...(metres.length > 0 && { metres }),
    ...(chart.tempo !== undefined && { chartTempo: chart.tempo }),
    ...(chart.feel !== undefined && { chartFeel: chart.feel }),
    ...(chart.guesses.length > 0 && { guesses: chart.guesses }),
  };
};
