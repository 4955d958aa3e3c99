/** What other folders of ours may import besides the index. */

export { chartOf, chartSchema } from "./chart.ts";
export { likeliestKey } from "./keys.ts";
export { fromPickup, placeIn } from "./metres.ts";
export { problemIn } from "./play.ts";
export { progressionOf, progressionRow, progressionRowSchema } from "./progression.ts";
export { chordSpanSchema, progressionSchema } from "./shape.ts";
