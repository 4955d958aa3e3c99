/**
 * Bass and drums to play along with.
 *
 * @module backing
 */
export type { ArrangementId, ArrangementRow, ChorusManners } from "./arrangement.ts";
export { arrangementCatalogue } from "./arrangement.ts";
export type { Backing, BackingOptions } from "./backing.ts";
export { makeBacking } from "./backing.ts";
export type { BassLine, BassOptions, BassReason } from "./bass.ts";
export { bassLine } from "./bass.ts";
export type { BassBar, BassId, BassPlay, BassRow, BassTaste } from "./bass-catalogue.ts";
export { bassCatalogue } from "./bass-catalogue.ts";
export type { BackingId, BackingRow } from "./catalogue.ts";
export { backingCatalogue } from "./catalogue.ts";
export type { DrumCell, DrumChoice, DrumHit, DrumId, DrumLayer, DrumRow, DrumSound } from "./drum-catalogue.ts";
export { drumCatalogue, drumKeys } from "./drum-catalogue.ts";
export type { DrumOptions } from "./drums.ts";
export { drumPart } from "./drums.ts";
