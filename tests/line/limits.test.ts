import { describe, expect, it } from "vitest";
import type { CheckLineOptions, LineFinding, MetreName, NoteEvent } from "./library.ts";
import { beats, checkLine, formatBeats, metre, parseProgression, phraseRuleCatalogue, pitch } from "./library.ts";
import { read } from "./read.ts";

const over = (text: string, options: CheckLineOptions = {}): CheckLineOptions => ({
  chords: parseProgression(text, options.metre === undefined ? {} : { metre: options.metre }).chords,
  ...options,
});
const overC = over("C | %", { scale: "C major" });
const findings = (
  rule: string,
  text: string | readonly NoteEvent[],
  options: CheckLineOptions = overC,
): readonly LineFinding[] =>
  checkLine(typeof text === "string" ? read(text) : text, options).findings.filter((f) => f.rule === rule);
const places = (
  rule: string,
  text: string | readonly NoteEvent[],
  options: CheckLineOptions = overC,
): readonly string[] => findings(rule, text, options).map((f) => `${f.bar} ${formatBeats(f.beat)}`);
const phrases = (events: readonly NoteEvent[], m: MetreName = "4/4"): readonly number[] =>
  checkLine(events, { metre: metre(m) }).phrases.map((p) => p.notes);
const repeated = (notes: string, times: number): string => Array.from({ length: times }, () => notes).join(", ");
const nothing: readonly string[] = [];

describe("what is heard", () => {
  // The blue third sits on strong beats only. Common practice, no source.
  it.each<[MetreName, string, boolean]>([
    ["4/4", "0", true],
    ["4/4", "1", false],
    ["4/4", "2", true],
    ["4/4", "3", false],
    ["4/4", "4", true],
    ["4/4", "-4", true],
    ["4/4", "-2", true],
    ["4/4", "-3", false],
    ["2/4", "0", true],
    ["2/4", "1", false],
    ["3/4", "0", true],
    ["3/4", "1", false],
    ["3/4", "2", false],
    ["3/4", "3", true],
    ["5/4", "2", false],
    ["5/4", "5/2", false],
    ["5/4", "5", true],
    ["6/8", "0", true],
    ["6/8", "3/2", false],
    ["12/8", "3/2", false],
    ["12/8", "3", true],
    ["12/8", "9/2", false],
  ])("in %s a note at %s is on a strong beat: %s", (m, at, strong) => {
    const options = over("C7", { metre: metre(m), scale: "C minor blues" });
    expect(places("blue-third", read("Eb4 3/2, D4 3/2", at), options).length).toBe(strong ? 1 : 0);
  });

  it("a phrase ends at a rest of a beat, not at a shorter one", () => {
    expect(phrases(read("C4 1/2, D4 1/2, r 1, E4 1/2, F4 1/2"))).toEqual([2, 2]);
    expect(phrases(read("C4 1/2, D4 1/2, r 3/4, E4 1/2, F4 1/2"))).toEqual([4]);
    expect(phrases(read("C4 1/2, D4 1/2, E4 1/2, r 3/2, E4 1/2, F4 1/2"), "12/8")).toEqual([3, 2]);
    expect(phrases(read("C4 1/2, D4 1/2, E4 1/2, r 1, E4 1/2, F4 1/2"), "12/8")).toEqual([5]);
  });

  it("a phrase ends where two beats bring no new note", () => {
    expect(phrases(read("C4 1/2, D4 2, E4 1/2, F4 1/2"))).toEqual([2, 2]);
    expect(phrases(read("C4 1/2, D4 7/4, E4 1/2, F4 1/2"))).toEqual([4]);
    expect(phrases(read("C4 1/2, D4 3/2, r 1/2, E4 1/2, F4 1/2"))).toEqual([2, 2]);
  });

  it("a phrase ends with a note of a beat, twice as long as the one before it, held to a bar line", () => {
    expect(phrases(read("C4 1/2, D4 1, E4 1/2, F4 1/2", "5/2"))).toEqual([2, 2]);
    expect(phrases(read("C4 1/2, D4 1, E4 1/2, F4 1/2", "-3/2"))).toEqual([2, 2]);
    expect(phrases(read("C4 1/2, D4 1, E4 1/2, F4 1/2", "2"))).toEqual([4]);
    expect(phrases(read("C4 3/4, D4 1, E4 1/2, F4 1/2", "9/4"))).toEqual([4]);
    expect(phrases(read("C4 1/4, D4 3/4, E4 1/2, F4 1/2", "3"))).toEqual([4]);
    expect(phrases(read("D4 1, E4 1/2, F4 1/2", "3"))).toEqual([3]);
    expect(phrases(read("C4 1/2, D4 1, E4 1/2, F4 1/2", "1"), "3/4")).toEqual([4]);
    expect(phrases(read("C4 1/2, D4 3/2, E4 1/2, F4 1/2", "1"), "3/4")).toEqual([2, 2]);
  });

  it("notes come in any order; an event without pitches is none; of several pitches the highest is the line's", () => {
    const line = read("C4 1/2, D4 1/2, E4 1/2, F4 1/2");
    expect(checkLine(line.toReversed(), overC)).toEqual(checkLine(line, overC));
    expect(checkLine([...line, { at: beats(4), duration: beats(1), pitches: [] }], overC)).toEqual(
      checkLine(line, overC),
    );
    const struck = ["C3", "F4", "D4"].map((name) => pitch(name as "C3"));
    expect(
      findings("resting-note", [{ at: beats(0), duration: beats("1/2"), pitches: struck }]).map((f) =>
        f.message.includes("F"),
      ),
    ).toEqual([true]);
  });

  it("the chart repeats, before the first bar line too", () => {
    const options = over("C | G7", { scale: "C major" });
    const at = (from: string): readonly string[] => places("resting-note", read("E4 1/2, F4 1/2", from), options);
    expect([at("0"), at("4"), at("8"), at("12"), at("-1"), at("-6")]).toEqual([
      ["1 3/2"],
      [],
      ["3 3/2"],
      [],
      [],
      ["-1 7/2"],
    ]);
    expect(findings("resting-note", read("E4 1/2, F4 1/2", 8), options)[0]?.message).toContain(" over C");
    expect(findings("resting-note", read("E4 1/2, C5 1/2", 12), options)[0]?.message).toContain(" over G7");
  });

  it("a note anticipates the chord that enters within half a beat, where it sounds until then", () => {
    const options = over("C | F", {});
    expect(places("resting-note", read("G4 1/2, F4 1/2", "3"), options)).toEqual(nothing);
    expect(places("resting-note", read("G4 1/2, F4 1", "3"), options)).toEqual(nothing);
    expect(places("resting-note", read("G4 1/4, F4 1/4", "13/4"), options)).toEqual(["1 9/2"]);
    expect(places("resting-note", read("G4 1/2, F4 3/4", "11/4"), options)).toEqual(["1 17/4"]);
    expect(places("resting-note", read("G4 1/2, Bb4 1/2", "3"), options)).toEqual(["1 9/2"]);
    expect(places("resting-note", read("A4 1/2, G4 1/2", "7"), options)).toEqual(nothing);
    expect(places("resting-note", read("A4 1/2, G4 1/2", "15"), options)).toEqual(nothing);
    expect(places("resting-note", read("F4 1/2, G4 1/2", "-1"), options)).toEqual(nothing);
    expect(places("resting-note", read("G4 1/2, F4 3/4", "19/4"), over("C | F", { metre: metre("12/8") }))).toEqual(
      nothing,
    );
  });

  it("where the chart has no chord the scale alone counts, and where nothing is known everything belongs", () => {
    const options = over("C | N.C.", { scale: "C major" });
    const bare = over("C | N.C.");
    expect(places("clear-start", "F#4 1/2, C5 1/2, B4 1", options)).toEqual(["1 1"]);
    expect(places("clear-start", read("F#4 1/2, C5 1/2, B4 1", 4), options)).toEqual(["2 1"]);
    expect(places("clear-start", read("F4 1/2, C5 1/2, B4 1", 4), options)).toEqual(nothing);
    expect(places("clear-start", read("F#4 1/2, C5 1/2, B4 1", 4), bare)).toEqual(nothing);
    expect(checkLine(read("F#4 1/2, C5 1/2, Bb4 1/2"), { chords: parseProgression("N.C.").chords }).findings).toEqual(
      [],
    );
  });

  it("a chord's notes belong where the scale lacks them; without a scale its tensions do, and the semitone above a chord tone does not", () => {
    expect(places("clear-start", "Bb4 1/2, F4 1/2, E4 1", over("C7", { scale: "C major" }))).toEqual(nothing);
    expect(places("clear-start", "D4 1/2, G4 1/2, E4 1", over("C"))).toEqual(nothing);
    expect(places("clear-start", "F4 1/2, C5 1/2, B4 1", over("C"))).toEqual(["1 1"]);
    expect(places("clear-start", "F4 1/2, C5 1/2, B4 1", over("C", { scale: "C major" }))).toEqual(nothing);
    expect(places("clear-start", "D4 1/2, G4 1/2, E4 1", over("C", { scale: "C minor blues" }))).toEqual(["1 1"]);
  });

  it("the defaults are 4/4, 120 quarter notes a minute, C3 to C7", () => {
    const line = read(`${repeated("C4 1/4, E4 1/4", 20)}, C3 1, C7 1, B2 1, C#7 1`);
    expect(checkLine(line)).toEqual(
      checkLine(line, {
        metre: metre("4/4"),
        tempo: 120,
        lowest: pitch("C3"),
        highest: pitch("C7"),
        chords: [],
        voicings: [],
      }),
    );
    expect(places("range", line, {}).length).toBe(2);
  });

  it("tells of each finding in the order of time", () => {
    const line = read("B2 1/2, C3 1/2, r 2, F4 1/2, F4 1/2, F4 1/2, F4 1/2, E4 1/4, r 7/4, B2 1/2");
    const found = checkLine(line, overC).findings;
    const moments = found.map((f) => f.bar * 4 + f.beat.num / f.beat.den);
    expect(found.length).toBeGreaterThan(3);
    expect(moments).toEqual([...moments].sort((a, b) => a - b));
  });

  it("a phrase is as long as from its first note to the end of its last", () => {
    const [found] = checkLine(read("C4 1/2, E4 1/2, r 1/2, G4 3/2", 6), overC).phrases;
    expect(found).toEqual({ at: beats(6), duration: beats(3), bar: 2, beat: beats(3), notes: 3 });
  });

  it.each([0, -1, Infinity, Number.NaN])("refuses %s as a tempo", (tempo) => {
    expect(() => checkLine([], { tempo })).toThrow(expect.objectContaining({ code: "line/tempo", input: tempo }));
  });
});

describe("how far each rule goes", () => {
  it("what must be kept, and what should", () => {
    expect(phraseRuleCatalogue.filter((rule) => rule.severity === "must").map((rule) => rule.id)).toEqual([
      "one-voice",
      "range",
      "clear-start",
      "clear-end",
      "resting-note",
      "breath",
      "blue-third",
      "chromatic-resolves",
      "held-clash",
      "grace-neighbour",
    ]);
    expect(phraseRuleCatalogue.filter((rule) => rule.severity === "should").map((rule) => rule.id)).toEqual([
      "phrase-length",
      "strong-beats",
      "leap-recovery",
      "leap-size",
      "repeats",
      "contour",
      "motif-answered",
      "density",
    ]);
  });

  it("range: both ends belong to it, and the advice points back into it", () => {
    const options = { ...overC, lowest: pitch("E4"), highest: pitch("G4") };
    expect(places("range", "E4 1, G4 1", options)).toEqual(nothing);
    const [low, high] = findings("range", "Eb4 1, E4 1, F4 1, Ab4 1", options);
    expect([low?.message, high?.message].map((m) => m?.match(/[A-G][♭♯]?\d/g))).toEqual([
      ["E♭4", "E4"],
      ["A♭4", "G4"],
    ]);
    expect([low?.suggestion, high?.suggestion].map((s) => [s?.includes("up"), s?.includes("down")])).toEqual([
      [true, false],
      [false, true],
    ]);
    expect(low?.message).toContain("below");
    expect(high?.message).toContain("above");
  });

  it("one-voice: names both notes", () => {
    const [first, ...others] = read("C4 1/2, Eb4 1/2, G4 1") as [NoteEvent, ...NoteEvent[]];
    expect(findings("one-voice", [{ ...first, duration: beats("3/4") }, ...others])[0]?.message).toMatch(/E♭ .*C /);
    expect(findings("one-voice", [{ ...first, duration: beats("3/4") }, ...others])[0]?.suggestion).toMatch(/C .*E♭ /);
    expect(places("one-voice", read("C4 1/3, D4 1/3, E4 1/3, F4 1"))).toEqual(nothing);
  });

  it("clear-start: a foreign note may step by a semitone or a tone into one that belongs", () => {
    expect(places("clear-start", "F#4 1/2, G4 1/2, E4 1")).toEqual(nothing);
    expect(places("clear-start", "Bb4 1/2, C5 1/2, G4 1")).toEqual(nothing);
    expect(places("clear-start", "F#4 1/2, A4 1/2, G4 1")).toEqual(["1 1"]);
    expect(places("clear-start", "A4 1/2, F#4 1/2, G4 1")).toEqual(nothing);
    expect(places("clear-start", "F#4 1/2, Ab4 1/2, G4 1")).toEqual(["1 1"]);
    expect(places("clear-start", "F#4 2")).toEqual(["1 1"]);
    const [found] = findings("clear-start", "F#4 1/2, A4 1/2, G4 1");
    expect(found?.message).toContain("F♯");
    expect(found?.suggestion).toContain("C, E or G");
  });

  it("clear-end: half a beat, or as long as the note before", () => {
    expect(places("clear-end", "C4 1, E4 1/2")).toEqual(nothing);
    expect(places("clear-end", "C4 1/4, E4 1/4")).toEqual(nothing);
    expect(places("clear-end", "C4 1/3, E4 1/4")).toEqual(["1 4/3"]);
    expect(places("clear-end", "C4 1/4")).toEqual(["1 1"]);
    expect(places("clear-end", "C4 1/2")).toEqual(nothing);
    expect(places("clear-end", "C4 1, E4 1/2", over("C", { metre: metre("12/8") }))).toEqual(["1 5/3"]);
    expect(places("clear-end", "C4 1, E4 3/4", over("C", { metre: metre("12/8") }))).toEqual(nothing);
  });

  it("resting-note: a chord tone, or a note of the scale for a beat", () => {
    expect(places("resting-note", "C4 1/2, D4 1")).toEqual(nothing);
    expect(places("resting-note", "C4 1/2, D4 3/4")).toEqual(["1 3/2"]);
    expect(places("resting-note", "C4 1/2, F#4 4")).toEqual(["1 3/2"]);
    const [short] = findings("resting-note", "C4 1/2, D4 3/4");
    expect(short?.message).toContain("short D over C");
    expect(short?.suggestion).toMatch(/C, E or G, or hold D/);
    const [foreign] = findings("resting-note", "C4 1/2, F#4 4");
    expect(foreign?.message).toContain("F♯ over C, outside");
    expect(foreign?.suggestion).toMatch(/C, E or G$/);
    const [without] = findings("resting-note", "C4 1/2, F#4 4", { scale: "C major" });
    expect(without?.message).toContain("F♯, outside");
    expect(without?.suggestion).toContain("scale");
  });

  it("breath: 26 quarter notes, counted from a rest of half a beat or from after a note of a beat", () => {
    const eighths = (count: number): string => repeated("C4 1/2, E4 1/2, G4 1/2, E4 1/2", count);
    expect(places("breath", eighths(13))).toEqual(nothing);
    expect(places("breath", `${eighths(13)}, C4 1/2, E4 1/2, G4 1/2`)).toEqual(["7 3"]);
    expect(places("breath", `${eighths(7)}, r 1/2, ${eighths(7)}`)).toEqual(nothing);
    expect(places("breath", `${eighths(7)}, r 1/4, ${eighths(7)}`)).toEqual(["7 11/4"]);
    expect(places("breath", `${eighths(7)}, C4 1, ${eighths(7)}`)).toEqual(nothing);
    expect(places("breath", `${eighths(7)}, C4 3/4, ${eighths(7)}`)).toEqual(["7 11/4"]);
    expect(places("breath", `${eighths(14)}, r 1/2, ${eighths(14)}`)).toEqual(["7 3", "14 7/2"]);
    const threes = (count: number): string => repeated("C4 1/2, E4 1/2, G4 1/2", count);
    const compound = over("C", { metre: metre("12/8") });
    expect(places("breath", `${threes(10)}, r 3/4, ${threes(10)}`, compound)).toEqual(nothing);
    expect(places("breath", `${threes(10)}, r 1/2, ${threes(10)}`, compound).length).toBe(1);
    expect(places("breath", `${threes(10)}, C4 1, ${threes(10)}`, compound).length).toBe(1);
  });

  it("phrase-length: 2 to 52 notes", () => {
    expect(places("phrase-length", "C4 1")).toEqual(["1 1"]);
    expect(places("phrase-length", "C4 1, E4 1")).toEqual(nothing);
    expect(places("phrase-length", repeated("C4 1/4, E4 1/4", 26))).toEqual(nothing);
    const [long] = findings("phrase-length", `${repeated("C4 1/4, E4 1/4", 26)}, C4 1/4`);
    expect(long?.message).toContain("53");
    expect(findings("phrase-length", "C4 1")[0]?.message).toContain("single");
  });

  it("blue-third: over the major chord of the key note, where it does not step on", () => {
    const blue = { scale: "C minor blues" } as const;
    expect(places("blue-third", "C4 1/2, Eb4 1/2, G4 1/2, C5 1", over("C7", blue))).toEqual(["1 3/2"]);
    expect(places("blue-third", "C4 1/2, Eb4 1/2", over("C7", blue))).toEqual(["1 3/2"]);
    for (const next of ["E4", "D4", "F4", "Db4", "E5", "D3"])
      expect(places("blue-third", `C4 1/2, Eb4 1/2, ${next} 1/2, G4 1`, over("C7", blue))).toEqual(nothing);
    for (const next of ["E4", "D4", "F4"])
      expect(places("blue-third", `C4 1/2, Eb4 1/2, G4 1/2, ${next} 1`, over("C7", blue))).toEqual(nothing);
    expect(places("blue-third", "C4 1/2, Eb4 1/2, Eb5 1/2, G4 1/2, E4 1", over("C7", blue))).toEqual(nothing);
    expect(places("blue-third", "C4 1/2, Eb4 1/2, Gb4 1/2, A4 1", over("C7", blue))).toEqual(["1 3/2"]);
    // Over a minor chord it is the third, over the raised ninth a chord tone, over the chord of another root no third at all.
    expect(places("blue-third", "Eb4 1, G4 1, C5 1", over("Cm7", blue))).toEqual(nothing);
    expect(places("blue-third", "Eb4 1, G4 1, C5 1", over("C7(#9)", blue))).toEqual(nothing);
    expect(places("blue-third", "Eb4 1, G4 1, C5 1", over("G7", blue))).toEqual(nothing);
    expect(places("blue-third", "Eb4 1, G4 1, C5 1", over("N.C.", blue))).toEqual(nothing);
    // Where no scale is known, over any major chord.
    expect(places("blue-third", "Ab4 1, E4 1, C4 1", over("F7", blue))).toEqual(nothing);
    expect(places("blue-third", "Ab4 1, E4 1, C4 1", over("F7"))).toEqual(["1 1"]);
    expect(places("blue-third", "Bb4 1, A4 1, G4 1", over("G7"))).toEqual(["1 1"]);
    // A beat on a strong beat; shorter, or off it, may pass.
    expect(places("blue-third", "Eb4 3/4, E4 1/4, G4 1", over("C7", blue))).toEqual(nothing);
    expect(places("blue-third", "C4 1, Eb4 1, E4 1", over("C7", blue))).toEqual(nothing);
    expect(findings("blue-third", "Eb4 1, E4 1", over("C7", blue))[0]?.message).toMatch(/E♭ .*over C7/);
    expect(findings("blue-third", "C4 1/2, Eb4 1/2, G4 1", over("C7", blue))[0]?.message).toMatch(/E♭ over C7/);
  });

  it("chromatic-resolves: within three notes, each within a tone of the goal", () => {
    expect(places("chromatic-resolves", "C4 1/2, Eb4 1/2, D4 1/2, C4 1")).toEqual(nothing);
    expect(places("chromatic-resolves", "C4 1/2, F#4 1/2, G4 1")).toEqual(nothing);
    expect(places("chromatic-resolves", "C4 1/2, F#4 1/2, G#4 1/2, G4 1")).toEqual(nothing);
    expect(places("chromatic-resolves", "C4 1/2, G#4 1/2, F#4 1/2, Ab4 1/2, G4 1")).toEqual(nothing);
    expect(places("chromatic-resolves", "C4 1/2, G#4 1/2, F#4 1/2, Ab4 1/2, F#4 1/2, G4 1")).toEqual(["1 3/2"]);
    expect(places("chromatic-resolves", "C4 1/2, F#4 1/2, A4 1/2, G4 1")).toEqual(nothing);
    expect(places("chromatic-resolves", "C4 1/2, F#4 1/2, Bb4 1/2, G4 1")).toEqual(["1 3/2", "1 2"]);
    expect(places("chromatic-resolves", "C4 1/2, F#4 1/2, D4 1/2, G4 1")).toEqual(["1 3/2"]);
    expect(places("chromatic-resolves", "C4 1/2, E4 1/2, F#4 1")).toEqual(nothing);
    expect(findings("chromatic-resolves", "C4 1/2, F#4 1/2, D4 1/2, G4 1")[0]?.message).toContain("F♯ over C ");
    expect(findings("chromatic-resolves", "C4 1/2, F#4 1/2, D4 1/2, G4 1", { scale: "C major" })[0]?.message).toMatch(
      /^F♯ is/,
    );
  });

  it("held-clash: a semitone below, a semitone or a minor ninth above, for a beat", () => {
    const held = (note: string, duration = "1", at = "0", options = overC): readonly string[] =>
      places("held-clash", note, {
        ...options,
        voicings: [{ at: beats(at), duration: beats(duration), pitches: [pitch("G3"), pitch("E4")] }],
      });
    for (const name of ["Eb4", "F4", "F5", "Ab3", "Gb3", "Ab4"]) expect(held(`${name} 1`)).toEqual(["1 1"]);
    for (const name of ["E4", "D4", "F#4", "Eb5", "E5", "F#5", "F6", "G3", "B3", "G4", "A4", "Gb4"])
      expect(held(`${name} 1`)).toEqual(nothing);
    expect(held("F4 3/4")).toEqual(nothing);
    expect(held("F4 2", "3/4")).toEqual(nothing);
    expect(held("F4 2", "2", "3/2")).toEqual(nothing);
    expect(held("F4 5/2", "2", "3/2")).toEqual(["1 1"]);
    expect(held("r 1, F4 2", "3/2")).toEqual(nothing);
    expect(held("r 1, F4 2", "2")).toEqual(["1 2"]);
    const voicings: NoteEvent[] = ["C3", "E4"].map((name, i) => ({
      at: beats(2 * i),
      duration: beats(2),
      pitches: [pitch(name as "C3")],
    }));
    expect(places("held-clash", "r 2, F4 1", { ...overC, voicings })).toEqual(["1 3"]);
    const message = findings("held-clash", "r 2, F4 1", { ...overC, voicings })[0]?.message;
    expect(message).toContain("F4");
    expect(message).toContain("E4");
  });

  it("held-clash: a note of the chord that enters within two beats may be held", () => {
    const options = over("C | F", { scale: "C major" });
    const held = (text: string): readonly string[] =>
      places("held-clash", text, {
        ...options,
        voicings: [{ at: beats(0), duration: beats(4), pitches: [pitch("E4"), pitch("B3")] }],
      });
    expect(held("r 2, F4 2")).toEqual(nothing);
    expect(held("r 3/2, F4 5/2")).toEqual(["1 5/2"]);
    expect(held("r 2, Bb3 2")).toEqual(["1 3"]);
    const compound = over("C | F", { scale: "C major", metre: metre("12/8") });
    expect(
      places("held-clash", "r 3, F4 3", {
        ...compound,
        voicings: [{ at: beats(0), duration: beats(6), pitches: [pitch("E4")] }],
      }),
    ).toEqual(nothing);
    expect(
      places("held-clash", "F4 2", {
        ...over("N.C. | G7", { scale: "C major" }),
        voicings: [{ at: beats(0), duration: beats(4), pitches: [pitch("E4")] }],
      }),
    ).toEqual(["1 1"]);
    expect(
      places("held-clash", "F4 2", {
        scale: "C major",
        voicings: [{ at: beats(0), duration: beats(4), pitches: [pitch("E4")] }],
      }),
    ).toEqual(["1 1"]);
  });

  it("grace-neighbour: a semitone or a tone, for the last grace note before the main one", () => {
    for (const grace of ["Eb4", "D4", "F4", "F#4"])
      expect(places("grace-neighbour", `(${grace})E4 1`)).toEqual(nothing);
    for (const grace of ["Db4", "G4", "E4", "E5"]) expect(places("grace-neighbour", `(${grace})E4 1`)).toEqual(["1 1"]);
    const [note] = read("E4 1") as [NoteEvent];
    const graced = (...names: readonly string[]): NoteEvent[] => [
      { ...note, graces: names.map((name) => ({ pitch: pitch(name as "C4"), style: "crushed" })) },
    ];
    expect(places("grace-neighbour", graced("C4", "D4"))).toEqual(nothing);
    expect(places("grace-neighbour", graced("D4", "C4"))).toEqual(["1 1"]);
    expect(findings("grace-neighbour", "(G4)E4 1")[0]?.message).toMatch(/G .*E/);
  });

  it("strong-beats: half of them agree, unless the phrase keeps to its scale", () => {
    const options = over("C | %", { scale: "C major" });
    // On beats 1 and 3: two of two rub, one of two rubs; F sharp between them leaves the scale.
    expect(places("strong-beats", "F4 1, F#4 1, F4 1, E4 1", options)).toEqual(["1 1"]);
    expect(places("strong-beats", "F4 1, F#4 1, E4 1, F4 1", options)).toEqual(nothing);
    expect(places("strong-beats", "E4 1, F#4 1, F4 1, E4 1", options)).toEqual(nothing);
    expect(places("strong-beats", "F4 1, A4 1, F4 1, E4 1", options)).toEqual(nothing);
    expect(places("strong-beats", "D4 1, F#4 1, D4 1, E4 1", options)).toEqual(nothing);
    expect(places("strong-beats", "F4 1, F#4 1, F4 1, E4 1", over("N.C.", { scale: "C major" }))).toEqual(nothing);
    // Beats without a chord are not counted.
    expect(
      places("strong-beats", "F4 1, F#4 1, F4 1, G4 3/2, A4 3/2, G4 1", over("C | N.C.", { scale: "C major" })),
    ).toEqual(["1 1"]);
    const [found] = findings("strong-beats", "F4 1, F#4 1, F4 1, E4 1", options);
    expect(found?.message).toMatch(/2 of 2 .*F over C/);
    expect(found?.suggestion).toContain("C, E or G");
  });

  it("leap-recovery: from a minor sixth on, back by at most a major third", () => {
    const after = (leap: string, next: string): readonly string[] =>
      places("leap-recovery", `${leap}, ${next} 1/2, ${next} 1`);
    expect(after("C4 1/2, G4 1/2", "A4")).toEqual(nothing);
    expect(after("C4 1/2, Ab4 1/2", "A4")).toEqual(["1 3/2"]);
    expect(after("C4 1/2, Ab4 1/2", "E4")).toEqual(nothing);
    expect(after("C4 1/2, Ab4 1/2", "Eb4")).toEqual(["1 3/2"]);
    expect(after("C4 1/2, Ab4 1/2", "Ab4")).toEqual(["1 3/2"]);
    expect(after("C5 1/2, E4 1/2", "Ab4")).toEqual(nothing);
    expect(after("C5 1/2, E4 1/2", "A4")).toEqual(["1 3/2"]);
    expect(after("C5 1/2, E4 1/2", "D4")).toEqual(["1 3/2"]);
    expect(places("leap-recovery", "C4 1/2, C5 1/2")).toEqual(nothing);
    expect(findings("leap-recovery", "C4 1/2, A4 1/2, B4 1")[0]?.suggestion).toContain("fall");
    expect(findings("leap-recovery", "A4 1/2, C4 1/2, B3 1")[0]?.suggestion).toContain("rise");
    expect(findings("leap-recovery", "C4 1/2, A4 1/2, B4 1")[0]?.message).toContain(" A ");
  });

  it("leap-size: an octave at most, inside a phrase", () => {
    expect(places("leap-size", "C4 1/2, C5 1/2, C4 1")).toEqual(nothing);
    expect(places("leap-size", "C4 1/2, C#5 1/2, B4 1/2, Bb3 1")).toEqual(["1 3/2", "1 5/2"]);
    expect(places("leap-size", "C4 1/2, D4 1/2, r 1, E6 1/2, D6 1")).toEqual(nothing);
    expect(findings("leap-size", "C4 1/2, C#5 1/2")[0]?.message).toMatch(/ C .* C♯ /);
  });

  it("repeats: three times in a row, told once, inside a phrase", () => {
    expect(places("repeats", "G4 1/2, G4 1/2, G4 1/2, E4 1")).toEqual(nothing);
    expect(places("repeats", "G4 1/2, G4 1/2, G4 1/2, G4 1/2, G4 1/2, E4 1")).toEqual(["1 5/2"]);
    expect(places("repeats", "G4 1/2, G4 1/2, G5 1/2, G4 1/2, G4 1/2, E4 1")).toEqual(nothing);
    expect(places("repeats", "G4 1/2, G4 1/2, r 1, G4 1/2, G4 1/2, E4 1")).toEqual(nothing);
    expect(findings("repeats", "G4 1/2, G4 1/2, G4 1/2, G4 1/2, E4 1")[0]?.message).toMatch(/^G .* 3 /);
  });

  it("contour: from eight notes on, a major third, and three times on the top", () => {
    expect(places("contour", `${repeated("C4 1/2, Eb4 1/2", 3)}, C4 1`)).toEqual(nothing);
    expect(places("contour", `${repeated("C4 1/2, Eb4 1/2", 3)}, D4 1/2, C4 1`)).toEqual(["1 1"]);
    expect(places("contour", `${repeated("C4 1/2, D4 1/2", 3)}, E4 1/2, C4 1`)).toEqual(nothing);
    expect(places("contour", `${repeated("C4 1/2, E4 1/2", 3)}, D4 1/2, C4 1`)).toEqual(nothing);
    expect(places("contour", `${repeated("C4 1/2, E4 1/2", 4)}, C4 1`)).toEqual(["1 9/2"]);
    // Struck again at once, the top counts once.
    expect(places("contour", `${repeated("C4 1/2, E4 1/2, E4 1/2", 3)}, C4 1`)).toEqual(nothing);
    expect(findings("contour", `${repeated("C4 1/2, E4 1/2", 5)}, C4 1`)[0]?.message).toMatch(/ E 5 /);
  });

  it("motif-answered: among three phrases of four notes or more, the same rhythm or the same shape twice", () => {
    const [a, b, c] = [
      "C4 1/2, D4 1/2, E4 1/2, G4 1",
      "A4 1, E4 1/2, G4 1/2, A4 1",
      "D4 1/3, C4 1/3, A3 1/3, D4 1",
    ] as [string, string, string];
    const told = (...texts: readonly string[]): readonly string[] => places("motif-answered", texts.join(", r 2, "));
    expect(told(a, b, c)).toEqual(["2 3/2"]);
    expect(told(a, b)).toEqual(nothing);
    expect(told(a, "A4 1/2, E4 1/2, G4 1/2, E4 1", c)).toEqual(nothing);
    expect(told(a, b, "C4 1/3, D4 1/3, E4 1/3, F4 1")).toEqual(nothing);
    expect(told(a, b, "D4 1/3, C4 1/3, A3 1")).toEqual(nothing);
    // The fourth note's length and the notes after it are no part of the beginning.
    expect(told(a, "A4 1/2, E4 1/2, G4 1/2, E4 1/2, C4 1", c)).toEqual(nothing);
    expect(told("D4 1/2, C4 1/2", a, "C4 1/2, D4 1/2", b, c)).toEqual(["3 7/2"]);
  });

  it("density: 9.75 notes a second, from four notes on", () => {
    const line = "C4 1/2, E4 1/2, G4 1/2, E4 2";
    expect(places("density", line, { ...overC, tempo: 292.5 })).toEqual(nothing);
    expect(places("density", line, { ...overC, tempo: 293 })).toEqual(["1 1"]);
    expect(places("density", "C4 1/2, E4 1/2, G4 2", { ...overC, tempo: 400 })).toEqual(nothing);
    expect(findings("density", line, { ...overC, tempo: 300 })[0]?.message).toContain("10.0");
    expect(places("density", read(line, 7), { ...overC, tempo: 292.5 })).toEqual(nothing);
    expect(places("density", read(line, 7), { ...overC, tempo: 293 })).toEqual(["2 4"]);
  });

  it("names what to aim at as a choice", () => {
    const [found] = findings(
      "resting-note",
      [{ at: beats(0), duration: beats("1/2"), pitches: [pitch("C#5")] }],
      over("Bb7"),
    );
    expect(found?.suggestion).toContain("B♭, D, F or A♭");
    expect(findings("resting-note", "C#5 1/2", over("C5"))[0]?.suggestion).toMatch(/on C or G$/);
    expect(findings("resting-note", "C#5 1/2", over("C(no3)(no5)"))[0]?.suggestion).toMatch(/on C$/);
  });
});
