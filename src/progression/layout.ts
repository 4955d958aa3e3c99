import { shortened } from "../ground/text.ts";
import { parseKey } from "../pitch/index.ts";
import type { Metre } from "../time/index.ts";
import { formatMetre, parseMetre } from "../time/index.ts";
import { MOST_BARS } from "./document.ts";
import type { Draft, Item, Marks } from "./drafts.ts";
import { areSeparators, beatsBehind, linesAreBars, withBarLines } from "./list.ts";
import type { Reading } from "./reading.ts";
import { Road } from "./road.ts";
import { isChordInBrackets } from "./settle.ts";
import { raised } from "./symbol.ts";
import type { Token } from "./tokens.ts";

type TokenOf<Kind extends Token["kind"]> = Extract<Token, { kind: Kind }>;

/** The written bars of a chart: chords that share a bar, and what stands round them. */
export const draftsOf = (
  tokens: readonly Token[],
  reading: Reading,
  metre: Metre,
  chordsPerBar: number,
): readonly Draft[] => new Layout(reading, metre, chordsPerBar).read(tokens);

class Layout {
  readonly #reading: Reading;
  readonly #metre: Metre;
  readonly #chordsPerBar: number;
  readonly #drafts: Draft[] = [];
  readonly #road: Road;
  #barLines = false;
  // The bar that is being written.
  #items: Item[] = [];
  #lead = 0;
  #marks: Marks = {};
  #at = 0;
  #optional = false;
  #groupFrom: number | undefined;
  /** How often the section that is being read is played. */
  #sectionTimes: number | undefined;

  constructor(reading: Reading, metre: Metre, chordsPerBar: number) {
    this.#reading = reading;
    this.#metre = metre;
    this.#chordsPerBar = chordsPerBar;
    this.#road = new Road(reading, this.#drafts);
  }

  read(tokens: readonly Token[]): readonly Draft[] {
    this.#barLines = tokens.some(({ kind }) => kind === "bar");
    if (this.#barLines) this.#readBars(tokens);
    else this.#readList(tokens);
    return this.#drafts;
  }

  #readBars(tokens: readonly Token[]): void {
    let afterBar = false;
    tokens.forEach((token, i) => {
      const [before, next] = [tokens[i - 1], tokens[i + 1]];
      switch (token.kind) {
        case "bar":
          this.#bar(token, afterBar, before);
          afterBar = /^\|$/.test(token.run);
          return;
        case "line":
          if (this.#items.length > 0 || this.#lead > 0) {
            this.#reading.guess("a line end taken as a bar line", token.at);
            this.#closeBar();
          }
          // A line may end and the next begin with a bar line.
          afterBar = false;
          return;
        case "same":
          if (this.#items.length > 0) throw this.#reading.refuse("% alone in its bar", token.at);
          this.#same(token, next);
          break;
        case "strokes":
          this.#strokes(token);
          break;
        default:
          this.#other(token, next);
      }
      afterBar = false;
    });
    this.#closeBar();
    this.#finish();
  }

  // Without a bar line each chord has a bar, unless beats or lines say otherwise.
  #readList(tokens: readonly Token[]): void {
    const timed = tokens.some(
      (token) => token.kind === "strokes" || (token.kind === "word" && (token.more > 0 || token.beats !== undefined)),
    );
    if (timed && !areSeparators(tokens, this.#metre, this.#reading)) {
      this.#barLines = true;
      this.#readBars(withBarLines(tokens, this.#metre, this.#reading));
      return;
    }
    const perLine = this.#chordsPerBar === 1 && linesAreBars(tokens);
    let chords = 0;
    tokens.forEach((token, i) => {
      switch (token.kind) {
        case "line":
          if (perLine && this.#items.length > 0) {
            this.#reading.guess("a line end taken as a bar line", token.at);
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
          if (!perLine && this.#items.length >= this.#chordsPerBar) this.#closeBar();
          chords++;
          break;
        case "metre":
        case "key":
        case "section":
          this.#closeBar();
          break;
        default:
      }
      this.#other(token, tokens[i + 1]);
    });
    this.#closeBar();
    this.#finish();
    if (chords > 1 && !perLine && this.#chordsPerBar === 1)
      this.#reading.guess("no bar lines: one chord a bar", tokens[0]?.at ?? 0);
  }

  // ---- bars

  #bar(token: TokenOf<"bar">, afterBar: boolean, before: Token | undefined): void {
    const { run, at, times } = token;
    const plain = run.replace(/[[\]]/g, "");
    const empty = this.#items.length === 0 && this.#lead === 0;
    if (empty && afterBar && plain.startsWith("|") && !/\]/.test(run) && isEmptyBar(token, before)) {
      const last = this.#drafts.at(-1);
      if (last === undefined) throw this.#reading.refuse("a chord in the first bar, or N.C.", at);
      if (last.same === 2 && this.#reading.text.slice(last.at, last.at + 2) === "%%") {
        this.#reading.guess("an empty bar behind %% taken as its second half", at);
      } else {
        this.#reading.guess("an empty bar: the chord before lasts on", at);
        this.#push({ at, items: [], lead: 0, same: 0 });
      }
    }
    this.#closeBar();
    if (plain.startsWith(":")) this.#road.end(at, times);
    if (plain.endsWith(":")) this.#road.start(at, this.#marks);
  }

  #push(draft: Omit<Draft, "marks">): void {
    if (this.#drafts.length >= MOST_BARS) throw this.#reading.refuse(`at most ${MOST_BARS} bars`, draft.at);
    this.#drafts.push({ ...draft, marks: this.#marks });
    this.#reading.bars = this.#drafts.length;
    this.#marks = {};
  }

  #closeBar(): void {
    if (this.#items.length === 0 && this.#lead === 0) return;
    const at = this.#items[0]?.at ?? this.#at;
    this.#push({ at, items: this.#items, lead: this.#lead, same: 0 });
    this.#items = [];
    this.#lead = 0;
  }

  #same({ at, bars }: TokenOf<"same">, next: Token | undefined): void {
    if (this.#drafts.length < bars)
      throw this.#reading.refuse(bars === 1 ? "a bar before the first %" : "two bars before the first %%", at);
    if (bars === 2 && this.#reading.text.charAt(at) === "/")
      this.#reading.guess("// taken as the two bars before, again", at);
    if (this.#reading.text.charAt(at) === '"') this.#reading.guess("a ditto mark taken as the bar before, again", at);
    for (let i = 0; i < bars; i++) this.#push({ at, items: [], lead: 0, same: bars });
    // What follows in the same bar would be lost.
    if (next?.kind === "word" || next?.kind === "strokes" || next?.kind === "same")
      throw this.#reading.refuse("% alone in its bar", next.at);
  }

  #strokes(token: TokenOf<"strokes">): void {
    const last = this.#items.at(-1);
    if (last === undefined) {
      if (this.#drafts.length === 0) throw this.#reading.refuse("a chord before the first stroke, or N.C.", token.at);
      this.#lead += token.count;
      this.#at = token.at;
      return;
    }
    last.strokes += token.count;
    last.strokeSign = token.sign;
  }

  #finish(): void {
    const end = this.#reading.text.length;
    this.#endSection(end);
    if (this.#road.waits) throw this.#reading.refuse("the end of the repeat, :|", end);
    if (this.#optional) throw this.#reading.refuse("the closing bracket )", end);
    if (this.#groupFrom !== undefined) throw this.#reading.refuse("the closing bracket ]", end);
    if (this.#marks.section !== undefined || this.#marks.coda === true)
      throw this.#reading.refuse("a chord after the last sign", end);
  }

  // ---- tokens that mean the same with bar lines and without

  #other(token: Token, next: Token | undefined): void {
    const { at } = token;
    switch (token.kind) {
      case "word":
        return this.#word(token);
      case "section":
        return this.#section(token);
      case "ending":
        this.#closeBar();
        return this.#road.ending(token, this.#marks);
      case "count":
        return this.#road.countAt(
          token,
          this.#items.length === 0,
          next?.kind === "bar" && next.run.endsWith(":") && !next.run.startsWith(":"),
        );
      case "lasts":
        return this.#lasts(token);
      case "metre":
      case "key":
        if (this.#items.length > 0 && this.#barLines)
          throw this.#reading.refuse(`the change of ${token.kind} at the beginning of its bar`, at);
        if (token.kind === "metre") this.#marks.metre = formatMetre(this.#within(at, () => parseMetre(token.text)));
        else this.#keyChange(token);
        return;
      case "sign":
        return this.#sign(token);
      case "mark": {
        const item = this.#items.at(-1);
        if (item === undefined) throw this.#reading.refuse(`a chord before ${token.mark}`, at);
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
        if (this.#items.length === 0 && this.#drafts.length === 0) throw this.#reading.refuse("a chord first", at);
        return;
      case "wrong":
        throw this.#reading.refuse(token.expected, at, token.hint);
      default:
        throw this.#reading.refuse("a chord, a bar line or %", at);
    }
  }

  // "N.C. (4 bars)"
  #lasts({ at, length, unit }: TokenOf<"lasts">): void {
    if (this.#items.length !== 1 || unit === "beats")
      throw this.#reading.refuse(`one chord alone in its bar before a number of ${unit}`, at);
    if (length === "0") throw this.#reading.refuse("at least one bar", at);
    this.#closeBar();
    for (let bar = 1; bar < Number(length); bar++) this.#push({ at, items: [], lead: 0, same: 0 });
  }

  #within<T>(at: number, read: () => T): T {
    return this.#reading.within(at, this.#drafts.length + 1, read);
  }

  #close(token: TokenOf<"close">): void {
    if (token.goals !== undefined) {
      if (this.#groupFrom === undefined) throw this.#reading.refuse("the opening bracket [ of the group", token.at);
      for (const item of this.#items.slice(this.#groupFrom)) item.goals = token.goals;
      this.#groupFrom = undefined;
      return;
    }
    if (!this.#optional) throw this.#reading.refuse("no closing bracket without its opening one", token.at);
    this.#optional = false;
  }

  #section({ name, at, end, sure, times }: TokenOf<"section">): void {
    if (isChordInBrackets(name)) {
      this.#reading.guess(`[${name}] taken as a chord`, at);
      return this.#word({ kind: "word", at, end, text: name, beats: undefined, more: 0 });
    }
    if (this.#items.length > 0 && this.#barLines) throw this.#reading.refuse("a section to begin with its bar", at);
    this.#closeBar();
    this.#endSection(at);
    this.#road.sectionFollows();
    if (!sure) this.#reading.guess(`(${name}) taken as the name of a section`, at);
    const before = this.#marks.section;
    if (before !== undefined && /^[A-G][b#]?$/.test(before) && /^[A-G][b#]?$/.test(name))
      throw this.#reading.refuse(`a chord after [${before}]`, at, `write ${before} without brackets for a chord`);
    this.#marks.section = shortened(before === undefined ? name : `${before} ${name}`, 24);
    if (times === undefined || times === 1) return;
    if (times < 1 || times > 16) throw this.#reading.refuse("a section that is played 1 to 16 times", at);
    this.#road.start(at, this.#marks);
    this.#reading.guess(`x${times} beside a section: played ${times} times in all`, at);
    this.#sectionTimes = times;
  }

  #endSection(at: number): void {
    const times = this.#sectionTimes;
    this.#sectionTimes = undefined;
    if (times !== undefined) this.#road.end(at, times);
  }

  #keyChange(token: TokenOf<"key">): void {
    const text = /^[a-g]/.test(token.text) ? `${raised(token.text).replace(/m$| minor$/, "")} minor` : token.text;
    const key = this.#within(token.at, () => parseKey(text));
    this.#marks.key = `${key.tonic} ${key.mode}`;
  }

  #sign({ sign, at }: TokenOf<"sign">): void {
    const here = this.#items.length > 0 || this.#lead > 0;
    if (sign === "segno") {
      this.#marks.segno = true;
      return;
    }
    if (sign === "coda") {
      this.#closeBar();
      this.#endSection(at);
      this.#road.leaveEndings();
      this.#marks.coda = true;
      return;
    }
    const marks = here ? this.#marks : this.#drafts.at(-1)?.marks;
    if (marks === undefined) throw this.#reading.refuse(`a bar before ${sign}`, at);
    if (sign === "to-coda" || sign === "coda-sign") marks.toCoda = true;
    else if (sign === "fine") marks.fine = true;
    else if (marks.jump !== undefined) throw this.#reading.refuse("one jump at a time", at);
    else marks.jump = sign;
  }

  #word({ at, end, text, more, beats }: TokenOf<"word">): void {
    this.#road.goOn(at);
    const length = beats === undefined ? undefined : beatsBehind(beats, at, this.#reading);
    if (text === "") throw this.#reading.refuse("a chord before *", at);
    if (this.#items.length >= 64) throw this.#reading.refuse("at most 64 chords in a bar", at);
    if (this.#optional) this.#reading.guess("a chord in brackets is played", at);
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
}

// Between two bar lines; at the end of all only where no final bar line follows.
const isEmptyBar = (token: TokenOf<"bar">, before: Token | undefined): boolean =>
  token.run === "|" || (token.run === "||" && before?.kind === "bar" && before.end !== token.at);
