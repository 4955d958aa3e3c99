import { turnNotes } from "../schedule/inner.ts";
import type { Score, TouchId, TouchRow } from "../score/index.ts";
import { writtenScore } from "../score/inner.ts";
import type { ScorePart } from "../swing/index.ts";
import { addBeats, barLength, beatsToNumber, pulseLength } from "../time/index.ts";
import { barStartInMetres } from "../time/inner.ts";

/** A note as the page's player takes it; times in sounding beats from the first bar line. */
export interface PlayerNote {
  readonly at: number;
  readonly duration: number;
  readonly midi: number;
  readonly velocity: number;
  /** Ids of the engraved notes to light. */
  readonly ids: readonly string[];
}

/** What the page's player plays. */
export interface PlayerTracks {
  /** Beats before bar 1. */
  readonly lead: number;
  readonly barLength: number;
  /** Where bars start, and where the last one ends. */
  readonly bars: readonly number[];
  /** For each bar the place of the drawn bar among all that are drawn, from 0. */
  readonly drawn: readonly number[];
  /** The clicks of a count-in bar, from its start. */
  readonly clicks: readonly number[];
  readonly tracks: Readonly<Record<ScorePart, readonly PlayerNote[]>>;
  /** What is called and answered: phrases in whole bars, or two bars each where no phrases are told. */
  readonly phrases: readonly { readonly from: number; readonly to: number }[];
}

/** A score for the page's player. */
export const playerTracks = (score: Score, touch: TouchId | TouchRow): PlayerTracks => {
  const { bars: onPaper } = writtenScore(score);
  const pulse = beatsToNumber(pulseLength(score.metre));
  const length = beatsToNumber(barLength(score.metre));
  const part = (name: ScorePart): readonly PlayerNote[] =>
    turnNotes(score, [name], { touch }).map(({ at, lasts, midi, velocity, engraved }) => ({
      at: rounded(at),
      duration: rounded(lasts),
      midi,
      velocity,
      ids: engraved.map(({ id }) => id),
    }));
  const bars = Array.from({ length: score.bars + 1 }, (_, i) => beatsToNumber(barStartInMetres(score, i + 1)));
  return {
    lead: beatsToNumber(score.pickup),
    barLength: length,
    bars,
    drawn: onPaper.map((bar) => bar - 1 + (score.pickup.num > 0 ? 1 : 0)),
    clicks: Array.from({ length: Math.round(length / pulse) }, (_, i) => i * pulse),
    tracks: { right: part("right"), left: part("left"), bass: part("bass"), drums: part("drums") },
    phrases: calls(score, bars),
  };
};

const calls = (score: Score, bars: readonly number[]): readonly { readonly from: number; readonly to: number }[] => {
  const end = bars.at(-1) ?? 0;
  const phrases = (score.phrases ?? []).map(({ at, duration }) => ({
    from: bars.findLast((bar) => bar <= beatsToNumber(at)) ?? 0,
    to: bars.find((bar) => bar >= beatsToNumber(addBeats(at, duration))) ?? end,
  }));
  const stretches =
    phrases.length > 0
      ? phrases
      : Array.from({ length: Math.ceil(score.bars / 2) }, (_, i) => ({
          from: bars[2 * i] ?? 0,
          to: bars[2 * (i + 1)] ?? end,
        }));
  // A bar in which one phrase ends and the next begins belongs to the first of them.
  const apart: { from: number; to: number }[] = [];
  for (const { from, to } of stretches) {
    const start = Math.max(from, apart.at(-1)?.to ?? 0);
    if (to > start) apart.push({ from: start, to });
  }
  return apart;
};

// A microbeat: far below hearing, and the page stays small.
const rounded = (n: number): number => Math.round(n * 1e6) / 1e6;
