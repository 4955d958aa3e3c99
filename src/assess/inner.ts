/** What other folders of ours may import besides the index. */
export type { Asked } from "./align/asked.ts";
export { askedNotes } from "./align/asked.ts";
export { APART, COST, pitchCost, timeCost } from "./align/cost.ts";
export type { PricedShift, Shift } from "./align/shift.ts";
export { SHIFTS } from "./align/shift.ts";
export { checkScore } from "./shapes.ts";
