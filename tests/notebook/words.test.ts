import { readdirSync, readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import { findingCatalogue, sayIn, skillCatalogue, wordsCatalogue } from "../all.ts";

const [english, ...others] = wordsCatalogue;
const gapsOf = (text: string): readonly string[] =>
  [...text.matchAll(/\{([a-z]+)\}/g)].map(([, gap]) => gap ?? "").sort();

describe("words", () => {
  it.each(others)("law: $title says all that English says, with the same gaps", ({ words }) => {
    const own = Object.keys(words).filter((key) => !key.startsWith("skill."));
    expect(own.sort()).toEqual(Object.keys(english!.words).sort());
    for (const key of own) expect([key, gapsOf(words[key]!)]).toEqual([key, gapsOf(english!.words[key]!)]);
    expect(
      Object.keys(words)
        .filter((key) => key.startsWith("skill."))
        .sort(),
    ).toEqual(skillCatalogue.map(({ id }) => `skill.${id}`).sort());
  });

  it("law: every finding has words for what it is and what to do", () => {
    for (const { id } of findingCatalogue) {
      expect(english!.words[`found.${id}`]).toBeDefined();
      expect(english!.words[`do.${id}`]).toBeDefined();
    }
  });

  it("every key that the sources say has words", () => {
    const folder = new URL("../../src/notebook/", import.meta.url);
    const sources = readdirSync(folder)
      .filter((name) => name.endsWith(".ts"))
      .map((name) => readFileSync(new URL(name, folder), "utf8"));
    const said = sources.flatMap((text) =>
      [...text.matchAll(/"((?:reason|tempo|goal|told|better|page|picture|class|challenge)\.[a-z-]+)"/g)].map(
        ([, key]) => key ?? "",
      ),
    );
    expect(said.length).toBeGreaterThan(30);
    expect(said.filter((key) => english!.words[key] === undefined)).toEqual([]);
  });

  it("a language of one's own that leaves something out speaks English there", () => {
    const mine = { id: "fr", title: "Français", words: { "part.new": "nouveau" }, source: "mine" };
    expect(sayIn(mine, { key: "part.new", values: {} })).toBe("nouveau");
    expect(sayIn(mine, { key: "part.rested", values: {} })).toBe("comes back");
  });

  it("keys are printed with their signs", () => {
    expect(sayIn("de", { key: "reason.pinned-key", values: { key: "Eb" } })).toContain("E♭");
  });
});
