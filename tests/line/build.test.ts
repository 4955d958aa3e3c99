import { describe, expect, it } from "vitest";
import type { Chance } from "../../src/ground/chance.ts";
import { gridOf } from "../../src/line/grid.ts";
import { chordSlots } from "../../src/line/harmony.ts";
import type { HardRule } from "../../src/line/improvise/build.ts";
import { buildProblem } from "../../src/line/improvise/build.ts";
import type { Grade } from "../../src/line/improvise/grades.ts";
import { GRADES } from "../../src/line/improvise/grades.ts";
import type { Problem } from "../../src/line/improvise/problem.ts";
import { BLUE, CHROMATIC, INTERVALS, NO_STEP, SILENT, WIDEST } from "../../src/line/improvise/problem.ts";
import { settingsOf } from "../../src/line/improvise/setting.ts";
import type { BeatsLike, MetreName, NoteEvent } from "./library.ts";
import { beats, metre, parseProgression, parseScale, pitch } from "./library.ts";

const LOW = pitch("C4").semitones;
const MIDDLE = (pitch("C4").semitones + pitch("C6").semitones) / 2;
const heightOf = (name: string): number => pitch(name as "C4").semitones;
const noChance: Chance = {
  below: () => 0,
  pick: (choices) => (choices[0] as (typeof choices)[number])[0],
  gumbel: () => 0,
  between: (from) => from,
  share: () => 0,
  normal: () => 0,
};

interface Asked {
  readonly chords?: string;
  readonly scale?: string;
  readonly level?: 1 | 2 | 3 | 4 | 5;
  readonly m?: MetreName;
  /** Start and length of each note, in twelfths of a quarter; "|" starts another phrase, "step:" before them asks for letter steps. */
  readonly notes?: string;
  /** What the contour aims at, at every note. */
  readonly aim?: string;
  /** How far above the aim the peak is. */
  readonly above?: number;
  /** Which note of its phrase is the peak. */
  readonly peak?: number;
  readonly voicings?: readonly NoteEvent[];
  readonly without?: readonly HardRule[];
  readonly gumbel?: number;
}

const EIGHTHS = "0 6, 6 6, 12 6, 18 6, 24 6, 30 6, 36 12";

/** The problem of a plan written out by hand, from C4 to C6. Unless told otherwise the peak lies above them all, so that it favours none. */
const problemOf = ({
  chords = "C | %",
  scale = "C major",
  level = 3,
  m = "4/4",
  notes = EIGHTHS,
  aim = "F#4",
  above = 30,
  peak = 1,
  voicings = [],
  without = [],
  gumbel = 0,
}: Asked): Problem => {
  const s = parseScale(scale);
  const groups = notes.split("|").map((group) =>
    group.split(",").map((word) => {
      const [, step, at, duration] = /^\s*(?:(-?\d+):)?(\d+) (\d+)\s*$/.exec(word) as unknown as [
        string,
        string | undefined,
        string,
        string,
      ];
      return { at: Number(at), duration: Number(duration), ...(step === undefined ? {} : { step: Number(step) }) };
    }),
  );
  let first = 0;
  const phrases = groups.map((group) => {
    const from = first;
    first += group.length;
    const contour = group.map((_, i) => heightOf(aim) - MIDDLE + (i === peak ? above : 0));
    return { motif: 0, role: "statement" as const, first: from, last: first - 1, peak: from + peak, contour };
  });
  return buildProblem(
    { notes: groups.flatMap((group, phrase) => group.map((note) => ({ ...note, phrase }))), phrases },
    {
      settings: settingsOf(chordSlots(parseProgression(chords).chords), s),
      scale: s,
      grid: gridOf(metre(m)),
      grade: GRADES[level - 1] as Grade,
      low: LOW,
      high: pitch("C6").semitones,
      voicings,
    },
    { ...noChance, gumbel: () => gumbel },
    new Set(without),
  );
};
/** What a pitch is worth at a note where the contour aims at just that pitch. */
const worth = (note: number, name: string, asked: Asked = {}): number => {
  const problem = problemOf({ aim: name, ...asked });
  return problem.unary[note * problem.width + heightOf(name) - LOW] as number;
};
const kindOf = (note: number, name: string, asked: Asked = {}): number => {
  const problem = problemOf(asked);
  return problem.classes[note * problem.width + heightOf(name) - LOW] as number;
};
const held = (at: BeatsLike, duration: BeatsLike, ...names: readonly string[]): NoteEvent => ({
  at: beats(at),
  duration: beats(duration),
  pitches: names.map((name) => pitch(name as "C4")),
});

// Weimar Jazz Database v1.2, 299 solos (Pfleiderer, M. et al. (eds.) 2017, Inside the Jazzomat); verified: computed from the open dataset's note lists.
const SHARES = [
  0.0019, 0.0009, 0.002, 0.0042, 0.0052, 0.0114, 0.0079, 0.034, 0.0512, 0.0893, 0.1521, 0.1306, 0.0522, 0.1245, 0.1269,
  0.0828, 0.0395, 0.0335, 0.0087, 0.0142, 0.0063, 0.0056, 0.0035, 0.0021, 0.0028,
] as const;

describe("the taste for intervals", () => {
  const tasteOf = (note: number, asked: Asked): readonly number[] => [
    ...problemOf(asked).taste.slice(note * INTERVALS, (note + 1) * INTERVALS),
  ];

  it("Weimar Jazz Database: a thousand times the logarithm of each interval's share, an octave down to an octave up", () => {
    expect(tasteOf(2, { level: 5, notes: "0 12, 12 12, 24 12, 36 12" })).toEqual(
      SHARES.map((share) => Math.round(1000 * Math.log(share))),
    );
  });

  it("chance adds to each; what is wider than the grade leaps is as good as forbidden", () => {
    const plain = tasteOf(2, { level: 5 });
    expect(tasteOf(2, { level: 5, gumbel: 77 })).toEqual(plain.map((points) => points + 77));
    for (const level of [1, 2] as const) {
      const { widest } = GRADES[level - 1] as Grade;
      tasteOf(2, { level }).forEach((points, i) => {
        const loss = (plain[i] as number) - points;
        if (Math.abs(i - WIDEST) > widest) expect(loss).toBeGreaterThan(10000);
        else expect(loss).toBe(0);
      });
    }
  });

  it("a note struck again after a short one costs, more so where it is quick; not after a long one, a rest, or where the motif asks for it", () => {
    const again = (notes: string): number => tasteOf(2, { notes })[WIDEST] as number;
    const free = again("0 12, 12 12, 24 12, 36 12");
    expect(again("0 6, 6 6, 12 6, 18 6")).toBeLessThan(free);
    expect(again("0 6, 6 6, 12 3, 15 3, 18 6")).toBeLessThan(again("0 6, 6 6, 12 6, 18 6"));
    expect(again("0 6, 6 3, 12 6, 18 6")).toBe(free);
    expect(again("0 6, 6 6, 0:12 6, 18 6")).toBe(free);
    expect(again("0 6, 6 6, 1:12 6, 18 6")).toBeLessThan(free);
    const down = (notes: string): number => tasteOf(2, { notes })[WIDEST - 1] as number;
    expect(down("0 6, 6 6, 12 6, 18 6")).toBe(down("0 12, 12 12, 24 12, 36 12"));
  });
});

describe("what a note is worth", () => {
  it("on a strong beat a chord tone above all, then a tension, then anything else", () => {
    for (const note of [4]) {
      const [chord, tension, avoid] = ["E4", "D4", "F4"].map((name) => worth(note, name)) as [number, number, number];
      expect(chord).toBeGreaterThan(tension);
      expect(tension).toBeGreaterThan(avoid);
      const [beat, between] = [2, 3].map((other) => ["E4", "D4", "F4"].map((name) => worth(other, name))) as [
        number[],
        number[],
      ];
      expect(beat[0]).toBeGreaterThan(beat[1] as number);
      expect(beat[1]).toBeGreaterThan(beat[2] as number);
      expect(tension - avoid).toBeGreaterThan((beat[1] as number) - (beat[2] as number));
      expect(between).toEqual([between[0], between[0], between[0]]);
      expect(chord).toBeGreaterThan(beat[0] as number);
      expect(beat[0]).toBeGreaterThan(between[0] as number);
      expect(tension).toBeGreaterThan(between[0] as number);
      expect(beat[1]).toBe(between[0]);
    }
  });

  it.each<readonly [MetreName, number, boolean]>([
    ["4/4", 24, true],
    ["4/4", 12, false],
    ["4/4", 48, true],
    ["2/4", 12, false],
    ["2/4", 24, true],
    ["3/4", 12, false],
    ["3/4", 18, false],
    ["3/4", 24, false],
    ["3/4", 36, true],
    ["6/8", 18, false],
    ["6/8", 36, true],
    ["12/8", 36, true],
    ["12/8", 18, false],
    ["5/4", 24, false],
    ["5/4", 60, true],
  ])("in %s the beat at %s is a strong one: %s", (m, at, strong) => {
    const notes = `${at - 6} 6, ${at} 6, ${at + 6} 6, ${at + 12} 12`;
    const loss =
      worth(1, "D4", { m, notes, peak: 0, chords: "C | % | % | %" }) -
      worth(1, "F4", { m, notes, peak: 0, chords: "C | % | % | %" });
    expect(loss > 2000).toBe(strong);
  });

  it("a held note a semitone above a chord tone, a chromatic and a blue note cost", () => {
    const notes = "0 6, 6 12, 18 6, 24 12";
    expect(worth(1, "F4", { notes, peak: 0 })).toBeLessThan(worth(1, "D4", { notes, peak: 0 }));
    expect(worth(1, "F4", { peak: 0 })).toBe(worth(1, "D4", { peak: 0 }));
    expect(worth(1, "F#4", { peak: 0 })).toBeLessThan(worth(1, "D4", { peak: 0 }));
    const blues = { chords: "C7 | %", scale: "C major blues", peak: 0 } as const;
    expect(worth(1, "Eb4", blues)).toBeLessThan(worth(1, "D4", blues));
    expect(worth(1, "Eb4", blues)).toBeGreaterThan(worth(1, "F#4", { ...blues }));
  });

  it("guide tones where a chord enters", () => {
    const entering = { chords: "F | C", notes: "36 6, 42 6, 48 6, 54 6, 60 6, 66 6, 72 12", peak: 0 } as const;
    expect(worth(2, "E4", entering)).toBeGreaterThan(worth(2, "C4", entering));
    expect(worth(2, "E4", { ...entering, chords: "C | %" })).toBeGreaterThan(
      worth(2, "C4", { ...entering, chords: "C | %" }),
    );
    expect(worth(6, "E4", { ...entering, notes: `${entering.notes}, 84 12` })).toBe(
      worth(6, "C4", { ...entering, notes: `${entering.notes}, 84 12` }),
    );
  });

  it("root, third and fifth at the end of a phrase, before its seventh, before a tension; the key note at the end of the line", () => {
    const two = { chords: "C7 | %", notes: "0 6, 6 6, 12 6, 24 12 | 48 6, 54 6, 60 6, 72 12", peak: 0 } as const;
    const ends = (note: number): readonly number[] =>
      ["C4", "E4", "G4", "Bb4", "D4"].map((name) => worth(note, name, two));
    const [c, e, g, b, d] = ends(3) as [number, number, number, number, number];
    expect([c, e]).toEqual([g, g]);
    expect(g).toBeGreaterThan(b);
    expect(b).toBeGreaterThan(d);
    const [home, third, fifth] = ends(7) as [number, number, number];
    expect(third).toBe(fifth);
    expect(home).toBeGreaterThan(third);
    const inside = { ...two, notes: "0 6, 6 6, 12 6, 24 12, 36 12" } as const;
    expect(worth(3, "C4", inside)).toBe(worth(3, "Bb4", inside));
    expect(worth(3, "D4", inside)).toBe(d);
    // Over a chord without it the key note is no home.
    const away = { ...two, chords: "C7 | G7" } as const;
    expect(worth(7, "C5", away)).toBeLessThan(worth(7, "D5", away));
    expect(worth(7, "C5", away)).toBe(
      worth(7, "C5", { ...away, chords: "C7 | G7 | %", notes: `${away.notes} | 96 6, 102 6, 108 12` }),
    );
    expect(b - d).toBeLessThan(g - d);
  });

  it("the peak's height at the peak, and nowhere else", () => {
    const at = (note: number, name: string): number => worth(note, name, { peak: 3, above: 0, aim: "E4" });
    expect(at(3, "E4")).toBeGreaterThan(at(1, "E4"));
    expect(at(3, "F4")).toBeGreaterThan(at(1, "F4"));
    expect(at(3, "D4")).toBeGreaterThan(at(1, "D4") - 5000);
    expect(at(3, "E4") - at(3, "D4")).toBeGreaterThan(1000);
    expect(at(1, "D4") - at(1, "E4")).toBeGreaterThan(1000);
    expect(at(3, "D4")).toBe(at(1, "D4"));
  });

  it("the square of its distance from the contour", () => {
    const off = (name: string): number => worth(1, "A4", { peak: 0, aim: name });
    const [none, two, four] = ["A4", "G4", "F4"].map(off) as [number, number, number];
    expect(none).toBeGreaterThan(two);
    expect(none - four).toBe(4 * (none - two));
    expect(off("B4")).toBe(two);
  });

  it("less at or under the highest note of the voicing that sounds", () => {
    const under = (name: string, voicings: readonly NoteEvent[]): number =>
      worth(3, name, { voicings }) - worth(3, name);
    expect(under("E4", [held(0, 4, "G3", "E4")])).toBeLessThan(0);
    expect(under("D4", [held(0, 4, "E4", "G3")])).toBeLessThan(0);
    expect(under("F4", [held(0, 4, "G3", "E4")])).toBe(0);
    expect(under("D4", [held(2, 2, "E4")])).toBe(0);
    expect(under("D4", [held(0, 1, "E4")])).toBe(0);
    expect(under("D4", [held(1, 2, "E4")])).toBeLessThan(0);
    expect(under("F4", [held(0, 4, "G4"), held(0, 4, "C4")])).toBeLessThan(0);
    expect(worth(2, "D4", { voicings: [held(0, 1, "E4")] })).toBe(worth(2, "D4"));
    expect(worth(2, "D4", { voicings: [held(1, 1, "E4")] })).toBeLessThan(worth(2, "D4"));
    // Struck while the note is held, the hands meet as well; struck when it ends, they do not.
    const twoBeats = "0 24, 24 24";
    expect(worth(0, "D4", { notes: twoBeats, voicings: [held(1, 1, "E4")] })).toBeLessThan(
      worth(0, "D4", { notes: twoBeats }),
    );
    expect(worth(0, "D4", { notes: twoBeats, voicings: [held(2, 1, "E4")] })).toBe(worth(0, "D4", { notes: twoBeats }));
  });
});

describe("what must not sound", () => {
  it("a chromatic note, unless the grade has them and it leads from a note into another on a beat", () => {
    const inside = "0 6, 6 6, 12 6, 18 6, 24 12";
    expect(kindOf(1, "F#4", { notes: inside })).toBe(CHROMATIC);
    expect(kindOf(1, "F#4", { notes: inside, level: 2 })).toBe(SILENT);
    expect(kindOf(0, "F#4", { notes: inside })).toBe(SILENT);
    expect(kindOf(2, "F#4", { notes: inside })).toBe(SILENT);
    expect(kindOf(4, "F#4", { notes: inside })).toBe(SILENT);
    for (const notes of [
      "0 3, 6 6, 12 6, 18 6, 24 12",
      "0 6, 6 3, 12 6, 18 6, 24 12",
      "0 6, 6 3, 9 3, 12 6, 24 12",
      "0 6, 6 18, 24 12, 36 12",
      "0 6, 6 12, 18 6, 24 12",
    ]) {
      expect([notes, kindOf(1, "F#4", { notes })]).toEqual([notes, SILENT]);
    }
    expect(kindOf(2, "F#4", { notes: "0 4, 4 4, 8 4, 12 12" })).toBe(CHROMATIC);
    expect(kindOf(1, "F#4", { notes: "0 4, 4 4, 8 4, 12 12" })).toBe(SILENT);
    expect(kindOf(0, "F#4", { notes: "6 6, 12 6, 18 6, 24 12" })).toBe(SILENT);
    expect(kindOf(3, "F#4", { notes: "0 6, 6 6, 12 6, 18 6 | 24 6, 30 6, 36 12" })).toBe(SILENT);
    expect(kindOf(4, "F#4", { notes: "0 6, 6 6, 12 6, 18 12 | 30 6, 36 6, 48 12" })).toBe(SILENT);
    expect(kindOf(1, "G4", { notes: inside, level: 1 })).not.toBe(SILENT);
  });

  it("a blue third that is held, or that starts or ends a phrase", () => {
    const blues = { chords: "C7 | %", scale: "C major blues", notes: "0 6, 6 6, 12 12, 24 6, 30 6" } as const;
    expect([0, 1, 2, 3, 4].map((note) => kindOf(note, "Eb4", blues) === BLUE)).toEqual([
      false,
      true,
      false,
      true,
      false,
    ]);
    expect([0, 2, 4].map((note) => kindOf(note, "Eb4", blues))).toEqual([SILENT, SILENT, SILENT]);
  });

  it("at the end of a phrase, what is neither a chord tone nor a held note of the scale", () => {
    const ending = (name: string, last: string, asked: Asked = {}): boolean =>
      kindOf(3, name, { ...asked, notes: `0 6, 6 6, 12 6, ${last}` }) !== SILENT;
    expect(["E4", "D4", "F4", "F#4"].map((name) => ending(name, "24 12"))).toEqual([true, true, true, false]);
    expect(["E4", "D4", "F4", "F#4"].map((name) => ending(name, "24 6"))).toEqual([true, false, false, false]);
    expect(ending("Eb4", "24 12", { chords: "C7 | %", scale: "C major blues" })).toBe(false);
    expect(ending("Bb4", "24 6", { chords: "C7 | %" })).toBe(true);
    expect(ending("F#4", "24 12", { without: ["chromatic-resolves"] })).toBe(false);
    expect(ending("Eb4", "24 12", { chords: "C7 | %", scale: "C major blues", without: ["blue-third"] })).toBe(true);
  });

  it("a note held for a beat a semitone or a minor ninth from the voicing", () => {
    const notes = "0 6, 6 6, 12 12, 24 6, 30 6, 36 12";
    const sounds = (note: number, name: string, ...voicings: readonly NoteEvent[]): boolean =>
      kindOf(note, name, { notes, voicings, chords: "N.C. | %", scale: "C chromatic" }) !== SILENT;
    for (const name of ["F4", "Eb4", "F5"])
      expect([name, sounds(2, name, held(0, 4, "G3", "E4"))]).toEqual([name, false]);
    for (const name of ["E4", "D4", "F#4", "Eb5", "E5", "G4"])
      expect([name, sounds(2, name, held(0, 4, "G3", "E4"))]).toEqual([name, true]);
    expect(sounds(1, "F4", held(0, 4, "E4"))).toBe(true);
    expect(sounds(2, "F4", held(0, "3/2", "E4"))).toBe(true);
    expect(sounds(2, "F4", held("3/2", 2, "E4"))).toBe(true);
    expect(sounds(2, "F4", held(1, 1, "E4"))).toBe(false);
    expect(sounds(2, "F4", held(0, 1, "C4"), held(1, 3, "E4"))).toBe(false);
    expect(sounds(5, "F4", held(3, 1, "E4"))).toBe(false);
  });
});

describe("the problem as it is stated", () => {
  it("marks where phrases start and what the motif asks for", () => {
    const problem = problemOf({ notes: "0 6, 1:6 6, -2:12 12 | 48 6, 0:54 6, 60 12", peak: 0 });
    expect([...problem.starts]).toEqual([1, 0, 0, 1, 0, 0]);
    expect([...problem.motif]).toEqual([NO_STEP, 1, -2, NO_STEP, 0, NO_STEP]);
    expect([problem.length, problem.width]).toEqual([6, 25]);
  });

  it("counts letters as they are spelled over the chord", () => {
    const problem = problemOf({ chords: "Gb7 | %", scale: "Gb major" });
    const letter = (name: string): number => problem.letters[heightOf(name) - LOW] as number;
    expect([
      letter("C5") - letter("C4"),
      letter("B4") - letter("C4"),
      letter("A#4") - letter("G4"),
      letter("F#5") - letter("F#4"),
    ]).toEqual([7, 7, 2, 7]);
  });

  it("each rule can be left out, to see which of them conflict", () => {
    const notes = "0 6, 6 6, 12 12, 24 6";
    const blues = { chords: "C7 | %", scale: "C major blues", notes } as const;
    expect(
      [kindOf(3, "D4", { notes }), kindOf(3, "D4", { notes, without: ["resting-note"] })].map(
        (kind) => kind !== SILENT,
      ),
    ).toEqual([false, true]);
    expect(
      [kindOf(2, "Eb4", blues), kindOf(2, "Eb4", { ...blues, without: ["blue-third"] })].map((kind) => kind !== SILENT),
    ).toEqual([false, true]);
    expect(
      [kindOf(2, "F#4", { notes }), kindOf(2, "F#4", { notes, without: ["chromatic-resolves"] })].map(
        (kind) => kind !== SILENT,
      ),
    ).toEqual([false, true]);
    const voicings = [held(0, 4, "E4")];
    expect(
      [kindOf(2, "F4", { notes, voicings }), kindOf(2, "F4", { notes, voicings, without: ["held-clash"] })].map(
        (kind) => kind !== SILENT,
      ),
    ).toEqual([false, true]);
    const wide = problemOf({ without: ["range"] });
    expect(wide.width).toBe(25 + 48);
    expect(wide.classes[24 + 4]).toBe(problemOf({}).classes[4]);
    const flags = (...without: readonly HardRule[]): readonly boolean[] => {
      const { resolve, limitRepeats } = problemOf({ without });
      return [resolve, limitRepeats];
    };
    expect(flags()).toEqual([true, true]);
    expect(flags("repeats")).toEqual([true, false]);
    expect(flags("blue-third")).toEqual([false, true]);
    expect(flags("chromatic-resolves")).toEqual([false, true]);
    expect(flags("range", "resting-note", "held-clash")).toEqual([true, true]);
  });
});
