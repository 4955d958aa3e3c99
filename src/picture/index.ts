/**
 * Pictures: a piano keyboard with fingers and turns, as SVG.
 *
 * @module picture
 */
export type { KeyboardPictureOptions } from "./picture.ts";
export { keyboardPicture } from "./picture.ts";
export type { KeyMark, PictureSubject } from "./subject.ts";
