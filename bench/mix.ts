import { execFileSync, spawnSync } from "node:child_process";
import { existsSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import type { DrillRecipe, ScorePart } from "../tests/all.ts";
import { makeDrill, writeMidi } from "../tests/all.ts";

/**
 * What is heard: drills rendered part by part by FluidSynth with a General MIDI bank that anyone may have, and measured. Loudness is the root of the
 * mean square over the moments in which the part sounds (those within 40 dB of its loudest), in dB below full scale.
 */
const BANKS = ["/usr/share/sounds/sf2/TimGM6mb.sf2", "/usr/share/sounds/sf2/FluidR3_GM.sf2"];
const bank = BANKS.find((path) => existsSync(path));
const there = bank !== undefined && spawnSync("fluidsynth", ["--version"]).status === 0;

const RATE = 44_100;
const WINDOW = RATE / 20;
const PARTS: readonly ScorePart[] = ["right", "left", "bass", "drums"];
const RECIPES: readonly DrillRecipe[] = [
  { key: "F", changes: "jazz-blues", right: "improvised", left: "rootless", level: 4, tempo: 140 },
  { key: "Eb", changes: "turnaround", right: "up-and-down", left: "shell", tempo: 120, repeats: 2 },
  { key: "C", changes: "two-five-one", right: "improvised", left: "rootless", tempo: 66, backing: "ballad" },
  { key: "Bb", changes: "blues", right: "improvised", left: "rootless", tempo: 200 },
  { key: "G", changes: "two-five-one", right: "turns", left: "rootless", tempo: 130, backing: "bossa" },
  { key: "Ab", changes: "turnaround", right: "improvised", left: "shell", metre: "3/4", tempo: 150, backing: "waltz" },
];

interface Heard {
  readonly loudness: number;
  readonly peak: number;
}

const rendered = (midi: Uint8Array, folder: string): Heard => {
  const [from, to] = [join(folder, "a.mid"), join(folder, "a.raw")];
  writeFileSync(from, midi);
  execFileSync(
    "fluidsynth",
    ["-ni", "-q", "-g", "0.5", "-r", String(RATE), "-O", "float", "-T", "raw", "-F", to, bank ?? "", from],
    {
      stdio: "ignore",
    },
  );
  const bytes = readFileSync(to);
  const samples = new Float32Array(bytes.buffer, bytes.byteOffset, Math.floor(bytes.length / 4));
  const windows: number[] = [];
  let peak = 0;
  for (let start = 0; start < samples.length; start += 2 * WINDOW) {
    let sum = 0;
    const end = Math.min(samples.length, start + 2 * WINDOW);
    for (let i = start; i < end; i++) {
      const sample = samples[i] ?? 0;
      sum += sample * sample;
      peak = Math.max(peak, Math.abs(sample));
    }
    windows.push(sum / (end - start));
  }
  const loudest = windows.reduce((most, power) => Math.max(most, power), 0);
  const heard = windows.filter((power) => power > loudest / 10_000);
  return { loudness: 10 * Math.log10(heard.reduce((sum, power) => sum + power, 0) / heard.length), peak };
};

if (!there) console.log("no FluidSynth or no General MIDI bank on this machine: nothing is rendered");
else {
  const folder = mkdtempSync(join(tmpdir(), "mix-"));
  console.log("dBFS while it sounds                          right    left    bass   drums  right-left   peak of all");
  const apart: number[] = [];
  for (const recipe of RECIPES) {
    const { score, title } = makeDrill(recipe);
    const touch = recipe.backing === "ballad" ? "ballad" : "played";
    const alone = (part: ScorePart): Heard =>
      rendered(
        writeMidi(score, { touch, tracks: Object.fromEntries(PARTS.map((one) => [one, one === part])) }),
        folder,
      );
    const [right, left, bass, drums] = PARTS.map(alone) as [Heard, Heard, Heard, Heard];
    const all = rendered(writeMidi(score, { touch }), folder);
    apart.push(right.loudness - left.loudness);
    const figures = [right, left, bass, drums].map(({ loudness }) => loudness.toFixed(1).padStart(8)).join("");
    console.log(
      `${`${title}, ${recipe.tempo}`.slice(0, 42).padEnd(42)}${figures}${(right.loudness - left.loudness).toFixed(1).padStart(12)}${all.peak.toFixed(2).padStart(14)}${all.peak >= 1 ? "  clips" : ""}`,
    );
  }
  console.log(
    `right over left: ${Math.min(...apart).toFixed(1)} to ${Math.max(...apart).toFixed(1)} dB; asked for: 2 to 6`,
  );
  rmSync(folder, { recursive: true });
}
