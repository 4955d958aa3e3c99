import * as v from "valibot";
import { check, shapeOf } from "../ground/check.ts";
import type { NumeralMark } from "../harmony/index.ts";
import type { Progression } from "../progression/index.ts";
import type { Beats } from "../time/index.ts";
import { formatBeats } from "../time/index.ts";
import { isBeats } from "../time/inner.ts";
import type { XmlElement } from "./xml.ts";
import { element, leaf } from "./xml.ts";

/** What tells the numerals of a progression: `numeralMarks` of `hands-together/harmony`, or a function of one's own. */
export type NumeralsOf = (progression: Progression) => readonly NumeralMark[];

/** What stands at each moment where a chord begins; keys are moments as text. */
export type NumeralMarks = ReadonlyMap<string, NumeralMark>;

export const NO_MARKS: NumeralMarks = new Map();

export const numeralsShape = /* @__PURE__ */ shapeOf(
  (value): value is NumeralsOf => typeof value === "function",
  "a function such as numeralMarks",
);

const marksShape = /* @__PURE__ */ v.array(
  /* @__PURE__ */ v.looseObject({
    at: /* @__PURE__ */ shapeOf(isBeats, "exact beats"),
    numeral: /* @__PURE__ */ v.optional(
      /* @__PURE__ */ v.pipe(/* @__PURE__ */ v.string(), /* @__PURE__ */ v.maxLength(100)),
    ),
    bracket: /* @__PURE__ */ v.optional(/* @__PURE__ */ v.picklist(["start", "stop"])),
    number: /* @__PURE__ */ v.picklist([1, 2]),
  }),
);

/** The numerals and brackets of a progression, by the moments on paper of their chords; of what is played again the first time. */
export const marksOf = (
  numerals: NumeralsOf | undefined,
  progression: Omit<Progression, "kind" | "sections">,
  onPaper: (at: Beats) => Beats = (at) => at,
): NumeralMarks => {
  if (numerals === undefined) return NO_MARKS;
  const marks = numerals({ kind: "progression", sections: [], ...progression });
  check(marksShape, marks, "musicxml/argument");
  return new Map(marks.toReversed().map((mark) => [momentOf(onPaper(mark.at)), mark]));
};

/** The directions of a mark, below a staff. */
export const markElements = (
  mark: NumeralMark | undefined,
  offset: number,
  staff: number | undefined,
): readonly XmlElement[] => {
  if (mark === undefined) return [];
  const below = (child: XmlElement): XmlElement =>
    element("direction", { placement: "below" }, [
      element("direction-type", {}, [child]),
      offset === 0 ? undefined : leaf("offset", offset),
      staff === undefined ? undefined : leaf("staff", staff),
    ]);
  return [
    ...(mark.numeral === undefined ? [] : [below(leaf("words", mark.numeral))]),
    ...(mark.bracket === undefined
      ? []
      : [
          below(
            element("bracket", { type: mark.bracket, number: mark.number, "line-end": "up", "line-type": "solid" }),
          ),
        ]),
  ];
};

/** When a chord begins, for {@link NumeralMarks}. */
export const momentOf = (at: Beats): string => formatBeats(at);
