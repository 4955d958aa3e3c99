import { Command, CommanderError } from "commander";
import { version } from "../../package.json";
import { MusicError } from "../ground/errors.ts";
import type { AddCommand } from "./command.ts";
import { exitCodeOf } from "./command.ts";
import { addAnalyseCommand } from "./commands/analyse.ts";
import { addAssessCommand } from "./commands/assess.ts";
import { addChartCommand } from "./commands/chart.ts";
import { addCheckCommand } from "./commands/check.ts";
import { addChordCommand } from "./commands/chord.ts";
import { addDrillCommand } from "./commands/drill.ts";
import { addFingerCommand } from "./commands/finger.ts";
import { addNotebookCommand } from "./commands/notebook.ts";
import { addPacketCommand } from "./commands/packet.ts";
import { addPlanCommand } from "./commands/plan.ts";
import { addReharmoniseCommand } from "./commands/reharmonise.ts";
import { addSchemaCommand } from "./commands/schema.ts";
import { addVoiceCommand } from "./commands/voice.ts";
import type { Terminal } from "./io.ts";

const COMMANDS: readonly AddCommand[] = [
  addChordCommand,
  addChartCommand,
  addVoiceCommand,
  addAnalyseCommand,
  addReharmoniseCommand,
  addFingerCommand,
  addDrillCommand,
  addPacketCommand,
  addCheckCommand,
  addAssessCommand,
  addPlanCommand,
  addNotebookCommand,
  addSchemaCommand,
];

// What was typed is quoted in the parser's own messages; of a long word the beginning will do.
const LONG_WORD = /'([^']{77})[^']{4,}'/g;

/**
 * Runs the command line on a terminal.
 *
 * @param args - the words after the program's name
 * @returns the exit code: 0, 1 when something asked for can't be done, 2 for bad input
 */
export async function run(args: readonly string[], terminal: Terminal): Promise<number> {
  let exitCode = 0;
  const output = {
    writeOut: terminal.write,
    writeErr: (text: string) =>
      terminal.complain(
        `${text
          .trim()
          .replace(/\s*\n\s*/g, " ")
          .replace(LONG_WORD, "'$1...'")}\n`,
      ),
  };
  const program = new Command("hands-together")
    .description("Two-hand jazz-piano practice material: voicings, fingering, drills.")
    .version(version)
    .exitOverride()
    .configureOutput(output)
    .showSuggestionAfterError(true);
  for (const add of COMMANDS)
    add(program, terminal, (code) => {
      exitCode = code;
    });
  for (const command of program.commands) command.exitOverride().configureOutput(output);
  try {
    await program.parseAsync(args, { from: "user" });
    return exitCode;
  } catch (error) {
    if (error instanceof CommanderError) return error.exitCode === 0 ? 0 : 2;
    if (error instanceof MusicError) {
      terminal.complain(`${error.message}\n`);
      return exitCodeOf(error);
    }
    throw error;
  }
}
