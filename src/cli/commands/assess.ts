import { basename } from "node:path";
import type { PlayedNote } from "../../assess/index.ts";
import { assessTake, formatAssessment } from "../../assess/index.ts";
import { CAUTION } from "../../drill/index.ts";
import { assessmentPage } from "../../handout/index.ts";
import type { MidiPerformance } from "../../midi/index.ts";
import { readMidi } from "../../midi/index.ts";
import type { Score } from "../../score/index.ts";
import type { AddCommand, Answer } from "../command.ts";
import { answerEach } from "../command.ts";
import type { Terminal } from "../io.ts";
import { readInput, writeFiles } from "../io.ts";
import { plainName } from "../drill-files.ts";
import { readScore } from "../read-score.ts";

interface Options {
  readonly out?: string;
  readonly force?: boolean;
  readonly json?: boolean;
}

export const addAssessCommand: AddCommand = (program, terminal, done) => {
  program
    .command("assess")
    .description("a student's take against the drill: what went well, at most three things to fix, what to practise next")
    .argument("<drill>", "the drill, as MusicXML or JSON")
    .argument("<take>", "the take, as MIDI; - reads one file name a line from standard input")
    .option("--out <folder>", "writes a page with a picture of the timing into a folder as well")
    .option("--force", "overwrites a page that is there")
    .option("--json", "prints one JSON document")
    .addHelpText("after", `\n${CAUTION}`)
    .action(async (drill: string, take: string, options: Options) => {
      const score = readScore(drill);
      done(await answerEach(take, options.json === true, terminal, (file) => answer(score, file, options, terminal)));
    });
};

const answer = (score: Score, file: string, { out, force }: Options, terminal: Terminal): Answer => {
  const performance = readMidi(readInput(file));
  for (const warning of performance.warnings) terminal.complain(`${file}: ${warning}\n`);
  const assessment = assessTake(score, playedNotes(performance));
  const files = out === undefined ? [] : writeFiles(out, [
    { name: `${plainName(basename(file).replace(/\.[^.]*$/, ""))}-assessed.html`, contents: assessmentPage(assessment) },
  ], force === true);
  return {
    json: out === undefined ? assessment : { ...assessment, files },
    text: [formatAssessment(assessment).trimEnd(), ...files].join("\n"),
  };
};

// A recording that names its tracks tells the hands apart; a backing that was recorded along is left out.
const playedNotes = ({ notes, tracks }: MidiPerformance): readonly PlayedNote[] =>
  notes.flatMap(({ onsetSeconds, durationSeconds, midi, velocity, channel, track }) => {
    const name = tracks[track]?.name ?? "";
    if (/^(bass|drums)$/i.test(name)) return [];
    const hand = /right hand/i.test(name) ? "right" as const : /left hand/i.test(name) ? "left" as const : undefined;
    return [{ onsetSeconds, durationSeconds, midi, velocity, channel, ...(hand === undefined ? {} : { hand }) }];
  });
