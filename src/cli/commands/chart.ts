import { formatChord, parseChord } from "../../chord/index.ts";
import { MusicError } from "../../ground/errors.ts";
import { formatPitch, parseKey } from "../../pitch/index.ts";
import type { Chart, ChartBar, PlayedBar } from "../../progression/index.ts";
import {
  chartBars,
  formatChart,
  likelyKeys,
  parseChart,
  progressionCatalogue,
  withMelody,
} from "../../progression/index.ts";
import type { Beats } from "../../time/index.ts";
import { beats, subtractBeats, ZERO } from "../../time/index.ts";
import { feels, namedProgressions } from "../catalogues.ts";
import { CHANGES, chartOfItem } from "../changes.ts";
import type { AddCommand, Answer } from "../command.ts";
import { answerEach } from "../command.ts";
import { fromFile } from "../from-file.ts";
import { readInput } from "../io.ts";
import { oneOf, wholeNumber } from "../options.ts";

const FORMS = ["chart", "document", "musicxml", "exercise"] as const;

interface Options {
  readonly key?: string;
  readonly metre?: string;
  readonly melody?: string;
  readonly feel?: string;
  readonly track?: number;
  readonly before?: string;
  readonly as?: (typeof FORMS)[number];
  readonly numerals?: boolean;
  readonly json?: boolean;
}

export const addChartCommand: AddCommand = (program, terminal, done) => {
  program
    .command("chart")
    .description(
      "how a chart was understood: its bars as written and as played, sections, key with reasons, and what was guessed",
    )
    .argument("<chart>", `${CHANGES}; - reads one a line`)
    .option("--key <key>", "the key (the chart's own, unless given; else the likeliest, C for numerals)")
    .option("--metre <metre>", "the time signature (the chart's own, unless given; else 4/4)")
    .option(
      "--melody <file>",
      "a melody to stand over the chart: MIDI, or a score as MusicXML or JSON (its right hand)",
    )
    .option("--feel <feel>", `the feel that a MIDI melody is played with: ${feels()} (straight, unless given)`)
    .option("--track <n>", "its track (the highest, unless given)", wholeNumber(1, 1000))
    .option("--before <beats>", "quarter notes of it before bar 1 (the chart's pickup, unless given)")
    .option(
      "--as <form>",
      `prints it otherwise: ${FORMS.join(", ")} (a chart's text, its JSON, a lead sheet, its melody as an exercise for a recipe)`,
      oneOf(FORMS),
    )
    .option("--numerals", "with --as musicxml, Roman numerals under the chords and brackets from each ii to its V")
    .option("--json", "prints one JSON document")
    .addHelpText("after", namedProgressions())
    .action(async (chart: string, options: Options) => {
      done(await answerEach(chart, options.json === true, terminal, (item) => answer(item, options)));
    });
};

const answer = async (item: string, { key, metre, as, numerals, ...over }: Options): Promise<Answer> => {
  if (numerals === true && as !== "musicxml")
    throw new MusicError({ code: "cli/chart", input: "--numerals", expected: "--as musicxml beside --numerals" });
  const chart = await sung(named(item, key, metre) ?? chartOfItem(item, { key, metre }), over);
  const played = chartBars(chart);
  const lick = as === "exercise" ? (await import("../../line/index.ts")).lickRow(chart) : undefined;
  return {
    json: as === "document" ? chart : (lick ?? toJson(chart, played)),
    text:
      as === "chart"
        ? formatChart(chart).trimEnd()
        : as === "document"
          ? JSON.stringify(chart, null, 2)
          : as === "musicxml"
            ? await leadSheet(chart, numerals === true)
            : lick !== undefined
              ? JSON.stringify(lick, null, 2)
              : page(chart, played),
  };
};

const leadSheet = async (chart: Chart, numerals: boolean): Promise<string> => {
  const { writeLeadSheet } = await import("../../musicxml/index.ts");
  const marks = numerals ? (await import("../../harmony/index.ts")).numeralMarks : undefined;
  return writeLeadSheet(chart, { numerals: marks }).trimEnd();
};

type Melody = Pick<Options, "melody" | "feel" | "track" | "before">;

/** The chart with the melody of a file. */
const sung = async (chart: Chart, { melody: path, feel, track, before: text }: Melody): Promise<Chart> => {
  if (path === undefined) {
    const [stray] = Object.entries({ feel, track, before: text }).filter(([, value]) => value !== undefined);
    if (stray === undefined) return chart;
    throw new MusicError({ code: "cli/chart", input: stray[1], expected: `--melody and a file beside --${stray[0]}` });
  }
  const before = text === undefined ? undefined : quarterNotes(text);
  const bytes = readInput(path);
  const [{ isMidi, scoreFromBytes }, { midiLeadSheet, readMidi }] = await Promise.all([
    import("../read-score.ts"),
    import("../../midi/index.ts"),
  ]);
  if (isMidi(bytes)) return fromFile(path, () => midiLeadSheet(readMidi(bytes), chart, { feel, track, before }));
  const { right } = scoreFromBytes(bytes, path);
  const melody = right.map((event) => ({ ...event, at: subtractBeats(event.at, before ?? ZERO) }));
  return fromFile(path, () => withMelody(chart, melody));
};

const quarterNotes = (text: string): Beats => {
  if (/^\d{1,3}(?:\/[1-9]\d?|\.\d{1,3})?$/.test(text)) return beats(text);
  throw new MusicError({ code: "cli/chart", input: text, expected: "quarter notes before bar 1, such as 1 or 3/2" });
};

const named = (item: string, key: string | undefined, metre: string | undefined): Chart | undefined => {
  const row = progressionCatalogue.find(({ id }) => id === item.trim());
  if (row === undefined) return undefined;
  const wanted = parseKey(key ?? (row.mode === "minor" ? "C minor" : "C"));
  if (wanted.mode !== row.mode)
    throw new MusicError({ code: "cli/chart", input: key, expected: `a ${row.mode} key for ${row.id}` });
  return { ...parseChart(row.changes, { key: wanted, metre: metre ?? row.metre }), title: row.title, guesses: [] };
};

const toJson = (chart: Chart, played: readonly PlayedBar[]): object => ({
  title: chart.title,
  key: chart.key,
  metre: chart.metre,
  ...(chart.tempo !== undefined && { tempo: chart.tempo }),
  ...(chart.feel !== undefined && { feel: chart.feel }),
  bars: played.map(({ bar, written, section, metre, key, chords }) => ({
    bar,
    section: section ?? null,
    chords: chords.map(({ symbol, beat, numeral, optional, mark }) => ({
      symbol,
      beat,
      ...(numeral !== undefined && { numeral }),
      ...(optional === true && { optional }),
      ...(mark !== undefined && { mark }),
    })),
    written: written + 1,
    ...(metre !== chart.metre && { metre }),
    ...(key !== chart.key && { key }),
  })),
  written: formatChart(chart).split("\n\n").slice(1).join("\n\n").trim(),
  sections: sectionsOf(played),
  keys: likelyKeys(chart)
    .slice(0, 3)
    .map(({ key, share, reasons }) => ({ key: `${key.tonic} ${key.mode}`, share, reasons })),
  guesses: chart.guesses,
});

const sectionsOf = (played: readonly PlayedBar[]): readonly { name: string; bar: number; bars: number }[] => {
  const sections: { name: string; bar: number; bars: number }[] = [];
  played.forEach(({ section, bar, written }, i) => {
    const before = played[i - 1];
    // A section that is played again begins again, too.
    const again = before !== undefined && written <= before.written;
    if (section === undefined) return;
    const last = sections.at(-1);
    if (last !== undefined && before?.section === section && !again) last.bars++;
    else sections.push({ name: section, bar, bars: 1 });
  });
  return sections;
};

const BARS_A_LINE = 4;

const page = (chart: Chart, played: readonly PlayedBar[]): string => {
  const keys = likelyKeys(chart);
  const key = parseKey(chart.key);
  const own = keys.find((one) => one.key.tonic === key.tonic && one.key.mode === key.mode);
  const others = keys
    .filter((one) => one !== own && one.share >= 0.05)
    .slice(0, 2)
    .map((one) => `${formatPitch(one.key.tonic)} ${one.key.mode}`);
  const reasons = own?.reasons.slice(0, 3).join("; ") ?? "";
  const lines = [
    ...(chart.title === "" ? [] : [chart.title]),
    ...(chart.heading === undefined ? [] : [chart.heading]),
    `key     ${formatPitch(key.tonic)} ${key.mode}${reasons === "" ? "" : `: ${reasons}`}${others.length === 0 ? "" : ` (or ${others.join(", ")})`}`,
    `metre   ${chart.metre}${chart.tempo === undefined ? "" : `, ${chart.tempo} a minute`}${chart.feel === undefined ? "" : `, ${chart.feel}`}`,
    `bars    ${chart.bars.length} as written, ${played.length} as played`,
    "",
    "as written",
    ...formatChart(chart).split("\n\n").slice(1).join("\n").trimEnd().split("\n"),
    "",
    "as played",
    ...playedLines(played, chart.bars),
    ...(chart.guesses.length === 0 ? [] : ["", "taken for granted", ...chart.guesses.map((guess) => `- ${guess}`)]),
  ];
  return lines.join("\n");
};

const playedLines = (played: readonly PlayedBar[], written: readonly ChartBar[]): readonly string[] => {
  const lines: PlayedBar[][] = [];
  played.forEach((bar, i) => {
    const begins = written[bar.written]?.section !== undefined || played[i - 1]?.section !== bar.section;
    const line = lines.at(-1);
    if (line === undefined || line.length === BARS_A_LINE || (begins && line.length > 0)) lines.push([bar]);
    else line.push(bar);
  });
  const first = String(Math.max(...played.map(({ bar }) => bar))).length;
  return lines.map((line) => {
    const bars = line.map(({ chords }) => chords.map(chordText).join(" "));
    return `${String(line[0]?.bar ?? 0).padStart(first)}  ${line[0]?.section === undefined ? "" : `[${line[0].section}] `}${bars.join(" | ")}`;
  });
};

const chordText = ({ symbol, beat, optional, mark }: PlayedBar["chords"][number], i: number): string => {
  const name = symbol === "N.C." ? symbol : formatChord(parseChord(symbol));
  const timed = i === 0 && beat === "1" ? name : `${name} on ${beat}`;
  return `${optional === true ? `(${timed})` : timed}${mark === undefined ? "" : ` ${mark}`}`;
};
