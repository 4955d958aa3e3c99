/** What other folders may use of this one, beside its index: the analysis of what has been checked. */
export { analysisOf } from "./analysis.ts";
