import fc from "fast-check";
import { describe, expect, it } from "vitest";
import type { Hand } from "../../src/event/index.ts";
import {
  fingeringRuleCatalogue,
  fingeringRuleSetCatalogue,
  fingerPassage,
  fingerScale,
  formatFingering,
} from "../../src/fingering/index.ts";
import { keyColour, parsePitch, pitchFromMidi } from "../../src/pitch/index.ts";
import { beats } from "../../src/time/index.ts";

const up = (names: string) => names.split(" ").map(parsePitch);

describe("crossings and hand positions", () => {
  it("gives kind, index, both notes with finger and key colour", () => {
    const { kind, hand, crossings } = fingerScale("C major blues", { hand: "right", direction: "up" });
    expect([kind, hand]).toEqual(["fingering", "right"]);
    expect(crossings[0]).toEqual({
      kind: "thumb-under",
      index: 3,
      from: { pitch: parsePitch("Eb4"), finger: 3, colour: "black" },
      to: { pitch: parsePitch("E4"), finger: 1, colour: "white" },
    });
  });

  it("law: thumb under goes away from the body onto the thumb, cross over comes back from it", () => {
    fc.assert(
      fc.property(
        fc.array(fc.integer({ min: 48, max: 84 }), { minLength: 1, maxLength: 30 }),
        fc.constantFrom<Hand>("left", "right"),
        (keys, hand) => {
          const { crossings, fingers, pitches } = fingerPassage(
            keys.map((key) => pitchFromMidi(key, "flats")),
            { hand },
          );
          for (const { kind, index, from, to } of crossings) {
            const outward = (to.pitch.semitones - from.pitch.semitones) * (hand === "right" ? 1 : -1);
            expect(kind === "thumb-under" ? [to.finger, outward > 0] : [from.finger, outward < 0]).toEqual([1, true]);
            expect([from.finger, to.finger, from.colour, to.colour]).toEqual([
              fingers[index - 1],
              fingers[index],
              keyColour(pitches[index - 1]!),
              keyColour(pitches[index]!),
            ]);
          }
        },
      ),
    );
  });

  it("law: the positions hold every note once, in order, and no crossing lies inside one", () => {
    fc.assert(
      fc.property(
        fc.array(fc.integer({ min: 48, max: 84 }), { minLength: 1, maxLength: 30 }),
        fc.constantFrom<Hand>("left", "right"),
        (keys, hand) => {
          const { crossings, positions, pitches } = fingerPassage(
            keys.map((key) => pitchFromMidi(key, "flats")),
            { hand },
          );
          expect(
            positions.flatMap(({ from, to }) => Array.from({ length: to - from + 1 }, (_, i) => from + i)),
          ).toEqual(keys.map((_, i) => i));
          for (const { index } of crossings) expect(positions.some(({ from }) => from === index)).toBe(true);
          for (const { from, to, lowest, highest } of positions) {
            const inside = pitches.slice(from, to + 1).map((p) => p.semitones);
            expect([lowest.semitones, highest.semitones]).toEqual([Math.min(...inside), Math.max(...inside)]);
          }
        },
      ),
    );
  });

  it("stays in position on a key struck again, and leaves it where fingers do not move with the keys", () => {
    const positions = (names: string, fixed: Readonly<Record<number, 1 | 2 | 3 | 4 | 5>>) =>
      fingerPassage(up(names), { hand: "right", fixed, scale: false }).positions.map(({ from, to }) => [from, to]);
    expect(positions("C4 C4 D4 E4", { 0: 1, 1: 1, 2: 2, 3: 3 })).toEqual([[0, 3]]);
    expect(positions("C4 C4 D4 E4", { 0: 2, 1: 1, 2: 2, 3: 3 })).toEqual([[0, 3]]);
    expect(positions("C4 D4 E4 C5 D5", { 0: 1, 1: 2, 2: 3, 3: 2, 4: 3 })).toEqual([
      [0, 2],
      [3, 4],
    ]);
  });

  it("finds the positions of C major: C to E, F to B, C", () => {
    const { positions } = fingerScale("C major", { hand: "right", direction: "up", without: ["ends-outer-next"] });
    expect(positions.map(({ from, to }) => [from, to])).toEqual([
      [0, 2],
      [3, 6],
      [7, 7],
    ]);
  });
});

describe("sentences", () => {
  const sentences = (names: string, fixed: Readonly<Record<number, 1 | 2 | 3 | 4 | 5>>, hand: Hand = "right") =>
    fingerPassage(up(names), { hand, fixed, explain: true }).steps?.map(({ sentence }) => sentence);

  it("says what a teacher would say", () => {
    expect(sentences("D4 Eb4 E4 Eb4 D4", { 0: 2, 1: 3, 2: 1, 3: 3, 4: 2 })).toEqual([
      "start with 2 on D",
      "3 on E♭",
      "thumb under onto E after 3 on E♭",
      "3 over the thumb onto E♭ after E",
      "2 on D",
    ]);
    expect(sentences("C4 C4 C4", { 0: 1, 1: 1, 2: 2 })).toEqual([
      "start with the thumb on C",
      "thumb again on C",
      "change to 2 on C",
    ]);
    expect(sentences("Eb4 E4 A4", { 0: 3, 1: 3, 2: 3 })).toEqual([
      "start with 3 on E♭",
      "slide 3 from E♭ to E",
      "move the hand: 3 on A",
    ]);
    // One finger slips from a black key to the white one beside it, and nowhere else.
    expect(sentences("E4 Eb4 F4 G4", { 0: 3, 1: 3, 2: 3, 3: 3 })?.slice(1)).toEqual([
      "move the hand: 3 on E♭",
      "move the hand: 3 on F",
      "move the hand: 3 on G",
    ]);
    expect(sentences("E4 F4 Eb4 D4", { 0: 3, 1: 3, 2: 2, 3: 2 })?.slice(1)).toEqual([
      "move the hand: 3 on F",
      "2 on E♭",
      "slide 2 from E♭ to D",
    ]);
    expect(sentences("C4 C4 C4", { 0: 2, 1: 1, 2: 3 })?.slice(1)).toEqual(["change to thumb on C", "change to 3 on C"]);
    // The thumb after the thumb turns nothing.
    expect(sentences("C4 D4 C4", { 0: 1, 1: 1, 2: 1 })?.slice(1)).toEqual([
      "move the hand: thumb on D",
      "move the hand: thumb on C",
    ]);
    expect(sentences("C4 D4 C4 E4", { 0: 3, 1: 2, 2: 4, 3: 5 })?.slice(1)).toEqual([
      "move the hand: 2 on D",
      "move the hand: 4 on C",
      "5 on E",
    ]);
    expect(sentences("E4 D4 C#4", { 0: 2, 1: 1, 2: 3 }, "left")).toEqual([
      "start with 2 on E",
      "thumb under onto D after 2 on E",
      "3 on C♯",
    ]);
  });

  it("says that the hand is free after a rest, and names the notes of a chord", () => {
    const events = [
      { at: beats(0), duration: beats(1), pitches: up("C4") },
      { at: beats(2), duration: beats(1), pitches: up("G4") },
      { at: beats(3), duration: beats(1), pitches: up("C4 E4 G4") },
    ];
    expect(
      fingerPassage(events, { hand: "right", fixed: { 0: 1, 1: 2 }, explain: true }).steps?.map(
        ({ sentence }) => sentence,
      ),
    ).toEqual([
      "start with the thumb on C",
      "the hand is free: 2 on G",
      "together: thumb on C",
      "with it 3 on E",
      "with it 5 on G",
    ]);
  });
});

describe("text", () => {
  it("puts notes over fingers over crossings", () => {
    expect(formatFingering(fingerScale("C major blues", { hand: "right" }))).toBe(
      [
        "C4  D4  E♭4  E4     G4  A4  C5     A4    G4  E4  E♭4   D4  C4",
        "1   2   3    1      2   3   1      3     2   1   3     2   1",
        "             under          under  over          over",
      ].join("\n"),
    );
  });

  it("continues below what does not fit, and adds remarks", () => {
    const text = formatFingering(fingerScale("F# major blues", { hand: "right", octaves: 2 }), { width: 40 });
    for (const row of text.split("\n").slice(0, -1)) expect([...row].length).toBeLessThanOrEqual(40);
    expect(text.split("\n").at(-1)).toContain("thumb off the black keys");
  });

  it("prints the rules and the sentences when asked why", () => {
    const fingering = fingerPassage(up("C4 D4 E4 F4 G4 A4"), { hand: "right", explain: true });
    const text = formatFingering(fingering, { explain: true });
    expect(text).toContain("start with the thumb on C");
    expect(text).toContain(`cost ${fingering.cost}: `);
    for (const [rule, cost] of Object.entries(fingering.costByRule)) expect(text).toContain(`${rule} ${cost}`);
  });
});

describe("the catalogue of rules", () => {
  it("law: ids are unique, titles and sources are told, and every weighted rule has a set", () => {
    expect(new Set(fingeringRuleCatalogue.map(({ id }) => id)).size).toBe(fingeringRuleCatalogue.length);
    const sets = fingeringRuleSetCatalogue.flatMap(({ rules }) => rules);
    for (const { id, title, source, reads } of fingeringRuleCatalogue) {
      expect(title).toMatch(/\.$/);
      expect(["note", "pair", "triple", "chord", "held", "ends"]).toContain(reads);
      expect(source.length).toBeGreaterThan(3);
      expect(sets.some(({ rule }) => rule === id)).toBe(reads !== "ends");
    }
    for (const { weight } of sets) expect(Number.isInteger(weight) && weight > 0).toBe(true);
  });

  it("law: leaving any rule out never makes the best fingering dearer", () => {
    const notes = up("C4 D4 Eb4 F#4 G4 A4 Bb4 A4 F4 E4 C4 C4 Db5 E5");
    const { cost } = fingerPassage(notes, { hand: "right" });
    for (const { id } of fingeringRuleCatalogue)
      expect(fingerPassage(notes, { hand: "right", without: [id] }).cost).toBeLessThanOrEqual(cost);
  });

  it("law: the cost is the sum of weights and points, so a doubled weight doubles a rule's share of the same fingering", () => {
    const notes = up("C4 D4 E4 F4 G4 A4 B4 C5 D5");
    const { fingers, costByRule } = fingerPassage(notes, { hand: "right" });
    const fixed = Object.fromEntries(fingers.map((finger, i) => [i, finger]));
    for (const { rule, weight } of fingeringRuleSetCatalogue.find(({ id }) => id === "standard")?.rules ?? []) {
      const id = typeof rule === "string" ? rule : rule.id;
      const twice = fingerPassage(notes, { hand: "right", fixed, weights: { [id]: 2 * weight } });
      expect(twice.costByRule[id] ?? 0).toBe(2 * (costByRule[id] ?? 0));
    }
  });

  it("refuses rules that it does not know, with the nearest name, and weights that are not whole", () => {
    expect(() => fingerPassage(up("C4"), { hand: "right", without: ["weak-fingr"] })).toThrow(
      "did you mean weak-finger?",
    );
    expect(() => fingerPassage(up("C4"), { hand: "right", weights: { "weak-finger": 0.5 } })).toThrow("fingering/rule");
    expect(() => fingerPassage(up("C4"), { hand: "right", rules: "none" as "standard" })).toThrow("fingering/rule");
    expect(() => fingerPassage(up("C4"), { hand: "right", size: "huge" as "large" })).toThrow("fingering/rule");
    expect(() => fingerPassage(up("C4"), { hand: "right", fixed: { 3: 1 } })).toThrow("fingering/fixed");
  });
});
