import { describe, expect, it } from "vitest";
import type { NoteEvent, PlayedNote, Score } from "../all.ts";
import {
  assessImprovisation,
  beatsOf,
  formatBeats,
  makeScore,
  metre,
  midiNumber,
  parseKey,
  parseProgression,
  pitch,
  pitchFromMidi,
  swungFeel,
} from "../all.ts";

/** A take at 60 quarter notes a minute: a second is a quarter note. */
type Stroke = readonly [midi: number, onset: number, duration?: number];
const take = (strokes: readonly Stroke[], hand?: "right" | "left"): readonly PlayedNote[] =>
  strokes.map(([midi, onsetSeconds, durationSeconds = 0.4]) => ({
    midi,
    onsetSeconds,
    durationSeconds,
    velocity: 80,
    ...(hand === undefined ? {} : { hand }),
  }));
const plain = (fields: Partial<Parameters<typeof makeScore>[0]> = {}): Score =>
  makeScore({ key: parseKey("C"), metre: metre("4/4"), bars: 4, tempo: 60, ...fields });
const told = (line: readonly NoteEvent[]): readonly string[] =>
  line.map((event) => `${formatBeats(event.at)} ${event.pitches.map(midiNumber).join(" ")}`);
const heard = (strokes: readonly Stroke[], fields: Partial<Parameters<typeof makeScore>[0]> = {}): readonly string[] =>
  told(assessImprovisation(plain(fields), take(strokes)).line);
/** A left hand of a chord at the start of each bar. */
const bars = (keys: readonly number[], count = 4): readonly NoteEvent[] =>
  Array.from(
    { length: count },
    (_, i): NoteEvent => ({
      at: beatsOf(4 * i, 1),
      duration: beatsOf(4, 1),
      pitches: keys.map((midi) => pitchFromMidi(midi, "flats")),
    }),
  );

describe("a line as it was heard", () => {
  it("keys struck within a moment are one chord, from low to high, each once", () => {
    expect(
      heard([
        [64, 0],
        [60, 0.02],
        [67, 0.03],
        [64, 0.035],
      ]),
    ).toEqual(["0 60 64 67"]);
    // At four quarter notes a second a third of one is longer than a moment.
    expect(
      heard(
        [
          [60, 0],
          [64, 0.03],
          [67, 1 / 12],
        ],
        { tempo: 240 },
      ),
    ).toEqual(["0 60 64", "1/3 67"]);
  });

  it("of two keys on one place the earlier was brushed", () => {
    expect(
      heard([
        [61, 1],
        [62, 1.06],
        [64, 2],
      ]),
    ).toEqual(["1 62", "2 64"]);
  });

  it("keeps notes apart where a finer grid can hold them", () => {
    expect(
      heard([
        [60, 0.29],
        [62, 0.39],
      ]),
    ).toEqual(["1/4 60", "1/2 62"]);
    expect(
      heard([
        [60, 0],
        [62, 0.25],
        [64, 0.5],
        [65, 0.75],
        [67, 1],
        [69, 1 + 1 / 3],
        [71, 1 + 2 / 3],
      ]),
    ).toEqual(["0 60", "1/4 62", "1/2 64", "3/4 65", "1 67", "4/3 69", "5/3 71"]);
  });

  it("takes the coarser values for notes that lie between", () => {
    expect(
      heard([
        [60, 0.07],
        [62, 0.56],
        [64, 0.94],
        [65, 1.45],
      ]),
    ).toEqual(["0 60", "1/2 62", "1 64", "3/2 65"]);
  });

  it("a note is held to the next unless half a beat or more is silent; then to the nearest half beat, and half a beat at least", () => {
    const { line } = assessImprovisation(
      plain(),
      take([
        [60, 0, 0.6],
        [62, 1, 0.5],
        [64, 2, 1.3],
        [65, 4, 0.1],
        [67, 6, 1.7],
      ]),
    );
    expect(line.map((event) => formatBeats(event.duration))).toEqual(["1", "1/2", "3/2", "1/2", "3/2"]);
  });

  it("names its keys as the key of the score does, and tells how far off they were on the whole", () => {
    const flat = assessImprovisation(
      plain({ key: parseKey("Eb") }),
      take([
        [63, 0.03],
        [68, 0.96],
      ]),
    );
    expect(flat.line.flatMap((event) => event.pitches)).toEqual([pitch("Eb4"), pitch("Ab4")]);
    // The root of the mean of 30 and 40 ms squared.
    expect(flat.offMs).toBe(Math.round(Math.sqrt((30 ** 2 + 40 ** 2) / 2)));
    expect(
      assessImprovisation(
        plain({ tempo: 120 }),
        take([
          [63, 0.015],
          [68, 0.48],
        ]),
      ).offMs,
    ).toBe(18);
  });

  it("swings as the right hand is asked to", () => {
    const feel = swungFeel("2:1", { parts: { right: { ratio: { first: 1, second: 1 } } } });
    const light = assessImprovisation(
      plain({ feel }),
      take([
        [60, 0],
        [62, 0.5],
        [64, 1],
      ]),
    );
    expect([told(light.line), light.offMs]).toEqual([["0 60", "1/2 62", "1 64"], 0]);
    expect(
      told(
        assessImprovisation(
          plain({ feel: swungFeel("2:1") }),
          take([
            [60, 0],
            [62, 2 / 3],
            [64, 1],
          ]),
        ).line,
      ),
    ).toEqual(["0 60", "1/2 62", "1 64"]);
  });

  it("law: it is plain data, with the title and bars of the score", () => {
    for (const left of [[], bars([48])]) {
      const result = assessImprovisation(
        plain({ title: "Etude", left }),
        take([
          [72, 0],
          [74, 1],
        ]),
      );
      expect(JSON.parse(JSON.stringify(result))).toStrictEqual(result);
      expect(result).toMatchObject({ kind: "improvisation", version: 1, title: "Etude", bars: 4 });
    }
  });

  it("praises its rest on the chords only where there are some", () => {
    // A repeated note and no more is amiss.
    const strokes = [0, 1, 2, 3, 4].map((at): Stroke => [67, at, at === 4 ? 2 : 0.9]);
    const over = assessImprovisation(plain({ chords: parseProgression("C6 | C6 | C6 | C6").chords }), take(strokes));
    const without = assessImprovisation(plain(), take(strokes));
    expect([over, without].map(({ findings }) => findings.map(({ rule }) => rule))).toEqual([["repeats"], ["repeats"]]);
    expect(over.praise).toMatch(/note that belongs/);
    expect(without.praise).not.toMatch(/belongs|chord/);
  });

  it("takes a thousand bars before and after the first bar line, and a start within ten hours of it", () => {
    const first = [72, 0] as const;
    const at = (bar: number): unknown => assessImprovisation(plain(), take([first, [74, (bar - 1) * 4]])).kind;
    expect([at(1000), at(-1000)]).toEqual(["improvisation", "improvisation"]);
    for (const bar of [1001, -1001])
      expect(() => at(bar)).toThrowError(
        expect.objectContaining({
          code: "assess/long",
          input: `bar ${bar}`,
          hint: expect.stringContaining("tempo") as string,
        }),
      );
    const waltz = (bar: number): unknown =>
      assessImprovisation(plain({ metre: metre("3/4") }), take([first, [74, (bar - 1) * 3]])).kind;
    expect(waltz(1000)).toBe("improvisation");
    expect(() => waltz(1001)).toThrowError(expect.objectContaining({ code: "assess/long", input: "bar 1001" }));
    for (const startSeconds of [36_000, -36_000]) {
      expect(
        told(
          assessImprovisation(
            plain(),
            take([
              [72, startSeconds],
              [74, startSeconds + 1],
            ]),
            { startSeconds },
          ).line,
        ),
      ).toEqual(["0 72", "1 74"]);
      expect(() => assessImprovisation(plain(), take([first]), { startSeconds: startSeconds * 1.001 })).toThrowError(
        expect.objectContaining({ code: "assess/start", input: startSeconds * 1.001 }),
      );
    }
    expect(() =>
      assessImprovisation(
        plain(),
        take([
          [40, 0],
          [41, 1],
        ]),
      ),
    ).toThrowError(expect.objectContaining({ code: "assess/line", input: "2 notes" }));
  });
});

describe("the time of a line", () => {
  // The take begins at three seconds; the score says the same tempo.
  const of = (count: number, strokes: readonly Stroke[], options = {}) =>
    assessImprovisation(
      plain({ left: bars([36]) }),
      [
        ...take(
          Array.from({ length: count }, (_, i): Stroke => [36, 3 + 4 * i, 3.9]),
          "left",
        ),
        ...take(strokes, "right"),
      ],
      options,
    );

  it("is told by the left hand from four of its moments on, or else counted from where the first bar is said to begin", () => {
    const four = of(4, [
      [72, 4],
      [74, 5.5],
    ]);
    expect([four.beatFrom, told(four.line)]).toEqual(["left-hand", ["1 72", "5/2 74"]]);
    const three = of(
      3,
      [
        [72, 4],
        [74, 5.5],
      ],
      { startSeconds: 2 },
    );
    expect([three.beatFrom, told(three.line), three.leftHand]).toEqual(["tempo", ["2 72", "7/2 74"], "assessed"]);
  });

  it("is told by the first key of a chord, and by the first run where the player goes back", () => {
    const rolled = assessImprovisation(plain({ left: bars([36, 43, 48]) }), [
      ...take(
        Array.from({ length: 4 }, (_, i) =>
          [36, 43, 48].map((midi, k): Stroke => [midi, 4 * i + 0.06 * k, 3.5]),
        ).flat(),
        "left",
      ),
      ...take(
        [
          [72, 0],
          [74, 1],
          [76, 8],
          [77, 13],
        ],
        "right",
      ),
    ]);
    expect([told(rolled.line), rolled.offMs]).toEqual([["0 72", "1 74", "8 76", "13 77"], 0]);
    // Eight different keys; the player goes back from the sixth to the third.
    const keys = [36, 40, 43, 47, 38, 41, 45, 48];
    const left = keys.map(
      (midi, i): NoteEvent => ({
        at: beatsOf(4 * i, 1),
        duration: beatsOf(4, 1),
        pitches: [pitchFromMidi(midi, "flats")],
      }),
    );
    const order = [0, 1, 2, 3, 4, 5, 2, 3, 4, 5, 6, 7];
    const back = assessImprovisation(plain({ bars: 8, left }), [
      ...take(
        order.map((index, i): Stroke => [keys[index] as number, 4 * i, 3.9]),
        "left",
      ),
      ...take(
        order.map((_, i): Stroke => [72 + (i % 3), 4 * i + 1, 0.9]),
        "right",
      ),
    ]);
    expect(back.left?.alignment.runs).toHaveLength(2);
    expect(back.line.map((event) => formatBeats(event.at))).toEqual(order.map((_, i) => String(4 * i + 1)));
  });
});

describe("hands told apart", () => {
  it("by the split point where one is given, itself the line's", () => {
    const strokes: readonly Stroke[] = [
      [50, 0],
      [49, 1],
      [64, 2],
    ];
    expect(told(assessImprovisation(plain(), take(strokes), { from: 50 }).line)).toEqual(["0 50", "2 64"]);
    expect(told(assessImprovisation(plain(), take(strokes)).line)).toEqual(["2 64"]);
    // What the recording says goes before a split point.
    expect(
      told(
        assessImprovisation(plain(), [...take([[50, 0]], "right"), ...take([[64, 1]], "left"), ...take([[70, 2]])], {
          from: 60,
        }).line,
      ),
    ).toEqual(["0 50", "2 70"]);
  });

  it("a chord of the written left hand is its own also above middle C, with a key of three missed", () => {
    const left = bars([62, 66, 69]);
    const chords = (missed: readonly number[]): readonly Stroke[] =>
      Array.from({ length: 4 }, (_, i) =>
        [62, 66, 69].filter((key) => i !== 1 || !missed.includes(key)).map((key): Stroke => [key, 4 * i, 3.9]),
      ).flat();
    const line: readonly Stroke[] = [
      [84, 1],
      [83, 2],
      [81, 9],
    ];
    const lineOf = (strokes: readonly Stroke[]): readonly string[] =>
      told(assessImprovisation(plain({ left }), take([...strokes, ...line])).line);
    expect(lineOf(chords([]))).toEqual(["1 84", "2 83", "9 81"]);
    expect(lineOf(chords([66]))).toEqual(["1 84", "2 83", "9 81"]);
    // A single key of it is no chord.
    expect(lineOf(chords([66, 69]))).toEqual(["1 84", "2 83", "4 62", "9 81"]);
  });

  it("keys that the recording gives to the right hand make no chord of the left", () => {
    const score = plain({ left: bars([60, 64, 67, 72], 1) });
    expect(
      told(
        assessImprovisation(score, [
          ...take([[60, 0]], "right"),
          ...take([
            [64, 0],
            [67, 0],
          ]),
        ]).line,
      ),
    ).toEqual(["0 60 64 67"]);
    expect(
      told(
        assessImprovisation(
          score,
          take([
            [60, 0],
            [64, 0],
            [67, 0],
            [84, 1],
          ]),
        ).line,
      ),
    ).toEqual(["1 84"]);
  });

  it("a key of the left hand struck over and over is a line", () => {
    const strokes = Array.from({ length: 40 }, (_, i): Stroke => [60, i / 2]);
    const result = assessImprovisation(plain({ left: bars([60], 1) }), take(strokes));
    expect([result.line.length, result.leftHand]).toEqual([40, "not-heard"]);
  });
});
