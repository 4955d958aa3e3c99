import { readFileSync } from "node:fs";
import { all, bundle, entry } from "../tests/bundle.ts";

// Bytes of subpaths and of single functions, after minifying and gzip -9: the table of docs/fit.md.
const { exports } = JSON.parse(readFileSync(new URL("../package.json", import.meta.url), "utf8")) as {
  exports: Readonly<Record<string, unknown>>;
};
const subpaths = Object.keys(exports)
  .filter((name) => !name.endsWith(".json") && name !== ".")
  .map((name) => name.replace(/^\.\//, ""));

const PARTS: readonly (readonly [subpath: string, names: string])[] = [
  [".", "CAUTION"],
  ["scale", "scale"],
  ["chord", "parseChord"],
  ["voice-leading", "voiceLeading"],
  ["voicing", "voicingsFor"],
  ["voice-leading", "voiceProgression"],
  ["fingering", "fingerPassage"],
  ["musicxml", "writeMusicXml"],
  ["midi", "writeMidi"],
  ["drill", "makeDrill"],
];

const bytes = async (code: string): Promise<string> => (await bundle(code)).size.toLocaleString("en");

console.log("| subpath | bytes |\n|---|---|");
for (const subpath of [...subpaths, "."])
  console.log(`| ${subpath === "." ? "everything that the root exports" : subpath} | ${await bytes(all(subpath))} |`);
console.log("\n| import | bytes |\n|---|---|");
for (const [subpath, names] of PARTS)
  console.log(`| \`${names}\` | ${await bytes(`export { ${names} } from "${entry(subpath)}";`)} |`);
console.log(
  `| \`voicingsFor\`, \`smoothestPath\`, \`voiceLeading\` | ${await bytes(
    `export { voicingsFor } from "${entry("voicing")}"; export { smoothestPath, voiceLeading } from "${entry("voice-leading")}";`,
  )} |`,
);
