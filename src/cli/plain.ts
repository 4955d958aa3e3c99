import type { Terminal } from "./io.ts";

// Control characters of C0 (newline and tab aside) and C1, which terminals obey, and those that turn the direction of what follows. Sources: ECMA-48;
// Unicode Standard Annex 9.
const OBEYED = /[\u0000-\u0008\u000b-\u001f\u007f-\u009f\u200e\u200f\u202a-\u202e\u2066-\u2069]/g;

/** A text in which nothing makes a terminal do anything but print: such characters are told as JSON would, `\u001b`. */
export const plain = (text: string): string =>
  text.replace(OBEYED, (character) => `\\u${character.charCodeAt(0).toString(16).padStart(4, "0")}`);

/** A terminal that prints what it is told, whatever is in a title or a file's name. */
export const plainTerminal = (terminal: Terminal): Terminal => ({
  ...terminal,
  write: (text) => terminal.write(plain(text)),
  complain: (text) => terminal.complain(plain(text)),
});
