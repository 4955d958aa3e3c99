import * as v from "valibot";
import { compingCatalogue } from "../comping/index.ts";
import { compingRowSchema } from "../comping/inner.ts";
import type { Door } from "../ground/door.ts";
import { door, rowFields } from "../ground/door.ts";
import { parseProgression } from "../progression/index.ts";
import { idOrRow, readBy, recipeForAnyKeyShape, rightHandShape, tonicShape } from "../recipe/inner.ts";
import type { SkillRow } from "./catalogue.ts";
import { PATHS, skillCatalogue } from "./catalogue.ts";

const texts = (most: number) =>
  /* @__PURE__ */ v.pipe(/* @__PURE__ */ v.array(rowFields.id), /* @__PURE__ */ v.maxLength(most));
const tempo = /* @__PURE__ */ v.pipe(
  /* @__PURE__ */ v.number(),
  /* @__PURE__ */ v.minValue(30),
  /* @__PURE__ */ v.maxValue(240),
);

/** What a row of the curriculum must be. */
export const skillRowSchema: v.GenericSchema<SkillRow> = /* @__PURE__ */ v.strictObject({
  ...rowFields,
  path: /* @__PURE__ */ v.picklist(PATHS),
  level: /* @__PURE__ */ v.picklist([1, 2, 3, 4, 5]),
  aim: rowFields.source,
  after: texts(10),
  helps: texts(30),
  drill: recipeForAnyKeyShape,
  changes: /* @__PURE__ */ v.pipe(
    /* @__PURE__ */ v.array(/* @__PURE__ */ readBy((text) => parseProgression(text))),
    /* @__PURE__ */ v.maxLength(100),
  ),
  right: /* @__PURE__ */ v.pipe(
    /* @__PURE__ */ v.array(rightHandShape),
    /* @__PURE__ */ v.minLength(1),
    /* @__PURE__ */ v.maxLength(40),
  ),
  comping: /* @__PURE__ */ v.optional(
    /* @__PURE__ */ v.pipe(
      /* @__PURE__ */ v.array(/* @__PURE__ */ idOrRow(compingCatalogue, compingRowSchema)),
      /* @__PURE__ */ v.minLength(1),
      /* @__PURE__ */ v.maxLength(20),
    ),
  ),
  keys: /* @__PURE__ */ v.optional(
    /* @__PURE__ */ v.pipe(
      /* @__PURE__ */ v.array(tonicShape),
      /* @__PURE__ */ v.minLength(1),
      /* @__PURE__ */ v.maxLength(30),
    ),
  ),
  tempo: /* @__PURE__ */ v.pipe(
    /* @__PURE__ */ v.strictTuple([tempo, tempo]),
    /* @__PURE__ */ v.check(([start, goal]) => start <= goal, "a goal that is not below the start"),
  ),
});

/** The skill that is meant: an id of the catalogue, or a row. */
export const skillRow: Door<SkillRow> = /* @__PURE__ */ door(
  skillCatalogue,
  skillRowSchema,
  "notebook/skill",
  "a skill",
);
