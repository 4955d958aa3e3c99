import { describe, expect, it } from "vitest";
import { ByteWriter } from "../../src/midi/bytes.ts";
import { makeScore, metre, parseKey, parseMetre, readMidi, writeMidi } from "../all.ts";

const hex = (bytes: Uint8Array): string =>
  [...bytes].map((b) => b.toString(16).toUpperCase().padStart(2, "0")).join(" ");
const written = (write: (out: ByteWriter) => void): string => {
  const out = new ByteWriter();
  write(out);
  return hex(out.finish());
};
const empty = (parts: { tempo?: number; key?: string; metre?: string } = {}): string =>
  hex(
    writeMidi(
      makeScore({
        key: parseKey(parts.key ?? "C"),
        metre: parseMetre(parts.metre ?? "4/4"),
        bars: 1,
        tempo: parts.tempo ?? 120,
      }),
    ),
  );

// Standard MIDI-File Format Spec. 1.1 (International MIDI Association / MMA RP-001), sec. 1.1, table; read in quotations of the source, recomputed.
const LENGTHS: readonly (readonly [number, string])[] = [
  [0x00, "00"],
  [0x40, "40"],
  [0x7f, "7F"],
  [0x80, "81 00"],
  [0x2000, "C0 00"],
  [0x3fff, "FF 7F"],
  [0x4000, "81 80 00"],
  [0x100000, "C0 80 00"],
  [0x1fffff, "FF FF 7F"],
  [0x200000, "81 80 80 00"],
  [0x8000000, "C0 80 80 00"],
  [0xfffffff, "FF FF FF 7F"],
  // Beyond the table; computed.
  [1000, "87 68"],
  [1_000_000, "BD 84 40"],
  [960, "87 40"],
  [480, "83 60"],
];

// Sec. 3.1, set tempo: FF 51 03 and microseconds a quarter; 120 is in the source, the others are computed from 60,000,000 / bpm.
const TEMPOS: readonly (readonly [number, string])[] = [
  [60, "0F 42 40"],
  [100, "09 27 C0"],
  [120, "07 A1 20"],
  [140, "06 8A 1B"],
  [160, "05 B8 D8"],
  [174, "05 42 FC"],
  [200, "04 93 E0"],
];

describe("bytes of MIDI", () => {
  it.each(LENGTHS)("SMF 1.1 sec. 1.1: %i as a variable-length quantity", (value, bytes) => {
    expect(written((out) => out.variableLength(value))).toBe(bytes);
  });

  it.each(TEMPOS)("SMF 1.1 sec. 3.1: %i quarters a minute as a set-tempo event", (tempo, bytes) => {
    expect(empty({ tempo })).toContain(`FF 51 03 ${bytes}`);
  });

  it("SMF 1.1 sec. 3.1: time signatures", () => {
    expect(empty({ metre: "4/4" })).toContain("FF 58 04 04 02 18 08");
    expect(empty({ metre: "6/8" })).toContain("FF 58 04 06 03 24 08");
    // Computed: a click each half note is 48 clocks.
    expect(empty({ metre: "2/2" })).toContain("FF 58 04 02 01 30 08");
  });

  it("SMF 1.1 sec. 3.1: key signatures, flats negative, minor marked", () => {
    expect(empty({ key: "Eb" })).toContain("FF 59 02 FD 00");
    expect(empty({ key: "F# minor" })).toContain("FF 59 02 03 01");
    expect(empty({ key: "Cb" })).toContain("FF 59 02 F9 00");
  });

  it("SMF 1.1 sec. 2.1: a header of format 1, tracks, and 960 ticks to a quarter; each track ends with its end", () => {
    const bytes = empty();
    expect(bytes.startsWith("4D 54 68 64 00 00 00 06 00 01 00 03 03 C0 4D 54 72 6B")).toBe(true);
    expect(bytes.match(/FF 2F 00/g)).toHaveLength(3);
  });

  it("writes names as UTF-8 with the length of the bytes", () => {
    expect(written((out) => out.text("E♭"))).toBe("04 45 E2 99 AD");
    expect(written((out) => out.text("x".repeat(200))).startsWith("81 48 78")).toBe(true);
  });

  it("grows past its first buffer", () => {
    const out = new ByteWriter();
    for (let i = 0; i < 5000; i++) out.bytes(i & 0x7f);
    expect(out.length).toBe(5000);
    expect([...out.finish()]).toEqual(Array.from({ length: 5000 }, (_, i) => i & 0x7f));
  });

  // Appendix of the specification: format 0, 96 ticks, channels 1 to 3; read in a quotation of the source.
  it("SMF 1.1 appendix: the example file of format 0 with running status", () => {
    const text =
      "4D 54 68 64 00 00 00 06 00 00 00 01 00 60 4D 54 72 6B 00 00 00 3B 00 FF 58 04 04 02 18 08 00 FF 51 03 07 A1 20 00 C0 05 00 C1 2E 00 C2 46 00 92 30 60 00 3C 60 60 91 43 40 60 90 4C 20 81 40 82 30 40 00 3C 40 00 81 43 40 00 80 4C 40 00 FF 2F 00";
    const read = readMidi(Uint8Array.from(text.split(" ").map((b) => parseInt(b, 16))));
    expect(read.warnings).toEqual([]);
    expect([read.format, read.ticksPerQuarter]).toEqual([0, 96]);
    expect(read.metres).toEqual([{ ticks: 0, seconds: 0, count: 4, unit: 4 }]);
    expect(read.tempos.map((t) => t.microsecondsPerQuarter)).toEqual([500_000]);
    // The appendix in words: C3 and C4 for four quarters on channel 3, G4 from the second quarter on channel 2, E5 from the third on channel 1, all let go together.
    expect(
      read.notes.map((n) => [
        n.channel,
        n.midi,
        n.onsetTicks,
        n.durationTicks,
        n.velocity,
        n.onsetSeconds,
        n.durationSeconds,
      ]),
    ).toEqual([
      [2, 48, 0, 384, 96, 0, 2],
      [2, 60, 0, 384, 96, 0, 2],
      [1, 67, 96, 288, 64, 0.5, 1.5],
      [0, 76, 192, 192, 32, 1, 1],
    ]);
  });

  it("states the metre of a pickup, so that bar lines fall on the bars", () => {
    const score = makeScore({ key: parseKey("C"), metre: metre("4/4"), bars: 1, pickup: { num: 1, den: 2 } });
    expect(readMidi(writeMidi(score)).metres.map((m) => [m.ticks, m.count, m.unit])).toEqual([
      [0, 1, 4],
      [960, 4, 4],
    ]);
  });
});
