import { MusicError } from "../ground/errors.ts";
import { shortened } from "../ground/text.ts";
import type { Key } from "../pitch/index.ts";
import { parseKey } from "../pitch/index.ts";
import type { Beats, Metre } from "../time/index.ts";
import { parseMetre } from "../time/index.ts";
import { pulsesOf } from "./lengths.ts";
import { looksLikeNumeral } from "./numeral.ts";
import type { Reading } from "./reading.ts";
import { readSymbol } from "./symbol.ts";
import { SECTION_WORDS } from "./tokens.ts";

/** What stands above the music. */
export interface Heading {
  title?: string;
  heading?: string;
  key?: Key;
  metre?: Metre;
  tempo?: number;
  feel?: string;
  pickup?: Beats;
  /** The order of the sections, and where it stands. */
  form?: { readonly names: readonly string[]; readonly at: number };
}

/** A line of the heading, such as "Key: Eb". */
const FIELD =
  /^[ \t]*(title|name|song|heading|subtitle|by|composer|artist|key(?: of)?|tonality|metre|meter|time(?: signature)?|tempo|bpm|feel|style|groove|rhythm|form|pickup)[ \t]*[:=][ \t]*(.*)$/i;
const FIELDS: Readonly<Record<string, "title" | "heading" | "key" | "metre" | "tempo" | "feel" | "form" | "pickup">> = {
  title: "title",
  name: "title",
  song: "title",
  heading: "heading",
  subtitle: "heading",
  by: "heading",
  composer: "heading",
  artist: "heading",
  key: "key",
  "key of": "key",
  tonality: "key",
  metre: "metre",
  meter: "metre",
  time: "metre",
  "time signature": "metre",
  tempo: "tempo",
  bpm: "tempo",
  feel: "feel",
  style: "feel",
  groove: "feel",
  rhythm: "feel",
  form: "form",
  pickup: "pickup",
};

/** Reads the lines above the music, and tells where that begins. */
export const readHeading = (reading: Reading, heading: Heading): number => {
  const { text } = reading;
  let at = 0;
  while (at < text.length) {
    const end = text.indexOf("\n", at);
    const stop = end < 0 ? text.length : end;
    const line = text.slice(at, stop).replace(/^\s*\{(.*)\}\s*$/, "$1");
    const more = end >= 0;
    const taken =
      line.trim() === "" ||
      fieldLine(reading, heading, line, at) ||
      (more && (styleLine(reading, heading, line, at) || titleLine(reading, heading, line, at)));
    if (!taken) return at;
    at = stop + 1;
  }
  return text.length;
};

const BEHIND = /(?<=\S)\s+in (?:the key of )?([A-G](?:b|#|♭|♯)?(?: ?(?:major|minor|maj|min)|m)?)\s*\.?\s*$/;

/** A key behind the music, as in "ii V I in F". */
export const readKeyBehind = (reading: Reading, heading: Heading, from: number): void => {
  const match = BEHIND.exec(reading.text.slice(from));
  if (match === null || heading.key !== undefined) return;
  const at = from + match.index;
  heading.key = reading.within(at, 0, () => keyIn(match[1] ?? ""));
  reading.guess("the key taken from behind the chords", at);
  reading.clear(at, at + match[0].length);
};

/** Takes a line with a field, such as "Key: Eb", into the heading. */
export const fieldLine = (reading: Reading, heading: Heading, line: string, at: number): boolean => {
  const [first, ...others] = fieldsIn(line);
  if (first === undefined) return false;
  for (const { from, text } of [first, ...others]) takeField(reading, heading, text, at + from);
  return true;
};

// "Key: F  Time: 3/4" is two fields in one line.
const MORE = /(?<=[\s,;])(?:key|time|metre|meter|tempo|bpm|feel|style)[ \t]*[:=]/gi;
const fieldsIn = (line: string): readonly { readonly from: number; readonly text: string }[] => {
  if (!FIELD.test(line)) return [];
  const starts = /^\s*(?:key|time|metre|meter|tempo|bpm|feel|style)\b/i.test(line)
    ? [0, ...[...line.matchAll(MORE)].map(({ index }) => index).filter((index) => line.slice(0, index).trim() !== "")]
    : [0];
  return starts.map((from, i) => ({
    from,
    text: line.slice(from, starts[i + 1]).replace(starts.length > 1 ? /[\s,;]+$/ : /\s+$/, ""),
  }));
};

const takeField = (reading: Reading, heading: Heading, line: string, at: number): void => {
  const [, name = "", text = ""] = FIELD.exec(line) ?? [];
  const value = text.trim();
  if (value === "") return;
  const start = reading.text.indexOf(value, at);
  const asTyped = reading.asTyped(start, start + value.length);
  const field = FIELDS[name.toLowerCase()];
  reading.within(at, 0, () => {
    if (field === "title" || field === "heading") heading[field] = shortened(asTyped, 200);
    else if (field === "feel") takeFeel(heading, value, asTyped);
    else if (field === "key") heading.key = parseKey(value.replace(/\.$/, ""));
    else if (field === "metre") heading.metre = parseMetre(value);
    else if (field === "pickup") heading.pickup = pickupOf(value);
    else if (field === "tempo") heading.tempo = tempoOf(value);
    else heading.form = { names: formOf(value), at };
  });
};

// "Swing, 140 bpm" and "Ballad ♩=60" tell a tempo as well.
const takeFeel = (heading: Heading, value: string, asTyped: string): void => {
  const tempo = TEMPO.exec(value);
  const words = tempo === null ? asTyped : value.replace(TEMPO, " ").replace(EDGES, "");
  if (tempo !== null) heading.tempo = tempoOf(tempo[1] ?? tempo[2] ?? "");
  if (words !== "") heading.feel = shortened(words, 60);
};

const formOf = (value: string): readonly string[] => {
  const names = value.match(/[A-Z]\d?'{0,2}/g) ?? [];
  const rest = value.replace(/[A-Z]\d?'{0,2}/g, "").replace(/[\s,/|-]/g, "");
  if (rest === "" && names.length > 0 && names.length <= 32) return names;
  throw new MusicError({
    code: "progression/chart",
    input: value,
    expected: "sections written out in the order in which they are played, or their letters, such as AABA",
  });
};

const pickupOf = (text: string): Beats => {
  const pulses = pulsesOf(text);
  if (pulses !== undefined) return pulses;
  throw new MusicError({ code: "progression/chart", input: text, expected: "a number of beats, such as 3 or 1/2" });
};

const tempoOf = (text: string): number => {
  const value = Number(/(?:^|[=\s])(\d{2,4}(?:\.\d{1,2})?)/.exec(text)?.[1] ?? Number.NaN);
  if (value >= 10 && value <= 1000) return value;
  throw new MusicError({ code: "progression/chart", input: text, expected: "a tempo from 10 to 1000 beats a minute" });
};

// ---- lines without a field's name

const EDGES = /^[\s,;.()[\]–-]+|[\s,;.()[\]–-]+$/g;
/** "♩=140", "q. = 60", "140 bpm". */
const TEMPO =
  /[([]?\s*(?:(?:[♩♪𝅗𝅘𝅥]|\b(?:quarter|half|tempo|mm|[qh]))\.?\s?=\s?(?:ca?\.?\s?)?(\d{2,3})|\b(\d{2,3})\s?bpm)(?![\d/])(?:\s?bpm)?\s*[)\]]?/iu;
const METRE = /(?:^|[\s(,])(\d{1,2}\/(?:2|4|8|16))(?=$|[\s,;.)])/;
const KEY =
  /[([]?\s*(?:\b(?:in\s+)?(?:the\s+)?key(?:\s+of)?|\bin)\b\s*:?\s*([A-G](?:b|#|♭|♯)?(?:\s*-?(?:major|minor|maj|min|m|dur|moll))?)(?![\w#♭♯])\s*[:)\]]?/;
const PLAIN_KEY = /^([A-G](?:b|#|♭|♯|[ -]?flat|[ -]?sharp)?[ -]?(?:major|minor))$/i;
const MANNER =
  "\\d{1,2}[ -]?bars?|blues|time|very|medium|med|mid|slow|slowly|fast|up|up-?tempo|bright|brightly|moderate|moderately|easy|hard|light|gentle|lazy|minor|jazz|latin|afro-?cuban|double-?time|half-?time|tempo|feel|in|two|four|a|with";
const STYLE =
  "swing|swung|swings|bossa|nova|samba|ballad|waltz|shuffle|rumba|bolero|mambo|cha-?cha|tango|funk|rock|pop|gospel|march|straight|even|eighths|8ths|8s|eights|latin|rubato|bebop|bop|stride|boogie";
const MANNERS = new RegExp(`^(?:(?:${MANNER}|${STYLE})\\.?[\\s,/-]*)+$`, "i");
const STYLES = new RegExp(`\\b(?:${STYLE})\\b`, "i");

/** "Swing 140": a style, then nothing but a figure that a metronome has. */
const PACED = new RegExp(`(?<=\\b(?:${STYLE})[\\s,]*)[(]?([4-9]\\d|[1-3]\\d\\d)[)]?\\s*$`, "i");

/** What is told in a line of words: "Swing, ♩=140", "(key of F minor)", "Medium bossa in 2/4". */
const styleLine = (reading: Reading, heading: Heading, line: string, at: number): boolean => {
  if (isLabel(line) || line.length > 120 || /[|%]/.test(line)) return false;
  const tempo = TEMPO.exec(line) ?? PACED.exec(line);
  const unpaced = tempo === null ? line : line.replace(tempo[0], " ");
  const metre = METRE.exec(unpaced);
  const unmeasured = unpaced.replace(METRE, " ");
  const keyed = KEY.exec(unmeasured);
  const rest = unmeasured.replace(KEY, " ").replace(EDGES, "").replace(/\s+/g, " ");
  // "C major" over "A minor" are chords in words.
  const below = reading.text.slice(at + line.length);
  const plainKey =
    keyed === null && !/^\s*[A-G][b#]?[ -]?(?:major|minor)\b/im.test(below) ? PLAIN_KEY.exec(rest) : null;
  const words = plainKey === null ? rest : "";
  const told = tempo !== null || (metre !== null && (words === "time" || rest === ""));
  const isFeel = words !== "" && words !== "time" && MANNERS.test(words) && (told || STYLES.test(words));
  if (words !== "" && words !== "time" && !isFeel) return false;
  if (!told && keyed === null && plainKey === null && !isFeel) return false;
  reading.within(at, 0, () => {
    if (tempo !== null) heading.tempo = tempoOf(tempo[1] ?? tempo[2] ?? "");
    if (metre !== null) heading.metre = parseMetre(metre[1] ?? "");
    const key = keyed?.[1] ?? plainKey?.[1];
    if (key !== undefined) heading.key = keyIn(key);
    if (isFeel) heading.feel = shortened(words, 60);
  });
  reading.guess("a line of words taken as feel, tempo, metre or key", at);
  return true;
};

// "Blues in F", "A tune (Bb)", "Waltz, key of C minor"
const TITLE_KEY =
  /(?:\(\s*(?:(?:in|key of|key:)\s+)?|\b(?:in|key of|key:)\s+)([A-G](?:b|#|♭|♯)?(?:\s*-?(?:major|minor|maj|min|m|dur|moll))?)\s*\)?\s*$/;

const keyIn = (text: string): Key =>
  parseKey(
    text
      .replace(/[ -]?flat/i, "b")
      .replace(/[ -]?sharp/i, "#")
      .replace(/\s*-?(?:minor|min|moll|m)$/i, " minor")
      .replace(/\s*-?(?:major|maj|dur)$/i, " major"),
  );

const GREETING = /^\s*(?:hi|hello|hey|dear|hallo)\b.*[,!.:]?\s*$/i;

// A first line of words, with more below it.
const titleLine = (reading: Reading, heading: Heading, line: string, at: number): boolean => {
  if (heading.title !== undefined || !isWords(line) || isLabel(line) || PLAIN_KEY.test(line.trim())) return false;
  if (GREETING.test(line)) {
    reading.guess("a line of words left out", at);
    return true;
  }
  const start = at + line.search(/\S/);
  heading.title = shortened(reading.asTyped(start, start + line.trim().length), 200);
  reading.guess("a line of words taken as the title", at);
  const key = TITLE_KEY.exec(line) ?? (/[([]|,|\bkey\b/i.test(line) ? KEY.exec(line) : null);
  if (key !== null && heading.key === undefined) {
    heading.key = reading.within(at, 0, () => keyIn(key[1] ?? ""));
    reading.guess("the key taken from the title", at);
  }
  return true;
};

const LABEL = new RegExp(
  `^\\s*(?:(?:${SECTION_WORDS})(?: ?[\\dA-H]'?)?\\s*:?|d\\.?[cs]\\.?.*|fine|(?:to )?coda)\\s*$`,
  "i",
);
const isLabel = (line: string): boolean => LABEL.test(line);

// No chord, no numeral, no sign of a chart: letters that make words.
const isWords = (line: string): boolean => {
  const words = line
    .replace(TITLE_KEY, "")
    .trim()
    .split(/\s+/)
    .filter((word) => !/^\d{1,3}$/.test(word));
  if (/[|%[\]]|:\s*$/.test(line) || words.length > 16) return false;
  const real = words.filter(
    (word) =>
      /^['"(]?[\p{L}][\p{L}'’.,!?-]{2,}[)'"]?$/u.test(word) &&
      readSymbol(word) === undefined &&
      !looksLikeNumeral(word),
  );
  return (
    real.length > 0 &&
    words.every((word) => !/^[A-G][b#♭♯]?(?:m|maj|min|dim|-)?\d/.test(word)) &&
    2 * real.length >= words.length
  );
};
