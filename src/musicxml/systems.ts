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

/**
 * How many bars to put on each system: four, or as many fewer as the densest music asks for; bars that do not come out even are shared
 * out as evenly as they can be, the longer systems first. A pickup belongs to the first system.
 */
export const barsPerSystem = (
  bars: readonly LaidOutBar[],
  { accidentals, signature, wanted, width }: Crowding,
): readonly number[] => {
  const all = bars.map((bar, i) => columnsOf(bar) + BAR_LINE + SIGN * (accidentals[i] ?? 0));
  const full = bars.filter((bar) => bar.number > 0);
  const pickup = bars.length - full.length;
  const widths = all.slice(pickup).map((width, i) => (i === 0 && pickup > 0 ? width + nth(all, 0) : width));
  const columns = width === undefined ? COLUMNS : (width - CLEFS) / COLUMN;
  const fits = (most: number): boolean => {
    for (let i = 0; i < widths.length; i += most) {
      if (widths.slice(i, i + most).reduce((sum, w) => sum + w, SIGN * signature) > columns) return false;
    }
    return true;
  };
  // Three only where three are a phrase.
  const choices = full.length % 3 === 0 && full.length % 4 !== 0 ? [4, 3, 2] : [4, 2];
  const most = wanted ?? choices.find(fits) ?? 1;
  const systems = Math.ceil(full.length / most);
  if (wanted !== undefined || full.length % most === 0) {
    return Array.from({ length: systems }, (_, i) => Math.min(most, full.length - i * most));
  }
  return Array.from(
    { length: systems },
    (_, i) => Math.floor(full.length / systems) + (i < full.length % systems ? 1 : 0),
  );
};
