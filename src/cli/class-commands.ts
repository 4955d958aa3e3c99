import { join } from "node:path";
import type { Command } from "commander";
import { CAUTION, makeDrill } from "../drill/index.ts";
import { isRecord } from "../ground/check.ts";
import { isMusicError, MusicError } from "../ground/errors.ts";
import type { Notebook } from "../notebook/index.ts";
import {
  addEntry,
  challengePage,
  challengeResults,
  classOverview,
  classPage,
  notebookStudent,
  sayIn,
  weeklyChallenge,
  writeClassCsv,
} from "../notebook/index.ts";
import type { Heard, Pupil } from "./class-takes.ts";
import { hearPupils, pupilsOf } from "./class-takes.ts";
import { drillFiles, drillName, madeFiles } from "./drill-files.ts";
import type { Terminal } from "./io.ts";
import { readInput, writeFiles, writeMissing } from "./io.ts";
import { changeNotebook, notebookFile } from "./notebook-file.ts";
import { progress } from "./progress.ts";

const today = (): string => new Date().toISOString().slice(0, 10);

interface Flags {
  readonly today?: string;
  readonly start?: string;
  readonly language?: string;
  readonly out?: string;
  readonly force?: boolean;
  readonly json?: boolean;
}

/** The commands that are about a whole folder of notebooks. */
export const addClassCommands = (notebook: Command, terminal: Terminal, done: (exitCode: number) => void): void => {
  notebook
    .command("class")
    .description("hears all takes of a class and shows who moved and who is stuck, as a page and a CSV table")
    .argument("<folder>", "notebooks, each with its takes in the folder of its name: wren.json and wren/*.mid")
    .option("--today <date>", "the day of the overview (today, unless given)")
    .option("--language <id>", "language of the page: en, de (en unless given)")
    .option("--out <folder>", "writes page and table into a folder as well")
    .option("--force", "overwrites files that are there")
    .option("--json", "prints one JSON document")
    .action(async (folder: string, flags: Flags) => {
      const { pupils, refused } = readable(folder, terminal);
      const total = pupils.reduce((sum, { files }) => sum + files.length, 0);
      const tell = progress(terminal, total);
      let heard = 0;
      let unheard = refused;
      await hearPupils(pupils, terminal.script, (one) => {
        // Written at once: a run that is cut short goes on where it stopped.
        keep(one);
        heard++;
        if (one.refused === undefined) tell(heard, one.file);
        else {
          unheard++;
          terminal.complain(`${one.file}: ${one.refused}\n`);
        }
      });
      const overview = classOverview(
        pupils.map(({ book }) => notebookFile(book)),
        { today: flags.today ?? today() },
      );
      const files =
        flags.out === undefined
          ? undefined
          : writeMissing(
              flags.out,
              [
                { name: `class-${overview.today}.html`, contents: classPage(overview, { language: flags.language }) },
                {
                  name: `class-${overview.today}.csv`,
                  contents: writeClassCsv(overview, { language: flags.language }),
                },
              ],
              flags.force === true,
              terminal,
            );
      const language = flags.language ?? "en";
      terminal.write(
        flags.json === true
          ? `${JSON.stringify(files === undefined ? overview : { ...overview, files })}\n`
          : `${[
              ...overview.students.map(({ name, takes, cleanTakes, told }) =>
                [
                  `${name}: ${takes}, ${sayIn(language, { key: "picture.clean", values: {} })} ${cleanTakes}.`,
                  ...told.map((one) => sayIn(language, one)),
                ].join(" "),
              ),
              ...(files ?? []),
            ].join("\n")}\n`,
      );
      done(unheard > 0 ? 2 : 0);
    });

  notebook
    .command("challenge")
    .description("the challenge of a week: one phrase for all, the left hand by level; with takes heard, how each grew")
    .argument("<folder>", "the notebooks of a class")
    .option("--start <date>", "the week's first day (today, unless given)")
    .option("--language <id>", "language of the page: en, de (en unless given)")
    .option(
      "--out <folder>",
      "folder for the files (challenge in the class's folder, where class looks for its drills, unless given)",
    )
    .option("--force", "overwrites a page that is there")
    .option("--json", "prints one JSON document")
    .addHelpText("after", `\n${CAUTION}`)
    .action((folder: string, { start = today(), language, out = join(folder, "challenge"), force, json }: Flags) => {
      const { pupils, refused } = readable(folder, terminal);
      const notebooks = pupils.map(({ book }) => notebookFile(book));
      const challenge = weeklyChallenge(start);
      const levels = new Set(notebooks.map((one) => notebookStudent(one).level));
      const drills = challenge.drills.filter(({ level }) => levels.has(level));
      const made = drills.map(({ id, recipe }) => {
        const drill = makeDrill(recipe);
        const name = drillName(drill);
        return { id, name, files: drillFiles(drill, name, { countIn: 1 }) };
      });
      const sheets = Object.fromEntries(made.map(({ id, name }) => [id, `${name}.musicxml`]));
      const music = writeMissing(
        out,
        made.flatMap(({ files }) => madeFiles(files)),
        force === true,
        terminal,
      );
      const contents = challengePage({ ...challenge, drills }, notebooks, { language, sheets });
      // Results change while the week goes on: the page is made anew, and is this command's own.
      const pages = writeFiles(out, [{ name: `challenge-${start}.html`, contents }], true, terminal);
      const results = challengeResults(challenge, notebooks);
      const said = results.map((one) => sayIn(language ?? "en", one));
      terminal.write(
        json === true
          ? `${JSON.stringify({ ...challenge, results, files: [...music, ...pages] })}\n`
          : `${[sayIn(language ?? "en", { key: "challenge.how", values: {} }), ...said, ...music, ...pages, "", CAUTION].join("\n")}\n`,
      );
      done(refused > 0 ? 2 : 0);
    });
};

/** The notebooks of a folder that can be read; of the others one line each. */
const readable = (
  folder: string,
  terminal: Terminal,
): { readonly pupils: readonly Pupil[]; readonly refused: number } => {
  const all = pupilsOf(folder).filter(({ book }) => !isOtherDocument(book));
  const pupils = all.filter(({ book }) => {
    try {
      notebookFile(book);
      return true;
    } catch (error) {
      if (!isMusicError(error)) throw error;
      terminal.complain(`${error.message}\n`);
      return false;
    }
  });
  if (pupils.length === 0)
    throw new MusicError({ code: "cli/notebook", input: folder, expected: "a folder with at least one notebook" });
  return { pupils, refused: all.length - pupils.length };
};

/** Whether a file is a document of another kind: weeks and drills may lie beside notebooks. */
const isOtherDocument = (path: string): boolean => {
  try {
    const value: unknown = JSON.parse(new TextDecoder().decode(readInput(path)));
    return isRecord(value) && value.kind !== "notebook";
  } catch {
    return false;
  }
};

const keep = ({ book, take }: Heard): void => {
  if (take === undefined) return;
  changeNotebook(book, (before: Notebook) =>
    before.entries.some((entry) => entry.kind === "take" && entry.recording === take.recording)
      ? before
      : addEntry(before, take),
  );
};
