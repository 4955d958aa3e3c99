import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { drumManner } from "../../src/backing/drums.ts";
import type { DrumId, DrumRow, DrumSound } from "../../src/backing/index.ts";
import { drumCatalogue, drumKeys, drumPart } from "../../src/backing/index.ts";
import { parseKey } from "../../src/pitch/index.ts";
import type { DrumEvent } from "../../src/score/index.ts";
import { makeScore, soundingNotes } from "../../src/score/index.ts";
import { straight, swungFeel } from "../../src/swing/index.ts";
import type { Metre } from "../../src/time/index.ts";
import {
  addBeats,
  barLength,
  beats,
  compareBeats,
  divideBeats,
  formatBeats,
  isCompound,
  metre,
  multiplyBeats,
  parseMetre,
  pulseLength,
  subtractBeats,
} from "../../src/time/index.ts";

const METRES = ["4/4", "3/4", "12/8", "2/4", "6/8", "9/8", "2/2"].map(parseMetre);
const rows: readonly DrumRow[] = drumCatalogue;
const fits = (id: DrumId, m: Metre): boolean => {
  const pulses = divideBeats(barLength(m), pulseLength(m)).num;
  return drumManner(id).cells.some((cell) => pulses % cell.pulses === 0);
};
const anyPart = fc
  .tuple(
    fc.constantFrom(...drumCatalogue.map((row) => row.id)),
    fc.constantFrom(...METRES),
    fc.integer({ min: 1, max: 12 }),
    fc.integer({ min: 0, max: 999 }),
  )
  .filter(([manner, m]) => fits(manner, m))
  .map(([manner, m, bars, seed]) => ({ manner, m, bars, seed, part: drumPart(bars, m, { manner, seed }) }));
const at = (part: readonly DrumEvent[], sound: DrumSound): string[] =>
  part.filter((stroke) => stroke.midi === drumKeys[sound]).map((stroke) => formatBeats(stroke.at));

describe("drums", () => {
  // General MIDI System Level 1 (MMA), percussion key map, p. 6; verified: read in a listing of it, not in the document itself.
  it("General MIDI Level 1: keys of the percussion map", () => {
    const map: Readonly<Record<number, string>> = {
      36: "Bass Drum 1",
      37: "Side Stick",
      38: "Acoustic Snare",
      42: "Closed Hi-Hat",
      44: "Pedal Hi-Hat",
      51: "Ride Cymbal 1",
      70: "Maracas",
    };
    const words = (name: string): string =>
      name
        .toLowerCase()
        .replace(/-/g, " ")
        .replace(/ (cymbal )?1$|^acoustic /g, "")
        .split(" ")
        .sort()
        .join(" ");
    for (const [sound, key] of Object.entries(drumKeys)) expect(words(map[key] as string)).toBe(words(sound));
  });

  it("common practice: the ride goes ding, ding-a ding, ding-a, with the hi-hat on 2 and 4", () => {
    const bars = Array.from({ length: 40 }, (_, seed) => drumPart(1, metre("4/4"), { seed }));
    const rides = bars.map((bar) => at(bar, "ride").join(" "));
    const plain = rides.filter((ride) => ride === "0 1 3/2 2 3 7/2").length;
    expect(plain).toBeGreaterThan(rides.length / 3);
    expect(rides.every((ride) => ["0", "1", "2", "3"].every((beat) => ride.split(" ").includes(beat)))).toBe(true);
    for (const bar of bars) expect(at(bar, "pedal-hi-hat")).toEqual(["1", "3"]);
  });

  it("common practice: as a waltz the ride has one offbeat at least now and then, and the hi-hat falls on 2", () => {
    const bars = Array.from({ length: 30 }, (_, seed) => drumPart(1, metre("3/4"), { seed }));
    for (const bar of bars) {
      expect(at(bar, "pedal-hi-hat")).toContain("1");
      expect(at(bar, "ride")).toEqual(expect.arrayContaining(["0", "1", "2"]));
    }
    expect(bars.filter((bar) => at(bar, "ride").includes("3/2")).length).toBeGreaterThan(15);
  });

  it("the feel swings the ride: at 2:1 its offbeat sounds on the last triplet", () => {
    const drums = drumPart(1, metre("4/4"), { manner: "shuffle" });
    const score = makeScore({ key: parseKey("C"), metre: metre("4/4"), bars: 1, feel: swungFeel("2:1"), drums });
    const ride = soundingNotes(score, "drums")
      .filter((note) => note.midi === drumKeys.ride)
      .map((note) => formatBeats(note.at));
    expect(ride).toEqual(["0", "2/3", "1", "5/3", "2", "8/3", "3", "11/3"]);
    const compound = makeScore({
      key: parseKey("C"),
      metre: metre("12/8"),
      bars: 1,
      feel: straight,
      drums: drumPart(1, metre("12/8"), { manner: "shuffle" }),
    });
    expect(
      soundingNotes(compound, "drums")
        .filter((note) => note.midi === drumKeys.ride)
        .map((note) => formatBeats(note.at)),
    ).toEqual(["0", "1", "3/2", "5/2", "3", "4", "9/2", "11/2"]);
  });

  it("law: every stroke lies inside the bars, a score takes the part, and each manner but the hi-hat alone marks every beat", () => {
    fc.assert(
      fc.property(anyPart, ({ manner, m, bars, part }) => {
        const score = makeScore({ key: parseKey("C"), metre: m, bars, drums: part });
        expect(score.drums).toEqual(part);
        const end = multiplyBeats(barLength(m), beats(bars));
        for (const stroke of part) {
          expect(compareBeats(addBeats(stroke.at, stroke.duration), end)).toBeLessThanOrEqual(0);
          expect(stroke.velocity).toBeGreaterThanOrEqual(1);
        }
        const pulses = divideBeats(end, pulseLength(m)).num;
        const struck = new Set(part.map((stroke) => formatBeats(stroke.at)));
        for (let n = 0; n < pulses; n++) {
          if (manner !== "hi-hat-only")
            expect(struck.has(formatBeats(multiplyBeats(pulseLength(m), beats(n))))).toBe(true);
        }
        for (let bar = 0; bar < bars; bar++) {
          const from = multiplyBeats(barLength(m), beats(bar));
          expect(
            part.some(
              (stroke) =>
                compareBeats(stroke.at, from) >= 0 && compareBeats(subtractBeats(stroke.at, from), barLength(m)) < 0,
            ),
          ).toBe(true);
        }
      }),
    );
  });

  it("law: in compound metres every stroke lies on an eighth", () => {
    fc.assert(
      fc.property(anyPart, ({ m, part }) => {
        fc.pre(isCompound(m));
        for (const stroke of part) expect(2 % stroke.at.den).toBe(0);
      }),
    );
  });

  it("law: the same seed plays the same part, and a longer part begins as a shorter one does, but for the sign of the form's end", () => {
    fc.assert(
      fc.property(anyPart, ({ manner, m, bars, seed, part }) => {
        expect(drumPart(bars, m, { manner, seed })).toEqual(part);
        const sign = new Set(
          drumManner(manner).cells.flatMap((cell) =>
            cell.layers.filter((layer) => layer.last === true).map((layer) => drumKeys[layer.sound]),
          ),
        );
        const end = multiplyBeats(barLength(m), beats(bars));
        const longer = drumPart(bars + 1, m, { manner, seed }).filter((stroke) => compareBeats(stroke.at, end) < 0);
        const plain = (strokes: readonly DrumEvent[]) =>
          strokes
            .filter((stroke) => !sign.has(stroke.midi as never))
            .map(({ at: start, midi, velocity }) => ({ start, midi, velocity }));
        expect(plain(longer)).toEqual(plain(part));
      }),
    );
  });

  it("law: leaving a sound out leaves the others as they are", () => {
    fc.assert(
      fc.property(
        anyPart,
        fc.subarray(Object.keys(drumKeys) as DrumSound[]),
        ({ manner, m, bars, seed, part }, without) => {
          expect(drumPart(bars, m, { manner, seed, without })).toEqual(
            part.filter((stroke) => !without.some((sound) => drumKeys[sound] === stroke.midi)),
          );
        },
      ),
    );
  });

  it("law: every row has a unique id, positive weights, strokes inside its cell, each place once a choice, and velocities with room for unevenness", () => {
    expect(new Set(rows.map((row) => row.id)).size).toBe(rows.length);
    for (const cell of rows.flatMap((row) => row.cells)) {
      expect(new Set(cell.layers.filter((layer) => layer.last !== true).map((layer) => layer.sound)).size).toBe(
        cell.layers.filter((layer) => layer.last !== true).length,
      );
      for (const { weight, hits } of cell.layers.flatMap((layer) => layer.choices)) {
        expect(weight).toBeGreaterThan(0);
        expect(new Set(hits.map((hit) => hit.at)).size).toBe(hits.length);
        for (const { at: place, velocity } of hits) {
          expect(beats(place).num).toBeGreaterThanOrEqual(0);
          expect(compareBeats(beats(place), beats(cell.pulses))).toBeLessThan(0);
          expect(velocity).toBeGreaterThanOrEqual(5);
          expect(velocity).toBeLessThanOrEqual(123);
        }
      }
    }
  });

  it("the sign of the form's end comes in its last two beats alone, and not always", () => {
    const signs = Array.from({ length: 40 }, (_, seed) => at(drumPart(8, metre("4/4"), { seed }), "side-stick"));
    expect(signs.flat().every((place) => ["31", "63/2"].includes(place))).toBe(true);
    expect(signs.filter((sign) => sign.length > 0).length).toBeGreaterThan(10);
    expect(signs.filter((sign) => sign.length === 0).length).toBeGreaterThan(0);
  });

  it("other seeds vary the pattern", () => {
    const parts = Array.from({ length: 50 }, (_, seed) => JSON.stringify(drumPart(4, metre("4/4"), { seed })));
    expect(new Set(parts).size).toBe(50);
  });

  it("refuses what it can't do", () => {
    const code = (expected: string) => expect.objectContaining({ code: expected });
    expect(() => drumPart(4, metre("5/4"))).toThrowError(code("backing/metre"));
    expect(() => drumPart(4, metre("3/4"), { manner: "shuffle" })).toThrowError(
      /ride, brushes-like, hi-hat-only, even-eighths fit/,
    );
    expect(() => drumPart(0, metre("4/4"))).toThrowError(code("backing/bars"));
    expect(() => drumPart(4, metre("4/4"), { manner: "rid" as DrumId })).toThrowError(/did you mean ride\?/);
    expect(() => drumPart(4, metre("4/4"), { without: ["rode" as DrumSound] })).toThrowError(/did you mean ride\?/);
    expect(() => drumPart(4, metre("4/4"), { seed: -1 })).toThrowError(code("backing/seed"));
  });
});
