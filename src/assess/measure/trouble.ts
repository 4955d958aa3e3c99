import type { Hand } from "../../event/index.ts";
import { nth } from "../../ground/list.ts";
import type { Take } from "./model.ts";
import { HANDS, notesOf } from "./model.ts";
import type { Difficulty, Place, Slip } from "./places.ts";
import { placesOf, slipsOf } from "./places.ts";

/** Slips that belong together: by what is hard where they lie, or by the bar. */
export interface TroubleSpot {
  readonly hand: Hand;
  /** How the hand comes to the notes where the slips lie; absent for slips that only share a bar. */
  readonly difficulty?: Difficulty;
  /** Slips that lie there. */
  readonly slips: number;
  /** All slips of that hand. */
  readonly of: number;
  /** Where they lie, in order. */
  readonly places: readonly { readonly bar: number; readonly beat: string; readonly pitch: string }[];
  /** The bars in order, each once. */
  readonly bars: readonly number[];
}

const FEWEST = 3;
const FEWEST_IN_BAR = 2;
const SHARE_IN_BAR = 0.4;
// At least half of the slips, and twice what chance would put there.
const SHARE = 0.5;
const OVER_CHANCE = 2;

/** The trouble spots of both hands: what they have in common first, then bars with several slips. */
export const troubleSpots = (take: Take): readonly TroubleSpot[] =>
  HANDS.flatMap((hand) => {
    if (notesOf(take, hand).every((note) => note.state === "right")) return [];
    const places = placesOf(take, hand);
    const slips = slipsOf(take, hand, places);
    return [...byDifficulty(hand, places, slips), ...byBar(hand, places, slips)];
  });

const spot = (
  hand: Hand,
  places: readonly Place[],
  own: readonly Slip[],
  all: number,
  difficulty?: Difficulty,
): TroubleSpot => {
  const where = [...new Set(own.map((slip) => slip.place))]
    .sort((a, b) => a - b)
    .map((place) => {
      const { bar, beat, pitch } = nth(nth(places, place).asked, 0);
      return { bar, beat, pitch };
    });
  return {
    hand,
    ...(difficulty === undefined ? {} : { difficulty }),
    slips: own.length,
    of: all,
    places: where,
    bars: [...new Set(where.map(({ bar }) => bar))],
  };
};

const byDifficulty = (hand: Hand, places: readonly Place[], slips: readonly Slip[]): readonly TroubleSpot[] => {
  return (["thumb-under", "cross-over", "leap"] as const).flatMap((difficulty) => {
    // The note that the hand turns or leaps onto, and the one after it.
    const near = (place: number): boolean =>
      nth(places, place).difficulty === difficulty || places[place - 1]?.difficulty === difficulty;
    const own = slips.filter((slip) => near(slip.place));
    const chance = places.filter((_, i) => near(i)).length / places.length;
    const telling =
      own.length >= FEWEST && own.length >= SHARE * slips.length && own.length >= OVER_CHANCE * chance * slips.length;
    return telling ? [spot(hand, places, own, slips.length, difficulty)] : [];
  });
};

const byBar = (hand: Hand, places: readonly Place[], slips: readonly Slip[]): readonly TroubleSpot[] => {
  const bars = new Map<number, Slip[]>();
  for (const slip of slips) {
    const bar = nth(nth(places, slip.place).asked, 0).bar;
    bars.set(bar, [...(bars.get(bar) ?? []), slip]);
  }
  return [...bars]
    .filter(([, own]) => own.length >= Math.max(FEWEST_IN_BAR, SHARE_IN_BAR * slips.length))
    .sort((a, b) => b[1].length - a[1].length || a[0] - b[0])
    .map(([, own]) => spot(hand, places, own, slips.length));
};
