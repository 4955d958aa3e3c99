import { describe, expect, it } from "vitest";
import { askedNotes } from "../../src/assess/align/asked.ts";
import { inOrder } from "../../src/assess/align/played.ts";
import type { Alignment, Finding, NoteEvent, PlayedNote, Score } from "../all.ts";
import {
  addBeats,
  alignTake,
  assessTake,
  beats,
  beatsOf,
  findingCatalogue,
  makeScore,
  metre,
  midiNumber,
  parseKey,
  pitch,
  pitchFromMidi,
  simulateTake,
  swungFeel,
} from "../all.ts";

const quarters = (keys: readonly number[], fields: Partial<NoteEvent> = {}): readonly NoteEvent[] =>
  keys.map((midi, i) => ({ at: beats(i), duration: beats(1), pitches: [pitchFromMidi(midi, "flats")], ...fields }));

const keys = [60, 62, 64, 65, 67, 69, 71, 72];
const score = (fields: Partial<Parameters<typeof makeScore>[0]> = {}): Score =>
  makeScore({ key: parseKey("C"), metre: metre("4/4"), bars: 2, tempo: 120, right: quarters(keys), ...fields });
const play = (midi: number, onsetSeconds: number, fields: Partial<PlayedNote> = {}): PlayedNote => ({
  midi,
  onsetSeconds,
  durationSeconds: 0.4,
  velocity: 80,
  ...fields,
});

const refusal = (
  run: () => unknown,
): {
  readonly code: string;
  readonly input: unknown;
  readonly expected: string;
  readonly reason?: string;
  readonly hint?: string;
} => {
  try {
    run();
  } catch (error) {
    return error as ReturnType<typeof refusal>;
  }
  throw new Error("nothing was refused");
};

describe("what a score asks for", () => {
  it("each key of each event, grace notes with their main note, right before left, low before high", () => {
    const right: readonly NoteEvent[] = [
      { at: beats(0), duration: beats(1), pitches: [pitch("C4"), pitch("E4")], fingers: [1, 3] },
      {
        at: beats("3/2"),
        duration: beats("1/2"),
        pitches: [pitch("G4")],
        fingers: [2],
        graces: [{ pitch: pitch("Gb4"), style: "slide", finger: 4 }],
        velocity: 99,
      },
    ];
    const left: readonly NoteEvent[] = [{ at: beats(0), duration: beats(4), pitches: [pitch("C3"), pitch("B3")] }];
    const asked = askedNotes(score({ bars: 1, right, left, feel: swungFeel("2:1") }));
    expect(
      asked.map((note) => [note.index, note.hand, note.event, note.pitch, note.midi, note.finger, note.grace]),
    ).toEqual([
      [0, "right", 0, "C4", 60, 1, false],
      [1, "right", 0, "E4", 64, 3, false],
      [2, "left", 0, "C3", 48, undefined, false],
      [3, "left", 0, "B3", 59, undefined, false],
      [4, "right", 1, "Gb4", 66, 4, true],
      [5, "right", 1, "G4", 67, 2, false],
    ]);
    expect(asked[2]).not.toHaveProperty("finger");
    // Written on the second half of beat 2, heard at two thirds of it; held to the next beat.
    expect(asked[5]).toMatchObject({ bar: 1, beat: "5/2", velocity: 99 });
    expect(asked[5]?.sounds).toBeCloseTo(5 / 3, 9);
    expect(asked[4]?.sounds).toBe(asked[5]?.sounds);
    expect(asked[5]?.lasts).toBeCloseTo(1 / 3, 9);
    expect(asked[0]).toMatchObject({ bar: 1, beat: "1", sounds: 0, lasts: 1, at: beats(0) });
    const pickup = askedNotes(
      score({
        pickup: beats(1),
        right: [{ at: beats(-1), duration: beats(1), pitches: [pitch("C4")] }, ...quarters(keys)],
      }),
    );
    expect(pickup[0]).toMatchObject({ bar: 0, sounds: -1 });
  });

  it("several grace notes each with its own name and finger, in the order in which they are played", () => {
    const graces = [
      { pitch: pitch("F#4"), style: "slide", finger: 3 },
      { pitch: pitch("Gb5"), style: "slide" },
      { pitch: pitch("Ab4"), style: "slide", finger: 5 },
    ] as const;
    const right: readonly NoteEvent[] = [
      ...quarters([60]),
      { at: beats(1), duration: beats(1), pitches: [pitch("G4"), pitch("B4")], fingers: [1, 2], graces },
    ];
    const left = [{ at: beats(1), duration: beats(1), pitches: [pitch("C3")] }];
    expect(askedNotes(score({ right, left })).map((note) => [note.hand, note.pitch, note.finger, note.grace])).toEqual([
      ["right", "C4", undefined, false],
      ["right", "F#4", 3, true],
      ["right", "Gb5", undefined, true],
      ["right", "Ab4", 5, true],
      ["right", "G4", 1, false],
      ["right", "B4", 2, false],
      ["left", "C3", undefined, false],
    ]);
  });

  it("an alignment shows the same notes, without the exact moment", () => {
    const { asked } = alignTake(
      score(),
      keys.map((midi, i) => play(midi, i / 2)),
    );
    expect(asked).toEqual(askedNotes(score()).map(({ at: _at, ...note }) => note));
  });

  it("refuses a score without notes for a hand", () => {
    expect(refusal(() => askedNotes(score({ right: [], title: "Empty" })))).toMatchObject({
      code: "assess/score",
      input: "Empty",
    });
  });
});

describe("what was played", () => {
  it("in order of time, then key, then as given; percussion apart", () => {
    const given = [
      play(64, 1),
      play(60, 1),
      play(60, 1, { velocity: 3 }),
      play(42, 0, { channel: 9 }),
      play(72, 0, { channel: 0 }),
    ];
    expect(inOrder(given).map(({ index }) => index)).toEqual([4, 1, 2, 0]);
    expect(given.map((note) => note.midi)).toEqual([64, 60, 60, 42, 72]);
  });

  it("refuses what is no note, and tells which", () => {
    const bad: readonly Partial<PlayedNote>[] = [
      { onsetSeconds: Number.NaN },
      { onsetSeconds: Infinity },
      { durationSeconds: -0.1 },
      { durationSeconds: Infinity },
      { midi: 60.5 },
      { midi: -1 },
      { midi: 128 },
      { velocity: -1 },
      { velocity: 128 },
    ];
    for (const fields of bad) {
      const note = { ...play(60, 0), ...fields };
      expect(refusal(() => inOrder([play(60, 0), note]))).toMatchObject({ code: "assess/played", input: note });
    }
    for (const fields of [
      { durationSeconds: 0 },
      { midi: 0 },
      { midi: 127 },
      { velocity: 0 },
      { velocity: 127 },
      { onsetSeconds: -3 },
    ])
      expect(inOrder([{ ...play(60, 0), ...fields }])).toHaveLength(1);
    expect(refusal(() => inOrder("take" as never))).toMatchObject({ code: "assess/played", input: "string" });
    expect(refusal(() => inOrder([]))).toMatchObject({ code: "assess/played", input: "no notes" });
    expect(refusal(() => inOrder([play(42, 0, { channel: 9 })]))).toMatchObject({
      code: "assess/played",
      input: "no notes",
    });
  });
});

describe("what a student is told", () => {
  const both = makeScore({
    key: parseKey("C"),
    metre: metre("4/4"),
    bars: 8,
    tempo: 120,
    title: "Study",
    right: quarters([...keys, ...keys, ...keys, ...keys]),
    left: quarters([...keys, ...keys, ...keys, ...keys].map((key) => key - 24)),
  });
  const bad = () =>
    assessTake(
      both,
      simulateTake(both, {
        seed: 1,
        wrong: 0.1,
        missed: 0.1,
        extra: 0.05,
        tempo: 90,
        lateLeftMs: 60,
        velocitySpread: 30,
        held: 0.4,
        jitterMs: 5,
      }).played,
    );

  it("the weightiest, each of another topic, hand or cause, three at most", () => {
    const { findings, say } = bad();
    const topic = (id: string): string | undefined => findingCatalogue.find((row) => row.id === id)?.topic;
    const meet = (a: Finding, b: Finding): boolean => a.hand === undefined || b.hand === undefined || a.hand === b.hand;
    expect(say).toHaveLength(3);
    expect(findings.filter((one) => say.some((said) => said.message === one.message))).toEqual(say);
    say.forEach((one, i) =>
      say.slice(i + 1).forEach((other) => {
        if (topic(one.id) !== topic(other.id) || !meet(one, other)) return;
        // Slips of one hand are told twice only where they are of two kinds.
        expect(topic(one.id)).toBe("notes");
        expect([one.id, other.id]).not.toContain("trouble-spot");
        expect(one.message).not.toBe(other.message);
      }),
    );
    for (const finding of findings) expect(finding.weight).toBe(Number(finding.weight.toFixed(3)));
  });

  it("the same in both hands is one remark; after a good take one thing at most; one slip in many goes unsaid", () => {
    const uneven = assessTake(both, simulateTake(both, { velocitySpread: 30, seed: 2 }).played);
    expect(uneven.findings.filter(({ id }) => id === "uneven-touch")).toHaveLength(1);
    expect(uneven.say[0]?.message).toMatch(
      /hand's notes differ in loudness.* The same goes for the (left|right) hand\./,
    );
    expect(uneven.practise[0]).toMatchObject({
      hands: "both",
      how: expect.stringContaining("Each hand alone") as string,
    });
    const good = assessTake(both, simulateTake(both, { wrongAt: [3], velocitySpread: 20, seed: 2 }).played);
    expect(good.findings.length).toBeGreaterThan(1);
    expect(good.say).toHaveLength(1);
    const long = makeScore({
      key: parseKey("C"),
      metre: metre("4/4"),
      bars: 36,
      right: quarters(Array.from({ length: 18 }, () => keys).flat()),
    });
    const slip = assessTake(long, simulateTake(long, { wrongAt: [50] }).played);
    expect(slip.findings.map(({ id }) => id)).toEqual(["wrong-notes"]);
    expect(slip.say).toEqual([]);
    expect(assessTake(long, simulateTake(long, { wrongAt: [50, 90] }).played).say).toHaveLength(1);
  });

  it("the score's title and size, a version, and each hand that the score has", () => {
    const assessment = bad();
    expect(assessment).toMatchObject({
      kind: "assessment",
      version: 1,
      title: "Study",
      bars: 8,
      barLength: 4,
      hands: [{ hand: "right" }, { hand: "left" }],
      tempo: { asked: 120 },
    });
    expect(assessment).toHaveProperty("together");
    const one = assessTake(
      score(),
      keys.map((midi, i) => play(midi, i / 2)),
    );
    expect(one.hands.map((hand) => hand.hand)).toEqual(["right"]);
    expect(one).not.toHaveProperty("together");
    expect(one.accuracy).toMatchObject({ asked: 8, right: 8, accuracy: 1 });
    expect(
      assessTake(both, simulateTake(both, { wrongAt: [3] }).played, { most: 1 }).findings.every(
        (finding) => finding.hand !== undefined || !("hand" in finding),
      ),
    ).toBe(true);
  });
});

describe("the reading of a take", () => {
  const align = (take: readonly PlayedNote[], of: Score = score()): Alignment => alignTake(of, take);
  const inTime = (midi: readonly number[], pace = 0.5, start = 0): readonly PlayedNote[] =>
    midi.map((key, i) => play(key, start + i * pace));

  it("tells of each note its index in the take as it was given, its hand, run and place", () => {
    const take = [...inTime(keys)].reverse();
    const { kind, notes, cost, runs } = align(take);
    expect(kind).toBe("alignment");
    expect(notes.map((note) => [note.state, note.run, note.hand, note.asked, note.played])).toEqual(
      keys.map((_, i) => ["right", 0, "right", i, 7 - i]),
    );
    notes.forEach((note, i) => {
      expect(note.offMs).toBeCloseTo(0, 6);
      expect(note.heard).toBeCloseTo(i, 6);
      expect(note.lasted).toBeCloseTo(0.8, 6);
    });
    expect(cost).toBe(0);
    expect(runs).toMatchObject([
      { begins: "start", from: { bar: 1, beat: "1" }, to: { bar: 2, beat: "4" }, pauses: [] },
    ]);
    for (const { tempo } of runs[0]?.tempos ?? []) expect(tempo).toBeCloseTo(120, 6);
    expect(runs[0]?.tempos.map(({ quarter }) => quarter)).toEqual([0, 1, 2, 3, 4, 5, 6]);
  });

  it("a missed note has neither time nor key; a wrong one has both; an extra one is no note of the score", () => {
    const take = [
      ...inTime(keys)
        .filter((_, i) => i !== 3)
        .map((note) => (note.midi === 69 ? { ...note, midi: 70 } : note)),
      play(90, 1.1),
    ];
    const { notes } = align(take);
    const missed = notes.find((note) => note.state === "missed");
    expect(missed).toEqual({ state: "missed", run: 0, hand: "right", asked: 3 });
    expect(notes.find((note) => note.state === "wrong")).toMatchObject({ asked: 5, played: 4, hand: "right" });
    const extra = notes.find((note) => note.state === "extra");
    expect(extra).toMatchObject({ played: 7, hand: "right", heard: expect.closeTo(2.2, 1) as number });
    expect(Object.keys(extra ?? {}).sort()).toEqual(["hand", "heard", "lasted", "played", "run", "state"]);
    // In order of where they lie.
    expect(notes.map((note) => note.asked ?? "extra")).toEqual([0, 1, 2, "extra", 3, 4, 5, 6, 7]);
  });

  it("gives an extra note to the hand that was asked for the nearest key then, or by middle C where none was", () => {
    const left = quarters(keys.map((key) => key - 24));
    const two = score({ left });
    const take = (extra: PlayedNote): readonly PlayedNote[] => [
      ...inTime(keys),
      ...inTime(keys.map((key) => key - 24)),
      extra,
    ];
    const handOf = (extra: PlayedNote, of = two, all = take(extra)): string | undefined =>
      align(all, of).notes.find((note) => note.state === "extra")?.hand;
    expect([79, 55, 50, 30, 56].map((midi) => handOf(play(midi, 1.75)))).toEqual([
      "right",
      "right",
      "left",
      "left",
      "right",
    ]);
    // What the recording says goes before.
    expect(handOf(play(79, 1.75, { hand: "left" }), two, take(play(79, 1.75, { hand: "left" })))).toBe("left");
    // An octave higher in both hands: nearness is by the keys as they were played.
    const high = [...inTime(keys.map((key) => key + 12)), ...inTime(keys.map((key) => key - 12)), play(64, 1.75)];
    expect(handOf(play(64, 1.75), two, high)).toBe("left");
    // Only the notes within two quarter notes count: there the right hand rests.
    const resting = score({ right: quarters(keys.slice(0, 4)), left: quarters(keys.map((key) => key - 24)) });
    expect(
      handOf(play(62, 3.7), resting, [
        ...inTime(keys.slice(0, 4)),
        ...inTime(keys.map((key) => key - 24)),
        play(66, 3.7),
      ]),
    ).toBe("left");
    const parted = [
      ...quarters(keys.slice(0, 4)),
      ...quarters(keys)
        .slice(4)
        .map((one) => ({ ...one, at: addBeats(one.at, beats(8)) })),
    ];
    const far = (midi: number): string | undefined =>
      handOf(play(midi, 0), score({ bars: 4, right: parted }), [
        ...inTime(keys).map((note, i) => ({ ...note, onsetSeconds: note.onsetSeconds + (i < 4 ? 0 : 4) })),
        play(midi, 3.9),
      ]);
    expect([60, 59].map(far)).toEqual(["right", "left"]);
  });

  it("begins at the start, or ahead; goes back, ahead, or from the top again", () => {
    const long = [60, 62, 64, 65, 67, 69, 71, 72, 74, 76, 77, 79, 81, 83, 84, 86];
    const four = score({ bars: 4, right: quarters(long) });
    const begins = (...passages: readonly (readonly number[])[]): readonly string[] =>
      align(inTime(passages.flat()), four).runs.map((run) => `${run.begins} ${run.from.bar}-${run.to.bar}`);
    expect(begins(long)).toEqual(["start 1-4"]);
    expect(begins(long.slice(4))).toEqual(["start 2-4"]);
    expect(begins(long.slice(0, 8), long.slice(4))).toEqual(["start 1-2", "back 2-4"]);
    expect(begins(long.slice(0, 6), long)).toEqual(["start 1-2", "back 1-4"]);
    expect(begins(long, long)).toEqual(["start 1-4", "again 1-4"]);
    expect(begins(long, long.slice(4))).toEqual(["start 1-4", "back 2-4"]);
    expect(begins(long.slice(0, 4), long.slice(8))).toEqual(["start 1-1", "ahead 3-4"]);
    // Less than a bar passed over is a few missed notes in the same run.
    const eighths = score({
      right: long.map((midi, i) => ({
        at: beatsOf(i, 2),
        duration: beatsOf(1, 2),
        pitches: [pitchFromMidi(midi, "flats")],
      })),
    });
    const skipped = align(
      inTime(long, 0.25).filter((_, i) => i < 5 || i > 8),
      eighths,
    );
    expect(skipped.runs).toHaveLength(1);
    expect(skipped.notes.filter((note) => note.state === "missed").map((note) => note.asked)).toEqual([5, 6, 7, 8]);
    expect(skipped.leftOut).toEqual([]);
    // What a later run came to was not left out.
    expect(align(inTime([...long.slice(4, 12), ...long.slice(0, 8)]), four)).toMatchObject({
      leftOut: [],
      attempt: { bars: { from: 1, to: 3 }, whole: false },
    });
  });

  it.each([0, 12])(
    "where keys could be the last before going back or the first after it, the longer silence decides (%i semitones higher)",
    (shift) => {
      const figure = [60, 62, 64, 65, 60, 62, 67, 69, 71, 72, 74, 76];
      const of = score({
        right: figure.map((midi, i) => ({
          at: beatsOf(i, 2),
          duration: beatsOf(1, 2),
          pitches: [pitchFromMidi(midi, "flats")],
        })),
      });
      const take = (before: number): readonly PlayedNote[] =>
        [...figure.slice(0, 4), ...figure].map((midi, i) =>
          play(midi + shift, i / 4 + (i >= before ? 1 : 0), { durationSeconds: 0.2 }),
        );
      const runs = (before: number): readonly (readonly (number | undefined)[])[] => {
        const { notes } = align(take(before), of);
        expect(new Set(notes.map((note) => note.state))).toEqual(new Set(["right"]));
        return [0, 1].map((run) => notes.filter((note) => note.run === run).map((note) => note.asked));
      };
      const up = (from: number, to: number): readonly number[] => Array.from({ length: to - from }, (_, i) => from + i);
      // Four notes and back to the first, or six and back to the third.
      expect(runs(4)).toEqual([up(0, 4), up(0, 12)]);
      expect(runs(6)).toEqual([up(0, 6), up(2, 12)]);
    },
  );

  it("takes two keys in five that are right for the same piece, fewer for another", () => {
    const chromatic = score({ right: quarters([60, 60, 60, 60, 60, 60, 60, 60]) });
    const found = (count: number): unknown =>
      align(
        Array.from({ length: 10 }, (_, i) => play(i < count ? 60 : 30 + i * 7, i / 2)),
        chromatic,
      );
    expect(() => found(5)).not.toThrow();
    const { code, input, reason, hint } = refusal(() => found(3));
    expect([code, reason]).toEqual(["assess/unrelated", "cannot-be-done"]);
    expect(input).toBe("0 of 10 keys found in the score");
    expect(hint).not.toBe("");
  });

  it("times a hand that lags by the other's clock, and a chord by the middle of its keys", () => {
    const two = score({ left: quarters(keys.map((key) => key - 24)) });
    const { notes } = align(
      [
        ...inTime(keys),
        ...inTime(
          keys.map((key) => key - 24),
          0.5,
          0.08,
        ),
      ],
      two,
    );
    for (const note of notes) expect(note.offMs).toBeCloseTo(note.hand === "right" ? 0 : 80, 4);
  });

  it("plays at the written tempo where a single note is all", () => {
    const one = align([play(60, 3)], score({ right: quarters([60]), bars: 1, tempo: 60 }));
    expect(one.runs[0]?.tempos).toEqual([]);
    expect(one.notes[0]?.lasted).toBeCloseTo(0.4, 9);
    expect(one.notes[0]?.heard).toBe(0);
    expect(midiNumber(pitch("C4"))).toBe(60);
  });

  it("finds swung offbeats late by what they are late, not by what the feel asks for", () => {
    const eighths = Array.from(
      { length: 16 },
      (_, i): NoteEvent => ({
        at: beatsOf(i, 2),
        duration: beatsOf(1, 2),
        pitches: [pitchFromMidi(60 + ((i * 5) % 11), "flats")],
      }),
    );
    const swung = score({ right: eighths, feel: swungFeel("2:1") });
    const { notes } = align(
      eighths.map((event, i) =>
        play(
          midiNumber(event.pitches[0] as NoteEvent["pitches"][number]),
          Math.floor(i / 2) * 0.5 + (i % 2 === 0 ? 0 : 0.5 * 0.75),
        ),
      ),
      swung,
    );
    // 3:1 where 2:1 is asked: 0.75 - 0.667 of half a second.
    for (const note of notes)
      expect(note.offMs).toBeCloseTo((note.asked as number) % 2 === 0 ? 0 : 1000 * 0.5 * (3 / 4 - 2 / 3), 3);
  });
});
