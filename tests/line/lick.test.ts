import fc from "fast-check";
import * as v from "valibot";
import { describe, expect, it } from "vitest";
import { exerciseDataSchema } from "../../src/line/inner.ts";
import type { LickNotes } from "../all.ts";
import {
  exerciseLine,
  isMusicError,
  lickRow,
  parseChart,
  parseChord,
  parseKey,
  parsePitch,
  pitchClassOf,
  pitchName,
  readLeadSheet,
  transposeProgression,
  writeLeadSheet,
} from "../all.ts";

const LICK: LickNotes = { notes: "D4 F4 A4 C5 B4 A4 G4 F4 E4*2 r*2", chords: "Dm7 G7 | Cmaj7" };
const names = (changes: string, lick: LickNotes, moved: "diatonically" | "chromatically", scale = "C major") =>
  exerciseLine(lickRow(lick, { moved }), { scale, progression: changes }).events.map(({ pitches }) =>
    pitches.map(pitchName).join(),
  );
const classes = (list: readonly string[]): readonly number[] =>
  list.map((name) => ((parsePitch(name).semitones % 12) + 12) % 12);
const KEYS = ["C", "Db", "D", "Eb", "E", "F", "F#", "G", "Ab", "A", "Bb", "B"] as const;

describe("a lick of one's own", () => {
  it.each(["diatonically", "chromatically"] as const)("law: over its own chords it is itself, %s", (moved) => {
    expect(classes(names("Dm7 G7 | Cmaj7", LICK, moved))).toEqual(classes("D4 F4 A4 C5 B4 A4 G4 F4 E4".split(" ")));
  });

  it.each(["diatonically", "chromatically"] as const)(
    "law: in each of the 12 keys it is itself transposed, %s",
    (moved) => {
      const home = classes(names("Dm7 G7 | Cmaj7", LICK, moved));
      for (const key of KEYS) {
        const there = transposeProgression(parseProgressionIn("Dm7 G7 | Cmaj7"), key);
        const line = exerciseLine(lickRow(LICK, { moved }), { scale: `${key} major`, progression: there });
        const by = pitchClassOf(parseKey(key).tonic);
        expect(classes(line.events.map(({ pitches }) => pitchName(pitches[0]!)))).toEqual(
          home.map((one) => (one + by) % 12),
        );
        // Every note has a finger, and nothing lies above C7.
        expect(line.events.every(({ fingers }) => fingers?.length === 1)).toBe(true);
      }
    },
  );

  it.each(["diatonically", "chromatically"] as const)(
    "law: in each key it lies where it was given, moved by the smallest interval, %s",
    (moved) => {
      fc.assert(
        fc.property(fc.constantFrom(...KEYS), fc.constantFrom("D3", "D4", "D5"), (key, first) => {
          const notes = `${first} F4 A4 C5 B4`.replace(/[FACB](\d)/g, (name, octave: string) =>
            name.replace(octave, String(Number(octave) + Number(first.slice(1)) - 4)),
          );
          const there = transposeProgression(parseProgressionIn("Dm7 G7 | Cmaj7"), key);
          const row = lickRow({ notes, chords: "Dm7 G7 | Cmaj7" }, { moved });
          const line = exerciseLine(row, { scale: `${key} major`, progression: there });
          const by = line.events.map(({ pitches }, i) => {
            const given = parsePitch(notes.split(" ")[i % 5]!);
            return pitches[0]!.semitones - given.semitones;
          });
          const up = pitchClassOf(parseKey(key).tonic);
          // C itself, then up to a tritone either way.
          expect(up === 6 ? Math.abs(by[0]!) : by[0]).toBe(up === 6 ? 6 : up > 6 ? up - 12 : up);
          expect(new Set(by)).toEqual(new Set([by[0]]));
        }),
      );
    },
  );

  it("law: over its own chords it is itself in every key, whatever notes stand beside the chords, over its scale or a blues scale", () => {
    const pool = ["C4", "D4", "E4", "Eb4", "F4", "F#4", "G4", "Ab4", "A4", "Bb4", "B4", "C#5"];
    fc.assert(
      fc.property(
        fc.array(fc.constantFrom(...pool), { minLength: 3, maxLength: 8 }),
        fc.constantFrom("Dm7 G7 | Cmaj7", "Em7 A7 | Dm7", "Cmaj7 | Fmaj7"),
        fc.constantFrom("major blues", "major"),
        fc.constantFrom(...KEYS),
        (notes, chords, type, key) => {
          const row = lickRow({ notes: notes.join(" "), chords: `Key: C\n${chords}` });
          const there = transposeProgression(parseProgressionIn(`Key: C\n${chords}`), key);
          const { events } = exerciseLine(row, { scale: `${key} ${type}`, progression: there });
          const up = pitchClassOf(parseKey(key).tonic);
          expect(classes(events.slice(0, notes.length).map(({ pitches }) => pitchName(pitches[0]!)))).toEqual(
            classes(notes).map((one) => (one + up) % 12),
          );
        },
      ),
    );
  });

  it("leaves its octave only where the line would leave its range", () => {
    const row = lickRow({ notes: "B6 G6", chords: "G7" });
    const heard = (highest?: string) =>
      exerciseLine(row, { scale: "C major", progression: "C7", ...(highest && { highest }) }).events.map(
        ({ pitches }) => pitchName(pitches[0]!),
      );
    // Up a fourth would be E7, above the C7 that lines reach.
    expect(heard()).toEqual(["E6", "C6"]);
    expect(heard("C6")).toEqual(["E5", "C5"]);
  });

  // Common practice, no source: degrees stay, and each chord says what they are.
  it.each([
    ["diatonically", "Dø G7b9 | Cm6", "D F Ab C B Ab G F Eb"],
    ["chromatically", "Dø G7b9 | Cm6", "D F A C B A G F E"],
    ["diatonically", "Em7 A7 | Dmaj7", "E G B D C# B A G F#"],
    ["diatonically", "Am7 D7 | Gmaj7", "A C E G F# E D C B"],
    // Over one chord all bar long: third, ninth, root and seventh of it.
    ["diatonically", "Am7 | Gmaj7", "A C E G C B A G B"],
  ] as const)("%s over %s: %s", (moved, changes, expected) => {
    const played = names(changes, LICK, moved, changes.includes("Cm6") ? "C natural minor" : "C major");
    expect(played.map((name) => name.replace(/\d$/, "")).slice(0, 8)).toEqual(expected.split(" ").slice(0, 8));
  });

  it("law: moved diatonically, the tones of its chords stay tones of the chords by number", () => {
    fc.assert(
      fc.property(
        fc.constantFrom("C", "Eb", "F#", "A", "Bb"),
        fc.constantFrom("maj7", "m7", "7", "m7b5", "mMaj7", "7alt", "6", "dim7"),
        (root, suffix) => {
          const chord = parseChord(root + suffix);
          const lick = { notes: "C4 E4 G4 B4", chords: "Cmaj7" };
          const played = names(chord.symbol, lick, "diatonically", "C major").slice(0, 4);
          played.forEach((name, i) => {
            const number = 2 * i + 1;
            const own = chord.tones.find(({ degree }) => Number(degree.replace(/[b#]/g, "")) === number);
            if (own !== undefined) expect(name.replace(/\d$/, "")).toBe(own.note);
          });
        },
      ),
    );
  });

  it("comes from a lead sheet with a melody, and is data that JSON holds", () => {
    const chart = parseChart("Title: From the page\nKey: C\nDm7 G7 | Cmaj7");
    const sheet = writeLeadSheet({
      ...chart,
      bars: chart.bars.map((bar, i) => ({
        ...bar,
        melody: [{ at: "0", duration: "4", pitches: [i === 0 ? "F4" : "E4"] }],
      })),
    });
    const row = lickRow(readLeadSheet(sheet));
    expect(row).toMatchObject({ id: "from-the-page", title: "From the page", needsChords: true });
    const data: unknown = JSON.parse(JSON.stringify(row));
    expect(v.is(exerciseDataSchema, data)).toBe(true);
    expect(
      exerciseLine(row, { scale: "C major", progression: "Dm7 G7 | Cmaj7" }).events.map(({ pitches }) =>
        pitchName(pitches[0]!),
      ),
    ).toEqual(["F4", "E4"]);
  });

  it("fits changes of any length, cut where they end", () => {
    for (const changes of ["C", "C | F | G", "C | F | G | C | F"]) {
      const line = exerciseLine(lickRow(LICK), { scale: "C major", progression: changes });
      expect(line.bars % parseChart(changes).bars.length).toBe(0);
      expect(line.events.length).toBeGreaterThan(0);
    }
  });

  it.each([
    [{ notes: "", chords: "C" }, "note"],
    [{ notes: "H4", chords: "C" }, "pitch"],
    [{ notes: "r r", chords: "C" }, "at least one note"],
    [{ notes: "C4*1/7", chords: "C" }, "thirds"],
    [{ notes: "C4", chords: "N.C." }, "1 item"],
    [
      {
        notes: [
          { at: { num: 0, den: 1 }, duration: { num: 1, den: 1 }, pitches: [parsePitch("C4"), parsePitch("E4")] },
        ],
        chords: "C",
      },
      "one note at a time",
    ],
  ] as readonly (readonly [LickNotes, string])[])("refuses %j", (lick, says) => {
    try {
      lickRow(lick);
    } catch (error) {
      expect(isMusicError(error) && error.message).toContain(says);
      return;
    }
    throw new Error("was read");
  });

  it("refuses changes of another metre", () => {
    expect(() => exerciseLine(lickRow(LICK), { scale: "C major", progression: "[3/4] C | F" })).toThrow(/4\/4/);
  });
});

const parseProgressionIn = (changes: string) => transposeProgression(changes, "C");
