import { mkdtempSync, readFileSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath, pathToFileURL } from "node:url";
import { build } from "esbuild";
import type * as Library from "../tests/all.ts";

// What the checked boundary costs: the library as it is against the same with every check taken out, by turns in one run. Hot paths may lose 5 %.
const ROOT = fileURLToPath(new URL("..", import.meta.url));
const folder = mkdtempSync(join(tmpdir(), "hands-together-"));

const load = async (name: string, checks: boolean): Promise<typeof Library> => {
  const outfile = join(folder, name);
  await build({
    entryPoints: [join(ROOT, "tests/all.ts")],
    bundle: true,
    format: "esm",
    platform: "node",
    outfile,
    logLevel: "error",
    banner: { js: 'import { createRequire as make } from "node:module"; const require = make(import.meta.url);' },
    plugins: [
      {
        name: "without checks",
        setup: ({ onLoad }) => {
          onLoad({ filter: /src\/ground\/check\.ts$/ }, ({ path }) => {
            const text = readFileSync(path, "utf8");
            const open = text
              .replace(
                /(export function (?:need|check|checkOnce)\b[^{]*\{\n)/g,
                "$1  if (Date.now !== undefined) return;\n",
              )
              .replace(/(export const needOptions = [^{]*=> \{\n)/, "$1  if (Date.now !== undefined) return;\n");
            return { contents: checks ? text : open, loader: "ts" };
          });
        },
      },
    ],
  });
  return import(pathToFileURL(outfile).href) as Promise<typeof Library>;
};

const CASES: Readonly<Record<string, (m: typeof Library) => () => unknown>> = {
  "voicings of three chords": (m) => {
    const chords = ["Dm7", "G7", "Cmaj7"].map((symbol) => m.parseChord(symbol));
    return () => chords.map((chord) => [...m.voicingsFor(chord, { style: "rootless" })]);
  },
  "the path through 32 chords, candidates ready": (m) => {
    const sets = ["Dm7", "G7", "Cmaj7", "A7"].map((symbol) => [...m.voicingsFor(symbol, { style: "rootless" })]);
    const long = Array.from({ length: 32 }, (_, i) => sets[i % 4] ?? []);
    return () => m.smoothestPath(long);
  },
  "fingers for 400 notes": (m) => {
    const scale = m.scalePitches(m.scale("Eb", "major blues"), { octaves: 3 });
    const notes = Array.from({ length: 400 }, (_, i) => scale[i % 36 < 18 ? i % 36 : 35 - (i % 36)] ?? m.pitch("Eb4"));
    return () => m.fingerPassage(notes, { hand: "right" });
  },
  "a line over twelve bars": (m) => {
    const changes = m.parseProgression("blues", { key: "F" });
    let seed = 0;
    return () => m.generateLine(changes, { seed: (seed = (seed + 1) % 50) });
  },
  "a bass line over twelve bars": (m) => {
    const changes = m.parseProgression("blues", { key: "F" });
    return () => m.bassLine(changes, { seed: 3 });
  },
  "a MIDI file": (m) => {
    const { score } = m.makeDrill({ key: "Eb" });
    return () => m.writeMidi(score);
  },
  "a MusicXML file": (m) => {
    const { score } = m.makeDrill({ key: "Eb" });
    return () => m.writeMusicXml(score);
  },
  "a drill": (m) => () => m.makeDrill({ key: "Eb" }),
};

const time = (run: () => unknown, times: number): number => {
  const start = performance.now();
  for (let i = 0; i < times; i++) run();
  return (performance.now() - start) / times;
};
const lowTenth = (values: readonly number[]): number => {
  const sorted = [...values].sort((a, b) => a - b);
  return sorted[Math.floor(sorted.length / 10)] ?? Number.NaN;
};

const [checked, open] = [await load("checked.mjs", true), await load("open.mjs", false)];
rmSync(folder, { recursive: true });
for (const [name, make] of Object.entries(CASES)) {
  const [a, b] = [make(checked), make(open)];
  let times = 1;
  while (time(a, times) * times < 4) times *= 2;
  time(b, 3 * times);
  time(a, 3 * times);
  const turns = Array.from({ length: 80 }, (_, i) =>
    i % 2 === 0 ? [time(a, times), time(b, times)] : [time(b, times), time(a, times)].reverse(),
  );
  const [with_, without] = [lowTenth(turns.map(([one = 0]) => one)), lowTenth(turns.map(([, other = 0]) => other))];
  console.log(
    `${name.padEnd(46)} ${(1000 * with_).toFixed(0).padStart(7)} µs  ${(100 * (with_ / without - 1)).toFixed(1).padStart(6)} %`,
  );
}
