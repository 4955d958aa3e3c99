import * as v from "valibot";

const text = /* @__PURE__ */ v.string();
const count = /* @__PURE__ */ v.pipe(v.number(), v.finite());

const drillItem = /* @__PURE__ */ v.looseObject({
  kind: v.literal("drill"),
  minutes: count,
  key: text,
  tempo: count,
  recipe: v.looseObject({ key: text }),
  reason: text,
  sheet: v.optional(text),
});
const otherItem = /* @__PURE__ */ v.looseObject({
  kind: v.picklist(["warm-up", "break"]),
  minutes: count,
  reason: text,
});

/** A plan of practice, as far as its text and its calendar are made from it. */
export const planShape = /* @__PURE__ */ v.looseObject({
  kind: v.literal("practice-plan"),
  days: v.pipe(
    v.array(
      v.looseObject({
        week: count,
        day: count,
        offset: v.pipe(v.number(), v.integer(), v.minValue(0), v.maxValue(3660)),
        minutes: v.pipe(v.number(), v.minValue(0), v.maxValue(1440)),
        date: v.optional(text),
        items: v.pipe(v.array(v.variant("kind", [drillItem, otherItem])), v.maxLength(1000)),
      }),
    ),
    v.maxLength(3660),
  ),
  keys: v.array(v.looseObject({ key: text, weak: v.boolean(), visits: count, highestTempo: count })),
  assumptions: v.array(text),
  caution: text,
});
