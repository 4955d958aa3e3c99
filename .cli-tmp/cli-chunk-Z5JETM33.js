import { createRequire as requireFrom } from "node:module"; const require = requireFrom(import.meta.url);
import{i as r}from"./cli-chunk-CCP367BS.js";var i=/\.(?:musicxml|xml|mxl)$/i,o,s=async e=>{e.some(t=>t==="-"||i.test(t.trim()))&&(o??=await import("./cli-musicxml-AUA7AJPY.js"))},a=e=>r(o).readLeadSheet(e);export{i as a,s as b,a as c};
