import { readdirSync, readFileSync, statSync } from "node:fs";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { describe, expect, it } from "vitest";

const ROOT = fileURLToPath(new URL("..", import.meta.url));
const listed = readFileSync(join(ROOT, "docs/sources.md"), "utf8").split("\n");

const filesIn = (folder: string): string[] =>
  readdirSync(join(ROOT, folder)).flatMap((name) => {
    const path = `${folder}/${name}`;
    return statSync(join(ROOT, path)).isDirectory() ? filesIn(path) : path.endsWith(".ts") ? [path] : [];
  });

// A comment's lines as one, so that a citation that wraps is whole.
const texts = filesIn("src").map((path) => ({
  path,
  text: readFileSync(join(ROOT, path), "utf8").replace(/\n\s*(?:\*|\/\/)?\s*/g, " "),
}));

const missing = (pattern: RegExp, isListed: (match: RegExpExecArray) => boolean): string[] =>
  texts.flatMap(({ path, text }) =>
    [...text.matchAll(pattern)].filter((match) => !isListed(match)).map((match) => `${path}: ${match[0]}`),
  );

describe("docs/sources.md", () => {
  it("lists every author whom the code cites with a year", () => {
    expect(
      missing(/([\p{Lu}][^()]{2,90}) \(((?:1[6-9]|20)\d\d)\)/gu, ([, before, year]) => {
        const names = (before as string).match(/\p{Lu}[\p{L}-]{3,}/gu) ?? [];
        return (
          names.length === 0 ||
          listed.some((line) => line.includes(year as string) && names.some((name) => line.includes(name)))
        );
      }),
    ).toEqual([]);
  });

  it("lists every standard by number and every encyclopedia article that the code cites", () => {
    expect(missing(/RFC \d+/g, ([name]) => listed.some((line) => line.includes(name)))).toEqual([]);
    expect(
      missing(/Wikipedia, '([^']+)'/g, ([, title]) => listed.some((line) => line.includes(`Wikipedia, "${title}"`))),
    ).toEqual([]);
  });

  it("says of each source how it was checked", () => {
    const rows = listed.filter((line) => line.startsWith("|") && !/^\|(?:---| source | standard )/.test(line));
    expect(rows.length).toBeGreaterThan(40);
    for (const row of rows) {
      const cells = row.split("|").map((cell) => cell.trim());
      expect(cells.length).toBe(5);
      expect(cells[3]).toMatch(/read|abstract|second hand|memory|method|computed|not stated|held against/);
    }
  });
});
