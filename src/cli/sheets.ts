import { known } from "../ground/list.ts";
import type { Chart } from "../progression/index.ts";

/** What a file with a lead sheet is called. */
export const SHEET_FILE = /\.(?:musicxml|xml|mxl)$/i;

// The reader of lead sheets is most of what a short answer would load; it is loaded where a word names a sheet, or lines are still to come.
let reader: Pick<typeof import("../musicxml/index.ts"), "readLeadSheet"> | undefined;

/** Makes ready for the files that the words of a command line name. */
export const loadSheets = async (words: readonly string[]): Promise<void> => {
  if (words.some((word) => word === "-" || SHEET_FILE.test(word.trim())))
    reader ??= await import("../musicxml/index.ts");
};

/** The chart of a lead sheet. */
export const leadSheet = (bytes: Uint8Array): Chart => known(reader).readLeadSheet(bytes);
