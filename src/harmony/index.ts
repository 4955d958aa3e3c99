/**
 * Harmony: the key of the moment, function, scale and colour of each chord of a progression.
 *
 * @module harmony
 */
export type { AnalysedChord, Cadence, ChordScale, HarmonicAnalysis, KeyRegion, TwoFive } from "./analysis.ts";
export { analyseHarmony, chordScales } from "./analysis.ts";
export type { ColourId, ColourRow } from "./colours.ts";
export { colourCatalogue } from "./colours.ts";
export type { HarmonicFunction } from "./function.ts";
export type { NumeralMark } from "./marks.ts";
export { numeralMarks } from "./marks.ts";
export type { Pedal } from "./pedals.ts";
export type { ReadableProgression, Respelling } from "./readable.ts";
export { readableProgression } from "./readable.ts";
export type { ChordScaleId, ChordScaleRow } from "./scales.ts";
export { chordScaleCatalogue } from "./scales.ts";
