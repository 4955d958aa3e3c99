import type { Reason } from "../reasons.ts";

const SPEED = "speed alone: what would be worked out again is the same";

export const REASONS: readonly Reason[] = [
  { file: "src/voicing/match.ts", line: "if (before !== undefined) return before;", change: "→ false", why: SPEED },
  { file: "src/voicing/match.ts", line: "if (fits.size >= MOST_KINDS) fits.clear();", why: "the memo holds more or fewer kinds; what is found is the same" },
  { file: "src/voicing/match.ts", line: 'const kind = degrees.join(" ");', why: "no two chords have the same degrees run together" },
  { file: "src/voicing/form.ts", line: 'const [has, not = ""]', why: "no chord has a degree of that name" },
  { file: "src/voicing/match.ts", line: "[1, 3, 5, 7].includes(number)", change: "[1, 3, 5, 7] → []", why: "no chord has a 10th, a 12th or a 14th" },
  { file: "src/voicing/match.ts", line: "[1, 3, 5, 7].includes(number)", change: "Stryker was here", why: "no chord has a degree of that name" },
  { file: "src/voicing/match.ts", line: "({ has = [], not = [] })", why: "every row has both lists; the defaults are for the type" },
  { file: "src/voicing/match.ts", line: "degree.replace(/^[b#]+/", why: "the accidentals of a degree stand in front, and nowhere else" },
  { file: "src/voicing/match.ts", line: "/^[b#]/.test(degree)", why: "the accidentals of a degree stand in front, and nowhere else" },
  { file: "src/voicing/place.ts", line: "let below = -1;", why: "a whole stack an octave higher is placed an octave lower afterwards" },
  { file: "src/voicing/place.ts", line: "interval", why: "the kind of an interval that never leaves the function" },
  { file: "src/voicing/limits.ts", line: "lowest.semitones >= HIGHEST_LIMIT", why: "speed alone: above the highest limit nothing is found" },
  { file: "src/voicing/voicings.ts", line: "span > OCTAVE ? [WIDE_SPAN]", change: ">=", why: "no form stretches one hand to an octave exactly" },
  { file: "src/voicing/voicings.ts", line: "others.length === 0", why: "every chord that can be read has a form in some style; the sentence is for rows to come" },
];
