import { randomUUID } from "node:crypto";
import type { Command } from "commander";
import { CAUTION, makeDrill } from "../../drill/index.ts";
import { MusicError } from "../../ground/errors.ts";
import { nearestName } from "../../ground/text.ts";
import type { Notebook, NotebookEntry, NotebookStudent, PracticeWeek } from "../../notebook/index.ts";
import {
  addEntry,
  makeNotebook,
  mergeNotebooks,
  nextWeek,
  notebookKeys,
  notebookSkills,
  notebookStudent,
  sayIn,
  skillCatalogue,
  studentPage,
  teacherPage,
  weekPlan,
} from "../../notebook/index.ts";
import { writePracticeCalendar } from "../../plan/index.ts";
import { parseProgression } from "../../progression/index.ts";
import { rightHandCatalogue } from "../../recipe/index.ts";
import { changesText } from "../changes.ts";
import { addClassCommands } from "../class-commands.ts";
import type { AddCommand, Answer } from "../command.ts";
import { answerEach } from "../command.ts";
import type { DrillFile } from "../drill-files.ts";
import { drillName, handoutFile, madeFiles, packetFiles } from "../drill-files.ts";
import type { Engraver } from "../engrave.ts";
import { loadEngraver } from "../engrave.ts";
import type { OutputFile, Terminal } from "../io.ts";
import { writeMissing } from "../io.ts";
import { fileStem } from "../names.ts";
import { changeNotebook, newNotebookFile, notebookFile } from "../notebook-file.ts";
import { readScore } from "../read-score.ts";
import { hearRecording, readRecording } from "../take-file.ts";

const now = (): string => `${new Date().toISOString().slice(0, 19)}Z`;

interface StudentFlags {
  readonly alias?: string;
  readonly level?: string;
  readonly span?: string;
  readonly known?: string;
  readonly weak?: string;
  readonly language?: string;
  readonly minutes?: string;
  readonly days?: string;
}

const LEVELS = [1, 2, 3, 4, 5] as const;

const wholeNumber = (name: string, text: string): number => {
  if (/^\d{1,4}$/.test(text)) return Number(text);
  throw new MusicError({ code: "cli/notebook", input: text, expected: `a whole number for --${name}` });
};

const tonics = (text: string): readonly string[] => text.split(/[\s,]+/).filter((word) => word !== "");

const studentOf = ({
  alias,
  level,
  span,
  known,
  weak,
  language,
  minutes,
  days,
}: StudentFlags): Omit<NotebookStudent, "kind" | "at"> => {
  const row = level === undefined ? undefined : LEVELS.find((one) => String(one) === level);
  if (level !== undefined && row === undefined)
    throw new MusicError({ code: "cli/notebook", input: level, expected: "a level from 1 to 5" });
  return {
    ...(alias !== undefined && { alias }),
    ...(row !== undefined && { level: row }),
    ...(span !== undefined && { span: wholeNumber("span", span) }),
    ...(known !== undefined && { known: tonics(known) }),
    ...(weak !== undefined && { weak: tonics(weak) }),
    ...(language !== undefined && { language }),
    ...(minutes !== undefined && { minutesADay: wholeNumber("minutes", minutes) }),
    ...(days !== undefined && { daysAWeek: wholeNumber("days", days) }),
  };
};

const addStudentFlags = (command: Command): Command =>
  command
    .option("--alias <alias>", "a name to tell students apart; nothing else about a person is kept")
    .option("--level <n>", "1 to 5: the skills of lower levels are taken to be known (1 unless given)")
    .option("--span <semitones>", "the widest stretch of the left hand: 12 an octave, 14 a ninth")
    .option("--known <keys>", 'keys that the student plays in already, such as "C F Bb"')
    .option("--weak <keys>", "keys that shall come more often")
    .option("--language <id>", "language of pages: en, de (en unless given)")
    .option("--minutes <n>", "minutes of practice a day (25 unless given)")
    .option("--days <n>", "practice days a week (5 unless given)");

export const addNotebookCommand: AddCommand = (program, terminal, done) => {
  const notebook = program
    .command("notebook")
    .description("a student's weeks: takes go in as evidence, the next week comes out as files")
    .addHelpText("after", `\n${CAUTION}`);

  addStudentFlags(
    notebook.command("new").description("a new notebook").argument("<file>", "where it is written, a JSON file"),
  )
    .option(
      "--id <id>",
      "what tells students of one alias apart, 4 to 40 small letters, figures and hyphens (by chance, unless given)",
    )
    .option("--json", "prints one JSON document")
    .action(
      (file: string, { json, id, ...flags }: StudentFlags & { readonly json?: boolean; readonly id?: string }) => {
        const { alias, ...rest } = studentOf(flags);
        if (alias === undefined)
          throw new MusicError({ code: "cli/notebook", input: file, expected: "--alias and a name" });
        const made = makeNotebook({ ...rest, alias, at: now(), id: id ?? randomUUID().slice(0, 13) });
        newNotebookFile(file, made);
        terminal.write(json === true ? `${JSON.stringify(made)}\n` : `${file}\n`);
        done(0);
      },
    );

  addStudentFlags(
    notebook
      .command("change")
      .description("changes what is known of the student; pins, forbids, adds a chart")
      .argument("<file>", "the notebook"),
  )
    .option("--pin <what>", "into every week: skill:ID, key:Eb, changes:NAME or right:EXERCISE", collect, [])
    .option("--forbid <what>", "into no week, named likewise", collect, [])
    .option("--leave <what>", "no longer pinned or forbidden", collect, [])
    .option("--chart <chart>", "a chart of the student's own, as text or a file; needs --title and --key")
    .option("--title <title>", "its title")
    .option("--key <key>", "the key that it is written in")
    .option("--json", "prints one JSON document")
    .action((file: string, flags: ChangeFlags) => {
      const entries = changesOf(flags);
      if (entries.length === 0)
        throw new MusicError({ code: "cli/notebook", input: file, expected: "something to change, such as --level 2" });
      const after = changeNotebook(file, (before) =>
        entries.reduce<Notebook>((book, entry) => addEntry(book, entry), before),
      );
      terminal.write(flags.json === true ? `${JSON.stringify(notebookStudent(after))}\n` : `${overview(after)}\n`);
      done(0);
    });

  notebook
    .command("take")
    .description("hears a take and writes down what it shows")
    .argument("<file>", "the notebook")
    .argument("<take>", "the take, as MIDI; - reads one file name a line from standard input")
    .option(
      "--drill <drill>",
      "the drill that was played, as JSON or MusicXML (found among the last weeks', unless given)",
    )
    .option("--at <moment>", "when it was played, such as 2026-01-06T17:30:00Z (now, unless given)")
    .option("--json", "prints one JSON document")
    .addHelpText("after", `\n${CAUTION}`)
    .action(
      async (file: string, take: string, { drill, at, json }: { drill?: string; at?: string; json?: boolean }) => {
        const score = drill === undefined ? undefined : readScore(drill);
        done(
          await answerEach(take, json === true, terminal, (path): Answer => {
            const book = notebookFile(file);
            const heard = hearRecording(book, readRecording(path), { at: at ?? now(), score });
            changeNotebook(file, (before) =>
              before.entries.some((entry) => entry.kind === "take" && entry.recording === heard.recording)
                ? before
                : addEntry(before, heard),
            );
            const { language } = notebookStudent(book);
            const found = heard.findings
              .slice(0, 3)
              .map(({ id }) => sayIn(language, { key: `found.${id}`, values: {} }));
            return {
              json: heard,
              text: [
                `${heard.title}: ${Math.round(100 * heard.accuracy)} of 100 notes right at ${Math.round(heard.tempo.played)}, ${heard.clean ? "clean" : "not clean yet"}.`,
                ...(found.length === 0 ? [] : [`Found: ${found.join(", ")}.`]),
              ].join("\n"),
            };
          }),
        );
      },
    );

  notebook
    .command("next")
    .description(
      "the next week: plan, drills, handouts, tracks and calendar as files, and a sheet each for student and teacher",
    )
    .argument("<file>", "the notebook; - reads one a line from standard input")
    .option("--start <date>", "the week's first day (today, unless given)")
    .option("--drills <n>", "how many drills (5 unless given)")
    .option("--time <time>", "time of day in the calendar, such as 17:30")
    .option("--out <folder>", "writes the files into a folder; without it the week is only told")
    .option("--no-handouts", "no handouts (they need the package verovio)")
    .option("--force", "overwrites files that are there")
    .option("--json", "prints one JSON document")
    .addHelpText("after", `\n${CAUTION}`)
    .action(async (file: string, flags: NextFlags) => {
      const engrave = flags.out !== undefined && flags.handouts ? await loadEngraver() : undefined;
      done(await answerEach(file, flags.json === true, terminal, (path) => next(path, flags, engrave, terminal)));
    });

  notebook
    .command("show")
    .description("what a notebook tells: skills, keys, wishes")
    .argument("<file>", "the notebook; - reads one a line from standard input")
    .option("--json", "prints one JSON document")
    .action(async (file: string, { json }: { json?: boolean }) => {
      done(
        await answerEach(file, json === true, terminal, (path): Answer => {
          const book = notebookFile(path);
          return {
            json: { student: notebookStudent(book), skills: notebookSkills(book), keys: notebookKeys(book) },
            text: overview(book),
          };
        }),
      );
    });

  notebook
    .command("merge")
    .description("takes into a notebook what another copy of it has")
    .argument("<file>", "the notebook")
    .argument("<copy>", "the other copy")
    .option("--json", "prints one JSON document")
    .action((file: string, copy: string, { json }: { json?: boolean }) => {
      const other = notebookFile(copy);
      const merged = changeNotebook(file, (before) => mergeNotebooks(before, other));
      terminal.write(json === true ? `${JSON.stringify(merged)}\n` : `${overview(merged)}\n`);
      done(0);
    });
  addClassCommands(notebook, terminal, done);
};

const collect = (text: string, before: readonly string[]): readonly string[] => [...before, text];

interface ChangeFlags extends StudentFlags {
  readonly pin: readonly string[];
  readonly forbid: readonly string[];
  readonly leave: readonly string[];
  readonly chart?: string;
  readonly title?: string;
  readonly key?: string;
  readonly json?: boolean;
}

const KINDS = ["skill", "key", "changes", "right"] as const;

/** Refuses what no week could ever pin or forbid: a wish that is misspelt would be silent. */
const requireKnown = (of: (typeof KINDS)[number], id: string): void => {
  if (of === "changes") return void parseProgression(id);
  const ids: Readonly<Record<typeof of, readonly string[]>> = {
    skill: skillCatalogue.map((row) => row.id),
    right: rightHandCatalogue.map((row) => row.id),
    key: TONICS,
  };
  const known = ids[of];
  if (known.includes(id)) return;
  const near = nearestName(id, known);
  throw new MusicError({
    code: "cli/notebook",
    input: id,
    expected: `one of ${known.join(", ")}`,
    hint: near && `did you mean ${near}?`,
  });
};

const TONICS: readonly string[] = ["C", "F", "Bb", "Eb", "Ab", "Db", "Gb", "F#", "C#", "B", "E", "A", "D", "G"];

const changesOf = ({
  pin,
  forbid,
  leave,
  chart,
  title,
  key,
  json: _json,
  ...flags
}: ChangeFlags): readonly NotebookEntry[] => {
  const at = now();
  const student = studentOf(flags);
  const wish =
    (want: "pin" | "forbid" | "leave") =>
    (text: string): NotebookEntry => {
      const [, word = "", id = ""] = /^([a-z]+):(.+)$/s.exec(text) ?? [];
      const of = KINDS.find((kind) => kind === word);
      if (of === undefined)
        throw new MusicError({
          code: "cli/notebook",
          input: text,
          expected: "skill:ID, key:Eb, changes:NAME or right:EXERCISE",
        });
      requireKnown(of, id);
      return { kind: "wish", at, want, of, id };
    };
  if (chart !== undefined && (title === undefined || key === undefined))
    throw new MusicError({ code: "cli/notebook", input: chart, expected: "--title and --key beside --chart" });
  return [
    ...(Object.keys(student).length === 0 ? [] : [{ kind: "student" as const, at, ...student }]),
    ...pin.map(wish("pin")),
    ...forbid.map(wish("forbid")),
    ...leave.map(wish("leave")),
    ...(chart === undefined || title === undefined || key === undefined
      ? []
      : [{ kind: "chart" as const, at, title, key, changes: changesText(chart) }]),
  ];
};

interface NextFlags {
  readonly start?: string;
  readonly drills?: string;
  readonly time?: string;
  readonly out?: string;
  readonly handouts: boolean;
  readonly force?: boolean;
  readonly json?: boolean;
}

const next = (
  path: string,
  { start = now().slice(0, 10), drills, time, out, force }: NextFlags,
  engrave: Engraver | undefined,
  terminal: Terminal,
): Answer => {
  const at = now();
  const most = drills === undefined ? undefined : wholeNumber("drills", drills);
  // The same day asked for again is the same week, so that what was cut short can be finished.
  const given = (book: Notebook) =>
    book.entries.findLast((entry) => entry.kind === "week" && entry.week.start === start);
  changeNotebook(path, (before) =>
    given(before) === undefined
      ? addEntry(before, { kind: "week", at, week: nextWeek(before, { start, drills: most }) })
      : before,
  );
  const after = notebookFile(path);
  const entry = given(after);
  if (entry?.kind !== "week") throw new RangeError("the week is not in its notebook");
  const { week } = entry;
  const files =
    out === undefined
      ? undefined
      : writeMissing(out, weekFiles(after, week, { stamp: entry.at, time, engrave }), force === true, terminal);
  return {
    json: files === undefined ? week : { ...week, files },
    text: [weekText(after, week), ...(files === undefined ? [] : ["", ...files])].join("\n"),
  };
};

/** The files of a week: of each drill its music, tracks and handout, then plan, calendar and a sheet each for student and teacher. */
export const weekFiles = (
  notebook: Notebook,
  week: PracticeWeek,
  {
    stamp,
    time,
    engrave,
  }: { readonly stamp: string; readonly time?: string | undefined; readonly engrave?: Engraver | undefined },
): readonly OutputFile[] => {
  const made = week.drills.map(({ id, recipe }) => {
    const drill = makeDrill(recipe);
    const name = drillName(drill);
    const files: readonly DrillFile[] = [
      ...packetFiles(drill, name),
      ...(engrave === undefined ? [] : [handoutFile(drill, name, engrave)]),
    ];
    return { id, files, sheet: `${name}.${engrave === undefined ? "musicxml" : "html"}` };
  });
  const sheets = Object.fromEntries(made.map(({ id, sheet }) => [id, sheet]));
  const { alias, language } = notebookStudent(notebook);
  const stem = `week-${fileStem(alias).slice(0, 40)}-${notebook.id}-${week.start}`;
  const calendar = writePracticeCalendar(weekPlan(week, { language, sheets }), {
    stamp,
    uidDomain: "hands-together.example",
    planName: `${notebook.id}-week`,
    ...(time !== undefined && { startTime: time }),
  });
  return [
    ...made.flatMap(({ files }) => madeFiles(files)),
    { name: `${stem}.json`, contents: `${JSON.stringify(week, null, 1)}\n` },
    { name: `${stem}.ics`, contents: calendar },
    { name: `${stem}-student.html`, contents: studentPage(notebook, week, { sheets }) },
    { name: `${stem}-teacher.html`, contents: teacherPage(notebook, week, { sheets }) },
  ];
};

const weekText = (notebook: Notebook, week: PracticeWeek): string => {
  const { alias, language } = notebookStudent(notebook);
  const say = (message: PracticeWeek["goal"]): string => sayIn(language, message);
  return [
    `${alias}, ${say({ key: "page.week", values: { number: week.number, start: week.start } })}`,
    say(week.goal),
    "",
    ...week.drills.flatMap(({ title, tempo, part, reasons }, place) => [
      `${place + 1}. ${title}, ${tempo} (${say({ key: `part.${part}`, values: {} })})`,
      `   ${reasons.map(say).join(" ")}`,
    ]),
    ...(week.told.length === 0 ? [] : ["", ...week.told.map(say)]),
    "",
    say({ key: "page.caution", values: {} }),
  ].join("\n");
};

const overview = (notebook: Notebook): string => {
  const { alias, level, language, known, weak, wishes } = notebookStudent(notebook);
  const say = (key: string, values: PracticeWeek["goal"]["values"] = {}): string => sayIn(language, { key, values });
  const skills = notebookSkills(notebook).filter(({ takes, state }) => takes > 0 || state === "learning");
  return [
    `${alias}, ${say("page.level")} ${level}`,
    ...(known.length === 0 ? [] : [`${say("page.key")}: ${known.join(" ")}`]),
    ...(weak.length === 0 ? [] : [`${say("picture.weak")}: ${weak.join(" ")}`]),
    ...wishes.map(({ want, of, id }) => `${want} ${of}:${id}`),
    ...(skills.length === 0 ? [say("page.no-takes")] : []),
    ...skills.map(
      ({ skill, state, takes, cleanTakes, tempo }) =>
        `${sayIn(language, { key: "page.title", values: { skill } })}: ${say(`state.${state}`)}, ${say("page.takes")} ${takes}, ${say("page.clean")} ${cleanTakes}${tempo === undefined ? "" : `, ${Math.round(tempo)}`}`,
    ),
  ].join("\n");
};
