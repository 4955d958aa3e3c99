import fc from "fast-check";
import { describe, expect, it } from "vitest";
import type { Beats, LaidOutNote, LaidOutPiece, NoteEvent, Score } from "../all.ts";
import {
  addBeats,
  beats,
  compareBeats,
  equalBeats,
  layOutScore,
  MusicError,
  makeScore,
  metre,
  parseKey,
  pitch,
  pulseLength,
  subtractBeats,
  valueLength,
} from "../all.ts";
import { anyScore } from "./arbitrary.ts";

const sum = (lengths: readonly Beats[]): Beats => lengths.reduce(addBeats, beats(0));
/** The length that the printed value stands for, without trusting what the piece says of itself. */
const printed = (piece: LaidOutPiece): Beats =>
  piece.kind === "space" || (piece.kind === "rest" && piece.wholeBar) ? piece.duration : valueLength(piece.value);
const hands = ["right", "left"] as const;
const notesOf = (score: Score, hand: "right" | "left"): readonly LaidOutNote[] =>
  layOutScore(score)
    .flatMap((bar) => bar[hand].flat())
    .filter((p) => p.kind === "note");

const inC = (right: readonly NoteEvent[], bars = 1, m = metre("4/4")): Score =>
  makeScore({ key: parseKey("C"), metre: m, bars, right });
const line = (...durations: string[]): readonly NoteEvent[] => {
  let at = beats(0);
  return durations.flatMap((text) => {
    const duration = beats(text.replace("r", ""));
    const event = { at, duration, pitches: [pitch("C5")] };
    at = addBeats(at, duration);
    return text.startsWith("r") ? [] : [event];
  });
};
const first = (score: Score): readonly LaidOutPiece[] => layOutScore(score)[0]?.right[0] ?? [];
const shape = (piece: LaidOutPiece): string =>
  piece.kind === "space"
    ? "space"
    : `${piece.kind === "rest" ? "r " : ""}${piece.value.type}${".".repeat(piece.value.dots)}${piece.value.tuplet ? ` ${piece.value.tuplet.actual}` : ""}`;

describe("layout", () => {
  it("law: every voice of every bar is full, by its printed values", () => {
    fc.assert(
      fc.property(anyScore(), (score) => {
        for (const bar of layOutScore(score)) {
          for (const voice of hands.flatMap((hand) => bar[hand])) {
            expect(sum(voice.map(printed))).toEqual(bar.duration);
            let at = bar.at;
            for (const piece of voice) {
              expect(piece.at).toEqual(at);
              at = addBeats(at, piece.duration);
            }
          }
        }
      }),
      { numRuns: 70 },
    );
  });

  it("law: nothing is lost or added: the tied pieces of each event add up to it, in one chain", () => {
    fc.assert(
      fc.property(anyScore(), (score) => {
        for (const hand of hands) {
          const notes = notesOf(score, hand);
          expect(notes.filter((n) => !n.tiedFrom)).toHaveLength(score[hand].length);
          for (const event of score[hand]) {
            const pieces = notes.filter((n) => n.event === event);
            expect(sum(pieces.map(printed))).toEqual(event.duration);
            expect(pieces[0]?.at).toEqual(event.at);
            expect(pieces.map((p) => [p.tiedFrom, p.tiedTo])).toEqual(
              pieces.map((_, i) => [i > 0, i < pieces.length - 1]),
            );
          }
        }
      }),
      { numRuns: 70 },
    );
  });

  it("law: a hand has as many voices as it has events at once, and no more", () => {
    fc.assert(
      fc.property(anyScore(), (score) => {
        for (const hand of hands) {
          // Interval graphs need as many colours as their deepest point; some event starts there.
          const depth = (events: readonly NoteEvent[]): number =>
            Math.max(
              0,
              ...events.map(
                (e) =>
                  events.filter(
                    (o) => compareBeats(o.at, e.at) <= 0 && compareBeats(addBeats(o.at, o.duration), e.at) > 0,
                  ).length,
              ),
            );
          const most = Math.max(...layOutScore(score).map((bar) => bar[hand].length));
          expect(most).toBeLessThanOrEqual(Math.max(1, depth(score[hand])));
          for (const bar of layOutScore(score)) {
            for (const [i, voice] of bar[hand].entries())
              if (i > 0) expect(voice.some((p) => p.kind === "note")).toBe(true);
          }
        }
      }),
      { numRuns: 50 },
    );
  });

  it("law: brackets open and close in turn, and hold pieces of one ratio that fill a whole number of its units", () => {
    fc.assert(
      fc.property(anyScore(), (score) => {
        for (const voice of layOutScore(score).flatMap((bar) => hands.flatMap((hand) => bar[hand]))) {
          let open: LaidOutPiece[] | undefined;
          for (const piece of voice) {
            if (piece.kind === "space") {
              expect(open).toBeUndefined();
              continue;
            }
            if (piece.tupletEdge === "start" || piece.tupletEdge === "start-stop") {
              expect(open).toBeUndefined();
              open = [];
            }
            expect(open !== undefined).toBe(piece.value.tuplet !== undefined);
            open?.push(piece);
            if (piece.tupletEdge === "stop" || piece.tupletEdge === "start-stop") {
              const total = sum((open ?? []).map((p) => p.duration));
              expect(total.den & (total.den - 1)).toBe(0);
              open = undefined;
            }
          }
          expect(open).toBeUndefined();
        }
      }),
      { numRuns: 70 },
    );
  });

  it("law: beams begin, continue and end in turn at each level, within one beat", () => {
    fc.assert(
      fc.property(anyScore(), (score) => {
        for (const bar of layOutScore(score)) {
          for (const voice of hands.flatMap((hand) => bar[hand])) {
            const began: (Beats | undefined)[] = [];
            for (const piece of voice) {
              const beams = piece.kind === "note" ? piece.beams : [];
              for (let level = 0; level < 4; level++) {
                const state = beams[level];
                if (state === "begin") {
                  expect(began[level]).toBeUndefined();
                  began[level] = piece.at;
                } else if (state === "continue" || state === "end") {
                  expect(began[level]).toBeDefined();
                  const long = subtractBeats(piece.at, began[level] as Beats);
                  const pulse = pulseLength(score.metre);
                  if (score.metre.unit < 8 || (score.metre.count % 3 === 0 && score.metre.count > 3))
                    expect(compareBeats(long, pulse)).toBeLessThan(0);
                  if (state === "end") began[level] = undefined;
                } else expect(began[level]).toBeUndefined();
              }
            }
            expect(began.every((b) => b === undefined)).toBe(true);
          }
        }
      }),
      { numRuns: 70 },
    );
  });

  // Common practice, no source.
  it("ties an anticipation over the middle and the bar line", () => {
    const bars = layOutScore(inC(line("r3/2", "1", "r1", "1"), 2));
    expect(bars[0]?.right[0]?.map(shape)).toEqual([
      "r quarter",
      "r eighth",
      "eighth",
      "eighth",
      "r eighth",
      "r eighth",
      "eighth",
    ]);
    expect(bars[1]?.right[0]?.map(shape)).toEqual(["eighth", "r eighth", "r quarter", "r half"]);
  });

  it("keeps a bracket whole where a tuplet begins or ends with rests", () => {
    expect(first(inC(line("r2/3", "1/3", "r3"))).map(shape)).toEqual([
      "r quarter 3",
      "eighth 3",
      "r quarter",
      "r half",
    ]);
    expect(first(inC(line("1/3", "r2/3", "r3"))).map(shape)).toEqual([
      "eighth 3",
      "r quarter 3",
      "r quarter",
      "r half",
    ]);
  });

  it("gives each beat its own bracket", () => {
    const edges = first(inC(line(...Array<string>(6).fill("1/3"), "r2"))).map((p) =>
      p.kind === "space" ? "" : (p.tupletEdge ?? "-"),
    );
    expect(edges).toEqual(["start", "-", "stop", "start", "-", "stop", "-"]);
  });

  // Common practice, no source: one bracket over what divides one half note; a half note of two quarters has a bracket for each.
  it("divides the half note where the metre counts halves", () => {
    const printed = (...lengths: readonly string[]) =>
      first(inC(line(...lengths), 1, metre("2/2"))).map(
        (p) => `${shape(p)} ${p.kind === "space" ? "" : (p.tupletEdge ?? "-")}`,
      );
    expect(printed("2/3", "2/3", "2/3", "r2")).toEqual([
      "quarter 3 start",
      "quarter 3 -",
      "quarter 3 stop",
      "r half -",
    ]);
    expect(printed("r2", "2/3", "1/3", "1/3", "2/3")).toEqual([
      "r half -",
      "quarter 3 start",
      "eighth 3 stop",
      "eighth 3 start",
      "quarter 3 stop",
    ]);
    expect(printed("1/3", "1/3", "2/3", "2/3", "2/3", "4/3")).toEqual([
      "eighth 3 start",
      "eighth 3 -",
      "quarter 3 -",
      "quarter 3 stop",
      "quarter 3 start",
      "half 3 stop",
    ]);
    expect(printed("2/3", "r2/3", "2/3", "1", "1/3", "2/3")).toEqual([
      "quarter 3 start",
      "r quarter 3 -",
      "quarter 3 stop",
      "quarter -",
      "eighth 3 start",
      "quarter 3 stop",
    ]);
  });

  it("beams by the beat: pairs of eighths in 4/4, threes in 12/8, the bar in 3/8", () => {
    const states = (score: Score): readonly string[] =>
      first(score).map((p) => (p.kind === "note" ? p.beams.join(",") : "-"));
    expect(states(inC(line(...Array<string>(8).fill("1/2"))))).toEqual([
      "begin",
      "end",
      "begin",
      "end",
      "begin",
      "end",
      "begin",
      "end",
    ]);
    expect(states(inC(line(...Array<string>(12).fill("1/2")), 1, metre("12/8"))).slice(0, 4)).toEqual([
      "begin",
      "continue",
      "end",
      "begin",
    ]);
    expect(states(inC(line("1/2", "1/2", "1/2"), 1, { kind: "metre", count: 3, unit: 8 }))).toEqual([
      "begin",
      "continue",
      "end",
    ]);
  });

  it("hooks the short note of a dotted figure towards its beat", () => {
    const beams = (score: Score): readonly (readonly string[])[] =>
      first(score)
        .slice(0, 2)
        .map((p) => (p.kind === "note" ? p.beams : []));
    expect(beams(inC(line("3/4", "1/4", "r3")))).toEqual([["begin"], ["end", "backward hook"]]);
    expect(beams(inC(line("1/4", "3/4", "r3")))).toEqual([["begin", "forward hook"], ["end"]]);
  });

  it("gives the higher of two overlapping events the first voice, which alone shows rests", () => {
    const low = { at: beats(0), duration: beats(4), pitches: [pitch("C3")] };
    const high = { at: beats(1), duration: beats(3), pitches: [pitch("E4"), pitch("B4")] };
    const bar = layOutScore(makeScore({ key: parseKey("C"), metre: metre("4/4"), bars: 1, left: [low, high] }))[0];
    expect(bar?.left.map((voice) => voice.map(shape))).toEqual([["r quarter", "half."], ["whole"]]);
    const short = { at: beats(0), duration: beats("1/3"), pitches: [pitch("C3")] };
    const above = { at: beats(0), duration: beats(4), pitches: [pitch("E4")] };
    const other = layOutScore(makeScore({ key: parseKey("C"), metre: metre("4/4"), bars: 1, left: [short, above] }))[0];
    expect(other?.left.map((voice) => voice.map(shape))).toEqual([["whole"], ["eighth 3", "r quarter 3", "space"]]);
  });

  it("refuses a fifth voice", () => {
    const held = ["C3", "D3", "E3", "F3", "G3"].map((name, i) => ({
      at: beats(i),
      duration: beats(8 - i),
      pitches: [pitch(name as "C3")],
    }));
    const score = makeScore({ key: parseKey("C"), metre: metre("4/4"), bars: 2, left: held });
    expect(() => layOutScore(score)).toThrowError(MusicError);
    expect(layOutScore({ ...score, left: held.slice(0, 4) })[1]?.left).toHaveLength(4);
  });

  it("rests through a pickup with rests of its length, since a rest of a whole bar would say more", () => {
    const [pickup, first] = layOutScore(makeScore({ key: "C", metre: "4/4", bars: 1, pickup: beats("3/2") }));
    const said = (voice: readonly LaidOutPiece[] | undefined): readonly unknown[] =>
      (voice ?? []).map((piece) => (piece.kind === "rest" ? [piece.value.type, piece.wholeBar] : piece.kind));
    expect(said(pickup?.right[0])).toEqual([
      ["eighth", false],
      ["quarter", false],
    ]);
    expect(said(first?.right[0])).toEqual([["whole", true]]);
  });

  it("rests a whole bar with one rest, and starts with the pickup", () => {
    const score = makeScore({
      key: parseKey("C"),
      metre: metre("3/4"),
      bars: 2,
      pickup: beats(1),
      right: [{ at: beats(-1), duration: beats(1), pitches: [pitch("G4")] }],
    });
    const bars = layOutScore(score);
    expect(bars.map((bar) => bar.number)).toEqual([0, 1, 2]);
    expect(equalBeats(bars[0]?.duration as Beats, beats(1))).toBe(true);
    expect(bars[1]?.right).toEqual([
      [{ kind: "rest", at: beats(0), duration: beats(3), value: { type: "whole", dots: 0 }, wholeBar: true }],
    ]);
  });
});
