/** What other folders of this library use beside the index. */

export { notebookSchema } from "./document.ts";
