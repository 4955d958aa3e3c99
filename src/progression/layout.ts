import { MusicError } from "../ground/errors.ts";
import type { Beats } from "../time/index.ts";
import { addBeats, beats } from "../time/index.ts";

/** A chord as it stands in its bar. */
export interface Entry {
  readonly text: string;
  /** Pulses as written behind `*`, or counted by strokes. */
  beats: Beats | undefined;
}

/** A written bar; played twice it is listed twice. */
export interface Bar {
  readonly entries: Entry[];
  /** The number of the written bar, for messages. */
  readonly number: number;
}

/** Where a section begins: before the bar of this index, from 0. */
export interface Mark {
  readonly name: string;
  readonly at: number;
}

const BLANK = /\s/;

/** What the layout is read from: a string, or in a test something that counts the characters read. */
export type ChartText = Pick<string, "length" | "charAt" | "slice" | "includes" | "indexOf">;

/** Reads the layout of a chart from left to right, each character a bounded number of times. */
class ChartReader {
  private at = 0;
  private barLines = false;
  private afterBarLine = false;
  private written = 0;
  private current: Entry[] = [];
  private strokes = false;
  private readonly bars: Bar[] = [];
  private readonly marks: Mark[] = [];
  private repeatFrom = 0;
  private repeatOpen = false;
  private firstEnding: number | undefined;
  // Set from the end of a first ending until its second one begins.
  private awaitsSecond = false;

  constructor(
    private readonly text: ChartText,
    private readonly perBar: number,
  ) {}

  read(): { readonly bars: readonly Bar[]; readonly marks: readonly Mark[] } {
    // Bar lines are known beforehand, so that a list without them is told apart at its first chord.
    this.barLines = this.text.includes("|");
    while (this.at < this.text.length) {
      const c = this.text.charAt(this.at);
      if (BLANK.test(c)) {
        // A line may end and the next begin with a bar line.
        if (c === "\n") this.afterBarLine = false;
        this.at++;
      } else if (c === "|" || c === ":") this.barLine();
      else if (c === "[") this.bracket();
      else this.token();
    }
    this.closeBar();
    if (this.bars.length === 0) throw this.refuse("at least one chord");
    if (this.repeatOpen) throw this.refuse("the end of the repeat, :|");
    this.requireSecondEnding();
    return { bars: this.bars, marks: this.marks };
  }

  private refuse(expected: string, found?: string): MusicError {
    const where = found === undefined ? "" : `, found ${JSON.stringify(found.slice(0, 24))}`;
    return new MusicError({
      code: "progression/chart",
      input: this.text,
      expected: `${expected}, in bar ${this.written + 1}${where}`,
    });
  }

  private closeBar(): void {
    if (this.current.length === 0) return;
    const last = this.bars.at(-1);
    const only = this.current.length === 1 ? this.current[0] : undefined;
    if (only?.text === "%" && last === undefined) throw this.refuse("a bar before the first %");
    if (this.strokes) for (const entry of this.current) entry.beats ??= beats(1);
    this.strokes = false;
    this.written++;
    this.bars.push({
      entries: only?.text === "%" && last !== undefined ? last.entries : this.current,
      number: this.written,
    });
    this.current = [];
  }

  // A run of strokes and colons: "|", "||", "|:", ":|", ":|:".
  private barLine(): void {
    const start = this.at;
    while (this.at < this.text.length && (this.text.charAt(this.at) === "|" || this.text.charAt(this.at) === ":"))
      this.at++;
    const run = this.text.slice(start, this.at);
    if (!/^:?\|{1,2}:?$/.test(run)) throw this.refuse("a bar line |, ||, |: or :|", run);
    if (this.current.length === 0 && run === "|" && this.afterBarLine)
      throw this.refuse("a chord, % or N.C. in the bar");
    this.closeBar();
    this.afterBarLine = run === "|";
    if (run.startsWith(":")) this.endRepeat();
    if (run.endsWith(":")) this.startRepeat();
  }

  private startRepeat(): void {
    if (this.repeatOpen) throw this.refuse("the end of one repeat before the next begins");
    this.requireSecondEnding();
    this.repeatOpen = true;
    this.repeatFrom = this.bars.length;
    this.firstEnding = undefined;
  }

  // A repeat without a beginning goes back to the last one, or to the top.
  private endRepeat(): void {
    const times = this.times();
    const body = this.bars.slice(this.repeatFrom, this.firstEnding ?? this.bars.length);
    if (this.bars.length === this.repeatFrom) throw this.refuse("bars to repeat");
    if (this.firstEnding !== undefined && times !== 2) throw this.refuse("a repeat with endings that is played twice");
    let first = this.marks.length;
    while (first > 0 && (this.marks[first - 1] as Mark).at >= this.repeatFrom) first--;
    const marks = this.marks.slice(first).filter((mark) => mark.at < this.repeatFrom + body.length);
    for (let pass = 1; pass < times; pass++) {
      const offset = this.bars.length - this.repeatFrom;
      for (const mark of marks) this.marks.push({ name: mark.name, at: mark.at + offset });
      for (const bar of body) this.bars.push(bar);
    }
    this.awaitsSecond = this.firstEnding !== undefined;
    this.firstEnding = undefined;
    this.repeatOpen = false;
    this.repeatFrom = this.bars.length;
  }

  private times(): number {
    if (this.text.charAt(this.at) !== "*") return 2;
    const digits = /^\*([0-9]{1,2})(?![0-9])/.exec(this.text.slice(this.at, this.at + 4))?.[1];
    const times = Number(digits ?? 0);
    if (times < 2 || times > 16) throw this.refuse("a count from 2 to 16 after :|*");
    this.at += 1 + (digits as string).length;
    return times;
  }

  private bracket(): void {
    const end = this.text.indexOf("]", this.at);
    const name = end < 0 || end - this.at > 25 ? "" : this.text.slice(this.at + 1, end).trim();
    if (name === "" || /[|[:]/.test(name))
      throw this.refuse("a section name of up to 24 characters, as in [A]", this.text.slice(this.at));
    this.at = end + 1;
    if (name === "1") this.beginFirstEnding();
    else if (name === "2") this.beginSecondEnding();
    else {
      if (this.current.length > 0 && this.barLines) throw this.refuse("a section to begin with its bar", `[${name}]`);
      this.closeBar();
      this.requireSecondEnding();
      this.marks.push({ name, at: this.bars.length });
    }
  }

  private requireSecondEnding(): void {
    if (this.awaitsSecond) throw this.refuse("a second ending, [2], after the first");
  }

  private beginFirstEnding(): void {
    this.closeBar();
    if (!this.repeatOpen || this.firstEnding !== undefined || this.bars.length === this.repeatFrom) {
      throw this.refuse("a first ending inside a repeat, after its first bar", "[1]");
    }
    this.firstEnding = this.bars.length;
  }

  private beginSecondEnding(): void {
    if (!this.awaitsSecond || this.current.length > 0) throw this.refuse("a second ending right after :|", "[2]");
    this.awaitsSecond = false;
  }

  private token(): void {
    this.requireSecondEnding();
    this.afterBarLine = false;
    const word = this.word();
    if (word === "/") return this.stroke();
    if (
      word === "%"
        ? this.current.length > 0 && this.barLines
        : this.current.length === 1 && this.current[0]?.text === "%"
    ) {
      throw this.refuse("% alone in its bar");
    }
    if (!this.barLines && (word === "%" || this.current.length === this.perBar)) this.closeBar();
    const star = word.indexOf("*");
    this.current.push(
      star < 0
        ? { text: word, beats: undefined }
        : { text: word.slice(0, star), beats: this.beatsOf(word.slice(star + 1), word) },
    );
    if (!this.barLines && word === "%") this.closeBar();
  }

  // A chord's characters; blanks inside its brackets belong to it.
  private word(): string {
    const start = this.at;
    let depth = 0;
    while (this.at < this.text.length) {
      const c = this.text.charAt(this.at);
      if (c === "|" || c === ":" || c === "[" || (depth <= 0 && BLANK.test(c))) break;
      if (c === "(") depth++;
      if (c === ")") depth--;
      this.at++;
    }
    return this.text.slice(start, this.at).trimEnd();
  }

  private beatsOf(text: string, word: string): Beats {
    if (
      !/^[0-9]{1,4}(?:\/[0-9]{1,4}|\.[0-9]{1,4})?$/.test(text) ||
      /^[0.]*$/.test(text) ||
      /\/0+$/.test(text) ||
      /^0+\//.test(text)
    ) {
      throw this.refuse("a number of beats after *, as in Dm7*3", word);
    }
    return beats(text);
  }

  // In a bar with strokes a chord lasts a pulse, and one more for each stroke behind it.
  private stroke(): void {
    const last = this.current.at(-1);
    if (last === undefined || !this.barLines || last.text === "%")
      throw this.refuse("a chord in the same bar before /");
    last.beats = addBeats(last.beats ?? beats(1), beats(1));
    this.strokes = true;
  }
}

/** The bars of a chart, repeats played out, and where its sections begin. */
export const readLayout = (
  text: ChartText,
  perBar: number,
): { readonly bars: readonly Bar[]; readonly marks: readonly Mark[] } => new ChartReader(text, perBar).read();
