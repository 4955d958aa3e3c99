/** What other folders of ours may import besides the index. */
export { chordOf, isChord } from "./chord.ts";
