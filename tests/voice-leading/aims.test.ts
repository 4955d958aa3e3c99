import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { colourCatalogue } from "../../src/harmony/index.ts";
import type { NoteName, Pitch } from "../../src/pitch/index.ts";
import { pitch, pitchClassOf, pitchFromMidi, pitchName } from "../../src/pitch/index.ts";
import { parseProgression, progressionCatalogue } from "../../src/progression/index.ts";
import type { AimId, AimWeights, SmoothestPathOptions, VoicingCandidate } from "../../src/voice-leading/index.ts";
import { aimCatalogue, smoothestPath, voiceLeading, voiceProgression } from "../../src/voice-leading/index.ts";

const tops = (c: VoicingCandidate): number => Math.max(...c.pitches.map(({ semitones }) => semitones));

/** The points of `aimCatalogue`, written down anew from its descriptions. */
const points = (path: readonly VoicingCandidate[], options: SmoothestPathOptions): Record<AimId, number> => {
  const sum: Record<AimId, number> = {
    motion: 0,
    register: 0,
    low: 0,
    line: 0,
    contrary: 0,
    variety: 0,
    melody: 0,
    open: 0,
    closed: 0,
  };
  for (const [i, c] of path.entries()) {
    const notes = c.pitches.map(({ semitones }) => semitones);
    sum.register += c.outside ?? 0;
    sum.low += c.mud ?? 0;
    for (const [at, note] of notes.entries()) {
      const below = notes[at - 1];
      if (below === undefined) continue;
      if (note - below <= 2) sum.open++;
      if (note - below > 5) sum.closed++;
    }
    for (const { semitones } of options.melody?.[i] ?? []) {
      if (notes.includes(semitones - 1) || notes.includes(semitones - 13)) sum.melody += 3;
      const room = semitones - tops(c);
      sum.melody += room <= 0 ? 2 : room < 3 ? 1 : 0;
    }
  }
  const steps = path.slice(1).map((to, i) => [path[i] ?? to, to] as const);
  const [first, last] = [path[0], path.at(-1)];
  if (options.loop === true && first !== undefined && last !== undefined) steps.push([last, first]);
  for (const [a, b] of steps) {
    sum.motion += voiceLeading(a.pitches, b.pitches).distance;
    const top = tops(b) - tops(a);
    const same = a.chord !== undefined && a.chord.symbol === b.chord?.symbol;
    const equal = a.pitches.map(pitchName).join() === b.pitches.map(pitchName).join();
    if (same && equal) sum.variety++;
    const size = Math.abs(top);
    if (!(same && size === 0)) sum.line += size === 0 ? 1 : size < 3 ? 0 : size < 5 ? 2 : size < 8 ? 4 : size - 3;
    const [low, high] = [a.chord?.bass, b.chord?.bass];
    if (same || low === undefined) continue;
    const way = high === undefined ? 0 : (pitchClassOf(high) - pitchClassOf(low) + 12) % 12;
    const bass = way === 0 ? 0 : way <= 6 ? 1 : -1;
    sum.contrary += 1 + Math.sign(top) * bass;
  }
  return sum;
};

const ROOTS: readonly NoteName[] = ["C", "F", "G", "Db"];
const candidate: fc.Arbitrary<VoicingCandidate> = fc.record({
  // No note twice: a unison has no order in which it could be named.
  pitches: fc
    .uniqueArray(fc.integer({ min: 56, max: 70 }), { minLength: 1, maxLength: 3 })
    .map((notes) => notes.sort((a, b) => a - b).map((note) => pitchFromMidi(note, "flats"))),
  outside: fc.nat(4),
  mud: fc.nat(1),
  offMiddle: fc.integer({ min: 0, max: 4 }).map((n) => n / 2),
});
const setsOf = fc.array(
  fc
    .tuple(fc.constantFrom(...ROOTS), fc.array(candidate, { minLength: 1, maxLength: 3 }))
    .map(([bass, set]) => set.map((one) => ({ ...one, chord: { symbol: bass, bass } }))),
  { minLength: 1, maxLength: 4 },
);
const weight = fc.integer({ min: 0, max: 5 });
const aims: fc.Arbitrary<AimWeights> = fc.record({
  motion: weight,
  register: weight,
  low: weight,
  line: weight,
  contrary: weight,
  variety: weight,
  melody: weight,
  open: weight,
  closed: weight,
});
const everyPath = <T>(sets: readonly (readonly T[])[]): readonly (readonly T[])[] =>
  sets.reduce<readonly (readonly T[])[]>((paths, set) => paths.flatMap((path) => set.map((c) => [...path, c])), [[]]);

const cost = (path: readonly VoicingCandidate[], options: SmoothestPathOptions, weights: AimWeights): number => {
  const of = points(path, options);
  return aimCatalogue.reduce((sum, { id }) => sum + of[id] * (weights[id] ?? 0), 0);
};

describe("aims beside motion", () => {
  const melodies = fc.array(
    fc.array(
      fc.integer({ min: 60, max: 76 }).map((n) => pitchFromMidi(n, "flats")),
      { maxLength: 2 },
    ),
    {
      minLength: 4,
      maxLength: 4,
    },
  );

  it("law: under every aim the path costs no more than any other, open and as a loop, over a melody or none", () => {
    fc.assert(
      fc.property(setsOf, aims, fc.boolean(), fc.option(melodies, { nil: undefined }), (sets, weights, loop, notes) => {
        const melody: readonly (readonly Pitch[])[] | undefined = notes?.slice(0, sets.length);
        const options = { aims: weights, loop, melody };
        const found = smoothestPath<VoicingCandidate>(sets, options);
        const least = Math.min(...everyPath(sets).map((path) => cost(path, options, weights)));
        expect(cost(found.voicings, options, weights)).toBe(least);
        if (aimCatalogue.some(({ id }) => (weights[id] ?? 0) !== (id === "motion" ? 1 : 0)))
          expect(Object.values(found.costs).reduce((sum, one) => sum + one, 0)).toBe(least);
      }),
      { numRuns: 400 },
    );
  });

  it("law: each aim by itself is kept as small as it can be", () => {
    fc.assert(
      fc.property(setsOf, fc.constantFrom(...aimCatalogue.map(({ id }) => id)), fc.boolean(), (sets, id, loop) => {
        const options = { aims: { [id]: 1 }, loop };
        const found = points(smoothestPath<VoicingCandidate>(sets, options).voicings, options)[id];
        expect(found).toBe(Math.min(...everyPath(sets).map((path) => points(path, options)[id])));
      }),
      { numRuns: 300 },
    );
  });

  it("law: motion alone, at any weight, is the smoothest path", () => {
    for (const { id } of progressionCatalogue) {
      const smooth = voiceProgression(id, { style: ["rootless", "close"], loop: true });
      for (const motion of [1, 3]) {
        const weighed = voiceProgression(id, { style: ["rootless", "close"], loop: true, aims: { motion } });
        expect(weighed.voicings).toEqual(smooth.voicings);
        expect(weighed.decisions).toEqual([]);
      }
    }
  });

  it("as a pianist plays, the top of rootless voicings lies from C4 to A4 as a rule, never above C5", () => {
    let [inside, all] = [0, 0];
    for (const key of ["C", "Db", "D", "Eb", "E", "F", "Gb", "G", "Ab", "A", "Bb", "B"] as const) {
      for (const chart of ["ii V I VI7", "I vi ii V", "iiø V7b9 i"]) {
        for (const { pitches } of voiceProgression(parseProgression(chart, { key }), {
          aims: "pianist",
          colour: "in-context",
        }).voicings) {
          const top = pitches.at(-1)?.semitones ?? 0;
          all++;
          if (top <= pitch("A4").semitones && top >= pitch("C4").semitones) inside++;
          expect(top).toBeLessThanOrEqual(pitch("C5").semitones);
        }
      }
    }
    expect(inside / all).toBeGreaterThan(0.9);
  });

  it("a chord that lasts is not one voicing for eight bars", () => {
    const { voicings } = voiceProgression("Dm7 | % | % | % | % | % | % | %", { aims: "pianist", colour: "in-context" });
    expect(new Set(voicings.map(({ pitches }) => pitches.map(pitchName).join(" "))).size).toBeGreaterThan(1);
    expect(
      voicings.some(
        ({ pitches }, i) => pitches.map(pitchName).join() === voicings[i + 1]?.pitches.map(pitchName).join(),
      ),
    ).toBe(false);
  });

  it("law: a chord that goes on keeps what its symbol names and takes nothing that its place speaks against", () => {
    const symbols = [
      "C",
      "Cm",
      "C7",
      "Dm7",
      "Em7",
      "G7",
      "Am7",
      "Bm7b5",
      "E7",
      "A7b9",
      "Fmaj7#11",
      "D7alt",
      "G7sus4",
      "Cm6",
    ];
    fc.assert(
      fc.property(fc.array(fc.constantFrom(...symbols), { minLength: 1, maxLength: 4 }), (chords) => {
        const chart = chords.map((symbol) => `${symbol} | ${symbol} | ${symbol}`).join(" | ");
        const { voicings, colours } = voiceProgression(chart, {
          style: ["rootless", "close"],
          aims: "pianist",
          colour: "in-context",
        });
        for (const [i, { degrees, leftOut, chord }] of voicings.entries()) {
          expect(leftOut).toEqual([]);
          const row = colourCatalogue.find(({ id }) => id === colours.find(({ index }) => index === i)?.colour);
          const named = chord.tones.map(({ degree }) => degree);
          expect(
            degrees.filter((degree) => row?.avoid.some((one) => one === degree) && !named.includes(degree)),
          ).toEqual([]);
        }
      }),
    );
  });

  it("a chord of two bars moves on, in every key and kind (common practice, no source)", () => {
    let [again, all] = [0, 0];
    for (const key of ["C", "Db", "D", "Eb", "E", "F", "Gb", "G", "Ab", "A", "Bb", "B"] as const) {
      for (const chart of ["ii % V % I % VI7 %", "iiø % V7 % i %", "I % IV % I7 %"]) {
        const { voicings } = voiceProgression(parseProgression(chart.replaceAll(" ", " | "), { key }), {
          aims: "pianist",
          colour: "in-context",
        });
        for (let i = 1; i < voicings.length; i += 2) {
          all++;
          const [a, b] = [voicings[i - 1], voicings[i]];
          if (a?.pitches.map(pitchName).join() === b?.pitches.map(pitchName).join()) again++;
        }
      }
    }
    expect(again / all).toBeLessThan(0.1);
  });

  it("says which aim decided", () => {
    const { decisions, costs } = voiceProgression("Abm7 | Db7 | Gbmaj7", { aims: "pianist", first: "rootless-m9-a" });
    for (const { aim, saved, message } of decisions) {
      expect(saved).toBeGreaterThan(0);
      expect(message).toContain(aimCatalogue.find(({ id }) => id === aim)?.title);
    }
    expect(costs.motion).toBeGreaterThan(0);
  });

  it("a melody stays clear above", () => {
    const melody = [[pitch("C5")], [pitch("B4")], [pitch("G4")]];
    const heard = voiceProgression("Dm7 | G7 | Cmaj7", { aims: { motion: 1, melody: 20 }, melody });
    for (const [i, { pitches }] of heard.voicings.entries())
      expect(pitches.at(-1)?.semitones).toBeLessThan(melody[i]?.[0]?.semitones ?? 0);
    expect(() => voiceProgression("Dm7 | G7", { aims: "pianist", melody })).toThrowError(
      expect.objectContaining({ code: "voice-leading/melody" }),
    );
  });
});
