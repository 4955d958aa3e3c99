import { progressionCatalogue } from "../progression/index.ts";
import { feelCatalogue } from "../swing/index.ts";

/** The named progressions, as a paragraph of a command's help. */
export const namedProgressions = (): string =>
  `\nNamed progressions: ${progressionCatalogue.map((row) => row.id).join(", ")}`
    .replace(/(.{1,78})(?: |$)/g, "$1\n")
    .trimEnd();

/** What a feel may be, for an option's help. */
export const feels = (): string => `a swing ratio, or ${feelCatalogue.map((row) => row.id).join(", ")}`;
