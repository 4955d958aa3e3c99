import { describe, expect, it } from "vitest";
import { parseChord } from "../../src/chord/index.ts";
import { chordSlots } from "../../src/line/harmony.ts";
import { AVOID, BLUE, CHORD, CHROMATIC, TENSION } from "../../src/line/improvise/problem.ts";
import type { Setting } from "../../src/line/improvise/setting.ts";
import { settingOf, settingsOf } from "../../src/line/improvise/setting.ts";
import { parseProgression, parseScale, pitchName } from "./library.ts";

const SIGNS = new Map([
  [CHORD, "c"],
  [TENSION, "t"],
  [AVOID, "a"],
  [CHROMATIC, "-"],
  [BLUE, "b"],
]);
const setting = (chord: string | undefined, scale: string): Setting =>
  settingOf(chord === undefined ? undefined : parseChord(chord), parseScale(scale));
const marked = (flags: Uint8Array): readonly number[] =>
  [...flags].flatMap((flag, sound) => (flag === 1 ? [sound] : []));

// Common practice, no source: a note of the scale is a tension unless it lies a semitone above a chord tone; a chord tone replaces the
// scale's note of its letter, but for a scale that holds both; the minor third over the major chord of the key note is blue.
describe("how notes stand to a chord", () => {
  // From C up by semitones: c chord tone, t tension, a a semitone above a chord tone, b blue, - foreign.
  it.each<readonly [string | undefined, string, string]>([
    ["C", "C major", "c-t-ca-c-t-t"],
    ["C7", "C major", "c-t-ca-c-tc-"],
    ["C7", "C dorian", "c-t-ca-c-tc-"],
    ["Dm7", "C major", "c-c-tc-t-c-t"],
    ["D7", "C major", "c-c-t-ca-c-t"],
    ["G7", "C major", "a-c-tc-c-t-c"],
    ["G7", "F major", "a-c-tc-c-t-c"],
    ["C7", "C major blues", "c-tbc--c-tc-"],
    ["C7(#9)", "C major blues", "c--cc--c-tc-"],
    ["F7", "C major blues", "c-tcac-t-c--"],
    ["G7", "C bebop", "a-c-tc-c-ttc"],
    ["Cm7", "C minor blues", "c--c-ttc--c-"],
    [undefined, "C major", "t-t-tt-t-t-t"],
  ])("%s in %s: %s", (chord, scale, expected) => {
    expect([...setting(chord, scale).classes].map((kind) => SIGNS.get(kind)).join("")).toBe(expected);
  });

  it("guide tones are third and seventh, else fourth or second, sixth or fifth; root, third and fifth are stable", () => {
    const guides = (chord: string | undefined): readonly number[] => marked(setting(chord, "C major").guide);
    const stable = (chord: string | undefined): readonly number[] => marked(setting(chord, "C major").stable);
    expect(guides("C7")).toEqual([4, 10]);
    expect(guides("Dm7")).toEqual([0, 5]);
    expect(guides("C6")).toEqual([4, 9]);
    expect(guides("C")).toEqual([4, 7]);
    expect(guides("C7(sus4)")).toEqual([5, 10]);
    expect(guides("Csus2")).toEqual([2, 7]);
    expect(guides("Cdim7")).toEqual([3, 9]);
    expect(guides("C(no3)(no5)")).toEqual([]);
    expect(guides(undefined)).toEqual([]);
    expect(stable("Cmaj7")).toEqual([0, 4, 7]);
    expect(stable("Dm7(b5)")).toEqual([2, 5, 8]);
    expect(stable("C13")).toEqual([0, 4, 7]);
    expect(stable("C7(b13)")).toEqual([0, 4, 7]);
    expect(stable(undefined)).toEqual([]);
  });

  it("spells its notes by chord and scale, others with flats, and counts their letters from C", () => {
    const spelled = (chord: string | undefined, scale: string): string =>
      setting(chord, scale).spelled.map(pitchName).join(" ");
    expect(spelled("C", "C major")).toBe("C4 Db4 D4 Eb4 E4 F4 Gb4 G4 Ab4 A4 Bb4 B4");
    expect(spelled("D7", "C major")).toBe("C4 Db4 D4 Eb4 E4 F4 F#4 G4 Ab4 A4 Bb4 B4");
    expect(spelled("Gb7", "Gb major")).toBe("C4 Db4 D4 Eb4 Fb4 F4 Gb4 G4 Ab4 A4 Bb4 Cb5");
    expect([...setting("C", "C major").letters]).toEqual([0, 1, 1, 2, 2, 3, 4, 4, 5, 5, 6, 6]);
    expect([...setting("Gb7", "Gb major").letters]).toEqual([0, 1, 1, 2, 3, 3, 4, 4, 5, 5, 6, 7]);
  });

  it("knows the notes of the scale", () => {
    expect(marked(setting("F7", "C major blues").inScale)).toEqual([0, 2, 3, 4, 7, 9]);
  });

  it("finds the chord in force, and where one enters; the scale alone where there is none", () => {
    const settings = settingsOf(chordSlots(parseProgression("C | Dm7 G7 | N.C. | C").chords), parseScale("C major"));
    const roots = [0, 47, 48, 71, 72, 95, 96, 143, 144, 191].map((tick) => marked(settings.at(tick).stable)[0]);
    expect(roots).toEqual([0, 0, 2, 2, 2, 2, undefined, undefined, 0, 0]);
    expect([72, 71].map((tick) => marked(settings.at(tick).guide))).toEqual([
      [5, 11],
      [0, 5],
    ]);
    expect([-1, 192, 500].map((tick) => [...settings.at(tick).classes])).toEqual(
      Array.from({ length: 3 }, () => [...setting(undefined, "C major").classes]),
    );
    expect([0, 12, 48, 49, 72, 144, 192].map(settings.enters)).toEqual([true, false, true, false, true, true, false]);
    expect([0, 48, 95, 96, 143, 144, 192].map(settings.bare)).toEqual([false, false, false, true, true, false, true]);
    // In any order: backwards as forwards.
    expect([72, 48, 0].map((tick) => marked(settings.at(tick).guide))).toEqual([
      [5, 11],
      [0, 5],
      [4, 7],
    ]);
    const none = settingsOf([], parseScale("C major"));
    expect([...none.at(0).classes]).toEqual([...setting(undefined, "C major").classes]);
    expect(none.enters(0)).toBe(false);
  });
});
