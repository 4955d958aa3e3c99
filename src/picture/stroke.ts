import * as v from "valibot";
import type { Attributes } from "../ground/svg.ts";
import { element, escapeXml, words } from "../ground/svg.ts";

/** A straight line. */
export const line = (x1: number, y1: number, x2: number, y2: number, style: Attributes): string =>
  element("line", { x1, y1, x2, y2, ...style });

/** Words at a place. */
export const text = (x: number, y: number, content: string, style: Attributes = {}): string =>
  words(content, { x, y, ...style });

/** A figure of an option, both ends included. */
export const figure = (low: number, high: number) =>
  /* @__PURE__ */ v.optional(/* @__PURE__ */ v.pipe(v.number(), v.minValue(low), v.maxValue(high)));

/** What every picture of a take has: a size, a title and a description for those who don't see it, white ground, and the title on top. */
export const framed = (
  id: string,
  { width, height }: { readonly width: number; readonly height: number },
  title: string,
  description: string,
  top: number,
  parts: readonly string[],
): string =>
  [
    element("svg", {
      xmlns: "http://www.w3.org/2000/svg",
      role: "img",
      "aria-labelledby": `${id}-title ${id}-desc`,
      viewBox: `0 0 ${Math.round(width * 100) / 100} ${Math.round(height * 100) / 100}`,
      width,
      height,
      "font-family": "sans-serif",
      "font-size": 13,
    }).replace(/\/>$/, ">"),
    `<title id="${id}-title">${escapeXml(title)}</title>`,
    `<desc id="${id}-desc">${escapeXml(description)}</desc>`,
    element("rect", { width, height, fill: "#fff" }),
    text(8, top, title, { "font-size": 16 }),
    ...parts,
    "</svg>",
    "",
  ].join("\n");
