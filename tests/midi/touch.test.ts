import { parseMidi } from "midi-file";
import { describe, expect, it } from "vitest";
import { makeDrill } from "../../src/drill/index.ts";
import type { MidiOptions } from "../../src/midi/index.ts";
import { writeMidi } from "../../src/midi/index.ts";
import { pitch } from "../../src/pitch/index.ts";
import type { Score } from "../../src/score/index.ts";
import { makeScore, touchCatalogue } from "../../src/score/index.ts";
import { beats, beatsOf } from "../../src/time/index.ts";

interface Struck {
  readonly at: number;
  readonly length: number;
  readonly midi: number;
  readonly velocity: number;
}
interface Track {
  readonly notes: readonly Struck[];
  readonly controllers: readonly (readonly [at: number, controller: number, value: number])[];
}

/** Notes and controllers by the name of the track, in quarter notes: midi-file 1.2.4 (npm) reads the bytes. */
const tracksIn = (bytes: Uint8Array): Readonly<Record<string, Track>> => {
  const file = parseMidi(bytes);
  const quarter = file.header.ticksPerBeat ?? 0;
  return Object.fromEntries(
    file.tracks.slice(1).map((events) => {
      let now = 0;
      let name = "";
      const sounding = new Map<number, Struck>();
      const notes: Struck[] = [];
      const controllers: (readonly [number, number, number])[] = [];
      for (const event of events) {
        now += event.deltaTime;
        if (event.type === "trackName") name = event.text;
        if (event.type === "controller") controllers.push([now, event.controllerType, event.value]);
        if (event.type === "noteOn" && event.velocity > 0)
          sounding.set(event.noteNumber, {
            at: now / quarter,
            length: 0,
            midi: event.noteNumber,
            velocity: event.velocity,
          });
        if (event.type === "noteOff" || (event.type === "noteOn" && event.velocity === 0)) {
          const begun = sounding.get(event.noteNumber);
          if (begun !== undefined) notes.push({ ...begun, length: now / quarter - begun.at });
          sounding.delete(event.noteNumber);
        }
      }
      return [name, { notes: notes.sort((a, b) => a.at - b.at), controllers }];
    }),
  );
};
const rightOf = (score: Score, options: MidiOptions = {}): readonly Struck[] =>
  tracksIn(writeMidi(score, options))["Right hand"]?.notes ?? [];
const mean = (values: readonly number[]): number => values.reduce((sum, value) => sum + value, 0) / values.length;
const deviation = (values: readonly number[]): number => {
  const middle = mean(values);
  return Math.sqrt(mean(values.map((value) => (value - middle) ** 2)));
};

const flat = (bars: number, extra: Partial<Parameters<typeof makeScore>[0]> = {}): Score =>
  makeScore({
    key: "C",
    metre: "4/4",
    bars,
    tempo: 120,
    right: Array.from({ length: bars * 8 }, (_, i) => ({
      at: beatsOf(i, 2),
      duration: beats("1/2"),
      pitches: [pitch("C5")],
    })),
    ...extra,
  });

describe("touch, measured in the file", () => {
  it("offbeats of a swung line are louder than its beats, and shorter; of a straight one only shorter", () => {
    const swung = rightOf(flat(4, { feel: "2:1" }));
    const beatsOnly = swung.filter((_, i) => i % 2 === 0);
    const offbeats = swung.slice(0, -1).filter((_, i) => i % 2 === 1);
    expect(mean(offbeats.map((n) => n.velocity)) - mean(beatsOnly.map((n) => n.velocity))).toBeGreaterThan(4);
    for (const note of beatsOnly) expect(note.length / (2 / 3)).toBeGreaterThan(0.95);
    for (const note of offbeats) expect(note.length / (1 / 3)).toBeLessThan(0.92);
    const straight = rightOf(flat(4)).slice(0, -1);
    expect(new Set(straight.map((n) => n.velocity)).size).toBe(1);
  });

  // Friberg, Bresin & Sundberg (2006), Overview of the KTH rule system: high loud, phrases that end softer.
  it("KTH rules: the higher the louder, a top louder than its neighbours, the end of a phrase softer", () => {
    const line = (names: readonly ("C5" | "E5" | "G5" | "C6")[]): readonly Struck[] =>
      rightOf(
        makeScore({
          key: "C",
          metre: "4/4",
          bars: 1,
          right: names.map((name, i) => ({ at: beats(i), duration: beats(1), pitches: [pitch(name)] })),
          phrases: [{ at: beats(0), duration: beats(names.length) }],
        }),
      );
    const [low, , top, end] = line(["C5", "E5", "G5", "C5"]);
    expect(top?.velocity).toBeGreaterThan(low?.velocity ?? 127);
    expect(end?.velocity).toBeLessThan(low?.velocity ?? 0);
    const [a, b] = line(["C5", "C6"]);
    expect((b?.velocity ?? 0) + 8).toBeGreaterThan(a?.velocity ?? 127);
  });

  it("a drill is played: many velocities, the line above the chords, chords off the beat short", () => {
    const tracks = tracksIn(
      writeMidi(makeDrill({ key: "F", right: "improvised", left: "rootless", comping: "charleston" }).score),
    );
    const [right, left] = [tracks["Right hand"]?.notes ?? [], tracks["Left hand"]?.notes ?? []];
    expect(new Set(right.map((n) => n.velocity)).size).toBeGreaterThan(8);
    expect(mean(right.map((n) => n.velocity)) - mean(left.map((n) => n.velocity))).toBeGreaterThan(12);
    for (const { notes } of Object.values(tracks))
      for (const { velocity, length } of notes) {
        expect(velocity).toBeGreaterThan(0);
        expect(velocity).toBeLessThan(128);
        expect(length).toBeGreaterThan(0);
      }
  });

  it("plain keeps one velocity a hand and full lengths", () => {
    const tracks = tracksIn(writeMidi(makeDrill({ key: "F" }).score, { touch: "plain" }));
    expect(new Set(tracks["Right hand"]?.notes.map((n) => n.velocity))).toEqual(new Set([84]));
    expect(new Set(tracks["Left hand"]?.notes.map((n) => n.velocity))).toEqual(new Set([68]));
    for (const note of rightOf(flat(2), { touch: "plain" })) expect(note.length).toBe(0.5);
  });

  it("volume, place and room stand once in each part, before its first note", () => {
    const tracks = tracksIn(writeMidi(makeDrill({ key: "C" }).score, { countIn: 1 }));
    for (const name of ["Right hand", "Left hand", "Bass", "Drums"])
      expect(tracks[name]?.controllers.map(([at, controller]) => [at, controller])).toEqual([
        [0, 7],
        [0, 10],
        [0, 91],
      ]);
    // General MIDI 2: volume and velocity are squared. Chords of the left hand have several notes, so one of the line must be above one of theirs.
    const loud = (name: string): number =>
      40 *
      Math.log10((tracks[name]?.controllers[0]?.[2] ?? 0) * mean(tracks[name]?.notes.map((n) => n.velocity) ?? []));
    expect(loud("Right hand") - loud("Left hand")).toBeGreaterThan(1);
    expect(loud("Right hand") - loud("Left hand")).toBeLessThan(6);
  });

  // Hennig et al. (2011): deviations are long-range correlated. At 120 a quarter note lasts 500 ms.
  it.each([5, 10, 20])(
    "Hennig et al. (2011): a spread of %i ms is that wide, drifts, and stays within bounds",
    (spreadMs) => {
      const score = flat(400);
      const off = rightOf(score, { spreadMs, seed: 3 }).map((note, i) => (note.at - i / 2) * 500);
      // The first may not come before the file begins.
      const late = off.slice(1);
      expect(deviation(late) / spreadMs).toBeGreaterThan(0.75);
      expect(deviation(late) / spreadMs).toBeLessThan(1.25);
      for (const ms of late) expect(Math.abs(ms)).toBeLessThan(2.5 * spreadMs + 1);
      const apart = (lag: number): number => {
        const middle = mean(late);
        return mean(late.slice(lag).map((ms, i) => (ms - middle) * ((late[i] ?? 0) - middle))) / deviation(late) ** 2;
      };
      // White noise of 3,200 strokes would lie within 0.05 of nothing.
      expect(apart(2)).toBeGreaterThan(0.2);
      expect(apart(16)).toBeGreaterThan(0.1);
      expect(apart(2)).toBeGreaterThan(apart(64));
    },
  );

  it("is exact where nothing is asked, and the same for the same seed", () => {
    const score = flat(8);
    expect(rightOf(score).map((note) => note.at)).toEqual(Array.from({ length: 64 }, (_, i) => i / 2));
    const bytes = (seed: number): Uint8Array => writeMidi(score, { spreadMs: 10, seed });
    expect(bytes(1)).toEqual(bytes(1));
    expect(bytes(1)).not.toEqual(bytes(2));
  });

  it("law: a row of a user's own goes where a shipped one goes; a wrong one is refused", () => {
    const [, played] = touchCatalogue;
    const own = { ...played, id: "own", parts: { right: { ...played.parts.right, velocity: 100, offbeat: 0 } } };
    expect(rightOf(flat(2, { feel: "2:1" }), { touch: own })[1]?.velocity).toBeGreaterThan(95);
    for (const row of touchCatalogue)
      expect(writeMidi(flat(2), { touch: row })).toEqual(writeMidi(flat(2), { touch: row.id }));
    for (const touch of [
      "loud",
      { ...own, parts: { right: { ...own.parts.right, velocity: 200 } } },
      { ...own, source: "" },
      7,
    ])
      expect(() => writeMidi(flat(1), { touch: touch as never })).toThrowError(
        expect.objectContaining({ code: "score/touch" }),
      );
    for (const spreadMs of [-1, 31, Number.NaN, "5"])
      expect(() => writeMidi(flat(1), { spreadMs: spreadMs as never })).toThrowError(
        expect.objectContaining({ code: "score/argument" }),
      );
  });
});
