import * as v from "valibot";
import { check } from "../ground/check.ts";
import { page } from "../ground/page.ts";
import { escapeXml } from "../ground/svg.ts";
import type { MessageData, Notebook, PracticeWeek, WeekDrill } from "./document.ts";
import { checkNotebook } from "./document.ts";
import type { EvidenceOptions } from "./evidence.ts";
import { evidenceFields, rowsOf, skillTakes, statesOf } from "./evidence.ts";
import { evennessPicture, keysPicture, swingPicture, tempoPicture } from "./pictures.ts";
import { checkWeek } from "./plan.ts";
import { betterOf, thingsOf } from "./progress.ts";
import { notebookStudent } from "./student.ts";
import type { WordsRow } from "./words/index.ts";
import { keyName, sayWith, skillTitle, wordsRow } from "./words/index.ts";

/** Options of {@link studentPage} and {@link teacherPage}. */
export interface WeekPageOptions extends Pick<EvidenceOptions, "skills"> {
  /** @defaultValue the student's */
  readonly language?: string | WordsRow | undefined;
  /** The file name of each drill's sheet by the drill's id. @defaultValue none */
  readonly sheets?: Readonly<Record<string, string>> | undefined;
}

const optionsShape = v.strictObject({
  skills: evidenceFields.skills,
  language: v.optional(v.unknown()),
  sheets: v.optional(v.record(v.string(), v.pipe(v.string(), v.maxLength(255)))),
});

/** The look of every page of a notebook: black on white, one sheet of paper. */
export const PAGE_STYLE = `
body { margin: 0 auto; max-width: 46rem; padding: 1rem; color: #000; background: #fff; font: 1rem/1.4 Georgia, "Times New Roman", serif; }
h1 { margin: 0; font-size: 1.5rem; font-weight: normal; } h2 { margin: 1.1rem 0 0.3rem; font-size: 1.1rem; font-weight: normal; border-bottom: 1px solid #000; }
p, ul, ol { margin: 0.3rem 0; } ul, ol { padding-left: 1.4rem; } li { margin: 0.25rem 0; } a { color: #000; }
.goal { font-size: 1.2rem; font-style: italic; } .why { font-size: 0.9rem; }
table { border-collapse: collapse; width: 100%; } th, td { padding: 0.15rem 0.6rem 0.15rem 0; text-align: left; border-bottom: 1px solid #999; vertical-align: top; font-size: 0.9rem; }
th { font-weight: normal; font-style: italic; } td.tick { text-align: center; }
.scroll { overflow-x: auto; } svg { display: block; max-width: 100%; height: auto; break-inside: avoid; margin: 0.4rem 0; }
.pictures { display: grid; grid-template-columns: repeat(auto-fit, minmax(20rem, 1fr)); gap: 0 1rem; align-items: start; }
.caution { margin-top: 1rem; border-left: 3px solid #000; padding-left: 0.7rem; font-size: 0.85rem; }
@media print { @page { size: A4; margin: 12mm; } body { max-width: none; padding: 0; font-size: 9pt; line-height: 1.2; } h1 { font-size: 14pt; } .goal { font-size: 10pt; } h2 { margin-top: 0.5rem; } th, td { padding-top: 0; padding-bottom: 0; } svg { margin: 0; } .scroll { overflow: visible; } h2 { break-after: avoid; } tr, li { break-inside: avoid; } }
`;

// As many as one sheet has room for: those that were given or heard last.
const SKILLS_SHOWN = 10;

interface Asked {
  readonly row: WordsRow;
  readonly sheets: Readonly<Record<string, string>>;
  readonly skills: EvidenceOptions["skills"];
  readonly say: (message: MessageData) => string;
  readonly label: (key: string, values?: MessageData["values"]) => string;
}

const ask = (notebook: Notebook, week: PracticeWeek, options: WeekPageOptions): Asked => {
  checkNotebook(notebook);
  checkWeek(week);
  check(optionsShape, options, "notebook/argument");
  const row = wordsRow(options.language ?? notebookStudent(notebook).language);
  const say = (message: MessageData): string => escapeXml(sayWith(row, message));
  return {
    row,
    sheets: options.sheets ?? {},
    skills: options.skills,
    say,
    label: (key, values = {}) => say({ key, values }),
  };
};

const listed = (items: readonly string[], tag: "ul" | "ol" = "ul"): string =>
  `<${tag}>${items.map((item) => `<li>${item}</li>`).join("")}</${tag}>`;

const section = (title: string, body: string): string =>
  body === "" ? "" : `<section><h2>${title}</h2>${body}</section>`;

const drillText = (drill: WeekDrill, { row, sheets, label, say }: Asked): string => {
  const sheet = sheets[drill.id];
  const title = escapeXml(drill.title);
  const skill = drill.skill === undefined ? "" : `, ${escapeXml(skillTitle(row, drill.skill))}`;
  const name = sheet === undefined ? title : `<a href="${escapeXml(encodeURI(sheet))}">${title}</a>`;
  return `<b>${name}</b>${skill}: ${drill.tempo} <i>(${label(`part.${drill.part}`)})</i><br><span class="why">${drill.reasons.map(say).join(" ")}</span>`;
};

const dayTable = ({ days, drills }: PracticeWeek, { label }: Asked): string => {
  const head = days
    .map(
      ({ date, minutes }) =>
        `<th scope="col">${date.slice(8)}.${date.slice(5, 7)}.<br>${label("page.minutes", { minutes })}</th>`,
    )
    .join("");
  const rows = drills.map(
    ({ id, title }, place) =>
      `<tr><th scope="row">${place + 1}. ${escapeXml(title)}</th>${days
        .map(({ items }) => `<td class="tick">${items.some(({ drill }) => drill === id) ? "☐" : ""}</td>`)
        .join("")}</tr>`,
  );
  return `<div class="scroll"><table><thead><tr><th scope="col">${label("page.days")}</th>${head}</tr></thead><tbody>${rows.join("")}</tbody></table></div>`;
};

const titled = (notebook: Notebook, week: PracticeWeek, { label }: Asked): string =>
  `${escapeXml(notebookStudent(notebook).alias)}: ${label("page.week", { number: week.number, start: week.start })}`;

/**
 * A week as one sheet for the student: its goal, what got better, at most three things to look after, the drills with their reasons and sheets, and
 * the days to tick off.
 *
 * @returns one HTML file that works from disk without a network
 *
 * @example
 * ```ts
 * import { makeNotebook, nextWeek, studentPage } from "hands-together/notebook";
 *
 * const notebook = makeNotebook({ alias: "Sparrow", at: "2026-01-05T12:00:00Z" });
 * const html = studentPage(notebook, nextWeek(notebook, { start: "2026-01-05" }), { language: "de" });
 * html.includes("<h1>Sparrow: Woche 1, ab 2026-01-05</h1>"); // => true
 * ```
 */
export function studentPage(notebook: Notebook, week: PracticeWeek, options: WeekPageOptions = {}): string {
  const asked = ask(notebook, week, options);
  const { label, say, row, skills } = asked;
  const heading = titled(notebook, week, asked);
  const better = betterOf(notebook, week, skills);
  const played = skillTakes(notebook, rowsOf(skills)).length > 0;
  return page(
    sayWith(row, { key: "page.week", values: { number: week.number, start: week.start } }),
    PAGE_STYLE,
    `<main>
<h1>${heading}</h1>
${section(label("page.goal"), `<p class="goal">${say(week.goal)}</p>`)}
${section(label("page.better"), better.length === 0 ? `<p>${label("page.no-takes")}</p>` : listed(better.map(say)))}
${section(label("page.things"), listedOrNone(thingsOf(notebook, week, skills).map(say)))}
${section(
  label("page.drills"),
  listed(
    week.drills.map((drill) => drillText(drill, asked)),
    "ol",
  ),
)}
${dayTable(week, asked)}
${played ? section(label("page.progress"), tempoPicture(notebook, { language: row, skills, width: 480 })) : ""}
<p class="caution">${label("page.caution")}</p>
</main>`,
    row.id,
  );
}

const listedOrNone = (items: readonly string[]): string => (items.length === 0 ? "" : listed(items));

/**
 * A week as one sheet for the teacher: what there is to know, the ten skills that were given or heard last, the drills with reasons and measured difficulty, what rests,
 * and the pictures of tempo, evenness, swing and keys.
 *
 * @returns one HTML file that works from disk without a network
 *
 * @example
 * ```ts
 * import { makeNotebook, nextWeek, teacherPage } from "hands-together/notebook";
 *
 * const notebook = makeNotebook({ alias: "Sparrow", at: "2026-01-05T12:00:00Z" });
 * teacherPage(notebook, nextWeek(notebook, { start: "2026-01-05" })).includes("for the teacher"); // => true
 * ```
 */
export function teacherPage(notebook: Notebook, week: PracticeWeek, options: WeekPageOptions = {}): string {
  const asked = ask(notebook, week, options);
  const { label, say, row, skills } = asked;
  const heading = `${titled(notebook, week, asked)}, ${label("page.teacher")}`;
  const rows = rowsOf(skills);
  const takes = skillTakes(notebook, rows);
  const states = statesOf(notebook, rows, takes, week.start)
    .filter(({ takes: count, state }) => count > 0 || state === "learning")
    .sort((a, b) => ((a.last ?? "") < (b.last ?? "") ? 1 : -1))
    .slice(0, SKILLS_SHOWN);
  const table = states.map(
    ({ skill, state, takes: count, cleanTakes, tempo, last }) =>
      `<tr><th scope="row">${escapeXml(skillTitle(row, skill))}</th><td>${label(`state.${state}`)}</td><td>${count}</td><td>${cleanTakes}</td><td>${tempo === undefined ? "" : Math.round(tempo)}</td><td>${last ?? ""}</td></tr>`,
  );
  const heads = ["page.skill", "page.state", "page.takes", "page.clean", "page.tempo"].map(
    (key) => `<th scope="col">${label(key)}</th>`,
  );
  const picture = { language: row, skills, width: 440 };
  const drills = week.drills.map(
    (drill) =>
      `${drillText(drill, asked)} <span class="why">${label("page.difficulty")} ${drill.difficulty.total}, ${escapeXml(keyName(row, drill.key))}.</span>`,
  );
  return page(
    sayWith(row, { key: "page.week", values: { number: week.number, start: week.start } }),
    PAGE_STYLE,
    `<main>
<h1>${heading}</h1>
${section(label("page.told"), listedOrNone(week.told.map(say)))}
${section(label("page.goal"), `<p class="goal">${say(week.goal)}</p>`)}
${section(label("page.drills"), listed(drills, "ol"))}
${table.length === 0 ? "" : section(label("page.progress"), `<div class="scroll"><table><thead><tr>${heads.join("")}<th scope="col"></th></tr></thead><tbody>${table.join("")}</tbody></table></div>`)}
${takes.length === 0 ? "" : `<div class="pictures">${[tempoPicture, evennessPicture, swingPicture, keysPicture].map((draw) => draw(notebook, picture)).join("\n")}</div>`}
${section(label("page.resting"), week.resting.length === 0 ? "" : `<p class="why">${week.resting.map(say).join(" ")}</p>`)}
<p class="caution">${label("page.caution")}</p>
</main>`,
    row.id,
  );
}
