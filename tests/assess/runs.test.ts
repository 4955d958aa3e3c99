import { describe, expect, it } from "vitest";
import type { Alignment, NoteEvent, PlayedNote, Score } from "../all.ts";
import { alignTake, beats, beatsOf, makeScore, metre, parseKey, pitch, pitchFromMidi } from "../all.ts";

/** Keys or chords at moments in quarter notes, in fractions of so many parts. */
const part = (moments: readonly (readonly [number, ...number[]])[], parts = 2): readonly NoteEvent[] =>
  moments.map(([at, ...keys]) => ({
    at: beatsOf(Math.round(at * 6 * parts), 6 * parts),
    duration: beatsOf(1, 2 * parts),
    pitches: keys.map((midi) => pitchFromMidi(midi, "flats")),
  }));

const score = (right: readonly NoteEvent[], fields: Partial<Parameters<typeof makeScore>[0]> = {}): Score =>
  makeScore({ key: parseKey("C"), metre: metre("4/4"), bars: 8, tempo: 120, right, ...fields });

const play = (midi: number, onsetSeconds: number, fields: Partial<PlayedNote> = {}): PlayedNote => ({
  midi,
  onsetSeconds,
  durationSeconds: 0.4,
  velocity: 80,
  ...fields,
});

const up = (count: number, unit = 1, first = 0): readonly (readonly [number, number])[] =>
  Array.from({ length: count }, (_, i) => [first + i * unit, 50 + i] as const);
const inTime = (moments: readonly (readonly [number, ...number[]])[], pace = 0.5, from = 0): readonly PlayedNote[] =>
  moments.flatMap(([at, ...keys]) => keys.map((midi) => play(midi, from + at * pace)));

const offs = ({ notes }: Alignment): readonly (readonly [number | undefined, number | undefined])[] =>
  notes.map((note) => [note.asked, note.offMs]);
const begins = ({ runs }: Alignment): readonly string[] =>
  runs.map((run) => `${run.begins} ${run.from.bar}:${run.from.beat}-${run.to.bar}:${run.to.beat}`);
const missed = ({ notes }: Alignment): readonly (number | undefined)[] =>
  notes.filter((note) => note.state === "missed").map((note) => note.asked);

describe("where a run begins and ends", () => {
  it("a first or last note left out is missed, not outside the run", () => {
    const line = up(8);
    const late = alignTake(score(part(line)), inTime(line.slice(1)));
    expect([begins(late), missed(late), late.leftOut]).toEqual([["start 1:1-2:4"], [0], []]);
    const short = alignTake(score(part(line)), inTime(line.slice(0, -1)));
    expect([begins(short), missed(short), short.leftOut]).toEqual([["start 1:1-2:4"], [7], []]);
    // Twice through, without the first note the first time and without the last the second time.
    const long = up(12);
    const twice = alignTake(score(part(long)), [...inTime(long.slice(1)), ...inTime(long.slice(0, -1), 0.5, 8)]);
    expect([begins(twice), twice.leftOut]).toEqual([["start 1:1-3:4", "again 1:1-3:4"], []]);
    expect(missed(twice)).toEqual([0, 11]);
  });

  it("keys that are nothing of the score before a start further ahead are set aside, and what it did not come to was not attempted", () => {
    const line = up(16);
    const alignment = alignTake(score(part(line)), [play(97, 0), play(99, 0.1), ...inTime(line.slice(8), 0.5, -3)]);
    expect(begins(alignment)).toEqual(["start 3:1-4:4"]);
    expect(alignment.leftOut).toEqual([]);
    expect(alignment.attempt).toMatchObject({ bars: { from: 3, to: 4 }, aside: [0, 1], countIn: 0 });
    expect(missed(alignment)).toEqual([]);
    expect(alignment.notes.map((note) => note.state).sort()).toEqual([...Array.from({ length: 8 }, () => "right")]);
  });

  it("passing over a bar begins a new run, passing over less does not", () => {
    const line = up(16, 0.5);
    const without = (from: number, to: number): Alignment =>
      alignTake(
        score(part(line)),
        inTime(line).filter((_, i) => i < from || i >= to),
      );
    // From beat 1 (note 0..2) to beat 2 of the next bar: note 2 sounds at 1, note 10 at 5.
    expect(begins(without(3, 10))).toEqual(["start 1:1-1:2", "ahead 2:2-2:9/2"]);
    expect(begins(without(3, 9))).toEqual(["start 1:1-2:9/2"]);
  });

  it("a chord that is struck again before going on begins a run back at the same place", () => {
    const chords = [
      [0, 48, 55, 64, 71],
      [2, 50, 57, 65, 72],
      [4, 52, 59, 67, 74],
      [6, 53, 60, 69, 76],
    ] as const;
    const again = alignTake(score(part(chords)), [...inTime(chords.slice(0, 2)), ...inTime(chords.slice(1), 0.5, 1)]);
    expect(begins(again)).toEqual(["start 1:1-1:3", "back 1:3-2:3"]);
    expect(missed(again)).toEqual([]);
  });

  it("again is from within a quarter note of the end to within a quarter note of the top, else back", () => {
    const line = up(12);
    const two = (
      a: readonly (readonly [number, number])[],
      b: readonly (readonly [number, number])[],
    ): readonly string[] => begins(alignTake(score(part(line)), [...inTime(a), ...inTime(b, 0.5, 8)]));
    expect(two(line, line)).toEqual(["start 1:1-3:4", "again 1:1-3:4"]);
    expect(two(line.slice(0, 11), line)).toEqual(["start 1:1-3:3", "back 1:1-3:4"]);
    expect(two(line, line.slice(1))).toEqual(["start 1:1-3:4", "back 1:2-3:4"]);
  });

  it("up to three keys and more before a jump go where the longer silence puts them", () => {
    // After the first four notes, the next ones are the first again: the take is either 4 notes and back to the first, or on and back further in.
    for (const same of [1, 2, 3, 4]) {
      const figure = [60, 62, 64, 65, ...[60, 62, 64, 65].slice(0, same), 67, 69, 71, 72, 74].map(
        (midi, i) => [i / 2, midi] as const,
      );
      const keys = [...figure.slice(0, 4), ...figure];
      const take = (silence: number): Alignment =>
        alignTake(
          score(part(figure)),
          keys.map(([, midi], i) => play(midi, i / 4 + (i >= silence ? 1 : 0), { durationSeconds: 0.2 })),
        );
      const counts = (silence: number): readonly number[] =>
        [0, 1].map((run) => take(silence).notes.filter((note) => note.run === run && note.state === "right").length);
      expect(counts(4)).toEqual([4, figure.length]);
      expect(counts(4 + same)).toEqual([4 + same, figure.length - same]);
    }
  });
});

describe("a pause before the last key before a jump", () => {
  it("leaves it where it is unless it could be the note before the landing", () => {
    const line = up(20);
    const lengths = (played: readonly (readonly [number, number])[], pause: number): readonly number[] => {
      const { notes, runs } = alignTake(
        score(part(line)),
        played.map(([, midi], i) => play(midi, i / 2 + (i >= pause ? 1 : 0))),
      );
      return runs.map((_, run) => notes.filter((note) => note.run === run && note.state === "right").length);
    };
    // Five notes, the last after a pause, then the first four again; three notes, the last after a pause, then on from the twelfth.
    expect(lengths([...line.slice(0, 5), ...line.slice(0, 4)], 4)).toEqual([5, 4]);
    expect(lengths([...line.slice(0, 3), ...line.slice(12)], 2)).toEqual([3, 8]);
  });

  it("leaves a note in every run", () => {
    const figure = [60, 62, 64, 65, 67, 60, 62, 69, 71, 72, 74].map((midi, i) => [i, midi] as const);
    for (const pause of [0, 1, 2]) {
      const played = [60, 62, 69, 71, 72, 74].map((midi, i) => play(midi, i / 2 + (i >= pause ? 1 : 0)));
      const { notes, runs } = alignTake(score(part(figure)), played);
      expect(runs.map((_, run) => notes.some((note) => note.run === run && note.state === "right"))).toEqual(
        runs.map(() => true),
      );
      expect(notes.filter((note) => note.state === "right")).toHaveLength(6);
    }
  });
});

describe("the clock of a run", () => {
  it("one moment of two hands is enough to tell that the left is late; grace notes are no part of it", () => {
    const right: readonly NoteEvent[] = [
      { at: beats(0), duration: beats(1), pitches: [pitch("E5")], graces: [{ pitch: pitch("Eb5"), style: "slide" }] },
    ];
    const left: readonly NoteEvent[] = [{ at: beats(0), duration: beats(1), pitches: [pitch("C3")] }];
    const alignment = alignTake(score(right, { left }), [play(75, 0.9), play(76, 1), play(48, 1.08)]);
    const off = (midi: number): number | undefined =>
      alignment.notes.find((note) => note.asked !== undefined && alignment.asked[note.asked]?.midi === midi)?.offMs;
    expect(off(76)).toBeCloseTo(0, 6);
    expect(off(48)).toBeCloseTo(80, 6);
    expect(off(75)).toBeCloseTo(-100, 6);
    const plain = alignTake(score(part([[0, 72]]), { left }), [play(72, 1), play(48, 1.08)]);
    for (const note of plain.notes) expect(note.offMs).toBeCloseTo(note.hand === "right" ? 0 : 80, 6);
  });

  it("a grace note that is all there is stands where its main note would", () => {
    const right: readonly NoteEvent[] = [
      { at: beats(4), duration: beats(1), pitches: [pitch("E4")], graces: [{ pitch: pitch("Eb4"), style: "slide" }] },
    ];
    const { notes } = alignTake(score(right), [play(63, 3)]);
    expect(notes).toMatchObject([
      { state: "right", asked: 0, offMs: 0, heard: 4 },
      { state: "missed", asked: 1 },
    ]);
    expect(alignTake(score(right), [play(99, 2), play(63, 3)]).notes.find((note) => note.asked === 0)).toMatchObject({
      state: "right",
      offMs: 0,
      heard: 4,
    });
  });

  it("of many equal notes in a row tells which was missed, and its clock goes with a player who lingers there", () => {
    const keys = [60, 62, 64, 65, ...Array.from({ length: 9 }, () => 67), 69, 71, 72, 74].map(
      (midi, i) => [i, midi] as const,
    );
    for (const gone of [4, 6, 8, 10, 12]) {
      const alignment = alignTake(
        score(part(keys)),
        inTime(keys).filter((_, i) => i !== gone),
      );
      expect(missed(alignment)).toEqual([gone]);
      for (const note of alignment.notes) if (note.offMs !== undefined) expect(note.offMs).toBeCloseTo(0, 6);
    }
    const lingering = alignTake(
      score(part(keys)),
      keys
        .map(([at, midi]) => play(midi, at / 2 + 0.15 * Math.max(0, 1 - Math.abs(at - 8) / 5)))
        .filter((_, i) => i !== 8),
    );
    expect(missed(lingering)).toEqual([8]);
    for (const note of lingering.notes) if (note.offMs !== undefined) expect(Math.abs(note.offMs)).toBeLessThan(60);
  });

  it("goes by the right hand where a lagging left hand rests", () => {
    const right = up(8);
    const left = [
      [0, 40],
      [3, 43],
      [5, 45],
    ] as const;
    const alignment = alignTake(score(part(right), { left: part(left) }), [
      ...inTime(right),
      ...inTime(left, 0.5, 0.08),
    ]);
    for (const note of alignment.notes) expect(note.offMs).toBeCloseTo(note.hand === "right" ? 0 : 80, 4);
  });

  it("keeps moments in order where the left hand comes after the right hand's next note", () => {
    // On the beats, and a sixteenth beside them.
    for (const beside of [0, 0.25]) {
      const right = [0, 0.5, 1.5, 2, 2.5, 3.5, 4, 4.5, 5.5, 6].map((at, i) => [at + beside, 60 + i] as const);
      const left = [0, 1, 2, 3, 4, 5, 6].map((at, i) => [at + beside, 40 + i] as const);
      const alignment = alignTake(score(part(right), { left: part(left) }), [
        ...inTime(right),
        ...inTime(left, 0.5, 0.3),
      ]);
      for (const note of alignment.notes) expect(note.offMs).toBeCloseTo(note.hand === "right" ? 0 : 300, 4);
    }
  });

  it("tells both hands at the same instant in the score's order, an extra keys before them", () => {
    const right = up(4),
      left = right.map(([at, midi]) => [at, midi - 20] as const);
    const alignment = alignTake(score(part(right), { left: part(left) }), [
      ...inTime(right),
      ...inTime(left),
      play(21, 0),
      play(99, 0),
    ]);
    expect(alignment.notes.map((note) => note.asked ?? "extra")).toEqual(["extra", "extra", 0, 1, 2, 3, 4, 5, 6, 7]);
  });

  it("a lone chord further ahead is timed by the pace of the rest, not by the written tempo", () => {
    const line = [...up(16), [24, 80, 83, 86, 89]] as const;
    const { notes, runs } = alignTake(score(part(line)), [
      ...inTime(line.slice(0, 8), 1),
      ...inTime([[0, 80, 83, 86, 89]], 1, 9),
    ]);
    expect(runs.map((run) => run.begins)).toEqual(["start", "ahead"]);
    // 0.4 s at a second a quarter note, where the score asks for half a second.
    for (const note of notes) expect(note.lasted).toBeCloseTo(0.4, 6);
  });

  it("goes by the beats where at least three and half of them were played, so that what lies between is late alone", () => {
    const late = (at: number): number => (Number.isInteger(at) ? 0 : 0.05);
    const take = (moments: readonly (readonly [number, number])[]): readonly PlayedNote[] =>
      moments.map(([at, midi]) => play(midi, at / 2 + late(at)));
    // Triplets from bar 5 on: six beats, twelve notes between.
    const triplets = up(18, 1 / 3, 16);
    const all = alignTake(
      score(part(triplets)),
      take(triplets.map(([at, midi]) => [Math.round(at * 3) / 3, midi] as const)),
    );
    for (const [i, off] of offs(all)) expect(off).toBeCloseTo((i as number) % 3 === 0 ? 0 : 50, 3);
    // Two beats only: no note is thought to be the clock.
    const few = alignTake(score(part(up(4, 0.5))), take(up(4, 0.5)));
    expect(Math.abs(offs(few)[0]?.[1] ?? 0)).toBeGreaterThan(5);
    const three = alignTake(score(part(up(6, 0.5))), take(up(6, 0.5)));
    for (const [i, off] of offs(three)) expect(off).toBeCloseTo((i as number) % 2 === 0 ? 0 : 50, 3);
    // One beat in two, and as many notes between.
    const half = Array.from(
      { length: 4 },
      (_, bar) =>
        [
          [bar * 4, 50 + bar],
          [bar * 4 + 2.5, 70 + bar],
        ] as const,
    ).flat();
    for (const [i, off] of offs(alignTake(score(part(half)), take(half))))
      expect(off).toBeCloseTo((i as number) % 2 === 0 ? 0 : 50, 3);
    // Three beats and then offbeats alone by a player who slows down: all of them are the clock.
    const off = [[0, 50], [1, 51], [2, 52], ...up(8, 1, 3.5).map(([at, midi]) => [at, midi + 10] as const)] as const;
    const slowing = alignTake(
      score(part(off)),
      off.map(([at, midi]) => play(midi, at / 2 + (at > 2 ? 0.1 * (at - 2) : 0))),
    );
    for (const [, ms] of offs(slowing)) expect(Math.abs(ms as number)).toBeLessThan(120);
  });

  it("in compound metres the beat is the dotted quarter", () => {
    const line = up(36, 0.5);
    const of = score(part(line), { metre: metre("6/8") });
    const { notes } = alignTake(
      of,
      line.map(([at, midi], i) => play(midi, at / 2 + (i % 3 === 0 ? 0 : 0.04))),
    );
    for (const note of notes) expect(note.offMs).toBeCloseTo((note.asked as number) % 3 === 0 ? 0 : 40, 3);
  });
});
