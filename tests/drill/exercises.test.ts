import { describe, expect, it } from "vitest";
import { drillKeys, makeDrill } from "../../src/drill/index.ts";
import type { ExerciseId, ExerciseRow } from "../../src/line/index.ts";
import { exerciseCatalogue } from "../../src/line/index.ts";
import { midiNumber, pitchClassOf } from "../../src/pitch/index.ts";
import { beatsToNumber } from "../../src/time/index.ts";

const CHANGES = ["turnaround", "minor-two-five-one", "blues"] as const;
type Changes = (typeof CHANGES)[number];
const keysOf = (changes: Changes): readonly string[] =>
  drillKeys(changes, changes.startsWith("minor") ? "minor blues" : "major blues").map((key) =>
    changes.startsWith("minor") ? `${key} minor` : key,
  );
const drillOf = (id: ExerciseId, key: string, changes: Changes, left: "shell" | "rootless" = "rootless") => {
  const row: ExerciseRow | undefined = exerciseCatalogue.find((one) => one.id === id);
  return makeDrill({ key, changes, left, right: id, octaves: row?.leastOctaves ?? 1 });
};

interface Over {
  /** The chord's number in the turn. */
  readonly index: number;
  /** Semitones of the chord's tones over its root, by degree. */
  readonly tones: ReadonlyMap<string, number>;
  /** The notes while it lasts: the beat, the key and the distance above the root. */
  readonly notes: readonly { readonly at: number; readonly midi: number; readonly over: number }[];
}

/** What the right hand plays over each chord. */
const overChords = (id: ExerciseId, key: string, changes: Changes): readonly Over[] => {
  const { score, progression } = drillOf(id, key, changes);
  return score.chords.flatMap(({ at, duration, chord }, i): readonly Over[] => {
    if (chord === undefined) return [];
    const root = pitchClassOf(chord.root);
    const above = (sound: number): number => (((sound - root) % 12) + 12) % 12;
    const from = beatsToNumber(at);
    const to = from + beatsToNumber(duration);
    const notes = score.right.flatMap((event) => {
      const begins = beatsToNumber(event.at);
      return begins < from || begins >= to
        ? []
        : event.pitches.map((pitch) => ({
            at: begins,
            midi: midiNumber(pitch),
            over: above(midiNumber(pitch)),
          }));
    });
    const tones = new Map(chord.tones.map(({ degree, note }) => [degree, above(pitchClassOf(note))]));
    return [{ index: i % progression.chords.length, tones, notes }];
  });
};

const everywhere = (id: ExerciseId, see: (over: readonly Over[], key: string, changes: Changes) => void): void => {
  for (const changes of CHANGES) for (const key of keysOf(changes)) see(overChords(id, key, changes), key, changes);
};

const soundOf = (tones: Over["tones"], ...degrees: readonly string[]): number | undefined =>
  degrees.map((degree) => tones.get(degree)).find((sound) => sound !== undefined);
const FIFTHS = ["5", "b5", "#5"];
const THIRDS = ["3", "b3"];
const SEVENTHS = ["b7", "7", "bb7"];

describe("every exercise over a turnaround, a minor ii–V–i and a blues", () => {
  it("law: it is made in all twelve keys, on the keyboard, with a finger on every note", () => {
    for (const changes of CHANGES)
      keysOf(changes).forEach((key, i) => {
        for (const row of exerciseCatalogue) {
          const { score } = drillOf(row.id, key, changes, i % 2 === 0 ? "shell" : "rootless");
          const what = [row.id, key, changes];
          const alone = "left" in row && row.left === "alone";
          expect([...what, score.right.length > 0]).toEqual([...what, !alone]);
          const keys = [...score.right, ...score.left].flatMap(({ pitches }) => pitches.map(midiNumber));
          expect([...what, keys.filter((one) => one < 21 || one > 108)]).toEqual([...what, []]);
          const bare = score.right.filter(({ pitches, fingers }) => fingers?.length !== pitches.length);
          expect([...what, bare]).toEqual([...what, []]);
        }
      });
  }, 120_000);

  it("law: over a minor ii–V–i no hand reaches below the other", () => {
    for (const key of keysOf("minor-two-five-one"))
      for (const { id } of exerciseCatalogue)
        for (const left of ["shell", "rootless"] as const) {
          const { score } = drillOf(id, key, "minor-two-five-one", left);
          const crossed = score.right.filter((note) => {
            const [from, to] = [beatsToNumber(note.at), beatsToNumber(note.at) + beatsToNumber(note.duration)];
            const lowest = Math.min(...note.pitches.map(midiNumber));
            return score.left.some(
              ({ at, duration, pitches }) =>
                beatsToNumber(at) < to &&
                from < beatsToNumber(at) + beatsToNumber(duration) &&
                pitches.some((pitch) => midiNumber(pitch) > lowest),
            );
          });
          expect([id, key, left, crossed.length]).toEqual([id, key, left, 0]);
        }
  }, 120_000);
});

// What each holds. Source: common practice.
describe("what an exercise over chords holds", () => {
  it.each(["one-two-three-five", "five-three-two-one", "three-one-two-five"] as const)(
    "law: %s: the root, the second, the third and the fifth of each chord, and no more",
    (id) =>
      everywhere(id, (chords, key, changes) => {
        for (const { tones, notes } of chords) {
          const cell = [0, 1, 2, soundOf(tones, ...THIRDS), soundOf(tones, ...FIFTHS)];
          expect([key, changes, notes.filter(({ over }) => !cell.includes(over))]).toEqual([key, changes, []]);
        }
      }),
  );

  it("law: three to nine: third, fifth, seventh and ninth", () =>
    everywhere("three-to-nine", (chords, key, changes) => {
      for (const { tones, notes } of chords) {
        const third = soundOf(tones, ...THIRDS);
        const fifth = soundOf(tones, ...FIFTHS);
        const seventh = soundOf(tones, ...SEVENTHS);
        const sevenths = seventh === undefined ? [10, 11] : [seventh];
        const outside = notes.filter(({ over }) => ![third, fifth, ...sevenths, 1, 2].includes(over));
        expect([key, changes, outside]).toEqual([key, changes, []]);
      }
    }));

  it("law: the guide-tone line: thirds and sevenths, a sixth for a seventh that the chord lacks, each seventh falling by step to the third a fourth above, no leap beyond a fifth", () =>
    everywhere("guide-tone-line", (chords, key, changes) => {
      const line = chords.flatMap(({ notes }) => notes.map(({ midi }) => midi));
      const leaps = line.slice(1).map((midi, i) => Math.abs(midi - (line[i] ?? midi)));
      expect([key, changes, leaps.filter((leap) => leap > 7)]).toEqual([key, changes, []]);
      chords.forEach(({ tones, notes }, i) => {
        const held = [soundOf(tones, ...THIRDS), soundOf(tones, ...SEVENTHS, "6")];
        expect([key, changes, notes.map(({ over }) => held.includes(over))]).toEqual([
          key,
          changes,
          notes.map(() => true),
        ]);
        const next = chords[i + 1];
        const isTwoFive = changes === "minor-two-five-one" && i % 4 < 2;
        if (next === undefined || !isTwoFive) return;
        const fall = (notes.at(-1)?.midi ?? 0) - (next.notes[0]?.midi ?? 0);
        expect([key, i, fall === 1 || fall === 2]).toEqual([key, i, true]);
      });
    }));

  it("law: target thirds: thirds alone", () =>
    everywhere("target-thirds", (chords) => {
      for (const { tones, notes } of chords)
        expect(notes.map(({ over }) => over)).toEqual(notes.map(() => soundOf(tones, ...THIRDS)));
    }));

  it("law: eight-note scales: root, third, fifth and seventh (the sixth without a minor seventh) on the beats, the added note between them", () =>
    everywhere("bebop-scales", (chords, key, changes) => {
      for (const { tones, notes } of chords) {
        const minorSeventh = tones.has("b7");
        const tonesOnBeats = [0, soundOf(tones, ...THIRDS), soundOf(tones, ...FIFTHS), minorSeventh ? 10 : 9];
        const on = notes.filter(({ at }) => Number.isInteger(at));
        expect(on.length).toBeGreaterThan(3);
        expect([key, changes, on.filter(({ over }) => !tonesOnBeats.includes(over))]).toEqual([key, changes, []]);
        const added = minorSeventh ? 11 : 8;
        const between = notes.filter(({ at, over }) => over === added && !Number.isInteger(at));
        expect(between.length).toBeGreaterThan(0);
      }
    }));

  it("law: over a V into minor they have the flat ninth and the flat thirteenth", () => {
    for (const key of keysOf("minor-two-five-one"))
      for (const id of ["bebop-scales", "one-two-three-five", "three-to-nine", "guide-tones"] as const) {
        const five = overChords(id, key, "minor-two-five-one").filter(({ index }) => index === 1);
        const heard = five.flatMap(({ notes }) => notes.map(({ over }) => over));
        expect([id, key, heard.filter((over) => over === 2 || over === 9)]).toEqual([id, key, []]);
        if (id === "bebop-scales") expect([key, heard.includes(8)]).toEqual([key, true]);
        if (id === "one-two-three-five") expect([key, heard.includes(1)]).toEqual([key, true]);
      }
  });

  it("law: cells for ii and V: 1 2 3 5 on the ii and on what is no V after it, on the V from the third down through the seventh", () => {
    for (const key of keysOf("minor-two-five-one")) {
      const [two, five, one] = overChords("two-five-cells", key, "minor-two-five-one");
      expect(two?.notes.slice(0, 4).map(({ over }) => over)).toEqual([0, expect.toBeOneOf([1, 2]), 3, 6]);
      expect(one?.notes.slice(0, 4).map(({ over }) => over)).toEqual([0, 2, 3, 7]);
      const cell = five?.notes.slice(0, 4) ?? [];
      expect(cell.map(({ over }) => over)).toEqual([4, 0, 10, 7]);
      expect(cell.map(({ midi }) => midi)).toEqual(cell.map(({ midi }) => midi).sort((a, b) => b - a));
    }
    // Nor is the IV of a blues a V.
    const four = overChords("two-five-cells", "F", "blues").filter(({ index }) => index === 4);
    expect(four.map(({ notes }) => notes[0]?.over)).toEqual([0]);
  });
});

describe("what an exercise through the scale holds", () => {
  it("law: diatonic sevenths are stacked thirds of the key's seven notes, each from a beat on", () => {
    for (const changes of CHANGES)
      for (const key of keysOf(changes)) {
        const { line } = drillOf("diatonic-sevenths", key, changes);
        expect(line.scale.notes).toHaveLength(7);
        const rising = line.events.slice(0, 32).map(({ pitches: [pitch], at }) => ({
          midi: pitch === undefined ? 0 : midiNumber(pitch),
          at: beatsToNumber(at),
        }));
        for (let i = 0; i < 32; i += 4) {
          const chord = rising.slice(i, i + 4);
          expect([key, changes, chord[0]?.at]).toEqual([key, changes, i / 2]);
          const thirds = chord.slice(1).map(({ midi }, k) => midi - (chord[k]?.midi ?? 0));
          expect(thirds.every((size) => size === 3 || size === 4)).toBe(true);
        }
      }
  });

  it("law: fourths are fourths", () => {
    for (const changes of CHANGES)
      for (const key of keysOf(changes)) {
        const { line } = drillOf("fourths", key, changes);
        const [first, second] = line.events.map(({ pitches: [pitch] }) =>
          pitch === undefined ? 0 : midiNumber(pitch),
        );
        expect((second ?? 0) - (first ?? 0)).toBe(5);
        expect(line.scale.notes).toHaveLength(7);
      }
  });
});
