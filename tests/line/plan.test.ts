import { describe, expect, it } from "vitest";
import type { Chance } from "../../src/ground/chance.ts";
import { chanceOf } from "../../src/ground/chance.ts";
import { gridOf } from "../../src/line/grid.ts";
import type { Grade } from "../../src/line/improvise/grades.ts";
import { GRADES } from "../../src/line/improvise/grades.ts";
import type { Plan, PlannedNote, PlannedPhrase } from "../../src/line/improvise/plan.ts";
import { planLine } from "../../src/line/improvise/plan.ts";
import type { LineValues } from "./library.ts";
import { parseMetre } from "./library.ts";

type Level = 1 | 2 | 3 | 4 | 5;
const LEVELS: readonly Level[] = [1, 2, 3, 4, 5];
interface Asked {
  readonly bars?: number;
  readonly m?: string;
  readonly level?: Level;
  readonly values?: LineValues;
  readonly chance?: (seed: number) => Chance;
}
const plans = (
  count: number,
  { bars = 12, m = "4/4", level = 3, values, chance = chanceOf }: Asked = {},
): readonly Plan[] =>
  Array.from({ length: count }, (_, seed) =>
    planLine(bars, gridOf(parseMetre(m)), GRADES[level - 1] as Grade, values, chance(seed), () => false),
  );
const notesOf = (plan: Plan, { first, last }: PlannedPhrase): readonly PlannedNote[] =>
  plan.notes.slice(first, last + 1);
const startOf = (plan: Plan, phrase: PlannedPhrase): number => (plan.notes[phrase.first] as PlannedNote).at;
const sorted = <T>(values: Iterable<T>): readonly T[] => [...new Set(values)].sort((a, b) => (a < b ? -1 : 1));
/** The steps that a phrase asks for into its second note, its third, and so on. */
const stepsOf = (plan: Plan, phrase: PlannedPhrase): readonly number[] =>
  notesOf(plan, phrase).flatMap(({ step }) => (step === undefined ? [] : [step]));
/** In 4/4 a phrase starts from a beat and a half before the bar line that its bars begin with to two beats after it. */
const opens = (plan: Plan): readonly number[] =>
  plan.phrases.map((phrase) => Math.floor((startOf(plan, phrase) + 18) / 48));

// What a beat inside a phrase holds: start and length of each note in twelfths of a quarter, "~" where a note from before sounds into it.
const beatsInside = (plan: Plan, pulse: number): readonly string[] =>
  plan.phrases.flatMap((phrase) => {
    const notes = notesOf(plan, phrase);
    const beatOf = ({ at }: PlannedNote): number => Math.floor(at / pulse);
    const [from, to] = [beatOf(notes[0] as PlannedNote), beatOf(notes.at(-2) as PlannedNote)];
    return Array.from({ length: Math.max(0, to - from - 1) }, (_, i) => from + 1 + i).map((beat) => {
      const inside = notes.filter((note) => beatOf(note) === beat);
      const tied = notes.some((note) => note.at < beat * pulse && note.at + note.duration > beat * pulse);
      return `${tied ? "~" : ""}${inside.map(({ at, duration }) => `${at - beat * pulse}:${duration}`).join(" ")}`;
    });
  });

const [EIGHTHS, QUARTER, SYNCOPATION, TIED, OFFBEAT] = ["0:6 6:6", "0:12", "0:6 6:12", "~6:6", "6:6"] as const;
const [TRIPLET, TRIPLET_REST, SIXTEENTHS, EIGHTH_AND_TWO] = [
  "0:4 4:4 8:4",
  "4:4 8:4",
  "0:3 3:3 6:3 9:3",
  "0:6 6:3 9:3",
] as const;

// Grades as documented: 1 eighths and quarters, 2 offbeats and syncopation, 3 triplets, 4 rests inside triplets, 5 sixteenths.
describe("the rhythm of each grade", () => {
  it.each<readonly [Level, readonly string[]]>([
    [1, [EIGHTHS, QUARTER]],
    [2, [EIGHTHS, QUARTER, SYNCOPATION, TIED, OFFBEAT]],
    [3, [EIGHTHS, TRIPLET, QUARTER, SYNCOPATION, TIED, OFFBEAT]],
    [4, [EIGHTHS, TRIPLET, QUARTER, SYNCOPATION, TIED, OFFBEAT, TRIPLET_REST]],
    [5, [EIGHTHS, TRIPLET, SIXTEENTHS, EIGHTH_AND_TWO, SYNCOPATION, TIED, OFFBEAT, TRIPLET_REST]],
  ])("grade %s in 4/4", (level, expected) => {
    expect(sorted(plans(60, { level }).flatMap((plan) => beatsInside(plan, 12)))).toEqual(sorted(expected));
  });

  it.each<readonly [Level, readonly string[]]>([
    [1, ["0:6 6:6 12:6", "0:12 12:6", "0:18"]],
    [2, ["0:6 6:6 12:6", "0:12 12:6", "0:18", "6:6 12:6"]],
    [3, ["0:6 6:6 12:6", "0:12 12:6", "0:6 6:12", "6:6 12:6"]],
    [4, ["0:6 6:6 12:6", "0:12 12:6", "0:6 6:12", "6:6 12:6"]],
    [5, ["0:6 6:6 12:6", "0:12 12:6", "0:6 6:12", "6:6 12:6"]],
  ])("grade %s in 12/8", (level, expected) => {
    expect(
      sorted(plans(40, { level, m: "12/8", values: "triplets" }).flatMap((plan) => beatsInside(plan, 18))),
    ).toEqual(sorted(expected));
  });

  it.each<readonly [Level, LineValues, readonly string[]]>([
    [5, "eighths", [EIGHTHS, SYNCOPATION, TIED, OFFBEAT]],
    [4, "eighths", [EIGHTHS, QUARTER, SYNCOPATION, TIED, OFFBEAT]],
    [5, "triplets", [TRIPLET, TRIPLET_REST]],
    [4, "triplets", [TRIPLET, TRIPLET_REST, QUARTER]],
    [1, "triplets", [TRIPLET, QUARTER]],
    [1, "eighths", [EIGHTHS, QUARTER]],
    [3, "mixed", [EIGHTHS, TRIPLET, QUARTER, SYNCOPATION, TIED, OFFBEAT]],
  ])("grade %s, %s only", (level, values, expected) => {
    expect(sorted(plans(60, { level, values }).flatMap((plan) => beatsInside(plan, 12)))).toEqual(sorted(expected));
  });

  // A beat of an eighth has no room for its quarters, which would be thirty-second notes; one of a sixteenth is not divided.
  it.each<readonly [Level, string, readonly string[]]>([
    [5, "5/8", ["0:3 3:3", "0:2 2:2 4:2", "0:3 3:6", "~3:3", "3:3", "2:2 4:2"]],
    [5, "7/16", ["0:3"]],
    [3, "7/16", ["0:3"]],
    [5, "9/16", ["0:3 3:3 6:3", "0:6 6:3", "0:3 3:6", "3:3 6:3"]],
  ])("grade %s in %s has no note shorter than a triplet sixteenth", (level, m, expected) => {
    const { pulse } = gridOf(parseMetre(m));
    expect(sorted(plans(60, { level, m, bars: 24 }).flatMap((plan) => beatsInside(plan, pulse)))).toEqual(
      sorted(expected),
    );
  });

  it("bends its lines further, ranges wider and leaps wider from grade to grade; chromatic notes from the third, grace notes from the second on", () => {
    for (const key of ["range", "widest", "bend"] as const) {
      const values = GRADES.map((grade) => grade[key]);
      expect(values).toEqual([...values].sort((a, b) => a - b));
    }
    expect(GRADES.map((grade) => grade.chromatic)).toEqual([false, false, true, true, true]);
    expect(GRADES.map((grade) => grade.graces > 0)).toEqual([false, true, true, true, true]);
  });
});

describe("phrases", () => {
  const every = (): readonly { readonly plan: Plan; readonly m: string; readonly bars: number }[] =>
    (["4/4", "3/4", "12/8", "6/8", "5/4", "2/2", "9/8", "3/2"] as const).flatMap((m) =>
      [12, 4].flatMap((bars) =>
        LEVELS.flatMap((level) => plans(6, { m, level, bars }).map((plan) => ({ plan, m, bars }))),
      ),
    );

  it("law: notes follow one another, phrases share them out, a beat at least is silent between phrases, and the last note lasts a beat inside the bars", () => {
    for (const { plan, m, bars } of every()) {
      const { bar, pulse } = gridOf(parseMetre(m));
      const { notes, phrases } = plan;
      expect(
        notes.filter(
          (note, i) => i > 0 && note.at < (notes[i - 1] as PlannedNote).at + (notes[i - 1] as PlannedNote).duration,
        ),
      ).toEqual([]);
      expect(phrases.map(({ first, last }) => [first, last])).toEqual(
        phrases.map((_, i) => [i === 0 ? 0 : (phrases[i - 1] as PlannedPhrase).last + 1, phrases[i]?.last]),
      );
      expect(phrases.at(-1)?.last).toBe(notes.length - 1);
      expect(notes.every((note) => note.duration > 0 && note.at >= 0)).toBe(true);
      phrases.forEach((phrase, i) => {
        expect(notesOf(plan, phrase).every((note) => note.phrase === i)).toBe(true);
        const next = phrases[i + 1];
        const end = notes[phrase.last] as PlannedNote;
        if (next !== undefined)
          expect(startOf(plan, next) - end.at - end.duration).toBeGreaterThanOrEqual(Math.max(12, pulse));
        // Its contour covers it, and is highest at its peak, first of all.
        expect(phrase.contour).toHaveLength(phrase.last - phrase.first + 1);
        expect(phrase.contour.every(Number.isInteger)).toBe(true);
        expect(phrase.peak - phrase.first).toBe(phrase.contour.indexOf(Math.max(...phrase.contour)));
      });
      const last = notes.at(-1) as PlannedNote;
      expect(last.duration).toBeGreaterThanOrEqual(pulse);
      expect(last.at + last.duration).toBeLessThanOrEqual(bars * bar);
    }
  });

  // Weimar Jazz Database v1.2 (Pfleiderer, M. et al. (eds.) 2017, Inside the Jazzomat): the middle half of phrases, cut at rests of a beat.
  it("Weimar Jazz Database: all but one in a hundred have 7 to 25 notes and last 3.9 to 13.5 quarter notes", () => {
    const found = LEVELS.flatMap((level) => plans(30, { level })).flatMap((plan) =>
      plan.phrases.map((phrase) => {
        const notes = notesOf(plan, phrase);
        const end = notes.at(-1) as PlannedNote;
        return { notes: notes.length, length: (end.at + end.duration - (notes[0] as PlannedNote).at) / 12 };
      }),
    );
    expect(found.filter(({ notes }) => notes < 7 || notes > 25).length / found.length).toBeLessThan(0.01);
    expect(found.filter(({ length }) => length < 3.9 || length > 13.5).length / found.length).toBeLessThan(0.01);
    expect(Math.max(...found.map(({ notes }) => notes).filter((notes) => notes < 26))).toBe(25);
    // Neither as short nor as long as can be.
    expect(new Set(found.map(({ length }) => Math.round(length))).size).toBeGreaterThan(6);
  });

  it("law: in metres of half notes, of three beats and of dotted beats, too, all but one in a hundred have four notes or more", () => {
    for (const m of ["3/4", "2/2", "4/2", "2/4", "6/8", "9/8", "12/8"] as const) {
      const counts = LEVELS.flatMap((level) => plans(40, { level, m })).flatMap(({ phrases }) =>
        phrases.map(({ first, last }) => last - first + 1),
      );
      expect(counts.filter((count) => count < 4).length / counts.length).toBeLessThan(0.01);
    }
  });

  it("seldom run across every fourth bar line", () => {
    const second = plans(250, { level: 1 })
      .map(opens)
      .filter(([, bar]) => bar === 2)
      .map(([, from, to = 12]) => to - (from as number));
    expect(second.length).toBeGreaterThan(50);
    expect(second.filter((size) => size === 4).length / second.length).toBeLessThan(0.15);
    // In 5/4 no phrase of the first can end there: one, two and three bars come about as often.
    const first = plans(150, { m: "5/4", level: 1 }).map((plan) =>
      Math.floor((startOf(plan, plan.phrases[1] as PlannedPhrase) + 18) / 60),
    );
    for (const bars of [1, 2, 3])
      expect(Math.abs(first.filter((size) => size === bars).length / first.length - 1 / 3)).toBeLessThan(0.15);
  });

  it("take a bar each where a bar has more than four measures of 4/4", () => {
    for (const plan of plans(10, { m: "20/4", bars: 3 }))
      expect(plan.phrases.map((phrase) => Math.floor((startOf(plan, phrase) + 18) / 240))).toEqual([0, 1, 2]);
  });

  it("take two to four bars of 4/4, five of 3/4, one or two of 12/8; more often than not up to every fourth bar line", () => {
    const sizes = (bars: number): readonly number[] =>
      sorted(
        plans(60, { bars, level: 1 }).flatMap((plan) => {
          const from = [...opens(plan), bars];
          return from.slice(1).map((bar, i) => bar - (from[i] as number));
        }),
      );
    expect(sizes(12)).toEqual([2, 3, 4]);
    expect(sizes(5)).toEqual([2, 3]);
    expect(sizes(3)).toEqual([3]);
    expect(sizes(2)).toEqual([2]);
    expect(plans(40, { bars: 4 }).every((plan) => plan.phrases.length <= 2)).toBe(true);
    const first = plans(150, { level: 1 }).map((plan) => opens(plan)[1] as number);
    const [two, three, four] = [2, 3, 4].map((size) => first.filter((bar) => bar === size).length) as [
      number,
      number,
      number,
    ];
    expect(four).toBeGreaterThan(two);
    expect(two).toBeGreaterThan(2 * three);
    const squares = plans(100, { level: 1 }).filter((plan) => [4, 8].every((bar) => opens(plan).includes(bar))).length;
    expect(squares).toBeGreaterThan(50);
    expect(squares).toBeLessThan(100);
    expect(sorted(plans(60, { m: "12/8", bars: 4 }).map((plan) => plan.phrases.length))).toEqual([2, 3, 4]);
    expect(sorted(plans(80, { m: "3/4", bars: 5 }).map((plan) => plan.phrases.length))).toEqual([1, 2]);
    expect(sorted(plans(80, { m: "2/4", bars: 8 }).map((plan) => plan.phrases.length))).toEqual([1, 2]);
  });

  it("start from a beat and a half before their bar line to two beats after it, the first of them not before it; in compound metres on beats", () => {
    // Grade 1, whose rhythms have no rests: elsewhere a phrase may begin with one.
    const many = plans(150, { level: 1 });
    expect(
      sorted(many.map((plan) => startOf(plan, plan.phrases[0] as PlannedPhrase)))
        .map((at) => at / 12)
        .sort((a, b) => a - b),
    ).toEqual([0, 0.5, 1, 1.5, 2]);
    const later = many.flatMap((plan) =>
      plan.phrases.slice(1).map((phrase, i) => startOf(plan, phrase) / 12 - 4 * (opens(plan)[i + 1] as number)),
    );
    expect(sorted(later).toSorted((a, b) => a - b)).toEqual([-1.5, -1, -0.5, 0, 0.5, 1, 1.5, 2]);
    const compound = plans(150, { m: "12/8", level: 1 }).flatMap((plan) =>
      plan.phrases.map((phrase) => startOf(plan, phrase)),
    );
    expect(sorted(compound.map((at) => at % 18))).toEqual([0]);
    expect(
      plans(60, { m: "12/8", level: 1 }).some((plan) =>
        plan.phrases.some((phrase) => startOf(plan, phrase) % 72 === 54),
      ),
    ).toBe(true);
  });

  it("do not all start on a bar line", () => {
    for (const plan of plans(150, { level: 1 }))
      if (plan.phrases.length > 1) expect(plan.phrases.some((phrase) => startOf(plan, phrase) % 48 !== 0)).toBe(true);
  });

  it("start on a bar line or off it, the last of several off it only where all before start on one", () => {
    const forms = (bars: number): readonly string[] =>
      sorted(
        plans(150, { bars, level: 1 }).map((plan) =>
          plan.phrases.map((phrase) => (startOf(plan, phrase) % 48 === 0 ? "1" : "-")).join(""),
        ),
      );
    expect(forms(2)).toEqual(["-", "1"]);
    expect(forms(4)).toEqual(["-", "--", "-1", "1", "1-"]);
    expect(forms(12)).toEqual(expect.arrayContaining(["11-", "-11", "1-1"]) as string[]);
  });

  it("wait as long as their bars allow: a beat in two bars of 3/4, not at all in one of 5/4", () => {
    const waits = (m: string, bars: number): readonly number[] =>
      sorted(plans(60, { m, bars, level: 1 }).map((plan) => startOf(plan, plan.phrases[0] as PlannedPhrase))).toSorted(
        (a, b) => a - b,
      );
    expect(waits("3/4", 2)).toEqual([0, 6, 12]);
    expect(waits("5/4", 1)).toEqual([0]);
    expect(waits("4/4", 2)).toEqual([0, 6, 12, 18, 24]);
  });

  it("start at once where a bar leaves no room to wait, and fill it", () => {
    for (const m of ["4/4", "2/2"] as const) {
      const ends = plans(40, { m, bars: 1, level: 1 }).map((plan) => {
        expect(plan.phrases).toHaveLength(1);
        expect(startOf(plan, plan.phrases[0] as PlannedPhrase)).toBe(0);
        const end = plan.notes.at(-1) as PlannedNote;
        expect(end.duration).toBeGreaterThanOrEqual(gridOf(parseMetre(m)).pulse);
        return end.at + end.duration;
      });
      expect(Math.max(...ends)).toBe(48);
    }
  });

  it("end on a beat, or half a beat before one; in compound metres on a beat", () => {
    const endings = (m: string): readonly PlannedNote[] =>
      plans(80, { m }).flatMap((plan) => plan.phrases.map((phrase) => plan.notes[phrase.last] as PlannedNote));
    const simple = endings("4/4");
    expect(sorted(simple.map(({ at }) => at % 12))).toEqual([0, 6]);
    const early = simple.filter(({ at }) => at % 12 === 6);
    expect(early.length / simple.length).toBeGreaterThan(0.2);
    expect(early.length / simple.length).toBeLessThan(0.5);
    expect(sorted(early.map(({ duration }) => duration))).toEqual(expect.arrayContaining([6, 18]) as number[]);
    expect(sorted(simple.filter(({ at }) => at % 12 === 0).map(({ duration }) => duration))).toEqual(
      expect.arrayContaining([12, 18, 24]) as number[],
    );
    expect(Math.max(...simple.map(({ duration }) => duration))).toBe(24);
    expect(sorted(endings("12/8").map(({ at }) => at % 18))).toEqual([0]);
    // Two notes of a half-beat lead there where the end comes early.
    for (const plan of plans(40)) {
      for (const { last } of plan.phrases) {
        const [before, end] = [plan.notes[last - 1], plan.notes[last]] as [PlannedNote, PlannedNote];
        if (end.at % 12 === 6) expect([before.at, before.duration]).toEqual([end.at - 6, 6]);
      }
    }
  });
});

describe("motifs", () => {
  it("are stated, then returned, answered upside down or varied in the last step", () => {
    const roles = new Map<string, number>();
    for (const plan of plans(150)) {
      plan.phrases.forEach((phrase, i) => {
        const statement = plan.phrases.find(({ motif }) => motif === phrase.motif) as PlannedPhrase;
        expect(phrase.role === "statement").toBe(statement === phrase);
        roles.set(phrase.role, (roles.get(phrase.role) ?? 0) + 1);
        expect(phrase.motif).toBeLessThan(Math.max(1, Math.min(2, i + 1)));
        if (phrase.role === "statement") return;
        const [told, said] = [stepsOf(plan, statement), stepsOf(plan, phrase)];
        const count = Math.min(told.length, said.length);
        const expected = told.slice(0, count).map((step) => (phrase.role === "answer" ? 0 - step : step));
        expect(said).toHaveLength(Math.min(told.length, phrase.last - phrase.first));
        const same = phrase.role === "variation" ? said.length - 1 : count;
        expect(said.slice(0, same)).toEqual(expected.slice(0, same));
      });
      expect(plan.phrases[0]).toMatchObject({ motif: 0, role: "statement" });
      // The last of several takes up what was heard, where nothing has been taken up before.
      if (plan.phrases.length > 1) expect(plan.phrases.some(({ role }) => role !== "statement")).toBe(true);
    }
    for (const plan of plans(60, { bars: 4 }))
      if (plan.phrases.length > 1) expect(plan.phrases.some(({ role }) => role !== "statement")).toBe(true);
    const seconds = plans(150).map(({ phrases }) => (phrases[1] as PlannedPhrase).motif);
    expect(seconds.filter((motif) => motif === 0).length / seconds.length).toBeGreaterThan(0.5);
    expect(sorted(seconds)).toEqual([0, 1]);
    expect(sorted(roles.keys())).toEqual(["answer", "return", "statement", "variation"]);
    const changed = plans(150).flatMap((plan) =>
      plan.phrases
        .filter(({ role }) => role === "variation")
        .map((phrase) => {
          const statement = plan.phrases.find(({ motif }) => motif === phrase.motif) as PlannedPhrase;
          return stepsOf(plan, phrase).at(-1) !== stepsOf(plan, statement).at(-1);
        }),
    );
    expect(changed.some((different) => different)).toBe(true);
  });

  it("ask for two to five notes by steps, thirds and fourths, never to and fro", () => {
    const statements = plans(150).flatMap((plan) =>
      plan.phrases.filter(({ role }) => role === "statement").map((phrase) => stepsOf(plan, phrase)),
    );
    expect(sorted(statements.flat()).toSorted((a, b) => a - b)).toEqual([-3, -2, -1, 0, 1, 2, 3]);
    expect(sorted(statements.map((steps) => steps.length))).toEqual([1, 2, 3, 4]);
    for (const steps of statements) {
      // The second step may go back where the first came from; from there on none does.
      expect(steps.filter((step, i) => i > 1 && step + (steps[i - 1] as number) === 0)).toEqual([]);
    }
    expect(statements.some(([one, two]) => one !== undefined && one !== 0 && two === -one)).toBe(true);
  });

  it("cover the notes of their first two beats, or three where one is tied over: five eighths where they start between beats, four on one", () => {
    let told = 0;
    for (const level of LEVELS) {
      for (const plan of plans(60, { level })) {
        for (const phrase of plan.phrases) {
          const notes = notesOf(plan, phrase);
          const start = (notes[0] as PlannedNote).at;
          // With rests among the rhythms, a start between beats may be a rest and a note.
          if (phrase.role !== "statement" || notes.length < 12 || (level > 1 && start % 12 !== 0)) continue;
          told += 1;
          const two = Math.ceil(start / 12) * 12 + 24;
          const until = notes.some(({ at, duration }) => at < two && at + duration > two) ? two + 12 : two;
          expect(stepsOf(plan, phrase).length).toBe(
            Math.min(5, Math.max(2, notes.filter(({ at }) => at < until).length)) - 1,
          );
        }
      }
    }
    expect(told).toBeGreaterThan(100);
  });

  it("law: among three phrases or more, some two begin with the same four-note rhythm", () => {
    // What the first draw of each of these brings is not taken up: three phrases in 12/8, four or more in 4/4.
    const rare = (
      [
        ["12/8", 3, 1, [41, 42, 118, 161]],
        ["4/4", 12, 3, [155, 171]],
        ["4/4", 8, 1, [187]],
        ["9/8", 6, 1, [54, 78]],
      ] as const
    ).flatMap(([m, bars, level, seeds]) =>
      seeds.map((seed) =>
        planLine(bars, gridOf(parseMetre(m)), GRADES[level - 1] as Grade, undefined, chanceOf(seed), () => false),
      ),
    );
    for (const plan of [...plans(100), ...rare]) {
      const openings = plan.phrases.map(({ first }) =>
        plan.notes
          .slice(first + 1, first + 4)
          .map((note, i) => note.at - (plan.notes[first + i] as PlannedNote).at)
          .join(),
      );
      if (openings.length > 2) expect(new Set(openings).size).toBeLessThan(openings.length);
    }
  });

  it("come back in the same place of the beat, mostly", () => {
    const returns = plans(150).flatMap((plan) =>
      plan.phrases
        .filter(({ role }) => role !== "statement")
        .map((phrase) => {
          const statement = plan.phrases.find(({ motif }) => motif === phrase.motif) as PlannedPhrase;
          return startOf(plan, statement) % 12 === startOf(plan, phrase) % 12;
        }),
    );
    expect(returns.filter((same) => same).length / returns.length).toBeGreaterThan(0.75);
  });
});

describe("contours", () => {
  /** A chance like the seed's that always draws one contour. */
  const always =
    (contour: string) =>
    (seed: number): Chance => {
      const chance = chanceOf(seed);
      return {
        ...chance,
        pick: (choices) => (choices.find(([value]) => (value as unknown) === contour) ?? [chance.pick(choices)])[0],
      };
    };
  const drawn = (contour: string, level: Level = 3): readonly (readonly number[])[] =>
    plans(20, { level, chance: always(contour) }).flatMap((plan) => plan.phrases.map((phrase) => phrase.contour));
  const isRising = (heights: readonly number[]): boolean =>
    heights.every((height, i) => i === 0 || height >= (heights[i - 1] as number));
  const isFalling = (heights: readonly number[]): boolean => isRising(heights.toReversed());

  it("rise, fall, arch to a peak before the middle, or bowl to a bottom after it", () => {
    expect(drawn("rise").every(isRising)).toBe(true);
    expect(drawn("fall").every(isFalling)).toBe(true);
    for (const heights of drawn("arch")) {
      const top = 0.45 * (heights.length - 1);
      expect(isRising(heights.slice(0, Math.floor(top) + 1)) && isFalling(heights.slice(Math.ceil(top)))).toBe(true);
      expect(heights.at(-1)).toBeLessThan(heights[0] as number);
      expect(Math.max(...heights)).toBeGreaterThan((heights[0] as number) + 3);
    }
    for (const heights of drawn("bowl")) {
      const bottom = 0.55 * (heights.length - 1);
      expect(isFalling(heights.slice(0, Math.floor(bottom) + 1)) && isRising(heights.slice(Math.ceil(bottom)))).toBe(
        true,
      );
      expect(heights.at(-1)).toBeLessThan(heights[0] as number);
      expect(Math.min(...heights)).toBeLessThan((heights.at(-1) as number) - 3);
    }
  });

  it("bend by the grade's measure, less two or more one, around a middle up to three semitones off", () => {
    for (const level of LEVELS) {
      const { bend } = GRADES[level - 1] as Grade;
      const ends = [...drawn("rise", level), ...drawn("fall", level).map((heights) => heights.toReversed())].map(
        (heights) => [heights[0], heights.at(-1)] as [number, number],
      );
      const spans = ends.map(([low, high]) => (high - low) / 2);
      const middles = ends.map(([low, high]) => (high + low) / 2);
      expect(sorted(spans).toSorted((a, b) => a - b)).toEqual([bend - 2, bend - 1, bend, bend + 1]);
      expect([Math.min(...middles), Math.max(...middles)]).toEqual([-3, 3]);
    }
  });

  it("are arches more often than any other", () => {
    const shapes = plans(60).flatMap((plan) =>
      plan.phrases.map(({ contour }) => {
        const top = contour.indexOf(Math.max(...contour));
        return top > 0 && top < contour.length - 3
          ? "arch"
          : isFalling(contour)
            ? "fall"
            : isRising(contour)
              ? "rise"
              : "bowl";
      }),
    );
    const count = (shape: string): number => shapes.filter((s) => s === shape).length;
    expect(count("arch")).toBeGreaterThan(count("fall"));
    expect(count("fall")).toBeGreaterThan(count("rise"));
    expect(count("bowl")).toBeGreaterThan(0);
  });
});
