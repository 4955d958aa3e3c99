import { createRequire as requireFrom } from "node:module"; const require = requireFrom(import.meta.url);
function s(t){let e=[];for(let r of t)r.forEach((n,a)=>{e[a]=Math.max(e[a]??0,i(n))});let o=e.map((r,n)=>t.slice(1).every(a=>/^-?\d*$/.test(a[n]??"")));return t.map(r=>r.map((n,a)=>{let m=" ".repeat(e[a]-i(n));return o[a]?m+n:n+m}).join("  ").trimEnd()).join(`
`)}var i=t=>[...t].length;function d(t){let e=(t[0]??[]).map((o,r)=>Math.max(...t.map(n=>i(n[r]??""))));return t.map(o=>o.map((r,n)=>r+" ".repeat(e[n]-i(r))).join("  ").trimEnd()).join(`
`)}export{s as a,d as b};
