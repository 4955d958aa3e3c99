import { parseChord } from "../chord/index.ts";
import { isMusicError, MusicError } from "../ground/errors.ts";
import { shortened } from "../ground/text.ts";
import type { Key, KeyMode } from "../pitch/index.ts";
import { parseKey } from "../pitch/index.ts";
import type { Beats, Metre } from "../time/index.ts";
import {
  addBeats,
  beats,
  beatsOf,
  compareBeats,
  divideBeats,
  equalBeats,
  formatBeats,
  formatMetre,
  isCompound,
  multiplyBeats,
  parseMetre,
  subtractBeats,
  ZERO,
} from "../time/index.ts";
import type { Chart, ChartBar, ChartChord } from "./document.ts";
import { MOST_BARS } from "./document.ts";
import { pulsesIn, sharesOf } from "./lengths.ts";
import type { Numeral } from "./numeral.ts";
import { appliedTo, chordOf, looksLikeNumeral, readNumeral } from "./numeral.ts";
import { lineAndColumn, plainText } from "./plain.ts";
import { problemIn } from "./play.ts";
import { raised, readSymbol } from "./symbol.ts";
import type { Token } from "./tokens.ts";
import { SECTION_WORDS, tokensOf } from "./tokens.ts";
import { inMode } from "./twins.ts";

/** What a reader is told beside the text. */
export interface ReadingOptions {
  readonly key?: Key | undefined;
  readonly mode?: KeyMode | undefined;
  readonly metre?: Metre | undefined;
  readonly chordsPerBar: number;
}

type Word = Extract<Token, { kind: "word" }>;

/** A chord in a bar, with what was written of its length. */
interface Item {
  readonly at: number;
  readonly end: number;
  readonly text: string;
  /** Pulses as written behind `*`. */
  readonly beats: Beats | undefined;
  /** Further pulses, one a stroke. */
  strokes: number;
  strokeSign: string;
  readonly optional: boolean;
  /** What a bracketed group of numerals leads to. */
  goals: string | undefined;
  mark: "hold" | "stop" | undefined;
}

type Marks = { -readonly [Field in keyof Omit<ChartBar, "chords" | "melody">]: ChartBar[Field] };

/** A written bar before its chords have places. */
interface Draft {
  readonly at: number;
  items: Item[];
  /** Strokes before the first chord: the chord before lasts on. */
  lead: number;
  /** A repeat of the bar so many bars before. */
  readonly same: number;
  readonly marks: Marks;
}

type Placed = readonly (readonly [item: Item, beat: Beats])[];

/** A line of the heading, such as "Key: Eb". */
const HEADER =
  /^[ \t]*(title|name|song|heading|subtitle|by|composer|artist|key|tonality|metre|meter|time(?: signature)?|tempo|bpm|feel|style|groove|rhythm|form|pickup)[ \t]*[:=][ \t]*(.*)$/i;
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

interface Heading {
  title?: string;
  heading?: string;
  key?: Key;
  metre?: Metre;
  tempo?: number;
  feel?: string;
  pickup?: Beats;
}

/** Reads one chart; a reader is made anew for each. */
class ChartReader {
  readonly #original: string;
  readonly #options: ReadingOptions;
  readonly #text: string;
  readonly #from: readonly number[];
  readonly #guesses = new Map<string, number[]>();
  readonly #heading: Heading = {};
  readonly #drafts: Draft[] = [];
  #tokens: Token[] = [];
  #barLines = false;
  #perLine = false;
  // The bar that is being written.
  #items: Item[] = [];
  #lead = 0;
  #marks: Marks = {};
  #at = 0;
  // Where a repeat that ends without a beginning would begin.
  #repeatFrom = 0;
  #repeatOpen = false;
  #endings = false;
  #lastEnding = 0;
  #awaitsEnding = false;
  #optional = false;
  #groupFrom: number | undefined;
  #count: number | undefined;
  #lowerCase: boolean | undefined;

  constructor(original: string, options: ReadingOptions) {
    this.#original = original;
    this.#options = options;
    const { text, from } = plainText(original);
    this.#text = text;
    this.#from = from;
  }

  read(): Chart {
    const start = this.#readHeading();
    this.#tokens = this.#settle(tokensOf(this.#text, start));
    this.#barLines = this.#tokens.some(({ kind }) => kind === "bar");
    if (this.#barLines) this.#readBars();
    else this.#readList();
    if (this.#drafts.length === 0) throw this.#refuse("at least one chord", this.#text.length);
    return this.#chart();
  }

  // ---- places, guesses and refusals

  #place(at: number): { readonly line: number; readonly column: number } {
    return lineAndColumn(this.#original, this.#from[Math.min(at, this.#from.length - 1)] ?? 0);
  }

  #guess(what: string, at: number): void {
    const places = this.#guesses.get(what) ?? [];
    places.push(at);
    this.#guesses.set(what, places);
  }

  #where(at: number, bar: number): string {
    const { line, column } = this.#place(at);
    return `in bar ${bar} (line ${line}, column ${column})`;
  }

  #refuse(expected: string, at: number, hint?: string): MusicError {
    const rest = this.#text.slice(at, at + 24).split("\n")[0] ?? "";
    const found = rest === "" ? "" : `, found ${JSON.stringify(rest)}`;
    return new MusicError({
      code: "progression/chart",
      input: this.#original,
      expected: `${expected}, ${this.#where(at, this.#drafts.length + 1)}${found}`,
      hint,
    });
  }

  /** Adds the place to what a chord or a numeral was refused for. */
  #within<T>(at: number, bar: number, read: () => T): T {
    try {
      return read();
    } catch (error) {
      if (!(error instanceof MusicError)) throw error;
      throw new MusicError({
        code: error.code,
        input: error.input,
        expected: `${error.expected}, ${this.#where(at, bar)}`,
        reason: error.reason,
        hint: error.hint,
      });
    }
  }

  // ---- heading

  // Lines with a field before the music, and one line of words as the title.
  #readHeading(): number {
    let at = 0;
    while (at < this.#text.length) {
      const end = this.#text.indexOf("\n", at);
      const stop = end < 0 ? this.#text.length : end;
      const line = this.#text.slice(at, stop).replace(/^\s*\{(.*)\}\s*$/, "$1");
      if (line.trim() !== "" && !this.#header(line, at) && !this.#titleLine(line, at, end >= 0)) return at;
      at = stop + 1;
    }
    return this.#text.length;
  }

  #header(line: string, at: number): boolean {
    const match = HEADER.exec(line);
    if (match === null) return false;
    const [, name = "", text = ""] = match;
    const value = text.trim();
    const start = this.#text.indexOf(value, at);
    const asTyped = this.#original.slice(this.#from[start], this.#from[start + value.length]).trim();
    const field = FIELDS[name.toLowerCase()];
    if (value === "") return true;
    this.#within(at, 0, () => {
      if (field === "title" || field === "heading") this.#heading[field] = shortened(asTyped, 200);
      else if (field === "feel") this.#heading.feel = shortened(asTyped, 60);
      else if (field === "key") this.#heading.key = parseKey(value.replace(/\.$/, ""));
      else if (field === "metre") this.#heading.metre = parseMetre(value);
      else if (field === "pickup") this.#heading.pickup = this.#beatsOf(value, at);
      else if (field === "tempo") this.#heading.tempo = tempoOf(value);
      else
        throw new MusicError({
          code: "progression/chart",
          input: value,
          expected: "sections written out in the order in which they are played",
        });
    });
    return true;
  }

  // A first line of words, with more below it.
  #titleLine(line: string, at: number, more: boolean): boolean {
    if (!more || this.#heading.title !== undefined || !isWords(line) || isLabel(line)) return false;
    const start = at + line.search(/\S/);
    this.#heading.title = shortened(this.#original.slice(this.#from[start], this.#from[at + line.length]).trim(), 200);
    this.#guess("a line of words taken as the title", at);
    return true;
  }

  // ---- tokens

  /** Settles what one token alone does not tell: coda signs, lines of words, letters that name sections, qualities behind a blank. */
  #settle(tokens: readonly Token[]): Token[] {
    return this.#glue(this.#labels(this.#letters(this.#codas(this.#withoutWords(tokens)))));
  }

  #withoutWords(tokens: readonly Token[]): readonly Token[] {
    const lines = linesOf(tokens);
    if (lines.length < 2) return tokens;
    return lines.flatMap((line) => {
      const words = line.filter((token) => token.kind === "word");
      const unread = words.filter(({ text }) => /[a-z]{2}/i.test(text) && !this.#isChord(text));
      const first = line[0];
      const text = first === undefined ? "" : (this.#text.slice(first.at).split("\n")[0] ?? "");
      if (first !== undefined && HEADER.test(text) && this.#header(text, first.at)) return [{ ...first, kind: "line" }];
      if (line.some(({ kind }) => kind === "bar") || unread.length < 2 || 2 * unread.length <= words.length)
        return line;
      if (first !== undefined) this.#guess("a line of words left out", first.at);
      return line.filter(({ kind }) => kind === "line");
    });
  }

  // Of two coda signs the first leads there and the second is the place; so a sign and a word.
  #codas(tokens: readonly Token[]): readonly Token[] {
    const signs = tokens.filter((token) => token.kind === "sign" && token.sign === "coda-sign");
    if (signs.length === 0) return tokens;
    const has = (sign: string): boolean => tokens.some((token) => token.kind === "sign" && token.sign === sign);
    const last = signs.at(-1);
    return tokens.map((token) =>
      token.kind === "sign" && token.sign === "coda-sign"
        ? { ...token, sign: token === last && !has("coda") ? ("coda" as const) : ("to-coda" as const) }
        : token,
    );
  }

  // Letters alone at the beginning of lines that run A, B … name sections, on a line of their own or before a bar line.
  #letters(tokens: readonly Token[]): readonly Token[] {
    const lines = linesOf(tokens)
      .map((line) => line.filter(({ kind }) => kind !== "line"))
      .filter((line) => line.length > 0);
    const lettered = lines.filter(([first]) => first?.kind === "word" && /^[A-H][1-9]?'?$/.test(first.text));
    const alone = lettered.filter((line) => line.length === 1);
    const barred = lettered.filter(([, second]) => second?.kind === "bar" && !second.run.startsWith(":"));
    const named =
      runsOn(alone) && lines.some((line) => line.length > 1)
        ? alone
        : runsOn(barred) && barred.length === lines.length && barred.length > 1
          ? barred
          : [];
    const firsts = new Set(named.map(([first]) => first));
    return tokens.map((token) => {
      if (!firsts.has(token) || token.kind !== "word") return token;
      this.#guess("a letter at the beginning of a line taken as the name of a section", token.at);
      return { kind: "section", at: token.at, end: token.end, name: token.text, sure: true };
    });
  }

  // "C: I vi ii V | G: ii V I": before numerals a letter with a colon may be a key.
  #labels(tokens: readonly Token[]): readonly Token[] {
    const isLabel = (token: Token, i: number): boolean => {
      const next = tokens[i + 1];
      return (
        token.kind === "section" &&
        /^[A-G]$/.test(token.name) &&
        this.#text.charAt(token.end - 1) === ":" &&
        next?.kind === "word" &&
        looksLikeNumeral(next.text)
      );
    };
    const labels = tokens.filter(isLabel);
    const letters = labels.map((token) => (token.kind === "section" ? token.name : ""));
    const [first] = labels;
    if (first === undefined) return tokens;
    if (inOrder(letters)) {
      if (new Set(letters).size > 1) return tokens;
      throw this.#refuse("one reading", first.at, "write [A] for a section, [key: A] for a key");
    }
    return tokens.map((token, i) =>
      isLabel(token, i) && token.kind === "section"
        ? { kind: "key", at: token.at, end: token.end, text: token.name }
        : token,
    );
  }

  // "C7 b9", "Eb7 (b9 #11)", "D min7": what can't stand alone belongs to the chord before.
  #glue(tokens: readonly Token[]): Token[] {
    const glued: Token[] = [];
    for (const token of tokens) {
      const before = glued.at(-1);
      if (token.kind === "word" && before?.kind === "word" && before.more === 0 && before.beats === undefined) {
        const over = /^(?:over|\/)$/.test(before.text) ? glued.at(-2) : undefined;
        if (over?.kind === "word" && /^[A-G][b#♭♯]?$/.test(token.text) && this.#isChord(over.text)) {
          this.#guess(`${over.text} over ${token.text} taken as ${over.text}/${token.text}`, over.at);
          glued.splice(-2, 2, { ...token, at: over.at, text: `${over.text}/${token.text}` });
          continue;
        }
        const whole = before.text + token.text;
        if (!this.#isChord(token.text) && this.#isChord(before.text) && this.#isChord(whole)) {
          this.#guess(`${shortened(`${before.text} ${token.text}`, 24)} taken as one chord`, before.at);
          glued[glued.length - 1] = { ...token, at: before.at, text: whole };
          continue;
        }
      }
      if (token.kind === "word" && !this.#isChord(token.text)) {
        const parts = this.#split(token);
        if (parts !== undefined) {
          glued.push(...parts);
          continue;
        }
      }
      glued.push(token);
    }
    return glued;
  }

  // "Dm7-G7-Cmaj7", "ii-V-I": a list with dashes and no blanks.
  #split(token: Word): readonly Token[] | undefined {
    if (!/.-[A-GIVivb#]/.test(token.text) || token.more > 0 || token.beats !== undefined) return undefined;
    const texts = token.text.split(/-(?=[A-GIViv]|[b#][IViv])/);
    if (texts.length < 2 || !texts.every((text) => this.#isChord(text))) return undefined;
    let at = token.at;
    return texts.flatMap((text, i): Token[] => {
      const word: Token = { kind: "word", at, end: at + text.length, text, beats: undefined, more: 0 };
      at += text.length + 1;
      return i === 0 ? [word] : [{ kind: "separator", at: word.at - 1, end: word.at }, word];
    });
  }

  readonly #known = new Map<string, boolean>();
  #isChord(text: string): boolean {
    const known = this.#known.get(text);
    if (known !== undefined) return known;
    const is =
      text === "N.C." ||
      text === "N" ||
      readSymbol(text) !== undefined ||
      this.#isNumeral(text) ||
      (/^[a-g][b#]?(?:m|maj|min|dim|7|6|9|ø|o|sus|-|$)/.test(text) &&
        readSymbol(raised(text)) !== undefined &&
        !/^b(?:\d|$)/.test(text));
    this.#known.set(text, is);
    return is;
  }

  #isNumeral(text: string): boolean {
    if (!looksLikeNumeral(text)) return false;
    try {
      const numeral = readNumeral(text);
      // Any key will do to see whether the quality can be read.
      chordOf(numeral, text, "C", "major");
      return true;
    } catch (error) {
      // One that has two readings, or none in this key, is a numeral all the same.
      if (isMusicError(error)) return error.code === "progression/unspellable" || error.expected === "one reading";
      throw error;
    }
  }

  // ---- a chart with bar lines

  #readBars(): void {
    let afterBar = false;
    this.#tokens.forEach((token, i) => {
      switch (token.kind) {
        case "bar":
          this.#bar(token, afterBar, i);
          afterBar = /^\|$/.test(token.run);
          return;
        case "line":
          if (this.#items.length > 0 || this.#lead > 0) {
            this.#guess("a line end taken as a bar line", token.at);
            this.#closeBar();
          }
          // A line may end and the next begin with a bar line.
          afterBar = false;
          return;
        case "same":
          if (this.#items.length > 0) throw this.#refuse("% alone in its bar", token.at);
          this.#same(token, this.#tokens[i + 1]);
          break;
        case "strokes":
          this.#strokes(token);
          break;
        default:
          this.#other(token);
      }
      afterBar = false;
    });
    this.#closeBar();
    this.#finish();
  }

  #bar(token: Extract<Token, { kind: "bar" }>, afterBar: boolean, index: number): void {
    const { run, at, times } = token;
    const plain = run.replace(/[[\]]/g, "");
    if (
      this.#items.length === 0 &&
      this.#lead === 0 &&
      afterBar &&
      plain.startsWith("|") &&
      !/\]/.test(run) &&
      this.#emptyBar(token, index)
    ) {
      const before = this.#drafts.at(-1);
      if (before === undefined) throw this.#refuse("a chord in the first bar, or N.C.", at);
      if (before.same === 2 && this.#text.slice(before.at, before.at + 2) === "%%") {
        this.#guess("an empty bar behind %% taken as its second half", at);
      } else {
        this.#guess("an empty bar: the chord before lasts on", at);
        this.#push({ at, items: [], lead: 0, same: 0 });
      }
    }
    this.#closeBar();
    if (plain.startsWith(":")) this.#endRepeat(at, times);
    if (plain.endsWith(":")) this.#startRepeat(at);
  }

  // Between two bar lines; at the end of all only where no final bar line follows.
  #emptyBar(token: Extract<Token, { kind: "bar" }>, index: number): boolean {
    if (token.run === "|") return true;
    return token.run === "||" && this.#tokens[index - 1]?.kind === "bar" && this.#tokens[index - 1]?.end !== token.at;
  }

  #push(draft: Omit<Draft, "marks">): void {
    if (this.#drafts.length >= MOST_BARS) throw this.#refuse(`at most ${MOST_BARS} bars`, draft.at);
    this.#drafts.push({ ...draft, marks: this.#marks });
    this.#marks = {};
  }

  #closeBar(): void {
    if (this.#items.length === 0 && this.#lead === 0) return;
    const at = this.#items[0]?.at ?? this.#at;
    this.#push({ at, items: this.#items, lead: this.#lead, same: 0 });
    this.#items = [];
    this.#lead = 0;
  }

  #same({ at, bars }: Extract<Token, { kind: "same" }>, next: Token | undefined): void {
    if (this.#drafts.length < bars)
      throw this.#refuse(bars === 1 ? "a bar before the first %" : "two bars before the first %%", at);
    if (bars === 2 && this.#text.charAt(at) === "/") this.#guess("// taken as the two bars before, again", at);
    for (let i = 0; i < bars; i++) this.#push({ at, items: [], lead: 0, same: bars });
    // What follows in the same bar would be lost.
    if (next?.kind === "word" || next?.kind === "strokes" || next?.kind === "same")
      throw this.#refuse("% alone in its bar", next.at);
  }

  #strokes(token: Extract<Token, { kind: "strokes" }>): void {
    const last = this.#items.at(-1);
    if (last === undefined) {
      if (this.#drafts.length === 0) throw this.#refuse("a chord before the first stroke, or N.C.", token.at);
      this.#lead += token.count;
      this.#at = token.at;
      return;
    }
    last.strokes += token.count;
    last.strokeSign = token.sign;
  }

  #startRepeat(at: number): void {
    if (this.#repeatOpen) throw this.#refuse("the end of one repeat, :|, before the next begins", at);
    this.#leaveEndings();
    this.#repeatOpen = true;
    this.#repeatFrom = this.#drafts.length;
    this.#marks.repeatStart = true;
  }

  // A repeat without a beginning goes back to the end of the last one, or to the top.
  #endRepeat(at: number, times: number | undefined): void {
    if (this.#drafts.length === this.#repeatFrom) throw this.#refuse("bars to repeat", at);
    const count = times ?? this.#count;
    this.#count = undefined;
    if (count !== undefined && (count < 2 || count > 16)) throw this.#refuse("a count from 2 to 16 after :|", at);
    if (this.#endings && count !== undefined && count !== 2)
      throw this.#refuse("a repeat with endings that is played once for each ending", at);
    this.#openRepeat(at);
    const last = this.#drafts.at(-1);
    if (last === undefined) return;
    if (this.#text.slice(at).match(/^:?\|{1,2}:?\]?\s*\(?\s*x/i) !== null)
      this.#guess(`x${count ?? 2} taken as played ${count ?? 2} times in all`, at);
    last.marks.repeatEnd = count ?? 2;
    this.#awaitsEnding = this.#endings;
    this.#repeatOpen = false;
    if (!this.#endings) this.#repeatFrom = this.#drafts.length;
  }

  #openRepeat(at: number): void {
    const first = this.#drafts[this.#repeatFrom];
    if (first === undefined || first.marks.repeatStart === true) return;
    first.marks.repeatStart = true;
    this.#guess("a repeat without its beginning |: taken from the end of the last one, or from the top", at);
  }

  #ending(token: Extract<Token, { kind: "ending" }>): void {
    this.#closeBar();
    const { passes, at } = token;
    const first = passes[0] ?? 0;
    if (!this.#repeatOpen && !this.#awaitsEnding && first === 1 && this.#drafts.length > this.#repeatFrom) {
      this.#openRepeat(at);
      this.#repeatOpen = true;
    }
    const fits = this.#awaitsEnding
      ? first === this.#lastEnding + 1
      : this.#repeatOpen && !this.#endings && first === 1 && this.#drafts.length > this.#repeatFrom;
    if (!fits || passes.some((pass, i) => pass !== first + i) || passes.length > 16) {
      throw this.#refuse(
        first === 1
          ? "a first ending inside a repeat, after its first bar"
          : `ending ${first} right after the :| of ending ${first - 1}`,
        at,
        this.#text.charAt(at - 1) === "|" && !this.#awaitsEnding && first > 1
          ? `write :|x${first} for a repeat played ${first} times`
          : undefined,
      );
    }
    this.#marks.ending = passes;
    this.#endings = true;
    this.#awaitsEnding = false;
    this.#lastEnding = passes.at(-1) ?? first;
    this.#repeatOpen = true;
  }

  // Behind the last ending; where only a first one is written, the chart goes on as the second.
  #leaveEndings(): void {
    if (!this.#endings) return;
    this.#endings = false;
    this.#awaitsEnding = false;
    this.#lastEnding = 0;
    this.#repeatOpen = false;
    this.#repeatFrom = this.#drafts.length;
  }

  #finish(): void {
    const end = this.#text.length;
    if (this.#repeatOpen && !this.#endings) throw this.#refuse("the end of the repeat, :|", end);
    if (this.#optional) throw this.#refuse("the closing bracket )", end);
    if (this.#groupFrom !== undefined) throw this.#refuse("the closing bracket ]", end);
    if (this.#marks.section !== undefined || this.#marks.coda === true)
      throw this.#refuse("a chord after the last sign", end);
  }

  // ---- tokens that mean the same with bar lines and without

  #other(token: Token): void {
    const { at } = token;
    switch (token.kind) {
      case "word":
        return this.#word(token);
      case "section":
        return this.#section(token);
      case "ending":
        return this.#ending(token);
      case "count":
        this.#countAt(token);
        return;
      case "metre":
      case "key":
        if (this.#items.length > 0 && this.#barLines)
          throw this.#refuse(`the change of ${token.kind} at the beginning of its bar`, at);
        if (token.kind === "metre")
          this.#marks.metre = formatMetre(this.#within(at, this.#drafts.length + 1, () => parseMetre(token.text)));
        else this.#keyChange(token);
        return;
      case "sign":
        return this.#sign(token);
      case "mark": {
        const item = this.#items.at(-1);
        if (item === undefined) throw this.#refuse(`a chord before ${token.mark}`, at);
        item.mark = token.mark;
        return;
      }
      case "open":
        if (token.group) this.#groupFrom = this.#items.length;
        else this.#optional = true;
        return;
      case "close":
        return this.#close(token);
      case "separator":
        if (this.#items.length === 0 && this.#drafts.length === 0) throw this.#refuse("a chord first", at);
        return;
      case "wrong":
        throw this.#refuse(token.expected, at, token.hint);
      default:
        throw this.#refuse("a chord, a bar line or %", at);
    }
  }

  #close(token: Extract<Token, { kind: "close" }>): void {
    if (token.goals !== undefined) {
      if (this.#groupFrom === undefined) throw this.#refuse("the opening bracket [ of the group", token.at);
      for (const item of this.#items.slice(this.#groupFrom)) item.goals = token.goals;
      this.#groupFrom = undefined;
      return;
    }
    if (!this.#optional) throw this.#refuse("no closing bracket without its opening one", token.at);
    this.#optional = false;
  }

  #countAt(token: Extract<Token, { kind: "count" }>): void {
    const last = this.#drafts.at(-1);
    if (this.#repeatOpen) {
      this.#count = token.times;
      return;
    }
    if (this.#items.length > 0 || last?.marks.repeatEnd === undefined)
      throw this.#refuse("a count right behind the end of a repeat, :|x3", token.at);
    if (this.#endings && token.times !== 2)
      throw this.#refuse("a repeat with endings that is played once for each ending", token.at);
    if (token.times < 2 || token.times > 16) throw this.#refuse("a count from 2 to 16 after :|", token.at);
    last.marks.repeatEnd = token.times;
  }

  #section(token: Extract<Token, { kind: "section" }>): void {
    const { name, at, sure } = token;
    // A chord in square brackets, such as [Am7].
    if (
      /^[A-G][b#]?(?:[a-zΔø°+-].*|[679].*|1[13].*)$/.test(name) &&
      !/^[A-H][1-58]'?$/.test(name) &&
      readSymbol(name) !== undefined
    ) {
      this.#guess(`[${name}] taken as a chord`, at);
      return this.#word({ kind: "word", at, end: token.end, text: name, beats: undefined, more: 0 });
    }
    if (this.#items.length > 0 && this.#barLines) throw this.#refuse("a section to begin with its bar", at);
    this.#closeBar();
    if (!this.#awaitsEnding && this.#endings && !this.#repeatOpen) this.#leaveEndings();
    if (!sure) this.#guess(`(${name}) taken as the name of a section`, at);
    this.#marks.section = shortened(name, 40);
  }

  #keyChange(token: Extract<Token, { kind: "key" }>): void {
    const text = /^[a-g]/.test(token.text) ? `${raised(token.text).replace(/m$| minor$/, "")} minor` : token.text;
    const key = this.#within(token.at, this.#drafts.length + 1, () => parseKey(text));
    this.#marks.key = `${key.tonic} ${key.mode}`;
  }

  #sign(token: Extract<Token, { kind: "sign" }>): void {
    const { sign, at } = token;
    const here = this.#items.length > 0 || this.#lead > 0;
    if (sign === "segno") {
      this.#marks.segno = true;
      return;
    }
    if (sign === "coda") {
      this.#closeBar();
      this.#leaveEndings();
      this.#marks.coda = true;
      return;
    }
    const marks = here ? this.#marks : this.#drafts.at(-1)?.marks;
    if (marks === undefined) throw this.#refuse(`a bar before ${sign}`, at);
    if (sign === "to-coda" || sign === "coda-sign") marks.toCoda = true;
    else if (sign === "fine") marks.fine = true;
    else if (marks.jump !== undefined) throw this.#refuse("one jump at a time", at);
    else marks.jump = sign;
  }

  #word(token: Word): void {
    if (this.#awaitsEnding) {
      this.#guess("no second ending: the chart goes on after the first", token.at);
      this.#leaveEndings();
    }
    const { at, end, text, more } = token;
    const length = token.beats === undefined ? undefined : this.#beatsOf(token.beats, at);
    if (text === "") throw this.#refuse("a chord before *", at);
    if (this.#items.length >= 64) throw this.#refuse("at most 64 chords in a bar", at);
    if (this.#optional) this.#guess("a chord in brackets is played", at);
    this.#items.push({
      at,
      end,
      text,
      beats: length,
      strokes: more,
      strokeSign: "/",
      optional: this.#optional,
      goals: undefined,
      mark: undefined,
    });
  }

  #beatsOf(text: string, at: number): Beats {
    const fits = /^[0-9]{1,4}(?:\/[0-9]{1,4}|\.[0-9]{1,4})?$/.test(text);
    if (!fits || /^[0.]*$/.test(text) || /\/0+$/.test(text) || /^0+\//.test(text))
      throw this.#refuse("a number of beats after *, as in Dm7*3", at);
    return beats(text);
  }

  // ---- a list without bar lines

  #readList(): void {
    const tokens = this.#tokens;
    const strokes =
      tokens.some(({ kind }) => kind === "strokes") ||
      tokens.some((t) => t.kind === "word" && (t.more > 0 || t.beats !== undefined));
    const asSeparators = strokes && this.#areSeparators(tokens);
    if (strokes && !asSeparators) {
      this.#tokens = this.#withBarLines(tokens);
      this.#barLines = true;
      return this.#readBars();
    }
    this.#perLine = this.#options.chordsPerBar === 1 && linesAreBars(tokens);
    let chords = 0;
    tokens.forEach((token) => {
      switch (token.kind) {
        case "line":
          if (this.#perLine && this.#items.length > 0) {
            this.#guess("a line end taken as a bar line", token.at);
            this.#closeBar();
          }
          return;
        case "same":
          this.#closeBar();
          this.#same(token, undefined);
          return;
        case "strokes":
          return;
        case "word":
          if (!this.#perLine && this.#items.length >= this.#options.chordsPerBar) this.#closeBar();
          chords++;
          break;
        case "metre":
        case "key":
        case "section":
          this.#closeBar();
          break;
        default:
      }
      this.#other(token);
    });
    this.#closeBar();
    this.#finish();
    if (chords > 1 && !this.#perLine && this.#options.chordsPerBar === 1)
      this.#guess("no bar lines: one chord a bar", tokens[0]?.at ?? 0);
  }

  // Single strokes or dashes between chords, which do not add up to bars as beats.
  #areSeparators(tokens: readonly Token[]): boolean {
    const marks = tokens.filter((token) => token.kind !== "line");
    const alternate =
      marks.length % 2 === 1 &&
      marks.every((token, i) =>
        i % 2 === 0
          ? token.kind === "word" && token.beats === undefined && token.more === 0
          : token.kind === "strokes" && token.count === 1,
      );
    if (!alternate) return false;
    const dash = marks.some((token) => token.kind === "strokes" && token.sign === "-");
    const pulses = this.#metre().count;
    if (!dash && marks.length % pulses === 0) return false;
    this.#guess(`${dash ? "-" : "/"} taken as a sign between chords`, marks[1]?.at ?? 0);
    return true;
  }

  // Beats are counted, and a bar line put wherever they fill a bar.
  #withBarLines(tokens: readonly Token[]): Token[] {
    let room = pulsesIn(this.#metre());
    let left = room;
    const made: Token[] = [];
    const starred =
      tokens.some((token) => token.kind === "word" && token.beats !== undefined) &&
      tokens.every((token) => token.kind !== "strokes" && (token.kind !== "word" || token.more === 0));
    const take = (at: number, length: Beats): void => {
      left = subtractBeats(left, length);
      if (left.num > 0) return;
      made.push({ kind: "bar", at, end: at, run: "|", times: undefined });
      left = room;
    };
    tokens.forEach((token, i) => {
      if (token.kind === "strokes" || token.kind === "line") return;
      if (token.kind === "metre") left = room = pulsesIn(this.#within(token.at, 0, () => parseMetre(token.text)));
      if (token.kind !== "word") {
        made.push(token);
        return;
      }
      let strokes = token.more;
      for (let next = tokens[i + 1], k = i + 1; next?.kind === "strokes" || next?.kind === "line"; next = tokens[++k])
        if (next.kind === "strokes") strokes += next.count;
      // Beside chords with beats, one without lasts to the end of its bar.
      const open = starred ? left : beats(1 + strokes);
      let rest = token.beats === undefined ? open : this.#beatsOf(token.beats, token.at);
      const part = compareBeats(rest, left) < 0 ? rest : left;
      made.push({ ...token, beats: formatBeats(part), more: 0 });
      take(token.at, part);
      rest = subtractBeats(rest, part);
      while (rest.num > 0) {
        const more = compareBeats(rest, left) < 0 ? rest : left;
        if (more.den !== 1) throw this.#refuse("bar lines, where a chord lasts beyond its bar", token.at);
        made.push({ kind: "strokes", at: token.at, end: token.end, count: more.num, sign: "/" });
        take(token.at, more);
        rest = subtractBeats(rest, more);
      }
    });
    this.#guess("no bar lines: bars counted from the beats", tokens[0]?.at ?? 0);
    return made;
  }

  // ---- from drafts to the document

  #metre(): Metre {
    return this.#options.metre ?? this.#heading.metre ?? parseMetre("4/4");
  }

  #chart(): Chart {
    const { title = "", heading, tempo, feel } = this.#heading;
    const first = this.#drafts[0];
    const metre = first?.marks.metre !== undefined ? parseMetre(first.marks.metre) : this.#metre();
    if (first?.marks.metre !== undefined) delete first.marks.metre;
    let current = metre;
    const placed: Placed[] = [];
    let pickup: Beats | undefined;
    this.#drafts.forEach((draft, i) => {
      if (draft.marks.metre !== undefined) current = parseMetre(draft.marks.metre);
      if (i === 0) pickup = this.#heading.pickup ?? this.#pickup(draft, current);
      placed.push(
        draft.same > 0
          ? (placed[i - draft.same] ?? [])
          : this.#placed(draft, current, i + 1, i === 0 ? pickup : undefined),
      );
    });
    const keys = this.#keys();
    const read = this.#readChords(placed, keys);
    if (read[0]?.[0] === undefined || (read[0][0].beat !== "1" && pickup === undefined))
      throw this.#refuse("a chord at the beginning of the first bar, or N.C.", first?.at ?? 0);
    const key = keys[0];
    const bars = this.#drafts.map(({ marks }, i): ChartBar => {
      const { key: change, ...others } = marks;
      return { ...others, ...(change !== undefined && i > 0 && { key: change }), chords: read[i] ?? [] };
    });
    const problem = problemIn({
      bars,
      metre: formatMetre(metre),
      ...(pickup !== undefined && { pickup: formatBeats(pickup) }),
    });
    if (problem !== undefined) {
      const draft = this.#drafts[problem.bar - 1];
      throw new MusicError({
        code: "progression/chart",
        input: this.#original,
        expected: `${problem.expected}, ${this.#where(draft?.at ?? 0, problem.bar)}`,
      });
    }
    return {
      kind: "chart",
      version: 1,
      title,
      ...(heading !== undefined && { heading }),
      key: key === undefined ? "" : `${key.tonic} ${key.mode}`,
      metre: formatMetre(metre),
      ...(tempo !== undefined && { tempo }),
      ...(feel !== undefined && { feel }),
      ...(pickup !== undefined && { pickup: formatBeats(pickup) }),
      bars,
      guesses: this.#told(),
    };
  }

  #told(): readonly string[] {
    return [...this.#guesses].slice(0, 100).map(([what, places]) => {
      const [first, ...rest] = places;
      const { line, column } = this.#place(first ?? 0);
      return `${what} (line ${line}, column ${column}${rest.length === 0 ? "" : `, and ${rest.length} more`})`;
    });
  }

  // A first bar whose beats, all written, are fewer than the others have.
  #pickup(draft: Draft, metre: Metre): Beats | undefined {
    if (this.#drafts.length < 2 || draft.same > 0 || draft.items.length === 0) return undefined;
    if (!draft.items.every((item) => item.beats !== undefined)) return undefined;
    const sum = sumOf(draft.items.map((item) => item.beats ?? ZERO));
    if (compareBeats(sum, pulsesIn(metre)) >= 0) return undefined;
    this.#guess("a short first bar taken as a pickup", draft.at);
    return sum;
  }

  #placed(draft: Draft, metre: Metre, bar: number, pickup: Beats | undefined): Placed {
    const { items } = draft;
    const pulses = pickup ?? pulsesIn(metre);
    if (items.length === 0) return [];
    if (items.some((item) => item.beats !== undefined))
      return startsOf(items, this.#givenLengths(draft, pulses, bar), beats(draft.lead));
    if (draft.lead > 0 || items.some((item) => item.strokes > 0)) return this.#strokeLengths(draft, metre, bar);
    if (pickup !== undefined)
      return startsOf(
        items,
        items.map(() => divideBeats(pickup, beats(items.length))),
      );
    const shares = sharesOf(items.length, metre);
    if (shares.some((share) => !equalBeats(share, shares[0] ?? ZERO)))
      this.#guess(
        `${inWords(items.length)} chords in ${inWords(pulses.num)} beats taken as ${shares.map((share) => formatBeats(share)).join(" + ")}`,
        draft.at,
      );
    return startsOf(items, shares);
  }

  #givenLengths({ items, at, lead }: Draft, pulses: Beats, bar: number): readonly Beats[] {
    const given = items.map((item) => item.beats ?? (item.strokes > 0 ? beats(1 + item.strokes) : undefined));
    const sum = addBeats(beats(lead), sumOf(given.filter((one) => one !== undefined)));
    const open = given.filter((one) => one === undefined).length;
    const rest = subtractBeats(pulses, sum);
    if (open === 0 ? !equalBeats(sum, pulses) : compareBeats(rest, ZERO) <= 0)
      throw this.#unfilled(pulses, sum, at, bar);
    const share = open === 0 ? ZERO : divideBeats(rest, beats(open));
    return given.map((one) => one ?? share);
  }

  #unfilled(pulses: Beats, sum: Beats, at: number, bar: number, hint?: string): MusicError {
    return new MusicError({
      code: "progression/beats",
      input: this.#original,
      expected: `beats that fill the bar, ${formatBeats(pulses)} in all, given ${formatBeats(sum)}, ${this.#where(at, bar)}`,
      hint,
    });
  }

  // Strokes count pulses where they fill the bar. Where they do not, they may part chords that share it, or the last chord lasts on.
  #strokeLengths(draft: Draft, metre: Metre, bar: number): Placed {
    const { items, lead, at } = draft;
    const pulses = pulsesIn(metre);
    const counted = items.map((item) => beats(1 + item.strokes));
    const sum = addBeats(sumOf(counted), beats(lead));
    if (equalBeats(sum, pulses)) return startsOf(items, counted, beats(lead));
    if (isCompound(metre) && equalBeats(sum, beats(metre.count))) {
      const third = (length: Beats): Beats => multiplyBeats(length, beatsOf(1, 3));
      return startsOf(items, counted.map(third), third(beats(lead)));
    }
    const all = items.map((item) => beats(item.strokes));
    if (lead === 0 && equalBeats(sumOf(all), pulses) && all.every(({ num }) => num > 0)) {
      this.#guess("strokes taken as all beats of their chord, its first included", at);
      return startsOf(items, all);
    }
    const bass = items.find((item, i) => i > 0 && items[i - 1]?.strokeSign === "/" && /^[A-G][b#]?$/.test(item.text));
    if (bass !== undefined && lead === 0 && compareBeats(sum, pulses) !== 0) {
      const before = items[items.indexOf(bass) - 1]?.text ?? "";
      throw this.#unfilled(
        pulses,
        sum,
        at,
        bar,
        `write ${before}/${bass.text} for a bass note, ${before} ${bass.text} for two chords`,
      );
    }
    const parts =
      lead === 0 && items.length > 1 && items.every((item, i) => item.strokes === (i === items.length - 1 ? 0 : 1));
    const shares = parts ? sharesOf(items.length, metre) : undefined;
    const last = counted.at(-1);
    const held =
      compareBeats(sum, pulses) < 0 && last !== undefined
        ? [...counted.slice(0, -1), addBeats(last, subtractBeats(pulses, sum))]
        : undefined;
    if (
      shares !== undefined &&
      (held === undefined || shares.every((share, i) => equalBeats(share, held[i] ?? ZERO)))
    ) {
      this.#guess(`${items[0]?.strokeSign ?? "/"} taken as a sign between chords that share a bar`, at);
      return startsOf(items, shares);
    }
    if (held !== undefined && shares === undefined && items.length === 1) {
      this.#guess("fewer strokes than beats: the chord lasts to the end of the bar", at);
      return startsOf(items, held, beats(lead));
    }
    const written = items.map((item, i) => `${item.text}*${formatBeats((held ?? counted)[i] ?? ZERO)}`).join(" ");
    throw this.#unfilled(pulses, sum, at, bar, held === undefined ? undefined : `write ${shortened(written, 80)}`);
  }

  // ---- chords and keys

  /** The key of each bar; the first is settled by what is given, or by the numerals. */
  #keys(): readonly (Key | undefined)[] {
    const numerals = this.#drafts.flatMap(({ items }) => items).filter((item) => this.#numeralText(item));
    const read = numerals.map((item) => this.#numeral(item));
    const given = this.#options.key ?? this.#heading.key;
    const marked = this.#drafts[0]?.marks.key;
    const first = marked === undefined ? given : parseKey(marked);
    const own =
      numerals.length === 0
        ? first
        : inMode(first ?? parseKey("C"), marked === undefined ? (this.#options.mode ?? modeOf(read)) : undefined);
    let current = own;
    return this.#drafts.map(({ marks }, i) => {
      if (marks.key !== undefined && i > 0) current = parseKey(marks.key);
      return current;
    });
  }

  #numeralText({ text }: Item): boolean {
    if (text !== "N") return looksLikeNumeral(text);
    this.#inNumerals ??= this.#drafts.some(({ items }) =>
      items.some((item) => item.text !== "N" && looksLikeNumeral(item.text)),
    );
    return this.#inNumerals;
  }

  #inNumerals: boolean | undefined;
  readonly #numerals = new Map<string, Numeral>();
  #numeral(item: Item): Numeral {
    const known = this.#numerals.get(item.text);
    const numeral = known ?? this.#within(item.at, this.#barOf(item), () => readNumeral(item.text));
    if (known === undefined) this.#numerals.set(item.text, numeral);
    const { goals } = item;
    return goals === undefined ? numeral : this.#within(item.at, 0, () => appliedTo(numeral, goals));
  }

  #barOf(item: Item): number {
    return this.#drafts.findIndex(({ items }) => items.includes(item)) + 1;
  }

  #readChords(placed: readonly Placed[], keys: readonly (Key | undefined)[]): readonly (readonly ChartChord[])[] {
    const symbols = new Map<string, string>();
    const done = new Map<Placed, readonly ChartChord[]>();
    return placed.map((bar, i) => {
      const key = keys[i];
      const before = done.get(bar);
      if (before !== undefined) return before;
      const chords = bar.map(([item, beat]): ChartChord => {
        const numeral = this.#numeralText(item) ? this.#numeral(item) : undefined;
        const name = `${item.text} ${item.goals ?? ""} ${key?.tonic} ${key?.mode}`;
        let symbol = symbols.get(name);
        if (symbol === undefined) {
          symbol = this.#within(item.at, i + 1, () => this.#symbol(item, numeral, key));
          symbols.set(name, symbol);
        }
        const written = item.goals === undefined ? item.text : `[${item.text}]/${item.goals}`;
        return {
          symbol,
          beat: formatBeats(addBeats(beat, beats(1))),
          ...(numeral !== undefined && { numeral: written }),
          ...(item.optional && { optional: true }),
          ...(item.mark !== undefined && { mark: item.mark }),
        };
      });
      if (bar.length > 0) done.set(bar, chords);
      return chords;
    });
  }

  #symbol(item: Item, numeral: Numeral | undefined, key: Key | undefined): string {
    const { text, at } = item;
    if (text === "N.C." || (text === "N" && numeral === undefined)) return "N.C.";
    if (numeral !== undefined && key !== undefined) return chordOf(numeral, text, key.tonic, key.mode).symbol;
    const read = readSymbol(text);
    if (read !== undefined) {
      if (read.taken !== undefined) this.#guess(`${text} taken as ${read.taken}`, at);
      return read.chord.symbol;
    }
    const capital = /^[a-g]/.test(text) ? readSymbol(raised(text)) : undefined;
    if (capital !== undefined) return this.#fromLowerCase(item, capital.chord.symbol);
    // Says what is wrong with it.
    parseChord(text);
    return text;
  }

  // "dm7 g7 cmaj7": roots in lower case, where the minor chords say that they are minor.
  #fromLowerCase({ text, at }: Item, symbol: string): string {
    this.#lowerCase ??= this.#drafts.some(({ items }) =>
      items.some((item) => /^[a-g][b#]?(?:m(?!aj)|-|min)/.test(item.text)),
    );
    const says = /^[a-g][b#]?(?:m|maj|min|dim|ø|o|°|-|sus|aug|\+|Δ)/.test(text);
    if (!this.#lowerCase && !says) {
      const minor = symbol.replace(/^([A-G][b#]?)/, "$1m");
      throw new MusicError({
        code: "chord/root",
        input: text,
        expected: "a root in upper case, since a small letter alone is minor to some",
        hint: `write ${symbol}, or ${minor} if it is minor`,
      });
    }
    this.#guess("roots in lower case taken as capitals", at);
    return symbol;
  }
}

const inWords = (count: number): string =>
  ["no", "one", "two", "three", "four", "five", "six", "seven"][count] ?? String(count);

const tempoOf = (text: string): number => {
  const value = Number(/(?:^|[=\s])(\d{2,4}(?:\.\d{1,2})?)/.exec(text)?.[1] ?? Number.NaN);
  if (value >= 10 && value <= 1000) return value;
  throw new MusicError({ code: "progression/chart", input: text, expected: "a tempo from 10 to 1000 beats a minute" });
};

/** Whether letters run A, B …, each at most one further than those before. */
const inOrder = (letters: readonly string[]): boolean => {
  let next = "A";
  return letters.every((letter) => {
    if (letter > next) return false;
    if (letter === next) next = String.fromCharCode(next.charCodeAt(0) + 1);
    return true;
  });
};

const runsOn = (lines: readonly (readonly Token[])[]): boolean =>
  lines.length > 0 && inOrder(lines.map(([first]) => (first?.kind === "word" ? first.text.charAt(0) : "")));

const isLabel = (line: string): boolean =>
  new RegExp(`^\\s*(?:(?:${SECTION_WORDS})(?: ?[\\dA-H]'?)?\\s*:?|d\\.?[cs]\\.?.*|fine|(?:to )?coda)\\s*$`, "i").test(
    line,
  );

// No chord, no numeral, no sign of a chart: letters that make words.
const isWords = (line: string): boolean => {
  const words = line.trim().split(/\s+/);
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

const linesOf = (tokens: readonly Token[]): readonly (readonly Token[])[] => {
  const lines: Token[][] = [[]];
  for (const token of tokens) {
    lines.at(-1)?.push(token);
    if (token.kind === "line") lines.push([]);
  }
  return lines;
};

// Lines of one and two chords are bars; of more, they are but lines.
const linesAreBars = (tokens: readonly Token[]): boolean => {
  const counts = linesOf(tokens)
    .map((line) => line.filter(({ kind }) => kind === "word").length)
    .filter((count) => count > 0);
  return counts.length > 1 && Math.max(...counts) === 2 && Math.min(...counts) === 1;
};

const sumOf = (lengths: readonly Beats[]): Beats => lengths.reduce(addBeats, ZERO);

const startsOf = (items: readonly Item[], lengths: readonly Beats[], from: Beats = ZERO): Placed => {
  let at = from;
  return items.map((item, i) => {
    const start = at;
    at = addBeats(at, lengths[i] ?? ZERO);
    return [item, start];
  });
};

const isTonic = (numeral: Numeral | undefined): boolean =>
  numeral !== undefined && numeral.degree === "1" && numeral.targets.length === 0;

const modeOf = (numerals: readonly Numeral[]): "minor" | undefined =>
  (isTonic(numerals[0]) || isTonic(numerals.at(-1))) && numerals.every((numeral) => !isTonic(numeral) || !numeral.upper)
    ? "minor"
    : undefined;

/** Reads a chart as people type it. Its key is empty where none is given and no numeral tells. */
export const readChartText = (text: string, options: ReadingOptions): Chart => new ChartReader(text, options).read();
