import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { drumRow } from "../../src/backing/drum-catalogue.ts";
import type { DrumId, DrumRow, DrumSound } from "../../src/backing/index.ts";
import { drumCatalogue, drumKeys, drumPart } from "../../src/backing/index.ts";
import { parseKey } from "../../src/pitch/index.ts";
import type { DrumEvent } from "../../src/score/index.ts";
import { makeScore, soundingNotes } from "../../src/score/index.ts";
import type { Feel } from "../../src/swing/index.ts";
import { straight, swungFeel } from "../../src/swing/index.ts";
import type { Metre } from "../../src/time/index.ts";
import {
  addBeats,
  barLength,
  barStart,
  beats,
  compareBeats,
  divideBeats,
  floorBeats,
  formatBeats,
  formatMetre,
  isCompound,
  metre,
  multiplyBeats,
  parseMetre,
  pulseLength,
  subtractBeats,
} from "../../src/time/index.ts";

const METRES = ["4/4", "3/4", "12/8", "2/4", "6/8", "9/8", "2/2", "5/4"].map(parseMetre);
const rows: readonly DrumRow[] = drumCatalogue;
const fits = (id: DrumId, m: Metre): boolean => {
  const pulses = divideBeats(barLength(m), pulseLength(m)).num;
  return drumRow(id).cells.some((cell) => pulses % cell.pulses === 0 || cell.pulses % pulses === 0);
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
const inBar =
  (bar: number, m = parseMetre("4/4")) =>
  (stroke: DrumEvent): boolean =>
    compareBeats(stroke.at, barStart(bar, m)) >= 0 && compareBeats(stroke.at, barStart(bar + 1, m)) < 0;
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
      45: "Low Tom",
      46: "Open Hi-Hat",
      49: "Crash Cymbal 1",
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

  it("the feel swings the shuffle: at 2:1 its offbeats sound on the last triplet, in twelve-eight they are written there", () => {
    const sounding = (m: Metre, feel: Feel): readonly string[] => {
      const drums = drumPart(4, m, { manner: "shuffle", without: ["snare", "bass-drum", "low-tom"] });
      const score = makeScore({ key: parseKey("C"), metre: m, bars: 4, feel, drums });
      return soundingNotes(score, "drums")
        .map((note) => formatBeats(divideBeats(note.at, pulseLength(m))))
        .filter((place) => place.includes("/"));
    };
    const offbeats = [sounding(metre("4/4"), swungFeel("2:1")), sounding(metre("12/8"), straight)];
    for (const places of offbeats) {
      expect(places.length).toBeGreaterThan(10);
      expect(places.filter((place) => Number(place.split("/")[0]) % 3 !== 2 || !place.endsWith("/3"))).toEqual([]);
    }
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

  it("law: the same seed plays the same part, and a longer part begins as a shorter one does, but for the fill at its end", () => {
    fc.assert(
      fc.property(anyPart, ({ manner, m, bars, seed, part }) => {
        expect(drumPart(bars, m, { manner, seed })).toEqual(part);
        const pulses = divideBeats(barLength(m), pulseLength(m)).num;
        const cell = drumRow(manner).cells.find((one) => pulses % one.pulses === 0 || one.pulses % pulses === 0)!;
        const fill = multiplyBeats(pulseLength(m), beats(Math.max(cell.pulses, pulses)));
        const end = subtractBeats(multiplyBeats(barLength(m), beats(bars)), fill);
        const before = (strokes: readonly DrumEvent[]) =>
          strokes
            .filter((stroke) => compareBeats(stroke.at, end) < 0)
            .map(({ at: from, midi, velocity }) => [from, midi, velocity]);
        expect(before(drumPart(bars + 1, m, { manner, seed }))).toEqual(before(part));
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

  it("law: every row passes its own door under a name of the user's, its sounds are struck once at a place, velocities leave room", () => {
    expect(new Set(rows.map((row) => row.id)).size).toBe(rows.length);
    for (const row of rows) {
      const own = { ...row, id: `${row.id}-of-ours` };
      const m = METRES.find((one) => fits(row.id as DrumId, one))!;
      expect(drumPart(6, m, { manner: own, seed: 3 })).toEqual(drumPart(6, m, { manner: row.id as DrumId, seed: 3 }));
    }
    for (const { weight, hits } of rows.flatMap((row) =>
      row.cells.flatMap((cell) => cell.layers.flatMap((layer) => layer.choices)),
    )) {
      expect(weight).toBeGreaterThan(0);
      expect(new Set(hits.map((hit) => hit.at)).size).toBe(hits.length);
    }
  });

  it("law: a fill stands in the last beats of the bars that are named, and nowhere else", () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 0, max: 999 }),
        fc.uniqueArray(fc.integer({ min: 1, max: 15 }), { maxLength: 4 }),
        (seed, fills) => {
          const filled = drumPart(16, metre("4/4"), { seed, fills });
          for (let bar = 1; bar < 16; bar++) {
            const toms = filled.filter(inBar(bar)).filter(({ midi }) => midi === drumKeys["low-tom"]);
            if (!fills.includes(bar)) expect(toms).toEqual([]);
            for (const tom of toms)
              expect(compareBeats(tom.at, addBeats(barStart(bar, metre("4/4")), beats(2)))).toBeGreaterThanOrEqual(0);
          }
        },
      ),
    );
    const toms = Array.from({ length: 40 }, (_, seed) => drumPart(8, metre("4/4"), { seed, fills: [4] }))
      .flat()
      .filter(({ midi }) => midi === drumKeys["low-tom"]);
    expect(toms.length).toBeGreaterThan(10);
  });

  it("common practice: no two bars running for long: at least 24 different bars of 32, whatever the seed, in each manner that plays time", () => {
    const places = ["4/4", "3/4", "12/8", "5/4", "7/4", "6/8", "9/8"]
      .map(parseMetre)
      .flatMap((m) => drumCatalogue.map(({ id }) => ({ m, manner: id })));
    for (const { m, manner } of places.filter(({ m, manner }) => fits(manner, m) && manner !== "hi-hat-only")) {
      // Of a bossa's two bars of four a bar of six-eight is a quarter.
      if (manner === "bossa" && isCompound(m)) continue;
      const length = barLength(m);
      for (let seed = 0; seed < 12; seed++) {
        const part = drumPart(32, m, { manner, seed });
        const bars = Array.from({ length: 32 }, (_, bar) =>
          JSON.stringify(
            part
              .filter(({ at: from }) => floorBeats(divideBeats(from, length)) === bar)
              .map(({ at: from, midi }) => [formatBeats(subtractBeats(from, multiplyBeats(length, beats(bar)))), midi]),
          ),
        );
        expect(new Set(bars).size, `${manner} in ${formatMetre(m)}, seed ${seed}`).toBeGreaterThanOrEqual(24);
      }
    }
  });

  it("common practice: the piece ends on one stroke that rings through the last bar", () => {
    fc.assert(
      fc.property(anyPart, ({ manner, m, bars, seed }) => {
        const part = drumPart(bars + 1, m, { manner, seed, ending: true });
        const last = multiplyBeats(barLength(m), beats(bars));
        const close = part.filter((stroke) => compareBeats(stroke.at, last) >= 0);
        expect(close.map(({ midi }) => midi).sort((a, b) => a - b)).toEqual([drumKeys["bass-drum"], drumKeys.crash]);
        for (const stroke of close) expect([stroke.at, stroke.duration]).toEqual([last, barLength(m)]);
      }),
    );
  });

  it("other seeds vary the pattern", () => {
    const parts = Array.from({ length: 50 }, (_, seed) => JSON.stringify(drumPart(4, metre("4/4"), { seed })));
    expect(new Set(parts).size).toBe(50);
  });

  it("refuses what it can't do", () => {
    const code = (expected: string) => expect.objectContaining({ code: expected });
    expect(() => drumPart(4, "11/8")).toThrowError(code("backing/metre"));
    expect(() => drumPart(4, metre("3/4"), { manner: "shuffle" })).toThrowError(
      /ride, brushes-like, hi-hat-only, slow-triplets, even-eighths, waltz, six-eight fit/,
    );
    expect(() => drumPart(0, metre("4/4"))).toThrowError(code("backing/bars"));
    expect(() => drumPart(4, metre("4/4"), { manner: "rid" as DrumId })).toThrowError(/did you mean ride\?/);
    expect(() => drumPart(4, metre("4/4"), { without: ["rode" as DrumSound] })).toThrowError(code("backing/sound"));
    expect(() => drumPart(4, metre("4/4"), { seed: -1 })).toThrowError(code("backing/seed"));
  });
});
