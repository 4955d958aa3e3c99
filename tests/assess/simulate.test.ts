import { describe, expect, it } from "vitest";
import type { NoteEvent, Score, SimulateTakeOptions } from "../all.ts";
import {
  alignTake,
  beatsOf,
  DEFAULT_VELOCITY,
  makeDrill,
  makeScore,
  metre,
  parseKey,
  pitchFromMidi,
  simulateTake,
  swungFeel,
} from "../all.ts";

const score = makeDrill({ key: "C", repeats: 4 }).score;
const total = (events: typeof score.right): number =>
  events.reduce((sum, event) => sum + event.pitches.length + (event.graces?.length ?? 0), 0);

describe("simulated takes", () => {
  it("law: the same seed gives the same take, another seed another", () => {
    const faults = { jitterMs: 10, wrong: 0.1, missed: 0.1, extra: 0.1, restarts: 1, pauses: 1 };
    expect(simulateTake(score, { ...faults, seed: 5 })).toEqual(simulateTake(score, { ...faults, seed: 5 }));
    expect(simulateTake(score, { ...faults, seed: 5 }).played).not.toEqual(
      simulateTake(score, { ...faults, seed: 6 }).played,
    );
  });

  it("law: without faults every note is played at its time", () => {
    const { played, meant, wrong, missed } = simulateTake(score);
    expect(played).toHaveLength(total(score.right) + total(score.left));
    expect([...meant].sort((a, b) => a - b)).toEqual(played.map((_, i) => i));
    expect([wrong, missed]).toEqual([[], []]);
    expect(played.map((note) => note.onsetSeconds)).toEqual(
      played.map((note) => note.onsetSeconds).sort((a, b) => a - b),
    );
    // 16 bars at 100: the last strokes fall in the last bar.
    expect(played.at(-1)?.onsetSeconds).toBeGreaterThan(15 * 4 * 0.6 - 0.01);
    expect(played.at(-1)?.onsetSeconds).toBeLessThan(16 * 4 * 0.6);
  });

  it("does what it is asked to, about as often as asked", () => {
    const notes = total(score.right) + total(score.left);
    const { wrong, missed, meant, played, restarts, pauses } = simulateTake(score, {
      wrong: 0.2,
      missed: 0.1,
      extra: 0.1,
      seed: 9,
    });
    expect(Math.abs(wrong.length / notes - 0.18)).toBeLessThan(0.08);
    expect(Math.abs(missed.length / notes - 0.1)).toBeLessThan(0.07);
    expect(meant.filter((index) => index < 0).length).toBe(played.length - notes + missed.length);
    expect([restarts, pauses]).toEqual([[], []]);
    expect(simulateTake(score, { restarts: 2, pauses: 1 })).toMatchObject({
      restarts: { length: 2 },
      pauses: { length: 1 },
    });
  });

  it.each([{ wrong: 1.5 }, { tempo: 0 }, { restarts: 0.5 }, { seed: -1 }, { jitterMs: Number.NaN }, { transpose: 60 }])(
    "refuses %o",
    (faults) => {
      expect(() => simulateTake(score, faults)).toThrowError(expect.objectContaining({ code: "assess/faults" }));
    },
  );

  const line = (fields: Partial<Parameters<typeof makeScore>[0]> = {}): Score =>
    makeScore({
      key: parseKey("C"),
      metre: metre("4/4"),
      bars: 8,
      tempo: 120,
      right: Array.from(
        { length: 64 },
        (_, i): NoteEvent => ({
          at: beatsOf(i, 2),
          duration: beatsOf(1, 2),
          pitches: [pitchFromMidi(60 + (i % 5) * 3, "flats")],
          fingers: [i % 2 === 0 ? 1 : 3],
        }),
      ),
      left: Array.from(
        { length: 8 },
        (_, i): NoteEvent => ({
          at: beatsOf(4 * i, 1),
          duration: beatsOf(4, 1),
          pitches: [40, 47, 52].map((midi) => pitchFromMidi(midi, "flats")),
        }),
      ),
      ...fields,
    });
  /** Onsets and notes of one hand, found by their keys. */
  const ofHand = (hand: "right" | "left", faults: SimulateTakeOptions, of = line()) =>
    simulateTake(of, faults).played.filter((note) => (hand === "left") === note.midi < 57 + (faults.transpose ?? 0));
  const onsets = (hand: "right" | "left", faults: SimulateTakeOptions, of = line()): readonly number[] =>
    ofHand(hand, faults, of).map((note) => note.onsetSeconds);
  const close = (value: number): number => expect.closeTo(value, 6) as number;

  // What the documentation of the faults says, with the ends of each range.
  it.each([
    ["wrong", 0, 0.9, false],
    ["missed", 0, 0.9, false],
    ["extra", 0, 0.9, false],
    ["wander", 0, 0.9, false],
    ["swingSpread", 0, 0.9, false],
    ["jitterMs", 0, 1000, false],
    ["chordSpreadMs", 0, 1000, false],
    ["velocitySpread", 0, 1000, false],
    ["seed", 0, 2 ** 32 - 1, true],
    ["tempo", 10, 1000, false],
    ["drift", 0.2, 5, false],
    ["held", 0.05, 2, false],
    ["lateLeftMs", -1000, 1000, false],
    ["tripletLean", -0.2, 0.2, false],
    ["restarts", 0, 100, true],
    ["pauses", 0, 100, true],
    ["transpose", -48, 48, true],
  ] as const)("takes %s from %d to %d", (name, low, high, whole) => {
    const short = line({
      bars: 1,
      right: [{ at: beatsOf(0, 1), duration: beatsOf(1, 1), pitches: [pitchFromMidi(60, "flats")] }],
      left: [],
    });
    for (const value of [low, high]) expect(simulateTake(short, { [name]: value }).kind).toBe("simulated-take");
    for (const value of [low - 1, high + 1, Number.NaN, ...(whole ? [0.5] : [])]) {
      expect(() => simulateTake(short, { [name]: value })).toThrowError(
        expect.objectContaining({ code: "assess/faults", input: value }),
      );
    }
  });

  it("without faults: keys, times, lengths and velocities are the score's", () => {
    const { played } = simulateTake(line());
    const right = ofHand("right", {});
    right.forEach((note, i) =>
      expect(note).toEqual({
        midi: 60 + (i % 5) * 3,
        onsetSeconds: close(i / 4),
        durationSeconds: close(0.24),
        velocity: DEFAULT_VELOCITY.right,
      }),
    );
    ofHand("left", {}).forEach((note, i) =>
      expect(note).toEqual({
        midi: [40, 47, 52][i % 3],
        onsetSeconds: close(2 * Math.floor(i / 3)),
        durationSeconds: close(1.99),
        velocity: DEFAULT_VELOCITY.left,
      }),
    );
    expect(played.map((note) => note.onsetSeconds)).toEqual(
      played.map((note) => note.onsetSeconds).sort((a, b) => a - b),
    );
    // At once, the lower key is told first.
    expect(played.slice(0, 4).map((note) => note.midi)).toEqual([40, 47, 52, 60]);
  });

  it("velocities: the event's own, 16 more for an accent, a finger that sticks out; 1 to 127", () => {
    const right = (
      [
        [undefined, undefined],
        [50, undefined],
        [50, "accent"],
        [120, "accent"],
      ] as const
    ).map(
      ([velocity, articulation], i): NoteEvent => ({
        at: beatsOf(i, 1),
        duration: beatsOf(1, 1),
        pitches: [pitchFromMidi(60, "flats")],
        fingers: [i === 1 ? 1 : 2],
        ...(velocity === undefined ? {} : { velocity }),
        ...(articulation === undefined ? {} : { articulation }),
      }),
    );
    const of = line({ bars: 1, right, left: [] });
    expect(simulateTake(of).played.map((note) => note.velocity)).toEqual([DEFAULT_VELOCITY.right, 50, 66, 127]);
    expect(simulateTake(of, { loudFinger: { finger: 1, by: 20 } }).played.map((note) => note.velocity)).toEqual([
      DEFAULT_VELOCITY.right,
      70,
      66,
      127,
    ]);
    expect(simulateTake(of, { loudFinger: { finger: 1, by: -99 } }).played.map((note) => note.velocity)).toEqual([
      DEFAULT_VELOCITY.right,
      1,
      66,
      127,
    ]);
    const spread = ofHand("right", { velocitySpread: 10 }).map((note) => note.velocity - DEFAULT_VELOCITY.right);
    const deviation = Math.sqrt(spread.reduce((sum, by) => sum + by * by, 0) / spread.length);
    expect(deviation).toBeGreaterThan(7);
    expect(deviation).toBeLessThan(13);
  });

  it("tempo: its own, and at the end a multiple of that at the start, or swaying over eight bars of four", () => {
    expect(onsets("right", { tempo: 60 })).toEqual(onsets("right", {}).map((at) => close(2 * at)));
    const drift = onsets("right", { drift: 2 });
    const gap = (times: readonly number[], i: number): number => (times[i + 1] as number) - (times[i] as number);
    // 32 quarter notes: after x of them the tempo is 2 to the power of x/32.
    for (const i of [0, 31, 62]) expect(gap(drift, i)).toBeCloseTo(0.25 / 2 ** ((i / 2 + 0.25) / 32), 3);
    const sway = onsets("right", { wander: 0.1 });
    for (const i of [0, 15, 31, 47, 60])
      expect(gap(sway, i)).toBeCloseTo(0.25 / (1 + 0.1 * Math.sin((2 * Math.PI * (i / 2 + 0.25)) / 32)), 3);
  });

  it("jitter: of mean 0 and the standard deviation asked for", () => {
    const even = onsets("right", {});
    const off = onsets("right", { jitterMs: 20, seed: 4 }).map((at, i) => 1000 * (at - (even[i] as number)));
    // The take begins at 0 at the latest, which moves all of it.
    const mean = off.reduce((sum, by) => sum + by, 0) / off.length;
    const deviation = Math.sqrt(off.reduce((sum, by) => sum + (by - mean) ** 2, 0) / off.length);
    expect(deviation).toBeGreaterThan(15);
    expect(deviation).toBeLessThan(25);
    expect(simulateTake(line(), { jitterMs: 20, seed: 4 }).played[0]?.onsetSeconds).toBeGreaterThanOrEqual(0);
  });

  it("the left hand late or early, and chords rolled from the lowest key up", () => {
    expect(onsets("left", { lateLeftMs: 50 })).toEqual(onsets("left", {}).map((at) => close(at + 0.05)));
    expect(onsets("right", { lateLeftMs: 50 })).toEqual(onsets("right", {}).map(close));
    // Early at the very start: the take begins with it.
    const early = simulateTake(line(), { lateLeftMs: -50 }).played;
    expect(early[0]).toMatchObject({ midi: 40, onsetSeconds: 0 });
    expect(early.find((note) => note.midi === 60)?.onsetSeconds).toBeCloseTo(0.05, 9);
    expect(onsets("left", { chordSpreadMs: 60 }).slice(0, 6)).toEqual([0, 0.03, 0.06, 2, 2.03, 2.06].map(close));
    expect(onsets("right", { chordSpreadMs: 60 })).toEqual(onsets("right", {}).map(close));
  });

  it("swing instead of the score's, offbeats that scatter, triplets that lean", () => {
    const swung = line({ feel: swungFeel("2:1") });
    const third = onsets("right", {}, swung);
    const quarter = onsets("right", { swing: "3:1" }, swung);
    third.forEach((at, i) => {
      expect(at).toBeCloseTo((Math.floor(i / 2) + (i % 2) * (2 / 3)) / 2, 6);
      expect(quarter[i]).toBeCloseTo((Math.floor(i / 2) + (i % 2) * (3 / 4)) / 2, 6);
    });
    const scattered = onsets("right", { swingSpread: 0.05 });
    const moved = scattered.map((at, i) => Math.abs(at - i / 4) > 1e-6);
    expect(moved.filter((_, i) => i % 2 === 0)).not.toContain(true);
    expect(moved.filter((_, i) => i % 2 === 1)).not.toContain(false);
    const deviation = Math.sqrt(
      scattered.filter((_, i) => i % 2 === 1).reduce((sum, at, i) => sum + ((at - (2 * i + 1) / 4) / 0.5) ** 2, 0) / 32,
    );
    expect(deviation).toBeGreaterThan(0.03);
    expect(deviation).toBeLessThan(0.07);
    // Both keys of an offbeat move together.
    const dyads = line({
      right: [
        { at: beatsOf(0, 1), duration: beatsOf(1, 2), pitches: [pitchFromMidi(60, "flats")] },
        {
          at: beatsOf(1, 2),
          duration: beatsOf(1, 2),
          pitches: [pitchFromMidi(64, "flats"), pitchFromMidi(67, "flats")],
        },
      ],
    });
    const [, low, high] = onsets("right", { swingSpread: 0.05 }, dyads);
    expect(low).toBe(high);
    expect(low).not.toBeCloseTo(0.25, 4);
    const sixteenths = line({
      feel: swungFeel("3:2", { unit: "16th" }),
      right: Array.from(
        { length: 8 },
        (_, i): NoteEvent => ({ at: beatsOf(i, 4), duration: beatsOf(1, 4), pitches: [pitchFromMidi(60, "flats")] }),
      ),
    });
    const still = onsets("right", {}, sixteenths);
    expect(
      onsets("right", { swingSpread: 0.05 }, sixteenths).map((at, i) => Math.abs(at - (still[i] as number)) > 1e-6),
    ).toEqual([false, true, false, true, false, true, false, true]);
    const triplets = line({
      right: Array.from(
        { length: 12 },
        (_, i): NoteEvent => ({
          at: beatsOf(i, 3),
          duration: beatsOf(1, 3),
          pitches: [pitchFromMidi(60 + (i % 3), "flats")],
        }),
      ),
    });
    expect(onsets("right", { tripletLean: -0.1 }, triplets)).toEqual(
      Array.from({ length: 12 }, (_, i) => close((i / 3 - (i % 3 === 0 ? 0 : 0.1)) / 2)),
    );
    expect(onsets("right", { tripletLean: -0.1 })).toEqual(onsets("right", {}).map(close));
  });

  it("holds notes of a beat or more for a share, short ones for more of it", () => {
    expect(ofHand("left", { held: 0.5 }).map((note) => note.durationSeconds)).toEqual(
      Array.from({ length: 24 }, () => close(0.99)),
    );
    const quarter = line({
      bars: 1,
      right: [{ at: beatsOf(0, 1), duration: beatsOf(1, 1), pitches: [pitchFromMidi(60, "flats")] }],
      left: [],
    });
    expect(simulateTake(quarter, { held: 0.5 }).played.map((note) => note.durationSeconds)).toEqual([close(0.24)]);
    expect(ofHand("right", { held: 0.3 }).map((note) => note.durationSeconds)).toEqual(
      Array.from({ length: 64 }, () => close(0.25 * 0.7 - 0.01)),
    );
    expect(ofHand("right", { held: 1.5 }).map((note) => note.durationSeconds)).toEqual(
      Array.from({ length: 64 }, () => close(0.24)),
    );
    expect(ofHand("right", { held: 0.05, tempo: 1000 }).every((note) => note.durationSeconds === 0.02)).toBe(true);
  });

  it("strikes wrong keys a half or whole step off, never another key of the chord", () => {
    const { played, wrong, meant } = simulateTake(line(), { wrong: 0.5, seed: 2 });
    const { asked } = alignTake(line(), simulateTake(line()).played);
    const off = (index: number): number =>
      (played[meant.indexOf(index)]?.midi as number) - (asked[index]?.midi as number);
    expect(wrong.length).toBeGreaterThan(20);
    expect(new Set(wrong.map((index) => off(index)))).toEqual(new Set([-2, -1, 1, 2]));
    for (const { index } of asked) if (!wrong.includes(index)) expect(off(index)).toBe(0);
    const sure = simulateTake(line(), { wrongAt: [5, 9] });
    expect(sure.wrong).toEqual([5, 9]);
    expect(
      sure.played
        .map((note, i) => (note.midi === asked[sure.meant[i] as number]?.midi ? undefined : sure.meant[i]))
        .filter((index) => index !== undefined),
    ).toEqual([5, 9]);
    // In a cluster of half steps every neighbour is taken.
    const cluster = line({
      bars: 1,
      right: [
        {
          at: beatsOf(0, 1),
          duration: beatsOf(1, 1),
          pitches: [60, 61, 62, 63, 64].map((midi) => pitchFromMidi(midi, "flats")),
        },
      ],
      left: [],
    });
    for (const seed of [1, 2, 3, 4, 5, 6, 7, 8]) {
      const keys = simulateTake(cluster, { wrongAt: [2], seed }).played.map((note) => note.midi);
      expect(new Set(keys).size).toBe(5);
      expect(keys).not.toContain(62);
    }
  });

  it("leaves notes out, and lets a softer neighbour sound soon after", () => {
    const { played, meant, missed } = simulateTake(line(), { missed: 0.3, seed: 3 });
    expect(missed.length).toBeGreaterThan(10);
    expect([...meant, ...missed].sort((a, b) => a - b)).toEqual(Array.from({ length: 88 }, (_, i) => i));
    expect(played).toHaveLength(88 - missed.length);
    const besides = simulateTake(line(), { extra: 0.3, seed: 3 });
    const extras = besides.played.filter((_, i) => besides.meant[i] === -1);
    expect(extras.length).toBeGreaterThan(10);
    for (const note of extras) {
      const near = besides.played.filter(
        (other, i) =>
          besides.meant[i] !== -1 &&
          note.onsetSeconds - other.onsetSeconds > 0.0199 &&
          note.onsetSeconds - other.onsetSeconds < 0.1201 &&
          Math.abs(other.midi - note.midi) <= 2 &&
          other.midi !== note.midi,
      );
      expect(near.some((other) => other.velocity - 20 === note.velocity)).toBe(true);
      expect(note.durationSeconds).toBe(0.06);
    }
    expect(
      simulateTake(line(), { transpose: 12, extra: 0.3, wrong: 0.2, seed: 3 }).played.map((note) => note.midi - 12),
    ).toEqual(simulateTake(line(), { extra: 0.3, wrong: 0.2, seed: 3 }).played.map((note) => note.midi));
  });

  it("grace notes come a twelfth of a beat before their main note", () => {
    const right: readonly NoteEvent[] = [
      {
        at: beatsOf(1, 1),
        duration: beatsOf(1, 1),
        pitches: [pitchFromMidi(64, "flats")],
        graces: [{ pitch: pitchFromMidi(63, "flats"), style: "slide" }],
      },
    ];
    expect(simulateTake(line({ right, left: [] })).played.map((note) => [note.midi, note.onsetSeconds])).toEqual([
      [63, close(0.5 - 0.5 / 12)],
      [64, close(0.5)],
    ]);
    // Before the first beat of all: the take begins with it.
    const first = [{ ...(right[0] as NoteEvent), at: beatsOf(0, 1) }];
    expect(simulateTake(line({ right: first, left: [] })).played.map((note) => note.onsetSeconds)).toEqual([
      0,
      close(0.5 / 12),
    ]);
  });

  it("goes back one or two bars after a breath, and stops for one or two seconds, inside the piece", () => {
    for (const seed of [1, 2, 3, 4, 5, 6]) {
      const back = simulateTake(line(), { restarts: 1, seed });
      const { runs } = alignTake(line(), back.played);
      expect(runs.map((run) => run.begins)).toEqual(["start", "back"]);
      expect(back.restarts).toEqual([runs[1]?.from.bar]);
      expect(back.pauses).toEqual([]);
      // It breaks off at a beat, and goes back at least to the start of the bar before.
      const [broken, again] = [runs[0]?.to.bar as number, runs[1]?.from.bar as number];
      expect(broken - again).toBeGreaterThanOrEqual(0);
      expect(broken - again).toBeLessThanOrEqual(2);
      expect(runs[1]?.from.beat).toBe("1");
      const stop = simulateTake(line(), { pauses: 1, seed });
      const whole = simulateTake(line()).played;
      expect(stop.played.map((note) => note.midi)).toEqual(whole.map((note) => note.midi));
      const late = stop.played.map((note, i) => note.onsetSeconds - (whole[i]?.onsetSeconds as number));
      const from = late.findIndex((by) => by > 1e-6);
      const at = whole[from]?.onsetSeconds as number;
      expect(stop.pauses).toEqual([Math.floor(at / 2) + 1]);
      expect(at % 0.5).toBeCloseTo(0, 6);
      expect(at).toBeGreaterThanOrEqual(2);
      expect(late.slice(0, from).every((by) => Math.abs(by) < 1e-6)).toBe(true);
      expect(Math.min(...late.slice(from))).toBeGreaterThanOrEqual(1);
      expect(Math.max(...late.slice(from))).toBeLessThanOrEqual(2);
    }
    const many = simulateTake(line(), { restarts: 2, pauses: 2, seed: 5 });
    expect([many.restarts.length, many.pauses.length]).toEqual([2, 2]);
    // A single bar has no beat inside to stop at.
    expect(
      simulateTake(
        line({
          bars: 1,
          right: [{ at: beatsOf(0, 1), duration: beatsOf(1, 1), pitches: [pitchFromMidi(60, "flats")] }],
          left: [],
        }),
        { restarts: 1, pauses: 1 },
      ),
    ).toMatchObject({ restarts: [], pauses: [] });
  });

  it("stops in any order, goes back one or two bars, and takes a shorter breath for it", () => {
    const seeds = Array.from({ length: 24 }, (_, i) => i + 1);
    const early = seeds.map(
      (seed) => (simulateTake(line(), { restarts: 1, pauses: 1, seed }).pauses[0] as number) <= 4,
    );
    expect(new Set(early)).toEqual(new Set([true, false]));
    const backs = seeds.map((seed) => {
      const { played, restarts } = simulateTake(line(), { restarts: 1, seed });
      const right = played.filter((note) => note.midi >= 57).map((note) => note.onsetSeconds);
      // Eighths all along, a quarter of a second each: the widest gap is the breath.
      const gaps = right.slice(1).map((at, i) => at - (right[i] as number) - 0.25);
      const breath = Math.max(...gaps);
      const stop = (gaps.indexOf(breath) + 1) / 2;
      return { breath, bars: Math.floor(stop / 4) + 1 - (restarts[0] as number), first: restarts[0] === 1 };
    });
    for (const { breath } of backs) expect([breath >= 0.299, breath <= 1.301]).toEqual([true, true]);
    expect(Math.min(...backs.map(({ breath }) => breath))).toBeLessThan(1);
    expect(new Set(backs.filter(({ first }) => !first).map(({ bars }) => bars))).toEqual(new Set([1, 2]));
  });

  it("a grace note is no key of a chord that is rolled; slips and neighbours in a cluster hit keys beside it", () => {
    const graced: readonly NoteEvent[] = [
      {
        at: beatsOf(1, 1),
        duration: beatsOf(1, 1),
        pitches: [pitchFromMidi(64, "flats")],
        graces: [{ pitch: pitchFromMidi(63, "flats"), style: "slide" }],
      },
    ];
    expect(
      simulateTake(line({ right: graced, left: [] }), { chordSpreadMs: 60 }).played.map((note) => note.onsetSeconds),
    ).toEqual([close(0.5 - 0.5 / 12), close(0.5)]);
    const keys = [60, 61, 62, 63];
    const cluster = line({
      bars: 1,
      right: [
        { at: beatsOf(0, 1), duration: beatsOf(1, 1), pitches: keys.map((midi) => pitchFromMidi(midi, "flats")) },
      ],
      left: [],
    });
    for (const seed of [1, 2, 3, 4, 5, 6, 7, 8]) {
      const slipped = simulateTake(cluster, { wrongAt: [1], seed }).played.map((note) => note.midi);
      expect(new Set(slipped).size).toBe(4);
      expect(slipped).not.toContain(61);
      const besides = simulateTake(cluster, { extra: 0.9, seed });
      for (const [i, { midi }] of besides.played.entries())
        if (besides.meant[i] === -1) expect(keys).not.toContain(midi);
    }
  });

  it("begins with the pickup", () => {
    const of = line({
      pickup: beatsOf(1, 1),
      right: [
        { at: beatsOf(-1, 1), duration: beatsOf(1, 1), pitches: [pitchFromMidi(60, "flats")] },
        { at: beatsOf(0, 1), duration: beatsOf(1, 1), pitches: [pitchFromMidi(64, "flats")] },
      ],
      left: [],
    });
    expect(simulateTake(of).played.map((note) => note.onsetSeconds)).toEqual([0, close(0.5)]);
  });
});
