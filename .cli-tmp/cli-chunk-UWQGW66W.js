import { createRequire as requireFrom } from "node:module"; const require = requireFrom(import.meta.url);
var a="Playing can hurt: stop at any pain, warm up, take breaks. No span or tempo is safe for every hand; ask a teacher or a clinician.";export{a};
