/** What other folders may use of this one, beside its index: the analysis of what has been checked, and colours alone. */
export type { ChordInContext } from "./analysis.ts";
export { analysisOf, chordScalesIn, coloursIn, contextOf } from "./analysis.ts";
export { formatNumeral } from "./numeral.ts";
export { pedalsOf } from "./pedals.ts";
export { scaleNotes } from "./scales.ts";
