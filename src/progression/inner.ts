/** What other folders of ours may import besides the index. */

export { chartSchema } from "./chart.ts";
export { keysOf } from "./keys.ts";
export { progressionOf, progressionRow, progressionRowSchema } from "./progression.ts";
export { chordSpanSchema, progressionSchema } from "./shape.ts";
