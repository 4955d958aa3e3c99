import { XMLParser } from "fast-xml-parser";

/** An element of a picture with the text in it. */
export interface Node {
  readonly name: string;
  readonly attributes: Readonly<Record<string, string>>;
  readonly text: string;
}

const parser = new XMLParser({
  preserveOrder: true,
  ignoreAttributes: false,
  attributeNamePrefix: "",
  trimValues: false,
  processEntities: true,
  parseTagValue: false,
});
/** Every element of a picture, in order. */
export const nodesOf = (svg: string): readonly Node[] => {
  const walk = (items: readonly Record<string, unknown>[]): readonly Node[] =>
    items.flatMap((item) => {
      const name = Object.keys(item).find((key) => key !== ":@") as string;
      if (name === "#text") return [];
      const children = item[name] as readonly Record<string, unknown>[];
      const text = children.map((child) => ("#text" in child ? String(child["#text"]) : "")).join("");
      return [{ name, attributes: (item[":@"] ?? {}) as Readonly<Record<string, string>>, text }, ...walk(children)];
    });
  return walk(parser.parse(svg) as readonly Record<string, unknown>[]);
};
/** Every word that is drawn. */
export const textsOf = (svg: string): readonly string[] =>
  nodesOf(svg)
    .filter(({ name }) => name === "text")
    .map(({ text }) => text);
