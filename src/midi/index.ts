/**
 * Standard MIDI Files: written from a score as it sounds, and read into notes in seconds.
 *
 * @module midi
 */

export type { MidiLeadSheetOptions } from "./lead-sheet.ts";
export { midiLeadSheet } from "./lead-sheet.ts";
export type { NotatePerformanceOptions } from "./notate.ts";
export { notatePerformance } from "./notate.ts";
export type { MidiMetre, MidiPerformance, MidiTrack, PerformedNote } from "./read.ts";
export { readMidi } from "./read.ts";
export type { TempoChange } from "./tempo.ts";
export type { MidiOptions } from "./write.ts";
export { TICKS_PER_QUARTER, writeMidi } from "./write.ts";
