/**
 * Assessment: a student's take read against the score, what went well, and what to practise next.
 *
 * @module assess
 */

export type { AlignedNote, Alignment, TakeRun } from "./align.ts";
export { alignTake } from "./align.ts";
export type { AskedNote } from "./asked.ts";
export type { Assessment, AssessOptions, Finding, FindingRow } from "./assess.ts";
export { assessTake, findingCatalogue } from "./assess.ts";
export { formatAssessment, formatImprovisation } from "./format.ts";
export type { Improvisation, ImprovisationOptions } from "./improvisation.ts";
export { assessImprovisation } from "./improvisation.ts";
export type { LinePictureOptions } from "./line-picture.ts";
export { linePicture } from "./line-picture.ts";
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
} from "./measures.ts";
export type { Difficulty } from "./places.ts";
export type { PlayedNote } from "./played.ts";
export type { PracticeRecipe, PracticeStep } from "./practice.ts";
export type { LeftHandHeard, Remark } from "./remarks.ts";
export type { SimulatedTake, SimulateTakeOptions } from "./simulate.ts";
export { simulateTake } from "./simulate.ts";
export type { Estimate, MeasureSwingOptions, SwingMeasurement } from "./swing-measure.ts";
export { measureSwing } from "./swing-measure.ts";
export type { TimingPictureOptions } from "./timing-picture.ts";
export { timingPicture } from "./timing-picture.ts";
export type { TroubleSpot } from "./trouble.ts";
