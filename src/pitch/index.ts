/**
 * Spelled pitches and intervals: the one pitch model that every other module speaks.
 *
 * @module pitch
 */

export type { Degree, Interval, IntervalName } from "./interval.ts";
export {
  addIntervals,
  degreeInterval,
  interval,
  intervalName,
  invert,
  negate,
  parseInterval,
  simple,
} from "./interval.ts";
export type { Key, KeyMode } from "./key.ts";
export {
  fifthsOf,
  keyName,
  noteInterval,
  parseKey,
  parseNote,
  pitchClassOf,
  signatureNotes,
  spellInKey,
  transposeNote,
} from "./key.ts";
export type { Accidental, Letter, NoteName, Octave, PitchName } from "./names.ts";
export type { KeyColour, Pitch } from "./pitch.ts";
export {
  alterationOf,
  comparePitches,
  formatPitch,
  intervalBetween,
  keyColour,
  letterOf,
  midiNumber,
  noteName,
  octaveOf,
  parsePitch,
  pitch,
  pitchAtOrAbove,
  pitchFromMidi,
  pitchInOctave,
  pitchName,
  respell,
  transpose,
} from "./pitch.ts";
