/** What other folders may use of this one, beside its index: the ways in for rows, and what they must be, and what is not checked again. */
export { chordLaidOut } from "./lay-out.ts";
export { compingRow, compingRowSchema, pickupRow, pickupRowSchema } from "./row.ts";
