/** What other folders of ours may import besides the index. */
export { exerciseDataSchema, exerciseRow, exerciseRowSchema } from "./catalogue.ts";
export { phraseRuleRow, phraseRuleRowSchema } from "./rules/index.ts";
export { vocabularyRow, vocabularyRowSchema } from "./vocabulary.ts";
