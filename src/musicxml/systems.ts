import { nth } from "../ground/list.ts";
import type { LaidOutBar } from "../score/index.ts";
import { formatBeats } from "../time/index.ts";

// How many columns of notes a system of an A4 page holds before it looks crowded; a bar line and its air count as two, a sign as a half.
const COLUMNS = 48;
// What clefs and metre take, and a column, in tenths of a staff space.
const CLEFS = 95;
const COLUMN = 22;
const BAR_LINE = 2;
const SIGN = 0.5;

/** What takes room besides notes. */
export interface Crowding {
  /** Accidentals of each bar. */
  readonly accidentals: readonly number[];
  /** Signs of the key signature, which every system repeats. */
  readonly signature: number;
  /** Bars to a system that were asked for. */
  readonly wanted: number | undefined;
  /** Width of a system in tenths, where it is not that of a page. */
  readonly width: number | undefined;
  /** Bars with which a section begins. */
  readonly opens: ReadonlySet<number>;
}

const columnsOf = (bar: LaidOutBar): number => {
  const moments = new Set<string>();
  let graces = 0;
  for (const voice of [...bar.right, ...bar.left]) {
    for (const piece of voice) {
      if (piece.kind === "space") continue;
      moments.add(formatBeats(piece.at));
      if (piece.kind === "note" && !piece.tiedFrom) graces += (piece.event.graces ?? []).length;
    }
  }
  return moments.size + graces;
};

// A section of fewer bars stays on the system of the one before.
const SHORT_SECTION = 3;

/** Bars in blocks that begin a system: sections, the short ones with the one before. */
const blocksOf = (bars: number, opens: ReadonlySet<number>): readonly number[] => {
  const blocks: number[] = [];
  let from = 1;
  const starts = [...opens].filter((bar) => bar > 1 && bar <= bars).sort((a, b) => a - b);
  for (const [i, bar] of starts.entries()) {
    if (bar - from < SHORT_SECTION || (starts[i + 1] ?? bars + 1) - bar < SHORT_SECTION) continue;
    blocks.push(bar - from);
    from = bar;
  }
  return [...blocks, bars + 1 - from];
};

/** Bars shared out as evenly as they can be, the longer systems first. */
const shared = (bars: number, most: number): readonly number[] => {
  const systems = Math.ceil(bars / most);
  return Array.from({ length: systems }, (_, i) => Math.floor(bars / systems) + (i < bars % systems ? 1 : 0));
};

/**
 * How many bars to put on each system: four, or as many fewer as the densest music asks for; bars that do not come out even are shared
 * out as evenly as they can be, the longer systems first. A section begins a system. A pickup belongs to the first system.
 */
export const barsPerSystem = (
  bars: readonly LaidOutBar[],
  { accidentals, signature, wanted, width, opens }: Crowding,
): readonly number[] => {
  const all = bars.map((bar, i) => columnsOf(bar) + BAR_LINE + SIGN * (accidentals[i] ?? 0));
  const full = bars.filter((bar) => bar.number > 0);
  const pickup = bars.length - full.length;
  const widths = all.slice(pickup).map((width, i) => (i === 0 && pickup > 0 ? width + nth(all, 0) : width));
  const columns = width === undefined ? COLUMNS : (width - CLEFS) / COLUMN;
  const blocks = blocksOf(full.length, opens);
  const fits = (most: number): boolean => {
    let from = 0;
    for (const block of blocks) {
      for (let i = from; i < from + block; i += most) {
        const system = widths.slice(i, Math.min(i + most, from + block));
        if (system.reduce((sum, w) => sum + w, SIGN * signature) > columns) return false;
      }
      from += block;
    }
    return true;
  };
  // Three only where three are a phrase.
  const choices = blocks.every((block) => block % 3 === 0 && block % 4 !== 0) ? [4, 3, 2] : [4, 2];
  const most = wanted ?? choices.find(fits) ?? 1;
  return blocks.flatMap((block) =>
    wanted === undefined
      ? shared(block, most)
      : Array.from({ length: Math.ceil(block / most) }, (_, i) => Math.min(most, block - i * most)),
  );
};
