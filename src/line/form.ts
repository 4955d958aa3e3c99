import type { TimeSpan } from "../event/index.ts";
import { barLength, beatsToNumber } from "../time/index.ts";
import type { GeneratedLine } from "./generate.ts";

const ROLES = { statement: "new", return: "comes back", answer: "answered upside down", variation: "varied" } as const;

/**
 * The phrases of a generated line in words: the bar in which each begins, counted from 1, and what it does with its motif.
 *
 * @example
 * ```ts
 * import { formatForm, generateLine, parseProgression } from "hands-together";
 *
 * const line = generateLine(parseProgression("blues", { key: "F" }), { seed: 1 });
 * formatForm(line).split(", ")[1]; // => "bar 4 motif A (answered upside down)"
 * ```
 */
export function formatForm({ form, phrases, metre }: GeneratedLine): string {
  const bar = beatsToNumber(barLength(metre));
  return form
    .map(
      ({ motif, role }, i) =>
        `bar ${Math.floor(beatsToNumber((phrases[i] as TimeSpan).at) / bar) + 1} motif ${motif} (${ROLES[role]})`,
    )
    .join(", ");
}
