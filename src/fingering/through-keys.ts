import type { Finger, Hand } from "../event/index.ts";
import { MusicError } from "../ground/errors.ts";
import type { NoteName, Pitch, PitchName } from "../pitch/index.ts";
import { intervalBetween, parseNote, pitchAtOrAbove, pitchInOctave, transpose } from "../pitch/index.ts";
import { twelveKeys } from "../scale/index.ts";
import type { Fingering } from "./fingering.ts";
import { sequenceRole } from "./model.ts";
import type { FingeringRuleOptions } from "./rule-set.ts";
import { sharedFingers } from "./sequence.ts";
import { keysOptions, pitchesOf, requireHand, requireOptions } from "./shape.ts";
import { pitchesAnswer, pitchesTask } from "./single.ts";
import { solveOpen } from "./solve.ts";

/** What {@link fingerThroughKeys} is asked. */
export interface FingerThroughKeysOptions extends FingeringRuleOptions {
  /** Which hand plays. */
  readonly hand: Hand;
  /** The tonic of the key that the notes are in. @defaultValue `"C"` */
  readonly key?: NoteName | string | undefined;
  /** The tonics to play it in. @defaultValue all twelve by fourths, from C */
  readonly keys?: readonly (NoteName | string)[] | undefined;
  /** Fingers that are settled in every key, by index of the note. @defaultValue none */
  readonly fixed?: Readonly<Record<number, Finger>> | undefined;
  /** Fingers that rest or can't play. @defaultValue none */
  readonly resting?: readonly Finger[] | undefined;
}

/** A passage in one of the keys. */
export interface FingeringInKey extends Fingering {
  /** The tonic. */
  readonly key: NoteName;
}

/** A passage in several keys, with the fingers that it has in all that allow them. */
export interface FingeringThroughKeys {
  readonly kind: "fingering-through-keys";
  /** One finger a note: those that cost least when every key takes them. */
  readonly shared: readonly Finger[];
  /** In each key, within a tritone of where it was given; its remarks tell where it departs, and which key of the keyboard forces it. */
  readonly keys: readonly FingeringInKey[];
}

const MOST_KEYS = 30;
const MOST_NOTES = 1000;

/**
 * One fingering for a lick or motif through the keys, and where a key makes it depart.
 *
 * The shared fingers are the exact optimum of all keys together; then each key is fingered by itself, with a charge for every note that leaves them, so
 * that it departs only where that pays, and says so: "F♯ forces 2 here, 1 elsewhere in the sequence".
 *
 * Source: ours; that a pattern keeps its fingers from key to key is common practice.
 *
 * @param notes - two notes or more one after the other, or their names
 * @throws MusicError `fingering/notes`, `fingering/hand`, `fingering/fixed`, `fingering/rule` as `fingerPassage`; `fingering/keys` for no key or more than 30;
 *   and what `parseNote` throws
 *
 * @example
 * ```ts
 * import { fingerThroughKeys } from "hands-together/fingering";
 *
 * const lick = fingerThroughKeys("C4 D4 E4 G4", { hand: "right" });
 * lick.shared; // => [1, 2, 3, 5]
 * lick.keys.map(({ key }) => key).slice(0, 4); // => ["C", "F", "Bb", "Eb"]
 * lick.keys.filter(({ remarks }) => remarks.length === 0).length >= 7; // => true
 * ```
 */
export function fingerThroughKeys(
  notes: readonly (Pitch | PitchName)[] | string,
  options: FingerThroughKeysOptions,
): FingeringThroughKeys {
  requireOptions(keysOptions, options);
  const pitches = pitchesOf(notes);
  const { hand, key = "C", keys: asked, ...rules } = options;
  requireHand(hand);
  if (pitches.length < 2 || pitches.length > MOST_NOTES) {
    throw new MusicError({
      code: "fingering/notes",
      input: pitches.length,
      expected: `two notes or more, at most ${MOST_NOTES}`,
    });
  }
  const home = parseNote(key);
  const keys = keysIn(asked);
  const tasks = keys.map((tonic) => {
    const there = inKey(pitches, home, tonic);
    return { tonic, pitches: there, ...pitchesTask(there, { ...rules, hand, scale: false, sequences: false }) };
  });
  const [first] = tasks;
  if (first === undefined) throw noKeys(asked);
  const shared = sharedFingers(
    first.model,
    tasks.map(({ passage }) => passage),
    { from: 0, size: pitches.length, times: 1 },
  );
  return {
    kind: "fingering-through-keys",
    shared,
    keys: tasks.map(({ tonic, ...task }) => {
      task.passage.role.set(shared.map((finger) => sequenceRole(finger, true)));
      const way = solveOpen(task.model, task.passage);
      return { ...pitchesAnswer(task.pitches, { ...rules, hand }, task, way), key: tonic };
    }),
  };
}

const noKeys = (input: unknown): MusicError =>
  new MusicError({ code: "fingering/keys", input, expected: `1 to ${MOST_KEYS} tonics, such as ["C", "F"]` });

const keysIn = (asked: unknown): readonly NoteName[] => {
  if (asked === undefined) return twelveKeys();
  if (!Array.isArray(asked) || asked.length === 0 || asked.length > MOST_KEYS) throw noKeys(asked);
  return asked.map(parseNote);
};

const TRITONE = 6;

// The tonic above or below that is nearer; a tritone goes up.
const inKey = (pitches: readonly Pitch[], home: NoteName, tonic: NoteName): readonly Pitch[] => {
  const from = pitchInOctave(home, 4);
  const above = pitchAtOrAbove(tonic, from);
  const to = above.semitones - from.semitones <= TRITONE ? above : pitchInOctaveBelow(above);
  const by = intervalBetween(from, to);
  return pitches.map((pitch) => transpose(pitch, by));
};

const pitchInOctaveBelow = (p: Pitch): Pitch => ({ ...p, steps: p.steps - 7, semitones: p.semitones - 12 });
