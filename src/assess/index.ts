/**
 * Assessment: a student's take read against the score, what went well, and what to practise next.
 *
 * @module assess
 */

export type { AlignedNote, Alignment, AlignOptions, Attempt, TakeRun } from "./align/align.ts";
export { alignTake } from "./align/align.ts";
export type { AskedNote } from "./align/asked.ts";
export type { PlayedNote } from "./align/played.ts";
export type { Assessment, AssessOptions, Finding, FindingRow } from "./assess.ts";
export { assessTake, findingCatalogue } from "./assess.ts";
export type { PhraseAnswer } from "./improvised/answers.ts";
export type { Improvisation, ImprovisationOptions } from "./improvised/improvisation.ts";
export { assessImprovisation } from "./improvised/improvisation.ts";
export type { LineSound } from "./improvised/line-sound.ts";
export type { NoteOverChord, NoteRole, OverChord } from "./improvised/over-chords.ts";
export type { BandBeat, BandReport } from "./measure/band.ts";
export type {
  AccuracyReport,
  BarReport,
  ChordSpreadReport,
  HandReport,
  HoldingReport,
  SwingReport,
  TempoReport,
  TimingReport,
  TogetherReport,
  TouchReport,
  TripletReport,
} from "./measure/measures.ts";
export type { Difficulty } from "./measure/places.ts";
export type { AccentReport, BalanceReport, LegatoReport, PedalReport } from "./measure/sound.ts";
export type { Estimate, MeasureSwingOptions, SwingMeasurement } from "./measure/swing-measure.ts";
export { measureSwing } from "./measure/swing-measure.ts";
export type { TroubleSpot } from "./measure/trouble.ts";
export { formatAssessment, formatImprovisation } from "./say/format.ts";
export type { PracticeRecipe, PracticeStep } from "./say/practice.ts";
export { practiceScore } from "./say/practice.ts";
export type { LeftHandHeard, Remark } from "./say/remarks.ts";
export type { SimulatedTake, SimulateTakeOptions } from "./simulate.ts";
export { simulateTake } from "./simulate.ts";
