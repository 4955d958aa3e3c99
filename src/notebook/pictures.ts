import * as v from "valibot";
import { check } from "../ground/check.ts";
import { element, words as svgWords } from "../ground/svg.ts";
import { shortened } from "../ground/text.ts";
import { formatPitch, parseKey, parseNote } from "../pitch/index.ts";
import { daysBetween } from "./dates.ts";
import type { Notebook } from "./document.ts";
import { checkNotebook } from "./document.ts";
import type { EvidenceOptions, SkillTake } from "./evidence.ts";
import { evidenceFields, keyStatesOf, rowsOf, skillTakes, tempoShown } from "./evidence.ts";
import { median } from "./progress.ts";
import { weeksOf } from "./student.ts";
import type { WordsRow } from "./words/index.ts";
import { skillTitle, wordsRow } from "./words/index.ts";

/** Options of pictures of a notebook. */
export interface NotebookPictureOptions extends Pick<EvidenceOptions, "skills"> {
  /** @defaultValue `"en"` */
  readonly language?: string | WordsRow | undefined;
  /** Width in pixels, 300 to 2,000. @defaultValue 640 */
  readonly width?: number | undefined;
}

const optionsShape = v.strictObject({
  skills: evidenceFields.skills,
  language: v.optional(v.unknown()),
  width: v.optional(v.pipe(v.number(), v.minValue(300), v.maxValue(2000))),
});

interface Looked {
  readonly takes: readonly SkillTake[];
  readonly row: WordsRow;
  readonly width: number;
  readonly week: (take: SkillTake) => number;
  readonly weeks: number;
}

const lookAt = (notebook: Notebook, options: NotebookPictureOptions): Looked => {
  checkNotebook(notebook);
  check(optionsShape, options, "notebook/argument");
  const takes = skillTakes(notebook, rowsOf(options.skills));
  const first = [weeksOf(notebook)[0]?.start, takes[0]?.at].flatMap((day) => day ?? []).sort()[0];
  const week = ({ at }: SkillTake): number => (first === undefined ? 1 : Math.floor(daysBetween(first, at) / 7) + 1);
  return {
    takes,
    row: wordsRow(options.language ?? "en"),
    width: options.width ?? 640,
    week,
    weeks: Math.max(1, ...takes.map(week)),
  };
};

const SMALL = { "font-size": 11, "font-family": "sans-serif", fill: "#000" };

/** A picture with its words for who does not see it. */
const framed = (
  id: string,
  width: number,
  height: number,
  title: string,
  told: string,
  parts: readonly string[],
): string =>
  element(
    "svg",
    {
      xmlns: "http://www.w3.org/2000/svg",
      viewBox: `0 0 ${width} ${height}`,
      width,
      height,
      role: "img",
      "aria-labelledby": `${id}-title ${id}-desc`,
    },
    [
      svgTold("title", `${id}-title`, title),
      svgTold("desc", `${id}-desc`, told),
      element("rect", { x: 0, y: 0, width, height, fill: "#fff" }),
      svgWords(title, { x: 8, y: 18, ...SMALL, "font-size": 14 }),
      ...parts,
    ],
  );

const svgTold = (name: "title" | "desc", id: string, text: string): string =>
  svgWords(text, { id })
    .replace(/^<text/, `<${name}`)
    .replace(/text>$/, `${name}>`);

type Mark = "disc" | "ring" | "square";

const mark = (kind: Mark, x: number, y: number): string =>
  kind === "square"
    ? element("rect", { x: x - 3.5, y: y - 3.5, width: 7, height: 7, fill: "#fff", stroke: "#000" })
    : element("circle", {
        cx: x,
        cy: y,
        r: 4,
        stroke: "#000",
        "stroke-width": 1.4,
        fill: kind === "disc" ? "#000" : "#fff",
      });

interface Point {
  readonly week: number;
  readonly value: number;
  readonly mark: Mark;
}

const joined = (points: readonly (readonly [number, number])[], dash: string): string =>
  points.length < 2
    ? ""
    : element("polyline", {
        points: points.map(([x, y]) => `${Math.round(x * 10) / 10},${Math.round(y * 10) / 10}`).join(" "),
        fill: "none",
        stroke: "#000",
        "stroke-width": 1,
        ...(dash !== "" && { "stroke-dasharray": dash }),
      });

const LEFT = 56;
const RIGHT = 100;
const WEEKS_SHOWN = 12;

/** Where a week's marks stand, and the figures below them. */
const weekAxis = (weeks: number, width: number, y: number, row: WordsRow, left = LEFT) => {
  const from = Math.max(1, weeks - WEEKS_SHOWN + 1);
  const count = Math.max(1, weeks - from);
  const x = (week: number): number => left + ((week - from) / count) * (width - left - RIGHT);
  const labels = Array.from({ length: weeks - from + 1 }, (_, i) =>
    svgWords(String(from + i), { x: x(from + i), y, ...SMALL, "text-anchor": "middle" }),
  );
  return { from, x, parts: [...labels, svgWords(row.words["picture.week"] ?? "", { x: 8, y, ...SMALL })] };
};

interface Series {
  readonly name: string;
  readonly points: readonly Point[];
  readonly dash: string;
}

/** One chart by week; series differ by mark and stroke, never by colour, and each says its last figure. */
const chart = (
  id: string,
  { row, width, weeks }: Looked,
  title: string,
  unit: string,
  series: readonly Series[],
): string => {
  const height = 150;
  const [top, bottom] = [40, height - 36];
  const axis = weekAxis(weeks, width, height - 8, row);
  const shown = series
    .map((one) => ({ ...one, points: one.points.filter(({ week }) => week >= axis.from) }))
    .filter(({ points }) => points.length > 0);
  const values = shown.flatMap(({ points }) => points.map(({ value }) => value));
  const [low, high] = values.length === 0 ? [0, 1] : [Math.min(...values), Math.max(...values)];
  const room = Math.max(high - low, Math.abs(high) * 0.1, 0.1);
  const y = (value: number): number => bottom - ((value - low + room * 0.1) / (room * 1.2)) * (bottom - top);
  const parts = shown.flatMap(({ name, points, dash }) => {
    const last = points.at(-1);
    return [
      joined(
        points.map(({ week, value }) => [axis.x(week), y(value)] as const),
        dash,
      ),
      ...points.map((point) => mark(point.mark, axis.x(point.week), y(point.value))),
      ...(last === undefined
        ? []
        : [svgWords(`${name} ${last.value}`, { x: axis.x(last.week) + 8, y: y(last.value) + 4, ...SMALL })]),
    ];
  });
  const lines = [low, high].map((value) =>
    element("line", {
      x1: LEFT - 8,
      x2: width - RIGHT,
      y1: y(value),
      y2: y(value),
      stroke: "#999",
      "stroke-width": 0.5,
    }),
  );
  const figures = [...new Set([low, high])].map((value) =>
    svgWords(String(value), { x: LEFT - 14, y: y(value) + 4, ...SMALL, "text-anchor": "end" }),
  );
  const told = shown.map(
    ({ name, points }) =>
      `${name}: ${points.map(({ week, value }) => `${row.words["picture.week"]} ${week} ${value}`).join(", ")}.`,
  );
  return framed(id, width, height, `${title}, ${unit}`, told.join(" ") || (row.words["page.no-takes"] ?? ""), [
    ...(values.length === 0
      ? [svgWords(row.words["page.no-takes"] ?? "", { x: 8, y: 60, ...SMALL })]
      : [...lines, ...figures, ...parts]),
    ...axis.parts,
  ]);
};

const byWeek = (
  looked: Looked,
  figuresOf: (take: SkillTake) => readonly number[],
): readonly (readonly [number, number])[] => {
  const weeks = new Map<number, number[]>();
  for (const take of looked.takes) {
    const values = figuresOf(take);
    if (values.length > 0) weeks.set(looked.week(take), [...(weeks.get(looked.week(take)) ?? []), ...values]);
  }
  return [...weeks].flatMap(([week, values]) => {
    const middle = median(values);
    return middle === undefined ? [] : [[week, middle] as const];
  });
};

const SKILLS_SHOWN = 8;
const ROW = 24;
const TITLES = 200;

/**
 * The tempo of each skill by week: a filled mark where the week's fastest take was clean, a ring where none was; the eight skills that were played last.
 *
 * @example
 * ```ts
 * import { makeNotebook, tempoPicture } from "hands-together/notebook";
 *
 * const svg = tempoPicture(makeNotebook({ alias: "Sparrow", at: "2026-01-05T12:00:00Z" }));
 * svg.startsWith("<svg"); // => true
 * svg.includes("No takes yet."); // => true
 * ```
 */
export function tempoPicture(notebook: Notebook, options: NotebookPictureOptions = {}): string {
  const looked = lookAt(notebook, options);
  const { takes, row, width, week, weeks } = looked;
  const last = new Map(
    takes.flatMap(({ skill, at, whole }) => (skill === undefined || !whole ? [] : [[skill, at] as const])),
  );
  const skills = [...last]
    .sort(([, a], [, b]) => (a < b ? 1 : -1))
    .slice(0, SKILLS_SHOWN)
    .map(([skill]) => skill);
  const top = 30;
  const height = top + Math.max(1, skills.length) * ROW + 26;
  const axis = weekAxis(weeks, width, height - 8, row, TITLES);
  const told: string[] = [];
  const parts = skills.flatMap((skill, place) => {
    const points = new Map<number, Point>();
    for (const take of takes.filter((one) => one.skill === skill && one.whole && week(one) >= axis.from)) {
      const at = week(take);
      const value = Math.round(take.clean ? tempoShown(take) : take.tempo.asked);
      const best = points.get(at);
      if (best === undefined || (take.clean && (best.mark === "ring" || value > best.value)))
        points.set(at, { week: at, value, mark: take.clean ? "disc" : "ring" });
    }
    const list = [...points.values()].sort((a, b) => a.week - b.week);
    const values = list.map(({ value }) => value);
    const [low, high] = [Math.min(...values), Math.max(...values)];
    const base = top + place * ROW + ROW - 8;
    const y = (value: number): number => base - (high === low ? 4 : ((value - low) / (high - low)) * 14);
    const title = skillTitle(row, skill);
    const end = list.at(-1);
    told.push(
      `${title}: ${list.map(({ week: at, value, mark: kind }) => `${row.words["picture.week"]} ${at} ${value} ${row.words[kind === "disc" ? "picture.clean" : "picture.not-clean"]}`).join(", ")}.`,
    );
    return [
      svgWords(shortened(title, 34), { x: 8, y: base + 2, ...SMALL }),
      joined(
        list.map((point) => [axis.x(point.week), y(point.value)] as const),
        "",
      ),
      ...list.map((point) => mark(point.mark, axis.x(point.week), y(point.value))),
      ...(end === undefined
        ? []
        : [
            svgWords(String(end.value), {
              x: axis.x(end.week) + 10,
              y: y(end.value) + 4,
              ...SMALL,
              "font-weight": "bold",
            }),
          ]),
    ];
  });
  const title = `${row.words["picture.tempo"]}, ${row.words["picture.tempo-axis"]} (● ${row.words["picture.clean"]}, ○ ${row.words["picture.not-clean"]})`;
  const none = row.words["page.no-takes"] ?? "";
  return framed("tempo", width, height, title, told.join(" ") || none, [
    ...(skills.length === 0 ? [svgWords(none, { x: 8, y: 50, ...SMALL })] : parts),
    ...axis.parts,
  ]);
}

/**
 * How far each hand's notes lie about the beat, by week: the right hand with discs and a line, the left with squares and a dashed one.
 *
 * @example
 * ```ts
 * import { evennessPicture, makeNotebook } from "hands-together/notebook";
 *
 * evennessPicture(makeNotebook({ alias: "Sparrow", at: "2026-01-05T12:00:00Z" })).startsWith("<svg"); // => true
 * ```
 */
export function evennessPicture(notebook: Notebook, options: NotebookPictureOptions = {}): string {
  const looked = lookAt(notebook, options);
  const { words } = looked.row;
  const series = (hand: "right" | "left", kind: Mark, dash: string): Series => ({
    name: words[`hands.${hand}`] ?? hand,
    dash,
    points: byWeek(looked, ({ measures }) =>
      measures.flatMap((one) => (one.hand === hand && one.spreadMs !== undefined ? [one.spreadMs] : [])),
    ).map(([week, value]) => ({ week, value: Math.round(value), mark: kind })),
  });
  return chart("evenness", looked, words["picture.even"] ?? "", words["picture.even-axis"] ?? "", [
    series("right", "disc", ""),
    series("left", "square", "4 3"),
  ]);
}

/**
 * The swing ratio by week, played beside asked for.
 *
 * @example
 * ```ts
 * import { makeNotebook, swingPicture } from "hands-together/notebook";
 *
 * swingPicture(makeNotebook({ alias: "Sparrow", at: "2026-01-05T12:00:00Z" })).startsWith("<svg"); // => true
 * ```
 */
export function swingPicture(notebook: Notebook, options: NotebookPictureOptions = {}): string {
  const looked = lookAt(notebook, options);
  const { words } = looked.row;
  // Straight eighths are no swing.
  const swung = (take: SkillTake, of: "asked" | "played"): readonly number[] =>
    take.measures.flatMap(({ swing }) => (swing === undefined || swing.asked < 1.15 ? [] : [swing[of]]));
  const series = (of: "asked" | "played", name: string, kind: Mark, dash: string): Series => ({
    name,
    dash,
    points: byWeek(looked, (take) => swung(take, of)).map(([week, value]) => ({
      week,
      value: Math.round(value * 100) / 100,
      mark: kind,
    })),
  });
  return chart("swing", looked, words["picture.swing"] ?? "", words["picture.swing-axis"] ?? "", [
    series("asked", words["picture.asked"] ?? "", "square", "4 3"),
    series("played", "", "disc", ""),
  ]);
}

const KEYS = ["C", "F", "Bb", "Eb", "Ab", "Db", "F#", "B", "E", "A", "D", "G"] as const;
const SAME: Readonly<Record<string, string>> = { "C#": "Db", "D#": "Eb", Gb: "F#", "G#": "Ab", "A#": "Bb", Cb: "B" };

/**
 * The keys in a grid, major and minor: a disc where the last take was clean, a ring where it was not, a cross for a weak key, and below it how many takes.
 *
 * @example
 * ```ts
 * import { keysPicture, makeNotebook } from "hands-together/notebook";
 *
 * keysPicture(makeNotebook({ alias: "Sparrow", at: "2026-01-05T12:00:00Z", weak: ["Ab"] })).includes("A♭ major: weak"); // => true
 * ```
 */
export function keysPicture(notebook: Notebook, options: NotebookPictureOptions = {}): string {
  const { takes, row, width } = lookAt(notebook, options);
  const { words } = row;
  const states = keyStatesOf(notebook, takes).map((state) => ({
    ...state,
    tonic: SAME[state.tonic] ?? parseKey(state.tonic).tonic,
  }));
  const [left, top, step] = [60, 44, 44];
  const column = (width - left - 8) / KEYS.length;
  const told: string[] = [];
  const parts = (["major", "minor"] as const).flatMap((mode, line) => [
    svgWords(words[`picture.${mode}`] ?? mode, { x: 8, y: top + line * step + 14, ...SMALL }),
    ...KEYS.flatMap((key, place) => {
      const [x, y] = [left + (place + 0.5) * column, top + line * step + 10];
      const found = states.filter((state) => state.tonic === key && state.mode === mode);
      const count = found.reduce((sum, state) => sum + state.takes, 0);
      const weak = found.some((state) => state.weak);
      const clean = found.some(({ run }) => run > 0);
      const said = weak ? "weak" : count === 0 ? "untried" : clean ? "clean" : "not-clean";
      if (said !== "untried")
        told.push(`${formatPitch(parseNote(key))} ${words[`picture.${mode}`]}: ${words[`picture.${said}`]}, ${count}.`);
      const sign =
        said === "weak"
          ? [
              element("line", { x1: x - 5, y1: y - 5, x2: x + 5, y2: y + 5, stroke: "#000", "stroke-width": 2 }),
              element("line", { x1: x - 5, y1: y + 5, x2: x + 5, y2: y - 5, stroke: "#000", "stroke-width": 2 }),
            ]
          : said === "untried"
            ? [element("circle", { cx: x, cy: y, r: 1, fill: "#000" })]
            : [mark(said === "clean" ? "disc" : "ring", x, y)];
      return [
        ...sign,
        ...(count === 0
          ? []
          : [svgWords(String(count), { x, y: y + 18, ...SMALL, "font-size": 9, "text-anchor": "middle" })]),
      ];
    }),
  ]);
  const heads = KEYS.map((key, place) =>
    svgWords(formatPitch(parseNote(key)), {
      x: left + (place + 0.5) * column,
      y: 38,
      ...SMALL,
      "text-anchor": "middle",
    }),
  );
  const title = `${words["picture.keys"]} (● ${words["picture.clean"]}, ○ ${words["picture.not-clean"]}, ✕ ${words["picture.weak"]})`;
  return framed("keys", width, top + 2 * step, title, told.join(" ") || (words["page.no-takes"] ?? ""), [
    ...heads,
    ...parts,
  ]);
}
