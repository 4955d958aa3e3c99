import { loadEngraver } from "/work/wt/page/src/cli/engrave.ts";
import { makeDrill } from "/work/wt/page/src/drill/index.ts";
import { engraveScore, ENGRAVING_STYLE } from "/work/wt/page/src/handout/engraved.ts";
import { collisionsOn } from "/work/wt/page/tests/handout/collisions.ts";
import { chromium } from "playwright-core";
const count = Number(process.argv[2] ?? 20);
const engrave = await loadEngraver();
const b = await chromium.launch({executablePath:"/usr/bin/chromium",args:["--no-sandbox","--disable-gpu"]});
const fonts = {"Liberation Serif":"", "DejaVu Serif": ".systems text{font-family:'DejaVu Serif'!important}"};
const page = await b.newPage({viewport:{width:1000,height:900}});
const kinds: Record<string, Record<string, number>> = {};
let systems = 0, low = 99, high = 0;
const KEYS=["C","F","Bb","Eb","Ab","Db","F#","B","E","A","D","G"], CH=["jazz-blues","blues","turnaround","two-five-one"], R=["up-and-down","turns","improvised","slides","octave-shifts","improvised"];
for (let i=0;i<count;i++) {
  let d; try { d = makeDrill({ key: KEYS[i%12], changes: CH[i%4], left: i%3===0?"rootless":"shell", right: R[i%6], ...(R[i%6]==="improvised"?{level:(i%5)+1}:{}), ...(i%7===0?{values:"triplets"}:{}), pickup: i%5===0, seed: i+1 } as never);} catch(e) { console.log(String(e).slice(0,100)); continue; }
  for (const on of ["page","phone"] as const) {
    const s = engraveScore(d.score, engrave, {on, fingers:"first"});
    systems += s.length;
    for (const [font, css] of Object.entries(fonts)) {
      await page.setViewportSize({width: on==="page"?1000:390, height: 900});
      await page.addInitScript("globalThis.__name = (f) => f"); await page.setContent(`<script>globalThis.__name=(f)=>f</script><!doctype html><style>:root{--ink:#000}body{margin:8px}${ENGRAVING_STYLE}${css}</style><div class=systems>${s.map(x=>x.svg).join("")}</div>`);
      const mm = await page.evaluate(() => Array.from(document.querySelectorAll(".systems > svg")).map(s => { const r = s.getBoundingClientRect(); const l = Array.from(s.querySelectorAll("g.staff")[0].querySelectorAll(":scope > path")).map(x=>x.getBoundingClientRect().top+x.getBoundingClientRect().height/2); return (Math.max(...l)-Math.min(...l))/r.width*parseFloat(getComputedStyle(s).getPropertyValue("--mm")); }));
      for (const m of mm) { low=Math.min(low,m); high=Math.max(high,m); }
      for (const c of await collisionsOn(page)) { const k = font+" "+on+": "+c.marks.replace(/fing \S+/g,"fing").replace(/harm \S+/g,"harm").replace(/mNum \d+/,"mNum"); (kinds[k] ??= {n:0, most:0, at: i}); kinds[k].n++; kinds[k].most=Math.max(kinds[k].most,c.by); }
    }
  }
}
console.log(systems, "systems", low.toFixed(2), high.toFixed(2)); console.table(kinds);
await b.close();
