import { XMLParser } from "fast-xml-parser";
import { MusicError } from "../ground/errors.ts";

/** An element that was read. */
export interface XmlNode {
  readonly name: string;
  readonly attributes: Readonly<Record<string, string>>;
  readonly children: readonly XmlNode[];
  /** Its own text, trimmed, with XML's five entities and character references in place. */
  readonly text: string;
}

type Raw = { readonly [name: string]: unknown };

const parser = new XMLParser({
  preserveOrder: true,
  ignoreAttributes: false,
  attributeNamePrefix: "",
  parseTagValue: false,
  parseAttributeValue: false,
  // Entities are never expanded by the parser; the five of XML are put in place below, once.
  processEntities: false,
});

/**
 * Reads an XML document into its root element. Nothing is fetched, and a document that declares entities is refused.
 *
 * @throws MusicError `musicxml/xml` for text that is not well-formed, `musicxml/entities` for a document that declares entities
 */
export const parseXml = (text: string): XmlNode => {
  if (declaresEntities(text)) {
    throw new MusicError({
      code: "musicxml/entities",
      input: text,
      expected: "a document that declares no entities of its own",
    });
  }
  let raw: readonly Raw[];
  try {
    raw = parser.parse(text, true) as readonly Raw[];
  } catch (error) {
    const hint =
      error instanceof Error
        ? error.message.slice(0, 200).replace(/:([0-9]+):(?:[0-9]+|undefined)$/, " (line $1)")
        : "";
    throw new MusicError({ code: "musicxml/xml", input: text, expected: "well-formed XML", hint });
  }
  const root = raw.map(nodeOf).find((node) => node !== undefined && !node.name.startsWith("?"));
  if (root === undefined)
    throw new MusicError({ code: "musicxml/xml", input: text, expected: "an XML document with a root element" });
  return root;
};

// Looked for once from the front, so that a text of nothing but openings costs no more than its length.
const declaresEntities = (text: string): boolean => {
  if (/<!ENTITY/i.test(text)) return true;
  const [, first, ...more] = text.split(/<!DOCTYPE/i, 3);
  return (
    first !== undefined && (more.length > 0 || (/^(?:"[^"]*"|'[^']*'|[^>"'])*/.exec(first)?.[0].includes("[") ?? false))
  );
};

const nodeOf = (raw: Raw): XmlNode | undefined => {
  const name = Object.keys(raw).find((key) => key !== ":@" && key !== "#text");
  if (name === undefined) return undefined;
  const content = raw[name] as readonly Raw[];
  const attributes = Object.entries((raw[":@"] ?? {}) as Record<string, string>).map(([key, value]) => [
    key,
    decode(value),
  ]);
  const text = content.map((child) => (typeof child["#text"] === "string" ? child["#text"] : "")).join("");
  return {
    name,
    attributes: Object.fromEntries(attributes),
    children: content.map(nodeOf).filter((child) => child !== undefined),
    text: decode(text.trim()),
  };
};

const NAMED: Readonly<Record<string, string>> = { amp: "&", lt: "<", gt: ">", quot: '"', apos: "'" };

const decode = (text: string): string =>
  text.replace(
    /&(?:(amp|lt|gt|quot|apos)|#([0-9]{1,7})|#x([0-9a-fA-F]{1,6}));/g,
    (whole, name?: string, decimal?: string, hex?: string) => {
      if (name !== undefined) return NAMED[name] as string;
      const code = decimal === undefined ? parseInt(hex as string, 16) : Number(decimal);
      return code > 0 && code <= 0x10ffff ? String.fromCodePoint(code) : whole;
    },
  );

/** The first child of a name. */
export const child = (node: XmlNode | undefined, name: string): XmlNode | undefined =>
  node?.children.find((c) => c.name === name);

/** The children of a name. */
export const all = (node: XmlNode | undefined, name: string): readonly XmlNode[] =>
  node?.children.filter((c) => c.name === name) ?? [];

/** The text of the first child of a name, if there is one. */
export const textOf = (node: XmlNode | undefined, name: string): string | undefined => child(node, name)?.text;

/** Reads a whole number. */
export const whole = (node: XmlNode | undefined, name: string, where: string): number => {
  const text = textOf(node, name);
  if (text === undefined || !/^-?[0-9]{1,9}$/.test(text)) {
    throw new MusicError({ code: "musicxml/number", input: text, expected: `a whole number as ${name} ${where}` });
  }
  return Number(text) + 0;
};
