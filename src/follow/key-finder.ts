import type { PricedShift, Shift } from "../assess/inner.ts";
import { COST, SHIFTS } from "../assess/inner.ts";
import type { Music } from "./music.ts";
import type { Key, Reader } from "./reader.ts";

// Keys by which another key or octave is told, and the cost a key from which one is looked for.
const LISTENED = 12;
const DOUBTED = 0.4;
// Readings that are enough to compare keys by.
const READINGS = 12;
// Keys that a reader of another key hears over again with each new one, until it has caught up.
const CAUGHT_UP = 8;

/**
 * Finds out whether the player plays in another key or octave: where the first keys fit badly, one other shift is tried with each key that comes, so
 * that no key takes long.
 */
export class KeyFinder {
  private readonly heard: Key[] = [];
  private left: (PricedShift & { readonly atLeast: number })[] | undefined;
  private found: { readonly shift: Shift; readonly cost: number } | undefined;
  private next: { readonly reader: Reader; at: number } | undefined;
  private done = false;

  constructor(
    private readonly music: Music,
    private readonly make: (shift: Shift, most?: number) => Reader,
  ) {}

  /** Whether the key is known, or was never in doubt. */
  get isSettled(): boolean {
    return this.done;
  }

  /** Hears a key; answers with a reader of another key once one has caught up with all that came before. */
  hear(key: Key, reader: Reader): Reader | undefined {
    const before = this.heard.length;
    if (this.next !== undefined) {
      const { next } = this;
      for (let i = 0; i < CAUGHT_UP && next.at < before; i++, next.at++) {
        const one = this.heard[next.at];
        if (one !== undefined) next.reader.hear(one);
      }
      this.heard.push(key);
      if (next.at < before) return undefined;
      this.done = true;
      return next.reader;
    }
    this.heard.push(key);
    if (before < LISTENED) return undefined;
    if (this.left === undefined) {
      if (before === LISTENED && reader.worth < DOUBTED * LISTENED) {
        this.done = true;
        return undefined;
      }
      this.left = this.sorted();
      this.found = { shift: { right: 0, left: 0 }, cost: this.costOf({ right: 0, left: 0 }) };
    }
    const one = this.left.shift();
    if (one !== undefined && this.found !== undefined && one.atLeast < this.found.cost) {
      const cost = one.price + this.costOf(one.shift);
      if (cost < this.found.cost) this.found = { shift: one.shift, cost };
      return undefined;
    }
    const { shift = { right: 0, left: 0 } } = this.found ?? {};
    if (shift.right === 0 && shift.left === 0) this.done = true;
    else this.next = { reader: this.make(shift), at: 0 };
    return undefined;
  }

  private costOf(shift: Shift): number {
    const reader = this.make(shift, READINGS);
    for (const key of this.heard.slice(0, LISTENED)) reader.hear(key);
    return reader.worth;
  }

  // A key that a shift finds nowhere in the score costs at least what one beside the score does.
  private sorted(): (PricedShift & { readonly atLeast: number })[] {
    const first = this.heard.slice(0, LISTENED);
    return SHIFTS.slice(1)
      .map(({ shift, price }) => {
        const found = first.filter(({ midi }) =>
          (["right", "left"] as const).some((hand) =>
            this.music.landings.get(midi - shift[hand])?.some((landing) => landing.hand === hand),
          ),
        );
        return { shift, price, atLeast: price + COST.aside * (first.length - found.length) };
      })
      .sort((a, b) => a.atLeast - b.atLeast);
  }
}
