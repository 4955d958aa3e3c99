import * as v from "valibot";
import type { Shape } from "./check.ts";
import { checkOnce } from "./check.ts";
import type { MusicErrorCode } from "./errors.ts";
import { MusicError } from "./errors.ts";
import { nearestName } from "./text.ts";

/** A row of a catalogue: whatever else it says, it has an id. */
export interface AnyRow {
  readonly id: string;
}

/** What a door lets in: an id of the catalogue that ships, or a row of the user's own. */
export interface Door<Row extends AnyRow> {
  /** The row that is meant, checked once. @throws MusicError with the door's code */
  (given: string | Row): Row;
  /** An id or a whole row, for schemas of documents. */
  readonly shape: v.UnionSchema<[v.PicklistSchema<string[], undefined>, Shape<Row> & v.GenericSchema<Row>], undefined>;
}

/**
 * The one way in for rows, shipped and brought: every function that takes an id takes a row as well, and asks here which is meant.
 *
 * @param catalogue - the rows that ship
 * @param row - what a row must be; laws that go beyond the types of fields belong in it
 * @param code - of the refusal
 * @param title - what a row is, with its article: "a left-hand pattern"
 */
export const door = <Row extends AnyRow>(
  catalogue: readonly Row[],
  row: v.GenericSchema<Row>,
  code: MusicErrorCode,
  title: string,
): Door<Row> => {
  const byId = new Map(catalogue.map((one) => [one.id, one]));
  const ids = [...byId.keys()];
  const enter = (given: string | Row): Row => {
    if (typeof given !== "string") {
      checkOnce(row, given, code);
      return given;
    }
    const found = byId.get(given);
    if (found !== undefined) return found;
    const near = nearestName(given, ids);
    throw new MusicError({
      code,
      input: given,
      expected: `${title}: ${ids.join(", ")}, or a row`,
      ...(near !== undefined && { hint: `did you mean ${near}?` }),
    });
  };
  return Object.assign(enter, { shape: v.union([v.picklist(ids), row]) }) as Door<Row>;
};

/** Fields that every row has: an id that can stand in file names and recipes, a title for people and where it comes from. */
export const rowFields = {
  id: /* @__PURE__ */ v.pipe(
    /* @__PURE__ */ v.string(),
    /* @__PURE__ */ v.regex(/^[a-z0-9]+(-[a-z0-9]+)*$/, "an id of small letters, digits and hyphens"),
    /* @__PURE__ */ v.maxLength(60),
  ),
  title: /* @__PURE__ */ v.pipe(
    /* @__PURE__ */ v.string(),
    /* @__PURE__ */ v.minLength(1),
    /* @__PURE__ */ v.maxLength(200),
  ),
  source: /* @__PURE__ */ v.pipe(
    /* @__PURE__ */ v.string(),
    /* @__PURE__ */ v.minLength(1),
    /* @__PURE__ */ v.maxLength(1000),
  ),
} as const;
