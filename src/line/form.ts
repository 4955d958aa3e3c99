import * as v from "valibot";
import { check } from "../ground/check.ts";
import { barLength, beatsToNumber, ZERO } from "../time/index.ts";
import type { GeneratedLine } from "./generate.ts";
import { metreShape, spansShape } from "./shape.ts";

const ROLES = { statement: "new", return: "comes back", answer: "answered upside down", variation: "varied" } as const;

const generatedSchema = /* @__PURE__ */ v.looseObject({
  kind: /* @__PURE__ */ v.literal("line"),
  metre: metreShape,
  phrases: spansShape,
  form: /* @__PURE__ */ v.array(
    /* @__PURE__ */ v.looseObject({
      motif: /* @__PURE__ */ v.string(),
      role: /* @__PURE__ */ v.picklist(["statement", "return", "answer", "variation"]),
    }),
  ),
});

/**
 * The phrases of a generated line in words: the bar in which each begins, counted from 1, and what it does with its motif.
 *
 * @example
 * ```ts
 * import { formatForm, generateLine, parseProgression } from "hands-together";
 *
 * const line = generateLine(parseProgression("blues", { key: "F" }), { seed: 1 });
 * /^bar [12] motif A \(new\)/.test(formatForm(line)); // => true
 * ```
 */
export function formatForm(line: GeneratedLine): string {
  check(generatedSchema, line, "line/argument");
  const { form, phrases, metre } = line;
  const bar = beatsToNumber(barLength(metre));
  return form
    .map(
      ({ motif, role }, i) =>
        `bar ${Math.floor(beatsToNumber(phrases[i]?.at ?? ZERO) / bar) + 1} motif ${motif} (${ROLES[role]})`,
    )
    .join(", ");
}
