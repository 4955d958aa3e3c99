import * as v from "valibot";
import { makeDrill } from "../drill/index.ts";
import { check } from "../ground/check.ts";
import { known, nth } from "../ground/list.ts";
import { page } from "../ground/page.ts";
import { escapeXml } from "../ground/svg.ts";
import { pitchName } from "../pitch/index.ts";
import type { DrillRecipe } from "../recipe/index.ts";
import { formatBeats } from "../time/index.ts";
import { message } from "./book.ts";
import { daysBetween } from "./dates.ts";
import { costsOf, titleOf } from "./difficulty.ts";
import type { DrillCosts, MessageData, Notebook } from "./document.ts";
import { checkNotebook, dayShape, drillName } from "./document.ts";
import { tempoShown } from "./evidence.ts";
import { PAGE_STYLE } from "./pages.ts";
import { sheetOptions } from "./plan.ts";
import { notebookStudent, takesOf } from "./student.ts";
import type { WordsRow } from "./words/index.ts";
import { sayWith, wordsRow } from "./words/index.ts";

/** The challenge as one level plays it. */
export interface ChallengeDrill {
  readonly level: 1 | 2 | 3 | 4 | 5;
  /** Short name of its recipe without its tempo, as takes have it. */
  readonly id: string;
  readonly title: string;
  readonly recipe: DrillRecipe;
  readonly difficulty: DrillCosts;
}

/** A week's challenge: one phrase for everybody, the left hand by level. */
export interface WeeklyChallenge {
  readonly kind: "weekly-challenge";
  readonly version: 1;
  readonly start: string;
  /** One a level, from 1 to 5. */
  readonly drills: readonly ChallengeDrill[];
}

const RIGHT = [
  "call-and-response",
  "rest-on-a-beat",
  "off-the-beat",
  "target-thirds",
  "slides",
  "threes",
  "each-degree",
] as const;
const CHANGES = ["turnaround", "two-five-one-long", "eight-bar-blues", "turnaround-passing", "walk-up"] as const;
const KEYS = ["C", "F", "G", "Bb"] as const;
const LEVELS = [1, 2, 3, 4, 5] as const;

/** The left hand and the tempo of each level; the right hand is the same for all. */
const LEFT: Readonly<Record<1 | 2 | 3 | 4 | 5, DrillRecipe>> = {
  1: { key: "C", left: "shell", tempo: 56 },
  2: { key: "C", left: "shell", pickup: true, tempo: 64 },
  3: { key: "C", left: "three-note-rootless", comping: "charleston", tempo: 72 },
  4: { key: "C", left: "rootless", comping: "reverse-charleston", tempo: 80 },
  5: { key: "C", left: "rootless", comping: "anticipated", tempo: 92 },
};

const phraseOf = (recipe: DrillRecipe): string =>
  makeDrill({ ...recipe, tempo: 60, backing: "none" })
    .score.right.map(({ at, pitches }) => `${formatBeats(at)} ${pitches.map(pitchName).join("+")}`)
    .join(" ");

const drillsOf = (turn: number): readonly ChallengeDrill[] => {
  const shared = {
    right: nth(RIGHT, turn % RIGHT.length),
    changes: nth(CHANGES, turn % CHANGES.length),
    key: nth(KEYS, turn % KEYS.length),
  };
  return LEVELS.map((level) => {
    const recipe = { ...LEFT[level], ...shared };
    return { level, id: known(drillName(recipe)), title: titleOf(recipe), recipe, difficulty: costsOf(recipe) };
  });
};

// A left hand that lies high moves the right hand up: such a turn is passed over.
const isFair = (drills: readonly ChallengeDrill[]): boolean =>
  new Set(drills.map(({ recipe }) => phraseOf(recipe))).size === 1;

const TURNS = RIGHT.length * CHANGES.length * KEYS.length;

/**
 * The challenge of a week: the same phrase for everybody, note for note, with a left hand and a tempo for each level. The week settles it, so that all who
 * ask get the same one; 140 turns go by before one comes again.
 *
 * @param start - the week's first day, such as `"2026-01-05"`
 * @throws MusicError `notebook/argument` for text that is no date
 *
 * @example
 * ```ts
 * import { weeklyChallenge } from "hands-together/notebook";
 *
 * const { drills } = weeklyChallenge("2026-01-05");
 * drills.map(({ level }) => level); // => [1, 2, 3, 4, 5]
 * new Set(drills.map(({ recipe }) => recipe.right)).size; // => 1
 * ```
 */
export function weeklyChallenge(start: string): WeeklyChallenge {
  check(dayShape, start, "notebook/argument");
  const first = Math.floor(daysBetween("1900-01-01", start) / 7);
  for (let passed = 0; passed < TURNS; passed++) {
    const drills = drillsOf((first + passed) % TURNS);
    if (isFair(drills)) return { kind: "weekly-challenge", version: 1, start, drills };
  }
  throw new RangeError("no challenge is fair");
}

const challengeShape = v.looseObject({
  kind: v.literal("weekly-challenge"),
  start: dayShape,
  drills: v.array(
    v.looseObject({
      level: v.number(),
      id: v.string(),
      title: v.string(),
      recipe: v.looseObject({ tempo: v.number() }),
    }),
  ),
});

/**
 * What became of a challenge: of everybody who took part how far the last take is from the first, in right notes and tempo. In the order of names, and
 * nobody beside anybody else.
 *
 * @example
 * ```ts
 * import { challengeResults, makeNotebook, weeklyChallenge } from "hands-together/notebook";
 *
 * challengeResults(weeklyChallenge("2026-01-05"), [makeNotebook({ alias: "Wren", at: "2026-01-05T12:00:00Z" })]); // => []
 * ```
 */
export function challengeResults(challenge: WeeklyChallenge, notebooks: readonly Notebook[]): readonly MessageData[] {
  check(challengeShape, challenge, "notebook/argument");
  check(v.pipe(v.array(v.unknown()), v.maxLength(500)), notebooks, "notebook/argument");
  for (const notebook of notebooks) checkNotebook(notebook);
  const ids = new Set(challenge.drills.map(({ id }) => id));
  return notebooks
    .map((notebook) => ({
      student: notebookStudent(notebook).alias,
      takes: takesOf(notebook).filter(
        ({ drill, at }) => drill !== undefined && ids.has(drill) && at.slice(0, 10) >= challenge.start,
      ),
    }))
    .sort((a, b) => (a.student < b.student ? -1 : 1))
    .flatMap(({ student, takes }): MessageData[] => {
      const [first, ...more] = takes;
      const last = more.at(-1);
      if (first === undefined) return [];
      const right = ({ accuracy }: { readonly accuracy: number }): number => Math.round(100 * accuracy);
      const tempo = (take: typeof first): number => Math.round(tempoShown(take));
      return last === undefined
        ? [message("challenge.once", { student, after: right(first), to: tempo(first) })]
        : [
            message("challenge.grew", {
              student,
              before: right(first),
              after: right(last),
              from: tempo(first),
              to: tempo(last),
            }),
          ];
    });
}

/** Options of {@link challengePage}. */
export interface ChallengePageOptions {
  /** @defaultValue `"en"` */
  readonly language?: string | WordsRow | undefined;
  /** The file name of each drill's sheet by the drill's id. @defaultValue none */
  readonly sheets?: Readonly<Record<string, string>> | undefined;
}

/**
 * A challenge as a page: how it goes, the drill of each level, and how those grew who took part.
 *
 * @returns one HTML file that works from disk without a network
 *
 * @example
 * ```ts
 * import { challengePage, weeklyChallenge } from "hands-together/notebook";
 *
 * challengePage(weeklyChallenge("2026-01-05"), []).includes("Challenge of the week"); // => true
 * ```
 */
export function challengePage(
  challenge: WeeklyChallenge,
  notebooks: readonly Notebook[],
  options: ChallengePageOptions = {},
): string {
  const results = challengeResults(challenge, notebooks);
  check(sheetOptions, options, "notebook/argument");
  const row = wordsRow(options.language ?? "en");
  const label = (key: string): string => escapeXml(sayWith(row, { key, values: {} }));
  const drills = challenge.drills.map(({ level, id, title, recipe }) => {
    const sheet = options.sheets?.[id];
    const name = escapeXml(title);
    return `<li>${label("page.level")} ${level}: ${sheet === undefined ? name : `<a href="${escapeXml(encodeURI(sheet))}">${name}</a>`}, ${recipe.tempo}</li>`;
  });
  const title = `${sayWith(row, { key: "challenge.title", values: {} })}, ${challenge.start}`;
  return page(
    title,
    PAGE_STYLE,
    `<main><h1>${escapeXml(title)}</h1>
<p>${label("challenge.how")}</p>
<ul>${drills.join("")}</ul>
${results.length === 0 ? "" : `<h2>${label("page.better")}</h2><ul>${results.map((one) => `<li>${escapeXml(sayWith(row, one))}</li>`).join("")}</ul>`}
<p class="caution">${label("page.caution")}</p></main>`,
    row.id,
  );
}
