/** What other folders of ours may import besides the index. */
export { arrangementRow, arrangementRowSchema } from "./arrangement.ts";
export { backingOver } from "./backing.ts";
export { bassRow } from "./bass-catalogue.ts";
export { backingRow, backingRowSchema } from "./catalogue.ts";
export { drumRow } from "./drum-catalogue.ts";
