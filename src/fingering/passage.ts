import { MusicError } from "../errors.ts";
import type { Finger, Hand } from "../event/index.ts";
import { keyColour } from "../pitch/index.ts";
import type { Pitch } from "../pitch/index.ts";
import type { Crossing, HandPosition } from "./crossings.ts";
import { findCrossings, findPositions, handInterval } from "./crossings.ts";
import { LARGEST_INTERVAL } from "./model.ts";
import type { RuleOptions } from "./rule-set.ts";
import { modelFor } from "./rule-set.ts";
import { solveCyclic, solveOpen } from "./solve.ts";
import type { Passage } from "./solve.ts";
import { costsByRule } from "./cost.ts";

/** What {@link fingerPassage} is asked. */
export interface PassageOptions extends RuleOptions {
  /** Which hand plays. */
  readonly hand: Hand;
  /** Fingers that are settled, by index of the note, as in `{ 0: 2 }` for "start on 2". */
  readonly fixed?: Readonly<Record<number, Finger>>;
  /** Whether the passage repeats without end, its last note leading to its first. @defaultValue `false` */
  readonly cyclic?: boolean;
}

/** One finger a note, and what it costs. */
export interface Fingering {
  readonly kind: "fingering";
  readonly hand: Hand;
  /** The notes in the order in which they are played. */
  readonly pitches: readonly Pitch[];
  /** One finger a note. */
  readonly fingers: readonly Finger[];
  /** Where the hand turns. */
  readonly crossings: readonly Crossing[];
  /** What lies under the hand between crossings. */
  readonly positions: readonly HandPosition[];
  /** The sum of all rules, lowest of all fingerings. */
  readonly cost: number;
  /** The same cost by rule; rules that charge nothing are left out. */
  readonly costByRule: Readonly<Record<string, number>>;
}

const NO_BREAKS: ReadonlySet<number> = new Set();

/** The arrays that the solver reads. */
export const passageOf = (pitches: readonly Pitch[], options: Pick<PassageOptions, "hand" | "fixed">): Passage => {
  const length = pitches.length;
  const passage = {
    length,
    black: new Uint8Array(length),
    moves: new Int8Array(length),
    kinds: new Uint8Array(length),
    allowed: new Uint8Array(length).fill(31),
  };
  for (let i = 0; i < length; i++) {
    const from = pitches[i === 0 ? length - 1 : i - 1] as Pitch;
    const to = pitches[i] as Pitch;
    passage.black[i] = keyColour(to) === "black" ? 1 : 0;
    passage.moves[i] = Math.max(-LARGEST_INTERVAL, Math.min(LARGEST_INTERVAL, handInterval(options.hand, from, to)));
  }
  for (const [index, finger] of Object.entries(options.fixed ?? {})) {
    const i = Number(index);
    if (!Number.isInteger(i) || i < 0 || i >= length || ![1, 2, 3, 4, 5].includes(finger)) {
      throw new MusicError({
        code: "fingering/fixed",
        input: { [index]: finger },
        expected: `fingers 1 to 5 by the index of a note, 0 to ${length - 1}`,
      });
    }
    passage.allowed[i] = 1 << (finger - 1);
  }
  return passage;
};

const requireNotes = (pitches: readonly Pitch[]): void => {
  if (!Array.isArray(pitches) || pitches.length === 0) {
    throw new MusicError({ code: "fingering/notes", input: pitches, expected: "at least one note" });
  }
};

/** Refuses a hand that is no hand. */
export const requireHand = (hand: Hand): void => {
  if (hand !== "left" && hand !== "right") {
    throw new MusicError({ code: "fingering/hand", input: hand, expected: "left or right" });
  }
};

/**
 * The best fingering of notes played one after the other: an exact optimum of the sum of all rules.
 *
 * Among fingerings of equal cost the one with the lower finger at the first note where they differ is given. The time
 * taken grows with the number of notes and nothing else. Intervals beyond two octaves count as two octaves.
 *
 * @param pitches - the notes, in the order in which they are played
 * @throws MusicError `fingering/notes` when there is no note, `fingering/hand` for no hand, `fingering/fixed` when a
 *   settled finger is no finger or names no note, `fingering/rule` when a rule is unknown or its weight no whole number
 *
 * @example
 * ```ts
 * import { fingerPassage, parsePitch } from "hands-together";
 *
 * const scale = ["C4", "D4", "E4", "F4", "G4", "A4", "B4", "C5"].map(parsePitch);
 * fingerPassage(scale, { hand: "right" }).fingers; // => [1, 2, 3, 1, 2, 3, 4, 5]
 * ```
 */
export function fingerPassage(pitches: readonly Pitch[], options: PassageOptions): Fingering {
  requireNotes(pitches);
  requireHand(options.hand);
  const model = modelFor(options);
  const passage = passageOf(pitches, options);
  const cyclic = options.cyclic === true;
  const solution = cyclic ? solveCyclic(model, passage) : solveOpen(model, passage, 0, passage.length);
  const fingers = Array.from(solution.fingers) as Finger[];
  return {
    kind: "fingering",
    hand: options.hand,
    pitches: [...pitches],
    fingers,
    crossings: findCrossings(options.hand, pitches, fingers, NO_BREAKS),
    positions: findPositions(options.hand, pitches, fingers, NO_BREAKS),
    cost: solution.cost,
    costByRule: costsByRule(model, passage, fingers, 0, passage.length, cyclic),
  };
}
