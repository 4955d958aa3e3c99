import type { HeardNote } from "../heard.ts";
import { anticipates, atLeast, lengthOf } from "../heard.ts";
import { advice, nameOf } from "./names.ts";
import type { PhraseRuleRow } from "./rule.ts";
import { CORPUS } from "./rule.ts";

// Semitones above the root that are not held. A chord that holds one of them as its own tone keeps it.
const AVOIDED = { major: [5, 8], dominant: [11], minor: [4] } as const;

const PASSING = 4;

const isAvoided = ({ chord, sound }: HeardNote): boolean => {
  if (chord === undefined || chord.classes.has(sound)) return false;
  const has = (above: number): boolean => chord.classes.has((chord.root + above) % 12);
  const kind = has(4) ? (has(10) ? "dominant" : "major") : has(3) ? "minor" : undefined;
  const avoided: readonly number[] = kind === undefined ? [] : AVOIDED[kind];
  return avoided.includes((sound - chord.root + 12) % 12);
};

export const heldAvoid: PhraseRuleRow = {
  id: "held-avoid",
  title:
    "No note is held for a beat against the chord's character: the fourth or the flat sixth over a major chord, the major seventh over a dominant, the major third over a minor chord.",
  severity: "must",
  source: `${CORPUS}: 5 % of phrases hold one for a beat, 2 % for two`,
  check: (line) =>
    line.notes
      .filter((note) => atLeast(lengthOf(note), line.pulse) && isAvoided(note) && !anticipates(note, line.pulse))
      .map((note) => ({
        note,
        message: `${nameOf(note.pitch)} is held over ${note.chord?.symbol ?? "the chord"}`,
        suggestion: `pass through it, or hold ${advice(note)}`,
      })),
  // Generated lines are held to more: what rubs is not held at all, and the major seventh over a dominant only leads by semitones, between beats, from
  // the level on that knows eight-note scales.
  keep:
    ({ onBeat, held, last, level, sour, foreign }) =>
    (pitch) =>
      (foreign[pitch % 12] !== 1 || (level >= PASSING && !held && !last && !onBeat)) &&
      (!(held || last) || sour[pitch % 12] !== 1),
  lead: ({ level, foreign }, { foreign: later }) =>
    level < PASSING
      ? undefined
      : (pitch, next) => Math.abs(next - pitch) === 1 || (foreign[pitch % 12] !== 1 && later[next % 12] !== 1),
};
