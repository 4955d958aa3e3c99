/** What other folders of this library use beside the index. */

export {
  barsAfter,
  changesOf,
  compingOf,
  drillRecipeSchema,
  idOfRow,
  MOST_BARS,
  MOST_CHORDS,
  scaleOf,
  spanOf,
  stylesOf,
  tonicAtEnd,
} from "./drill.ts";
export { documentFields, field, idOf, idOrRow, listOf, plainDocument, readBy, whole } from "./field.ts";
export type { Flag } from "./flags.ts";
export { flagsOf } from "./flags.ts";
export { canonicalJson, shortHash } from "./identity.ts";
export { rightHandShape } from "./levels.ts";
export { modeOf, packetRecipeSchema, tonic as tonicShape } from "./packet.ts";
export { planRecipeSchema, recipeForAnyKeyShape } from "./plan.ts";
export { readDocument } from "./read.ts";
export { rightHandOf } from "./right-hand.ts";
