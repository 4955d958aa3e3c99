import { attempt } from "../ground/attempt.ts";
import { progressionCatalogue } from "../progression/index.ts";
import type { DrillRecipe } from "../recipe/index.ts";
import { idOfRow } from "../recipe/inner.ts";
import type { Book } from "./book.ts";
import { isForbidden, knownKeys, sameDrill } from "./book.ts";
import type { SkillRow } from "./catalogue.ts";
import { costsOf } from "./difficulty.ts";

/** What a drill of a skill must have, whatever else varies. */
export interface Wanted {
  readonly keys?: readonly string[] | undefined;
  readonly changes?: string | undefined;
  readonly right?: string | undefined;
  /** The easiest of all instead of the one that was given least. */
  readonly easiest?: boolean | undefined;
  /** Drills of this week that must not come twice. */
  readonly not?: readonly DrillRecipe[] | undefined;
}

interface Choice {
  readonly recipe: Omit<DrillRecipe, "key">;
  /** The key of a chart, which is played as it is written. */
  readonly key?: string;
  readonly minor: boolean;
  readonly times: number;
}

// In minor these are written with sharps.
const SHARPS: Readonly<Record<string, string>> = { Db: "C#", Gb: "F#", Ab: "G#", Cb: "B" };

const inMinor = (changes: string): boolean =>
  progressionCatalogue.some(({ id, mode }) => id === changes && mode === "minor");

const choicesOf = (book: Book, row: SkillRow, { changes: only, right: hand }: Wanted): readonly Choice[] => {
  const { span } = book.student;
  const own = row.changes.length === 0;
  const over = own
    ? book.student.charts.map(({ title, changes, key }) => ({ changes, title, key, minor: false }))
    : row.changes.map((changes) => ({ changes, title: undefined, key: undefined, minor: inMinor(changes) }));
  const count = (of: "changes" | "right" | "comping", id: string): number => book.given[of].get(id) ?? 0;
  return over
    .filter(({ changes }) => !isForbidden(book, "changes", changes) && (only === undefined || only === changes))
    .flatMap(({ changes, title, key, minor }) =>
      row.right
        .filter((one) => !isForbidden(book, "right", idOfRow(one)) && (hand === undefined || hand === idOfRow(one)))
        .flatMap((right) =>
          (row.comping ?? [undefined]).map((comping): Choice => {
            const stretch = row.drill.span ?? span;
            return {
              recipe: {
                ...row.drill,
                changes,
                right,
                ...(title !== undefined && { title }),
                ...(comping !== undefined && { comping }),
                ...(right === "improvised" && { lineTempo: row.tempo[1] }),
                ...(stretch !== undefined && { span: Math.min(stretch, span ?? stretch) }),
              },
              ...(key !== undefined && { key }),
              minor,
              times:
                count("changes", changes) +
                count("right", idOfRow(right)) +
                (comping === undefined ? 0 : count("comping", idOfRow(comping))),
            };
          }),
        ),
    );
};

/** A list that begins elsewhere. */
const turned = <T>(list: readonly T[], turn: number): readonly T[] => {
  const from = list.length === 0 ? 0 : turn % list.length;
  return [...list.slice(from), ...list.slice(0, from)];
};

// So many of those that were given equally seldom are made and measured.
const MEASURED = 3;

/**
 * A drill of a skill: of its progressions, right hands and patterns those that were given least, of these the easiest by measure, in the
 * key that was given longest ago; one that no week had yet, as long as there is one.
 */
export const variantOf = (book: Book, row: SkillRow, wanted: Wanted = {}): DrillRecipe | undefined => {
  const tonics = (wanted.keys ?? row.keys ?? knownKeys(book)).filter((key) => !isForbidden(book, "key", key));
  const { not = [] } = wanted;
  const taken = new Set(not.map(sameDrill));
  const week = (tonic: string): number =>
    not.some(({ key }) => key.split(" ")[0] === tonic) ? book.weeks.length + 1 : (book.given.key.get(tonic) ?? 0);
  const longestAgo = [...turned(tonics, book.turn)].sort((a, b) => week(a) - week(b));
  const [tempo] = row.tempo;
  const cost = (choice: Choice): number =>
    attempt(() => costsOf({ ...choice.recipe, key: choice.key ?? (choice.minor ? "A minor" : "C"), tempo }).total) ??
    Number.POSITIVE_INFINITY;
  const byTimes = [...turned(choicesOf(book, row, wanted), book.turn)].sort((a, b) => a.times - b.times);
  const least = byTimes[0]?.times ?? 0;
  const measured =
    wanted.easiest === true ? byTimes : byTimes.filter(({ times }) => times === least).slice(0, MEASURED);
  const choices =
    measured.length > 1
      ? [
          ...measured
            .map((choice) => ({ choice, points: cost(choice) }))
            .sort((a, b) => a.points - b.points)
            .map(({ choice }) => choice),
          ...byTimes.filter((choice) => !measured.includes(choice)),
        ]
      : byTimes;
  let known: DrillRecipe | undefined;
  for (const { recipe, key, minor } of choices)
    for (const tonic of key === undefined ? longestAgo : [key]) {
      const whole: DrillRecipe = { ...recipe, key: minor ? `${SHARPS[tonic] ?? tonic} minor` : tonic };
      if (taken.has(sameDrill(whole))) continue;
      const fresh = !book.given.drills.has(sameDrill(whole));
      if (!fresh && known !== undefined) continue;
      if (attempt(() => costsOf({ ...whole, tempo })) === undefined) continue;
      if (fresh) return whole;
      known = whole;
    }
  return known;
};
