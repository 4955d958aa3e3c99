import { describe, expect, it } from "vitest";
import { parseChord, transposeChord } from "../../src/chord/index.ts";
import type { Pitch } from "../../src/pitch/index.ts";
import { noteName, parseInterval, pitchName } from "../../src/pitch/index.ts";
import { parseProgression } from "../../src/progression/index.ts";
import type { VoicedProgression, VoiceProgressionOptions } from "../../src/voice-leading/index.ts";
import { voiceLeading, voiceProgression } from "../../src/voice-leading/index.ts";
import type { Voicing } from "../../src/voicing/index.ts";
import { voicingsFor } from "../../src/voicing/index.ts";

const KEYS = ["P1", "m2", "M2", "m3", "M3", "P4", "d5", "P5", "m6", "M6", "m7", "M7"] as const;
const names = (pitches: readonly Pitch[]): string => pitches.map(pitchName).join(" ");
const laidOut = (voiced: VoicedProgression): readonly string[] => voiced.voicings.map((v) => names(v.pitches));
/** The same progression, written in C, in each of twelve keys. */
const inTwelveKeys = (symbols: readonly string[], options: VoiceProgressionOptions): readonly VoicedProgression[] =>
  KEYS.map((key) =>
    voiceProgression(
      symbols.map((symbol) => transposeChord(parseChord(symbol), parseInterval(key))),
      options,
    ),
  );

// Common practice, no source, throughout this block.
describe("shells through I-vi-ii-V (common practice, no source)", () => {
  it("in C: C with E-B, A with G-C, D with F-C, G with F-B", () => {
    const expected = ["C3 E3 B3", "A2 G3 C4", "D3 F3 C4", "G2 F3 B3"];
    expect(laidOut(voiceProgression(["Cmaj7", "Am7", "Dm7", "G7"], { style: "shell" }))).toEqual(expected);
    expect(laidOut(voiceProgression(["Cmaj7", "Am7", "Dm7", "G7"], { style: "shell", loop: true }))).toEqual(expected);
  });

  it.each(["Cmaj7", "C6"])(
    "as a loop on %s, in every key no upper note moves more than a whole tone, but for a minor third from I to vi",
    (tonic) => {
      for (const voiced of inTwelveKeys([tonic, "Am7", "Dm7", "G7"], { style: "shell", loop: true })) {
        const [toSix, ...rest] = voiced.leadings;
        expect(toSix?.largest).toBe(3);
        for (const leading of rest) expect(leading.largest).toBeLessThanOrEqual(2);
      }
    },
  );

  it("motion leaves the bass out", () => {
    const { motion, voicings } = voiceProgression(["Dm7", "G7"], { style: "shell" });
    expect(motion).toEqual([1]);
    expect(voicings.map((v) => (v.bass === undefined ? "" : pitchName(v.bass)))).toEqual(["D3", "G2"]);
  });

  it("two-note shells alternate 1-7, 1-3, 1-7 or 1-3, 1-7, 1-3", () => {
    const { voicings } = voiceProgression(["Dm7", "G7", "Cmaj7"], { style: "two-note-shell", alternate: true });
    const labels = voicings.map((v) => v.label).join(", ");
    expect(["1-7, 1-3, 1-7", "1-3, 1-7, 1-3"]).toContain(labels);
    const sevenths = voiceProgression(["Dm7", "G7", "Cmaj7"], {
      style: "two-note-shell",
      alternate: true,
      first: "two-note-shell-7",
    });
    expect(sevenths.voicings.map((v) => v.pitches.map(noteName).join(" "))).toEqual(["D C", "G B", "C B"]);
  });

  it("Cm7 to F7: Bb falls a semitone to A", () => {
    const [cm7, f7] = ["Cm7", "F7"].map(
      (symbol, i) =>
        [...voicingsFor(symbol, { forms: [i === 0 ? "two-note-shell-7" : "two-note-shell-3"] })][0] as Voicing,
    );
    const top = voiceLeading((cm7 as Voicing).pitches, (f7 as Voicing).pitches).moves[1];
    expect([pitchName((top as NonNullable<typeof top>).from), top?.semitones]).toEqual(["Bb3", -1]);
  });
});

describe("rootless ii-V-I", () => {
  // Formulas: common practice, no source; register: MacDonald's handout. L1 values computed.
  it.each([
    ["Dm9", "G13", "Cmaj9"],
    ["Dm7", "G7", "Cmaj7"],
  ])("%s %s %s, in every key: one semitone, then five, A to B and back or B to A and back", (...symbols) => {
    for (const { motion, voicings, leadings } of inTwelveKeys(symbols, {})) {
      expect(motion).toEqual([1, 5]);
      expect(["ABA", "BAB"]).toContain(voicings.map((v) => v.label).join(""));
      expect(["b3 b7 3", "b7 3 7"]).toContain(voicings.map((v) => v.degrees[0]).join(" "));
      expect(leadings[0]?.moves.filter((m) => m.semitones !== 0).map((m) => m.semitones)).toEqual([-1]);
      expect(leadings[0]?.commonTones).toHaveLength(3);
    }
  });

  it("from m9 to dominant 13 the 7th falls to the 3rd, the 5th stays as 9th and the 9th as 13th", () => {
    const { voicings } = voiceProgression(["Dm9", "G13", "Cmaj9"]);
    const [ii, v] = voicings as [Voicing, Voicing, Voicing];
    const role = (voicing: Voicing, note: string): string | undefined =>
      voicing.degrees[voicing.pitches.findIndex((p) => noteName(p) === note)];
    expect([role(ii, "C"), role(v, "B")]).toEqual(["b7", "3"]);
    expect([role(ii, "A"), role(v, "A")]).toEqual(["5", "9"]);
    expect([role(ii, "E"), role(v, "E")]).toEqual(["9", "13"]);
  });

  it("minor: half-diminished, b9b13, minor 6/9", () => {
    const { voicings, motion } = voiceProgression(["Dm7b5", "G7(b9,b13)", "Cm6"], { first: "rootless-m7b5-a" });
    expect(voicings.map((v) => v.degrees.join(" "))).toEqual(["b3 b5 b7 1", "b7 b9 3 b13", "b3 5 6 9"]);
    expect(motion[0]).toBe(2);
  });

  it("round a turnaround the loop comes back to where it began", () => {
    for (const voiced of inTwelveKeys(["Cmaj7", "Am7", "Dm7", "G7"], { loop: true })) {
      expect(voiced.motion).toHaveLength(4);
      expect(voiced.leadings[3]?.moves.map((m) => m.to)).toEqual(voiced.voicings[0]?.pitches);
      expect(voiced.totalMotion).toBe(20);
    }
  });
});

// Hutchinson, sec. 31.7, and Smither, S. R. (2019), Guide-Tone Space, MTO 25.2: rule read in source, spellings computed.
describe("guide tones (Hutchinson; Smither 2019)", () => {
  it("3rds and 7ths move by step round the circle of fifths", () => {
    const { leadings, guideTones } = voiceProgression(["Dm7", "G7", "Cmaj7"], { style: "guide-tones" });
    expect(guideTones.map((pair) => pair.map((tone) => noteName(tone.pitch)).join(" "))).toEqual(["F C", "F B", "E B"]);
    expect(leadings.map((l) => l.moves.map((m) => m.semitones))).toEqual([
      [0, -1],
      [-1, 0],
    ]);
  });

  it("chords a tritone apart share their pair of keys", () => {
    const pair = (symbol: string): ReadonlySet<number> =>
      new Set([...voicingsFor(symbol, { style: "guide-tones" })][0]?.pitches.map((p) => p.semitones % 12));
    expect(pair("G7")).toEqual(pair("Db7"));
  });

  it("7(13) and 7(#9) in turn round the cycle: the upper notes fall by semitones", () => {
    const cycle = ["C13", "F7#9", "Bb13", "Eb7#9"];
    const voiced = voiceProgression(cycle, { forms: ["three-note-13-b", "three-note-7#9-a"] });
    expect(voiced.voicings.map((v) => v.pitches.map(noteName).join(" "))).toEqual([
      "Bb E A",
      "A Eb G#",
      "Ab D G",
      "G Db F#",
    ]);
    for (const leading of voiced.leadings) expect(leading.moves.map((m) => m.semitones)).toEqual([-1, -1, -1]);
  });

  it("are found in any form, the 6th and the sus 4th standing in", () => {
    const degrees = (symbol: string): string | undefined =>
      voiceProgression([symbol])
        .guideTones[0]?.map((tone) => tone.degree)
        .join(" ");
    expect(degrees("C6/9")).toMatch(/^(3 6|6 3)$/);
    expect(degrees("G13sus4")).toMatch(/^(4 b7|b7 4)$/);
    expect(degrees("Dm9")).toMatch(/^(b3 b7|b7 b3)$/);
  });
});

describe("a voiced progression explains itself", () => {
  it("names moves, common tones and sizes in a sentence for each step", () => {
    const { explanation } = voiceProgression(["Dm9", "G13", "Cmaj9"], { first: "rootless-m9-a" });
    expect(explanation).toEqual([
      "Dm9 (A) to G13 (B): C4 falls a semitone to B3; F3, A3 and E4 stay. Motion 1, largest move 1.",
      "G13 (B) to Cmaj9 (A): F3 falls a semitone to E3, A3 falls a whole tone to G3, E4 falls a whole tone to D4; B3 stays. Motion 5, largest move 2.",
    ]);
  });

  it("says so when all stays, and when nothing does", () => {
    expect(voiceProgression(["Dm9", "Dm9"]).explanation[0]).toMatch(
      /^Dm9 \(A\) to Dm9 \(A\): F3, A3, C4 and E4 stay\. Motion 0, largest move 0\.$/,
    );
    expect(voiceProgression(["Cmaj9", "Dbmaj9"]).explanation[0]).not.toMatch(/stay/);
  });

  it("gives the form of each chord", () => {
    const voiced = voiceProgression(["Dm9", "G13", "Cmaj9"], { first: "rootless-m9-a" });
    expect(voiced.forms).toEqual(["rootless-m9-a", "rootless-13-b", "rootless-maj9-a"]);
  });

  it("writes chords as they were written, also where two symbols mean one chord", () => {
    expect(voiceProgression(["Dm7", "D-7"]).voicings.map((v) => v.chord.symbol)).toEqual(["Dm7", "D-7"]);
  });
});

describe("rules of a voiced progression", () => {
  it("alternates forms", () => {
    const { voicings } = voiceProgression(["Dm7", "Em7", "Dm7", "Em7"], { alternate: true });
    expect(["ABAB", "BABA"]).toContain(voicings.map((v) => v.label).join(""));
    expect(new Set(voiceProgression(["Dm7", "Em7", "Dm7", "Em7"]).voicings.map((v) => v.label)).size).toBe(1);
  });

  it("fixes the first and last voicing, even one that the register would not give", () => {
    const high = [...voicingsFor("Cmaj9", { register: { from: "C5", to: "C6" } })][0] as Voicing;
    const { voicings } = voiceProgression(["Cmaj9", "Dm9", "G13"], { first: high });
    expect(voicings[0]).toBe(high);
  });

  it("forbids forms", () => {
    expect(voiceProgression(["Dm7", "G7"], { without: ["rootless-13-a", "rootless-13-b"] }).forms[1]).toMatch(
      /^rootless-9-/,
    );
  });

  it("keeps the top note's moves under a ceiling, or names the pair that can't", () => {
    const { leadings } = voiceProgression(["Cmaj7", "Ebmaj7", "Gbmaj7"], { maxTopMove: 3 });
    for (const leading of leadings) expect(Math.abs(leading.moves.at(-1)?.semitones ?? 99)).toBeLessThanOrEqual(3);
    expect(() =>
      voiceProgression(["Dm7", "G7", "Db9"], {
        forms: ["rootless-m9-a", "rootless-13-b", "rootless-9-a"],
        maxTopMove: 0,
      }),
    ).toThrowError(expect.objectContaining({ code: "voice-leading/blocked", input: "G7 (chord 2) to Db9 (chord 3)" }));
  });

  it("passes on what voicingsFor refuses", () => {
    expect(() => voiceProgression(["Dm7", "C5"])).toThrowError(
      expect.objectContaining({ code: "voicing/none", input: "C5" }),
    );
    expect(() => voiceProgression(["Dm7", "Cmaj8"])).toThrowError(expect.objectContaining({ input: "Cmaj8" }));
    expect(voiceProgression(["Dm7", "C5"], { style: ["rootless", "close"] }).voicings[1]?.style).toBe("close");
    expect(() => voiceProgression([])).toThrowError(expect.objectContaining({ code: "voice-leading/empty" }));
  });

  it("law: a longer form costs no more than its parts allow: a loop of two rounds is twice one round", () => {
    const turnaround = ["Cmaj7", "A7", "Dm7", "G7"];
    for (const style of ["shell", "rootless", "three-note-rootless", "drop-2"] as const) {
      const once = voiceProgression(turnaround, { style, loop: true }).totalMotion;
      expect(voiceProgression([...turnaround, ...turnaround], { style, loop: true }).totalMotion).toBeLessThanOrEqual(
        2 * once,
      );
    }
  });
});

describe("what is taken for a progression", () => {
  const listed = voiceProgression(["Dm7", "G7", "Cmaj7"]);

  it("a chart's text, numerals, a named progression and a progression, bars without a chord left out", () => {
    expect(voiceProgression("Dm7 | G7 | Cmaj7")).toEqual(listed);
    expect(voiceProgression("Dm7 | N.C. | G7 | Cmaj7")).toEqual(listed);
    expect(laidOut(voiceProgression("ii V I"))).toEqual(laidOut(listed));
    expect(voiceProgression(parseProgression("Dm7 | G7 | Cmaj7"))).toEqual(listed);
  });

  it("options may be there and undefined", () => {
    const none = { style: undefined, loop: undefined, first: undefined, metric: undefined, span: undefined };
    expect(voiceProgression("Dm7 | G7 | Cmaj7", none)).toEqual(listed);
  });

  it.each<readonly [unknown, unknown, string]>([
    [42, {}, "voice-leading/argument"],
    [null, {}, "voice-leading/argument"],
    [[42], {}, "voicing/argument"],
    [[{ kind: "chord" }], {}, "voicing/argument"],
    ["Dm7", { styel: "shell" }, "voice-leading/argument"],
    ["Dm7", { loop: "yes" }, "voice-leading/argument"],
    ["Dm7", { maxTopMove: "2" }, "voice-leading/top-move"],
    ["Dm7", { metric: "most" }, "voice-leading/metric"],
    ["Dm7", null, "voice-leading/argument"],
    ["N.C.", {}, "voice-leading/empty"],
  ])("%j with %j is refused", (given, options, code) => {
    expect(() => voiceProgression(given as string, options as VoiceProgressionOptions)).toThrowError(
      expect.objectContaining({ name: "MusicError", code }),
    );
  });
});
