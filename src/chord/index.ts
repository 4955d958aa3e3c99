/**
 * Chord symbols: read, spelled, named, moved and handed to notation.
 *
 * @module chord
 */
export type { Chord, ChordTone } from "./chord.ts";
export { formatChord, parseChord, transposeChord } from "./chord.ts";
export { degreeOver, formatDegree } from "./degree.ts";
export type { MusicXmlHarmony, MusicXmlHarmonyDegree } from "./musicxml.ts";
export { musicXmlHarmony } from "./musicxml.ts";
export type { ChordQuality } from "./name.ts";
