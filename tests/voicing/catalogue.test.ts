import * as v from "valibot";
import { describe, expect, it } from "vitest";
import { parseChord, transposeChord } from "../../src/chord/index.ts";
import { MusicError } from "../../src/ground/errors.ts";
import type { Degree, NoteName, PitchName } from "../../src/pitch/index.ts";
import {
  degreeInterval,
  midiNumber,
  noteName,
  parseInterval,
  parsePitch,
  pitchName,
  transpose,
  transposeNote,
} from "../../src/pitch/index.ts";
import type { FullVoicing, Voicing, VoicingOptions } from "../../src/voicing/index.ts";
import { voicingCatalogue, voicingsFor } from "../../src/voicing/index.ts";
import { STYLES, voicingRowSchema } from "../../src/voicing/inner.ts";

const ROOTS = [
  "C",
  "Db",
  "C#",
  "D",
  "Eb",
  "D#",
  "E",
  "F",
  "F#",
  "Gb",
  "G",
  "Ab",
  "G#",
  "A",
  "Bb",
  "A#",
  "B",
  "Cb",
] as const;
const SUFFIXES = [
  "",
  "m",
  "5",
  "6",
  "m6",
  "6/9",
  "m6/9",
  "maj7",
  "maj9",
  "maj13",
  "maj7#11",
  "maj9#11",
  "maj7#5",
  "7",
  "9",
  "11",
  "13",
  "13#11",
  "7b9",
  "7#9",
  "7(b9,b13)",
  "7(#9,b13)",
  "7alt",
  "7#11",
  "9#11",
  "7b5",
  "7#5",
  "7(b5,b9)",
  "7(b5,#9)",
  "7(#5,#9)",
  "7(#5,b9)",
  "7b13",
  "13b9",
  "13#9",
  "13(b9,#11)",
  "m7",
  "m9",
  "m11",
  "m13",
  "m7b13",
  "mMaj7",
  "mMaj9",
  "m7b5",
  "m9b5",
  "m11b5",
  "dim",
  "dim7",
  "aug",
  "sus4",
  "sus2",
  "7sus4",
  "9sus4",
  "13sus4",
  "7susb9",
  "13susb9",
  "add9",
  "m(add9)",
  "maj13#11",
  "6/9(#11)",
  "mMaj9(#11)",
  "m7(b9)",
  "maj7(#9)",
  "m6(11)",
  "mMaj7(13)",
  "13(#9,#11)",
  "7(b9,#9)",
  "9sus4(b13)",
  "7(b9,#11,b13)",
  "7(#9,#11,b13)",
];
const ROWS: ReadonlyMap<string, FullVoicing> = new Map(voicingCatalogue.map((form) => [form.id, form]));
const onRequest = voicingCatalogue.filter((form) => form.onRequest === true).map((form) => form.id);

/** What an option set gives for a symbol; nothing where the style has no form for it. */
const given = (symbol: string, options: VoicingOptions): readonly Voicing[] => {
  try {
    return [...voicingsFor(symbol, options)];
  } catch (error) {
    if (error instanceof MusicError && error.code === "voicing/none") return [];
    throw error;
  }
};

const all: readonly Voicing[] = ROOTS.flatMap((root) =>
  SUFFIXES.flatMap((suffix) => [
    ...STYLES.flatMap((style) => given(root + suffix, { style, span: style === "tenth" ? 16 : 12 })),
    ...onRequest.flatMap((id) => given(root + suffix, { forms: [id] })),
  ]),
);
const rowOf = (voicing: Voicing): FullVoicing => ROWS.get(voicing.form) as FullVoicing;
const named = (voicing: Voicing): string =>
  `${voicing.chord.symbol} ${voicing.form}: ${voicing.pitches.map(pitchName).join(" ")}`;
const offenders = (bad: (voicing: Voicing) => boolean): readonly string[] => all.filter(bad).map(named).slice(0, 5);

describe("laws of every row of the catalogue, in every key", () => {
  it("law: ids are unique", () => {
    expect(ROWS.size).toBe(voicingCatalogue.length);
  });

  it("law: every row passes the door that rows of one's own pass", () => {
    const faults = voicingCatalogue.flatMap((form) =>
      (v.safeParse(voicingRowSchema, form).issues ?? []).map(({ message }) => `${form.id}: ${message}`),
    );
    expect(faults).toEqual([]);
  });

  // A minor ninth between the 7th and a root above it is harsh in every style: common practice, no source.
  it("law: no root lies a minor ninth above a 7th", () => {
    expect(
      offenders(({ degrees, pitches }) =>
        pitches.some((low, i) =>
          pitches
            .slice(i + 1)
            .some(
              (high, j) => high.semitones - low.semitones === 13 && degrees[i + 1 + j] === "1" && degrees[i] === "7",
            ),
        ),
      ),
    ).toEqual([]);
  });

  it("law: the styles are those of the rows, in their order", () => {
    expect([...new Set(voicingCatalogue.map((form) => form.style))]).toEqual(STYLES);
  });

  it("law: every row serves some chord in every one of 18 roots", () => {
    const seen = new Map<string, Set<string>>();
    for (const voicing of all) seen.set(voicing.form, (seen.get(voicing.form) ?? new Set()).add(voicing.chord.root));
    expect(voicingCatalogue.filter((form) => seen.get(form.id)?.size !== ROOTS.length).map((form) => form.id)).toEqual(
      [],
    );
    expect(all.length).toBeGreaterThan(15_000);
  });

  it("law: notes ascend", () => {
    expect(
      offenders(({ pitches }) => pitches.some((p, i) => i > 0 && p.semitones <= (pitches[i - 1]?.semitones as number))),
    ).toEqual([]);
  });

  it("law: every note keeps the letter of its degree", () => {
    expect(
      offenders(({ chord, degrees, pitches }) =>
        degrees.some(
          (degree, i) => noteName(pitches[i] ?? parsePitch("C4")) !== transposeNote(chord.root, degreeInterval(degree)),
        ),
      ),
    ).toEqual([]);
  });

  it("law: every note is a chord tone or a declared tension", () => {
    expect(
      offenders((voicing) => {
        const tones = voicing.chord.tones.map((tone) => tone.degree);
        return voicing.degrees.some((degree) => !tones.includes(degree) && !rowOf(voicing).tensions.includes(degree));
      }),
    ).toEqual([]);
  });

  it("law: an added tension never meets another alteration of the same degree", () => {
    const letterOf = (degree: Degree): number => (Number(degree.replace(/\D/g, "")) - 1) % 7;
    expect(
      offenders(({ chord, degrees }) => {
        const tones = chord.tones.map((tone) => tone.degree);
        return degrees.some(
          (degree) => !tones.includes(degree) && tones.some((tone) => letterOf(tone) === letterOf(degree)),
        );
      }),
    ).toEqual([]);
  });

  it("law: no pitch class is doubled unless the row says so", () => {
    expect(
      offenders((voicing) => {
        const classes = new Set(voicing.pitches.map((p) => midiNumber(p) % 12));
        return classes.size < voicing.pitches.length !== (rowOf(voicing).doubled === true);
      }),
    ).toEqual([]);
  });

  it("law: no semitone lies at the bottom unless the row says so, and no row says so idly", () => {
    const pinched = (voicing: Voicing): boolean => {
      const [lowest, next] = voicing.upper;
      return lowest !== undefined && next !== undefined && next.semitones - lowest.semitones === 1;
    };
    expect(offenders((voicing) => pinched(voicing) && rowOf(voicing).semitoneAtBottom !== true)).toEqual([]);
    const idle = voicingCatalogue.filter(
      (form) => form.semitoneAtBottom === true && !all.some((v) => v.form === form.id && pinched(v)),
    );
    expect(idle.map((form) => form.id)).toEqual([]);
  });

  it("law: the governing note lies in the row's register, a struck bass from E2 to E♭3", () => {
    expect(
      offenders((voicing) => {
        const { of, from, to } = rowOf(voicing).register;
        const note = (of === "top" ? voicing.pitches.at(-1) : voicing.pitches[0])?.semitones as number;
        const bass = voicing.bass;
        const bassOut =
          bass !== undefined &&
          (bass.semitones < parsePitch("E2").semitones || bass.semitones > parsePitch("Eb3").semitones);
        return note < parsePitch(from).semitones || note > parsePitch(to).semitones || bassOut;
      }),
    ).toEqual([]);
  });

  it("law: no hand holds more than an octave; tenths hold more, and say so", () => {
    const wide = all.filter((voicing) => voicing.warnings.some((warning) => warning.kind === "wide-span"));
    expect([...new Set(wide.map((voicing) => voicing.style))]).toEqual(["tenth"]);
    expect(wide).toHaveLength(all.filter((voicing) => voicing.style === "tenth").length);
    expect(
      offenders((voicing) => {
        if (voicing.style === "tenth") return false;
        let at = 0;
        return rowOf(voicing).groups.some((group) => {
          const held = voicing.pitches.slice(at, at + group.notes);
          at += group.notes;
          return (held.at(-1)?.semitones as number) - (held[0]?.semitones as number) > 12;
        });
      }),
    ).toEqual([]);
  });

  it("law: one hand a note, and bass and upper notes make up the whole", () => {
    expect(
      offenders(
        ({ degrees, pitches, hands, bass, upper }) =>
          degrees.length !== pitches.length ||
          hands.length !== pitches.length ||
          JSON.stringify(bass === undefined ? upper : [bass, ...upper]) !== JSON.stringify(pitches),
      ),
    ).toEqual([]);
  });

  it("law: transposing commutes with voicing", () => {
    const shape = (voicings: readonly Voicing[]): readonly (readonly string[])[] =>
      voicings.map((v) => [v.form, ...v.degrees, ...v.pitches.map(pitchName)]);
    const moved = (name: PitchName, by: string): PitchName => pitchName(transpose(parsePitch(name), parseInterval(by)));
    for (const suffix of SUFFIXES) {
      for (const style of STYLES) {
        const from = given(`C${suffix}`, { style, span: 16, register: { from: "C4", to: "G5" }, lowIntervals: "off" });
        for (const by of ["A1", "M6", "-m9"]) {
          const options: VoicingOptions = {
            style,
            span: 16,
            lowIntervals: "off",
            register: { from: moved("C4", by), to: moved("G5", by) },
            bass: { from: moved("E2", by), to: moved("Eb3", by) },
          };
          if (from.length === 0) continue;
          const to = [...voicingsFor(transposeChord(parseChord(`C${suffix}`), parseInterval(by)), options)];
          expect(shape(to), `C${suffix} ${style} ${by}`).toEqual(
            from.map((v) => [
              v.form,
              ...v.degrees,
              ...v.pitches.map((p) => pitchName(transpose(p, parseInterval(by)))),
            ]),
          );
        }
      }
    }
  });
});

describe("what rows must be there", () => {
  // Issue 3 of the project, "Voicings"; common practice, no source.
  const rootless = (symbol: string): readonly string[] => [
    ...new Set(given(symbol, { style: "rootless" }).map((v) => v.degrees.join(" "))),
  ];
  it.each<[string, string, string]>([
    ["Cmaj7", "3 5 7 9", "7 9 3 5"],
    ["C6/9", "3 5 6 9", "6 9 3 5"],
    ["Cmaj7#11", "3 #11 7 9", "7 9 3 #11"],
    ["Cm7", "b3 5 b7 9", "b7 9 b3 5"],
    ["Cm11", "b3 11 b7 9", "b7 9 b3 11"],
    ["Cm6/9", "b3 5 6 9", "6 9 b3 5"],
    ["CmMaj7", "b3 5 7 9", "7 9 b3 5"],
    ["C7", "3 5 b7 9", "b7 9 3 5"],
    ["C13", "3 13 b7 9", "b7 9 3 13"],
    ["C7b9", "3 5 b7 b9", "b7 b9 3 5"],
    ["C7#9", "3 5 b7 #9", "b7 #9 3 5"],
    ["C7(b9,b13)", "3 b13 b7 b9", "b7 b9 3 b13"],
    ["C7alt", "3 b13 b7 #9", "b7 #9 3 b13"],
    ["C7#5", "3 #5 b7 9", "b7 9 3 #5"],
    ["C7#11", "3 #11 b7 9", "b7 9 3 #11"],
    ["C13sus4", "4 13 b7 9", "b7 9 4 13"],
    ["Cm7b5", "b3 b5 b7 1", "b7 1 b3 b5"],
    ["Cm7b5", "b3 11 b5 b7", "b7 b3 11 b5"],
    ["Cdim7", "b3 b5 bb7 1", "bb7 1 b3 b5"],
  ])("%s has a rootless A form %s and a B form %s", (symbol, a, b) => {
    expect(rootless(symbol)).toContain(a);
    expect(rootless(symbol)).toContain(b);
  });

  it("A forms have the 3rd (or what stands for it) at the bottom, B forms the 7th or 6th", () => {
    expect(
      offenders(
        ({ style, label, degrees }) =>
          ["rootless", "three-note-rootless", "guide-tones"].includes(style) &&
          !(label === "A" ? ["3", "b3", "4", "11", "2"] : ["7", "b7", "bb7", "6"]).includes(degrees[0] as Degree),
      ),
    ).toEqual([]);
  });

  it("drop 2 is a close position with its second note from the top an octave lower", () => {
    expect(
      offenders(({ style, pitches }) => {
        if (style !== "drop-2") return false;
        const raised = pitches.map((p, i) => p.semitones + (i === 0 ? 12 : 0)).sort((x, y) => x - y);
        return (
          (raised[3] as number) - (raised[0] as number) >= 12 || raised[2] !== (pitches[0]?.semitones as number) + 12
        );
      }),
    ).toEqual([]);
  });

  it("neighbours in one-hand fourths lie a fourth apart, and two-hand ones nearly all; diminished ones stand in altered chords alone", () => {
    for (const voicing of all.filter((v) => v.style === "fourths")) {
      const gaps = voicing.pitches.slice(1).map((p, i) => p.semitones - (voicing.pitches[i]?.semitones as number));
      const altered = voicing.degrees.some((degree) => /^[b#](?:9|11|13|5)$/.test(degree));
      const fourths = gaps.filter((gap) => gap === 5 || gap === 6 || (altered && gap === 4)).length;
      const few = voicing.form === "fourths-7#9-wide" ? 3 : 2;
      expect(fourths, named(voicing)).toBeGreaterThanOrEqual(gaps.length === 2 ? 2 : gaps.length - few);
    }
  });

  it("altered dominants have fourths for one hand and for two", () => {
    for (const symbol of [
      "G7alt",
      "G7b9",
      "G7(b9,b13)",
      "G13b9",
      "G7#9",
      "G7#11",
      "G13#11",
      "G7b13",
      "G7(#9,b13)",
      "Gm7b5",
    ])
      for (const hands of ["one", "both"] as const)
        for (const { style, degrees, hands: both } of voicingsFor(symbol, { style: "fourths", hands })) {
          expect(style).toBe("fourths");
          expect(
            degrees.some((degree) => /^[b#](?:5|9|11|13)$/.test(degree)),
            `${symbol} ${degrees.join(" ")}`,
          ).toBe(true);
          expect(both.includes("right")).toBe(hands === "both");
        }
  });

  it("every row names its source or says that it has none", () => {
    for (const form of voicingCatalogue)
      expect(form.source, form.id).toMatch(
        /common practice, no source|handout|Music Theory for the 21st-Century Classroom|\(cited from memory\)/,
      );
  });

  it("G7 takes the 9 and the 13, G7b9 nothing but its b9", () => {
    const ninths = (symbol: string): ReadonlySet<NoteName> =>
      new Set(given(symbol, { style: "rootless" }).flatMap((v) => v.pitches.map(noteName)));
    expect([...ninths("G7")].sort()).toEqual(["A", "B", "D", "E", "F"]);
    expect([...ninths("G7b9")].sort()).toEqual(["Ab", "B", "D", "F"]);
  });
});
