// How long a class takes: thirty students, five takes each, heard by the command line as it is bundled: npx tsx bench/class.ts [students] [takes]
import { execFileSync } from "node:child_process";
import { mkdirSync, rmSync, writeFileSync } from "node:fs";
import { availableParallelism } from "node:os";
import { join } from "node:path";
import { addEntry, makeDrill, makeNotebook, nextWeek, writeMidi, writeNotebook } from "../tests/all.ts";
import { realCommandLine } from "../tests/cli/real.ts";

const [students = 30, takes = 5] = process.argv.slice(2).map(Number);
const { folder, script } = await realCommandLine();
const place = join(folder, "class");
for (let i = 0; i < students; i++) {
  const empty = makeNotebook({ alias: `Student ${i + 1}`, at: "2026-01-05T08:00:00Z", level: 3, weak: ["Ab"] });
  const week = nextWeek(empty, { start: "2026-01-05", drills: takes });
  mkdirSync(join(place, `student-${i + 1}`), { recursive: true });
  const book = addEntry(empty, { kind: "week", at: "2026-01-05T09:00:00Z", week });
  writeFileSync(join(place, `student-${i + 1}.json`), writeNotebook(book));
  for (let take = 0; take < takes; take++) {
    const { recipe } = week.drills[take % week.drills.length] ?? { recipe: { key: "C" } };
    const midi = writeMidi(makeDrill(recipe).score, {
      tracks: { bass: false, drums: false },
      spreadMs: 8,
      seed: take + 10 * i + 1,
    });
    writeFileSync(join(place, `student-${i + 1}`, `take-${take + 1}.mid`), midi);
  }
}
const from = performance.now();
execFileSync(process.execPath, [script, "notebook", "class", place, "--out", join(folder, "out")], { stdio: "ignore" });
const seconds = (performance.now() - from) / 1000;
console.log(`${students} students, ${takes} takes each, ${availableParallelism()} processors: ${seconds.toFixed(1)} s`);
rmSync(folder, { recursive: true, force: true });
