import fc from "fast-check";
import { describe, expect, it } from "vitest";
import type { Finger, Hand } from "../../src/event/index.ts";
import { fingerAlternatives, fingeringRuleCatalogue, fingerPassage } from "../../src/fingering/index.ts";
import type { Pitch } from "../../src/pitch/index.ts";
import { pitchFromMidi } from "../../src/pitch/index.ts";
import { bruteForce, costByRuleOf, costOfFingers } from "./reference.ts";

// Melodies of steps and leaps; the first note anywhere in the middle of the keyboard.
const melody = (length: { minLength: number; maxLength: number }): fc.Arbitrary<readonly number[]> =>
  fc
    .tuple(
      fc.integer({ min: 48, max: 72 }),
      fc.array(fc.oneof({ weight: 4, arbitrary: fc.integer({ min: -4, max: 4 }) }, fc.integer({ min: -19, max: 19 })), {
        minLength: length.minLength - 1,
        maxLength: length.maxLength - 1,
      }),
    )
    .map(([first, moves]) =>
      moves.reduce<number[]>(
        (notes, move) => {
          const next = (notes.at(-1) as number) + move;
          return [...notes, next < 21 || next > 108 ? (notes.at(-1) as number) - move : next];
        },
        [first],
      ),
    );

const keys = (midi: readonly number[]): readonly Pitch[] => midi.map((number) => pitchFromMidi(number, "flats"));
const hands = fc.constantFrom<Hand>("left", "right");
const sizes = fc.constantFrom("small" as const, "medium" as const, "large" as const);
const sets = fc.constantFrom("standard" as const, "parncutt-1997" as const, "scale" as const);

describe("the best fingering", () => {
  it("law: no fingering of up to 8 notes is cheaper, and of the cheapest the lowest fingers are given", () => {
    fc.assert(
      fc.property(melody({ minLength: 1, maxLength: 8 }), hands, sizes, sets, (midi, hand, size, rules) => {
        const pitches = keys(midi);
        const found = fingerPassage(pitches, { hand, size, rules, scale: false });
        const [best] = bruteForce({ pitches, hand, size, rules, ceiling: found.cost });
        expect([found.cost, found.fingers]).toEqual([best?.cost, best?.fingers]);
      }),
      { numRuns: 30 },
    );
  });

  it("law: whichever rule weighs most, no fingering is cheaper, and every rule charges what it finds window by window", () => {
    // Half steps among black keys and white ones, where most rules have something to say.
    const steps = fc.tuple(
      fc.integer({ min: 60, max: 71 }),
      fc.array(fc.integer({ min: -3, max: 3 }), { minLength: 2, maxLength: 3 }),
      hands,
    );
    const rules = fingeringRuleCatalogue.filter(({ reads }) => reads !== "ends").map(({ id }) => id);
    for (const id of rules)
      for (const [first, moves, hand] of fc.sample(steps, { seed: 11, numRuns: 8 })) {
        const pitches = keys(
          moves.reduce<number[]>((notes, move) => [...notes, (notes.at(-1) as number) + move], [first]),
        );
        const weights = { [id]: 100 };
        const found = fingerPassage(pitches, { hand, weights, scale: false });
        const [best] = bruteForce({ pitches, hand, weights, ceiling: found.cost });
        expect([id, found.cost, found.fingers]).toEqual([id, best?.cost, best?.fingers]);
        expect(found.costByRule).toEqual(costByRuleOf({ pitches, hand, weights }, found.fingers));
      }
  });

  it("law: the same across leaps of two octaves, beyond which all are alike", () => {
    const leaps = [-25, -24, -23, -1, 0, 1, 23, 24, 25];
    for (const first of [60, 61])
      for (const before of leaps)
        for (const after of leaps) {
          const pitches = keys([first, first + before, first + before + after]);
          const found = fingerPassage(pitches, { hand: "right", scale: false });
          const [best] = bruteForce({ pitches, hand: "right", ceiling: found.cost });
          expect([found.cost, found.fingers]).toEqual([best?.cost, best?.fingers]);
        }
  });

  it("law: the same of a passage that repeats", () => {
    const cycles = (maxLength: number, numRuns: number): void =>
      fc.assert(
        fc.property(melody({ minLength: 1, maxLength }), hands, sets, (midi, hand, rules) => {
          const pitches = keys(midi);
          const found = fingerPassage(pitches, { hand, rules, loop: true, scale: false });
          const [best] = bruteForce({ pitches, hand, rules, cyclic: true, ceiling: found.cost });
          expect([found.cost, found.fingers]).toEqual([best?.cost, best?.fingers]);
        }),
        { numRuns },
      );
    cycles(5, 40);
    cycles(8, 8);
  });

  it("law: settled fingers stay, and the rest is the best around them", () => {
    const finger = fc.constantFrom<Finger>(1, 2, 3, 4, 5);
    fc.assert(
      fc.property(
        melody({ minLength: 2, maxLength: 7 }),
        hands,
        finger,
        finger,
        fc.nat(),
        (midi, hand, a, b, where) => {
          const pitches = keys(midi);
          const fixed = { [midi.length - 1]: b, [where % midi.length]: a };
          const [best] = bruteForce({ pitches, hand, fixed });
          const found = fingerPassage(pitches, { hand, fixed, scale: false });
          expect([found.cost, found.fingers]).toEqual([best?.cost, best?.fingers]);
        },
      ),
      { numRuns: 30 },
    );
  });

  it("law: the alternatives are the cheapest fingerings in order, all different", () => {
    fc.assert(
      fc.property(
        melody({ minLength: 1, maxLength: 6 }),
        hands,
        sets,
        fc.integer({ min: 1, max: 12 }),
        fc.constantFrom<Finger | undefined>(1, 2, 3, 4, 5, undefined),
        (midi, hand, rules, count, finger) => {
          const pitches = keys(midi);
          const fixed = finger === undefined ? {} : { 0: finger };
          const expected = bruteForce({ pitches, hand, rules, fixed }, count);
          const found = fingerAlternatives(pitches, { differ: "fingers", hand, rules, fixed, count, scale: false });
          expect(found.map(({ cost, fingers }) => ({ cost, fingers }))).toEqual(
            expected.map(({ cost, fingers }) => ({ cost, fingers })),
          );
        },
      ),
      { numRuns: 40 },
    );
    fc.assert(
      fc.property(
        melody({ minLength: 1, maxLength: 4 }),
        hands,
        fc.integer({ min: 1, max: 7 }),
        (midi, hand, count) => {
          const pitches = keys(midi);
          const expected = bruteForce({ pitches, hand, cyclic: true }, count);
          const found = fingerAlternatives(pitches, { differ: "fingers", hand, count, loop: true, scale: false });
          expect(found.map(({ cost, fingers }) => ({ cost, fingers }))).toEqual(
            expected.map(({ cost, fingers }) => ({ cost, fingers })),
          );
        },
      ),
      { numRuns: 20 },
    );
  });

  it("gives all fingerings when asked for more than there are", () => {
    expect(
      fingerAlternatives(keys([60]), { differ: "fingers", hand: "right", count: 9 })
        .map(({ fingers }) => fingers)
        .sort(),
    ).toEqual([[1], [2], [3], [4], [5]]);
    expect(
      fingerAlternatives(keys([60]), {
        differ: "fingers",
        hand: "right",
        rules: "scale",
        count: 9,
        weights: { "four-on-white": 5 },
      }).map(({ fingers }) => fingers),
    ).toEqual([[1], [2], [3], [5], [4]]);
    expect(
      fingerAlternatives(keys([60]), { differ: "fingers", hand: "right", count: 9, fixed: { 0: 4 } }).map(
        ({ fingers }) => fingers,
      ),
    ).toEqual([[4]]);
  });
});

it("refuses counts that are none, and more alternatives than it can hold", () => {
  expect(() => fingerAlternatives(keys([60, 62]), { differ: "fingers", hand: "right", count: 0 })).toThrow(
    "fingering/count",
  );
  expect(() => fingerAlternatives(keys([60, 62]), { differ: "fingers", hand: "right", count: 101 })).toThrow(
    "fingering/count",
  );
  expect(() =>
    fingerAlternatives(keys(Array.from({ length: 500 }, (_, i) => 60 + (i % 12))), {
      differ: "fingers",
      hand: "right",
      count: 100,
    }),
  ).toThrow("fingering/count");
});

describe("laws of symmetry", () => {
  it("law: an octave higher or lower nothing changes", () => {
    fc.assert(
      fc.property(melody({ minLength: 1, maxLength: 30 }), hands, fc.constantFrom(-12, 12), (midi, hand, by) => {
        const { pitches: _, crossings: __, positions: ___, ...here } = fingerPassage(keys(midi), { hand });
        const {
          pitches: _a,
          crossings: _b,
          positions: _c,
          ...there
        } = fingerPassage(keys(midi.map((number) => number + by)), { hand });
        expect(there).toEqual(here);
      }),
    );
  });

  it("law: mirrored about D the other hand takes the same fingers, tie for tie", () => {
    fc.assert(
      fc.property(melody({ minLength: 1, maxLength: 30 }), hands, (midi, hand) => {
        const here = fingerPassage(keys(midi), { hand });
        const mirrored = midi.map((number) => 124 - number);
        const there = fingerPassage(keys(mirrored), { hand: hand === "left" ? "right" : "left" });
        expect([there.fingers, there.cost, there.costByRule]).toEqual([here.fingers, here.cost, here.costByRule]);
      }),
    );
  });

  // Three rules hear which way time runs: the 3rd finger before the 4th costs, not the 4th before the 3rd; a finger slides
  // from black to white only; and a reach lets that slide pass, where the paper's practical span does not.
  const TIMELESS = {
    scale: false as const,
    without: ["three-to-four", "slides", "reach"],
    weights: { "practical-span": 40 },
  };

  it("law: reversed and mirrored for the other hand, the fingering reversed costs the same and is again the best, without three-to-four, slides and reach", () => {
    fc.assert(
      fc.property(melody({ minLength: 1, maxLength: 12 }), hands, (midi, hand) => {
        const options = TIMELESS;
        const other: Hand = hand === "left" ? "right" : "left";
        const here = fingerPassage(keys(midi), { hand, ...options });
        const back = keys(midi.map((number) => 124 - number).reverse());
        const there = fingerPassage(back, { hand: other, ...options });
        expect(there.cost).toBe(here.cost);
        const fixed = Object.fromEntries([...here.fingers].reverse().map((finger, i) => [i, finger]));
        expect(fingerPassage(back, { hand: other, fixed, ...options }).cost).toBe(here.cost);
      }),
    );
  });

  it("law: reversed in the same hand, the fingering reversed costs the same and is again the best, without these rules", () => {
    fc.assert(
      fc.property(melody({ minLength: 2, maxLength: 12 }), hands, (midi, hand) => {
        const here = fingerPassage(keys(midi), { hand, ...TIMELESS });
        const back = keys([...midi].reverse());
        const fixed = Object.fromEntries([...here.fingers].reverse().map((finger, i) => [i, finger]));
        expect(fingerPassage(back, { hand, ...TIMELESS }).cost).toBe(here.cost);
        expect(fingerPassage(back, { hand, fixed, ...TIMELESS }).cost).toBe(here.cost);
      }),
    );
  });
});

describe("explanations", () => {
  it("law: the steps add up to the cost, and so do the rules", () => {
    fc.assert(
      fc.property(melody({ minLength: 1, maxLength: 20 }), hands, fc.boolean(), (midi, hand, cyclic) => {
        const { cost, costByRule, steps = [] } = fingerPassage(keys(midi), { hand, loop: cyclic, explain: true });
        expect(Object.values(costByRule).reduce((sum, charge) => sum + charge, 0)).toBe(cost);
        expect(steps.reduce((sum, step) => sum + step.cost, 0)).toBe(cost);
        for (const step of steps)
          expect(Object.values(step.costByRule).reduce((sum, charge) => sum + charge, 0)).toBe(step.cost);
        for (const [rule, sum] of Object.entries(costByRule)) {
          expect(steps.reduce((total, step) => total + (step.costByRule[rule] ?? 0), 0)).toBe(sum);
        }
      }),
    );
  });

  it("law: every rule's sum, counted window by window, is the cost", () => {
    fc.assert(
      fc.property(melody({ minLength: 1, maxLength: 12 }), hands, (midi, hand) => {
        const pitches = keys(midi);
        const { cost, fingers } = fingerPassage(pitches, { hand, scale: false });
        expect(costOfFingers({ pitches, hand }, fingers)).toBe(cost);
      }),
    );
  });

  it("law: a rule of no weight is left out, from the costs by rule too", () => {
    fc.assert(
      fc.property(
        melody({ minLength: 1, maxLength: 12 }),
        hands,
        fc.constantFrom("stretch", "weak-finger", "position-change-count", "few-turns"),
        (midi, hand, id) => {
          expect(fingerPassage(keys(midi), { hand, explain: true, weights: { [id]: 0 } })).toEqual(
            fingerPassage(keys(midi), { hand, explain: true, without: [id] }),
          );
        },
      ),
    );
  });

  it("explains alternatives when asked, and only then", () => {
    const explained = fingerAlternatives(keys([60, 62, 64]), { differ: "fingers", hand: "right", explain: true });
    for (const { steps = [], cost } of explained)
      expect([steps.length, steps.reduce((sum, step) => sum + step.cost, 0)]).toEqual([3, cost]);
    expect(explained).toHaveLength(3);
    for (const fingering of fingerAlternatives(keys([60, 62, 64]), { differ: "fingers", hand: "right" }))
      expect(fingering).not.toHaveProperty("steps");
  });

  it("leaves a rule out and weighs another", () => {
    const pitches = keys([60, 62, 64, 65, 67, 69, 71, 72]);
    const plain = fingerPassage(pitches, { hand: "right" });
    expect(plain.costByRule).toHaveProperty("weak-finger");
    expect(fingerPassage(pitches, { hand: "right", without: ["weak-finger"] }).costByRule).not.toHaveProperty(
      "weak-finger",
    );
    const heavy = fingerPassage(pitches, { hand: "right", weights: { "weak-finger": 1000 }, scale: false });
    expect(heavy.fingers.every((finger) => finger < 4)).toBe(true);
  });
});
