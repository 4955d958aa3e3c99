import { check } from "../ground/check.ts";
import { nth } from "../ground/list.ts";
import { formatPitch } from "../pitch/index.ts";
import type { Fingering } from "./fingering.ts";
import { fingeringShape, formatOptions } from "./shape.ts";

/** What {@link formatFingering} is asked. */
export interface FormatFingeringOptions {
  /** Columns of a line before it is continued below. @defaultValue 80 */
  readonly width?: number | undefined;
  /** Whether each note's sentence and charges follow; the fingering must have been made with `explain`. @defaultValue `false` */
  readonly explain?: boolean | undefined;
}

const TURN = { "thumb-under": "under", "cross-over": "over" } as const;

/**
 * A fingering as lines of text: notes, under them fingers, under them the crossings ("under" where the thumb passes under,
 * "over" where a finger crosses over the thumb), then the remarks.
 *
 * @example
 * ```ts
 * import { fingerPassage, formatFingering, parsePitch } from "hands-together";
 *
 * const fingering = fingerPassage(["D4", "Eb4", "E4"].map(parsePitch), { hand: "right", fixed: { 1: 3, 2: 1 } });
 * formatFingering(fingering).split("\n"); // => ["D4  E♭4  E4", "2   3    1", "         under"]
 * ```
 */
export function formatFingering(fingering: Fingering, options: FormatFingeringOptions = {}): string {
  check(fingeringShape, fingering, "fingering/argument");
  check(formatOptions, options, "fingering/argument");
  const width = options.width ?? 80;
  const turns = new Map(fingering.crossings.map(({ index, kind }) => [index, TURN[kind]]));
  const columns = fingering.pitches.map(
    (p, i) => [formatPitch(p), String(fingering.fingers[i]), turns.get(i) ?? ""] as const,
  );
  const blocks: (typeof columns)[] = [];
  let used = width;
  for (const column of columns) {
    const wide = columnWidth(column);
    if (used + wide > width || blocks.length === 0) {
      blocks.push([]);
      used = 0;
    }
    nth(blocks, -1).push(column);
    used += wide;
  }
  const text = blocks
    .map((block) =>
      [0, 1, 2]
        .map((row) =>
          block
            .map((column) => nth(column, row).padEnd(columnWidth(column)))
            .join("")
            .trimEnd(),
        )
        .filter((line) => line !== "")
        .join("\n"),
    )
    .join("\n\n");
  const remarks = fingering.remarks.map(({ message }) => `\n${message}`).join("");
  return text + remarks + (options.explain === true ? whyText(fingering) : "");
}

const columnWidth = (column: readonly string[]): number => Math.max(...column.map((cell) => [...cell].length)) + 2;

const whyText = (fingering: Fingering): string => {
  const steps = (fingering.steps ?? []).map(({ sentence, costByRule }, i) => {
    const charges = Object.entries(costByRule)
      .map(([rule, cost]) => `${rule} ${cost}`)
      .join(", ");
    return `${String(i + 1).padStart(3)}  ${sentence}${charges === "" ? "" : `  (${charges})`}`;
  });
  const sums = Object.entries(fingering.costByRule)
    .map(([rule, cost]) => `${rule} ${cost}`)
    .join(", ");
  return `\n\n${steps.length === 0 ? "" : `${steps.join("\n")}\n`}cost ${fingering.cost}${sums === "" ? "" : `: ${sums}`}`;
};
