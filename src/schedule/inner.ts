/** What other folders of ours may import besides the index. */
export { turnNotes } from "./turn.ts";
