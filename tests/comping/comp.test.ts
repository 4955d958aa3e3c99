import fc from "fast-check";
import { describe, expect, it } from "vitest";
import type { LaidOutChord } from "../../src/comping/index.ts";
import { comp, compingCatalogue, compingPattern } from "../../src/comping/index.ts";
import { pitch, pitchName } from "../../src/pitch/index.ts";
import { addBeats, barPosition, beats, beatsOf, compareBeats, formatBeats, metre } from "../../src/time/index.ts";

const C_SHELL = { root: pitch("C3"), fifth: pitch("G2"), chord: [pitch("E3"), pitch("B3")], all: [pitch("C3"), pitch("E3"), pitch("B3")] };
const A_SHELL = { root: pitch("A2"), fifth: pitch("E2"), chord: [pitch("G3"), pitch("C4")], all: [pitch("A2"), pitch("G3"), pitch("C4")] };

const described = (chords: readonly LaidOutChord[], pattern: "held" | "root-then-chord", pickup: boolean): string[] =>
  comp(chords, { metre: metre("4/4"), pattern, pickup }).map((e) => `${formatBeats(e.at)}+${formatBeats(e.duration)} ${e.pitches.map(pitchName).join(" ")}`);

const twoBars: readonly LaidOutChord[] = [{ at: beats(0), duration: beats(4), ...C_SHELL }, { at: beats(4), duration: beats(4), ...A_SHELL }];

// Chords on any half beat, back to back, of any half-beat lengths.
const anyChords = fc.array(fc.integer({ min: 1, max: 12 }), { minLength: 1, maxLength: 12 }).map((halves) => {
  let at = 0;
  return halves.map((half, i): LaidOutChord => {
    const chord = { at: beatsOf(at, 2), duration: beatsOf(half, 2), ...(i % 2 === 0 ? C_SHELL : A_SHELL) };
    at += half;
    return chord;
  });
});
const patterns = fc.constantFrom(...compingCatalogue.map((row) => row.id));

describe("comping", () => {
  // Issue's words for the left hand: root on 1 then chord; chord held; both with a quick pickup, 5th then root, on the
  // last triplet of the bar before. Common practice, no source.
  it("common practice: root on one, then the chord", () => {
    expect(described(twoBars, "root-then-chord", false)).toEqual(["0+1 C3", "1+3 E3 B3", "4+1 A2", "5+3 G3 C4"]);
  });

  it("common practice: the chord held", () => {
    expect(described(twoBars, "held", false)).toEqual(["0+4 C3 E3 B3", "4+4 A2 G3 C4"]);
  });

  it("common practice: a pickup's fifth falls on the last triplet, its root on the beat", () => {
    expect(described(twoBars, "root-then-chord", true)).toEqual(["-1/3+1/3 G2", "0+1 C3", "1+8/3 E3 B3", "11/3+1/3 E2", "4+1 A2", "5+3 G3 C4"]);
  });

  it("common practice: before a chord on the beat the pickup's root falls on the last triplet", () => {
    expect(described(twoBars, "held", true)).toEqual(["-2/3+1/3 G2", "-1/3+1/3 C3", "0+10/3 C3 E3 B3", "10/3+1/3 E2", "11/3+1/3 A2", "4+4 A2 G3 C4"]);
  });

  it("starts again where a chord enters inside the bar, and in every bar of a long one", () => {
    const half: readonly LaidOutChord[] = [{ at: beats(0), duration: beats(2), ...C_SHELL }, { at: beats(2), duration: beats(6), ...A_SHELL }];
    expect(described(half, "root-then-chord", false)).toEqual(["0+1 C3", "1+1 E3 B3", "2+1 A2", "3+1 G3 C4", "4+1 A2", "5+3 G3 C4"]);
    expect(described([{ at: beats(0), duration: beats(1), ...C_SHELL }], "root-then-chord", false)).toEqual(["0+1 C3"]);
  });

  it("law: the left hand never overlaps itself, never leaves its chords but for pickups, and fills them from their start", () => {
    fc.assert(fc.property(anyChords, patterns, fc.boolean(), (chords, pattern, pickup) => {
      const events = comp(chords, { metre: metre("4/4"), pattern, pickup });
      const last = chords.at(-1) as LaidOutChord;
      events.forEach((event, i) => {
        expect(event.duration.num).toBeGreaterThan(0);
        const next = events[i + 1];
        const end = addBeats(event.at, event.duration);
        expect(compareBeats(end, next?.at ?? addBeats(last.at, last.duration))).toBeLessThanOrEqual(0);
      });
      for (const chord of chords) expect(events.some((event) => compareBeats(event.at, chord.at) === 0)).toBe(true);
    }));
  });

  it("law: a pickup changes nothing that sounds from the beats on but the ends of notes it cuts short", () => {
    fc.assert(fc.property(anyChords, patterns, (chords, pattern) => {
      const plain = comp(chords, { metre: metre("4/4"), pattern });
      const led = comp(chords, { metre: metre("4/4"), pattern, pickup: true });
      const onGrid = led.filter((event) => event.at.den <= 2);
      expect(onGrid.map((event) => [event.at, event.pitches])).toEqual(plain.map((event) => [event.at, event.pitches]));
      const entries = chords.filter((chord) => barPosition(chord.at, metre("4/4")).offset.num === 0).length;
      expect(led.length - onGrid.length).toBe(entries * (compingPattern(pattern).hits[0]?.play === "root" ? 1 : 2));
    }));
  });

  it("law: pattern ids are unique", () => {
    expect(new Set(compingCatalogue.map((row) => row.id)).size).toBe(compingCatalogue.length);
  });

  it("refuses a pattern that is not there", () => {
    expect(() => compingPattern("root-and-chord")).toThrowError(expect.objectContaining({ code: "comping/pattern", input: "root-and-chord" }));
    expect(() => compingPattern("hold")).toThrowError(/did you mean held\?/);
  });
});
