import { strFromU8, unzipSync } from "fflate";
import * as v from "valibot";
import { parseChord } from "../chord/index.ts";
import { attempt } from "../ground/attempt.ts";
import { check } from "../ground/check.ts";
import { MusicError } from "../ground/errors.ts";
import type { Key, NoteName } from "../pitch/index.ts";
import { parseKey, parseNote } from "../pitch/index.ts";
import type { Chart, ChartBar, ChartChord, ChartNote } from "../progression/index.ts";
import { likelyKeys, parseNumeral } from "../progression/index.ts";
import { problemIn } from "../progression/inner.ts";
import type { Beats, Metre } from "../time/index.ts";
import {
  addBeats,
  barLength,
  beats,
  beatsOf,
  compareBeats,
  divideBeats,
  equalBeats,
  formatBeats,
  formatMetre,
  parseMetre,
  pulseLength,
  subtractBeats,
  ZERO,
} from "../time/index.ts";
import { keyOfSignature, signsOf } from "./keys.ts";
import type { XmlNode } from "./parse.ts";
import { all, child, parseXml, textOf, whole } from "./parse.ts";
import { RoadReader } from "./read-road.ts";

const refused = (what: string, input: unknown, expected: string): MusicError =>
  new MusicError({ code: `musicxml/${what}`, input, expected });

/** Bytes of one file of a compressed score, unpacked. */
const LARGEST = 32 * 2 ** 20;

const sheetSchema = /* @__PURE__ */ v.union([
  v.string(),
  /* @__PURE__ */ v.custom<Uint8Array>((value) => value instanceof Uint8Array, "the text or the bytes of a file"),
]);

/**
 * Reads a lead sheet from MusicXML: chord symbols, melody, repeats, endings, jumps, sections, metres and keys, as a chart. The bytes of a
 * compressed file (`.mxl`) are unpacked.
 *
 * The part with the most chord symbols is read, its first staff and voice as the melody; what is left out stands among the chart's guesses, and so
 * does a mode that the key leaves open. Kinds are read by what they mean, so that the text that a program prints makes no difference.
 *
 * @param data - the document's text, or the bytes of a `.musicxml`, `.xml` or `.mxl` file
 * @throws MusicError `musicxml/xml`, `musicxml/entities`, `musicxml/root` as `readMusicXml`, `musicxml/zip` for a compressed file that can't be
 * unpacked, `musicxml/harmony` for a chord symbol, `musicxml/bar` for a bar that no metre fits, `musicxml/number`, `musicxml/unsupported`
 * for a transposing part or a sheet without any chord symbol, and `progression/chart` for repeats that can't be followed
 *
 * @example
 * ```ts
 * import { readLeadSheet, writeLeadSheet } from "hands-together/musicxml";
 *
 * const chart = readLeadSheet(writeLeadSheet("Key: C\n|: Dm7 | G7 :|\n[B] Cmaj7 |"));
 * chart.bars.map(({ chords }) => chords[0]?.symbol); // => ["Dm7", "G7", "Cmaj7"]
 * chart.bars[1]?.repeatEnd; // => 2
 * ```
 */
export function readLeadSheet(data: string | Uint8Array): Chart {
  check(sheetSchema, data, "musicxml/xml");
  const root = partwise(parseXml((typeof data === "string" ? data : textIn(data)).replace(/^\uFEFF/, "")));
  const parts = all(root, "part");
  const symbolsIn = (part: XmlNode): number =>
    all(part, "measure").reduce((sum, measure) => sum + all(measure, "harmony").length, 0);
  const [part] = [...parts].sort((a, b) => symbolsIn(b) - symbolsIn(a));
  if (part === undefined || symbolsIn(part) === 0)
    throw refused("unsupported", `${parts.length} parts`, "a part with chord symbols (harmony)");
  const reader = new SheetReader();
  if (parts.length > 1) reader.guess("the part with the most chord symbols is read, the others are left out");
  all(part, "measure").forEach((measure, i) => {
    reader.measure(measure, i);
  });
  const title = textOf(root, "movement-title") ?? textOf(child(root, "work"), "work-title") ?? "";
  return reader.chart(title, headingIn(root));
}

/** A score by parts; one by bars is turned round. */
const partwise = (root: XmlNode): XmlNode => {
  if (root.name === "score-partwise") return root;
  if (root.name !== "score-timewise")
    throw new MusicError({ code: "musicxml/root", input: root.name, expected: "a score (score-partwise)" });
  const parts = new Map<string, XmlNode[]>();
  for (const measure of all(root, "measure"))
    for (const part of all(measure, "part")) {
      const id = part.attributes.id ?? "";
      parts.set(id, [...(parts.get(id) ?? []), { ...part, name: "measure", attributes: measure.attributes }]);
    }
  const others = root.children.filter(({ name }) => name !== "measure");
  const turned = [...parts].map(
    ([id, children]): XmlNode => ({ name: "part", attributes: { id }, text: "", children }),
  );
  return { ...root, name: "score-partwise", children: [...others, ...turned] };
};

const headingIn = (root: XmlNode): string | undefined => {
  const credit = all(root, "credit").find((one) => textOf(one, "credit-type") === "subtitle");
  const creator = all(child(root, "identification"), "creator").find(
    ({ attributes }) => attributes.type === "composer",
  );
  return textOf(credit, "credit-words") ?? creator?.text;
};

const isZip = (bytes: Uint8Array): boolean => bytes[0] === 0x50 && bytes[1] === 0x4b;

const textIn = (bytes: Uint8Array): string => {
  if (!isZip(bytes)) {
    const wide = (bytes[0] === 0xfe && bytes[1] === 0xff) || (bytes[0] === 0xff && bytes[1] === 0xfe);
    return new TextDecoder(wide ? (bytes[0] === 0xfe ? "utf-16be" : "utf-16le") : "utf-8").decode(bytes);
  }
  const unpack = (wanted: (name: string) => boolean): Readonly<Record<string, Uint8Array>> => {
    try {
      return unzipSync(bytes, { filter: ({ name, originalSize }) => wanted(name) && originalSize <= LARGEST });
    } catch (error) {
      throw new MusicError({
        code: "musicxml/zip",
        input: `${bytes.length} bytes`,
        expected: "a compressed score that can be unpacked",
        hint: error instanceof Error ? error.message : String(error),
      });
    }
  };
  const container = unpack((name) => name === "META-INF/container.xml")["META-INF/container.xml"];
  const rootFile =
    container === undefined
      ? undefined
      : child(child(parseXml(strFromU8(container)), "rootfiles"), "rootfile")?.attributes["full-path"];
  const files = unpack(
    (name) => name === rootFile || (rootFile === undefined && /^[^/]+\.(?:musicxml|xml)$/i.test(name)),
  );
  const [file] = Object.values(files);
  if (file === undefined)
    throw refused("zip", `${bytes.length} bytes`, `a compressed score of at most ${LARGEST / 2 ** 20} MB`);
  return textIn(file.subarray(0, 4).length > 0 && isZip(file) ? new Uint8Array() : file);
};

// ---- harmony

// Kinds and the suffixes that mean the same. Source: W3C, MusicXML 4.0 (2021), kind-value.
const SUFFIXES: Readonly<Record<string, string>> = {
  major: "",
  minor: "m",
  augmented: "aug",
  diminished: "dim",
  dominant: "7",
  "major-seventh": "maj7",
  "minor-seventh": "m7",
  "diminished-seventh": "dim7",
  "augmented-seventh": "aug7",
  "half-diminished": "m7b5",
  "major-minor": "mMaj7",
  "major-sixth": "6",
  "minor-sixth": "m6",
  "dominant-ninth": "9",
  "major-ninth": "maj9",
  "minor-ninth": "m9",
  "dominant-11th": "11",
  "major-11th": "maj11",
  "minor-11th": "m11",
  "dominant-13th": "13",
  "major-13th": "maj13",
  "minor-13th": "m13",
  "suspended-second": "sus2",
  "suspended-fourth": "sus4",
  power: "5",
};

const noteOf = (node: XmlNode | undefined, tag: "root" | "bass"): NoteName =>
  parseNote(
    `${textOf(node, `${tag}-step`) ?? ""}${signsOf(Math.round(Number(textOf(node, `${tag}-alter`) ?? 0)) || 0)}`,
  );

interface WrittenDegree {
  readonly value: number;
  readonly alter: number;
  readonly type: string;
}

const degreeItems = (kind: string, degrees: readonly WrittenDegree[]): { suffix: string; items: readonly string[] } => {
  let suffix = SUFFIXES[kind] ?? "";
  const items: string[] = [];
  for (const { value, alter, type } of degrees) {
    const sign = signsOf(alter);
    if (type === "subtract") {
      // A 13th chord is written without its 11th, and so is ours.
      if (!(value === 11 && kind.endsWith("13th"))) items.push(`no${value}`);
    } else if (type === "add" && value === 7) {
      if (alter === 0 && kind === "major") suffix = "7";
      else items.push(alter === 1 ? "maj7" : `add${signsOf(alter - 1)}7`);
    } else if (type === "alter" && value === 7) items.push(alter === 1 ? "maj7" : `${signsOf(alter)}7`);
    else
      items.push(
        type === "add" && sign === "" ? `add${value}` : `${type === "add" && value < 8 ? "add" : ""}${sign}${value}`,
      );
  }
  return { suffix, items };
};

const tried = (symbol: string): string | undefined => attempt(() => parseChord(symbol).symbol);

const sameTones = (a: string, b: string): boolean => parseChord(a).canonical === parseChord(b).canonical;

const sameFamily = (a: string, b: string): boolean => parseChord(a).quality === parseChord(b).quality;

/** The symbol of a harmony element: as it is printed where that says what the kind means, else from the kind. */
const symbolOf = (node: XmlNode, key: Key | undefined, where: string): string => {
  const kind = child(node, "kind");
  const kindName = kind?.text ?? "";
  if (kindName === "none" || /^N\.?C\.?$/i.test(kind?.attributes.text ?? "")) return "N.C.";
  const root = child(node, "root");
  const numeral = textOf(node, "function");
  if (root === undefined && key !== undefined && numeral !== undefined && numeral !== "")
    return parseNumeral(numeral, key).symbol;
  if (root === undefined) throw refused("harmony", kindName, `a chord symbol with a root ${where}`);
  const name = noteOf(root, "root");
  const written = all(node, "degree").map((degree) => ({
    value: whole(degree, "degree-value", where),
    alter: Math.round(Number(textOf(degree, "degree-alter") ?? 0)) || 0,
    type: textOf(degree, "degree-type") ?? "add",
    printed: degree.attributes["print-object"] !== "no",
    prefix: child(degree, "degree-type")?.attributes.text,
  }));
  const { suffix, items } = degreeItems(kindName, written);
  const bassNode = child(node, "bass");
  const bass = bassNode === undefined ? inverted(node, name, suffix) : noteOf(bassNode, "bass");
  const slash = bass === undefined || bass === name ? "" : `/${bass}`;
  const meant =
    SUFFIXES[kindName] === undefined
      ? undefined
      : tried(`${name}${suffix}${items.length === 0 ? "" : `(${items.join(",")})`}${slash}`);
  const shown = written
    .filter(({ printed }) => printed)
    .map(({ value, alter, type, prefix }) => `${prefix ?? (type === "subtract" ? "no" : "")}${signsOf(alter)}${value}`);
  const text = kind?.attributes.text;
  const asPrinted =
    text === undefined ? undefined : tried(`${name}${text}${shown.length === 0 ? "" : `(${shown.join(",")})`}${slash}`);
  // Some write the kind alone and leave the rest to its text.
  const says = asPrinted !== undefined && meant !== undefined && written.length === 0 && sameFamily(meant, asPrinted);
  if (meant !== undefined && !says && (asPrinted === undefined || !sameTones(meant, asPrinted))) return meant;
  if (asPrinted !== undefined) return asPrinted;
  throw refused("harmony", `${name} ${kindName} ${text ?? ""}`.trim(), `a chord symbol that can be read ${where}`);
};

// The first inversion has the third below, and so on.
const inverted = (node: XmlNode, root: NoteName, suffix: string): NoteName | undefined => {
  const number = Number(textOf(node, "inversion") ?? 0);
  const value = [undefined, 3, 5, 7][number];
  const chord = value === undefined ? undefined : tried(`${root}${suffix}`);
  return chord === undefined
    ? undefined
    : parseChord(chord).tones.find(({ degree }) => Number(degree.replace(/^[b#]+/, "")) === value)?.note;
};

// ---- measures

type Marks = { -readonly [Field in keyof ChartBar]: ChartBar[Field] };

/** A melody note that has begun; a tied one grows. */
interface Sounding {
  readonly bar: number;
  readonly at: Beats;
  length: Beats;
  readonly pitches: string[];
  readonly graces: readonly string[];
}

class SheetReader {
  readonly #bars: Marks[] = [];
  readonly #road = new RoadReader(this.#bars);
  readonly #guesses: string[] = [];
  readonly #notes: Sounding[] = [];
  readonly #tied = new Map<string, Sounding>();
  #divisions = 1;
  #metre: Metre = parseMetre("4/4");
  #firstMetre: Metre | undefined;
  #key: Key | undefined;
  #keyOpen = false;
  #tempo: number | undefined;
  #feel: string | undefined;
  #pickup: Beats | undefined;
  #voice: string | undefined;

  guess(what: string): void {
    if (!this.#guesses.includes(what)) this.#guesses.push(what);
  }

  measure(measure: XmlNode, index: number): void {
    const where = `in bar ${measure.attributes.number ?? index + 1}`;
    const bar: Marks = { chords: [] };
    this.#resume(bar);
    this.#bars.push(bar);
    const chords: { at: Beats; chord: Omit<ChartChord, "beat"> }[] = [];
    const words: { at: Beats; mark: "hold" | "stop" }[] = [];
    let at = ZERO;
    let furthest = ZERO;
    const move = (by: Beats): void => {
      at = addBeats(at, by);
      if (compareBeats(at, furthest) > 0) furthest = at;
    };
    for (const node of measure.children) {
      switch (node.name) {
        case "attributes":
          this.#attributes(node, bar, index, where);
          break;
        case "note":
          if (child(node, "cue") !== undefined) {
            this.guess("cue notes are left out");
            break;
          }
          if (child(node, "lyric") !== undefined) this.guess("lyrics are left out");
          if (child(node, "grace") !== undefined) {
            if (this.#isMelody(node)) this.#graces.push(pitchOf(node, where));
            break;
          }
          if (child(node, "chord") === undefined) {
            const start = at;
            const length = this.#duration(node, where);
            move(length);
            this.#note(node, index, start, length, where);
          } else this.#chordNote(node, index, where);
          break;
        case "backup":
          at = subtractBeats(at, this.#duration(node, where));
          if (at.num < 0) throw refused("bar", formatBeats(at), `no way back before the start ${where}`);
          break;
        case "forward":
          move(this.#duration(node, where));
          break;
        case "harmony": {
          const offset = Number(textOf(node, "offset") ?? 0);
          const moment = Number.isInteger(offset) ? addBeats(at, beatsOf(offset, this.#divisions)) : at;
          const symbol = symbolOf(node, this.#key, where);
          chords.push({
            at: moment.num < 0 ? ZERO : moment,
            chord: { symbol, ...(node.attributes.type === "alternate" && { optional: true }) },
          });
          break;
        }
        case "direction":
        case "sound":
          this.#direction(node, bar, index, at, words);
          break;
        case "barline":
          this.#road.barline(node, bar, where);
          break;
        default:
      }
    }
    this.#close(furthest, index, measure, where);
    const pulse = pulseLength(this.#metre);
    const inTime = chords
      .map((one, i) => ({ ...one, i }))
      .sort((a, b) => compareBeats(a.at, b.at) || a.i - b.i)
      .filter(({ at: moment }, i, list) => list[i + 1] === undefined || !equalBeats(moment, list[i + 1]?.at ?? ZERO));
    bar.chords = inTime.map(({ at: moment, chord }): ChartChord => {
      const mark = words.find((word) => equalBeats(word.at, moment))?.mark;
      return {
        symbol: chord.symbol,
        beat: formatBeats(addBeats(divideBeats(moment, pulse), beats(1))),
        ...(chord.optional === true && { optional: true }),
        ...(mark !== undefined && { mark }),
      };
    });
  }

  /** The bar before, where it was shorter than its metre. */
  #short: { readonly index: number; readonly metre: string | undefined; readonly told: string } | undefined;

  // After a short bar the metre is what it was.
  #resume(bar: Marks): void {
    if (this.#short === undefined) return;
    this.guess(this.#short.told);
    bar.metre = formatMetre(this.#metre);
    this.#short = undefined;
  }

  // A bar that is short is the pickup, or the last; any other is in a metre of its own.
  #close(furthest: Beats, index: number, measure: XmlNode, where: string): void {
    const full = barLength(this.#metre);
    const short = furthest.num > 0 && compareBeats(furthest, full) < 0;
    if (short && index === 0) this.#pickup = divideBeats(furthest, pulseLength(this.#metre));
    else if (furthest.num > 0 && !equalBeats(furthest, full)) {
      if (!short || index === 0)
        throw refused("bar", `${formatBeats(furthest)} quarter notes`, `a bar of ${formatBeats(full)} ${where}`);
      const own = metreOfLength(furthest, this.#metre);
      const bar = this.#bars[index];
      if (own === undefined || bar === undefined) {
        this.guess("a short bar filled up");
        return;
      }
      this.#short = {
        index,
        metre: bar.metre,
        told: `bar ${measure.attributes.number ?? index + 1} is short, and taken as a bar of ${own}`,
      };
      bar.metre = own;
    }
  }

  chart(title: string, heading: string | undefined): Chart {
    for (const { bar, at, length, pitches, graces } of this.#notes) {
      const own = this.#bars[bar];
      if (own === undefined) continue;
      const note: ChartNote = {
        at: formatBeats(at),
        duration: formatBeats(length),
        pitches,
        ...(graces.length > 0 && { graces }),
      };
      own.melody = [...(own.melody ?? []), note];
    }
    const [first] = this.#bars;
    if (first !== undefined && this.#pickup === undefined && first.chords[0]?.beat !== "1") {
      first.chords = [{ symbol: "N.C.", beat: "1" }, ...first.chords];
      this.guess("no chord at the beginning: N.C. until the first");
    }
    const second = this.#bars[1];
    if (
      this.#pickup !== undefined &&
      first?.chords.length === 0 &&
      second !== undefined &&
      second.chords[0]?.beat !== "1"
    ) {
      second.chords = [{ symbol: "N.C.", beat: "1" }, ...second.chords];
      this.guess("no chord at the beginning: N.C. until the first");
    }
    this.#road.settle(this.#pickup === undefined ? 0 : 1);
    // The last bar has what the pickup lacks.
    const last = this.#short === undefined ? undefined : this.#bars[this.#short.index];
    if (last !== undefined) {
      last.metre = this.#short?.metre;
      if (last.metre === undefined) delete last.metre;
      this.guess("a short bar filled up");
    }
    const heads = (text: string): string => text.replace(/\s+/g, " ").trim().slice(0, 200);
    const chart: Chart = {
      kind: "chart",
      version: 1,
      title: heads(title),
      ...(heading !== undefined && heads(heading) !== "" && { heading: heads(heading) }),
      key: "C major",
      metre: formatMetre(this.#firstMetre ?? this.#metre),
      ...(this.#tempo !== undefined && { tempo: this.#tempo }),
      ...(this.#feel !== undefined && { feel: this.#feel }),
      ...(this.#pickup !== undefined && { pickup: formatBeats(this.#pickup) }),
      bars: this.#bars,
      guesses: this.#guesses,
    };
    const problem = problemIn(chart);
    if (problem !== undefined)
      throw new MusicError({
        code: "progression/chart",
        input: title,
        expected: `${problem.expected}, in bar ${problem.bar}`,
      });
    return { ...chart, key: this.#keyOf(chart) };
  }

  // A signature without a mode is major, unless the chords say that it is the relative minor.
  #keyOf(chart: Chart): string {
    const key = this.#key ?? parseKey("C");
    const name = `${key.tonic} ${key.mode}`;
    if (!this.#keyOpen) return name;
    const likely = likelyKeys(chart).find(({ key: one }) => one.fifths === key.fifths)?.key;
    const chosen = likely === undefined ? name : `${likely.tonic} ${likely.mode}`;
    this.guess(`key taken as ${chosen}: its signature states no mode`);
    return chosen;
  }

  #duration(node: XmlNode, where: string): Beats {
    const length = whole(node, "duration", where);
    if (length < 0) throw refused("number", length, `a duration from 0 ${where}`);
    return beatsOf(length, this.#divisions);
  }

  #attributes(node: XmlNode, bar: Marks, index: number, where: string): void {
    if (child(node, "divisions") !== undefined) this.#divisions = whole(node, "divisions", where);
    if (this.#divisions < 1) throw refused("number", this.#divisions, "at least one division to a quarter");
    if (child(node, "transpose") !== undefined && textOf(child(node, "transpose"), "chromatic") !== "0")
      throw refused("unsupported", `a transposing part ${where}`, "notes and chords at sounding pitch");
    const key = child(node, "key");
    if (key !== undefined) {
      const { key: read, open } = keyOfSignature(key, where);
      if (index === 0) {
        this.#key = read;
        this.#keyOpen = open;
      } else if (this.#key === undefined || read.tonic !== this.#key.tonic || read.mode !== this.#key.mode) {
        bar.key = `${read.tonic} ${read.mode}`;
        this.#key ??= read;
        if (open) this.guess("a key without a mode taken as major");
      }
    }
    const time = child(node, "time");
    if (time === undefined) return;
    const count = (textOf(time, "beats") ?? "").split("+").reduce((sum, part) => sum + Number(part), 0);
    const metre = parseMetre(`${count}/${textOf(time, "beat-type") ?? ""}`);
    if (index === 0) this.#firstMetre = metre;
    else if (formatMetre(metre) !== formatMetre(this.#metre)) bar.metre = formatMetre(metre);
    this.#metre = metre;
  }

  readonly #graces: string[] = [];

  #isMelody(node: XmlNode): boolean {
    const voice = textOf(node, "voice") ?? "1";
    const staff = textOf(node, "staff") ?? "1";
    if (staff === "1") this.#voice ??= voice;
    if (staff === "1" && voice === this.#voice) return true;
    this.guess("only the first voice of the first staff is taken as the melody");
    return false;
  }

  #note(node: XmlNode, bar: number, at: Beats, length: Beats, where: string): void {
    this.#last = undefined;
    if (
      child(node, "rest") !== undefined ||
      textOf(node, "notehead") === "slash" ||
      child(node, "unpitched") !== undefined
    )
      return;
    if (!this.#isMelody(node)) return;
    if (length.num === 0) return;
    const name = pitchOf(node, where);
    const ties = all(node, "tie").map(({ attributes }) => attributes.type);
    const before = this.#tied.get(name);
    if (ties.includes("stop") && before !== undefined) {
      before.length = addBeats(before.length, length);
      this.#last = before;
    } else {
      this.#last = { bar, at, length, pitches: [name], graces: this.#graces.splice(0).slice(-16) };
      this.#notes.push(this.#last);
    }
    if (ties.includes("start")) this.#tied.set(name, this.#last);
    else this.#tied.delete(name);
  }
  #last: Sounding | undefined;

  // Further notes of the same stem; tied ones are in the first piece already.
  #chordNote(node: XmlNode, bar: number, where: string): void {
    const last = this.#last;
    if (last === undefined || child(node, "rest") !== undefined || child(node, "unpitched") !== undefined) return;
    const name = pitchOf(node, where);
    if (last.bar === bar && !last.pitches.includes(name) && last.pitches.length < 10) last.pitches.push(name);
  }

  #direction(node: XmlNode, bar: Marks, index: number, at: Beats, marks: { at: Beats; mark: "hold" | "stop" }[]): void {
    const sound = node.name === "sound" ? node : child(node, "sound");
    const types = all(node, "direction-type").flatMap(({ children }) => children);
    const metronome = types.find(({ name }) => name === "metronome");
    for (const text of this.#road.direction(node, bar)) {
      if (text === "hold" || text === "stop") marks.push({ at, mark: text });
      else if (index === 0 && this.#feel === undefined && text !== "" && (metronome !== undefined || FEEL.test(text)))
        this.#feel = text.slice(0, 60);
    }
    const perMinute = Number(textOf(metronome, "per-minute"));
    const tempo = Number(sound?.attributes.tempo);
    const pulse = pulseLength(this.#metre);
    if (this.#tempo !== undefined) return;
    if (tempo >= 10 && tempo <= 1000) this.#tempo = Math.round((tempo * pulse.den * 100) / pulse.num) / 100;
    else if (perMinute >= 10 && perMinute <= 1000) this.#tempo = perMinute;
  }
}

/** The time signature of a bar that is so long, counted as the metre counts. */
const metreOfLength = (length: Beats, { unit }: Metre): string | undefined => {
  const count = divideBeats(length, beatsOf(4, unit));
  return count.den === 1 && count.num >= 1 && count.num <= 32 ? `${count.num}/${unit}` : undefined;
};

const FEEL = /swing|straight|bossa|samba|latin|waltz|ballad|blues|shuffle|even/i;

const pitchOf = (node: XmlNode, where: string): string => {
  const pitch = child(node, "pitch");
  const step = textOf(pitch, "step");
  const octave = textOf(pitch, "octave");
  if (step === undefined || octave === undefined || !/^[A-G]$/.test(step) || !/^\d$/.test(octave))
    throw refused("pitch", textOf(pitch, "step"), `a pitch ${where}`);
  return `${step}${signsOf(Math.round(Number(textOf(pitch, "alter") ?? 0)) || 0)}${octave}`;
};
