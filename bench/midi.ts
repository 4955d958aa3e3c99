import type { MidiEvent } from "midi-file";
import midiFile from "midi-file";
import {
  beats,
  beatsOf,
  makeScore,
  metre,
  parseKey,
  pitchFromMidi,
  readMidi,
  swungFeel,
  writeMidi,
} from "../tests/all.ts";
import { medianTime } from "./measure.ts";

/** Swung eighths in both hands, so many notes in all. */
const scoreOf = (notes: number) => {
  const hand = (low: number) =>
    Array.from({ length: notes / 2 }, (_, i) => ({
      at: beatsOf(i, 2),
      duration: beats("1/2"),
      pitches: [pitchFromMidi(low + ((i * 7) % 12), "flats")],
    }));
  return makeScore({
    key: parseKey("C"),
    metre: metre("4/4"),
    bars: Math.ceil(notes / 16),
    feel: swungFeel("2:1"),
    right: hand(60),
    left: hand(40),
  });
};

const eventsOf = (notes: number): MidiEvent[] =>
  Array.from({ length: notes }, (_, i): MidiEvent[] => [
    { type: "noteOn", deltaTime: 0, channel: 0, noteNumber: 60 + ((i * 7) % 12), velocity: 80 },
    { type: "noteOff", deltaTime: 480, channel: 0, noteNumber: 60 + ((i * 7) % 12), velocity: 64 },
  ]).flat();

const ms = (n: number): string => n.toFixed(1).padStart(8);

console.log(
  "   notes   score to MIDI   midi-file: bytes only   ratio   our reader   midi-file's reader   (ms, medians)",
);
for (const notes of [2_000, 5_000, 50_000]) {
  const score = scoreOf(notes);
  const ours = medianTime(() => writeMidi(score), notes > 10_000 ? 5 : 9);
  const events = eventsOf(notes);
  const peer =
    notes > 10_000
      ? undefined
      : medianTime(
          () => midiFile.writeMidi({ header: { format: 1, numTracks: 1, ticksPerBeat: 960 }, tracks: [events] }),
          3,
        );
  const bytes = writeMidi(score);
  const reading = medianTime(() => readMidi(bytes), 5);
  const peerReading = medianTime(() => midiFile.parseMidi(bytes), 5);
  console.log(
    `${String(notes).padStart(8)} ${ms(ours)}        ${peer === undefined ? "   (quadratic)" : ms(peer)}            ${peer === undefined ? "" : (peer / ours).toFixed(1).padStart(8)}   ${ms(reading)}      ${ms(peerReading)}`,
  );
}
