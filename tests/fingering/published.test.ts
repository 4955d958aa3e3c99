import { describe, expect, it } from "vitest";
import type { Finger } from "../../src/event/index.ts";
import {
  fingerAlternatives,
  fingeringRuleCatalogue,
  fingeringRuleSetCatalogue,
  fingerPassage,
  fingerSpan,
} from "../../src/fingering/index.ts";
import { pitchFromMidi } from "../../src/pitch/index.ts";

// Parncutt, R., Sloboda, J. A., Clarke, E. F., Raekallio, M. & Desain, P. (1997). An ergonomic model of keyboard fingering
// for melodic fragments. Music Perception 14(4), 341–382. Flag: read in a re-implementation (dvdrndlph/pydactyl @0ad656d),
// spans in agreement with nine others. Fragment B is a repeating cycle; A and D end on the finger that goes on in the piece.
const FRAGMENTS = {
  A: { midi: [64, 67, 65, 67, 64, 65, 62, 64], cyclic: false, last: 3 },
  B: { midi: [64, 61, 62, 66], cyclic: true, last: undefined },
  D: { midi: [61, 65, 63, 66, 65, 68, 66], cyclic: false, last: 2 },
} as const;

// Fragment, fingers, published total; then what each rule gives, flag: computed from the rules as written (they add up to
// the published totals). Rules that give nothing are left out.
const TOTALS: readonly (readonly [keyof typeof FRAGMENTS, string, number, Readonly<Record<string, number>>])[] = [
  [
    "A",
    "24342313",
    6,
    { "small-span": 1, "position-change-count": 1, "position-change-size": 1, "weak-finger": 2, "three-to-four": 1 },
  ],
  ["A", "13231213", 7, { "small-span": 1, "position-change-count": 2, "position-change-size": 4 }],
  [
    "A",
    "14342313",
    8,
    { "small-span": 3, "position-change-count": 1, "position-change-size": 1, "weak-finger": 2, "three-to-four": 1 },
  ],
  ["A", "35453423", 8, { "weak-finger": 4, "three-four-five": 3, "three-to-four": 1 }],
  ["A", "13231323", 9, { "small-span": 2, "large-span": 2, "position-change-count": 2, "position-change-size": 3 }],
  ["A", "13231423", 9, { "small-span": 4, "position-change-count": 1, "position-change-size": 3, "weak-finger": 1 }],
  ["A", "13232313", 10, { "small-span": 1, "large-span": 2, "position-change-count": 3, "position-change-size": 4 }],
  [
    "A",
    "24342323",
    10,
    { "large-span": 2, "position-change-count": 2, "position-change-size": 3, "weak-finger": 2, "three-to-four": 1 },
  ],
  ["B", "3124", 7, { "weak-finger": 1, "four-on-black": 1, "thumb-on-black": 5 }],
  ["B", "3214", 7, { "small-span": 3, "large-span": 2, "weak-finger": 1, "four-on-black": 1 }],
  ["B", "4235", 7, { "weak-finger": 2, "three-four-five": 1, "five-on-black": 4 }],
  ["B", "4215", 11, { "small-span": 5, "weak-finger": 2, "five-on-black": 4 }],
  ["B", "1235", 14, { "small-span": 9, "weak-finger": 1, "five-on-black": 4 }],
  [
    "B",
    "2124",
    14,
    { "small-span": 2, "position-change-count": 2, "position-change-size": 4, "weak-finger": 1, "thumb-on-black": 5 },
  ],
  ["B", "3125", 14, { "small-span": 4, "weak-finger": 1, "thumb-on-black": 5, "five-on-black": 4 }],
  ["B", "3215", 14, { "small-span": 7, "large-span": 2, "weak-finger": 1, "five-on-black": 4 }],
  [
    "B",
    "3235",
    15,
    {
      "small-span": 2,
      "large-span": 2,
      "position-change-count": 2,
      "position-change-size": 4,
      "weak-finger": 1,
      "five-on-black": 4,
    },
  ],
  ["B", "4125", 15, { "small-span": 4, "weak-finger": 2, "thumb-on-black": 5, "five-on-black": 4 }],
  [
    "D",
    "1323132",
    12,
    { "small-span": 2, "large-span": 2, "position-change-count": 2, "position-change-size": 3, "thumb-on-black": 3 },
  ],
  [
    "D",
    "1324132",
    12,
    { "small-span": 4, "position-change-count": 1, "position-change-size": 3, "weak-finger": 1, "thumb-on-black": 3 },
  ],
  [
    "D",
    "2412132",
    13,
    { "small-span": 3, "position-change-count": 2, "position-change-size": 4, "weak-finger": 1, "thumb-on-black": 3 },
  ],
  ["D", "1212132", 14, { "position-change-count": 3, "position-change-size": 5, "thumb-on-black": 6 }],
  [
    "D",
    "1213242",
    14,
    { "small-span": 2, "position-change-count": 2, "position-change-size": 3, "weak-finger": 1, "thumb-on-black": 6 },
  ],
  [
    "D",
    "1323142",
    14,
    {
      "small-span": 6,
      "large-span": 2,
      "position-change-count": 1,
      "position-change-size": 1,
      "weak-finger": 1,
      "thumb-on-black": 3,
    },
  ],
  [
    "D",
    "1323242",
    15,
    {
      "small-span": 2,
      "large-span": 2,
      "position-change-count": 3,
      "position-change-size": 4,
      "weak-finger": 1,
      "thumb-on-black": 3,
    },
  ],
  [
    "D",
    "2413242",
    15,
    { "small-span": 5, "position-change-count": 2, "position-change-size": 3, "weak-finger": 2, "thumb-on-black": 3 },
  ],
  [
    "D",
    "2435132",
    15,
    {
      "small-span": 6,
      "position-change-count": 1,
      "position-change-size": 3,
      "weak-finger": 2,
      "three-four-five": 1,
      "five-on-black": 2,
    },
  ],
  ["D", "1213232", 16, { "large-span": 2, "position-change-count": 3, "position-change-size": 5, "thumb-on-black": 6 }],
];

const pitchesOf = (id: keyof typeof FRAGMENTS) => FRAGMENTS[id].midi.map((number) => pitchFromMidi(number, "sharps"));
const settled = (fingers: string): Readonly<Record<number, Finger>> =>
  Object.fromEntries([...fingers].map((digit, i) => [i, Number(digit) as Finger]));
const PAPER = { hand: "right", rules: "parncutt-1997" } as const;

describe("Parncutt et al. (1997)", () => {
  it.each(TOTALS)("Parncutt 1997: fragment %s, %s costs %i", (id, fingers, total, byRule) => {
    const { cost, costByRule } = fingerPassage(pitchesOf(id), {
      ...PAPER,
      loop: FRAGMENTS[id].cyclic,
      fixed: settled(fingers),
    });
    expect(cost).toBe(total);
    expect(costByRule).toEqual(byRule);
  });

  it("Parncutt 1997: the published minima of fragments A, B and D", () => {
    const best = (["A", "B", "D"] as const).map((id) => {
      const { last, cyclic } = FRAGMENTS[id];
      const fixed = last === undefined ? {} : { [FRAGMENTS[id].midi.length - 1]: last };
      const options = { ...PAPER, loop: cyclic, fixed };
      const { cost } = fingerPassage(pitchesOf(id), options);
      const same = fingerAlternatives(pitchesOf(id), { differ: "fingers", ...options, count: 10 }).filter(
        (fingering) => fingering.cost === cost,
      );
      return [id, cost, same.map((fingering) => fingering.fingers.join(""))];
    });
    expect(best).toEqual([
      ["A", 6, ["24342313"]],
      ["B", 7, ["3124", "3214", "4235"]],
      ["D", 12, ["1323132", "1324132"]],
    ]);
  });

  it("Parncutt 1997, Table 1: spans of the medium hand", () => {
    const rows: readonly (readonly [Finger, Finger, ...number[]])[] = [
      [1, 2, -5, -3, 1, 5, 8, 10],
      [1, 3, -4, -2, 3, 7, 10, 12],
      [1, 4, -3, -1, 5, 9, 12, 14],
      [1, 5, -1, 1, 7, 10, 13, 15],
      [2, 3, 1, 1, 1, 2, 3, 5],
      [2, 4, 1, 1, 3, 4, 5, 7],
      [2, 5, 2, 2, 5, 6, 8, 10],
      [3, 4, 1, 1, 1, 2, 2, 4],
      [3, 5, 1, 1, 3, 4, 5, 7],
      [4, 5, 1, 1, 1, 2, 3, 5],
    ];
    for (const [a, b, ...values] of rows) {
      const span = fingerSpan(a, b);
      expect([
        span.minPractical,
        span.minComfortable,
        span.minRelaxed,
        span.maxRelaxed,
        span.maxComfortable,
        span.maxPractical,
      ]).toEqual(values);
      expect(fingerSpan(b, a)).toEqual(span);
    }
  });

  it("lists the twelve rules by number, once each, with weight 1", () => {
    const published = fingeringRuleCatalogue.filter((rule) => /^Parncutt et al\. \(1997\), rule/.test(rule.source));
    expect(published.map((rule) => Number(/rule (\d+)$/.exec(rule.source)?.[1]))).toEqual([
      1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12,
    ]);
    const set = fingeringRuleSetCatalogue.find(({ id }) => id === "parncutt-1997");
    expect(published.map(({ id }) => set?.rules.find(({ rule }) => rule === id)?.weight)).toEqual(Array(12).fill(1));
  });
});

describe("Parncutt et al. (1997), the rules one by one", () => {
  const charges = (midi: readonly number[], fingers: string, rule: string, hand: "left" | "right" = "right"): number =>
    fingerPassage(
      midi.map((number) => pitchFromMidi(number, "flats")),
      { hand, rules: "parncutt-1997", fixed: settled(fingers) },
    ).costByRule[rule] ?? 0;

  // Counted by hand from the wording of the rules; flag: computed.
  it.each<readonly [string, readonly number[], string, number]>([
    ["stretch", [60, 69], "12", 2], // 9 semitones, comfortable to 8
    ["stretch", [69, 60], "21", 2],
    ["stretch", [60, 56], "12", 2], // thumb 4 above the finger, comfortable to 3
    ["small-span", [60, 61], "13", 2], // relaxed from 3; with the thumb one point a semitone
    ["small-span", [60, 61], "24", 4], // without it two
    ["large-span", [60, 67], "12", 2],
    ["large-span", [60, 63], "23", 2],
    ["position-change-count", [60, 62, 72], "121", 1], // one finger on both sides: always a change
    ["position-change-count", [64, 65, 67], "313", 2], // the thumb between, and the place out of the finger's reach: full
    ["position-change-count", [64, 62, 67], "313", 1], // the thumb not between: half
    ["position-change-count", [60, 64, 71], "123", 1], // in reach, though not in comfort: half
    ["position-change-count", [64, 64, 67], "313", 1], // a note struck again lies not between
    ["position-change-count", [64, 67, 67], "313", 1],
    ["position-change-count", [60, 62, 64], "213", 1], // between, out of comfort (3 semitones), in reach (5)
    ["position-change-count", [60, 62, 65], "213", 1],
    ["position-change-count", [60, 62, 66], "213", 2],
    ["position-change-count", [60, 62, 64], "312", 2], // the fingers crossed
    ["position-change-count", [67, 65, 62], "112", 1], // -5 semitones, in reach to -5
    ["position-change-size", [60, 64, 72], "121", 12],
    ["weak-finger", [60, 62, 64], "345", 2],
    ["three-four-five", [60, 62, 64], "345", 1],
    ["three-four-five", [60, 62, 64], "234", 0],
    ["three-to-four", [60, 62], "34", 1],
    ["three-to-four", [62, 60], "43", 0],
    ["four-on-black", [60, 61], "34", 1],
    ["four-on-black", [61, 60], "43", 1],
    ["four-on-black", [61, 62], "34", 0],
    ["thumb-on-black", [61], "1", 1],
    ["thumb-on-black", [60, 61, 62], "213", 5],
    ["thumb-on-black", [58, 61, 62], "213", 3],
    ["five-on-black", [60, 61, 60], "454", 4],
    ["five-on-black", [58, 61, 58], "454", 0],
    ["thumb-passing", [64, 65], "31", 1], // white to white
    ["thumb-passing", [65, 64], "13", 1],
    ["thumb-passing", [66, 68], "31", 1], // black to black
    ["thumb-passing", [60, 61], "31", 3], // finger white, thumb black
    ["thumb-passing", [61, 60], "13", 3],
    ["thumb-passing", [63, 64], "31", 0], // finger black, thumb white
    ["thumb-passing", [60, 62], "12", 0],
    ["practical-span", [60, 62], "22", 100],
    ["practical-span", [60, 71], "12", 100],
    ["practical-span", [60, 60], "22", 0],
    ["practical-span", [62, 60], "23", 100],
    ["large-span", [67, 60], "21", 2],
  ])("Parncutt 1997: %s on %j with %s", (rule, midi, fingers, points) => {
    expect(charges(midi, fingers, rule)).toBe(points);
    expect(
      charges(
        midi.map((number) => 124 - number),
        fingers,
        rule,
        "left",
      ),
    ).toBe(points);
  });
});

describe("hand sizes (ours)", () => {
  it("law: a smaller hand spans no more, and every span is in order", () => {
    for (const a of [1, 2, 3, 4, 5] as const)
      for (const b of [1, 2, 3, 4, 5] as const) {
        if (a === b) continue;
        const [small, medium, large] = (["small", "medium", "large"] as const).map((size) =>
          fingerSpan(a, b, { size }),
        );
        for (const span of [small, medium, large]) {
          const order = [
            span!.minPractical,
            span!.minComfortable,
            span!.minRelaxed,
            span!.maxRelaxed,
            span!.maxComfortable,
            span!.maxPractical,
          ];
          expect([...order].sort((x, y) => x - y)).toEqual(order);
        }
        expect(small!.maxPractical).toBeLessThanOrEqual(medium!.maxPractical);
        expect(medium!.maxPractical).toBeLessThan(large!.maxPractical);
      }
  });

  it("law: with the thumb a hand opens two semitones more or less, without it one, and never closes upon its relaxed span", () => {
    for (const a of [1, 2, 3, 4] as const)
      for (const b of [2, 3, 4, 5] as const) {
        if (a >= b) continue;
        const by = a === 1 ? 2 : 1;
        const medium = fingerSpan(a, b);
        for (const [size, wider] of [
          ["small", -by],
          ["large", by],
        ] as const) {
          expect(fingerSpan(b, a, { size })).toEqual({
            ...medium,
            maxComfortable: Math.max(medium.maxRelaxed, medium.maxComfortable + wider),
            maxPractical: Math.max(medium.maxRelaxed, medium.maxPractical + wider),
          });
        }
      }
  });

  it("fingers a tenth with an effort that a small hand can't make", () => {
    const tenth = [48, 63].map((number) => pitchFromMidi(number, "flats"));
    const costs = (["small", "medium", "large"] as const).map(
      (size) => fingerPassage(tenth, { hand: "right", size, rules: "parncutt-1997" }).cost,
    );
    expect(costs[0]).toBeGreaterThan(costs[1]!);
    expect(costs[1]).toBeGreaterThan(costs[2]!);
  });
});
