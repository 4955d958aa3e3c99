// Makes the pictures of the guides, by this library alone and verovio: npm run pictures.
import { writeFileSync } from "node:fs";
import { pathToFileURL } from "node:url";
import { loadEngraver } from "../src/cli/engrave.ts";
import type { Voicing } from "../tests/all.ts";
import { fingerScale, keyboardPicture, makeDrill, voiceProgression, writeMusicXml } from "../tests/all.ts";

/** File names with the SVG that belongs in them. */
export async function pictures(): Promise<Readonly<Record<string, string>>> {
  const engrave = await loadEngraver();
  const drill = makeDrill({ key: "Eb", values: "triplets", tempo: 110 });
  const [, g13] = voiceProgression(["Dm9", "G13", "Cmaj9"]).voicings;
  return {
    "first-drill.svg": stacked(engrave(writeMusicXml(drill.score, { degrees: false })).map(plainSigns)),
    "blues-scale.svg": `${keyboardPicture(fingerScale("Eb major blues", { hand: "right" }), { title: "E♭ major blues, right hand" })}\n`,
    "rootless-voicing.svg": `${keyboardPicture(g13 as Voicing, { names: "degrees" })}\n`,
  };
}

// Signs from the page's text font: a picture's embedded font does not load everywhere.
const plainSigns = (svg: string): string =>
  svg
    .replace(/<style type="text\/css">@font-face[\s\S]*?<\/style>/g, "")
    .replace(/font-family="Leipzig" font-size="720px">\uECA5</g, 'font-size="405px">♩<')
    .replace(/font-family="Leipzig" font-size="720px">\uEA64</g, 'font-size="405px">♭<');

// One system below the other on white paper, so that a dark page shows them too.
const stacked = (systems: readonly string[]): string => {
  const sizes = systems
    .map((svg) => /viewBox="0 0 (\d+) (\d+)"/.exec(svg) ?? [])
    .map(([, width, height]) => ({ width: Number(width), height: Number(height) }));
  const [width, height] = [
    Math.max(...sizes.map((size) => size.width)),
    sizes.reduce((sum, size) => sum + size.height, 0),
  ];
  let top = 0;
  const placed = systems.map((svg, i) => {
    const { height: own } = sizes[i] as (typeof sizes)[number];
    const inner = svg.replace(/^[\s\S]*?<svg /, `<svg x="0" y="${top}" width="${width}" height="${own}" `);
    top += own;
    return inner;
  });
  return `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 ${width} ${height}" role="img"><rect width="${width}" height="${height}" fill="#fff"/>${placed.join("")}</svg>\n`;
};

if (import.meta.url === pathToFileURL(process.argv[1] ?? "").href) {
  for (const [name, svg] of Object.entries(await pictures()))
    writeFileSync(new URL(`pictures/${name}`, import.meta.url), svg);
}
