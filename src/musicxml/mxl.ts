import { strToU8, zipSync } from "fflate";
import type { Score } from "../score/index.ts";
import type { MusicXmlOptions } from "./write.ts";
import { writeMusicXml } from "./write.ts";

// The first moment that a ZIP archive can tell, in local time as archives have it: the same score makes the same bytes on any day.
const NEVER = /* @__PURE__ */ new Date(1980, 0, 1);

const CONTAINER = `<?xml version="1.0" encoding="UTF-8"?>
<container>
 <rootfiles>
  <rootfile full-path="score.musicxml" media-type="application/vnd.recordare.musicxml+xml"/>
 </rootfiles>
</container>
`;

/**
 * Writes a score as compressed MusicXML (`.mxl`): a ZIP archive of what {@link writeMusicXml} writes, and of the container that names it.
 *
 * Source: W3C Music Notation Community Group, MusicXML 4.0 (2021), "Compressed .MXL files": the media type first and not compressed.
 *
 * @returns the bytes of the file, the same for the same score
 * @throws MusicError the codes of {@link writeMusicXml}
 *
 * @example
 * ```ts
 * import { makeScore } from "hands-together";
 * import { writeMxl } from "hands-together/musicxml";
 *
 * const bytes = writeMxl(makeScore({ key: "Eb", metre: "4/4", bars: 2 }));
 * String.fromCharCode(...bytes.slice(0, 2)); // => "PK"
 * ```
 */
export function writeMxl(score: Score, options: MusicXmlOptions = {}): Uint8Array {
  return zipSync(
    {
      mimetype: [strToU8("application/vnd.recordare.musicxml"), { level: 0 }],
      "META-INF/container.xml": strToU8(CONTAINER),
      "score.musicxml": strToU8(writeMusicXml(score, options)),
    },
    { level: 9, mtime: NEVER },
  );
}
