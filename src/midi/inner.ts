/** What other folders of ours may import besides the index. */
export { COUNT_IN } from "./catalogue.ts";
