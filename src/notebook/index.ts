/**
 * Notebooks: a student's takes as evidence, and the week of practice that follows from it.
 *
 * @module notebook
 */

export type { SkillPath, SkillRow } from "./catalogue.ts";
export { skillCatalogue } from "./catalogue.ts";
export type { ChallengeDrill, ChallengePageOptions, WeeklyChallenge } from "./challenge.ts";
export { challengePage, challengeResults, weeklyChallenge } from "./challenge.ts";
export type {
  ClassKey,
  ClassOverview,
  ClassOverviewOptions,
  ClassPageOptions,
  ClassSkill,
  ClassStudent,
} from "./class.ts";
export { classOverview, classPage, writeClassCsv } from "./class.ts";
export { recipeDifficulty } from "./difficulty.ts";
export type {
  DrillCosts,
  MessageData,
  NewStudent,
  Notebook,
  NotebookChart,
  NotebookEntry,
  NotebookStudent,
  NotebookTake,
  NotebookWeek,
  NotebookWish,
  PracticeWeek,
  WeekDay,
  WeekDrill,
} from "./document.ts";
export { addEntry, makeNotebook, mergeNotebooks, readNotebook, writeNotebook } from "./document.ts";
export type { EvidenceOptions, KeyState, SkillState } from "./evidence.ts";
export { notebookKeys, notebookSkills } from "./evidence.ts";
export type { WeekPageOptions } from "./pages.ts";
export { studentPage, teacherPage } from "./pages.ts";
export type { NotebookPictureOptions } from "./pictures.ts";
export { evennessPicture, keysPicture, swingPicture, tempoPicture } from "./pictures.ts";
export type { WeekPlanOptions } from "./plan.ts";
export { weekPlan } from "./plan.ts";
export type { Student } from "./student.ts";
export { notebookStudent } from "./student.ts";
export type { HeardTake, HearTakeOptions } from "./take.ts";
export { hearTake } from "./take.ts";
export type { NextWeekOptions } from "./week.ts";
export { nextWeek } from "./week.ts";
export type { WordsRow } from "./words/index.ts";
export { sayIn, wordsCatalogue } from "./words/index.ts";
