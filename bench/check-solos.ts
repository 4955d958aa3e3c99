/**
 * What `checkLine` says of a corpus of solos, and of our own lines: how many phrases break a must, and how much is called unusual. Run:
 * `npx tsx bench/check-solos.ts ../shared/corpus/solos.json [--part 4 --without 0]`, where only the part that was left out is looked at.
 */
import { checkLine, generateLine } from "../src/line/index.ts";
import { parseProgression } from "../src/progression/index.ts";
import { beatsToNumber } from "../src/time/index.ts";
import { argument } from "./arguments.ts";
import { readSolos, soloEvents } from "./corpus.ts";

const parts = Number(argument("--part") ?? 1);
const without = Number(argument("--without") ?? -1);
const solos = readSolos(process.argv[2] ?? "../shared/corpus/solos.json").filter(
  (_, i) => parts === 1 || i % parts === without,
);
let phrasesOfSolos = 0;
let broken = 0;
const byRule = new Map<string, number>();
for (const solo of solos) {
  const { events, chords, phrases } = soloEvents(solo);
  const report = checkLine(events, { chords, phrases, tempo: solo.tempo });
  const starts = report.phrases.map(({ at }) => beatsToNumber(at));
  const hit = new Set<number>();
  for (const { rule, severity, bar, beat } of report.findings) {
    if (severity !== "must") continue;
    const at = (bar - 1) * 4 + beatsToNumber(beat) - 1;
    hit.add(starts.findLastIndex((start) => start <= at + 1e-6));
    byRule.set(rule, (byRule.get(rule) ?? 0) + 1);
  }
  phrasesOfSolos += starts.length;
  broken += hit.size;
}
const counts = [...byRule].map(([rule, count]) => `${rule} ${count}`).join(", ");
console.log(
  `${solos.length} solos: ${broken} of ${phrasesOfSolos} phrases break a must, ${((100 * broken) / phrasesOfSolos).toFixed(1)} % (${counts})`,
);

for (const told of [true, false]) {
  let [lines, musts, unusual, phrases] = [0, 0, 0, 0];
  for (const id of ["blues", "aaba", "turnaround", "minor-blues", "two-five-one-long"] as const)
    for (const level of [1, 2, 3, 4, 5] as const)
      for (let seed = 0; seed < 6; seed++) {
        const changes = parseProgression(id, { key: "F" });
        const line = generateLine(changes, { seed, level });
        const { findings, phrases: found } = checkLine(line.events, {
          chords: changes.chords,
          ...(told ? { scale: line.scale, phrases: line.phrases } : {}),
        });
        const breaches = findings.filter(({ severity }) => severity === "must").length;
        lines += 1;
        musts += breaches;
        unusual += findings.length - breaches;
        phrases += found.length;
      }
  console.log(
    `${lines} of our lines, ${told ? "scale and phrases told" : "chords alone told"}: ${musts} breaches of a must, ${unusual} unusual in ${phrases} phrases`,
  );
}
