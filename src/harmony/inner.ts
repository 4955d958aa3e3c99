/** What other folders may use of this one, beside its index: the analysis of what has been checked, and colours alone. */
export { analysisOf, coloursIn } from "./analysis.ts";
export { formatNumeral } from "./numeral.ts";
export { pedalsOf } from "./pedals.ts";
