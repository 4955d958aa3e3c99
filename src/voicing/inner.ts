/** What other folders may use of this one, beside its index: the ways in for rows, what they must be, and what is not checked again. */
export { STYLES } from "./form.ts";
export type { Dress } from "./match.ts";
export { voicingRow, voicingRowSchema, voicingStyleSchema, voicingStylesSchema } from "./row.ts";
export { chordSchema, namedPitchesSchema, noteSchema, pitchesSchema, pitchSchema, voicingSchema } from "./shape.ts";
export type { Placement, Voiced, Voicer } from "./voicings.ts";
export { bassOf, bassOptionsSchema, chordGiven, isForBothHands, optionFields, voicerOf } from "./voicings.ts";
