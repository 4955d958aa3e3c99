import { describe, expect, it } from "vitest";
import { bassRow } from "../../src/backing/bass-catalogue.ts";
import { backingRow } from "../../src/backing/catalogue.ts";
import { drumRow } from "../../src/backing/drum-catalogue.ts";
import type { BackingId, BackingRow } from "../../src/backing/index.ts";
import { backingCatalogue, bassLine, drumPart, makeBacking } from "../../src/backing/index.ts";
import { parseProgression, progressionCatalogue } from "../../src/progression/index.ts";
import { makeScore, soundingNotes } from "../../src/score/index.ts";
import { swungFeel } from "../../src/swing/index.ts";
import { addBeats, barLength, beats, compareBeats, multiplyBeats } from "../../src/time/index.ts";

describe("backing", () => {
  it("law: swing fits every named progression, and every style those of each metre that it plays, in a score", () => {
    const some = ["turnaround", "jazz-blues", "slow-blues", "waltz-blues", "minor-two-five-one-short"];
    for (const { id, metre } of progressionCatalogue) {
      for (const style of backingCatalogue.filter((row) => row.id === "swing" || some.includes(id))) {
        if (metre === "3/4" && ["shuffle", "bossa"].includes(style.id)) continue;
        if (metre !== "3/4" && style.id === "waltz") continue;
        if (style.id === "five-four") continue;
        const changes = parseProgression(id);
        const { bass, drums, reasons } = makeBacking(changes, { style: style.id });
        expect(reasons.length).toBe(bass.length);
        const score = makeScore({ ...changes, chords: changes.chords, feel: swungFeel("2:1"), bass, drums });
        expect([score.bass, score.drums]).toEqual([bass, drums]);
      }
    }
    expect(progressionCatalogue.filter(({ id }) => some.includes(id)).map(({ metre }) => metre)).toEqual(
      expect.arrayContaining(["4/4", "3/4", "12/8"]),
    );
  });

  it("law: the bass sounds on every beat of the bar under walking styles, and nothing outlasts the score", () => {
    const changes = parseProgression("aaba", { key: "Bb" });
    const { bass, drums } = makeBacking(changes, { style: "swing", seed: 5 });
    expect(bass.map((note) => note.at)).toEqual(Array.from({ length: 128 }, (_, n) => beats(n)));
    const end = multiplyBeats(barLength(changes.metre), beats(changes.bars));
    for (const span of [...bass, ...drums])
      expect(compareBeats(addBeats(span.at, span.duration), end)).toBeLessThanOrEqual(0);
  });

  it("law: each part is its own player's: the other may play, change or stay away", () => {
    const changes = parseProgression("jazz-blues", { key: "F" });
    const whole = makeBacking(changes, { seed: 9 });
    expect(makeBacking(changes, { seed: 9, drums: "none" })).toEqual({ ...whole, drums: [] });
    expect(makeBacking(changes, { seed: 9, bass: "none" })).toEqual({ ...whole, bass: [], reasons: [] });
    expect(makeBacking(changes, { seed: 9, bass: "two-beat" }).drums).toEqual(whole.drums);
    expect(whole.bass).toEqual(bassLine(changes, { seed: 9 }).events);
    expect(whole.drums).toEqual(drumPart(12, changes.metre, { seed: 9 }));
  });

  it("law: the same seed makes the same backing, a deep copy of it included; the input is left alone", () => {
    const changes = parseProgression("turnaround", { key: "Eb" });
    const before = structuredClone(changes);
    expect(makeBacking(structuredClone(changes), { seed: 3 })).toEqual(makeBacking(changes, { seed: 3 }));
    expect(changes).toEqual(before);
  });

  it("law: choruses are as long as the form each, need not be alike, and lead into one another", () => {
    const changes = parseProgression("blues", { key: "F" });
    const { bass, drums } = makeBacking(changes, { choruses: 3, seed: 2 });
    expect(bass.length).toBe(144);
    const chorus = (n: number) => bass.slice(48 * n, 48 * n + 48).map((note) => note.pitches[0]);
    expect(chorus(0)).not.toEqual(chorus(1));
    const score = makeScore({ ...changes, bars: 36, bass, drums });
    expect(soundingNotes(score, "bass").length).toBe(144);
  });

  it("refuses a style that is not there, and no choruses", () => {
    expect(() => backingRow("swign")).toThrowError(/did you mean swing\?/);
    expect(() => makeBacking(parseProgression("blues"), { style: "latin" as BackingId })).toThrowError(
      expect.objectContaining({ code: "backing/style" }),
    );
    expect(() => makeBacking(parseProgression("blues"), { choruses: 0 })).toThrowError(
      expect.objectContaining({ code: "backing/choruses" }),
    );
  });

  it("law: a style of the user's own, with manners of one's own in it, plays as the shipped one does", () => {
    for (const row of backingCatalogue) {
      const own: BackingRow = {
        ...row,
        id: "of-our-own",
        bass: { ...bassRow(row.bass), id: "bass-of-our-own" },
        drums: { ...drumRow(row.drums), id: "drums-of-our-own" },
      };
      const changes =
        row.id === "five-four"
          ? parseProgression("blues", { metre: "5/4" })
          : parseProgression(row.id === "waltz" ? "waltz-blues" : "blues");
      const { style: _, ...made } = makeBacking(changes, { style: own, seed: 4 });
      const { style, ...shipped } = makeBacking(changes, { style: row.id, seed: 4 });
      expect(made).toEqual(shipped);
      expect(style).toBe(row.id);
    }
    expect(() =>
      makeBacking("blues", { style: { ...backingCatalogue[0], id: "x", bass: "walkign" as never } }),
    ).toThrowError(expect.objectContaining({ code: "backing/style" }));
  });

  it("law: with an ending the last chord is held by the bass, and a cymbal rings", () => {
    const changes = parseProgression("blues", { key: "F" });
    const { bass, drums } = makeBacking(changes, { ending: true, choruses: 2 });
    const end = multiplyBeats(barLength(changes.metre), beats(24));
    expect(addBeats(bass.at(-1)!.at, bass.at(-1)!.duration)).toEqual(end);
    expect(drums.filter(({ at }) => compareBeats(at, beats(92)) >= 0).map(({ midi }) => midi)).toEqual([36, 49]);
  });

  it("law: ids are unique", () => {
    expect(new Set(backingCatalogue.map((row) => row.id)).size).toBe(backingCatalogue.length);
  });
});
