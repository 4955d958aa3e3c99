import { describe, expect, it } from "vitest";
import type { NoteEvent, PlayedNote, Score } from "../all.ts";
import { assessTake, beatsOf, makeScore, metre, midiNumber, parseKey, parsePitch } from "../all.ts";

const line = (names: string, from = 0): readonly NoteEvent[] =>
  names
    .split(" ")
    .map((name, i) => ({ at: beatsOf(i + from, 1), duration: beatsOf(1, 1), pitches: [parsePitch(name)] }));

const scoreOf = (key: string, right: string, left = ""): Score =>
  makeScore({
    key: parseKey(key),
    metre: metre("4/4"),
    bars: Math.ceil(right.split(" ").length / 4),
    tempo: 100,
    right: line(right),
    left: left === "" ? [] : line(left),
  });

/** Played in time, but for the changes: by hand and place the name of the key that is struck instead. */
const play = (score: Score, right: Readonly<Record<number, string>>, left: typeof right = {}): readonly PlayedNote[] =>
  (["right", "left"] as const).flatMap((hand) =>
    score[hand].map((event, i) => {
      const other = (hand === "right" ? right : left)[i];
      const [written] = event.pitches;
      if (written === undefined) throw new Error("no pitch");
      return {
        midi: midiNumber(other === undefined ? written : parsePitch(other)),
        onsetSeconds: i * 0.6,
        durationSeconds: 0.55,
        velocity: 80,
      };
    }),
  );

const said = (score: Score, take: readonly PlayedNote[]): readonly string[] =>
  assessTake(score, take)
    .findings.filter(({ id }) => id === "wrong-notes")
    .map(({ message }) => message);

// What a teacher would say of each; common practice, no source.
describe("wrong notes by name and reason", () => {
  const flat = scoreOf("Eb", "Eb4 F4 G4 Ab4 Bb4 C5 D5 Eb5 Eb5 D5 C5 Bb4 Ab4 G4 F4 Eb4");

  it("a sign of the key, in one finding however often and in both hands", () => {
    expect(said(flat, play(flat, { 0: "E4", 7: "E5", 15: "E4" }))).toEqual([
      "You played E where E♭ is in the key, three times (bars 1, 2 and 4).",
    ]);
    const two = scoreOf("G", "G4 A4 B4 C5 D5 E5 F#5 G5", "G2 A2 B2 C3 D3 E3 F#3 G3");
    const { findings } = assessTake(two, play(two, { 6: "F5" }, { 6: "F3" }));
    expect(findings).toHaveLength(1);
    expect(findings[0]).toMatchObject({ message: "You played F where F♯ is in the key, twice (bar 2).", bars: [2] });
    expect(findings[0]).not.toHaveProperty("hand");
  });

  it("an accidental of the page", () => {
    const blues = scoreOf("C", "C4 Eb4 F4 F#4 G4 Bb4 C5 G4");
    expect(said(blues, play(blues, { 3: "F4" }))).toEqual(["You played F where the page asks for F♯ (bar 1)."]);
    const natural = scoreOf("F", "F4 G4 A4 B4 C5 A4 G4 F4");
    expect(said(natural, play(natural, { 3: "Bb4" }))).toEqual([
      "You played B♭ where the page asks for B natural (bar 1).",
    ]);
  });

  it("a hand that lay in another place, an octave, and a note beside", () => {
    const up = scoreOf("C", "C4 D4 E4 F4 G4 A4 B4 C5 C5 B4 A4 G4 F4 E4 D4 C4");
    const broken = scoreOf("C", "C4 E4 G4 C5 G4 E4 C5 A4 F4 A4 C5 F4");
    expect(said(broken, play(broken, { 4: "A4", 5: "F#4", 6: "D5", 7: "B4" }))).toEqual([
      "From bar 2 beat 1 on the right hand lay a whole step too high, for four notes.",
    ]);
    expect(said(up, play(up, { 8: "C6" }))).toEqual(["One note of the right hand came an octave too high (bar 3)."]);
    expect(said(up, play(up, { 6: "A4" }))).toEqual(["One wrong note in the right hand: A for B (bar 2 beat 3)."]);
    expect(said(up, play(up, { 1: "E4", 6: "A4" }))).toEqual([
      "Two wrong notes in the right hand: E for D (bar 1 beat 2) and A for B (bar 2 beat 3).",
    ]);
  });

  it("where the hand leaps, by how far it lands off", () => {
    const leaps = scoreOf("C", "C4 C4 A4 A4 C4 C4 B4 B4 C4 D4 E4 F4");
    expect(said(leaps, play(leaps, { 2: "F4", 6: "G4" }))).toEqual([
      "The right hand lands a third too low after the leap, twice (bars 1 and 2).",
    ]);
  });

  it("several causes are several findings; a key that both hands share sounds for both", () => {
    expect(said(flat, play(flat, { 0: "E4", 10: "B4" }))).toEqual([
      "You played E where E♭ is in the key (bar 1).",
      "One wrong note in the right hand: B for C (bar 3 beat 3).",
    ]);
    const shared = scoreOf("C", "C4 D4 E4 F4 G4 F4 E4 D4", "C3 D3 E4 F3 G3 F3 E3 D3");
    const once = play(shared, {}).filter(
      (note, i, all) => !all.slice(0, i).some((o) => o.midi === note.midi && o.onsetSeconds === note.onsetSeconds),
    );
    expect(once).toHaveLength(15);
    expect(assessTake(shared, once).findings).toEqual([]);
  });
});
