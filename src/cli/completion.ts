import type { Command } from "commander";

/** A command as a shell is told of it. */
interface Told {
  readonly name: string;
  readonly description: string;
  readonly options: readonly { readonly long: string; readonly description: string }[];
}

const toldOf = (program: Command): readonly Told[] =>
  program.commands.map((command) => ({
    name: command.name(),
    description: command.description(),
    options: command.options.flatMap(({ long, description }) => (long ? [{ long, description }] : [])),
  }));

const quoted = (text: string): string => `'${text.replaceAll("'", "'\\''")}'`;

const bash = (commands: readonly Told[]): string => `_hands_together() {
  local cur=\${COMP_WORDS[COMP_CWORD]} options=
  if [ "$COMP_CWORD" -eq 1 ]; then
    COMPREPLY=($(compgen -W "${commands.map(({ name }) => name).join(" ")} --help --version" -- "$cur"))
    return
  fi
  case \${COMP_WORDS[1]} in
${commands.map(({ name, options }) => `    ${name}) options="${options.map(({ long }) => long).join(" ")} --help" ;;`).join("\n")}
  esac
  case $cur in
    -*) COMPREPLY=($(compgen -W "$options" -- "$cur")) ;;
    *) COMPREPLY=($(compgen -f -- "$cur")) ;;
  esac
}
complete -o filenames -F _hands_together hands-together`;

const zsh = (commands: readonly Told[]): string => `#compdef hands-together
_hands_together() {
  local -a commands
  commands=(
${commands.map(({ name, description }) => `    ${quoted(`${name}:${description.replaceAll(":", "\\:")}`)}`).join("\n")}
  )
  if (( CURRENT == 2 )); then
    _describe command commands
    return
  fi
  case $words[2] in
${commands.map(({ name, options }) => `    ${name}) compadd -- ${options.map(({ long }) => long).join(" ")} --help ;;`).join("\n")}
  esac
  _files
}
compdef _hands_together hands-together`;

const fish = (commands: readonly Told[]): string =>
  commands
    .flatMap(({ name, description, options }) => [
      `complete -c hands-together -n __fish_use_subcommand -a ${name} -d ${quoted(description)}`,
      ...options.map(
        (option) =>
          `complete -c hands-together -n ${quoted(`__fish_seen_subcommand_from ${name}`)} -l ${option.long.slice(2)} -d ${quoted(option.description)}`,
      ),
    ])
    .join("\n");

/** What makes a shell complete commands and options, by the shell's name. */
export const COMPLETIONS = {
  bash: (program: Command) => bash(toldOf(program)),
  zsh: (program: Command) => zsh(toldOf(program)),
  fish: (program: Command) => fish(toldOf(program)),
} as const;
