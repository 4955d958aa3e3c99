import { Argument } from "commander";
import type { AddCommand } from "../command.ts";
import { COMPLETIONS } from "../completion.ts";

const SHELLS = ["bash", "zsh", "fish"] as const;

export const addCompletionCommand: AddCommand = (program, terminal, done) => {
  program
    .command("completion")
    .description("what makes a shell complete commands and options")
    .addArgument(new Argument("<shell>", "where it is for").choices(SHELLS))
    .addHelpText(
      "after",
      `
bash: hands-together completion bash >> ~/.bashrc
zsh:  hands-together completion zsh > a file _hands-together in a folder of $fpath
fish: hands-together completion fish > ~/.config/fish/completions/hands-together.fish`,
    )
    .action((shell: (typeof SHELLS)[number]) => {
      terminal.write(`${COMPLETIONS[shell](program)}\n`);
      done(0);
    });
};
