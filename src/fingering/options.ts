import type { Finger, Hand } from "../event/index.ts";
import type { Scale } from "../scale/index.ts";
import type { FingeringRuleOptions } from "./rule-set.ts";

/** What {@link fingerPassage} is asked. */
export interface FingeringOptions extends FingeringRuleOptions {
  /** Which hand plays. */
  readonly hand: Hand;
  /** Fingers that are settled, by index of the note, as in `{ 0: 2 }` for "start on 2". @defaultValue none */
  readonly fixed?: Readonly<Record<number, Finger>> | undefined;
  /** Whether the passage repeats without end, its last note leading to its first. @defaultValue `false` */
  readonly loop?: boolean | undefined;
  /**
   * The scale that the passage is an exercise on: its notes keep the fingers that the scale has by itself, unless the hand would
   * have to leap. `false` for none. @defaultValue recognised, where the notes are nothing but whole octaves of a scale or arpeggio
   */
  readonly scale?: Scale | string | false | undefined;
  /** Fingers that rest or can't play. @defaultValue none */
  readonly resting?: readonly Finger[] | undefined;
  /** Whether figures that come back at once, as they were or on other degrees, share their fingers. @defaultValue `true` */
  readonly sequences?: boolean | undefined;
  /** Whether every note is explained. @defaultValue `false` */
  readonly explain?: boolean | undefined;
}

/** What {@link fingerPassage} is asked about notes in time. */
export interface LineFingeringOptions extends Omit<FingeringOptions, "loop"> {
  /** Quarter notes a minute. @defaultValue 120 */
  readonly tempo?: number | undefined;
  /** The tempo that is practised for, in quarter notes a minute: its fingers hold at every tempo on the way. @defaultValue `tempo` */
  readonly goal?: number | undefined;
  /**
   * How a slide is played: one finger where the keys allow it (a black key to the white one beside it), else two; or two
   * neighbouring fingers, 2 and 3 or 3 and 4. @defaultValue `"one-finger"`
   */
  readonly slides?: "one-finger" | "2-3" | "3-4" | undefined;
  /** Whether fingers already written on the events stay. @defaultValue `false` */
  readonly keepWritten?: boolean | undefined;
}

/** What {@link fingerAlternatives} is asked. */
export interface FingeringAlternativesOptions extends LineFingeringOptions {
  /**
   * How they differ: each sets the hand anew at other places than all before it, or by any finger.
   * @defaultValue `"positions"`; `"fingers"` for a passage that repeats without end
   */
  readonly differ?: "positions" | "fingers" | undefined;
  /** Whether the passage repeats without end, its last note leading to its first; pitches only. @defaultValue `false` */
  readonly loop?: boolean | undefined;
  /** How many fingerings at most. @defaultValue 3 */
  readonly count?: number | undefined;
}
