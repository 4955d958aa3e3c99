// The front page of the reference, with a search over guides and names: one file that works offline. Run by npm run docs, after typedoc.
import { existsSync, readdirSync, readFileSync, writeFileSync } from "node:fs";
import { fileURLToPath } from "node:url";
import { build } from "esbuild";
import { escapeXml } from "../src/ground/svg.ts";

const ROOT = fileURLToPath(new URL("..", import.meta.url));

/** Something to be found: a section of a guide, or a public name. */
export interface Entry {
  readonly id: number;
  readonly title: string;
  readonly guide: string;
  readonly text: string;
  readonly link: string;
}

const TASKS: readonly (readonly [task: string, guides: readonly string[]])[] = [
  ["Teach", ["first-drill", "the-page", "levels-and-plan", "the-teachers-week", "assessment", "harmony", "sound"]],
  ["Script", ["twelve-keys", "your-own-progression", "your-own-voicing", "your-own-rows"]],
  ["Build", ["in-an-app", "an-app-that-listens", "on-a-server", "fit"]],
  ["Know", ["how-the-optimum-works", "fingering", "line-statistics", "sources"]],
];

const guideText = (guide: string): string => readFileSync(`${ROOT}docs/${guide}.md`, "utf8");
const titleOf = (guide: string): string => /^# (.+)$/m.exec(guideText(guide))?.[1] ?? guide;

/** Every section of every guide, and every name of every module. */
export const entries = (): readonly Entry[] => {
  const sections = TASKS.flatMap(([, guides]) => guides).flatMap((guide) =>
    guideText(guide)
      .split(/^(?=##? )/m)
      .map((section) => ({
        title: /^##? (.+)$/m.exec(section)?.[1] ?? titleOf(guide),
        guide: titleOf(guide),
        text: section,
        link: `documents/${guide}.html`,
      })),
  );
  const names = readdirSync(`${ROOT}src`)
    .filter((folder) => existsSync(`${ROOT}src/${folder}/index.ts`))
    .flatMap((folder) =>
      [...readFileSync(`${ROOT}src/${folder}/index.ts`, "utf8").matchAll(/export \{([^}]*)\}/g)].flatMap(
        ([, list = ""]) =>
          list.split(",").flatMap((name) =>
            name.trim() === ""
              ? []
              : [
                  {
                    title: name.trim(),
                    guide: `hands-together/${folder}`,
                    text: folder,
                    link: `modules/${folder}.html`,
                  },
                ],
          ),
      ),
    );
  return [...sections, ...names].map((entry, id) => ({ id, ...entry }));
};

const SCRIPT = `
import MiniSearch from "minisearch";
const entries = JSON.parse(document.getElementById("entries").textContent);
const search = new MiniSearch({ fields: ["title", "guide", "text"], storeFields: ["title", "guide", "link"], searchOptions: { boost: { title: 3, guide: 2 }, prefix: true, fuzzy: 0.2 } });
search.addAll(entries);
const [box, found] = [document.getElementById("query"), document.getElementById("found")];
box.addEventListener("input", () => {
  found.replaceChildren(...search.search(box.value).slice(0, 12).map(({ title, guide, link }) => {
    const [item, anchor] = [document.createElement("li"), document.createElement("a")];
    anchor.href = link;
    anchor.textContent = title;
    item.append(anchor, " (" + guide + ")");
    return item;
  }));
});`;

/** The front page as text. */
export const frontPage = async (): Promise<string> => {
  const { outputFiles } = await build({
    stdin: { contents: SCRIPT, resolveDir: ROOT },
    bundle: true,
    write: false,
    minify: true,
    format: "iife",
  });
  const data = JSON.stringify(entries()).replaceAll("<", "\\u003c");
  const script = (outputFiles[0]?.text ?? "").replaceAll("</script", "<\\/script");
  const guides = TASKS.map(
    ([task, list]) =>
      `<section><h2>${task}</h2><ul>${list.map((guide) => `<li><a href="documents/${guide}.html">${escapeXml(titleOf(guide))}</a></li>`).join("")}</ul></section>`,
  ).join("\n");
  return `<!doctype html>
<html lang="en"><head><meta charset="utf-8"><meta name="viewport" content="width=device-width, initial-scale=1"><title>hands-together</title>
<style>body{font:1rem/1.5 system-ui,sans-serif;max-width:46rem;margin:2rem auto;padding:0 1rem;color:#1a1a1a;background:#fff}pre{background:#f2f2f2;padding:.8rem;overflow:auto}input{font:inherit;width:100%;padding:.5rem;box-sizing:border-box}nav{display:grid;grid-template-columns:repeat(auto-fit,minmax(12rem,1fr));gap:1rem}a{color:#0b4f9e}</style></head>
<body><main><h1>hands-together</h1>
<pre><code>npm install hands-together</code></pre>
<p>Two-hand jazz-piano practice material, computed: voicings, fingering, swing, lines, playable pages, and what to fix in a take.</p>
<label for="query">Search guides and names</label><input id="query" type="search" autocomplete="off">
<ul id="found" aria-live="polite"></ul>
<nav aria-label="Guides by task">${guides}</nav>
<p><a href="modules.html">All modules</a></p></main>
<script type="application/json" id="entries">${data}</script><script>${script}</script></body></html>
`;
};

if (process.argv[1] === fileURLToPath(import.meta.url)) writeFileSync(`${ROOT}docs/api/start.html`, await frontPage());
