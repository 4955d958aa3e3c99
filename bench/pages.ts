import { chromium } from "playwright-core";
import { loadEngraver } from "../src/cli/engrave.ts";
import { makeDrill } from "../src/drill/index.ts";
import { handoutPage } from "../src/handout/index.ts";
import type { DrillRecipe } from "../src/recipe/index.ts";
import { collisionsOn } from "../tests/handout/collisions.ts";
import { staffHeights } from "../tests/handout/staves.ts";

// Staff heights and collisions over many pages: the table of docs/the-page.md. `npx tsx bench/pages.ts 200`; a figure that is no collision is
// told with the recipe of its page, to be looked at.
const PAGES = Number(process.argv[2] ?? 200);
const FONTS = ["Liberation Serif", "DejaVu Serif"];
const WIDTHS = [
  ["paper", 1000],
  ["phone", 390],
] as const;

const KEYS = ["C", "F#", "Bb", "Eb", "B", "Ab", "G", "Db", "E", "F", "A", "D", "Gb"];
const FORM =
  "[A] |: Dm7 | G7 | Cmaj7 |1 A7 :|2 C6 | [B] Fm7 | Bb7 To Coda | Ebmaj7 | G7 D.C. al Coda | [Coda] Dm7 G7 | C6";
const CHANGES = ["turnaround", "jazz-blues", "two-five-one", "blues", "I6 VI7 | ii7 V7 | Imaj7 | %", FORM];
const LEFTS = ["shell", "rootless", "close", "fourths"] as const;

type Kind = readonly [name: string, recipe: (i: number) => Partial<DrillRecipe>];
const KINDS: readonly Kind[] = [
  [
    "exercises",
    (i) => ({
      right: (["up-and-down", "turns", "slides"] as const)[i % 3],
      values: i % 2 === 0 ? "eighths" : "triplets",
    }),
  ],
  ["improvised lines", (i) => ({ right: "improvised", level: ((i % 5) + 1) as 1 | 2 | 3 | 4 | 5, seed: i + 1 })],
  ["numerals and brackets", (i) => ({ right: "improvised", level: 2, seed: i + 1, numerals: true })],
  ["all fingers", (i) => ({ right: "improvised", level: 3, seed: i + 1, fingers: "all" })],
  [
    "rhythm, bass below",
    (i) => ({
      right: "improvised",
      level: 3,
      seed: i + 1,
      leftAs: "rhythm",
      numerals: i % 2 === 1,
      bassLine: true,
      comping: "charleston",
    }),
  ],
  [
    "repeats as written",
    (i) => ({ right: "improvised", level: 2, seed: i + 1, changes: FORM, chartKey: "C", asWritten: true }),
  ],
];

const engrave = await loadEngraver();
const browser = await chromium.launch({
  executablePath: process.env.HANDS_TOGETHER_CHROMIUM ?? "/usr/bin/chromium",
  args: ["--no-sandbox", "--disable-gpu", "--disable-background-networking"],
});
const page = await browser.newPage();
// tsx names functions by a helper that a page does not have.
await page.addInitScript("globalThis.__name = (one) => one");
await page.goto("about:blank");
const rows = new Map<string, { pages: number; systems: number; low: number; high: number; collisions: number }>();
for (let i = 0; i < PAGES; i++) {
  const [kind, more] = KINDS[i % KINDS.length] ?? ["", () => ({})];
  const n = Math.floor(i / KINDS.length);
  const recipe = {
    key: KEYS[i % KEYS.length] ?? "C",
    changes: CHANGES[n % 5] ?? "blues",
    left: LEFTS[n % 4] ?? "shell",
    ...more(n),
  };
  const html = handoutPage(makeDrill(recipe as DrillRecipe), { engrave });
  for (const font of FONTS) {
    for (const [where, width] of WIDTHS) {
      await page.setViewportSize({ width, height: 900 });
      await page.emulateMedia({ media: where === "paper" ? "print" : "screen" });
      await page.setContent(`${html}<style>.systems text { font-family: "${font}" !important; }</style>`);
      const row = rows.get(`${kind} | ${where}`) ?? { pages: 0, systems: 0, low: 99, high: 0, collisions: 0 };
      const found = await collisionsOn(page);
      if (where === "paper") {
        const staves = await staffHeights(page);
        row.systems += staves.length;
        row.low = Math.min(row.low, ...staves);
        row.high = Math.max(row.high, ...staves);
      }
      row.pages += font === FONTS[0] ? 1 : 0;
      row.collisions += found.length;
      for (const one of found) console.error(JSON.stringify(recipe), font, where, one.marks, one.by);
      rows.set(`${kind} | ${where}`, row);
    }
  }
}
await browser.close();
console.log(
  `| ${PAGES} pages | where | pages | systems, two fonts | staff in mm | collisions |\n|---|---|---|---|---|---|`,
);
for (const [name, { pages, systems, low, high, collisions }] of rows)
  console.log(
    `| ${name} | ${pages} | ${systems || ""} | ${systems === 0 ? "" : `${low.toFixed(2)} to ${high.toFixed(2)}`} | ${collisions} |`,
  );
