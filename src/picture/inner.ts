/** What other folders of ours may import besides the index. */
export { heardShape } from "./line-picture.ts";
export { assessmentShape } from "./take-shape.ts";
