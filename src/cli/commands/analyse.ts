import { formatChord } from "../../chord/index.ts";
import { MusicError } from "../../ground/errors.ts";
import type { AnalysedChord, HarmonicAnalysis } from "../../harmony/index.ts";
import { analyseHarmony, chordScaleCatalogue } from "../../harmony/index.ts";
import type { Key } from "../../pitch/index.ts";
import { formatPitch } from "../../pitch/index.ts";
import { parseProgression } from "../../progression/index.ts";
import { fromPickup } from "../../progression/inner.ts";
import { formatBeats } from "../../time/index.ts";
import { namedProgressions } from "../catalogues.ts";
import { CHANGES, changesText, fileGuesses } from "../changes.ts";
import type { AddCommand, Answer } from "../command.ts";
import { answerEach } from "../command.ts";
import { table } from "../table.ts";

interface Options {
  readonly key?: string;
  readonly metre?: string;
  readonly why?: boolean;
  readonly json?: boolean;
}

export const addAnalyseCommand: AddCommand = (program, terminal, done) => {
  program
    .command("analyse")
    .description("key of the moment, numeral, function and scale of each chord")
    .argument("<chart>", `${CHANGES}; - reads one a line`)
    .option("--key <key>", "the key of the whole (guessed from a chart; C for numerals)")
    .option("--metre <metre>", "its time signature (4/4 unless the progression has its own)")
    .option("--why", "a sentence for each chord, with how near the next reading is")
    .option("--json", "prints one JSON document")
    .addHelpText("after", `\n${namedProgressions()}`)
    .action(async (chart: string, options: Options) => {
      done(await answerEach(chart, options.json === true, terminal, (item) => answer(item, options)));
    });
};

const answer = (chart: string, { key, metre, why }: Options): Answer => {
  const progression = fromPickup(parseProgression(changesText(chart), { key, metre }));
  const analysis = analyseHarmony(progression);
  if (analysis.chords.length === 0)
    throw new MusicError({ code: "cli/analyse", input: chart, expected: "at least one chord" });
  const sentences = analysis.chords.map(({ sentence }) => sentence);
  return {
    guesses: [...fileGuesses(chart), ...(progression.guesses ?? [])],
    json: toJson(analysis),
    text: rows(analysis.chords) + (why === true ? `\n\n${[...new Set(sentences)].join("\n")}` : ""),
  };
};

const keyName = ({ tonic, mode }: Key): string => `${tonic} ${mode}`;

const toJson = ({ key, chords, regions, twoFives, pedals }: HarmonicAnalysis): object => ({
  key: keyName(key),
  chords: chords.map((one) => ({
    bar: one.bar,
    beat: formatBeats(one.beat),
    symbol: one.chord.symbol,
    key: keyName(one.key),
    numeral: one.numeral,
    home: one.home,
    function: one.function,
    ...(one.cadence !== undefined && { cadence: one.cadence }),
    scale: one.scale,
    ...(one.pedal !== undefined && { pedal: one.pedal }),
    margin: one.margin,
    otherKey: keyName(one.otherKey),
    sentence: one.sentence,
  })),
  regions: regions.map((region) => ({ ...region, key: keyName(region.key) })),
  twoFives,
  pedals,
});

const rows = (chords: readonly AnalysedChord[]): string =>
  table([
    ["bar", "beat", "chord", "key", "numeral", "in the whole", "function", "scale", "cadence, pedal"],
    ...chords.map((one) => [
      String(one.bar),
      formatBeats(one.beat),
      formatChord(one.chord),
      `${formatPitch(one.key.tonic)} ${one.key.mode}`,
      one.numeral,
      one.home === one.numeral ? "" : one.home,
      one.function.replace("-", " "),
      chordScaleCatalogue.find(({ id }) => id === one.scale)?.title ?? one.scale,
      [one.cadence, one.pedal === undefined ? undefined : `pedal on ${formatPitch(one.pedal)}`]
        .filter((part) => part !== undefined)
        .join(", "),
    ]),
  ]);
