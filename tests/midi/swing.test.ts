import fc from "fast-check";
import { parseMidi } from "midi-file";
import { describe, expect, it } from "vitest";
import { writeMidi } from "../../src/midi/index.ts";
import { pitch } from "../../src/pitch/index.ts";
import { makeScore } from "../../src/score/index.ts";
import type { Feel } from "../../src/swing/index.ts";
import { feelCatalogue, tempoFeelCatalogue } from "../../src/swing/index.ts";
import { barLength, beats, beatsOf, beatsToNumber, parseMetre } from "../../src/time/index.ts";

/** Onsets in quarter notes, by the name of the track: midi-file 1.2.4 (npm) reads the bytes. */
const onsetsIn = (bytes: Uint8Array): Readonly<Record<string, readonly number[]>> => {
  const file = parseMidi(bytes);
  const quarter = file.header.ticksPerBeat ?? 0;
  return Object.fromEntries(
    file.tracks.slice(1).map((track) => {
      let now = 0;
      let name = "";
      const onsets: number[] = [];
      for (const event of track) {
        now += event.deltaTime;
        if (event.type === "trackName") name = event.text;
        if (event.type === "noteOn" && event.velocity > 0) onsets.push(now / quarter);
      }
      return [name, onsets];
    }),
  );
};

const BARS = 4;
const eighths = (metre: string, feel: string | Feel, tempo: number): Readonly<Record<string, readonly number[]>> => {
  const m = parseMetre(metre);
  const count = Math.floor(BARS * beatsToNumber(barLength(m)) * 2);
  const spans = Array.from({ length: count }, (_, i) => ({ at: beatsOf(i, 2), duration: beats("1/2") }));
  const notes = spans.map((span, i) => ({ ...span, pitches: [pitch(i % 2 === 0 ? "C5" : "D5")] }));
  const drums = spans.map((span) => ({ ...span, midi: 51 }));
  return onsetsIn(
    writeMidi(
      makeScore({ key: "C", metre: m, bars: BARS, tempo, feel, right: notes, left: notes, bass: notes, drums }),
    ),
  );
};
/** Long over short, of every pair. */
const ratios = (onsets: readonly number[] = []): readonly number[] =>
  Array.from({ length: Math.floor((onsets.length - 1) / 2) }, (_, i) => {
    const [from = 0, middle = 0, to = 0] = onsets.slice(2 * i);
    return (middle - from) / (to - middle);
  });
const median = (values: readonly number[]): number => [...values].sort((a, b) => a - b)[values.length >> 1] ?? 0;
// A tick is 1/960 of a quarter note; of a pair, the short note of which lasts 213 ticks or more.
const TICKS = 0.04;

describe("swing, measured in the file", () => {
  // Friberg & Sundström (2002): 3.5:1 at slow tempi, 1:1 at fast, a short note of 100 ms between; 2:1 at one tempo only.
  it.each([60, 100, 120, 133, 150, 171, 200, 240, 270, 300, 320])(
    "Friberg & Sundström (2002): the cymbal at %i",
    (tempo) => {
      const { Drums = [], Bass = [] } = eighths("4/4", "swing", tempo);
      const published = Math.min(3.5, Math.max(1, 60_000 / tempo / 100 - 1));
      for (const part of [Drums, Bass])
        for (const ratio of ratios(part)) expect(Math.abs(ratio - published)).toBeLessThan(TICKS);
      if (tempo > 133 && tempo < 300) {
        const [, offbeat = 0, next = 0] = Drums;
        expect(((next - offbeat) * 60_000) / tempo).toBeGreaterThan(98);
        expect(((next - offbeat) * 60_000) / tempo).toBeLessThan(102);
      }
    },
  );

  // Corcoran & Frieler (2021): 1.3:1 on average over 456 solos, 2:1 and above now and then at slow and moderate tempi.
  it("Corcoran & Frieler (2021): the hands swing less than the cymbal, 2:1 at most, and 1.3:1 within their range", () => {
    const tempi = [60, 100, 120, 150, 180, 200, 220, 240, 260, 280, 300];
    const measured = tempi.map((tempo) => {
      const { "Right hand": right, "Left hand": left, Drums } = eighths("4/4", "swing", tempo);
      expect(left).toEqual(right);
      return { hands: median(ratios(right)), cymbal: median(ratios(Drums)) };
    });
    for (const { hands, cymbal } of measured) {
      expect(hands).toBeGreaterThanOrEqual(1 - TICKS);
      expect(hands).toBeLessThan(2.05 + TICKS);
      expect(hands).toBeLessThanOrEqual(cymbal + TICKS);
    }
    expect(measured.some(({ hands }) => Math.abs(hands - 1.3) < 0.05)).toBe(true);
  });

  // Nelias et al. (2022): 85 of 960 ticks near 150, offbeats together, less at faster tempi.
  it("Nelias et al. (2022): a late right hand is late on the downbeats alone", () => {
    const late = (tempo: number, i: number): number => {
      const { "Right hand": right = [], Drums = [] } = eighths("4/4", "late swing", tempo);
      return Math.round(((right[i] ?? 0) - (Drums[i] ?? 0)) * 960);
    };
    expect([0, 2, 4, 6].map((i) => late(150, i))).toEqual([85, 85, 85, 85]);
    expect([1, 3, 5, 7].map((i) => late(150, i))).toEqual([0, 0, 0, 0]);
    expect(late(220, 0)).toBeLessThan(85);
    expect(late(220, 0)).toBeGreaterThan(0);
    expect(late(300, 0)).toBe(0);
  });

  it("law: compound metres never swing their eighths, nor metres whose beats are eighths, whatever the feel and the tempo", () => {
    const feels = [...tempoFeelCatalogue.map((row) => row.id), ...feelCatalogue.map((row) => row.id), "3:1", "5:4"];
    fc.assert(
      fc.property(
        fc.constantFrom("6/8", "9/8", "12/8", "3/8", "5/8", "7/8", "15/8"),
        fc.constantFrom(...feels),
        fc.integer({ min: 40, max: 300 }),
        (metre, feel, tempo) => {
          for (const onsets of Object.values(eighths(metre, feel, tempo)))
            expect(onsets).toEqual(onsets.map((_, i) => i / 2));
        },
      ),
      { numRuns: 60 },
    );
  });

  it("law: in metres of quarters every downbeat stays and every second eighth is late, as long as there is a ratio", () => {
    fc.assert(
      fc.property(
        fc.constantFrom("2/4", "3/4", "4/4", "5/4", "7/4", "2/2", "3/2"),
        fc.integer({ min: 40, max: 290 }),
        (metre, tempo) => {
          for (const onsets of Object.values(eighths(metre, "swing", tempo))) {
            expect(onsets.filter((_, i) => i % 2 === 0)).toEqual(onsets.filter((_, i) => i % 2 === 0).map((_, i) => i));
            for (const [i, at] of onsets.entries()) if (i % 2 === 1) expect(at % 1).toBeGreaterThan(0.5);
          }
        },
      ),
      { numRuns: 40 },
    );
  });

  it("a ballad's eighths are even", () => {
    const { "Right hand": right = [] } = eighths("4/4", "ballad", 60);
    expect(right).toEqual(right.map((_, i) => i / 2));
  });
});
