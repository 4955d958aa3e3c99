/**
 * Pictures: a piano keyboard with fingers and turns, a scale in twelve keys, a line's contour, a take's timing, an improvised line, as SVG.
 *
 * @module picture
 */
export type { ContourPictureOptions } from "./contour-picture.ts";
export { contourPicture } from "./contour-picture.ts";
export type { TwelveKeysPictureOptions } from "./keys-picture.ts";
export { twelveKeysPicture } from "./keys-picture.ts";
export type { LinePictureOptions } from "./line-picture.ts";
export { linePicture } from "./line-picture.ts";
export type { KeyboardPictureOptions } from "./picture.ts";
export { keyboardPicture } from "./picture.ts";
export type { KeyMark, PictureSubject } from "./subject.ts";
export type { TakePictureOptions } from "./take-picture.ts";
export { takePicture } from "./take-picture.ts";
export type { TimingPictureOptions } from "./timing-picture.ts";
export { timingPicture } from "./timing-picture.ts";
