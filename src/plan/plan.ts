import type { DrillKeyOrder } from "../drill/index.ts";
import { CAUTION, drillKeys } from "../drill/index.ts";
import { MusicError } from "../ground/errors.ts";
import type { KeyMode, NoteName } from "../pitch/index.ts";
import { formatPitch, parseNote, pitchClassOf } from "../pitch/index.ts";
import type { DrillRecipe, FullPlanRecipe, LevelId, LevelRow, PlanRecipe, RecipeForAnyKey } from "../recipe/index.ts";
import { drillsOfLevel, levelCatalogue, parsePlanRecipe } from "../recipe/index.ts";
import { dateAfter } from "./dates.ts";
import { partsOfDay } from "./day.ts";
import type { KeyVisit } from "./keys.ts";
import { keysByDay, longestGap, roomForWeakKeys } from "./keys.ts";

/** Getting the hands warm before the first drill. */
export interface PracticeWarmUp {
  readonly kind: "warm-up";
  readonly minutes: number;
  /** What to do. */
  readonly reason: string;
}

/** Time away from the keys. */
export interface PracticeBreak {
  readonly kind: "break";
  readonly minutes: number;
  /** What it is for. */
  readonly reason: string;
}

/** One drill in one key at one tempo. */
export interface PracticeDrill {
  readonly kind: "drill";
  readonly minutes: number;
  /** The tonic. */
  readonly key: NoteName;
  /** Beats a minute; the recipe's own. */
  readonly tempo: number;
  /** The whole recipe, as `makeDrill` takes it. */
  readonly recipe: DrillRecipe;
  /** The how-manieth practice day with this key, from 1. */
  readonly visit: number;
  /** Practice days since the one before with this key; absent on the first. */
  readonly gap?: number;
  /** Whether the key was named as weak. */
  readonly weak: boolean;
  /** Why this key and this tempo now, in words. */
  readonly reason: string;
  /** The file name of its sheet, which calendars name. */
  readonly sheet?: string;
}

/** What fills a stretch of a practice day. */
export type PracticeItem = PracticeWarmUp | PracticeBreak | PracticeDrill;

/** One day of practice. */
export interface PracticeDay {
  /** Practice days from 1; days off aren't counted. */
  readonly day: number;
  /** Weeks from 1. */
  readonly week: number;
  /** Days from the plan's first day, days off included: 0 for the first. */
  readonly offset: number;
  /** Such as `"2026-01-05"`; absent where the plan has no start date. */
  readonly date?: string;
  /** What the items add up to; never more than was asked for. */
  readonly minutes: number;
  readonly items: readonly PracticeItem[];
}

/** What becomes of one key over the whole plan. */
export interface PlannedKey {
  readonly key: NoteName;
  readonly weak: boolean;
  /** Practice days with this key. */
  readonly visits: number;
  /** The highest tempo that the ladder brings it to, beats a minute. */
  readonly highestTempo: number;
}

/** Which drill, key and tempo each day for some weeks; a plain object, JSON as it stands. */
export interface PracticePlan {
  readonly kind: "practice-plan";
  readonly days: readonly PracticeDay[];
  /** In the order in which they are practised. */
  readonly keys: readonly PlannedKey[];
  /** Every rule and figure that the plan rests on, in sentences. */
  readonly assumptions: readonly string[];
  /** What to print beside any plan. */
  readonly caution: string;
}

/**
 * A plan of practice: which drill, key and tempo each day for some weeks, with warm-up and breaks.
 *
 * A day holds as many drills as fit, breaks included. The keys follow their order, round after round, one to a drill. Weak keys come
 * first on day one and return after 1, 2, 4, 8 … practice days, always sooner than a plain round of all keys would bring them
 * back; the others share what is left. Each time that a key comes it takes the next drill of the list, and a drill that returns in a
 * key on another day is one step faster, up to the target. Of a level's drills the plan takes the first ones, as many as still come
 * at least three times in each key, and at least one. Nothing is left to chance.
 *
 * Why spread out: practice in sessions apart is kept better than in one go, in verbal recall (Cepeda, N. J., Pashler, H., Vul, E.,
 * Wixted, J. T. & Rohrer, D. (2006), Distributed practice in verbal recall tasks, Psychological Bulletin 132(3), 354–380); for a short
 * keyboard sequence a night between sessions helped accuracy (Simmons, A. L. (2012), Distributed practice and procedural memory consolidation
 * in musicians' skill learning, Journal of Research in Music Education 59(4), 357–368), while gaps of minutes did nothing for beginners at the
 * piano (Wiseheart, M., D'Souza, A. A. & Chae, J. (2017), Lack of spacing effects during piano learning, PLOS ONE, e0182986). That the gaps double
 * is our derivation: growing gaps kept recall higher on the way and ended equal to even ones (Kang, S. H. K., Lindsey, R. V., Mozer, M. C. &
 * Pashler, H. (2014), Retrieval practice over the long term, Psychonomic Bulletin & Review); on average they show no advantage (Latimier, A.,
 * Peyre, H. & Ramus, F. (2021), Educational Psychology Review 33, 959–987). All five read in their abstracts. Minutes, steps and breaks are
 * our choice, no source.
 *
 * Playing can hurt, and no tempo or length of practice is known to be safe for everyone: the plan carries a `caution` to be shown with it.
 *
 * @param recipe - levels or drills, keys, minutes, weeks and tempos; `{}` is a whole recipe
 * @throws MusicError `recipe/plan` for a recipe that can't be read, `plan/weak-keys` for a weak key that is not among the keys; and with reason
 * `cannot-be-done` `plan/weak-keys` for more of them than half of a day's drills, `plan/day` when not even one drill fits in a day or
 * between two breaks, `plan/weeks` when some key would never come
 *
 * @example
 * ```ts
 * import { makePracticePlan } from "hands-together";
 *
 * const plan = makePracticePlan({ keys: ["C", "F", "Bb", "Eb"], weakKeys: ["Eb"], minutesADay: 8, weeks: 2, startDate: "2026-01-05" });
 * const drills = plan.days.flatMap((day) => day.items.filter((item) => item.kind === "drill"));
 * drills.map((drill) => `${drill.key} ${drill.tempo}`).slice(0, 6); // => ["Eb 60", "Eb 64", "C 60", "Eb 68", "F 60", "Bb 60"]
 * plan.days[1]?.date; // => "2026-01-06"
 * makePracticePlan({ weeks: 0 }); // throws "recipe/plan"
 * ```
 */
export function makePracticePlan(recipe: PlanRecipe): PracticePlan {
  const figures = parsePlanRecipe(recipe);
  const { mode } = figures;
  const parts = partsOfDay(figures);
  const slots = parts.filter((part) => part === "drill").length;
  if (slots === 0 || figures.warmUpMinutes + figures.minutesADrill > figures.breakAfter) refuseDay(figures, slots);
  const allDrills =
    recipe.drills === undefined ? drillsOfLevel(figures.level, { mode }) : drillsIn(recipe.drills, mode);
  const keys = keysOf(figures, allDrills);
  const weak = weakKeysOf(figures.weakKeys, keys, slots);
  const days = figures.weeks * figures.daysAWeek;
  const visits = keysByDay(
    keys.filter((key) => !weak.includes(key)),
    weak,
    days,
    slots,
  );
  refuseUnseen(keys, visits, slots);
  const rarest = Math.min(...keys.map((key) => visits.flat().filter((visit) => visit.key === key).length));
  const drills =
    figures.drills === undefined ? allDrills.slice(0, Math.max(1, Math.floor(rarest / LEAST_TIMES))) : allDrills;

  const tempoOf = ladder(figures);
  const taken = new Map<NoteName, number>();
  const drillOf = (visit: KeyVisit<NoteName>, day: number): PracticeDrill => {
    const turn = taken.get(visit.key) ?? 0;
    taken.set(visit.key, turn + 1);
    const { tempo, step } = tempoOf(visit.key, turn % drills.length, day);
    return {
      kind: "drill",
      minutes: figures.minutesADrill,
      key: visit.key,
      tempo,
      recipe: {
        ...(drills[turn % drills.length] as RecipeForAnyKey),
        key: mode === "minor" ? `${visit.key} minor` : visit.key,
        tempo,
      },
      visit: visit.visit,
      ...(visit.gap === undefined ? {} : { gap: visit.gap }),
      weak: visit.weak,
      reason: `${reasonOfKey(visit)}; ${step}`,
    };
  };

  const planned = visits.map((row, index): PracticeDay => {
    const week = Math.floor(index / figures.daysAWeek);
    const offset = week * 7 + Math.floor(((index % figures.daysAWeek) * 7) / figures.daysAWeek);
    const queue = row.map((visit) => drillOf(visit, index));
    const items = parts.map(
      (part): PracticeItem =>
        part === "drill"
          ? (queue.shift() as PracticeDrill)
          : part === "break"
            ? { kind: "break", minutes: figures.breakMinutes, reason: "hands off the keys" }
            : {
                kind: "warm-up",
                minutes: figures.warmUpMinutes,
                reason: "the day's first scale, slowly and softly, one hand at a time",
              },
    );
    return {
      day: index + 1,
      week: week + 1,
      offset,
      ...(figures.startDate !== undefined && { date: dateAfter(figures.startDate, offset) }),
      minutes: items.reduce((sum, item) => sum + item.minutes, 0),
      items,
    };
  });
  return {
    kind: "practice-plan",
    days: planned,
    keys: keys.map((key) => summaryOf(key, planned)),
    assumptions: assumptionsOf(figures, { keys, weak, slots, drills: drills.length }),
    caution: CAUTION,
  };
}

// Seldomer, a drill would be dropped before its tempo has moved. Our choice.
const LEAST_TIMES = 3;

const refuseDay = ({ minutesADay, warmUpMinutes, minutesADrill, breakAfter }: FullPlanRecipe, slots: number): never => {
  throw new MusicError({
    code: "plan/day",
    input: slots === 0 ? { minutesADay } : { breakAfter },
    expected: `at least ${warmUpMinutes + minutesADrill} minutes, for the warm-up (${warmUpMinutes}) and one drill (${minutesADrill})`,
    hint: "shorten the warm-up or the drill",
    reason: "cannot-be-done",
  });
};

const drillsIn = (drills: readonly RecipeForAnyKey[], mode: KeyMode): readonly RecipeForAnyKey[] =>
  drills.map((drill) => (mode === "minor" ? { changes: levelCatalogue[0].changes.minor, ...drill } : { ...drill }));

const keysOf = ({ keys, order, mode }: FullPlanRecipe, [first]: readonly RecipeForAnyKey[]): readonly NoteName[] =>
  keys === "all"
    ? drillKeys(first?.changes ?? "turnaround", first?.scale ?? `${mode} blues`, { order })
    : keys.map(parseNote);

const weakKeysOf = (weak: readonly string[], keys: readonly NoteName[], slots: number): readonly NoteName[] => {
  const classes = new Set(weak.map((name) => pitchClassOf(parseNote(name))));
  const found = keys.filter((key) => classes.has(pitchClassOf(key)));
  if (found.length < classes.size)
    throw new MusicError({ code: "plan/weak-keys", input: weak, expected: `keys of the plan: ${keys.join(", ")}` });
  const room = roomForWeakKeys(keys.length, slots);
  if (found.length <= room) return found;
  throw new MusicError({
    code: "plan/weak-keys",
    input: weak,
    expected: `at most ${count(room, "weak key")} among ${keys.length} with ${count(slots, "drill")} a day`,
    hint: "more minutes a day make room for more",
    reason: "cannot-be-done",
  });
};

const refuseUnseen = (
  keys: readonly NoteName[],
  visits: readonly (readonly KeyVisit<NoteName>[])[],
  slots: number,
): void => {
  const seen = new Set(visits.flatMap((row) => row.map((visit) => visit.key)));
  const unseen = keys.filter((key) => !seen.has(key));
  if (unseen.length === 0) return;
  throw new MusicError({
    code: "plan/weeks",
    input: { days: visits.length, drillsADay: slots },
    expected: `enough drills for every key; ${unseen.join(", ")} would never come`,
    hint: "more weeks, more minutes or fewer keys",
    reason: "cannot-be-done",
  });
};

const ladder = ({ startTempo, tempoStep, targetTempo }: FullPlanRecipe) => {
  const rungs = new Map<string, { day: number; tempo: number; step: string }>();
  return (key: NoteName, drill: number, day: number): { readonly tempo: number; readonly step: string } => {
    const id = `${key} ${drill}`;
    const last = rungs.get(id);
    if (last?.day === day) return last;
    const tempo = last === undefined ? startTempo : Math.min(targetTempo, last.tempo + tempoStep);
    const step =
      last === undefined
        ? "start tempo"
        : tempo > last.tempo
          ? `+${tempo - last.tempo}`
          : tempo === targetTempo
            ? "at the target"
            : "same tempo";
    const rung = { day, tempo, step };
    rungs.set(id, rung);
    return rung;
  };
};

const count = (number: number, what: string): string => `${number} ${what}${number === 1 ? "" : "s"}`;

const reasonOfKey = ({ weak, gap }: KeyVisit<NoteName>): string =>
  `${weak ? "weak key, " : ""}${gap === undefined ? "first time" : `back after ${count(gap, "day")}`}`;

const summaryOf = (key: NoteName, planned: readonly PracticeDay[]): PlannedKey => {
  const drills = planned
    .flatMap((day) => day.items)
    .filter((item) => item.kind === "drill")
    .filter((item) => item.key === key);
  return {
    key,
    weak: drills.some((drill) => drill.weak),
    visits: Math.max(...drills.map((drill) => drill.visit)),
    highestTempo: Math.max(...drills.map((drill) => drill.tempo)),
  };
};

const ORDERS: Readonly<Record<DrillKeyOrder, string>> = {
  fourths: "the cycle of fourths",
  fifths: "the cycle of fifths",
  chromatic: "chromatic order",
  easiest: "order of what lies best under the right hand",
};

const assumptionsOf = (
  figures: FullPlanRecipe,
  found: {
    readonly keys: readonly NoteName[];
    readonly weak: readonly NoteName[];
    readonly slots: number;
    readonly drills: number;
  },
): readonly string[] => [
  `${count(figures.weeks, "week")} of ${count(figures.daysAWeek, "practice day")}, spread over the week. Days in gaps are practice days. ` +
    "A day that is missed is not made up: go on where you stopped.",
  `A day has at most ${count(figures.minutesADay, "minute")}: ${figures.warmUpMinutes} to warm up, ${figures.minutesADrill} for each of ` +
    `${count(found.slots, "drill")}, and a break of ${figures.breakMinutes} before playing would last longer than ${figures.breakAfter}. ` +
    "Minutes that no whole drill fits into stay free. These figures are a choice, not research.",
  `Keys in ${figures.keys === "all" ? ORDERS[figures.order] : "the order given"}: ${found.keys.map(formatPitch).join(", ")}.`,
  ...(found.weak.length === 0
    ? []
    : [
        `Weak keys (${found.weak.map(formatPitch).join(", ")}) come first and return after ${gapsText(longestGap(found.keys.length, found.slots))}. ` +
          "That practice spread over days is kept better is research, mostly on words; how the gaps grow is our choice.",
      ]),
  `${found.drills === 1 ? "One drill" : `${found.drills} drills, each key taking the next each time it comes`}` +
    (figures.drills !== undefined
      ? ", as given."
      : `; from level ${levelName(figures.level)}, as many as still come at least ${LEAST_TIMES} times in each key, and at least one.`),
  `In a key a drill starts at ${figures.startTempo} beats a minute and is ${figures.tempoStep} faster when it returns on another day, up to ` +
    `${figures.targetTempo}. That takes for granted that it went evenly and without strain; if not, stay at that tempo or go a step back, ` +
    "whatever the plan says.",
];

const levelName = (level: LevelId | LevelRow): string | number => (typeof level === "number" ? level : level.title);

const gapsText = (longest: number): string => {
  const gaps = [];
  for (let gap = 1; gap < longest; gap *= 2) gaps.push(gap);
  return gaps.length === 0 ? "1 day each time" : `${gaps.join(", ")} and then every ${count(longest, "day")}`;
};
