import * as v from "valibot";
import { shapeOf } from "../../ground/check.ts";
import type { Door } from "../../ground/door.ts";
import { door, rowFields } from "../../ground/door.ts";
import { breath } from "./breath.ts";
import { chromaticResolves } from "./chromatic-resolves.ts";
import { density } from "./density.ts";
import { graceNeighbour } from "./grace-neighbour.ts";
import { heldAvoid } from "./held-avoid.ts";
import { heldClash } from "./held-clash.ts";
import { leapRecovery } from "./leap-recovery.ts";
import { leapSize } from "./leap-size.ts";
import { narrow } from "./narrow.ts";
import { oneVoice } from "./one-voice.ts";
import { phraseLength } from "./phrase-length.ts";
import { range } from "./range.ts";
import type { CountingRule } from "./rare.ts";
import { rare } from "./rare.ts";
import { repeats } from "./repeats.ts";
import { restingNote } from "./resting-note.ts";
import type { PhraseRuleRow } from "./rule.ts";
import { seesaw } from "./seesaw.ts";
import { speed } from "./speed.ts";

/** The rules that count something in each phrase and tell of what is rare. */
export const COUNTING_RULES: readonly CountingRule[] = [
  restingNote,
  chromaticResolves,
  phraseLength,
  breath,
  density,
  leapSize,
  leapRecovery,
  repeats,
  seesaw,
  narrow,
];

/**
 * The rules that `checkLine` holds a line to, in the order in which findings of one moment are told: first what no competent player
 * does, then what is rare in the corpus.
 */
export const phraseRuleCatalogue: readonly PhraseRuleRow[] = /* @__PURE__ */ (() => [
  oneVoice,
  range,
  speed,
  heldAvoid,
  heldClash,
  graceNeighbour,
  ...COUNTING_RULES.map(rare),
])();

/** What a rule must be. */
export const phraseRuleRowSchema = /* @__PURE__ */ v.strictObject({
  ...rowFields,
  severity: /* @__PURE__ */ v.picklist(["must", "unusual"]),
  check: /* @__PURE__ */ shapeOf(
    (value): value is PhraseRuleRow["check"] => typeof value === "function",
    "a function from a heard line to its breaches",
  ),
  keep: /* @__PURE__ */ v.optional(
    /* @__PURE__ */ shapeOf(
      (value): value is NonNullable<PhraseRuleRow["keep"]> => typeof value === "function",
      "a function from an open note to a test of pitches",
    ),
  ),
  lead: /* @__PURE__ */ v.optional(
    /* @__PURE__ */ shapeOf(
      (value): value is NonNullable<PhraseRuleRow["lead"]> => typeof value === "function",
      "a function from two open notes to a test of pitches",
    ),
  ),
});

/** Rules of phrasing, shipped and brought. */
export const phraseRuleRow: Door<PhraseRuleRow> = /* @__PURE__ */ door<PhraseRuleRow>(
  phraseRuleCatalogue,
  phraseRuleRowSchema,
  "line/rule",
  "a rule of phrasing",
);
