import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { MusicError, readMidi, writeMidi } from "../all.ts";
import { anyScore } from "../score/arbitrary.ts";

const bytes = (...parts: (string | readonly number[])[]): Uint8Array =>
  Uint8Array.from(parts.flatMap((p) => (typeof p === "string" ? [...p].map((c) => c.charCodeAt(0)) : [...p])));
const uint32 = (n: number): readonly number[] => [(n >>> 24) & 255, (n >>> 16) & 255, (n >>> 8) & 255, n & 255];
const header = (format: number, tracks: number, division: readonly number[]): Uint8Array =>
  bytes("MThd", uint32(6), [0, format, 0, tracks], division);
const PPQ = [0x01, 0xe0];
const track = (...events: (readonly number[])[]): Uint8Array =>
  bytes("MTrk", uint32(events.flat().length), events.flat());
const join = (...chunks: Uint8Array[]): Uint8Array => bytes(...chunks.map((c) => [...c]));
const END = [0, 0xff, 0x2f, 0];
const strike = (midi: number, after = 0, velocity = 64): readonly number[] => [after, 0x90, midi, velocity];
const release = (midi: number, after: number): readonly number[] => [after, 0x80, midi, 0];
const beat = (n: number): readonly number[] => [0x83, 0x60 + n];

const codeOf = (run: () => unknown): string => {
  try {
    run();
  } catch (error) {
    if (error instanceof MusicError) return error.code;
    throw error;
  }
  return "none";
};

describe("reading MIDI", () => {
  it("follows several tempo changes, wherever they stand", () => {
    const tempo = (us: number): readonly number[] => [0xff, 0x51, 3, (us >> 16) & 255, (us >> 8) & 255, us & 255];
    const file = join(
      header(1, 2, PPQ),
      track([0, ...tempo(1_000_000)], [...beat(0), ...tempo(500_000)], [...beat(0), ...tempo(250_000)], END),
      track(
        [...beat(0), 0x90, 60, 64],
        [...beat(0), 0x80, 60, 0],
        [...beat(0), 0x90, 62, 64],
        [...beat(0), 0x80, 62, 0],
        END,
      ),
    );
    const read = readMidi(file);
    // A quarter of 1 s, one of 0.5 s, then quarters of 0.25 s.
    expect(read.tempos.map((t) => [t.ticks, t.seconds, t.tempo])).toEqual([
      [0, 0, 60],
      [480, 1, 120],
      [960, 1.5, 240],
    ]);
    expect(read.notes.map((n) => [n.midi, n.onsetSeconds, n.durationSeconds])).toEqual([
      [60, 1, 0.5],
      [62, 1.75, 0.25],
    ]);
  });

  it("takes 120 quarters a minute where a file says nothing", () => {
    expect(
      readMidi(join(header(0, 1, PPQ), track(strike(60), [...beat(0), 0x80, 60, 0], END))).notes[0]?.durationSeconds,
    ).toBe(0.5);
  });

  it("reads running status, note-on with velocity 0 as note-off, and skips what is no note", () => {
    const file = join(
      header(0, 1, PPQ),
      track(
        [0, 0xff, 0x03, 3, 0x54, 0x61, 0x6b],
        [0, 0xf0, 3, 1, 2, 0xf7],
        [0, 0xb0, 64, 127],
        [0, 0xc0, 4],
        [0, 0xe0, 0, 64],
        [0, 0xd0, 9],
        [0, 0xa0, 60, 9],
        [0, 0x90, 60, 64],
        [0, 64, 70],
        [10, 60, 0],
        [0, 64, 0],
        END,
      ),
    );
    const read = readMidi(file);
    expect(read.warnings).toEqual([]);
    expect(read.tracks).toEqual([{ name: "Tak", notes: 2 }]);
    expect(read.notes.map((n) => [n.midi, n.velocity, n.durationTicks])).toEqual([
      [60, 64, 10],
      [64, 70, 10],
    ]);
  });

  it("keeps the tracks of format 2 apart, each with its own tempo", () => {
    const tempo = (us: number): readonly number[] => [0, 0xff, 0x51, 3, (us >> 16) & 255, (us >> 8) & 255, us & 255];
    const file = join(
      header(2, 2, PPQ),
      track(tempo(1_000_000), strike(60), [...beat(0), 0x80, 60, 0], END),
      track(tempo(250_000), strike(62), [...beat(0), 0x80, 62, 0], END),
    );
    expect(readMidi(file).notes.map((n) => [n.midi, n.durationSeconds])).toEqual([
      [60, 1],
      [62, 0.25],
    ]);
  });

  it.each<[string, Uint8Array, string]>([
    ["an empty file", bytes(), "midi/header"],
    ["another file", bytes("RIFF and so on, and on, and on"), "midi/header"],
    ["half a header", header(1, 1, PPQ).slice(0, 12), "midi/header"],
    ["frames that no film has", join(header(1, 1, [0xe9, 0x28]), track(END)), "midi/division"],
    ["frames without ticks", join(header(1, 1, [0xe7, 0]), track(END)), "midi/division"],
    ["no ticks at all", join(header(1, 1, [0, 0]), track(END)), "midi/division"],
    ["no track", header(1, 1, PPQ), "midi/no-tracks"],
  ])("refuses %s", (_, file, code) => {
    expect(codeOf(() => readMidi(file))).toBe(code);
  });

  // Spec. 1.1: the first byte is minus the frames a second, 29 standing for 30 drop frame, which take 1.001 s; the second the ticks a frame.
  it.each([
    [24, 0xe8, 1],
    [25, 0xe7, 1],
    [29, 0xe3, 1.001],
    [30, 0xe2, 1],
  ])("reads time in SMPTE frames, %i a second, whatever tempo is written", (rate, byte, second) => {
    const frames = (count: number): readonly number[] => [0x80 | ((count * 40) >> 7), (count * 40) & 127];
    const read = readMidi(
      join(
        header(0, 1, [byte, 40]),
        track(
          [0, 0xff, 0x51, 3, 1, 1, 1],
          [...frames(rate === 29 ? 30 : rate), 0x90, 60, 64],
          [...frames(12), 0x80, 60, 0],
          END,
        ),
      ),
    );
    expect(read.notes[0]?.onsetSeconds).toBeCloseTo(second, 9);
    expect(read.notes[0]?.durationSeconds).toBeCloseTo((12 / (rate === 29 ? 30 : rate)) * second, 9);
    expect(read.warnings.join()).toMatch(/frames of film/);
    expect(codeOf(() => readMidi([1, 2] as unknown as Uint8Array))).toBe("midi/bytes");
  });

  it("tells how long a pedal holds a note on: until it comes up, or the key is struck again; half down is not down", () => {
    const pedal = (value: number, after = 0): readonly number[] => [after, 0xb0, 64, value];
    const file = (...events: (readonly number[])[]) => readMidi(join(header(0, 1, PPQ), track(...events, END))).notes;
    const sounding = (notes: ReturnType<typeof file>) => notes.map((note) => note.soundingSeconds);
    // 48 ticks are 0.05 s at 120.
    expect(sounding(file(pedal(127), strike(60), release(60, 48), pedal(0, 48)))).toEqual([0.1]);
    expect(sounding(file(pedal(63), strike(60), release(60, 48), pedal(0, 48)))).toEqual([undefined]);
    expect(
      sounding(file(pedal(64), strike(60), release(60, 48), strike(60, 48), release(60, 48), pedal(20, 96))),
    ).toEqual([0.1, 0.15]);
    // Up before the key is: the key tells. On another channel: another instrument's.
    expect(sounding(file(pedal(127), strike(60), pedal(0, 48), release(60, 48)))).toEqual([undefined]);
    expect(sounding(file([0, 0xb1, 64, 127], strike(60), release(60, 48)))).toEqual([undefined]);
    // On another track of the same instrument.
    const [note] = readMidi(
      join(header(1, 2, PPQ), track(pedal(127), pedal(0, 96), END), track(strike(60), release(60, 48), END)),
    ).notes;
    expect(note?.soundingSeconds).toBeCloseTo(0.1, 9);
    // Running status through aftertouch and pedal.
    expect(file([0, 0x90, 60, 64], [0, 0xd0, 40], [0, 50], [48, 0x80, 60, 0])[0]?.durationSeconds).toBe(0.05);
  });

  it.each<[string, Uint8Array, number, RegExp]>([
    [
      "a track that stops in the middle",
      join(header(0, 1, PPQ), bytes("MTrk", uint32(99), strike(60), release(60, 48), [0, 0x90, 62])),
      1,
      /ends inside track 1.*stops in the middle/,
    ],
    [
      "a key that is never let go",
      join(header(0, 1, PPQ), track(strike(60), [48, 0xff, 0x2f, 0])),
      1,
      /1 key is never let go/,
    ],
    ["a key struck twice", join(header(0, 1, PPQ), track(strike(60), strike(60, 24), release(60, 24), END)), 2, /^$/],
    ["a track without an end", join(header(0, 1, PPQ), track(strike(60), release(60, 48))), 1, /end is not marked/],
    [
      "a status that files do not have",
      join(header(0, 1, PPQ), track(strike(60), release(60, 48), [0, 0xf8], END)),
      1,
      /live message/,
    ],
    [
      "a data byte out of range",
      join(header(0, 1, PPQ), track(strike(60), release(60, 48), [0, 0x90, 0x90, 3], END)),
      1,
      /data byte/,
    ],
    ["a message without a status", join(header(0, 1, PPQ), track([0, 60, 64], END)), 0, /lacks its status/],
    [
      "a length of five bytes",
      join(header(0, 1, PPQ), track(strike(60), release(60, 48), [0xff, 0xff, 0xff, 0xff, 0x7f], END)),
      1,
      /four bytes/,
    ],
    [
      "a tempo of nothing",
      join(header(0, 1, PPQ), track([0, 0xff, 0x51, 3, 0, 0, 0], strike(60), release(60, 48), END)),
      1,
      /no time at all/,
    ],
    [
      "a wrapper before the header",
      join(bytes("RIFF1234RMIDdata5678"), header(0, 1, PPQ), track(strike(60), release(60, 48), END)),
      1,
      /20 bytes before/,
    ],
    [
      "an unknown chunk",
      join(header(0, 1, PPQ), bytes("XFIH", uint32(4), [1, 2, 3, 4]), track(strike(60), release(60, 48), END)),
      1,
      /^$/,
    ],
    [
      "rubbish between tracks",
      join(
        header(1, 2, PPQ),
        track(strike(60), release(60, 48), END),
        bytes([0, 1, 2]),
        track(strike(62), release(62, 48), END),
      ),
      2,
      /3 bytes between/,
    ],
    [
      "a header that miscounts",
      join(header(1, 9, PPQ), track(strike(60), release(60, 48), END)),
      1,
      /announces 9 tracks/,
    ],
  ])("saves what it can from %s", (_, file, notes, warning) => {
    const read = readMidi(file);
    expect(read.notes).toHaveLength(notes);
    expect(read.warnings.join("; ")).toMatch(warning);
    for (const n of read.notes) expect(n.durationTicks).toBeGreaterThan(0);
  });

  const wellFormed = (file: Uint8Array): void => {
    const read = readMidi(file);
    for (const n of read.notes) {
      expect(
        n.midi >= 0 && n.midi < 128 && n.velocity > 0 && n.velocity < 128 && n.channel < 16 && n.durationTicks >= 0,
      ).toBe(true);
      expect(Number.isFinite(n.onsetSeconds) && Number.isFinite(n.durationSeconds) && n.durationSeconds >= 0).toBe(
        true,
      );
    }
    // Each note and each warning came from bytes that were there.
    expect(read.notes.length + read.warnings.length).toBeLessThanOrEqual(file.length);
  };
  const readOrRefused = (file: Uint8Array): void => {
    const code = codeOf(() => wellFormed(file));
    expect(["none", "midi/header", "midi/division", "midi/no-tracks"]).toContain(code);
  };

  it("law: any bytes are read or refused", () => {
    fc.assert(
      fc.property(fc.uint8Array({ maxLength: 200 }), fc.boolean(), (noise, framed) => {
        readOrRefused(
          framed ? join(header(noise.length % 3, 1, PPQ), bytes("MTrk", uint32(noise.length), [...noise])) : noise,
        );
      }),
      { numRuns: 2000 },
    );
  });

  it("law: a file with some bytes changed, cut off or put in is read or refused", () => {
    const change = fc.record({ at: fc.nat(), to: fc.nat({ max: 255 }), kind: fc.constantFrom("set", "cut", "insert") });
    fc.assert(
      fc.property(anyScore(), fc.array(change, { minLength: 1, maxLength: 4 }), (score, changes) => {
        let file = [...writeMidi(score)];
        for (const { at, to, kind } of changes) {
          const i = at % file.length;
          if (kind === "set") file[i] = to;
          else if (kind === "insert") file.splice(i, 0, to);
          else file = file.slice(0, Math.max(1, i));
        }
        readOrRefused(Uint8Array.from(file));
      }),
      { numRuns: 150 },
    );
  });

  it("law: cut anywhere, a file keeps every note that ended before", () => {
    fc.assert(
      fc.property(anyScore({ backing: false }), fc.nat(), (score, at) => {
        const file = writeMidi(score);
        const cut = file.slice(0, 22 + (at % (file.length - 22)));
        if (codeOf(() => readMidi(cut)) !== "none") return;
        const whole = new Set(readMidi(file).notes.map((n) => `${n.channel} ${n.midi} ${n.onsetTicks}`));
        for (const n of readMidi(cut).notes) expect(whole.has(`${n.channel} ${n.midi} ${n.onsetTicks}`)).toBe(true);
      }),
      { numRuns: 60 },
    );
  });
});
