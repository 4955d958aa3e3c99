import { MusicError } from "../ground/errors.ts";
import type { Key, KeyMode } from "../pitch/index.ts";
import type { Beats, Metre } from "../time/index.ts";
import { formatBeats, formatMetre, parseMetre } from "../time/index.ts";
import type { Chart, ChartBar } from "./document.ts";
import { MOST_BARS } from "./document.ts";
import type { Placed } from "./drafts.ts";
import { inForm } from "./form.ts";
import type { Heading } from "./heading.ts";
import { readHeading, readKeyBehind } from "./heading.ts";
import { draftsOf } from "./layout.ts";
import { clearPage } from "./page.ts";
import { pickupIn, placedIn } from "./placing.ts";
import { problemIn } from "./play.ts";
import { Reading } from "./reading.ts";
import { settle } from "./settle.ts";
import { Symbols } from "./symbols.ts";
import { tokensOf } from "./tokens.ts";

/** What a reader is told beside the text. */
export interface ReadingOptions {
  readonly key?: Key | undefined;
  readonly mode?: KeyMode | undefined;
  readonly metre?: Metre | undefined;
  readonly chordsPerBar: number;
}

/**
 * Reads a chart as people type it, in six steps: what the page puts round it (`page`), its heading, its signs (`tokens`), what they mean beside
 * each other (`settle`), its bars (`layout`), and in them beats (`placing`) and chords (`symbols`). Its key is empty where none is given and no
 * numeral tells.
 */
export const readChartText = (text: string, options: ReadingOptions): Chart => {
  const reading = new Reading(text);
  const heading: Heading = {};
  clearPage(reading);
  const start = readHeading(reading, heading);
  readKeyBehind(reading, heading, start);
  const tokens = settle(tokensOf(reading.text, start), reading, heading);
  const stated = options.metre ?? heading.metre ?? parseMetre("4/4");
  const drafts = inForm(draftsOf(tokens, reading, stated, options.chordsPerBar), heading.form, reading);
  const [first] = drafts;
  if (first === undefined) throw reading.refuse("at least one chord", reading.text.length);
  if (drafts.length > MOST_BARS) throw reading.refuse(`at most ${MOST_BARS} bars`, first.at);
  const metre = first.marks.metre === undefined ? stated : parseMetre(first.marks.metre);
  delete first.marks.metre;

  let current = metre;
  let pickup: Beats | undefined;
  const placed: Placed[] = [];
  drafts.forEach((draft, i) => {
    if (draft.marks.metre !== undefined) current = parseMetre(draft.marks.metre);
    if (i === 0) pickup = heading.pickup ?? pickupIn(draft, drafts.length, current, reading);
    const bar = { draft, metre: current, number: i + 1, reading };
    placed.push(draft.same > 0 ? (placed[i - draft.same] ?? []) : placedIn(bar, i === 0 ? pickup : undefined));
  });
  const symbols = new Symbols(reading, drafts);
  const keys = symbols.keys({ key: options.key ?? heading.key, mode: options.mode });
  const chords = symbols.chords(placed, keys);
  if (chords[0]?.[0] === undefined || (chords[0][0].beat !== "1" && pickup === undefined)) {
    reading.bars = 0;
    throw reading.refuse("a chord at the beginning of the first bar, or N.C.", first.at);
  }
  const bars = drafts.map(({ marks }, i): ChartBar => {
    const { key: change, ...others } = marks;
    return { ...others, ...(change !== undefined && i > 0 && { key: change }), chords: chords[i] ?? [] };
  });
  const [key] = keys;
  const { title = "", heading: below, tempo, feel } = heading;
  const chart = {
    kind: "chart" as const,
    version: 1 as const,
    title,
    ...(below !== undefined && { heading: below }),
    key: key === undefined ? "" : `${key.tonic} ${key.mode}`,
    metre: formatMetre(metre),
    ...(tempo !== undefined && { tempo }),
    ...(feel !== undefined && { feel }),
    ...(pickup !== undefined && { pickup: formatBeats(pickup) }),
    bars,
  };
  const problem = problemIn(chart);
  if (problem === undefined) return { ...chart, guesses: reading.told() };
  throw new MusicError({
    code: "progression/chart",
    input: reading.original,
    expected: `${problem.expected}, ${reading.where(drafts[problem.bar - 1]?.at ?? 0, problem.bar)}`,
  });
};
