/** The handout's look: ink on paper, one warm accent for what sounds, legible in black and white; the player is left out in print. */
export const STYLE = `
:root { color-scheme: light; --ink: #1d1b18; --faint: #5f584e; --paper: #fffdf8; --line: #cfc6b6; --sound: #b3400f; }
* { box-sizing: border-box; }
body { margin: 0 auto; max-width: 62rem; padding: 1.5rem; color: var(--ink); background: var(--paper); font: 1rem/1.5 Georgia, "Times New Roman", serif; }
h1 { margin: 0 0 0.25rem; font-weight: normal; font-size: 2rem; }
h2 { margin: 1.75rem 0 0.5rem; font-weight: normal; font-size: 1.3rem; border-bottom: 2px solid var(--ink); }
.job { margin: 0; font-size: 1.15rem; font-style: italic; }
.details { margin: 0.25rem 0 1rem; color: var(--faint); }
.player { position: sticky; top: 0; z-index: 1; display: flex; flex-wrap: wrap; gap: 0.5rem 1.25rem; align-items: center; padding: 0.6rem 0.8rem; background: var(--paper); border: 1px solid var(--ink); font-family: system-ui, sans-serif; font-size: 0.9rem; }
.player fieldset { display: flex; flex-wrap: wrap; gap: 0.25rem 0.8rem; margin: 0; padding: 0; border: 0; }
.player legend { float: left; margin-right: 0.6rem; padding: 0; color: var(--faint); }
.player button { min-width: 4.5rem; padding: 0.4rem 1rem; font: inherit; font-weight: bold; color: var(--paper); background: var(--ink); border: 1px solid var(--ink); border-radius: 0; cursor: pointer; }
.player select { font: inherit; }
.player input[type="range"] { width: 9rem; vertical-align: middle; accent-color: var(--ink); }
.player :focus-visible { outline: 3px solid var(--sound); outline-offset: 2px; }
#tempo-text { display: inline-block; min-width: 2.2em; text-align: right; }
.systems svg { display: block; width: 100%; height: auto; overflow: visible; break-inside: avoid; }
.cards { display: grid; grid-template-columns: repeat(auto-fill, minmax(17rem, 1fr)); gap: 0.75rem; }
.cards figure { margin: 0; break-inside: avoid; }
.cards svg, .scale svg { display: block; max-width: 100%; height: auto; background: #fff; }
.scale figure { margin: 0; break-inside: avoid; }
figcaption { color: var(--faint); font-size: 0.9rem; }
ol { padding-left: 1.5rem; } li { margin: 0.2rem 0; }
.caution { margin-top: 1.5rem; border-left: 4px solid var(--ink); padding: 0.25rem 0 0.25rem 1rem; break-inside: avoid; }
.sounding { fill: var(--sound); color: var(--sound); }
.sounding * { fill: var(--sound); }
[data-midi].sounding { stroke: var(--sound); stroke-width: 5; fill: #f2c9b3; }
@media (prefers-reduced-motion: no-preference) { .player button { transition: opacity 0.1s; } }
@media print {
  @page { margin: 14mm; }
  body { max-width: none; padding: 0; background: none; font-size: 10.5pt; }
  .player, .status { display: none; }
  h2 { break-after: avoid; }
  .systems svg { max-height: 85mm; }
  .scale svg { max-height: 52mm; }
  h2 { margin-top: 1rem; }
  .cards { grid-template-columns: repeat(3, 1fr); }
}
`;
