import type { Drill } from "../drill/index.ts";
import { makeDrill } from "../drill/index.ts";
import { handoutPage, systemPictures } from "../handout/index.ts";
import { numeralMarks } from "../harmony/index.ts";
import type { MidiOptions } from "../midi/index.ts";
import { writeMidi } from "../midi/index.ts";
import type { MusicXmlOptions } from "../musicxml/index.ts";
import { writeMusicXml, writeMxl } from "../musicxml/index.ts";
import { recipeHash } from "../recipe/index.ts";
import { idOfRow } from "../recipe/inner.ts";
import type { Score } from "../score/index.ts";
import { scoreToJson, sliceScore } from "../score/index.ts";
import { picturePng } from "./chromium.ts";
import type { Engraver } from "./engrave.ts";
import type { OutputFile } from "./io.ts";
import { fileStem } from "./names.ts";

/** A file of a drill before it is made, and what a reader would call it. */
export interface DrillFile {
  readonly label: string;
  readonly name: string;
  readonly contents: () => OutputFile["contents"];
}

/** The files made. */
export const madeFiles = (files: readonly DrillFile[]): readonly OutputFile[] =>
  files.map(({ name, contents }) => ({ name, contents: contents() }));

/** The file name of a drill, without an ending: what it is and in which key, and a short name of its whole recipe, which no other has. */
export const drillName = ({ recipe, progression }: Drill): string => {
  const changes =
    recipe.chartKey === undefined
      ? changesName(idOfRow(recipe.changes), progression.name)
      : progression.chords.map((span) => span.chord?.symbol ?? "NC").join(" ");
  const key = `${progression.key.tonic} ${progression.key.mode === "minor" ? "minor" : ""}`;
  const line = recipe.right === "improvised" ? `level ${recipe.level ?? ""} seed ${recipe.seed}` : "";
  const { left, comping, right, values } = recipe;
  const words = [changes, "in", key, ...[left].flat(), comping, right, line, values];
  return `${fileStem(words.flatMap((word) => (word === undefined ? [] : idOfRow(word))).join(" "))}-${recipeHash("drill", recipe)}`;
};

// A chart goes by its title where it has one.
const changesName = (changes: string, title: string | undefined): string =>
  title !== undefined && /[|\n]/.test(changes) ? title : changes;

const playedAs = ({ recipe: { touch, feel, spread, seed, ending } }: Drill): MidiOptions => ({
  touch: touch ?? (feel === "ballad" ? "ballad" : "played"),
  spreadMs: spread,
  seed,
  ritard: ending === "ritard" ? 1 : 0,
});

/** What of a recipe is about print. */
const printedAs = ({ recipe: { numerals, fingers, leftAs, bassLine } }: Drill): MusicXmlOptions => ({
  fingers,
  leftAs,
  bassLine,
  numerals: numerals === true ? numeralMarks : undefined,
});

/** The three files of one drill. */
export const drillFiles = (drill: Drill, name: string, midi: MidiOptions = {}): readonly DrillFile[] => {
  const countIn = drill.recipe.countIn ?? midi.countIn;
  return [
    {
      label: "MusicXML",
      name: `${name}.musicxml`,
      contents: () => writeMusicXml(drill.score, printedAs(drill)),
    },
    {
      label: "MIDI",
      name: `${name}.mid`,
      contents: () => writeMidi(drill.score, { ...midi, ...playedAs(drill), countIn }),
    },
    { label: "JSON", name: `${name}.json`, contents: () => `${JSON.stringify(scoreToJson(drill.score), null, 1)}\n` },
  ];
};

/** The music of a drill as compressed MusicXML. */
export const compressedFile = (drill: Drill, name: string): DrillFile => ({
  label: "compressed MusicXML",
  name: `${name}.mxl`,
  contents: () => writeMxl(drill.score, printedAs(drill)),
});

/** Each engraved system of a drill as a picture of its own, for slides. */
export const systemFiles = (
  drill: Drill,
  name: string,
  engrave: Engraver,
  { svg: asSvg, png: asPng }: { readonly svg: boolean; readonly png: boolean },
): readonly DrillFile[] => {
  if (!asSvg && !asPng) return [];
  const { numerals, fingers, leftAs, bassLine } = drill.recipe;
  return systemPictures(drill.score, { engrave, numerals, fingers, leftAs, bassLine }).flatMap((svg, i) => {
    const file = { label: `system ${i + 1}`, name: `${name}-system-${i + 1}` };
    return [
      ...(asSvg ? [{ ...file, name: `${file.name}.svg`, contents: () => svg }] : []),
      ...(asPng ? [{ ...file, name: `${file.name}.png`, contents: () => picturePng(svg) }] : []),
    ];
  });
};

/** The handout of a drill, as one page, with so many fresh lines for sight-reading. */
export const handoutFile = (drill: Drill, name: string, engrave: Engraver, fresh = 0): DrillFile => ({
  label: "handout",
  name: `${name}.html`,
  contents: () => handoutPage(drill, { engrave, sightLines: freshLines(drill, fresh) }),
});

const SIGHT_BARS = 4;
const SIGHT_LEVEL = 2;

/** The first bars of the drill's changes with other lines over them, at its level. */
const freshLines = ({ recipe, progression }: Drill, count: number): readonly Score[] => {
  // Phrases of a line count bars of one length.
  if (progression.metres !== undefined) return [];
  const { values: _, octaves: __, ...rest } = recipe;
  const level = recipe.right === "improvised" ? recipe.level : SIGHT_LEVEL;
  return Array.from({ length: count }, (_one, i) => {
    const { score } = makeDrill({ ...rest, right: "improvised", level, seed: recipe.seed + 1 + i });
    return sliceScore(score, 1, Math.min(SIGHT_BARS, score.bars));
  });
};

const COUNT_IN_BARS = 1;
const SEPARATE: readonly {
  readonly label: string;
  readonly ending: string;
  readonly tracks: NonNullable<MidiOptions["tracks"]>;
}[] = [
  { label: "right hand", ending: "right-hand", tracks: { left: false } },
  { label: "left hand", ending: "left-hand", tracks: { right: false } },
  { label: "backing only", ending: "backing", tracks: { right: false, left: false } },
];

/** The same with a count-in, and MIDI for each hand with the backing and for the backing alone. */
export const packetFiles = (drill: Drill, name: string): readonly DrillFile[] => {
  const countIn = drill.recipe.countIn ?? COUNT_IN_BARS;
  return [
    ...drillFiles(drill, name, { countIn }).map((file) =>
      file.label === "MIDI" ? { ...file, label: "hands together" } : file,
    ),
    ...SEPARATE.map(({ label, ending, tracks }) => ({
      label,
      name: `${name}-${ending}.mid`,
      contents: () => writeMidi(drill.score, { ...playedAs(drill), tracks, countIn }),
    })),
  ];
};
