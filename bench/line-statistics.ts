/**
 * Figures of 1,000 generated lines beside those of the corpus: prints the table of docs/line-statistics.md. With `--write` it also
 * draws docs/line-statistics.svg. Run: `npx tsx bench/line-statistics.ts --write`.
 */
import { writeFileSync } from "node:fs";
import { checkLine, generateLine } from "../src/line/index.ts";
import { parseProgression } from "../src/progression/index.ts";
import { addBeats, beatsToNumber } from "../src/time/index.ts";

// Weimar Jazz Database v1.2, 299 solos (Pfleiderer, M. et al. (eds.) 2017, Inside the Jazzomat); computed from its note lists.
const CORPUS = {
  signed: [
    0.0019, 0.0009, 0.002, 0.0042, 0.0052, 0.0114, 0.0079, 0.034, 0.0512, 0.0893, 0.1521, 0.1306, 0.0522, 0.1245,
    0.1269, 0.0828, 0.0395, 0.0335, 0.0087, 0.0142, 0.0063, 0.0056, 0.0035, 0.0021, 0.0028,
  ],
  steps: 0.5341,
  thirds: 0.2628,
  repeats: 0.0522,
  wide: 0.151,
  mean: 2.751,
  rising: 0.4548,
  falling: 0.493,
  notes: [7, 13, 25],
  beats: [3.94, 7.24, 13.5],
  span: [7, 12, 17],
} as const;

const SEEDS = 1000;
const blues = parseProgression("blues", { key: "C" });

const quartiles = (values: readonly number[]): readonly [number, number, number] => {
  const sorted = [...values].sort((a, b) => a - b);
  const at = (share: number): number => sorted[Math.floor(share * (sorted.length - 1))] as number;
  return [at(0.25), at(0.5), at(0.75)];
};

const measure = (level: 1 | 2 | 3 | 4 | 5) => {
  const intervals: number[] = [];
  const notes: number[] = [];
  const beats: number[] = [];
  const span: number[] = [];
  const broken = { must: 0, should: 0 };
  const distinct = new Set<string>();
  for (let seed = 0; seed < SEEDS; seed++) {
    const line = generateLine(blues, { seed, level });
    for (const finding of checkLine(line.events, { chords: blues.chords, scale: line.scale, phrases: line.phrases })
      .findings)
      broken[finding.severity] += 1;
    distinct.add(JSON.stringify(line.events));
    const heard = line.events.map((e) => ({
      at: beatsToNumber(e.at),
      end: beatsToNumber(addBeats(e.at, e.duration)),
      height: e.pitches[0]?.semitones as number,
    }));
    let from = 0;
    heard.forEach((note, i) => {
      if (i > 0) intervals.push(note.height - (heard[i - 1] as typeof note).height);
      const next = heard[i + 1];
      if (next !== undefined && next.at - note.end < 1 - 1e-9) return;
      const phrase = heard.slice(from, i + 1);
      const heights = phrase.map((n) => n.height);
      notes.push(phrase.length);
      beats.push(note.end - (phrase[0] as typeof note).at);
      span.push(Math.max(...heights) - Math.min(...heights));
      from = i + 1;
    });
  }
  const share = (test: (d: number) => boolean): number => intervals.filter(test).length / intervals.length;
  return {
    signed: Array.from({ length: 25 }, (_, i) => share((d) => d === i - 12)),
    steps: share((d) => [1, 2].includes(Math.abs(d))),
    thirds: share((d) => [3, 4].includes(Math.abs(d))),
    repeats: share((d) => d === 0),
    wide: share((d) => Math.abs(d) >= 5),
    mean: intervals.reduce((sum, d) => sum + Math.abs(d), 0) / intervals.length,
    rising: share((d) => d > 0),
    falling: share((d) => d < 0),
    notes: quartiles(notes),
    beats: quartiles(beats),
    span: quartiles(span),
    broken,
    distinct: distinct.size,
  };
};

type Figures = Omit<ReturnType<typeof measure>, "broken" | "distinct" | "notes" | "beats" | "span" | "signed"> & {
  readonly notes: readonly number[];
  readonly beats: readonly number[];
  readonly span: readonly number[];
};

const percent = (x: number): string => `${(100 * x).toFixed(1)} %`;
const three = (values: readonly number[]): string => values.map((v) => String(Math.round(10 * v) / 10)).join(" / ");
const rows: readonly (readonly [string, (f: Figures) => string])[] = [
  ["steps (1 or 2 semitones)", (f) => percent(f.steps)],
  ["thirds (3 or 4)", (f) => percent(f.thirds)],
  ["repeated notes", (f) => percent(f.repeats)],
  ["fourths and wider", (f) => percent(f.wide)],
  ["mean interval, semitones", (f) => f.mean.toFixed(2)],
  ["rising", (f) => percent(f.rising)],
  ["falling", (f) => percent(f.falling)],
  ["notes a phrase, quartiles", (f) => three(f.notes)],
  ["beats a phrase, quartiles", (f) => three(f.beats)],
  ["semitones a phrase spans, quartiles", (f) => three(f.span)],
];

const grades = [1, 2, 3, 4, 5] as const;
const measured = grades.map(measure);
console.log(`| | corpus | ${grades.map((g) => `level ${g}`).join(" | ")} |`);
console.log(`|---|---|${grades.map(() => "---|").join("")}`);
for (const [name, figure] of rows) console.log(`| ${name} | ${figure(CORPUS)} | ${measured.map(figure).join(" | ")} |`);
console.log(`| lines that differ, of ${SEEDS} | | ${measured.map((m) => m.distinct).join(" | ")} |`);
console.log(`| breaches of a must, all lines | | ${measured.map((m) => m.broken.must).join(" | ")} |`);
console.log(`| breaches of a should, all lines | | ${measured.map((m) => m.broken.should).join(" | ")} |`);

const draw = (ours: ReturnType<typeof measure>): string => {
  const parts: string[] = [];
  const text = (x: number, y: number, content: string, anchor = "middle", size = 12): void => {
    parts.push(`<text x="${x}" y="${y}" font-size="${size}" text-anchor="${anchor}">${content}</text>`);
  };
  const [left, bottom, height, step] = [50, 290, 240, 26];
  const scale = height / 0.2;
  for (let tick = 0; tick <= 20; tick += 5) {
    const y = bottom - (tick / 100) * scale;
    parts.push(`<path d="M${left} ${y}H${left + 25 * step}" stroke="#ccc"/>`);
    text(left - 6, y + 4, `${tick} %`, "end", 11);
  }
  for (let i = 0; i < 25; i++) {
    const x = left + i * step;
    const bar = (offset: number, share: number, style: string): void => {
      parts.push(
        `<rect x="${x + offset}" y="${(bottom - share * scale).toFixed(1)}" width="9" height="${(share * scale).toFixed(1)}" ${style}/>`,
      );
    };
    bar(3, CORPUS.signed[i] as number, 'fill="#fff" stroke="#000"');
    bar(14, ours.signed[i] as number, 'fill="#444"');
    text(x + 13, bottom + 16, i === 12 ? "0" : i > 12 ? `+${i - 12}` : `\u2212${12 - i}`, "middle", 11);
  }
  text(left + 12.5 * step, bottom + 36, "interval to the next note, in semitones");
  parts.push(
    `<rect x="${left + 12}" y="30" width="12" height="12" fill="#fff" stroke="#000"/>`,
    `<rect x="${left + 12}" y="50" width="12" height="12" fill="#444"/>`,
  );
  text(left + 30, 41, "299 solos of the corpus", "start");
  text(left + 30, 61, "1,000 generated lines, level 3", "start");
  const box = (y: number, title: string, unit: number, corpus: readonly number[], own: readonly number[]): void => {
    const x0 = 250;
    text(left, y + 16, title, "start");
    [
      [corpus, 'fill="#fff" stroke="#000"', "#000"],
      [own, 'fill="#444"', "#fff"],
    ].forEach(([values, style, line], row) => {
      const [low, mid, high] = values as readonly [number, number, number];
      const at = y + row * 16;
      parts.push(
        `<rect x="${x0 + low * unit}" y="${at}" width="${((high - low) * unit).toFixed(1)}" height="12" ${style as string}/>`,
      );
      parts.push(`<path d="M${(x0 + mid * unit).toFixed(1)} ${at}v12" stroke="${line as string}" stroke-width="2"/>`);
      text(x0 + high * unit + 8, at + 10, three(values as readonly number[]), "start", 11);
    });
  };
  box(360, "notes a phrase", 12, CORPUS.notes, ours.notes);
  box(410, "beats a phrase", 20, CORPUS.beats, ours.beats);
  box(460, "semitones a phrase spans", 16, CORPUS.span, ours.span);
  text(left, 520, "Boxes: the middle half of all phrases, cut at rests of a beat, with the median.", "start", 11);
  return [
    '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 740 535" font-family="sans-serif" role="img" aria-labelledby="t d">',
    '<title id="t">Generated lines beside the corpus</title>',
    `<desc id="d">Shares of each interval from an octave down to an octave up, in ${SEEDS} generated lines and in 299 solos, and the middle half of phrase lengths.</desc>`,
    '<rect width="740" height="535" fill="#fff"/>',
    ...parts,
    "</svg>",
    "",
  ].join("\n");
};

if (process.argv.includes("--write"))
  writeFileSync(
    new URL("../docs/line-statistics.svg", import.meta.url),
    draw(measured[2] as ReturnType<typeof measure>),
  );
