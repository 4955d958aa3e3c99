import type { NoteEvent } from "../../event/index.ts";
import { MusicError } from "../../ground/errors.ts";
import { readableProgression } from "../../harmony/index.ts";
import type { CheckLineOptions, LineReport } from "../../line/index.ts";
import { checkLine } from "../../line/index.ts";
import { notatePerformance, readMidi } from "../../midi/index.ts";
import { parseKey } from "../../pitch/index.ts";
import { parseProgression } from "../../progression/index.ts";
import { parseDrillRecipe } from "../../recipe/index.ts";
import { changesOf, scaleOf } from "../../recipe/inner.ts";
import type { Score } from "../../score/index.ts";
import { parseFeel } from "../../swing/index.ts";
import type { MetreChange } from "../../time/index.ts";
import { formatBeats } from "../../time/index.ts";
import { changesText, fileGuesses } from "../changes.ts";
import type { AddCommand, Answer } from "../command.ts";
import { answerEach } from "../command.ts";
import { fromFile } from "../from-file.ts";
import { readInput } from "../io.ts";
import { wholeNumber } from "../options.ts";
import { isMidi, scoreFromBytes } from "../read-score.ts";

interface Options {
  readonly changes?: string;
  readonly key?: string;
  readonly scale?: string;
  readonly feel?: string;
  readonly track?: number;
  readonly json?: boolean;
}

export const addCheckCommand: AddCommand = (program, terminal, done) => {
  program
    .command("check")
    .description("holds a line to the rules of phrasing: where, what, why, and what to try")
    .argument("<file>", "a line as MusicXML, MIDI or JSON; - reads one file name a line from standard input")
    .option("--changes <changes>", "the chords it is played over (those of the score, unless given)")
    .option("--key <key>", "the key of the changes, and of the spelling of a MIDI file")
    .option(
      "--scale <scale>",
      'the scale it is made from, such as "C major blues" (that of the score\'s recipe, unless given)',
    )
    .option("--feel <feel>", "the feel that a MIDI file is played with, such as 2:1 (straight, unless given)")
    .option("--track <n>", "the track of a MIDI file (the highest, unless given)", wholeNumber(1, 1000))
    .option("--json", "prints one JSON document")
    .action(async (file: string, options: Options) => {
      done(await answerEach(file, options.json === true, terminal, (item) => answer(item, options)));
    });
};

const answer = (file: string, options: Options): Answer => {
  const { events, metres, ...context } = lineOf(file, options);
  const changes =
    options.changes === undefined
      ? undefined
      : parseProgression(changesText(options.changes), options.key === undefined ? {} : { key: options.key });
  const [change] = changes?.metres ?? metres ?? [];
  if (change !== undefined)
    throw new MusicError({
      code: "cli/check",
      input: file,
      expected: `one metre throughout, not another from bar ${change.bar}: phrases are counted in bars of one length`,
      reason: "cannot-be-done",
    });
  const report = checkLine(events, {
    ...context,
    ...(changes === undefined ? {} : { chords: changes.chords, metre: changes.metre }),
    ...(options.scale === undefined ? {} : { scale: options.scale }),
  });
  return {
    guesses: [...fileGuesses(options.changes), ...(changes?.guesses ?? [])],
    json: {
      phrases: report.phrases.map(({ bar, beat, duration, notes }) => ({
        bar,
        beat: formatBeats(beat),
        beats: formatBeats(duration),
        notes,
      })),
      findings: report.findings.map(({ rule, severity, bar, beat, message, suggestion, percentile }) => ({
        rule,
        severity,
        bar,
        beat: formatBeats(beat),
        message,
        suggestion,
        ...(percentile !== undefined && { percentile }),
      })),
    },
    text: asText(report),
  };
};

const lineOf = (
  file: string,
  { feel, key, track }: Options,
): {
  readonly events: readonly NoteEvent[];
  readonly metres?: readonly MetreChange[] | undefined;
} & CheckLineOptions => {
  const bytes = readInput(file);
  if (isMidi(bytes)) {
    const events = notatePerformance(
      fromFile(file, () => readMidi(bytes)),
      {
        ...(feel === undefined ? {} : { feel: parseFeel(feel) }),
        ...(key === undefined ? {} : { key: parseKey(key) }),
        ...(track === undefined ? {} : { track }),
      },
    );
    return { events };
  }
  const score = scoreFromBytes(bytes, file);
  const { right, left, chords, metre, metres, tempo, phrases } = score;
  return {
    events: right,
    voicings: left,
    chords,
    metre,
    metres,
    tempo,
    ...(phrases === undefined ? {} : { phrases }),
    ...fromFile(file, () => toldByRecipe(score)),
  };
};

/** What the recipe in a drill's score tells of its line: the scale that it is made from. */
const toldByRecipe = ({ recipe }: Score): Pick<CheckLineOptions, "scale"> => {
  if (recipe?.kind !== "drill") return {};
  const full = parseDrillRecipe(recipe);
  return { scale: scaleOf(readableProgression(changesOf(full)).progression, full) };
};

const asText = ({ phrases, findings }: LineReport): string => {
  const count = `${phrases.length} ${phrases.length === 1 ? "phrase" : "phrases"}, ${findings.length === 0 ? "nothing to mend" : `${findings.length} to look at`}`;
  const rows = findings.flatMap(({ rule, severity, bar, beat, message, suggestion, percentile }) => [
    `bar ${bar} beat ${formatBeats(beat)}  ${severity}  ${message}  (${rule}${percentile === undefined ? "" : `; ${percentile} % of phrases have less`})`,
    `    try: ${suggestion}`,
  ]);
  return [count, ...rows].join("\n");
};
