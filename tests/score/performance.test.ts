import fc from "fast-check";
import { describe, expect, it } from "vitest";
import type { NoteEvent, Score, ScoreInput } from "../all.ts";
import {
  addBeats,
  beats,
  compareBeats,
  equalBeats,
  makeScore,
  metre,
  midiNumber,
  parseKey,
  pitch,
  soundingNotes,
  soundingSpan,
  straight,
  swungFeel,
} from "../all.ts";
import { anyScore } from "./arbitrary.ts";

const note = (at: string, duration: string, ...names: string[]): NoteEvent => ({
  at: beats(at),
  duration: beats(duration),
  pitches: names.map((n) => pitch(n as "C4")),
});
const right = (events: readonly NoteEvent[], parts: Partial<ScoreInput> = {}): Score =>
  makeScore({ key: parseKey("C"), metre: metre("4/4"), bars: 2, tempo: 150, right: events, ...parts });
const heard = (score: Score): readonly string[] =>
  soundingNotes(score, "right").map(
    (n) => `${n.midi} ${n.at.num}/${n.at.den}+${n.duration.num}/${n.duration.den}${n.grace ? " grace" : ""}`,
  );

describe("sounding notes", () => {
  it("law: each pitch and each grace note of a part sounds exactly once", () => {
    fc.assert(
      fc.property(anyScore(), (score) => {
        for (const part of ["right", "left", "bass"] as const) {
          const expected = (score[part] ?? []).flatMap((event, i) => [
            ...event.pitches.map((p) => `${i} ${midiNumber(p)}`),
            ...(event.graces ?? []).map((g) => `${i} ${midiNumber(g.pitch)} grace`),
          ]);
          const sounding = soundingNotes(score, part).map((n) => `${n.event} ${n.midi}${n.grace ? " grace" : ""}`);
          expect([...sounding].sort()).toEqual([...expected].sort());
        }
        expect(soundingNotes(score, "drums").map((n) => n.midi)).toEqual((score.drums ?? []).map((d) => d.midi));
      }),
      { numRuns: 80 },
    );
  });

  it("law: without grace notes, staccato and swing, written time is heard", () => {
    fc.assert(
      fc.property(anyScore({ graces: false, swing: false }), (score) => {
        for (const n of soundingNotes(score, "right")) {
          const event = score.right[n.event] as NoteEvent;
          expect(n.at).toEqual(event.at);
          if (event.articulation !== "staccato") expect(n.duration).toEqual(event.duration);
        }
      }),
      { numRuns: 60 },
    );
  });

  it("law: main notes start where the feel puts them, unless a grace note opens the score; none is of no length", () => {
    fc.assert(
      fc.property(anyScore(), (score) => {
        const first = score.right[0];
        const sounding = soundingNotes(score, "right");
        for (const n of sounding) {
          const event = score.right[n.event] as NoteEvent;
          expect(n.duration.num).toBeGreaterThan(0);
          if (
            !n.grace &&
            (first === undefined || compareBeats(event.at, first.at) > 0) &&
            score.feel.parts === undefined
          ) {
            expect(equalBeats(n.at, soundingSpan(score.feel, event).at)).toBe(true);
          }
          const main = sounding.find((m) => m.event === n.event && !m.grace);
          if (n.grace) expect(compareBeats(addBeats(n.at, n.duration), main?.at ?? beats(-99))).toBeLessThanOrEqual(0);
        }
      }),
      { numRuns: 80 },
    );
  });

  it("a grace note takes its time from the note that ends there", () => {
    const main: NoteEvent = { ...note("1", "1", "E4"), graces: [{ pitch: pitch("Eb4"), style: "slide" }] };
    expect(heard(right([note("0", "1", "C4"), main]))).toEqual(["60 0/1+7/8", "63 7/8+1/8 grace", "64 1/1+1/1"]);
    // A note held past it keeps its length.
    expect(heard(right([note("0", "2", "C3"), note("0", "1", "C4"), main]))[0]).toBe("48 0/1+2/1");
  });

  it("grace notes leave something of an opening note that its own grace notes put off", () => {
    const graces = Array.from({ length: 2 }, () => ({ pitch: pitch("Eb4"), style: "slide" as const }));
    const score = right(
      [
        { ...note("0", "3/8", "C4"), graces },
        { ...note("3/8", "3/8", "E4"), graces },
      ],
      { tempo: 240 },
    );
    for (const sounding of soundingNotes(score, "right")) expect(sounding.duration.num).toBeGreaterThan(0);
  });

  it("grace notes take no more than half the time since the last start", () => {
    const graces = Array.from({ length: 4 }, () => ({ pitch: pitch("Eb4"), style: "crushed" as const }));
    const score = right([note("0", "1/4", "C4"), { ...note("1/4", "1", "E4"), graces }]);
    expect(heard(score)).toEqual([
      "60 0/1+1/8",
      "63 1/8+1/32 grace",
      "63 5/32+1/32 grace",
      "63 3/16+1/32 grace",
      "63 7/32+1/32 grace",
      "64 1/4+1/1",
    ]);
  });

  it("at the very start a grace note sounds on the beat", () => {
    expect(heard(right([{ ...note("0", "1", "E4"), graces: [{ pitch: pitch("Eb4"), style: "slide" }] }]))).toEqual([
      "63 0/1+1/8 grace",
      "64 1/8+7/8",
    ]);
  });

  it("after a rest it sounds before the beat", () => {
    const main: NoteEvent = { ...note("2", "1", "E4"), graces: [{ pitch: pitch("Eb4"), style: "slide" }] };
    expect(heard(right([main]))).toEqual(["63 15/8+1/8 grace", "64 2/1+1/1"]);
  });

  it("grace notes of a slow score take 60 ms", () => {
    const main: NoteEvent = { ...note("1", "1", "E4"), graces: [{ pitch: pitch("Eb4"), style: "crushed" }] };
    const grace = soundingNotes(right([note("0", "1", "C4"), main], { tempo: 50 }), "right")[1];
    expect(grace?.duration).toEqual(beats("1/20"));
  });

  it("swings each part by its own feel", () => {
    const feel = swungFeel("2:1", { parts: { left: { ratio: { first: 1, second: 1 } } } });
    const score = right([note("1/2", "1/2", "C4")], { feel, left: [note("1/2", "1/2", "C3")] });
    expect(soundingNotes(score, "right")[0]?.at).toEqual(beats("2/3"));
    expect(soundingNotes(score, "left")[0]?.at).toEqual(beats("1/2"));
  });

  it("shortens staccato, strengthens accents, softens grace notes, and has a level for each part", () => {
    const accent: NoteEvent = { ...note("0", "1", "C4"), articulation: "accent", velocity: 120 };
    const short: NoteEvent = {
      ...note("1", "1", "D4"),
      articulation: "staccato",
      graces: [{ pitch: pitch("C4"), style: "crushed" }],
    };
    const notes = soundingNotes(right([accent, short], { feel: straight }), "right");
    expect(notes.map((n) => n.velocity)).toEqual([127, 74, 84]);
    expect(notes[2]?.duration).toEqual(beats("1/2"));
  });
});
