import { describe, expect, it } from "vitest";
import { handLine } from "../../src/assess/say/hand-line.ts";
import { heardLines, praiseLine, remarks, soundRemarks, timeRemark } from "../../src/assess/say/remarks.ts";
import type { Assessment, FoundPhrase, HandReport, LineFinding, PhraseAnswer } from "../all.ts";
import { beats } from "../all.ts";

const finding = (rule: string, bar: number, severity: LineFinding["severity"] = "unusual"): LineFinding => ({
  rule,
  severity,
  bar,
  beat: beats(bar),
  message: `this is ${rule} ${bar}`,
  suggestion: `mend ${rule}`,
});
const ids = (findings: readonly LineFinding[], left?: Assessment): readonly string[] =>
  remarks(findings, left, []).map(({ id }) => id);
const left = (...said: readonly string[]): Assessment =>
  ({
    say: said.map((id, i) => ({ id, weight: 1, bars: [i + 2, i + 4], message: `Heard ${id}.`, figures: {} })),
    practise: said.map((id) => ({ how: `Try ${id}.` })),
  }) as unknown as Assessment;

describe("remarks on an improvised take", () => {
  it("what must be mended comes first, then what is heard most often, then what is heard first", () => {
    expect(ids([finding("seldom", 1), finding("often", 2), finding("often", 3), finding("must", 4, "must")])).toEqual([
      "must",
      "often",
      "seldom",
    ]);
    expect(ids([finding("must", 1, "must"), finding("often", 2), finding("often", 3)])).toEqual(["must", "often"]);
    expect(ids([finding("often", 1), finding("often", 2), finding("must", 4, "must")])).toEqual(["must", "often"]);
    expect(ids([finding("first", 1), finding("second", 2)])).toEqual(["first", "second"]);
    expect(ids([finding("once", 1, "must"), finding("twice", 2, "must"), finding("twice", 3, "must")])).toEqual([
      "twice",
      "once",
    ]);
  });

  it("a rule is told of once, where it is broken first and where else, with every place and what to try", () => {
    expect(
      remarks(
        [finding("leap", 2), finding("leap", 2), finding("leap", 5), finding("leap", 5), finding("leap", 7)],
        undefined,
        [],
      ),
    ).toEqual([
      {
        about: "line",
        id: "leap",
        places: [2, 2, 5, 5, 7].map((bar) => ({ bar, beat: beats(bar) })),
        text: "Bar 2: this is leap 2, and the like in bars 5 and 7.",
        how: "Mend leap.",
      },
    ]);
    expect(remarks([finding("leap", 2), finding("leap", 2)], undefined, [])[0]?.text).toBe("Bar 2: this is leap 2.");
    // All that lies before bar 1 is the pickup, told once.
    expect(
      remarks(
        [-1, 0, 2].map((bar) => finding("leap", bar)),
        undefined,
        [],
      )[0]?.text,
    ).toBe("The pickup: this is leap -1, and the like in bar 2.");
    expect(
      remarks(
        [2, 0, -1].map((bar) => finding("leap", bar)),
        undefined,
        [],
      )[0]?.text,
    ).toBe("Bar 2: this is leap 2, and the like in the pickup.");
  });

  it("a line without a breath is not told as well that its phrase is long", () => {
    expect(ids([finding("phrase-length", 1), finding("breath", 1)])).toEqual(["breath"]);
    expect(ids([finding("phrase-length", 1), finding("leap", 1)])).toEqual(["phrase-length", "leap"]);
  });

  it("line and left hand by turns, three in all", () => {
    expect(ids([finding("a", 1), finding("b", 1)], left("x", "y"))).toEqual(["a", "x", "b"]);
    expect(ids([finding("a", 1)], left("x", "y", "z"))).toEqual(["a", "x", "y"]);
    expect(ids([], left("x", "y"))).toEqual(["x", "y"]);
    expect(ids(["a", "b", "c", "d"].map((rule) => finding(rule, 1)))).toEqual(["a", "b", "c"]);
    expect(remarks([], undefined, [])).toEqual([]);
  });

  it("a line that is late beyond what soloists are, or early, is told first", () => {
    const of = (lag: number, lateMs: number, offMs = 10) =>
      remarks([finding("a", 1)], undefined, timeRemark({ lag, lateMs, offMs, beatMs: 500, beat: "your left hand" }));
    for (const [lag, lateMs] of [
      [0.08, 79],
      [0.2, 50],
      [-0.06, -60],
      [-0.1, -30],
    ] as const)
      expect(of(lag, lateMs).map(({ id }) => id)).toEqual(["a"]);
    expect(of(0.18, 90)[0]).toMatchObject({
      about: "line",
      id: "late-line",
      places: [],
      text: "The whole line comes about 90 ms (18 % of a beat) behind your left hand.",
    });
    expect(of(-0.12, -60)[0]?.text).toContain("60 ms (12 % of a beat) ahead of");
    // Nine tenths of a tenth of a second are late at any tempo.
    expect(of(0.07, 90)[0]?.id).toBe("late-line");
    expect(of(0, 0, 38).map(({ id }) => id)).toEqual(["a"]);
    expect(of(0, 0, 45)[0]?.text).toContain("now early, now late, by about 45 ms (9 % of a beat)");
  });

  it("how a line is swung and struck comes last: straight for swung, swung for straight, all of it equally loud", () => {
    const estimate = (value: number) => ({ value, low: value - 0.05, high: value + 0.05 });
    const swing = (asked: number, ratio: number) => ({
      asked,
      measured: {
        kind: "swing-measurement" as const,
        unit: "eighth" as const,
        pairs: 12,
        ratio: estimate(ratio),
        beatUpbeatRatio: estimate(ratio),
        downbeatDelay: estimate(0),
      },
    });
    const said = (sound: Parameters<typeof soundRemarks>[0], notes = 40): readonly string[] =>
      remarks([finding("a", 1)], undefined, soundRemarks(sound, notes)).map(({ id }) => id);
    expect(said({ swing: swing(2, 1.02) })).toEqual(["a", "straight-line"]);
    expect(said({ swing: swing(1, 1.8) })).toEqual(["a", "swung-line"]);
    for (const [asked, ratio] of [
      [2, 1.3],
      [2, 2.6],
      [1, 1.2],
    ] as const)
      expect(said({ swing: swing(asked, ratio) })).toEqual(["a"]);
    expect(said({ touch: { mean: 70, spread: 1 } })).toEqual(["a", "flat-line"]);
    expect(said({ touch: { mean: 70, spread: 6 } })).toEqual(["a"]);
    expect(said({ touch: { mean: 70, spread: 1 } }, 10)).toEqual(["a"]);
  });

  it("the left hand's are those of its own assessment", () => {
    expect(remarks([], left("x", "y"), [])).toEqual([
      { about: "left-hand", id: "x", places: [{ bar: 2 }, { bar: 4 }], text: "Heard x.", how: "Try x." },
      { about: "left-hand", id: "y", places: [{ bar: 3 }, { bar: 5 }], text: "Heard y.", how: "Try y." },
    ]);
  });
});

describe("praise for a line", () => {
  const phrase: FoundPhrase = { at: beats(0), duration: beats(4), bar: 1, beat: beats(1), notes: 4 };
  const praised = (
    rules: readonly string[],
    {
      phrases = 2,
      notes = 10,
      chordTones = 6,
      inTime = false,
      offTime = false,
      riff = undefined as number | undefined,
      outside = 0,
      leaping = 0.1,
      answer = undefined as PhraseAnswer | undefined,
    } = {},
  ): string =>
    praiseLine(
      {
        kind: "line-report",
        phrases: Array.from({ length: phrases }, () => phrase),
        findings: rules.map((rule) => finding(rule, 1)),
      },
      17,
      { notes, chordTones },
      { inTime, offTime, riff, outside, leaping, answer },
    );

  it("of one phrase or of several, where no rule is broken", () => {
    expect(praised([])).toBe("Your line has two phrases, and each begins, breathes and ends well.");
    expect(praised([], { phrases: 1 })).toMatch(/^Your phrase begins, breathes and ends well/);
    expect(praised([], { inTime: true })).toMatch(/ends well, in time with your left hand\.$/);
    expect(praised(["breath"], { riff: 4 })).toBe("Your figure comes back four times and holds the chorus together.");
  });

  it("that answers is praised for it; what lies off the beat or outside of the chords isn't praised for breathing or belonging", () => {
    const answer = { call: 0, answer: 1, rhythm: 1, shape: 0.9, even: false, higher: -2 };
    expect(praised([], { answer })).toBe(
      "Your second phrase answers the one before it: the same rhythm and shape, lower down.",
    );
    for (const off of [{ offTime: true }, { outside: 0.3 }, { outside: 0.3, answer }, { leaping: 0.5 }])
      expect(praised([], { chordTones: 5, ...off })).not.toMatch(/breath|answers/);
    expect(praised([], { chordTones: 5, outside: 0.3 })).toBe("You kept a line of 17 notes going.");
  });

  it("is true: nothing is praised whose rule is broken, and chords only where enough notes on the beat are theirs", () => {
    const rest = /two phrases comes to rest on a note that belongs/;
    const strong = /phrases begin clearly, and their strong beats tell the chords/;
    const breath = /room to breathe: two phrases/;
    const smooth = /no leap is left hanging/;
    const going = /a line of 17 notes/;
    expect(praised(["breath"])).toMatch(rest);
    expect(praised(["resting-note"])).toMatch(strong);
    // Chance puts a third of the notes on tones of the chord, so that four of ten tell nothing; half of them fits, without telling the chords.
    for (const rules of [[], ["resting-note"], ["breath"]]) expect(praised(rules, { chordTones: 4 })).toMatch(going);
    const half = { chordTones: 5 };
    expect(praised([], half)).toMatch(rest);
    expect(praised(["resting-note"], half)).toMatch(breath);
    for (const long of ["breath", "phrase-length"]) {
      expect(praised(["resting-note", long], half)).toMatch(smooth);
      for (const leap of ["leap-recovery", "leap-size"])
        expect(praised(["resting-note", long, leap], half)).toMatch(going);
    }
    expect(praised(["repeats"], { notes: 0, chordTones: 0 })).toMatch(breath);
  });

  it("speaks of one phrase as of one, and does not praise it for room between phrases", () => {
    expect(praised(["breath"], { phrases: 1 })).toMatch(/^Your phrase comes to rest on a note that belongs/);
    expect(praised(["resting-note"], { phrases: 1 })).toMatch(
      /^Your line begins clearly, and its strong beats tell the chords/,
    );
    expect(praised(["repeats"], { phrases: 1, notes: 0, chordTones: 0 })).toMatch(/no leap is left hanging/);
  });
});

const hand: HandReport = { hand: "left", asked: 24, right: 20, wrong: 0, missed: 0, extra: 0, accuracy: 0.8 };

describe("a hand's figures in a line", () => {
  it("names the hand, what is right, and slips where there are some", () => {
    expect(handLine(hand)).toBe("Left hand: 20 of 24 right.");
    expect(handLine({ ...hand, wrong: 1, missed: 2, extra: 3 })).toBe(
      "Left hand: 20 of 24 right; 1 wrong, 2 missed, 3 extra.",
    );
    for (const [wrong, missed, extra] of [
      [1, 0, 0],
      [0, 1, 0],
      [0, 0, 1],
    ] as const)
      expect(handLine({ ...hand, wrong, missed, extra })).toContain(`${wrong} wrong, ${missed} missed, ${extra} extra`);
  });

  it("how late it is in whole milliseconds, and the spread as a percentage of the beat too", () => {
    const timed = (meanMs: number): string =>
      handLine({ ...hand, timing: { moments: 9, meanMs, meanBeats: 0, spreadMs: 24.6, spreadBeats: 0.041 } });
    expect([12.4, -12.6, 0.4, -0.4, 0.5, -0.5].map((ms) => /right; (.*), spread/.exec(timed(ms))?.[1])).toEqual([
      "12 ms late",
      "13 ms early",
      "on time",
      "on time",
      "1 ms late",
      "1 ms early",
    ]);
    expect(timed(0)).toContain("spread 25 ms (4 % of a beat)");
  });

  it("the swing that was measured beside the one asked for", () => {
    const estimate = (value: number) => ({ value, low: value, high: value });
    const measured = {
      kind: "swing-measurement",
      unit: "eighth",
      pairs: 8,
      ratio: estimate(1.666),
      beatUpbeatRatio: estimate(1.5),
      downbeatDelay: estimate(0),
    } as const;
    expect(handLine({ ...hand, swing: { asked: 2, measured, spread: 0 } })).toContain("swing 1.67:1, asked 2:1");
    expect(handLine({ ...hand, swing: { asked: 5 / 3, measured, spread: 0 } })).toContain("asked 1.67:1");
  });
});

describe("what was heard", () => {
  const heard = {
    line: Array.from({ length: 13 }),
    phrases: [1],
    offMs: 17,
    lateMs: 0,
    beatFrom: "tempo",
    leftHand: "not-heard",
    sound: {},
    overChords: [],
  } as const;

  it("of the line: notes, phrases, how far off; of the left hand: its figures, or why there are none; what told the beat", () => {
    const [line, other, beat] = heardLines(heard);
    expect(line).toMatch(/^Right hand, improvised: 13 notes in one phrase; 17 ms/);
    expect(other).toMatch(/^Left hand: none was heard/);
    expect(beat).toMatch(/^No left hand told the beat/);
    expect(heardLines({ ...heard, leftHand: "not-written" })[1]).toMatch(/^Left hand: none is written/);
    expect(heardLines({ ...heard, leftHand: "another" })[1]).toMatch(/^Left hand: another one/);
    expect(
      heardLines({
        ...heard,
        beatFrom: "left-hand",
        leftHand: "assessed",
        left: { hands: [hand] } as unknown as Assessment,
      }),
    ).toEqual([line, "Left hand: 20 of 24 right.", expect.stringMatching(/^The left hand told the beat/)]);
  });
});
