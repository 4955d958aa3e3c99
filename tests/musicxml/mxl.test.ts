import fc from "fast-check";
import { strFromU8, unzipSync } from "fflate";
import { describe, expect, it } from "vitest";
import { readMusicXml, writeMusicXml, writeMxl } from "../../src/musicxml/index.ts";
import { anyScore } from "../score/arbitrary.ts";

describe("compressed MusicXML", () => {
  it("law: it unpacks to what is written plainly, by the name that its container tells", () => {
    fc.assert(
      fc.property(anyScore(), (score) => {
        const files = unzipSync(writeMxl(score));
        const container = strFromU8(files["META-INF/container.xml"] ?? new Uint8Array());
        const [, root = ""] = /<rootfile full-path="([^"]+)"/.exec(container) ?? [];
        const text = strFromU8(files[root] ?? new Uint8Array());
        expect(text).toBe(writeMusicXml(score));
        expect(readMusicXml(text).bars).toBe(score.bars);
      }),
      { numRuns: 10 },
    );
  });

  // MusicXML 4.0, "Compressed .MXL files": the first file may be the media type, stored as it is, so that its bytes can be told without unpacking.
  it("MusicXML 4.0: begins with its media type, and is the same on any day", () => {
    fc.assert(
      fc.property(anyScore(), (score) => {
        const bytes = writeMxl(score);
        expect(strFromU8(bytes.slice(30, 72))).toBe("mimetypeapplication/vnd.recordare.musicxml");
        expect(writeMxl(score)).toEqual(bytes);
      }),
      { numRuns: 5 },
    );
  });
});
