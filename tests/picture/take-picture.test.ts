import { describe, expect, it } from "vitest";
import type { PlayedNote } from "../all.ts";
import { assessTake, beats, makeScore, metre, parseKey, pitchFromMidi, takePicture } from "../all.ts";

const keys = [63, 65, 67, 68, 70, 72, 74, 75];
const score = makeScore({
  key: parseKey("Eb"),
  metre: metre("4/4"),
  bars: 2,
  tempo: 100,
  title: "Steps",
  right: keys.map((midi, i) => ({ at: beats(i), duration: beats(1), pitches: [pitchFromMidi(midi, "flats")] })),
});
const take = (
  change: (midi: number, i: number) => number | undefined,
  late = (_: number) => 0,
): readonly PlayedNote[] =>
  keys.flatMap((key, i) => {
    const midi = change(key, i);
    return midi === undefined ? [] : [{ midi, onsetSeconds: i * 0.6 + late(i), durationSeconds: 0.5, velocity: 80 }];
  });
const drawn = (played: readonly PlayedNote[], options = {}): string =>
  takePicture(assessTake(score, played), played, options);
const all = (svg: string, pattern: RegExp): readonly RegExpMatchArray[] => [...svg.matchAll(pattern)];

describe("a picture of what was asked and what was played", () => {
  it("a ring for each asked note and a dot for each right one, early to the left and late to the right", () => {
    const svg = drawn(
      take(
        (midi) => midi,
        (i) => (i === 5 ? 0.08 : i === 4 ? -0.05 : 0),
      ),
    );
    const legend = 2;
    expect(all(svg, /<ellipse/g)).toHaveLength(8 + legend);
    const dots = all(svg, /<circle cx="([\d.]+)"/g).map(([, x]) => Number(x));
    const rings = all(svg, /<ellipse cx="([\d.]+)"/g).map(([, x]) => Number(x));
    expect(dots).toHaveLength(8 + 1);
    expect((dots[5] ?? 0) - (rings[5] ?? 0)).toBeGreaterThan(3);
    // Before its bar line, yet just left of its ring.
    expect((rings[4] ?? 0) - (dots[4] ?? 0)).toBeGreaterThan(2);
    expect((rings[4] ?? 0) - (dots[4] ?? 0)).toBeLessThan(12);
    expect(svg).toContain("Every key is the one that was asked for.");
  });

  it("wrong keys and keys besides carry their names, missed notes stay empty rings with theirs", () => {
    const wrong = drawn(take((midi, i) => (i === 0 ? 64 : i === 4 ? undefined : midi)));
    expect(wrong).toContain("E for E♭ in bar 1; B♭ missed in bar 2");
    expect(all(wrong, />E<\/text>/g)).toHaveLength(1);
    expect(all(wrong, /stroke-dasharray="2 1.6"/g)).toHaveLength(1 + 1);
    const extra = [...take((midi) => midi), { midi: 80, onsetSeconds: 1.5, durationSeconds: 0.1, velocity: 40 }];
    expect(drawn(extra)).toContain("A♭ besides");
    // In another octave right notes stand where they are written.
    expect(drawn(take((midi) => midi - 12))).toContain("Every key is the one that was asked for.");
  });

  it("draws each beat, every bar's number, and rows as wide as asked", () => {
    const svg = drawn(
      take((midi) => midi),
      { barsInRow: 1, width: 400 },
    );
    expect(svg).toMatch(/viewBox="0 0 400 /);
    // Two rows of three beats inside the bar each.
    expect(all(svg, /stroke-dasharray="2 3"/g)).toHaveLength(6);
    expect(all(svg, /font-size="11">(\d)<\/text>/g).map(([, number]) => number)).toEqual(["1", "2"]);
    expect(() =>
      drawn(
        take((midi) => midi),
        { width: 10 },
      ),
    ).toThrowError(expect.objectContaining({ code: "picture/argument" }));
    expect(() =>
      takePicture(
        assessTake(
          score,
          take((midi) => midi),
        ),
        "take" as never,
      ),
    ).toThrowError(expect.objectContaining({ code: "picture/argument" }));
  });
});
