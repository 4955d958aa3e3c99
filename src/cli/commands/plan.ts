import type { LevelId } from "../../drill/index.ts";
import { CAUTION } from "../../drill/index.ts";
import { MusicError } from "../../ground/errors.ts";
import type { PracticePlanOptions } from "../../plan/index.ts";
import { formatPracticePlan, makePracticePlan, writePracticeCalendar } from "../../plan/index.ts";
import type { KeyOrder } from "../../scale/index.ts";
import type { AddCommand, Answer } from "../command.ts";
import { answerEach } from "../command.ts";
import { writeFiles } from "../io.ts";
import { oneOf, wholeNumber, wordsIn } from "../options.ts";

interface Options {
  readonly level: number;
  readonly keys: string;
  readonly weak?: string;
  readonly order: KeyOrder;
  readonly minutes: number;
  readonly weeks: number;
  readonly days: number;
  readonly tempo: number;
  readonly target: number;
  readonly start?: string;
  readonly time?: string;
  readonly out?: string;
  readonly force?: boolean;
  readonly json?: boolean;
}

export const addPlanCommand: AddCommand = (program, terminal, done) => {
  program
    .command("plan")
    .description("weeks of practice: which drill, key and tempo each day, as a table, JSON or a calendar")
    .argument("[levels]", "- reads one level a line from standard input")
    .option("--level <n>", "level, 1 to 5", wholeNumber(1, 5), 1)
    .option("--keys <keys>", 'all, or a list such as "C F Bb Eb"', "all")
    .option("--weak <keys>", "keys that shall come more often")
    .option(
      "--order <order>",
      "the order of all twelve: fourths, fifths, chromatic",
      oneOf(["fourths", "fifths", "chromatic"] as const),
      "fourths",
    )
    .option("--minutes <n>", "minutes a day, 1 to 480", wholeNumber(1, 480), 30)
    .option("--weeks <n>", "weeks, 1 to 52", wholeNumber(1, 52), 4)
    .option("--days <n>", "days a week, 1 to 7", wholeNumber(1, 7), 5)
    .option("--tempo <bpm>", "the tempo to start from, 20 to 400", wholeNumber(20, 400), 60)
    .option("--target <bpm>", "the tempo to stop at, 20 to 400", wholeNumber(20, 400), 120)
    .option("--start <date>", "the first day, such as 2027-01-04")
    .option("--time <time>", "time of day in the calendar, such as 17:30; needs --out")
    .option("--out <folder>", "writes the plan as a calendar (practice.ics) into a folder as well; needs --start")
    .option("--force", "overwrites a calendar that is there")
    .option("--json", "prints one JSON document")
    .addHelpText("after", `\n${CAUTION}`)
    .action(async (levels: string | undefined, options: Options) => {
      if (levels !== undefined && levels !== "-")
        throw new MusicError({
          code: "cli/plan",
          input: levels,
          expected: "options, or - for levels on standard input",
        });
      if (options.time !== undefined && options.out === undefined) {
        throw new MusicError({
          code: "cli/plan",
          input: options.time,
          expected: "--out and a folder for the calendar beside --time",
        });
      }
      done(
        await answerEach(levels ?? String(options.level), options.json === true, terminal, (level) =>
          answer(readLevel(level), options),
        ),
      );
    });
};

const readLevel = (text: string): number => {
  if (/^[1-5]$/.test(text)) return Number(text);
  throw new MusicError({ code: "cli/plan", input: text, expected: "a level from 1 to 5" });
};

const answer = (level: number, options: Options): Answer => {
  const plan = makePracticePlan({
    level: level as LevelId,
    keys: options.keys.trim() === "all" ? "all" : wordsIn(options.keys),
    order: options.order,
    minutesADay: options.minutes,
    weeks: options.weeks,
    daysAWeek: options.days,
    startTempo: options.tempo,
    targetTempo: options.target,
    ...(options.weak === undefined ? {} : { weakKeys: wordsIn(options.weak) }),
    ...(options.start === undefined ? {} : { startDate: options.start }),
  } satisfies PracticePlanOptions);
  const files =
    options.out === undefined
      ? []
      : writeFiles(
          options.out,
          [
            {
              name: "practice.ics",
              contents: writePracticeCalendar(plan, {
                stamp: `${new Date().toISOString().slice(0, 19)}Z`,
                uidDomain: "hands-together.example",
                ...(options.time === undefined ? {} : { startTime: options.time }),
              }),
            },
          ],
          options.force === true,
        );
  return {
    json: options.out === undefined ? plan : { ...plan, files },
    text: [formatPracticePlan(plan).trimEnd(), ...files].join("\n"),
  };
};
