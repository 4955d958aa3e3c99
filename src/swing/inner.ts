/** What other folders of ours may import besides the index. */
export { isFeelRow } from "./catalogue.ts";
export { isFeel } from "./feel.ts";
export { sounded } from "./sounding.ts";
