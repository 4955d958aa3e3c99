import { chordParserFactory } from "chord-symbol";
import { Chord as Tonal } from "tonal";
import { describe, expect, it, vi } from "vitest";
import { parseChord } from "../../src/chord/index.ts";
import type { Degree, NoteName } from "../../src/pitch/index.ts";
import { degreeInterval, transposeNote } from "../../src/pitch/index.ts";
import { semitonesOf } from "./symbols.ts";

// Many cases; a busy machine must not fail them.
vi.setConfig({ testTimeout: 120_000 });

// The grid: every quality with every pair of alterations, stacked and bracketed, and every sign with every figure and tail, on three roots.
const BASES = [
  "",
  "m",
  "7",
  "maj7",
  "m7",
  "6",
  "m6",
  "9",
  "maj9",
  "m9",
  "11",
  "m11",
  "13",
  "maj13",
  "m13",
  "dim",
  "dim7",
  "m7b5",
  "aug",
  "aug7",
  "sus4",
  "sus2",
  "7sus4",
  "9sus4",
  "13sus4",
  "mMaj7",
  "mMaj9",
  "6/9",
  "m6/9",
  "add9",
  "madd9",
  "7alt",
];
const ALTERATIONS = ["b5", "#5", "b9", "#9", "#11", "b13"];
const PAIRS = [[], ...ALTERATIONS.flatMap((a, i) => [[a], ...ALTERATIONS.slice(i + 1).map((b) => [a, b])])];
const SIGNS = ["", "M", "maj", "Δ", "m", "-", "min", "o", "°", "dim", "ø", "+", "aug"];
const FIGURES = ["", "6", "69", "6/9", "7", "9", "11", "13", "M7", "maj7"];
const TAILS = [
  "",
  "b5",
  "(b5)",
  "-5",
  "add9",
  "(add9)",
  "add11",
  "add13",
  "no3",
  "no5",
  "sus4",
  "sus",
  "sus2",
  "b9",
  "#9",
  "#11",
  "(b9,#11)",
  "(9)",
  "(13)",
  "/E",
];

const reads = (symbol: string): boolean => {
  try {
    parseChord(symbol);
    return true;
  } catch {
    return false;
  }
};
const SUFFIXES = [
  ...new Set([
    ...BASES.flatMap((base) =>
      PAIRS.flatMap((pair) => [base + pair.join(""), ...(pair.length === 0 ? [] : [`${base}(${pair.join(",")})`])]),
    ),
    ...SIGNS.flatMap((sign) => FIGURES.flatMap((figure) => TAILS.map((tail) => sign + figure + tail))),
  ]),
].filter((suffix) => !/^[b#]/.test(suffix) && reads(`C${suffix}`));
const GRID = ["C", "Ab", "F#"].flatMap((root) => SUFFIXES.map((suffix) => ({ root, suffix, symbol: root + suffix })));

/** A kind of disagreement: what the peer does to our degrees, where, and why ours stands. */
interface Difference {
  readonly id: string;
  readonly reason: string;
  /** The peer's degrees from ours; the same array where the class does not apply. */
  readonly theirs: (degrees: readonly string[], suffix: string) => readonly string[];
}

const without = (degrees: readonly string[], ...gone: readonly string[]) =>
  degrees.some((d) => gone.includes(d)) ? degrees.filter((d) => !gone.includes(d)) : degrees;
const withAlso = (degrees: readonly string[], ...more: readonly string[]) =>
  more.every((d) => degrees.includes(d)) ? degrees : [...new Set([...degrees, ...more])];
const swap = (degrees: readonly string[], from: string, to: string) =>
  degrees.includes(from) ? [...degrees.filter((d) => d !== from), to] : degrees;

const FLAT_13: Difference = {
  id: "b13 beside the fifth",
  reason:
    "The peer drops the 5th under a b13. An alteration replaces the natural of its own number only (13); b13 is an extension and #5 the alteration in Terefenko's families, and MusicXML adds 13 to a kind that holds its 5th. Leaving the 5th out is the voicing's choice.",
  theirs: (degrees, suffix) => (/b13/.test(suffix) ? without(degrees, "5") : degrees),
};
const ELEVEN: Difference = {
  id: "11 keeps the third",
  reason:
    "The peer leaves the major third out of an 11th chord. MusicXML's dominant-11th and major-11th hold the major third; who wants the suspension writes 9sus4.",
  theirs: (degrees, suffix) => (/^(?:M|maj|Δ|\+|aug)?(?:maj|M)?11/.test(suffix) ? without(degrees, "3") : degrees),
};

const TONAL_DIFFERENCES: readonly Difference[] = [
  FLAT_13,
  ELEVEN,
  {
    id: "b5 is a fifth",
    reason:
      "tonal spells the flat fifth as #11 and puts the natural fifth beside it. A tone keeps the letter of its degree, and 7b5 has no natural fifth.",
    theirs: (degrees, suffix) =>
      /b5/.test(suffix) && degrees.includes("b5") ? withAlso(swap(degrees, "b5", "#11"), "5") : degrees,
  },
  {
    id: "#5 is a fifth",
    reason: "tonal spells the sharp fifth of a minor seventh as b6. A tone keeps the letter of its degree.",
    theirs: (degrees, suffix) => (/^m[79]#5$/.test(suffix) ? swap(degrees, "#5", "b6") : degrees),
  },
  {
    id: "alt is four tensions",
    reason:
      "tonal has #5 and #9 only. alt stands for all of b9, #9, #11, b13 (table of chord symbols; Terefenko's chromatic extensions).",
    theirs: (degrees, suffix) => (suffix === "7alt" ? swap(without(degrees, "b9", "#11"), "b13", "#5") : degrees),
  },
  {
    id: "add13 adds 13 only",
    reason: "tonal's maj7add13 holds a ninth. add names one tone (common practice).",
    theirs: (degrees, suffix) => (/add13/.test(suffix) ? withAlso(degrees, "9") : degrees),
  },
  {
    id: "a slash bass is no chord tone",
    reason:
      "tonal lists a foreign bass among the tones. Ours has a field of its own, so that a bass does not enter a voicing twice.",
    theirs: (degrees, suffix) => (/\/E$/.test(suffix) ? [...degrees, "E"] : degrees),
  },
];

const CHORD_SYMBOL_DIFFERENCES: readonly Difference[] = [
  FLAT_13,
  ELEVEN,
  {
    id: "13 without 11",
    reason: "chord-symbol puts 11 into a minor 13. 13 implies 9 and 7, not 11 (MacDonald).",
    theirs: (degrees, suffix) =>
      /^(?:m(?!aj)|-|ø|o|°|dim).*13/.test(suffix) && !/(?<!13)add13|b13/.test(suffix)
        ? withAlso(degrees, "11")
        : degrees,
  },
  {
    id: "dim keeps its seventh",
    reason:
      "chord-symbol gives dim9 and beyond a minor seventh. The seventh of a diminished chord is diminished at every figure (MusicXML's diminished-seventh; Terefenko lists 9 and 11 as extensions of dim7).",
    theirs: (degrees, suffix) => (/^(?:o|°|dim)(?:9|11|13)/.test(suffix) ? swap(degrees, "bb7", "b7") : degrees),
  },
  {
    id: "a bracketed figure adds one tone",
    reason:
      "chord-symbol overlooks brackets, so that C(9) is C9 there. Brackets add what stands in them: 7(13) is common for 13 without 9.",
    theirs: (degrees, suffix) =>
      /\((?:9|13)\)$/.test(suffix)
        ? withAlso(
            degrees,
            "9",
            degrees.find((degree) => /^b*7$/.test(degree)) ?? (/^(?:M|maj)/.test(suffix) ? "7" : "b7"),
          )
        : degrees,
  },
];

interface Verdict {
  readonly symbol: string;
  readonly ours: string;
  readonly theirs: string;
  readonly classes: readonly string[];
  readonly explained: boolean;
}

const compare = (
  differences: readonly Difference[],
  suffix: string,
  symbol: string,
  degrees: readonly string[],
  theirs: string,
  show: (degrees: readonly string[]) => string,
): Verdict | undefined => {
  const ours = show(degrees);
  if (ours === theirs) return undefined;
  // Each subset of the classes that apply, in order; the smallest that yields the peer's answer explains it.
  const applying = differences.filter((difference) => difference.theirs(degrees, suffix) !== degrees);
  for (let size = 1; size <= applying.length; size++) {
    for (let subset = 0; subset < 1 << applying.length; subset++) {
      const chosen = applying.filter((_, i) => (subset >> i) % 2 === 1);
      if (
        chosen.length === size &&
        show(chosen.reduce((d, difference) => difference.theirs(d, suffix), degrees)) === theirs
      ) {
        return { symbol, ours, theirs, classes: chosen.map((difference) => difference.id), explained: true };
      }
    }
  }
  return { symbol, ours, theirs, classes: applying.map((d) => d.id), explained: false };
};

interface Tally {
  readonly compared: number;
  readonly unexplained: readonly Verdict[];
  readonly classes: ReadonlySet<string>;
}

/** Compares every symbol of the grid that the peer reads; `read` gives its answer as `show` writes ours. */
const tally = (
  differences: readonly Difference[],
  show: (degrees: readonly string[], root: string) => string,
  read: (symbol: string, root: string) => string | undefined,
): Tally => {
  let compared = 0;
  const verdicts: Verdict[] = [];
  for (const { root, suffix, symbol } of GRID) {
    const theirs = read(symbol, root);
    if (theirs === undefined) continue;
    compared++;
    const verdict = compare(
      differences,
      suffix,
      symbol,
      parseChord(symbol).tones.map((tone) => tone.degree),
      theirs,
      (degrees) => show(degrees, root),
    );
    if (verdict !== undefined) verdicts.push(verdict);
  }
  return {
    compared,
    unexplained: verdicts.filter((verdict) => !verdict.explained),
    classes: new Set(verdicts.flatMap((verdict) => verdict.classes)),
  };
};

const spelled = (notes: readonly string[]) => [...new Set(notes)].sort().join(" ");
const pitchClasses = (degrees: readonly string[]) =>
  [...new Set(degrees.map((degree) => semitonesOf(degree) % 12))].sort((a, b) => a - b).join(" ");

describe("peers over a generated grid", () => {
  it("the grid has thousands of different symbols, every one of them read", () => {
    expect(new Set(GRID.map(({ symbol }) => symbol)).size).toBe(GRID.length);
    expect(GRID.length).toBeGreaterThan(9000);
  });

  it("tonal 6.4.3: spelled notes agree, or the disagreement is of a listed class", () => {
    const { compared, unexplained, classes } = tally(
      TONAL_DIFFERENCES,
      (degrees, root) =>
        spelled(
          degrees.map((degree) =>
            /^[A-G]/.test(degree) ? degree : transposeNote(root as NoteName, degreeInterval(degree as Degree)),
          ),
        ),
      (symbol) => {
        const { empty, notes } = Tonal.get(symbol);
        return empty ? undefined : spelled(notes);
      },
    );
    expect(unexplained).toEqual([]);
    // tonal knows chords by dictionary entry, so most of the grid it can't read.
    expect(compared).toBeGreaterThan(400);
    expect([...classes].sort()).toEqual(TONAL_DIFFERENCES.map((difference) => difference.id).sort());
  });

  it("chord-symbol 4.0: sounding tones agree, or the disagreement is of a listed class", () => {
    const parse = chordParserFactory();
    const { compared, unexplained, classes } = tally(
      CHORD_SYMBOL_DIFFERENCES,
      pitchClasses,
      // It gives intervals above the root and no spelling, so one root says all.
      (symbol, root) => {
        const chord = root === "C" ? parse(symbol) : undefined;
        return chord !== undefined && "normalized" in chord ? pitchClasses(chord.normalized.intervals) : undefined;
      },
    );
    expect(unexplained).toEqual([]);
    expect(compared).toBeGreaterThan(2900);
    expect([...classes].sort()).toEqual(CHORD_SYMBOL_DIFFERENCES.map((difference) => difference.id).sort());
  });
});
