import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { bassRow } from "../../src/backing/bass-catalogue.ts";
import type { BassId, BassLine, BassRow } from "../../src/backing/index.ts";
import { bassCatalogue, bassLine } from "../../src/backing/index.ts";
import type { LineProblem } from "../../src/backing/line.ts";
import { bestLine, pointsOf } from "../../src/backing/line.ts";
import { slotsOf } from "../../src/backing/slots.ts";
import type { Chord } from "../../src/chord/index.ts";
import type { NoteEvent, TimeSpan } from "../../src/event/index.ts";
import { pedalsOf } from "../../src/harmony/inner.ts";
import type { NoteName, Pitch } from "../../src/pitch/index.ts";
import {
  alterationOf,
  midiNumber,
  noteInterval,
  noteName,
  pitch,
  pitchClassOf,
  pitchName,
  signatureNotes,
  transpose,
} from "../../src/pitch/index.ts";
import type { Progression } from "../../src/progression/index.ts";
import { parseProgression, transposeProgression } from "../../src/progression/index.ts";
import type { Beats } from "../../src/time/index.ts";
import {
  addBeats,
  barLength,
  barPosition,
  beats,
  compareBeats,
  divideBeats,
  equalBeats,
  floorBeats,
  formatBeats,
  multiplyBeats,
  parseMetre,
  pulseLength,
  pulseTime,
  subtractBeats,
} from "../../src/time/index.ts";
import { anyProgression } from "./generators.ts";

const SEEDS = fc.integer({ min: 0, max: 1000 });
const modulo = (at: Beats, by: Beats): Beats =>
  subtractBeats(at, multiplyBeats(by, beats(floorBeats(divideBeats(at, by)))));
const endOf = (span: TimeSpan): Beats => addBeats(span.at, span.duration);
const keyOf = (note: NoteEvent): number => midiNumber(note.pitches[0] as Pitch);
const namesOf = (line: BassLine): string[] => line.events.map((note) => pitchName(note.pitches[0] as Pitch));

/** Chords as a listener hears them: neighbouring spans of one chord are one. */
const heard = ({ chords: spans }: Progression): readonly (TimeSpan & { readonly chord: Chord })[] => {
  const chords: { at: Beats; duration: Beats; chord: Chord }[] = [];
  for (const { at, duration, chord } of spans) {
    const last = chords.at(-1);
    if (chord === undefined) continue;
    if (last !== undefined && last.chord.canonical === chord.canonical && equalBeats(endOf(last), at))
      last.duration = addBeats(last.duration, duration);
    else chords.push({ at, duration, chord });
  }
  return chords;
};

const inside = <T extends TimeSpan>(items: readonly T[], span: TimeSpan): readonly T[] =>
  items.filter((item) => compareBeats(item.at, span.at) >= 0 && compareBeats(item.at, endOf(span)) < 0);

const classesOf = (chord: Chord): ReadonlySet<number> =>
  new Set(
    [
      ...chord.tones.filter(({ degree }) => Number(degree.replace(/^[b#]+/, "")) <= 7).map(({ note }) => note),
      chord.bass,
    ].map(pitchClassOf),
  );

// Whether a chord follows at once; round the form the first follows the last.
const followerOf = (
  chords: readonly (TimeSpan & { readonly chord: Chord })[],
  i: number,
  p: Progression,
): (TimeSpan & { readonly chord: Chord }) | undefined => {
  const chord = chords[i]!;
  const next = chords[i + 1];
  if (next !== undefined) return equalBeats(endOf(chord), next.at) ? next : undefined;
  const whole = equalBeats(endOf(chord), multiplyBeats(barLength(p.metre), beats(p.bars))) && chords[0]!.at.num === 0;
  return whole ? chords[0] : undefined;
};

const METRES = ["4/4", "3/4", "12/8", "2/4", "5/4", "6/8"];
const plays = (manner: BassId, { metre }: Progression): boolean => {
  const pulses = divideBeats(barLength(metre), pulseLength(metre)).num;
  return bassRow(manner).bars.some((bar) => pulses % bar.pulses === 0);
};

/** Over a pedal point the bass stays, whatever the manner. */
const overPedal = (p: Progression): boolean => pedalsOf(heard(p)).length > 0;

describe("bass lines: rules", () => {
  it("law: over a pedal point there is no other note", () => {
    fc.assert(
      fc.property(
        anyProgression(METRES),
        fc.constantFrom(...bassCatalogue.map((row) => row.id)),
        SEEDS,
        (p, manner, seed) => {
          fc.pre(plays(manner, p));
          const chords = heard(p);
          const { events } = bassLine(p, { manner, seed });
          for (const { from, to, note } of pedalsOf(chords))
            for (const span of chords.slice(from, to + 1))
              for (const event of inside(events, span)) expect(keyOf(event) % 12).toBe(pitchClassOf(note));
        },
      ),
      { numRuns: 150 },
    );
  });

  it("law: every manner puts the root where a chord enters, a chord tone on every downbeat that it plays, inside the range, without leaps beyond an octave", () => {
    fc.assert(
      fc.property(
        anyProgression(METRES),
        fc.constantFrom(...bassCatalogue.map((row) => row.id)),
        SEEDS,
        fc.boolean(),
        (p, manner, seed, around) => {
          fc.pre(plays(manner, p) && !overPedal(p));
          const { events: notes, reasons } = bassLine(p, { manner, seed, loop: around });
          expect(reasons.length).toBe(notes.length);
          const chords = heard(p);
          chords.forEach(({ chord, ...span }, c) => {
            const own = inside(notes, span);
            const next = around || c + 1 < chords.length ? followerOf(chords, c, p) : undefined;
            expect(own[0]?.at).toEqual(span.at);
            expect(keyOf(own[0]!) % 12).toBe(pitchClassOf(chord.bass));
            for (const note of next === undefined ? own : own.slice(0, -1)) {
              if (barPosition(note.at, p.metre).offset.num === 0)
                expect(classesOf(chord).has(keyOf(note) % 12)).toBe(true);
            }
          });
          const whole = chords.length > 0 && around && followerOf(chords, chords.length - 1, p) === chords[0];
          if (whole && !bassRow(manner).repeats && !chords.some(({ at }) => equalBeats(at, notes.at(-1)!.at)))
            expect(keyOf(notes.at(-1)!)).not.toBe(keyOf(notes[0]!));
          notes.forEach((note, i) => {
            expect(keyOf(note)).toBeGreaterThanOrEqual(28);
            expect(keyOf(note)).toBeLessThanOrEqual(55);
            const next = notes[i + 1];
            if (next === undefined || !equalBeats(endOf(note), next.at)) return;
            expect(Math.abs(keyOf(next) - keyOf(note))).toBeLessThanOrEqual(12);
            const entries = [note, next].every((each) => heard(p).some(({ at }) => equalBeats(at, each.at)));
            if (keyOf(next) === keyOf(note) && !bassRow(manner).repeats) expect(entries).toBe(true);
          });
        },
      ),
      { numRuns: 100 },
    );
  });

  it("keeps a pedal point: nothing but its note, in every manner, until the chord that leaves it", () => {
    for (const { id } of bassCatalogue) {
      const metre = parseMetre(id === "waltz" ? "3/4" : id === "five-four" ? "5/4" : "4/4");
      const changes = parseProgression("Dmaj7 | Em7/D | A7/D | Dmaj7 | Gm7 | C7", { key: "D", metre });
      const { events } = bassLine(changes, { manner: id });
      const held = events.filter(({ at }) => compareBeats(at, multiplyBeats(barLength(metre), beats(4))) < 0);
      expect(new Set(held.map((note) => keyOf(note) % 12)), id).toEqual(new Set([2]));
      expect(events.length).toBeGreaterThan(held.length);
    }
  });

  it("law: notes fill each chord from its start to its end and none sounds without chord; walking, a note starts on every beat of a chord", () => {
    fc.assert(
      fc.property(
        anyProgression(METRES),
        fc.constantFrom(...bassCatalogue.map((row) => row.id)),
        SEEDS,
        (p, manner, seed) => {
          fc.pre(plays(manner, p));
          const { events: notes } = bassLine(p, { manner, seed });
          let placed = 0;
          for (const span of heard(p)) {
            const own = inside(notes, span);
            placed += own.length;
            let at = span.at;
            for (const note of own) {
              expect(note.at).toEqual(at);
              at = endOf(note);
            }
            expect(at).toEqual(endOf(span));
            if (manner !== "walking") continue;
            const pulse = pulseLength(p.metre);
            for (let n = 0; compareBeats(multiplyBeats(pulse, beats(n)), endOf(span)) < 0; n++) {
              const beat = multiplyBeats(pulse, beats(n));
              if (compareBeats(beat, span.at) >= 0) expect(own.some((note) => equalBeats(note.at, beat))).toBe(true);
            }
            for (const note of own.slice(1)) expect(divideBeats(note.at, pulse).den).toBe(1);
          }
          expect(placed).toBe(notes.length);
        },
      ),
      { numRuns: 60 },
    );
  });

  it("law: walking, the note before a new chord leads to its bass by a semitone, a tone or a fifth, and the rest are chord tones or pass by step", () => {
    fc.assert(
      fc.property(anyProgression(METRES), SEEDS, (p, seed) => {
        fc.pre(!overPedal(p));
        const { events: notes, reasons } = bassLine(p, { seed });
        const chords = heard(p);
        chords.forEach((chord, c) => {
          const own = inside(notes, chord);
          const next = followerOf(chords, c, p);
          own.forEach((note, n) => {
            const at = notes.indexOf(note);
            const reason = reasons[at]!;
            if (n === 0) return expect(reason.role).toBe("root");
            const before = keyOf(own[n - 1]!);
            const on =
              keyOf(
                next !== undefined && n === own.length - 1
                  ? notes.find((each) => equalBeats(each.at, next.at))!
                  : (own[n + 1] ?? note),
              ) - keyOf(note);
            if (next !== undefined && n === own.length - 1) {
              expect(reason.role).toBe("approach");
              expect([-7, -2, -1, 1, 2, 5]).toContain(on);
              return expect(reason.by).toBe(Math.abs(on) === 1 ? "semitone" : Math.abs(on) === 2 ? "step" : "fifth");
            }
            if (classesOf(chord.chord).has(keyOf(note) % 12)) return expect(reason.role).toBe("chord");
            expect(reason.role).toBe("passing");
            const move = keyOf(note) - before;
            expect(Math.sign(move)).toBe(Math.sign(on));
            expect([Math.abs(move), Math.abs(on)].every((size) => size === 1 || size === 2)).toBe(true);
          });
        });
      }),
      { numRuns: 100 },
    );
  });

  it("law: two-beat, what is no chord tone leads into the next root by a semitone or a tone", () => {
    fc.assert(
      fc.property(anyProgression(METRES), SEEDS, (p, seed) => {
        const { events: notes } = bassLine(p, { manner: "two-beat", seed });
        const chords = heard(p);
        chords.forEach((chord, c) => {
          const own = inside(notes, chord);
          const next = followerOf(chords, c, p);
          own.forEach((note, n) => {
            if (classesOf(chord.chord).has(keyOf(note) % 12)) return;
            expect(n).toBe(own.length - 1);
            const target = notes.find((each) => next !== undefined && equalBeats(each.at, next.at))!;
            expect([1, 2]).toContain(Math.abs(keyOf(target) - keyOf(note)));
          });
        });
      }),
      { numRuns: 60 },
    );
  });

  it("law: long notes are the chord's bass, one a chord and bar", () => {
    fc.assert(
      fc.property(anyProgression(METRES), SEEDS, (p, seed) => {
        const { events: notes } = bassLine(p, { manner: "long-notes", seed });
        for (const span of heard(p)) {
          const own = inside(notes, span);
          expect(new Set(own.map((note) => keyOf(note) % 12))).toEqual(new Set([pitchClassOf(span.chord.bass)]));
          expect(own.slice(1).every((note) => barPosition(note.at, p.metre).offset.num === 0)).toBe(true);
        }
      }),
      { numRuns: 40 },
    );
  });

  it("law: chord tones are spelled as the chord spells them, other notes have at most one accidental more than the key or the chord asks for", () => {
    fc.assert(
      fc.property(anyProgression(METRES), SEEDS, (p, seed) => {
        const { events: notes, reasons } = bassLine(p, { seed });
        for (const { chord, ...span } of heard(p)) {
          const named = new Map<number, NoteName>([
            [pitchClassOf(chord.bass), chord.bass],
            ...chord.tones.map(({ note }): [number, NoteName] => [pitchClassOf(note), note]).reverse(),
          ]);
          for (const note of inside(notes, span)) {
            const written = note.pitches[0] as Pitch;
            if (classesOf(chord).has(keyOf(note) % 12))
              expect(pitchClassOf(noteName(written))).toBe(pitchClassOf(named.get(keyOf(note) % 12)!));
            if (classesOf(chord).has(keyOf(note) % 12) && chord.bass === chord.root)
              expect([...chord.tones.map((tone) => tone.note)]).toContain(noteName(written));
            // Outside the chord's scale: by the key, natural, by direction, or a fifth over the next root.
            const reason = reasons[notes.indexOf(note)]!;
            if (reason.degree !== undefined || reason.by === "fifth") continue;
            const next = notes[(notes.indexOf(note) + 1) % notes.length]!;
            const inKey = signatureNotes(p.key).includes(noteName(written));
            expect(
              inKey || alterationOf(written) === 0 || alterationOf(written) === (keyOf(next) > keyOf(note) ? 1 : -1),
            ).toBe(true);
          }
        }
      }),
      { numRuns: 60 },
    );
  });
});

describe("bass lines: manners", () => {
  const rolesOf = (p: Progression, manner: BassId, seed: number) => {
    const line = bassLine(p, { manner, seed });
    return line.events.map((note, i) => ({
      place: formatBeats(barPosition(note.at, p.metre).offset),
      degree: line.reasons[i]!.degree,
      role: line.reasons[i]!.role,
      key: keyOf(note),
    }));
  };

  it("common practice: bossa has the root on 1, the fifth on 3, each an eighth before it as well, whatever the seed", () => {
    for (let seed = 0; seed < 60; seed++) {
      for (const note of rolesOf(parseProgression("Cmaj7 | % | Dm7 | G7", { key: "C" }), "bossa", seed)) {
        expect(note.degree).toBe({ "0": "1", "3/2": "5", "2": "5", "7/2": "1" }[note.place]);
      }
    }
  });

  it("common practice: a waltz has the root where a chord enters and root or fifth on 1 of every bar, nothing below G1", () => {
    for (let seed = 0; seed < 60; seed++) {
      const notes = rolesOf(parseProgression("F6 | % | % | G7/F# | % | C7", { key: "F", metre: "3/4" }), "waltz", seed);
      const ones = notes.filter(({ place }) => place === "0");
      expect(ones.length).toBe(6);
      for (const { degree, role, key } of ones) {
        if (role !== "root") expect(["1", "5", "7"]).toContain(degree);
        expect(key).toBeGreaterThanOrEqual(31);
      }
    }
  });

  it("law: a place that is for the root or the fifth has it, in any chord and metre", () => {
    fc.assert(
      fc.property(
        anyProgression(METRES),
        fc.constantFrom(...bassCatalogue.map((row) => row.id)),
        SEEDS,
        (p, manner, seed) => {
          fc.pre(plays(manner, p) && !overPedal(p));
          const pulses = divideBeats(barLength(p.metre), pulseLength(p.metre)).num;
          const bar = (bassRow(manner) as BassRow).bars.find((one) => pulses % one.pulses === 0)!;
          const { events, reasons } = bassLine(p, { manner, seed });
          const chords = heard(p);
          events.forEach((note, i) => {
            const n = bar.at.findIndex((place) =>
              equalBeats(
                pulseTime(beats(place), p.metre),
                modulo(barPosition(note.at, p.metre).offset, multiplyBeats(pulseLength(p.metre), beats(bar.pulses))),
              ),
            );
            const play = bar.play?.[n];
            if (reasons[i]!.role === "root" || play === undefined || play === "free") return;
            const chord = chords.find(
              (one) => compareBeats(one.at, note.at) <= 0 && compareBeats(note.at, endOf(one)) < 0,
            )!.chord;
            const fifth = chord.tones.find(({ degree }) => ["5", "b5", "#5"].includes(degree))?.note ?? chord.bass;
            const allowed = { root: [chord.bass], fifth: [fifth], "root-or-fifth": [chord.bass, fifth] }[play];
            expect(allowed.map(pitchClassOf)).toContain(keyOf(note) % 12);
          });
        },
      ),
      { numRuns: 150 },
    );
  });

  it("law: with an ending the last chord has one note, its root, as long as it lasts", () => {
    fc.assert(
      fc.property(
        anyProgression(METRES),
        fc.constantFrom(...bassCatalogue.map((row) => row.id)),
        SEEDS,
        (p, manner, seed) => {
          fc.pre(plays(manner, p) && heard(p).length > 0);
          const last = heard(p).at(-1)!;
          const own = inside(bassLine(p, { manner, seed, ending: true }).events, last);
          expect(own.map(({ at, duration }) => ({ at, duration }))).toEqual([{ at: last.at, duration: last.duration }]);
          expect(keyOf(own[0]!) % 12).toBe(pitchClassOf(last.chord.bass));
        },
      ),
      { numRuns: 80 },
    );
  });

  it("law: a row of the user's own plays as it would if it shipped", () => {
    fc.assert(
      fc.property(anyProgression(METRES), fc.constantFrom(...bassCatalogue), SEEDS, (p, row, seed) => {
        fc.pre(plays(row.id, p));
        expect(bassLine(p, { manner: { ...row, id: "of-my-own" }, seed })).toEqual(
          bassLine(p, { manner: row.id, seed }),
        );
      }),
      { numRuns: 60 },
    );
  });

  it("a row that says something else than a row should is refused at the door, with the place", () => {
    const [row] = bassCatalogue;
    const bad = (change: object): unknown => ({ ...row, id: "of-my-own", ...change });
    for (const change of [
      { bars: [{ pulses: 2, at: ["1"] }] },
      { bars: [{ pulses: 2, at: ["0", "3"] }] },
      { bars: [{ pulses: 2, at: ["0", "1"], play: ["root"] }] },
      { taste: { ...row.taste, moves: [1] } },
      { range: { from: "H1", to: "C3" } },
      { walk: true },
    ]) {
      expect(() => bassLine("turnaround", { manner: bad(change) as BassRow })).toThrowError(
        expect.objectContaining({ code: "backing/bass" }),
      );
    }
  });
});

describe("bass lines: exactness", () => {
  // Every line of a small problem, by brute force.
  const bruteForce = (problem: LineProblem): number => {
    const { slots, low, high, then } = problem;
    let best = Number.POSITIVE_INFINITY;
    const notes: number[] = [];
    const extend = (): void => {
      if (notes.length === slots.length) {
        const after = then === "first" ? notes[0]! : (then ?? -1);
        const points = notes.reduce(
          (sum, note, i) => sum + pointsOf(problem, i, notes[i - 1] ?? -1, note, notes[i + 1] ?? after),
          0,
        );
        best = Math.min(best, points);
        return;
      }
      for (let note = low; note <= high; note++) {
        notes.push(note);
        extend();
        notes.pop();
      }
    };
    extend();
    return best;
  };

  it("law: no line that keeps the rules costs less (brute force over every note of a small range)", () => {
    let found = 0;
    fc.assert(
      fc.property(
        anyProgression(["3/4", "4/4", "2/4"], true),
        fc.constantFrom<BassId>("walking", "two-beat"),
        fc.integer({ min: 28, max: 45 }),
        fc.integer({ min: 5, max: 8 }),
        fc.constantFrom<LineProblem["then"]>("first", undefined, 33),
        fc.array(fc.integer({ min: 0, max: 12 }), { minLength: 60, maxLength: 60 }),
        (p, manner, low, width, then, mood) => {
          const row = bassRow(manner);
          const slots = slotsOf(p, row, then !== undefined).slice(0, 4);
          // A run without gaps.
          const gap = slots.findIndex((slot, i) => i > 0 && !equalBeats(endOf(slots[i - 1]!), slot.at));
          const run = gap < 0 ? slots : slots.slice(0, gap);
          fc.pre(run.length > 1);
          const moods = run.map((_, i) => Int16Array.from({ length: width + 1 }, (__, n) => mood[(i * 13 + n) % 60]!));
          const problem: LineProblem = { slots: run, row, low, high: low + width, moods, then };
          const line = bestLine(problem);
          const least = bruteForce(problem);
          expect(line === undefined).toBe(least === Number.POSITIVE_INFINITY);
          if (line === undefined) return;
          found++;
          expect(line.points).toBe(least);
          const after = then === "first" ? line.notes[0]! : (then ?? -1);
          expect(
            line.notes.reduce(
              (sum, note, i) => sum + pointsOf(problem, i, line.notes[i - 1] ?? -1, note, line.notes[i + 1] ?? after),
              0,
            ),
          ).toBe(least);
        },
      ),
      { numRuns: 250 },
    );
    expect(found).toBeGreaterThan(30);
  });

  it("law: nor does any cost less whose first note lies in another octave (brute force over two octaves)", () => {
    fc.assert(
      fc.property(
        fc.constantFrom("C6 | F6", "C6 F6 | G7 C6", "Am7 D7 | G6 E7"),
        fc.constantFrom<BassId>("walking", "two-beat"),
        fc.integer({ min: 28, max: 38 }),
        fc.array(fc.integer({ min: 0, max: 12 }), { minLength: 60, maxLength: 60 }),
        (chart, manner, low, mood) => {
          const row = bassRow(manner);
          const slots = slotsOf(parseProgression(chart, { metre: "2/4" }), row, true).slice(0, 3);
          const moods = slots.map((_, i) => Int16Array.from({ length: 19 }, (__, n) => mood[(i * 13 + n) % 60]!));
          const problem: LineProblem = { slots, row, low, high: low + 18, moods, then: "first" };
          expect(bestLine(problem)?.points ?? Number.POSITIVE_INFINITY).toBe(bruteForce(problem));
        },
      ),
      { numRuns: 40 },
    );
  });

  it("law: the same seed plays the same line, and others play others", () => {
    const changes = parseProgression("blues", { key: "F" });
    const lines = Array.from({ length: 40 }, (_, seed) => namesOf(bassLine(changes, { seed })).join(" "));
    expect(namesOf(bassLine(changes, { seed: 17 })).join(" ")).toBe(lines[17]);
    expect(new Set(lines).size).toBe(40);
  });

  it("law: a progression and a range moved together move the line, key by key, and keep the degree of every note", () => {
    const tonics = ["C", "Db", "D", "Eb", "E", "F", "G", "Ab", "A", "Bb", "B"];
    fc.assert(
      fc.property(
        fc.constantFrom("turnaround", "blues", "jazz-blues", "two-five-one-altered", "aaba", "turnaround-diminished"),
        fc.constantFrom(...tonics),
        fc.constantFrom(...tonics),
        fc.constantFrom<BassId>("walking", "two-beat"),
        SEEDS,
        (id, from, to, manner, seed) => {
          const changes = parseProgression(id, { key: from });
          const by = noteInterval(changes.key.tonic, to as NoteName);
          const up = by.semitones > 6 ? { ...by, steps: by.steps - 7, semitones: by.semitones - 12 } : by;
          const range = { from: pitchName(transpose(pitch("F1"), up)), to: pitchName(transpose(pitch("G3"), up)) };
          const plain = bassLine(changes, { manner, seed, range: { from: "F1", to: "G3" } });
          const moved = bassLine(transposeProgression(changes, to), { manner, seed, range });
          expect(moved.events.map(keyOf)).toEqual(plain.events.map((note) => keyOf(note) + up.semitones));
          expect(moved.reasons).toEqual(plain.reasons);
          plain.reasons.forEach(({ degree }, i) => {
            if (degree !== undefined)
              expect(moved.events[i]!.pitches[0]).toEqual(transpose(plain.events[i]!.pitches[0] as Pitch, up));
          });
        },
      ),
      { numRuns: 40 },
    );
  });

  it("law: without going round, the last note is a tone of the last chord and nothing leads back", () => {
    fc.assert(
      fc.property(anyProgression(["4/4", "3/4"]), SEEDS, (p, seed) => {
        const { events: notes, reasons } = bassLine(p, { seed, loop: false });
        const last = heard(p).at(-1);
        fc.pre(last !== undefined && notes.length > 0);
        expect(classesOf(last!.chord).has(keyOf(notes.at(-1)!) % 12)).toBe(true);
        expect(reasons.at(-1)!.role).not.toBe("approach");
      }),
      { numRuns: 40 },
    );
  });
});

describe("bass lines: common practice", () => {
  it("common practice: two-beat in F alternates root and fifth", () => {
    const { events: notes, reasons } = bassLine(parseProgression("F6 | % | Bb6 | %", { key: "F" }), {
      manner: "two-beat",
      loop: false,
    });
    expect(notes.length).toBe(8);
    expect(reasons.filter(({ degree }) => degree === "1" || degree === "5").length).toBeGreaterThanOrEqual(7);
  });

  it("common practice: chromatic notes are natural where they can be, sharp rising, flat falling", () => {
    const seen = new Set<string>();
    for (let seed = 0; seed < 60; seed++) {
      const { events: notes, reasons } = bassLine(parseProgression("turnaround", { key: "C" }), { seed });
      notes.forEach((note, i) => {
        const next = notes[(i + 1) % notes.length]!;
        if (reasons[i]!.degree === undefined)
          seen.add(`${noteName(note.pitches[0] as Pitch)} ${keyOf(next) > keyOf(note) ? "rising" : "falling"}`);
      });
    }
    expect(seen.size).toBeGreaterThan(4);
    expect([...seen].filter((each) => !/^([A-G]#? rising|[A-G]b? falling)$/.test(each))).toEqual([]);
  });

  it("rests where there is no chord, and starts again after it", () => {
    const changes = parseProgression("C6 | N.C. | F6 | G7", { key: "C" });
    const { events: notes } = bassLine(changes);
    expect(inside(notes, { at: beats(4), duration: beats(4) })).toEqual([]);
    expect(notes.length).toBe(12);
  });

  it("a one-note bar of two-beat does not end on the note that the form begins with again", () => {
    for (let seed = 0; seed < 30; seed++) {
      const { events: notes } = bassLine(parseProgression("C6 | % | %", { key: "C", metre: "3/4" }), {
        manner: "two-beat",
        seed,
      });
      expect(keyOf(notes.at(-1)!)).not.toBe(keyOf(notes[0]!));
    }
  });

  it("plays the note after the stroke", () => {
    const { events: notes } = bassLine(parseProgression("C/E | F/G", { key: "C" }));
    expect([notes[0], notes[4]].map((note) => noteName(note!.pitches[0] as Pitch))).toEqual(["E", "G"]);
  });

  it("refuses what it can't do", () => {
    const changes = parseProgression("turnaround", { key: "C" });
    const code = (expected: string) => expect.objectContaining({ code: expected });
    expect(() => bassLine(changes, { range: { from: "C2", to: "E2" } })).toThrowError(code("backing/range"));
    expect(() => bassLine(changes, { range: { from: "C3", to: "E2" } })).toThrowError(code("backing/range"));
    // C is the only tone of the chord in this range, and may not come twice.
    expect(() =>
      bassLine(parseProgression("C6 | %", { key: "C" }), { manner: "two-beat", range: { from: "C2", to: "D2" } }),
    ).toThrowError(code("backing/range"));
    expect(() => bassLine(changes, { seed: 1.5 })).toThrowError(code("backing/seed"));
    expect(() => bassLine(changes, { manner: "wlaking" as BassId })).toThrowError(/did you mean walking\?/);
    expect(() =>
      bassLine({ ...changes, metre: { kind: "metre", count: 11, unit: 8 } }, { manner: "two-beat" }),
    ).toThrowError(code("backing/metre"));
  });
});
