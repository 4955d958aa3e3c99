import { describe, expect, it } from "vitest";
import type { AlignedNote } from "../../src/assess/align/align.ts";
import type { Asked } from "../../src/assess/align/asked.ts";
import type { Take } from "../../src/assess/measure/model.ts";
import { placesOf } from "../../src/assess/measure/places.ts";
import { troubleSpots } from "../../src/assess/measure/trouble.ts";
import type { Finger, Hand } from "../all.ts";
import { beatsOf, pitchFromMidi, pitchName } from "../all.ts";
import { alignmentOf, allRight, askedNote, takeLaidOut } from "./laid-out.ts";

interface Given {
  readonly midi: number;
  readonly at: number;
  readonly lasts?: number;
  readonly finger?: Finger;
  readonly grace?: boolean;
  readonly hand?: Hand;
}

const askedOf = (notes: readonly Given[]): readonly Asked[] =>
  notes.map(({ at, midi, ...given }, index) =>
    askedNote({
      ...given,
      index,
      midi,
      pitch: pitchName(pitchFromMidi(midi, "flats")),
      beat: `${(at % 4) + 1}`,
      at: beatsOf(Math.round(at * 4), 4),
    }),
  );

/** A take in which every note that is not told of is right. */
const takeOf = (asked: readonly Asked[], slips: readonly AlignedNote[] = []): Take => {
  const others = allRight(asked.filter(({ index }) => slips.every((slip) => slip.asked !== index)));
  return takeLaidOut(asked, { alignment: alignmentOf(asked, { notes: [...others, ...slips] }) });
};

const wrong = (asked: readonly Asked[], ...at: readonly number[]): readonly AlignedNote[] =>
  at.map((index) => ({ state: "wrong", run: 0, hand: asked[index]?.hand as Hand, asked: index, heard: 0 }));
const extra = (heard: number, hand: Hand = "right"): AlignedNote => ({
  state: "extra",
  run: 0,
  hand,
  played: 0,
  heard,
});

describe("how a hand comes to a note", () => {
  const second = (
    hand: Hand,
    first: Omit<Given, "at" | "hand">,
    then: Omit<Given, "at" | "hand">,
    gap = 0,
  ): string | undefined => {
    const asked = askedOf([
      { ...first, at: 0, hand },
      { ...then, at: (first.lasts ?? 0.5) + gap, hand },
    ]);
    return placesOf(takeOf(asked), hand)[1]?.difficulty;
  };

  // Common practice: the right thumb goes under on the way up, a finger crosses over it on the way down; the left hand mirrors that.
  it.each([
    ["right", 64, 3, 65, 1, "thumb-under"],
    ["right", 65, 1, 64, 3, "cross-over"],
    ["left", 65, 3, 64, 1, "thumb-under"],
    ["left", 64, 1, 65, 3, "cross-over"],
    ["right", 65, 3, 64, 1, undefined],
    ["right", 64, 1, 65, 3, undefined],
    ["left", 64, 3, 65, 1, undefined],
    ["left", 65, 1, 64, 3, undefined],
    ["right", 64, 1, 65, 1, undefined],
    ["right", 65, 1, 64, 1, undefined],
    ["right", 64, 3, 64, 1, undefined],
    ["right", 64, 1, 64, 3, undefined],
    ["right", 64, 2, 65, 3, undefined],
    ["right", 65, 4, 64, 2, undefined],
  ] as const)("%s hand from %i with finger %i to %i with finger %i: %s", (hand, from, one, to, other, difficulty) => {
    expect(second(hand, { midi: from, finger: one }, { midi: to, finger: other })).toBe(difficulty);
  });

  it("nothing is known of a turn to or from a note without a finger", () => {
    expect(second("right", { midi: 65, finger: 1 }, { midi: 64 })).toBeUndefined();
    expect(second("right", { midi: 64 }, { midi: 65, finger: 1 })).toBeUndefined();
  });

  it("a rest of a beat frees the hand, a shorter one does not", () => {
    expect(second("right", { midi: 64, finger: 3 }, { midi: 65, finger: 1 }, 0.75)).toBe("thumb-under");
    expect(second("right", { midi: 64, finger: 3 }, { midi: 65, finger: 1 }, 1)).toBeUndefined();
    expect(second("right", { midi: 64, finger: 3, lasts: 2 }, { midi: 65, finger: 1 }, 0.5)).toBe("thumb-under");
  });

  it("beyond a fifth it leaps, from the nearest key of a chord to the nearest", () => {
    expect([7, 8, -7, -8].map((by) => second("left", { midi: 60, finger: 2 }, { midi: 60 + by, finger: 2 }))).toEqual([
      undefined,
      "leap",
      undefined,
      "leap",
    ]);
    expect(second("left", { midi: 60 }, { midi: 68, finger: 1 }, 2)).toBe("leap");
    const chords = (...keys: readonly (readonly number[])[]): readonly (string | undefined)[] => {
      const asked = askedOf(
        keys.flatMap((chord, i) => chord.map((midi) => ({ midi, at: i, lasts: 1, hand: "left" as const }))),
      );
      return placesOf(takeOf(asked), "left").map((place) => place.difficulty);
    };
    expect(chords([48, 55], [62, 70], [50, 71])).toEqual([undefined, undefined, undefined]);
    expect(chords([48, 55], [63, 70], [40, 79])).toEqual([undefined, "leap", "leap"]);
  });

  it("keys at one moment are one place, grace notes none, and each hand has its own", () => {
    const asked = askedOf([
      { midi: 60, at: 0 },
      { midi: 63, at: 1, grace: true },
      { midi: 64, at: 1 },
      { midi: 67, at: 1 },
      { midi: 40, at: 1, hand: "left" },
      { midi: 72, at: 2 },
    ]);
    expect(placesOf(takeOf(asked), "right").map((place) => place.asked.map((note) => note.index))).toEqual([
      [0],
      [2, 3],
      [5],
    ]);
    expect(placesOf(takeOf(asked), "left").map((place) => place.asked.map((note) => note.index))).toEqual([[4]]);
    expect(placesOf(takeOf(asked.slice(0, 1)), "left")).toEqual([]);
    expect(placesOf(takeOf(asked), "right")[1]).not.toHaveProperty("difficulty");
  });

  // C major, right hand: thumb under to F and C going up (every manual of scales).
  it("a bare line gets the best fingers, but keeps its own, and chords get none", () => {
    const scale = [60, 62, 64, 65, 67, 69, 71, 72].map((midi, i) => ({ midi, at: i / 2 }));
    const turns = (notes: readonly Given[]): readonly number[] =>
      placesOf(takeOf(askedOf(notes)), "right").flatMap((place, i) => (place.difficulty === undefined ? [] : [i]));
    expect(turns(scale)[0]).toBe(3);
    expect(turns(scale.map((note) => ({ ...note, finger: 2 as const })))).toEqual([]);
    // One finger written: the rest is left to the player.
    expect(turns(scale.map((note, i) => (i === 0 ? { ...note, finger: 1 as const } : note)))).toEqual([]);
    expect(turns([...scale, { midi: 67, at: 4 }, { midi: 72, at: 4 }].sort((a, b) => a.at - b.at))).toEqual([]);
    // A chord's fingers do not say which of them turns.
    expect(
      turns([
        { midi: 60, at: 0, finger: 2 },
        { midi: 64, at: 0, finger: 3 },
        { midi: 65, at: 0.5, finger: 1 },
      ]),
    ).toEqual([]);
  });
});

describe("trouble spots", () => {
  /** Eighths on one key with the second finger; at each turn the thumb goes under to the next. */
  const line = (...turns: readonly number[]): readonly Asked[] => {
    let midi = 60;
    return askedOf(
      Array.from({ length: 32 }, (_, i) => {
        if (turns.includes(i)) midi += 2;
        return { midi, at: i / 2, finger: turns.includes(i) ? 1 : 2 };
      }),
    );
  };
  const spots = (asked: readonly Asked[], slips: readonly AlignedNote[]) => troubleSpots(takeOf(asked, slips));
  const turning = (asked: readonly Asked[], slips: readonly AlignedNote[]) =>
    spots(asked, slips).filter((spot) => spot.difficulty === "thumb-under");

  it("three slips at turns or on the note after, and at least half of all", () => {
    const asked = line(3, 10, 19, 27);
    expect(turning(asked, wrong(asked, 3, 11, 19))).toEqual([
      {
        hand: "right",
        difficulty: "thumb-under",
        slips: 3,
        of: 3,
        bars: [1, 2, 3],
        places: [
          { bar: 1, beat: "2.5", pitch: "D4" },
          { bar: 2, beat: "2.5", pitch: "E4" },
          { bar: 3, beat: "2.5", pitch: "Gb4" },
        ],
      },
    ]);
    expect(turning(asked, wrong(asked, 3, 10))).toEqual([]);
    expect(turning(asked, wrong(asked, 3, 10, 19, 0, 6, 14))).toMatchObject([{ slips: 3, of: 6 }]);
    expect(turning(asked, wrong(asked, 3, 10, 19, 0, 6, 14, 23))).toEqual([]);
    // Three turns in 32 notes are less than half of what chance asks for, and still three of seven are no half.
    const few = line(3, 10, 19);
    expect(turning(few, wrong(few, 3, 10, 19, 0, 6, 14, 23))).toEqual([]);
    // Two notes after the turn, or the note before it, is elsewhere.
    expect(turning(asked, wrong(asked, 3, 12, 19))).toEqual([]);
    expect(turning(asked, wrong(asked, 3, 9, 19))).toEqual([]);
  });

  it("twice what chance would put there", () => {
    // Eight turns: half of all notes are a turn or come after one.
    const asked = line(2, 6, 10, 14, 18, 22, 26, 30);
    expect(turning(asked, wrong(asked, 2, 10, 18))).toMatchObject([{ slips: 3, of: 3 }]);
    expect(turning(asked, wrong(asked, 2, 10, 18, 26, 0))).toEqual([]);
  });

  it("each kind of place by itself, and each hand", () => {
    const up = [0, 1, 2, 3, 4, 5].map((i) => ({
      midi: i % 2 === 0 ? 60 : 75,
      at: 4 * i,
      finger: 2 as const,
      hand: "left" as const,
    }));
    const still = Array.from({ length: 18 }, (_, i) => ({
      midi: 75,
      at: 24 + i,
      finger: 2 as const,
      hand: "left" as const,
    }));
    const asked = askedOf([...up, ...still]);
    expect(spots(asked, wrong(asked, 1, 2, 3))).toMatchObject([
      { hand: "left", difficulty: "leap", slips: 3, of: 3, bars: [2, 3, 4] },
    ]);
  });

  it("two slips or more in a bar, and two in five of all; the worse bar first", () => {
    const asked = line();
    const bars = (...at: readonly number[]) =>
      spots(asked, wrong(asked, ...at)).map((spot) => [spot.bars, spot.slips, spot.of]);
    expect(bars(1)).toEqual([]);
    expect(bars(1, 9)).toEqual([]);
    expect(bars(1, 2)).toEqual([[[1], 2, 2]]);
    expect(bars(9, 10, 1, 17, 25)).toEqual([[[2], 2, 5]]);
    expect(bars(9, 10, 1, 2, 17, 25)).toEqual([]);
    expect(bars(1, 2, 9, 10, 11)).toEqual([
      [[2], 3, 5],
      [[1], 2, 5],
    ]);
    expect(bars(9, 10, 1, 2)).toEqual([
      [[1], 2, 4],
      [[2], 2, 4],
    ]);
    expect(spots(asked, wrong(asked, 1, 2))[0]).not.toHaveProperty("difficulty");
  });

  it("an extra note counts where the last place had begun, a twentieth of a quarter note before it at most; a place is told once", () => {
    const asked = line();
    const where = (...heard: readonly number[]) =>
      spots(
        asked,
        heard.map((at) => extra(at)),
      ).map((spot) => [spot.bars, spot.places.map((place) => place.beat)]);
    expect(where(4.2, 4.3)).toEqual([[[2], ["1"]]]);
    expect(where(3.96, 4.6)).toEqual([[[2], ["1", "1.5"]]]);
    expect(where(3.94, 3.3)).toEqual([[[1], ["4", "4.5"]]]);
    expect(where(-3, -2)).toEqual([[[1], ["1"]]]);
    expect(where(99, 98)).toEqual([[[4], ["4.5"]]]);
    expect(where(4.05, 4.95)).toEqual([[[2], ["1", "2"]]]);
  });

  it("no slip for a grace note left out, and none in a hand that is asked for nothing", () => {
    const asked = askedOf([
      { midi: 63, at: 0, grace: true },
      { midi: 64, at: 0 },
      { midi: 63, at: 1, grace: true },
      { midi: 64, at: 1 },
    ]);
    expect(spots(asked, wrong(asked, 0, 2))).toEqual([]);
    expect(spots(asked, [extra(0, "left"), extra(1, "left"), extra(2, "left")])).toEqual([]);
  });
});
