import { createRequire as requireFrom } from "node:module"; const require = requireFrom(import.meta.url);
import{h as xn,i as wn}from"./cli-chunk-E66GSZFU.js";import{h as vn}from"./cli-chunk-QJIAAVBC.js";import{c as g,d as A,e as we,f as Mt,g as mn}from"./cli-chunk-BTLTZNAX.js";import{a as ln,f as ge,g as Fe,q as cn,x as dn}from"./cli-chunk-EMMNZZLP.js";import{a as Pe}from"./cli-chunk-UWQGW66W.js";import{d as pn}from"./cli-chunk-2C4ZUDTL.js";import{a as gn}from"./cli-chunk-MUJL6VTI.js";import{b as un,d as hn,g as fn}from"./cli-chunk-XPSIDRUL.js";import{D as an,z as sn}from"./cli-chunk-NIN2SAXL.js";import{d as Ce,f as en}from"./cli-chunk-L7DYDDKV.js";import{i as bn,p as yn}from"./cli-chunk-GHOBP3IS.js";import{F as on,c as tn,f as nn,o as j,u as it,w as Ae}from"./cli-chunk-M2P2W5B7.js";import{$ as ot,A as E,B as Q,D as W,Da as rn,F as B,I as rt,J as kt,M as $,O as U,P as Jt,S as N,T as te,_ as Zt,a as tt,c as xe,d as Ve,f as _,g as ie,h as Ne,ha as st,i as le,ia as at,ja as J,k as Xt,ka as $t,q as k,r as nt,ua as Qt,w as fe,x as y,z}from"./cli-chunk-XLXYBXPT.js";import{f as et,h as V,i as Yt}from"./cli-chunk-CCP367BS.js";var re=(e,t,n,r,a)=>A("line",{x1:e,y1:t,x2:n,y2:r,...a}),D=(e,t,n,r={})=>we(n,{x:e,y:t,...r}),ce=(e,t)=>E($(z(),le(e),ie(t))),He=(e,{width:t,height:n},r,a,o,i)=>[A("svg",{xmlns:"http://www.w3.org/2000/svg",role:"img","aria-labelledby":`${e}-title ${e}-desc`,viewBox:`0 0 ${Math.round(t*100)/100} ${Math.round(n*100)/100}`,width:t,height:n,"font-family":"sans-serif","font-size":13}).replace(/\/>$/,">"),`<title id="${e}-title">${g(r)}</title>`,`<desc id="${e}-desc">${g(a)}</desc>`,A("rect",{width:t,height:n,fill:"#fff"}),D(8,o,r,{"font-size":16}),...i,"</svg>",""].join(`
`);var kn=4,St=6,We=44,xr=16,$n=40,Mn=22,wr=44,_e=e=>String(Math.round(e*10)/10),kr=4e5,Ot=U(e=>tn(e)&&Math.abs(e.num/e.den)<=kr,"a moment in exact beats"),Sn={at:Ot,duration:Ot},$r=k(U(ot,"a pitch")),ze=$(B(),_(1e4)),Mr=y({text:ze,how:ze,about:ze,places:k(y({bar:z(),beat:E(Ot)}))}),lt=y({kind:fe("improvisation"),title:ze,praise:ze,heard:k(ze),line:$(k(y({...Sn,pitches:$r})),Ne(1)),phrases:k(y(Sn)),say:k(Mr)}),Sr=W({barsInRow:ce(1,16),width:ce(300,4e3)});function Tt(e,t,n={}){N(lt,e,"picture/argument"),ge(t,"picture/argument"),N(Sr,n,"picture/argument");let r=Math.floor(n.barsInRow??4),a=n.width??900,o=j(it(t.metre)),i=j(Ae(t.metre)),s=e.line.map(p=>({from:j(p.at),to:j(p.at)+j(p.duration),keys:p.pitches.map($t)})),c=s.flatMap(p=>p.keys),[l,d]=[Math.min(...c),Math.max(...c)],m=(d-l)*kn+2*St,u=Mn+m+wr,h=Math.floor(Math.min(0,...s.map(p=>p.from))/o),f=Math.max(t.bars,Math.ceil(Math.max(...s.map(p=>p.to))/o))-h,w=Math.ceil(f/r),M=(a-We-xr)/(r*o),P=p=>$n+p*u+Mn,L=(p,S)=>{let O=r*o,[q,G]=[p-h*o,S-h*o],F=Math.max(0,Math.floor(q/O));return Array.from({length:Math.max(0,Math.min(w,Math.ceil(G/O))-F)},(K,ee)=>{let oe=F+ee;return{row:oe,x1:We+(Math.max(q,oe*O)-oe*O)*M,x2:We+(Math.min(G,(oe+1)*O)-oe*O)*M}})},R=[];for(let p=0;p<w;p++){let S=Math.min(r,f-p*r);for(let O=0;O<=S;O++){let q=We+O*o*M;R.push(re(q,P(p),q,P(p)+m,{stroke:"#777","stroke-width":.8}))}for(let O=0;O<S;O++)R.push(D(We+O*o*M+3,P(p)+m+38,String(h+p*r+O+1),{"font-size":10,fill:"#555"}))}for(let p of t.chords){let[S]=L(j(p.at),j(p.at)+j(p.duration)),O=p.chord===void 0?"N.C.":Ce(p.chord);S!==void 0&&R.push(D(S.x1+3,P(S.row)-8,O,{"font-size":12}))}for(let{from:p,to:S,keys:O}of s)for(let{row:q,x1:G,x2:F}of L(p,S))for(let K of O)R.push(A("rect",{x:G,y:P(q)+St/2+(d-K)*kn,width:Math.max(2,F-G-1.5),height:St}));for(let p of e.phrases){let S=j(p.at);for(let{row:O,x1:q,x2:G}of L(S,S+j(p.duration))){let F=P(O)+m+4,K=`M${_e(q)} ${_e(F)}Q${_e((q+G)/2)} ${_e(F+10)} ${_e(G)} ${_e(F)}`;R.push(A("path",{d:K,fill:"none",stroke:"#000"}))}}e.say.forEach(({about:p,places:S},O)=>{if(p==="line")for(let{bar:q,beat:G}of S){let F=(q-1)*o+(G===void 0?0:j(G)-1)*i,[K]=L(F,F+1e-6);if(K===void 0)continue;let[ee,oe]=[K.x1+4,P(K.row)+m];R.push(A("circle",{cx:ee,cy:oe+20,r:7,fill:"#fff",stroke:"#000"}),D(ee,oe+23.5,String(O+1),{"font-size":10,"text-anchor":"middle"}))}});let Y=$n+w*u+8,ue=e.title===""?"The line as it was heard":`The line as it was heard: ${e.title}`,X=new Map(e.line.flatMap(p=>p.pitches).map(p=>[$t(p),J(p)])),[Ee,v]=[e.line.length,e.phrases.length],C=[`${Ee} ${Ee===1?"note":"notes"} in ${v} ${v===1?"phrase":"phrases"}, from ${X.get(l)} to ${X.get(d)}.`,...e.say.filter(({about:p})=>p==="line").map(p=>p.text)].join(" ");return He("line",{width:a,height:Y},ue,C,22,R)}var be={width:36,height:150},dt={width:22,height:94},On=[!1,!0,!1,!0,!1,!1,!0,!1,!0,!1,!0,!1],Or={1:-1,3:1,6:-1.4,8:0,10:1.4},Ue=(e,t)=>(e%t+t)%t,ke=e=>On[Ue(e,12)]===!0,ct=e=>{let t=Ue(e,12);return Math.floor(e/12)*7+On.slice(0,t).filter(n=>!n).length},Tn=(e,t)=>{let n=e;for(;![0,5].includes(Ue(n,12));)n--;let r=t;for(;![4,11].includes(Ue(r,12));)r++;return{low:n,high:r}},Et=(e,{low:t})=>{let n=ct(e)-ct(t);return ke(e)?n*be.width-dt.width/2+(Or[Ue(e,12)]??0)*be.width/10:n*be.width},De=(e,t)=>Et(e,t)+(ke(e)?dt.width:be.width)/2,En=({low:e,high:t})=>(ct(t)-ct(e)+1)*be.width,Nt=({low:e,high:t},n)=>Array.from({length:t-e+1},(r,a)=>e+a).filter(r=>ke(r)===n);var Pt=2e3,mt=U(ot,"a pitch"),Lt=U(e=>ln(e),"a finger from 1 to 5"),jt=Q(["left","right"]),Tr=U(e=>typeof e=="string"&&/^(bb|b|#|##)?(1|2|3|4|5|6|7|9|11|13)$/.test(e),'a degree such as "b7"'),An=$(k(mt),Ne(1),_(Pt)),Pn=k(Lt),Ln=k(mt),jn=$(k(y({pitch:mt,finger:E(Lt),hand:E(jt),degree:E(Tr)})),_(Pt)),Rn="as many fingers as pitches",Bn=$(y({kind:fe("chord-fingering"),hand:jt,pitches:An,fingers:Pn}),tt(({pitches:e,fingers:t})=>e.length===t.length,Rn)),At=$(z(),Ve(),le(0),ie(Pt)),Nn=y({pitch:mt,finger:Lt}),In=$(y({kind:fe("fingering"),hand:jt,pitches:An,fingers:Pn,crossings:k(y({kind:Q(["thumb-under","cross-over"]),index:At,from:Nn,to:Nn})),positions:k(y({from:At,to:At}))}),tt(({pitches:e,fingers:t})=>e.length===t.length,Rn),tt(({positions:e,pitches:t})=>e.every(({from:n,to:r})=>n<=r&&r<t.length),"hand positions within the notes")),Cn=e=>Jt(e)?e.kind:void 0;var $e=e=>J(e),pt=e=>e==="right"?"Right hand":"Left hand",Hn=e=>e===1?"thumb":String(e),_n=e=>(Er(e),"kind"in e?e.kind==="voicing"?Ar(e):e.kind==="fingering"?Lr(e):Fn(e.pitches.map((t,n)=>({pitch:t,hand:e.hand,finger:V(e.fingers,n)})),pt(e.hand)):Fn(e)),Er=e=>{switch(Cn(e)){case"voicing":return te(pn,e,"picture/argument");case"fingering":return te(In,e,"picture/argument");case"chord-fingering":return te(Bn,e,"picture/argument");default:return N(jn,e,"picture/argument")}},Rt=e=>{let t=new Map;for(let{pitch:n,finger:r,hand:a="right",degree:o}of e){let i=t.get(n.semitones),s=i?.fingers??[];t.set(n.semitones,{key:n.semitones,pitch:i?.pitch??n,hand:i?.hand??a,fingers:r===void 0||s.includes(r)?s:[...s,r],degree:i?.degree??o})}return[...t.values()].sort((n,r)=>n.key-r.key)},zn=({pitch:e,fingers:t})=>t.length===0?$e(e):`${$e(e)} ${t.map(Hn).join(" or ")}`,Nr=e=>{let[t,n]=[e[0],e.at(-1)];return t===void 0||n===void 0?"":t===n?$e(t.pitch):`${$e(t.pitch)} to ${$e(n.pitch)}`},Fn=(e,t="Keyboard")=>{let n=Rt(e);return{title:`${t}: ${n.map(({pitch:r})=>$e(r)).join(" ")}`,description:`${n.map(zn).join(", ")}.`,keys:n,turns:[],positions:[]}},Ar=e=>{let t=new Map;for(let o of["left","right"]){let i=e.pitches.filter((s,c)=>e.hands[c]===o&&s!==e.bass&&s.semitones!==e.bass?.semitones);i.length>0&&bn(i,{hand:o,size:"large"}).fingers.forEach((s,c)=>t.set(V(i,c).semitones,s))}e.bass!==void 0&&t.set(e.bass.semitones,5);let n=Rt(e.pitches.map((o,i)=>({pitch:o,hand:V(e.hands,i),degree:V(e.degrees,i),finger:Yt(t.get(o.semitones))}))),r=e.bass===void 0?"":` The bass ${J(at(e.bass))} is struck by itself.`,a=["left","right"].flatMap(o=>{let i=n.filter(s=>s.hand===o);return i.length===0?[]:[`${pt(o)}: ${i.map(zn).join(", ")}.`]});return{title:`${Pr(e.chord.symbol)}: ${n.map(({pitch:o})=>$e(o)).join(" ")}`,description:a.join(" ")+r,keys:n,turns:[],positions:[]}},Pr=e=>e.replace(/b/g,"\u266D").replace(/#/g,"\u266F"),Lr=e=>{let{hand:t,pitches:n,fingers:r,crossings:a}=e,o=Rt(n.map((s,c)=>({pitch:s,hand:t,finger:V(r,c)}))),i=e.positions.filter(({from:s})=>s<=Dn(n));return{title:`${pt(t)}: ${Nr(o)}`,description:`${pt(t)}, ${n.map((s,c)=>{let l=a.find(({index:m})=>m===c),d=l===void 0?"":l.kind==="thumb-under"?" (thumb under)":" (over the thumb)";return`${$e(s)} ${Hn(V(r,c))}${d}`}).join(", ")}.`,keys:o,turns:Rr(a),positions:i.map(s=>jr(s,n))}},Dn=e=>{let t=Math.sign((e[1]?.semitones??0)-(e[0]?.semitones??0)),n=e.findIndex((r,a)=>a>0&&Math.sign(r.semitones-V(e,a-1).semitones)!==t);return n<0?e.length-1:n-1},jr=({from:e,to:t},n)=>{let r=n.slice(e,Math.min(t,Dn(n))+1).map(a=>a.semitones);return[Math.min(...r),Math.max(...r)]},Rr=e=>{let t=new Map;for(let{kind:n,from:r,to:a}of e){let o=Math.min(r.pitch.semitones,a.pitch.semitones),i=Math.max(r.pitch.semitones,a.pitch.semitones),s=r.pitch.semitones<a.pitch.semitones,c=n==="thumb-under"?`1 under ${r.finger}`:`${a.finger} over 1`,l=t.get(`${o} ${i}`)??{low:o,high:i,rising:void 0,falling:void 0};t.set(`${o} ${i}`,s?{...l,rising:c}:{...l,falling:c})}return[...t.values()].sort((n,r)=>n.low-r.low)};var Gn=E($(B(),_(1e4))),Br=W({title:Gn,description:Gn,names:E(kt()),legend:E(nt()),reach:E(Ln),id:E(kt())}),Me=14,Ir=30,Bt=13,Cr=30,Fr=30,Hr=22,de="#111",_r="sans-serif";function ut(e,t={}){N(Br,t,"picture/argument");let n=_n(e),[r,a]=[n.keys[0],n.keys.at(-1)];if(r===void 0||a===void 0)throw new et({code:"picture/empty",input:e,expected:"at least one note to mark"});let o=t.names??"notes";if(!["notes","degrees","none"].includes(o))throw new et({code:"picture/names",input:o,expected:"notes, degrees or none"});let i=(t.reach??[]).map(({semitones:M})=>M),s=Tn(Math.min(r.key,...i),Math.max(a.key,...i)),c=Wr(n.turns,s),l=Me+Ir+Math.max(0,...c.map(({level:M,lines:P})=>Cr+Bt*(M+P.length))),d=t.legend===!1?"":Xr(n),m=(n.positions.length>1?Fr:6)+(d===""?0:Hr),u=Math.max(En(s)+2*Me,360),h=l+be.height+m+Me,f=t.title??n.title,w=[A("rect",{width:u,height:h,fill:"#fff"}),we(f,{x:Me,y:Me+14,"font-size":16,"font-weight":"bold"}),A("g",{transform:`translate(${Me} ${l})`},[...Nt(s,!1).map(M=>Kn(M,s)),...Nt(s,!0).map(M=>Kn(M,s)),...n.keys.map(M=>Kr(M,s,o)),...c.map(Ur),...n.positions.length>1?n.positions.map(M=>Yr(M,s)):[]]),...d===""?[]:[we(d,{x:Me,y:h-Me,"font-size":11})]];return zr(w,{title:f,description:t.description??n.description,width:u,height:h,id:t.id})}var zr=(e,{title:t,description:n,width:r,height:a,id:o})=>{let i=o??`keyboard-${Dr(t+n+e.join(""))}`;if(typeof i!="string"||i.length>200||!/^[A-Za-z_][\w.-]*$/.test(i))throw new et({code:"picture/id",input:o,expected:"an id that starts with a letter and holds letters, digits, dots and dashes"});return A("svg",{xmlns:"http://www.w3.org/2000/svg",viewBox:`0 0 ${r} ${a}`,width:r,height:a,role:"img","aria-labelledby":`${i}-title ${i}-description`,"font-family":_r,fill:de},[A("title",{id:`${i}-title`},[g(t)]),A("desc",{id:`${i}-description`},[g(n)]),...e])},Dr=e=>{let t=2166136261;for(let n=0;n<e.length;n++)t=Math.imul(t^e.charCodeAt(n),16777619);return(t>>>0).toString(36)},Kn=(e,t)=>{let n=ke(e)?dt:be;return A("rect",{"data-midi":e+12,x:Et(e,t),y:0,width:n.width,height:n.height,rx:ke(e)?2:3,fill:ke(e)?"#222":"#fff",stroke:de,"stroke-width":1})},Gr=12,Kr=(e,t,n)=>{let r=ke(e.key),a=De(e.key,t),o=r?52:112,i=e.fingers.length===1&&e.fingers[0]===1,s=e.fingers.length===0,c=s?6:r?10:Gr,l=i||s&&!r?de:"#fff",d=r?"#fff":de,m=e.hand==="left"?A("rect",{x:a-c,y:o-c,width:2*c,height:2*c,rx:2,fill:l,stroke:d,"stroke-width":1.8}):A("circle",{cx:a,cy:o,r:c,fill:l,stroke:d,"stroke-width":1.8}),u=e.fingers.join(" "),h=n==="none"?"":n==="degrees"?qr(e):J(at(e.pitch));return[m,...u===""?[]:[we(u,{x:a,y:o+(u.length>1?4:5),"text-anchor":"middle","font-size":u.length>1?10:15,"font-weight":"bold",fill:i?"#fff":de})],...h===""?[]:[we(h,{x:a,y:r?82:141,"text-anchor":"middle","font-size":r?11:13,fill:r?"#fff":de})]].join("")},qr=({degree:e})=>(e??"").replace(/b/g,"\u266D").replace(/#/g,"\u266F"),Vr=72,Wr=(e,t)=>{let n=[];for(let r of e){let[a,o]=[De(r.low,t),De(r.high,t)],{rising:i,falling:s}=r,c=[...i===void 0?[]:[`${i} \u2192`],...s===void 0?[]:[`\u2190 ${s}`]],l=n.filter(m=>Math.abs(m.from+m.to-a-o)/2<Vr),d=0;for(;l.some(m=>d<m.level+m.lines.length&&m.level<d+c.length);)d++;n.push({turn:r,from:a,to:o,lines:c,level:d})}return n},Ur=({turn:e,from:t,to:n,lines:r,level:a})=>{let o=(t+n)/2,i=Math.max(14,(n-t)/2),[s,c]=[Le(o-i),Le(o+i)],l=m=>A("path",{d:`M${Le(m-4)} -9 L${m} -2 L${Le(m+4)} -9 Z`,fill:de}),d=-24-Bt*a;return[A("path",{d:`M${s} -4 C${s} -24 ${c} -24 ${c} -4`,fill:"none",stroke:de,"stroke-width":1.6}),...a===0?[]:[A("path",{d:`M${Le(o)} -20 V${d+2}`,fill:"none",stroke:de,"stroke-width":.8})],...e.rising===void 0?[]:[l(c)],...e.falling===void 0?[]:[l(s)],...r.map((m,u)=>we(m,{x:o,y:d-Bt*(r.length-1-u),"text-anchor":"middle","font-size":11}))].join("")},qn=6,Yr=([e,t],n)=>{let r=De(e,n)-qn,a=De(t,n)+qn,o=be.height+8;return A("path",{d:`M${Le(r)} ${o} v7 H${Le(a)} v-7`,fill:"none",stroke:de,"stroke-width":1.6})},Le=e=>Math.round(e*100)/100,Xr=({keys:e,turns:t,positions:n})=>{let r=new Set(e.map(({hand:o})=>o));return[e.some(({fingers:o})=>o.length>0)?"filled: thumb":void 0,r.size>1?"square: left hand, round: right hand":void 0,t.length>0?"arrow: the hand turns":void 0,n.length>1?"bracket: one hand position":void 0].filter(o=>o!==void 0).join(" \xB7 ")};var Se=$(z(),xe()),ht=$(B(),_(1e4)),ft=Q(["right","left"]),gt=E(Se),Ge=$(z(),Ve(),le(0),ie(1e6)),Jr=$(z(),Ve(),le(1),ie(1e4)),Zr=y({hand:ft,bar:Ge,asked:Ge,right:Ge,meanMs:gt}),Qr=y({how:ht,hands:Q(["both","right","left"]),bars:k(Ge),recipe:y({tempo:Se,repeats:Se})}),Oe=y({kind:fe("assessment"),title:ht,bars:Jr,barLength:$(z(),le(.25),ie(64)),accuracy:y({right:Se,asked:Se}),hands:k(y({hand:ft,timing:E(y({meanMs:Se,spreadMs:Se}))})),barReports:k(Zr),praise:ht,say:k(y({message:ht})),practise:k(Qr),alignment:y({asked:k(y({hand:ft,sounds:Se})),notes:k(y({state:Q(["right","wrong","missed","extra"]),run:Ge,hand:ft,asked:gt,offMs:gt,heard:gt})),runs:k(y({})),leftOut:k(Ge)})});var[me,eo,Vn,Wn,Un]=[24,16,44,36,26],It=4.5,[Ct,Ye]=[4,12],Ft=28,to=[30,32,34,36,38,18,20,22,24,26],no="CDEFGAB",ro={flats:["C","Db","D","Eb","E","F","Gb","G","Ab","A","Bb","B"],sharps:["C","C#","D","D#","E","F","F#","G","G#","A","A#","B"]},je=e=>e.replace(/-?\d+$/,"").replace(/b/g,"\u266D").replace(/#/g,"\u266F"),Ht=e=>no.indexOf(e.charAt(0))+7*Number(/-?\d+$/.exec(e)?.[0]??4),oo=y({pitch:$(B(),Xt(/^[A-G](#{0,3}|b{0,3})-?\d$/)),midi:z()}),so=y({alignment:y({asked:k(oo)})}),ao=e=>Array.isArray(e)&&e.length<=1e6&&e.every(t=>Number.isInteger(Object(t).midi)&&t.midi>=0&&t.midi<=127),io=U(ao,"the notes of the take"),lo=W({barsInRow:ce(1,16),width:ce(300,4e3)});function bt(e,t,n={}){te(Oe,e,"picture/argument"),N(so,e,"picture/argument"),N(io,t,"picture/argument"),N(lo,n,"picture/argument");let r=Math.floor(n.barsInRow??4),{width:a=900}=n,{alignment:o,bars:i,barLength:s}=e,c=o.asked.filter(({pitch:b})=>b.slice(1).startsWith("b")).length,l=ro[c*2>=o.asked.filter(({pitch:b})=>/[b#]/.test(b.slice(1))).length?"flats":"sharps"],d=b=>`${l[b%12]??"C"}${Math.floor(b/12)-1}`,m=o.runs.map((b,x)=>o.notes.filter(T=>T.run===x&&T.state!=="missed").length),u=m.indexOf(Math.max(...m)),f=o.notes.filter(b=>b.run===u).flatMap(({state:b,asked:x,played:T,heard:H,hand:se})=>{let ae=x===void 0?void 0:o.asked[x],I=T===void 0?void 0:t[T]?.midi,ve=ae===void 0||I===void 0||b!=="right"?0:I-ae.midi,he=I===void 0?void 0:b==="right"?ae?.pitch:d(I-ve);return[{state:b,asked:ae,struck:he,heard:H,hand:se}]}),w=f.flatMap(({asked:b,struck:x})=>[b?.pitch,x]).flatMap(b=>b===void 0?[]:[Ht(b)]),[M,P]=[Math.min(16,...w)-3,Math.max(40,...w)+5],L=Math.max(0,...o.asked.map(({sounds:b})=>-b)),R=(a-me-eo)/(r+L/s),Y=me+L/s*R,ue=Math.ceil(i/r),X=(P-M+Ct)*It+Un,Ee=Vn+ue*X+Wn,v=(b,x)=>Vn+b*X+Un+(P-x+(x>Ft?0:x<Ft?Ct:Ct/2))*It,C=b=>{let x=Math.min(i-1e-9,b/s),T=Math.max(0,Math.floor(Math.floor(x)/r)),H=x-T*r,se=Math.floor(H);return{row:T,x:Y+se*R+Ye+(H-se)*(R-Ye)}},p=[];for(let b=0;b<ue;b++){let x=Math.min(r,i-b*r),[T,H]=[b===0?me:Y,Y+x*R];for(let I of to)p.push(re(T,v(b,I),H,v(b,I),{stroke:"#888","stroke-width":.7}));let[se,ae]=[v(b,38),v(b,18)];for(let I=0;I<=x*s+1e-9;I++){let ve=I/s%1,he=Y+Math.floor(I/s+1e-9)*R+(ve<1e-9?0:Ye+ve*(R-Ye)),Ie=Math.abs(I/s-Math.round(I/s))<1e-9;p.push(re(he,se,he,ae,Ie?{stroke:"#000","stroke-width":1}:{stroke:"#bbb","stroke-width":.6,"stroke-dasharray":"2 3"}))}for(let I=0;I<x;I++)p.push(D(Y+I*R+3,se-3*It-8,String(b*r+I+1),{"font-size":11}))}let S=(b,x,T)=>{for(let H=40;H<=T;H+=2)p.push(re(x-7,v(b,H),x+7,v(b,H),{stroke:"#888","stroke-width":.7}));for(let H=16;H>=T;H-=2)p.push(re(x-7,v(b,H),x+7,v(b,H),{stroke:"#888","stroke-width":.7}));T===Ft&&p.push(re(x-7,v(b,T),x+7,v(b,T),{stroke:"#888","stroke-width":.7}))},O=(b,x,T)=>A("ellipse",{cx:b,cy:x,rx:5.2,ry:3.8,fill:"none",stroke:"#000","stroke-width":1.2,...T?{"stroke-dasharray":"2 1.6"}:{}}),q=(b,x,T)=>b==="right"?A("circle",{cx:x,cy:T,r:2.4,fill:"#000"}):b==="wrong"?A("path",{d:`M${x.toFixed(1)} ${(T-5).toFixed(1)}l5 5l-5 5l-5 -5z`,fill:"#b00020"}):A("path",{d:`M${(x-4).toFixed(1)} ${T.toFixed(1)}h8M${x.toFixed(1)} ${(T-4).toFixed(1)}v8`,stroke:"#b00020","stroke-width":2,fill:"none"}),G=[];for(let{state:b,asked:x,struck:T,heard:H}of f){if(x!==void 0){let{row:he,x:Ie}=C(x.sounds),Qe=Ht(x.pitch);S(he,Ie,Qe),p.push(O(Ie,v(he,Qe),b==="missed"));let Ut=je(x.pitch).slice(1);Ut!==""&&p.push(D(Ie-8,v(he,Qe)+3.5,Ut,{"font-size":10,"text-anchor":"end"})),b==="missed"&&(p.push(D(Ie,v(he,Qe)-7,je(x.pitch),{"font-size":10,"text-anchor":"middle","font-style":"italic"})),G.push(`${je(x.pitch)} missed in bar ${Math.max(0,x.bar)}`))}if(T===void 0||H===void 0||b==="missed")continue;let se=C(x?.sounds??H),{row:ae}=se,I=se.x+(H-(x?.sounds??H))*((R-Ye)/s),ve=Ht(T);b!=="right"&&(S(ae,I,ve),p.push(D(I,v(ae,ve)-8,je(T),{"font-size":11,"font-weight":"bold","text-anchor":"middle",fill:"#b00020"})),G.push(x===void 0?`${je(T)} besides`:`${je(T)} for ${je(x.pitch)} in bar ${Math.max(0,x.bar)}`)),p.push(q(b,I,v(ae,ve)))}let F=Ee-Wn/2,K={"font-size":11},ee=Math.min(130,(a-me)/5);p.push(O(me+6,F,!1),D(me+16,F+4,"asked",K));for(let[b,[x,T]]of[["right","played"],["wrong","wrong"],["extra","besides"]].entries())p.push(q(x,me+(b+1)*ee,F),D(me+(b+1)*ee+10,F+4,T,K));p.push(O(me+4*ee,F,!0),D(me+4*ee+10,F+4,"missed",K));let oe=e.title===""?"What was asked and what was played":`Asked and played: ${e.title}`,vr=G.length===0?"Every key is the one that was asked for.":`${G.slice(0,20).join("; ")}${G.length>20?"; and more":""}.`;return He("take",{width:a,height:Ee},oe,vr,24,p)}var pe=84,Yn=14,co=34,Te=96,mo=16,_t=44,Xn=40,Jn=3.4,Z=e=>String(Math.round(e*10)/10),yt=(e,t,n,r=!1)=>{let[a,o]=[r?Jn*.6:Jn,3.2];if(e==="right")return A("circle",{cx:t,cy:n,r:a,...r?{fill:"#fff",stroke:"#000"}:{fill:"#000"}});if(e==="wrong")return A("rect",{x:t-o,y:n-o,width:2*o,height:2*o,fill:"#fff",stroke:"#000","stroke-width":1.4});let i=e==="missed"?`M${Z(t-o)} ${Z(n-o)}L${Z(t+o)} ${Z(n+o)}M${Z(t-o)} ${Z(n+o)}L${Z(t+o)} ${Z(n-o)}`:`M${Z(t-o)} ${Z(n)}H${Z(t+o)}M${Z(t)} ${Z(n-o)}V${Z(n+o)}`;return A("path",{d:i,stroke:"#000","stroke-width":1.6,fill:"none"})},po=({hands:e,accuracy:t,say:n})=>{let r=e.flatMap(({hand:a,timing:o})=>o===void 0?[]:[`The ${a} hand is on the whole ${Math.round(Math.abs(o.meanMs))} milliseconds ${o.meanMs<0?"early":"late"}, with a spread of ${Math.round(o.spreadMs)}.`]);return[`${t.right} of ${t.asked} notes are right.`,...r,...n.map(a=>a.message)].join(" ")},uo=W({barsInRow:ce(1,16),edgeMs:ce(20,500),width:ce(300,4e3)});function vt(e,t={}){te(Oe,e,"picture/argument"),N(uo,t,"picture/argument");let n=Math.floor(t.barsInRow??4),{edgeMs:r=100,width:a=900}=t,{alignment:o,bars:i,barLength:s}=e,c=["right","left"].filter(v=>e.hands.some(C=>C.hand===v)),l=Math.max(0,...o.asked.map(({sounds:v})=>-v)),d=(a-Te-mo)/(n+l/s),m=Te+l/s*d,u=Math.ceil(i/n),h=c.length*(pe+Yn)+co,f=_t+u*h+Xn,w=o.runs.length-1,M=(v,C)=>_t+v*h+18+c.indexOf(C)*(pe+Yn)+pe/2,P=v=>{let C=Math.min(i-1e-9,v/s),p=Math.max(0,Math.floor(Math.floor(C)/n));return{row:p,x:m+(C-p*n)*d}},L=[];for(let v=0;v<u;v++){let C=Math.min(n,i-v*n);for(let p of c){let S=M(v,p),O=v===0?Te:m,q=m+C*d;L.push(re(O,S,q,S,{stroke:"#000","stroke-width":1}));let G={stroke:"#999","stroke-width":.6,"stroke-dasharray":"2 4"};for(let K of[-1,1])L.push(re(O,S+K*pe/2,q,S+K*pe/2,G));for(let K=0;K<=C;K++){let ee=m+K*d;L.push(re(ee,S-pe/2,ee,S+pe/2,{stroke:"#777","stroke-width":.8}))}L.push(D(8,S+4,p==="right"?"Right":"Left",{"font-weight":"bold"}));let F={"text-anchor":"end","font-size":10};L.push(D(Te-8,S-pe/2+10,"early",F),D(Te-8,S+pe/2-2,"late",F))}for(let p=0;p<C;p++)L.push(D(m+p*d+4,_t+v*h+12,String(v*n+p+1),{"font-size":11}))}for(let v of o.notes){let C=(v.asked===void 0?v.heard:o.asked[v.asked]?.sounds)??0,{row:p,x:S}=P(C);if(!c.includes(v.hand))continue;let O=Math.max(-1,Math.min(1,(v.offMs??0)/r));L.push(yt(v.state,S,M(p,v.hand)+O*pe/2,v.run<w))}for(let{sounds:v,hand:C}of o.leftOut.flatMap(p=>o.asked[p]??[])){let{row:p,x:S}=P(v);L.push(yt("missed",S,M(p,C)))}let R=f-Xn/2,Y={"font-size":11},ue=[["right","right"],["wrong","wrong key"],["missed","missed"],["extra","extra"]];ue.forEach(([v,C],p)=>{L.push(yt(v,Te+p*110,R),D(Te+p*110+10,R+4,C,Y))});let X=Te+ue.length*110;w>0&&L.push(yt("right",X,R,!0),D(X+10,R+4,"right, in an earlier run",Y)),L.push(D(X+(w>0?170:0),R+4,`edge of a lane: ${Math.round(r)} ms`,Y));let Ee=e.title===""?"Timing of a take":`Timing of a take: ${e.title}`;return He("timing",{width:a,height:f},Ee,po(e),24,L)}var ho="default-src 'none'; style-src 'unsafe-inline'; script-src 'unsafe-inline'; font-src data:; img-src data:",ye=(e,t,n)=>`<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<meta http-equiv="Content-Security-Policy" content="${ho}">
<title>${g(e)}</title>
<style>${t}</style>
</head>
<body>
${n}
</body>
</html>
`;var Je=`
.systems > svg { display: block; width: min(100%, calc(var(--mm) * 1.5mm)); height: auto; margin: 0 auto; overflow: visible; break-inside: avoid; color: var(--ink); fill: currentColor; }
.systems > svg svg { overflow: visible; color: inherit; fill: currentColor; }
.systems path, .systems polygon, .systems polyline, .systems rect, .systems ellipse { stroke: currentColor; }
.systems .staff > path, .systems .ledgerLines path { stroke-width: 15; }
.systems text { font-family: "Times New Roman", "Liberation Serif", Tinos, "Nimbus Roman", Times, serif; stroke: none; }
.systems .fing, .systems .tempo, .systems .reh, .systems .ending { font-weight: bold; }
.systems .mNum { font-style: italic; }
`,tr=6.8,fo=182,go=95,Zn=72,bo=40,yo=k(B()),Re=(e,t,{on:n,fingers:r,numerals:a,leftAs:o,bassLine:i})=>{let s=n==="page"?fo:go,c=Math.round(s/tr*Zn),l=f=>mn({...e,title:""},{degrees:!1,stackedFingers:!0,slurs:!1,tempoMark:!1,fingers:r,numerals:a===!0?gn:void 0,leftAs:o,bassLine:i,systemWidth:c/Zn*bo,barsPerSystem:f}),d=f=>{let w=t(f,{width:c});return N(yo,w,"handout/engraver"),w},m=d(l());return(m.length>1&&!l().includes("<print new-system")?d(l(Math.ceil(e.bars/m.length))):m).map((f,w)=>vo(f,{mm:s,prefix:n==="page"?"":`${n}-`,keepsFont:w===0&&n==="page"}))},vo=(e,{mm:t,prefix:n,keepsFont:r})=>{let[,a="1",o="1"]=/<svg[^>]*?viewBox="0 0 ([\d.]+) ([\d.]+)"/.exec(e)??[],i=wo(e,Number(a))??t/Number(a),[s,c]=[Number(a)*i,Number(o)*i].map(X=>Math.round(X*100)/100),l=r?/@font-face[^<]*/.exec(e)?.[0]??"":"",d=e.replace(/<style[^>]*>[\s\S]*?<\/style>/g,""),u=(n===""?d:d.replace(/ id="/g,` id="${n}`).replace(/href="#/g,`href="#${n}`)).replace(/^[\s\S]*?<svg /,`<svg style="--mm:${s??t}" aria-hidden="true" `).replace(/^[^>]*>/,X=>l===""?X:`${X}<style>${l}</style>`).replace(/\n\s*/g,""),h=So(Mo(u)),{svg:f,above:w}=Po(h.svg),M=Math.max(h.above,w),{svg:P,below:L}=To(f),R=Math.max(h.below,L),Y=xo(P,M,R),ue=Y===P?0:(M+R)/nr(P)*(s??t);return{svg:Y,widthMm:s??t,heightMm:Math.round(((c??t)+ue)*100)/100}},nr=e=>Number(/class="definition-scale"[^>]*viewBox="0 0 ([\d.]+) /.exec(e)?.[1]??1),xo=(e,t,n)=>{let r=nr(e);return t+n===0||r===1?e:e.replace(/viewBox="0 0 ([\d.]+) ([\d.]+)"/,(a,o,i)=>{let s=(t+n)/r*Number(o);return`viewBox="0 0 ${o} ${Math.round((Number(i)+s)*100)/100}"`}).replace(/(class="definition-scale"[^>]*viewBox=")0 0 ([\d.]+) ([\d.]+)"/,(a,o,i,s)=>`${o}0 ${-t} ${i} ${Number(s)+t+n}"`)},wo=(e,t)=>{let n=/<svg[^>]*class="definition-scale"[^>]*viewBox="0 0 ([\d.]+) /.exec(e)?.[1],r=[...e.slice(e.indexOf('class="staff"')).matchAll(/<path d="M[-\d.]+ ([-\d.]+)\s*L[-\d.]+ ([-\d.]+)"/g)].slice(0,5).map(([,o])=>Number(o)),a=r.length===5?V(r,4)-V(r,0):0;return n===void 0||a<=0?void 0:tr/(a/Number(n)*t)},ko=Object.fromEntries([["0123456789bdghknopquvxy#$",500],["acez",444],["fIr()-",333],["ijlt/",278],["s",389],["m",778],["wADGHKNOQUVXYw",722],["BCR",667],["EZLT",611],["FPS",556],["+=<>",564],["M",889],["W",944],["J",389],[".,: \xA0",250],["\u266D\u266F\xB0\xF8",500],["\u0394\u25B3",612]].flatMap(([e,t])=>[...String(e)].map(n=>[n,Number(t)]))),$o=(e,t)=>Math.round([...e].reduce((n,r)=>n+(ko[r]??500)*t/1e3,0)),rr=(e,t,n="")=>`<tspan font-size="${t}px"${n} textLength="${$o(e,t)}" lengthAdjust="spacingAndGlyphs">${g(e)}</tspan>`,Mo=e=>e.replace(/(<g [^>]*class="harm"[^>]*>)<text x="([-\d.]+)" y="([-\d.]+)"[^>]*>([\s\S]*?)<\/text>/g,(t,n,r,a,o)=>`${n}<text x="${r}" y="${a}" font-size="0px">${Bo(o)}</text>`).replace(/(class="mNum[^>]*><text y=")([-\d.]+)/g,(t,n,r)=>`${n}${Number(r)-60}`).replace(/(<g [^>]*class="(?:fing|mNum)[^>]*>)([\s\S]*?)<\/g>/g,(t,n,r)=>{let a=r.replace(/<tspan font-size="([\d.]+)px">([^<]+)<\/tspan>/g,(o,i,s)=>rr(s.trim(),Number(i)));return`${n}${a}</g>`}),or=.68,Ke=45,Xe=170,So=e=>{let t=[...e.matchAll(/class="stem"[^>]*><path d="M([-\d.]+) ([-\d.]+) L[-\d.]+ ([-\d.]+)"/g)].map(([,l,d,m])=>({x:Number(l),top:Math.min(Number(d),Number(m)),bottom:Math.max(Number(d),Number(m))})),n=new Map,r=/(class="fing"[^>]*><text x="([-\d.]+)" y=")([-\d.]+)("[\s\S]*?font-size="([1-9][\d.]*)px")/g;for(let[,,l,d,,m]of e.matchAll(r)){let[u,h,f]=[Number(l),Number(d),Number(m)*or];for(let w of t){if(Math.abs(w.x-u)>Xe||w.top>h||w.bottom<h-f)continue;let M=h-w.top<w.bottom-(h-f),P=M?w.top-Ke-h:w.bottom+Ke+f-h,L=`${l} ${M}`;Math.abs(P)>Math.abs(n.get(L)??0)&&n.set(L,P)}}if(n.size===0)return{svg:e,above:0,below:0};let a=Number(/class="definition-scale"[^>]*viewBox="0 0 [\d.]+ ([\d.]+)"/.exec(e)?.[1]??1/0),[o,i]=[0,0],s=l=>{let d=t.filter(m=>Math.abs(m.x-Number(l))<=Xe).map(({top:m,bottom:u})=>(m+u)/2);return d.reduce((m,u)=>m+u,0)/Math.max(1,d.length)};return{svg:e.replace(r,(l,d,m,u,h,f)=>{let w=Number(u)<s(m),M=n.get(`${m} ${w}`);if(M===void 0)return l;let P=Math.round(Number(u)+M);return o=Math.max(o,Math.round(Number(f))-P),i=Math.max(i,P+Ke-a),`${d}${P}${h}`}),above:o,below:i}},Oo=.75,To=e=>{let t=/(class="dir"[^>]*><text x="([-\d.]+)" y=")([-\d.]+)("[\s\S]*?font-size="([1-9][\d.]*)px")/g,n=[...e.matchAll(t)].map(([,,l,d,,m])=>({x:Number(l),y:Number(d),size:Number(m)}));if(n.length===0)return{svg:e,below:0};let r=[...e.matchAll(/class="fing"[^>]*><text x="([-\d.]+)" y="([-\d.]+)"/g)].map(([,l,d])=>({x:Number(l),y:Number(d)})),a=Math.max(...n.map(({y:l})=>l));for(let{x:l,y:d,size:m}of n)for(let u of r)u.x>l-m&&u.x<l+4*m&&u.y<d+4*m&&(a=Math.max(a,Math.round(u.y+2*Ke+Oo*m)));let o=Number(/class="definition-scale"[^>]*viewBox="0 0 [\d.]+ ([\d.]+)"/.exec(e)?.[1]??1/0),i=e.replace(t,(l,d,m,u,h)=>`${d}${a}${h}`),[s,c]=Ao(i,a+Eo);return{svg:s,below:Math.max(0,Math.max(a,c)+2*Ke-o)}},Eo=240,No=150,Ao=(e,t)=>{let n=0;return[e.replace(/(class="bracketSpan"[^>]*>)((?:<polyline[^>]*\/>|<path[^>]*\/>|\s)*)/g,(a,o,i)=>{let[,s,c]=/<path d="M([-\d.]+) [-\d.]+ L([-\d.]+) /.exec(i)??[];if(s===void 0||c===void 0)return a;n=t;let l=[...i.matchAll(/points="([-\d.]+),/g)].map(([,d])=>`M${d} ${t-No} V${t}`);return`${o}<path d="M${s} ${t} H${c} ${l.join(" ")}" stroke-width="18" fill="none" stroke="currentColor" />`}),n]},Qn=330,zt=330,Po=e=>{let t=/(class="harm"[^>]*><text x="([-\d.]+)" y=")([-\d.]+)("[\s\S]*?)<\/text>/g,n=[...[...e.matchAll(/class="fing"[^>]*><text x="([-\d.]+)" y="([-\d.]+)"[\s\S]*?font-size="([1-9][\d.]*)px/g)].map(([,i,s,c])=>({x:Number(i),top:Number(s)-Number(c)*or,foot:Number(s)})),...[...e.matchAll(/class="accid"[^>]*><use[^>]*translate\(([-\d.]+), ([-\d.]+)\)/g)].map(([,i,s])=>({x:Number(i)+Xe/2,top:Number(s)-Qn,foot:Number(s)+Qn/2}))],[r,a]=[0,1/0];for(let[,,i="0",s="0",c=""]of e.matchAll(t)){let[l,d]=[Number(i),Number(s)],m=[...c.matchAll(/textLength="(\d+)"/g)].reduce((h,[,f])=>h+Number(f),0),u=l+m;a=Math.min(a,d);for(let h of n)h.x<l-Xe||h.x>u+Xe/2||h.foot<d-zt||(r=Math.max(r,Math.round(d+2*Ke-h.top)))}return r===0||r>2*zt?{svg:e,above:0}:{svg:e.replace(t,(i,s,c,l,d)=>`${s}${Number(l)-r}${d}</text>`),above:Math.max(0,Math.round(zt-a+r))}},Lo={"\uEA63":"\u266D\u266D","\uEA64":"\u266D","\uEA65":"\u266E","\uEA66":"\u266F","\uEA67":"\u266F\u266F"},jo=405/720,Ro=.74,er=.24,Bo=e=>{let n=[...e.matchAll(/<tspan(?: font-family="([^"]*)")? font-size="([\d.]+)px"[^>]*>([^<]+)<\/tspan>/g)].map(([,c,l,d=""])=>{let m=c!==void 0;return{text:d,size:Number(l)*(m?jo:1),music:m}}).flatMap(({text:c,size:l,music:d})=>[...c].map(m=>({text:m,size:l,music:d}))),r=n[0];if(r===void 0||!/^[A-G]$/.test(r.text))return e;let a=1;for(;n[a]?.music===!0;)a++;let o=n[a]?.text==="m"&&n[a+1]?.text!=="a"?1:0,i=n.findIndex(({text:c},l)=>c==="/"&&/^[A-G]$/.test(n[l+1]?.text??"")),s=i<0?n.length:i;return[Dt(n.slice(0,a+o),1,0),Dt(n.slice(a+o,s),Ro,-Math.round(er*r.size)),Dt(n.slice(s),1,a+o<s?Math.round(er*r.size):0)].join("")},Dt=(e,t,n)=>{let r=[];for(let a of e){let o=r.at(-1);o!==void 0&&o.music===a.music?r[r.length-1]={...o,text:o.text+a.text}:r.push(a)}return r.map(({text:a,size:o,music:i},s)=>{let c=s===0&&n!==0?` dy="${n}"`:"",l=Math.round(o*t);return rr(i?[...a].map(d=>Lo[d]??d).join(""):a,l,c)}).join("")};var qe=`
:root { color-scheme: light dark; --ink: #1d1b18; --faint: #5f584e; --paper: #fffdf8; --line: #cfc6b6; --sound: #b3400f; --key: #f2c9b3; }
@media screen and (prefers-color-scheme: dark) {
  :root { --ink: #ece6da; --faint: #b5ab9b; --paper: #191714; --line: #4a443b; --sound: #ff9d66; --key: #f2c9b3; }
}
`,sr=`${qe}
* { box-sizing: border-box; }
html { scroll-padding: 1rem 0 5rem; }
body { margin: 0 auto; max-width: 62rem; padding: 1rem 1rem 6rem; color: var(--ink); background: var(--paper); font: 1rem/1.5 Georgia, "Times New Roman", serif; }
h1 { margin: 0; font-weight: normal; font-size: 1.75rem; line-height: 1.25; }
h2 { margin: 1.75rem 0 0.5rem; font-weight: normal; font-size: 1.3rem; border-bottom: 2px solid var(--ink); }
.exercise { margin: 0 0 0.25rem; font-size: 1.15rem; }
.job { margin: 0; font-style: italic; }
.details { margin: 0.25rem 0 0.5rem; color: var(--faint); }
.tempo-mark { margin: 0.5rem 0 0; font-weight: bold; }
.tempo-mark svg { height: 1.1em; width: auto; vertical-align: -0.15em; fill: currentColor; stroke: currentColor; }
${Je}
.systems > svg + svg { margin-top: 0.5rem; }
.on-phone, .sight .systems { display: grid; grid-template-columns: repeat(auto-fit, minmax(min(100%, 17rem), 1fr)); }
@media screen and (max-width: 719px) { .on-page { display: none; } }
@media print, screen and (min-width: 720px) { .on-phone { display: none; } }
.measure.veiled > :not(.staff):not(.barLine), .measure.veiled > .staff > .layer { visibility: hidden; }
[hidden] { display: none !important; }
.player { position: fixed; inset: auto 0 0 0; z-index: 1; display: flex; flex-direction: column; max-height: 85vh; padding: 0.35rem max(0.5rem, calc(50vw - 31rem)); background: var(--paper); border-top: 1px solid var(--ink); font-family: system-ui, sans-serif; font-size: 0.95rem; }
.bar { display: flex; flex-wrap: nowrap; gap: 0.35rem; align-items: center; }
.player button, .player select, .player input[type="number"] { min-width: 44px; min-height: 44px; padding: 0 0.5rem; font: inherit; color: var(--ink); background: var(--paper); border: 1px solid var(--ink); border-radius: 0; }
.player button { cursor: pointer; }
#play { min-width: 4.25rem; font-weight: bold; color: var(--paper); background: var(--ink); }
.player [aria-pressed="true"]:not(#play), .player [aria-expanded="true"] { color: var(--paper); background: var(--ink); }
.tempo-now { min-width: 2.2em; text-align: center; font-variant-numeric: tabular-nums; }
.status { flex: 1; min-width: 0; overflow: hidden; white-space: nowrap; text-overflow: ellipsis; color: var(--faint); text-align: right; }
.more { display: flex; flex-wrap: wrap; gap: 0.35rem 1.25rem; padding: 0.5rem 0; overflow: auto; border-bottom: 1px solid var(--line); }
.more fieldset { display: flex; flex-wrap: wrap; gap: 0.25rem 0.8rem; align-items: center; margin: 0; padding: 0; border: 0; }
.more legend { float: left; margin-right: 0.6rem; padding: 0; color: var(--faint); }
.more label { display: inline-flex; gap: 0.4rem; align-items: center; min-height: 44px; }
.more input[type="checkbox"] { width: 24px; height: 24px; accent-color: var(--ink); }
.more input[type="range"] { width: 10rem; height: 44px; accent-color: var(--ink); }
.more input[type="number"] { width: 4.5rem; }
.player :focus-visible { outline: 3px solid var(--sound); outline-offset: 2px; }
.cards { display: grid; grid-template-columns: repeat(auto-fill, minmax(min(100%, 17rem), 1fr)); gap: 0.75rem; }
.cards figure, .scale figure { margin: 0; break-inside: avoid; }
.cards svg, .scale svg { display: block; max-width: 100%; height: auto; background: #fff; }
figcaption { color: var(--faint); font-size: 0.9rem; }
.harmony table { border-collapse: collapse; } .harmony th, .harmony td { padding: 0.15rem 1.25rem 0.15rem 0; text-align: left; }
ol { padding-left: 1.5rem; } li { margin: 0.2rem 0; }
.caution { margin-top: 1.5rem; border-left: 4px solid var(--ink); padding: 0.25rem 0 0.25rem 1rem; break-inside: avoid; }
.sounding { fill: var(--sound); color: var(--sound); }
.sounding * { fill: var(--sound); stroke: var(--sound); }
[data-midi].sounding { stroke: #b3400f; stroke-width: 5; fill: var(--key); }
@media (max-width: 480px) { .player [data-wide] { display: none; } body { padding-left: 0.75rem; padding-right: 0.75rem; } }
@media print {
  @page { margin: 14mm; }
  html { font-size: 10.5pt; }
  body { max-width: none; padding: 0; background: none; }
  .player, .sight, .status { display: none; }
  h2 { margin-top: 1rem; break-after: avoid; }
  .systems > svg { width: calc(var(--mm) * 1mm); max-width: none; }
  .cards { grid-template-columns: repeat(4, 1fr); }
  .cards figure { max-width: 42mm; } .scale svg { max-height: 38mm; width: auto; }
}
`,ar=`${qe}
* { box-sizing: border-box; }
body { margin: 0; color: var(--ink); background: var(--paper); font: 11pt/1.45 Georgia, "Times New Roman", serif; }
.glyphs { position: absolute; }
.leaf { position: relative; width: 182mm; max-width: 100%; min-height: 250mm; margin: 1rem auto; padding: 0 0.5rem; }
.running, .number { display: flex; justify-content: space-between; gap: 2rem; height: 6mm; margin: 0; overflow: hidden; white-space: nowrap; font-size: 9pt; line-height: 6mm; color: var(--faint); }
.number { justify-content: center; }
.body { min-height: 236mm; }
.title { display: flex; flex-direction: column; justify-content: center; text-align: center; }
h1 { margin: 0; font-weight: normal; font-size: 30pt; line-height: 1.2; } .title p { font-style: italic; }
h2 { margin: 0; font-weight: normal; font-size: 16pt; line-height: 9mm; border-bottom: 0.4mm solid var(--ink); }
h3 { position: absolute; left: 0; top: 0; margin: 0; font-size: 11pt; line-height: 5mm; }
.chapter { height: 24mm; overflow: hidden; } .aim { margin: 1mm 0; font-style: italic; line-height: 5mm; }
.caution { margin: 1mm 0 0; padding-left: 2mm; border-left: 0.8mm solid var(--ink); font-size: 8.5pt; line-height: 4mm; }
.contents, .steps { padding: 0; list-style-position: inside; } .contents { list-style: none; } .steps li { margin: 4mm 0; }
.contents a { display: flex; justify-content: space-between; gap: 1rem; padding: 1mm 0; color: inherit; text-decoration: none; border-bottom: 0.2mm dotted var(--faint); }
${Je}
.system { position: relative; margin-bottom: 1mm; }
.system > svg { display: block; max-width: 100%; margin: 0 auto; overflow: visible; color: var(--ink); fill: currentColor; }
.system > svg svg { overflow: visible; color: inherit; fill: currentColor; }
@media screen and (max-width: 719px) { .leaf, .body { min-height: 0; } .chapter { height: auto; } .system > svg { height: auto !important; } }
@media print {
  @page { margin: 14mm; }
  body { background: none; }
  .leaf { width: 182mm; height: 250mm; margin: 0 auto; padding: 0; overflow: hidden; break-after: page; }
  .leaf:last-child { break-after: auto; }
  .system { break-inside: avoid; }
}
`;var lr=`${qe}
body { margin: 0 auto; max-width: 62rem; padding: 1rem; color: var(--ink); background: var(--paper); font: 1rem/1.5 Georgia, "Times New Roman", serif; }
h1 { margin: 0; font-weight: normal; } h2 { margin: 1.5rem 0 0.5rem; font-weight: normal; border-bottom: 2px solid var(--ink); }
.date { margin: 0; color: var(--faint); }
.phone { display: none; } @media (max-width: 600px) { .wide { display: none; } .phone { display: block; } }
.hear button { min-height: 2.75rem; margin: 0 0.5rem 0.5rem 0; padding: 0 1rem; font: inherit; }
.praise { font-size: 1.15rem; font-style: italic; }
li { margin: 0.3rem 0; }
svg { display: block; max-width: 100%; height: auto; background: #fff; break-inside: avoid; }
table { display: block; overflow-x: auto; border-collapse: collapse; } th, td { padding: 0.2rem 1rem 0.2rem 0; text-align: right; border-bottom: 1px solid var(--line); }
th:first-child, td:first-child { text-align: left; } thead th { font-weight: normal; color: var(--faint); }
.caution { margin-top: 1.5rem; border-left: 4px solid var(--ink); padding: 0.25rem 0 0.25rem 1rem; }
@media print { .hear { display: none; } .wide { display: block; } .phone { display: none; } @page { margin: 14mm; } body { max-width: none; padding: 0; background: none; } }
`,Io=W({played:E($(k(y({midi:z(),onsetSeconds:$(z(),xe()),durationSeconds:$(z(),xe()),velocity:z()})),_(1e6))),date:E($(B(),_(40)))});function Co(e,t={}){te(Oe,e,"handout/argument"),N(Io,t,"handout/argument"),t.played!==void 0&&N(Fo,e,"handout/argument");let{title:n,praise:r,say:a,practise:o}=e,{played:i,date:s}=t,c=`${n===""?"Your take":`${n}: your take`}`;return ye(c,lr,`<main>
<h1>${g(c)}</h1>
${s===void 0?"":`<p class="date">${g(s)}</p>`}
<p class="praise">${g(r)}</p>
${a.length===0?"":`<section aria-labelledby="next"><h2 id="next">To work on</h2>${ir(a.map(({message:l})=>l))}</section>`}
${o.length===0?"":`<section aria-labelledby="practise"><h2 id="practise">What to practise next</h2>${ir(o.map(Ko))}</section>`}
${i===void 0?"":Ho(e,i)}
${dr(e)}
${cr}
</main>
${i===void 0?"":_o(e,i)}`)}var Ze=$(z(),xe()),Fo=y({tempo:y({asked:$(Ze,le(1),ie(1e4))}),alignment:y({asked:k(y({sounds:Ze,lasts:Ze,midi:Ze,velocity:Ze}))})}),Ho=(e,t)=>{let n=bt(e,t,{barsInRow:2,width:380}).replace(/take-(title|desc)/g,"phone-take-$1");return`<section aria-labelledby="notes"><h2 id="notes">Asked and played</h2>
<p class="hear"><button type="button" id="hear-asked">Hear what was asked</button><button type="button" id="hear-played">Hear what you played</button><span id="hear-status" role="status"></span></p>
<div class="wide">${bt(e,t)}</div><div class="phone">${n}</div>
<p>A ring is a note that was asked for, a dot what you played: left of its ring it was early, right of it late. Thin lines are the beats.</p></section>`},_o=({alignment:e,tempo:t},n)=>{let r=l=>Math.round(l*1e3)/1e3,a=60/t.asked,o=e.asked.map(({sounds:l,lasts:d,midi:m,velocity:u})=>[l*a,m,d*a,u]),i=n.map(l=>[l.onsetSeconds,l.midi,l.soundingSeconds??l.durationSeconds,l.velocity]),s=l=>{let d=l.reduce((m,[u=0])=>Math.min(m,u),1/0);return l.map(([m=0,u=60,h=0,f=80])=>[r(m-d),u,r(h),f])};return`<script type="application/json" id="takes">${JSON.stringify({asked:s(o),played:s(i)}).replace(/</g,"\\u003c")}</script>
<script>${zo}</script>`},zo=`(() => {
  "use strict";
  const takes = JSON.parse(document.getElementById("takes").textContent);
  const status = document.getElementById("hear-status");
  let audio, playing = "", timer = 0;
  const stop = () => { if (audio) audio.close(); audio = null; playing = ""; clearTimeout(timer); status.textContent = ""; };
  const hear = (name) => {
    const again = playing !== name;
    stop();
    if (!again) return;
    playing = name;
    audio = new AudioContext();
    const out = audio.createDynamicsCompressor();
    out.connect(audio.destination);
    const start = audio.currentTime + 0.1;
    let end = 0;
    for (const [at, midi, length, velocity] of takes[name]) {
      const tone = audio.createOscillator(), gain = audio.createGain();
      const loud = 0.25 * (velocity / 127) ** 2, from = start + at, to = from + Math.max(0.08, length);
      tone.type = "triangle";
      tone.frequency.value = 440 * 2 ** ((midi - 69) / 12);
      gain.gain.setValueAtTime(0, from);
      gain.gain.linearRampToValueAtTime(loud, from + 0.006);
      gain.gain.setTargetAtTime(0, to, 0.06);
      tone.connect(gain).connect(out);
      tone.start(from);
      tone.stop(to + 0.5);
      end = Math.max(end, at + length);
    }
    document.dispatchEvent(new CustomEvent("take-heard", { detail: { name, notes: takes[name].length } }));
    status.textContent = name === "asked" ? "What was asked sounds; press again to stop." : "Your take sounds; press again to stop.";
    timer = setTimeout(stop, (end + 1) * 1000);
  };
  for (const name of ["asked", "played"]) document.getElementById("hear-" + name).addEventListener("click", () => hear(name));
})();`;function Do(e,t){te(lt,e,"handout/argument"),e.left!==void 0&&te(Oe,e.left,"handout/argument");let{title:n,praise:r,say:a,left:o,heard:i}=e,s=n===""?"Your improvised take":`${n}, improvised: your take`,c=a.map(({text:l,how:d})=>`<li>${g(l)}<br><strong>Try:</strong> ${g(d)}</li>`).join("");return ye(s,lr,`<main>
<h1>${g(s)}</h1>
<p class="praise">${g(r)}</p>
${a.length===0?"":`<section aria-labelledby="next"><h2 id="next">To work on</h2><ol>${c}</ol></section>`}
<section aria-labelledby="line"><h2 id="line">Your line</h2>${Tt(e,t)}
<p>A stroke is a note, by height and length; a bow is a phrase.${a.some(({about:l})=>l==="line")?" The numbers are those above.":""}</p></section>
<section aria-labelledby="heard"><h2 id="heard">What was heard</h2>${i.map(l=>`<p>${g(l)}</p>`).join("")}</section>
${o===void 0?"":dr(o)}
${cr}
</main>`)}var cr=`<p class="caution"><strong>Caution.</strong> ${g(Pe)}</p>`,ir=e=>`<ol>${e.map(t=>`<li>${g(t)}</li>`).join("")}</ol>`,dr=e=>`<section aria-labelledby="timing"><h2 id="timing">Early and late</h2><div class="wide">${vt(e)}</div><div class="phone">${Go(e)}</div></section>
<section aria-labelledby="bars"><h2 id="bars">Bar by bar</h2>
<table><thead><tr><th scope="col">Hand</th><th scope="col">Bar</th><th scope="col">Asked</th><th scope="col">Right</th><th scope="col">Late by (ms)</th></tr></thead><tbody>
${e.barReports.map(qo).join(`
`)}
</tbody></table></section>`,Go=e=>vt(e,{barsInRow:2,width:560}).replace(/timing-(title|desc)/g,"phone-timing-$1"),Ko=({how:e,hands:t,bars:n,recipe:r})=>{let a=Array.isArray(r.bars)?[...new Set(r.bars)].join(" to "):n.join(", "),o=n.length===0?"All bars":`Bar${/^\d+$/.test(a)?"":"s"} ${a}`;return`${e} ${o}, ${t==="both"?"both hands":`${t} hand`}, at ${r.tempo}, about ${r.repeats} times with breaks.`},qo=({hand:e,bar:t,asked:n,right:r,meanMs:a})=>`<tr><td>${e}</td><td>${t===0?"pickup":t}</td><td>${n}</td><td>${r}</td><td>${a===void 0?"":Math.round(a)}</td></tr>`;var xt=$(B(),_(1e3)),Vo=$(k(y({title:xt,aim:E(xt),drills:$(k(y({score:y({})})),Ne(1),_(100))})),Ne(1),_(500)),Wo=W({engrave:U(e=>typeof e=="function","a function"),fingers:E(Q(["all","first","turns","none"])),numerals:E(nt()),subtitle:E(xt)}),Gt=236,Uo=25,Yo=1,Xo=.941;function Jo(e,t,n){N(xt,e,"handout/argument"),N(Vo,t,"handout/argument"),N(Wo,n,"handout/argument");for(let{drills:f}of t)for(let{score:w}of f)ge(w,"handout/argument");let{engrave:r,fingers:a="first",numerals:o,subtitle:i=""}=n,s={on:"page",fingers:a,numerals:o},c=new Map,l=t.map(f=>({...f,leaves:es(f,r,s,c)})),d=4,m=l.map(f=>{let w=d;return d+=f.leaves.length,{...f,first:w}}),u=m.map((f,w)=>`<li><a href="#chapter-${w+1}"><span>${g(f.title)}</span><span>${f.first}</span></a></li>`).join(`
`),h=m.flatMap((f,w)=>f.leaves.map((M,P)=>{let L=P>0?"":`<header class="chapter"><h2 id="chapter-${w+1}">${g(f.title)}</h2>${f.aim===void 0?"":`<p class="aim">${g(f.aim)}</p>`}<p class="caution">${g(Pe)}</p></header>`;return Kt(e,f.title,f.first+P,`${L}<div class="systems">${M}</div>`)}));return ye(e,ar,`<svg class="glyphs" aria-hidden="true" width="0" height="0"><defs>${[...c.values()].join("")}</defs></svg>
<main>
<section class="leaf title"><h1>${g(e)}</h1>${i===""?"":`<p>${g(i)}</p>`}</section>
${Kt(e,"Contents",2,`<h2>Contents</h2><ol class="contents">${u}</ol>`)}
${Kt(e,"How to practise",3,`<h2>How to practise</h2><ol class="steps">${Zo.map(f=>`<li>${g(f)}</li>`).join("")}</ol><p class="caution">${g(Pe)}</p>`)}
${h.join(`
`)}
</main>`)}var Zo=["Take one key a day. Say the chords aloud before you touch the keys.","Right hand alone, at a little more than half the tempo: say the fingers aloud where the hand turns.","Left hand alone: let the hand move as little as the notes do, and look ahead to the next chord.","Hands together at the slow tempo, two bars at a time. Loop the bars that do not come yet.","Three times through without a mistake before the tempo goes up, and no more than five beats a minute at once.","Rest the hands for a minute after each page, and stop while it still goes well.","Write down the tempo of each key, and start below it tomorrow."],Kt=(e,t,n,r)=>`<section class="leaf"><p class="running"><span>${g(e)}</span><span>${g(t)}</span></p><div class="body">${r}</div><p class="number">${n}</p></section>`,Qo=e=>({...e,left:e.left.map(({fingers:t,...n})=>n)}),es=({drills:e},t,n,r)=>{let a=e.map(({score:l},d)=>{let{tonic:m,mode:u}=l.key;return{label:`${J(m)}${u==="minor"?" minor":""}`,systems:Re(d===0?l:Qo(l),t,n)}}),s=(a.every(({systems:l})=>l.length===1)?[1,.98,.96,Xo]:[1]).map(l=>({scale:l,pages:ts(a,l)})),c=s.find(({pages:l})=>l.length<=Math.ceil(a.length/6))??s[0];return(c?.pages??[]).map(l=>l.map(d=>ns(d,c?.scale??1,r)).join(`
`))},ts=(e,t)=>{let n=[[]],r=Gt-Uo,a=({heightMm:i})=>i*t+Yo,o=()=>{n.push([]),r=Gt};for(let{label:i,systems:s}of e){let c=s.reduce((l,d)=>l+a(d),0);c>r&&c<=Gt&&o(),s.forEach((l,d)=>{let m=a(l),u=s[d+1],f=u!==void 0&&m+a(u)>r&&d>0&&mr(s[d-1])&&!mr(l);(m>r||f)&&o(),n.at(-1)?.push({system:l,label:d===0?i:""}),r-=m})}return n},mr=e=>{let t=e?.svg.split('class="measure"').at(-1)??"",[,n=""]=t.split('class="staff"');return/class="m?Rest"|class="m?rest"/.test(n)},ns=({system:e,label:t},n,r)=>{let a=i=>Math.round(i*n*100)/100,o=e.svg.replace(/<defs>([\s\S]*?)<\/defs>/g,(i,s)=>{for(let[c,l=""]of s.matchAll(/<g id="([^"]+)">[\s\S]*?<\/g>/g))r.set(l,c);return""}).replace(/ id="[^"]*"/g,"").replace(/style="--mm:[^"]*"/,`style="width:${a(e.widthMm)}mm;height:${a(e.heightMm)}mm"`);return`<div class="system">${t===""?"":`<h3>${g(t)}</h3>`}${o}</div>`};var rs=`${qe}
body { margin: 1rem auto; max-width: 60rem; padding: 0 1rem; color: var(--ink); background: var(--paper); font: 1rem/1.5 Georgia, "Times New Roman", serif; }
h1 { font-weight: normal; } h2 { margin: 2rem 0 0.25rem; font-weight: normal; border-bottom: 2px solid var(--ink); }
nav ul { list-style: none; padding: 0; display: flex; flex-wrap: wrap; gap: 0.25rem; }
a { color: inherit; } nav a, .files a { display: inline-block; min-width: 44px; padding: 0.6rem 0.4rem; text-align: center; }
.drill { padding: 0.4rem 0; border-bottom: 1px solid var(--line); } .drill > p { margin: 0; } .drill summary { display: inline-block; padding: 0.6rem 0.4rem 0.6rem 0; color: var(--faint); cursor: pointer; }
.drill .first { font-size: 1.1rem; } .drill .first a { padding: 0.4rem 0; display: inline-block; } .level { color: var(--faint); }
.caution { border-left: 4px solid var(--ink); padding-left: 1rem; }
@media print { body { margin: 0; } nav, summary { display: none; } }
`,Be=$(B(),_(1e4)),os=k(y({key:Be,level:Be,title:Be,files:k(y({label:Be,path:Be}))}));function ss(e,t,n){N(Be,e,"handout/argument"),N(Be,t,"handout/argument"),N(os,n,"handout/argument");let r=[...new Set(n.map(i=>i.key))],a=r.map((i,s)=>`<li><a href="#key-${s+1}">${g(i)}</a></li>`).join(""),o=r.map((i,s)=>as(i,s+1,n.filter(c=>c.key===i))).join(`
`);return ye(e,rs,`<main>
<h1>${g(e)}</h1>
<p class="caution">${g(t)}</p>
<nav aria-label="Keys"><ul>${a}</ul></nav>
${o}
</main>`)}var as=(e,t,n)=>`<section aria-labelledby="key-${t}">
<h2 id="key-${t}">${g(e)}</h2>
${n.map(is).join(`
`)}
</section>`,is=({level:e,title:t,files:n})=>{let r=n.find(({path:i})=>i.endsWith(".html")),a=n.filter(i=>i!==r),o=g(t);return`<div class="drill"><p class="first">${r===void 0?o:pr(r.path,t)} <span class="level">${g(e)}</span></p>${a.length===0?"":`<details${r===void 0?" open":""}><summary>Files</summary><p class="files">${a.map(({label:i,path:s})=>pr(s,i)).join(`
`)}</p></details>`}</div>`},pr=(e,t)=>`<a href="${g(e.split("/").map(encodeURIComponent).join("/"))}">${g(t)}</a>`;var ur=`(() => {
  "use strict";
  const data = JSON.parse(document.getElementById("tracks").textContent);
  let music = data;
  const control = (name) => document.getElementById(name);
  const playButton = control("play"), tempo = control("tempo"), from = control("from"), to = control("to");
  const loop = control("loop"), countIn = control("count-in"), status = control("status"), more = control("more"), panel = control("panel");
  const mode = control("mode"), ladder = control("ladder"), ladderStep = control("ladder-step"), ladderWhen = control("ladder-when"), ladderTop = control("ladder-top");
  const good = control("good"), reveal = control("reveal"), fresh = control("fresh"), hear = control("hear");
  const parts = ["right", "left", "bass", "drums"];
  const switches = Object.fromEntries(parts.map((part) => [part, control("part-" + part)]));
  const LOOKAHEAD = 0.15, TICK = 25;

  let audio, output, noise, timer = 0, frame, anchorTime = 0, anchorBeat = 0, handed = 0, pass = 0, queue = [], sounding = [], lit = [];
  let stretches = [], current = 0, wasGood = false, revealed = 0, sight = -1, reading = false;

  const beatsPerSecond = () => Number(tempo.value) / 60;
  const timeOf = (beat) => anchorTime + (beat - anchorBeat) / beatsPerSecond();
  const beatNow = () => anchorBeat + (audio.currentTime - anchorTime) * beatsPerSecond();
  const stretch = () => stretches[current];

  // Bars as they are asked for: all, or from one to another; the pickup belongs to the first time through bar 1.
  const asked = () => ({
    from: Number(from.value) === 1 && !(loop.checked && pass > 0) ? -music.lead : music.bars[Number(from.value) - 1],
    to: music.bars[Math.min(Number(to.value), music.bars.length - 1)],
  });
  const planned = () => {
    if (mode.value === "sight") return [{ from: -music.lead, to: music.bars[music.bars.length - 1], mute: reading ? "right" : "" }];
    const whole = asked();
    if (mode.value === "ear") return [{ from: whole.from, to: music.bars[Math.max(1, Math.min(revealed + 1, music.bars.length - 1))] }];
    if (mode.value !== "answer") return [whole];
    return music.phrases
      .filter((phrase) => phrase.to > whole.from && phrase.from < whole.to)
      .flatMap((phrase) => [{ ...phrase, call: true }, { ...phrase, mute: "right", answer: true }]);
  };

  const begin = () => {
    if (!audio) {
      audio = new AudioContext();
      output = audio.createDynamicsCompressor();
      output.connect(audio.destination);
      noise = audio.createBuffer(1, audio.sampleRate, audio.sampleRate);
      const samples = noise.getChannelData(0);
      let seed = 1;
      for (let i = 0; i < samples.length; i++) {
        seed = (seed * 1103515245 + 12345) % 2147483648;
        samples[i] = seed / 1073741824 - 1;
      }
    }
    audio.resume();
    pass = 0;
    wasGood = false;
    stretches = planned();
    current = 0;
    if (mode.value === "answer") veilFrom(0);
    enter(audio.currentTime + 0.1, countIn.checked || reading);
    playButton.textContent = "Stop";
    playButton.setAttribute("aria-pressed", "true");
    timer = setInterval(hand, TICK);
    hand();
    light();
  };

  const stop = () => {
    clearInterval(timer);
    cancelAnimationFrame(frame);
    timer = 0;
    for (const { gain } of sounding) {
      gain.gain.cancelScheduledValues(audio.currentTime);
      gain.gain.setTargetAtTime(0, audio.currentTime, 0.02);
    }
    sounding = [];
    unlight();
    playButton.textContent = "Play";
    playButton.setAttribute("aria-pressed", "false");
    say("Stopped.");
    if (mode.value === "answer") veilFrom(Infinity);
    if (reading) {
      reading = false;
      control("sight-" + sight).classList.add("read");
      for (const measure of control("sight-" + sight).querySelectorAll(".measure")) measure.classList.add("veiled");
      hear.hidden = false;
      playButton.disabled = true;
      say("That was the one chance. Hear it, or take a fresh line.");
    }
  };

  const enter = (time, counted) => {
    const { from: beat, to: end, mute, answer } = stretch();
    const lead = counted ? music.barLength : 0;
    anchorTime = time;
    anchorBeat = beat - lead;
    const clicks = counted ? music.clicks.map((at) => ({ at: beat - lead + at, duration: 0.1, midi: 37, part: "count-in" })) : [];
    queue = parts.flatMap((part) => (part === mute ? [] : (music.tracks[part] || []).map((note) => ({ ...note, part }))))
      .filter((note) => note.at >= beat && note.at < end)
      .concat(clicks)
      .sort((a, b) => a.at - b.at);
    handed = 0;
    if (stretch().call) say("Listen.");
    if (answer) say("Your turn: answer what you heard.");
  };

  const hand = () => {
    const horizon = audio.currentTime + LOOKAHEAD;
    while (timer && handed < queue.length && timeOf(queue[handed].at) < horizon) {
      const note = queue[handed++];
      const on = note.part === "count-in" || switches[note.part].checked;
      if (!on) continue;
      const time = Math.max(timeOf(note.at), audio.currentTime);
      const length = note.duration / beatsPerSecond();
      if (note.part === "drums" || note.part === "count-in") strike(note.midi, time, (note.velocity || 80) / 127);
      else tone(note.midi, time, length, (note.velocity || 80) / 127, note.part === "bass");
      document.dispatchEvent(new CustomEvent("note-scheduled", { detail: { part: note.part, midi: note.midi, beat: note.at, time: time, pass: pass, tempo: Number(tempo.value) } }));
    }
    if (!timer) return;
    sounding = sounding.filter((voice) => voice.until > audio.currentTime);
    const end = timeOf(stretch().to);
    if (end >= horizon || handed < queue.length) return;
    if (stretch().answer) revealUntil(stretch().to);
    if (current + 1 < stretches.length) {
      current++;
      enter(end, false);
      return;
    }
    if (!loop.checked || mode.value === "sight") {
      if (audio.currentTime > end) stop();
      return;
    }
    pass++;
    document.dispatchEvent(new CustomEvent("pass-ended", { detail: { pass: pass } }));
    if (ladder.checked && (ladderWhen.value === "pass" || wasGood)) setTempo(Math.min(Number(ladderTop.value), Number(tempo.value) + Number(ladderStep.value)));
    wasGood = false;
    stretches = planned();
    current = 0;
    if (mode.value === "answer") veilFrom(0);
    enter(end, false);
  };

  const tone = (midi, time, length, loudness, bass) => {
    const frequency = 440 * Math.pow(2, (midi - 69) / 12);
    const gain = audio.createGain();
    const filter = audio.createBiquadFilter();
    filter.type = "lowpass";
    filter.frequency.setValueAtTime(Math.min(12000, frequency * (bass ? 4 : 8)), time);
    filter.frequency.exponentialRampToValueAtTime(Math.max(80, frequency * 1.5), time + (bass ? 0.6 : 1.5));
    const peak = loudness * (bass ? 0.5 : 0.22);
    gain.gain.setValueAtTime(0.0001, time);
    gain.gain.exponentialRampToValueAtTime(peak, time + 0.006);
    gain.gain.exponentialRampToValueAtTime(peak * 0.35, time + Math.min(length, 0.8) + 0.01);
    gain.gain.setTargetAtTime(0, time + length, 0.05);
    for (const [type, ratio, share] of bass ? [["triangle", 1, 1]] : [["triangle", 1, 1], ["sine", 2, 0.35], ["sine", 3, 0.12]]) {
      const oscillator = audio.createOscillator();
      const level = audio.createGain();
      level.gain.value = share;
      oscillator.type = type;
      oscillator.frequency.value = frequency * ratio;
      oscillator.connect(level).connect(filter);
      oscillator.start(time);
      oscillator.stop(time + length + 0.4);
    }
    filter.connect(gain).connect(output);
    sounding.push({ gain: gain, until: time + length + 0.4 });
  };

  const DRUMS = { 35: [90, 0.25, 0], 36: [90, 0.25, 0], 37: [1800, 0.04, 1], 38: [1500, 0.14, 1], 40: [2500, 0.2, 1], 42: [8000, 0.05, 1], 44: [7000, 0.06, 1], 46: [7000, 0.3, 1], 51: [6000, 0.4, 1], 53: [4000, 0.4, 1], 59: [5500, 0.4, 1] };
  const strike = (midi, time, loudness) => {
    const [frequency, decay, noisy] = DRUMS[midi] || [3000, 0.1, 1];
    const gain = audio.createGain();
    gain.gain.setValueAtTime(loudness * (noisy ? 0.16 : 0.5), time);
    gain.gain.exponentialRampToValueAtTime(0.0001, time + decay);
    let source;
    if (noisy) {
      source = audio.createBufferSource();
      source.buffer = noise;
      const filter = audio.createBiquadFilter();
      filter.type = frequency > 3000 ? "highpass" : "bandpass";
      filter.frequency.value = frequency;
      source.connect(filter).connect(gain);
    } else {
      source = audio.createOscillator();
      source.frequency.setValueAtTime(frequency, time);
      source.frequency.exponentialRampToValueAtTime(frequency / 2, time + decay);
      source.connect(gain);
    }
    gain.connect(output);
    source.start(time);
    source.stop(time + decay + 0.05);
    sounding.push({ gain: gain, until: time + decay + 0.05 });
  };

  // Bars as they are drawn, in each layout; a pickup is drawn as a bar of its own, and what is repeated once.
  const sheets = () => Array.from(document.querySelectorAll(sight < 0 || mode.value !== "sight" ? ".sheet" : "#sight-" + sight));
  const measuresOf = (sheet) => Array.from(sheet.querySelectorAll(".measure"));
  const barAt = (beat) => music.bars.findLastIndex((start) => start <= beat + 1e-6);
  const veilFrom = (bar) => {
    const shown = new Set(music.drawn.slice(0, bar));
    if (music.lead > 0 && bar > 0) shown.add(0);
    for (const sheet of sheets()) measuresOf(sheet).forEach((measure, i) => measure.classList.toggle("veiled", !shown.has(i)));
  };
  const revealUntil = (beat) => veilFrom(Math.max(barAt(beat - 1e-3) + 1, 0));

  const unlight = () => {
    for (const element of lit) element.classList.remove("sounding");
    lit = [];
  };

  let shownBar = 0;
  const light = () => {
    const beat = beatNow();
    const now = [];
    for (const part of ["right", "left"]) {
      if (!switches[part].checked || stretch().mute === part) continue;
      for (const note of music.tracks[part]) {
        if (note.at > beat || note.at + note.duration <= beat) continue;
        for (const id of note.ids) {
          for (const prefix of music.prefixes) {
            const element = document.getElementById(prefix + id);
            if (element) now.push(element);
          }
        }
        for (const key of document.querySelectorAll('[data-hand="' + part + '"] [data-midi="' + note.midi + '"]')) now.push(key);
      }
    }
    unlight();
    lit = now;
    for (const element of lit) element.classList.add("sounding");
    const bar = beat < anchorBeat ? 0 : barAt(beat) + 1;
    if (bar !== shownBar) {
      shownBar = bar;
      if (mode.value !== "answer") say(beat < stretch().from ? "Counting in." : "Bar " + Math.max(1, Math.min(bar, music.bars.length - 1)) + ".");
      follow(bar);
    }
    frame = requestAnimationFrame(light);
  };

  // The system that sounds is brought into view, unless it is there already.
  const follow = (bar) => {
    for (const sheet of sheets()) {
      if (sheet.getClientRects().length === 0) continue;
      const measure = measuresOf(sheet)[bar < 1 ? 0 : music.drawn[bar - 1]];
      const system = measure && measure.closest(".systems > svg");
      if (!system) continue;
      const { top, bottom } = system.getBoundingClientRect();
      const floor = innerHeight - document.querySelector(".player").offsetHeight;
      if (top >= 0 && bottom <= floor) continue;
      const calm = matchMedia("(prefers-reduced-motion: reduce)").matches;
      scrollBy({ top: top - 16, behavior: calm ? "auto" : "smooth" });
    }
  };

  const say = (text) => { status.textContent = text; };
  const setTempo = (value) => {
    if (timer) {
      anchorBeat = beatNow();
      anchorTime = audio.currentTime;
    }
    tempo.value = String(value);
    showTempo();
  };
  const showTempo = () => {
    control("tempo-text").textContent = tempo.value;
    tempo.setAttribute("aria-valuetext", tempo.value + " beats a minute");
  };
  const restart = () => {
    if (!timer) return;
    stop();
    begin();
  };

  const changeMode = () => {
    if (timer) stop();
    reading = false;
    const sighted = mode.value === "sight";
    music = data;
    playButton.disabled = sighted;
    reveal.hidden = mode.value !== "ear";
    fresh.hidden = !sighted;
    hear.hidden = true;
    for (const section of document.querySelectorAll(".sight")) section.hidden = true;
    for (const sheet of document.querySelectorAll(".sheet")) sheet.hidden = sighted;
    for (const told of document.querySelectorAll("[data-told]")) told.hidden = told.dataset.told !== mode.value;
    revealed = 0;
    veilFrom(mode.value === "ear" ? 0 : Infinity);
    say("");
  };

  playButton.addEventListener("click", () => (timer ? stop() : begin()));
  more.addEventListener("click", () => {
    panel.hidden = !panel.hidden;
    more.setAttribute("aria-expanded", String(!panel.hidden));
  });
  loop.addEventListener("click", () => {
    loop.checked = !loop.checked;
    loop.setAttribute("aria-pressed", String(loop.checked));
  });
  loop.checked = true;
  control("slower").addEventListener("click", () => setTempo(Number(tempo.value) - 4));
  control("faster").addEventListener("click", () => setTempo(Number(tempo.value) + 4));
  tempo.addEventListener("input", () => setTempo(tempo.value));
  mode.addEventListener("change", changeMode);
  good.addEventListener("click", () => {
    wasGood = true;
    say("Good: the next pass is faster.");
  });
  ladder.addEventListener("change", () => {
    good.hidden = !(ladder.checked && ladderWhen.value === "good");
  });
  ladderWhen.addEventListener("change", () => {
    good.hidden = !(ladder.checked && ladderWhen.value === "good");
  });
  reveal.addEventListener("click", () => {
    revealed = Math.min(revealed + 1, music.bars.length - 1);
    veilFrom(revealed);
    say(revealed === music.bars.length - 1 ? "All bars are shown." : revealed + (revealed === 1 ? " bar is" : " bars are") + " shown.");
    restart();
  });
  fresh.addEventListener("click", () => {
    if (timer) {
      reading = false;
      stop();
    }
    if (sight + 1 >= data.sight.length) {
      say("All fresh lines are read. Make the page anew with another seed for more.");
      return;
    }
    if (sight >= 0) control("sight-" + sight).hidden = true;
    sight++;
    control("sight-" + sight).hidden = false;
    music = data.sight[sight];
    reading = true;
    hear.hidden = true;
    playButton.disabled = false;
    playButton.focus();
    say("Look it over. Play counts you in, once.");
  });
  hear.addEventListener("click", () => {
    for (const measure of control("sight-" + sight).querySelectorAll(".measure")) measure.classList.remove("veiled");
    if (timer) stop();
    begin();
  });
  const orderBars = (changed) => {
    if (Number(from.value) > Number(to.value)) (changed === from ? to : from).value = changed.value;
    restart();
  };
  from.addEventListener("change", () => orderBars(from));
  to.addEventListener("change", () => orderBars(to));
  document.addEventListener("keydown", (event) => {
    if (event.key !== " " || event.target.closest("button, input, select, a, summary")) return;
    event.preventDefault();
    if (!playButton.disabled) playButton.click();
  });
  showTempo();
  changeMode();
})();`;var wt=(e,t)=>Math.max(20,Math.round(e*t/2)*2),hr=({recipe:e,score:t})=>[`Right hand alone at ${wt(e.tempo,.6)} beats a minute: say the fingers aloud where the hand turns.`,"Left hand alone at the same tempo: let the hand move as little as the notes do, and look ahead to the next chord.",`Hands together at ${wt(e.tempo,.6)}, two bars at a time; loop the bars that do not come yet.`,`Hands together at ${wt(e.tempo,.8)} through all ${t.bars} bars. Rest the hands for a minute.`,...t.bass===void 0?[]:[`With bass and drums at ${wt(e.tempo,.8)}, then at ${e.tempo}: ${e.values==="triplets"?"let the triplets lie evenly on the ride cymbal":"listen for the short note of the swung pair"}.`],"Stop while it still goes well, and write down the tempo for tomorrow."];var qt=(e,t,n)=>t.flatMap(r=>ls(e,r,n)).sort((r,a)=>r.at-a.at||r.midi-a.midi),ls=(e,t,n)=>{let r=new Map,{onPaper:a}=Fe(e),o=dn(e,t,n).map(s=>{let c=rn(r,s.event,()=>0);s.grace&&r.set(s.event,c+1);let l=j(s.at),d=j(s.duration);return{part:t,event:s.event,midi:s.midi,...s.pitch&&{pitch:st(s.pitch)},velocity:s.velocity,grace:s.grace,written:j(V(e[t]??[],s.event).at),at:l,lasts:d,engraved:cs(e,a,s,c,l,d)}}),i=new Map;return o.reverse().map(s=>{let c=i.get(s.midi)??1/0;return i.set(s.midi,s.at),s.at+s.lasts>c&&c>s.at?{...s,lasts:c-s.at}:s}).reverse()},cs=(e,t,{part:n,event:r,grace:a,pitch:o},i,s,c)=>{if(n!=="right"&&n!=="left"||o===void 0)return[];let{at:l,duration:d}=V(e[n],r);if(a)return[{id:Mt(n,t(l),o,{grace:i}),after:0,lasts:c}];let m=sn(e.feel,n),u=cn(e,l,d),h=u.map((f,w)=>w===0?0:Math.min(c,j(an(m,f.at))-s));return u.map((f,w)=>({id:Mt(n,t(f.at),o),after:V(h,w),lasts:Math.max(0,(h[w+1]??c)-V(h,w))}))};var Vt=(e,t)=>{let{bars:n}=Fe(e),r=j(Ae(e.metre)),a=j(it(e.metre)),o=s=>qt(e,[s],{touch:t}).map(({at:c,lasts:l,midi:d,velocity:m,engraved:u})=>({at:fr(c),duration:fr(l),midi:d,velocity:m,ids:u.map(({id:h})=>h)})),i=Array.from({length:e.bars+1},(s,c)=>j(on(e,c+1)));return{lead:j(e.pickup),barLength:a,bars:i,drawn:n.map(s=>s-1+(e.pickup.num>0?1:0)),clicks:Array.from({length:Math.round(a/r)},(s,c)=>c*r),tracks:{right:o("right"),left:o("left"),bass:o("bass"),drums:o("drums")},phrases:ds(e,i)}},ds=(e,t)=>{let n=t.at(-1)??0,r=(e.phrases??[]).map(({at:i,duration:s})=>({from:t.findLast(c=>c<=j(i))??0,to:t.find(c=>c>=j(nn(i,s)))??n})),a=r.length>0?r:Array.from({length:Math.ceil(e.bars/2)},(i,s)=>({from:t[2*s]??0,to:t[2*(s+1)]??n})),o=[];for(let{from:i,to:s}of a){let c=Math.max(i,o.at(-1)?.to??0);s>c&&o.push({from:c,to:s})}return o},fr=e=>Math.round(e*1e6)/1e6;var ms=W({engrave:U(e=>typeof e=="function","a function"),fingers:E(Q(["all","first","turns","none"])),sightLines:E($(k(y({})),_(12)))});function ps(e,t){N(hs,e,"handout/argument"),ge(e.score,"handout/argument"),N(ms,t,"handout/argument");let{numerals:n,leftAs:r,bassLine:a}=e.recipe,o={numerals:n,leftAs:r,bassLine:a},{engrave:i,fingers:s=e.recipe.fingers??"first",sightLines:c=[]}=t;for(let h of c)ge(h,"handout/argument");let l=e.recipe.touch??"played",m={...Vt(e.score,l),prefixes:["","phone-"],sight:c.map((h,f)=>({...Vt(h,l),prefixes:[`sight-${f}-phone-`]}))},u=h=>`<div class="systems sheet on-${h}" role="img" aria-label="${g(`Engraved music, ${e.score.bars} bars; the scale and the chords are told below.`)}">${Re(e.score,i,{...o,on:h,fingers:s}).map(({svg:f})=>f).join(`
`)}</div>`;return ye(`${e.title}: ${br(e)}`,sr,`<main>
<h1>${g(e.title)}</h1>
<p class="exercise">${g(br(e))}</p>
<p class="job">${g(Wt(e).aim)}</p>
<p class="details">${g(vs(e))}</p>
<section aria-labelledby="music"><h2 id="music">Music</h2>
${gs(e)}
${u("page")}
${u("phone")}
${c.map((h,f)=>bs(h,f,i)).join(`
`)}</section>
<section aria-labelledby="left-hand"><h2 id="left-hand">${e.recipe.right==="comping"?"Both hands":"Left hand"}</h2>
<div class="cards" data-hand="left">${ks(ws(e.voiced.voicings))}</div></section>
${e.recipe.right==="comping"?"":Ms(e)}
${e.recipe.numerals===!0?$s(e):""}
<section aria-labelledby="steps"><h2 id="steps">How to practise</h2>
<ol>${hr(e).map(h=>`<li>${g(h)}</li>`).join("")}</ol></section>
<p class="caution"><strong>Caution.</strong> ${g(Pe)}</p>
</main>
${xs(e,c.length)}
<script type="application/json" id="tracks">${JSON.stringify(m).replace(/</g,"\\u003c")}</script>
<script>${ur}</script>`)}var us=k(y({})),gr=rt([B(),y({id:B()})]),hs=y({kind:fe("drill"),title:$(B(),_(1e3)),recipe:y({tempo:$(z(),xe()),values:E(B()),left:rt([gr,k(gr)]),right:rt([B(),y({title:B(),aim:B()})])}),score:y({}),line:y({id:B(),scale:y({})}),voiced:y({voicings:us})}),fs='<svg viewBox="0 0 10 16" role="img" aria-label="quarter note"><ellipse cx="4" cy="13" rx="3.4" ry="2.5" transform="rotate(-20 4 13)"/><path d="M7.2 12.4V1" stroke-width="1"/></svg>',gs=({score:e})=>{let{feel:t,metre:n}=e,r=t.ratio.first!==t.ratio.second,a=Math.round(e.tempo/j(Ae(n))*100)/100,o=j(Ae(n))===1?fs:"beat";return`<p class="tempo-mark">${r?`Swing${t.unit==="16th"?" 16ths":""}, `:""}${o} = ${a}</p>`},bs=(e,t,n)=>`<div class="sight" id="sight-${t}" hidden><p>Fresh line ${t+1}: look it over, then play it once.</p><div class="systems" role="img" aria-label="A fresh line of ${e.bars} bars">${Re(e,n,{on:"phone",fingers:"none"}).map(({svg:r})=>r.replace(/ id="/g,` id="sight-${t}-`).replace(/href="#/g,`href="#sight-${t}-`)).join(`
`)}</div></div>`,ys=e=>e.charAt(0).toUpperCase()+e.slice(1),br=e=>{let{recipe:t}=e;return ys([Wt(e).title.toLowerCase(),yr(t)].filter(n=>n!=="").join(", "))},yr=({values:e,level:t})=>e===void 0?t===void 0?"":`level ${t}`:`in ${e}`,Wt=({recipe:e})=>xn(e.right),vs=e=>{let{recipe:t,line:n,voiced:r,score:a}=e,o=[...new Set(r.voicings.map(({chord:c})=>Ce(c)))],i=t.right==="comping",s=`${J(n.scale.tonic)} ${n.scale.type}, ${Wt(e).title.toLowerCase()}, ${yr(t)}`;return`${i?"Both hands":`Right hand: ${s}. Left hand`}: ${[t.left].flat().map(wn).join(" or ")} voicings of ${o.join(", ")}; ${e.comping.title}. ${a.bars} bars, ${t.tempo} beats a minute.`},xs=({score:e,recipe:t},n)=>{let r=Fe(e).bars.map((l,d)=>({bar:d+1,written:l})),a=(l,d,m)=>`<label>${d} <select id="${l}">${r.map(({bar:u,written:h})=>`<option value="${u}"${u===m?" selected":""}>${u===h?u:`${u} (as ${h})`}</option>`).join("")}</select></label>`,o=(l,d,m)=>`<label><input type="checkbox" id="${l}"${m?" checked":" disabled"}> ${d}</label>`,i={bass:e.bass!==void 0,drums:e.drums!==void 0},s=Math.max(240,t.tempo),c=(l,d)=>`<option value="${l}">${d}</option>`;return`<section class="player" aria-label="Player">
<div class="more" id="panel" hidden>
<label>Way <select id="mode">${c("play","play along")}${c("answer","call and response")}${c("ear","by ear")}${n===0?"":c("sight","sight-reading")}</select></label>
<label>Tempo <input type="range" id="tempo" min="20" max="${s}" step="1" value="${t.tempo}"></label>
<fieldset><legend>Bars</legend>${a("from","from",1)} ${a("to","to",e.bars)}</fieldset>
<fieldset><legend>Ladder</legend><label><input type="checkbox" id="ladder"> faster by</label> <label><input type="number" id="ladder-step" min="1" max="40" value="4" aria-label="beats a minute faster"></label>
<label>after <select id="ladder-when">${c("pass","each pass")}${c("good","each good pass")}</select></label> <label>up to <input type="number" id="ladder-top" min="20" max="${s}" value="${Math.min(s,t.tempo+40)}"></label></fieldset>
<label><input type="checkbox" id="count-in" checked> count-in</label>
<fieldset><legend>Hear</legend>${o("part-right","right hand",!0)} ${o("part-left","left hand",!0)} ${o("part-bass","bass",i.bass)} ${o("part-drums","drums",i.drums)}</fieldset>
<p data-told="answer" hidden>A phrase is played; its length is left for your answer; then it is shown.</p>
<p data-told="ear" hidden>The music is hidden. Find it on the keys, then show it bar by bar.</p>
<p data-told="sight" hidden>A line that you have not seen: one look, one chance.</p>
</div>
<div class="bar">
<button type="button" id="play" aria-pressed="false">Play</button>
<button type="button" id="slower" aria-label="slower">\u2212</button><span class="tempo-now" id="tempo-text">${t.tempo}</span><button type="button" id="faster" aria-label="faster">+</button>
<button type="button" id="loop" aria-pressed="true">Loop</button>
<button type="button" id="good" hidden>Good</button><button type="button" id="reveal" hidden>Show a bar</button><button type="button" id="fresh" hidden>Fresh line</button><button type="button" id="hear" hidden>Hear it</button>
<span class="status" id="status" role="status"></span>
<button type="button" id="more" aria-expanded="false" aria-controls="panel">More</button>
</div>
</section>`},ws=e=>{let t=new Set;return e.filter(({chord:n,pitches:r})=>{let a=`${n.canonical} ${r.map(st).join(" ")}`;return t.has(a)?!1:!!t.add(a)})},ks=e=>{let t=e.flatMap(({pitches:n})=>n);return e.map(n=>{let r=n.degrees.map(en).join(" ");return`<figure>${ut(n,{title:Ce(n.chord),legend:!1,reach:t})}<figcaption>${g(r)}</figcaption></figure>`}).join(`
`)},$s=({progression:e})=>{let t=new Map;for(let{chord:n,home:r,scale:a,key:o}of fn(e).chords){let i=hn.find(({id:l})=>l===a),s=i?.degrees.map(l=>J(Qt(n.root,Zt(l))))??[],c=[Ce(n),un(r),`${J(o.tonic)} ${o.mode}`,`${i?.title??a}: ${s.join(" ")}`];t.set(c.join(" "),`<tr>${c.map(l=>`<td>${g(l)}</td>`).join("")}</tr>`)}return`<section aria-labelledby="harmony" class="harmony"><h2 id="harmony">Harmony</h2>
<table><thead><tr><th>Chord</th><th>In the key</th><th>Key of the moment</th><th>Scale</th></tr></thead><tbody>${[...t.values()].join("")}</tbody></table></section>`},Ms=e=>`<section aria-labelledby="right-hand" class="scale"><h2 id="right-hand">Right hand</h2>
${Ss(e)}</section>`,Ss=({line:e,recipe:t})=>{let n=yn(e.scale,{hand:"right",...t.octaves&&{octaves:t.octaves}}),r=`${J(e.scale.tonic)} ${e.scale.type}`,a=n.remarks.map(({message:i})=>`<p>${g(i)}</p>`).join(""),o="form"in e?`<p>Phrases: ${g(vn(e))}.</p>`:"";return`<figure data-hand="right">${ut(n,{title:r})}</figure>${a}${o}`};var Os=W({engrave:U(e=>typeof e=="function","a function"),fingers:E(Q(["all","first","turns","none"]))});function Ts(e,t){ge(e,"handout/argument"),N(Os,t,"handout/argument");let n=Re(e,t.engrave,{on:"page",fingers:t.fingers??"first"}),r=/<style>(@font-face[\s\S]*?)<\/style>/.exec(n[0]?.svg??"")?.[1]??"";return n.map(({svg:a,widthMm:o,heightMm:i},s)=>{let c=g(`${e.title===""?"Engraved music":e.title}, system ${s+1} of ${n.length}`);return a.replace(/<style>@font-face[\s\S]*?<\/style>/,"").replace(/^<svg style="[^"]*" aria-hidden="true"([^>]*)>/,(l,d)=>`<svg xmlns="http://www.w3.org/2000/svg" width="${o}mm" height="${i}mm" class="systems" role="img" aria-label="${c}"${d.replace(/ (?:xmlns(?::\w+)?|width|height)="[^"]*"/g,"")}><style>${r}.systems { color: black; fill: currentColor; }${Je.replace(/\.systems > svg \{[^}]*\}/,"")}</style>`)})}import{createHash as Es}from"node:crypto";var Ns=120,As=[[/\b([A-G])(bb|b)(?![\p{L}\p{N}])/gu,"$1-flat "],[/(?<=\b[A-G])♭/gu,"-flat "],[/(?<=\b[A-G])(##|#|♯)(?![\p{L}\p{N}])/gu,"-sharp "],[/[#♯]/gu,"-sharp-"],[/♭/gu,"b"],[/\+/gu,"-plus-"],[/[°º]/gu,"-dim-"],[/[∆△]/gu,"\u0394"]],nl=e=>{let t=As.reduce((r,[a,o])=>r.replace(a,o),e.normalize("NFC")).replace(/[^\p{L}\p{N}\p{M}]+/gu,"-").replace(/^-+|-+$/g,""),n="";for(let r of t){if(Buffer.byteLength(n+r)>Ns)break;n+=r}return n.replace(/-+$/,"")},rl=(...e)=>{let t=Es("sha256");for(let n of e)t.update(n).update("\0");return BigInt(`0x${t.digest("hex").slice(0,10)}`).toString(32).padStart(8,"0")};export{Co as a,Do as b,Jo as c,ps as d,ss as e,Ts as f,nl as g,rl as h};
