import type { AlignedNote, Alignment } from "../../src/assess/align/align.ts";
import type { Asked } from "../../src/assess/align/asked.ts";
import type { Take } from "../../src/assess/measure/model.ts";
import type { Beats } from "../all.ts";
import { beatsToNumber, formatBeats, makeScore, metre, parseKey } from "../all.ts";

/** One asked note in 4/4: an eighth on middle C in the right hand, unless told otherwise. */
export const askedNote = (given: Partial<Asked> & { readonly at: Beats }): Asked => {
  const at = beatsToNumber(given.at);
  return {
    index: 0,
    hand: "right",
    event: given.index ?? 0,
    pitch: "C4",
    midi: 60,
    grace: false,
    bar: Math.floor(at / 4) + 1,
    beat: formatBeats(given.at),
    sounds: at,
    lasts: 0.5,
    velocity: 80,
    ...given,
  };
};

/** Every asked note played right, in time. */
export const allRight = (asked: readonly Asked[]): readonly AlignedNote[] =>
  asked.map(({ index, hand, sounds }) => ({
    state: "right",
    run: 0,
    hand,
    asked: index,
    played: index,
    offMs: 0,
    heard: sounds,
    lasted: 0.5,
  }));

/** A whole take with both hands, once through bars 1 to 4, every note right. */
export const alignmentOf = (asked: readonly Asked[], given: Partial<Alignment> = {}): Alignment => ({
  kind: "alignment",
  asked,
  notes: allRight(asked),
  runs: [],
  leftOut: [],
  shift: { right: 0, left: 0 },
  cost: 0,
  attempt: {
    hands: "both",
    bars: { from: 1, to: 4 },
    whole: true,
    times: 1,
    countIn: 0,
    aside: [],
    doubled: 0,
    clicks: 0,
    ornaments: 0,
  },
  ...given,
});

/** A take laid out for measuring, of which nothing is measured yet. */
export const takeLaidOut = (asked: readonly Asked[], given: Partial<Take> = {}): Take => ({
  score: makeScore({ key: parseKey("C"), metre: metre("4/4"), bars: 8 }),
  asked,
  alignment: alignmentOf(asked),
  pairs: { right: [], left: [] },
  struck: [],
  moments: { right: [], left: [] },
  step: 1,
  pace: 0.5,
  ...given,
});
