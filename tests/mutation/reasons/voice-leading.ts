import type { Reason } from "../reasons.ts";

const V = "src/voice-leading/";
const SPEED = "speed alone: the result is the same";
const LOOP = "speed alone: a start of a loop whose costs do not run together with the kept ones is worked out in full";
const BOUND = "speed alone: a start that can't win is tried all the same";

export const REASONS: readonly Reason[] = [
  { file: `${V}leading.ts`, line: "a.length === b.length", change: "→ false", why: "the general pairing of two chords of one size is that of lowest to lowest" },
  { file: `${V}leading.ts`, line: "const swap = from.length < to.length;", change: "<=", why: "of two chords of one size either may be taken for the larger" },
  { file: `${V}leading.ts`, line: 'sizeOf("euclidean", sizes)', change: '"euclidean" →', why: "squares rank as their roots do" },
  { file: `${V}leading.ts`, line: "return i >= 0 &&", why: "of answers equal in all that is documented either may be given" },
  { file: `${V}leading.ts`, line: "for (let first = 0; first < small; first++)", why: "one more round repeats the first" },
  { file: `${V}leading.ts`, line: "for (let bits = 0;", why: "more bits repeat what was tried" },
  { file: `${V}path.ts`, line: "new Set(options.without ?? [])", why: "no form has that name" },
  { file: `${V}path.ts`, line: "forbid.size === 0", why: SPEED },
  { file: `${V}memo.ts`, line: "if (before !== undefined) return before;", why: SPEED },
  { file: `${V}pairing.ts`, line: "if (from.length < to.length)", change: "<=", why: "chords of one size do not come here" },
  { file: `${V}progression.ts`, line: 'typeof chord === "string" ? chord', why: "the key of a memo only: a chord is as good a key as its symbol" },
  { file: `${V}progression.ts`, line: "1000 * p.steps + p.semitones", why: "the key of a memo only: no two pitches of a keyboard share it" },
  { file: `${V}progression.ts`, line: "const verb =", change: ">= 0", why: "what stays was left out before" },
  { file: `${V}progression.ts`, line: 'stays.join("")', why: "one name or none has nothing to join" },
  { file: `${V}solver.ts`, line: "if (endA - fromA !== endB - fromB)", why: "the general pairing of two chords of one size is that of lowest to lowest" },
  { file: `${V}solver.ts`, line: '} else if (metric === "sum") {', why: SPEED },
  { file: `${V}solver.ts`, line: "Math.round(finished(metric, size) * EUCLIDEAN_UNIT)", why: "all distances scaled alike rank alike" },
  { file: `${V}solver.ts`, line: "const sizeOf = (set: number)", why: "more room than is needed" },
  { file: `${V}solver.ts`, line: "for (let a = firstOf[from] as number;", why: "what is written beyond a pair is written over by the next or falls off the end" },
  { file: `${V}solver.ts`, line: "for (let c = 0; c < lastSize; c++)", why: "the place beyond the last is not read" },
  { file: `${V}solver.ts`, line: "kept.rest.set(here.rest, i * widest);", why: LOOP },
  { file: `${V}solver.ts`, line: "const excess =", why: LOOP },
  { file: `${V}solver.ts`, line: "for (let c = 0; c < sizeAt(i); c++)", why: LOOP },
  { file: `${V}solver.ts`, line: "kept.rest[i * widest + c]", why: LOOP },
  { file: `${V}solver.ts`, line: "Number.isNaN(m)", why: LOOP },
  { file: `${V}solver.ts`, line: "m === Infinity || (motion < Infinity", why: LOOP },
  { file: `${V}solver.ts`, line: "return motion < Infinity ?", why: LOOP },
  { file: `${V}solver.ts`, line: "if (more !== undefined)", change: "→ false", why: LOOP },
  { file: `${V}solver.ts`, line: "a.start - b.start", why: "starts with equal bounds may be tried in any order: the lower one wins in the end" },
  { file: `${V}solver.ts`, line: "if (motion === Infinity || before(bestMotion, bestRest, motion, rest)) break;", why: BOUND },
  { file: `${V}solver.ts`, line: "start < best", change: "start <= best", why: "no start is tried twice" },
  { file: `${V}solver.ts`, line: "for (let i = 0; i < last; i++)", why: "beyond the last place nothing leads on, which is the answer given there" },
];
