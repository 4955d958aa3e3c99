// Renews the guide to generated lines and its picture: npx tsx tests/line/write-statistics.ts
import { writeFileSync } from "node:fs";
import { generateLine, progression, beatsToNumber } from "../../src/index.ts";

// Weimar Jazz Database v1.2 (2016), 299 solos, ODbL; Pfleiderer, M. et al. (eds.) 2017, Inside the Jazzomat, Schott Campus. Shares of
// absolute intervals in semitones, computed from its note lists; phrases cut at rests of a beat.
const CORPUS = [0.0522, 0.255, 0.2791, 0.1721, 0.0907, 0.0675, 0.0166, 0.0256, 0.0116, 0.0098, 0.0055, 0.003, 0.0047];
const SEEDS = 1000;

const changes = progression("blues", { key: "C" });
const intervals: number[] = [];
const phrases: { notes: number; beats: number }[] = [];
for (let seed = 0; seed < SEEDS; seed++) {
  const line = generateLine(changes, { seed });
  for (const phrase of line.phrases) {
    const from = beatsToNumber(phrase.at);
    const to = from + beatsToNumber(phrase.duration);
    const notes = line.events.filter((event) => beatsToNumber(event.at) >= from && beatsToNumber(event.at) < to);
    phrases.push({ notes: notes.length, beats: to - from });
  }
  line.events.forEach((event, i) => {
    const before = line.events[i - 1];
    if (before !== undefined) intervals.push((event.pitches[0]?.semitones ?? 0) - (before.pitches[0]?.semitones ?? 0));
  });
}

const share = (test: (n: number) => boolean): number => intervals.filter(test).length / intervals.length;
const quartile = (values: readonly number[], q: number): number => [...values].sort((a, b) => a - b)[Math.floor(q * (values.length - 1))] as number;
const percent = (n: number): string => `${(100 * n).toFixed(1)} %`;
const ours = CORPUS.map((_, size) => share((n) => Math.abs(n) === size));

const BAR = 26;
const HEIGHT = 180;
const scale = HEIGHT / 0.35;
const bars = CORPUS.map((theirs, size) => {
  const x = 50 + size * (2 * BAR + 14);
  const [a, b] = [theirs * scale, (ours[size] as number) * scale];
  return `<rect x="${x}" y="${(220 - a).toFixed(1)}" width="${BAR}" height="${a.toFixed(1)}" fill="#fff" stroke="#111"/>`
    + `<rect x="${x + BAR}" y="${(220 - b).toFixed(1)}" width="${BAR}" height="${b.toFixed(1)}" fill="#111"/>`
    + `<text x="${x + BAR}" y="238" text-anchor="middle">${size}</text>`;
}).join("");
writeFileSync(new URL("../../docs/pictures/line-statistics.svg", import.meta.url), `<svg xmlns="http://www.w3.org/2000/svg" role="img" aria-labelledby="t d" viewBox="0 0 920 290" font-family="sans-serif" font-size="13">
<title id="t">Intervals of generated lines beside the corpus</title>
<desc id="d">Shares of melodic intervals from 0 to 12 semitones: white bars for the corpus, black bars for ${SEEDS} generated lines.</desc>
<rect width="920" height="290" fill="#fff"/>
<text x="50" y="24" font-size="16" font-weight="bold">Intervals of ${SEEDS} generated lines beside the corpus</text>
<line x1="40" y1="220" x2="905" y2="220" stroke="#111"/>${[10, 20, 30].map((p) => `<text x="34" y="${(224 - (p / 100) * scale).toFixed(1)}" text-anchor="end">${p}</text><line x1="40" x2="905" y1="${(220 - (p / 100) * scale).toFixed(1)}" y2="${(220 - (p / 100) * scale).toFixed(1)}" stroke="#ccc"/>`).join("")}
${bars}
<text x="50" y="268">semitones; share in per cent. White: 299 solos of the corpus. Black: generated, 12-bar blues in C, grade 3.</text>
</svg>
`);

const rows: readonly (readonly [string, string, string])[] = [
  ["repeats", "5.2 %", percent(share((n) => n === 0))],
  ["steps (1 or 2 semitones)", "53.4 %; asked 45 to 62 %", percent(share((n) => [1, 2].includes(Math.abs(n))))],
  ["thirds", "26.3 %", percent(share((n) => [3, 4].includes(Math.abs(n))))],
  ["a fourth or wider", "15.1 %", percent(share((n) => Math.abs(n) >= 5))],
  ["rising", "45.5 %", percent(share((n) => n > 0))],
  ["falling", "49.3 %", percent(share((n) => n < 0))],
  ["notes in a phrase, middle half", "7 to 25, median 13", `${quartile(phrases.map((p) => p.notes), 0.25)} to ${quartile(phrases.map((p) => p.notes), 0.75)}, median ${quartile(phrases.map((p) => p.notes), 0.5)}`],
  ["beats in a phrase, middle half", "3.9 to 13.5, median 7.2", `${quartile(phrases.map((p) => p.beats), 0.25).toFixed(1)} to ${quartile(phrases.map((p) => p.beats), 0.75).toFixed(1)}, median ${quartile(phrases.map((p) => p.beats), 0.5).toFixed(1)}`],
];
writeFileSync(new URL("../../docs/line-statistics.md", import.meta.url), `# Generated lines beside an open corpus

${SEEDS} lines over a 12-bar blues in C, grade 3, seeds 0 to ${SEEDS - 1}: ${intervals.length} intervals in ${phrases.length} phrases.

| figure | corpus | generated |
|---|---|---|
${rows.map((row) => `| ${row.join(" | ")} |`).join("\n")}

![Intervals of generated lines beside the corpus](pictures/line-statistics.svg)

The corpus is the Weimar Jazz Database v1.2 (2016), 299 solos, ODbL; Pfleiderer, M. et al. (eds.) 2017, Inside the Jazzomat, Schott Campus. Its
figures were computed from its note lists; phrases there are cut at rests of a beat. They are a yardstick for how far a line strays from what
players do, not a style to be copied.

\`\`\`ts
import { generateLine, progression } from "hands-together";

const changes = progression("blues", { key: "C" });
const line = generateLine(changes, { seed: 7 });
line.bars; // => 12
generateLine(changes, { seed: 7 }).events.length === line.events.length; // => true
\`\`\`

Playing can hurt: stop at any pain, warm up, take breaks, and ask a teacher or a clinician.

To renew this page: \`npx tsx tests/line/write-statistics.ts\`.
`);
