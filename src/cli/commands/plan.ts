import { CAUTION } from "../../ground/caution.ts";
import { MusicError } from "../../ground/errors.ts";
import { formatPracticePlan, makePracticePlan, writePracticeCalendar } from "../../plan/index.ts";
import { parseProgression } from "../../progression/index.ts";
import type { PlanRecipe } from "../../recipe/index.ts";
import { recipeHash } from "../../recipe/index.ts";
import { planRecipeSchema } from "../../recipe/inner.ts";
import type { AddCommand, Answer } from "../command.ts";
import { answerEach } from "../command.ts";
import { addFlags, givenFields } from "../flags.ts";
import type { Terminal } from "../io.ts";
import { writeFiles } from "../io.ts";
import { parseRecipe, recipeFile } from "../read-recipe.ts";

interface Options {
  readonly time?: string;
  readonly out?: string;
  readonly force?: boolean;
  readonly json?: boolean;
}

export const addPlanCommand: AddCommand = (program, terminal, done) => {
  addFlags(
    program
      .command("plan")
      .description("weeks of practice: which drill, key and tempo each day, as a table, JSON or a calendar")
      .argument(
        "[recipe]",
        "a plan recipe, a JSON file; - reads one a line from standard input (a figure alone is a level); the options are their defaults",
      ),
    planRecipeSchema,
  )
    .option("--time <time>", "time of day in the calendar, such as 17:30; needs --out")
    .option("--out <folder>", "writes the plan as a calendar into a folder as well; needs --start")
    .option("--force", "overwrites a calendar that is there")
    .option("--json", "prints one JSON document")
    .addHelpText("after", `\n${CAUTION}`)
    .action(async (from: string | undefined, options: Options) => {
      if (options.time !== undefined && options.out === undefined) {
        throw new MusicError({
          code: "cli/plan",
          input: options.time,
          expected: "--out and a folder for the calendar beside --time",
        });
      }
      const given = givenFields({ ...options }, planRecipeSchema);
      done(
        await answerEach(from ?? "", options.json === true, terminal, (text) =>
          answer(
            from === undefined
              ? given
              : /^\d$/.test(text)
                ? { ...given, level: Number(text) }
                : { ...given, ...parseRecipe(from === "-" ? text : recipeFile(from), "plan") },
            options,
            terminal,
          ),
        ),
      );
    });
};

const answer = (recipe: PlanRecipe, options: Options, terminal: Terminal): Answer => {
  const plan = makePracticePlan(recipe);
  const files =
    options.out === undefined
      ? []
      : writeFiles(
          options.out,
          [
            {
              name: `practice-${recipeHash("plan", recipe)}.ics`,
              contents: writePracticeCalendar(plan, {
                stamp: `${new Date().toISOString().slice(0, 19)}Z`,
                uidDomain: "hands-together.example",
                ...(options.time === undefined ? {} : { startTime: options.time }),
              }),
            },
          ],
          options.force === true,
          terminal,
        );
  const { drills = [] } = recipe;
  const told = drills.flatMap(({ changes, chartKey }) =>
    changes === undefined ? [] : (parseProgression(changes, { key: chartKey }).guesses ?? []),
  );
  return {
    guesses: [...new Set(told)],
    cautious: true,
    json: options.out === undefined ? plan : { ...plan, files },
    text: [formatPracticePlan(plan).trimEnd(), ...files].join("\n"),
  };
};
