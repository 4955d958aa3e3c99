/**
 * Chord symbols: read, spelled, named and moved.
 *
 * @module chord
 */
export type { Chord, ChordTone } from "./chord.ts";
export { formatChord, parseChord, transposeChord } from "./chord.ts";
export { degreeOver, formatDegree } from "./degree.ts";
export type { ChordQuality } from "./name.ts";
