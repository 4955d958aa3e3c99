import { backingCatalogue } from "../../backing/index.ts";
import { compingCatalogue, pickupCatalogue } from "../../comping/index.ts";
import type { Drill, DrillRecipe } from "../../drill/index.ts";
import { CAUTION, makeDrill, rightHandCatalogue } from "../../drill/index.ts";
import { MusicError } from "../../ground/errors.ts";
import { formatForm } from "../../line/index.ts";
import type { AddCommand, Answer } from "../command.ts";
import { answerEach } from "../command.ts";
import { drillFiles, drillName, handoutFile } from "../drill-files.ts";
import type { Engraver } from "../engrave.ts";
import { loadEngraver } from "../engrave.ts";
import { writeFiles } from "../io.ts";
import { FEELS, NAMED_PROGRESSIONS, oneOf, wholeNumber } from "../options.ts";
import { parseRecipe } from "../read-recipe.ts";

const BACKINGS = [...backingCatalogue.map((row) => row.id), "none"] as const;

interface Options extends Omit<DrillRecipe, "key"> {
  readonly key?: string;
  readonly handout?: boolean;
  readonly out: string;
  readonly force?: boolean;
  readonly json?: boolean;
}

export const addDrillCommand: AddCommand = (program, terminal, done) => {
  program
    .command("drill")
    .description("one drill for two hands, as MusicXML, MIDI and JSON")
    .argument("[recipes]", "- reads one recipe a line from standard input, as JSON; the options are their defaults")
    .option("--key <key>", 'key, such as Eb, F# or "C minor"')
    .option("--changes <changes>", "a named progression, Roman numerals, or a chart of chord symbols", "turnaround")
    .option(
      "--chart-key <key>",
      "the key that a chart of chord symbols is written in, to be transposed from there (it stays as written unless given)",
    )
    .option("--left <voicings>", "shell or rootless", oneOf(["shell", "rootless"] as const), "shell")
    .option(
      "--comping <pattern>",
      `pattern of the left hand (what suits the voicings unless given): ${compingCatalogue.map((row) => row.id).join(", ")}`,
      oneOf(compingCatalogue.map((row) => row.id)),
    )
    .option(
      "--pickup [pickup]",
      `pickups in the left hand: ${pickupCatalogue.map((row) => row.id).join(", ")} (5th, then root, unless given)`,
      oneOf(pickupCatalogue.map((row) => row.id)),
    )
    .option("--low-bass", "bass roots an octave lower")
    .option(
      "--right <exercise>",
      `exercise of the right hand, or improvised for a line of phrases: ${rightHandCatalogue.map((row) => row.id).join(", ")}`,
      oneOf(rightHandCatalogue.map((row) => row.id)),
      "up-and-down",
    )
    .option("--level <n>", "how hard an improvised line is, 1 to 5 (3 unless given)", wholeNumber(1, 5))
    .option("--scale <scale>", 'scale of the right hand, such as "minor blues" (major or minor blues unless given)')
    .option(
      "--values <values>",
      "eighths or triplets (eighths, or an improvised line's mixture, unless given)",
      oneOf(["eighths", "triplets"] as const),
    )
    .option(
      "--octaves <n>",
      "octaves of the scale, 1 to 3, or that an improvised line ranges over (1, or what suits the line's level, unless given)",
      wholeNumber(1, 3),
    )
    .option("--tempo <bpm>", "beats a minute, 20 to 400", wholeNumber(20, 400), 100)
    .option("--feel <feel>", FEELS, "2:1")
    .option("--backing <style>", `bass and drums: ${BACKINGS.join(", ")}`, oneOf(BACKINGS), "swing")
    .option(
      "--seed <n>",
      "another seed, another bass and drums, and another improvised line",
      wholeNumber(0, 2 ** 31 - 1),
      1,
    )
    .option("--repeats <n>", "times through, 1 to 100", wholeNumber(1, 100), 1)
    .option("--handout", "a page to print and play as well (needs the package verovio)")
    .option("--out <folder>", "folder for the files, made if need be", "drill")
    .option("--force", "overwrites files that are there")
    .option("--json", "prints one JSON document")
    .addHelpText("after", `${NAMED_PROGRESSIONS}\n\n${CAUTION}`)
    .action(async (recipes: string | undefined, { out, force, json, handout, ...given }: Options) => {
      const engrave = handout === true ? await loadEngraver() : undefined;
      const answer = (recipe: DrillRecipe): Answer => write(makeDrill(recipe), out, force === true, engrave);
      if (recipes === "-") {
        done(
          await answerEach("-", true, terminal, (line) =>
            answer({ ...given, ...parseRecipe(line, "cli/drill") } as DrillRecipe),
          ),
        );
        return;
      }
      if (recipes !== undefined)
        throw new MusicError({
          code: "cli/drill",
          input: recipes,
          expected: "options, or - for recipes on standard input",
        });
      if (given.key === undefined)
        throw new MusicError({ code: "cli/drill", input: "", expected: "--key and a key, such as --key Eb" });
      done(await answerEach(given.key, json === true, terminal, (key) => answer({ ...given, key })));
    });
};

const write = (drill: Drill, folder: string, force: boolean, engrave: Engraver | undefined): Answer => {
  const name = drillName(drill);
  const files = [...drillFiles(drill, name), ...(engrave === undefined ? [] : [handoutFile(drill, name, engrave)])];
  const paths = writeFiles(folder, files, force);
  return {
    json: { files: paths },
    text: [drill.title, ...drill.voiced.explanation, ...formText(drill), "", ...paths, "", CAUTION].join("\n"),
  };
};

const formText = ({ line }: Drill): readonly string[] => {
  if (!("form" in line)) return [];
  const count = line.form.length;
  return [
    `Right hand, level ${line.level}, seed ${line.seed}, ${count} phrase${count === 1 ? "" : "s"}: ${formatForm(line)}.`,
  ];
};
