import * as v from "valibot";
import { check } from "../ground/check.ts";
import { kept } from "../ground/memo.ts";
import { parseKey } from "../pitch/index.ts";
import { idOfRow } from "../recipe/inner.ts";
import type { SkillRow } from "./catalogue.ts";
import { skillCatalogue } from "./catalogue.ts";
import { dayAfter, daysBetween } from "./dates.ts";
import type { Notebook, NotebookTake } from "./document.ts";
import { checkNotebook, dayShape } from "./document.ts";
import { skillRow } from "./skill.ts";
import { notebookStudent, takesOf, weeksOf } from "./student.ts";

/** A take, and which skill it was about. */
export interface SkillTake extends NotebookTake {
  readonly skill: string | undefined;
  /** Whether it was a drill as a whole, and no trouble spot. */
  readonly whole: boolean;
}

/** What the takes tell of a skill. */
export interface SkillState {
  readonly skill: string;
  /** `"ahead"` while something that comes before it is not known, `"open"` when it may begin, `"aside"` after four takes in a row that were not clean. */
  readonly state: "ahead" | "open" | "learning" | "aside" | "known";
  /** Takes of its drills as a whole. */
  readonly takes: number;
  readonly cleanTakes: number;
  /** Clean takes in a row up to now; negative: takes that were not. */
  readonly run: number;
  /** The highest tempo of a clean take. */
  readonly tempo?: number;
  /** The day on which it was last given or heard. */
  readonly last?: string;
  /** Of what is known: the day from which it comes back. */
  readonly due?: string;
}

/** What the takes tell of a key. */
export interface KeyState {
  readonly tonic: string;
  readonly mode: "major" | "minor";
  readonly takes: number;
  readonly cleanTakes: number;
  /** Clean takes in a row up to now; negative: takes that were not. */
  readonly run: number;
  readonly tempo?: number;
  readonly last?: string;
  /** Named by the teacher, or less often clean than the others. */
  readonly weak: boolean;
}

/** Options of what is read from a notebook. */
export interface EvidenceOptions {
  /** Skills, by id or as rows of one's own. @defaultValue `skillCatalogue` */
  readonly skills?: readonly (string | SkillRow)[] | undefined;
  /** The day on which it is asked. @defaultValue that of the last entry */
  readonly today?: string | undefined;
}

export const evidenceFields = {
  skills: v.optional(v.pipe(v.array(v.custom<string | SkillRow>(() => true)), v.minLength(1), v.maxLength(500))),
  today: v.optional(dayShape),
};
const evidenceShape = v.strictObject(evidenceFields);

/** The rows that are meant, each id once. */
export const rowsOf = (skills: EvidenceOptions["skills"] = skillCatalogue): readonly SkillRow[] => [
  ...new Map(skills.map((given) => skillRow(given)).map((row) => [row.id, row])).values(),
];

/** The day of the last entry. */
export const lastDay = ({ entries }: Notebook): string => (entries.at(-1)?.at ?? "2000-01-01").slice(0, 10);

// A recipe that no week named belongs to the first skill whose drills have its hands, its exercise and its left hand.
const skillLike = (rows: readonly SkillRow[], { recipe }: NotebookTake): string | undefined => {
  if (recipe === undefined) return undefined;
  const { left = "shell", hands = "both", right = "up-and-down", values = "eighths", comping } = recipe;
  return rows.find(
    (row) =>
      idsOf(row.drill.left ?? "shell") === idsOf(left) &&
      (row.drill.hands ?? "both") === hands &&
      row.right.some((one) => idOfRow(one) === idOfRow(right)) &&
      (right === "improvised" || (row.drill.values ?? "eighths") === values) &&
      (row.comping === undefined ||
        row.comping.some((one) => comping !== undefined && idOfRow(one) === idOfRow(comping))),
  )?.id;
};

const idsOf = (left: NonNullable<SkillRow["drill"]["left"]>): string => [left].flat().map(idOfRow).join(" ");

/** The takes with their skills. */
export const skillTakes = (notebook: Notebook, rows: readonly SkillRow[]): readonly SkillTake[] => {
  const given = new Map(weeksOf(notebook).flatMap(({ drills }) => drills.map((drill) => [drill.id, drill] as const)));
  return takesOf(notebook).map((take) => {
    const drill = take.drill === undefined ? undefined : given.get(take.drill);
    return {
      ...take,
      skill: drill === undefined ? skillLike(rows, take) : drill.skill,
      whole: drill?.part !== "trouble-spot" && take.recipe?.bars === undefined,
    };
  });
};

/** The tempo that a take shows: what was asked, or less where it was played slower by more than 5 %. */
export const tempoShown = ({ tempo: { asked, played } }: NotebookTake): number =>
  played >= 0.95 * asked ? asked : Math.floor(played);

const ASIDE = -4;
const ASIDE_DAYS = 21;
const LONGEST_REST = 16;

interface Count {
  takes: number;
  cleanTakes: number;
  run: number;
  tempo?: number;
  last?: string;
}

const counted = (takes: readonly NotebookTake[]): Count => {
  const count: Count = { takes: 0, cleanTakes: 0, run: 0 };
  for (const take of takes) {
    count.takes++;
    count.last = take.at.slice(0, 10);
    if (!take.clean) count.run = Math.min(count.run, 0) - 1;
    else {
      count.cleanTakes++;
      count.run = Math.max(count.run, 0) + 1;
      count.tempo = Math.max(count.tempo ?? 0, tempoShown(take));
    }
  }
  return count;
};

/** Whether takes make a skill known, and how many clean ones came since. */
const knownBy = (takes: readonly SkillTake[], goal: number, before: boolean): number | undefined => {
  let since: number | undefined = before ? 0 : undefined;
  let run = 0;
  for (const take of takes) {
    run = take.clean ? Math.max(run, 0) + 1 : Math.min(run, 0) - 1;
    if (since !== undefined) since = take.clean ? since + 1 : run <= -2 ? undefined : since;
    else if (run >= 2 && tempoShown(take) >= goal) since = 0;
  }
  return since;
};

/** Days for which something known rests after so many clean takes: a week, two, four, eight, sixteen. */
const restDays = (clean: number): number => 7 * Math.min(LONGEST_REST, 2 ** Math.min(clean, 10));

export const statesOf = (
  notebook: Notebook,
  rows: readonly SkillRow[],
  takes: readonly SkillTake[],
  today: string,
): readonly SkillState[] => {
  const { level } = notebookStudent(notebook);
  const given = new Map(
    weeksOf(notebook).flatMap(({ drills, start }) =>
      drills.flatMap(({ skill }) => (skill === undefined ? [] : [[skill, start] as const])),
    ),
  );
  const counts = rows.map((row) => {
    const own = takes.filter(({ skill, whole }) => whole && skill === row.id);
    return { row, count: counted(own), since: knownBy(own, row.tempo[1], row.level < level) };
  });
  const known = new Set(counts.flatMap(({ row, since }) => (since === undefined ? [] : [row.id])));
  const ids = new Set(rows.map(({ id }) => id));
  return counts.map(({ row, count, since }): SkillState => {
    const { last: heard, tempo, ...figures } = count;
    const gave = given.get(row.id);
    const last = heard === undefined || (gave !== undefined && gave > heard) ? gave : heard;
    // What comes before it and is no skill of these rows can't be waited for.
    const ready = row.after.every((id) => known.has(id) || !ids.has(id));
    const state =
      since !== undefined
        ? "known"
        : last === undefined
          ? ready
            ? "open"
            : "ahead"
          : count.run <= ASIDE && daysBetween(last, today) < ASIDE_DAYS
            ? "aside"
            : "learning";
    return {
      skill: row.id,
      state,
      ...figures,
      ...(tempo !== undefined && { tempo }),
      ...(last !== undefined && { last }),
      ...(since !== undefined && last !== undefined && { due: dayAfter(last, restDays(since)) }),
    };
  });
};

const WEAK_TAKES = 2;
const CURED = 3;
const FEWEST_OTHERS = 3;

export const keyStatesOf = (notebook: Notebook, takes: readonly SkillTake[]): readonly KeyState[] => {
  const { weak } = notebookStudent(notebook);
  const byKey = new Map<string, SkillTake[]>();
  for (const tonic of weak) byKey.set(`${tonic} major`, []);
  for (const take of takes) {
    const { tonic, mode } = parseKey(take.key);
    kept(byKey, `${tonic} ${mode}`, () => []).push(take);
  }
  const unclean = (some: readonly SkillTake[]): number =>
    some.length === 0 ? 0 : some.filter(({ clean }) => !clean).length / some.length;
  return [...byKey].map(([key, own]): KeyState => {
    const [tonic = "C", mode] = key.split(" ");
    const { last, tempo, ...count } = counted(own);
    const lately = own.slice(-4);
    const others = takes.filter((take) => !own.includes(take)).slice(-12);
    const behind =
      others.length >= FEWEST_OTHERS &&
      lately.filter(({ clean }) => !clean).length >= WEAK_TAKES &&
      unclean(lately) > unclean(others) + 0.25;
    return {
      tonic,
      mode: mode === "minor" ? "minor" : "major",
      ...count,
      ...(tempo !== undefined && { tempo }),
      ...(last !== undefined && { last }),
      weak: count.run < CURED && (behind || (weak.includes(tonic) && mode === "major")),
    };
  });
};

/**
 * What a notebook's takes tell of each skill: what is known, what is being learnt, what may begin.
 *
 * A skill is known once its last two takes were clean and at its goal, and stays so until two in a row are not. What is known rests: a week after
 * that, then two, four, eight and sixteen, each clean take doubling it. After four takes in a row that were not clean it is laid aside for three
 * weeks. The figures are our choice; why practice is spread out is told at `makePracticePlan`.
 *
 * @throws MusicError `notebook/skill` for a skill that is none
 *
 * @example
 * ```ts
 * import { makeNotebook, notebookSkills } from "hands-together/notebook";
 *
 * const skills = notebookSkills(makeNotebook({ alias: "Sparrow", at: "2026-01-05T12:00:00Z" }));
 * skills.filter(({ state }) => state === "open").map(({ skill }) => skill); // => ["shells-alone", "scale-one-octave"]
 * ```
 */
export function notebookSkills(notebook: Notebook, options: EvidenceOptions = {}): readonly SkillState[] {
  checkNotebook(notebook);
  check(evidenceShape, options, "notebook/argument");
  const rows = rowsOf(options.skills);
  return statesOf(notebook, rows, skillTakes(notebook, rows), options.today ?? lastDay(notebook));
}

/**
 * What a notebook's takes tell of each key that was played or named as weak.
 *
 * A key is weak when the teacher named it, or when of its last four takes two were not clean and the others are clean more often by a quarter of all;
 * three clean takes in a row make it a key like any other. Our choice.
 *
 * @example
 * ```ts
 * import { makeNotebook, notebookKeys } from "hands-together/notebook";
 *
 * const notebook = makeNotebook({ alias: "Sparrow", at: "2026-01-05T12:00:00Z", weak: ["Ab"] });
 * notebookKeys(notebook).map(({ tonic, weak }) => `${tonic} ${weak}`); // => ["Ab true"]
 * ```
 */
export function notebookKeys(notebook: Notebook, options: EvidenceOptions = {}): readonly KeyState[] {
  checkNotebook(notebook);
  check(evidenceShape, options, "notebook/argument");
  return keyStatesOf(notebook, skillTakes(notebook, rowsOf(options.skills)));
}
