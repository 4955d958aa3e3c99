import { XMLParser, XMLValidator } from "fast-xml-parser";
import { beforeAll, describe, expect, it } from "vitest";
import type { Engraver } from "../../src/cli/engrave.ts";
import { loadEngraver } from "../../src/cli/engrave.ts";
import { makeDrill, systemPictures } from "../all.ts";

describe("systems as pictures", () => {
  let engrave: Engraver;
  beforeAll(async () => {
    engrave = await loadEngraver();
  });

  it("each is a whole SVG file with its music font, its size on paper and a text alternative", () => {
    const { score, title } = makeDrill({ key: "Eb", changes: "blues" });
    const pictures = systemPictures(score, { engrave });
    expect(pictures.length).toBeGreaterThan(2);
    for (const [i, svg] of pictures.entries()) {
      expect(XMLValidator.validate(svg)).toBe(true);
      const { svg: root } = new XMLParser({ ignoreAttributes: false, attributeNamePrefix: "" }).parse(svg) as {
        svg: Readonly<Record<string, unknown>>;
      };
      // SVG 2 (W3C 2018): the namespace makes a file of its own out of what stood in a page.
      expect(root.xmlns).toBe("http://www.w3.org/2000/svg");
      expect(root["aria-label"]).toBe(`${title}, system ${i + 1} of ${pictures.length}`);
      // Systems are 182 mm wide inside of A4 and Letter, and a little wider with their brace.
      expect(Number.parseFloat(String(root.width))).toBeGreaterThan(150);
      expect(Number.parseFloat(String(root.width))).toBeLessThan(190);
      expect(svg).toContain("@font-face");
      expect(svg).not.toMatch(/var\(--/);
    }
  });
});
