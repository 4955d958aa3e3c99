import type { Command } from "commander";
import { formatChord, formatDegree, parseChord } from "../../chord/index.ts";
import { formatPitch } from "../../pitch/index.ts";
import type { AddCommand, Answer } from "../command.ts";
import { answerEach } from "../command.ts";
import { sideways } from "../table.ts";

export const addChordCommand: AddCommand = (program, terminal, done) => {
  program
    .command("chord")
    .description("spells a chord symbol")
    .argument("<symbol>", 'a chord symbol such as "G13(b9)"; - reads one a line from standard input')
    .option("--json", "prints one JSON document")
    .action(async (symbol: string, options: { json?: boolean }, _command: Command) => {
      done(await answerEach(symbol, options.json === true, terminal, spell));
    });
};

const spell = (symbol: string): Answer => {
  const chord = parseChord(symbol.trim());
  const { root, bass, tones } = chord;
  const heading = `${formatChord(chord)}${bass === root ? "" : `  (${formatPitch(bass)} in the bass)`}`;
  return {
    json: { symbol, root, bass, tones },
    text: `${heading}\n${sideways([
      ["degree", ...tones.map((tone) => formatDegree(tone.degree))],
      ["note", ...tones.map((tone) => formatPitch(tone.note))],
    ])}`,
  };
};
