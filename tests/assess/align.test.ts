import fc from "fast-check";
import { describe, expect, it } from "vitest";
import type { PlayedNote, Score } from "../all.ts";
import {
  alignTake,
  beats,
  beatsOf,
  makeDrill,
  makeScore,
  metre,
  parseKey,
  pitch,
  pitchFromMidi,
  readMidi,
  simulateTake,
  swungFeel,
  writeMidi,
} from "../all.ts";

const line = (keys: readonly number[], unit = 1): Score =>
  makeScore({
    key: parseKey("C"),
    metre: metre("4/4"),
    bars: Math.ceil((keys.length * unit) / 4),
    right: keys.map((midi, i) => ({
      at: beatsOf(i * unit * 2, 2),
      duration: beatsOf(unit * 2, 2),
      pitches: [pitchFromMidi(midi, "flats")],
    })),
  });

const play = (keys: readonly (readonly [number, number])[]): readonly PlayedNote[] =>
  keys.map(([midi, onsetSeconds]) => ({ midi, onsetSeconds, durationSeconds: 0.2, velocity: 80 }));

const states = (score: Score, played: readonly PlayedNote[]): readonly string[] =>
  alignTake(score, played).notes.map((note) => note.state);

const drill = (): Score => makeDrill({ key: "Eb", repeats: 2, values: "triplets" }).score;

describe("a take and its score", () => {
  it("law: a score played as it is written is right in every note, in any feel", () => {
    for (const key of ["C", "F#", "Bb"]) {
      const { bass: _bass, drums: _drums, ...score } = makeDrill({ key }).score;
      const alignment = alignTake(score, readMidi(writeMidi({ ...score, feel: swungFeel("3:2") })).notes);
      expect(new Set(alignment.notes.map((note) => note.state))).toEqual(new Set(["right"]));
      expect(alignment).toMatchObject({
        leftOut: [],
        shift: { right: 0, left: 0 },
        cost: 0,
        runs: [{ begins: "start" }],
      });
    }
  });

  it("law: tempo, start and order of the list change no reading", () => {
    const score = drill();
    fc.assert(
      fc.property(
        fc.integer({ min: 1, max: 1000 }),
        fc.double({ min: 0.5, max: 2, noNaN: true }),
        fc.double({ min: 0, max: 60, noNaN: true }),
        (seed, speed, start) => {
          const { played } = simulateTake(score, { seed, jitterMs: 10, wrong: 0.05, missed: 0.05 });
          const other = played
            .map((note) => ({
              ...note,
              onsetSeconds: start + note.onsetSeconds * speed,
              durationSeconds: note.durationSeconds * speed,
            }))
            .reverse();
          const [a, b] = [alignTake(score, played), alignTake(score, other)];
          const told = ({ notes }: typeof a): readonly string[] =>
            notes.map((note) => `${note.asked ?? "extra"} ${note.state}`).sort();
          expect(told(b)).toEqual(told(a));
          // The example: two readings that cost the same.
        },
      ),
      { numRuns: 6, examples: [[918, 0.6652492135531033, 0]] },
    );
  });

  it("law: every played note is told once or set aside, and in each run every asked note at most once", () => {
    const score = drill();
    fc.assert(
      fc.property(fc.integer({ min: 1, max: 1000 }), (seed) => {
        const { played } = simulateTake(score, {
          seed,
          jitterMs: 25,
          wrong: 0.1,
          missed: 0.1,
          extra: 0.1,
          restarts: 1,
        });
        const { notes, attempt } = alignTake(score, played);
        const told = [
          ...notes.flatMap((note) => (note.played === undefined ? [] : [note.played])),
          ...attempt.aside,
        ].sort((a, b) => a - b);
        expect(told).toEqual(played.map((_, i) => i));
        const met = notes.flatMap((note) => (note.asked === undefined ? [] : [`${note.run} ${note.asked}`]));
        expect(new Set(met).size).toBe(met.length);
      }),
      { numRuns: 6 },
    );
  });

  it("tells which of two equal notes was missed by the time of the other", () => {
    const keys = [60, 62, 64, 65, 67, 67, 67, 69, 71, 72, 71, 69];
    for (const missed of [4, 5, 6]) {
      const { notes } = alignTake(
        line(keys),
        play(keys.map((midi, i) => [midi, i / 2] as const).filter((_, i) => i !== missed)),
      );
      expect(notes.filter((note) => note.state === "missed").map((note) => note.asked)).toEqual([missed]);
    }
  });

  it("takes a neighbouring key for a wrong note, and a far one for an extra note beside a missed one", () => {
    expect(
      states(
        line([60, 62, 64, 65]),
        play([
          [60, 0],
          [63, 0.5],
          [64, 1],
          [65, 1.5],
        ]),
      ),
    ).toEqual(["right", "wrong", "right", "right"]);
    expect(
      [
        ...states(
          line([60, 62, 64, 65]),
          play([
            [60, 0],
            [90, 0.5],
            [64, 1],
            [65, 1.5],
          ]),
        ),
      ].sort(),
    ).toEqual(["extra", "missed", "right", "right", "right"]);
  });

  it.each([12, -12, 24, 5, -3])("recognises a take %i semitones off", (transpose) => {
    expect(alignTake(drill(), simulateTake(drill(), { transpose, wrong: 0.05, seed: 3 }).played).shift).toEqual({
      right: transpose,
      left: transpose,
    });
  });

  it("recognises an octave in one hand", () => {
    const score = drill();
    const { played, meant } = simulateTake(score, { jitterMs: 5 });
    const { asked } = alignTake(score, played);
    const raised = played.map((note, i) =>
      asked[meant[i] as number]?.hand === "right" ? { ...note, midi: note.midi + 12 } : note,
    );
    expect(alignTake(score, raised).shift).toEqual({ right: 12, left: 0 });
  });

  it("tells where the student went back and where the music stopped", () => {
    const keys = [60, 62, 64, 65, 67, 69, 71, 72];
    const again = alignTake(
      line(keys),
      play([...keys.slice(0, 6), ...keys.slice(2)].map((midi, i) => [midi, i < 6 ? i / 2 : i / 2 + 1])),
    );
    expect(again.runs.map((run) => [run.begins, run.from.bar, run.to.bar])).toEqual([
      ["start", 1, 2],
      ["back", 1, 2],
    ]);
    const stopped = alignTake(line(keys), play(keys.map((midi, i) => [midi, i < 4 ? i / 2 : i / 2 + 2])));
    expect(stopped.runs).toHaveLength(1);
    expect(stopped.runs[0]?.pauses).toMatchObject([{ bar: 2, beat: "1" }]);
    expect(stopped.runs[0]?.pauses[0]?.seconds).toBeCloseTo(2, 6);
  });

  it("a chord that is begun again opens the new run with all of its keys, also where one of them could end the run before", () => {
    const right = [[59], [60, 64], [62], [64], [65], [67], [69], [71]].map((keys, i) => ({
      at: beats(i),
      duration: beats(1),
      pitches: keys.map((midi) => pitchFromMidi(midi, "flats")),
    }));
    const score = makeScore({ key: parseKey("C"), metre: metre("4/4"), bars: 2, tempo: 120, right });
    // Three beats, a stop, then from the chord, its upper key a little before the lower.
    const { runs, notes } = alignTake(
      score,
      play([
        [59, 0],
        [60, 0.5],
        [64, 0.51],
        [62, 1],
        [64, 2.1],
        [60, 2.11],
        [62, 2.6],
        [64, 3.1],
        [65, 3.6],
        [67, 4.1],
        [69, 4.6],
        [71, 5.1],
      ]),
    );
    expect(runs.map(({ begins, from, to, pauses }) => [begins, from.beat, to.beat, pauses.length])).toEqual([
      ["start", "1", "3", 0],
      ["back", "2", "4", 0],
    ]);
    expect(notes.map(({ run, state, asked, played }) => [run, state, asked, played])).toEqual(
      [
        [0, 0, 0],
        [0, 1, 1],
        [0, 2, 2],
        [0, 3, 3],
        [1, 2, 4],
        [1, 1, 5],
        [1, 3, 6],
        [1, 4, 7],
        [1, 5, 8],
        [1, 6, 9],
        [1, 7, 10],
        [1, 8, 11],
      ].map(([run, asked, key]) => [run, "right", asked, key]),
    );
  });

  it("law: a left hand that is late throughout changes no tempo, also where its notes come after the right hand's next", () => {
    const at = (sixteenths: readonly number[], keys: readonly number[]) =>
      sixteenths.map((n, i) => ({
        at: beatsOf(n, 4),
        duration: beatsOf(1, 4),
        pitches: [pitchFromMidi(keys[i % keys.length] as number, "flats")],
      }));
    // On the beat both hands meet once a bar; the last note is the right hand's, and the left hand's last sounds after it.
    const right = [0, 2, 6, 10, 14, 16, 18, 22, 26, 30, 32, 34, 38, 42, 46, 48, 50, 54, 58, 61];
    const left = [0, 5, 9, 13, 16, 21, 25, 29, 32, 37, 41, 45, 48, 53, 57, 59];
    const score = makeScore({
      key: parseKey("C"),
      metre: metre("4/4"),
      bars: 4,
      tempo: 120,
      right: at(right, [72, 74, 76, 77, 79]),
      left: at(left, [43, 45, 48, 50]),
    });
    const take = (late: number): readonly PlayedNote[] =>
      play([
        ...right.map((n, i) => [[72, 74, 76, 77, 79][i % 5] as number, n / 8] as const),
        ...left.map((n, i) => [[43, 45, 48, 50][i % 4] as number, n / 8 + late] as const),
      ]);
    const [even, lagging] = [alignTake(score, take(0)), alignTake(score, take(0.3))];
    expect(lagging.notes.map((note) => note.state)).toEqual(even.notes.map(() => "right"));
    expect(lagging.runs[0]?.tempos.map(({ quarter }) => quarter)).toEqual(
      even.runs[0]?.tempos.map(({ quarter }) => quarter),
    );
    for (const { tempo } of lagging.runs[0]?.tempos ?? []) expect(tempo).toBeCloseTo(120, 6);
    expect(lagging.runs[0]?.tempos.map(({ quarter }) => quarter)).toEqual(Array.from({ length: 16 }, (_, i) => i));
  });

  it("going back after a stop begins with the key after the stop, also where that key would come next as well", () => {
    const keys = [60, 62, 64, 65, 62, 67, 69, 71];
    const { runs, notes } = alignTake(
      line(keys),
      play([60, 62, 64, 65, ...keys.slice(1)].map((midi, i) => [midi, i < 4 ? i / 2 : i / 2 + 2])),
    );
    expect(runs.map(({ begins, from, to }) => [begins, from, to])).toEqual([
      ["start", { bar: 1, beat: "1" }, { bar: 1, beat: "4" }],
      ["back", { bar: 1, beat: "2" }, { bar: 2, beat: "4" }],
    ]);
    expect(notes.map(({ state, asked }) => [state, asked])).toEqual(
      [0, 1, 2, 3, 1, 2, 3, 4, 5, 6, 7].map((asked) => ["right", asked]),
    );
  });

  it("hands that play by turns are each on time", () => {
    const notes = (from: number, midi: number) =>
      Array.from({ length: 4 }, (_, i) => ({
        at: beats(2 * i + from),
        duration: beats(1),
        pitches: [pitchFromMidi(midi + 2 * i, "flats")],
      }));
    const score = makeScore({
      key: parseKey("C"),
      metre: metre("4/4"),
      bars: 2,
      tempo: 120,
      right: notes(0, 72),
      left: notes(1, 48),
    });
    const { notes: heard } = alignTake(score, play([72, 48, 74, 50, 76, 52, 78, 54].map((midi, i) => [midi, i / 2])));
    expect(heard.map(({ state, offMs }) => [state, offMs])).toEqual(
      Array.from({ length: 8 }, () => ["right", expect.closeTo(0, 6)]),
    );
  });

  it("a key long after its time is no wrong note; a run in which the clock would have no note at all is what its keys say", () => {
    expect(
      [
        ...states(
          line([60, 62]),
          play([
            [60, 0],
            [63, 5],
          ]),
        ),
      ].sort(),
    ).toEqual(["missed", "right"]);
    // Written two and a half beats apart, struck at once.
    const right = [beats(1), beatsOf(7, 2)].map((at) => ({ at, duration: beatsOf(1, 2), pitches: [pitch("C4")] }));
    const apart = alignTake(
      makeScore({ key: parseKey("C"), metre: metre("4/4"), bars: 1, tempo: 120, right }),
      play([
        [60, 0.5],
        [60, 0.54],
      ]),
    );
    expect(apart.notes.map((note) => [note.state, note.asked])).toEqual([
      ["right", 0],
      ["right", 1],
    ]);
    expect(apart.runs).toMatchObject([{ from: { bar: 1, beat: "2" }, to: { bar: 1, beat: "9/2" } }]);
  });

  it("tells a second round from a restart, and what was not attempted from what was skipped", () => {
    const keys = [60, 62, 64, 65, 67, 69, 71, 72];
    const rounds = alignTake(line(keys), play([...keys, ...keys].map((midi, i) => [midi, i / 2])));
    expect(rounds.runs.map((run) => run.begins)).toEqual(["start", "again"]);
    const half = alignTake(line(keys), play(keys.slice(0, 4).map((midi, i) => [midi, i / 2])));
    // What lies after the end of an attempt was not attempted.
    expect([half.leftOut, half.attempt]).toMatchObject([[], { bars: { from: 1, to: 1 }, whole: false, times: 1 }]);
    const asked = alignTake(line(keys), play(keys.slice(0, 4).map((midi, i) => [midi, i / 2])), { bars: [1, 2] });
    expect(asked.leftOut).toEqual([4, 5, 6, 7]);
    const long = [60, 62, 64, 65, 67, 69, 71, 72, 74, 76, 77, 79, 81, 83, 84, 86];
    const skipped = alignTake(
      line(long),
      play([...long.slice(0, 4), ...long.slice(12)].map((midi, i) => [midi, i / 2])),
    );
    expect(skipped.runs.map((run) => run.begins)).toEqual(["start", "ahead"]);
    expect(skipped.leftOut).toEqual([4, 5, 6, 7, 8, 9, 10, 11]);
  });

  it("leaves percussion out, keeps a hand that is told, and counts a grace note with its main note", () => {
    const right = [
      {
        at: beats(0),
        duration: beats(1),
        pitches: [pitch("E4")],
        graces: [{ pitch: pitch("Eb4"), style: "slide" as const }],
      },
    ];
    const left = [{ at: beats(0), duration: beats(1), pitches: [pitch("C3")] }];
    const score = makeScore({ key: parseKey("C"), metre: metre("4/4"), bars: 1, right, left });
    const note = (midi: number, onsetSeconds: number) => ({ midi, onsetSeconds, durationSeconds: 0.3, velocity: 70 });
    const take = [
      note(63, 0),
      note(64, 0.05),
      { ...note(42, 0), channel: 9 },
      { ...note(48, 0), hand: "left" as const },
    ];
    expect(states(score, take)).toEqual(["right", "right", "right"]);
    const swapped = alignTake(score, [note(63, 0), note(64, 0.05), { ...note(48, 0), hand: "right" as const }]);
    expect(swapped.notes.map((n) => n.state).sort()).toEqual(["extra", "missed", "right", "right"]);
  });

  it("refuses what is no take, no score, or another piece", () => {
    const score = line([60, 62, 64, 65]);
    const code = (run: () => unknown): string => {
      try {
        run();
      } catch (error) {
        return (error as { code: string }).code;
      }
      return "none";
    };
    expect(code(() => alignTake(score, []))).toBe("assess/played");
    expect(code(() => alignTake(score, play([[60, Number.NaN]])))).toBe("assess/played");
    expect(code(() => alignTake(score, play([[60.5, 0]])))).toBe("assess/played");
    expect(code(() => alignTake(score, "take" as never))).toBe("assess/played");
    expect(
      code(() => alignTake(makeScore({ key: parseKey("C"), metre: metre("4/4"), bars: 1 }), play([[60, 0]]))),
    ).toBe("assess/score");
    expect(
      code(() =>
        alignTake(
          line([60, 60, 60, 60]),
          play([
            [60, 0],
            [61, 1],
            [66, 2],
            [71, 3],
            [78, 4],
            [85, 5],
          ]),
        ),
      ),
    ).toBe("assess/unrelated");
  });

  it("refuses no take for a cluster of 25 keys, however they are rolled, asked for or not", () => {
    const cluster = Array.from({ length: 25 }, (_, i) => 50 + i);
    const wide = makeScore({
      key: parseKey("C"),
      metre: metre("4/4"),
      bars: 4,
      right: [0, 4, 8, 12].map((at) => ({
        at: beats(at),
        duration: beats(2),
        pitches: cluster.map((midi) => pitchFromMidi(midi, "flats")),
      })),
    });
    const rolled = [0, 4, 8, 12].flatMap((at) =>
      cluster.map((midi, i) => [midi, at / 2 + ((i * 7) % 25) / 1000] as const),
    );
    expect(alignTake(wide, play(rolled)).notes.every(({ state }) => state === "right")).toBe(true);
    const keys = [60, 62, 64, 65, 67, 69, 71, 72];
    const { notes } = alignTake(
      line(keys),
      play([...keys.map((midi, i) => [midi, i / 2] as const), ...cluster.map((midi) => [midi, 1.25] as const)]),
    );
    expect(notes.filter(({ state }) => state === "right").length).toBeGreaterThan(4);
  });

  it("times each note by the player's own clock", () => {
    const keys = [60, 62, 64, 65, 67, 69, 71, 72, 71, 69, 67, 65];
    const { notes } = alignTake(line(keys), play(keys.map((midi, i) => [midi, i / 2 + (i === 6 ? 0.04 : 0)])));
    expect(notes[6]?.offMs).toBeGreaterThan(30);
    expect(Math.abs(notes[2]?.offMs ?? 99)).toBeLessThan(5);
    expect(notes.find((note) => note.asked === 0)?.lasted).toBeCloseTo(0.4, 1);
  });
});
