/** What other folders of ours may import besides the index. */

export { chartOf, chartSchema } from "./chart.ts";
export { isWrittenForm } from "./form-shape.ts";
export { likeliestKey } from "./keys.ts";
export { fromPickup, placeIn } from "./metres.ts";
export { orderOf, problemIn, signProblem } from "./play.ts";
export { progressionOf, progressionRow, progressionRowSchema } from "./progression.ts";
export { chordSpanSchema, progressionSchema } from "./shape.ts";
