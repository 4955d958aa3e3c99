import type { Drill } from "../../drill/index.ts";
import { makeDrill } from "../../drill/index.ts";
import { CAUTION } from "../../ground/caution.ts";
import { MusicError } from "../../ground/errors.ts";
import { formatForm } from "../../line/index.ts";
import type { DrillRecipe } from "../../recipe/index.ts";
import { drillRecipeSchema } from "../../recipe/inner.ts";
import { namedProgressions } from "../catalogues.ts";
import { fileGuesses } from "../changes.ts";
import type { AddCommand, Answer } from "../command.ts";
import { answerEach } from "../command.ts";
import { compressedFile, drillFiles, drillName, handoutFile, madeFiles, systemFiles } from "../drill-files.ts";
import type { Engraver } from "../engrave.ts";
import { loadEngraver } from "../engrave.ts";
import { addFlags, givenFields } from "../flags.ts";
import type { Terminal } from "../io.ts";
import { writeFiles } from "../io.ts";
import { parseRecipe, recipeFile } from "../read-recipe.ts";

/** Lines that a handout holds for sight-reading. */
const FRESH_LINES = 3;

interface Options {
  readonly changes?: string;
  readonly handout?: boolean | undefined;
  readonly systems?: boolean | undefined;
  readonly png?: boolean | undefined;
  readonly mxl?: boolean | undefined;
  readonly out: string;
  readonly force?: boolean;
  readonly json?: boolean;
}

export const addDrillCommand: AddCommand = (program, terminal, done) => {
  addFlags(
    program
      .command("drill")
      .description("one drill for two hands, as MusicXML, MIDI and JSON")
      .argument(
        "[recipe]",
        "a drill recipe, a JSON file; - reads one a line from standard input; the options are their defaults",
      ),
    drillRecipeSchema,
  )
    .option("--handout", "a page to print and play as well (needs the package verovio)")
    .option("--systems", "each engraved system as an SVG picture as well, for slides (needs the package verovio)")
    .option("--png", "each of them as a PNG picture as well, as wide as a screen (needs verovio and Chromium)")
    .option("--mxl", "compressed MusicXML as well")
    .option("--out <folder>", "folder for the files, made if need be", "drill")
    .option("--force", "overwrites files that are there")
    .option("--json", "prints one JSON document")
    .addHelpText("after", `${namedProgressions()}\n\n${CAUTION}`)
    .action(async (from: string | undefined, { handout, systems, png, mxl, out, force, json, ...rest }: Options) => {
      const given = givenFields({ ...rest }, drillRecipeSchema);
      if (from === undefined && given.key === undefined)
        throw new MusicError({ code: "cli/drill", input: "", expected: "--key and a key, such as --key Eb" });
      const engrave = handout === true || systems === true || png === true ? await loadEngraver() : undefined;
      done(
        await answerEach(from ?? "", json === true, terminal, (text) =>
          write(
            { ...given, ...(from === undefined ? {} : parseRecipe(from === "-" ? text : recipeFile(from), "drill")) },
            out,
            force === true,
            { engrave, handout, systems, png, mxl },
            terminal,
            fileGuesses(rest.changes),
          ),
        ),
      );
    });
};

const write = (
  recipe: object,
  folder: string,
  force: boolean,
  {
    engrave,
    handout,
    systems,
    png,
    mxl,
  }: Pick<Options, "handout" | "systems" | "png" | "mxl"> & { readonly engrave: Engraver | undefined },
  terminal: Terminal,
  inFile: readonly string[],
): Answer => {
  // What is missing or wrong is told by the reader.
  const drill = makeDrill(recipe as DrillRecipe);
  const name = drillName(drill);
  const files = [
    ...drillFiles(drill, name),
    ...(mxl === true ? [compressedFile(drill, name)] : []),
    ...(engrave === undefined ? [] : systemFiles(drill, name, engrave, { svg: systems === true, png: png === true })),
    ...(engrave !== undefined && handout === true ? [handoutFile(drill, name, engrave, FRESH_LINES)] : []),
  ];
  const paths = writeFiles(folder, madeFiles(files), force, terminal);
  return {
    guesses: [...inFile, ...(drill.progression.guesses ?? [])],
    cautious: true,
    json: { files: paths, ...(drill.remarks.length > 0 && { remarks: drill.remarks }) },
    text: [
      drill.title,
      ...drill.voiced.explanation,
      ...drill.remarks,
      ...formText(drill),
      "",
      ...paths,
      "",
      CAUTION,
    ].join("\n"),
  };
};

const formText = ({ line }: Drill): readonly string[] => {
  if (!("form" in line)) return [];
  const count = line.form.length;
  return [
    `Right hand, level ${line.level}, seed ${line.seed}, ${count} phrase${count === 1 ? "" : "s"}: ${formatForm(line)}.`,
  ];
};
