// A term of twelve students with a fault each, takes by the model of people (tests/assess/people.ts): npx tsx bench/term.ts [weeks] [--write]
// With --write the table of docs/the-teachers-week.md is renewed. It takes some minutes: run it niced.
import { readFileSync, writeFileSync } from "node:fs";
import { nth } from "../src/ground/list.ts";
import type { Notebook, NotebookTake, PracticeWeek, WeekDrill } from "../tests/all.ts";
import { addEntry, hearTake, makeDrill, makeNotebook, nextWeek, notebookSkills, skillCatalogue } from "../tests/all.ts";
import type { Habits } from "../tests/assess/people.ts";
import { person } from "../tests/assess/people.ts";
import { withTables } from "../tests/assess/proof.ts";

interface Pupil {
  readonly name: string;
  /** What is found of it. */
  readonly found: readonly string[];
  /** What the student does at so much of the fault, 1 at first. */
  readonly habits: (much: number, drill: WeekDrill, week: number) => Habits | undefined;
  readonly weak?: readonly string[];
}

const pupils: readonly Pupil[] = [
  { name: "no fault", found: [], habits: () => ({}) },
  { name: "wrong notes", found: ["wrong-notes", "trouble-spot"], habits: (much) => ({ wrong: 0.1 * much }) },
  { name: "left hand late", found: ["hands-apart"], habits: (much) => ({ lateLeftMs: 75 * much }) },
  {
    name: "swings too little",
    found: ["swing-ratio", "uneven-swing"],
    habits: (much) => (much < 0.3 ? {} : { swing: 2 - 0.85 * much }),
  },
  { name: "early and late", found: ["uneven-timing"], habits: (much) => ({ noiseMs: 8 + 42 * much }) },
  { name: "lets go too soon", found: ["held-short"], habits: (much) => ({ held: 0.92 - 0.55 * much }) },
  { name: "spreads chords", found: ["chord-spread"], habits: (much) => ({ chordSpreadMs: 130 * much }) },
  {
    name: "stops",
    found: ["pauses"],
    habits: (much) =>
      much < 0.3
        ? {}
        : {
            hesitations: [
              { at: 6, seconds: 1.8 * much },
              { at: 11, seconds: 1.5 * much },
            ],
          },
  },
  {
    name: "weak in F",
    found: [],
    weak: ["F"],
    habits: (much, { key }) => (key === "F" ? { wrong: 0.15 * much } : {}),
  },
  { name: "leaves notes out", found: ["missed-notes"], habits: (much) => ({ missed: 0.1 * much }) },
  { name: "plays slower", found: ["other-tempo"], habits: (much, { tempo }) => ({ tempo: tempo * (1 - 0.25 * much) }) },
  { name: "hands in nothing from week 7", found: [], habits: (_, __, week) => (week < 7 ? {} : undefined) },
];

const WEEKS = Number(process.argv[2] ?? 12) || 12;
const day = (days: number): string => new Date(Date.UTC(2026, 0, 5 + days)).toISOString().slice(0, 10);

const helps = ({ skill }: WeekDrill, found: readonly string[]): boolean =>
  skillCatalogue.some((row) => row.id === skill && row.helps.some((id) => found.includes(id)));

interface Lived {
  readonly pupil: Pupil;
  readonly weeks: readonly PracticeWeek[];
  readonly takes: readonly (readonly (NotebookTake | undefined)[])[];
  readonly notebook: Notebook;
}

const live = (pupil: Pupil, number: number): Lived => {
  let notebook = makeNotebook({
    alias: pupil.name,
    at: "2026-01-05T08:00:00Z",
    level: 2,
    known: ["C", "F", "G"],
    weak: pupil.weak,
  });
  let much = 1;
  const weeks: PracticeWeek[] = [];
  const takes: (NotebookTake | undefined)[][] = [];
  for (let w = 0; w < WEEKS; w++) {
    const week = nextWeek(notebook, { start: day(7 * w) });
    notebook = addEntry(notebook, { kind: "week", at: `${day(7 * w)}T09:00:00Z`, week });
    const played = week.drills.map((drill, place): NotebookTake | undefined => {
      const habits = pupil.habits(much, drill, w + 1);
      // What is practised gets better: a tenth where the drill is about it, a fiftieth anywhere.
      much *= helps(drill, pupil.found) || drill.part === "trouble-spot" || drill.part === "weak-key" ? 0.9 : 0.98;
      if (habits === undefined) return undefined;
      const { score } = makeDrill(drill.recipe);
      const at = `${day(7 * w + 2 + (place % 4))}T17:00:${String(place).padStart(2, "0")}Z`;
      return hearTake(score, person(score, 1000 * number + 10 * w + place, { tempo: score.tempo, ...habits }), { at })
        .take;
    });
    for (const take of played) if (take !== undefined) notebook = addEntry(notebook, take);
    weeks.push(week);
    takes.push(played);
  }
  return { pupil, weeks, takes, notebook };
};

const lives = pupils.map(live);
const percent = (part: number, whole: number): string => (whole === 0 ? "–" : `${Math.round((100 * part) / whole)} %`);
const drillsOf = ({ weeks }: Lived): readonly WeekDrill[] => weeks.flatMap(({ drills }) => drills);

let rises = 0;
let afterUnclean = 0;
let untold = 0;
let stuck = 0;
for (const { weeks, takes } of lives) {
  const last = new Map<string, NotebookTake>();
  const run = new Map<string, number>();
  weeks.forEach((week, w) => {
    for (const drill of week.drills) {
      const before = last.get(drill.skill ?? "");
      if (drill.part === "trouble-spot" || before === undefined || before.clean) continue;
      afterUnclean++;
      if (drill.tempo > before.tempo.asked) rises++;
    }
    for (const [skill, count] of run)
      if (count <= -3 && nth(takes, w).length > 0) {
        stuck++;
        if (!week.told.some(({ values }) => values.skill === skill)) untold++;
      }
    week.drills.forEach((drill, place) => {
      const take = nth(takes, w)[place];
      if (take === undefined || drill.part === "trouble-spot" || drill.skill === undefined) return;
      last.set(drill.skill, take);
      const sofar = run.get(drill.skill) ?? 0;
      run.set(drill.skill, take.clean ? Math.max(sofar, 0) + 1 : Math.min(sofar, 0) - 1);
    });
  });
}

const firstWeeks = 2;
const later = lives.flatMap(({ weeks }) =>
  weeks.slice(firstWeeks).map(({ drills }) =>
    drills
      .map(({ id }) => id)
      .sort()
      .join(" "),
  ),
);
const names = lives.flatMap(({ weeks }) =>
  weeks.map(({ drills }) =>
    drills
      .map(({ id }) => id)
      .sort()
      .join(" "),
  ),
);
const silentTold = lives.at(-1)?.weeks.some(({ told }) => told.some(({ key }) => key === "told.silent"));
const rows = lives.map((life) => {
  const { pupil, takes, weeks, notebook } = life;
  const others = lives.filter((one) => one !== life).flatMap(drillsOf);
  const fits = (drill: WeekDrill): boolean =>
    helps(drill, pupil.found) ||
    (pupil.weak !== undefined && drill.key === "F") ||
    (pupil.found.length > 0 && drill.part === "trouble-spot");
  const own = drillsOf(life);
  const heard = takes.map((week) => week.flatMap((take) => take ?? []));
  const clean = (some: readonly (readonly NotebookTake[])[]): string =>
    percent(some.flat().filter((take) => take.clean).length, some.flat().length);
  const half = Math.floor(WEEKS / 2);
  return [
    pupil.name,
    pupil.found.length === 0 && pupil.weak === undefined ? "–" : percent(own.filter(fits).length, own.length),
    pupil.found.length === 0 && pupil.weak === undefined ? "–" : percent(others.filter(fits).length, others.length),
    clean(heard.slice(0, half)),
    clean(heard.slice(half)),
    String(notebookSkills(notebook).filter(({ state, takes: count }) => state === "known" && count > 1).length),
    String(weeks.filter(({ told }) => told.length > 0).length),
  ];
});

const table = [
  "| student | drills for it | the others | clean, first half | second half | known | weeks told |",
  "|---|---|---|---|---|---|---|",
  ...rows.map((row) => `| ${row.join(" | ")} |`),
].join("\n");
const figures = [
  `- ${names.length} weeks, ${new Set(names).size} of them different; of the ${later.length} after the second week ${new Set(later).size}.`,
  `- ${afterUnclean} drills came after a take that was not clean; the tempo rose in ${rises} of them.`,
  `- ${stuck} times a skill had three takes in a row that were not clean when the week was made; the teacher was not told ${untold} times.`,
  `- Of the student who hands in nothing the teacher ${silentTold === true ? "is told" : "is not told"}.`,
].join("\n");

console.log(`${table}\n\n${figures}`);
if (process.argv.includes("--write")) {
  const guide = new URL("../docs/the-teachers-week.md", import.meta.url);
  writeFileSync(guide, withTables(readFileSync(guide, "utf8"), { term: `${table}\n\n${figures}` }));
}
