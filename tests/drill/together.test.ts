import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { compingCatalogue } from "../../src/comping/index.ts";
import { makeDrill } from "../../src/drill/index.ts";
import type { NoteEvent } from "../../src/event/index.ts";
import { fingerScale } from "../../src/fingering/index.ts";
import { isMusicError } from "../../src/ground/errors.ts";
import type { ExerciseRow } from "../../src/line/index.ts";
import { exerciseCatalogue, exerciseLine } from "../../src/line/index.ts";
import { midiNumber } from "../../src/pitch/index.ts";
import { beatsToNumber } from "../../src/time/index.ts";

const KEYS = ["C", "F", "Bb", "Eb", "Ab", "Db", "F#", "B", "E", "A", "D", "G"] as const;
const inputs = fc.record({
  key: fc.constantFrom(...KEYS),
  changes: fc.constantFrom("turnaround", "blues", "two-five-one"),
  repeats: fc.constantFrom(1, 2, 3),
  left: fc.constantFrom("shell" as const, "rootless" as const),
});
const heard = (events: readonly NoteEvent[]) =>
  events.map(({ at, duration, pitches }) => ({
    at: beatsToNumber(at),
    length: beatsToNumber(duration),
    notes: pitches.map(midiNumber),
  }));
const lower = (notes: ReturnType<typeof heard>) =>
  notes.map((one) => ({ ...one, notes: one.notes.map((note) => note - 12) }));
const isFingered = ({ pitches, fingers }: NoteEvent): boolean => fingers?.length === pitches.length;

describe("exercises of both hands", () => {
  it("law: in octaves the left hand plays what the right hand plays, an octave lower, with fingers of its own", () => {
    fc.assert(
      fc.property(inputs, (input) => {
        const { score } = makeDrill({ ...input, right: "hands-in-octaves" });
        expect(score.right.length).toBeGreaterThan(0);
        expect(heard(score.left)).toEqual(lower(heard(score.right)));
        expect([...score.left, ...score.right].every(isFingered)).toBe(true);
        const fingers = (events: readonly NoteEvent[]) => events.map((event) => event.fingers?.join()).join(" ");
        expect(fingers(score.left)).not.toBe(fingers(score.right));
      }),
      { numRuns: 30 },
    );
  });

  it("law: the left hand alone plays the scale an octave below the right hand's, which rests", () => {
    fc.assert(
      fc.property(inputs, (input) => {
        const { score, line, progression } = makeDrill({ ...input, right: "left-hand-alone" });
        expect(score.right).toEqual([]);
        const once = heard(exerciseLine("left-hand-alone", { scale: line.scale, progression }).events);
        expect(heard(score.left).slice(0, once.length)).toEqual(lower(once));
        expect(score.left.length).toBe(once.length * input.repeats);
        expect(score.left.every(isFingered)).toBe(true);
      }),
      { numRuns: 30 },
    );
    const alone = () => makeDrill({ key: "C", right: "left-hand-alone", hands: "right" });
    expect(alone).toThrow(/both hands or the left/);
    try {
      alone();
    } catch (error) {
      expect(isMusicError(error)).toBe(true);
    }
  });

  it("common practice: one octave of each major scale has the left hand's fingers that scale manuals print", () => {
    // Source: those that fingerScale gives, which are compared with published tables in tests/fingering.
    for (const key of KEYS) {
      const { score } = makeDrill({ key, right: "left-hand-alone", scale: "major", changes: "I" });
      const printed = fingerScale(`${key} major`, { hand: "left", octaves: 1 }).fingers.slice(0, 8);
      expect([key, score.left.slice(0, 8).map(({ fingers }) => fingers?.[0])]).toEqual([key, printed]);
    }
    const { score } = makeDrill({ key: "C", right: "left-hand-alone", scale: "major", changes: "I" });
    expect(score.left.slice(0, 8).map(({ fingers }) => fingers?.join())).toEqual("5 4 3 2 1 3 2 1".split(" "));
  });

  it("law: block chords hang four notes under the melody within an octave, chord tones under chord tones, the sixth for a major seventh, minor thirds under the others", () => {
    fc.assert(
      fc.property(inputs, (input) => {
        const { score, progression } = makeDrill({ ...input, right: "block-chords" });
        const melody = heard(score.right).map(({ at, length, notes }) => ({ at, length, notes: notes.slice(-1) }));
        expect(heard(score.left)).toEqual(lower(melody));
        const turn = 4 * progression.bars;
        for (const { at, notes } of heard(score.right)) {
          expect(notes).toHaveLength(4);
          expect([...notes].sort((a, b) => a - b)).toEqual(notes);
          const [lowest = 0, , , top = 0] = notes;
          expect(top - lowest).toBeLessThan(12);
          const chord = progression.chords.findLast((span) => beatsToNumber(span.at) <= (at % turn) + 1e-9)?.chord;
          const root = midiNumber(`${chord?.root ?? "C"}4` as "C4");
          const sounds =
            chord?.tones.map(({ note, degree }) =>
              degree === "7" ? (root + 9) % 12 : midiNumber(`${note}4` as "C4") % 12,
            ) ?? [];
          if (sounds.includes(top % 12) && sounds.length === 4)
            expect(notes.every((note) => sounds.includes(note % 12))).toBe(true);
          else if (sounds.length === 4) expect(notes).toEqual([top - 9, top - 6, top - 3, top]);
        }
        expect([...score.left, ...score.right].every(isFingered)).toBe(true);
      }),
      { numRuns: 30 },
    );
  });

  it("a comping figure against eighths: the exercise's own, unless the recipe names another or the metre lacks it", () => {
    const rows = exerciseCatalogue.flatMap((row: ExerciseRow) => (row.comping === undefined ? [] : [row]));
    expect(rows.length).toBeGreaterThan(1);
    expect(rows.every(({ comping }) => compingCatalogue.some(({ id }) => id === comping))).toBe(true);
    for (const right of ["fours-over-charleston", "thirds-over-offbeats"] as const) {
      const own = exerciseCatalogue.find(({ id }) => id === right);
      expect(makeDrill({ key: "F", right }).comping.id).toBe(own !== undefined && "comping" in own ? own.comping : "");
      expect(makeDrill({ key: "F", right, comping: "held" }).comping.id).toBe("held");
      expect(makeDrill({ key: "F", right, metre: "12/8" }).score.left.length).toBeGreaterThan(0);
    }
    const { score } = makeDrill({ key: "F", right: "fours-over-charleston", changes: "I" });
    // The Charleston: a dotted quarter on one, then an eighth on the and of two.
    expect(score.left.slice(0, 2).map(({ at }) => beatsToNumber(at))).toEqual([0, 1.5]);
  });
});
