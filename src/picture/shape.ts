import * as v from "valibot";
import type { Finger, Hand } from "../event/index.ts";
import { isRecord, shapeOf } from "../ground/check.ts";
import type { Degree } from "../pitch/index.ts";
import { isPitch } from "../pitch/inner.ts";
import { isFinger } from "../score/inner.ts";

/** The most notes of one picture; far more than any keyboard can show. */
const MOST_NOTES = 2000;

const pitch = /* @__PURE__ */ shapeOf(isPitch, "a pitch");
const finger = /* @__PURE__ */ shapeOf((value): value is Finger => isFinger(value), "a finger from 1 to 5");
const hand = /* @__PURE__ */ v.picklist(["left", "right"] satisfies readonly Hand[]);
const degree = /* @__PURE__ */ shapeOf(
  (value): value is Degree => typeof value === "string" && /^(bb|b|#|##)?(1|2|3|4|5|6|7|9|11|13)$/.test(value),
  'a degree such as "b7"',
);
const pitches = /* @__PURE__ */ v.pipe(
  /* @__PURE__ */ v.array(pitch),
  /* @__PURE__ */ v.minLength(1),
  /* @__PURE__ */ v.maxLength(MOST_NOTES),
);
const fingers = /* @__PURE__ */ v.array(finger);

export const reachShape = /* @__PURE__ */ v.array(pitch);

/** Keys to mark. */
export const marksShape = /* @__PURE__ */ v.pipe(
  /* @__PURE__ */ v.array(
    /* @__PURE__ */ v.looseObject({
      pitch,
      finger: /* @__PURE__ */ v.optional(finger),
      hand: /* @__PURE__ */ v.optional(hand),
      degree: /* @__PURE__ */ v.optional(degree),
    }),
  ),
  /* @__PURE__ */ v.maxLength(MOST_NOTES),
);

const SAME_LENGTH = "as many fingers as pitches";
/** The fingering of a chord. */
export const chordFingeringShape = /* @__PURE__ */ v.pipe(
  /* @__PURE__ */ v.looseObject({ kind: /* @__PURE__ */ v.literal("chord-fingering"), hand, pitches, fingers }),
  /* @__PURE__ */ v.check(({ pitches: some, fingers: others }) => some.length === others.length, SAME_LENGTH),
);

const place = /* @__PURE__ */ v.pipe(
  /* @__PURE__ */ v.number(),
  /* @__PURE__ */ v.integer(),
  /* @__PURE__ */ v.minValue(0),
  /* @__PURE__ */ v.maxValue(MOST_NOTES),
);
const turned = /* @__PURE__ */ v.looseObject({ pitch, finger });

/** The fingering of a passage. */
export const fingeringShape = /* @__PURE__ */ v.pipe(
  /* @__PURE__ */ v.looseObject({
    kind: /* @__PURE__ */ v.literal("fingering"),
    hand,
    pitches,
    fingers,
    crossings: /* @__PURE__ */ v.array(
      /* @__PURE__ */ v.looseObject({
        kind: /* @__PURE__ */ v.picklist(["thumb-under", "cross-over"]),
        index: place,
        from: turned,
        to: turned,
      }),
    ),
    positions: /* @__PURE__ */ v.array(/* @__PURE__ */ v.looseObject({ from: place, to: place })),
  }),
  /* @__PURE__ */ v.check(({ pitches: some, fingers: others }) => some.length === others.length, SAME_LENGTH),
  /* @__PURE__ */ v.check(
    ({ positions, pitches: notes }) => positions.every(({ from, to }) => from <= to && to < notes.length),
    "hand positions within the notes",
  ),
);

/** The kind of a subject, or none for keys to mark. */
export const kindOf = (subject: unknown): unknown => (isRecord(subject) ? subject.kind : undefined);
