import { Command, CommanderError } from "commander";
import { version } from "../../package.json";
import { MusicError } from "../ground/errors.ts";
import type { AddCommand } from "./command.ts";
import { exitCodeOf } from "./command.ts";
import type { Terminal } from "./io.ts";
import { plainTerminal } from "./plain.ts";
import { loadSheets } from "./sheets.ts";

// A command is loaded when it is asked for: starting up is most of what a short answer takes.
const COMMANDS: Readonly<Record<string, () => Promise<AddCommand>>> = {
  chord: async () => (await import("./commands/chord.ts")).addChordCommand,
  chart: async () => (await import("./commands/chart.ts")).addChartCommand,
  voice: async () => (await import("./commands/voice.ts")).addVoiceCommand,
  analyse: async () => (await import("./commands/analyse.ts")).addAnalyseCommand,
  reharmonise: async () => (await import("./commands/reharmonise.ts")).addReharmoniseCommand,
  finger: async () => (await import("./commands/finger.ts")).addFingerCommand,
  drill: async () => (await import("./commands/drill.ts")).addDrillCommand,
  packet: async () => (await import("./commands/packet.ts")).addPacketCommand,
  check: async () => (await import("./commands/check.ts")).addCheckCommand,
  assess: async () => (await import("./commands/assess.ts")).addAssessCommand,
  plan: async () => (await import("./commands/plan.ts")).addPlanCommand,
  notebook: async () => (await import("./commands/notebook.ts")).addNotebookCommand,
  completion: async () => (await import("./commands/completion.ts")).addCompletionCommand,
  schema: async () => (await import("./commands/schema.ts")).addSchemaCommand,
};

/** The command that is named first; all of them where none is, for help, for suggestions and for a shell. */
const commandsFor = ([first = ""]: readonly string[]): readonly (() => Promise<AddCommand>)[] => {
  const named = Object.hasOwn(COMMANDS, first) ? COMMANDS[first] : undefined;
  if (named !== undefined && first !== "completion") return [named];
  return first === "--version" || first === "-V" ? [] : Object.values(COMMANDS);
};

// What was typed is quoted in the parser's own messages; of a long word the beginning will do.
const LONG_WORD = /'([^']{77})[^']{4,}'/g;

/**
 * Runs the command line on a terminal.
 *
 * @param args - the words after the program's name
 * @returns the exit code: 0, 1 when something asked for can't be done, 2 for bad input
 */
export async function run(args: readonly string[], outside: Terminal): Promise<number> {
  const terminal = plainTerminal(outside);
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
  await loadSheets(args);
  for (const load of commandsFor(args))
    (await load())(program, terminal, (code) => {
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
