/** What other folders of this library use beside the index. */

export { chartEntry, dayShape, notebookSchema, takeEntry, weekShape, wishEntry } from "./document.ts";
