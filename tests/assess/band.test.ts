import fc from "fast-check";
import { describe, expect, it } from "vitest";
import type { NoteEvent, PlayedNote } from "../all.ts";
import {
  assessTake,
  beatsOf,
  formatAssessment,
  makeDrill,
  makeScore,
  metre,
  parseKey,
  pitchFromMidi,
  simulateTake,
} from "../all.ts";

const TEMPO = 100;
const quarters = (bars: number): NoteEvent[] =>
  Array.from({ length: bars * 4 }, (_, i) => ({
    at: beatsOf(i, 1),
    duration: beatsOf(1, 1),
    pitches: [pitchFromMidi(60 + ((i * 5) % 12), "flats")],
  }));
const score = makeScore({ key: parseKey("C"), metre: metre("4/4"), bars: 16, tempo: TEMPO, right: quarters(16) });

/** Every note of the score at its time by the band, moved. */
const take = (late: (seconds: number, beat: number) => number): readonly PlayedNote[] =>
  quarters(16).map(({ pitches }, i) => ({
    midi: pitches.length === 0 ? 0 : 60 + ((i * 5) % 12),
    onsetSeconds: 2 + (i * 60) / TEMPO + late((i * 60) / TEMPO, i),
    durationSeconds: 0.5,
    velocity: 80,
  }));

const heard = (played: readonly PlayedNote[], startSeconds = 2) =>
  assessTake(score, played, { clock: "band", startSeconds });

describe("against the band", () => {
  it("a take 150 ms late throughout is late, and not well in time", () => {
    const assessment = heard(take(() => 0.15));
    expect(assessment.band).toMatchObject({ lateMs: 150, startMs: 150, endMs: 150, spreadMs: 0, moments: 64 });
    expect(assessment.say.map(({ id }) => id)).toEqual(["off-the-band"]);
    expect(assessment.praise).not.toMatch(/in time|steady/);
    expect(formatAssessment(assessment)).toContain("Against the band: 150 ms late on the whole");
    // By the player's own clock nothing is late.
    expect(
      assessTake(
        score,
        take(() => 0.15),
      ).say,
    ).toEqual([]);
  });

  it("a take that gains on the band until it is three quarters of a second ahead is told so, in seconds and beats", () => {
    const assessment = heard(take((_, beat) => (-0.75 * beat) / 63));
    expect(assessment.say[0]?.id).toBe("band-drift");
    expect(assessment.say[0]?.message).toMatch(
      /ahead of the band: together at the start, 0\.7 seconds \(1\.2 beats\) ahead/,
    );
    expect(assessment.band?.endMs).toBeLessThan(-680);
  });

  it("law: the band's lateness is what the whole take is moved by, and where it starts only that counts", () => {
    fc.assert(
      fc.property(fc.integer({ min: -300, max: 300 }), fc.integer({ min: -20, max: 20 }), (ms, start) => {
        const played = take(() => ms / 1000).map((note) => ({ ...note, onsetSeconds: note.onsetSeconds + start }));
        const { band } = heard(played, 2 + start);
        expect(band?.lateMs).toBeCloseTo(ms, 0);
        expect(band?.endMs).toBeCloseTo(ms, 0);
      }),
      { numRuns: 40 },
    );
  });

  it("tells the groove by beat: two and four laid back, the rest on the band", () => {
    const { band } = heard(take((_, beat) => (beat % 2 === 1 ? 0.03 : 0)));
    expect(band?.byBeat).toEqual([
      { beat: 1, off: false, moments: 16, lateMs: 0 },
      { beat: 2, off: false, moments: 16, lateMs: 30 },
      { beat: 3, off: false, moments: 16, lateMs: 0 },
      { beat: 4, off: false, moments: 16, lateMs: 30 },
    ]);
  });

  it("a good take with the band is praised for it, and a swung one isn't called late for its swing", () => {
    expect(heard(take(() => 0.01)).praise).toContain("you sit right with the band");
    const drill = makeDrill({ key: "Eb", values: "eighths" }).score;
    const { bass: _bass, drums: _drums, ...hands } = drill;
    const { band, say } = assessTake(drill, simulateTake(hands, { jitterMs: 8 }).played, { clock: "band" });
    expect(Math.abs(band?.lateMs ?? NaN)).toBeLessThan(10);
    expect(say).toEqual([]);
  });

  it("who goes back a bar while the band goes on is in another bar, and in time all the same", () => {
    const all = take(() => 0);
    const back = [
      ...all.slice(0, 32),
      ...all.slice(28).map((note) => ({ ...note, onsetSeconds: note.onsetSeconds + (4 * 60) / TEMPO })),
    ];
    const { band, findings } = heard(back);
    expect(band?.elsewhere).toEqual([{ bar: 8, bars: 1 }]);
    expect(band?.lateMs).toBeCloseTo(0, 0);
    expect(findings.find(({ id }) => id === "band-elsewhere")?.message).toContain("the band was one bar further on");
  });

  it("counts by the tempo that the band is said to have", () => {
    const slow = take((seconds) => seconds * 0.25);
    expect(assessTake(score, slow, { clock: "band", startSeconds: 2, bandTempo: TEMPO / 1.25 }).band).toMatchObject({
      lateMs: 0,
      endMs: 0,
    });
  });

  it("refuses what belongs to the band's clock without it", () => {
    for (const options of [{ startSeconds: 1 }, { bandTempo: 90 }, { clock: "own" as const, startSeconds: 1 }])
      expect(() =>
        assessTake(
          score,
          take(() => 0),
          options,
        ),
      ).toThrow(/clock "band"/);
  });
});
