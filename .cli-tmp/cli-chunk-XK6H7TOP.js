import { createRequire as requireFrom } from "node:module"; const require = requireFrom(import.meta.url);
import{ca as t}from"./cli-chunk-XLXYBXPT.js";var d={"-3":"bbb","-2":"bb","-1":"b",0:"",1:"#",2:"##",3:"###"},o=(i,e,r)=>{let n=d[e??"0"];return n===void 0?void 0:t(`${i}${n}${r}`)};export{o as a};
