import * as v from "valibot";
import { check } from "../ground/check.ts";
import { page } from "../ground/page.ts";
import { escapeXml } from "../ground/svg.ts";
import { COLOURS } from "./style.ts";

/** One drill of a packet: what it is, and its files by kind, with paths from the index page. */
export interface PacketEntry {
  readonly key: string;
  readonly level: string;
  readonly title: string;
  readonly files: readonly { readonly label: string; readonly path: string }[];
}

const STYLE = `${COLOURS}
body { margin: 1rem auto; max-width: 60rem; padding: 0 1rem; color: var(--ink); background: var(--paper); font: 1rem/1.5 Georgia, "Times New Roman", serif; }
h1 { font-weight: normal; } h2 { margin: 2rem 0 0.25rem; font-weight: normal; border-bottom: 2px solid var(--ink); }
nav ul { list-style: none; padding: 0; display: flex; flex-wrap: wrap; gap: 0.25rem; }
a { color: inherit; } nav a, .files a { display: inline-block; min-width: 44px; padding: 0.6rem 0.4rem; text-align: center; }
.drill { padding: 0.4rem 0; border-bottom: 1px solid var(--line); } .drill > p { margin: 0; } .drill summary { display: inline-block; padding: 0.6rem 0.4rem 0.6rem 0; color: var(--faint); cursor: pointer; }
.drill .first { font-size: 1.1rem; } .drill .first a { padding: 0.4rem 0; display: inline-block; } .level { color: var(--faint); }
.caution { border-left: 4px solid var(--ink); padding-left: 1rem; }
@media print { body { margin: 0; } nav, summary { display: none; } }
`;

const text = /* @__PURE__ */ v.pipe(/* @__PURE__ */ v.string(), /* @__PURE__ */ v.maxLength(10_000));
const entriesShape = /* @__PURE__ */ v.array(
  /* @__PURE__ */ v.looseObject({
    key: text,
    level: text,
    title: text,
    files: /* @__PURE__ */ v.array(/* @__PURE__ */ v.looseObject({ label: text, path: text })),
  }),
);

/**
 * The index page of a packet: every key with its drills and their files, as one HTML file.
 *
 * @param title - the packet's title
 * @param caution - the caution printed on top
 * @param entries - in the order in which keys and drills are listed
 *
 * @example
 * ```ts
 * import { packetPage } from "hands-together";
 *
 * const html = packetPage("Lesson", "Take breaks.", [{ key: "E♭", level: "1", title: "Up and down", files: [{ label: "MIDI", path: "a.mid" }] }]);
 * html.includes('<a href="a.mid">MIDI</a>'); // => true
 * ```
 */
export function packetPage(title: string, caution: string, entries: readonly PacketEntry[]): string {
  check(text, title, "handout/argument");
  check(text, caution, "handout/argument");
  check(entriesShape, entries, "handout/argument");
  const keys = [...new Set(entries.map((entry) => entry.key))];
  const links = keys.map((key, i) => `<li><a href="#key-${i + 1}">${escapeXml(key)}</a></li>`).join("");
  const sections = keys
    .map((key, i) =>
      section(
        key,
        i + 1,
        entries.filter((entry) => entry.key === key),
      ),
    )
    .join("\n");
  return page(
    title,
    STYLE,
    `<main>
<h1>${escapeXml(title)}</h1>
<p class="caution">${escapeXml(caution)}</p>
<nav aria-label="Keys"><ul>${links}</ul></nav>
${sections}
</main>`,
  );
}

const section = (key: string, number: number, entries: readonly PacketEntry[]): string =>
  `<section aria-labelledby="key-${number}">
<h2 id="key-${number}">${escapeXml(key)}</h2>
${entries.map(drill).join("\n")}
</section>`;

/** One drill: the page to practise from first, where there is one, its other files behind a fold. */
const drill = ({ level, title, files }: PacketEntry): string => {
  const first = files.find(({ path }) => path.endsWith(".html"));
  const others = files.filter((file) => file !== first);
  const name = escapeXml(title);
  return `<div class="drill"><p class="first">${first === undefined ? name : link(first.path, title)} <span class="level">${escapeXml(level)}</span></p>${
    others.length === 0
      ? ""
      : `<details${first === undefined ? " open" : ""}><summary>Files</summary><p class="files">${others.map(({ label, path }) => link(path, label)).join("\n")}</p></details>`
  }</div>`;
};

const link = (path: string, label: string): string =>
  `<a href="${escapeXml(path.split("/").map(encodeURIComponent).join("/"))}">${escapeXml(label)}</a>`;
