import fc from "fast-check";
import { describe, expect, it } from "vitest";
import type { Finger, GraceNote, Hand, NoteEvent } from "../../src/event/index.ts";
import type { ScaleFingering } from "../../src/fingering/index.ts";
import { fingerPassage, fingerScale } from "../../src/fingering/index.ts";
import type { MoveKind } from "../../src/fingering/rules.ts";
import type { Pitch } from "../../src/pitch/index.ts";
import { pitchFromMidi } from "../../src/pitch/index.ts";
import { beats, beatsOf } from "../../src/time/index.ts";
import type { Question } from "./reference.ts";
import { bruteForce, costByRuleOf, costOfFingers } from "./reference.ts";

const hands = fc.constantFrom<Hand>("left", "right");
const key = (midi: number): Pitch => pitchFromMidi(midi, "flats");
const isBlack = (midi: number): boolean => [1, 3, 6, 8, 10].includes(midi % 12);

describe("the octave of a scale", () => {
  // Any set of notes that rises within an octave, not only scales that have a name.
  const octaves = fc
    .tuple(
      fc.integer({ min: 48, max: 59 }),
      fc.uniqueArray(fc.integer({ min: 1, max: 11 }), { minLength: 1, maxLength: 5 }),
    )
    .map(([tonic, above]) => [tonic, ...above.map((semitones) => tonic + semitones).sort((a, b) => a - b)]);
  /** The cycle as the hand climbs away from the body: the tonic last, which is where ties are settled. */
  const cycle = (midi: readonly number[], hand: Hand): readonly number[] => {
    const [tonic, ...others] = midi as [number, ...number[]];
    return hand === "right" ? [...others, tonic + 12] : [...others.reverse(), tonic];
  };
  const question = (midi: readonly number[], hand: Hand, rest: Partial<Question> = {}): Question => ({
    pitches: cycle(midi, hand).map(key),
    hand,
    cyclic: true,
    climb: 12,
    rules: "scale",
    choice: [1, 2, 3, 4],
    tonic: midi.map((_, i) => i === midi.length - 1),
    ...rest,
  });
  const ofCycle = ({ octaveFingers }: ScaleFingering, hand: Hand): readonly Finger[] => {
    const [tonic, ...others] = octaveFingers as [Finger, ...Finger[]];
    return hand === "right" ? [...others, tonic] : [...others.reverse(), tonic];
  };

  it("law: no fingering that repeats at the octave is cheaper, and of the cheapest the lowest fingers are given", () => {
    fc.assert(
      fc.property(
        octaves,
        hands,
        fc.constantFrom("scale" as const, "standard" as const, undefined),
        (midi, hand, rules) => {
          const [best] = bruteForce(question(midi, hand, rules === undefined ? {} : { rules }));
          expect(
            ofCycle(fingerScale(midi.map(key), { hand, ...(rules === undefined ? {} : { rules }) }), hand),
          ).toEqual(best?.fingers);
        },
      ),
      { numRuns: 30 },
    );
  });

  it("law: the same around a settled finger", () => {
    fc.assert(
      fc.property(octaves, hands, fc.nat(), fc.constantFrom<Finger>(1, 2, 3, 4, 5), (midi, hand, where, finger) => {
        const step = where % midi.length;
        const at = step === 0 ? midi.length - 1 : hand === "right" ? step - 1 : midi.length - 1 - step;
        const [best] = bruteForce(question(midi, hand, { fixed: { [at]: finger } }));
        expect(ofCycle(fingerScale(midi.map(key), { hand, fixed: { [step]: finger } }), hand)).toEqual(best?.fingers);
      }),
      { numRuns: 40 },
    );
  });

  it("law: the cost is that of the notes as they are listed", () => {
    fc.assert(
      fc.property(
        octaves,
        hands,
        fc.constantFrom("up" as const, "down" as const, "up-and-down" as const),
        fc.integer({ min: 1, max: 2 }),
        (midi, hand, direction, octaves) => {
          const { pitches, fingers, cost } = fingerScale(midi.map(key), { hand, direction, octaves });
          const tonic = pitches.map((p) => p.semitones % 12 === key(midi[0] as number).semitones % 12);
          expect(cost).toBe(costOfFingers({ pitches, hand, rules: "scale", tonic }, fingers));
        },
      ),
      { numRuns: 40 },
    );
  });

  it("no note of a chromatic scale names it", () => {
    for (const hand of ["left", "right"] as const) {
      const { pitches, fingers, cost, costByRule } = fingerScale("Eb chromatic", { hand });
      expect(costByRule).not.toHaveProperty("thumb-on-tonic");
      expect(cost).toBe(costOfFingers({ pitches, hand, rules: "scale" }, fingers));
    }
  });
});

describe("lines in time", () => {
  // A melody of eighths or sixteenths at 60: sixteenths a quarter of a second apart are fast. Some notes have a grace note a half step below.
  const melody = fc.tuple(
    fc.integer({ min: 55, max: 70 }),
    fc.array(
      fc.record({
        move: fc.integer({ min: -7, max: 7 }),
        quick: fc.boolean(),
        grace: fc.constantFrom(undefined, undefined, "slide" as const, "crushed" as const),
      }),
      { minLength: 1, maxLength: 4 },
    ),
  );
  interface Heard {
    readonly events: readonly NoteEvent[];
    readonly midi: readonly number[];
    readonly moves: readonly ("plain" | "fast" | "slide" | "crushed")[];
  }
  const heard = ([first, notes]: typeof melody extends fc.Arbitrary<infer T> ? T : never): Heard => {
    const events: NoteEvent[] = [];
    const midi: number[] = [];
    const moves: ("plain" | "fast" | "slide" | "crushed")[] = [];
    let [at, pitch, fast] = [0, first, false];
    for (const { move, quick, grace } of notes) {
      pitch += move;
      const graces: readonly GraceNote[] = grace === undefined ? [] : [{ pitch: key(pitch - 1), style: grace }];
      events.push({
        at: beatsOf(at, 4),
        duration: beatsOf(quick ? 1 : 2, 4),
        pitches: [key(pitch)],
        ...(grace === undefined ? {} : { graces }),
      });
      const arrival = fast ? "fast" : "plain";
      if (grace === undefined) moves.push(arrival);
      else {
        midi.push(pitch - 1);
        moves.push(arrival, grace === "slide" && isBlack(pitch - 1) && !isBlack(pitch) ? "slide" : "crushed");
      }
      midi.push(pitch);
      at += quick ? 1 : 2;
      fast = quick;
    }
    return { events, midi, moves };
  };

  it("law: with slides, crushed notes and fast notes no fingering is cheaper", () => {
    fc.assert(
      fc.property(melody, hands, (line, hand) => {
        const { events, midi, moves } = heard(line);
        const found = fingerPassage(events, { hand, tempo: 60, scale: false, sequences: false });
        const [best] = bruteForce({ pitches: midi.map(key), hand, moves, ceiling: found.cost });
        expect([found.cost, found.fingers]).toEqual([best?.cost, best?.fingers]);
        expect(found.pitches).toEqual(midi.map(key));
      }),
      { numRuns: 60 },
    );
  });

  it("law: on a named scale every note that leaves the scale's own finger is charged, and no fingering is cheaper", () => {
    fc.assert(
      fc.property(
        fc.array(fc.integer({ min: 55, max: 75 }), { minLength: 1, maxLength: 6 }),
        hands,
        fc.constantFrom("C major blues", "Eb minor blues", "A major"),
        (midi, hand, scale) => {
          const { octave, octaveFingers } = fingerScale(scale, { hand });
          const pattern = midi.map(
            (note): Finger | undefined =>
              octaveFingers[octave.findIndex((p) => p.semitones % 12 === key(note).semitones % 12)],
          );
          const pitches = midi.map(key);
          const events = pitches.map((p, i): NoteEvent => ({ at: beats(i), duration: beats(1), pitches: [p] }));
          const found = fingerPassage(pitches, { hand, scale });
          const [best] = bruteForce({ pitches, hand, pattern, ceiling: found.cost });
          expect([found.cost, found.fingers]).toEqual([best?.cost, best?.fingers]);
          expect(found.costByRule["scale-pattern"] ?? 0).toBe(
            400 * pattern.filter((finger, i) => finger !== undefined && finger !== found.fingers[i]).length,
          );
          const inTime = fingerPassage(events, { hand, scale });
          expect([inTime.cost, inTime.fingers]).toEqual([found.cost, found.fingers]);
        },
      ),
      { numRuns: 40 },
    );
  });

  it("law: runs that are slid into borrow the fingers of the scale with these slides, other runs those of the plain scale, grace notes none", () => {
    // Major blues of three keys, slid from ♭3 to 3 and from ♭6 to 6, crushed from a half step below, or neither. In C one finger slides,
    // in A two fingers play, in D the one and the other. Where ♭3 is a grace note it is played in runs without slides alone.
    const plain = [0, 2, 3, 4, 7, 9];
    const moveTo = (midi: number): "slide" | "crushed" => (isBlack(midi - 1) && !isBlack(midi) ? "slide" : "crushed");
    const patterns = new Map<string, ReadonlyMap<number, Finger>>();
    const patternOf = (hand: Hand, tonic: number, slid: readonly number[]): ReadonlyMap<number, Finger> => {
      const id = [hand, tonic, ...slid].join(" ");
      const known = patterns.get(id);
      if (known !== undefined) return known;
      const notes = plain
        .filter((note) => !slid.includes(note + 1))
        .flatMap((note) => (slid.includes(note) ? [note - 1, note] : [note]));
      const [best] = bruteForce({
        pitches: notes.map((note) => key(tonic + note)),
        hand,
        cyclic: true,
        climb: hand === "right" ? 12 : -12,
        rules: "scale",
        choice: [1, 2, 3, 4],
        tonic: notes.map((note) => note === 0),
        moves: notes.map((note) => (slid.includes(note) ? moveTo(tonic + note) : "plain")),
      });
      const pattern = new Map(
        notes.flatMap((note, i) => (slid.includes(note + 1) ? [] : [[note, best?.fingers[i] as Finger] as const])),
      );
      patterns.set(id, pattern);
      return pattern;
    };
    const note = fc.record({
      step: fc.constantFrom(-1, 1, 1, 2),
      times: fc.constantFrom(1, 2),
      grace: fc.constantFrom("slide", "slide", "crushed", undefined),
    });
    const lines = fc.sample(
      fc.tuple(
        hands,
        fc.constantFrom(60, 62, 57),
        fc.constantFrom(3, 4, 5),
        fc.array(note, { minLength: 2, maxLength: 4 }),
      ),
      { seed: 6, numRuns: 200 },
    );
    for (const [hand, tonic, first, notes] of lines) {
      // Steps of the scale with the plain third left out; some notes are struck twice, the second time without a grace note.
      let at: number = first;
      const places = notes.flatMap(({ step, times, grace }) => {
        at = Math.max(0, at + step);
        if (at === 2) at += step < 0 ? -1 : 1;
        return [{ place: at, grace }, ...(times === 2 ? [{ place: at, grace: undefined }] : [])];
      });
      const mains = places.map(({ place, grace }) => {
        const above = plain[place % 6] as number;
        return {
          above,
          midi: tonic + 12 * Math.floor(place / 6) + above,
          grace: grace === "slide" && above !== 4 && above !== 9 ? undefined : grace,
        };
      });
      const slid = [...new Set(mains.filter(({ grace }) => grace === "slide").map(({ above }) => above))].sort(
        (a, b) => a - b,
      );
      // Runs: as long as no step turns round; the note that a run turns on belongs to both.
      const runs: number[][] = [[0]];
      let way = 0;
      for (let i = 1; i < mains.length; i++) {
        const step = Math.sign((mains[i]?.midi as number) - (mains[i - 1]?.midi as number));
        if (step !== 0 && way !== 0 && step !== way) runs.push([i - 1]);
        if (step !== 0) way = step;
        runs.at(-1)?.push(i);
      }
      const borrows = (i: number): boolean =>
        runs.some((run) => run.includes(i) && run.some((j) => mains[j]?.grace === "slide"));
      const all = mains.flatMap(
        (
          { above, midi, grace },
          i,
        ): readonly { readonly midi: number; readonly move: MoveKind; readonly finger: Finger | undefined }[] => {
          const main = {
            midi,
            move: grace === undefined ? "plain" : grace === "slide" ? moveTo(midi) : "crushed",
            finger: patternOf(hand, tonic, borrows(i) ? slid : []).get(above),
          } as const;
          return grace === undefined ? [main] : [{ midi: midi - 1, move: "plain", finger: undefined }, main];
        },
      );
      const events = mains.map(
        ({ midi, grace }, i): NoteEvent => ({
          at: beats(i),
          duration: beats(1),
          pitches: [key(midi)],
          ...(grace === undefined ? {} : { graces: [{ pitch: key(midi - 1), style: grace }] }),
        }),
      );
      const question = {
        pitches: all.map(({ midi }) => key(midi)),
        hand,
        moves: all.map(({ move }) => move),
        pattern: all.map(({ finger }) => finger),
      };
      const found = fingerPassage(events, {
        hand,
        scale: `${({ 60: "C", 62: "D", 57: "A" } as const)[tonic]} major blues`,
      });
      const [best] = bruteForce({ ...question, ceiling: found.cost });
      expect([found.cost, found.fingers]).toEqual([best?.cost, best?.fingers]);
      expect(found.costByRule).toEqual(costByRuleOf(question, found.fingers));
    }
  });

  it("law: mirrored about D the other hand takes the same fingers, slides, crushed notes, rests and chords and all", () => {
    const turned = (midi: number): Pitch => key(124 - midi);
    const other: Record<Hand, Hand> = { left: "right", right: "left" };
    fc.assert(
      fc.property(
        melody,
        fc.uniqueArray(fc.integer({ min: 60, max: 67 }), { minLength: 2, maxLength: 3 }),
        hands,
        fc.constantFrom("one-finger" as const, "2-3" as const, "3-4" as const),
        (line, chord, hand, slides) => {
          const { events } = heard(line);
          const end = events.length;
          const all: readonly NoteEvent[] = [
            ...events,
            { at: beats(end + 1), duration: beats(1), pitches: [...chord].sort((a, b) => a - b).map(key) },
          ];
          const mirrored = all.map(
            (event): NoteEvent => ({
              ...event,
              pitches: event.pitches.map((p) => turned(p.semitones + 12)).reverse(),
              ...(event.graces === undefined
                ? {}
                : { graces: event.graces.map((grace) => ({ ...grace, pitch: turned(grace.pitch.semitones + 12) })) }),
            }),
          );
          const here = fingerPassage(all, { hand, slides });
          const there = fingerPassage(mirrored, { hand: other[hand], slides });
          expect(there.cost).toBe(here.cost);
          expect(there.fingers.slice(0, -chord.length)).toEqual(here.fingers.slice(0, -chord.length));
          expect(there.fingers.slice(-chord.length).reverse()).toEqual(here.fingers.slice(-chord.length));
        },
      ),
      { numRuns: 40 },
    );
  });
});
