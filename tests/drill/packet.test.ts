import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { degreeOver } from "../../src/chord/index.ts";
import { makeDrill, packetDrills } from "../../src/drill/index.ts";
import type { TimeSpan } from "../../src/event/index.ts";
import { MusicError } from "../../src/ground/errors.ts";
import { lickRow } from "../../src/line/index.ts";
import { noteName, parsePitch, pitchClassOf } from "../../src/pitch/index.ts";
import type { PacketRecipe } from "../../src/recipe/index.ts";
import { drillsOfLevel, levelCatalogue, parsePacketRecipe, rightHandCatalogue } from "../../src/recipe/index.ts";
import { drillRecipeSchema, packetRecipeSchema } from "../../src/recipe/inner.ts";

const refusal = (recipe: unknown): MusicError => {
  try {
    packetDrills(recipe as PacketRecipe);
  } catch (error) {
    if (error instanceof MusicError) return error;
    throw error;
  }
  throw new Error("accepted");
};

const overlap = (a: TimeSpan, b: TimeSpan): boolean => {
  const [from, to] = [a, b].map(({ at, duration }) => [at.num / at.den, at.num / at.den + duration.num / duration.den]);
  return Math.max(from![0]!, to![0]!) < Math.min(from![1]!, to![1]!) - 1e-9;
};

const recipes = fc.record(
  {
    keys: fc.uniqueArray(fc.constantFrom("C", "F", "Bb", "Eb", "Ab", "E", "A"), { minLength: 1, maxLength: 4 }),
    mode: fc.constantFrom("major" as const, "minor" as const),
    levels: fc.uniqueArray(fc.constantFrom(1 as const, 2 as const, 3 as const, 4 as const, 5 as const), {
      minLength: 1,
    }),
    exercises: fc.oneof(
      fc.integer({ min: 1, max: 3 }),
      fc.uniqueArray(fc.constantFrom(...rightHandCatalogue.map((row) => row.id)), { minLength: 1, maxLength: 4 }),
    ),
    tempo: fc.integer({ min: 20, max: 400 }),
  },
  { requiredKeys: [] },
);

describe("a packet recipe", () => {
  it("law: a packet is every key with every level with every exercise, in that order", () => {
    fc.assert(
      fc.property(recipes, (recipe) => {
        const drills = packetDrills(recipe);
        const { keys, levels, exercises } = parsePacketRecipe(recipe);
        const ofLevel = (level: (typeof levels)[number]): readonly unknown[] =>
          typeof exercises === "number"
            ? drillsOfLevel(level, recipe.mode === undefined ? {} : { mode: recipe.mode })
                .slice(0, exercises)
                .map((drill) => drill.right)
            : exercises;
        const tonics = keys === "all" ? [...new Set(drills.map((drill) => drill.key))] : keys;
        expect(tonics).toHaveLength(keys === "all" ? 12 : keys.length);
        expect(drills.map(({ key, level, number, recipe: { right } }) => [key, level, number, right])).toEqual(
          tonics.flatMap((key) =>
            levels.flatMap((level) => ofLevel(level).map((right, i) => [key, level, i + 1, right])),
          ),
        );
      }),
      { numRuns: 60 },
    );
  });

  it("law: each drill can be made, in its own key and at the packet's tempo", () => {
    fc.assert(
      fc.property(recipes, (recipe) => {
        for (const { key, recipe: drillRecipe } of packetDrills({
          ...recipe,
          levels: (recipe.levels ?? [1, 3]).slice(0, 2),
          keys: recipe.keys?.slice(0, 2) ?? ["C"],
        })) {
          const drill = makeDrill(drillRecipe);
          // A minor key without a signature (D flat minor) goes by its twin's name.
          expect(pitchClassOf(drill.progression.key.tonic)).toBe(pitchClassOf(key));
          expect(drill.progression.key.mode).toBe(recipe.mode ?? "major");
          expect(drill.score.tempo).toBe(recipe.tempo ?? 100);
        }
      }),
      { numRuns: 6 },
    );
  });

  it("has all twelve keys once in each order: by fourths, by fifths, up by semitones", () => {
    const classes = (order: "fourths" | "fifths" | "chromatic"): readonly number[] =>
      packetDrills({ levels: [1], exercises: 1, order }).map(({ key }) => pitchClassOf(key));
    expect(classes("fourths")).toEqual(Array.from({ length: 12 }, (_, i) => (i * 5) % 12));
    expect(classes("fifths")).toEqual(Array.from({ length: 12 }, (_, i) => (i * 7) % 12));
    expect(classes("chromatic")).toEqual(Array.from({ length: 12 }, (_, i) => i));
  });

  it("takes a key, level or exercise once, however often it is named", () => {
    expect(
      packetDrills({ keys: ["C", "F", "C"], levels: [1, 1], exercises: ["turns", "turns"] }).map(({ key, number }) => [
        key,
        number,
      ]),
    ).toEqual([
      ["C", 1],
      ["F", 1],
    ]);
  });

  it("takes what a level chooses unless the recipe says otherwise", () => {
    const [own] = packetDrills({ keys: ["C"], levels: [4], exercises: 1 });
    const row = levelCatalogue[3];
    expect(own?.recipe).toMatchObject({
      changes: row.changes.major,
      left: row.left,
      octaves: row.octaves,
      values: row.values[0],
    });
    const said = {
      left: "shell",
      changes: "blues",
      values: "triplets",
      octaves: 1,
      comping: "held",
      pickup: true,
      lowBass: true,
      tempo: 60,
      feel: "3:2",
      backing: "none",
      seed: 4,
      repeats: 2,
      scale: "minor blues",
    } as const;
    expect(packetDrills({ keys: ["C"], levels: [4], exercises: 1, ...said })[0]?.recipe).toMatchObject(said);
  });

  // C F and G 7ths a major second lower and so on: transposition of a chart by hand, common practice, no source.
  it("transposes a chart of chord symbols to each key, from the key it is written in", () => {
    const symbols = (recipe: PacketRecipe): readonly string[] =>
      packetDrills({ levels: [1], exercises: 1, ...recipe }).map(({ recipe: drill }) =>
        makeDrill(drill)
          .progression.chords.map((span) => span.chord?.symbol)
          .join(" "),
      );
    expect(symbols({ keys: ["C", "Eb", "A"], changes: "Dm7 | G7 | Cmaj7" })).toEqual([
      "Dm7 G7 Cmaj7",
      "Fm7 Bb7 Ebmaj7",
      "Bm7 E7 Amaj7",
    ]);
    expect(symbols({ keys: ["F"], changes: "Dm7 | G7", chartKey: "C" })).toEqual(["Gm7 C7"]);
    expect(symbols({ keys: ["F"], changes: "Dm7 | G7", chartKey: "F" })).toEqual(["Dm7 G7"]);
    expect(symbols({ keys: ["D"], changes: "Dø | G7b9 | Cm6" })).toEqual(["Eø A7b9 Dm6"]);
    expect(symbols({ keys: ["D"], changes: "ii V I" })).toEqual(
      symbols({ keys: ["D"], changes: "Dm7 | G7 | Cmaj7" }).map((text) =>
        text.replace("Dmaj7", symbols({ keys: ["D"], changes: "ii V I" })[0]?.split(" ")[2] ?? ""),
      ),
    );
  });

  it("law: a drill with a chart key is the drill of the chart written out in its own key", () => {
    const written = makeDrill({ key: "Eb", changes: "Fm9 | Bb13 | Ebmaj9", left: "rootless" });
    const moved = makeDrill({ key: "Eb", changes: "Dm9 | G13 | Cmaj9", chartKey: "C", left: "rootless" });
    expect(moved.score.left).toEqual(written.score.left);
    expect(moved.score.right).toEqual(written.score.right);
    expect(moved.score.chords).toEqual(written.score.chords);
  });

  it("says where it is wrong", () => {
    const cases: readonly (readonly [unknown, RegExp])[] = [
      [{ keys: ["C", "H"] }, /at keys\.1/],
      [{ keys: [] }, /at keys/],
      [{ keys: "some" }, /at keys/],
      [{ keys: ["C minor"] }, /mode/],
      [{ levels: [1, 6] }, /at levels\.1/],
      [{ levels: "1" }, /at levels/],
      [{ exercises: 0 }, /at exercises/],
      [{ exercises: ["turns", "sideways"] }, /at exercises\.1/],
      [{ tempo: "fast" }, /at tempo/],
      [{ order: "random" }, /at order/],
      [{ tint: 1 }, /no such field at tint/],
      [[], /an object/],
      ["x", /an object/],
      [null, /an object/],
      [{ title: "" }, /at title/],
      [{ mode: "major", changes: "minor-two-five-one" }, /mode/],
      [{ octaves: 4 }, /at octaves/],
    ];
    for (const [recipe, expected] of cases) {
      const error = refusal(recipe);
      expect([JSON.stringify(recipe), error.code]).toEqual([JSON.stringify(recipe), "recipe/packet"]);
      expect(error.expected).toMatch(expected);
    }
    expect(refusal({ exercises: ["turn"] }).hint).toBe("did you mean turns?");
    expect(refusal({ level: [1] }).hint).toBe("did you mean levels?");
  });

  it("law: it has every field of a drill, but key, right hand and its level, and what part of it is played", () => {
    const {
      key: _key,
      right: _right,
      level: _level,
      hands: _hands,
      bars: _bars,
      lineTempo: _lineTempo,
      ...fields
    } = drillRecipeSchema.entries;
    expect(Object.keys(packetRecipeSchema.entries)).toEqual(expect.arrayContaining(Object.keys(fields)));
  });

  it("a lick of one's own goes through all twelve keys, with the same steps over the chords of each", () => {
    const lick = lickRow({ notes: "D4 F4 A4 C5 B4*2", chords: "Dm7*2 G7*2" }, { title: "Down to the third" });
    const drills = packetDrills({
      keys: "all",
      levels: [2],
      exercises: [lick],
      changes: "Dm7 G7 | Cmaj7",
      left: "shell",
    });
    expect(new Set(drills.map(({ key }) => key)).size).toBe(12);
    for (const { recipe, key } of drills) {
      const { line, progression } = makeDrill(recipe);
      expect(line.id).toBe("down-to-the-third");
      // Root, 3rd, 5th and 7th of the minor chord, then the 3rd of the dominant.
      const [minor, dominant] = progression.chords.map(({ chord }) => chord!);
      const degrees = line.events
        .slice(0, 5)
        .map(({ pitches }, i) => degreeOver((i < 4 ? minor! : dominant!).root, noteName(pitches[0]!)));
      expect(degrees, key).toEqual(["1", "b3", "5", "b7", "3"]);
    }
  });

  it.each(["shell", "rootless"] as const)(
    "law: a lick lies where it was given in all twelve keys over %s voicings, or says that it lies higher, and no hand crosses",
    (left) => {
      const notes = "D4 F4 A4 C5 B4*2";
      const lick = lickRow({ notes, chords: "Dm7*2 G7*2" }, { title: "Down to the third" });
      const changes = "Dm7 G7 | Cmaj7";
      const drills = packetDrills({ keys: "all", levels: [2], exercises: [lick], changes, left });
      for (const { recipe, key } of drills) {
        const { line, score, remarks } = makeDrill(recipe);
        const moved = line.events[0]!.pitches[0]!.semitones - parsePitch("D4").semitones;
        const higher = remarks.some((remark) => remark.includes("an octave higher"));
        expect(Math.abs(moved - (higher ? 12 : 0)), key).toBeLessThanOrEqual(6);
        for (const right of score.right)
          for (const held of score.left)
            if (overlap(right, held))
              expect(held.pitches.at(-1)!.semitones, key).toBeLessThan(right.pitches[0]!.semitones);
      }
    },
  );

  it("law: a field that says undefined says nothing", () => {
    const nothing = { tempo: undefined, values: undefined, octaves: undefined, left: undefined, seed: undefined };
    expect(packetDrills({ levels: [1, 3], keys: ["C"], ...nothing })).toStrictEqual(
      packetDrills({ levels: [1, 3], keys: ["C"] }),
    );
  });
});
