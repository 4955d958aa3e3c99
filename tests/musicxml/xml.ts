import { XMLParser } from "fast-xml-parser";

/** An element read by the parser's own plain tree, apart from the library's reader. */
export interface Element {
  readonly name: string;
  readonly attributes: Readonly<Record<string, string>>;
  readonly children: readonly Element[];
  readonly text: string;
}

type Raw = Readonly<Record<string, unknown>>;

const plain = new XMLParser({
  preserveOrder: true,
  ignoreAttributes: false,
  attributeNamePrefix: "",
  parseTagValue: false,
});

const elementOf = (raw: Raw): readonly Element[] => {
  const name = Object.keys(raw).find((key) => key !== ":@");
  if (name === undefined || name === "#text") return [];
  const content = raw[name] as readonly Raw[];
  const text = content.map((c) => (typeof c["#text"] === "string" ? c["#text"] : "")).join("");
  return [
    { name, attributes: (raw[":@"] ?? {}) as Record<string, string>, children: content.flatMap(elementOf), text },
  ];
};

export const parse = (xml: string): Element =>
  (plain.parse(xml) as readonly Raw[]).flatMap(elementOf).find((e) => e.name === "score-partwise") as Element;

export const all = (element: Element | undefined, name: string): readonly Element[] =>
  element?.children.filter((c) => c.name === name) ?? [];
export const one = (element: Element | undefined, name: string): Element | undefined => all(element, name)[0];
export const textOf = (element: Element | undefined, ...path: readonly string[]): string | undefined =>
  path.reduce<Element | undefined>((e, name) => one(e, name), element)?.text;
export const deep = (element: Element, name: string): readonly Element[] => [
  ...(element.name === name ? [element] : []),
  ...element.children.flatMap((c) => deep(c, name)),
];
export const measuresOf = (xml: string): readonly Element[] => all(one(parse(xml), "part"), "measure");
