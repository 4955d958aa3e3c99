import { ENGRAVING_STYLE } from "./engraved.ts";

/** Ink and paper of every page, by day and by night; print is always black on white. */
export const COLOURS = `
:root { color-scheme: light dark; --ink: #1d1b18; --faint: #5f584e; --paper: #fffdf8; --line: #cfc6b6; --sound: #b3400f; --key: #f2c9b3; }
@media screen and (prefers-color-scheme: dark) {
  :root { --ink: #ece6da; --faint: #b5ab9b; --paper: #191714; --line: #4a443b; --sound: #ff9d66; --key: #f2c9b3; }
}
`;

/** The handout's look: ink on paper, one warm accent for what sounds, legible in black and white; the player is left out in print. */
export const STYLE = `${COLOURS}
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
${ENGRAVING_STYLE}
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
  .cards { grid-template-columns: repeat(3, 1fr); }
  .cards figure { max-width: 58mm; } .scale svg { max-height: 56mm; width: auto; } .scale .contour svg { max-height: none; width: 100%; }
}
`;

/** The look of a book: pages of one size that A4 and Letter hold alike, black on white in print. */
export const BOOK_STYLE = `${COLOURS}
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
${ENGRAVING_STYLE}
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
`;
