import { formatChord, parseChord } from "../../chord/index.ts";
import { MusicError } from "../../ground/errors.ts";
import { parseProgression } from "../../progression/index.ts";
import { formatBeats } from "../../time/index.ts";
import type { Reharmonisation } from "../../voice-leading/index.ts";
import { reharmonisations } from "../../voice-leading/index.ts";
import { namedProgressions } from "../catalogues.ts";
import { CHANGES, changesText } from "../changes.ts";
import type { AddCommand, Answer } from "../command.ts";
import { answerEach } from "../command.ts";
import { oneOf } from "../options.ts";
import { table } from "../table.ts";

interface Options {
  readonly key?: string;
  readonly metre?: string;
  readonly aims: "smooth" | "pianist";
  readonly json?: boolean;
}

export const addReharmoniseCommand: AddCommand = (program, terminal, done) => {
  program
    .command("reharmonise")
    .description("other chords that the function of each chord allows, with reasons; nothing is changed")
    .argument("<chart>", `${CHANGES}; - reads one a line`)
    .option("--key <key>", "the key of the whole (guessed from a chart; C for numerals)")
    .option("--metre <metre>", "its time signature (4/4 unless the progression has its own)")
    .option(
      "--aims <aims>",
      "how the voicings go whose motion is told: smooth, pianist",
      oneOf(["smooth", "pianist"]),
      "smooth",
    )
    .option("--json", "prints one JSON document")
    .addHelpText("after", `\n${namedProgressions()}`)
    .action(async (chart: string, options: Options) => {
      done(await answerEach(chart, options.json === true, terminal, (item) => answer(item, options)));
    });
};

const answer = (chart: string, { key, metre, aims }: Options): Answer => {
  const changes = parseProgression(changesText(chart), { key, metre });
  if (changes.chords.every((span) => span.chord === undefined))
    throw new MusicError({ code: "cli/reharmonise", input: chart, expected: "at least one chord" });
  const offers = reharmonisations(changes, { aims });
  return {
    json: { offers: offers.map(toJson) },
    text: offers.length === 0 ? "no chord here allows one" : rows(offers),
  };
};

const toJson = ({ way, bar, beat, from, to, durations, reason, motion }: Reharmonisation): object => ({
  bar,
  beat: formatBeats(beat),
  way,
  from,
  to,
  durations: durations.map(formatBeats),
  reason,
  motion,
});

const rows = (offers: readonly Reharmonisation[]): string =>
  table([
    ["bar", "beat", "chord", "instead", "motion", "why"],
    ...offers.map(({ bar, beat, from, to, reason, motion, way }) => [
      String(bar),
      formatBeats(beat),
      formatChord(parseChord(from)),
      to.map((symbol) => formatChord(parseChord(symbol))).join(" "),
      motion > 0 ? `+${motion}` : String(motion),
      `${way.replaceAll("-", " ")}: ${reason}`,
    ]),
  ]);
