import { describe, expect, it } from "vitest";
import { improvisationPage } from "../../src/handout/index.ts";
import type { Improvisation, LineFinding, NoteEvent, Score, SimulateTakeOptions } from "../all.ts";
import {
  alignTake,
  assessImprovisation,
  beatsOf,
  checkLine,
  formatBeats,
  linePicture,
  makeDrill,
  makeScore,
  metre,
  midiNumber,
  parseKey,
  parseProgression,
  pitchFromMidi,
  simulateTake,
  swungFeel,
} from "../all.ts";
import type { Base } from "./improvised-proof.ts";
import { cleanLines, FAULTS, faulty, said } from "./improvised-proof.ts";

const told = (line: readonly NoteEvent[]): readonly string[] =>
  line.map((event) => `${formatBeats(event.at)} ${event.pitches.map(midiNumber).join(" ")}`);

const handsOf = (score: Score): Score => {
  const { bass: _bass, drums: _drums, ...hands } = score;
  return hands;
};

describe("improvised lines", () => {
  it.each(["eighths", "triplets"] as const)(
    "law: a line of %s played over the written left hand is written down as it was meant",
    (values) => {
      const score = handsOf(makeDrill({ key: "F", values, octaves: 2 }).score);
      for (const seed of [1, 2, 3]) {
        const { played } = simulateTake(score, { seed, jitterMs: 8, tempo: 90 });
        const heard = assessImprovisation(
          { ...score, right: [] },
          played.map((note) => ({ ...note, onsetSeconds: note.onsetSeconds + 3 })),
          { from: 60 },
        );
        const meant = score.right.filter((event) => event.pitches.every((p) => midiNumber(p) >= 60));
        expect(meant.length).toBe(score.right.length);
        // Notes of the left hand above the split are heard with the line.
        const own = heard.line.filter((event) =>
          meant.some((other) => formatBeats(other.at) === formatBeats(event.at)),
        );
        expect(own.map((event) => formatBeats(event.at))).toEqual(meant.map((event) => formatBeats(event.at)));
        expect(heard.offMs).toBeLessThan(25);
      }
    },
  );

  it("tells the hands apart where the take does, and keeps the time by the score without a left hand", () => {
    const keys = [60, 62, 64, 65, 67, 69, 71, 72];
    const score = makeScore({ key: parseKey("C"), metre: metre("4/4"), bars: 2, tempo: 120, feel: swungFeel("2:1") });
    const at = [0, 2 / 3, 1, 4 / 3, 5 / 3, 2, 2 + 2 / 3, 4];
    const played = keys.map((midi, i) => ({
      midi,
      onsetSeconds: 1 + (at[i] as number) / 2,
      durationSeconds: 0.2,
      velocity: 80,
      hand: "right" as const,
    }));
    const heard = assessImprovisation(
      score,
      [...played, { ...(played[0] as (typeof played)[number]), midi: 84, hand: "left" as const }],
      { startSeconds: 1 },
    );
    // A swung pair, a triplet, a swung pair, and a note on the next bar line.
    expect(told(heard.line)).toEqual(["0 60", "1/2 62", "1 64", "4/3 65", "5/3 67", "2 69", "5/2 71", "4 72"]);
    expect(heard.offMs).toBe(0);
  });

  it("law: what is found is what the rules of phrasing find in the written line, and three things at most are said", () => {
    const right = Array.from(
      { length: 32 },
      (_, i): NoteEvent => ({
        at: beatsOf(i, 2),
        duration: beatsOf(1, 2),
        pitches: [pitchFromMidi(i % 2 === 0 ? 60 : 83, "flats")],
      }),
    );
    const score = makeScore({ key: parseKey("C"), metre: metre("4/4"), bars: 4, tempo: 120, right });
    const heard = assessImprovisation({ ...score, right: [] }, simulateTake(score, { held: 1 }).played);
    expect(told(heard.line)).toEqual(told(right));
    const ids = (findings: readonly LineFinding[]): readonly string[] =>
      findings.map((finding) => `${finding.rule} ${finding.bar}`);
    expect(ids(heard.findings)).toEqual(
      ids(
        checkLine(heard.line, { metre: score.metre, chords: [], voicings: [], tempo: 120, scale: "C major" }).findings,
      ),
    );
    expect(heard.findings.length).toBeGreaterThanOrEqual(3);
    expect(heard.say.length).toBe(3);
    expect(new Set(heard.say.map(({ id }) => id)).size).toBe(3);
    for (const { text, how } of heard.say)
      expect([text, how]).toEqual([
        expect.stringMatching(/^Bar \d+: .*[^.]\.$/),
        expect.stringMatching(/^[A-Z].*[^.]\.$/),
      ]);
  });

  it("refuses a take without a line", () => {
    const score = makeScore({ key: parseKey("C"), metre: metre("4/4"), bars: 1 });
    expect(() =>
      assessImprovisation(score, [{ midi: 40, onsetSeconds: 0, durationSeconds: 1, velocity: 70 }]),
    ).toThrowError(expect.objectContaining({ code: "assess/line" }));
  });

  const [clean, other] = cleanLines(1) as [Base, Base];
  const of = ({ score, seed }: Base, faults: SimulateTakeOptions = {}): Improvisation =>
    assessImprovisation({ ...score, right: [] }, simulateTake(score, { jitterMs: 8, seed, ...faults }).played);

  it("law: a line that keeps every rule gets no complaint, hands told apart or not, whatever right hand is written", () => {
    for (const base of [clean, other]) {
      const { score, seed } = base;
      const take = simulateTake(score, { jitterMs: 8, seed });
      const { asked } = alignTake(score, take.played);
      const told = take.played.map((note, i) => ({ ...note, hand: asked[take.meant[i] as number]?.hand as "left" }));
      for (const heard of [of(base), assessImprovisation(score, told), assessImprovisation(score, take.played)]) {
        expect([heard.say, heard.findings, heard.leftHand, heard.beatFrom]).toEqual([[], [], "assessed", "left-hand"]);
        expect(heard.left?.accuracy).toMatchObject({
          asked: score.left.reduce((sum, event) => sum + event.pitches.length, 0),
          accuracy: 1,
        });
        // Kept rules alone don't say that it tells the chords.
        expect(heard.praise).toMatch(
          /^(Your line has \w+ phrases, and each begins, breathes and ends well|Each of your \w+ phrases comes to rest)/,
        );
      }
    }
  });

  it.each(FAULTS.map((fault) => [fault.title, fault] as const))(
    "law: a line with one known fault gets that remark alone: %s",
    (_, fault) => {
      const made = faulty(fault, [clean, other]);
      expect(made.length).toBe(2);
      expect(made.map((base) => said(base))).toEqual([[fault.rule], [fault.rule]]);
    },
  );

  it("tells of the left hand by turns with the line, three things in all", () => {
    const [line] = faulty(FAULTS[0] as (typeof FAULTS)[number], [clean]) as [Base];
    const { say, left } = of(line, { drift: 0.85, lateLeftMs: 0, velocitySpread: 30 });
    expect(say.map(({ about }) => about)).toEqual(["line", "left-hand", "left-hand"]);
    expect(say.slice(1).map(({ id }) => id)).toEqual(left?.say.slice(0, 2).map(({ id }) => id));
  });

  it("says plainly why nothing is said about the left hand", () => {
    const { score, seed } = clean;
    const right = simulateTake({ ...score, left: [] }, { seed }).played;
    const reason = (heard: Improvisation): readonly unknown[] => [
      heard.leftHand,
      heard.left,
      heard.beatFrom,
      heard.heard.find((text) => text.startsWith("Left hand: ")),
    ];
    expect(reason(assessImprovisation(score, right))).toEqual([
      "not-heard",
      undefined,
      "tempo",
      expect.stringMatching(/none was heard/),
    ]);
    expect(reason(assessImprovisation({ ...score, left: [] }, right))).toEqual([
      "not-written",
      undefined,
      "tempo",
      expect.stringMatching(/none is written/),
    ]);
    const another = Array.from({ length: 12 }, (_, i) => ({
      midi: 24 + (i % 3),
      onsetSeconds: i * 0.7,
      durationSeconds: 0.5,
      velocity: 70,
    }));
    expect(reason(assessImprovisation(score, [...right, ...another]))).toEqual([
      "another",
      undefined,
      "tempo",
      expect.stringMatching(/another one/),
    ]);
  });

  it("hears no less by the scale that is named", () => {
    const score = makeScore({
      key: parseKey("C"),
      metre: metre("4/4"),
      bars: 2,
      tempo: 60,
      chords: parseProgression("C6 | C6").chords,
    });
    const played = [65, 60].map((midi, i) => ({ midi, onsetSeconds: i, durationSeconds: 1, velocity: 80 }));
    expect(assessImprovisation(score, played).findings.map(({ rule }) => rule)).toContain("held-avoid");
    expect(assessImprovisation(score, played, { scale: "C lydian" }).findings.map(({ rule }) => rule)).toContain(
      "held-avoid",
    );
    expect(() => assessImprovisation(score, played, { scale: "C majr" })).toThrowError(
      expect.objectContaining({ code: "scale/type" }),
    );
  });

  it("refuses a start that is none, and a line longer than anyone plays", () => {
    const { score } = clean;
    const note = { midi: 84, onsetSeconds: 0, durationSeconds: 1, velocity: 70 };
    for (const startSeconds of [NaN, Infinity, 1e9])
      expect(() => assessImprovisation(score, [note], { startSeconds })).toThrowError(
        expect.objectContaining({ code: "assess/start" }),
      );
    for (const onsetSeconds of [1e6, 1e9])
      expect(() => assessImprovisation(score, [note, { ...note, onsetSeconds }])).toThrowError(
        expect.objectContaining({ code: "assess/long" }),
      );
  });

  it("draws every note, bow and number, and says in words what is drawn", () => {
    const [line] = faulty(FAULTS[2] as (typeof FAULTS)[number], [clean]) as [Base];
    const heard = of(line);
    const svg = linePicture(heard, line.score);
    const count = (pattern: RegExp): number => [...svg.matchAll(pattern)].length;
    expect(count(/<rect x=/g)).toBeGreaterThanOrEqual(heard.line.length);
    expect(count(/<path /g)).toBeGreaterThanOrEqual(heard.phrases.length);
    expect(count(/<circle /g)).toBe(heard.say.flatMap(({ places }) => places).length);
    expect(svg).toContain(heard.say[0]?.text);
    const page = improvisationPage(heard, line.score);
    for (const { text, how } of heard.say) expect(page).toContain(`<li>${text}<br><strong>Try:</strong> ${how}</li>`);
  });
});
