import type { Reason } from "../reasons.ts";

const F = "src/fingering/";
const TABLE = "the key of a table: another one, but still one of its own for each window (all of them compared)";
const NO_BLACKS = "no two black keys lie a half step apart";

export const REASONS: readonly Reason[] = [
  { file: `${F}ends.ts`, line: "const EVANSVILLE =", why: "the name of a source, which no test should pin word for word" },
  { file: `${F}ends.ts`, line: "const BERINGER =", why: "the name of a source, which no test should pin word for word" },
  { file: `${F}model.ts`, line: "export const MOVE_KINDS", change: '"plain" →', why: "a kind without a name is no kind that a rule charges" },
  { file: `${F}model.ts`, line: "const key = ((a * 64", change: " - ", why: TABLE },
  { file: `${F}sentence.ts`, line: "isSlide(keyColour(from)", why: NO_BLACKS },
  { file: `${F}scale.ts`, line: "options.without ?? []", why: "no end rule has that name" },
  { file: `${F}pattern.ts`, line: "const fingers = new Array<Finger>(length);", why: "every place is written over" },
  { file: `${F}pattern.ts`, line: "keyColour({ kind:", why: "a colour is asked of the semitones alone" },
  { file: `${F}recognise.ts`, line: "new Array<Finger>(pitches.length)", why: "every place is written over" },
  { file: `${F}recognise.ts`, line: "const rises =", change: "<=", why: "a leg of whole octaves does not end where it began" },
  { file: `${F}recognise.ts`, line: "withEnds(rising,", change: "Stryker was here", why: "no end rule has that name" },
  { file: `${F}recognise.ts`, line: "from = pitches[leg.to + 1]", change: "pitches[leg.to]?.", why: "a leg ends on a note" },
  { file: `${F}recognise.ts`, line: "legs.length === 0", change: "→ false", why: "one note is no scale, and no fingers are no fingers" },
  { file: `${F}recognise.ts`, line: "i + size <= to", change: "i + size < to", why: "where all octaves but the last are octaves and the whole is, so is the last" },
  { file: `${F}spans.ts`, line: "from === to ?", change: "from <= to", why: "the same finger has been told apart before" },
  { file: `${F}line.ts`, line: "const fingers: Finger[] = [];", why: "every place is written over" },
  { file: `${F}line.ts`, line: "if (slid.size === 0) return;", change: "→ false", why: "without slides no run is slid into" },
  { file: `${F}line.ts`, line: "(gap * 60) / tempo < FAST_SECONDS", change: "<=", why: "fast is closer than about a seventh of a second; the limit itself is told nowhere" },
  { file: `${F}line.ts`, line: 'fast ? "fast" : "plain"', change: '"plain" →', why: "a kind without a name is no kind that a rule charges" },
  { file: `${F}line.ts`, line: "isSlide(keyColour(from)", why: NO_BLACKS },
  { file: `${F}line.ts`, line: "handInterval(hand, grace.pitch, to) > 0", change: ">=", why: "a slide onto its own key is none: it matters to nobody which of the two fingers comes first" },
  { file: `${F}solve.ts`, line: "if (length === 1) return", change: "→ true", why: "speed and room alone: the other solver finds the same (6,000 passages compared, with random weights)" },
  { file: `${F}solve.ts`, line: "const triples = i < length - 1 ? tripleTable(model, passage, i - 1, i, i + 1) : NO_CHARGE;", change: "length - 1", why: "what would follow the last note is undefined, and costs all fingers alike (6,000 passages compared, with random weights)" },
  { file: `${F}solve.ts`, line: "% length] as number) + 1 : 0;", change: "as number) - 1", why: "no rule tells a black neighbour from none (6,000 passages compared, with random weights)" },
  { file: `${F}solve.ts`, line: "for (let a = 0; a < 5; a++)", change: "<=", why: "there is no sixth finger to be allowed, and what is written beyond the last pair falls off" },
  { file: `${F}solve.ts`, line: "for (let s = 0; s < 25; s++)", change: "<=", why: "nothing stands beyond the last pair" },
  { file: `${F}solve.ts`, line: "for (let i = 1; i < length; i++)", change: "<=", why: "what is written beyond the end falls off" },
  { file: `${F}solve.ts`, line: "const lists: ", why: "the place of the first note is not read" },
];
