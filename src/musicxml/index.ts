/**
 * MusicXML 4.0: written from a score for print, and read back.
 *
 * @module musicxml
 */

export type { MusicXmlHarmony, MusicXmlHarmonyDegree } from "./chord.ts";
export { musicXmlHarmony } from "./chord.ts";
export type { PrintedFingers } from "./fingers.ts";
export { readLeadSheet } from "./lead-sheet.ts";
export { writeMxl } from "./mxl.ts";
export type { MusicXmlNoteIdOptions } from "./notes.ts";
export { musicXmlNoteId } from "./notes.ts";
export type { NumeralsOf } from "./numerals.ts";
export { readMusicXml } from "./read.ts";
export type { LeftAs } from "./strokes.ts";
export type { MusicXmlOptions } from "./write.ts";
export { writeMusicXml } from "./write.ts";
export type { LeadSheetOptions } from "./write-lead-sheet.ts";
export { writeLeadSheet } from "./write-lead-sheet.ts";
