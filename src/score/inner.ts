/** What other folders of ours may import besides the index. */
export { feelShape, isFinger, keyShape, metreShape } from "./check.ts";
export { notateIn } from "./layout.ts";
export { checkScore } from "./score.ts";
export { SHAPES, scoreDocumentSchema } from "./shape.ts";
export { touchRow, touchRowSchema } from "./touch.ts";
export type { WrittenScore } from "./written.ts";
export { sectionsPlayed, stretchesIn, writtenOut, writtenScore } from "./written.ts";
