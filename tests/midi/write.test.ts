import ToneMidi from "@tonejs/midi";
import fc from "fast-check";
import { parseMidi } from "midi-file";
import { describe, expect, it } from "vitest";
import type { NoteEvent, Score } from "../all.ts";
import {
  barLength,
  beats,
  MusicError,
  makeScore,
  metre,
  midiNumber,
  parseKey,
  pitch,
  readMidi,
  swungFeel,
  writeMidi,
} from "../all.ts";
import { anyScore } from "../score/arbitrary.ts";

interface Note {
  readonly track: number;
  readonly channel: number;
  readonly midi: number;
  readonly on: number;
  readonly off: number;
  readonly velocity: number;
}

/** Notes by midi-file, whose reader we trust; a file with a hanging, zero-length or doubly struck key fails here. */
const notesOf = (bytes: Uint8Array): readonly Note[] =>
  parseMidi(bytes).tracks.flatMap((track, t) => {
    const notes: Note[] = [];
    const down = new Map<number, { on: number; velocity: number }>();
    let now = 0;
    for (const event of track) {
      now += event.deltaTime;
      if (event.type === "noteOn" && event.velocity > 0) {
        expect(down.has(event.noteNumber)).toBe(false);
        down.set(event.noteNumber, { on: now, velocity: event.velocity });
      } else if (event.type === "noteOff") {
        const start = down.get(event.noteNumber);
        expect(start).toBeDefined();
        down.delete(event.noteNumber);
        notes.push({
          track: t,
          channel: event.channel,
          midi: event.noteNumber,
          on: start?.on ?? -1,
          off: now,
          velocity: start?.velocity ?? 0,
        });
        expect(now).toBeGreaterThan(start?.on ?? now);
      }
    }
    expect(down.size).toBe(0);
    return notes;
  });

const names = (bytes: Uint8Array): readonly string[] =>
  parseMidi(bytes).tracks.map((track) => track.flatMap((e) => (e.type === "trackName" ? [e.text] : []))[0] ?? "");
const note = (at: string, duration: string, ...pitches: string[]): NoteEvent => ({
  at: beats(at),
  duration: beats(duration),
  pitches: pitches.map((n) => pitch(n as "C4")),
});
const sorted = <T>(rows: readonly T[]): readonly string[] => rows.map((row) => JSON.stringify(row)).sort();

const full = (): Score =>
  makeScore({
    key: parseKey("Eb"),
    metre: metre("4/4"),
    bars: 2,
    tempo: 110,
    title: "All parts",
    feel: swungFeel("2:1"),
    pickup: beats(1),
    right: [note("-1/2", "1/2", "C5"), note("0", "4", "Eb5")],
    left: [note("-1/3", "1/3", "Bb2"), note("0", "1", "Eb2"), note("1", "3", "G3", "D4")],
    bass: [note("0", "1", "Eb2")],
    drums: [{ at: beats(0), duration: beats("1/2"), midi: 51 }],
  });

describe("writing MIDI", () => {
  it("law: nothing hangs, lasts no time or is struck while it is held, and every sounding note is there", () => {
    fc.assert(
      fc.property(anyScore(), fc.integer({ min: 0, max: 2 }), (score, countIn) => {
        const notes = notesOf(writeMidi(score, { countIn, touch: "plain" }));
        const events = (part: readonly NoteEvent[] = []): readonly number[] =>
          part.flatMap((e) => [...e.pitches, ...(e.graces ?? []).map((g) => g.pitch)]).map(midiNumber);
        const keys = (channel: number): readonly number[] =>
          notes
            .filter((n) => n.channel === channel)
            .map((n) => n.midi)
            .filter((m) => (m !== 76 && m !== 77) || channel !== 9);
        expect([...keys(0)].sort()).toEqual([...events(score.right)].sort());
        expect([...keys(1)].sort()).toEqual([...events(score.left)].sort());
        expect([...keys(2)].sort()).toEqual([...events(score.bass)].sort());
        expect([...keys(9)].sort()).toEqual((score.drums ?? []).map((d) => d.midi).sort());
      }),
      { numRuns: 100 },
    );
  });

  it("law: straight and without grace notes the ticks are the written time, rounded once", () => {
    fc.assert(
      fc.property(anyScore({ swing: false, graces: false }), (score) => {
        const lead = (Math.ceil(((score.pickup.num / score.pickup.den) * score.metre.unit) / 4) * 4) / score.metre.unit;
        const ticks = (n: number): number => Math.round((n + lead) * 960);
        const expected = [score.right, score.left].flatMap((part, channel) =>
          part.flatMap((e) =>
            e.pitches.map((p) => {
              const [at, length] = [e.at.num / e.at.den, e.duration.num / e.duration.den];
              return {
                channel,
                midi: midiNumber(p),
                on: ticks(at),
                off: ticks(at + (e.articulation === "staccato" ? length / 2 : length)),
              };
            }),
          ),
        );
        const hands = notesOf(writeMidi(score, { touch: "plain" }))
          .filter((n) => n.channel < 2)
          .map(({ channel, midi, on, off }) => ({ channel, midi, on, off }));
        // Floats may fall on the other side of a half tick.
        expect(hands).toHaveLength(expected.length);
        const key = (n: { channel: number; midi: number; on: number }): number => n.channel * 1e9 + n.midi * 1e6 + n.on;
        const [a, b] = [[...hands].sort((x, y) => key(x) - key(y)), [...expected].sort((x, y) => key(x) - key(y))];
        a.forEach((n, i) => {
          expect([n.channel, n.midi]).toEqual([b[i]?.channel, b[i]?.midi]);
          expect(Math.abs(n.on - (b[i]?.on ?? 0))).toBeLessThanOrEqual(1);
          expect(Math.abs(n.off - (b[i]?.off ?? 0))).toBeLessThanOrEqual(1);
        });
      }),
      { numRuns: 60 },
    );
  });

  it("law: @tonejs/midi, midi-file and our reader hear the same notes", () => {
    fc.assert(
      fc.property(anyScore(), (score) => {
        const bytes = writeMidi(score);
        const trusted = sorted(notesOf(bytes).map(({ midi, on, off, channel }) => ({ midi, on, off, channel })));
        const ours = readMidi(bytes);
        expect(ours.warnings).toEqual([]);
        expect(
          sorted(
            ours.notes.map((n) => ({
              midi: n.midi,
              on: n.onsetTicks,
              off: n.onsetTicks + n.durationTicks,
              channel: n.channel,
            })),
          ),
        ).toEqual(trusted);
        const tone = new ToneMidi.Midi(bytes);
        expect(
          sorted(
            tone.tracks.flatMap((t) =>
              t.notes.map((n) => ({ midi: n.midi, on: n.ticks, off: n.ticks + n.durationTicks, channel: t.channel })),
            ),
          ),
        ).toEqual(trusted);
        expect(tone.header.tempos[0]?.bpm ?? 120).toBeCloseTo(score.tempo, 1);
        const seconds = tone.tracks
          .flatMap((t) => t.notes.map((n) => [n.midi, n.time]))
          .sort(([a, x], [b, y]) => (a as number) - (b as number) || (x as number) - (y as number));
        const heard = ours.notes
          .map((n) => [n.midi, n.onsetSeconds])
          .sort(([a, x], [b, y]) => (a as number) - (b as number) || (x as number) - (y as number));
        heard.forEach(([, s], i) => expect(s).toBeCloseTo(seconds[i]?.[1] ?? -1, 6));
      }),
      { numRuns: 50 },
    );
  });

  it("law: hands and backing written apart are together the whole", () => {
    fc.assert(
      fc.property(anyScore(), (score) => {
        const only = (part: "right" | "left" | "bass" | "drums"): Uint8Array =>
          writeMidi(score, { tracks: { right: false, left: false, bass: false, drums: false, [part]: true } });
        const apart = (["right", "left", "bass", "drums"] as const).flatMap((part) => notesOf(only(part)));
        const bare = ({ channel, midi, on, off, velocity }: Note): Omit<Note, "track"> => ({
          channel,
          midi,
          on,
          off,
          velocity,
        });
        expect(sorted(apart.map(bare))).toEqual(sorted(notesOf(writeMidi(score)).map(bare)));
      }),
      { numRuns: 50 },
    );
  });

  it("gives each part its track, channel and General MIDI program", () => {
    const bytes = writeMidi(full());
    expect(names(bytes)).toEqual(["All parts", "Right hand", "Left hand", "Bass", "Drums"]);
    const programs = parseMidi(bytes).tracks.flatMap((track) =>
      track.flatMap((e) => (e.type === "programChange" ? [[e.channel, e.programNumber]] : [])),
    );
    expect(programs).toEqual([
      [0, 0],
      [1, 0],
      [2, 32],
      [9, 0],
    ]);
    expect(names(writeMidi(full(), { tracks: { left: false, drums: false } }))).toEqual([
      "All parts",
      "Right hand",
      "Bass",
    ]);
  });

  it("swings what is heard, and lets a pickup fall on the last triplet", () => {
    const notes = notesOf(writeMidi(full(), { touch: "plain" }));
    // Tick 0 is the start of the pickup: the swung offbeat and the triplet both lie at two thirds of the beat.
    expect(notes.filter((n) => n.on < 960).map((n) => [n.channel, n.on, n.off])).toEqual([
      [0, 640, 960],
      [1, 640, 960],
    ]);
  });

  it("counts in with a click on every beat, the first of each bar higher, and the pickup in its last bar", () => {
    const bytes = writeMidi(full(), { countIn: 1 });
    expect(names(bytes).at(-1)).toBe("Count-in");
    const clicks = notesOf(bytes).filter((n) => n.track === 5);
    expect(clicks.map((n) => [n.on, n.midi])).toEqual([
      [0, 76],
      [960, 77],
      [1920, 77],
      [2880, 77],
    ]);
    expect(
      Math.min(
        ...notesOf(bytes)
          .filter((n) => n.track < 5)
          .map((n) => n.on),
      ),
    ).toBe(4 * 960 - 320);
    const compound = makeScore({ key: parseKey("C"), metre: metre("12/8"), bars: 1 });
    expect(notesOf(writeMidi(compound, { countIn: 2 }))).toHaveLength(8);
    expect(() => writeMidi(full(), { countIn: -1 })).toThrowError(MusicError);
    expect(() => writeMidi(full(), { countIn: 1.5 })).toThrowError(/midi\/count-in/);
  });

  it("shortens the first of two notes that meet on one key, and drops none", () => {
    // The grace note repeats the key that the main note's hand still holds.
    const right = [
      note("0", "2", "E4"),
      { ...note("1", "1", "F4"), graces: [{ pitch: pitch("E4"), style: "crushed" as const }] },
    ];
    const score = makeScore({ key: parseKey("C"), metre: metre("4/4"), bars: 1, tempo: 150, right });
    expect(notesOf(writeMidi(score, { touch: "plain" })).map((n) => [n.midi, n.on, n.off])).toEqual([
      [64, 0, 840],
      [64, 840, 960],
      [65, 960, 1920],
    ]);
  });

  it("keeps a note that is shorter than a tick, and apart from the next on its key", () => {
    const right = [note("0", "1/5000", "C4"), note("1/5000", "1/5000", "C4"), note("1", "1/64", "D4")];
    const score = makeScore({ key: parseKey("C"), metre: metre("4/4"), bars: 1, right });
    expect(notesOf(writeMidi(score, { touch: "plain" })).map((n) => [n.midi, n.on, n.off])).toEqual([
      [60, 0, 1],
      [60, 1, 2],
      [62, 960, 975],
    ]);
  });

  it("ends every track with the score", () => {
    const ends = parseMidi(writeMidi(full())).tracks.map((track) => track.reduce((sum, e) => sum + e.deltaTime, 0));
    const length = barLength(full().metre).num * full().bars + 1;
    expect(ends).toEqual(ends.map(() => length * 960));
  });
});

describe("a final ritard", () => {
  const tempos = (ritard: number): readonly (readonly [number, number])[] => {
    const note = (bar: number) => ({ at: beats(4 * bar), duration: beats(4), pitches: [pitch("C4")] });
    const score = makeScore({ key: "C", metre: "4/4", bars: 4, tempo: 120, right: [0, 1, 2, 3].map(note) });
    let now = 0;
    return parseMidi(writeMidi(score, { ritard })).tracks[0]?.flatMap((event) => {
      now += event.deltaTime;
      return event.type === "setTempo" ? [[now / 960, 60_000_000 / event.microsecondsPerBeat] as const] : [];
    }) as readonly (readonly [number, number])[];
  };

  it("Friberg & Sundberg (1999): v(x) = (1 + (w^3 - 1) x)^(1/3) beat by beat, down to a half where the last bar begins", () => {
    expect(tempos(0)).toEqual([[0, 120]]);
    const slowing = tempos(2).slice(1);
    expect(slowing.map(([at]) => at)).toEqual([4, 5, 6, 7, 8, 9, 10, 11, 12]);
    slowing.forEach(([at, tempo]) => {
      const x = (at - 4) / 8;
      expect(tempo).toBeCloseTo(120 * (1 - 0.875 * x) ** (1 / 3), 2);
    });
  });

  it("refuses what is no number of bars", () => {
    expect(() => tempos(9)).toThrow(expect.objectContaining({ code: "midi/argument" }));
    expect(() => tempos(0.5)).toThrow(expect.objectContaining({ code: "midi/argument" }));
  });
});
