/**
 * Scores: two hands in exact time, with chord symbols and what plays along; what every writer reads.
 *
 * @module score
 */

export type { TransposeScoreOptions } from "./change.ts";
export { sliceScore, transposeScore } from "./change.ts";
export { scoreFromJson, scoreToJson } from "./json.ts";
export { layOutScore } from "./layout.ts";
export type { SoundingNote, SoundingOptions } from "./performance.ts";
export { DEFAULT_VELOCITY, soundingNotes } from "./performance.ts";
export type {
  BeamState,
  LaidOutBar,
  LaidOutNote,
  LaidOutPiece,
  LaidOutRest,
  LaidOutSpace,
  LaidOutVoice,
  TupletEdge,
} from "./pieces.ts";
export type { DrumEvent, PitchedPart, Score, ScoreInput } from "./score.ts";
export { makeScore, scoreEnd } from "./score.ts";
export type {
  ChordJson,
  DrumJson,
  FeelJson,
  GraceJson,
  NoteJson,
  PartFeelJson,
  RatioJson,
  ScoreJson,
  TimeSpanJson,
} from "./shape.ts";
export type { PartTouch, TouchId, TouchRow } from "./touch.ts";
export { touchCatalogue } from "./touch.ts";
