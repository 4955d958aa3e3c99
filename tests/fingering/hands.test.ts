import fc from "fast-check";
import { describe, expect, it } from "vitest";
import type { Finger, Hand, NoteEvent } from "../../src/event/index.ts";
import { fingerAlternatives, fingerPassage, fingerPrice } from "../../src/fingering/index.ts";
import { pitchFromMidi } from "../../src/pitch/index.ts";
import { beatsOf } from "../../src/time/index.ts";
import type { HandNote } from "./reference-hands.ts";
import { bruteHands } from "./reference-hands.ts";

const hands = fc.constantFrom<Hand>("left", "right");
const key = (midi: number) => pitchFromMidi(midi, "flats");
const eventOf = ({ midi, from, to }: HandNote): NoteEvent => ({
  at: beatsOf(Math.round(from * 4), 4),
  duration: beatsOf(Math.round((to - from) * 4), 4),
  pitches: [key(midi)],
});

// Up to three moments of one to three notes, each note held for one to three moments, moments an eighth, a quarter or three quarters apart.
const scenes = fc
  .array(
    fc.record({
      gap: fc.constantFrom(0.5, 1, 3),
      keys: fc.uniqueArray(fc.integer({ min: 55, max: 67 }), { minLength: 1, maxLength: 3 }),
      hold: fc.constantFrom(0.5, 0.5, 1, 2),
    }),
    { minLength: 1, maxLength: 3 },
  )
  .map((list): readonly HandNote[] => {
    let from = 0;
    return list.flatMap(({ gap, keys, hold }, i) => {
      if (i > 0) from += gap;
      const at = from;
      return [...keys].sort((a, b) => a - b).map((midi) => ({ midi, from: at, to: at + hold }));
    });
  });

describe("a hand on several keys", () => {
  it("law: chords, held notes, rests and single notes: no hands are cheaper", () => {
    let compared = 0;
    fc.assert(
      fc.property(scenes, hands, (notes, hand) => {
        // At 120 notes less than 0.4 seconds apart are fast: eighths.
        const best = bruteHands(notes, hand, (gap) => gap <= 0.5);
        if (best === undefined) return;
        compared++;
        const found = fingerPassage(notes.map(eventOf), { hand, scale: false, sequences: false });
        expect(found.cost).toBe(best.cost);
        expect(found.remarks.filter(({ kind }) => kind === "out-of-reach" || kind === "let-go")).toEqual([]);
      }),
      { numRuns: 50 },
    );
    expect(compared).toBeGreaterThan(15);
  });

  it("law: mirrored about D the other hand takes the same fingers at the same cost; an octave higher nothing changes", () => {
    fc.assert(
      fc.property(scenes, hands, (notes, hand) => {
        const here = fingerPassage(notes.map(eventOf), { hand, scale: false });
        const other: Hand = hand === "left" ? "right" : "left";
        const mirrored = notes.map((note) => ({ ...note, midi: 124 - note.midi }));
        const there = fingerPassage(mirrored.map(eventOf), { hand: other, scale: false });
        expect([there.cost, there.fingers]).toEqual([here.cost, here.fingers]);
        const higher = fingerPassage(
          notes.map((note) => eventOf({ ...note, midi: note.midi + 12 })),
          { hand, scale: false },
        );
        expect([higher.cost, higher.fingers]).toEqual([here.cost, here.fingers]);
      }),
    );
  });

  it("law: no two keys that sound together have one finger", () => {
    fc.assert(
      fc.property(scenes, hands, (notes, hand) => {
        const { fingers, remarks } = fingerPassage(notes.map(eventOf), { hand });
        if (remarks.some(({ kind }) => kind !== "wide-span" && kind !== "departure")) return;
        notes.forEach((a, i) =>
          notes.forEach((b, j) => {
            const together = i < j && a.midi !== b.midi && a.from < b.to && b.from < a.to;
            const again = notes.some(
              (c) =>
                (c.midi === a.midi && c.from > a.from && c.from <= b.from) ||
                (c.midi === b.midi && c.from > b.from && c.from <= a.from),
            );
            if (together && !again) expect(fingers[i]).not.toBe(fingers[j]);
          }),
        );
      }),
    );
  });

  it("a chord that no hand reaches is rolled and told; the rest is answered as ever", () => {
    const line = (at: number): HandNote[] =>
      [60, 62, 64, 65].map((midi, i) => ({ midi, from: at + i, to: at + i + 1 }));
    const wide = [48, 64, 79].map((midi): HandNote => ({ midi, from: 4, to: 5 }));
    const { fingers, remarks } = fingerPassage([...line(0), ...wide, ...line(5)].map(eventOf), { hand: "right" });
    expect(fingers).toHaveLength(11);
    expect(remarks.filter(({ kind }) => kind === "out-of-reach").map(({ index }) => index)).toEqual([4]);
    expect(fingers.every((finger) => finger >= 1 && finger <= 5)).toBe(true);
  });

  it("what can't be held any longer is let go, and that is told", () => {
    const notes: HandNote[] = [
      { midi: 48, from: 0, to: 4 },
      { midi: 79, from: 1, to: 2 },
    ];
    const { remarks, fingers } = fingerPassage(notes.map(eventOf), { hand: "right" });
    expect(remarks.map(({ kind, index }) => [kind, index])).toEqual([["let-go", 1]]);
    expect(fingers).toHaveLength(2);
  });

  it("common practice, no source: a held fifth keeps its fingers under moving notes; no finger stands on two keys", () => {
    const { fingers } = fingerPassage("C4+G4~2 E4 F4", { hand: "right" });
    expect(fingers.slice(0, 2)).toEqual([1, 5]);
    expect(new Set(fingers.slice(2)).size).toBe(2);
    expect(fingers.slice(2).every((finger) => finger > 1 && finger < 5)).toBe(true);
  });

  it("a finger is changed on a held key where the hand could not go on otherwise, and that is told", () => {
    const { remarks } = fingerPassage("C4~1 C5", { hand: "right", fixed: { 0: 3, 1: 4 }, sequences: false });
    expect(remarks.map(({ kind }) => kind)).toContain("substitution");
  });
});

describe("alternatives and prices", () => {
  const lines = fc.array(fc.integer({ min: 60, max: 72 }), { minLength: 2, maxLength: 7 });

  it("law: each alternative sets the hand anew at other places than all before it, none cheaper, the first the best", () => {
    fc.assert(
      fc.property(lines, hands, (midi, hand) => {
        const pitches = midi.map(key);
        const found = fingerAlternatives(pitches, { hand, count: 3, scale: false, sequences: false });
        expect(found[0]).toEqual(fingerPassage(pitches, { hand, scale: false, sequences: false }));
        const places = found.map(({ positions }) => positions.map(({ from }) => from).join());
        expect(new Set(places).size).toBe(found.length);
        found.forEach(({ cost }, i) => expect(cost).toBeGreaterThanOrEqual(found[i - 1]?.cost ?? 0));
        // The first that differs so is the cheapest of all that do: from the plain list, where it is long enough.
        const ranked = fingerAlternatives(pitches, {
          hand,
          count: 100,
          differ: "fingers",
          scale: false,
          sequences: false,
        });
        const other = ranked.find(({ positions }) => positions.map(({ from }) => from).join() !== places[0]);
        if (other !== undefined) expect(found[1]?.cost).toBe(other.cost);
      }),
      { numRuns: 60 },
    );
  });

  it("law: the price of a finger is what settling it costs more, and its rules add up to it", () => {
    fc.assert(
      fc.property(lines, hands, fc.nat(), fc.constantFrom<Finger>(1, 2, 3, 4, 5), (midi, hand, where, finger) => {
        const pitches = midi.map(key);
        const index = where % pitches.length;
        const { price, priceByRule, best, instead } = fingerPrice(pitches, { hand, index, finger, sequences: false });
        expect(price).toBeGreaterThanOrEqual(0);
        expect(instead.fingers[index]).toBe(finger);
        expect(Object.values(priceByRule).reduce((sum, more) => sum + more, 0)).toBe(price);
        expect(price).toBe(
          fingerPassage(pitches, { hand, fixed: { [index]: finger }, sequences: false }).cost - best.cost,
        );
        if (best.fingers[index] === finger) expect(price).toBe(0);
      }),
    );
  });
});

describe("a hand of one's own", () => {
  const tenths = [
    [48, 64],
    [50, 65],
    [52, 67],
  ].flatMap((pair, i) => pair.map((midi): HandNote => ({ midi, from: i, to: i + 1 })));

  it("takes its measured spans at their word", () => {
    const small = { widest: { "1-5": 12 } } as const;
    const told = fingerPassage(tenths.map(eventOf), { hand: "right", size: small }).remarks.map(({ kind }) => kind);
    expect(told.filter((kind) => kind === "out-of-reach")).toHaveLength(3);
    const large = { widest: { "1-5": 17 } } as const;
    expect(
      fingerPassage(tenths.map(eventOf), { hand: "right", size: large }).remarks.map(({ kind }) => kind),
    ).not.toContain("out-of-reach");
  });

  it("law: a finger that rests plays nothing", () => {
    fc.assert(
      fc.property(
        fc.array(fc.integer({ min: 60, max: 72 }), { minLength: 1, maxLength: 12 }),
        hands,
        fc.constantFrom<Finger>(1, 2, 3, 4, 5),
        (midi, hand, finger) => {
          expect(fingerPassage(midi.map(key), { hand, resting: [finger] }).fingers).not.toContain(finger);
        },
      ),
    );
  });

  it("keeps the fingers of the goal tempo at every tempo on the way", () => {
    const events = [60, 60, 60, 62].map((midi, i) => eventOf({ midi, from: i / 2, to: (i + 1) / 2 }));
    const at = (tempo: number, goal?: number) =>
      fingerPassage(events, { hand: "right", tempo, goal, sequences: false }).fingers;
    expect(at(60)).not.toEqual(at(160));
    for (const tempo of [40, 60, 96, 97, 120]) expect(at(tempo, 160)).toEqual(at(160));
  });
});
