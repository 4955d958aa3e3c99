import { atLeast, belongs, lengthOf } from "../heard.ts";
import { advice, nameOf } from "./names.ts";
import type { CountingRule } from "./rare.ts";

const EASY = 3;

export const restingNote: CountingRule = {
  id: "resting-note",
  title: "A phrase rarely comes to rest on a note that is neither a tone nor a tension of its chord.",
  from: 90,
  count: ({ last }, line) =>
    belongs(last, line) || !atLeast(lengthOf(last), line.pulse) ? undefined : { value: 1, note: last },
  say: ({ note }) => ({
    message: `the phrase comes to rest on ${nameOf(note.pitch)}, which does not belong${note.chord === undefined ? "" : ` to ${note.chord.symbol}`}`,
    suggestion: `end on ${advice(note)}`,
  }),
  keep: ({ last, level, belongs: own, later }) =>
    last && level <= EASY ? (pitch) => (own[pitch % 12] ?? 0) > 0 || (later[pitch % 12] ?? 0) > 0 : undefined,
};
