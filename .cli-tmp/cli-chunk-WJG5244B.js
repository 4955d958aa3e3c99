import { createRequire as requireFrom } from "node:module"; const require = requireFrom(import.meta.url);
import{A as e,a as r}from"./cli-chunk-NIN2SAXL.js";var s=()=>`
Named progressions: ${r.map(o=>o.id).join(", ")}`.replace(/(.{1,78})(?: |$)/g,`$1
`).trimEnd(),t=()=>`a swing ratio, or ${e.map(o=>o.id).join(", ")}`;export{s as a,t as b};
