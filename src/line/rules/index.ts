import * as v from "valibot";
import { shapeOf } from "../../ground/check.ts";
import type { Door } from "../../ground/door.ts";
import { door, rowFields } from "../../ground/door.ts";
import { blueThird } from "./blue-third.ts";
import { breath } from "./breath.ts";
import { chromaticResolves } from "./chromatic-resolves.ts";
import { clearEnd } from "./clear-end.ts";
import { clearStart } from "./clear-start.ts";
import { contour } from "./contour.ts";
import { density } from "./density.ts";
import { graceNeighbour } from "./grace-neighbour.ts";
import { heldClash } from "./held-clash.ts";
import { leapRecovery } from "./leap-recovery.ts";
import { leapSize } from "./leap-size.ts";
import { motifAnswered } from "./motif-answered.ts";
import { oneVoice } from "./one-voice.ts";
import { phraseLength } from "./phrase-length.ts";
import { range } from "./range.ts";
import { repeats } from "./repeats.ts";
import { restingNote } from "./resting-note.ts";
import type { PhraseRuleRow } from "./rule.ts";
import { strongBeats } from "./strong-beats.ts";

/** The rules that `checkLine` holds a line to, in the order in which findings of one moment are told. */
export const phraseRuleCatalogue: readonly PhraseRuleRow[] = [
  oneVoice,
  range,
  clearStart,
  clearEnd,
  restingNote,
  breath,
  blueThird,
  chromaticResolves,
  heldClash,
  graceNeighbour,
  phraseLength,
  strongBeats,
  leapRecovery,
  leapSize,
  repeats,
  contour,
  motifAnswered,
  density,
];

/** What a rule must be. */
export const phraseRuleRowSchema = /* @__PURE__ */ v.strictObject({
  ...rowFields,
  severity: /* @__PURE__ */ v.picklist(["must", "should"]),
  check: /* @__PURE__ */ shapeOf(
    (value): value is PhraseRuleRow["check"] => typeof value === "function",
    "a function from a heard line to its breaches",
  ),
});

/** Rules of phrasing, shipped and brought. */
export const phraseRuleRow: Door<PhraseRuleRow> = /* @__PURE__ */ door<PhraseRuleRow>(
  phraseRuleCatalogue,
  phraseRuleRowSchema,
  "line/rule",
  "a rule of phrasing",
);
