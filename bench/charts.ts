/**
 * A million charts somewhat spoilt: each is read and played out in full bars, or refused as one short `MusicError`, soon. Every tenth that is read
 * is written as text and read again. `tsx bench/charts.ts [charts] [seed]`; ends with 1 at the first that is neither.
 */
import { chanceOf } from "../src/ground/chance.ts";
import { isMusicError } from "../src/ground/errors.ts";
import { chartBars, formatChart, parseChart, playChart } from "../src/progression/index.ts";
import { addBeats, compareBeats, equalBeats, ZERO } from "../src/time/index.ts";
import { HANDS, REFUSED } from "../tests/progression/hands.ts";

const [count = 1_000_000, seed = 1] = process.argv.slice(2).map(Number);
/** Of the processor's time; a chart takes a few. A second is a hang to who waits for it. */
const MOST_MS = 1_000;
const busyMs = (): number => process.cpuUsage().user / 1000;

const TEXTS = [...HANDS.map(({ text }) => text), ...REFUSED.map(([text]) => text)];
const WORDS =
  'C Dm7 G7(b9,13) F#ø Bb/D cm N.C. I ii V7 V7/ii subV7 iiø bVII7 viii VI I6/9 N6 ii@5 | || |: :| :|*3 :|x2 :: |] % %% / // *2 *1/2 *0 [A] A: (A7) [1] [2] 1. 2. [3/4] [key: F] G: [ii V]/V D.C. D.S. Segno Fine Coda To x3 (hold) [ ] ( ) , - -> * @ b é 𝄐 𝄋 𝄌 C:maj7 j79b Title: Key: Form: > ** " --- (2 bars) Cm7:2 _ in Bb ♩=120 H7 \n \t \u0001'.split(
    " ",
  );

const chance = chanceOf(seed);
const below = (most: number): number => chance.between(0, most - 1);
const oneOf = <T>(list: readonly [T, ...T[]] | readonly T[]): T => {
  const item = list[below(list.length)];
  if (item === undefined) throw new Error("nothing to choose from");
  return item;
};

const spoilt = (text: string): string => {
  const at = below(text.length + 1);
  const [left, right] = [text.slice(0, at), text.slice(at)];
  switch (below(5)) {
    case 0:
      return left + right.slice(1);
    case 1:
      return left + right.slice(0, 1) + right;
    case 2:
      return `${left}${oneOf(["", " "])}${oneOf(WORDS)}${oneOf(["", " "])}${right}`;
    case 3:
      return left + right.slice(1, 2) + right.slice(0, 1) + right.slice(2);
    default: {
      const other = oneOf(TEXTS);
      return left + other.slice(below(other.length + 1));
    }
  }
};

const bare = (text: string): string =>
  JSON.stringify(chartBars(parseChart(text)).map(({ chords }) => chords.map(({ symbol, beat }) => [symbol, beat])));

const requireWhole = (text: string, again: boolean): void => {
  const chart = parseChart(text);
  let at = ZERO;
  for (const span of playChart(chart).chords) {
    if (!equalBeats(span.at, at) || compareBeats(span.duration, ZERO) <= 0) throw new Error("a gap or an overlap");
    at = addBeats(at, span.duration);
  }
  if (again && bare(formatChart(chart)) !== bare(text)) throw new Error("not read back from its own text");
};

let [read, slowest, slowestText] = [0, 0, ""];
const codes = new Map<string, number>();
for (let i = 0; i < count; i++) {
  let text = oneOf(TEXTS);
  for (let changes = chance.between(1, 4); changes > 0; changes--) text = spoilt(text);
  const before = busyMs();
  try {
    requireWhole(text, i % 10 === 0);
    read++;
  } catch (error) {
    if (!isMusicError(error) || error.message.includes("\n") || error.message.length > 700) {
      console.error(`chart ${i} of seed ${seed}: ${JSON.stringify(text)}`);
      console.error(error);
      process.exit(1);
    }
    codes.set(error.code, (codes.get(error.code) ?? 0) + 1);
  }
  const took = busyMs() - before;
  if (took > slowest) [slowest, slowestText] = [took, text];
  if (took > MOST_MS) {
    console.error(`chart ${i} of seed ${seed} took ${Math.round(took)} ms: ${JSON.stringify(text)}`);
    process.exit(1);
  }
}
const refused = [...codes].sort(([, a], [, b]) => b - a).map(([code, times]) => `${code} ${times}`);
console.log(`${count} charts, seed ${seed}: ${read} read, ${count - read} refused (${refused.join(", ")})`);
console.log(
  `slowest ${Math.round(slowest)} ms, with what reading it again took: ${JSON.stringify(slowestText.slice(0, 120))}`,
);
