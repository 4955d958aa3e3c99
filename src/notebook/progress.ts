import { message } from "./book.ts";
import { dayAfter, daysBetween } from "./dates.ts";
import type { MessageData, Notebook, NotebookTake, PracticeWeek } from "./document.ts";
import type { EvidenceOptions, SkillTake } from "./evidence.ts";
import { rowsOf, skillTakes, statesOf, tempoShown } from "./evidence.ts";
import { weeksOf } from "./student.ts";

const MOST = 3;
const STEADIER = 0.85;
const MORE_RIGHT = 0.03;

export const median = (values: readonly number[]): number | undefined =>
  values.length === 0 ? undefined : [...values].sort((a, b) => a - b)[Math.floor(values.length / 2)];

const mean = (values: readonly number[]): number => values.reduce((sum, value) => sum + value, 0) / values.length;

/** The spread of a take's hands about the beat. */
export const spreadsOf = ({ measures }: NotebookTake): readonly number[] =>
  measures.flatMap(({ spreadMs = [] }) => spreadMs);

/** The takes since the last week was given, and those before it. */
const sinceLastWeek = (
  notebook: Notebook,
  takes: readonly SkillTake[],
  week: Pick<PracticeWeek, "start">,
): { readonly now: readonly SkillTake[]; readonly before: readonly SkillTake[] } => {
  const start = weeksOf(notebook).findLast((one) => one.start < week.start)?.start ?? dayAfter(week.start, -7);
  return {
    now: takes.filter(({ at }) => daysBetween(start, at) >= 0),
    before: takes.filter(({ at }) => daysBetween(start, at) < 0),
  };
};

/** What got better since the week before: three things at most, the weightiest first. */
export const betterOf = (
  notebook: Notebook,
  week: Pick<PracticeWeek, "start">,
  skills: EvidenceOptions["skills"],
): readonly MessageData[] => {
  const rows = rowsOf(skills);
  const takes = skillTakes(notebook, rows);
  const { now, before } = sinceLastWeek(notebook, takes, week);
  if (now.length === 0) return [];
  const known = (some: readonly SkillTake[]): ReadonlySet<string> =>
    new Set(
      statesOf(notebook, rows, some, week.start)
        .filter(({ state }) => state === "known")
        .map(({ skill }) => skill),
    );
  const knewBefore = known(before);
  const learnt = [...known(takes)]
    .filter((skill) => !knewBefore.has(skill))
    .map((skill) => message("better.known", { skill }));
  const highest = (some: readonly SkillTake[], skill: string): number | undefined => {
    const tempos = some.filter((take) => take.skill === skill && take.clean && take.whole).map(tempoShown);
    return tempos.length === 0 ? undefined : Math.round(Math.max(...tempos));
  };
  const faster = [...new Set(now.flatMap(({ skill = [] }) => skill))].flatMap((skill): MessageData[] => {
    const [tempo, was] = [highest(now, skill), highest(before, skill)];
    if (tempo === undefined) return [];
    if (was !== undefined) return tempo > was ? [message("better.tempo", { skill, tempo, before: was })] : [];
    return before.some((take) => take.skill === skill) ? [message("better.first-clean", { skill })] : [];
  });
  const cleanIn = (some: readonly SkillTake[]): ReadonlySet<string> =>
    new Set(some.filter(({ clean }) => clean).map(({ key }) => key));
  const keysBefore = cleanIn(before);
  const keys =
    before.length === 0
      ? []
      : [...cleanIn(now)].filter((key) => !keysBefore.has(key)).map((key) => message("better.key", { key }));
  return [
    ...learnt,
    ...faster,
    ...keys,
    ...measured(now, before),
    message("better.takes", { takes: now.length }),
  ].slice(0, MOST);
};

const measured = (now: readonly SkillTake[], before: readonly SkillTake[]): readonly MessageData[] => {
  if (before.length === 0) return [];
  const share = (some: readonly SkillTake[]): number => mean(some.map(({ accuracy }) => accuracy));
  const [after, was] = [share(now), share(before)];
  const [even, evenBefore] = [median(now.flatMap(spreadsOf)), median(before.flatMap(spreadsOf))];
  return [
    ...(after - was >= MORE_RIGHT
      ? [message("better.right", { after: Math.round(100 * after), before: Math.round(100 * was) })]
      : []),
    ...(even !== undefined && evenBefore !== undefined && even < STEADIER * evenBefore
      ? [message("better.even", { after: Math.round(even), before: Math.round(evenBefore) })]
      : []),
  ];
};

/** What to look after: what was found most since the week before, three things at most, each with what to do and where. */
export const thingsOf = (
  notebook: Notebook,
  week: Pick<PracticeWeek, "start">,
  skills: EvidenceOptions["skills"],
): readonly MessageData[] => {
  const { now } = sinceLastWeek(notebook, skillTakes(notebook, rowsOf(skills)), week);
  const found = new Map<string, { weight: number; heaviest: number; bars: readonly number[]; title: string }>();
  for (const { findings, title } of now)
    for (const { id, weight, bars } of findings) {
      const sofar = found.get(id);
      if (sofar === undefined) found.set(id, { weight, heaviest: weight, bars, title });
      else {
        sofar.weight += weight;
        if (weight > sofar.heaviest) Object.assign(sofar, { heaviest: weight, bars, title });
      }
    }
  return [...found]
    .sort(([, a], [, b]) => b.weight - a.weight)
    .slice(0, MOST)
    .map(([id, { bars, title }]) =>
      message(`do.${id}`, {
        title: title === "" ? "–" : title,
        ...(bars.length > 0 && bars.length <= 4 && { bars: bars.join(", ") }),
      }),
    );
};
