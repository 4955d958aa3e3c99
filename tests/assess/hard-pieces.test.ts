import { describe, expect, it } from "vitest";
import { chanceOf } from "../../src/ground/chance.ts";
import type { NoteEvent, PlayedNote, Score } from "../all.ts";
import { alignTake, beatsOf, makeScore, metre, midiNumber, parseKey, pitchFromMidi } from "../all.ts";

const SCALE = [0, 2, 4, 5, 7, 9, 11];
const degree = (step: number): number => 12 * Math.floor(step / 7) + (SCALE[((step % 7) + 7) % 7] ?? 0);

/** A piece with broken chords that are much alike from bar to bar, a melody in several values, ornaments and full chords at cadences. */
const piece = (seed: number, bars = 32): Score => {
  const chance = chanceOf(seed, 21);
  const roots = Array.from({ length: bars }, (_, bar) => [0, 3, 4, 0, 5, 1, 4, 0][bar % 8] ?? 0);
  const left = roots.flatMap((root, bar): NoteEvent[] =>
    [0, 4, 2, 4, 0, 4, 2, 4].map((step, i) => ({
      at: beatsOf(8 * bar + i, 2),
      duration: beatsOf(1, 2),
      pitches: [pitchFromMidi(48 + degree(root + step), "flats")],
    })),
  );
  let step = 9;
  const right = roots.flatMap((root, bar): NoteEvent[] => {
    if (bar % 8 === 7)
      return [
        {
          at: beatsOf(4 * bar, 1),
          duration: beatsOf(4, 1),
          pitches: [7, 9, 11, 14].map((s) => pitchFromMidi(48 + degree(root + s), "flats")),
        },
      ];
    const values = [
      [2, 2],
      [1, 1, 1, 1],
      [1.5, 0.5, 1, 1],
      [0.5, 0.5, 0.5, 0.5, 2],
    ][chance.between(0, 3)] ?? [4];
    let at = 4 * bar;
    return values.map((length) => {
      step = Math.max(4, Math.min(16, step + chance.between(-3, 3)));
      const midi = 60 + degree(step);
      const event: NoteEvent = {
        at: beatsOf(2 * at, 2),
        duration: beatsOf(2 * length, 2),
        pitches: [pitchFromMidi(midi, "flats")],
        ...(chance.share() < 0.15
          ? { graces: [{ style: "crushed" as const, pitch: pitchFromMidi(midi + 2, "flats") }] }
          : {}),
      };
      at += length;
      return event;
    });
  });
  return makeScore({ key: parseKey("C"), metre: metre("4/4"), bars, tempo: 80, right, left });
};

interface Truth {
  readonly note: PlayedNote;
  /** Hand, moment and key of the note that was meant; absent for what an ornament adds. */
  readonly meant?: string;
}

interface Manner {
  readonly trills?: number;
  readonly arpeggio?: number;
  readonly rubato?: number;
  readonly missed?: number;
  readonly wrong?: number;
}

/** Plays it as a player of such music does: trills on long notes, rolled chords, a tempo that comes and goes. */
const perform = (score: Score, seed: number, manner: Manner): readonly Truth[] => {
  const { trills = 0, arpeggio = 0, rubato = 0, missed = 0, wrong = 0 } = manner;
  const chance = chanceOf(seed, 22);
  const times = [0];
  for (let beat = 0; beat < 4 * score.bars + 4; beat++)
    times.push(
      (times[beat] ?? 0) + 0.75 * (1 + rubato * Math.sin((2 * Math.PI * beat) / 16) + 0.3 * rubato * chance.normal()),
    );
  const secondsAt = (beat: number): number => {
    const [i, rest] = [Math.floor(beat), beat - Math.floor(beat)];
    return (times[i] ?? 0) + rest * ((times[i + 1] ?? 0) - (times[i] ?? 0));
  };
  const out: Truth[] = [];
  const put = (midi: number, at: number, length: number, meant?: string): void =>
    void out.push({
      note: { midi, onsetSeconds: at, durationSeconds: Math.max(0.03, length), velocity: 70 },
      ...(meant === undefined ? {} : { meant }),
    });
  for (const hand of ["right", "left"] as const)
    for (const { at, duration, pitches, graces = [] } of score[hand]) {
      const beat = at.num / at.den;
      const length = secondsAt(beat + duration.num / duration.den) - secondsAt(beat);
      const start = secondsAt(beat);
      const keys = pitches.map(midiNumber).sort((a, b) => a - b);
      const name = (midi: number): string => `${hand} ${beat} ${midi}`;
      for (const { pitch } of graces)
        put(midiNumber(pitch), start - 0.08 + 0.01 * chance.normal(), 0.07, `${name(midiNumber(pitch))} grace`);
      const [first = 60] = keys;
      if (hand === "right" && keys.length === 1 && duration.num / duration.den >= 2 && chance.share() < trills) {
        put(first, start, 0.1, name(first));
        for (let i = 1; i * 0.12 < length - 0.1; i++) put(first + (i % 2 === 0 ? 0 : 2), start + 0.12 * i, 0.1);
        continue;
      }
      keys.forEach((midi, i) => {
        if (chance.share() < missed) return;
        const slip = chance.share() < wrong ? (chance.share() < 0.5 ? 1 : -1) : 0;
        put(
          midi + slip,
          start + 0.012 * chance.normal() + (keys.length > 1 ? arpeggio * i : 0),
          0.9 * length,
          name(midi),
        );
      });
    }
  return out.sort((a, b) => a.note.onsetSeconds - b.note.onsetSeconds);
};

/** F of the pairs of asked and played notes, and the runs that were read. */
const heard = (score: Score, truth: readonly Truth[]): { readonly f: number; readonly runs: number } => {
  const { notes, asked, runs } = alignTake(
    score,
    truth.map(({ note }) => note),
  );
  const said = notes.filter(({ state }) => state === "right" || state === "wrong");
  const right = said.filter(({ asked: index = -1, played = -1 }) => {
    const one = asked[index];
    const event = one === undefined ? undefined : score[one.hand][one.event];
    const at = event === undefined ? NaN : event.at.num / event.at.den;
    return truth[played]?.meant === `${one?.hand} ${at} ${one?.midi}${one?.grace === true ? " grace" : ""}`;
  }).length;
  const made = truth.filter(({ meant }) => meant !== undefined).length;
  return { f: (2 * right) / (said.length + made), runs: runs.length };
};

describe("hard pieces", () => {
  const manners: readonly (readonly [title: string, manner: Manner, least: number])[] = [
    ["plainly", {}, 0.999],
    ["with trills that the page does not write out", { trills: 0.7 }, 0.99],
    ["with chords rolled over a third of a second", { arpeggio: 0.11 }, 0.995],
    ["in free tempo", { rubato: 0.25 }, 0.995],
    ["with all of these, and slips", { trills: 0.5, arpeggio: 0.08, rubato: 0.2, missed: 0.02, wrong: 0.02 }, 0.985],
  ];
  it.each(manners)(
    "%s: what was meant is found, and nobody is thought to have gone elsewhere",
    (_title, manner, least) => {
      const results = Array.from({ length: 6 }, (_, seed) => {
        const score = piece(seed + 40);
        return heard(score, perform(score, seed + 60, manner));
      });
      const f = results.reduce((sum, one) => sum + one.f, 0) / results.length;
      expect(f).toBeGreaterThanOrEqual(least);
      expect(results.map(({ runs }) => runs)).toEqual(results.map(() => 1));
    },
  );
});
