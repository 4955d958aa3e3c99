import fc from "fast-check";
import { describe, expect, it } from "vitest";
import type { NoteEvent, TimeSpan } from "../../src/event/index.ts";
import {
  handoutPage,
  layOutScore,
  makeBacking,
  makeDrill,
  parseChart,
  readMidi,
  readMusicXml,
  scoreFromJson,
  scoreToJson,
  sliceScore,
  writeMidi,
  writeMusicXml,
} from "../all.ts";

const QUARTERS: Readonly<Record<string, number>> = { "2/4": 2, "3/4": 3, "4/4": 4, "5/4": 5, "6/8": 3 };

/** Bars with their metres, each changed or not, and one or two chords. */
const forms = fc.array(
  fc.tuple(
    fc.constantFrom("2/4", "3/4", "4/4", "4/4", "5/4", "6/8"),
    fc.constantFrom("Dm7", "G7", "Cmaj7", "A7 D7", "Fm6 Bb7"),
  ),
  { minLength: 2, maxLength: 9 },
);
type Form = readonly (readonly [metre: string, chords: string])[];
const chartOf = (form: Form): string =>
  `Key: C\nMetre: ${form[0]?.[0]}\n${form
    .map(([metre, chords], i) => `${i === 0 || metre === form[i - 1]?.[0] ? "" : `[${metre}] `}${chords}`)
    .join(" | ")}`;
/** Where bars begin, counted here by hand; one more for the end. */
const startsOf = (form: Form): readonly number[] => {
  let at = 0;
  return [0, ...form.map(([metre]) => (at += QUARTERS[metre] ?? 0))];
};
const from = ({ at }: TimeSpan): number => at.num / at.den;
const to = (span: TimeSpan): number => from(span) + span.duration.num / span.duration.den;

describe("a drill over a chart whose metre changes", () => {
  it("law: every bar has its own length, and page, file and document say the same", () => {
    fc.assert(
      fc.property(
        forms,
        fc.constantFrom("up-and-down", "chord-tones", "target-thirds", "off-the-beat"),
        fc.constantFrom(undefined, "charleston", "stride", "every-beat"),
        fc.constantFrom(1, 2),
        (form, right, comping, repeats) => {
          // Of the first metre a pattern must have a bar; of the others not.
          fc.pre(comping === undefined || form[0]?.[0] === "4/4");
          const changes = chartOf(form);
          const { score } = makeDrill({
            key: "C",
            changes,
            right,
            left: "rootless",
            repeats,
            ...(comping && { comping }),
          });
          const starts = startsOf(Array.from({ length: repeats }, () => form).flat());
          expect(score.bars).toBe(repeats * form.length);
          const bars = layOutScore(score);
          expect(bars.map(({ at }) => at.num / at.den)).toEqual(starts.slice(0, -1));
          for (const bar of bars)
            for (const voice of [...bar.right, ...bar.left].slice(0, 1))
              expect(voice.reduce((sum, piece) => sum + piece.duration.num / piece.duration.den, 0)).toBeCloseTo(
                bar.duration.num / bar.duration.den,
              );
          const end = starts.at(-1) ?? 0;
          for (const part of [score.right, score.left, score.bass ?? []]) {
            for (const event of part) expect(to(event)).toBeLessThanOrEqual(end);
            part.slice(1).forEach((event, i) => expect(from(event)).toBeGreaterThanOrEqual(to(part[i]!) - 1e-9));
          }
          const page = readMusicXml(writeMusicXml(score));
          const told = ({ right: one, left: other }: { right: readonly NoteEvent[]; left: readonly NoteEvent[] }) =>
            [one, other].map((hand) =>
              hand.map((event) => [from(event), to(event), event.pitches.map((p) => p.semitones)]),
            );
          expect(told(page)).toEqual(told(score));
          expect(page.metres).toEqual(score.metres);
          expect(scoreFromJson(scoreToJson(score)).metres).toEqual(score.metres);
          const { metres, ticksPerQuarter } = readMidi(writeMidi(score));
          const lead = score.pickup.num / score.pickup.den;
          const written = metres.filter(({ ticks }) => ticks >= lead * ticksPerQuarter);
          expect(written.map(({ ticks, count, unit }) => [ticks / ticksPerQuarter - lead, `${count}/${unit}`])).toEqual(
            starts
              .slice(0, -1)
              .map((at, i) => [at, form[i % form.length]![0]])
              .filter(([, metre], i) => i === 0 || metre !== form[(i - 1) % form.length]![0]),
          );
        },
      ),
      { numRuns: 40 },
    );
  });

  it("law: bass and drums keep to each bar: the root where a chord enters, nothing across the end", () => {
    fc.assert(
      fc.property(
        forms,
        fc.constantFrom("swing", "ballad", "bossa"),
        fc.constantFrom(1, 3),
        (form, style, choruses) => {
          fc.pre(form[0]?.[0] === "4/4");
          const { bass, drums } = makeBacking(chartOf(form), { style, choruses });
          const end = choruses * (startsOf(form).at(-1) ?? 0);
          const starts = startsOf(form).slice(0, -1);
          for (const start of starts)
            expect(bass.some((note) => from(note) <= start + 1e-9 && to(note) > start)).toBe(true);
          for (const one of [...bass, ...drums]) expect(to(one)).toBeLessThanOrEqual(end + 1e-9);
          drums.slice(1).forEach((stroke, i) => expect(from(stroke)).toBeGreaterThanOrEqual(from(drums[i]!)));
        },
      ),
      { numRuns: 60 },
    );
  });

  it("holds the chord where the pattern has no bar of the metre, and says so", () => {
    const changes = "Key: C\nDm7 | G7 | [5/4] Cmaj7 | [4/4] A7";
    const { score, remarks } = makeDrill({ key: "C", changes, left: "rootless", comping: "stride", backing: "none" });
    expect(remarks).toContain("In 5/4 the left hand holds its chords: stride has no bar of it.");
    const inFive = score.left.filter((event) => from(event) >= 8 && from(event) < 13);
    expect(inFive.map((event) => [from(event), to(event)])).toEqual([[8, 13]]);
  });

  it("is swung only where every bar begins on a quarter and has pairs", () => {
    const feel = (changes: string) => makeDrill({ key: "C", changes, feel: "2:1", backing: "none" }).score.feel.id;
    expect(feel("Key: C\nDm7 | [3/4] G7")).toBe("swing 2:1");
    expect(feel("Key: C\nDm7 | [6/8] G7")).toBe("straight");
    expect(feel("Key: C\nDm7 | [7/8] G7 | [4/4] C")).toBe("straight");
  });

  it("gives some of its bars in their own metres", () => {
    const drill = makeDrill({ key: "C", changes: "Key: C\nDm7 | [3/4] G7 | A7 | [4/4] Cmaj7", bars: [2, 4] });
    expect([drill.score.metre.count, drill.score.metres?.map(({ bar, metre }) => [bar, metre.count])]).toEqual([
      3,
      [[3, 4]],
    ]);
    const { score } = makeDrill({ key: "C", changes: "Key: C\nDm7 | [3/4] G7 | A7 | [4/4] Cmaj7" });
    expect(sliceScore(score, 2, 3).metres).toBeUndefined();
    expect(sliceScore(score, 2, 3).metre.count).toBe(3);
  });

  it("plays the chords of a pickup bar once, before everything, however often it repeats", () => {
    const changes = "Key: C\nG7*1 | Cmaj7 | Fmaj7 | Dm7 | G7";
    const { score } = makeDrill({ key: "C", changes, left: "rootless", repeats: 2 });
    expect([score.pickup, score.bars % 8]).toEqual([{ num: 1, den: 1 }, 0]);
    expect(
      score.chords.filter(({ at }) => at.num < 0).map(({ chord, at }) => [chord?.symbol, from({ at, duration: at })]),
    ).toEqual([["G7", -1]]);
    const before = score.left.filter(({ at }) => at.num < 0);
    expect(before.map((event) => [from(event), to(event), event.fingers?.length])).toEqual([[-1, 0, 4]]);
    // B and F, the guide tones of G7, are in it.
    expect(before[0]!.pitches.map(({ semitones }) => semitones % 12)).toEqual(expect.arrayContaining([11, 5]));
    expect(readMusicXml(writeMusicXml(score)).chords[0]?.chord?.symbol).toBe("G7");
    // Bars by themselves begin where they are asked to.
    const part = makeDrill({ key: "C", changes, left: "rootless", bars: [2, 3] }).score;
    expect(part.chords[0]?.chord?.symbol).toBe("Fmaj7");
    // In another key too.
    const inEb = makeDrill({ key: "Eb", chartKey: "C", changes, left: "rootless" }).score;
    expect(inEb.chords[0]?.chord?.symbol).toBe("Bb7");
  });

  it.each([
    ["Medium swing", "swing", "swing"],
    ["Slow ballad", "ballad", "ballad"],
    ["Bossa nova", "bossa", "straight"],
    ["Latin", "even", "straight"],
    ["Shuffle", "shuffle", "swing"],
    ["Swing, in two", "two-beat", "swing"],
    ["Jazz waltz", "waltz", "swing"],
  ])(
    "common practice, no source: a chart that says %s is played by that band, unless another is asked for",
    (words, band, feel) => {
      const changes = `Feel: ${words}\nMetre: ${band === "waltz" ? "3/4" : "4/4"}\nDm7 | G7 | Cmaj7 | Cmaj7`;
      expect(makeDrill({ key: "C", changes }).recipe).toMatchObject({ backing: band, feel });
      expect(makeDrill({ key: "C", changes, backing: "none" }).recipe.backing).toBe("none");
    },
  );

  it("goes at the chart's own tempo, unless another is asked for", () => {
    const changes = "Key: C\nTempo: 132\nMetre: 6/8\nDm7 | G7";
    // Dotted quarters a minute; a score counts quarters.
    expect(makeDrill({ key: "C", changes }).score.tempo).toBe(198);
    expect(makeDrill({ key: "C", changes, tempo: 80 }).recipe.tempo).toBe(80);
    expect(makeDrill({ key: "C", changes: "Key: C\nTempo: 900\nDm7 | G7" }).recipe.tempo).toBe(100);
  });

  it("has a page that plays: the player knows where each bar begins", () => {
    const drill = makeDrill({ key: "C", changes: "Key: C\nDm7 | [3/4] G7 | [4/4] Cmaj7 | A7" });
    const page = handoutPage(drill, { engrave: () => ["<svg></svg>"] });
    expect(page).toContain('"bars":[0,4,7,11,15]');
  });

  it("reads the chart's own metre, with a change in the first repeat as well", () => {
    const chart = parseChart("Metre: 3/4\n|: C | [4/4] F :| G");
    const drill = makeDrill({ key: "C", changes: "Metre: 3/4\n|: C | [4/4] F :| G" });
    expect(chart.metre).toBe("3/4");
    expect(drill.score.metres?.map(({ bar, metre }) => [bar, metre.count])).toEqual([
      [2, 4],
      [3, 3],
      [4, 4],
    ]);
  });
});
