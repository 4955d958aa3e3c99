/**
 * Voicings: a catalogue of forms, and every way to place them for a chord.
 *
 * @module voicing
 */

export { voicingCatalogue } from "./catalogue.ts";
export type { ChordPattern, ChordRole, FullVoicing, HandGroup, Register, VoicingRow, VoicingStyle } from "./form.ts";
export type { LowIntervalBreach, LowIntervalLimit, LowIntervalOptions } from "./limits.ts";
export { lowIntervalBreaches, lowIntervalLimits } from "./limits.ts";
export type { VoicingStyles } from "./row.ts";
export type { Voicing, VoicingWarning } from "./voicing.ts";
export type { PitchRange, VoicingOptions } from "./voicings.ts";
export { bassNote, voicingsFor } from "./voicings.ts";
