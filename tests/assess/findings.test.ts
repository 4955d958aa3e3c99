import { describe, expect, it } from "vitest";
import type { Asked } from "../../src/assess/align/asked.ts";
import type { Evidence, Found } from "../../src/assess/findings/finding.ts";
import { FINDING_RULES } from "../../src/assess/findings/index.ts";
import type { Hand } from "../../src/event/index.ts";
import type { Alignment, HandReport } from "../all.ts";
import { beatsOf, findingCatalogue, makeScore, metre, parseKey, swungFeel } from "../all.ts";
import { alignmentOf, askedNote, takeLaidOut } from "./laid-out.ts";

// Four bars, eight eighths each in the right hand, a chord of two keys twice a bar in the left; every note right, at 120.
const score = makeScore({ key: parseKey("C"), metre: metre("4/4"), bars: 4, tempo: 120 });
const note = (hand: Hand, at: number, midi: number): Asked =>
  askedNote({ hand, midi, beat: "1", at: beatsOf(at * 2, 2) });
const asked = [
  ...Array.from({ length: 32 }, (_, i) => note("right", i / 2, 60)),
  ...Array.from({ length: 8 }, (_, i) => [note("left", 2 * i, 48), note("left", 2 * i, 52)]).flat(),
]
  .sort((a, b) => a.sounds - b.sounds)
  .map((one, index): Asked => ({ ...one, index }));
const alignment = alignmentOf(asked, {
  runs: [
    {
      hands: "both",
      begins: "start",
      from: { bar: 1, beat: "1" },
      to: { bar: 4, beat: "4" },
      misread: [],
      pauses: [],
      tempos: [],
    },
  ],
});
const take = takeLaidOut(asked, { score, alignment });
const report = (hand: Hand, asked: number): HandReport => ({
  hand,
  asked,
  right: asked,
  wrong: 0,
  missed: 0,
  extra: 0,
  accuracy: 1,
});
const [rightHand, leftHand] = [report("right", 32), report("left", 16)];

const base: Evidence = {
  take,
  whole: { asked: 48, right: 48, wrong: 0, missed: 0, extra: 0, accuracy: 1 },
  hands: [rightHand, leftHand],
  tempo: { asked: 120, played: 120, start: 120, end: 120, sway: 0, besideArches: 0 },
  together: { moments: 8, leftAfterMs: 0, spreadMs: 0 },
  troubleSpots: [],
};

const find = (id: string, evidence: Partial<Evidence>): readonly Found[] =>
  (FINDING_RULES.find((rule) => rule.id === id) as (typeof FINDING_RULES)[number]).find({ ...base, ...evidence });

/** The one thing that a rule says. */
const only = (id: string, evidence: Partial<Evidence>): Found => {
  const found = find(id, evidence);
  expect(found).toHaveLength(1);
  const [one] = found as readonly [Found];
  // What is said for a student to do is a sentence, and names a hand where the finding does.
  expect(one.advice.how).toMatch(/^[A-Z].*\.$/);
  // About 1 is what must be fixed first.
  expect(one.weight).toBeLessThan(2.5);
  if (one.hand !== undefined) expect(one.advice.hands).toBe(one.hand);
  expect(one.advice.bars).toEqual(one.bars);
  return one;
};

const hand = (fields: Partial<HandReport>): Partial<Evidence> => ({ hands: [{ ...rightHand, ...fields }] });
const aligned = (fields: Partial<Alignment>): Partial<Evidence> => ({
  take: { ...take, alignment: { ...alignment, ...fields } },
});
const weighs = (id: string, ...worse: readonly Partial<Evidence>[]): void => {
  const weights = worse.map((evidence) => only(id, evidence).weight);
  expect(weights).toEqual([...weights].sort((a, b) => a - b));
  expect(new Set(weights).size).toBe(weights.length);
  for (const weight of weights) expect(weight).toBeGreaterThan(0);
};

describe("what an assessment can find", () => {
  it("nothing, where nothing is wrong", () => {
    expect(FINDING_RULES.flatMap((rule) => rule.find(base))).toEqual([]);
    expect(FINDING_RULES.flatMap((rule) => rule.find({ ...base, together: undefined }))).toEqual([]);
    expect(findingCatalogue.map((row) => row.id)).toEqual(FINDING_RULES.map((rule) => rule.id));
    expect(new Set(findingCatalogue.map((row) => row.id)).size).toBe(findingCatalogue.length);
    // Of one topic the student hears the weightiest.
    expect(
      Object.fromEntries(
        ["key", "flow", "notes", "tempo", "rhythm", "together", "touch"].map((topic) => [
          topic,
          findingCatalogue
            .filter((row) => row.topic === topic)
            .map((row) => row.id)
            .sort(),
        ]),
      ),
    ).toEqual({
      key: ["other-key"],
      flow: ["band-elsewhere", "left-out", "pauses", "restarts"],
      notes: ["extra-notes", "missed-notes", "trouble-spot", "wrong-notes"],
      tempo: ["band-drift", "off-the-band", "other-tempo", "tempo-drift", "unsteady-tempo"],
      rhythm: ["swing-ratio", "uneven-swing", "uneven-timing", "uneven-triplets", "wrong-rhythm"],
      together: ["balance", "hands-apart"],
      touch: ["chord-spread", "detached", "held-short", "pedal-blur", "stiff-accents", "uneven-touch"],
    });
  });

  describe("tempo", () => {
    const swung = { ...take, score: { ...score, feel: swungFeel("2:1") } };
    const tempo = (fields: Partial<Evidence["tempo"]>): Partial<Evidence> => ({
      take: swung,
      tempo: { ...base.tempo, ...fields },
    });
    const free = (fields: Partial<Evidence["tempo"]>): Partial<Evidence> => ({ ...tempo(fields), take });

    it("another than written: from 8 %, either way", () => {
      expect(find("other-tempo", tempo({ played: 129 }))).toEqual([]);
      expect(find("other-tempo", tempo({ played: 111 }))).toEqual([]);
      const fast = only("other-tempo", tempo({ played: 130.4 }));
      expect(fast.text).toContain("about 130; the page says 120");
      expect(fast).toMatchObject({
        bars: [],
        figures: { asked: 120, played: 130.4 },
        advice: { hands: "both", slower: 1 },
      });
      const slow = only("other-tempo", tempo({ played: 60 }));
      expect(slow.text).toContain("about 60; the page says 120");
      // From a slower tempo the next step is a little faster; from a faster one, the page's.
      expect(slow.advice.slower).toBeGreaterThan(1);
      expect(slow.text).not.toContain("written tempo");
      expect([slow.advice.how, fast.advice.how].map((how) => how.includes("faster"))).toEqual([true, false]);
    });

    it("getting faster or slower: from 9.5 %, where the music has no groove from 20 %, and not where it sways as much", () => {
      expect(find("tempo-drift", tempo({ start: 100, end: 109.4 }))).toEqual([]);
      expect(find("tempo-drift", tempo({ start: 100, end: 90.6 }))).toEqual([]);
      const fast = only("tempo-drift", tempo({ start: 100, end: 109.6 }));
      expect(fast.text).toContain("sped up");
      expect(fast.text).toContain("from about 100 at the start to 110 at the end");
      expect(fast).toMatchObject({ figures: { start: 100, end: 109.6 }, advice: { hands: "both", repeats: 2 } });
      expect(find("tempo-drift", tempo({ start: 100, end: 110, sway: 0.04 }))).toEqual([]);
      expect(find("tempo-drift", free({ start: 100, end: 119 }))).toEqual([]);
      expect(find("tempo-drift", free({ start: 100, end: 121 }))).toHaveLength(1);
      const slow = only("tempo-drift", tempo({ start: 100, end: 90 }));
      expect(slow.text).toContain("slowed down");
      expect([fast, slow].map(({ advice }) => advice.how.includes("count"))).toEqual([false, true]);
      weighs(
        "tempo-drift",
        tempo({ start: 100, end: 90.4 }),
        tempo({ start: 100, end: 110 }),
        tempo({ start: 100, end: 80 }),
        tempo({ start: 100, end: 140 }),
      );
    });

    it("swaying: above 3 %, where the music has no groove above 10 % beside arches, told in beats a minute", () => {
      expect(find("unsteady-tempo", tempo({ sway: 0.03 }))).toEqual([]);
      expect(find("unsteady-tempo", free({ sway: 0.1, besideArches: 0.1 }))).toEqual([]);
      expect(find("unsteady-tempo", free({ sway: 0.2, besideArches: 0.09 }))).toEqual([]);
      expect(find("unsteady-tempo", free({ sway: 0.105, besideArches: 0.105 }))).toHaveLength(1);
      const swaying = only("unsteady-tempo", tempo({ sway: 0.04, played: 100 }));
      expect(swaying.text).toContain("six beats a minute either side of 100");
      expect(swaying).toMatchObject({ figures: { sway: 0.04, played: 100 }, advice: { hands: "both" } });
      expect(only("unsteady-tempo", tempo({ sway: 0.1, played: 100 })).text).toContain("by about 15 beats");
      expect(only("unsteady-tempo", tempo({ sway: 0.08, played: 100 })).text).toContain("by about twelve beats");
      expect(only("unsteady-tempo", tempo({ sway: 0.035, played: 10 })).text).toContain("by about one beat");
      weighs("unsteady-tempo", tempo({ sway: 0.035 }), tempo({ sway: 0.06 }), tempo({ sway: 0.2 }));
    });
  });

  describe("rhythm", () => {
    const timing = (spreadMs: number, moments = 8): Partial<Evidence> =>
      hand({ timing: { moments, meanMs: 0, meanBeats: 0, spreadMs, spreadBeats: spreadMs / 500 } });

    it("early and late: above a spread of 36 ms and its doubt, over eight moments", () => {
      expect(find("uneven-timing", timing(47))).toEqual([]);
      expect(find("uneven-timing", timing(60, 7))).toEqual([]);
      const uneven = only("uneven-timing", timing(50));
      expect(uneven.text).toContain("right hand");
      expect(uneven.text).toContain("50 ms, 10 % of a beat");
      expect(uneven).toMatchObject({ hand: "right", figures: { spreadMs: 50, spreadBeats: 0.1 } });
      weighs("uneven-timing", timing(49), timing(60), timing(90));
    });

    const swing = (
      asked: number,
      value: number,
      fields: { pairs?: number; doubt?: number; spread?: number } = {},
    ): Partial<Evidence> => {
      const { pairs = 8, doubt = 0.01, spread = 0 } = fields;
      const estimate = { value, low: value - doubt, high: value + doubt };
      return hand({
        swing: {
          asked,
          measured: {
            kind: "swing-measurement",
            unit: "eighth",
            pairs,
            ratio: estimate,
            beatUpbeatRatio: estimate,
            downbeatDelay: { value: 0, low: 0, high: 0 },
          },
          spread,
        },
      });
    };

    it("another swing than asked for: beyond 3.5 % of the pair and the doubt, over eight pairs", () => {
      // 2:1 puts the offbeat at 66.7 % of the pair; 1.72:1 at 63.2 %, 2.35:1 at 70.1 %.
      expect(find("swing-ratio", swing(2, 1.72))).toEqual([]);
      expect(find("swing-ratio", swing(2, 2.34))).toEqual([]);
      expect(find("swing-ratio", swing(2, 1.5, { pairs: 7 }))).toEqual([]);
      expect(find("swing-ratio", swing(2, 1.5, { doubt: 0.5 }))).toEqual([]);
      expect(find("swing-ratio", swing(2, 2.5, { doubt: 0.5 }))).toEqual([]);
      const early = only("swing-ratio", swing(2, 1.5, { doubt: 0.49 }));
      expect(early.text).toContain("right hand swings at about 1.5:1, where 2:1 is asked for");
      expect(early.text).toContain("early");
      expect(early).toMatchObject({ hand: "right", figures: { asked: 2, measured: 1.5, pairs: 8 } });
      const late = only("swing-ratio", swing(2, 3.04, { doubt: 0.49 }));
      expect(late.text).toContain("at about 3:1");
      expect(late.text).toContain("late");
      expect(late.advice.how).not.toBe(early.advice.how);
      expect(only("swing-ratio", swing(2, 2.45)).weight).toBeLessThan(late.weight);
      weighs("swing-ratio", swing(2, 1.6), swing(2, 1.4), swing(2, 1.2));
    });

    it("swing where even eighths are asked for", () => {
      const even = only("swing-ratio", swing(1, 1.5));
      expect(even.text).toContain("even eighths");
      expect(even.text).toContain("right hand swings them at about 1.5:1");
      expect(even.advice.how).toContain("exactly halfway");
      // A feel of 1.1:1 is no straight one.
      expect(only("swing-ratio", swing(1.1, 1.5)).text).toContain("where 1.1:1 is asked for");
      expect(only("swing-ratio", swing(1.05, 1.5)).text).toContain("is asked for");
    });

    it("a swing that changes: above 5.5 % of the pair beyond its doubt, over eight pairs, and more than notes on the whole", () => {
      expect(find("uneven-swing", swing(2, 2, { spread: 0.055, pairs: 400 }))).toEqual([]);
      expect(find("uneven-swing", swing(2, 2, { spread: 0.06, pairs: 400 }))).toHaveLength(1);
      // Of eight pairs a spread of 7 % may be chance.
      expect(find("uneven-swing", swing(2, 2, { spread: 0.07 }))).toEqual([]);
      expect(find("uneven-swing", swing(2, 2, { spread: 0.1, pairs: 7 }))).toEqual([]);
      const uneven = only("uneven-swing", swing(2, 2, { spread: 0.1 }));
      expect(uneven.text).toContain("right hand");
      expect(uneven).toMatchObject({ hand: "right", figures: { spread: 0.1, pairs: 8 } });
      // At 120 a beat lasts 500 ms: notes that spread by 45 ms spread by 9 % of it, and the offbeats are not to blame for 10 %.
      const general = (spreadMs: number): Partial<Evidence> => ({
        hands: [
          {
            ...(swing(2, 2, { spread: 0.1 }).hands as readonly [HandReport])[0],
            timing: { moments: 8, meanMs: 0, meanBeats: 0, spreadMs, spreadBeats: 0 },
          },
        ],
      });
      expect(find("uneven-swing", general(45))).toEqual([]);
      expect(find("uneven-swing", general(35))).toHaveLength(1);
      weighs("uneven-swing", swing(2, 2, { spread: 0.09 }), swing(2, 2, { spread: 0.1 }), swing(2, 2, { spread: 0.2 }));
    });

    const triplets = (second: number, third: number, spread = 0, beats = 4): Partial<Evidence> =>
      hand({ triplets: { beats, second, third, spread } });

    it("uneven triplets: off by more than 4 % of the triplet or spread by more than 7 % beyond its doubt, over four triplets", () => {
      for (const even of [
        triplets(0.04, 0),
        triplets(0, -0.04),
        triplets(0, 0, 0.07),
        triplets(0.1, 0.1, 0.1, 3),
        triplets(0.05, 0, 0.06),
      ])
        expect(find("uneven-triplets", even)).toEqual([]);
      const early = only("uneven-triplets", triplets(0.02, -0.06));
      expect(early.text).toContain("right hand's triplets the third note comes early");
      expect(early).toMatchObject({ hand: "right", figures: { beats: 4, second: 0.02, third: -0.06, spread: 0 } });
      expect(only("uneven-triplets", triplets(0.06, 0.02)).text).toContain("the second note comes late");
      // Both alike: the last is named.
      expect(only("uneven-triplets", triplets(-0.06, 0.06)).text).toContain("the third note comes late");
      // Three times the doubt of the mean of nine triplets that spread by 4.5 % is 4.5 %: 5 % is beyond it.
      expect(only("uneven-triplets", triplets(0.05, 0, 0.045, 9)).text).toContain("the second note comes late");
      expect(only("uneven-triplets", triplets(0.01, 0, 0.15)).text).toContain("change in shape");
      weighs("uneven-triplets", triplets(0.05, 0), triplets(0, -0.07), triplets(0.05, 0, 0.15), triplets(0.05, 0, 0.2));
    });
  });

  describe("together and touch", () => {
    const together = (leftAfterMs: number, spreadMs = 0, moments = 6): Partial<Evidence> => ({
      together: { moments, leftAfterMs, spreadMs },
    });

    it("hands apart: by more than 32 ms and three times the doubt, or spread by more than 55 ms beyond its doubt, over six moments", () => {
      for (const fine of [together(32), together(-32), together(0, 55), together(90, 0, 5), together(40, 54)])
        expect(find("hands-apart", fine)).toEqual([]);
      const late = only("hands-apart", together(60));
      // A beat lasts 500 ms at 120.
      expect(late.text).toContain("left hand comes about 60 ms (12 % of a beat) after the right");
      expect(late).toMatchObject({ figures: { leftAfterMs: 60, spreadMs: 0, moments: 6 }, advice: { hands: "both" } });
      expect(only("hands-apart", together(-60.4)).text).toContain("60 ms (12 % of a beat) before the right");
      expect(only("hands-apart", together(0, 100)).text).toContain("now early, now late");
      expect(only("hands-apart", together(34, 39, 16)).text).toContain("34 ms");
      weighs("hands-apart", together(-50), together(80), together(0, 100), together(-120, 10));
      expect(only("hands-apart", together(0, 120)).weight).toBeGreaterThan(
        only("hands-apart", together(0, 100)).weight,
      );
    });

    const held = (short: number, notes: number): Partial<Evidence> => hand({ held: { notes, short, share: 0.5 } });

    it("held notes let go early: three or more, and three in ten", () => {
      for (const fine of [held(2, 4), held(3, 11)]) expect(find("held-short", fine)).toEqual([]);
      const short = only("held-short", held(3, 10));
      expect(short.text).toContain("Three held notes of 10 in the right hand");
      expect(short).toMatchObject({ hand: "right", figures: { notes: 10, short: 3, share: 0.5 } });
      weighs("held-short", held(3, 10), held(6, 10), held(10, 10));
    });

    const chords = (medianMs: number, count = 25, keys = 3): Partial<Evidence> =>
      hand({ chords: { chords: count, keys, medianMs } });

    it("chords not struck at once: above 45 ms and its doubt, more for more keys, over four chords", () => {
      for (const fine of [chords(48), chords(90, 3), chords(55, 4), chords(58, 25, 4), chords(66, 25, 5)])
        expect(find("chord-spread", fine)).toEqual([]);
      const spread = only("chord-spread", chords(52.4));
      expect(spread.text).toContain("right hand's chords");
      expect(spread.text).toContain("about 52 ms");
      expect(spread).toMatchObject({ hand: "right", figures: { chords: 25, keys: 3, medianMs: 52.4 } });
      weighs("chord-spread", chords(52), chords(80), chords(120));
    });

    const touch = (
      spread: number,
      byFinger: Readonly<Partial<Record<1 | 2 | 3 | 4 | 5, number>>> = {},
    ): Partial<Evidence> => hand({ touch: { notes: 30, mean: 80, spread, byFinger } });

    it("uneven loudness: a spread above 12 in velocity, or a finger 9 away from the hand", () => {
      for (const fine of [touch(12), touch(0, { 1: 8.9, 2: -8.9 })]) expect(find("uneven-touch", fine)).toEqual([]);
      const uneven = only("uneven-touch", touch(15, { 1: 3 }));
      expect(uneven.text).toContain("right hand's notes differ in loudness");
      expect(uneven).toMatchObject({ hand: "right", figures: { spread: 15 } });
      expect(Object.keys(uneven.figures)).toEqual(["spread"]);
      const thumb = only("uneven-touch", touch(0, { 1: 9, 3: -2 }));
      expect(thumb.text).toContain("thumb of the right hand is louder");
      expect(thumb.figures).toEqual({ spread: 0, finger: 1, by: 9 });
      for (const [finger, name] of [
        [2, "second finger"],
        [3, "third finger"],
        [4, "fourth finger"],
        [5, "fifth finger"],
      ] as const) {
        expect(only("uneven-touch", touch(0, { 1: 9.5, [finger]: -10 })).text).toContain(
          `The ${name} of the right hand is softer`,
        );
      }
      weighs("uneven-touch", touch(13), touch(20), touch(20, { 1: 30 }));
      expect(only("uneven-touch", touch(30, { 1: 10 })).weight).toBe(only("uneven-touch", touch(30)).weight);
    });
  });

  describe("flow", () => {
    const run = (
      begins: "start" | "back" | "again" | "ahead",
      from: number,
      to: number,
      pauses: Alignment["runs"][number]["pauses"] = [],
    ): Alignment["runs"][number] => ({
      hands: "both",
      begins,
      from: { bar: from, beat: "1" },
      to: { bar: to, beat: "1" },
      misread: [],
      pauses,
      tempos: [],
    });

    it("going back, named by the bar where the music broke off", () => {
      expect(find("restarts", aligned({ runs: [run("start", 1, 4), run("again", 1, 4), run("ahead", 3, 4)] }))).toEqual(
        [],
      );
      const once = only("restarts", aligned({ runs: [run("start", 1, 3), run("back", 2, 4)] }));
      expect(once.text).toContain("went back once, after bar 3");
      expect(once.advice.how).toContain("one bar before bar 3");
      expect(once).toMatchObject({ bars: [3], figures: { restarts: 1 }, advice: { hands: "both" } });
      const twice = only("restarts", aligned({ runs: [run("start", 1, 4), run("back", 2, 2), run("back", 1, 4)] }));
      expect(twice.text).toContain("went back two times, after bars 2 and 4");
      expect(twice.bars).toEqual([2, 4]);
      expect(
        only("restarts", aligned({ runs: [run("start", 1, 3), run("back", 2, 3), run("back", 2, 4)] })).bars,
      ).toEqual([3]);
      expect(twice.weight).toBeGreaterThan(once.weight);
    });

    it("stops, with the longest", () => {
      const pauses = [
        { bar: 3, beat: "1", seconds: 1.234 },
        { bar: 2, beat: "1", seconds: 0.7 },
        { bar: 3, beat: "2", seconds: 0.5 },
      ];
      const stops = only("pauses", aligned({ runs: [run("start", 1, 4, pauses)] }));
      expect(stops).toMatchObject({ bars: [2, 3], figures: { pauses: 3, longest: 1.23 }, advice: { hands: "both" } });
      expect(stops.text).toContain("on the way to bars 2 and 3");
      expect(only("pauses", aligned({ runs: [run("start", 1, 4, pauses.slice(0, 1))] })).weight).toBeLessThan(
        stops.weight,
      );
    });

    it("bars left out: still to come at the end, left out elsewhere", () => {
      const after = (bar: number): readonly number[] =>
        take.asked.filter((note) => note.bar >= bar).map((note) => note.index);
      const notes = take.asked.length;
      const tail = only("left-out", aligned({ leftOut: after(4) }));
      expect(tail.text).toContain("as far as bar 3; bar 4 is still to come");
      expect(tail).toMatchObject({ bars: [4], figures: { notes: after(4).length }, advice: { hands: "both" } });
      expect(only("left-out", aligned({ leftOut: after(3) })).text).toContain(
        "as far as bar 2; bars 3 and 4 are still to come",
      );
      const middle = only(
        "left-out",
        aligned({ leftOut: take.asked.filter((note) => note.bar === 2).map((note) => note.index) }),
      );
      expect(middle.text).toBe("Bar 2 was left out.");
      const front = take.asked.filter((note) => note.bar <= 2).map((note) => note.index);
      expect(only("left-out", aligned({ leftOut: front })).text).toBe("Bars 1 and 2 were left out.");
      expect(only("left-out", aligned({ leftOut: [0, notes - 1] })).text).toBe("Bars 1 and 4 were left out.");
      expect(tail.weight).toBeLessThan(only("left-out", aligned({ leftOut: after(2) })).weight);
    });
  });

  describe("key", () => {
    const shift = (byRight: number, byLeft: number): Partial<Evidence> =>
      aligned({ shift: { right: byRight, left: byLeft } });

    it.each([
      [1, "one semitone higher"],
      [-1, "one semitone lower"],
      [3, "three semitones higher"],
      [12, "an octave higher"],
      [-24, "two octaves lower"],
    ])("both hands %i: %s", (by, words) => {
      const found = only("other-key", shift(by, by));
      expect(found.text).toContain(`You played it ${words} than written.`);
      expect(found).toMatchObject({ figures: { right: by, left: by }, advice: { hands: "both" } });
    });

    it("one hand in another octave", () => {
      expect(only("other-key", shift(12, 0)).text).toMatch(
        /^Your right hand was an octave higher than written\. Everything/,
      );
      expect(only("other-key", shift(0, -12)).text).toMatch(
        /^Your left hand was an octave lower than written\. Everything/,
      );
      expect(only("other-key", shift(12, -12)).text).toContain(
        "Your right hand was an octave higher than written. Your left hand was an octave lower than written.",
      );
    });
  });

  describe("notes", () => {
    const spot = (fields: Partial<Evidence["troubleSpots"][number]>): Partial<Evidence> => ({
      troubleSpots: [{ hand: "left", slips: 3, of: 5, places: [], bars: [2, 3], ...fields }],
    });

    it("slips in one kind of place or one bar", () => {
      expect(find("trouble-spot", spot({ slips: 2, of: 2, bars: [3] }))).toEqual([]);
      const bar = only("trouble-spot", spot({ slips: 3, of: 7, bars: [3] }));
      expect(bar.text).toBe("Many of the slips in your left hand are in bar 3.");
      expect(only("trouble-spot", spot({ slips: 3, of: 3 })).text).toMatch(/^All of the slips/);
      expect(bar).toMatchObject({ hand: "left", bars: [3], figures: { slips: 3, of: 7 } });
      expect(bar.advice.how).toContain("bar 3, left hand alone");
      const turn = only("trouble-spot", spot({ difficulty: "thumb-under" }));
      expect(turn.text).toBe(
        "Most of the slips in your left hand come right where the thumb goes under (bars 2 and 3).",
      );
      expect(turn.advice.how).toContain("only the turns in bars 2 and 3");
      expect(only("trouble-spot", spot({ difficulty: "cross-over" })).text).toContain(
        "where a finger crosses over the thumb",
      );
      const leap = only("trouble-spot", spot({ difficulty: "leap" }));
      expect(leap.text).toContain("where the hand leaps");
      expect(leap.advice.how).toContain("only the leaps in bars 2 and 3");
      // What slips have in common tells more than the bar.
      expect(turn.weight).toBeGreaterThan(bar.weight);
      weighs("trouble-spot", spot({ slips: 3 }), spot({ slips: 4 }), spot({ difficulty: "leap", of: 6 }));
      // Twice as many in a hand of as many notes weigh about twice as much.
      const more = only("trouble-spot", spot({ slips: 6 })).weight - only("trouble-spot", spot({ slips: 4 })).weight;
      expect(more).toBeCloseTo((5 * 2) / leftHand.asked, 6);
    });

    it("missed and extra notes, by hand and bar", () => {
      const change = (
        state: "missed" | "extra",
        at: readonly number[],
        hand: "right" | "left" = "right",
      ): Partial<Evidence> => {
        const own = alignment.notes.map((note) =>
          note.asked !== undefined && at.includes(note.asked) ? { ...note, state } : note,
        );
        const counted = { ...(hand === "right" ? rightHand : leftHand), [state]: at.length };
        return { ...aligned({ notes: own }), hands: [counted] };
      };
      const inBar = (bar: number, hand: "right" | "left", count: number): readonly number[] =>
        take.asked
          .filter((note) => note.bar === bar && note.hand === hand)
          .slice(0, count)
          .map((note) => note.index);
      for (const [state, id, says] of [
        ["missed", "missed-notes", "of 32 in the right hand did not sound"],
        ["extra", "extra-notes", "sounded in the right hand that the page does not ask for"],
      ] as const) {
        expect(find(id, {})).toEqual([]);
        const one = only(id, change(state, inBar(3, "right", 1)));
        expect(one.text).toMatch(state === "missed" ? /^One note / : /^One key /);
        expect(one.text).toContain(`${says} (bar 3)`);
        expect(one).toMatchObject({ hand: "right", bars: [3], figures: { [state]: 1, asked: 32 } });
        expect(one.advice.how).toContain("Right hand alone in bar 3");
        const three = only(id, change(state, [...inBar(4, "right", 1), ...inBar(2, "right", 2)]));
        expect(three.text).toMatch(state === "missed" ? /^Three notes / : /^Three keys /);
        expect(three.bars).toEqual([2, 4]);
        expect(three.weight).toBeGreaterThan(one.weight);
        expect(only(id, change(state, inBar(1, "left", 2), "left"))).toMatchObject({
          hand: "left",
          bars: [1],
          advice: { hands: "left" },
        });
      }
      // Bars that were left out count with what was missed beside them; alone they are another finding.
      const wholeBar = take.asked.filter((note) => note.bar === 4).map((note) => note.index);
      const both = change("missed", inBar(3, "right", 1));
      const elsewhere = take.asked.filter((note) => note.hand === "left" && note.bar === 2).map((note) => note.index);
      const withBar: Partial<Evidence> = {
        ...both,
        take: {
          ...(both.take as Evidence["take"]),
          alignment: { ...(both.take as Evidence["take"]).alignment, leftOut: [...elsewhere, ...wholeBar] },
        },
      };
      expect(only("missed-notes", withBar)).toMatchObject({ bars: [3, 4], figures: { missed: 1 } });
      const early: Partial<Evidence> = {
        ...both,
        take: {
          ...(both.take as Evidence["take"]),
          alignment: { ...(both.take as Evidence["take"]).alignment, leftOut: inBar(1, "right", 8) },
        },
      };
      expect(only("missed-notes", early).bars).toEqual([1, 3]);
      expect(find("missed-notes", aligned({ leftOut: wholeBar }))).toEqual([]);
      expect(only("extra-notes", change("extra", inBar(1, "right", 2))).weight).toBeLessThan(
        only("missed-notes", change("missed", inBar(1, "right", 2))).weight,
      );
    });
  });
});
