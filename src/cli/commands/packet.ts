import { existsSync, readFileSync } from "node:fs";
import { join } from "node:path";
import type { Drill, LevelId, PacketRecipe } from "../../drill/index.ts";
import {
  CAUTION,
  levelCatalogue,
  makeDrill,
  packetDrills,
  parsePacketRecipe,
  rightHandCatalogue,
} from "../../drill/index.ts";
import type { PacketEntry } from "../../handout/index.ts";
import { packetPage } from "../../handout/index.ts";
import { formatPitch } from "../../pitch/index.ts";
import type { AddCommand, Answer } from "../command.ts";
import { answerEach } from "../command.ts";
import { drillName, handoutFile, packetFiles, plainName } from "../drill-files.ts";
import type { Engraver } from "../engrave.ts";
import { loadEngraver } from "../engrave.ts";
import type { OutputFile, Terminal } from "../io.ts";
import { readInput, removeLeftovers, writeFiles } from "../io.ts";
import { FEELS, NAMED_PROGRESSIONS, oneOf, wholeNumber, wordsIn } from "../options.ts";
import { progress } from "../progress.ts";
import { parseRecipe } from "../read-recipe.ts";

interface Options extends PacketRecipe {
  readonly handouts?: boolean;
  readonly out: string;
  readonly force?: boolean;
  readonly json?: boolean;
}

export const addPacketCommand: AddCommand = (program, terminal, done) => {
  program
    .command("packet")
    .description(
      "a lesson in many keys and levels: MusicXML, MIDI hands separate and together, JSON, and an index page",
    )
    .argument(
      "[recipe]",
      "a packet recipe, a JSON file; - reads one a line from standard input, each into a folder of its own; the options are its defaults",
    )
    .option("--title <title>", "what the packet is called (Practice packet unless given)")
    .option("--keys <keys>", 'all, or a list such as "C F Bb Eb" (all unless given)', readKeys)
    .option(
      "--order <order>",
      "the order of all twelve: fourths, fifths, chromatic (fourths unless given)",
      oneOf(["fourths", "fifths", "chromatic"] as const),
    )
    .option(
      "--mode <mode>",
      "major or minor keys (as the changes are unless given)",
      oneOf(["major", "minor"] as const),
    )
    .option("--levels <levels>", "levels 1 to 5 (1,3 unless given)", readLevels)
    .option(
      "--exercises <exercises>",
      'how many for each level, 1 to 12 (an improvised line is among the first three), or which, such as "turns slides improvised" (3 unless given)',
      readExercises,
    )
    .option(
      "--changes <changes>",
      "the progression (each level's own unless given); a chart of chord symbols is transposed",
    )
    .option(
      "--chart-key <key>",
      "the key that a chart of chord symbols is written in (what its last chord tells unless given)",
    )
    .option(
      "--left <voicings>",
      "shell or rootless (each level's own unless given)",
      oneOf(["shell", "rootless"] as const),
    )
    .option("--scale <scale>", "scale of the right hand (major or minor blues unless given)")
    .option("--tempo <bpm>", "beats a minute, 20 to 400 (100 unless given)", wholeNumber(20, 400))
    .option("--feel <feel>", `${FEELS} (2:1 unless given)`)
    .option("--handouts", "a page to print and play for every drill as well (needs the package verovio)")
    .option("--out <folder>", "folder for the packet, made if need be", "packet")
    .option("--force", "overwrites files that are there")
    .option("--json", "prints one JSON document")
    .addHelpText(
      "after",
      `${NAMED_PROGRESSIONS}\n\nA packet that was interrupted goes on where it stopped: files that are there and right are kept.\n${CAUTION}`,
    )
    .action(async (from: string | undefined, { handouts, out, force, json, ...given }: Options) => {
      const engrave = handouts === true ? await loadEngraver() : undefined;
      const answer = (recipe: PacketRecipe, folder: string): Answer => {
        const files = makePacket(recipe, { folder, force: force === true, terminal, engrave });
        return { json: { files }, text: `${files.length} files; start at ${join(folder, "index.html")}\n${CAUTION}` };
      };
      let line = 0;
      done(
        await answerEach(from ?? "", json === true, terminal, (text) => {
          if (from === undefined) return answer(given, out);
          const recipe: PacketRecipe = {
            ...given,
            ...parseRecipe(from === "-" ? text : new TextDecoder().decode(readInput(from)), "cli/packet"),
          };
          if (from !== "-") return answer(recipe, out);
          line += 1;
          return answer(recipe, join(out, plainName(`${line} ${parsePacketRecipe(recipe).title}`)));
        }),
      );
    });
};

const readKeys = (text: string): PacketRecipe["keys"] => (text.trim() === "all" ? "all" : wordsIn(text));

// What is no number is left to the recipe's check, which says so.
const readLevels = (text: string): PacketRecipe["levels"] =>
  [...new Set(wordsIn(text))].map((word) => (/^\d$/.test(word) ? Number(word) : word)) as LevelId[];

const readExercises = (text: string): PacketRecipe["exercises"] =>
  /^\s*\d+\s*$/.test(text) ? Number(text) : (wordsIn(text) as Extract<PacketRecipe["exercises"], readonly unknown[]>);

interface Place {
  readonly folder: string;
  readonly force: boolean;
  readonly terminal: Terminal;
  readonly engrave: Engraver | undefined;
}

const makePacket = (recipe: PacketRecipe, { folder: root, force, terminal, engrave }: Place): readonly string[] => {
  const { title } = parsePacketRecipe(recipe);
  const planned = packetDrills(recipe);
  // All of them once before anything is written, so that a key or exercise that can't be done leaves no half of a packet.
  for (const drill of planned) makeDrill(drill.recipe);
  const show = progress(terminal, planned.length);
  const entries: PacketEntry[] = [];
  const paths: string[] = [];
  planned.forEach(({ key, level, number, recipe: drillRecipe }, i) => {
    const drill = makeDrill(drillRecipe);
    const folder = plainName(`${key} `);
    const name = `level-${level}-${number}-${drillName(drill)}`;
    const files = [...(engrave === undefined ? [] : [handoutFile(drill, name, engrave)]), ...packetFiles(drill, name)];
    paths.push(...keepOrWrite(join(root, folder), files, force));
    entries.push({
      key: formatPitch(drill.progression.key.tonic),
      level: levelTitle(level),
      title: exerciseTitle(drill),
      files: files.map((file) => ({ label: file.label, path: `${folder}/${file.name}` })),
    });
    show(i + 1, `${formatPitch(key)} level ${level}, ${exerciseTitle(drill)}`);
  });
  const index: OutputFile = { name: "index.html", contents: packetPage(title, CAUTION, entries) };
  return [...keepOrWrite(root, [index], force), ...paths];
};

// What is there and right is kept, so that a packet can be taken up again; what is there and differs is refused.
const keepOrWrite = (folder: string, files: readonly OutputFile[], force: boolean): readonly string[] => {
  const missing = files.filter(({ name, contents }) => !holds(join(folder, name), contents));
  if (missing.length > 0) writeFiles(folder, missing, force);
  else removeLeftovers(folder);
  return files.map(({ name }) => join(folder, name));
};

const holds = (path: string, contents: string | Uint8Array): boolean =>
  existsSync(path) && readFileSync(path).equals(typeof contents === "string" ? Buffer.from(contents) : contents);

const levelTitle = (level: LevelId): string =>
  `${level}: ${levelCatalogue.find((row) => row.id === level)?.title ?? ""}`;
const exerciseTitle = ({ recipe }: Drill): string =>
  [rightHandCatalogue.find((row) => row.id === recipe.right)?.title ?? recipe.right, recipe.values]
    .filter((part) => part !== undefined)
    .join(", ");
