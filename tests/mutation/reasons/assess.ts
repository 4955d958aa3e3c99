import type { Reason } from "../reasons.ts";

const LIMIT = "a limit of our own, which an onset would have to meet to the last bit";
const FLOAT = "the two sides are never equal in floating point";
const GUARD = "a guard against rounding, set so low that no take of notes comes near it";
const HIDDEN = "only how quickly, or how far beyond what matters, something is looked for";

export const REASONS: readonly Reason[] = [
  { file: "src/assess/swing-measure.ts", line: "const isPair", change: "first < 0.25", why: LIMIT },
  { file: "src/assess/swing-measure.ts", line: "const isPair", change: "second > 0.4", why: LIMIT },
  { file: "src/assess/clock.ts", line: "const near = [", why: "how many neighbours tell the pace nearby is our own choice; that they are near is tested" },
  { file: "src/assess/clock.ts", line: "near.length === 0", change: "false", why: "the middle of nothing is no number, and no gap is longer than that" },
  { file: "src/assess/clock.ts", line: "if (least > Math.max(STOP_BEATS", change: ">=", why: LIMIT },
  { file: "src/assess/clock.ts", line: "const bisquare", change: "> 1", why: "at 1 the weight is 0 either way" },
  { file: "src/assess/clock.ts", line: "beat <= beat + REACH * step", change: "<", why: "a note at the very edge weighs less than a millionth" },
  { file: "src/assess/clock.ts", line: "beat < beat - REACH * step", change: "<=", why: "a note at the very edge weighs less than a millionth" },
  { file: "src/assess/clock.ts", line: "const unit = step * step", why: GUARD },
  { file: "src/assess/clock.ts", line: "parabola > 1e-6", change: "1e-6", why: GUARD },
  { file: "src/assess/clock.ts", line: "line > 1e-6", change: "1e-6", why: GUARD },
  { file: "src/assess/clock.ts", line: "if ((xs[middle] as number) <= x)", change: "<", why: "at a point both lines that meet there tell the same" },
  { file: "src/assess/clock.ts", line: "while (found + 1 < edges.length && beat >=", change: ">", why: FLOAT },
  { file: "src/assess/clock.ts", line: "while (found + 1 < edges.length && seconds >=", change: ">", why: LIMIT },
  { file: "src/assess/findings/key.ts", line: "by > 0", change: ">= 0", why: "a distance of 0 is never told" },
  { file: "src/assess/findings/rhythm.ts", line: "Math.abs(off) <= SWING_SHARE", change: "<", why: FLOAT },
  { file: "src/assess/findings/tempo.ts", line: "<= OTHER_TEMPO", change: "<", why: FLOAT },
  { file: "src/assess/findings/tempo.ts", line: "const slower = played < asked", change: "<=", why: "equal tempos are no finding" },
  { file: "src/assess/findings/tempo.ts", line: "<= DRIFT", change: "<", why: FLOAT },
  { file: "src/assess/findings/tempo.ts", line: "change > 0", change: ">= 0", why: "no change is no finding" },
  { file: "src/assess/places.ts", line: "groups.length > 1", change: ">= 1", why: "a single note is not come to from anywhere" },
  { file: "src/assess/places.ts", line: "const outward", change: "/", why: "times 1 or -1 is divided by 1 or -1" },
  { file: "src/assess/places.ts", line: "places.length - 1", change: "+ 1", why: HIDDEN },
  { file: "src/assess/cost.ts", line: "off / WINDOW", change: "*", why: "the window is 1" },
  { file: "src/assess/measures.ts", line: "reach + 1e-9", change: "< reach", why: FLOAT },
  { file: "src/assess/measures.ts", line: "m.run * RUN_APART", why: "runs lie apart either way" },
  { file: "src/assess/measures.ts", line: "notes.set(note.bar, [])", why: "what is no note is not counted" },
  { file: "src/assess/measures.ts", line: "const longest =", why: "the longest of runs of the same length, or of none" },
  { file: "src/assess/measures.ts", line: "const smooth = longest.slice", why: "two windows of four steps more or less, at the end of the longest run" },
  { file: "src/assess/measures.ts", line: "const slope =", change: "s.quarter + x", why: "distances from the mean add up to nothing, so a constant beside them changes no sum of products" },
  { file: "src/assess/measures.ts", line: "const slope =", change: "s.log + y", why: "distances from the mean add up to nothing, so a constant beside them changes no sum of products" },
];
