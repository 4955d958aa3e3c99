import { MusicError } from "../ground/errors.ts";
import { element, escapeXml } from "../ground/svg.ts";

/** The black of every picture. */
export const INK = "#111";
const FONT = "sans-serif";

/** What goes round a picture of keys or of a line. */
export interface Frame {
  readonly title: string;
  readonly description: string;
  readonly width: number;
  readonly height: number;
  readonly id: string | undefined;
  /** What ids begin with, where none is given. @defaultValue keyboard */
  readonly sort?: string;
}

/** A picture with its title and description, for those who see it and those who do not. */
export const framed = (
  body: readonly string[],
  { title, description, width, height, id, sort = "keyboard" }: Frame,
): string => {
  const prefix = id ?? `${sort}-${digest(title + description + body.join(""))}`;
  if (typeof prefix !== "string" || prefix.length > 200 || !/^[A-Za-z_][\w.-]*$/.test(prefix)) {
    throw new MusicError({
      code: "picture/id",
      input: id,
      expected: "an id that starts with a letter and holds letters, digits, dots and dashes",
    });
  }
  return element(
    "svg",
    {
      xmlns: "http://www.w3.org/2000/svg",
      viewBox: `0 0 ${width} ${height}`,
      width,
      height,
      role: "img",
      "aria-labelledby": `${prefix}-title ${prefix}-description`,
      "font-family": FONT,
      fill: INK,
    },
    [
      element("title", { id: `${prefix}-title` }, [escapeXml(title)]),
      element("desc", { id: `${prefix}-description` }, [escapeXml(description)]),
      ...body,
    ],
  );
};

// FNV-1a (Fowler, Noll & Vo), 32 bits: enough to keep the ids of a page apart.
const digest = (text: string): string => {
  let hash = 0x811c9dc5;
  for (let i = 0; i < text.length; i++) hash = Math.imul(hash ^ text.charCodeAt(i), 0x01000193);
  return (hash >>> 0).toString(36);
};
