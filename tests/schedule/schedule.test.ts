import fc from "fast-check";
import { parseMidi } from "midi-file";
import { describe, expect, it } from "vitest";
import type { Schedule, ScheduleChange, ScheduledNote, Score, ScorePart } from "../all.ts";
import {
  beats,
  beatsToNumber,
  makeScore,
  pitch,
  schedule,
  scoreEnd,
  soundingNotes,
  soundingTime,
  swungFeel,
  writeMidi,
  writeMusicXml,
} from "../all.ts";
import { anyScore } from "../score/arbitrary.ts";

interface Heard {
  readonly part: string;
  readonly midi: number;
  readonly velocity: number;
  readonly on: number;
  readonly off: number;
}

const NAMES: Readonly<Record<string, ScorePart | "click">> = {
  "Right hand": "right",
  "Left hand": "left",
  Bass: "bass",
  Drums: "drums",
  "Count-in": "click",
};

/** Notes in seconds, by what midi-file 1.2.4 (npm) reads in the bytes; one tempo holds throughout. */
const heardIn = (bytes: Uint8Array): readonly Heard[] => {
  const file = parseMidi(bytes);
  const tempo = file.tracks[0]?.find((event) => event.type === "setTempo");
  const tick = (tempo?.type === "setTempo" ? tempo.microsecondsPerBeat : 0) / 1e6 / (file.header.ticksPerBeat ?? 0);
  return file.tracks.slice(1).flatMap((events) => {
    let [now, name] = [0, ""];
    const down = new Map<number, { readonly on: number; readonly velocity: number }>();
    const notes: Heard[] = [];
    for (const event of events) {
      now += event.deltaTime * tick;
      if (event.type === "trackName") name = event.text;
      if (event.type === "noteOn" && event.velocity > 0)
        down.set(event.noteNumber, { on: now, velocity: event.velocity });
      const begun = event.type === "noteOff" ? down.get(event.noteNumber) : undefined;
      if (event.type === "noteOff" && begun !== undefined)
        notes.push({ part: NAMES[name] ?? name, midi: event.noteNumber, ...begun, off: now });
    }
    return notes;
  });
};

const inKeyOrder = <T extends { readonly part: string; readonly midi: number }>(
  notes: readonly T[],
  on: (note: T) => number,
): readonly T[] => [...notes].sort((a, b) => a.part.localeCompare(b.part) || a.midi - b.midi || on(a) - on(b));

const LONG = 3000;
const hold = (score: Score, notes: readonly ScheduledNote[], bytes: Uint8Array): void => {
  const heard = inKeyOrder(heardIn(bytes), ({ on }) => on);
  const given = inKeyOrder(notes, ({ onsetSeconds }) => onsetSeconds);
  expect(given.map(({ part, midi, velocity }) => `${part} ${midi} ${velocity}`)).toEqual(
    heard.map(({ part, midi, velocity }) => `${part} ${midi} ${velocity}`),
  );
  // A tick and a half, as ends and starts are rounded, and what a whole number of microseconds a quarter is off.
  const near = (1.51 / 960) * (60 / score.tempo) + LONG * 1e-7;
  given.forEach(({ onsetSeconds, durationSeconds }, i) => {
    expect(Math.abs(onsetSeconds - (heard[i]?.on ?? NaN))).toBeLessThan(near);
    expect(Math.abs(onsetSeconds + durationSeconds - (heard[i]?.off ?? NaN))).toBeLessThan(2 * near);
  });
};

describe("a score in seconds", () => {
  it("law: it is what the written MIDI holds, read by another reader", () => {
    fc.assert(
      fc.property(anyScore(), fc.constantFrom(0, 0, 1, 2), (score, countIn) => {
        // Files begin with the whole counts of a pickup, or with the click.
        const lead = countIn > 0 ? 0 : Math.ceil((beatsToNumber(score.pickup) * score.metre.unit) / 4);
        const startSeconds =
          countIn > 0 ? 0 : ((lead * 4) / score.metre.unit - beatsToNumber(score.pickup)) * (60 / score.tempo);
        hold(score, schedule(score, { countIn, startSeconds }).between(-1, LONG), writeMidi(score, { countIn }));
      }),
      { numRuns: 80 },
    );
  });

  it("law: at another tempo and feel it is the MIDI of the score at that tempo and feel", () => {
    fc.assert(
      fc.property(
        anyScore().filter(({ pickup }) => pickup.num === 0),
        fc.integer({ min: 40, max: 300 }),
        fc.constantFrom("straight", "2:1", "swing", "3:2"),
        (score, tempo, feel) => {
          const other = makeScore({ ...score, tempo, feel });
          hold(other, schedule(score, { tempo, feel }).between(0, LONG), writeMidi(other));
        },
      ),
      { numRuns: 50 },
    );
  });

  const nameOf = (note: ScheduledNote): string =>
    `${note.pass} ${note.part} ${note.event} ${note.midi} ${note.grace} ${note.engraved[0]?.id ?? ""}`;

  const change: fc.Arbitrary<ScheduleChange> = fc.record(
    { tempo: fc.integer({ min: 40, max: 300 }), feel: fc.constantFrom("straight", "2:1", "swing", "3:1") },
    { requiredKeys: [] },
  );

  it("law: windows give every note of every turn once and in order, whatever changes on the way, and no place jumps", () => {
    fc.assert(
      fc.property(
        anyScore(),
        fc.boolean(),
        fc.constantFrom(0, 15),
        fc.array(fc.tuple(fc.double({ min: 0.001, max: 1.5, noNaN: true }), fc.option(change, { nil: undefined })), {
          minLength: 5,
          maxLength: 40,
        }),
        (score, loop, spreadMs, steps) => {
          let playing: Schedule = schedule(score, { loop, spreadMs, seed: 3 });
          const given: ScheduledNote[] = [];
          let now = -0.5;
          const hear = (until: number): void => {
            given.push(...playing.between(now, until));
            now = until;
          };
          for (const [step, next] of steps) {
            hear(now + step);
            if (next === undefined || now < playing.startSeconds) continue;
            const before = playing.placeAt(now);
            playing = playing.changed(now, next);
            const after = playing.placeAt(now);
            expect(Math.abs(after.quarter - before.quarter)).toBeLessThan(1e-9);
            expect(after.pass).toBe(before.pass);
            expect(playing.tempo).toBe(next.tempo ?? playing.tempo);
          }
          const names = given.map(nameOf);
          expect(new Set(names).size).toBe(names.length);
          // What is written a quarter note and more before the place that was reached has been given.
          const { quarter, pass } = playing.placeAt(now);
          const reached = loop ? quarter : Math.min(quarter, beatsToNumber(scoreEnd(score)) + 9);
          const missing = (["right", "left", "bass", "drums"] as const).flatMap((part) =>
            (score[part] ?? []).flatMap((event, i) =>
              Array.from({ length: pass + 1 }, (_, turn) => turn)
                .filter((turn) => turn === 0 || event.at.num >= 0)
                .filter((turn) => turn < pass || beatsToNumber(event.at) + 1 < reached)
                .filter((turn) => !given.some((n) => n.pass === turn && n.part === part && n.event === i && !n.grace))
                .map((turn) => `${turn} ${part} ${i}`),
            ),
          );
          expect(missing).toEqual([]);
          const times = given.map(({ onsetSeconds }) => onsetSeconds);
          expect(times).toEqual([...times].sort((a, b) => a - b));
        },
      ),
      { numRuns: 120 },
    );
  });

  it("law: after a change of feel, what is written from the next quarter note on sounds where the new feel has it", () => {
    const eighths = Array.from({ length: 32 }, (_, i) => ({
      at: beats(`${i}/2`),
      duration: beats("1/2"),
      pitches: [pitch("C5")],
    }));
    const score = makeScore({ key: "C", metre: "4/4", bars: 4, tempo: 60, right: eighths });
    fc.assert(
      fc.property(fc.double({ min: 0.01, max: 12, noNaN: true }), fc.constantFrom("2:1", "3:1"), (moment, ratio) => {
        const feel = swungFeel(ratio);
        const after = schedule(score).changed(moment, { feel }).between(moment, LONG);
        for (const { event, onsetSeconds } of after) {
          const { at } = score.right[event] ?? { at: beats(-1) };
          const own = beatsToNumber(at) >= Math.ceil(moment) ? soundingTime(feel, at) : at;
          expect(onsetSeconds).toBeCloseTo(beatsToNumber(own), 9);
        }
      }),
    );
  });

  it("law: every id is one of the written MusicXML, ties follow one another, and all ids come once a turn", () => {
    fc.assert(
      fc.property(anyScore(), (score) => {
        const written = [...writeMusicXml(score).matchAll(/<note id="([^"]+)"/g)].map(([, id]) => id);
        const notes = schedule(score).between(-1, LONG);
        const ids = notes.flatMap(({ engraved }) => engraved.map(({ id }) => id));
        expect([...ids].sort()).toEqual([...written].sort());
        for (const { engraved, onsetSeconds, durationSeconds } of notes.filter((note) => note.engraved.length > 0)) {
          let now = onsetSeconds;
          for (const span of engraved) {
            expect(span.onsetSeconds).toBeCloseTo(now, 9);
            now += span.durationSeconds;
          }
          expect(now).toBeCloseTo(onsetSeconds + durationSeconds, 9);
        }
      }),
      { numRuns: 60 },
    );
  });

  const scale = makeScore({
    key: "C",
    metre: "3/4",
    bars: 4,
    tempo: 60,
    right: Array.from({ length: 12 }, (_, i) => ({ at: beats(i), duration: beats(1), pitches: [pitch("D4")] })),
  });

  it("plays some bars round and round, and knows where it is", () => {
    const playing = schedule(scale, { bars: [2, 3], loop: true, startSeconds: 100, countIn: 1 });
    const notes = playing.between(100, 120);
    expect(notes.slice(0, 4).map(({ part, midi }) => `${part} ${midi}`)).toEqual([
      "click 76",
      "click 77",
      "click 77",
      "right 62",
    ]);
    expect(notes.slice(3).map(({ event, pass }) => `${pass}:${event}`)).toEqual(
      Array.from({ length: 17 }, (_, i) => `${Math.floor(i / 6)}:${3 + (i % 6)}`),
    );
    expect(playing.placeAt(104)).toEqual({ bar: 2, beat: 2, quarter: 4, pass: 0 });
    expect(playing.placeAt(110.5)).toEqual({ bar: 2, beat: 2.5, quarter: 4.5, pass: 1 });
    expect(playing.secondsAt(4.5, 1)).toBe(110.5);
    expect(playing.endSeconds).toBe(Infinity);
    expect(schedule(scale, { startSeconds: 1 }).endSeconds).toBe(13);
  });

  it("spells what it gives", () => {
    expect(schedule(scale).between(0, 1)[0]?.pitch).toBe("D4");
    expect(soundingNotes(scale, "right")[0]?.pitch).toEqual(pitch("D4"));
  });

  it("refuses what is no window, no bars and no earlier moment", () => {
    expect(() => schedule(scale, { bars: [3, 5] })).toThrow("schedule/bars");
    expect(() => schedule(scale).between(2, 1)).toThrow("schedule/window");
    expect(() => schedule(scale).between(0, Infinity)).toThrow("schedule/window");
    expect(() => schedule(scale, { startSeconds: 5 }).changed(4, { tempo: 80 })).toThrow("schedule/argument");
    expect(() => schedule(scale).changed(1, { tempo: 5 })).toThrow("score/tempo");
  });
});
