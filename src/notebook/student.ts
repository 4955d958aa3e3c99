import type { Notebook, NotebookChart, NotebookEntry, NotebookTake, NotebookWish, PracticeWeek } from "./document.ts";
import { checkNotebook } from "./document.ts";

/** What a notebook says of its student today. */
export interface Student {
  readonly alias: string;
  readonly level: 1 | 2 | 3 | 4 | 5;
  readonly span?: number;
  readonly known: readonly string[];
  readonly weak: readonly string[];
  readonly language: string;
  readonly minutesADay: number;
  readonly daysAWeek: number;
  readonly charts: readonly NotebookChart[];
  /** What is pinned or forbidden, in the order in which it was said. */
  readonly wishes: readonly NotebookWish[];
}

/** The entries of one kind. */
export const entriesOf = <K extends NotebookEntry["kind"]>(
  { entries }: Notebook,
  kind: K,
): readonly Extract<NotebookEntry, { readonly kind: K }>[] =>
  entries.filter((entry): entry is Extract<NotebookEntry, { readonly kind: K }> => entry.kind === kind);

/** The takes, each recording once. */
export const takesOf = (notebook: Notebook): readonly NotebookTake[] => {
  const heard = new Set<string>();
  return entriesOf(notebook, "take").filter(({ recording }) => {
    if (recording === undefined) return true;
    if (heard.has(recording)) return false;
    heard.add(recording);
    return true;
  });
};

/** The weeks that were given, each start date's last one, in their order. */
export const weeksOf = (notebook: Notebook): readonly PracticeWeek[] => {
  const byStart = new Map(entriesOf(notebook, "week").map(({ week }) => [week.start, week]));
  return [...byStart.values()].sort((a, b) => (a.start < b.start ? -1 : 1));
};

/**
 * What a notebook says of its student today: of two entries the later one holds.
 *
 * @throws MusicError `notebook/argument` for what is no notebook
 *
 * @example
 * ```ts
 * import { addEntry, makeNotebook, notebookStudent } from "hands-together/notebook";
 *
 * const notebook = makeNotebook({ alias: "Sparrow", at: "2026-01-05T12:00:00Z", level: 1 });
 * notebookStudent(addEntry(notebook, { kind: "student", at: "2026-02-05T12:00:00Z", level: 2 })).level; // => 2
 * ```
 */
export function notebookStudent(notebook: Notebook): Student {
  checkNotebook(notebook);
  const said = entriesOf(notebook, "student");
  const last = <K extends keyof (typeof said)[number]>(field: K): (typeof said)[number][K] | undefined =>
    said.findLast((entry) => entry[field] !== undefined)?.[field];
  const span = last("span");
  const wishes = new Map<string, NotebookWish>();
  for (const wish of entriesOf(notebook, "wish")) {
    const of = `${wish.of} ${wish.id}`;
    wishes.delete(of);
    if (wish.want !== "leave") wishes.set(of, wish);
  }
  const charts = new Map(entriesOf(notebook, "chart").map((chart) => [chart.title, chart]));
  return {
    alias: last("alias") ?? notebook.id,
    level: last("level") ?? 1,
    ...(span !== undefined && { span }),
    known: last("known") ?? [],
    weak: last("weak") ?? [],
    language: last("language") ?? "en",
    minutesADay: last("minutesADay") ?? 25,
    daysAWeek: last("daysAWeek") ?? 5,
    charts: [...charts.values()],
    wishes: [...wishes.values()],
  };
}
