import { parseKey } from "../pitch/index.ts";
import { canonicalJson, idOfRow } from "../recipe/inner.ts";
import type { SkillRow } from "./catalogue.ts";
import type { MessageData, Notebook, NotebookTake, NotebookWish, PracticeWeek } from "./document.ts";
import type { KeyState, SkillState, SkillTake } from "./evidence.ts";
import { keyStatesOf, rowsOf, skillTakes, statesOf } from "./evidence.ts";
import type { Student } from "./student.ts";
import { notebookStudent, weeksOf } from "./student.ts";

/** Everything that a week is chosen from. */
export interface Book {
  readonly start: string;
  /** A whole number by the notebook's id, so that students who began alike are given different things. */
  readonly turn: number;
  readonly student: Student;
  readonly rows: readonly SkillRow[];
  readonly states: ReadonlyMap<string, SkillState>;
  readonly keys: readonly KeyState[];
  readonly takes: readonly SkillTake[];
  /** The weeks before this one. */
  readonly weeks: readonly PracticeWeek[];
  /** How often each progression, right hand and pattern was given, and in which week each key was given last. */
  readonly given: {
    readonly changes: ReadonlyMap<string, number>;
    readonly right: ReadonlyMap<string, number>;
    readonly comping: ReadonlyMap<string, number>;
    readonly key: ReadonlyMap<string, number>;
    readonly drills: ReadonlySet<string>;
  };
}

/** A recipe without its tempo, as text. */
export const sameDrill = (recipe: object): string => canonicalJson({ ...recipe, tempo: undefined });

const times = (list: readonly string[]): ReadonlyMap<string, number> => {
  const count = new Map<string, number>();
  for (const one of list) count.set(one, (count.get(one) ?? 0) + 1);
  return count;
};

/** A notebook, read for a week that begins on a day. */
export const bookOf = (notebook: Notebook, skills: readonly (string | SkillRow)[] | undefined, start: string): Book => {
  const rows = rowsOf(skills);
  const takes = skillTakes(notebook, rows);
  const weeks = weeksOf(notebook).filter((week) => week.start < start);
  const recipes = weeks.flatMap(({ drills }) => drills.map(({ recipe }) => recipe));
  return {
    start,
    turn: [...notebook.id].reduce((sum, sign) => (31 * sum + sign.charCodeAt(0)) % 1_000_003, 7),
    student: notebookStudent(notebook),
    rows,
    states: new Map(statesOf(notebook, rows, takes, start).map((state) => [state.skill, state])),
    keys: keyStatesOf(notebook, takes),
    takes,
    weeks,
    given: {
      changes: times(recipes.map(({ changes = "turnaround" }) => idOfRow(changes))),
      right: times(recipes.map(({ right = "up-and-down" }) => idOfRow(right))),
      comping: times(recipes.flatMap(({ comping }) => (comping === undefined ? [] : [idOfRow(comping)]))),
      key: new Map(
        weeks.flatMap(({ drills, number }) => drills.map(({ key }) => [parseKey(key).tonic, number] as const)),
      ),
      drills: new Set(recipes.map(sameDrill)),
    },
  };
};

/** The state of a skill. */
export const stateOf = ({ states }: Book, { id }: SkillRow): SkillState =>
  states.get(id) ?? { skill: id, state: "ahead", takes: 0, cleanTakes: 0, run: 0 };

/** The rows in some state. */
export const rowsIn = (book: Book, ...wanted: readonly SkillState["state"][]): readonly SkillRow[] =>
  book.rows.filter((row) => wanted.includes(stateOf(book, row).state));

/** Whether the teacher forbids it. */
export const isForbidden = ({ student }: Book, of: NotebookWish["of"], id: string): boolean =>
  student.wishes.some((wish) => wish.want === "forbid" && wish.of === of && wish.id === id);

/** The tonics that the student may be given: those named as known, and those of skills about keys that are known or being learnt. */
export const knownKeys = (book: Book): readonly string[] => {
  const learnt = rowsIn(book, "known", "learning").flatMap(({ keys = [], path }) => (path === "keys" ? keys : []));
  return [...new Set(["C", ...book.student.known, ...learnt])].filter((key) => !isForbidden(book, "key", key));
};

/** How much a skill is a remedy for what was found in the last takes. */
export const helpOf = ({ takes }: Book, { helps }: SkillRow): number =>
  takes
    .slice(-LATELY)
    .flatMap(({ findings }) => findings)
    .filter(({ id }) => helps.includes(id))
    .reduce((sum, { weight }) => sum + weight, 0) / LATELY;

const LATELY = 8;

/** What of it was found most. */
export const mostFound = ({ takes }: Book, { helps }: SkillRow): string | undefined => {
  const weights = new Map<string, number>();
  for (const { id, weight } of takes.slice(-LATELY).flatMap(({ findings }) => findings))
    if (helps.includes(id)) weights.set(id, (weights.get(id) ?? 0) + weight);
  return [...weights].sort(([, a], [, b]) => b - a)[0]?.[0];
};

/** Something to be said. */
export const message = (key: string, values: MessageData["values"] = {}): MessageData => ({ key, values });

/** The last take of a skill's drill as a whole. */
export const lastTake = ({ takes }: Book, { id }: SkillRow): SkillTake | undefined =>
  takes.findLast((take) => take.skill === id && take.whole);

/** What was found most in a take. */
export const foundIn = ({ findings }: NotebookTake): string => findings[0]?.id ?? "wrong-notes";
