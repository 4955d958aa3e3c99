import { nth } from "../ground/list.ts";
import { partsOfDay } from "../plan/inner.ts";
import { dayAfter } from "./dates.ts";
import type { WeekDay, WeekDrill } from "./document.ts";

const A_DRILL = 5;
const WARM_UP = 3;
const BREAK_AFTER = 20;
const BREAK = 5;

/** How a day of so many minutes is spent; one drill is always among it. */
const dayParts = (minutesADay: number): readonly ("warm-up" | "break" | "drill")[] => {
  const warmUpMinutes = Math.min(WARM_UP, minutesADay - A_DRILL);
  return partsOfDay({
    minutesADay,
    warmUpMinutes,
    minutesADrill: A_DRILL,
    breakAfter: BREAK_AFTER,
    breakMinutes: BREAK,
  });
};

/** How many drills a week has room for, each at least once. */
export const roomForDrills = (minutesADay: number, daysAWeek: number): number =>
  dayParts(minutesADay).filter((part) => part === "drill").length * daysAWeek;

// On which practice days, from 0, a drill is wanted: what is new every day, spots and weak keys in growing gaps, what is known once.
const WANTED: Readonly<Record<WeekDrill["part"], readonly number[]>> = {
  new: [0, 1, 2, 3, 4, 5, 6],
  pinned: [0, 2, 4, 6],
  "trouble-spot": [0, 1, 3],
  "weak-key": [0, 1, 3, 6],
  "going-on": [0, 2, 3, 5],
  rested: [1, 4],
};

/** The drills of a week over its days: each at least once, none twice on a day, first those whose day it is. */
export const spreadOverDays = (
  drills: readonly Pick<WeekDrill, "id" | "part">[],
  start: string,
  minutesADay: number,
  daysAWeek: number,
): readonly WeekDay[] => {
  const parts = dayParts(minutesADay);
  const slots = parts.filter((part) => part === "drill").length;
  const days: string[][] = Array.from({ length: daysAWeek }, () => []);
  const put = (day: number, id: string): boolean => {
    const here = days[day];
    if (here === undefined || here.length >= slots || here.includes(id)) return false;
    here.push(id);
    return true;
  };
  const all = days.map((_, day) => day);
  for (const { id, part } of drills) [...WANTED[part], ...all].some((day) => put(day, id));
  for (let turn = 1; turn < 7; turn++)
    for (const { id, part } of drills) {
      const day = WANTED[part][turn];
      if (day !== undefined) put(day, id);
    }
  // What room is left goes to what is being learnt.
  for (const day of all) for (const { id, part } of drills) if (part === "new" || part === "going-on") put(day, id);
  const order = new Map(drills.map(({ id }, place) => [id, place]));
  return days.map((ids, i): WeekDay => {
    const queue = [...ids].sort((a, b) => (order.get(a) ?? 0) - (order.get(b) ?? 0));
    const items: WeekDay["items"][number][] = [];
    for (const part of parts) {
      if (part === "warm-up") items.push({ kind: part, minutes: Math.min(WARM_UP, minutesADay - A_DRILL) });
      else if (queue.length === 0) break;
      else if (part === "break") items.push({ kind: part, minutes: BREAK });
      else items.push({ kind: part, minutes: A_DRILL, drill: nth(queue.splice(0, 1), 0) });
    }
    return {
      day: i + 1,
      date: dayAfter(start, Math.floor((i * 7) / daysAWeek)),
      minutes: items.reduce((sum, { minutes }) => sum + minutes, 0),
      items,
    };
  });
};
