import * as v from "valibot";
import type { Field, FlagInfo } from "./field.ts";

/** A field of a document as a flag of a command. */
export interface Flag {
  readonly field: string;
  /** `--left <styles>`, `--pickup [pickup]`, `--low-bass`. */
  readonly flags: string;
  readonly description: string;
  /** What it is where it isn't given, in words. */
  readonly otherwise: string | undefined;
  /** The value that a word on the command line stands for. */
  readonly read: (text: string | true) => unknown;
}

/** The flags of a document's fields, in their order. */
export const flagsOf = (schema: { readonly entries: v.ObjectEntries }): readonly Flag[] =>
  Object.entries(schema.entries).flatMap(([name, entry]): readonly Flag[] => {
    const inner = unwrapped(entry);
    const info: FlagInfo = "flag" in inner && typeof inner.flag === "object" && inner.flag !== null ? inner.flag : {};
    if (info.never === true) return [];
    const choices = choicesOf(inner);
    const flag = info.flag ?? hyphenated(name);
    const argument = info.argument ?? hyphenated(name);
    const isSwitch = takesSwitch(inner);
    const list = choices.length > 0 ? ` Choices: ${choices.join(", ")}.` : "";
    return [
      {
        field: name,
        flags: `--${flag}${isSwitch && choices.length === 0 ? "" : isSwitch ? ` [${argument}]` : ` <${argument}>`}`,
        description: `${v.getDescription(inner) ?? ""}${list}`,
        otherwise: inWords(v.getDefault(entry)),
        read: (text) => (text === true ? true : readingOf(inner, text)),
      },
    ];
  });

const inWords = (value: unknown): string | undefined =>
  value === undefined || value === false || (Array.isArray(value) && value.length === 0)
    ? undefined
    : Array.isArray(value)
      ? value.join(",")
      : String(value);

const hyphenated = (name: string): string => name.replace(/[A-Z]/g, (letter) => `-${letter.toLowerCase()}`);

const unwrapped = (schema: Field): Field => ("wrapped" in schema ? unwrapped(schema.wrapped as Field) : schema);

const optionsOf = (schema: Field): readonly Field[] => {
  const inner = unwrapped(schema);
  if (inner.type === "union" && "options" in inner) return (inner.options as readonly Field[]).flatMap(optionsOf);
  return [inner];
};

const takesSwitch = (schema: Field): boolean => optionsOf(schema).some(({ type }) => type === "boolean");

/** The words that a field takes, alone or in a list. */
const choicesOf = (schema: Field): readonly string[] => [
  ...new Set(
    optionsOf(schema).flatMap((option) =>
      option.type === "picklist" && "options" in option
        ? (option.options as readonly unknown[]).map(String)
        : option.type === "literal" && "literal" in option
          ? [String(option.literal)]
          : option.type === "array" && "item" in option
            ? choicesOf(option.item as Field)
            : [],
    ),
  ),
];

// A word is whatever the field takes it for: as it is, as JSON, as a number, as a list. What it takes for none is left as it is, to be refused.
const readingOf = (schema: Field, text: string): unknown => {
  const words = text.split(/[\s,]+/).filter((word) => word !== "");
  const readings = [text, ...asJson(text), ...asNumber(text), words, words.flatMap(asNumber)];
  const found = readings.find((reading) => v.is(schema, reading));
  if (found !== undefined) return found;
  const list = optionsOf(schema).some(({ type }) => type === "array" || type === "strict_tuple");
  return list && words.length !== 1
    ? words.map((word) => asNumber(word)[0] ?? word)
    : (asJson(text)[0] ?? asNumber(text)[0] ?? text);
};

const asNumber = (text: string): readonly number[] => (/^\s*-?\d+(\.\d+)?\s*$/.test(text) ? [Number(text)] : []);

const asJson = (text: string): readonly unknown[] => {
  if (!/^\s*[[{]/.test(text)) return [];
  try {
    return [JSON.parse(text)];
  } catch {
    return [];
  }
};
