/**
 * Exact time: rational beats, metres, and the printable values of a sounding note.
 *
 * @module time
 */
export type { Beats, BeatsLike } from "./beats.ts";
export {
  addBeats,
  beats,
  beatsOf,
  beatsToNumber,
  compareBeats,
  divideBeats,
  equalBeats,
  floorBeats,
  formatBeats,
  minBeats,
  multiplyBeats,
  subtractBeats,
  ZERO,
} from "./beats.ts";
export type { BarPosition, Metre, MetreName } from "./metre.ts";
export {
  barLength,
  barPosition,
  barStart,
  formatMetre,
  isCompound,
  metre,
  parseMetre,
  pulseLength,
  pulseTime,
} from "./metre.ts";
export type { MetreChange } from "./metres.ts";
export type { NotatedPiece, NotateOptions, NoteType, NoteValue, Tuplet } from "./notate.ts";
export { notate, valueLength } from "./notate.ts";
