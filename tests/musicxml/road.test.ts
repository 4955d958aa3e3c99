import { execFileSync } from "node:child_process";
import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, beforeAll, describe, expect, it, vi } from "vitest";
import { loadEngraver } from "../../src/cli/engrave.ts";
import { makeDrill } from "../../src/drill/index.ts";
import type { NoteEvent } from "../../src/event/index.ts";
import { numeralMarks } from "../../src/harmony/index.ts";
import type { MusicXmlOptions } from "../../src/musicxml/index.ts";
import { readMusicXml, writeMusicXml } from "../../src/musicxml/index.ts";
import { midiNumber } from "../../src/pitch/index.ts";
import type { Score } from "../../src/score/index.ts";
import { makeScore, scoreFromJson, scoreToJson, sliceScore, transposeScore } from "../../src/score/index.ts";
import { beatsToNumber } from "../../src/time/index.ts";
import type { Element } from "./xml.ts";
import { all, deep, measuresOf, one, parse, textOf } from "./xml.ts";

const CHARTS = {
  endings: "[A] |: Dm7 | G7 | Cmaj7 |1 A7 :|2 C6 | [B] Fm7 | Bb7 | Ebmaj7 | Ebmaj7 |",
  "three times": "|: Dm7 | G7 :|x3 Cmaj7 | C6",
  "D.C. al Fine": "[A] Dm7 | G7 | Cmaj7 | C6 Fine | [B] Fm7 | Bb7 | Ebmaj7 | G7 D.C. al Fine",
  "D.S. al Coda": "Dm7 | G7 | Segno Cmaj7 | A7 To Coda | Dm7 | G7 D.S. al Coda | Coda Em7 A7 | Dm7 G7 | C6",
  "repeats and a coda":
    "[A] |: Dm7 | G7 | Cmaj7 |1 A7 :|2 C6 | [B] Fm7 | Bb7 To Coda | Ebmaj7 | G7 D.C. al Coda | [Coda] Dm7 G7 | C6",
} as const;

const RIGHTS = [
  { right: "improvised", level: 3 },
  { right: "improvised", level: 2, left: "rootless", comping: "charleston" },
  { right: "comping", left: "shell" },
] as const;

/**
 * The order in which a player goes through the bars. MusicXML 4.0: a repeat is played twice unless `times` says otherwise, an ending on the passes
 * of its `number`; after a jump repeats are not taken (`after-jump` is "no" by default), so that the last ending follows.
 */
const walk = (measures: readonly Element[]): readonly number[] => {
  const barline = (bar: number, location: string, name: string): Element | undefined =>
    all(measures[bar], "barline")
      .filter((line) => (line.attributes.location ?? "right") === location)
      .flatMap((line) => all(line, name))[0];
  const sound = (bar: number, name: string): boolean =>
    all(measures[bar], "direction").some((d) => one(d, "sound")?.attributes[name] !== undefined);
  const order: number[] = [];
  let [bar, start, pass, jumped, words] = [0, 0, 1, false, ""];
  while (bar < measures.length && order.length < 500) {
    if (barline(bar, "left", "repeat") !== undefined && bar !== start) [start, pass] = [bar, 1];
    const passes = barline(bar, "left", "ending")?.attributes.number?.split(",").map(Number);
    const repeats = (from: number): boolean => {
      for (let at = from; at < measures.length; at++) {
        if (at > from && barline(at, "left", "ending") !== undefined) return false;
        if (barline(at, "right", "repeat") !== undefined) return true;
      }
      return false;
    };
    if (passes !== undefined && (jumped ? repeats(bar) : !passes.includes(pass))) {
      do bar++;
      while (bar < measures.length && barline(bar, "left", "ending") === undefined);
      continue;
    }
    order.push(bar);
    const repeat = barline(bar, "right", "repeat");
    if (
      repeat !== undefined &&
      !jumped &&
      pass < (passes === undefined ? Number(repeat.attributes.times ?? 2) : pass + 1)
    ) {
      pass++;
      bar = start;
    } else if (jumped && sound(bar, "fine") && /Fine/.test(words)) break;
    else if (jumped && sound(bar, "tocoda") && /Coda/.test(words)) bar = measures.findIndex((_, i) => sound(i, "coda"));
    else if (!jumped && (sound(bar, "dacapo") || sound(bar, "dalsegno"))) {
      jumped = true;
      words = deep(measures[bar] as Element, "words")
        .map(({ text }) => text)
        .join(" ");
      bar = sound(bar, "dacapo") ? 0 : measures.findIndex((_, i) => sound(i, "segno"));
      start = bar;
    } else bar++;
  }
  return order;
};

/** Sums of thirds come to a little less than 0 as well. */
const placeText = (quarters: number): string => (Math.round(quarters * 1e4) / 1e4 + 0).toFixed(4);

const STEPS: Readonly<Record<string, number>> = { C: 0, D: 2, E: 4, F: 5, G: 7, A: 9, B: 11 };

/** What is struck, bar after bar as they are played: staff, moment in quarters, MIDI number. */
const struckIn = (measures: readonly Element[], order: readonly number[]): readonly string[] => {
  const struck: string[] = [];
  const divisions = Number(textOf(measures[0], "attributes", "divisions"));
  let start = 0;
  order.forEach((bar) => {
    let [at, before, furthest] = [0, 0, 0];
    for (const node of (measures[bar] as Element).children) {
      const length = Number(textOf(node, "duration") ?? 0) / divisions;
      if (node.name === "backup") at -= length;
      if (node.name === "forward") at += length;
      if (node.name === "note" && one(node, "grace") === undefined) {
        const chord = one(node, "chord") !== undefined;
        const onset = chord ? before : at;
        before = onset;
        if (!chord) at += length;
        const pitch = one(node, "pitch");
        const tied = all(node, "tie").some((tie) => tie.attributes.type === "stop");
        if (pitch !== undefined && !tied)
          struck.push(
            `${textOf(node, "staff") ?? "bass"} ${placeText(start + onset)} ${(STEPS[textOf(pitch, "step") ?? ""] ?? NaN) + Number(textOf(pitch, "alter") ?? 0) + 12 * (Number(textOf(pitch, "octave")) + 1)}`,
          );
      }
      furthest = Math.max(furthest, at);
    }
    start += furthest;
  });
  return struck.sort();
};

const said = (events: readonly NoteEvent[], staff: string): readonly string[] =>
  events.flatMap(({ at, pitches }) => pitches.map((p) => `${staff} ${placeText(beatsToNumber(at))} ${midiNumber(p)}`));
const soundsIn = ({ right, left }: Score): readonly string[] => [...said(right, "1"), ...said(left, "2")].sort();

const cases = Object.entries(CHARTS).flatMap(([name, changes]) =>
  RIGHTS.map(
    (right, i) =>
      [`${name}, ${i + 1}`, makeDrill({ key: "C", changes, asWritten: true, pickup: false, ...right })] as const,
  ),
);

describe("a drill whose repeats are written", () => {
  it.each(cases)("law: a player who follows its signs plays the score: %s", (_, { score }) => {
    const measures = measuresOf(writeMusicXml(score));
    expect(measures.length).toBeLessThan(score.bars);
    const order = walk(measures);
    expect(order).toHaveLength(score.bars);
    expect(struckIn(measures, order)).toEqual(soundsIn(score));
  });

  it.each(cases)("law: it is read back as what is played, and as it is written: %s", (_, { score }) => {
    const xml = writeMusicXml(score);
    const back = readMusicXml(xml);
    expect(soundsIn(back)).toEqual(soundsIn(score));
    expect(back.bars).toBe(score.bars);
    expect(writeMusicXml(back).match(/<(repeat|ending|rehearsal)[^>]*>/g)).toEqual(
      xml.match(/<(repeat|ending|rehearsal)[^>]*>/g),
    );
  });

  it("has its section letters where it is played out, too, each time that one begins", () => {
    const { score } = makeDrill({ key: "C", changes: CHARTS.endings });
    const measures = measuresOf(writeMusicXml(score));
    expect(measures).toHaveLength(score.bars);
    const letters = measures.flatMap((measure, i) => deep(measure, "rehearsal").map(({ text }) => [i + 1, text]));
    expect(letters.slice(0, 3)).toEqual([
      [1, "A"],
      [5, "A"],
      [9, "B"],
    ]);
    // A section begins a system.
    for (const bar of [5, 9]) expect(one(measures[bar - 1], "print")?.attributes["new-system"]).toBe("yes");
  });

  it("is written out where a bar is not the same each time", () => {
    const [, drill] = cases[0] as (typeof cases)[number];
    const [first, ...rest] = drill.score.right;
    if (first === undefined) throw new Error("no line");
    const other = makeScore({ ...drill.score, right: rest });
    expect(measuresOf(writeMusicXml(other))).toHaveLength(drill.score.bars);
    expect(struckIn(measuresOf(writeMusicXml(other)), [...Array(other.bars).keys()])).toEqual(soundsIn(other));
  });

  it("keeps its form in JSON and in another key, and the names of sections in a part of it", () => {
    const [, { score }] = cases[0] as (typeof cases)[number];
    expect(scoreFromJson(JSON.stringify(scoreToJson(score))).form).toEqual(score.form);
    expect(measuresOf(writeMusicXml(transposeScore(score, "Eb")))).toHaveLength(9);
    const part = sliceScore(score, 5, 9);
    expect(part.form?.bars.map(({ section }) => section)).toEqual(["A", undefined, undefined, undefined, "B"]);
    expect(() => makeScore({ ...score, form: { bars: [{}], order: [1] } })).toThrowError(
      expect.objectContaining({ code: "score/form" }),
    );
  });

  it("puts repeat signs round a whole that is played several times", () => {
    const { score } = makeDrill({ key: "C", changes: "turnaround", repeats: 4, asWritten: true });
    const measures = measuresOf(writeMusicXml(score));
    expect([score.bars, measures.length]).toEqual([16, 4]);
    expect(struckIn(measures, walk(measures))).toEqual(soundsIn(score));
  });

  describe("for a second reader", () => {
    const complaints: string[] = [];
    beforeAll(() => {
      for (const level of ["log", "info", "warn", "error"] as const)
        vi.spyOn(console, level).mockImplementation((line) => void complaints.push(String(line)));
    });
    afterAll(() => vi.restoreAllMocks());

    it("an engraver has nothing to complain of, and draws its bars, letters, endings and words", async () => {
      const engrave = await loadEngraver();
      complaints.length = 0;
      for (const [, { score }] of cases) {
        const xml = writeMusicXml(score);
        const drawn = engrave(xml, { width: 6000 }).join("");
        expect(complaints).toEqual([]);
        const count = (pattern: RegExp, text: string): number => (text.match(pattern) ?? []).length;
        expect(count(/class="measure"/g, drawn)).toBe(count(/<measure /g, xml));
        expect(count(/class="reh"/g, drawn)).toBe(count(/<rehearsal>/g, xml));
        expect(count(/class="ending /g, drawn)).toBeGreaterThanOrEqual(count(/<ending [^>]*type="start"/g, xml));
      }
    });
  });
});

const tool = process.env.HANDS_TOGETHER_XSD_TOOL;
it.skipIf(tool === undefined)(
  "law: the W3C MusicXML 4.0 schema accepts repeats, strokes, the bass and numerals (needs HANDS_TOGETHER_XSD_TOOL)",
  () => {
    const folder = mkdtempSync(join(tmpdir(), "musicxml-road-"));
    try {
      const files = cases.flatMap(([, { score }], i) =>
        [{}, { leftAs: "rhythm", bassLine: true }, { leftAs: "slashes", numerals: numeralMarks }].map((options, o) => {
          const file = join(folder, `${i}-${o}.musicxml`);
          writeFileSync(file, writeMusicXml(score, options as MusicXmlOptions));
          return file;
        }),
      );
      execFileSync(tool as string, files, { stdio: ["ignore", "pipe", "pipe"] });
    } finally {
      rmSync(folder, { recursive: true });
    }
  },
);

describe("other ways to print the left hand and the bass", () => {
  const { score } = makeDrill({ key: "Db", changes: "jazz-blues", left: "rootless", comping: "charleston" });

  it("rhythm has a stroke on the middle line where a chord is struck, without signs and fingers; slashes one a beat without stems", () => {
    const notesIn = (leftAs: "rhythm" | "slashes"): readonly Element[] =>
      measuresOf(writeMusicXml(score, { leftAs }))
        .flatMap((measure) => all(measure, "note"))
        .filter((note) => textOf(note, "staff") === "2" && one(note, "rest") === undefined);
    const rhythm = notesIn("rhythm");
    const struck = rhythm.filter((note) => all(note, "tie").every((tie) => tie.attributes.type !== "stop"));
    expect(struck).toHaveLength(score.left.length);
    const slashes = notesIn("slashes");
    expect(slashes).toHaveLength(4 * score.bars);
    for (const note of [...rhythm, ...slashes]) {
      expect([textOf(note, "pitch", "step"), textOf(note, "pitch", "octave"), textOf(note, "notehead")]).toEqual([
        "D",
        "3",
        "slash",
      ]);
      expect(one(note, "accidental")).toBeUndefined();
      expect(deep(note, "fingering")).toEqual([]);
    }
    expect(new Set(slashes.map((note) => textOf(note, "stem")))).toEqual(new Set(["none"]));
    expect(new Set(rhythm.map((note) => textOf(note, "stem")))).toEqual(new Set([undefined]));
    expect(() => readMusicXml(writeMusicXml(score, { leftAs: "rhythm" }))).toThrowError(
      expect.objectContaining({ code: "musicxml/unsupported" }),
    );
  });

  it("the bass stands small on a staff of its own, and is read back", () => {
    const xml = writeMusicXml(score, { bassLine: true });
    const parts = all(parse(xml), "part");
    expect(parts).toHaveLength(2);
    const measures = all(parts[1], "measure");
    expect(struckIn(measures, [...measures.keys()])).toEqual([...said(score.bass ?? [], "bass")].sort());
    expect(deep(measures[0] as Element, "type").every((type) => type.attributes.size === "cue")).toBe(true);
    const back = readMusicXml(xml);
    expect(said(back.bass ?? [], "bass")).toEqual(said(score.bass ?? [], "bass"));
    expect(soundsIn(back)).toEqual(soundsIn(score));
  });

  it("both reach the files of a recipe", () => {
    const asked = makeDrill({ key: "C", leftAs: "slashes", bassLine: true, fingers: "none", asWritten: true });
    expect(asked.recipe).toMatchObject({ leftAs: "slashes", bassLine: true, fingers: "none", asWritten: true });
  });
});
