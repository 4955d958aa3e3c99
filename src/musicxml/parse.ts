import { XMLParser } from "fast-xml-parser";
import { isRecord } from "../ground/check.ts";
import { MusicError } from "../ground/errors.ts";

/** An element that was read. */
export interface XmlNode {
  readonly name: string;
  readonly attributes: Readonly<Record<string, string>>;
  readonly children: readonly XmlNode[];
  /** Its own text, trimmed, with XML's five entities and character references in place. */
  readonly text: string;
}

/** More characters than any score of a book has. */
const LONGEST = 50_000_000;

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
  let raw: unknown;
  try {
    if (text.length > LONGEST) throw new Error(`${text.length} characters`);
    raw = parser.parse(text, true);
  } catch (error) {
    const hint =
      error instanceof Error
        ? error.message.slice(0, 200).replace(/:([0-9]+):(?:[0-9]+|undefined)$/, " (line $1)")
        : "";
    throw new MusicError({ code: "musicxml/xml", input: text, expected: "well-formed XML", hint });
  }
  const root = nodesOf(raw, 0).find((node) => !node.name.startsWith("?"));
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

// MusicXML nests about ten deep; what is far deeper is no music and would exhaust the stack.
const DEEPEST = 100;

const nodesOf = (list: unknown, depth: number): readonly XmlNode[] => {
  if (depth > DEEPEST)
    throw new MusicError({
      code: "musicxml/xml",
      input: `${depth} levels`,
      expected: `at most ${DEEPEST} levels of elements`,
    });
  if (!Array.isArray(list)) return [];
  return list.flatMap((raw: unknown) => {
    const [name, content] =
      (isRecord(raw) ? Object.entries(raw) : []).find(([key]) => key !== ":@" && key !== "#text") ?? [];
    if (name === undefined || !Array.isArray(content) || !isRecord(raw)) return [];
    const attributes = Object.entries(isRecord(raw[":@"]) ? raw[":@"] : {});
    const text = content
      .map((one: unknown) => (isRecord(one) && typeof one["#text"] === "string" ? one["#text"] : ""))
      .join("");
    return [
      {
        name,
        attributes: Object.fromEntries(attributes.map(([key, value]) => [key, decode(String(value))])),
        children: nodesOf(content, depth + 1),
        text: decode(text.trim()),
      },
    ];
  });
};

const NAMED: Readonly<Record<string, string>> = { amp: "&", lt: "<", gt: ">", quot: '"', apos: "'" };

const decode = (text: string): string =>
  text.replace(
    /&(?:(amp|lt|gt|quot|apos)|#([0-9]{1,7})|#x([0-9a-fA-F]{1,6}));/g,
    (whole, name?: string, decimal?: string, hex = "") => {
      if (name !== undefined) return NAMED[name] ?? whole;
      const code = decimal === undefined ? Number.parseInt(hex, 16) : Number(decimal);
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
