import fc from "fast-check";
import { describe, expect, it } from "vitest";
import type { NoteEvent, Score } from "../all.ts";
import {
  addBeats,
  barStart,
  beatsToNumber,
  compareBeats,
  makeScore,
  midiNumber,
  parseKey,
  scoreFromJson,
  scoreToJson,
  sliceScore,
  transposeScore,
} from "../all.ts";
import { anyScore } from "./arbitrary.ts";

const KEYS = ["C", "F", "Bb", "Eb", "Ab", "Db", "F#", "B", "E", "A", "D", "G"] as const;
const inSemitones = (events: readonly NoteEvent[]): readonly (readonly number[])[] =>
  events.map((event) => event.pitches.map(midiNumber));

/** A score in a key that has room for double accidentals to move. */
const plain = anyScore({ backing: true }).map((score): Score => score);

const moved = (score: Score, key: string, way?: "up" | "down"): Score | undefined => {
  try {
    return transposeScore(score, key, { way });
  } catch (error) {
    // A chromatic note in a key of many flats may need a fourth accidental, and says so.
    expect(String(error)).toMatch(/pitch\/(unspellable|name|midi-range)/);
    return undefined;
  }
};

describe("transposeScore", () => {
  it("law: every note moves by the same number of keys, and that number is the one between the tonics", () => {
    let seen = 0;
    fc.assert(
      fc.property(
        plain,
        fc.constantFrom(...KEYS),
        fc.constantFrom("up" as const, "down" as const),
        (score, tonic, way) => {
          if (score.key.mode === "minor") return;
          const other = moved(score, tonic, way);
          if (other === undefined) return;
          seen++;
          const classes = { C: 0, D: 2, E: 4, F: 5, G: 7, A: 9, B: 11 };
          const classOf = (name: string): number =>
            [...name].reduce(
              (sum, sign) => sum + (sign === "b" ? -1 : sign === "#" ? 1 : (classes[sign as "C"] ?? 0)),
              0,
            );
          const by = (((classOf(tonic) - classOf(score.key.tonic)) % 12) + 12) % 12;
          const expected = way === "down" && by > 0 ? by - 12 : by;
          for (const part of ["right", "left", "bass"] as const) {
            const before = inSemitones(score[part] ?? []);
            expect(inSemitones(other[part] ?? [])).toEqual(before.map((chord) => chord.map((midi) => midi + expected)));
          }
          expect(other.chords.map(({ at }) => at)).toEqual(score.chords.map(({ at }) => at));
          expect(other.drums).toEqual(score.drums);
          expect(other.right.every((event) => event.fingers === undefined)).toBe(true);
        },
      ),
      { numRuns: 80 },
    );
    expect(seen).toBeGreaterThan(30);
  });

  it("law: there and back is the score that it was", () => {
    let seen = 0;
    fc.assert(
      fc.property(plain, fc.constantFrom(...KEYS), (score, tonic) => {
        if (score.key.mode === "minor") return;
        const other = moved(score, tonic, "up");
        if (other === undefined) return;
        seen++;
        const back = transposeScore(other, score.key, { way: "down" });
        expect(back.right.map(({ pitches }) => pitches)).toEqual(score.right.map(({ pitches }) => pitches));
        expect(back.chords.map(({ chord }) => chord?.canonical)).toEqual(
          score.chords.map(({ chord }) => chord?.canonical),
        );
      }),
      { numRuns: 60 },
    );
    expect(seen).toBeGreaterThan(20);
  });

  it("goes the nearer way unless told otherwise, and up for a tritone", () => {
    const score = makeScore({
      key: "C",
      metre: "4/4",
      bars: 1,
      right: [
        {
          at: { num: 0, den: 1 },
          duration: { num: 4, den: 1 },
          pitches: [{ kind: "pitch", steps: 28, semitones: 48 }],
        },
      ],
    });
    const to = (key: string): number | undefined => inSemitones(transposeScore(score, key).right)[0]?.[0];
    expect([to("A"), to("D"), to("F#"), to("G"), to("C")]).toEqual([57, 62, 66, 55, 60]);
    expect(() => transposeScore(score, parseKey("A minor"))).toThrowError(
      expect.objectContaining({ code: "score/mode" }),
    );
    expect(transposeScore({ ...score, key: parseKey("C minor") }, "A").key).toEqual(parseKey("A minor"));
  });
});

describe("sliceScore", () => {
  it("law: what starts in the bars is there at its place, and nothing else", () => {
    fc.assert(
      fc.property(anyScore(), fc.nat(), fc.nat(), (score, a, b) => {
        const from = (a % score.bars) + 1;
        const to = from + (b % (score.bars - from + 1));
        const slice = sliceScore(score, from, to);
        expect(slice.bars).toBe(to - from + 1);
        const start = barStart(from, score.metre);
        const end = barStart(to + 1, score.metre);
        for (const part of ["right", "left"] as const) {
          const inside = score[part].filter(
            ({ at }) => (from === 1 || compareBeats(at, start) >= 0) && compareBeats(at, end) < 0,
          );
          expect(inSemitones(slice[part])).toEqual(inSemitones(inside));
          slice[part].forEach((event, i) => {
            const whole = inside[i] ?? expect.fail("a note too many");
            expect(beatsToNumber(event.at)).toBeCloseTo(beatsToNumber(whole.at) - beatsToNumber(start), 9);
            const most = beatsToNumber(end) - beatsToNumber(whole.at);
            expect(beatsToNumber(event.duration)).toBeCloseTo(Math.min(beatsToNumber(whole.duration), most), 9);
          });
        }
        const held = score.chords.filter(
          (span) => compareBeats(addBeats(span.at, span.duration), start) > 0 && compareBeats(span.at, end) < 0,
        );
        expect(slice.chords.map(({ chord }) => chord?.symbol)).toEqual(held.map(({ chord }) => chord?.symbol));
      }),
      { numRuns: 80 },
    );
  });

  it("law: all the bars are the whole score", () => {
    fc.assert(
      fc.property(anyScore(), (score) => {
        expect(sliceScore(score, 1, score.bars)).toEqual(score);
      }),
      { numRuns: 40 },
    );
  });
});

describe("the recipe of a score", () => {
  const score = (recipe: Readonly<Record<string, unknown>>): Score =>
    makeScore({ key: "C", metre: "4/4", bars: 1, recipe });

  it("is kept through JSON, and is gone where the score is no longer what the recipe makes", () => {
    const recipe = { kind: "drill", key: "Eb", left: [{ id: "own", degrees: ["3", "7"] }], pickup: null, tempo: 90.5 };
    const own = score(recipe);
    expect(scoreFromJson(JSON.stringify(scoreToJson(own))).recipe).toEqual(recipe);
    expect("recipe" in transposeScore(own, "D")).toBe(false);
    expect("recipe" in sliceScore(own, 1, 1)).toBe(false);
  });

  it.each<[string, Record<string, unknown>]>([
    ["a function", { right: () => 1 }],
    ["no number", { tempo: Number.NaN }],
    ["undefined", { tempo: undefined }],
    ["a date", { on: new Date(0) }],
    ["a long text", { text: "x".repeat(1_000_001) }],
  ])("can't hold %s", (_, recipe) => {
    expect(() => score(recipe)).toThrowError(expect.objectContaining({ code: "score/argument" }));
  });

  it("can't hold a circle", () => {
    const round: Record<string, unknown> = {};
    round.self = round;
    expect(() => score(round)).toThrowError(expect.objectContaining({ code: "score/argument" }));
  });
});
