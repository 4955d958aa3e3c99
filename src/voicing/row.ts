import * as v from "valibot";
import { attempt } from "../ground/attempt.ts";
import { door, rowFields } from "../ground/door.ts";
import type { Degree, PitchName } from "../pitch/index.ts";
import { degreeInterval, parsePitch } from "../pitch/index.ts";
import { voicingCatalogue } from "./catalogue.ts";
import type { ChordRole, FullVoicing, Register, VoicingRow, VoicingStyle } from "./form.ts";
import { LEFT_HAND, STYLES, TWO_HANDS } from "./form.ts";

const MOST_NOTES = 12;
const FINGERS = 5;

// Ids of voicings carry the signs of their chords: "rootless-7#9-a".
const id = /* @__PURE__ */ v.pipe(
  /* @__PURE__ */ v.string(),
  /* @__PURE__ */ v.regex(/^[a-z0-9#]+(-[a-z0-9#]+)*$/, "an id of small letters, digits, # and hyphens"),
  /* @__PURE__ */ v.maxLength(60),
);

const name = /* @__PURE__ */ v.pipe(
  /* @__PURE__ */ v.string(),
  /* @__PURE__ */ v.minLength(1),
  /* @__PURE__ */ v.maxLength(60),
);

const isDegree = (value: unknown): value is Degree =>
  typeof value === "string" && /^(?:b|bb|#|##)?(?:[1-79]|11|13)$/.test(value);
const isStep = (value: unknown): value is Degree | ChordRole =>
  value === "third" || value === "fifth" || value === "seventh" || isDegree(value);

const degree = /* @__PURE__ */ v.custom<Degree>(isDegree, 'a degree of a chord, such as "b7" or "#11"');
const step = /* @__PURE__ */ v.custom<Degree | ChordRole>(
  isStep,
  'a degree of a chord, such as "b7" or "#11", or "third", "fifth" or "seventh"',
);
const degrees = /* @__PURE__ */ v.pipe(/* @__PURE__ */ v.array(degree), /* @__PURE__ */ v.maxLength(MOST_NOTES));

const semitones = (text: string): number | undefined => attempt(() => parsePitch(text).semitones);

const pitchName = /* @__PURE__ */ v.custom<PitchName>(
  (value) => typeof value === "string" && semitones(value) !== undefined,
  'the name of a pitch, such as "C4"',
);

/** A range of pitches by name. */
export const rangeFields = { from: pitchName, to: pitchName } as const;

export const rises = ({ from, to }: { readonly from: string; readonly to: string }): boolean =>
  (semitones(from) ?? 0) <= (semitones(to) ?? 0);
export const RISES = "a range that rises";

const register = /* @__PURE__ */ v.pipe(
  /* @__PURE__ */ v.strictObject({
    of: /* @__PURE__ */ v.picklist(["top", "lowest"]),
    ...rangeFields,
    width: /* @__PURE__ */ v.optional(
      /* @__PURE__ */ v.pipe(
        /* @__PURE__ */ v.number(),
        /* @__PURE__ */ v.integer(),
        /* @__PURE__ */ v.minValue(0),
        /* @__PURE__ */ v.maxValue(48),
      ),
    ),
  }),
  /* @__PURE__ */ v.check((range) => rises(range), RISES),
);

const group = /* @__PURE__ */ v.strictObject({
  hand: /* @__PURE__ */ v.picklist(["left", "right"]),
  notes: /* @__PURE__ */ v.pipe(
    /* @__PURE__ */ v.number(),
    /* @__PURE__ */ v.integer(),
    /* @__PURE__ */ v.minValue(1),
    /* @__PURE__ */ v.maxValue(FINGERS),
  ),
  bass: /* @__PURE__ */ v.optional(/* @__PURE__ */ v.boolean()),
});

const flag = /* @__PURE__ */ v.optional(/* @__PURE__ */ v.boolean());

const sharedOut = ({ degrees, groups }: VoicingRow): boolean =>
  groups === undefined
    ? degrees.length <= FINGERS
    : groups.reduce((sum, { notes }) => sum + notes, 0) === degrees.length;

// The left hand's notes lie below the right hand's, and a bass that is struck by itself below them all.
const inOrder = ({ groups = [] }: VoicingRow): boolean =>
  groups.every(
    ({ hand, notes, bass }, i) =>
      (hand === "right" || groups[i - 1]?.hand !== "right") &&
      (bass !== true || (i === 0 && hand === "left" && notes === 1 && groups.length > 1)),
  );

const oneHandAtOnce = ({ groups = [] }: VoicingRow): boolean =>
  ["left", "right"].every((hand) => groups.filter((one) => one.hand === hand && one.bass !== true).length <= 1);

const addsItsOwn = ({ degrees, tensions = [] }: VoicingRow): boolean =>
  tensions.every((tension) => degrees.includes(tension));

// A degree and the same an octave away are one tone: 2 and 9, 4 and 11, 6 and 13.
const tone = (step: Degree | ChordRole): string | number =>
  isDegree(step) ? ((degreeInterval(step).semitones % 12) + 12) % 12 : step;

const doublesNothing = ({ degrees, doubled }: VoicingRow): boolean =>
  doubled === true || new Set(degrees.map(tone)).size === degrees.length;

const clearBelow = ({ degrees: [low, next], semitoneAtBottom, groups }: VoicingRow): boolean => {
  if (low === undefined || next === undefined || semitoneAtBottom === true || groups?.[0]?.bass === true) return true;
  const [a, b] = [tone(low), tone(next)];
  return typeof a === "string" || typeof b === "string" || (b - a + 12) % 12 !== 1;
};

/** What a voicing must be. */
export const voicingRowSchema = /* @__PURE__ */ v.pipe(
  /* @__PURE__ */ v.strictObject({
    ...rowFields,
    id,
    style: /* @__PURE__ */ v.optional(name),
    label: /* @__PURE__ */ v.optional(name),
    degrees: /* @__PURE__ */ v.pipe(
      /* @__PURE__ */ v.array(step),
      /* @__PURE__ */ v.minLength(1),
      /* @__PURE__ */ v.maxLength(MOST_NOTES),
    ),
    serves: /* @__PURE__ */ v.optional(
      /* @__PURE__ */ v.pipe(
        /* @__PURE__ */ v.array(
          /* @__PURE__ */ v.strictObject({
            has: /* @__PURE__ */ v.optional(degrees),
            not: /* @__PURE__ */ v.optional(degrees),
          }),
        ),
        /* @__PURE__ */ v.minLength(1),
        /* @__PURE__ */ v.maxLength(MOST_NOTES),
      ),
    ),
    tensions: /* @__PURE__ */ v.optional(degrees),
    groups: /* @__PURE__ */ v.optional(
      /* @__PURE__ */ v.pipe(
        /* @__PURE__ */ v.array(group),
        /* @__PURE__ */ v.minLength(1),
        /* @__PURE__ */ v.maxLength(3),
      ),
    ),
    register: /* @__PURE__ */ v.optional(register),
    doubled: flag,
    semitoneAtBottom: flag,
    onRequest: flag,
  }),
  /* @__PURE__ */ v.check((row) => sharedOut(row), "groups that share out all notes, at most five to a hand"),
  /* @__PURE__ */ v.check((row) => inOrder(row), "the left hand below the right, a struck bass of one note below all"),
  /* @__PURE__ */ v.check((row) => oneHandAtOnce(row), "one group for each hand, beside a struck bass"),
  /* @__PURE__ */ v.check((row) => addsItsOwn(row), "tensions that are among the degrees"),
  /* @__PURE__ */ v.check((row) => doublesNothing(row), 'each tone once, unless "doubled" is true'),
  /* @__PURE__ */ v.check(
    (row) => clearBelow(row),
    'two lowest notes more than a semitone apart, unless "semitoneAtBottom" is true',
  ),
);

/** The way in for voicings: an id of the catalogue or a row. */
export const voicingRow = /* @__PURE__ */ door<VoicingRow>(
  voicingCatalogue,
  voicingRowSchema,
  "voicing/form",
  "a voicing",
);

/** A style by its name, or a voicing of one's own. */
export const voicingStyleSchema = /* @__PURE__ */ v.union([/* @__PURE__ */ v.picklist(STYLES), voicingRowSchema]);

export const MOST_STYLES = 100;

/** What a hand may be asked to play: a style, a voicing of one's own, or several of them in order of preference. */
export const voicingStylesSchema = /* @__PURE__ */ v.union([
  voicingStyleSchema,
  /* @__PURE__ */ v.pipe(
    /* @__PURE__ */ v.array(voicingStyleSchema),
    /* @__PURE__ */ v.minLength(1),
    /* @__PURE__ */ v.maxLength(MOST_STYLES),
  ),
]);

/** What a hand may be asked to play. */
export type VoicingStyles = VoicingStyle | VoicingRow | readonly (VoicingStyle | VoicingRow)[];

const usualRegister = (twoHands: boolean): Register => (twoHands ? TWO_HANDS : LEFT_HAND);

/** A row with its defaults filled in. */
export const full = (row: VoicingRow): FullVoicing => {
  const groups = row.groups ?? [{ hand: "left", notes: row.degrees.length }];
  return {
    ...row,
    style: row.style ?? row.id,
    label: row.label ?? row.id,
    serves: row.serves ?? [{}],
    tensions: row.tensions ?? [],
    groups,
    register: row.register ?? usualRegister(groups.some(({ hand }) => hand === "right")),
  };
};
