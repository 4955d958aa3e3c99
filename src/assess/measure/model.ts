import type { Hand } from "../../event/index.ts";
import { known, nth } from "../../ground/list.ts";
import type { Score } from "../../score/index.ts";
import type { AlignedNote, Alignment } from "../align/align.ts";
import { clockStep, mean } from "../align/align.ts";
import type { Asked } from "../align/asked.ts";
import { askedNotes } from "../align/asked.ts";
import { median } from "../align/clock.ts";
import type { PlayedNote } from "../align/played.ts";

/** A right note with what was asked and what was played. */
export interface Pair {
  readonly asked: Asked;
  readonly played: PlayedNote;
  readonly run: number;
  /** Milliseconds late by the player's clock. */
  readonly off: number;
  /** Quarter notes by the player's clock. */
  readonly heard: number;
  readonly lasted: number;
}

/** Right notes of one hand at one moment of one run, grace notes aside. */
export interface Moment {
  readonly hand: Hand;
  readonly run: number;
  readonly sounds: number;
  readonly pairs: readonly Pair[];
  /** Means over the keys. */
  readonly off: number;
  readonly heard: number;
}

/** A take laid out for measuring. */
export interface Take {
  readonly score: Score;
  readonly alignment: Alignment;
  readonly asked: readonly Asked[];
  readonly pairs: Readonly<Record<Hand, readonly Pair[]>>;
  /** MIDI note numbers of the take as it was given. */
  readonly struck: readonly number[];
  /** In order of run and time. */
  readonly moments: Readonly<Record<Hand, readonly Moment[]>>;
  /** The pulse in quarter notes. */
  readonly step: number;
  /** Seconds a quarter note that the player usually took. */
  readonly pace: number;
}

export const HANDS = ["right", "left"] as const;

export const takeOf = (
  score: Score,
  alignment: Alignment,
  played: readonly PlayedNote[],
  asked: readonly Asked[] = askedNotes(score),
): Take => {
  const pairsOf = (hand: Hand): readonly Pair[] =>
    alignment.notes
      .filter((note) => note.state === "right" && note.hand === hand)
      .map(
        (note): Pair => ({
          asked: nth(asked, known(note.asked)),
          played: nth(played, known(note.played)),
          run: note.run,
          off: known(note.offMs),
          heard: known(note.heard),
          lasted: known(note.lasted),
        }),
      );
  const pairs = { right: pairsOf("right"), left: pairsOf("left") };
  const tempos = alignment.runs.flatMap((run) => run.tempos.map(({ tempo }) => tempo));
  return {
    score,
    alignment,
    asked,
    pairs,
    struck: played.map(({ midi }) => midi),
    moments: { right: momentsOf("right", pairs.right), left: momentsOf("left", pairs.left) },
    step: clockStep(score),
    pace: 60 / (tempos.length === 0 ? score.tempo : median(tempos)),
  };
};

const momentsOf = (hand: Hand, pairs: readonly Pair[]): readonly Moment[] => {
  const groups = new Map<string, Pair[]>();
  for (const pair of pairs) {
    if (pair.asked.grace) continue;
    const key = `${pair.run} ${pair.asked.sounds}`;
    const group = groups.get(key);
    if (group === undefined) groups.set(key, [pair]);
    else group.push(pair);
  }
  return [...groups.values()]
    .map((group): Moment => {
      const { run, asked } = nth(group, 0);
      return {
        hand,
        run,
        sounds: asked.sounds,
        pairs: group,
        off: mean(group.map((p) => p.off)),
        heard: mean(group.map((p) => p.heard)),
      };
    })
    .sort((a, b) => a.run - b.run || a.sounds - b.sounds);
};

/** Spread about the median, outliers aside: 1.4826 times the median distance, which is the standard deviation of a normal spread. */
export const spreadOf = (values: readonly number[]): number => {
  const middle = median(values);
  return 1.4826 * median(values.map((value) => Math.abs(value - middle)));
};

export const notesOf = (take: Take, hand: Hand): readonly AlignedNote[] =>
  take.alignment.notes.filter((note) => note.hand === hand);

/** A figure for people and JSON: rounded to so many decimals, so that nothing looks more exact than it is. */
export const rounded = (value: number, decimals = 1): number => Number(value.toFixed(decimals)) + 0;
