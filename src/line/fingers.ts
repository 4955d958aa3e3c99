import type { NoteEvent } from "../event/index.ts";
import { fingerPassage } from "../fingering/index.ts";
import type { Pitch } from "../pitch/index.ts";

/** A right-hand line with the best finger on every note; a slide shares the finger of its main note. */
export const addFingers = (events: readonly NoteEvent[]): readonly NoteEvent[] => {
  if (events.length === 0) return events;
  const keys = events.flatMap((event): readonly Pitch[] => [
    ...(event.graces ?? []).filter((grace) => grace.style === "crushed").map((grace) => grace.pitch),
    ...event.pitches,
  ]);
  const { fingers } = fingerPassage(keys, { hand: "right" });
  let next = 0;
  const take = () => fingers[next++] as NonNullable<(typeof fingers)[number]>;
  return events.map((event): NoteEvent => {
    const crushed = (event.graces ?? []).map((grace) => (grace.style === "crushed" ? { ...grace, finger: take() } : grace));
    const own = event.pitches.map(take);
    const graces = crushed.map((grace) => (grace.finger === undefined ? { ...grace, finger: own[0] as NonNullable<(typeof own)[0]> } : grace));
    return { ...event, fingers: own, ...(event.graces === undefined ? {} : { graces }) };
  });
};
