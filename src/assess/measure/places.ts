import type { Finger, Hand } from "../../event/index.ts";
import { fingerPassage } from "../../fingering/index.ts";
import { known, nth } from "../../ground/list.ts";
import { parsePitch } from "../../pitch/index.ts";
import type { AlignedNote } from "../align/align.ts";
import type { Asked } from "../align/asked.ts";
import type { Take } from "./model.ts";
import { notesOf } from "./model.ts";

/** What makes a note hard to reach: how the hand comes to it. */
export type Difficulty = "thumb-under" | "cross-over" | "leap";

/** One moment of a hand as the score asks for it. */
export interface Place {
  readonly asked: readonly Asked[];
  /** How the hand comes to it, if that is hard. */
  readonly difficulty?: Difficulty;
}

// Wider than a fifth the hand travels.
const LEAP = 7;

/** Moments of a hand in order, each with what makes it hard: by the score's fingers, or for a bare line by the best ones. */
export const placesOf = (take: Take, hand: Hand): readonly Place[] => {
  const own = laidOut.get(take) ?? {};
  laidOut.set(take, own);
  own[hand] ??= layOut(take, hand);
  return own[hand];
};

// Fingering a bare line costs more than all else that is measured: once a take is enough.
const laidOut = new WeakMap<Take, { right?: readonly Place[]; left?: readonly Place[] }>();

const layOut = (take: Take, hand: Hand): readonly Place[] => {
  const groups: Asked[][] = [];
  for (const note of take.asked) {
    if (note.hand !== hand || note.grace) continue;
    const last = groups.at(-1);
    if (last !== undefined && nth(last, 0).sounds === note.sounds) last.push(note);
    else groups.push([note]);
  }
  const fingers = fingersOf(groups, hand);
  return groups.map((asked, i): Place => {
    const before = groups[i - 1];
    const difficulty = before === undefined ? undefined : difficultyOf(hand, before, asked, fingers[i - 1], fingers[i]);
    return difficulty === undefined ? { asked } : { asked, difficulty };
  });
};

const fingersOf = (groups: readonly (readonly Asked[])[], hand: Hand): readonly (Finger | undefined)[] => {
  const own = groups.map((group) => (group.length === 1 ? nth(group, 0).finger : undefined));
  const bare =
    groups.length > 1 && groups.every((group) => group.length === 1) && own.every((finger) => finger === undefined);
  return bare
    ? fingerPassage(
        groups.map(([note]) => parsePitch(known(note).pitch)),
        { hand },
      ).fingers
    : own;
};

const difficultyOf = (
  hand: Hand,
  before: readonly Asked[],
  now: readonly Asked[],
  from: Finger | undefined,
  to: Finger | undefined,
): Difficulty | undefined => {
  const last = nth(before, -1);
  const first = nth(now, 0);
  const rest = first.sounds - last.sounds - last.lasts;
  const outward = (first.midi - last.midi) * (hand === "right" ? 1 : -1);
  // A rest of a beat frees the hand.
  if (from !== undefined && to !== undefined && rest < 1) {
    if (to === 1 && from !== 1 && outward > 0) return "thumb-under";
    if (from === 1 && to !== 1 && outward < 0) return "cross-over";
  }
  const nearest = Math.min(...before.flatMap((a) => now.map((b) => Math.abs(a.midi - b.midi))));
  return nearest > LEAP ? "leap" : undefined;
};

/** A slip, at the index of the place where it happened. */
export interface Slip {
  readonly note: AlignedNote;
  readonly place: number;
}

/** Wrong and missed notes at their own places, extra ones at the last place that had begun. */
export const slipsOf = (take: Take, hand: Hand, places: readonly Place[]): readonly Slip[] => {
  const index = new Map<number, number>();
  places.forEach(({ asked }, i) => asked.forEach((note) => index.set(note.index, i)));
  const startOf = (i: number): number => known(places[i]?.asked[0]?.sounds);
  return notesOf(take, hand).flatMap((note): readonly Slip[] => {
    if (note.state === "right") return [];
    if (note.asked !== undefined) {
      const place = index.get(note.asked);
      return place === undefined ? [] : [{ note, place }];
    }
    let [low, high] = [0, places.length - 1];
    while (low < high) {
      const middle = (low + high + 1) >> 1;
      if (startOf(middle) <= known(note.heard) + 0.05) low = middle;
      else high = middle - 1;
    }
    return places.length === 0 ? [] : [{ note, place: low }];
  });
};
