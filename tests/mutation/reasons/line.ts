import type { Reason } from "../reasons.ts";

const EDGE = "times differ by far less than the tolerance, or by far more";
const TIE = "of equals either will do";
const TYPES = "a guard for the compiler alone: what it guards against does not come here";
const ROUND = "the cycle has one or two beats, so that a step on is a step back";

export const REASONS: readonly Reason[] = [
  { file: "src/line/heard.ts", line: "Math.abs(a - b) < SAME_MOMENT", change: "<=", why: EDGE },
  { file: "src/line/heard.ts", line: "value > least - SAME_MOMENT", change: ">=", why: EDGE },
  { file: "src/line/heard.ts", line: "p.semitones > best.semitones", change: ">=", why: TIE },
  { file: "src/line/fingers.ts", line: "scale === undefined", change: "→ false", why: "an absent scale and none are the same to the fingering" },
  { file: "src/line/grid.ts", line: "beat + cycle.length - 1", change: "+ 1", why: ROUND },
  { file: "src/line/harmony.ts", line: "Math.abs(candidate.semitones - to.semitones)", change: "<=", why: TIE },
  { file: "src/line/patterns/cells.ts", line: "(ladder.length - 1)", change: "ladder.length + 1", why: "a length is rounded down, and an octave has more than two notes" },
  { file: "src/line/patterns/phrasing.ts", line: "(ladder.length - 1)", change: "ladder.length + 1", why: "a length is rounded down, and an octave has more than two notes" },
  { file: "src/line/patterns/phrasing.ts", line: "place <= top", change: "<", why: "at the top both say the top" },
  { file: "src/line/patterns/chord-targets.ts", line: "here + move", change: "here - move", why: "the moves come in pairs of opposites" },
  { file: "src/line/patterns/chord-targets.ts", line: "way !== 0", change: "→ true", why: "adds the same to the first move of every way" },
  { file: "src/line/patterns/chord-targets.ts", line: "candidate.cost < known.cost", change: "<=", why: TIE },
  { file: "src/line/patterns/chord-targets.ts", line: "costOf(way) < costOf(least)", change: "<=", why: TIE },
  { file: "src/line/patterns/chord-targets.ts", line: "lengthsOf(between, i + 1 + j", change: "- j", why: ROUND },
  { file: "src/line/patterns/context.ts", line: "ladder[index]?.steps", change: "ladder[index].steps", why: TYPES },
  { file: "src/line/patterns/scale-runs.ts", line: "ladder[i + 1]?.semitones", change: "ladder[i + 1].semitones", why: TYPES },
  { file: "src/line/patterns/phrasing.ts", line: "written > 2", change: ">=", why: "no scale has its fifth for its third note" },
  { file: "src/line/patterns/chord-targets.ts", line: "high.semitones + 2", why: "above a guide tone at the very top another note a tone or a semitone up is taken" },
  { file: "src/line/spelling.ts", line: "target.steps", change: '"flats" →', why: "asked only beside doubly altered notes, where any name but theirs will do" },
  { file: "src/line/spelling.ts", line: "target.steps", change: '"sharps" →', why: "asked only beside doubly altered notes, where any name but theirs will do" },
  { file: "src/line/generate.ts", line: "heights[i - 1] !== top", change: "i + 1", why: "as many stays at the top end as begin" },
  { file: "src/line/generate.ts", line: "over[i]?.guide", change: "over[i].guide", why: TYPES },
  { file: "src/line/improvise/plan.ts", line: "AT_ONCE", change: "→ []", why: "a start that can't be drawn leaves the bar line, which is what is asked here" },
  { file: "src/line/improvise/plan.ts", line: "tries < 6", change: "<=", why: "one more start is drawn before the bar line is taken" },
  { file: "src/line/improvise/plan.ts", line: "tries < 6", change: "--", why: "a start on the bar line or after it always is late enough, so that one is drawn at last" },
  { file: "src/line/improvise/plan.ts", line: "grid.pulse > slack", change: ">=", why: "a phrase that just fits may fill its room or leave a beat of it; either keeps a beat of silence" },
  { file: "src/line/improvise/plan.ts", line: "tries < TRIES", change: "<=", why: "one more try at a phrase that its room may not hold" },
  { file: "src/line/improvise/plan.ts", line: "length > 0", change: ">=", why: "no part of a rhythm is empty" },
  { file: "src/line/improvise/plan.ts", line: "share > 0", change: ">=", why: "no part of a rhythm is empty" },
];
