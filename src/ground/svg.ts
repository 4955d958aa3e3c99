/** Text made safe for XML, as content or inside double quotes; control characters that XML forbids are dropped. */
export const escapeXml = (text: string): string =>
  [...text]
    .filter((c) => !/[\u0000-\u0008\u000B\u000C\u000E-\u001F\uFFFE\uFFFF]|[\uD800-\uDFFF]/u.test(c))
    .join("")
    .replace(/&/g, "&amp;")
    .replace(/</g, "&lt;")
    .replace(/>/g, "&gt;")
    .replace(/"/g, "&quot;");

/** Attributes of an element; numbers are rounded to hundredths. */
export type Attributes = Readonly<Record<string, string | number>>;

const rounded = (value: string | number): string =>
  typeof value === "number" ? String(Math.round(value * 100) / 100) : escapeXml(value);

/** An element around markup that is already safe. */
export const element = (name: string, attributes: Attributes, children: readonly string[] = []): string => {
  const opening = `<${name}${Object.entries(attributes)
    .map(([key, value]) => ` ${key}="${rounded(value)}"`)
    .join("")}`;
  return children.length === 0 ? `${opening}/>` : `${opening}>${children.join("")}</${name}>`;
};

/** Words at a place, as text that can be read, searched and copied. */
export const words = (content: string, attributes: Attributes): string =>
  element("text", attributes, [escapeXml(content)]);
