import { existsSync } from "node:fs";
import { XMLParser, XMLValidator } from "fast-xml-parser";
import { beforeAll, describe, expect, it } from "vitest";
import { picturePng } from "../../src/cli/chromium.ts";
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

  it.skipIf(!existsSync(process.env.HANDS_TOGETHER_CHROMIUM ?? "/usr/bin/chromium"))(
    "each is made a PNG picture as wide as a screen, with black on no ground",
    () => {
      const [svg = ""] = systemPictures(makeDrill({ key: "C" }).score, { engrave });
      const png = Buffer.from(picturePng(svg));
      // PNG (W3C 2003, 11.2.2): width and height as four bytes each from byte 16 on, then bit depth 8 and colour type 6, with alpha.
      expect(png.subarray(1, 4).toString()).toBe("PNG");
      const [, wide, high] = /viewBox="0 0 ([\d.]+) ([\d.]+)"/.exec(svg) ?? [];
      expect([png.readUInt32BE(16), png.readUInt32BE(20)]).toEqual([
        1920,
        Math.ceil((1920 * Number(high)) / Number(wide)),
      ]);
      expect([png[24], png[25]]).toEqual([8, 6]);
    },
  );
});
