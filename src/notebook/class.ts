import * as v from "valibot";
import { check } from "../ground/check.ts";
import { kept } from "../ground/memo.ts";
import { page } from "../ground/page.ts";
import { escapeXml } from "../ground/svg.ts";
import { bookOf } from "./book.ts";
import type { MessageData, Notebook } from "./document.ts";
import { checkNotebook, dayShape, messageShape } from "./document.ts";
import type { EvidenceOptions } from "./evidence.ts";
import { evidenceFields, skillTakes } from "./evidence.ts";
import { PAGE_STYLE } from "./pages.ts";
import { betterOf } from "./progress.ts";
import { toldOf } from "./told.ts";
import type { WordsRow } from "./words/index.ts";
import { keyName, sayWith, skillTitle, wordsRow } from "./words/index.ts";

/** A student as a class shows it. */
export interface ClassStudent {
  /** The alias; where several have it, with the notebook's id. */
  readonly name: string;
  readonly id: string;
  readonly level: 1 | 2 | 3 | 4 | 5;
  /** Takes in all, and of these the clean ones. */
  readonly takes: number;
  readonly cleanTakes: number;
  readonly known: readonly string[];
  readonly learning: readonly string[];
  /** What got better since the last week was given. */
  readonly moved: readonly MessageData[];
  /** On what the student is stuck, and whether nothing came. */
  readonly told: readonly MessageData[];
}

/** A key over a whole class. */
export interface ClassKey {
  readonly key: string;
  readonly takes: number;
  readonly cleanTakes: number;
  /** Names of those to whom it is weak. */
  readonly weak: readonly string[];
}

/** A skill over a whole class, by names. */
export interface ClassSkill {
  readonly skill: string;
  readonly known: readonly string[];
  readonly learning: readonly string[];
  readonly stuck: readonly string[];
}

/** A class at a glance: who moved, who is stuck and on what, by key and by skill. */
export interface ClassOverview {
  readonly kind: "class-overview";
  readonly version: 1;
  readonly today: string;
  readonly students: readonly ClassStudent[];
  readonly keys: readonly ClassKey[];
  readonly skills: readonly ClassSkill[];
}

/** Options of {@link classOverview}. */
export interface ClassOverviewOptions extends Pick<EvidenceOptions, "skills"> {
  /** The day on which it is asked, such as `"2026-02-02"`. */
  readonly today: string;
}

const overviewOptions = v.strictObject({ skills: evidenceFields.skills, today: dayShape });
const STUCK = -3;

/**
 * A class at a glance. Students of one alias are told apart by the ids of their notebooks; nobody is ranked: they stand in the order of their names.
 *
 * @throws MusicError `notebook/argument` for more than 500 notebooks, `notebook/skill` for a skill that is none
 *
 * @example
 * ```ts
 * import { classOverview, makeNotebook } from "hands-together/notebook";
 *
 * const students = ["Wren", "Sparrow", "Wren"].map((alias, i) => makeNotebook({ alias, at: `2026-01-0${i + 1}T12:00:00Z`, id: `bird-${i}` }));
 * classOverview(students, { today: "2026-01-05" }).students.map(({ name }) => name); // => ["Sparrow", "Wren (bird-0)", "Wren (bird-2)"]
 * ```
 */
export function classOverview(notebooks: readonly Notebook[], options: ClassOverviewOptions): ClassOverview {
  check(v.pipe(v.array(v.unknown()), v.maxLength(500)), notebooks, "notebook/argument");
  for (const notebook of notebooks) checkNotebook(notebook);
  check(overviewOptions, options, "notebook/argument");
  const { skills, today } = options;
  const books = notebooks.map((notebook) => ({ notebook, book: bookOf(notebook, skills, today) }));
  const named = new Map<string, number>();
  for (const { book } of books) named.set(book.student.alias, (named.get(book.student.alias) ?? 0) + 1);
  const nameOf = ({ notebook: { id }, book }: (typeof books)[number]): string =>
    (named.get(book.student.alias) ?? 0) > 1 ? `${book.student.alias} (${id})` : book.student.alias;
  const ordered = books
    .map((one) => ({ ...one, name: nameOf(one) }))
    .sort((a, b) => (a.name < b.name ? -1 : a.name > b.name ? 1 : a.notebook.id < b.notebook.id ? -1 : 1));
  const keys = new Map<string, { takes: number; cleanTakes: number; weak: string[] }>();
  const bySkill = new Map<string, { known: string[]; learning: string[]; stuck: string[] }>();
  const students = ordered.map(({ notebook, book, name }): ClassStudent => {
    const takes = skillTakes(notebook, book.rows);
    const states = [...book.states.values()].filter((state) => state.takes > 0 || state.state === "learning");
    for (const { skill, state, run } of states) {
      const of = kept(bySkill, skill, () => ({ known: [], learning: [], stuck: [] }));
      if (run <= STUCK) of.stuck.push(name);
      else if (state === "known") of.known.push(name);
      else of.learning.push(name);
    }
    for (const { tonic, mode, takes: count, cleanTakes, weak } of book.keys) {
      const of = kept(keys, mode === "minor" ? `${tonic} minor` : tonic, () => ({ takes: 0, cleanTakes: 0, weak: [] }));
      of.takes += count;
      of.cleanTakes += cleanTakes;
      if (weak) of.weak.push(name);
    }
    return {
      name,
      id: notebook.id,
      level: book.student.level,
      takes: takes.length,
      cleanTakes: takes.filter(({ clean }) => clean).length,
      known: states.filter(({ state }) => state === "known").map(({ skill }) => skill),
      learning: states.filter(({ state }) => state !== "known").map(({ skill }) => skill),
      moved: betterOf(notebook, { start: today }, skills).filter(({ key }) => key !== "better.takes"),
      told: toldOf(book),
    };
  });
  return {
    kind: "class-overview",
    version: 1,
    today,
    students,
    keys: [...keys].map(([key, of]) => ({ key, ...of })),
    skills: [...bySkill].map(([skill, of]) => ({ skill, ...of })),
  };
}

const count = v.pipe(v.number(), v.finite());
const texts = v.array(v.string());
const overviewShape = v.looseObject({
  kind: v.literal("class-overview"),
  today: dayShape,
  students: v.array(
    v.looseObject({
      name: v.string(),
      id: v.string(),
      level: count,
      takes: count,
      cleanTakes: count,
      known: texts,
      learning: texts,
      moved: v.array(messageShape),
      told: v.array(messageShape),
    }),
  ),
  keys: v.array(v.looseObject({ key: v.string(), takes: count, cleanTakes: count, weak: texts })),
  skills: v.array(v.looseObject({ skill: v.string(), known: texts, learning: texts, stuck: texts })),
});

/** Options of {@link classPage} and {@link writeClassCsv}. */
export interface ClassPageOptions {
  /** @defaultValue `"en"` */
  readonly language?: string | WordsRow | undefined;
}

const pageOptions = v.strictObject({ language: v.optional(v.unknown()) });

/**
 * A class at a glance as a page: who moved, who is stuck and on what, from whom nothing came, every student, by key and by skill.
 *
 * @returns one HTML file that works from disk without a network
 *
 * @example
 * ```ts
 * import { classOverview, classPage, makeNotebook } from "hands-together/notebook";
 *
 * const overview = classOverview([makeNotebook({ alias: "Wren", at: "2026-01-05T12:00:00Z" })], { today: "2026-01-12" });
 * classPage(overview).includes("Who is stuck, and on what"); // => true
 * ```
 */
export function classPage(overview: ClassOverview, options: ClassPageOptions = {}): string {
  check(overviewShape, overview, "notebook/argument");
  check(pageOptions, options, "notebook/argument");
  const row = wordsRow(options.language ?? "en");
  const say = (message: MessageData): string => escapeXml(sayWith(row, message));
  const label = (key: string): string => say({ key, values: {} });
  const people = (title: string, messagesOf: (student: ClassStudent) => readonly MessageData[]): string => {
    const lines = overview.students.flatMap((student) => {
      const messages = messagesOf(student);
      return messages.length === 0
        ? []
        : [`<li><b>${escapeXml(student.name)}</b>: ${messages.map(say).join(" ")}</li>`];
    });
    return `<section><h2>${label(title)}</h2>${lines.length === 0 ? `<p>${label("class.none")}</p>` : `<ul>${lines.join("")}</ul>`}</section>`;
  };
  const isSilent = ({ key }: MessageData): boolean => key === "told.silent";
  const table = (title: string, heads: readonly string[], rows: readonly (readonly (string | number)[])[]): string =>
    `<section><h2>${label(title)}</h2><div class="scroll"><table><thead><tr>${heads
      .map((key) => `<th scope="col">${label(key)}</th>`)
      .join("")}</tr></thead><tbody>${rows
      .map(
        ([first = "", ...cells]) =>
          `<tr><th scope="row">${escapeXml(String(first))}</th>${cells.map((cell) => `<td>${escapeXml(String(cell))}</td>`).join("")}</tr>`,
      )
      .join("")}</tbody></table></div></section>`;
  const title = `${sayWith(row, { key: "class.title", values: {} })}, ${overview.today}`;
  return page(
    title,
    PAGE_STYLE,
    `<main>
<h1>${escapeXml(title)}</h1>
${people("class.moved", ({ moved }) => moved)}
${people("class.stuck", ({ told }) => told.filter((one) => !isSilent(one)))}
${people("class.silent", ({ told }) => told.filter(isSilent))}
${table(
  "class.students",
  ["class.student", "page.level", "page.takes", "page.clean", "state.known", "state.learning"],
  overview.students.map(({ name, level, takes, cleanTakes, known, learning }) => [
    name,
    level,
    takes,
    cleanTakes,
    known.length,
    learning.map((skill) => skillTitle(row, skill)).join(", "),
  ]),
)}
${table(
  "class.by-skill",
  ["page.skill", "state.known", "state.learning", "class.stuck"],
  overview.skills.map(({ skill, known, learning, stuck }) => [
    skillTitle(row, skill),
    known.join(", "),
    learning.join(", "),
    stuck.join(", "),
  ]),
)}
${table(
  "class.by-key",
  ["page.key", "page.takes", "page.clean", "picture.weak"],
  overview.keys.map(({ key, takes, cleanTakes, weak }) => [keyName(row, key), takes, cleanTakes, weak.join(", ")]),
)}
</main>`,
    row.id,
  );
}

// A table reads what begins so as a formula: OWASP, CSV Injection.
const cell = (value: string | number): string => {
  const text = typeof value === "string" && /^[=+\-@\t\r]/.test(value) ? `'${value}` : String(value);
  return /[",\r\n]/.test(text) ? `"${text.replace(/"/g, '""')}"` : text;
};

/**
 * A class at a glance as a table for spreadsheets, a line a student. Source: RFC 4180, lines end in CRLF, quotes are doubled.
 *
 * @example
 * ```ts
 * import { classOverview, makeNotebook, writeClassCsv } from "hands-together/notebook";
 *
 * const overview = classOverview([makeNotebook({ alias: "Wren", at: "2026-01-05T12:00:00Z", id: "bird-1" })], { today: "2026-01-12" });
 * writeClassCsv(overview).split("\r\n")[1]; // => "Wren,bird-1,1,0,0,,,,"
 * ```
 */
export function writeClassCsv(overview: ClassOverview, options: ClassPageOptions = {}): string {
  check(overviewShape, overview, "notebook/argument");
  check(pageOptions, options, "notebook/argument");
  const row = wordsRow(options.language ?? "en");
  const said = (messages: readonly MessageData[]): string => messages.map((one) => sayWith(row, one)).join(" ");
  const titles = (skills: readonly string[]): string => skills.map((skill) => skillTitle(row, skill)).join("; ");
  const heads = [
    "class.student",
    undefined,
    "page.level",
    "page.takes",
    "page.clean",
    "state.known",
    "state.learning",
    "class.moved",
    "class.stuck",
  ];
  const lines: (readonly (string | number)[])[] = [
    heads.map((key) => (key === undefined ? "id" : (row.words[key] ?? key))),
    ...overview.students.map(({ name, id, level, takes, cleanTakes, known, learning, moved, told }) => [
      name,
      id,
      level,
      takes,
      cleanTakes,
      titles(known),
      titles(learning),
      said(moved),
      said(told),
    ]),
  ];
  return lines.map((line) => `${line.map(cell).join(",")}\r\n`).join("");
}
