import type { Book } from "./book.ts";
import { foundIn, lastTake, message, rowsIn, stateOf } from "./book.ts";
import { daysBetween } from "./dates.ts";
import type { MessageData } from "./document.ts";

/** So many takes in a row that were not clean, and the teacher is told. */
export const STUCK = -3;
const SILENT_DAYS = 14;

/** What the teacher must be told, so that nobody stalls without a word. */
export const toldOf = (book: Book): readonly MessageData[] => {
  const stuck = rowsIn(book, "learning", "aside").flatMap((row) => {
    const { run, state } = stateOf(book, row);
    if (run > STUCK) return [];
    const found = lastTake(book, row);
    const values = { skill: row.id, takes: -run, found: found === undefined ? "wrong-notes" : foundIn(found) };
    return [message(state === "aside" ? "told.aside" : "told.stuck", values)];
  });
  const last = book.takes.at(-1)?.at ?? book.weeks[0]?.start;
  const days = last === undefined ? 0 : daysBetween(last, book.start);
  const silent =
    book.weeks.length > 0 && days >= SILENT_DAYS ? [message("told.silent", { weeks: Math.floor(days / 7) })] : [];
  const all = rowsIn(book, "open", "learning", "ahead", "aside").length === 0 ? [message("told.all-known")] : [];
  return [...stuck, ...silent, ...all];
};
