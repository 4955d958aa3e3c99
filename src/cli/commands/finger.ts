import { CAUTION } from "../../drill/index.ts";
import type { Hand } from "../../event/index.ts";
import { fingerPassage, fingerScale, formatFingering } from "../../fingering/index.ts";
import { MusicError } from "../../ground/errors.ts";
import type { Pitch } from "../../pitch/index.ts";
import { parsePitch, pitchName } from "../../pitch/index.ts";
import type { AddCommand, Answer } from "../command.ts";
import { answerEach } from "../command.ts";
import { oneOf, wholeNumber } from "../options.ts";

interface Options {
  readonly hand: Hand;
  readonly scale?: string;
  readonly octaves: number;
  readonly why?: boolean;
  readonly json?: boolean;
}

export const addFingerCommand: AddCommand = (program, terminal, done) => {
  program
    .command("finger")
    .description("the best fingering of notes or of a scale, with its crossings")
    .argument(
      "[notes]",
      'notes in the order played, such as "C4 D4 Eb4 E4"; - reads one passage a line from standard input',
    )
    .option("--hand <hand>", "left or right", oneOf(["left", "right"] as const), "right")
    .option("--scale <name>", 'a scale up and down, such as "C major blues"; - reads one a line from standard input')
    .option("--octaves <n>", "octaves of the scale, 1 to 4", wholeNumber(1, 4), 1)
    .option("--why", "says why: a sentence a note, and the cost rule by rule")
    .option("--json", "prints one JSON document")
    .addHelpText("after", `\n${CAUTION}`)
    .action(async (notes: string | undefined, options: Options) => {
      if ((notes === undefined) === (options.scale === undefined)) {
        throw new MusicError({
          code: "cli/finger",
          input: notes ?? "",
          expected: 'either notes ("C4 D4 E4") or --scale "C major"',
        });
      }
      done(
        await answerEach(notes ?? (options.scale as string), options.json === true, terminal, (item) =>
          answer(item, options, terminal.columns),
        ),
      );
    });
};

const readNotes = (text: string): readonly Pitch[] => {
  const names = text.trim().split(/[\s,]+/);
  if (names[0] === "")
    throw new MusicError({ code: "cli/finger", input: text, expected: 'at least one note, as in "C4 D4 Eb4 E4"' });
  return names.map(parsePitch);
};

const answer = (item: string, { hand, scale, octaves, why }: Options, columns: number | undefined): Answer => {
  const explain = why === true;
  const fingering =
    scale === undefined
      ? fingerPassage(readNotes(item), { hand, explain })
      : fingerScale(item, { hand, octaves, explain });
  const { pitches, fingers, crossings, cost, costByRule, remarks, steps } = fingering;
  return {
    json: {
      pitches: pitches.map(pitchName),
      fingers,
      crossings: crossings.map(({ index, kind }) => ({ index, kind })),
      cost,
      ...(explain
        ? {
            costByRule,
            remarks: remarks.map(({ message }) => message),
            why: (steps ?? []).map(({ sentence }) => sentence),
          }
        : {}),
    },
    text: formatFingering(fingering, { explain: explain, width: columns ?? 80 }),
  };
};
