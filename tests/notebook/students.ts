import type { Notebook, NotebookTake, PracticeWeek } from "../all.ts";
import { addEntry, nextWeek } from "../all.ts";

/** Some days after the first Monday of 2026. */
export const day = (days: number): string => new Date(Date.UTC(2026, 0, 5 + days)).toISOString().slice(0, 10);

/** A take of a week's drill as it would be put down, clean unless told otherwise. */
export const takeOf = (week: PracticeWeek, place: number, more: Partial<NotebookTake> = {}): NotebookTake => {
  const drill = week.drills[place];
  if (drill === undefined) throw new RangeError(`no drill ${place}`);
  return {
    kind: "take",
    at: `${day((week.number - 1) * 7 + 2)}T17:00:${String(place).padStart(2, "0")}Z`,
    title: drill.title,
    key: drill.key,
    drill: drill.id,
    recipe: drill.recipe,
    hands: "both",
    tempo: { asked: drill.tempo, played: drill.tempo },
    accuracy: 1,
    clean: true,
    measures: [],
    findings: [],
    ...more,
  };
};

/** Weeks one after another, each given and then played. */
export const term = (
  notebook: Notebook,
  weeks: number,
  play: (week: PracticeWeek) => readonly NotebookTake[] = (week) => week.drills.map((_, place) => takeOf(week, place)),
): { readonly notebook: Notebook; readonly weeks: readonly PracticeWeek[] } => {
  let book = notebook;
  const given = Array.from({ length: weeks }, (_, i) => {
    const week = nextWeek(book, { start: day(7 * i) });
    book = addEntry(book, { kind: "week", at: `${day(7 * i)}T09:00:00Z`, week });
    for (const take of play(week)) book = addEntry(book, take);
    return week;
  });
  return { notebook: book, weeks: given };
};
