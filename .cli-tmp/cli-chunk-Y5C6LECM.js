import { createRequire as requireFrom } from "node:module"; const require = requireFrom(import.meta.url);
