import { describe, expect, it } from "vitest";
import type { ExerciseId, ExerciseOptions, Line, LineValues, MetreName, Pitch } from "./library.ts";
import {
  addBeats,
  alterationOf,
  beats,
  compareBeats,
  exerciseCatalogue,
  exerciseLine,
  formatBeats,
  keyColour,
  metre,
  parseProgression,
  parseScale,
  pitch,
  pitchName,
} from "./library.ts";

const C = "C major";
const make = (id: ExerciseId, options: Partial<ExerciseOptions> = {}): Line =>
  exerciseLine(id, { scale: C, ...options });
const toneOf = (event: Line["events"][number]): Pitch => event.pitches[0] as Pitch;
/** Without octaves: the figures stay inside one, and its two tonics are told apart by where the line goes. */
const letters = (line: Line): string => line.events.map((e) => pitchName(toneOf(e)).slice(0, -1)).join(" ");
const names = (line: Line): string => line.events.map((e) => pitchName(toneOf(e))).join(" ");
const lengths = (line: Line): string => line.events.map((e) => formatBeats(e.duration)).join(" ");
const starts = (line: Line): string => line.events.map((e) => formatBeats(e.at)).join(" ");
const upward = (line: Line): readonly number[] => line.events.map((e) => toneOf(e).semitones);
const turned = (line: string): string => line.split(" ").toReversed().join(" ");

// Each figure written out from its description. Common practice, no source.
describe("figures, in C major from C4 to C5", () => {
  const figures: readonly (readonly [ExerciseId, string, string])[] = [
    ["up-and-down", "C D E F G A B C", "C B A G F E D C"],
    ["threes", "C D E D E F E F G F G A G A B C", "C B A B A G A G F G F E F E D C"],
    ["fours", "C D E F D E F G E F G A F G A B C", "C B A G B A G F A G F E G F E D C"],
    ["broken-thirds", "C E D F E G F A G B A B C", "C A B G A F G E F D E D C"],
    ["turns", "E D C D F E D E G F E F A G F G B A G A C B A B C", "A B C B G A B A F G A G E F G F D E F E C D E D C"],
    ["displaced-accents", "C D E F G A B C", "C B A G F E D C"],
    ["off-the-beat", "C D E F G A B C", "C B A G F E D C"],
  ];

  it.each(figures)("%s", (id, up, down) => {
    expect(letters(make(id))).toBe(`${up} ${down}`);
    expect(letters(make(id, { direction: "down" }))).toBe(`${down} ${up}`);
    expect(
      [upward(make(id))[0], upward(make(id)).at(-1)].every((height) => (height as number) <= pitch("E4").semitones),
    ).toBe(true);
  });

  it.each(["threes", "fours", "broken-thirds", "turns"] as const)(
    "%s: two octaves are the first, the first an octave higher, and the way back",
    (id) => {
      const one = upward(make(id));
      const half = one.length / 2;
      const [rise, fall] = [one.slice(0, half), one.slice(half)] as const;
      const higher = (heights: readonly number[]): readonly number[] => heights.map((height) => height + 12);
      expect(upward(make(id, { octaves: 2 }))).toEqual([...rise, ...higher(rise), ...higher(fall), ...fall]);
      expect(upward(make(id, { octaves: 2, direction: "down" }))).toEqual([
        ...higher(fall),
        ...fall,
        ...rise,
        ...higher(rise),
      ]);
    },
  );

  it("call and response: five notes to the fifth and back; round the fifth, and home", () => {
    const [first, second] = ["C D E F G G F E D C", "G F G A G F G E D C"];
    expect(letters(make("call-and-response"))).toBe(`${first} ${second}`);
    expect(letters(make("call-and-response", { direction: "down" }))).toBe(`${second} ${first}`);
    expect(letters(make("call-and-response", { scale: "C major blues" }))).toBe(
      "C D Eb E G G E Eb D C G E G A G E G Eb D C",
    );
    // Four notes lie not below the fifth of a pentatonic scale: the call reaches over it.
    expect(letters(make("call-and-response", { scale: "C major pentatonic" }))).toBe(
      "C D E A G G A E D C G E G A G E G E D C",
    );
    // Without a fifth, to the note four sevenths of the way up the octave.
    expect(
      letters(make("call-and-response", { scale: "C whole tone" }))
        .split(" ")
        .slice(0, 5)
        .join(" "),
    ).toBe("C D E G# F#");
    expect(
      upward(make("call-and-response", { scale: "C diminished" }))
        .slice(0, 5)
        .map((height) => height - pitch("C4").semitones),
    ).toEqual([2, 3, 5, 6, 8]);
    const two = upward(make("call-and-response", { octaves: 2 }));
    expect(two.slice(20)).toEqual(two.slice(0, 20).map((height) => height + 12));
    const down = upward(make("call-and-response", { octaves: 2, direction: "down" }));
    expect(down.slice(0, 20)).toEqual(down.slice(20).map((height) => height + 12));
  });

  it("call and response: each of them fills whole bars with a rest of a beat at its end", () => {
    const line = make("call-and-response");
    expect(starts(line)).toBe("0 1/2 1 3/2 2 4 9/2 5 11/2 6 8 17/2 9 19/2 10 12 25/2 13 27/2 14");
    expect(lengths(line)).toBe(Array.from({ length: 4 }, () => "1/2 1/2 1/2 1/2 1").join(" "));
    expect(line.phrases.map((p) => `${formatBeats(p.at)} ${formatBeats(p.duration)}`)).toEqual([
      "0 3",
      "4 3",
      "8 3",
      "12 3",
    ]);
    expect(make("call-and-response", { metre: metre("3/4") }).bars).toBe(8);
    expect(make("call-and-response", { metre: metre("12/8"), values: "triplets" }).bars).toBe(4);
  });

  it("from each degree: up to the top and down to the tonic", () => {
    const scale = "C D E F G A B C";
    const expected = [0, 1, 2, 3, 4, 5, 6]
      .map((i) => `${scale.split(" ").slice(i).join(" ")} ${turned(scale).slice(2)}`)
      .join(" ");
    expect(letters(make("each-degree"))).toBe(expected);
    const falling = [0, 1, 2, 3, 4, 5, 6]
      .map((i) => `${turned(scale).split(" ").slice(i).join(" ")} ${scale.slice(2)}`)
      .join(" ");
    expect(letters(make("each-degree", { direction: "down" }))).toBe(falling);
    expect(make("each-degree").phrases).toHaveLength(7);
    // Over two octaves the top is held, too, and struck again; only the seven notes of the lowest octave are begun from.
    const wide = make("each-degree", { octaves: 2 });
    expect(wide.phrases).toHaveLength(14);
    expect(wide.events.filter((e) => pitchName(toneOf(e)) === "C6")).toHaveLength(14);
  });

  it("from each degree: the blue third does not begin with a long note", () => {
    const opening = (scale: string, direction: "up" | "down", phrase: number): string => {
      const line = make("each-degree", { scale, direction });
      const at = line.phrases[phrase]?.at ?? beats(0);
      return line.events
        .filter((e) => compareBeats(e.at, at) >= 0)
        .slice(0, 3)
        .map((e) => `${pitchName(toneOf(e))} ${formatBeats(e.duration)}`)
        .join(" ");
    };
    expect(opening("C major blues", "up", 1)).toBe("D4 1 Eb4 1/2 E4 1/2");
    expect(opening("C major blues", "up", 2)).toBe("Eb4 1/2 E4 1/2 G4 1/2");
    expect(opening("C major blues", "up", 3)).toBe("E4 1 G4 1/2 A4 1/2");
    expect(opening("C major blues", "down", 1)).toBe("A4 1 G4 1/2 E4 1/2");
    expect(opening("C major blues", "down", 3)).toBe("E4 1 Eb4 1/2 D4 1/2");
    // Ten notes before the held one: the beat that is not full comes second.
    const triplets = make("each-degree", { scale: "C major blues", values: "triplets" });
    const from = triplets.events.findIndex((e) => compareBeats(e.at, triplets.phrases[2]?.at ?? beats(0)) === 0);
    expect(
      triplets.events
        .slice(from, from + 11)
        .map((e) => `${pitchName(toneOf(e))} ${formatBeats(e.duration)}`)
        .join(" "),
    ).toBe("Eb4 1/3 E4 1/3 G4 1/3 A4 1 C5 1/3 A4 1/3 G4 1/3 E4 1/3 Eb4 1/3 D4 1/3 C4 4");
  });

  it("octave shifts: three notes up, an octave higher three down, from each of four notes, and on to the tonic", () => {
    const up = "C4 D4 E4 E5 D5 C5 D4 E4 F4 F5 E5 D5 E4 F4 G4 G5 F5 E5 F4 G4 A4 A5 G5 F5 G5 A5 B5 C6";
    const down = "C6 B5 A5 A4 B4 C5 B5 A5 G5 G4 A4 B4 A5 G5 F5 F4 G4 A4 G5 F5 E5 E4 F4 G4 F4 E4 D4 C4";
    expect(names(make("octave-shifts"))).toBe(`${up} ${down}`);
    expect(names(make("octave-shifts", { direction: "down" }))).toBe(`${down} ${up}`);
    const three = upward(make("octave-shifts", { octaves: 3 }));
    expect(three.slice(56)).toEqual(three.slice(0, 56).map((height) => height + 12));
    // A pentatonic scale has room for three.
    expect(
      names(make("octave-shifts", { scale: "C major pentatonic" }))
        .split(" ")
        .slice(0, 20)
        .join(" "),
    ).toBe("C4 D4 E4 E5 D5 C5 D4 E4 G4 G5 E5 D5 E4 G4 A4 A5 G5 E5 G5 A5");
  });

  it("accents: every third eighth, every second triplet", () => {
    const accents = (options: Partial<ExerciseOptions>): readonly number[] => {
      const events = make("displaced-accents", options).events;
      return events.slice(0, events.length / 2).flatMap((e, i) => (e.articulation === "accent" ? [i] : []));
    };
    expect(accents({})).toEqual([0, 3, 6]);
    expect(accents({ values: "mixed" })).toEqual([0, 3, 6]);
    expect(accents({ values: "triplets" })).toEqual([0, 2, 4, 6]);
    expect(accents({ metre: metre("12/8") })).toEqual([0, 2, 4, 6]);
    expect(make("up-and-down").events.every((e) => e.articulation === undefined)).toBe(true);
  });

  it("off the beat: from the last part of beat 1 to the last part of a beat", () => {
    expect(starts(make("off-the-beat")).split(" ").slice(0, 8).join(" ")).toBe("1/2 1 2 5/2 3 7/2 4 9/2");
    expect(lengths(make("off-the-beat")).split(" ").slice(0, 8).join(" ")).toBe("1/2 1 1/2 1/2 1/2 1/2 1/2 7/2");
    expect(
      starts(make("off-the-beat", { values: "triplets" }))
        .split(" ")
        .slice(0, 8)
        .join(" "),
    ).toBe("2/3 1 2 7/3 8/3 3 10/3 11/3");
    // Less than a beat is left of the bar, so it is held through the next.
    expect(formatBeats(make("off-the-beat", { values: "triplets" }).events[7]?.duration ?? beats(0))).toBe("13/3");
    expect(
      make("off-the-beat", { scale: "C minor pentatonic", values: "triplets" })
        .events.slice(0, 7)
        .map((e) => `${formatBeats(e.at)} ${formatBeats(e.duration)}`),
    ).toEqual(["2/3 1/3", "1 1/2", "3/2 1/2", "2 1/3", "7/3 1/3", "8/3 4/3", "14/3 1/3"]);
    expect(
      starts(make("off-the-beat", { metre: metre("12/8") }))
        .split(" ")
        .slice(0, 8)
        .join(" "),
    ).toBe("1 3/2 3 7/2 4 9/2 5 11/2");
  });

  it("a rest in each bar: a beat is held before it, and no blue note held", () => {
    const line = make("rest-on-a-beat");
    expect(names(line)).toBe("C4 D4 E4 F4 G4 A4 B4 C5 B4 A4 G4 F4 E4 D4 C4 D4 E4 F4 G4 A4 B4");
    expect(starts(line)).toBe("1 3/2 2 5/2 3 7/2 4 6 13/2 7 15/2 8 17/2 9 11 23/2 12 25/2 13 27/2 14");
    expect(lengths(line)).toBe("1/2 1/2 1/2 1/2 1/2 1/2 1 1/2 1/2 1/2 1/2 1/2 1/2 1 1/2 1/2 1/2 1/2 1/2 1/2 1");
    expect(names(make("rest-on-a-beat", { direction: "down" }))).toBe(
      "C5 B4 A4 G4 F4 E4 D4 C4 D4 E4 F4 G4 A4 B4 C5 B4 A4 G4 F4 E4 D4",
    );
    expect(names(make("rest-on-a-beat", { restOn: 1 })).slice(0, 20)).toBe("C4 D4 E4 F4 G4 A4 B4");
    expect(
      starts(make("rest-on-a-beat", { restOn: 1, values: "mixed" }))
        .split(" ")
        .slice(0, 7)
        .join(" "),
    ).toBe("1 4/3 5/3 2 5/2 3 5");
    expect(
      lengths(make("rest-on-a-beat", { restOn: 1 }))
        .split(" ")
        .at(-1),
    ).toBe("1");
    expect(
      lengths(make("rest-on-a-beat", { restOn: 2 }))
        .split(" ")
        .slice(-3),
    ).toEqual(["1/2", "1/2", "1"]);
    expect(make("rest-on-a-beat", { restOn: 2, metre: metre("3/4") }).bars).toBe(4);
    const waltz = make("rest-on-a-beat", { metre: metre("3/4") });
    expect([waltz.bars, starts(waltz)]).toEqual([3, "1 3/2 2 5/2 3 5 11/2 6 13/2 7"]);
    expect(lengths(waltz)).toBe("1/2 1/2 1/2 1/2 1 1/2 1/2 1/2 1/2 1");
    const blue = make("rest-on-a-beat", { scale: "C major blues" });
    expect(
      blue.events.filter((e) => pitchName(toneOf(e)).startsWith("Eb") && compareBeats(e.duration, beats(1)) >= 0),
    ).toEqual([]);
    expect(line.phrases.map((p) => `${formatBeats(p.at)} ${formatBeats(p.duration)}`)).toEqual(["1 4", "6 4", "11 4"]);
    for (const direction of ["up", "down"] as const) {
      for (const restOn of [1, 2, 3, 4]) {
        for (const values of ["eighths", "triplets", "mixed"] as const) {
          const events = make("rest-on-a-beat", { scale: "C major blues", direction, restOn, values }).events;
          expect(
            events.filter(
              (e) => toneOf(e).semitones === pitch("Eb4").semitones && e.duration.num === 1 && e.duration.den === 1,
            ),
          ).toEqual([]);
          expect(
            events.filter((e, i) => i > 0 && toneOf(e).semitones === toneOf(events[i - 1] ?? e).semitones),
          ).toEqual([]);
          expect(
            events.filter((e, i) => Math.abs(toneOf(e).semitones - toneOf(events[i - 1] ?? e).semitones) > 3),
          ).toEqual([]);
        }
      }
    }
    expect(names(blue)).toBe("C4 D4 Eb4 E4 G4 A4 C5 A4 G4 E4 Eb4 D4 C4 D4 Eb4 E4 G4 A4 C5 A4 G4");
  });
});

// Common practice, no source: ♭3 into 3 and ♭6 into 6 in major, ♭5 into 5 in the minor blues.
describe("slides", () => {
  const slid = (scale: string): string =>
    make("slides", { scale })
      .events.map((e) => [...(e.graces ?? []).map((g) => `(${pitchName(g.pitch)})`), pitchName(toneOf(e))].join(""))
      .join(" ");
  it.each([
    ["C major", "C4 D4 (Eb4)E4 F4 G4 (Ab4)A4 B4 C5 C5 B4 (Ab4)A4 G4 F4 (Eb4)E4 D4 C4"],
    ["C minor blues", "C4 Eb4 F4 (Gb4)G4 Bb4 C5 C5 Bb4 (Gb4)G4 F4 Eb4 C4"],
    ["C dorian", "C4 D4 Eb4 F4 G4 (Ab4)A4 Bb4 C5 C5 Bb4 (Ab4)A4 G4 F4 Eb4 D4 C4"],
    ["C minor pentatonic", "C4 Eb4 F4 (Gb4)G4 Bb4 C5 C5 Bb4 (Gb4)G4 F4 Eb4 C4"],
    ["C locrian", "C4 Db4 Eb4 F4 Gb4 Ab4 Bb4 (Cb5)C5 (Cb5)C5 Bb4 Ab4 Gb4 F4 Eb4 Db4 C4"],
  ])("%s", (scale, line) => {
    expect(slid(scale)).toBe(line);
  });

  it("with one finger from a black key to a white one, else with two", () => {
    const styles = (scale: string): readonly string[] => [
      ...new Set(
        make("slides", { scale }).events.flatMap((e) =>
          (e.graces ?? []).map((g) => `${pitchName(g.pitch)} ${pitchName(toneOf(e))} ${g.style}`),
        ),
      ),
    ];
    expect(styles("C major")).toEqual(["Eb4 E4 slide", "Ab4 A4 slide"]);
    expect(styles("Db major")).toEqual(["Fb4 F4 crushed", "Bbb4 Bb4 crushed"]);
    expect(styles("E major")).toEqual(["G4 G#4 crushed", "C5 C#5 crushed"]);
  });

  it("in every octave", () => {
    expect(make("slides", { octaves: 2 }).events.filter((e) => e.graces !== undefined)).toHaveLength(8);
  });

  it("into the major third of each chord, a semitone below it, and into no minor third", () => {
    const line = make("slides-into-thirds", { progression: parseProgression("Dm7 | G7 | C | %") });
    const graced = line.events.filter((e) => e.graces !== undefined);
    expect(
      graced.map((e) => `${(e.graces ?? []).map((g) => pitchName(g.pitch)).join()} ${pitchName(toneOf(e))}`),
    ).toEqual(["Bb4 B4", "Eb4 E4", "Eb4 E4", "Eb4 E4", "Eb4 E4"]);
    expect(line.events.filter((e) => pitchName(toneOf(e)) === "B4" && e.graces === undefined)).toEqual([]);
    expect(names(line)).toBe(names(make("chord-tones", { progression: parseProgression("Dm7 | G7 | C | %") })));
  });
});

// The last note of a run falls on a beat and is held to the bar line; a beat that is not full comes first, with longer notes.
describe("rhythm of a run of the scale", () => {
  it.each<[MetreName, LineValues, string, string, number]>([
    ["4/4", "eighths", "C major pentatonic", "1 1/2 1/2 1/2 1/2 1", 2],
    ["4/4", "eighths", "C major blues", "1/2 1/2 1/2 1/2 1/2 1/2 1", 2],
    ["4/4", "eighths", "C major", "1 1/2 1/2 1/2 1/2 1/2 1/2 4", 4],
    ["4/4", "eighths", "C diminished", "1/2 1/2 1/2 1/2 1/2 1/2 1/2 1/2 4", 4],
    ["4/4", "triplets", "C major pentatonic", "1/2 1/2 1/3 1/3 1/3 2", 2],
    ["4/4", "triplets", "C major blues", "1/3 1/3 1/3 1/3 1/3 1/3 2", 2],
    ["4/4", "triplets", "C major", "1 1/3 1/3 1/3 1/3 1/3 1/3 1", 2],
    ["4/4", "mixed", "C major pentatonic", "1/2 1/2 1/3 1/3 1/3 2", 2],
    ["4/4", "mixed", "C major blues", "1 1/2 1/2 1/3 1/3 1/3 1", 2],
    ["4/4", "mixed", "C major", "1/2 1/2 1/2 1/2 1/3 1/3 1/3 1", 2],
    ["4/4", "mixed", "C diminished", "1/3 1/3 1/3 1/2 1/2 1/3 1/3 1/3 1", 2],
    ["3/4", "eighths", "C major blues", "1/2 1/2 1/2 1/2 1/2 1/2 3", 4],
    ["3/4", "triplets", "C major blues", "1/3 1/3 1/3 1/3 1/3 1/3 1", 2],
    ["6/8", "eighths", "C major blues", "1/2 1/2 1/2 1/2 1/2 1/2 3", 4],
    ["6/8", "eighths", "C major pentatonic", "1 1/2 1/2 1/2 1/2 3", 4],
    ["6/8", "triplets", "C major", "3/2 1/2 1/2 1/2 1/2 1/2 1/2 3/2", 4],
    ["12/8", "eighths", "C major", "3/2 1/2 1/2 1/2 1/2 1/2 1/2 3/2", 2],
    ["12/8", "mixed", "C major pentatonic", "1 1/2 1/2 1/2 1/2 3", 2],
    ["12/8", "mixed", "C major", "1 1/2 1 1/2 1/2 1/2 1/2 3/2", 2],
    ["2/2", "eighths", "C major blues", "1 1 1 1 1 1 2", 4],
    ["2/4", "eighths", "C major pentatonic", "1 1/2 1/2 1/2 1/2 1", 4],
  ])("%s, %s, %s", (m, values, scale, expected, bars) => {
    const line = make("up-and-down", { metre: metre(m), scale, values });
    expect(lengths(line)).toBe(`${expected} ${expected}`);
    expect(line.bars).toBe(bars);
    expect(line.phrases).toHaveLength(2);
  });

  it("of an exercise that takes some bars more, the last note is held on, for two bars at most", () => {
    const fitted = (bars: number, scale = C): string => {
      const line = make("up-and-down", { scale, progression: { bars, metre: metre("4/4") } });
      const last = line.events.at(-1) as Line["events"][number];
      return `${line.bars} ${line.events
        .filter((e) => compareBeats(e.duration, beats(1)) > 0)
        .map((e) => formatBeats(e.duration))
        .join(" ")}, ends ${formatBeats(addBeats(last.at, last.duration))}`;
    };
    // A round of four bars, two up and two down.
    expect(fitted(2)).toBe("4 4 4, ends 16");
    expect(fitted(4)).toBe("4 4 4, ends 16");
    expect(fitted(5)).toBe("5 4 8, ends 20");
    expect(fitted(6)).toBe("6 8 8, ends 24");
    expect(fitted(7)).toBe("7 4 8, ends 20");
    expect(fitted(8)).toBe("8 4 4 4 4, ends 32");
    expect(fitted(12)).toBe("12 4 4 4 4 4 4, ends 48");
    // A round of two bars, one up and one down.
    expect(fitted(3, "C major blues")).toBe("3 5, ends 12");
    expect(fitted(4, "C major blues")).toBe("4 , ends 16");
    expect(fitted(5, "C major blues")).toBe("5 5, ends 12");
  });

  it("a last note that does not reach the bar line is not held on", () => {
    for (const id of ["call-and-response", "rest-on-a-beat"] as const) {
      const line = make(id, { progression: { bars: 5, metre: metre("4/4") } });
      expect([line.bars, lengths(line).split(" ").at(-1)]).toEqual([5, "1"]);
    }
    // Bars that go evenly into the phrases are shared among them.
    expect(
      lengths(make("up-and-down", { scale: "C major blues", progression: { bars: 4, metre: metre("4/4") } })).includes(
        "5",
      ),
    ).toBe(false);
  });

  it("law: the rounds fill the fewest bars that whole turns of the progression and up to three bars more in each round allow", () => {
    const common = (a: number, b: number): number =>
      Array.from({ length: b }, (_, i) => a * (i + 1)).find((bars) => bars % b === 0) as number;
    for (const id of ["up-and-down", "turns", "each-degree", "threes"] as const) {
      const round = make(id).bars;
      for (let bars = 1; bars <= 17; bars++) {
        const fewest = Math.min(...[0, 1, 2, 3].map((more) => common(round + more, bars)));
        expect([id, bars, make(id, { progression: { bars, metre: metre("4/4") } }).bars]).toEqual([id, bars, fewest]);
      }
    }
  });
});

describe("chord exercises, in C major", () => {
  const chart = parseProgression("Dm7 | G7 | C | %");
  const along = (id: ExerciseId, options: Partial<ExerciseOptions> = {}): Line =>
    make(id, { progression: chart, ...options });

  it("chord tones: up and down the range, from chord to chord without a break", () => {
    expect(names(along("chord-tones"))).toBe(
      "C4 D4 F4 A4 C5 A4 F4 D4 F4 G4 B4 G4 F4 D4 F4 G4 C5 G4 E4 C4 E4 G4 C5 G4 E4 C4 E4 G4 C5 G4",
    );
    expect(names(along("chord-tones", { direction: "down" })).slice(0, 23)).toBe("C5 A4 F4 D4 C4 D4 F4 A4");
    // The last note of each second bar is held for its beat.
    expect(
      along("chord-tones")
        .events.filter((e) => e.duration.num === 1 && e.duration.den === 1)
        .map((e) => formatBeats(e.at)),
    ).toEqual(["7", "15"]);
    expect(along("chord-tones").phrases.map((p) => `${formatBeats(p.at)} ${formatBeats(p.duration)}`)).toEqual([
      "0 8",
      "8 8",
    ]);
    expect(lengths(along("chord-tones", { values: "mixed" })).slice(0, 27)).toBe("1/2 1/2 1/3 1/3 1/3 1/2 1/2");
    const odd = make("chord-tones", { progression: parseProgression("Dm7 | G7 | C") });
    expect([odd.bars, odd.phrases.length, formatBeats(odd.events.at(-1)?.at ?? beats(0))]).toEqual([3, 2, "11"]);
  });

  it("approach notes: a chord tone on every beat, and a semitone below the next where range and repetition allow", () => {
    expect(names(along("approach-notes"))).toBe(
      "C4 C#4 D4 E4 F4 G#4 A4 A#4 B4 F#4 G4 E4 F4 C#4 D4 C4 D#4 E4 F#4 G4 B4 C5 F#4 G4 D#4 E4 Db4 C4 D#4 E4",
    );
    // Two notes: by semitones from below, or from above where that would repeat a note.
    expect(names(along("approach-notes", { values: "triplets" })).slice(0, 26)).toBe("C4 E4 Eb4 D4 Eb4 E4 F4 G4 ");
    for (const key of ["C", "Db", "D", "Eb", "E", "F", "F#", "Gb", "G", "Ab", "A", "Bb", "B"]) {
      for (const values of ["eighths", "triplets"] as const) {
        const changes = parseProgression("I vi | ii V", { key });
        const line = make("approach-notes", { scale: `${key} major`, progression: changes, values });
        const heights = upward(line);
        expect(heights.filter((height, i) => i > 0 && height === heights[i - 1])).toEqual([]);
        line.events.forEach((event, i) => {
          const next = line.events[i + 1];
          if (next === undefined || event.at.den === 1 || next.at.den !== 1) return;
          expect(Math.abs(toneOf(next).semitones - toneOf(event).semitones)).toBeLessThanOrEqual(2);
          // Read at sight: no double signs, no white key under a black key's name, and a letter away unless that would break this.
          expect(Math.abs(alterationOf(toneOf(event)))).toBeLessThanOrEqual(1);
          const steps = toneOf(next).steps - toneOf(event).steps;
          if (keyColour(toneOf(event)) === "black")
            expect(steps).toBe(Math.sign(toneOf(next).semitones - toneOf(event).semitones));
          else expect(alterationOf(toneOf(event))).toBe(0);
        });
      }
    }
  });

  it("approach notes at the ends of the range: from the other side, from both, or by a whole tone", () => {
    const led = (chords: string, values: LineValues = "eighths", m: MetreName = "4/4"): string =>
      ` ${names(make("approach-notes", { progression: parseProgression(chords, { metre: metre(m) }), values }))} `;
    expect(led("A7 | %")).toContain(" C4 C#4 ");
    expect(led("Cmaj7 | %")).toContain(" B4 Bb4 C5 ");
    expect(led("Dbmaj7 | % | % | %", "eighths", "3/4")).toContain(" Db4 D4 C4 ");
    expect(led("C7 | %", "triplets")).toContain(" Bb4 B4 Bb4 C5 ");
    expect(led("C9 | % | % | %", "triplets")).toContain(" D4 Db4 D4 C4 ");
    expect(led("Am9 | %", "triplets")).toContain(" A4 C5 A#4 B4 ");
    expect(led("Eb7 | %", "triplets")).toContain(" Eb4 D4 C4 Db4 ");
    expect(led("D#7 | %")).toContain(" F#4 F##4 ");
    expect(led("C9 | %", "triplets")).toContain(" D4 F#4 F4 E4 ");
    expect(
      names(
        make("approach-notes", { scale: "C# major", progression: parseProgression("C#maj9 | %"), values: "triplets" }),
      ),
    ).toContain(" D#4 G4 F#4 E#4 ");
  });

  it("enclosures: a chord tone, the note of the scale above the next and the semitone below it", () => {
    expect(names(along("enclosures"))).toBe("D4 G4 E4 F4 A4 F#4 G4 Gb4 E4 F4 E4 A4 F#4 G4 F4 D#4 E4 A4 F#4 G4");
    expect(lengths(along("enclosures"))).toBe("1 1/2 1/2 1 1/2 1/2 1 1/2 1/2 2 1 1/2 1/2 1 1/2 1/2 1 1/2 1/2 2");
    expect(names(along("enclosures", { values: "triplets" })).slice(0, 16)).toBe("D4 G4 Eb4 E4 F4 ");
    const waltz = make("enclosures", { progression: parseProgression("C | F | C", { metre: metre("3/4") }) });
    expect(lengths(waltz)).toBe("1 1/2 1/2 1 1 1/2 1/2 1 1 1/2 1/2 1");
    // A tone above D#, too, the note keeps the name that the scale gives it.
    expect(names(make("enclosures", { scale: "F# major", progression: parseProgression("B | %") }))).toContain(
      "E#5 D5 D#5",
    );
  });

  it("nothing sounds where no chord is given at all", () => {
    const [first, second] = parseProgression("C | F").chords;
    for (const { id, needsChords } of exerciseCatalogue) {
      if (!needsChords || first === undefined || second === undefined) continue;
      const early = make(id, { progression: { bars: 2, metre: metre("4/4"), chords: [first] } });
      expect(early.events.filter((e) => compareBeats(e.at, beats(4)) >= 0)).toEqual([]);
      const late = make(id, { progression: { bars: 2, metre: metre("4/4"), chords: [second] } });
      expect(late.events.filter((e) => compareBeats(e.at, beats(4)) < 0)).toEqual([]);
      expect(make(id, { progression: parseProgression("N.C.") }).events).toEqual([]);
    }
  });

  it("nothing sounds where the chart has no chord", () => {
    for (const { id, needsChords } of exerciseCatalogue) {
      if (!needsChords) continue;
      const line = make(id, { progression: parseProgression("C | N.C. | F | %") });
      expect(line.events.filter((e) => compareBeats(e.at, beats(4)) >= 0 && compareBeats(e.at, beats(8)) < 0)).toEqual(
        [],
      );
      expect(line.events.some((e) => compareBeats(e.at, beats(8)) >= 0)).toBe(true);
    }
  });
});

describe("guide-tone targets", () => {
  const charts = [
    "Dm7 | G7 | C | %",
    "Dm7 G7 | C A7",
    "Cmaj7 | Am7 | Dm7 | G7",
    "F7 | Bb7 | F7 | C7",
    "Em7 | A7 | Dm7 | G7",
    "C6 | G7(sus4) | C | F",
  ];
  const octave = [pitch("C4"), pitch("C5")] as const;

  it("enter on the third or seventh (else fourth, sixth or fifth) nearest to the last", () => {
    for (const text of charts) {
      const chart = parseProgression(text);
      const line = make("guide-tones", { progression: chart });
      let last = (octave[0].semitones + octave[1].semitones) / 2;
      for (const span of chart.chords) {
        const event = line.events.find((e) => compareBeats(e.at, span.at) === 0) as Line["events"][number];
        const tones = span.chord?.tones ?? [];
        const third = tones.find((t) => /^[b#]*3$/.test(t.degree)) ?? tones.find((t) => /^[b#]*4$/.test(t.degree));
        const seventh =
          tones.find((t) => /^[b#]*7$/.test(t.degree)) ??
          tones.find((t) => /^[b#]*6$/.test(t.degree)) ??
          tones.find((t) => /^[b#]*5$/.test(t.degree));
        const near = [third, seventh]
          .flatMap((t) => [4, 5].map((o) => pitch(`${t?.note}${o}` as "C4").semitones))
          .filter((s) => s >= octave[0].semitones && s <= octave[1].semitones);
        expect([text, Math.abs(toneOf(event).semitones - last)]).toEqual([
          text,
          Math.min(...near.map((s) => Math.abs(s - last))),
        ]);
        expect(near).toContain(toneOf(event).semitones);
        last = toneOf(event).semitones;
      }
    }
  });

  it("law: no way along the scale between two of them costs less (two for a skip, three for a turn, and the closing interval: none for a step, twenty for a repeat, else three a semitone)", () => {
    // C major over these chords: their own scale is the white keys.
    const diatonic = ["Cmaj7", "Dm7", "Em7", "Fmaj7", "G7", "Am7", "C6", "G7(sus4)"];
    const pairs = diatonic.flatMap((one) =>
      diatonic.flatMap((two) => (one === two ? [] : [`${one} | ${two}`, `${one} ${two} | ${one}`])),
    );
    for (const text of ["Dm7 | G7 | C | %", "Dm7 G7 | C Am7", ...pairs]) {
      const chart = parseProgression(text);
      const line = make("guide-tones", { progression: chart });
      const row = ["C4", "D4", "E4", "F4", "G4", "A4", "B4", "C5"].map((name) => pitch(name as "C4").semitones);
      const cost = (heights: readonly number[], goal: number): number => {
        const moves = heights.slice(1).map((height, i) => row.indexOf(height) - row.indexOf(heights[i] as number));
        if (moves.some((move) => move === 0 || Math.abs(move) > 2)) return Infinity;
        const skips = moves.filter((move) => Math.abs(move) === 2).length;
        const turns = moves.filter((move, i) => i > 0 && Math.sign(move) !== Math.sign(moves[i - 1] as number)).length;
        const size = Math.abs((heights.at(-1) as number) - goal);
        return 2 * skips + 3 * turns + (size === 0 ? 20 : size <= 2 ? 0 : 3 * size);
      };
      const least = (from: number, goal: number, between: number): number => {
        let best = Infinity;
        const go = (heights: readonly number[]): void => {
          if (heights.length > between) {
            best = Math.min(best, cost(heights, goal));
            return;
          }
          const here = row.indexOf(heights.at(-1) as number);
          for (const move of [-2, -1, 1, 2])
            if (row[here + move] !== undefined) go([...heights, row[here + move] as number]);
        };
        go([from]);
        return best;
      };
      const targets = line.events.flatMap((e, i) =>
        chart.chords.some((span) => compareBeats(span.at, e.at) === 0) ? [i] : [],
      );
      targets.forEach((from, k) => {
        const to = targets[k + 1];
        if (to === undefined || to - from > 7) return;
        const heights = line.events.slice(from, to).map((e) => toneOf(e).semitones);
        const goal = toneOf(line.events[to] as Line["events"][number]).semitones;
        if (heights.length > 1)
          expect([text, k, cost(heights, goal)]).toEqual([
            text,
            k,
            least(heights[0] as number, goal, heights.length - 1),
          ]);
      });
    }
  });

  it("enclosed: in the beat before it, from the scale above and a semitone below", () => {
    const line = make("enclosed-guide-tones", { progression: parseProgression("Dm7 | G7 | C | %") });
    expect(names(line).split(" ").slice(-3).join(" ")).toBe("F4 D#4 E4");
    expect(names(line).split(" ").slice(5, 8).join(" ")).toBe("G4 E4 F4");
    // From the note just above, left three beats before, as well.
    expect(names(make("enclosed-guide-tones", { progression: parseProgression("G7 | C") }))).toMatch(
      /^F4 .* F4 D#4 E4$/,
    );
    expect(lengths(line)).toBe(lengths(make("guide-tones", { progression: parseProgression("Dm7 | G7 | C | %") })));
    for (const text of charts) {
      const chart = parseProgression(text);
      const plain = make("enclosed-guide-tones", { progression: chart });
      plain.events.forEach((event, i) => {
        const [upper, lower] = [plain.events[i - 2], plain.events[i - 1]];
        if (
          upper === undefined ||
          lower === undefined ||
          event.at.num % 8 === 0 ||
          !chart.chords.some((span) => compareBeats(span.at, event.at) === 0)
        )
          return;
        expect(toneOf(event).semitones - toneOf(lower).semitones).toBe(1);
        expect([1, 2]).toContain(toneOf(upper).semitones - toneOf(event).semitones);
      });
    }
  });

  it("enclosed from one beat to the next but one without a repeat, and where each beat has its chord without an enclosure", () => {
    for (const text of ["Dm7 G7 | C A7", "C7 F7 | Bb7 Eb7", "Am7 D7 | G7 C7"]) {
      const heights = upward(make("enclosed-guide-tones", { progression: parseProgression(text) }));
      expect(heights.filter((height, i) => i % 3 === 1 && height === heights[i - 1])).toEqual([]);
    }
    expect(lengths(make("enclosed-guide-tones", { progression: parseProgression("C7 F7 Bb7 Eb7 | %") }))).toBe(
      "1 1 1 1 1 1 1 1",
    );
  });

  it("come anew at each phrase over a chord that lasts, and pass no blue third", () => {
    const [only] = parseProgression("C7").chords;
    const line = make("guide-tones", {
      scale: "C major blues",
      progression: {
        bars: 4,
        metre: metre("4/4"),
        chords: only === undefined ? [] : [{ ...only, duration: beats(16) }],
      },
    });
    expect(starts(line)).toBe("0 8");
    for (const text of ["C7 | F7 | C7 | %", "C7 | G7 | C7 | F7", "C7 A7 | C7 F7"]) {
      const chart = parseProgression(text);
      const over = make("guide-tones", { scale: "C major blues", octaves: 2, progression: chart });
      const inC7 = over.events.filter((e) =>
        chart.chords.some(
          (span) =>
            span.chord?.symbol === "C7" &&
            compareBeats(span.at, e.at) <= 0 &&
            compareBeats(e.at, addBeats(span.at, span.duration)) < 0,
        ),
      );
      expect(inC7.filter((e) => toneOf(e).semitones % 12 === 3)).toEqual([]);
    }
  });

  it("a beat long where it comes, and the last of each second bar held to its end", () => {
    expect(lengths(make("guide-tones", { progression: parseProgression("Dm7 | G7 | C | %") }))).toBe(
      "1 1/2 1/2 1/2 1/2 1/2 1/2 4 1 1/2 1/2 1/2 1/2 1/2 1/2 4",
    );
    expect(starts(make("guide-tones", { progression: parseProgression("Dm7 | G7 | C | F") }))).toContain("12");
    expect(lengths(make("guide-tones", { values: "mixed", progression: parseProgression("Dm7 | G7") }))).toBe(
      "1 1/3 1/3 1/3 1/2 1/2 1/3 1/3 1/3 4",
    );
  });
});

describe("what an exercise is fitted to", () => {
  it("its pitches are the pitches of their names, its scale may be given as such", () => {
    for (const { id } of exerciseCatalogue) {
      const line = make(id, { progression: parseProgression("Cmaj7 | F7"), scale: "C major blues" });
      for (const tone of line.events.flatMap((e) => [...e.pitches, ...(e.graces ?? []).map((g) => g.pitch)]))
        expect(tone).toEqual(pitch(pitchName(tone)));
      expect(make(id, { progression: parseProgression("Cmaj7 | F7"), scale: parseScale("C major blues") })).toEqual(
        line,
      );
    }
    for (const event of make("up-and-down", { octaves: 3, highest: pitch("B6") }).events)
      expect(toneOf(event)).toEqual(pitch(pitchName(toneOf(event))));
  });

  it("its defaults: eighths, upwards, the fewest octaves, from C4, 4/4 or the progression's metre", () => {
    expect(make("up-and-down")).toEqual(
      make("up-and-down", {
        values: "eighths",
        direction: "up",
        octaves: 1,
        lowest: pitch("C4"),
        highest: pitch("C7"),
        metre: metre("4/4"),
      }),
    );
    expect(make("octave-shifts")).toEqual(make("octave-shifts", { octaves: 2 }));
    expect(make("up-and-down", { progression: { bars: 2, metre: metre("3/4") } }).metre).toEqual(metre("3/4"));
    expect(make("up-and-down", { metre: metre("6/8"), progression: { bars: 2, metre: metre("3/4") } }).metre).toEqual(
      metre("6/8"),
    );
  });

  it("carries its row's id, its scale and its kind; every row says what it is for", () => {
    for (const row of exerciseCatalogue) {
      const line = make(row.id, { progression: parseProgression("C | F") });
      expect([line.kind, line.id, line.scale.type, line.scale.tonic]).toEqual(["line", row.id, "major", "C"]);
      expect(row.aim).toMatch(/\.$/);
    }
    expect(exerciseCatalogue.filter((row) => row.needsChords).map((row) => row.id)).toEqual([
      "target-thirds",
      "guide-tone-line",
      "chord-tones",
      "approach-notes",
      "one-two-three-five",
      "five-three-two-one",
      "three-one-two-five",
      "slides-into-thirds",
      "guide-tones",
      "three-to-nine",
      "two-five-cells",
      "bebop-scales",
      "enclosures",
      "enclosed-guide-tones",
      "block-chords",
    ]);
    expect(exerciseCatalogue.filter((row) => row.leastOctaves === 2).map((row) => row.id)).toContain("octave-shifts");
  });

  it("the tonic at or above the lowest note, lowered by default to stay below the highest", () => {
    const first = (options: Partial<ExerciseOptions>): string =>
      names(make("up-and-down", options)).split(" ")[0] as string;
    expect(first({ lowest: pitch("D4") })).toBe("C5");
    expect(first({ lowest: pitch("C3") })).toBe("C3");
    expect(first({ octaves: 3 })).toBe("C4");
    expect(first({ octaves: 3, highest: pitch("B6") })).toBe("C3");
    expect(first({ highest: pitch("C4") })).toBe("C3");
    expect(first({ highest: pitch("C5") })).toBe("C4");
    const refused = (options: Partial<ExerciseOptions>): unknown => {
      try {
        return make("up-and-down", options);
      } catch (error) {
        return error;
      }
    };
    expect(refused({ highest: pitch("B3") })).toMatchObject({
      code: "line/range",
      reason: "cannot-be-done",
      input: { scale: "C major", octaves: 1 },
    });
    expect(refused({ highest: pitch("B3") })).toMatchObject({
      message: expect.stringMatching(/1 octave from C between C3 and B3/) as string,
    });
    expect(refused({ octaves: 2, lowest: pitch("C4"), highest: pitch("B5") })).toMatchObject({
      message: expect.stringMatching(/2 octaves from C between C4 and B5/) as string,
    });
  });

  it.each<[string, Partial<ExerciseOptions>, unknown]>([
    ["line/octaves", { octaves: 4 as 3 }, 4],
    ["line/values", { values: "halves" as "mixed" }, "halves"],
    ["line/direction", { direction: "sideways" as "up" }, "sideways"],
    ["line/rest-on", { restOn: 5 }, 5],
    ["line/rest-on", { restOn: 0 }, 0],
    ["line/rest-on", { restOn: 3, metre: metre("6/8") }, 3],
  ])("refuses with %s", (code, options, input) => {
    expect(() => make("rest-on-a-beat", options)).toThrow(expect.objectContaining({ code, input }));
  });

  it("refuses what it does not know and what lacks chords, and says what there is", () => {
    expect(() => make("no such thing at all" as "turns")).toThrow(
      expect.objectContaining({
        code: "line/exercise",
        input: "no such thing at all",
        message: expect.stringContaining("up-and-down, call-and-response") as string,
      }),
    );
    expect(() => make("no such thing at all" as "turns")).toThrow(
      expect.not.objectContaining({ hint: expect.anything() as unknown }) as Error,
    );
    expect(() => make("turn" as "turns")).toThrow(
      expect.objectContaining({ hint: expect.stringContaining("turns") as string }),
    );
    expect(() => make("enclosures", { progression: { bars: 4, metre: metre("4/4") } })).toThrow(
      expect.objectContaining({ code: "line/chords", input: "enclosures" }),
    );
    expect(() => make("octave-shifts", { octaves: 1 })).toThrow(
      expect.objectContaining({ message: expect.stringContaining("2, 3") as string }),
    );
  });

  it("scale exercises are fingered as their scale, figures as they lie best", () => {
    const fingers = (id: ExerciseId): ReadonlySet<number> =>
      new Set(make(id).events.flatMap((e) => (/^[CF]\d/.test(pitchName(toneOf(e))) ? (e.fingers ?? []) : [])));
    for (const id of ["up-and-down", "slides", "each-degree", "displaced-accents", "off-the-beat"] as const)
      expect([id, fingers(id)]).toEqual([id, new Set([1])]);
    for (const id of ["threes", "fours", "turns"] as const) expect(fingers(id).size).toBeGreaterThan(1);
  });
});
