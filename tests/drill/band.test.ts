import { parseMidi } from "midi-file";
import { describe, expect, it } from "vitest";
import type { BackingId } from "../../src/backing/index.ts";
import { backingCatalogue } from "../../src/backing/index.ts";
import { bassRow } from "../../src/backing/inner.ts";
import { makeDrill } from "../../src/drill/index.ts";
import { isMusicError } from "../../src/ground/errors.ts";
import { writeMidi } from "../../src/midi/index.ts";
import { midiNumber, parsePitch, pitchClassOf } from "../../src/pitch/index.ts";
import { barLength, beatsToNumber, parseMetre, pulseLength } from "../../src/time/index.ts";

interface Heard {
  /** Quarter notes from bar 1. */
  readonly at: number;
  readonly to: number;
  readonly key: number;
  readonly velocity: number;
}

/** Each track by its name: midi-file 1.2.4 (npm) reads the bytes. */
const heardIn = (bytes: Uint8Array, lead: number): ReadonlyMap<string, readonly Heard[]> => {
  const file = parseMidi(bytes);
  const quarter = file.header.ticksPerBeat ?? 0;
  return new Map(
    file.tracks.slice(1).map((track) => {
      let now = 0;
      let name = "";
      const down = new Map<number, { at: number; velocity: number }>();
      const notes: Heard[] = [];
      for (const event of track) {
        now += event.deltaTime / quarter;
        if (event.type === "trackName") name = event.text;
        if (event.type === "noteOn" && event.velocity > 0)
          down.set(event.noteNumber, { at: now - lead, velocity: event.velocity });
        else if (event.type === "noteOn" || event.type === "noteOff") {
          const on = down.get(event.noteNumber);
          if (on !== undefined) notes.push({ ...on, to: now - lead, key: event.noteNumber });
          down.delete(event.noteNumber);
        }
      }
      return [name, notes.sort((a, b) => a.at - b.at)] as const;
    }),
  );
};

const METRES = ["4/4", "3/4", "5/4", "6/8", "7/4", "12/8"];
const TEMPOS = [60, 120, 200, 260];
const combinations = backingCatalogue.flatMap(({ id }) =>
  METRES.flatMap((metre, m) => {
    const tempo = TEMPOS[(m + backingCatalogue.findIndex((row) => row.id === id)) % TEMPOS.length] ?? 120;
    const recipe = { key: "F", changes: "jazz-blues", right: "improvised", left: "rootless" } as const;
    try {
      return [
        { id, metre, tempo, drill: makeDrill({ ...recipe, backing: id, metre, tempo, ending: "held", countIn: 1 }) },
      ];
    } catch (error) {
      if (!isMusicError(error) || !/bass and drums with a bar of/.test(error.expected)) throw error;
      return [];
    }
  }),
);
// Friberg & Sundström (2002): the cymbal's short note is about 100 ms, from 3.5:1 at most to 1:1.
const published = (tempo: number): number => Math.min(3.5, Math.max(1, 60_000 / tempo / 100 - 1));
const RIDE = 51;
const HAT = 42;

describe("bands in every metre, heard in the file", () => {
  it("there are thirty and more", () => {
    expect(combinations.length).toBeGreaterThanOrEqual(30);
    expect(new Set(combinations.map(({ id }) => id)).size).toBe(backingCatalogue.length);
    expect(new Set(combinations.map(({ metre }) => metre)).size).toBe(METRES.length);
  });

  it.each(combinations.map((one) => [one.id, one.metre, one.tempo, one.drill] as const))(
    "law: %s in %s at %i: time, feel, roots, range, touch and ending",
    (id: BackingId, metre, tempo, { score }) => {
      const m = parseMetre(metre);
      const bar = beatsToNumber(barLength(m));
      const pulse = beatsToNumber(pulseLength(m));
      const tracks = heardIn(writeMidi(score, { countIn: 1 }), bar);
      const [right, left, bass, drums, clicks] = ["Right hand", "Left hand", "Bass", "Drums", "Count-in"].map(
        (name) => tracks.get(name) ?? [],
      ) as [Heard[], Heard[], Heard[], Heard[], Heard[]];
      expect(clicks.map(({ at }) => at)).toEqual(
        Array.from({ length: Math.ceil(bar / pulse) }, (_, i) => i * pulse - bar),
      );

      // Time and feel: every bar is played in, offbeats lie where the published curve has them, or straight.
      for (let b = 0; b < score.bars; b++)
        expect(drums.some(({ at }) => at >= b * bar - 0.01 && at < (b + 1) * bar)).toBe(true);
      const row = backingCatalogue.find((one) => one.id === id);
      const offbeats = drums
        .filter(({ key }) => key === RIDE || key === HAT)
        .map(({ at }) => at % pulse)
        .filter((at) => at > 0.01 && at < pulse - 0.01);
      const ratio = published(tempo);
      const quarters = tempo * pulse;
      for (const at of offbeats) {
        if (pulse !== 1) expect([1 / 3, 2 / 3].some((third) => Math.abs(at / pulse - third) < 0.002)).toBe(true);
        else if (row?.eighths === "even" || id === "ballad")
          expect([1 / 3, 1 / 2, 2 / 3].some((place) => Math.abs(at - place) < 0.01)).toBe(true);
        else
          expect(
            [1 / 3, 2 / 3, ratio / (ratio + 1)].some((place) => Math.abs(at - place) < 0.003),
            `${at} at ${quarters}`,
          ).toBe(true);
      }

      // The bass: in its range, the root where a chord enters, one note at a time, held at the end.
      const { range = { from: "E1", to: "G3" } } = bassRow(row?.bass ?? "walking");
      for (const [i, { at, to, key }] of bass.entries()) {
        expect(key).toBeGreaterThanOrEqual(midiNumber(parsePitch(range.from)));
        expect(key).toBeLessThanOrEqual(midiNumber(parsePitch(range.to)));
        const next = bass[i + 1];
        if (next !== undefined) expect(to).toBeLessThanOrEqual(next.at + 1e-9);
        expect(at).toBeGreaterThanOrEqual(-1e-9);
      }
      for (const { at, chord } of score.chords) {
        const here = bass.find((note) => Math.abs(note.at - beatsToNumber(at)) < 0.01);
        expect(here?.key === undefined ? undefined : here.key % 12).toBe(
          chord === undefined ? undefined : pitchClassOf(chord.bass),
        );
      }
      expect((bass.at(-1)?.to ?? 0) - (bass.at(-1)?.at ?? 0)).toBeGreaterThan(bar * 0.85);
      expect(drums.at(-1)?.at).toBeCloseTo((score.bars - 1) * bar, 6);

      // Touch: the line above the chords, both with accents of their own; chords off the beat shorter than they are written.
      const mean = (notes: readonly Heard[]): number =>
        notes.reduce((sum, { velocity }) => sum + velocity, 0) / notes.length;
      expect(mean(right)).toBeGreaterThan(mean(left) + 5);
      expect(new Set(right.map(({ velocity }) => velocity)).size).toBeGreaterThan(5);
      expect(left.length).toBeGreaterThan(score.bars / 2);
    },
  );
});
