import { MusicError } from "../ground/errors.ts";
import type { BarSigns, ChartJump } from "../progression/index.ts";
import type { XmlNode } from "./parse.ts";
import { all, child } from "./parse.ts";

/** The signs of a bar while they are read. */
export type SignsRead = { -readonly [Sign in keyof BarSigns]: BarSigns[Sign] };

const JUMP_WORDS = /^(d\.? ?[cs]\.?|da capo|dal segno)(?:\s+al\s+(fine|coda))?\.?$/i;

const jumpOf = (from: string, until: string | undefined): ChartJump => {
  const start = /^d.? ?c|capo/i.test(from) ? "D.C." : "D.S.";
  return until === undefined ? start : /fine/i.test(until) ? `${start} al Fine` : `${start} al Coda`;
};

// What would be read as another sign in square brackets is kept apart by a word.
const sectionName = (text: string): string => {
  const name = text
    .replace(/[\][|:*\n]/g, " ")
    .replace(/\s+/g, " ")
    .trim()
    .replace(/\.$/, "")
    .slice(0, 24)
    .trim();
  return /^[\d/x ,&-]+$/.test(name) ? `Part ${name}` : name;
};

/** Sections, repeats, endings and jumps of the bars of a part, as they come. */
export class RoadReader {
  /** One a bar, added by whoever reads the bars. */
  readonly #bars: readonly SignsRead[];
  /** Bars at whose end an ending stops for good. */
  readonly #endingEnds = new Set<number>();
  #jumpSound: "D.C." | "D.S." | undefined;

  constructor(bars: readonly SignsRead[]) {
    this.#bars = bars;
  }

  /** What a direction (or a sound by itself) says of the road; returns its words that say something else. */
  direction(node: XmlNode, bar: SignsRead): readonly string[] {
    const sound = node.name === "sound" ? node : child(node, "sound");
    const types = all(node, "direction-type").flatMap(({ children }) => children);
    const others: string[] = [];
    for (const type of types) {
      if (type.name === "rehearsal" && type.text !== "") bar.section = sectionName(type.text);
      if (type.name === "segno") bar.segno = true;
      if (type.name !== "words") continue;
      const text = type.text.replace(/\s+/g, " ").trim();
      const jump = JUMP_WORDS.exec(text);
      if (jump !== null) bar.jump = jumpOf(jump[1] ?? "", jump[2]);
      else if (/^fine\.?$/i.test(text)) bar.fine = true;
      else if (/^to coda/i.test(text)) bar.toCoda = true;
      else if (/^coda$/i.test(text)) bar.coda = true;
      else others.push(text);
    }
    if (sound?.attributes.segno !== undefined) bar.segno = true;
    if (sound?.attributes.coda !== undefined) bar.coda = true;
    if (sound?.attributes.tocoda !== undefined) bar.toCoda = true;
    if (sound?.attributes.fine !== undefined) bar.fine = true;
    if (sound?.attributes.dacapo === "yes") this.#jumpSound = "D.C.";
    if (sound?.attributes.dalsegno !== undefined) this.#jumpSound = "D.S.";
    if (
      this.#jumpSound !== undefined &&
      bar.jump === undefined &&
      (sound?.attributes.dacapo === "yes" || sound?.attributes.dalsegno !== undefined)
    )
      bar.jump = this.#jumpSound;
    // A coda sign without a word: of two the first leads there.
    if (types.some(({ name }) => name === "coda") && bar.coda !== true && bar.toCoda !== true) {
      if (this.#bars.some(({ toCoda }) => toCoda === true)) bar.coda = true;
      else bar.toCoda = true;
    }
    return others;
  }

  /** What a bar line says of the road. */
  barline(node: XmlNode, bar: SignsRead, where: string): void {
    const repeat = child(node, "repeat");
    if (repeat?.attributes.direction === "forward") bar.repeatStart = true;
    if (repeat?.attributes.direction === "backward") {
      const times = Number(repeat.attributes.times ?? 2);
      if (!Number.isInteger(times) || times < 2 || times > 16)
        throw new MusicError({ code: "musicxml/number", input: times, expected: `2 to 16 times ${where}` });
      bar.repeatEnd = times;
    }
    const ending = child(node, "ending");
    if (ending !== undefined && ending.attributes.type !== "start" && repeat === undefined)
      this.#endingEnds.add(this.#bars.length - 1);
    if (ending?.attributes.type === "start") {
      const passes = (ending.attributes.number ?? "").match(/\d+/g)?.map(Number) ?? [];
      if (passes.length > 0 && passes.every((pass) => pass >= 1 && pass <= 16)) bar.ending = passes;
    }
  }

  /** Repeats without a beginning, and jumps whose words are missing; `first` is the first full bar. */
  settle(first: number): void {
    let open = false;
    let from = first;
    let endings = false;
    this.#bars.forEach((bar, i) => {
      if (bar.repeatStart === true) {
        open = true;
        endings = false;
        from = i;
      }
      if (bar.ending !== undefined) {
        const begins = this.#bars[from];
        if (!open && !endings && begins !== undefined) begins.repeatStart = true;
        endings = true;
        open = true;
      }
      if (bar.repeatEnd !== undefined) {
        if (!open) {
          const begins = this.#bars[from];
          if (begins !== undefined) begins.repeatStart = true;
        }
        open = endings;
        if (!endings) from = i + 1;
      }
      if (this.#endingEnds.has(i)) {
        [open, endings] = [false, false];
        from = i + 1;
      }
    });
    const fine = this.#bars.some((bar) => bar.fine === true);
    const coda = this.#bars.some((bar) => bar.coda === true) && this.#bars.some((bar) => bar.toCoda === true);
    for (const bar of this.#bars) {
      if (bar.jump === "D.C." || bar.jump === "D.S.")
        bar.jump = coda ? `${bar.jump} al Coda` : fine ? `${bar.jump} al Fine` : bar.jump;
    }
  }
}
