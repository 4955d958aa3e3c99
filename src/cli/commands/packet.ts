import { existsSync, readFileSync } from "node:fs";
import { join } from "node:path";
import type { Drill } from "../../drill/index.ts";
import { makeDrill, packetDrills } from "../../drill/index.ts";
import { CAUTION } from "../../ground/caution.ts";
import type { PacketEntry } from "../../handout/index.ts";
import { bookPage, packetPage } from "../../handout/index.ts";
import { formatPitch } from "../../pitch/index.ts";
import type { LevelId, LevelRow, PacketRecipe } from "../../recipe/index.ts";
import { levelCatalogue, parsePacketRecipe } from "../../recipe/index.ts";
import { packetRecipeSchema, rightHandOf } from "../../recipe/inner.ts";
import { namedProgressions } from "../catalogues.ts";
import { fileGuesses } from "../changes.ts";
import type { Paper } from "../chromium.ts";
import { PAPERS, printedPdf } from "../chromium.ts";
import type { AddCommand, Answer } from "../command.ts";
import { answerEach } from "../command.ts";
import type { DrillFile } from "../drill-files.ts";
import { drillName, handoutFile, madeFiles, packetFiles } from "../drill-files.ts";
import type { Engraver } from "../engrave.ts";
import { loadEngraver } from "../engrave.ts";
import { addFlags, givenFields } from "../flags.ts";
import type { OutputFile, Terminal } from "../io.ts";
import { removeLeftovers, requireFree, writeFiles } from "../io.ts";
import { fileStem } from "../names.ts";
import { oneOf } from "../options.ts";
import { progress } from "../progress.ts";
import { parseRecipe, recipeFile } from "../read-recipe.ts";

interface Options {
  readonly changes?: string;
  readonly handouts?: boolean;
  readonly book?: boolean;
  readonly pdf?: boolean;
  readonly paper: Paper;
  readonly out: string;
  readonly force?: boolean;
  readonly json?: boolean;
}

export const addPacketCommand: AddCommand = (program, terminal, done) => {
  addFlags(
    program
      .command("packet")
      .description(
        "a lesson in many keys and levels: MusicXML, MIDI hands separate and together, JSON, and an index page",
      )
      .argument(
        "[recipe]",
        "a packet recipe, a JSON file; - reads one a line from standard input, each into a folder of its own; the options are its defaults",
      ),
    packetRecipeSchema,
  )
    .option("--handouts", "a page to print and play for every drill as well (needs the package verovio)")
    .option("--book", "one printable document as well, each exercise in all its keys (needs the package verovio)")
    .option("--pdf", "that document as PDF with an outline, by Chromium (set HANDS_TOGETHER_CHROMIUM to where it is)")
    .option("--paper <size>", "paper of the PDF: A4 or Letter", oneOf(PAPERS), "A4")
    .option("--out <folder>", "folder for the packet, made if need be", "packet")
    .option("--force", "overwrites files that are there")
    .option("--json", "prints one JSON document")
    .addHelpText(
      "after",
      `${namedProgressions()}\n\nA packet that was interrupted goes on where it stopped: files that are there and right are kept.\n${CAUTION}`,
    )
    .action(async (from: string | undefined, { handouts, book, pdf, paper, out, force, json, ...rest }: Options) => {
      const given = givenFields({ ...rest }, packetRecipeSchema);
      const bound = book === true || pdf === true;
      const engrave = handouts === true || bound ? await loadEngraver() : undefined;
      let line = 0;
      done(
        await answerEach(from ?? "", json === true, terminal, (text): Answer => {
          const recipe =
            from === undefined ? given : { ...given, ...parseRecipe(from === "-" ? text : recipeFile(from), "packet") };
          line += 1;
          const folder = from === "-" ? join(out, fileStem(`${line} ${parsePacketRecipe(recipe).title}`)) : out;
          const { files, guesses } = makePacket(recipe, {
            folder,
            force: force === true,
            terminal,
            engrave: handouts === true ? engrave : undefined,
            binder: bound ? engrave : undefined,
            paper: pdf === true ? paper : undefined,
          });
          return {
            guesses: [...fileGuesses(rest.changes), ...guesses],
            cautious: true,
            json: { files },
            text: `${files.length} files; start at ${join(folder, "index.html")}\n${CAUTION}`,
          };
        }),
      );
    });
};

interface Place {
  readonly folder: string;
  readonly force: boolean;
  readonly terminal: Terminal;
  readonly engrave: Engraver | undefined;
  /** Engraves the book, where one is asked for. */
  readonly binder: Engraver | undefined;
  /** Of the PDF, where one is asked for. */
  readonly paper: Paper | undefined;
}

interface PlannedDrill {
  readonly recipe: Parameters<typeof makeDrill>[0];
  readonly folder: string;
  readonly name: string;
  readonly label: string;
  /** Kept for a book, which needs all of them at once. */
  readonly drill: Drill | undefined;
}

const makePacket = (
  recipe: PacketRecipe,
  { folder: root, force, terminal, engrave, binder, paper }: Place,
): { readonly files: readonly string[]; readonly guesses: readonly string[] } => {
  const filesOf = (drill: Drill, name: string): readonly DrillFile[] => [
    ...(engrave === undefined ? [] : [handoutFile(drill, name, engrave)]),
    ...packetFiles(drill, name),
  ];
  const { title } = parsePacketRecipe(recipe);
  const entries: PacketEntry[] = [];
  const guesses = new Set<string>();
  const chapters = new Map<string, Drill[]>();
  // All of them once before anything is written, so that a key or exercise that can't be done leaves no half of a packet.
  const planned = packetDrills(recipe).map(({ key, level, number, recipe: drillRecipe }): PlannedDrill => {
    const drill = makeDrill(drillRecipe);
    for (const guess of drill.progression.guesses ?? []) guesses.add(guess);
    const folder = fileStem(`${key} `);
    const name = `level-${fileStem(levelName(level))}-${number}-${drillName(drill)}`;
    entries.push({
      key: formatPitch(drill.progression.key.tonic),
      level: levelTitle(level),
      title: exerciseTitle(drill),
      files: filesOf(drill, name).map((file) => ({ label: file.label, path: `${folder}/${file.name}` })),
    });
    if (binder !== undefined) {
      const chapter = `${levelTitle(level)}: ${exerciseTitle(drill).toLowerCase()}`;
      chapters.set(chapter, [...(chapters.get(chapter) ?? []), drill]);
    }
    const label = `${formatPitch(key)} level ${levelName(level)}, ${exerciseTitle(drill)}`;
    return { recipe: drillRecipe, folder, name, label, drill: binder === undefined ? undefined : drill };
  });
  const index: OutputFile = { name: "index.html", contents: packetPage(title, CAUTION, entries) };
  if (!force && !holds(join(root, index.name), index.contents)) requireFree([join(root, index.name)]);
  const show = progress(terminal, planned.length);
  const paths = planned.flatMap(({ recipe: drillRecipe, folder, name, label, drill = makeDrill(drillRecipe) }, i) => {
    const files = madeFiles(filesOf(drill, name));
    const written = keepOrWrite(join(root, folder), files, force, terminal);
    show(i + 1, label);
    return written;
  });
  const bound = binder === undefined ? [] : bookFiles(title, chapters, binder, paper, recipe);
  return { files: [...keepOrWrite(root, [index, ...bound], force, terminal), ...paths], guesses: [...guesses] };
};

const bookFiles = (
  title: string,
  chapters: ReadonlyMap<string, readonly Drill[]>,
  engrave: Engraver,
  paper: Paper | undefined,
  { numerals, fingers, leftAs, bassLine }: PacketRecipe,
): readonly OutputFile[] => {
  const book = bookPage(
    title,
    [...chapters].map(([chapter, drills]) => ({ title: `Level ${chapter}`, aim: aimOf(drills[0]), drills })),
    { engrave, numerals, fingers, leftAs, bassLine, subtitle: "for two hands, key by key" },
  );
  return [
    { name: "book.html", contents: book },
    ...(paper === undefined ? [] : [{ name: "book.pdf", contents: printedPdf(book, paper) }]),
  ];
};

const aimOf = (drill: Drill | undefined): string | undefined =>
  drill === undefined ? undefined : rightHandOf(drill.recipe.right).aim;

// What is there and right is kept, so that a packet can be taken up again; what is there and differs is refused.
const keepOrWrite = (
  folder: string,
  files: readonly OutputFile[],
  force: boolean,
  terminal: Terminal,
): readonly string[] => {
  const missing = files.filter(({ name, contents }) => !holds(join(folder, name), contents));
  if (missing.length > 0) writeFiles(folder, missing, force, terminal);
  else removeLeftovers(folder);
  return files.map(({ name }) => join(folder, name));
};

const holds = (path: string, contents: string | Uint8Array): boolean =>
  existsSync(path) && readFileSync(path).equals(typeof contents === "string" ? Buffer.from(contents) : contents);

const levelName = (level: LevelId | LevelRow): string => String(typeof level === "number" ? level : level.id);
const levelTitle = (level: LevelId | LevelRow): string => {
  const row = typeof level === "number" ? levelCatalogue.find(({ id }) => id === level) : level;
  return `${levelName(level)}: ${row?.title ?? ""}`;
};
const exerciseTitle = ({ recipe }: Drill): string =>
  [rightHandOf(recipe.right).title, recipe.values].filter((part) => part !== undefined).join(", ");
