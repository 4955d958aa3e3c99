import * as v from "valibot";
import { check, shapeOf } from "../ground/check.ts";
import { escapeXml } from "../ground/svg.ts";
import type { LeftAs, PrintedFingers } from "../musicxml/index.ts";
import type { Score } from "../score/index.ts";
import { checkScore } from "../score/inner.ts";
import type { Engrave } from "./engraved.ts";
import { ENGRAVING_STYLE, engraveScore } from "./engraved.ts";

/** What {@link systemPictures} needs from outside, and may be asked. */
export interface SystemPictureOptions {
  /** Engraves MusicXML as SVG pictures, one a system, on systems of the width that it is told (a staff is 72 high). */
  readonly engrave: Engrave;
  /** Which fingers are printed. @defaultValue `"first"` */
  readonly fingers?: PrintedFingers | undefined;
  /** Whether Roman numerals stand under the chords, with brackets from each ii to its V. @defaultValue false */
  readonly numerals?: boolean | undefined;
  /** How the left hand is printed. @defaultValue its notes */
  readonly leftAs?: LeftAs | undefined;
  /** Whether the bass player's line is printed small below. @defaultValue false */
  readonly bassLine?: boolean | undefined;
}

const optionsShape = /* @__PURE__ */ v.strictObject({
  engrave: /* @__PURE__ */ shapeOf((value): value is Engrave => typeof value === "function", "a function"),
  fingers: /* @__PURE__ */ v.optional(/* @__PURE__ */ v.picklist(["all", "first", "turns", "none"])),
  numerals: /* @__PURE__ */ v.optional(/* @__PURE__ */ v.boolean()),
  leftAs: /* @__PURE__ */ v.optional(/* @__PURE__ */ v.picklist(["notes", "rhythm", "slashes"])),
  bassLine: /* @__PURE__ */ v.optional(/* @__PURE__ */ v.boolean()),
});

/**
 * The engraved systems of a score as pictures of their own, for slides and documents: each a whole SVG file, as wide as on a printed page, with
 * black notes on no ground and a text alternative.
 *
 * @returns one SVG file a system, in order
 * @throws MusicError `handout/engraver` when the engraver answers with no list of pictures
 *
 * @example
 * ```ts
 * import { makeDrill } from "hands-together";
 * import { systemPictures } from "hands-together/handout";
 *
 * const engrave = () => ['<svg viewBox="0 0 100 50"></svg>'];
 * systemPictures(makeDrill({ key: "Eb" }).score, { engrave }).length; // => 1
 * ```
 */
export function systemPictures(score: Score, options: SystemPictureOptions): readonly string[] {
  checkScore(score, "handout/argument");
  check(optionsShape, options, "handout/argument");
  const { engrave, ...printed } = options;
  const systems = engraveScore(score, engrave, { ...printed, on: "page", fingers: options.fingers ?? "first" });
  // The music font comes with the first system of a page.
  const font = /<style>(@font-face[\s\S]*?)<\/style>/.exec(systems[0]?.svg ?? "")?.[1] ?? "";
  return systems.map(({ svg, widthMm, heightMm }, i) => {
    const label = escapeXml(
      `${score.title === "" ? "Engraved music" : score.title}, system ${i + 1} of ${systems.length}`,
    );
    return svg
      .replace(/<style>@font-face[\s\S]*?<\/style>/, "")
      .replace(
        /^<svg style="[^"]*" aria-hidden="true"([^>]*)>/,
        (_, rest: string) =>
          `<svg xmlns="http://www.w3.org/2000/svg" width="${widthMm}mm" height="${heightMm}mm" class="systems" role="img" aria-label="${label}"${rest.replace(
            / (?:xmlns(?::\w+)?|width|height)="[^"]*"/g,
            "",
          )}><style>${font}.systems { color: black; fill: currentColor; }${ENGRAVING_STYLE.replace(/\.systems > svg \{[^}]*\}/, "")}</style>`,
      );
  });
}
