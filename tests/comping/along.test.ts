import fc from "fast-check";
import { describe, expect, it } from "vitest";
import type { CompingMannerRow, LaidOutChord } from "../../src/comping/index.ts";
import { compAlong, compingMannerCatalogue } from "../../src/comping/index.ts";
import type { NoteEvent } from "../../src/event/index.ts";
import { pitch } from "../../src/pitch/index.ts";
import type { Metre } from "../../src/time/index.ts";
import {
  addBeats,
  beats,
  beatsOf,
  beatsToNumber,
  isCompound,
  multiplyBeats,
  parseMetre,
  pulseLength,
} from "../../src/time/index.ts";

const G = [pitch("F3"), pitch("A3"), pitch("B3"), pitch("E4")];
const C = [pitch("E3"), pitch("A3"), pitch("B3"), pitch("D4")];
const OTHERS = [G, C].map((all) => [{ chord: all.slice(0, 3), all: all.slice(0, 3) }]);
const chordsOf = (lengths: readonly number[], unit = beats(1)): readonly LaidOutChord[] => {
  let at = beats(0);
  return lengths.map((length, i): LaidOutChord => {
    const all = i % 2 === 0 ? G : C;
    const root = pitch(i % 2 === 0 ? "G2" : "C3");
    const chord = { at, duration: multiplyBeats(unit, beats(length)), root, fifth: root, chord: all, all };
    at = addBeats(at, chord.duration);
    return { ...chord, others: OTHERS[i % 2] };
  });
};
const num = beatsToNumber;
const endOf = (event: Pick<NoteEvent, "at" | "duration">): number => num(event.at) + num(event.duration);

const METRES = ["4/4", "3/4", "12/8", "6/8", "9/8", "2/4", "2/2", "5/4", "7/4", "7/8"].map(parseMetre);
const halfOf = (m: Metre) => multiplyBeats(pulseLength(m), isCompound(m) ? beatsOf(1, 3) : beatsOf(1, 2));
const manners = fc.constantFrom(...compingMannerCatalogue.map(({ id }) => id));
const levels = fc.constantFrom(1, 2, 3, 4, 5);
const seeds = fc.integer({ min: 0, max: 0xffff_ffff });

/** A line of phrases and rests: lengths in half beats, negative for a rest. */
const lineOf = (lengths: readonly number[], from = 72): readonly NoteEvent[] => {
  let at = beats(0);
  return lengths.flatMap((length, i): readonly NoteEvent[] => {
    const duration = beatsOf(Math.abs(length), 2);
    const event = {
      at,
      duration,
      pitches: [pitch((["C5", "D5", "F5", "Bb4", "E4"] as const)[(i + from) % 5] ?? "C5")],
    };
    at = addBeats(at, duration);
    return length < 0 ? [] : [event];
  });
};
const anyLine = fc
  .array(fc.oneof({ weight: 4, arbitrary: fc.constantFrom(1, 1, 2, 4) }, fc.constantFrom(-2, -4, -6)), {
    minLength: 1,
    maxLength: 60,
  })
  .map((lengths) => lineOf(lengths));

const anyCase = fc.record({
  lengths: fc.array(fc.integer({ min: 1, max: 24 }), { minLength: 1, maxLength: 10 }),
  metre: fc.constantFrom(...METRES),
  manner: manners,
  level: levels,
  seed: seeds,
  melody: fc.option(anyLine, { nil: undefined }),
  pickup: fc.boolean(),
});

describe("comping that listens", () => {
  it("law: in every metre each chord is heard, strokes follow one another and end with their chord, none is shorter than an offbeat", () => {
    fc.assert(
      fc.property(anyCase, ({ lengths, metre, ...options }) => {
        const half = num(halfOf(metre));
        const chords = chordsOf(lengths, halfOf(metre));
        const { events, reasons } = compAlong(chords, { ...options, metre });
        expect(reasons.length).toBe(events.length);
        events.forEach((event, i) => {
          const before = events[i - 1];
          if (before !== undefined) expect(endOf(before)).toBeLessThanOrEqual(num(event.at) + 1e-9);
          const role = reasons[i]?.role;
          if (role === "pickup") return;
          // A stroke belongs to the chord whose notes it has.
          const own = chords.find(
            (chord) =>
              num(chord.at) - half <= num(event.at) + 1e-9 &&
              num(event.at) < endOf(chord) - 1e-9 &&
              (role === "early") === num(event.at) < num(chord.at) - 1e-9,
          );
          expect(own).toBeDefined();
          if (own === undefined) return;
          expect(own.all).toEqual(expect.arrayContaining([...event.pitches]));
          expect(endOf(event)).toBeLessThanOrEqual(endOf(own) + 1e-9);
        });
        if (options.pickup) return;
        for (const chord of chords)
          expect(
            events.some(
              (event) =>
                num(event.at) >= num(chord.at) - half - 1e-9 &&
                num(event.at) < endOf(chord) &&
                event.pitches.every((p) => chord.all.includes(p)),
            ),
          ).toBe(true);
      }),
      { numRuns: 300 },
    );
  });

  it("law: where it is struck again, early or in another position it lies under the line and rubs against no note held for a beat", () => {
    fc.assert(
      fc.property(anyCase, ({ lengths, ...options }) => {
        const metre = parseMetre("4/4");
        const { melody = [] } = options;
        const { events, reasons } = compAlong(chordsOf(lengths), { ...options, metre, pickup: false });
        events.forEach((event, i) => {
          if (reasons[i]?.role === "entry") return;
          const [from, to] = [num(event.at), endOf(event)];
          const top = Math.max(...event.pitches.map(({ semitones }) => semitones));
          for (const note of melody) {
            const shared = Math.min(to, endOf(note)) - Math.max(from, num(note.at));
            if (shared <= 1e-9) continue;
            const above = note.pitches.map(({ semitones }) => semitones);
            // An early chord is looked at until its beat; from there on it is the chord that the line was made over.
            const beat = Math.ceil(from);
            if (reasons[i]?.role === "early" && num(note.at) >= beat) continue;
            expect(Math.min(...above)).toBeGreaterThan(top);
            if (shared >= 1 && reasons[i]?.role !== "early")
              for (const p of event.pitches) expect([-1, 1, 13]).not.toContain((above[0] ?? 0) - p.semitones);
          }
        });
      }),
      { numRuns: 300 },
    );
  });

  const sings = (melody: readonly NoteEvent[], at: number): boolean =>
    melody.some((note, i) => {
      const next = melody[i + 1];
      const until = next !== undefined && num(next.at) - endOf(note) < 1 ? num(next.at) : endOf(note);
      return num(note.at) <= at && at < until;
    });

  it("law: at every level it leaves the phrase alone and answers in its rests: beyond the one that a chord must have, three times the strokes", () => {
    // Two bars of eighths, two bars of rest, sixteen times.
    const phrase = [...Array.from({ length: 16 }, () => 1), -16];
    const melody = lineOf(Array.from({ length: 16 }, () => phrase).flat());
    for (const level of [2, 3, 4, 5] as const) {
      let [under, rests] = [0, 0];
      for (let seed = 0; seed < 12; seed++) {
        const chords = chordsOf(Array.from({ length: 64 }, () => 4));
        const { events, reasons } = compAlong(chords, { metre: "4/4", level, seed, melody });
        events.forEach(({ at }, i) => {
          const sung = sings(melody, num(at));
          if (reasons[i]?.role === "answer") expect(sung).toBe(false);
          if (reasons[i]?.role === "support") expect(sung).toBe(true);
          if (reasons[i]?.role === "answer") rests++;
          if (reasons[i]?.role === "support") under++;
        });
      }
      expect(rests / under).toBeGreaterThan(3);
    }
  });

  const strokesAt = (level: 1 | 2 | 3 | 4 | 5, tempo: number): number => {
    let count = 0;
    for (let seed = 0; seed < 10; seed++)
      count += compAlong(chordsOf(Array.from({ length: 64 }, () => 8)), { metre: "4/4", level, tempo, seed }).events
        .length;
    return count / 10 / 128;
  };

  it("law: the higher the level the denser, the faster the fewer", () => {
    const byLevel = ([1, 2, 3, 4, 5] as const).map((level) => strokesAt(level, 120));
    byLevel.forEach((density, i) => {
      if (i > 0) expect(density).toBeGreaterThan((byLevel[i - 1] ?? 0) + 0.1);
    });
    expect(strokesAt(4, 160)).toBeCloseTo(strokesAt(4, 120), 9);
    expect(strokesAt(4, 240)).toBeLessThan(strokesAt(4, 160) - 0.2);
    expect(strokesAt(4, 320)).toBeLessThan(strokesAt(4, 240) - 0.1);
  });

  it("law: from level 3 on chords come early, below it and before a pickup none does", () => {
    const early = (level: 1 | 2 | 3 | 4 | 5, pickup: boolean): number =>
      Array.from({ length: 10 }, (_, seed) =>
        compAlong(chordsOf(Array.from({ length: 32 }, () => 4)), { metre: "4/4", level, seed, pickup }),
      ).flatMap(({ reasons }) => reasons.filter(({ role }) => role === "early")).length;
    for (const level of [1, 2] as const) expect(early(level, false)).toBe(0);
    for (const level of [3, 4, 5] as const) {
      // At least one chord in ten of 320, or so.
      expect(early(level, false)).toBeGreaterThan(32);
      expect(early(level, true)).toBe(0);
    }
  });

  it("law: where a chord lasts, each bar takes another position than the bar before, written as one chord or as several", () => {
    fc.assert(
      fc.property(manners, levels, seeds, fc.boolean(), (manner, level, seed, apart) => {
        const [one] = chordsOf([32]);
        const bars = Array.from({ length: 8 }, (_, i) => ({ ...one, at: beats(4 * i), duration: beats(4) }));
        const chords = apart ? bars : [{ ...one, at: beats(0), duration: beats(32) }];
        const { events } = compAlong(chords as readonly LaidOutChord[], { metre: "4/4", manner, level, seed });
        const sizes = new Map<number, Set<number>>();
        for (const event of events) {
          // The and of 4 is the next bar's.
          const bar = Math.floor((num(event.at) + 0.5) / 4) + 1;
          sizes.set(bar, (sizes.get(bar) ?? new Set()).add(event.pitches.length));
        }
        for (const [bar, size] of sizes) {
          expect(size.size).toBe(1);
          expect([...size][0]).toBe(bar % 2 === 1 ? 4 : 3);
        }
      }),
    );
  });

  it("law: the same seed draws the same, others draw others; the input is left alone", () => {
    fc.assert(
      fc.property(anyCase, ({ lengths, ...options }) => {
        const chords = chordsOf(lengths);
        const before = structuredClone(chords);
        expect(compAlong(structuredClone(chords), options)).toEqual(compAlong(chords, options));
        expect(chords).toEqual(before);
      }),
      { numRuns: 60 },
    );
    const drawn = Array.from({ length: 20 }, (_, seed) =>
      JSON.stringify(compAlong(chordsOf([4, 4, 4, 4]), { metre: "4/4", seed }).events),
    );
    expect(new Set(drawn).size).toBeGreaterThan(15);
  });

  it("law: what is drawn can be read: strokes on halves of the pulse, in whole bars few ties", () => {
    fc.assert(
      fc.property(manners, levels, seeds, (manner, level, seed) => {
        const { events } = compAlong(chordsOf([4, 4, 4, 4, 8, 8]), { metre: "4/4", manner, level, seed });
        for (const { at, duration } of events) {
          expect(beatsToNumber(at) % 0.5).toBe(0);
          expect(beatsToNumber(duration) % 0.5).toBe(0);
          expect(beatsToNumber(duration)).toBeGreaterThan(0);
        }
      }),
    );
  });

  it("law: a manner of one's own plays by the same laws", () => {
    const anyCell = fc.record({
      pulses: fc.constantFrom(1, 2, 3, 4),
      level: levels,
      weight: fc.integer({ min: 1, max: 9 }),
      hits: fc
        .uniqueArray(fc.constantFrom("-1/2", "0", "1/2"), { maxLength: 3 })
        .map((places) =>
          places
            .sort((a, b) => Number(a.split("/")[0]) - Number(b.split("/")[0]) || a.length - b.length)
            .map((at) => ({ at, hold: "1/2", play: "all" as const })),
        ),
    });
    const whole = [1, 2, 3, 4].map((pulses) => ({
      pulses,
      level: 1,
      weight: 1,
      hits: [{ at: "0", hold: "end", play: "all" }],
    }));
    fc.assert(
      fc.property(
        fc.array(anyCell, { maxLength: 8 }),
        fc.array(fc.integer({ min: 0, max: 60 }), { minLength: 5, maxLength: 5 }),
        seeds,
        (cells, density, seed) => {
          const manner = {
            id: "mine",
            title: "Mine",
            source: "me",
            density,
            cells: [...whole, ...cells],
          } as CompingMannerRow;
          const chords = chordsOf([4, 2, 2, 3, 5]);
          const drawn = compAlong(chords, { metre: "4/4", manner, seed, level: 5 });
          expect(drawn.manner).toBe("mine");
          for (const chord of chords)
            expect(
              drawn.events.some((event) => num(event.at) >= num(chord.at) - 0.5 && num(event.at) < endOf(chord)),
            ).toBe(true);
        },
      ),
      { numRuns: 80 },
    );
  });

  it.each<[string, Partial<CompingMannerRow>]>([
    ["density for five levels", { density: [1, 2] }],
    [
      "a cell of one pulse",
      { cells: [{ pulses: 4, level: 1, weight: 1, hits: [{ at: "0", hold: "end", play: "all" }] }] },
    ],
    [
      "strokes in order",
      {
        cells: [
          {
            pulses: 1,
            level: 1,
            weight: 1,
            hits: [
              { at: "1/2", hold: "end", play: "all" },
              { at: "0", hold: "end", play: "all" },
            ],
          },
        ],
      },
    ],
  ])("refuses a row without %s", (_, part) => {
    const manner = { ...compingMannerCatalogue[0], id: "mine", ...part };
    expect(() => compAlong(chordsOf([4]), { metre: "4/4", manner })).toThrow(
      expect.objectContaining({ code: "comping/manner" }),
    );
  });

  it("refuses a manner that is not there, and a line out of order", () => {
    const ask = (options: object) => () => compAlong(chordsOf([4]), { metre: "4/4", ...options });
    expect(ask({ manner: "lisening" })).toThrow(
      expect.objectContaining({ code: "comping/manner", hint: "did you mean listening?" }),
    );
    expect(ask({ melody: [...lineOf([1, 1])].reverse() })).toThrow(expect.objectContaining({ code: "comping/melody" }));
    expect(ask({ melody: null })).toThrow(expect.objectContaining({ code: "comping/melody" }));
    expect(ask({ melody: [{ at: beats(0) }] })).toThrow(expect.objectContaining({ code: "comping/melody" }));
  });
});
