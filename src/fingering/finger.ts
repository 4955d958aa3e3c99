import type { NoteEvent } from "../event/index.ts";
import type { Pitch, PitchName } from "../pitch/index.ts";
import type { Fingering } from "./fingering.ts";
import type { LineFingering } from "./line.ts";
import type { FingeringOptions, LineFingeringOptions } from "./options.ts";
import { lineOptions, passageOptions, requireOptions } from "./shape.ts";
import { solveOpen, solveRanked } from "./solve.ts";
import { isInTime, taskOf } from "./task.ts";

/**
 * The best fingering of notes played one after the other: an exact optimum of the sum of all rules.
 *
 * Among fingerings of equal cost the one with the lower finger at the first note where they differ is given. The time
 * taken grows with the number of notes and nothing else. Intervals beyond two octaves count as two octaves.
 *
 * Pitches and names that are given a tempo are quarter notes in time. Notes in time may rest, leap, repeat and carry grace notes; a rest of a quarter note or more frees the hand, and notes
 * closer than about a seventh of a second count as fast. Chords among them are fingered by themselves (`fingerChord`).
 * Speed and wide spans strain a hand: warm up, take breaks, stop at pain, and ask a teacher or a clinician.
 *
 * Source: Parncutt, R., Sloboda, J. A., Clarke, E. F., Raekallio, M. & Desain, P. (1997). An ergonomic model of keyboard
 * fingering for melodic fragments. Music Perception 14(4), 341–382; the added rules name their own.
 *
 * @param notes - pitches in the order in which they are played, their names in one text, or events in time
 * @throws MusicError `fingering/notes` when there is no note, `fingering/hand` for no hand, `fingering/fixed` when a
 *   settled finger is no finger or names no note, `fingering/rule` when a rule is unknown or its weight no whole number;
 *   for events also `fingering/order`, `fingering/tempo`, `fingering/slides` and what `fingerChord` throws
 *
 * @example
 * ```ts
 * import { beats, fingerPassage, parsePitch } from "hands-together";
 *
 * fingerPassage("C4 D4 E4 F4 G4 A4 B4 C5", { hand: "right" }).fingers; // => [1, 2, 3, 1, 2, 3, 4, 5]
 *
 * const slide = { pitch: parsePitch("Eb4"), style: "slide" as const };
 * const events = [{ at: beats(0), duration: beats(1), pitches: [parsePitch("E4")], graces: [slide] }];
 * fingerPassage(events, { hand: "right" }).slides[0]?.oneFinger; // => true
 * ```
 */
export function fingerPassage(notes: readonly (Pitch | PitchName)[] | string, options: FingeringOptions): Fingering;
export function fingerPassage(
  notes: readonly (Pitch | PitchName)[] | string | readonly NoteEvent[],
  options: LineFingeringOptions,
): LineFingering;
export function fingerPassage(
  notes: readonly (Pitch | PitchName)[] | string | readonly NoteEvent[],
  options: FingeringOptions | LineFingeringOptions,
): Fingering | LineFingering {
  requireOptions(isInTime(notes, options) ? lineOptions : passageOptions, options);
  const { model, passage, cyclic, answer } = taskOf(notes, options);
  return answer((cyclic ? solveRanked(model, passage, 1, true)[0] : undefined) ?? solveOpen(model, passage));
}
