import type { Hand } from "../../event/index.ts";
import { MusicError } from "../../errors.ts";
import type { Fingering } from "../../fingering/index.ts";
import { fingerPassage } from "../../fingering/index.ts";
import { formatPitch, parsePitch, pitchName } from "../../pitch/index.ts";
import type { Pitch } from "../../pitch/index.ts";
import { parseScale, scalePitches } from "../../scale/index.ts";
import type { Answer } from "../command.ts";
import { CAUTION, answerEach } from "../command.ts";
import { oneOf, wholeNumber } from "../options.ts";
import type { AddCommand } from "../run.ts";
import { sideways } from "../table.ts";

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
    .argument("[notes]", 'notes in the order played, such as "C4 D4 Eb4 E4"; - reads one passage a line from standard input')
    .option("--hand <hand>", "left or right", oneOf(["left", "right"] as const), "right")
    .option("--scale <name>", 'a scale up and down, such as "C major blues"; - reads one a line from standard input')
    .option("--octaves <n>", "octaves of the scale, 1 to 4", wholeNumber(1, 4), 1)
    .option("--why", "shows the cost rule by rule")
    .option("--json", "prints one JSON document")
    .addHelpText("after", `\n${CAUTION}`)
    .action((notes: string | undefined, options: Options) => {
      if ((notes === undefined) === (options.scale === undefined)) {
        throw new MusicError({ code: "cli/finger", input: notes ?? "", expected: 'either notes ("C4 D4 E4") or --scale "C major"' });
      }
      done(answerEach(notes ?? (options.scale as string), options.json === true, terminal, (item) =>
        answer(options.scale === undefined ? readNotes(item) : upAndDown(item, options), options)));
    });
};

const readNotes = (text: string): readonly Pitch[] => {
  const names = text.trim().split(/[\s,]+/);
  if (names[0] === "") throw new MusicError({ code: "cli/finger", input: text, expected: 'at least one note, as in "C4 D4 Eb4 E4"' });
  return names.map(parsePitch);
};

const upAndDown = (name: string, { octaves, hand }: Options): readonly Pitch[] => {
  const floor = parsePitch(hand === "right" ? "C4" : "C3");
  const up = scalePitches(parseScale(name), { octaves, floor });
  return [...up, ...up.slice(0, -1).reverse()];
};

const answer = (pitches: readonly Pitch[], options: Options): Answer => {
  const fingering = fingerPassage(pitches, { hand: options.hand });
  const { fingers, crossings, cost, costByRule } = fingering;
  return {
    json: {
      pitches: pitches.map(pitchName),
      fingers,
      crossings: crossings.map(({ index, kind }) => ({ index, kind })),
      cost,
      ...(options.why === true ? { costByRule } : {}),
    },
    text: asText(fingering, options.why === true),
  };
};

const asText = (fingering: Fingering, why: boolean): string => {
  const marks = fingering.pitches.map((_, i) => {
    const crossing = fingering.crossings.find(({ index }) => index === i);
    return crossing === undefined ? "" : crossing.kind === "thumb-under" ? "under" : "over";
  });
  return sideways([
    ["note", ...fingering.pitches.map((p) => formatPitch(p))],
    ["finger", ...fingering.fingers.map(String)],
    ["turn", ...marks],
  ]) + (why ? `\ncost ${fingering.cost}: ${Object.entries(fingering.costByRule).map(([rule, cost]) => `${rule} ${cost}`).join(", ")}` : "");
};
