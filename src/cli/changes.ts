import { MusicError } from "../ground/errors.ts";
import type { Chart, ProgressionOptions } from "../progression/index.ts";
import { formatChart, parseChart } from "../progression/index.ts";
import { fromFile } from "./from-file.ts";
import { readInput } from "./io.ts";
import { leadSheet, SHEET_FILE } from "./sheets.ts";

const CHART_FILE = /\.(?:txt|chart|json|musicxml|xml|mxl)$/i;

/** What a command's help says of changes. */
export const CHANGES =
  'a chart such as "Dm9 | G13 | Cmaj9", Roman numerals, the id of a named progression, or a file with a chart (.txt, .json, .musicxml, .mxl)';

/** Whether what was typed names a file with a chart: no chart ends so. */
const isChartFile = (item: string): boolean => CHART_FILE.test(item.trim()) && !/[|\n]/.test(item);

/**
 * The text of changes: what was typed, or what stands in the file that it names.
 *
 * @throws MusicError `cli/file` when the file can't be read, and the codes of the lead-sheet reader
 */
export const changesText = (item: string): string => {
  if (!isChartFile(item)) return item;
  const path = item.trim();
  const bytes = readInput(path);
  if (SHEET_FILE.test(path)) return fromFile(path, () => formatChart(leadSheet(bytes)));
  const text = new TextDecoder().decode(bytes).replace(/^\uFEFF/, "");
  return /^\s*\{/.test(text) ? fromFile(path, () => formatChart(parseChart(text))) : text;
};

/** What the reader of a file with a lead sheet or a chart's document took for granted, before its changes became text. */
export const fileGuesses = (item: unknown): readonly string[] => {
  if (typeof item !== "string" || !isChartFile(item)) return [];
  const { guesses } = chartOfItem(item, {});
  return /\.(?:txt|chart)$/i.test(item.trim()) ? [] : guesses;
};

/**
 * The chart of what was typed or of the file that it names; a file's melody is kept.
 *
 * @throws MusicError as {@link changesText}, and the codes of `parseChart`
 */
export const chartOfItem = (item: string, options: ProgressionOptions): Chart => {
  if (!isChartFile(item)) return parseChart(item, options);
  const path = item.trim();
  const bytes = readInput(path);
  return fromFile(path, () => {
    if (!SHEET_FILE.test(path)) return parseChart(new TextDecoder().decode(bytes).replace(/^\uFEFF/, ""), options);
    if (options.key === undefined && options.metre === undefined) return leadSheet(bytes);
    throw new MusicError({
      code: "cli/chart",
      input: path,
      expected: "no key and no metre beside a lead sheet, which has its own",
    });
  });
};
