import * as v from "valibot";
import { attempt } from "../../ground/attempt.ts";
import { check } from "../../ground/check.ts";
import type { Door } from "../../ground/door.ts";
import { door, rowFields } from "../../ground/door.ts";
import { formatPitch, parseKey } from "../../pitch/index.ts";
import { skillCatalogue } from "../catalogue.ts";
import type { MessageData } from "../document.ts";
import { messageShape } from "../document.ts";
import { ENGLISH } from "./english.ts";
import { GERMAN } from "./german.ts";

/** The words of a language: what is said, by its key; `{gap}` is filled in. */
export interface WordsRow {
  /** Two letters, as the attribute `lang` of a page has it. */
  readonly id: string;
  readonly title: string;
  readonly words: Readonly<Record<string, string>>;
  readonly source: string;
}

const OURS = "our own words";

/**
 * The languages that notebooks speak; a new one is one more row with the same keys.
 *
 * @example
 * ```ts
 * import { wordsCatalogue } from "hands-together/notebook";
 *
 * wordsCatalogue.map((row) => row.title); // => ["English", "Deutsch"]
 * wordsCatalogue[1]?.words["part.new"]; // => "neu"
 * ```
 */
export const wordsCatalogue: readonly WordsRow[] = [
  { id: "en", title: "English", words: ENGLISH, source: OURS },
  { id: "de", title: "Deutsch", words: GERMAN, source: OURS },
];

const wordsRowSchema: v.GenericSchema<WordsRow> = /* @__PURE__ */ v.strictObject({
  ...rowFields,
  words: /* @__PURE__ */ v.record(
    /* @__PURE__ */ v.string(),
    /* @__PURE__ */ v.pipe(/* @__PURE__ */ v.string(), /* @__PURE__ */ v.maxLength(1000)),
  ),
});

/** The language that is meant: an id of the catalogue, or a row. */
export const wordsRow: Door<WordsRow> = /* @__PURE__ */ door(
  wordsCatalogue,
  wordsRowSchema,
  "notebook/language",
  "a language",
);

/** A gap's own words: what is named by its key in the language, keys of music with their signs. */
const inGap = (row: WordsRow, gap: string, value: string | number): string => {
  if (gap === "skill") return skillTitle(row, String(value));
  if (gap === "found") return row.words[`found.${value}`] ?? String(value).replace(/-/g, " ");
  if (gap === "hands") return row.words[`hands.${value}`] ?? String(value);
  if (gap === "key") return keyName(row, String(value));
  return String(value);
};

/** A skill's title. */
export const skillTitle = ({ words }: WordsRow, id: string): string =>
  words[`skill.${id}`] ?? skillCatalogue.find((row) => row.id === id)?.title ?? id.replace(/-/g, " ");

/** A key with printed signs, and the mode where it is minor. */
export const keyName = ({ words }: WordsRow, key: string): string => {
  const read = attempt(() => parseKey(key));
  if (read === undefined) return key;
  return `${formatPitch(read.tonic)}${read.mode === "minor" ? ` ${words["picture.minor"] ?? "minor"}` : ""}`;
};

/** The same in a language that was checked. */
export const sayWith = (row: WordsRow, { key, values }: MessageData): string => {
  const said =
    row.words[key] ?? ENGLISH[key] ?? (key.startsWith("do.") ? ENGLISH["do.trouble-spot"] : undefined) ?? key;
  return said.replace(/\{([a-z]+)\}/g, (whole, gap: string) => {
    if (gap === "place") return sayWith(row, { key: values.bars === undefined ? "place.whole" : "place.bars", values });
    const value = values[gap];
    return value === undefined ? whole : inGap(row, gap, value);
  });
};

/**
 * Something to be said, in a language; what a language of one's own leaves out is said in English.
 *
 * @param language - an id such as `"de"`, or a row
 * @throws MusicError `notebook/language` for a language that is none
 *
 * @example
 * ```ts
 * import { sayIn } from "hands-together/notebook";
 *
 * const why = { key: "tempo.up", values: { before: 60, tempo: 64 } };
 * sayIn("en", why); // => "From 60 up to 64, because the last take was clean."
 * sayIn("de", why); // => "Von 60 auf 64, denn die letzte Aufnahme war sauber."
 * sayIn("xx", why); // throws "notebook/language"
 * ```
 */
export function sayIn(language: string | WordsRow, message: MessageData): string {
  const row = wordsRow(language);
  check(messageShape, message, "notebook/argument");
  return sayWith(row, message);
}
