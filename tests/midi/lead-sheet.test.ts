import { Midi } from "@tonejs/midi";
import fc from "fast-check";
import { writeMidi as writeBytes } from "midi-file";
import { describe, expect, it } from "vitest";
import { MusicError } from "../../src/ground/errors.ts";
import { midiLeadSheet, readMidi } from "../../src/midi/index.ts";
import { readLeadSheet, writeLeadSheet } from "../../src/musicxml/index.ts";
import type { ChartNote } from "../../src/progression/index.ts";
import { chartBars, parseChart } from "../../src/progression/index.ts";
import { beats } from "../../src/time/index.ts";

type Note = readonly [midi: number, at: number, duration: number];

/** A file written by another library than ours: notes in quarter notes. */
const toneFile = (notes: readonly Note[], tempo = 100, metre = [4, 4]): Uint8Array => {
  const midi = new Midi();
  midi.header.setTempo(tempo);
  midi.header.timeSignatures.push({ ticks: 0, timeSignature: metre });
  const track = midi.addTrack();
  const { ppq } = midi.header;
  for (const [number, at, duration] of notes)
    track.addNote({
      midi: number,
      ticks: Math.round(at * ppq),
      durationTicks: Math.round(duration * ppq),
      velocity: 0.8,
    });
  return midi.toArray();
};

/** The same by a second library, which writes the bare events. */
const bareFile = (notes: readonly Note[]): Uint8Array => {
  const ticks = 96;
  const events = notes
    .flatMap(([number, at, duration]) => [
      { at: at * ticks, type: "noteOn" as const, noteNumber: number, velocity: 90 },
      { at: (at + duration) * ticks, type: "noteOff" as const, noteNumber: number, velocity: 0 },
    ])
    .sort((a, b) => a.at - b.at || (a.type < b.type ? -1 : 1));
  let before = 0;
  const track = events.map(({ at, ...event }) => {
    const deltaTime = Math.round(at) - before;
    before = Math.round(at);
    return { ...event, deltaTime, channel: 0 };
  });
  const end = { deltaTime: 0, meta: true as const, type: "endOfTrack" as const };
  return new Uint8Array(
    writeBytes({ header: { format: 0, numTracks: 1, ticksPerBeat: ticks }, tracks: [[...track, end]] }),
  );
};

const sung = (chart: ReturnType<typeof midiLeadSheet>): readonly string[] =>
  chart.bars.map(({ melody = [] }) =>
    melody.map(({ at, duration, pitches }) => `${pitches.join("+")} ${at}:${duration}`).join(", "),
  );

const refusal = (run: () => unknown): MusicError => {
  try {
    run();
  } catch (error) {
    if (error instanceof MusicError) return error;
    throw error;
  }
  throw new Error("was taken");
};

describe("a melody from a MIDI file over a chart", () => {
  const notes: readonly Note[] = [
    [74, 0, 1.5],
    [72, 1.5, 0.5],
    [71, 2, 2],
    [67, 4, 6],
    [68, 12, 4],
  ];

  it("written by another library: stands in its bars, spelled by the chord, and keeps the file's tempo", () => {
    const chart = midiLeadSheet(readMidi(toneFile(notes)), "Key: C\nDm7 G7 | Cmaj7 | % | E7");
    expect(sung(chart)).toEqual(["D5 0:3/2, C5 3/2:1/2, B4 2:2", "G4 0:6", "", "G#4 0:4"]);
    expect(chart.tempo).toBe(100);
    // Over D flat the same key is A flat.
    expect(sung(midiLeadSheet(readMidi(toneFile([[68, 0, 4]])), "Key: C\nDbmaj7"))).toEqual(["Ab4 0:4"]);
  });

  it("goes out as a lead sheet and comes back with all its notes", () => {
    const chart = midiLeadSheet(readMidi(toneFile(notes)), "Key: C\nTempo: 120\nDm7 G7 | Cmaj7 | % | E7");
    const back = readLeadSheet(writeLeadSheet(chart));
    expect(sung(back)).toEqual(sung(chart));
    expect(back.tempo).toBe(120);
    expect(back.bars.map(({ chords }) => chords.map(({ symbol }) => symbol))).toEqual([
      ["Dm7", "G7"],
      ["Cmaj7"],
      ["Cmaj7"],
      ["E7"],
    ]);
  });

  it("law: what a second library writes on the grid comes back, note for note", () => {
    fc.assert(
      fc.property(
        fc.array(fc.tuple(fc.integer({ min: 55, max: 84 }), fc.integer({ min: 1, max: 6 }), fc.boolean()), {
          minLength: 1,
          maxLength: 24,
        }),
        (steps) => {
          let at = 0;
          const placed: Note[] = [];
          for (const [number, halves, rest] of steps) {
            if (!rest) placed.push([number, at, halves / 2]);
            at += halves / 2;
          }
          fc.pre(placed.length > 0);
          const bars = Math.ceil(at / 4);
          const chart = midiLeadSheet(readMidi(bareFile(placed)), `Key: C\n${"C | ".repeat(bars)}`);
          const back = chartBars(chart).flatMap(({ melody = [], bar }) =>
            melody.map((note): Note => [semitones(note), 4 * (bar - 1) + number(note.at), number(note.duration)]),
          );
          expect(back).toEqual(placed);
        },
      ),
    );
  });

  it("begins before bar 1: the chart gets its pickup bar, or fills the one that it has", () => {
    const file = readMidi(
      toneFile([
        [67, 3, 1],
        [72, 4, 4],
        [71, 8, 4],
      ]),
    );
    const lead = midiLeadSheet(file, "Key: C\nC | G", { before: beats(4) });
    expect([lead.pickup, ...sung(lead)]).toEqual(["1", "G4 0:1", "C5 0:4", "B4 0:4"]);
    const own = midiLeadSheet(
      readMidi(
        toneFile([
          [67, 0, 1],
          [72, 1, 4],
        ]),
      ),
      "Key: C\nG7*1 | C | G",
    );
    expect(sung(own)).toEqual(["G4 0:1", "C5 0:4", ""]);
    expect(own.guesses.join()).toContain("ends before bar 2 of 2");
  });

  it("takes repeats as they are played; where they differ, the chart is written out and says so", () => {
    const same: readonly Note[] = [
      [60, 0, 4],
      [62, 4, 4],
      [60, 8, 4],
      [62, 12, 4],
    ];
    expect(sung(midiLeadSheet(readMidi(toneFile(same)), "Key: C\n|: C | Dm :|"))).toEqual(["C4 0:4", "D4 0:4"]);
    const other: readonly Note[] = [...same.slice(0, 3), [65, 12, 4]];
    const chart = midiLeadSheet(readMidi(toneFile(other)), "Key: C\n[A] |: C | Dm :|");
    expect(sung(chart)).toEqual(["C4 0:4", "D4 0:4", "C4 0:4", "F4 0:4"]);
    expect(chart.guesses.join()).toContain("repeats written out, since the melody of bar 4 differs");
    expect(chart.bars.every(({ repeatStart, repeatEnd }) => repeatStart === undefined && repeatEnd === undefined)).toBe(
      true,
    );
  });

  it("counts bars by their own metres, and takes out the swing that is asked for", () => {
    const mixed = midiLeadSheet(
      readMidi(
        toneFile([
          [60, 0, 4],
          [62, 4, 3],
          [64, 7, 4],
        ]),
      ),
      "Key: C\nC | [3/4] Dm | [4/4] C",
    );
    expect(sung(mixed)).toEqual(["C4 0:4", "D4 0:3", "E4 0:4"]);
    const swung = toneFile([
      [60, 0, 2 / 3],
      [62, 2 / 3, 1 / 3],
      [64, 1, 3],
    ]);
    expect(sung(midiLeadSheet(readMidi(swung), "Key: C\nC", { feel: "2:1" }))).toEqual([
      "C4 0:1/2, D4 1/2:1/2, E4 1:3",
    ]);
  });

  it("says where the file states another metre", () => {
    const chart = midiLeadSheet(readMidi(toneFile([[60, 0, 3]], 90)), "Key: C\n[3/4] C | F");
    expect(chart.guesses.join()).toContain("states 4/4, and is read in the chart's 3/4");
  });

  it.each([
    [[[60, 8, 1]], "C | F", {}, "progression/melody", "ends after 8"],
    [[[60, 0, 1]], "C | F", { before: beats(5) }, "progression/melody", "less than a bar before"],
    [[], "C | F", {}, "midi/melody", "notes of the melody"],
    [[[60, 0, 1]], "C | F", { track: 9 }, "midi/track", "a track from 1"],
    [[[60, 0, 1]], "H | F", {}, "chord/root", "write B"],
  ] as readonly (readonly [readonly Note[], string, object, string, string])[])(
    "refuses %j over %s in one line",
    (placed, chart, options, code, says) => {
      const { code: own, message } = refusal(() => midiLeadSheet(readMidi(toneFile(placed)), chart, options));
      expect(own).toBe(code);
      expect(message).toContain(says);
      expect(message).not.toContain("\n");
    },
  );

  it("leaves no trace in the chart that was given", () => {
    const chart = parseChart("Key: C\nC | F");
    const before = JSON.stringify(chart);
    midiLeadSheet(readMidi(toneFile([[60, 0, 1]])), chart);
    expect(JSON.stringify(chart)).toBe(before);
  });
});

const number = (text: string): number => beats(text).num / beats(text).den;
const SEMITONES: Readonly<Record<string, number>> = { C: 0, D: 2, E: 4, F: 5, G: 7, A: 9, B: 11 };
const semitones = ({ pitches: [name = ""] }: ChartNote): number => {
  const [, letter = "", signs = "", octave = ""] = /^([A-G])([b#]*)(-?\d)$/.exec(name) ?? [];
  const shift = signs.startsWith("b") ? -signs.length : signs.length;
  return 12 * (Number(octave) + 1) + (SEMITONES[letter] ?? 0) + shift;
};
