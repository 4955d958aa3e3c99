/**
 * Pages to print and to play: handouts, books of them, and the index of a packet.
 *
 * @module handout
 */
export type { AssessmentPageOptions } from "./assessment-page.ts";
export { assessmentPage, improvisationPage } from "./assessment-page.ts";
export type { BookChapter, BookOptions } from "./book.ts";
export { bookPage } from "./book.ts";
export type { Engrave, EngravingPaper } from "./engraved.ts";
export type { HandoutOptions } from "./handout.ts";
export { handoutPage } from "./handout.ts";
export type { PacketEntry } from "./packet-index.ts";
export { packetPage } from "./packet-index.ts";
export type { SystemPictureOptions } from "./systems.ts";
export { systemPictures } from "./systems.ts";
