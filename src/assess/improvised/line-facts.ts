import type { NoteEvent } from "../../event/index.ts";
import { nth } from "../../ground/list.ts";
import type { FoundPhrase, LineFinding } from "../../line/index.ts";
import { midiNumber, parsePitch } from "../../pitch/index.ts";
import type { Score } from "../../score/index.ts";
import { addBeats, beatsToNumber, compareBeats, subtractBeats } from "../../time/index.ts";

/** A short figure that comes back: how often, and the phrases that are it. */
export interface Riff {
  readonly times: number;
  readonly phrases: readonly FoundPhrase[];
}

// A figure that comes back three times, in phrases that hold two notes in five of the line, is meant.
const FEWEST_TIMES = 3;
const LEAST_SHARE = 0.4;
const LONGEST = 8;

const inside = (events: readonly NoteEvent[], { at, duration }: FoundPhrase): readonly NoteEvent[] => {
  const end = addBeats(at, duration);
  return events.filter((event) => compareBeats(event.at, at) >= 0 && compareBeats(event.at, end) < 0);
};

/** The riff that a line is built on: phrases of the same rhythm and the same shape, at the same pitch or another. */
export const riffOf = (line: readonly NoteEvent[], phrases: readonly FoundPhrase[]): Riff | undefined => {
  const kinds = new Map<string, FoundPhrase[]>();
  let notes = 0;
  for (const phrase of phrases) {
    const own = inside(line, phrase);
    const [first] = own;
    notes += own.length;
    if (first === undefined || own.length < 2 || own.length > LONGEST) continue;
    const low = midiNumber(nth(first.pitches, 0));
    const shape = own
      .map((event) => `${beatsToNumber(subtractBeats(event.at, first.at))} ${midiNumber(nth(event.pitches, 0)) - low}`)
      .join();
    const alike = kinds.get(shape);
    if (alike === undefined) kinds.set(shape, [phrase]);
    else alike.push(phrase);
  }
  const [most = []] = [...kinds.values()].sort((a, b) => b.length - a.length);
  const covered = most.reduce((sum, phrase) => sum + inside(line, phrase).length, 0);
  return most.length >= FEWEST_TIMES && covered >= LEAST_SHARE * notes
    ? { times: most.length, phrases: most }
    : undefined;
};

// A riff stays while the chords change under it, in one place and on one note if it likes: that is its point.
const FREE_IN_A_RIFF: ReadonlySet<string> = new Set([
  "repeats",
  "seesaw",
  "narrow",
  "resting-note",
  "held-clash",
  "held-avoid",
  "chromatic-resolves",
  "phrase-length",
]);

/** The findings without those that a riff is free of. */
export const besideRiff = (findings: readonly LineFinding[], riff: Riff | undefined): readonly LineFinding[] => {
  if (riff === undefined) return findings;
  const place = ({ bar, beat }: Pick<FoundPhrase, "bar" | "beat">): number => bar * 1000 + beatsToNumber(beat);
  return findings.filter(
    (finding) =>
      !(
        FREE_IN_A_RIFF.has(finding.rule) &&
        riff.phrases.some((phrase) => {
          // Bars of a phrase reach from where it begins to its last note.
          const bars = Math.ceil(beatsToNumber(phrase.duration) / 2);
          return place(finding) >= place(phrase) - 1e-6 && finding.bar <= phrase.bar + bars;
        })
      ),
  );
};

/** How many of a line's notes on the beat are tones of the chord there. */
export interface StrongBeats {
  readonly notes: number;
  readonly chordTones: number;
}

// Wider than a fourth a line leaps.
const LEAP = 5;

/** The share of a line's steps that are leaps, 0 to 1. */
export const leapingShare = (line: readonly NoteEvent[]): number => {
  const keys = line.map(({ pitches }) => midiNumber(nth(pitches, -1)));
  const leaps = keys.slice(1).filter((key, i) => Math.abs(key - nth(keys, i)) > LEAP).length;
  return keys.length < 2 ? 0 : leaps / (keys.length - 1);
};

export const strongBeatsOf = (line: readonly NoteEvent[], { chords }: Score): StrongBeats => {
  let [notes, chordTones] = [0, 0];
  for (const { at, pitches } of line) {
    if (at.den !== 1) continue;
    const here = chords.findLast((span) => compareBeats(span.at, at) <= 0)?.chord;
    if (here === undefined) continue;
    notes++;
    const tones = here.tones.map(({ note }) => midiNumber(parsePitch(`${note}4`)) % 12);
    if (tones.includes(midiNumber(nth(pitches, 0)) % 12)) chordTones++;
  }
  return { notes, chordTones };
};
