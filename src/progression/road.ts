import type { Draft, Marks } from "./drafts.ts";
import type { Reading } from "./reading.ts";
import type { Token } from "./tokens.ts";

/** Repeats and endings, as the bars are read. */
export class Road {
  readonly #reading: Reading;
  readonly #drafts: readonly Draft[];
  // Where a repeat that ends without a beginning would begin.
  #from = 0;
  #open = false;
  #endings = false;
  #lastEnding = 0;
  #awaitsEnding = false;
  #count: number | undefined;

  constructor(reading: Reading, drafts: readonly Draft[]) {
    this.#reading = reading;
    this.#drafts = drafts;
  }

  /** Whether a repeat is waiting for its end, endings apart. */
  get waits(): boolean {
    return this.#open && !this.#endings;
  }

  /** A repeat begins with the next bar. */
  start(at: number, marks: Marks): void {
    if (this.#open) throw this.#reading.refuse("the end of one repeat, :|, before the next begins", at);
    this.leaveEndings();
    this.#open = true;
    this.#from = this.#drafts.length;
    marks.repeatStart = true;
  }

  /** A repeat ends with the last bar; without a beginning it goes back to the end of the last one, or to the top. */
  end(at: number, times: number | undefined): void {
    if (this.#drafts.length === this.#from) throw this.#reading.refuse("bars to repeat", at);
    const count = times ?? this.#count;
    this.#count = undefined;
    if (count !== undefined) this.#requireCount(count, at);
    this.#begin(at);
    const last = this.#drafts.at(-1);
    if (last === undefined) return;
    if (/^:?\|{1,2}:?\]?\s*\(?\s*x/i.test(this.#reading.text.slice(at, at + 40)))
      this.#reading.guess(`x${count ?? 2} taken as played ${count ?? 2} times in all`, at);
    last.marks.repeatEnd = count ?? 2;
    this.#awaitsEnding = this.#endings;
    this.#open = false;
    if (!this.#endings) this.#from = this.#drafts.length;
  }

  #requireCount(count: number, at: number): void {
    if (count < 2 || count > 16) throw this.#reading.refuse("a count from 2 to 16 after :|", at);
    if (this.#endings && count !== 2)
      throw this.#reading.refuse("a repeat with endings that is played once for each ending", at);
  }

  #begin(at: number): void {
    const first = this.#drafts[this.#from];
    if (first === undefined || first.marks.repeatStart === true) return;
    first.marks.repeatStart = true;
    this.#reading.guess("a repeat without its beginning |: taken from the end of the last one, or from the top", at);
  }

  /** A count of its own: before a repeat, in it, or behind it. */
  countAt({ at, times }: Extract<Token, { kind: "count" }>, empty: boolean, beforeRepeat: boolean): void {
    if (this.#open || beforeRepeat) {
      this.#count = times;
      return;
    }
    const last = this.#drafts.at(-1);
    if (!empty || last?.marks.repeatEnd === undefined)
      throw this.#reading.refuse(
        "a count right behind the end of a repeat, :|x3",
        at,
        `write |: and :|x${times} round the bars that are played ${times} times`,
      );
    this.#requireCount(times, at);
    last.marks.repeatEnd = times;
  }

  /** An ending begins with the next bar. */
  ending({ passes, at }: Extract<Token, { kind: "ending" }>, marks: Marks): void {
    const first = passes[0] ?? 0;
    if (!this.#open && !this.#awaitsEnding && first === 1 && this.#drafts.length > this.#from) {
      this.#begin(at);
      this.#open = true;
    }
    const fits = this.#awaitsEnding
      ? first === this.#lastEnding + 1
      : this.#open && !this.#endings && first === 1 && this.#drafts.length > this.#from;
    if (!fits || passes.some((pass, i) => pass !== first + i) || passes.length > 16) {
      throw this.#reading.refuse(
        first === 1
          ? "a first ending inside a repeat, after its first bar"
          : `ending ${first} right after the :| of ending ${first - 1}`,
        at,
        this.#reading.text.charAt(at - 1) === "|" && !this.#awaitsEnding && first > 1
          ? `write :|x${first} for a repeat played ${first} times`
          : undefined,
      );
    }
    marks.ending = passes;
    this.#endings = true;
    this.#awaitsEnding = false;
    this.#lastEnding = passes.at(-1) ?? first;
    this.#open = true;
  }

  /** A chord follows: where only a first ending is written, the chart goes on as the second. */
  goOn(at: number): void {
    if (!this.#awaitsEnding) return;
    this.#reading.guess("no second ending: the chart goes on after the first", at);
    this.leaveEndings();
  }

  /** A section follows, which ends the last ending. */
  sectionFollows(): void {
    if (!this.#awaitsEnding && this.#endings && !this.#open) this.leaveEndings();
  }

  /** Behind the last ending. */
  leaveEndings(): void {
    if (!this.#endings) return;
    this.#endings = false;
    this.#awaitsEnding = false;
    this.#lastEnding = 0;
    this.#open = false;
    this.#from = this.#drafts.length;
  }
}
