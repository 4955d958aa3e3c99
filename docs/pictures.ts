// Makes the pictures of the guides, by this library alone and verovio: npm run pictures.
import { writeFileSync } from "node:fs";
import { pathToFileURL } from "node:url";
import { loadEngraver } from "../src/cli/engrave.ts";
import type { Voicing } from "../tests/all.ts";
import {
  contourPicture,
  fingerScale,
  keyboardPicture,
  makeDrill,
  sliceScore,
  systemPictures,
  twelveKeysPicture,
  voiceProgression,
} from "../tests/all.ts";

/** File names with the SVG that belongs in them. */
export async function pictures(): Promise<Readonly<Record<string, string>>> {
  const engrave = await loadEngraver();
  const drill = makeDrill({ key: "Eb", values: "triplets", tempo: 110 });
  const [, g13] = voiceProgression(["Dm9", "G13", "Cmaj9"]).voicings;
  const form = "[A] |: Dm7 | G7 | Cmaj7 |1 A7 :|2 C6 | [B] Fm7 | Bb7 | Ebmaj7 | Ebmaj7";
  const written = makeDrill({ key: "C", changes: form, asWritten: true, right: "improvised", level: 1, left: "shell" });
  const rhythm = makeDrill({
    key: "F",
    changes: "turnaround",
    left: "rootless",
    comping: "charleston",
    right: "turns",
  });
  const line = makeDrill({ key: "Eb", changes: "jazz-blues", right: "improvised", level: 3, left: "rootless" });
  return {
    "first-drill.svg": stacked(systemPictures(drill.score, { engrave })),
    "repeats.svg": stacked(systemPictures(written.score, { engrave })),
    "rhythm-and-bass.svg": stacked(
      systemPictures(sliceScore(rhythm.score, 1, 4), { engrave, numerals: true, leftAs: "rhythm", bassLine: true }),
    ),
    "line-over-chords.svg": `${contourPicture(line.score, { id: "line-over-chords" })}\n`,
    "twelve-keys.svg": `${twelveKeysPicture("major", { id: "twelve-keys" })}\n`,
    "blues-scale.svg": `${keyboardPicture(fingerScale("Eb major blues", { hand: "right" }), { title: "E♭ major blues, right hand" })}\n`,
    "rootless-voicing.svg": `${keyboardPicture(g13 as Voicing, { names: "degrees" })}\n`,
  };
}

const MARGIN = 3;

// One system below the other on white paper, so that a dark page shows them too.
const stacked = (systems: readonly string[]): string => {
  const sizes = systems
    .map((svg) => /width="([\d.]+)mm" height="([\d.]+)mm"/.exec(svg) ?? [])
    .map(([, width, height]) => ({ width: Number(width), height: Number(height) }));
  const width = Math.max(...sizes.map((size) => size.width)) + 2 * MARGIN;
  let top = MARGIN;
  const placed = systems.map((svg, i) => {
    const { width: wide, height: high } = sizes[i] as (typeof sizes)[number];
    // A picture's embedded font does not load everywhere, and no sign here needs it.
    const inner = svg
      .replace(/@font-face[^<]*?(?=\.systems)/, "")
      .replace(
        /^<svg [^>]*?class="systems"/,
        `<svg x="${MARGIN}" y="${top}" width="${wide}" height="${high}" class="systems"`,
      );
    top = Math.round((top + high + 2) * 100) / 100;
    return inner;
  });
  return `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 ${width} ${top + MARGIN}" width="${Math.round(4 * width)}" role="img"><rect width="${width}" height="${top + MARGIN}" fill="#fff"/>${placed.join("")}</svg>\n`;
};

if (import.meta.url === pathToFileURL(process.argv[1] ?? "").href) {
  for (const [name, svg] of Object.entries(await pictures()))
    writeFileSync(new URL(`pictures/${name}`, import.meta.url), svg);
}
