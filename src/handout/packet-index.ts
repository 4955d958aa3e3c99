import { escapeXml } from "../ground/svg.ts";
import { page } from "./html.ts";

/** One drill of a packet: what it is, and its files by kind, with paths from the index page. */
export interface PacketEntry {
  readonly key: string;
  readonly level: string;
  readonly title: string;
  readonly files: readonly { readonly label: string; readonly path: string }[];
}

const STYLE = `
:root { color-scheme: light; --ink: #1d1b18; --faint: #6b645a; --paper: #fffdf8; --line: #d8d0c2; }
body { margin: 2rem auto; max-width: 60rem; padding: 0 1rem; color: var(--ink); background: var(--paper); font: 1rem/1.5 Georgia, "Times New Roman", serif; }
h1 { font-weight: normal; } h2 { margin: 2rem 0 0.25rem; font-weight: normal; border-bottom: 2px solid var(--ink); }
nav ul { list-style: none; padding: 0; display: flex; flex-wrap: wrap; gap: 0.25rem 1rem; }
table { border-collapse: collapse; width: 100%; } th, td { text-align: left; vertical-align: baseline; padding: 0.3rem 0.75rem 0.3rem 0; border-bottom: 1px solid var(--line); }
th { font-weight: normal; color: var(--faint); } td a { margin-right: 0.75rem; white-space: nowrap; } a { color: inherit; }
.caution { border-left: 4px solid var(--ink); padding-left: 1rem; }
@media print { body { margin: 0; } nav { display: none; } }
`;

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

const section = (
  key: string,
  number: number,
  entries: readonly PacketEntry[],
): string => `<section aria-labelledby="key-${number}">
<h2 id="key-${number}">${escapeXml(key)}</h2>
<table><thead><tr><th scope="col">Level</th><th scope="col">Exercise</th><th scope="col">Files</th></tr></thead><tbody>
${entries
  .map(
    ({ level, title, files }) =>
      `<tr><td>${escapeXml(level)}</td><td>${escapeXml(title)}</td><td>${files
        .map(
          ({ label, path }) =>
            `<a href="${escapeXml(path.split("/").map(encodeURIComponent).join("/"))}">${escapeXml(label)}</a>`,
        )
        .join("")}</td></tr>`,
  )
  .join("\n")}
</tbody></table>
</section>`;
