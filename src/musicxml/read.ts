import { parseChord } from "../chord/index.ts";
import type { Hand, NoteEvent } from "../event/index.ts";
import { MusicError } from "../ground/errors.ts";
import { known, nth } from "../ground/list.ts";
import type { Key } from "../pitch/index.ts";
import type { ChordSpan, WrittenForm } from "../progression/index.ts";
import { orderOf, signProblem } from "../progression/inner.ts";
import type { Score } from "../score/index.ts";
import { makeScore, scoreEnd } from "../score/index.ts";
import type { Feel } from "../swing/index.ts";
import { straight, swungFeel } from "../swing/index.ts";
import type { Beats, Metre, MetreChange } from "../time/index.ts";
import {
  addBeats,
  barLength,
  beatsOf,
  compareBeats,
  equalBeats,
  formatBeats,
  formatMetre,
  parseMetre,
  subtractBeats,
  ZERO,
} from "../time/index.ts";
import { keyOfSignature } from "./keys.ts";
import type { XmlNode } from "./parse.ts";
import { all, child, parseXml, textOf, whole } from "./parse.ts";
import { NoteReader } from "./read-notes.ts";
import type { SignsRead } from "./read-road.ts";
import { RoadReader } from "./read-road.ts";
import { BASS } from "./strokes.ts";

/**
 * Reads a score back from MusicXML: what {@link writeMusicXml} writes, and other scores of one part on one or two staves that hold no more.
 *
 * What only concerns the page is passed over. Repeats, endings and jumps are played out. What would change the notes is refused: several parts (a bass player's beside apart), strokes for chords, cue notes, percussion, and changes of
 * key or tempo on the way. Nothing is fetched, and no entities are expanded. A chord symbol lasts until the next one.
 *
 * @param text - the document
 * @throws MusicError `musicxml/xml` for text that is not well-formed, `musicxml/entities` for a document that declares entities, `musicxml/root` for
 * anything but a partwise score, `musicxml/unsupported` for what is refused as above, `musicxml/bar` for a bar that is not full, and
 * `musicxml/number`, `musicxml/pitch`, `musicxml/tie`, `musicxml/chord`, `musicxml/fingering`, `musicxml/key`, `musicxml/harmony` for what can't
 * be read there; the codes of `makeScore`, chord, pitch and time for a score that can't be
 *
 * @example
 * ```ts
 * import { makeScore, metre, parseKey, readMusicXml, writeMusicXml } from "hands-together";
 *
 * const score = makeScore({ title: "Scale", key: parseKey("Eb"), metre: metre("4/4"), bars: 2, tempo: 110 });
 * readMusicXml(writeMusicXml(score)).tempo; // => 110
 * readMusicXml("<html/>"); // throws "musicxml/root"
 * ```
 */
export function readMusicXml(text: string): Score {
  if (typeof text !== "string")
    throw new MusicError({ code: "musicxml/xml", input: typeof text, expected: "the text of a MusicXML document" });
  const root = parseXml(text);
  if (root.name !== "score-partwise") {
    throw new MusicError({ code: "musicxml/root", input: root.name, expected: "a partwise score (score-partwise)" });
  }
  const parts = all(root, "part");
  const measures = all(parts[0], "measure");
  const bassPart = all(child(root, "part-list"), "score-part")
    .filter((part) => textOf(part, "part-name") === BASS)
    .map((part) => part.attributes.id);
  const [, second] = parts;
  const withBass = parts.length === 2 && bassPart.includes(second?.attributes.id);
  if ((parts.length !== 1 && !withBass) || measures.length === 0)
    throw unsupported(`${parts.length} parts`, "one part with at least one bar");
  const { played, form } = readRoad(measures);
  const frame = readFrame(played.map(({ measure }) => measure));
  const reader = new PartReader(frame);
  played.forEach((one, i) => reader.measure(one, i));
  const bass = withBass ? bassIn(all(second, "measure"), form, frame) : undefined;
  const title = textOf(root, "movement-title") ?? textOf(child(root, "work"), "work-title") ?? "";
  return reader.score(title, form, bass);
}

const unsupported = (input: string, expected: string): MusicError =>
  new MusicError({ code: "musicxml/unsupported", input, expected, reason: "cannot-be-done" });

/** What holds for the whole score. */
interface Frame {
  readonly key: Key;
  readonly metre: Metre;
  readonly bars: number;
  readonly pickup: Beats;
}

/** The bass player's part, played in the order of the hands'. */
const bassIn = (measures: readonly XmlNode[], form: WrittenForm | undefined, frame: Frame): readonly NoteEvent[] => {
  const { played } = readRoad(measures);
  const lead = frame.pickup.num > 0 ? 1 : 0;
  const order = form?.order.map((bar) => bar - 1 + lead) ?? measures.map((_, i) => i);
  const all = form === undefined ? order : [...Array.from({ length: lead }, (_, i) => i), ...order];
  if (all.length !== frame.bars + lead || all.some((bar) => measures[bar] === undefined))
    throw unsupported(`${measures.length} bars of bass`, "as many bars in each part");
  const reader = new PartReader(frame);
  const byMeasure = new Map(played.map((one) => [one.measure, one]));
  all.forEach((bar, i) => reader.measure(known(byMeasure.get(nth(measures, bar))), i));
  return reader.notes("right");
};

const isLead = (measure: XmlNode): boolean =>
  measure.attributes.implicit === "yes" || measure.attributes.number === "0";

/** A bar as it is played, with what holds there by what is written before it. */
interface PlayedMeasure {
  readonly measure: XmlNode;
  readonly divisions: XmlNode | undefined;
  readonly time: XmlNode | undefined;
}

/** The bars in the order in which they are played, and how they are written where they have signs. */
const readRoad = (
  measures: readonly XmlNode[],
): { readonly played: readonly PlayedMeasure[]; readonly form: WrittenForm | undefined } => {
  const lead = measures.length > 1 && isLead(nth(measures, 0)) ? 1 : 0;
  const bars: SignsRead[] = [];
  const road = new RoadReader(bars);
  let [divisions, time]: (XmlNode | undefined)[] = [];
  const written = measures.map((measure, i): PlayedMeasure => {
    const bar: SignsRead = {};
    bars.push(bar);
    for (const node of measure.children) {
      if (node.name === "direction" || node.name === "sound") road.direction(node, bar);
      if (node.name === "barline") road.barline(node, bar, `in bar ${measure.attributes.number ?? i + 1}`);
    }
    const before = { measure, divisions, time };
    for (const node of all(measure, "attributes")) {
      if (child(node, "divisions") !== undefined) divisions = node;
      if (child(node, "time") !== undefined) time = child(node, "time");
    }
    return before;
  });
  road.settle(lead);
  const signs = bars.slice(lead);
  if (signs.every((bar) => Object.keys(bar).length === 0)) return { played: written, form: undefined };
  const problem = signProblem(signs);
  if (problem !== undefined) throw unsupported(`a repeat or a jump in bar ${problem.bar}`, problem.expected);
  const order = orderOf(signs);
  const played = [...written.slice(0, lead), ...order.map((bar) => nth(written, lead + bar))];
  return { played, form: { bars: signs, order: order.map((bar) => bar + 1) } };
};

const readFrame = (measures: readonly XmlNode[]): Frame => {
  const first = nth(measures, 0);
  const attributes = child(first, "attributes");
  const metre = parseMetre(
    `${textOf(child(attributes, "time"), "beats") ?? ""}/${textOf(child(attributes, "time"), "beat-type") ?? ""}`,
  );
  const length = measureLength(first);
  const short = isLead(first) && compareBeats(length, barLength(metre)) < 0;
  return {
    key: readKey(child(attributes, "key")),
    metre,
    bars: measures.length - (short ? 1 : 0),
    pickup: short ? length : ZERO,
  };
};

const readKey = (node: XmlNode | undefined): Key => {
  const { key, open } = keyOfSignature(node, "in the key");
  const mode = textOf(node, "mode");
  if (!open || mode === undefined) return key;
  throw new MusicError({ code: "musicxml/key", input: mode, expected: "a major or minor key" });
};

const isTimed = (node: XmlNode): boolean => child(node, "grace") === undefined && child(node, "chord") === undefined;

/** The furthest moment that a bar reaches, from its start; of a first bar, which states its divisions. */
const measureLength = (measure: XmlNode): Beats => {
  const divisions = divisionsOf(child(measure, "attributes"));
  let [at, furthest] = [0, 0];
  for (const node of measure.children) {
    if (node.name === "backup") at -= whole(node, "duration", "of a backup");
    else if (node.name === "forward" || (node.name === "note" && isTimed(node)))
      at += whole(node, "duration", "of a note");
    furthest = Math.max(furthest, at);
  }
  return beatsOf(furthest, divisions);
};

const divisionsOf = (attributes: XmlNode | undefined): number => {
  const divisions = whole(attributes, "divisions", "in the attributes");
  if (divisions < 1)
    throw new MusicError({ code: "musicxml/number", input: divisions, expected: "at least one division to a quarter" });
  return divisions;
};

class PartReader {
  readonly #frame: Frame;
  readonly #notes = new NoteReader();
  readonly #symbols: { at: Beats; chord: ChordSpan["chord"] }[] = [];
  readonly #metres: MetreChange[] = [];
  #metre: Metre;
  #bars = 0;
  #start: Beats;
  #divisions = 1;
  #tempo: number | undefined;
  #feel: Feel = straight;

  constructor(frame: Frame) {
    this.#frame = frame;
    this.#metre = frame.metre;
    this.#start = subtractBeats(ZERO, frame.pickup);
  }

  measure({ measure, divisions, time }: PlayedMeasure, index: number): void {
    const where = `in bar ${measure.attributes.number ?? index + 1}`;
    const isPickup = index === 0 && this.#frame.pickup.num > 0;
    if (!isPickup) this.#bars += 1;
    if (index > 0 && divisions !== undefined) this.#divisions = divisionsOf(divisions);
    if (index > 0 && time !== undefined) this.#time(time, false, where);
    let at = ZERO;
    let furthest = ZERO;
    let chordAt = ZERO;
    const move = (by: Beats): void => {
      at = addBeats(at, by);
      if (compareBeats(at, furthest) > 0) furthest = at;
    };
    for (const node of measure.children) {
      switch (node.name) {
        case "attributes":
          this.#attributes(node, furthest.num > 0, where);
          break;
        case "note": {
          this.#refuseNote(node, where);
          if (child(node, "grace") !== undefined) {
            this.#notes.grace(node, where);
            break;
          }
          const duration = this.#duration(node, where);
          if (child(node, "chord") === undefined) {
            chordAt = at;
            move(duration);
          }
          const hand: Hand = textOf(node, "staff") === "2" ? "left" : "right";
          if (child(node, "rest") === undefined)
            this.#notes.note(node, hand, addBeats(this.#start, chordAt), duration, where);
          break;
        }
        case "backup":
          at = subtractBeats(at, this.#duration(node, where));
          if (at.num < 0)
            throw new MusicError({
              code: "musicxml/bar",
              input: formatBeats(at),
              expected: `no way back before the start ${where}`,
            });
          break;
        case "forward":
          move(this.#duration(node, where));
          break;
        case "harmony":
          this.#harmony(node, addBeats(this.#start, at), where);
          break;
        case "direction":
          this.#sound(child(node, "sound"), where);
          break;
        case "sound":
          this.#sound(node, where);
          break;
        default:
          if (!["barline", "print", "bookmark", "link", "grouping", "listening", "figured-bass"].includes(node.name))
            throw unsupported(`${node.name} ${where}`, "notes, rests and chord symbols");
      }
    }
    const length = isPickup ? this.#frame.pickup : barLength(this.#metre);
    if (!equalBeats(furthest, length)) {
      throw new MusicError({
        code: "musicxml/bar",
        input: `${formatBeats(furthest)} quarter notes`,
        expected: `a full bar of ${formatBeats(length)} ${where}`,
      });
    }
    this.#start = addBeats(this.#start, length);
  }

  /** What a part on one staff plays. */
  notes(hand: Hand): readonly NoteEvent[] {
    return this.#notes.finish(hand).events;
  }

  score(title: string, form: WrittenForm | undefined, bass: readonly NoteEvent[] | undefined): Score {
    const { key, metre, bars, pickup } = this.#frame;
    const metres = this.#metres;
    const end = scoreEnd({ bars, metre, metres });
    const right = this.#notes.finish("right");
    const chords = [...this.#symbols]
      .sort((a, b) => compareBeats(a.at, b.at))
      .map(({ at, chord }, i, all): ChordSpan => ({ at, duration: subtractBeats(all[i + 1]?.at ?? end, at), chord }));
    return makeScore({
      title,
      key,
      metre,
      metres,
      bars,
      pickup,
      chords,
      tempo: this.#tempo ?? 120,
      feel: this.#feel,
      right: right.events,
      left: this.#notes.finish("left").events,
      ...(right.phrases.length === 0 ? {} : { phrases: right.phrases }),
      form,
      bass,
    });
  }

  #duration(node: XmlNode, where: string): Beats {
    return beatsOf(whole(node, "duration", where), this.#divisions);
  }

  #attributes(node: XmlNode, inside: boolean, where: string): void {
    if (child(node, "divisions") !== undefined) this.#divisions = divisionsOf(node);
    const { key } = this.#frame;
    for (const change of all(node, "key")) {
      if (readKey(change).fifths !== key.fifths) throw unsupported(`a change of key ${where}`, "one key throughout");
    }
    for (const change of all(node, "time")) this.#time(change, inside, where);
    if (child(node, "transpose") !== undefined)
      throw unsupported(`a transposing instrument ${where}`, "notes at sounding pitch");
    if (Number(textOf(node, "staves") ?? "1") > 2)
      throw unsupported(`${textOf(node, "staves") ?? ""} staves`, "one or two staves");
  }

  #time(change: XmlNode, inside: boolean, where: string): void {
    const metre = parseMetre(`${textOf(change, "beats") ?? ""}/${textOf(change, "beat-type") ?? ""}`);
    if (formatMetre(metre) === formatMetre(this.#metre)) return;
    if (inside || this.#bars < 2) throw unsupported(`a change of metre ${where}`, "changes of metre at bar lines");
    this.#metre = metre;
    // A bar that is gone back to is in its own metre first, and may change it.
    if (this.#metres.at(-1)?.bar === this.#bars) this.#metres.pop();
    this.#metres.push({ bar: this.#bars, metre });
  }

  #refuseNote(note: XmlNode, where: string): void {
    if (child(note, "cue") !== undefined) throw unsupported(`a cue note ${where}`, "notes to be played");
    if (textOf(note, "notehead") === "slash") throw unsupported(`strokes ${where}`, "the notes that are meant");
    if (child(note, "unpitched") !== undefined) throw unsupported(`percussion ${where}`, "pitched notes");
  }

  #sound(sound: XmlNode | undefined, where: string): void {
    const tempo = sound?.attributes.tempo;
    if (tempo !== undefined) {
      const read = Number(tempo);
      if (this.#tempo !== undefined && this.#tempo !== read)
        throw unsupported(`a change of tempo ${where}`, "one tempo throughout");
      this.#tempo = read;
    }
    const swing = child(sound, "swing");
    if (swing === undefined) return;
    const style = textOf(swing, "swing-style");
    this.#feel =
      child(swing, "straight") !== undefined
        ? style === undefined
          ? straight
          : { ...straight, id: style }
        : swungFeel(
            { first: whole(swing, "first", where), second: whole(swing, "second", where) },
            {
              unit: textOf(swing, "swing-type") === "16th" ? "16th" : "eighth",
              ...(style === undefined ? {} : { id: style }),
            },
          );
  }

  #harmony(node: XmlNode, at: Beats, where: string): void {
    const offset = child(node, "offset") === undefined ? ZERO : beatsOf(whole(node, "offset", where), this.#divisions);
    const kind = child(node, "kind");
    const text = kind?.attributes.text;
    if (kind?.text === "none") {
      this.#symbols.push({ at: addBeats(at, offset), chord: undefined });
      return;
    }
    const root = child(node, "root");
    if (root === undefined || text === undefined) {
      throw new MusicError({
        code: "musicxml/harmony",
        input: kind?.text,
        expected: `a chord symbol with a root and the text of its kind ${where}`,
      });
    }
    const items = all(node, "degree")
      .filter((degree) => degree.attributes["print-object"] !== "no")
      .map((degree) => printedDegree(degree, where));
    const brackets = items.length === 0 ? "" : `(${items.join(",")})`;
    const bass = child(node, "bass");
    const slash = bass === undefined ? "" : `/${textOf(bass, "bass-step") ?? ""}${signs(textOf(bass, "bass-alter"))}`;
    this.#symbols.push({
      at: addBeats(at, offset),
      chord: parseChord(
        `${textOf(root, "root-step") ?? ""}${signs(textOf(root, "root-alter"))}${text}${brackets}${slash}`,
      ),
    });
  }
}

const printedDegree = (degree: XmlNode, where: string): string => {
  const type = child(degree, "degree-type");
  const prefix = type?.attributes.text ?? (type?.text === "subtract" ? "no" : "");
  return `${prefix}${signs(textOf(degree, "degree-alter"))}${whole(degree, "degree-value", where)}`;
};

const signs = (alter: string | undefined): string => {
  const semitones = Number(alter ?? "0");
  return Number.isInteger(semitones) && Math.abs(semitones) <= 3
    ? (semitones < 0 ? "b" : "#").repeat(Math.abs(semitones))
    : "?";
};
