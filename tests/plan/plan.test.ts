import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { makeDrill } from "../../src/drill/index.ts";
import { MusicError } from "../../src/ground/errors.ts";
import type { NoteName } from "../../src/pitch/index.ts";
import { pitchClassOf } from "../../src/pitch/index.ts";
import type { PracticeDay, PracticeDrill, PracticePlan } from "../../src/plan/index.ts";
import { makePracticePlan } from "../../src/plan/index.ts";
import type { FullPlanRecipe, PlanRecipe } from "../../src/recipe/index.ts";
import { levelCatalogue } from "../../src/recipe/index.ts";

const TWELVE = ["C", "F", "Bb", "Eb", "Ab", "Db", "F#", "B", "E", "A", "D", "G"] as const;

const drillsOf = (day: PracticeDay): readonly PracticeDrill[] => day.items.filter((item) => item.kind === "drill");
const allDrills = (plan: PracticePlan): readonly PracticeDrill[] => plan.days.flatMap(drillsOf);
const played = (plan: PracticePlan, key: NoteName): number =>
  allDrills(plan).filter((drill) => drill.key === key).length;

const anyOptions: fc.Arbitrary<PlanRecipe> = fc
  .record({
    keys: fc.shuffledSubarray([...TWELVE], { minLength: 1 }),
    weakCount: fc.nat({ max: 6 }),
    minutesADay: fc.integer({ min: 5, max: 90 }),
    minutesADrill: fc.integer({ min: 1, max: 12 }),
    warmUpMinutes: fc.integer({ min: 0, max: 6 }),
    breakAfter: fc.integer({ min: 5, max: 40 }),
    breakMinutes: fc.integer({ min: 1, max: 10 }),
    weeks: fc.integer({ min: 1, max: 8 }),
    daysAWeek: fc.integer({ min: 1, max: 7 }),
    startTempo: fc.integer({ min: 40, max: 100 }),
    tempoStep: fc.integer({ min: 0, max: 12 }),
    rise: fc.integer({ min: 0, max: 80 }),
    level: fc.constantFrom(1, 2, 3, 4, 5),
  })
  .map(
    ({ weakCount, rise, keys, ...figures }) =>
      ({
        ...figures,
        keys,
        weakKeys: [...keys].reverse().slice(0, weakCount),
        targetTempo: figures.startTempo + rise,
      }) as PlanRecipe,
  );

// A plan, or nothing where the options are refused as more than can be done.
const planOrNone = (options: PlanRecipe): PracticePlan | undefined => {
  try {
    return makePracticePlan(options);
  } catch (error) {
    if (error instanceof MusicError && error.reason === "cannot-be-done") return undefined;
    throw error;
  }
};

const lawOfPlans = (law: (plan: PracticePlan, options: FullPlanRecipe) => void): void => {
  let seen = 0;
  fc.assert(
    fc.property(anyOptions, (options) => {
      const plan = planOrNone(options);
      if (plan === undefined) return;
      seen++;
      law(plan, options as FullPlanRecipe);
    }),
    { numRuns: 120 },
  );
  expect(seen).toBeGreaterThan(20);
};

describe("practice plan: a day", () => {
  it("law: a day's minutes are those of its items and at most the minutes asked for", () => {
    lawOfPlans((plan, options) => {
      for (const day of plan.days) {
        expect(day.minutes).toBe(day.items.reduce((sum, item) => sum + item.minutes, 0));
        expect(day.minutes).toBeLessThanOrEqual(options.minutesADay);
      }
    });
  });

  it("law: no stretch of playing is longer than asked for, and a break lies between playing and playing", () => {
    lawOfPlans((plan, options) => {
      for (const day of plan.days) {
        let stretch = 0;
        day.items.forEach((item, i) => {
          if (item.kind === "break") {
            expect(stretch).toBeGreaterThan(0);
            expect(day.items[i + 1]?.kind).toBe("drill");
          }
          stretch = item.kind === "break" ? 0 : stretch + item.minutes;
          expect(stretch).toBeLessThanOrEqual(options.breakAfter);
        });
      }
    });
  });

  it("law: no order of drills and breaks holds more drills (brute force)", () => {
    const most = (left: number, stretch: number, o: FullPlanRecipe): number => {
      if (left <= 0) return 0;
      const play =
        left >= o.minutesADrill && stretch + o.minutesADrill <= o.breakAfter
          ? 1 + most(left - o.minutesADrill, stretch + o.minutesADrill, o)
          : 0;
      const rest = stretch > 0 && left >= o.breakMinutes ? most(left - o.breakMinutes, 0, o) : 0;
      return Math.max(play, rest);
    };
    let seen = 0;
    fc.assert(
      fc.property(anyOptions, (options) => {
        const o = {
          ...options,
          minutesADay: Math.min(35, options.minutesADay as number),
          minutesADrill: 3 + (options.minutesADrill as number),
        } as FullPlanRecipe;
        const plan = planOrNone(o);
        if (plan === undefined) return;
        seen++;
        expect(drillsOf(plan.days[0] as PracticeDay).length).toBe(
          most(o.minutesADay - o.warmUpMinutes, o.warmUpMinutes, o),
        );
      }),
      { numRuns: 300 },
    );
    expect(seen).toBeGreaterThan(30);
  });
});

describe("practice plan: keys", () => {
  it("law: every key comes, and no key twice a day unless there are more drills than keys", () => {
    lawOfPlans((plan, { keys }) => {
      expect(new Set(allDrills(plan).map((drill) => drill.key))).toEqual(new Set(keys));
      for (const day of plan.days) {
        const today = drillsOf(day).map((drill) => drill.key);
        expect(new Set(today).size).toBe(Math.min(today.length, keys.length));
      }
    });
  });

  it("law: keys that aren't weak come round in their order", () => {
    lawOfPlans((plan, { keys, weakKeys }) => {
      const others = (keys as readonly string[]).filter((key) => !weakKeys.includes(key));
      allDrills(plan)
        .filter((drill) => !drill.weak)
        .forEach((drill, i) => expect(drill.key).toBe(others[i % others.length]));
    });
  });

  it("law: a weak key starts on day one, returns after one day, then after gaps that double until they stop just short of a plain round", () => {
    lawOfPlans((plan, { keys, weakKeys }) => {
      const slots = drillsOf(plan.days[0] as PracticeDay).length;
      for (const weak of weakKeys) {
        const days = plan.days.filter((day) => drillsOf(day).some((drill) => drill.key === weak)).map((day) => day.day);
        expect(days[0]).toBe(1);
        const gaps = days.slice(1).map((day, i) => day - (days[i] as number));
        gaps.forEach((gap, i) => {
          const before = gaps[i - 1];
          const sooner = (wait: number): boolean => wait * slots < keys.length || wait === 1;
          expect(sooner(gap)).toBe(true);
          if (before === undefined) expect(gap).toBe(1);
          else expect(gap === 2 * before || (gap >= before && !sooner(gap + 1))).toBe(true);
        });
        const last = gaps.at(-1) ?? 1;
        expect(plan.days.length - (days.at(-1) as number)).toBeLessThan(Math.max(1, 2 * last));
      }
    });
  });

  it("law: a weak key comes at least as often as any other, and more often once the round has come twice", () => {
    lawOfPlans((plan, { keys, weakKeys }) => {
      const slots = drillsOf(plan.days[0] as PracticeDay).length;
      const others = (keys as readonly NoteName[]).filter((key) => !weakKeys.includes(key));
      const most = Math.max(0, ...others.map((key) => played(plan, key)));
      const twice = slots < keys.length && most >= 3;
      for (const weak of weakKeys as readonly NoteName[]) {
        expect(played(plan, weak)).toBeGreaterThanOrEqual(most);
        if (twice) expect(played(plan, weak)).toBeGreaterThan(Math.min(...others.map((key) => played(plan, key))));
      }
    });
  });

  it("law: visits and gaps are counted in practice days", () => {
    lawOfPlans((plan) => {
      const last = new Map<string, { day: number; visit: number }>();
      for (const day of plan.days) {
        const before = new Map(last);
        for (const drill of drillsOf(day)) {
          const earlier = before.get(drill.key);
          expect(drill.visit).toBe((earlier?.visit ?? 0) + 1);
          expect(drill.gap).toBe(earlier === undefined ? undefined : day.day - earlier.day);
          last.set(drill.key, { day: day.day, visit: drill.visit });
        }
      }
      for (const { key, visits } of plan.keys) expect(last.get(key)?.visit).toBe(visits);
    });
  });

  it("common practice, no source: all twelve by the cycle of fourths, fifths or semitones", () => {
    const order = (options: PlanRecipe): readonly number[] =>
      makePracticePlan(options).keys.map(({ key }) => pitchClassOf(key));
    expect(order({})).toEqual(TWELVE.map(pitchClassOf));
    expect(order({ order: "fifths" })).toEqual([0, 7, 2, 9, 4, 11, 6, 1, 8, 3, 10, 5]);
    expect(order({ order: "chromatic" })).toEqual([0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11]);
  });

  it("takes a weak key under its other name", () => {
    expect(
      makePracticePlan({ weakKeys: ["Gb"] })
        .keys.filter((key) => key.weak)
        .map(({ key }) => key),
    ).toEqual(["F#"]);
  });
});

describe("practice plan: drills and tempo", () => {
  it("law: in a key a drill starts at the start tempo, is faster by the step each day it returns, never above the target", () => {
    lawOfPlans((plan, { startTempo, tempoStep, targetTempo }) => {
      const days = new Map<string, Set<number>>();
      for (const day of plan.days) {
        for (const {
          recipe: { tempo, ...recipe },
          tempo: shown,
        } of drillsOf(day)) {
          const id = JSON.stringify(recipe);
          const past = days.get(id) ?? new Set<number>();
          days.set(id, past);
          const returns = past.has(day.day) ? past.size - 1 : past.size;
          expect(tempo).toBe(Math.min(targetTempo, startTempo + returns * tempoStep));
          expect(shown).toBe(tempo);
          past.add(day.day);
        }
      }
      for (const { key, highestTempo } of plan.keys) {
        expect(highestTempo).toBe(
          Math.max(
            ...allDrills(plan)
              .filter((drill) => drill.key === key)
              .map((drill) => drill.tempo),
          ),
        );
      }
    });
  });

  it("law: each key goes through the drills in their order, and where a level gives several each comes three times in each key", () => {
    lawOfPlans((plan) => {
      const named = (drill: PracticeDrill): string => JSON.stringify({ ...drill.recipe, key: "", tempo: 0 });
      const list = [...new Set(allDrills(plan).map(named))];
      for (const { key } of plan.keys) {
        const mine = allDrills(plan)
          .filter((drill) => drill.key === key)
          .map(named);
        mine.forEach((drill, i) => expect(drill).toBe(list[i % list.length]));
        if (list.length > 1)
          for (const drill of list) expect(mine.filter((other) => other === drill).length).toBeGreaterThanOrEqual(3);
      }
    });
  });

  it("rotates the drills that are given, whole", () => {
    const drills = [
      { right: "slides", left: "rootless" },
      { changes: "two-five-one", values: "triplets" },
    ] as const;
    const plan = makePracticePlan({ drills, keys: ["Eb"], weeks: 1, daysAWeek: 4, minutesADay: 8, tempoStep: 10 });
    expect(allDrills(plan).map((drill) => drill.recipe)).toEqual([
      { right: "slides", left: "rootless", key: "Eb", tempo: 60 },
      { changes: "two-five-one", values: "triplets", key: "Eb", tempo: 60 },
      { right: "slides", left: "rootless", key: "Eb", tempo: 70 },
      { changes: "two-five-one", values: "triplets", key: "Eb", tempo: 70 },
    ]);
  });

  it.each(
    levelCatalogue.flatMap(
      ({ id }) =>
        [
          [id, "major"],
          [id, "minor"],
        ] as const,
    ),
  )("every drill of level %i in %s can be made, each in four keys by turns", (level, mode) => {
    const plan = makePracticePlan({ level, mode, weeks: 20, daysAWeek: 7, minutesADay: 120 });
    const recipes = new Map(allDrills(plan).map(({ recipe }) => [JSON.stringify({ ...recipe, tempo: 0 }), recipe]));
    expect(recipes.size).toBeGreaterThanOrEqual(12);
    expect(recipes.size % 12).toBe(0);
    [...recipes.values()]
      .filter((_, i) => (i + Math.floor(i / 12)) % 3 === 0)
      .forEach((recipe) => expect(makeDrill(recipe).score.tempo).toBe(recipe.tempo));
  });
});

describe("practice plan: as a value", () => {
  it("law: the same options give the same plan, and a plan is JSON as it stands", () => {
    lawOfPlans((plan, options) => {
      expect(makePracticePlan(Object.freeze({ ...options }))).toEqual(plan);
      expect(JSON.parse(JSON.stringify(plan))).toEqual(plan);
    });
  });

  it("law: dates follow the weeks, and practice days are spread over each", () => {
    fc.assert(
      fc.property(fc.integer({ min: 1, max: 7 }), fc.integer({ min: 0, max: 40_000 }), (daysAWeek, since) => {
        const start = Date.UTC(1980, 0, 1) + since * 86_400_000;
        const plan = makePracticePlan({
          daysAWeek,
          weeks: 3,
          keys: ["C"],
          startDate: new Date(start).toISOString().slice(0, 10),
        });
        plan.days.forEach((day, i) => {
          expect(Date.parse(`${day.date}T00:00:00Z`)).toBe(start + day.offset * 86_400_000);
          expect(day.week).toBe(Math.floor(day.offset / 7) + 1);
          const next = plan.days[i + 1];
          if (next !== undefined)
            expect([Math.floor(7 / daysAWeek), Math.ceil(7 / daysAWeek)]).toContain(next.offset - day.offset);
        });
        expect(plan.days.length).toBe(3 * daysAWeek);
      }),
      { numRuns: 60 },
    );
  });

  it("states its figures, and cautions without a promise of safety", () => {
    const { assumptions, caution } = makePracticePlan({
      weakKeys: ["E"],
      minutesADay: 15,
      startTempo: 72,
      tempoStep: 3,
      targetTempo: 144,
      weeks: 1,
      keys: ["C", "F", "E"],
    });
    const text = assumptions.join("\n");
    for (const figure of [
      /1 week of 5 practice days/,
      /at most 15 minutes/,
      /starts at 72 beats a minute and is 3 faster.*up to 144/,
      /Weak keys \(E\)/,
      /break of 5/,
    ])
      expect(text).toMatch(figure);
    expect(caution).toMatch(/pain/);
    expect(caution).toMatch(/No span or tempo is safe for every hand/);
    expect(caution).toMatch(/teacher.*clinician/);
  });
});

describe("practice plan: refusals", () => {
  const wrong = (options: unknown): PracticePlan => makePracticePlan(options as PlanRecipe);
  it.each([
    [{ weeks: 0 }, "recipe/plan", "bad-input"],
    [{ minutesADay: 7.5 }, "recipe/plan", "bad-input"],
    [{ minutesADay: Number.NaN }, "recipe/plan", "bad-input"],
    [{ startTempo: 100, targetTempo: 90 }, "recipe/plan", "bad-input"],
    [{ order: "thirds" }, "recipe/plan", "bad-input"],
    [{ mode: "dorian" }, "recipe/plan", "bad-input"],
    [{ level: 6 }, "recipe/plan", "bad-input"],
    [{ drills: [] }, "recipe/plan", "bad-input"],
    [{ drills: [{ tempo: 200 }] }, "recipe/plan", "bad-input"],
    [{ drills: [{ right: "no-such" }] }, "recipe/plan", "bad-input"],
    [{ drills: [{ scale: "no such" }] }, "recipe/plan", "bad-input"],
    [{ keys: [] }, "recipe/plan", "bad-input"],
    [{ keys: "C" }, "recipe/plan", "bad-input"],
    [{ keys: ["F#", "Gb"] }, "recipe/plan", "bad-input"],
    [{ keys: ["H"] }, "recipe/plan", "bad-input"],
    [{ keys: ["C", "F"], weakKeys: ["G"] }, "plan/weak-keys", "bad-input"],
    [{ minutesADay: 8, weakKeys: ["C", "F"] }, "plan/weak-keys", "cannot-be-done"],
    [{ minutesADay: 7 }, "plan/day", "cannot-be-done"],
    [{ minutesADrill: 20, breakAfter: 20 }, "plan/day", "cannot-be-done"],
    [{ minutesADay: 8, weeks: 1 }, "plan/weeks", "cannot-be-done"],
    [{ startDate: "2026-02-29" }, "recipe/plan", "bad-input"],
    [{ startDate: "26-01-05" }, "recipe/plan", "bad-input"],
    [{ startDate: 20260105 }, "recipe/plan", "bad-input"],
  ])("%j: %s, %s", (options, code, reason) => {
    expect(() => wrong(options)).toThrowError(expect.objectContaining({ name: "MusicError", code, reason }));
  });
});
