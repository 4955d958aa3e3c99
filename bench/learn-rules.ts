/**
 * Counts in each phrase of a corpus of solos what the counting rules of phrasing count, and writes `src/line/rules/percentiles.ts`: how many
 * of a hundred phrases have less. Run: `npx tsx bench/learn-rules.ts ../shared/corpus/solos.json [--part 4 --without 0] [--out FILE]`.
 */
import { writeFileSync } from "node:fs";
import { COUNTING_RULES } from "../src/line/rules/index.ts";
import { argument } from "./arguments.ts";
import { heardSolo, readSolos } from "./corpus.ts";

const parts = Number(argument("--part") ?? 1);
const without = Number(argument("--without") ?? -1);
const solos = readSolos(process.argv[2] ?? "../shared/corpus/solos.json").filter(
  (_, i) => parts === 1 || i % parts !== without,
);
const heard = solos.map(heardSolo);
const phrases = heard.flatMap((line) => line.phrases.map((phrase) => ({ phrase, line })));
const LEAST_TOLD = 50;

const rows = COUNTING_RULES.map(({ id, count }) => {
  const values = phrases
    .map(({ phrase, line }) => count(phrase, line)?.value ?? Number.NEGATIVE_INFINITY)
    .sort((a, b) => a - b);
  const steps: string[] = [];
  let told = LEAST_TOLD - 1;
  values.forEach((value, i) => {
    if (value === values[i - 1] || !Number.isFinite(value)) return;
    const percentile = Math.floor((1000 * i) / values.length) / 10;
    if (percentile < LEAST_TOLD || (percentile - told < 0.4 && percentile < 99)) return;
    told = percentile;
    steps.push(`[${value}, ${percentile}]`);
  });
  return `  "${id}": [${steps.join(", ")}],\n`;
});
const source = `/**
 * How many of a hundred phrases have less of what a rule counts, from each value on; made by \`bench/learn-rules.ts\` from ${phrases.length} phrases of ${solos.length} solos.
 *
 * Source: Weimar Jazz Database, by way of the R package jazzodata (Frieler, Pfleiderer, Zaddach, Abesser 2022); Pfleiderer, M. et al. (eds.)
 * (2017), Inside the Jazzomat; computed from its note lists on 2026-11-29.
 */
export const PERCENTILES: Readonly<Record<string, readonly (readonly [from: number, percentile: number])[]>> = {
${rows.join("")}};
`;
writeFileSync(argument("--out") ?? new URL("../src/line/rules/percentiles.ts", import.meta.url), source);
console.log(`${phrases.length} phrases of ${solos.length} solos`);
