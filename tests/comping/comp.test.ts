import fc from "fast-check";
import { describe, expect, it } from "vitest";
import type { CompingBar, CompingId, CompingRow, LaidOutChord, PickupRow } from "../../src/comping/index.ts";
import { comp, compingCatalogue, compingPattern, fitsMetre, pickupCatalogue } from "../../src/comping/index.ts";
import { pitch, pitchName } from "../../src/pitch/index.ts";
import type { Metre } from "../../src/time/index.ts";
import {
  addBeats,
  barLength,
  barPosition,
  beats,
  beatsOf,
  compareBeats,
  formatBeats,
  isCompound,
  metre,
  multiplyBeats,
  parseMetre,
  pulseLength,
  pulseTime,
  subtractBeats,
} from "../../src/time/index.ts";

const C_SHELL = {
  root: pitch("C3"),
  fifth: pitch("G2"),
  chord: [pitch("E3"), pitch("B3")],
  all: [pitch("C3"), pitch("E3"), pitch("B3")],
};
const A_SHELL = {
  root: pitch("A2"),
  fifth: pitch("E2"),
  chord: [pitch("G3"), pitch("C4")],
  all: [pitch("A2"), pitch("G3"), pitch("C4")],
};

const described = (
  chords: readonly LaidOutChord[],
  pattern: CompingId,
  pickup: boolean | "beat-below" | "below" | "above",
  m: Metre = metre("4/4"),
): string[] =>
  comp(chords, { metre: m, pattern, pickup }).map(
    (e) => `${formatBeats(e.at)}+${formatBeats(e.duration)} ${e.pitches.map(pitchName).join(" ")}`,
  );

const twoBars: readonly LaidOutChord[] = [
  { at: beats(0), duration: beats(4), ...C_SHELL },
  { at: beats(4), duration: beats(4), ...A_SHELL },
];

const METRES = ["4/4", "3/4", "12/8", "6/8", "9/8", "2/4", "2/2", "5/4", "7/8"].map(parseMetre);
const rows: readonly CompingRow[] = compingCatalogue;
const patterns = fc.constantFrom(...compingCatalogue.map((row) => row.id));
const metres = fc.constantFrom(...METRES);

// Chords back to back, each of any number of halves of a pulse (eighths in compound metres).
const laidOut = (lengths: readonly number[], m: Metre): readonly LaidOutChord[] => {
  const unit = multiplyBeats(pulseLength(m), isCompound(m) ? beatsOf(1, 3) : beatsOf(1, 2));
  let at = beats(0);
  return lengths.map((length, i): LaidOutChord => {
    const chord = { at, duration: multiplyBeats(unit, beats(length)), ...(i % 2 === 0 ? C_SHELL : A_SHELL) };
    at = addBeats(at, chord.duration);
    return chord;
  });
};
const anyLengths = fc.array(fc.integer({ min: 1, max: 24 }), { minLength: 1, maxLength: 12 });
const anyCase = fc
  .tuple(anyLengths, patterns, metres)
  .filter(([, pattern, m]) => fitsMetre(pattern, m))
  .map(([lengths, pattern, m]) => ({ chords: laidOut(lengths, m), pattern, m }));
const endOf = (span: { at: ReturnType<typeof beats>; duration: ReturnType<typeof beats> }) =>
  addBeats(span.at, span.duration);
const barsOfRow = (row: CompingRow): readonly CompingBar[] => [row, ...(row.others ?? [])];
const isEarly = (id: CompingId): boolean => compingPattern(id).hits.some((hit) => hit.at.startsWith("-"));

describe("comping", () => {
  // Issue's words for the left hand: root on 1 then chord; chord held; both with a quick pickup, 5th then root, on the
  // last triplet of the bar before. Common practice, no source.
  it("common practice: root on one, then the chord", () => {
    expect(described(twoBars, "root-then-chord", false)).toEqual(["0+1 C3", "1+3 E3 B3", "4+1 A2", "5+3 G3 C4"]);
  });

  it("common practice: the chord held", () => {
    expect(described(twoBars, "held", false)).toEqual(["0+4 C3 E3 B3", "4+4 A2 G3 C4"]);
  });

  it("common practice: a pickup's fifth falls on the last triplet, its root on the beat", () => {
    expect(described(twoBars, "root-then-chord", true)).toEqual([
      "-1/3+1/3 G2",
      "0+1 C3",
      "1+2 E3 B3",
      "11/3+1/3 E2",
      "4+1 A2",
      "5+3 G3 C4",
    ]);
  });

  it("common practice: before a chord on the beat the pickup's root falls on the last triplet", () => {
    expect(described(twoBars, "held", true)).toEqual([
      "-2/3+1/3 G2",
      "-1/3+1/3 C3",
      "0+3 C3 E3 B3",
      "10/3+1/3 E2",
      "11/3+1/3 A2",
      "4+4 A2 G3 C4",
    ]);
  });

  it("starts again where a chord enters inside the bar, and in every bar of a long one", () => {
    const half: readonly LaidOutChord[] = [
      { at: beats(0), duration: beats(2), ...C_SHELL },
      { at: beats(2), duration: beats(6), ...A_SHELL },
    ];
    expect(described(half, "root-then-chord", false)).toEqual([
      "0+1 C3",
      "1+1 E3 B3",
      "2+1 A2",
      "3+1 G3 C4",
      "4+1 A2",
      "5+3 G3 C4",
    ]);
    expect(described([{ at: beats(0), duration: beats(1), ...C_SHELL }], "root-then-chord", false)).toEqual(["0+1 C3"]);
  });

  it("common practice: stride, in four and as a waltz", () => {
    expect(described(twoBars, "stride", false)).toEqual([
      "0+1 C3",
      "1+1 E3 B3",
      "2+1 G2",
      "3+1 E3 B3",
      "4+1 A2",
      "5+1 G3 C4",
      "6+1 E2",
      "7+1 G3 C4",
    ]);
    expect(described([{ at: beats(0), duration: beats(3), ...C_SHELL }], "stride", false, metre("3/4"))).toEqual([
      "0+1 C3",
      "1+1 E3 B3",
      "2+1 E3 B3",
    ]);
  });

  it("common practice: the Charleston, dotted quarter and eighth; in 12/8 its offbeat is the last eighth of the beat", () => {
    expect(described(twoBars.slice(0, 1), "charleston", false)).toEqual(["0+3/2 C3 E3 B3", "3/2+1/2 C3 E3 B3"]);
    expect(described([{ at: beats(0), duration: beats(6), ...C_SHELL }], "charleston", false, metre("12/8"))).toEqual([
      "0+5/2 C3 E3 B3",
      "5/2+1/2 C3 E3 B3",
    ]);
  });

  it("common practice: a chord struck on the and of 4 is the next one; the first of all waits for its beat", () => {
    expect(described(twoBars, "anticipated", false)).toEqual(["0+7/2 C3 E3 B3", "7/2+9/2 A2 G3 C4"]);
    expect(described(twoBars, "offbeats", false)).toEqual(["0+1 E3 B3", "3/2+1 E3 B3", "7/2+1 G3 C4", "11/2+1 G3 C4"]);
    const apart: readonly LaidOutChord[] = [
      twoBars[0] as LaidOutChord,
      { at: beats(5), duration: beats(3), ...A_SHELL },
    ];
    expect(described(apart, "anticipated", false)).toEqual(["0+4 C3 E3 B3", "5+3 A2 G3 C4"]);
  });

  it("common practice: a broken chord goes up and comes back, whatever the number of its notes", () => {
    const four = { ...C_SHELL, chord: [pitch("E3"), pitch("A3"), pitch("B3"), pitch("D4")] };
    const notes = (chord: typeof four): string[] =>
      comp([{ at: beats(0), duration: beats(4), ...chord }], { metre: metre("4/4"), pattern: "broken-chord" }).map(
        (e) => e.pitches.map(pitchName).join(" "),
      );
    expect(notes(four)).toEqual(["C3", "E3", "A3", "B3", "D4", "B3", "A3", "E3"]);
    expect(notes({ ...C_SHELL, chord: [pitch("E3"), pitch("B3")] })).toEqual([
      "C3",
      "E3",
      "B3",
      "E3",
      "B3",
      "E3",
      "B3",
      "E3",
    ]);
    expect(notes({ ...C_SHELL, chord: [pitch("E3"), pitch("A3"), pitch("D4")] })).toEqual([
      "C3",
      "E3",
      "A3",
      "D4",
      "A3",
      "D4",
      "A3",
      "E3",
    ]);
    expect(notes({ ...C_SHELL, chord: [pitch("E3")] })).toEqual(["C3", "E3", "E3", "E3", "E3", "E3", "E3", "E3"]);
  });

  it("common practice: a chromatic approach to the next root, natural where the key is white", () => {
    expect(described(twoBars, "root-then-chord", "beat-below").slice(1, 4)).toEqual(["0+1 C3", "1+2 E3 B3", "3+1 G#2"]);
    expect(described(twoBars, "held", "above").slice(2, 5)).toEqual(["0+3 C3 E3 B3", "10/3+1/3 Bb2", "11/3+1/3 A2"]);
    expect(described(twoBars, "root-then-chord", "below").slice(0, 1)).toEqual(["-1/3+1/3 B2"]);
  });

  it("a chord that the pattern comes too late for is struck where it enters", () => {
    const quick: readonly LaidOutChord[] = [
      { at: beats(0), duration: beats(3), ...C_SHELL },
      { at: beats(3), duration: beats(1), ...A_SHELL },
    ];
    expect(described(quick, "backbeats", false)).toEqual(["1+1/2 E3 B3", "3+1/2 G3 C4"]);
  });

  it("law: the left hand never overlaps itself, every chord is heard, and each stroke lies inside its chord but for anticipations", () => {
    fc.assert(
      fc.property(anyCase, ({ chords, pattern, m }) => {
        const events = comp(chords, { metre: m, pattern });
        const heard = new Set<LaidOutChord>();
        events.forEach((event, i) => {
          expect(event.duration.num).toBeGreaterThan(0);
          const next = events[i + 1];
          if (next !== undefined) expect(compareBeats(endOf(event), next.at)).toBeLessThanOrEqual(0);
          // The chord that sounds when the stroke ends is its chord: an anticipation is held at least to the beat.
          const chord = chords.findLast((candidate) => compareBeats(candidate.at, endOf(event)) < 0) as LaidOutChord;
          expect(
            event.pitches.every((p) =>
              [chord.root, chord.fifth, ...chord.chord, ...chord.all].some((own) => own === p),
            ),
          ).toBe(true);
          expect(compareBeats(endOf(event), endOf(chord))).toBeLessThanOrEqual(0);
          const early = subtractBeats(chord.at, event.at);
          if (early.num > 0) {
            expect(isEarly(pattern)).toBe(true);
            expect(compareBeats(early, subtractBeats(pulseLength(m), pulseTime(beats("1/2"), m)))).toBeLessThanOrEqual(
              0,
            );
          }
          heard.add(chord);
        });
        expect(heard.size).toBe(chords.length);
      }),
      { numRuns: 400 },
    );
  });

  it("law: with a pickup the left hand still never overlaps itself, nor goes beyond its last chord, and starts less than a bar early", () => {
    fc.assert(
      fc.property(
        anyCase,
        fc.constantFrom(true, ...pickupCatalogue.map((row) => row.id)),
        ({ chords, pattern, m }, pickup) => {
          fc.pre(!isEarly(pattern));
          const events = comp(chords, { metre: m, pattern, pickup });
          events.forEach((event, i) => {
            expect(event.duration.num).toBeGreaterThan(0);
            expect(
              compareBeats(endOf(event), events[i + 1]?.at ?? endOf(chords.at(-1) as LaidOutChord)),
            ).toBeLessThanOrEqual(0);
          });
          const starts = new Set(events.map((event) => formatBeats(event.at)));
          const entries = comp(chords, { metre: m, pattern }).filter((event) =>
            chords.some((chord) => formatBeats(chord.at) === formatBeats(event.at)),
          );
          for (const entry of entries) expect(starts.has(formatBeats(entry.at))).toBe(true);
          expect(
            compareBeats(addBeats((events[0] as { at: ReturnType<typeof beats> }).at, barLength(m)), beats(0)),
          ).toBeGreaterThanOrEqual(0);
        },
      ),
      { numRuns: 400 },
    );
  });

  it("law: a pickup changes nothing but the last beat before the bar that it leads into", () => {
    fc.assert(
      fc.property(anyCase, ({ chords, pattern, m }) => {
        fc.pre(!isEarly(pattern));
        const led = chords.map((chord) => chord.at).filter((at) => barPosition(at, m).offset.num === 0);
        const inLastBeat = (at: ReturnType<typeof beats>): boolean =>
          led.some((to) => compareBeats(at, to) < 0 && compareBeats(at, subtractBeats(to, pulseLength(m))) > 0);
        const outside = (pickup: boolean) =>
          comp(chords, { metre: m, pattern, pickup })
            .filter((event) => !inLastBeat(event.at))
            .map((event) => [formatBeats(event.at), event.pitches]);
        expect(outside(true)).toEqual(outside(false));
      }),
    );
  });

  it("law: a pickup ends on the bar line with all its notes wherever the chord before is a pulse long or more", () => {
    fc.assert(
      fc.property(
        fc.array(fc.integer({ min: 1, max: 8 }), { minLength: 1, maxLength: 8 }),
        patterns,
        fc.constantFrom(...pickupCatalogue),
        (beatsLong, pattern, pickup) => {
          fc.pre(!isEarly(pattern) && pickup.each === "1/3");
          const chords = laidOut(
            beatsLong.map((n) => 2 * n),
            metre("4/4"),
          );
          const events = comp(chords, { metre: metre("4/4"), pattern, pickup: pickup.id });
          const expected = compingPattern(pattern).hits[0]?.play === "root" ? 1 : 2;
          for (const chord of chords.filter(({ at }) => barPosition(at, metre("4/4")).offset.num === 0)) {
            const notes = events.filter(
              (event) =>
                compareBeats(event.at, chord.at) < 0 && compareBeats(event.at, subtractBeats(chord.at, beats(1))) > 0,
            );
            expect(notes.map((event) => formatBeats(event.duration))).toEqual(
              Array.from({ length: expected }, () => "1/3"),
            );
            expect(notes.slice(-1).map(endOf)).toEqual([chord.at]);
          }
        },
      ),
    );
  });

  it("law: every row's strokes are in order, inside their bar but for anticipations of less than a pulse, in every metre that it fits", () => {
    for (const row of rows) {
      for (const { pulses, hits } of barsOfRow(row)) {
        for (const m of METRES) {
          const times = hits.map((hit) => pulseTime(beats(hit.at), m));
          times.slice(1).forEach((at, i) => expect(compareBeats(times[i] as typeof at, at)).toBeLessThan(0));
          expect(
            compareBeats(times[0] as ReturnType<typeof beats>, multiplyBeats(pulseLength(m), beats(-1))),
          ).toBeGreaterThan(0);
        }
        for (const hit of hits)
          if (pulses !== undefined) expect(compareBeats(beats(hit.at), beats(pulses))).toBeLessThan(0);
      }
    }
  });

  it("law: a chord that leaves within the bar has the bar's strokes up to there, and one that enters within it the first ones", () => {
    fc.assert(
      fc.property(patterns, metres, fc.integer({ min: 1, max: 5 }), (pattern, m, pulses) => {
        fc.pre(
          fitsMetre(pattern, m) &&
            !isEarly(pattern) &&
            compareBeats(multiplyBeats(pulseLength(m), beats(pulses)), barLength(m)) < 0,
        );
        const change = multiplyBeats(pulseLength(m), beats(pulses));
        const bar = comp([{ at: beats(0), duration: barLength(m), ...C_SHELL }], { metre: m, pattern });
        const split = comp(
          [
            { at: beats(0), duration: change, ...C_SHELL },
            { at: change, duration: subtractBeats(barLength(m), change), ...A_SHELL },
          ],
          { metre: m, pattern },
        );
        const starts = (
          events: typeof bar,
          from: ReturnType<typeof beats>,
          length: ReturnType<typeof beats>,
        ): string[] => {
          const own = events
            .map((event) => subtractBeats(event.at, from))
            .filter((at) => at.num >= 0 && compareBeats(at, length) < 0);
          return own.length === 0 ? ["0"] : own.map(formatBeats);
        };
        expect(starts(split, beats(0), change)).toEqual(starts(bar, beats(0), change));
        expect(starts(split, change, barLength(m))).toEqual(starts(bar, beats(0), subtractBeats(barLength(m), change)));
      }),
    );
  });

  it("law: two bars of one chord are one bar twice, but for what is held or struck over the bar line", () => {
    fc.assert(
      fc.property(patterns, metres, (pattern, m) => {
        fc.pre(fitsMetre(pattern, m) && !isEarly(pattern));
        const events = comp([{ at: beats(0), duration: multiplyBeats(barLength(m), beats(2)), ...C_SHELL }], {
          metre: m,
          pattern,
        });
        const half = events.length / 2;
        expect(Number.isInteger(half)).toBe(true);
        expect(events.slice(half).map((event) => [subtractBeats(event.at, barLength(m)), event.pitches])).toEqual(
          events.slice(0, half).map((event) => [event.at, event.pitches]),
        );
      }),
    );
  });

  it("law: every row plays 4/4, most play 3/4 and 12/8, and the others say that they don't", () => {
    const whole = (m: Metre): readonly LaidOutChord[] => [{ at: beats(0), duration: barLength(m), ...C_SHELL }];
    for (const row of compingCatalogue) {
      for (const m of METRES) {
        if (fitsMetre(row.id, m)) expect(comp(whole(m), { metre: m, pattern: row.id }).length).toBeGreaterThan(0);
        else
          expect(() => comp(whole(m), { metre: m, pattern: row.id })).toThrowError(
            expect.objectContaining({ code: "comping/metre", reason: "cannot-be-done" }),
          );
      }
      expect([row.id, fitsMetre(row.id, metre("4/4")), fitsMetre(row.id, metre("12/8"))]).toEqual([row.id, true, true]);
    }
    const refusing = compingCatalogue.filter((row) => !fitsMetre(row.id, metre("3/4"))).map((row) => row.id);
    expect(refusing).toEqual(["charleston-from-two", "reversed-stride", "syncopated"]);
  });

  it("law: pattern ids are unique", () => {
    expect(new Set(compingCatalogue.map((row) => row.id)).size).toBe(compingCatalogue.length);
    expect(new Set(pickupCatalogue.map((row) => row.id)).size).toBe(pickupCatalogue.length);
  });

  it("refuses a pattern that is not there", () => {
    expect(() => compingPattern("root-and-chord")).toThrowError(
      expect.objectContaining({ code: "comping/pattern", input: "root-and-chord" }),
    );
    expect(() => compingPattern("hold")).toThrowError(/did you mean held\?/);
  });

  it("refuses a pickup that is not there, and one into chords that come early", () => {
    expect(() => comp(twoBars, { metre: metre("4/4"), pickup: "fith" as "fifth" })).toThrowError(
      /did you mean fifth\?/,
    );
    expect(() => comp(twoBars, { metre: metre("4/4"), pattern: "offbeats", pickup: true })).toThrowError(
      expect.objectContaining({ code: "comping/early" }),
    );
  });
});

describe("rows of one's own", () => {
  const TWO_AND_FOUR: CompingRow = {
    id: "two-and-four",
    title: "root on 2, chord on 4",
    level: 1,
    pulses: 4,
    hits: [
      { at: "1", hold: "1", play: "root" },
      { at: "3", hold: "1", play: "chord" },
    ],
    source: "common practice, no source",
  };
  const FROM_ABOVE: PickupRow = {
    id: "turn",
    title: "semitone above, semitone below, root",
    level: 4,
    play: ["semitone-above", "semitone-below", "root"],
    each: "1/3",
    source: "common practice, no source",
  };

  it("a pattern is played, fits metres and is returned", () => {
    const chord = { at: beats(0), duration: beats(8), ...C_SHELL };
    expect(comp([chord], { metre: metre("4/4"), pattern: TWO_AND_FOUR }).map(({ at }) => formatBeats(at))).toEqual([
      "1",
      "3",
      "5",
      "7",
    ]);
    expect(fitsMetre(TWO_AND_FOUR, metre("4/4"))).toBe(true);
    expect(fitsMetre(TWO_AND_FOUR, metre("3/4"))).toBe(false);
    expect(compingPattern(TWO_AND_FOUR)).toBe(TWO_AND_FOUR);
  });

  it("a row that ships and goes under another id plays the same", () => {
    const chord = { at: beats(0), duration: beats(8), ...C_SHELL };
    for (const row of compingCatalogue) {
      if (!fitsMetre(row, metre("4/4"))) continue;
      expect(comp([chord], { metre: metre("4/4"), pattern: { ...row, id: `own-${row.id}` } })).toEqual(
        comp([chord], { metre: metre("4/4"), pattern: row.id }),
      );
    }
  });

  it("a pickup leads into a chord", () => {
    const chord = { at: beats(4), duration: beats(4), ...C_SHELL };
    const events = comp([chord], { metre: metre("4/4"), pickup: FROM_ABOVE });
    expect(events.map(({ pitches }) => pitches.map(pitchName).join(" "))).toEqual(["Db3", "B2", "C3", "C3 E3 B3"]);
  });

  it.each<readonly [why: string, part: object, says: string]>([
    ["no strokes", { hits: [] }, "hits"],
    ["strokes out of order", { hits: [...TWO_AND_FOUR.hits].reverse() }, "order"],
    ["a stroke beyond its pulses", { pulses: 2 }, "pulses are over"],
    ["a stroke of no time", { hits: [{ at: "0", hold: "0", play: "all" }] }, "hits.0.hold"],
    ["no part of a chord", { hits: [{ at: "0", hold: "1", play: "third" }] }, "hits.0.play"],
    ["a stroke long before its bar", { hits: [{ at: "-5", hold: "1", play: "all" }] }, "hits.0.at"],
    ["a field that no row has", { hit: [] }, "hit"],
    ["no level", { level: 6 }, "level"],
  ])("a pattern with %s is refused", (_, part, says) => {
    expect(() => compingPattern({ ...TWO_AND_FOUR, ...part } as CompingRow)).toThrowError(
      expect.objectContaining({ code: "comping/pattern", message: expect.stringContaining(says) as string }),
    );
  });

  it("chords out of order, or too many, are refused", () => {
    const at = (start: number, duration: number): LaidOutChord => ({
      at: beats(start),
      duration: beats(duration),
      ...C_SHELL,
    });
    for (const chords of [[at(4, 4), at(0, 4)], [at(0, 8), at(4, 4)], [at(0, 400_000)]])
      expect(() => comp(chords, { metre: metre("4/4") })).toThrowError(
        expect.objectContaining({ code: "comping/chords" }),
      );
  });
});
