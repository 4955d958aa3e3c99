import { createRequire as requireFrom } from "node:module"; const require = requireFrom(import.meta.url);
import{f as c}from"./cli-chunk-CCP367BS.js";var w=n=>n.reason==="cannot-be-done"?1:2,l=1e3,y=n=>{try{let r=typeof n=="string"?n:JSON.stringify(n);return r===void 0?String(n):r.length>l?`${r.slice(0,l)}...`:n}catch{return Object.prototype.toString.call(n)}},h=({code:n,input:r,expected:o,hint:e,reason:s})=>({error:{code:n,input:y(r),expected:o,...e===void 0?{}:{hint:e},reason:s}}),g=2e4,p=n=>{if(n.length<=g)return n;throw new c({code:"cli/long",input:n,expected:`at most ${g} characters at once, not ${n.length}`})};async function S(n,r,o,e){let s=({json:i,text:t,guesses:a=[]})=>{let m=a.length>0&&typeof i=="object"?{...i,guesses:a}:i;if(o.write(r||n==="-"?`${JSON.stringify(m)}
`:`${t}
`),!r&&n!=="-")for(let u of a)o.complain(`Taken for granted: ${u}
`)};if(n!=="-")return s(await e(p(n))),0;let d=0,f=x(o.readStdin());if(f.length===0)throw new c({code:"cli/stdin",input:"",expected:"at least one line on standard input"});for(let i of f)try{s(await e(p(i)))}catch(t){if(!(t instanceof c))throw t;d||=w(t),o.write(`${JSON.stringify(h(t))}
`),o.complain(`${t.message}
`)}return d}var x=n=>n.split(/\r?\n/).map(r=>r.trim()).filter(r=>r!=="");export{w as a,S as b};
