import type { Beats } from "../time/index.ts";
import { beats, equalBeats, formatBeats, parseMetre, subtractBeats } from "../time/index.ts";
import type { Chart, ChartBar, ChartChord } from "./document.ts";
import { pulsesIn, sharesOf } from "./lengths.ts";

const ONE = beats(1);

const heading = ({ title, heading: below, key, metre, tempo, feel, pickup }: Chart): string =>
  [
    title === "" ? undefined : `Title: ${title}`,
    below === undefined || below === "" ? undefined : `Heading: ${below}`,
    `Key: ${key}`,
    `Metre: ${metre}`,
    tempo === undefined ? undefined : `Tempo: ${tempo}`,
    feel === undefined || feel === "" ? undefined : `Feel: ${feel}`,
    pickup === undefined ? undefined : `Pickup: ${pickup}`,
  ]
    .filter((line) => line !== undefined)
    .join("\n");

/** How the chords of a bar are written, with beats where they do not share it as the reader has it. */
const chordsText = ({ chords }: ChartBar, metre: string, numerals: boolean, short: Beats | undefined): string => {
  const [first] = chords;
  if (first === undefined) return "/";
  const pulses = short ?? pulsesIn(parseMetre(metre));
  const lead = subtractBeats(beats(first.beat), ONE);
  const starts = chords.map(({ beat }) => subtractBeats(beats(beat), ONE));
  const lengths = starts.map((start, i) => subtractBeats(starts[i + 1] ?? pulses, start));
  const shares = short === undefined ? sharesOf(chords.length, parseMetre(metre)) : [];
  const [share] = shares;
  const shared =
    share !== undefined &&
    shares.length === lengths.length &&
    [...shares, ...lengths].every((length) => equalBeats(length, share));
  const words = chords.map((chord, i) => chordText(chord, numerals, shared ? undefined : lengths[i]));
  return [...Array.from({ length: Math.max(0, lead.num) }, () => "/"), ...words].join(" ");
};

const chordText = (chord: ChartChord, numerals: boolean, length: Beats | undefined): string => {
  const group = numerals && chord.numeral !== undefined ? /^\[(.*)\]\/(.*)$/.exec(chord.numeral) : null;
  const name = numerals && chord.numeral !== undefined ? (group?.[1] ?? chord.numeral) : chord.symbol;
  const timed = length === undefined ? name : `${name}*${formatBeats(length)}`;
  const inGroup = group === null ? timed : `[${timed}]/${group[2]}`;
  const bracketed = chord.optional === true ? `(${inGroup})` : inGroup;
  return chord.mark === undefined ? bracketed : `${bracketed} (${chord.mark})`;
};

const before = (bar: ChartBar): readonly string[] => [
  ...(bar.ending === undefined ? [] : [`[${bar.ending.join(",")}]`]),
  ...(bar.coda === true ? ["[Coda]"] : []),
  ...(bar.section === undefined ? [] : [`[${bar.section}]`]),
  ...(bar.segno === true ? ["[Segno]"] : []),
  ...(bar.metre === undefined ? [] : [`[${bar.metre}]`]),
  ...(bar.key === undefined ? [] : [`[key: ${bar.key}]`]),
];

const behind = (bar: ChartBar): readonly string[] => [
  ...(bar.toCoda === true ? ["(To Coda)"] : []),
  ...(bar.fine === true ? ["(Fine)"] : []),
  ...(bar.jump === undefined ? [] : [`(${bar.jump})`]),
];

/** A chart's text, with numerals where it has them or with symbols throughout. */
export const chartText = (chart: Chart, numerals: boolean): string => {
  let metre = chart.metre;
  const lines: string[] = [];
  let line = "";
  chart.bars.forEach((bar, i) => {
    metre = bar.metre ?? metre;
    const short = i === 0 && chart.pickup !== undefined ? beats(chart.pickup) : undefined;
    const starts = bar.repeatStart === true;
    const fresh = line === "" || (bar.section !== undefined && i > 0);
    if (fresh && line !== "") {
      lines.push(line);
      line = "";
    }
    if (line === "") line = starts ? "|:" : "|";
    else if (starts) line = line.endsWith(" |") ? `${line}:` : `${line} |:`;
    const words = [...before(bar), chordsText(bar, metre, numerals, short), ...behind(bar)];
    const close =
      bar.repeatEnd === undefined
        ? "|"
        : bar.repeatEnd === 2 || bar.ending !== undefined
          ? ":|"
          : `:|*${bar.repeatEnd}`;
    line = `${line} ${words.join(" ")} ${close}`;
    const next = chart.bars[i + 1];
    if ((i + 1) % 4 === 0 && next?.repeatStart !== true && next?.ending === undefined) {
      lines.push(line);
      line = "";
    }
  });
  if (line !== "") lines.push(line);
  return `${heading(chart)}\n\n${lines.join("\n")}\n`;
};

/** The same chart with every chord that lasts on written again where a stroke can't say it. */
export const madeWritable = (chart: Chart): Chart => {
  let last: ChartChord | undefined;
  return {
    ...chart,
    bars: chart.bars.map((bar) => {
      const [first] = bar.chords;
      const carried = last;
      last = bar.chords.at(-1) ?? last;
      return first === undefined || carried === undefined || subtractBeats(beats(first.beat), ONE).den === 1
        ? bar
        : { ...bar, chords: [{ symbol: carried.symbol, beat: "1" }, ...bar.chords] };
    }),
  };
};
