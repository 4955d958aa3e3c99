import { describe, expect, it } from "vitest";
import type { NoteEvent, PlayedNote } from "../all.ts";
import { assessTake, beatsOf, makeScore, metre, parseKey, parseProgression, pitchFromMidi, swungFeel } from "../all.ts";

const eighths = Array.from(
  { length: 64 },
  (_, i): NoteEvent => ({
    at: beatsOf(i, 2),
    duration: beatsOf(1, 2),
    pitches: [pitchFromMidi(60 + ((i * 5) % 12), "flats")],
  }),
);
const chords = Array.from(
  { length: 8 },
  (_, i): NoteEvent => ({
    at: beatsOf(i * 4, 1),
    duration: beatsOf(4, 1),
    pitches: [45, 52].map((midi) => pitchFromMidi(midi + ((i * 5) % 7), "flats")),
  }),
);
const score = makeScore({
  key: parseKey("C"),
  metre: metre("4/4"),
  bars: 8,
  tempo: 120,
  feel: swungFeel("2:1"),
  right: eighths,
  left: chords,
  chords: parseProgression("C | F | G | C | Am | Dm | G | C").chords,
});

interface Struck {
  readonly hand: "right" | "left";
  readonly index: number;
}

/** The score as it is written, swung at two to one, each note changed as told. */
const take = (change: (note: Struck) => Partial<PlayedNote>): readonly PlayedNote[] => [
  ...eighths.map(({ pitches: [pitch] }, index) => ({
    midi: pitch === undefined ? 0 : 60 + ((index * 5) % 12),
    onsetSeconds: ((index >> 1) + (index % 2 === 0 ? 0 : 2 / 3)) / 2,
    durationSeconds: index % 2 === 0 ? 0.31 : 0.155,
    velocity: 78 + (index % 3),
    ...change({ hand: "right", index }),
  })),
  ...chords.flatMap((_, index) =>
    [45, 52].map((midi) => ({
      midi: midi + ((index * 5) % 7),
      onsetSeconds: index * 2,
      durationSeconds: 1.9,
      velocity: 62 + (index % 3),
      ...change({ hand: "left", index }),
    })),
  ),
];
const heard = (change: (note: Struck) => Partial<PlayedNote>) => assessTake(score, take(change));
const ids = (change: (note: Struck) => Partial<PlayedNote>): readonly string[] =>
  heard(change).findings.map(({ id }) => id);

describe("balance, accents, legato and pedal", () => {
  it("of a take that is played well nothing is said", () => {
    expect(ids(() => ({}))).toEqual([]);
  });

  it("a left hand louder than the right covers it; as loud as written it doesn't, and an instrument without touch tells nothing", () => {
    const assessment = heard(({ hand, index }) => (hand === "left" ? { velocity: 92 + (index % 3) } : {}));
    expect(assessment.balance).toMatchObject({ right: 79, left: 92.9, asked: 16 });
    expect(assessment.say.map(({ id }) => id)).toEqual(["balance"]);
    expect(ids(({ hand, index }) => (hand === "left" ? { velocity: 76 + (index % 3) } : {}))).toEqual([]);
    expect(heard(() => ({ velocity: 90 })).balance).toBeUndefined();
  });

  it("a swung line with its weight on the beats is stiff; with it on the offbeats it is praised for its shape", () => {
    const on = (by: number) => (note: Struck) =>
      note.hand === "right" ? { velocity: 78 + (note.index % 2 === 0 ? by : 0) + (note.index % 3) } : {};
    const stiff = heard(on(12));
    expect(stiff.hands[0]?.accents?.offbeats).toBeCloseTo(-12, 0);
    expect(stiff.findings.map(({ id }) => id)).toContain("stiff-accents");
    const shaped = heard(on(-8));
    expect(shaped.findings.map(({ id }) => id)).not.toContain("stiff-accents");
    expect(shaped.hands[0]?.accents?.shape).toBeGreaterThan(0.3);
  });

  it("short notes that are let go early are detached, unless a pedal joins them", () => {
    const short = { durationSeconds: 0.08 };
    const assessment = heard(({ hand }) => (hand === "right" ? short : {}));
    // 0.08 of 0.333 and of 0.167 seconds: about a quarter and a half, in equal numbers.
    expect(assessment.hands[0]?.legato).toMatchObject({ notes: 63, share: 0.24 });
    expect(assessment.findings.map(({ id }) => id)).toContain("detached");
    expect(ids(({ hand }) => (hand === "right" ? { ...short, soundingSeconds: 0.3 } : {}))).not.toContain("detached");
  });

  it("a pedal that is held over the change of chord blurs, one that is changed with it doesn't", () => {
    const until = (late: number) => (note: Struck) => {
      const onset =
        note.hand === "left" ? note.index * 2 : ((note.index >> 1) + (note.index % 2 === 0 ? 0 : 2 / 3)) / 2;
      return { soundingSeconds: (Math.floor(onset / 2) + 1) * 2 + late - onset };
    };
    const blurred = heard(until(1));
    expect(blurred.pedal?.blurred).toBeGreaterThan(60);
    expect(blurred.findings.map(({ id }) => id)).toContain("pedal-blur");
    expect(heard(until(0.05)).pedal).toMatchObject({ blurred: 0, bars: [] });
  });
});
