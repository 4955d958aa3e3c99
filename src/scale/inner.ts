/** What other folders of ours may import besides the index. */
export { isScaleRow, scaleRow, scaleRowSchema } from "./row.ts";
export { isScale } from "./scale.ts";
