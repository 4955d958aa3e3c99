import { escapeXml } from "../ground/svg.ts";
import { allow } from "../ground/watch.ts";

/** An element that is to be written: it holds other elements, or a text. */
export interface XmlElement {
  readonly name: string;
  readonly attributes: Attributes;
  readonly content: readonly XmlElement[] | string;
}

/** Attributes by name; those left undefined are not written. */
export type Attributes = Readonly<Record<string, string | number | undefined>>;

/** An element with attributes and children; children left undefined are not written. */
export const element = (
  name: string,
  attributes: Attributes,
  children: readonly (XmlElement | undefined)[] = [],
): XmlElement => ({ name, attributes, content: children.filter((child) => child !== undefined) });

/** An element that holds only text. */
export const leaf = (name: string, text: string | number, attributes: Attributes = {}): XmlElement => ({
  name,
  attributes,
  content: String(text),
});

// A line break or a tab in an attribute would be read back as a space; in music it is one to begin with.
const safe = (text: string | number): string => escapeXml(String(text).replace(/[\t\n\r]/g, " "));

const written = ({ name, attributes, content }: XmlElement, indent: string, lines: string[]): void => {
  let opening = `${indent}<${name}`;
  for (const [key, value] of Object.entries(attributes)) if (value !== undefined) opening += ` ${key}="${safe(value)}"`;
  if (content.length === 0) lines.push(`${opening}/>`);
  else if (typeof content === "string") lines.push(`${opening}>${safe(content)}</${name}>`);
  else {
    lines.push(`${opening}>`);
    for (const child of content) written(child, `${indent} `, lines);
    lines.push(`${indent}</${name}>`);
  }
};

const PROLOGUE = `<?xml version="1.0" encoding="UTF-8"?>
<!DOCTYPE score-partwise PUBLIC "-//Recordare//DTD MusicXML 4.0 Partwise//EN" "http://www.musicxml.org/dtds/partwise.dtd">`;

/** The document of a root element, as text. */
export const document = (root: XmlElement): string => {
  const lines = [PROLOGUE];
  written(root, "", lines);
  const text = `${lines.join("\n")}\n`;
  allow("bytes", text.length);
  return text;
};
