import type { Reason } from "../reasons.ts";

const F = "src/fingering/";
const SPEED = "speed alone: what is worked out again is the same";

export const REASONS: readonly Reason[] = [
  { file: `${F}pattern.ts`, line: "const plain =", change: "→ false", why: SPEED },
  { file: `${F}pattern.ts`, line: "const plain =", change: "options.without === undefined", why: "a rule left out has its own place in the memo of models; end rules change no octave" },
  { file: `${F}pattern.ts`, line: "if (!plain) return", change: "→ true", why: SPEED },
  { file: `${F}pattern.ts`, line: "const key = [hand,", why: "the key of a memo: longer or run together, it still tells octaves apart" },
  { file: `${F}pattern.ts`, line: "if (kept !== undefined) return kept;", change: "→ false", why: SPEED },
  { file: `${F}pattern.ts`, line: "const oldest =", why: "the memo holds more or fewer octaves" },
  { file: `${F}pattern.ts`, line: "if (oldest !== undefined)", why: "the memo holds more or fewer octaves" },
  { file: `${F}rule-set.ts`, line: "const oldest =", why: "the memo holds more or fewer models" },
  { file: `${F}rule-set.ts`, line: "if (oldest !== undefined)", why: "the memo holds more or fewer models" },
  { file: `${F}rule-set.ts`, line: "if (kept !== undefined) return kept;", change: "→ false", why: SPEED },
  { file: `${F}model.ts`, line: "new Array(INTERVALS", why: "tables are made where they are missing" },
  { file: `${F}line.ts`, line: "const fingers: Finger[] = [];", why: "every place is written over" },
  { file: `${F}line.ts`, line: "note.kind === \"slide\"", change: "→ true", why: "one slide at most is held for a note, and only notes that are slid into are" },
  { file: `${F}line.ts`, line: "if (slid.size === 0) return;", change: "→ false", why: "without slides no run is slid into" },
  { file: `${F}line.ts`, line: "roleOf(false, pattern.get", change: "false →", why: "no rule of a line looks at the tonic" },
  { file: `${F}line.ts`, line: "(gap * 60) / tempo < FAST_SECONDS", change: "<=", why: "the limit itself is between two tempos" },
  { file: `${F}line.ts`, line: 'fast ? "fast" : "plain"', change: '"plain" →', why: "a kind without a name is no kind that a rule charges" },
  { file: `${F}line.ts`, line: "isSlide(keyColour(from)", why: "no two black keys lie a half step apart" },
  { file: `${F}line.ts`, line: "runs.at(-1)?.push(i);", why: "the first note has made a run" },
  { file: `${F}line.ts`, line: "handInterval(hand, grace.pitch, to) > 0", change: ">=", why: "a slide leads to another key" },
  { file: `${F}solve.ts`, line: "for (let f = 0; f < 5; f++)", change: "<=", why: "there is no sixth finger to be allowed" },
  { file: `${F}solve.ts`, line: "const choice = new Uint8Array", why: "more room than is needed" },
  { file: `${F}solve.ts`, line: "const length = to - from;", change: "to + from", why: "more room than is needed where a part does not begin at the first note" },
  { file: `${F}solve.ts`, line: "for (let a = 0; a < 5; a++)", change: "<=", why: "what is written beyond is written over by the next" },
  { file: `${F}solve.ts`, line: "for (let s = 0; s < 25; s++)", change: "<=", why: "nothing stands beyond the last pair" },
  { file: `${F}solve.ts`, line: "for (let i = 2; i < length; i++)", change: "<=", why: "what is written beyond the end falls off" },
  { file: `${F}solve.ts`, line: "const lists: ", why: "the place of the first note is not read" },
];
