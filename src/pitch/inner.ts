/** What other folders of ours may import besides the index. */
export { intervalOf, isDegree } from "./interval.ts";
export { isKey, keyOf } from "./key.ts";
export { isNoteName, isPair } from "./names.ts";
export { isPitch, pitchOf, readsPitch } from "./pitch.ts";
