import * as v from "valibot";

// What pages and pictures read of an assessment: figures that are finite, texts that are texts.

const number = /* @__PURE__ */ v.pipe(/* @__PURE__ */ v.number(), /* @__PURE__ */ v.finite());
const text = /* @__PURE__ */ v.pipe(/* @__PURE__ */ v.string(), /* @__PURE__ */ v.maxLength(10_000));
const hand = /* @__PURE__ */ v.picklist(["right", "left"]);
const maybe = /* @__PURE__ */ v.optional(number);
const index = /* @__PURE__ */ v.pipe(
  /* @__PURE__ */ v.number(),
  /* @__PURE__ */ v.integer(),
  /* @__PURE__ */ v.minValue(0),
  /* @__PURE__ */ v.maxValue(1_000_000),
);
const bars = /* @__PURE__ */ v.pipe(
  /* @__PURE__ */ v.number(),
  /* @__PURE__ */ v.integer(),
  /* @__PURE__ */ v.minValue(1),
  /* @__PURE__ */ v.maxValue(10_000),
);

const barReport = /* @__PURE__ */ v.looseObject({ hand, bar: index, asked: index, right: index, meanMs: maybe });

const step = /* @__PURE__ */ v.looseObject({
  how: text,
  hands: /* @__PURE__ */ v.picklist(["both", "right", "left"]),
  bars: /* @__PURE__ */ v.array(index),
  recipe: /* @__PURE__ */ v.looseObject({ tempo: number, repeats: number }),
});

/** An assessment of a take. */
export const assessmentShape = /* @__PURE__ */ v.looseObject({
  kind: /* @__PURE__ */ v.literal("assessment"),
  title: text,
  bars,
  barLength: /* @__PURE__ */ v.pipe(
    /* @__PURE__ */ v.number(),
    /* @__PURE__ */ v.minValue(0.25),
    /* @__PURE__ */ v.maxValue(64),
  ),
  accuracy: /* @__PURE__ */ v.looseObject({ right: number, asked: number }),
  hands: /* @__PURE__ */ v.array(
    /* @__PURE__ */ v.looseObject({
      hand,
      timing: /* @__PURE__ */ v.optional(/* @__PURE__ */ v.looseObject({ meanMs: number, spreadMs: number })),
    }),
  ),
  barReports: /* @__PURE__ */ v.array(barReport),
  praise: text,
  say: /* @__PURE__ */ v.array(/* @__PURE__ */ v.looseObject({ message: text })),
  practise: /* @__PURE__ */ v.array(step),
  alignment: /* @__PURE__ */ v.looseObject({
    asked: /* @__PURE__ */ v.array(/* @__PURE__ */ v.looseObject({ hand, sounds: number })),
    notes: /* @__PURE__ */ v.array(
      /* @__PURE__ */ v.looseObject({
        state: /* @__PURE__ */ v.picklist(["right", "wrong", "missed", "extra"]),
        run: index,
        hand,
        asked: maybe,
        offMs: maybe,
        heard: maybe,
      }),
    ),
    runs: /* @__PURE__ */ v.array(/* @__PURE__ */ v.looseObject({})),
    leftOut: /* @__PURE__ */ v.array(index),
  }),
});
