import { existsSync, readFileSync } from "node:fs";
import { join } from "node:path";
import type { Drill, DrillRecipe, LevelId } from "../../drill/index.ts";
import { CAUTION, drillKeys, drillsOfLevel, levelCatalogue, makeDrill } from "../../drill/index.ts";
import { MusicError } from "../../errors.ts";
import type { PacketEntry } from "../../handout/index.ts";
import { packetPage } from "../../handout/index.ts";
import { exerciseCatalogue } from "../../line/index.ts";
import { formatPitch, parseNote } from "../../pitch/index.ts";
import type { KeyOrder } from "../../scale/index.ts";
import type { AddCommand } from "../command.ts";
import { answerEach } from "../command.ts";
import { drillName, handoutFile, packetFiles, plainName } from "../drill-files.ts";
import type { Engraver } from "../engrave.ts";
import { loadEngraver } from "../engrave.ts";
import type { OutputFile, Terminal } from "../io.ts";
import { writeFiles } from "../io.ts";
import { oneOf, wholeNumber, wordsIn } from "../options.ts";
import { progress } from "../progress.ts";

interface Options {
  readonly keys: string;
  readonly order: KeyOrder;
  readonly levels: readonly LevelId[];
  readonly exercises: number;
  readonly changes?: string;
  readonly scale: string;
  readonly tempo: number;
  readonly handouts?: boolean;
  readonly out: string;
  readonly force?: boolean;
  readonly json?: boolean;
}

export const addPacketCommand: AddCommand = (program, terminal, done) => {
  program
    .command("packet")
    .description("a lesson in many keys and levels: MusicXML, MIDI hands separate and together, JSON, and an index page")
    .argument("[keys]", "- reads one list of keys a line from standard input, a packet each in a folder of its own")
    .option("--keys <keys>", 'all, or a list such as "C F Bb Eb"', "all")
    .option("--order <order>", "the order of all twelve: fourths, fifths, chromatic", oneOf(["fourths", "fifths", "chromatic"] as const), "fourths")
    .option("--levels <levels>", "levels 1 to 5, such as 1,3", readLevels, [1, 3] as readonly LevelId[])
    .option("--exercises <n>", "exercises for each level, 1 to 12", wholeNumber(1, 12), 3)
    .option("--changes <changes>", "the progression (each level's own, unless given)")
    .option("--scale <scale>", "scale of the right hand", "major blues")
    .option("--tempo <bpm>", "beats a minute, 20 to 400", wholeNumber(20, 400), 100)
    .option("--handouts", "a page to print and play for every drill as well (needs the package verovio)")
    .option("--out <folder>", "folder for the packet, made if need be", "packet")
    .option("--force", "overwrites files that are there")
    .option("--json", "prints one JSON document")
    .addHelpText("after", `\nA packet that was interrupted goes on where it stopped: files that are there and right are kept.\n${CAUTION}`)
    .action(async (keys: string | undefined, options: Options) => {
      if (keys !== undefined && keys !== "-") throw new MusicError({ code: "cli/packet", input: keys, expected: "options, or - for lists of keys on standard input" });
      const engrave = options.handouts === true ? await loadEngraver() : undefined;
      const folder = (list: string): string => (keys === "-" ? join(options.out, plainName(list)) : options.out);
      done(await answerEach(keys ?? options.keys, options.json === true, terminal, (list) => {
        const files = makePacket({ ...options, keys: list, out: folder(list) }, terminal, engrave);
        return { json: { files }, text: `${files.length} files; start at ${join(folder(list), "index.html")}\n${CAUTION}` };
      }));
    });
};

const readLevels = (text: string): readonly LevelId[] => {
  const ids = levelCatalogue.map((row) => row.level);
  const levels = wordsIn(text).map((part) => ids.find((id) => String(id) === part));
  if (levels.length === 0 || levels.includes(undefined)) {
    throw new MusicError({ code: "cli/packet", input: text, expected: `levels from ${ids[0]} to ${ids.at(-1)}, such as 1,3` });
  }
  return [...new Set(levels as LevelId[])];
};

interface Planned {
  readonly key: string;
  readonly level: LevelId;
  readonly number: number;
  readonly recipe: DrillRecipe;
}

const plan = ({ keys, order, levels, exercises, changes, scale, tempo }: Options): readonly Planned[] => {
  const drills = levels.flatMap((level) => drillsOfLevel(level).slice(0, exercises).map((drill, i) => ({ level, number: i + 1, drill })));
  const first = changes ?? drills[0]?.drill.changes ?? "turnaround";
  const tonics = keys.trim() === "all" ? drillKeys(first, scale, order) : readKeys(keys);
  return tonics.flatMap((key) => drills.map(({ level, number, drill }) => ({
    key,
    level,
    number,
    recipe: { ...drill, ...(changes === undefined ? {} : { changes }), key, scale, tempo },
  })));
};

const readKeys = (text: string): readonly string[] => {
  const keys = wordsIn(text).map(parseNote);
  if (keys.length === 0) throw new MusicError({ code: "cli/packet", input: text, expected: 'all, or a list of keys such as "C F Bb Eb"' });
  return [...new Set(keys)];
};

const makePacket = (options: Options, terminal: Terminal, engrave: Engraver | undefined): readonly string[] => {
  const planned = plan(options);
  const show = progress(terminal, planned.length);
  const entries: PacketEntry[] = [];
  const paths: string[] = [];
  planned.forEach(({ key, level, number, recipe }, i) => {
    const drill = makeDrill(recipe);
    const folder = plainName(`${key} `);
    const name = `level-${level}-${number}-${drillName(drill)}`;
    const files = [...(engrave === undefined ? [] : [handoutFile(drill, name, engrave)]), ...packetFiles(drill, name)];
    paths.push(...keepOrWrite(join(options.out, folder), files, options.force === true));
    entries.push({
      key: formatPitch(drill.progression.key.tonic),
      level: levelTitle(level),
      title: exerciseTitle(drill),
      files: files.map((file) => ({ label: file.label, path: `${folder}/${file.name}` })),
    });
    show(i + 1, `${formatPitch(key as "C")} level ${level}, ${exerciseTitle(drill)}`);
  });
  const index: OutputFile = { name: "index.html", contents: packetPage("Practice packet", CAUTION, entries) };
  return [...keepOrWrite(options.out, [index], options.force === true), ...paths];
};

// What is there and right is kept, so that a packet can be taken up again; what is there and differs is refused.
const keepOrWrite = (folder: string, files: readonly OutputFile[], force: boolean): readonly string[] => {
  const missing = files.filter(({ name, contents }) => !holds(join(folder, name), contents));
  if (missing.length > 0) writeFiles(folder, missing, force);
  return files.map(({ name }) => join(folder, name));
};

const holds = (path: string, contents: string | Uint8Array): boolean =>
  existsSync(path) && readFileSync(path).equals(typeof contents === "string" ? Buffer.from(contents) : contents);

const levelTitle = (level: LevelId): string => `${level}: ${levelCatalogue.find((row) => row.level === level)?.title ?? ""}`;
const exerciseTitle = ({ recipe }: Drill): string =>
  `${exerciseCatalogue.find((row) => row.id === recipe.right)?.title ?? recipe.right}, ${recipe.values}`;
