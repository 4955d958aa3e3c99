/** What other folders of ours may import besides the index. */
export { beatsIn, isBeats } from "./beats.ts";
export { isMetre, metreIn } from "./metre.ts";
