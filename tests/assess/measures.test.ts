import { describe, expect, it } from "vitest";
import type { AlignedNote, Alignment } from "../../src/assess/align/align.ts";
import type { Asked } from "../../src/assess/align/asked.ts";
import { askedNotes } from "../../src/assess/align/asked.ts";
import { barReports, handReport, tempoReport, togetherOf, wholeAccuracy } from "../../src/assess/measure/measures.ts";
import type { Moment, Pair, Take } from "../../src/assess/measure/model.ts";
import { takeOf } from "../../src/assess/measure/model.ts";
import type { Finger, Hand, Score } from "../all.ts";
import { beats, beatsOf, formatBeats, makeScore, metre, parseKey, pitch, swungFeel } from "../all.ts";
import { alignmentOf, askedNote, takeLaidOut } from "./laid-out.ts";

/** One right note: where it is written, and where it sounds if elsewhere. */
interface Given {
  readonly at: string;
  readonly sounds?: number;
  readonly off?: number;
  readonly heard?: number;
  readonly lasts?: number;
  readonly lasted?: number;
  readonly hand?: Hand;
  readonly run?: number;
  readonly velocity?: number;
  /** The velocity that is asked for. */
  readonly asks?: number;
  readonly finger?: Finger;
  readonly grace?: boolean;
  readonly state?: AlignedNote["state"] | "left-out";
}

const plain = makeScore({ key: parseKey("C"), metre: metre("4/4"), bars: 4, tempo: 120 });

/** A take laid out by hand: notes of one hand, run and moment are one moment. */
const lay = (given: readonly Given[], score: Score = plain, step = 1): Take => {
  const asked = given.map(({ at, sounds, lasts = 0.5, hand = "right", finger, grace = false, asks }, index) =>
    askedNote({
      index,
      hand,
      grace,
      lasts,
      at: beats(at),
      ...(asks === undefined ? {} : { velocity: asks }),
      ...(sounds === undefined ? {} : { sounds }),
      ...(finger === undefined ? {} : { finger }),
    }),
  );
  const notes = given.flatMap(
    ({ hand = "right", run = 0, off = 0, heard, lasted = 0.5, state = "right" }, index): AlignedNote[] => {
      const own = heard ?? asked[index]?.sounds ?? 0;
      if (state === "left-out") return [];
      if (state === "extra") return [{ state, run, hand, played: index, heard: own, lasted }];
      return [
        {
          state,
          run,
          hand,
          asked: index,
          ...(state === "missed" ? {} : { played: index, offMs: off, heard: own, lasted }),
        },
      ];
    },
  );
  const pairs = (hand: Hand): readonly Pair[] =>
    notes
      .filter((note) => note.hand === hand && note.state === "right")
      .map(
        (note): Pair => ({
          asked: asked[note.asked as number] as Asked,
          run: note.run,
          off: note.offMs as number,
          heard: note.heard as number,
          lasted: note.lasted as number,
          played: {
            midi: 60,
            onsetSeconds: 0,
            durationSeconds: 0,
            velocity: given[note.asked as number]?.velocity ?? 80,
          },
        }),
      );
  const moments = (hand: Hand): readonly Moment[] => {
    const own = pairs(hand).filter((pair) => !pair.asked.grace);
    const keys = [...new Set(own.map((pair) => `${pair.run} ${pair.asked.sounds}`))];
    return keys.map((key): Moment => {
      const group = own.filter((pair) => `${pair.run} ${pair.asked.sounds}` === key);
      const average = (of: (pair: Pair) => number): number =>
        group.reduce((sum, pair) => sum + of(pair), 0) / group.length;
      return {
        hand,
        run: group[0]?.run ?? 0,
        sounds: group[0]?.asked.sounds ?? 0,
        pairs: group,
        off: average((pair) => pair.off),
        heard: average((pair) => pair.heard),
      };
    });
  };
  return takeLaidOut(asked, {
    score,
    step,
    pairs: { right: pairs("right"), left: pairs("left") },
    moments: { right: moments("right"), left: moments("left") },
    alignment: alignmentOf(asked, {
      notes,
      leftOut: given.flatMap(({ state }, index) => (state === "left-out" ? [index] : [])),
    }),
  });
};

const right = (given: readonly Given[], score: Score = plain, step = 1) => handReport(lay(given, score, step), "right");
const onBeats = (offs: readonly number[]): readonly Given[] => offs.map((off, i) => ({ at: String(i), off }));

describe("what is counted", () => {
  const given: readonly Given[] = [
    { at: "0" },
    { at: "1" },
    { at: "2", state: "wrong" },
    { at: "3", state: "missed" },
    { at: "4", hand: "left" },
    { at: "5", state: "extra" },
    { at: "6", state: "left-out" },
    { at: "7", hand: "left", state: "left-out" },
    { at: "8", state: "left-out" },
  ];

  it("asked, right, wrong, missed and extra, what was left out among the missed; accuracy over all of them", () => {
    expect(wholeAccuracy(lay(given))).toEqual({ asked: 8, right: 3, wrong: 1, missed: 4, extra: 1, accuracy: 0.3333 });
    expect(right(given)).toMatchObject({
      hand: "right",
      asked: 6,
      right: 2,
      wrong: 1,
      missed: 3,
      extra: 1,
      accuracy: 0.2857,
    });
    expect(handReport(lay(given), "left")).toMatchObject({
      hand: "left",
      asked: 2,
      right: 1,
      missed: 1,
      accuracy: 0.5,
    });
    expect(wholeAccuracy(lay([]))).toMatchObject({ asked: 0, accuracy: 1 });
  });

  it("by bar and hand in order, an extra note where it was heard, within the score", () => {
    const reports = barReports(
      lay([
        { at: "8", hand: "left" },
        { at: "8", off: 10 },
        { at: "9", off: -20 },
        { at: "10", off: 40 },
        { at: "11", state: "wrong", off: 999 },
        { at: "0", state: "missed" },
        { at: "1", state: "missed" },
        { at: "0", state: "extra", heard: 4 },
        { at: "0", state: "extra", heard: 3.999 },
        { at: "0", state: "extra", heard: 400 },
        { at: "0", state: "extra", heard: -9 },
        { at: "12", state: "left-out" },
        { at: "13", state: "left-out" },
      ]),
      4,
    );
    const none = { right: 0, wrong: 0, missed: 0, extra: 0, asked: 0 };
    expect(reports).toEqual([
      { hand: "right", bar: 0, ...none, extra: 1, accuracy: 0 },
      { hand: "right", bar: 1, ...none, asked: 2, missed: 2, extra: 1, accuracy: 0 },
      { hand: "right", bar: 2, ...none, extra: 1, accuracy: 0 },
      // Mean 10 of 10, -20 and 40; the median distance from the median is 30.
      { hand: "right", bar: 3, ...none, asked: 4, right: 3, wrong: 1, accuracy: 0.75, meanMs: 10, spreadMs: 44.5 },
      { hand: "right", bar: 4, ...none, asked: 2, missed: 2, extra: 1, accuracy: 0 },
      { hand: "left", bar: 3, ...none, asked: 1, right: 1, accuracy: 1, meanMs: 0, spreadMs: 0 },
    ]);
    expect(
      barReports(
        lay([
          { at: "4", state: "left-out" },
          { at: "5", state: "left-out", hand: "left" },
        ]),
        4,
      ),
    ).toMatchObject([
      { hand: "right", bar: 2, missed: 1 },
      { hand: "left", bar: 2, missed: 1 },
    ]);
  });
});

describe("what is measured", () => {
  it("timing: the mean, and 1.4826 times the median distance from what is usual at that place of the beat", () => {
    // On the beat 0, 10, 20, 90 (median 15), off it 40, 80 (median 60): distances 15, 5, 5, 75, 20, 20, in the middle 17.5.
    const given = [...onBeats([0, 10, 20, 90]), { at: "1/2", off: 40 }, { at: "3/2", off: 80 }];
    expect(right(given).timing).toEqual({
      moments: 6,
      meanMs: 40,
      meanBeats: 0.08,
      spreadMs: 25.9,
      spreadBeats: 0.052,
    });
    // A third of a beat is another place than a half, and a chord one moment.
    expect(right([...given, { at: "7/3", off: 500 }]).timing).toMatchObject({ moments: 7, spreadMs: 22.2 });
    expect(right([...given, { at: "3/2", off: 80 }]).timing).toMatchObject({ moments: 6 });
    expect(right(onBeats([-10, -10, -10])).timing).toMatchObject({
      moments: 3,
      meanMs: -10,
      meanBeats: -0.02,
      spreadMs: 0,
    });
    expect(right(onBeats([5, 5])).timing).toBeUndefined();
    // In six-eight the pulse is a dotted quarter note: 0 and 3/2 are the same place.
    const sixEight = makeScore({ key: parseKey("C"), metre: metre("6/8"), bars: 4, tempo: 120 });
    const compound: readonly Given[] = [
      { at: "0", off: 0 },
      { at: "3/2", off: 20 },
      { at: "3", off: 0 },
      { at: "9/2", off: 20 },
      { at: "1", off: 100 },
      { at: "5/2", off: 120 },
    ];
    expect(right(compound, sixEight, 1.5).timing).toMatchObject({ spreadMs: 14.8 });
  });

  it("hands together: how late the left is where both strike, the median and the spread", () => {
    const both = (offs: readonly (readonly [number, number])[]): readonly Given[] =>
      offs.flatMap(([r, l], i) => [
        { at: String(i), off: r },
        { at: String(i), off: l, hand: "left" as const },
      ]);
    const given = both([
      [0, 30],
      [10, 50],
      [5, 15],
      [0, 90],
    ]);
    expect(togetherOf(lay([...given, { at: "9", hand: "left", off: 700 }, { at: "10", off: 700 }]))).toEqual({
      moments: 4,
      leftAfterMs: 35,
      spreadMs: 22.2,
    });
    expect(
      togetherOf(
        lay(
          both([
            [0, 10],
            [0, 20],
            [0, 30],
          ]),
        ),
      ),
    ).toMatchObject({ moments: 3, leftAfterMs: 20 });
    expect(
      togetherOf(
        lay(
          both([
            [0, 10],
            [0, 20],
          ]),
        ),
      ),
    ).toBeUndefined();
    // The same moment of another run is another moment.
    expect(
      togetherOf(
        lay([
          ...both([
            [0, 10],
            [0, 20],
          ]),
          { at: "2", off: 0 },
          { at: "2", off: 30, hand: "left", run: 1 },
        ]),
      ),
    ).toBeUndefined();
  });

  it("long notes: a quarter note or longer, let go before three fifths; the median share", () => {
    const given: readonly Given[] = [
      { at: "0", lasts: 1, lasted: 0.59 },
      { at: "1", lasts: 2, lasted: 1.2 },
      { at: "3", lasts: 4, lasted: 4 },
      { at: "7", lasts: 0.99, lasted: 0 },
      { at: "8", lasts: 1, lasted: 0, grace: true },
      { at: "9", lasts: 1, lasted: 0, state: "wrong" },
    ];
    expect(right(given).held).toEqual({ notes: 3, short: 1, share: 0.6 });
    expect(right([{ at: "0" }]).held).toBeUndefined();
  });

  it("chords: the median time from the first key to the last", () => {
    const chord = (at: string, ...offs: readonly number[]): readonly Given[] => offs.map((off) => ({ at, off }));
    expect(
      right([...chord("0", 0, 30, 10), ...chord("1", -20, 20), ...chord("2", 5), ...chord("3", 0, 10)]).chords,
    ).toEqual({ chords: 3, keys: 2, medianMs: 30 });
    expect(right(chord("0", 5)).chords).toBeUndefined();
  });

  it("touch: velocity beside what is asked for, about its neighbours, and by finger from six notes", () => {
    const notes = (velocities: readonly number[], finger: (i: number) => Finger | undefined): readonly Given[] =>
      velocities.map((velocity, i) => {
        const own = finger(i);
        return { at: `${i}/2`, velocity, ...(own === undefined ? {} : { finger: own }) };
      });
    const thumbs = right(
      notes([96, 80, 80, 96, 80, 80, 96, 80, 80, 96, 80, 80, 96, 80, 80, 96, 80, 80], (i) =>
        i % 3 === 0 ? 1 : i % 3 === 1 ? 2 : undefined,
      ),
    ).touch;
    // Six of 18 notes are 16 louder: the mean is 5⅓ over what is asked for.
    expect(thumbs).toEqual({ notes: 18, mean: 85.3, spread: 0, byFinger: { 1: 10.7, 2: -5.3 } });
    expect(right(notes([90, 80, 80, 80, 80, 80, 80, 80], () => undefined)).touch).toEqual({
      notes: 8,
      mean: 81.3,
      spread: 0,
      byFinger: {},
    });
    expect(right(notes([90, 80, 80, 80, 80, 80, 80], () => undefined)).touch).toBeUndefined();
    expect(right([...notes([80, 80, 80, 80, 80, 80, 80], () => 5), { at: "4", grace: true }]).touch).toBeUndefined();
    // Five notes of a finger tell nothing of it; six do.
    expect(
      right(
        notes(
          Array.from({ length: 11 }, () => 80),
          (i) => (i < 5 ? 4 : 3),
        ),
      ).touch?.byFinger,
    ).toEqual({ 3: 0 });
    // Louder from note to note: each is measured beside the four before and after it, so that a crescendo is no unevenness.
    expect(
      right(
        notes(
          Array.from({ length: 40 }, (_, i) => 60 + i),
          () => undefined,
        ),
      ).touch?.spread,
    ).toBe(0);
    // What the score asks for is no unevenness.
    const asked = Array.from(
      { length: 20 },
      (_, i): Given => ({
        at: `${i}/2`,
        asks: i % 3 === 0 ? 100 : 60,
        velocity: i % 3 === 0 ? 105 : 65,
        finger: i % 3 === 0 ? 1 : 2,
      }),
    );
    expect(right(asked).touch).toMatchObject({ spread: 0, byFinger: { 1: 0, 2: 0 } });
    // By hand: each beside the median of itself and up to four on either side.
    const uneven = [80, 85, 92, 70, 88, 81, 64, 90, 99, 73, 77, 95, 60, 84, 91, 66, 79, 103, 71, 86];
    const sorted = (values: readonly number[]): readonly number[] => [...values].sort((a, b) => a - b);
    const middle = (values: readonly number[]): number =>
      ((sorted(values)[Math.ceil(values.length / 2) - 1] as number) +
        (sorted(values)[Math.floor(values.length / 2)] as number)) /
      2;
    const beside = uneven.map((value, i) => value - middle(uneven.filter((_, k) => Math.abs(k - i) <= 4)));
    expect(right(notes(uneven, () => undefined)).touch?.spread).toBeCloseTo(
      1.4826 * middle(beside.map((value) => Math.abs(value - middle(beside)))),
      1,
    );
    // Louder and softer by turns: beside the median of nine neighbours, five of them like itself, none differs; its own kind is usual.
    const steps = right(
      notes(
        Array.from({ length: 40 }, (_, i) => (Math.floor(i / 2) % 2 === 0 ? 70 : 90)),
        () => undefined,
      ),
    ).touch;
    expect(steps?.spread).toBeLessThanOrEqual(1.4826 * 10 + 0.1);
  });

  it("swing: from beats that are written as a pair and were played as one, the hand's lag taken off", () => {
    const swung = makeScore({ key: parseKey("C"), metre: metre("4/4"), bars: 4, tempo: 120, feel: swungFeel("2:1") });
    const pairs = (count: number, ratio = 2, lag = 0, from = 0): readonly Given[] =>
      Array.from({ length: count }, (_, i) => i + from).flatMap((beat): readonly Given[] => [
        { at: String(beat), sounds: beat, heard: beat + lag },
        { at: `${2 * beat + 1}/2`, sounds: beat + 2 / 3, heard: beat + lag + ratio / (1 + ratio) },
      ]);
    const played = right(pairs(8, 3, 0.2), swung).swing;
    expect(played).toMatchObject({ asked: 2, spread: 0, measured: { pairs: 8, unit: "eighth" } });
    expect(played?.measured.ratio.value).toBeCloseTo(3, 6);
    expect(right(pairs(4), swung).swing?.measured.pairs).toBe(4);
    expect(right(pairs(3), swung).swing).toBeUndefined();
    // Triplets and beats that lack a note are no pairs.
    const triplet: readonly Given[] = [{ at: "9" }, { at: "28/3" }, { at: "29/3" }];
    expect(
      right(
        [
          ...pairs(4, 3),
          ...triplet,
          { at: "10" },
          { at: "23/2" },
          ...pairs(1, 1, 0, 12).map((one, i): Given => (i === 1 ? { ...one, state: "missed" } : one)),
        ],
        swung,
      ).swing?.measured,
    ).toMatchObject({ pairs: 4, ratio: { value: expect.closeTo(3, 6) as number } });
    // Two of a triplet are no pair either, nor is a pair beside a grace note less of one.
    expect(
      right([...pairs(4, 3), { at: "9" }, { at: "28/3", state: "missed" }, { at: "29/3" }], swung).swing?.measured
        .pairs,
    ).toBe(4);
    expect(right([...pairs(4, 3), { at: "3", grace: true, heard: 2.9 }], swung).swing?.measured.pairs).toBe(4);
    // Nor a pair written long and short as of a triplet, or as a sixteenth and a rest; what the left hand is asked for beside it does not matter.
    expect(
      right([...pairs(4, 3), { at: "9" }, { at: "29/3" }, { at: "10" }, { at: "41/4" }], swung).swing?.measured.pairs,
    ).toBe(4);
    expect(
      right([...pairs(4, 3), { at: "1/3", hand: "left" }, { at: "4/3", hand: "left" }], swung).swing?.measured.pairs,
    ).toBe(4);
    // One beat that came late as a whole does not move the others.
    const late = [...pairs(9, 3), ...pairs(1, 3, 0.2, 12)];
    expect(right(late, swung).swing?.measured.ratio.value).toBeCloseTo(3, 6);
    // The left hand's notes do not count as the right hand's, and other runs stay apart.
    expect(
      right([...pairs(4, 3), ...pairs(4, 1).map((one): Given => ({ ...one, hand: "left" }))], swung).swing?.measured
        .ratio.value,
    ).toBeCloseTo(3, 6);
    expect(
      right([...pairs(2, 3), ...pairs(2, 3).map((one): Given => ({ ...one, run: 1 }))], swung).swing?.measured.pairs,
    ).toBe(4);
    // Offbeats that come now early, now late: shares of 2/3 ± 0.1 about their median.
    const uneven = pairs(8).map(
      (one, i): Given => (i % 2 === 0 ? one : { ...one, heard: (one.heard as number) + (i % 4 === 1 ? 0.1 : -0.1) }),
    );
    expect(right(uneven, swung).swing?.spread).toBe(0.148);
    // In six-eight there are no pairs.
    expect(
      right(pairs(8), makeScore({ key: parseKey("C"), metre: metre("6/8"), bars: 8, tempo: 120 }), 1.5).swing,
    ).toBeUndefined();
  });

  it("swing of sixteenths, and a downbeat delay", () => {
    const score = makeScore({
      key: parseKey("C"),
      metre: metre("4/4"),
      bars: 4,
      tempo: 60,
      feel: swungFeel("3:2", { unit: "16th" }),
    });
    const given = Array.from({ length: 8 }, (_, i): readonly Given[] => [
      { at: `${i}/2`, sounds: i / 2 },
      { at: `${2 * i + 1}/4`, sounds: i / 2 + 0.3, heard: i / 2 + 0.375 },
    ]).flat();
    const swing = right(given, score).swing;
    expect(swing).toMatchObject({ asked: 1.5, measured: { pairs: 8, unit: "16th" } });
    expect(swing?.measured.ratio.value).toBeCloseTo(3, 6);
    const scattered = given.map(
      (one, i): Given => (i % 2 === 0 ? one : { ...one, heard: (one.heard as number) + (i % 4 === 1 ? 0.05 : -0.05) }),
    );
    expect(right(scattered, score).swing?.spread).toBe(0.148);
    const delayed = makeScore({
      key: parseKey("C"),
      metre: metre("4/4"),
      bars: 4,
      tempo: 120,
      feel: swungFeel("2:1", { downbeatDelay: beats("1/12") }),
    });
    const late = Array.from({ length: 8 }, (_, i): readonly Given[] => [
      { at: String(i), sounds: i + 1 / 12 },
      { at: `${2 * i + 1}/2`, sounds: i + 2 / 3, heard: i + 2 / 3 + (i % 2 === 0 ? 0.06 : -0.06) },
    ]).flat();
    expect(right(late, delayed).swing).toMatchObject({ asked: 2, spread: 0.089 });
  });

  it("triplets: how late the second and the third are after the first, the median and the spread", () => {
    const triplet = (beat: number, second = 0, third = 0, lag = 0): readonly Given[] =>
      [0, second, third].map((late, i) => ({
        at: formatBeats(beatsOf(3 * beat + i, 3)),
        heard: beat + i / 3 + late + lag,
      }));
    const given = [
      triplet(0, 0.02, -0.05),
      triplet(1, 0.04, -0.05, 0.1),
      triplet(2, 0.04, -0.05),
      triplet(3, 0.06, -0.05),
    ].flat();
    expect(right(given).triplets).toEqual({ beats: 4, second: 0.04, third: -0.05, spread: 0.015 });
    expect(right(given.slice(3)).triplets).toBeUndefined();
    // A beat with a fourth note, or with a note elsewhere, is no triplet.
    expect(right([...given, ...triplet(4, 0.3, 0.3), { at: "9/2" }]).triplets).toMatchObject({ beats: 4 });
    expect(right([...given, { at: "5" }, { at: "16/3" }, { at: "11/2" }]).triplets).toMatchObject({ beats: 4 });
    // The spread is the larger of the two.
    expect(
      right([triplet(0, 0, 0.1), triplet(1, 0, -0.1), triplet(2, 0, 0.1), triplet(3, 0, -0.1)].flat()).triplets,
    ).toEqual({ beats: 4, second: 0, third: 0, spread: 0.148 });
    // In six-eight three eighths fill the pulse of a dotted quarter note.
    const sixEight = makeScore({ key: parseKey("C"), metre: metre("6/8"), bars: 4, tempo: 120 });
    const eighths = Array.from(
      { length: 12 },
      (_, i): Given => ({ at: `${i}/2`, heard: i / 2 + (i % 3 === 2 ? 0.15 : 0) }),
    );
    expect(right(eighths, sixEight, 1.5).triplets).toEqual({ beats: 4, second: 0, third: 0.1, spread: 0 });
  });
});

describe("a take laid out", () => {
  it("pairs right notes with what was asked, by hand, and gathers moments in order of run and time, grace notes aside", () => {
    const score = makeScore({
      key: parseKey("C"),
      metre: metre("4/4"),
      bars: 1,
      tempo: 90,
      left: [{ at: beats(0), duration: beats(1), pitches: [pitch("C3")] }],
      right: [
        { at: beats(0), duration: beats(1), pitches: [pitch("C4"), pitch("E4")] },
        { at: beats(1), duration: beats(1), pitches: [pitch("G4")], graces: [{ pitch: pitch("Gb4"), style: "slide" }] },
      ],
    });
    const played = Array.from({ length: 10 }, (_, i) => ({
      midi: 60 + i,
      onsetSeconds: i,
      durationSeconds: 1,
      velocity: 80,
    }));
    const asked = askedNotes(score);
    const note = (
      index: number,
      run: number,
      off: number,
      heard: number,
      state: AlignedNote["state"] = "right",
    ): AlignedNote => ({
      state,
      run,
      hand: (asked[index] as Asked).hand,
      asked: index,
      played: index,
      offMs: off,
      heard,
      lasted: 0.5,
    });
    const run = {
      hands: "both" as const,
      begins: "start" as const,
      from: { bar: 1, beat: "1" },
      to: { bar: 1, beat: "2" },
      misread: [],
      pauses: [],
    };
    const alignment = alignmentOf(asked, {
      runs: [
        {
          ...run,
          tempos: [
            { quarter: 0, tempo: 60 },
            { quarter: 1, tempo: 80 },
          ],
        },
        { ...run, tempos: [{ quarter: 0, tempo: 120 }] },
      ],
      notes: [
        note(4, 1, 5, 1),
        note(4, 0, 7, 1),
        note(3, 0, 99, 0.9),
        note(1, 0, 30, 0.2),
        note(0, 0, 10, 0.1),
        note(2, 0, 3, 0),
        note(0, 1, 4, 0.5, "wrong"),
      ],
    });
    const take = takeOf(score, alignment, played);
    expect(
      take.pairs.right.map((pair) => [pair.asked.index, pair.played.midi, pair.run, pair.off, pair.heard, pair.lasted]),
    ).toEqual([
      [4, 64, 1, 5, 1, 0.5],
      [4, 64, 0, 7, 1, 0.5],
      [3, 63, 0, 99, 0.9, 0.5],
      [1, 61, 0, 30, 0.2, 0.5],
      [0, 60, 0, 10, 0.1, 0.5],
    ]);
    expect(take.pairs.left.map((pair) => pair.asked.index)).toEqual([2]);
    expect(
      take.moments.right.map(({ hand, run: r, sounds, off, pairs, heard }) => [
        hand,
        r,
        sounds,
        off,
        pairs.length,
        heard,
      ]),
    ).toEqual([
      ["right", 0, 0, 20, 2, expect.closeTo(0.15, 9)],
      ["right", 0, 1, 7, 1, 1],
      ["right", 1, 1, 5, 1, 1],
    ]);
    expect(take.moments.left).toMatchObject([{ hand: "left", run: 0, sounds: 0, off: 3 }]);
    // The middle of 60, 80 and 120 quarter notes a minute; the score's 90 where there is none.
    expect(take).toMatchObject({ pace: 0.75, step: 1 });
    expect(takeOf(score, { ...alignment, runs: [] }, played).pace).toBeCloseTo(60 / 90, 9);
  });
});

describe("tempo", () => {
  const withRuns = (...runs: readonly (readonly number[])[]): Take => {
    const take = lay([]);
    const told = runs.map((tempos): Alignment["runs"][number] => ({
      hands: "both",
      begins: "start",
      from: { bar: 1, beat: "1" },
      to: { bar: 4, beat: "1" },
      misread: [],
      pauses: [],
      tempos: tempos.map((tempo, quarter) => ({ quarter, tempo })),
    }));
    return { ...take, alignment: { ...take.alignment, runs: told } };
  };

  it("is the median of all runs, the same at start and end where too little was played to tell", () => {
    expect(tempoReport(withRuns([100, 110, 120], [90]))).toEqual({
      asked: 120,
      played: 105,
      start: 105,
      end: 105,
      sway: 0,
      besideArches: 0,
    });
    expect(tempoReport(withRuns([1, 2, 3, 4, 5, 6, 7]))).toMatchObject({ start: 4, end: 4, sway: 0 });
    const eight = tempoReport(withRuns([80, 85, 90, 95, 100, 105, 110, 115]));
    expect(eight.end).toBeGreaterThan(eight.start + 20);
    // Nothing to tell from: the usual pace, half a second a quarter note.
    expect(tempoReport(withRuns([]))).toMatchObject({ played: 120, start: 120 });
  });

  it("arches over phrases are told apart from other sway", () => {
    const arch = (length: number): readonly number[] =>
      Array.from({ length: 64 }, (_, i) => 100 * (1 + 0.15 * Math.sin((2 * Math.PI * i) / length)));
    for (const length of [8, 16, 32]) {
      const { sway, besideArches } = tempoReport(withRuns(arch(length)));
      expect(sway).toBeGreaterThan(0.05);
      expect(besideArches).toBeLessThan(0.25 * sway);
    }
    // Waves that are no phrases, and one wave alone, stay.
    for (const length of [11, 23]) {
      const { sway, besideArches } = tempoReport(withRuns(arch(length)));
      expect(besideArches).toBeGreaterThan(0.6 * sway);
    }
  });

  it("rises or falls by a straight line through the logarithm of the longest run", () => {
    // A tempo that doubles over 64 quarter notes.
    const rising = Array.from({ length: 65 }, (_, i) => 80 * 2 ** (i / 64));
    const report = tempoReport(withRuns([300, 300], rising, [10]));
    expect(report.sway).toBeLessThan(0.001);
    // Without its first bar and its last two.
    expect(report.start / 80).toBeCloseTo(2 ** (5.5 / 64), 1);
    expect(report.end / report.start).toBeCloseTo(2 ** (52 / 64), 2);
    expect(tempoReport(withRuns(Array.from({ length: 8 }, () => 90)))).toMatchObject({
      played: 90,
      start: 90,
      end: 90,
      sway: 0,
    });
  });

  it("sways by the standard deviation about that line", () => {
    // A sine of 6 % has a standard deviation of 6 / √2 = 4.2 %; four steps smooth a period of 32 by 2.5 %.
    const swaying = Array.from({ length: 128 }, (_, i) => 100 * (1 + 0.06 * Math.sin((2 * Math.PI * i) / 32)));
    expect(tempoReport(withRuns(swaying)).sway).toBeGreaterThan(0.04);
    expect(tempoReport(withRuns(swaying)).sway).toBeLessThan(0.0425);
  });
});
