import type { Drill } from "../drill/index.ts";
import { handoutPage } from "../handout/index.ts";
import type { MidiOptions } from "../midi/index.ts";
import { writeMidi } from "../midi/index.ts";
import { writeMusicXml } from "../musicxml/index.ts";
import { scoreToJson } from "../score/index.ts";
import type { Engraver } from "./engrave.ts";
import type { OutputFile } from "./io.ts";

/** A file of a drill, and what a reader would call it. */
export interface DrillFile extends OutputFile {
  readonly label: string;
}

/** A name as a file name in plain ASCII: E♭ minor becomes E-flat-minor. */
export const plainName = (text: string): string =>
  text
    .replace(
      /\b([A-G])(bb|b|##|#)(?![a-z0-9])/g,
      (_, letter: string, sign: string) => `${letter}${sign.replace(/b/g, "-flat").replace(/#/g, "-sharp")}`,
    )
    .replace(/[^A-Za-z0-9]+/g, "-")
    .replace(/^-+|-+$/g, "")
    .slice(0, 120);

/** The file name of a drill, without an ending: what it is and in which key. */
export const drillName = ({ recipe, progression }: Drill): string => {
  const changes =
    recipe.chartKey === undefined
      ? recipe.changes
      : progression.chords.map((span) => span.chord?.symbol ?? "NC").join(" ");
  const key = `${progression.key.tonic} ${progression.key.mode === "minor" ? "minor" : ""}`;
  const line = recipe.right === "improvised" ? `level ${recipe.level ?? ""} seed ${recipe.seed}` : "";
  return [changes, "in", key, recipe.left, recipe.comping ?? "", recipe.right, line, recipe.values ?? ""]
    .map(plainName)
    .filter((part) => part !== "")
    .join("-")
    .slice(0, 160);
};

/** The three files of one drill. */
export const drillFiles = (drill: Drill, name: string, midi: MidiOptions = {}): readonly DrillFile[] => [
  { label: "MusicXML", name: `${name}.musicxml`, contents: writeMusicXml(drill.score) },
  { label: "MIDI", name: `${name}.mid`, contents: writeMidi(drill.score, midi) },
  { label: "JSON", name: `${name}.json`, contents: `${JSON.stringify(scoreToJson(drill.score), null, 1)}\n` },
];

/** The handout of a drill, as one page. */
export const handoutFile = (drill: Drill, name: string, engrave: Engraver): DrillFile => ({
  label: "handout",
  name: `${name}.html`,
  contents: handoutPage(drill, { engrave }),
});

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
export const packetFiles = (drill: Drill, name: string): readonly DrillFile[] => [
  ...drillFiles(drill, name, { countIn: COUNT_IN_BARS }).map((file) =>
    file.label === "MIDI" ? { ...file, label: "hands together" } : file,
  ),
  ...SEPARATE.map(({ label, ending, tracks }) => ({
    label,
    name: `${name}-${ending}.mid`,
    contents: writeMidi(drill.score, { tracks, countIn: COUNT_IN_BARS }),
  })),
];
