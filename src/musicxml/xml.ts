import { XMLBuilder } from "fast-xml-parser";

/** An element in the order-keeping shape of fast-xml-parser: its children under its name, its attributes under `":@"`. */
export type XmlElement = {
  readonly [name: string]: readonly XmlElement[] | { readonly [attribute: string]: string } | string;
};

/** Attributes by name; those left undefined are not written. */
export type Attributes = Readonly<Record<string, string | number | undefined>>;

/** An element with attributes and children; children left undefined are not written. */
export const element = (
  name: string,
  attributes: Attributes,
  children: readonly (XmlElement | undefined)[] = [],
): XmlElement => {
  const given = Object.entries(attributes).filter(([, value]) => value !== undefined);
  const own = { [name]: children.filter((child) => child !== undefined) };
  return given.length === 0
    ? own
    : { ...own, ":@": Object.fromEntries(given.map(([key, value]) => [key, clean(String(value))])) };
};

/** An element that holds only text. */
export const leaf = (name: string, text: string | number, attributes: Attributes = {}): XmlElement =>
  element(name, attributes, [{ "#text": clean(String(text)) }]);

// XML 1.0 has no place for control characters and lone surrogates, not even escaped.
const clean = (text: string): string =>
  text.replace(/[\u0000-\u0008\u000b-\u001f\ufffe\uffff]|\p{Surrogate}/gu, "").replace(/[\t\n]/g, " ");

const builder = new XMLBuilder({
  preserveOrder: true,
  ignoreAttributes: false,
  attributeNamePrefix: "",
  suppressEmptyNode: true,
  format: true,
  indentBy: " ",
});

const PROLOGUE = `<?xml version="1.0" encoding="UTF-8"?>
<!DOCTYPE score-partwise PUBLIC "-//Recordare//DTD MusicXML 4.0 Partwise//EN" "http://www.musicxml.org/dtds/partwise.dtd">`;

/** The document of a root element, as text. */
export const document = (root: XmlElement): string => `${PROLOGUE}\n${builder.build([root]).trim()}\n`;
