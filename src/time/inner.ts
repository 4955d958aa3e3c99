/** What other folders of ours may import besides the index. */
export { beatsIn, isBeats } from "./beats.ts";
export { isMetre, metreIn } from "./metre.ts";
export type { InMetres, MetreStretch } from "./metres.ts";
export {
  barStartInMetres,
  isMetreChanges,
  metreOfBar,
  metreStretches,
  metresBetween,
  metresOverTurns,
  placeInMetres,
  stretchAt,
} from "./metres.ts";
