/** What other folders may use of this one, beside its index: the ways in for rows, and what they must be, and what is not checked again. */
export { drawnOver } from "./along.ts";
export { chordLaidOut } from "./lay-out.ts";
export type { LeftHandRow } from "./row.ts";
export {
  compingMannerRow,
  compingMannerRowSchema,
  compingRow,
  compingRowSchema,
  isManner,
  leftHandRow,
  pickupRow,
  pickupRowSchema,
} from "./row.ts";
