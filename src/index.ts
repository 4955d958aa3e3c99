/**
 * hands-together: two-hand jazz-piano practice material, computed.
 *
 * What an app or a script needs stands here; the rest of each folder is on its subpath, as in `hands-together/pitch`.
 *
 * @packageDocumentation
 */

export type { Assessment, Improvisation } from "./assess/index.ts";
export {
  alignTake,
  assessImprovisation,
  assessTake,
  formatAssessment,
  formatImprovisation,
  simulateTake,
} from "./assess/index.ts";
export { backingCatalogue, bassLine, drumPart, makeBacking } from "./backing/index.ts";
export type { Chord } from "./chord/index.ts";
export { formatChord, parseChord, transposeChord } from "./chord/index.ts";
export type { CompingRow } from "./comping/index.ts";
export { comp, compingCatalogue, layOutChord, pickupCatalogue } from "./comping/index.ts";
export type { Drill } from "./drill/index.ts";
export { CAUTION, drillKeys, makeDrill, packetDrills } from "./drill/index.ts";
export type { Finger, Hand, NoteEvent, TimeSpan } from "./event/index.ts";
export type { Fingering } from "./fingering/index.ts";
export {
  fingerAlternatives,
  fingerChord,
  fingeringRuleCatalogue,
  fingerPassage,
  fingerScale,
  formatFingering,
} from "./fingering/index.ts";
export type { ErrorArea, MusicErrorCode, MusicErrorDetails, MusicErrorReason } from "./ground/errors.ts";
export { isMusicError, MusicError } from "./ground/errors.ts";
export { assessmentPage, handoutPage, improvisationPage, packetPage } from "./handout/index.ts";
export type { ExerciseRow, GeneratedLine, Line, PhraseRuleRow } from "./line/index.ts";
export {
  checkLine,
  exerciseCatalogue,
  exerciseLine,
  formatForm,
  generateLine,
  phraseRuleCatalogue,
} from "./line/index.ts";
export { notatePerformance, readMidi, writeMidi } from "./midi/index.ts";
export { readMusicXml, writeMusicXml } from "./musicxml/index.ts";
export { keyboardPicture } from "./picture/index.ts";
export type { Degree, Interval, Key, KeyMode, NoteName, Pitch, PitchName } from "./pitch/index.ts";
export {
  formatPitch,
  interval,
  midiNumber,
  noteName,
  parseKey,
  parseNote,
  parsePitch,
  pitch,
  pitchFromMidi,
  pitchName,
  transpose,
} from "./pitch/index.ts";
export type { PracticePlan } from "./plan/index.ts";
export { formatPracticePlan, makePracticePlan, writePracticeCalendar } from "./plan/index.ts";
export type { Chart, ChordSpan, Progression } from "./progression/index.ts";
export {
  formatChart,
  parseChart,
  parseProgression,
  progressionCatalogue,
  transposeProgression,
} from "./progression/index.ts";
export type { DrillRecipe, PacketRecipe, PlanRecipe } from "./recipe/index.ts";
export {
  drillsOfLevel,
  levelCatalogue,
  parseDrillRecipe,
  parsePacketRecipe,
  parsePlanRecipe,
  recipeHash,
} from "./recipe/index.ts";
export type { Scale } from "./scale/index.ts";
export { parseScale, scale, scaleCatalogue, scalePitches, twelveKeys } from "./scale/index.ts";
export type { Score, ScoreJson, SoundingNote } from "./score/index.ts";
export { makeScore, scoreFromJson, scoreToJson, soundingNotes } from "./score/index.ts";
export type { Feel } from "./swing/index.ts";
export { feelAtTempo, feelCatalogue, parseFeel, straight, swungFeel } from "./swing/index.ts";
export type { Beats, Metre } from "./time/index.ts";
export { addBeats, beats, beatsToNumber, compareBeats, formatBeats, metre, parseMetre } from "./time/index.ts";
export type { VoicedProgression } from "./voice-leading/index.ts";
export { smoothestPath, voiceLeading, voiceProgression } from "./voice-leading/index.ts";
export type { Voicing, VoicingRow } from "./voicing/index.ts";
export { voicingCatalogue, voicingsFor } from "./voicing/index.ts";
