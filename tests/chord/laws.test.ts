import fc from "fast-check";
import { describe, expect, it, vi } from "vitest";
import { formatChord, parseChord, transposeChord } from "../../src/chord/index.ts";
import type { IntervalName, NoteName } from "../../src/pitch/index.ts";
import { interval, negate, pitchClassOf, transposeNote } from "../../src/pitch/index.ts";
import { composed, root, semitonesOf } from "./symbols.ts";

// Many cases; a busy machine must not fail them.
vi.setConfig({ testTimeout: 120_000 });

const RUNS = { numRuns: 3000, seed: 20240 };
const LETTERS = "CDEFGAB";
const INTERVALS: readonly IntervalName[] = [
  "P1",
  "m2",
  "M2",
  "m3",
  "M3",
  "P4",
  "A4",
  "d5",
  "P5",
  "m6",
  "M6",
  "m7",
  "M7",
];
const moved = fc.constantFrom(...INTERVALS).map((name) => interval(name));
// Far roots run out of accidentals; there both sides must refuse alike.
const outcome = (run: () => unknown): unknown => {
  try {
    return run();
  } catch (error) {
    return (error as { code: string }).code;
  }
};

describe("chord laws", () => {
  it("law: a symbol has the degrees that its parts compose, in whatever order, brackets and signs", () => {
    fc.assert(
      fc.property(root, composed, (r, { suffix, degrees }) => {
        expect(parseChord(r + suffix).tones.map((tone) => tone.degree)).toEqual(degrees);
      }),
      RUNS,
    );
  });

  it("law: every tone keeps the letter of its degree and sounds at its distance, in every root", () => {
    fc.assert(
      fc.property(root, composed, (r, { suffix }) => {
        for (const { degree, note } of parseChord(r + suffix).tones) {
          const steps = Number(degree.replace(/^[b#]+/, "")) - 1;
          expect(note.charAt(0)).toBe(LETTERS.charAt((LETTERS.indexOf(r.charAt(0)) + steps) % 7));
          expect(pitchClassOf(note)).toBe((pitchClassOf(r as NoteName) + semitonesOf(degree) + 12) % 12);
        }
      }),
      RUNS,
    );
  });

  it("law: canonical text reads back as the same chord", () => {
    fc.assert(
      fc.property(root, root, fc.boolean(), composed, (r, bass, slash, { suffix }) => {
        const chord = parseChord(slash ? `${r}${suffix}/${bass}` : r + suffix);
        const again = parseChord(chord.canonical);
        expect(again).toEqual({ ...chord, symbol: chord.canonical });
        expect(chord.canonical).toMatch(/^[\x21-\x7e]+$/);
      }),
      RUNS,
    );
  });

  it("law: the printed text reads back as the same chord", () => {
    fc.assert(
      fc.property(root, composed, (r, { suffix }) => {
        const chord = parseChord(r + suffix);
        expect(parseChord(formatChord(chord)).tones).toEqual(chord.tones);
        expect(formatChord(chord)).not.toMatch(/[b#](?=[0-9])/);
      }),
      RUNS,
    );
  });

  it("law: chords of the same tones have the same canonical text, others another", () => {
    const byTones = new Map<string, string>();
    const byText = new Map<string, string>();
    fc.assert(
      fc.property(composed, ({ suffix }) => {
        const { canonical, tones } = parseChord(`C${suffix}`);
        const key = tones.map((tone) => tone.degree).join(" ");
        expect(byTones.get(key) ?? canonical).toBe(canonical);
        expect(byText.get(canonical) ?? key).toBe(key);
        byTones.set(key, canonical);
        byText.set(canonical, key);
      }),
      RUNS,
    );
  });

  it("law: transposing commutes with reading", () => {
    fc.assert(
      fc.property(root, root, fc.boolean(), composed, moved, (r, bass, slash, { suffix }, by) => {
        const at = (a: string, b: string) => (slash ? `${a}${suffix}/${b}` : a + suffix);
        const name = (note: string) => transposeNote(note as NoteName, by);
        expect(outcome(() => transposeChord(parseChord(at(r, bass)), by))).toEqual(
          outcome(() => parseChord(at(name(r), name(bass)))),
        );
      }),
      RUNS,
    );
  });

  it("law: transposing there and back changes nothing but how the root is spelled in the symbol", () => {
    fc.assert(
      fc.property(root, composed, moved, (r, { suffix }, by) => {
        const chord = parseChord(r + suffix);
        fc.pre(typeof outcome(() => transposeChord(chord, by)) === "object");
        expect(transposeChord(transposeChord(chord, by), negate(by))).toEqual(chord);
      }),
      RUNS,
    );
  });
});
