import { bandDrift, bandElsewhere, offTheBand } from "./band.ts";
import type { FindingRule } from "./finding.ts";
import { leftOut, pauses, restarts } from "./flow.ts";
import { otherKey } from "./key.ts";
import { extraNotes, missedNotes, troubleSpot } from "./notes.ts";
import { swingEvenness, swingRatio, tripletEvenness, unevenTiming, wrongRhythm } from "./rhythm.ts";
import { balance, detached, pedalBlur, stiffAccents } from "./sound.ts";
import { drift, otherTempo, sway } from "./tempo.ts";
import { chordSpread, handsApart, heldShort, unevenTouch } from "./touch.ts";
import { wrongNotes } from "./wrong-notes.ts";

/** Everything that an assessment can find, in the order in which equals are told. */
export const FINDING_RULES: readonly FindingRule[] = [
  otherKey,
  leftOut,
  restarts,
  pauses,
  troubleSpot,
  wrongNotes,
  missedNotes,
  extraNotes,
  bandElsewhere,
  bandDrift,
  offTheBand,
  drift,
  sway,
  otherTempo,
  wrongRhythm,
  swingRatio,
  swingEvenness,
  tripletEvenness,
  unevenTiming,
  handsApart,
  balance,
  heldShort,
  detached,
  pedalBlur,
  chordSpread,
  stiffAccents,
  unevenTouch,
];
