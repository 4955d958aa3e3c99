import { known, nth } from "../ground/list.ts";
/** One key in one drill slot of a practice day. */
export interface KeyVisit<Key> {
  readonly key: Key;
  readonly weak: boolean;
  /** The how-manieth practice day with this key, from 1. */
  readonly visit: number;
  /** Practice days since the one before with this key; absent on the first. */
  readonly gap?: number;
}

/** How many weak keys a day has room for: half its keys, rounded up, so that the round of the others goes on. */
export const roomForWeakKeys = (keys: number, slots: number): number => Math.ceil(Math.min(keys, slots) / 2);

/**
 * The longest gap that a weak key's returns grow to, in practice days: the most whole days that are still less than a plain round
 * of all keys takes, and at least one.
 */
export const longestGap = (keys: number, slots: number): number => Math.max(1, Math.ceil(keys / slots) - 1);

/**
 * Which key fills each drill slot of each day.
 *
 * Weak keys come on the first day and return after 1, 2, 4, 8 … practice days, never more than {@link longestGap}; what is left goes
 * to the other keys in their order, round after round. A day with more slots than keys starts over: weak keys, then the round.
 */
export const keysByDay = <Key>(
  strong: readonly Key[],
  weak: readonly Key[],
  days: number,
  slots: number,
): KeyVisit<Key>[][] => {
  const count = strong.length + weak.length;
  const longest = longestGap(count, slots);
  const due = weak.map(() => ({ day: 0, gap: 1 }));
  const seen = new Map<Key, { visit: number; day: number; gap?: number }>();
  let next = 0;
  const visitOf = (key: Key, isWeak: boolean, day: number): KeyVisit<Key> => {
    const last = seen.get(key);
    if (last === undefined) seen.set(key, { visit: 1, day });
    else if (last.day < day) seen.set(key, { visit: last.visit + 1, day, gap: day - last.day });
    const { visit, gap } = known(seen.get(key));
    return { key, weak: isWeak, visit, ...(gap === undefined ? {} : { gap }) };
  };
  return Array.from({ length: days }, (_, day) => {
    const row: KeyVisit<Key>[] = [];
    while (row.length < slots) {
      const room = Math.min(count, slots - row.length);
      const firstTime = row.length === 0;
      const returning = weak.filter((_key, i) => !firstTime || nth(due, i).day === day).slice(0, room);
      if (firstTime) {
        for (const entry of due.filter((candidate) => candidate.day === day)) {
          entry.day += entry.gap;
          entry.gap = Math.min(2 * entry.gap, longest);
        }
      }
      row.push(...returning.map((key) => visitOf(key, true, day)));
      for (let i = returning.length; i < room && strong.length > 0; i++)
        row.push(visitOf(nth(strong, next++ % strong.length), false, day));
    }
    return row;
  });
};
