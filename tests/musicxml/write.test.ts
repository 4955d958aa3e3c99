import { execFileSync } from "node:child_process";
import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import type { NoteEvent, Score, ScoreInput } from "../all.ts";
import {
  addBeats,
  barLength,
  beats,
  beatsOf,
  formatBeats,
  MusicError,
  makeScore,
  metre,
  parseChord,
  parseKey,
  parseProgression,
  pitch,
  pitchName,
  swungFeel,
  writeMusicXml,
} from "../all.ts";
import { anyScore } from "../score/arbitrary.ts";
import type { Element } from "./xml.ts";
import { all, deep, measuresOf, one, parse, textOf } from "./xml.ts";

const note = (at: string, duration: string, ...names: string[]): NoteEvent => ({
  at: beats(at),
  duration: beats(duration),
  pitches: names.map((n) => pitch(n as "C4")),
});
const score = (parts: Partial<ScoreInput> = {}): Score =>
  makeScore({ key: parseKey("C"), metre: metre("4/4"), bars: 1, ...parts });
const notesIn = (xml: string): readonly Element[] => measuresOf(xml).flatMap((m) => all(m, "note"));
const nameOf = (n: Element): string =>
  `${textOf(n, "pitch", "step")}${{ "-3": "bbb", "-2": "bb", "-1": "b", "0": "", "1": "#", "2": "##", "3": "###" }[textOf(n, "pitch", "alter") ?? "0"]}${textOf(n, "pitch", "octave")}`;

describe("writing MusicXML", () => {
  it("law: every voice fills every bar, every rewind goes to its start, and no id comes twice", () => {
    fc.assert(
      fc.property(anyScore(), (s) => {
        const xml = writeMusicXml(s);
        const ids = [...xml.matchAll(/<note[^>]* id="([^"]*)"/g)].map(([, id]) => id);
        expect(new Set(ids).size).toBe(ids.length);
        const measures = measuresOf(xml);
        const divisions = Number(textOf(measures[0], "attributes", "divisions"));
        measures.forEach((measure, i) => {
          const length = i === 0 && s.pickup.num > 0 ? s.pickup : barLength(s.metre);
          const full = (length.num * divisions) / length.den;
          const voices = new Map<string, number>();
          for (const e of measure.children) {
            if (e.name === "backup") expect(Number(textOf(e, "duration"))).toBe(full);
            if (
              (e.name === "note" && one(e, "grace") === undefined && one(e, "chord") === undefined) ||
              e.name === "forward"
            ) {
              const voice = textOf(e, "voice") ?? "";
              voices.set(voice, (voices.get(voice) ?? 0) + Number(textOf(e, "duration")));
            }
          }
          expect([...voices.values()]).toEqual([...voices.values()].map(() => full));
          expect(voices.has("1") && voices.has("5")).toBe(true);
        });
      }),
      { numRuns: 40 },
    );
  });

  it("law: nothing is lost or added: each key is struck as often, and sounds as long, as in the score", () => {
    fc.assert(
      fc.property(anyScore(), (s) => {
        const xml = writeMusicXml(s);
        const divisions = Number(textOf(measuresOf(xml)[0], "attributes", "divisions"));
        const tally = new Map<string, { struck: number; length: string }>();
        const count = (id: string, struck: number, length: { num: number; den: number }): void => {
          const before = tally.get(id) ?? { struck: 0, length: "0" };
          tally.set(id, {
            struck: before.struck + struck,
            length: formatBeats(addBeats(beats(before.length), length)),
          });
        };
        for (const n of notesIn(xml)) {
          if (one(n, "rest") !== undefined) continue;
          const grace = one(n, "grace") !== undefined;
          const tied = all(n, "tie").some((t) => t.attributes.type === "stop");
          count(
            `${textOf(n, "staff")} ${nameOf(n)}${grace ? " grace" : ""}`,
            tied ? 0 : 1,
            grace ? beats(0) : beatsOf(Number(textOf(n, "duration")), divisions),
          );
        }
        for (const [hand, staff] of [
          ["right", 1],
          ["left", 2],
        ] as const) {
          for (const event of s[hand]) {
            const minus = { num: -event.duration.num, den: event.duration.den };
            for (const p of event.pitches) count(`${staff} ${pitchName(p)}`, -1, minus);
            for (const g of event.graces ?? []) count(`${staff} ${pitchName(g.pitch)} grace`, -1, beats(0));
          }
        }
        expect([...tally.entries()].filter(([, { struck, length }]) => struck !== 0 || length !== "0")).toEqual([]);
      }),
      { numRuns: 40 },
    );
  });

  it("law: the printed type, dots and tuplet of a note make its duration", () => {
    const types: Record<string, number> = {
      whole: 4,
      half: 2,
      quarter: 1,
      eighth: 1 / 2,
      "16th": 1 / 4,
      "32nd": 1 / 8,
      "64th": 1 / 16,
    };
    fc.assert(
      fc.property(anyScore({ graces: false }), (s) => {
        const xml = writeMusicXml(s);
        const divisions = Number(textOf(measuresOf(xml)[0], "attributes", "divisions"));
        for (const n of notesIn(xml)) {
          if (one(n, "rest")?.attributes.measure === "yes") continue;
          const modification = one(n, "time-modification");
          const ratio =
            modification === undefined
              ? 1
              : Number(textOf(modification, "normal-notes")) / Number(textOf(modification, "actual-notes"));
          const quarters = (types[textOf(n, "type") ?? ""] ?? NaN) * (one(n, "dot") === undefined ? 1 : 1.5) * ratio;
          expect(Number(textOf(n, "duration"))).toBeCloseTo(quarters * divisions, 9);
        }
      }),
      { numRuns: 30 },
    );
  });

  it("law: a bracket opens at the first note or rest of a tuplet and closes at its last, in every voice", () => {
    fc.assert(
      fc.property(anyScore({ graces: false }), (s) => {
        const open = new Map<string, boolean>();
        for (const n of notesIn(writeMusicXml(s))) {
          if (one(n, "chord") !== undefined) continue;
          const voice = textOf(n, "voice") ?? "";
          const edges = deep(n, "tuplet").map((t) => t.attributes.type);
          if (edges.includes("start")) {
            expect(open.get(voice) ?? false).toBe(false);
            open.set(voice, true);
          }
          expect(open.get(voice) ?? false).toBe(one(n, "time-modification") !== undefined);
          if (edges.includes("stop")) open.set(voice, false);
        }
        expect([...open.values()]).not.toContain(true);
      }),
      { numRuns: 40 },
    );
  });

  it("writes beams from the outermost inwards", () => {
    const xml = writeMusicXml(
      score({
        right: [note("0", "1/2", "C5"), note("1/2", "1/4", "D5"), note("3/4", "1/4", "E5"), note("1", "3", "C5")],
      }),
    );
    expect(
      notesIn(xml)
        .slice(0, 4)
        .map((n) => all(n, "beam").map((b) => `${b.attributes.number} ${b.text}`)),
    ).toEqual([["1 begin"], ["1 continue", "2 begin"], ["1 end", "2 end"], []]);
  });

  it("lets an accidental hold in all voices of a staff, in order of time", () => {
    const left = [note("0", "2", "C5"), note("0", "1", "E4"), note("1", "2", "F#4"), note("2", "2", "F4")];
    const marks = notesIn(writeMusicXml(score({ left })))
      .filter((n) => one(n, "pitch"))
      .map((n) => `${textOf(n, "voice")} ${nameOf(n)} ${textOf(n, "accidental") ?? "-"}`);
    expect(marks).toEqual(["5 C5 -", "5 F4 natural", "6 E4 -", "6 F#4 sharp"]);
  });

  it("law: a reader who knows only the signature, the printed accidentals and the ties plays the right keys", () => {
    fc.assert(
      fc.property(anyScore(), (s) => {
        // Two signs on one line of a chord leave a reader guessing which tie is whose.
        fc.pre([...s.right, ...s.left].every((e) => new Set(e.pitches.map((p) => p.steps)).size === e.pitches.length));
        const order = s.key.fifths > 0 ? "FCGDAEB" : "BEADGCF";
        const signature = new Map(
          [...order.slice(0, Math.abs(s.key.fifths))].map((letter) => [letter, Math.sign(s.key.fifths)]),
        );
        const values: Record<string, number> = {
          "triple-flat": -3,
          "flat-flat": -2,
          flat: -1,
          natural: 0,
          sharp: 1,
          "double-sharp": 2,
          "triple-sharp": 3,
        };
        const tiedOn = new Map<string, number>();
        for (const measure of measuresOf(writeMusicXml(s))) {
          // The page is read from left to right, all voices of a staff at once, grace notes before their note.
          const timed: { at: number; order: number; element: Element }[] = [];
          let [at, last, order2] = [0, 0, 0];
          for (const e of measure.children) {
            if (e.name === "backup") at -= Number(textOf(e, "duration"));
            if (e.name === "forward") at += Number(textOf(e, "duration"));
            if (e.name !== "note") continue;
            const chord = one(e, "chord") !== undefined;
            timed.push({ at: chord ? last : at, order: order2++, element: e });
            if (!chord && one(e, "grace") === undefined) {
              last = at;
              at += Number(textOf(e, "duration"));
            }
          }
          const bar = new Map<string, number>();
          for (const { element } of timed.sort((a, b) => a.at - b.at || a.order - b.order)) {
            if (one(element, "rest") !== undefined) continue;
            const letter = textOf(element, "pitch", "step") as string;
            const line = `${textOf(element, "staff")} ${letter}${textOf(element, "pitch", "octave")}`;
            const mark = textOf(element, "accidental");
            const ties = all(element, "tie").map((t) => t.attributes.type);
            const read =
              mark !== undefined
                ? (values[mark] as number)
                : ties.includes("stop")
                  ? (tiedOn.get(line) as number)
                  : (bar.get(line) ?? signature.get(letter) ?? 0);
            if (mark !== undefined) bar.set(line, read);
            expect(read).toBe(Number(textOf(element, "pitch", "alter") ?? "0"));
            if (ties.includes("start")) tiedOn.set(line, read);
          }
        }
      }),
      { numRuns: 40 },
    );
  });

  const tool = process.env.HANDS_TOGETHER_XSD_TOOL;
  it.skipIf(tool === undefined)(
    "law: the W3C MusicXML 4.0 schema accepts every score (needs HANDS_TOGETHER_XSD_TOOL)",
    () => {
      const folder = mkdtempSync(join(tmpdir(), "musicxml-"));
      try {
        const scores = fc.sample(anyScore(), { numRuns: 40, seed: 1 });
        const files = scores.map((s, i) => {
          const file = join(folder, `${i}.musicxml`);
          writeFileSync(file, writeMusicXml(s, i % 2 === 0 ? { footer: "Stop at pain." } : { degrees: false }));
          return file;
        });
        execFileSync(tool as string, files, { stdio: ["ignore", "pipe", "pipe"] });
      } finally {
        rmSync(folder, { recursive: true });
      }
    },
  );

  it("states key, metre, staves, clefs, tempo and swing once, in the first bar", () => {
    const xml = writeMusicXml(
      score({
        key: parseKey("C minor"),
        metre: metre("3/4"),
        bars: 2,
        tempo: 132.5,
        feel: swungFeel("3:2"),
        pickup: beats(1),
      }),
    );
    const [first] = measuresOf(xml);
    expect(first?.attributes).toEqual({ number: "0", implicit: "yes" });
    const attributes = one(first, "attributes") as Element;
    expect([
      textOf(attributes, "key", "fifths"),
      textOf(attributes, "key", "mode"),
      textOf(attributes, "time", "beats"),
      textOf(attributes, "staves"),
    ]).toEqual(["-3", "minor", "3", "2"]);
    expect(all(attributes, "clef").map((c) => textOf(c, "sign"))).toEqual(["G", "F"]);
    const sound = one(one(first, "direction"), "sound") as Element;
    expect(sound.attributes.tempo).toBe("132.5");
    expect(["first", "second", "swing-type", "swing-style"].map((name) => textOf(sound, "swing", name))).toEqual([
      "3",
      "2",
      "eighth",
      "swing 3:2",
    ]);
    expect(deep(parse(xml), "sound")).toHaveLength(1);
    expect(one(one(deep(parse(writeMusicXml(score())), "sound")[0], "swing"), "straight")).toBeDefined();
  });

  it("counts the beat of a compound metre in dotted quarters", () => {
    const metronome = deep(parse(writeMusicXml(score({ metre: metre("12/8"), tempo: 90 }))), "metronome")[0];
    expect([
      textOf(metronome, "beat-unit"),
      one(metronome, "beat-unit-dot") !== undefined,
      textOf(metronome, "per-minute"),
    ]).toEqual(["quarter", true, "60"]);
  });

  it("puts chord symbols at their time, with kind, text, bass and degrees that are not printed twice", () => {
    const { chords: spans } = parseProgression("Dm7 G13 | C6/9/E", { key: "C" });
    const xml = writeMusicXml(score({ bars: 2, chords: spans, right: [note("0", "4", "A4")] }));
    const [first, second] = measuresOf(xml);
    const [ii, five] = all(first, "harmony");
    expect([textOf(ii, "root", "root-step"), textOf(ii, "kind"), one(ii, "kind")?.attributes.text]).toEqual([
      "D",
      "minor-seventh",
      "m7",
    ]);
    // Half way through the whole note: an offset of two quarters.
    expect(Number(textOf(five, "offset"))).toBe(2 * Number(textOf(first, "attributes", "divisions")));
    expect(
      all(five, "degree").map((d) => [
        d.attributes["print-object"],
        textOf(d, "degree-value"),
        textOf(d, "degree-type"),
      ]),
    ).toEqual([["no", "11", "subtract"]]);
    expect([textOf(one(second, "harmony"), "bass", "bass-step"), textOf(one(second, "harmony"), "kind")]).toEqual([
      "E",
      "major-sixth",
    ]);
    expect(deep(parse(writeMusicXml(score({ bars: 2, chords: spans }), { degrees: false })), "degree")).toEqual([]);
  });

  it("prints each tension once: in brackets as a degree, or in the text with the degree hidden", () => {
    const printed = (symbol: string): readonly [string | undefined, ...string[]] => {
      const harmony = deep(
        parse(writeMusicXml(score({ chords: [{ at: beats(0), duration: beats(4), chord: parseChord(symbol) }] }))),
        "harmony",
      )[0] as Element;
      const degrees = all(harmony, "degree").filter((d) => d.attributes["print-object"] !== "no");
      return [
        one(harmony, "kind")?.attributes.text,
        ...degrees.map(
          (d) => `${one(d, "degree-type")?.attributes.text}|${textOf(d, "degree-alter")}|${textOf(d, "degree-value")}`,
        ),
      ];
    };
    expect(printed("C7b9")).toEqual(["7", "|-1|9"]);
    expect(printed("Cmaj7#11")).toEqual(["maj7", "|1|11"]);
    expect(printed("C7b9b13")).toEqual(["7", "|-1|9", "|-1|13"]);
    expect(printed("Cadd9")).toEqual(["", "add|0|9"]);
    expect(printed("C13")).toEqual(["13"]);
    expect(printed("C6/9")).toEqual(["6/9"]);
    expect(printed("C7sus4")).toEqual(["7sus4"]);
  });

  it("prints N.C. where no chord holds", () => {
    const chords = [{ at: beats(0), duration: beats(2), chord: parseChord("Bb7") }];
    const [, none] = deep(parse(writeMusicXml(score({ chords }))), "harmony");
    expect([textOf(none, "kind"), one(none, "kind")?.attributes.text]).toEqual(["none", "N.C."]);
  });

  it("writes one finger a note, above the right hand and below the left", () => {
    const xml = writeMusicXml(
      score({
        right: [{ ...note("0", "4", "C4", "E4", "G4"), fingers: [1, 3, 5] }],
        left: [{ ...note("0", "4", "C3", "Bb3"), fingers: [5, 1] }],
      }),
    );
    const fingers = notesIn(xml).map((n) => deep(n, "fingering").map((f) => `${f.text} ${f.attributes.placement}`));
    expect(fingers).toEqual([["1 above"], ["3 above"], ["5 above"], ["5 below"], ["1 below"]]);
  });

  it("gives each note its own finger; for an engraver's sake a chord with a second keeps them in one column, from the staff outwards", () => {
    const fingered = score({
      right: [{ ...note("0", "4", "E4", "F4", "A4"), fingers: [1, 2, 4] }],
      left: [{ ...note("0", "4", "F3", "A3", "B3", "E4"), fingers: [5, 3, 2, 1] }],
    });
    const fingersIn = (xml: string): readonly string[] =>
      notesIn(xml).map((n) =>
        deep(n, "fingering")
          .map((f) => f.text)
          .join(""),
      );
    expect(fingersIn(writeMusicXml(fingered))).toEqual(["1", "2", "4", "5", "3", "2", "1"]);
    expect(fingersIn(writeMusicXml(fingered, { stackedFingers: true }))).toEqual(["", "", "124", "1235", "", "", ""]);
  });

  it("prints the fingers of what comes for the first time, where the hand turns, or none", () => {
    const line = (at: number): readonly NoteEvent[] =>
      ["C4", "D4", "E4", "F4"].map((name, i) => ({
        ...note(String(at + i), "1", name),
        fingers: [([1, 2, 3, 1] as const)[i] ?? 1],
      }));
    const chord = (at: number, ...names: string[]): NoteEvent => ({
      ...note(String(at), "4", ...names),
      fingers: names.map((_, i) => ([5, 2, 1] as const)[i] ?? 1),
    });
    const twice = score({
      bars: 3,
      right: [...line(0), ...line(4), ...line(8).slice(0, 3)],
      left: [chord(0, "E3", "A3", "D4"), chord(4, "E3", "A3", "D4"), chord(8, "Eb3", "A3", "C4")],
    });
    const printed = (fingers: "all" | "first" | "turns" | "none"): readonly string[] =>
      measuresOf(writeMusicXml(twice, { fingers })).map((measure) =>
        deep(measure, "fingering")
          .map((f) => f.text)
          .join(""),
      );
    expect(printed("all")).toEqual(["1231521", "1231521", "123521"]);
    expect(printed("first")).toEqual(["1231521", "", "123521"]);
    // The thumb goes under after the third finger, and the hand moves down for the next bar.
    expect(printed("turns")).toEqual(["131521", "131", "1521"]);
    expect(printed("none")).toEqual(["", "", ""]);
  });

  it("leaves out slurs and the tempo mark where they are not wanted, and says the tempo all the same", () => {
    const phrased = score({
      right: [note("0", "1", "C4"), note("1", "1", "D4")],
      phrases: [{ at: beats(0), duration: beats(2) }],
      tempo: 132,
    });
    const bare = writeMusicXml(phrased, { slurs: false, tempoMark: false });
    expect(writeMusicXml(phrased)).toMatch(/<slur[\s\S]*|<metronome/);
    expect(bare).not.toMatch(/<slur|<metronome|<words/);
    expect(bare).toContain('<sound tempo="132">');
  });

  it("puts fewer bars on a narrow system", () => {
    const eighths = Array.from({ length: 64 }, (_, i) => note(`${i}/2`, "1/2", "C4"));
    const breaks = (options: object): number =>
      (writeMusicXml(score({ bars: 8, right: eighths }), options).match(/<print new-system/g) ?? []).length;
    expect(breaks({})).toBe(1);
    expect(breaks({ systemWidth: 560 })).toBe(3);
    expect(breaks({ systemWidth: 300 })).toBe(7);
  });

  it("writes grace notes before their note, slurred to it; a slide is a slide, one crushed note is slashed", () => {
    const slide: NoteEvent = {
      ...note("0", "1", "E4"),
      fingers: [2],
      graces: [{ pitch: pitch("Eb4"), style: "slide", finger: 2 }],
    };
    const crushed: NoteEvent = { ...note("1", "1", "C4", "A4"), graces: [{ pitch: pitch("G#4"), style: "crushed" }] };
    const notes = notesIn(writeMusicXml(score({ right: [slide, crushed] })));
    expect(notes.slice(0, 5).map((n) => `${nameOf(n)} ${one(n, "grace")?.attributes.slash ?? "-"}`)).toEqual([
      "Eb4 no",
      "E4 -",
      "G#4 yes",
      "C4 -",
      "A4 -",
    ]);
    const edges = (i: number): readonly string[] =>
      ["slide", "slur"].flatMap((name) => deep(notes[i] as Element, name).map((e) => `${name} ${e.attributes.type}`));
    expect([edges(0), edges(1), edges(2), edges(3), edges(4)]).toEqual([
      ["slide start", "slur start"],
      ["slide stop", "slur stop"],
      ["slur start"],
      [],
      ["slur stop"],
    ]);
    expect(textOf(notes[1], "accidental")).toBe("natural");
  });

  it("slurs a phrase from its first note to the last tied piece of its last", () => {
    const right = [note("0", "1", "C4"), note("1", "2", "D4"), note("7/2", "3/2", "E4")];
    const xml = writeMusicXml(score({ bars: 2, right, phrases: [{ at: beats(0), duration: beats(5) }] }));
    const slurs = measuresOf(xml).map((m) =>
      all(m, "note").flatMap((n) => deep(n, "slur").map((e) => `${nameOf(n)} ${e.attributes.type}`)),
    );
    expect(slurs).toEqual([["C4 start"], ["E4 stop"]]);
  });

  it("reminds after an altered bar, and where another octave is altered", () => {
    const marks = (xml: string): readonly (string | undefined)[] =>
      notesIn(xml)
        .filter((n) => one(n, "pitch"))
        .map((n) => {
          const mark = one(n, "accidental");
          return mark === undefined ? undefined : `${mark.text}${mark.attributes.cautionary === "yes" ? "?" : ""}`;
        });
    expect(
      marks(
        writeMusicXml(score({ bars: 2, right: [note("0", "1", "Eb4"), note("1", "2", "Eb4"), note("4", "4", "E4")] })),
      ),
    ).toEqual(["flat", undefined, "natural?"]);
    expect(marks(writeMusicXml(score({ right: [note("0", "2", "F#4"), note("2", "2", "F5")] })))).toEqual([
      "sharp",
      "natural?",
    ]);
    // Tied over the bar line an accidental is not repeated; struck again it is.
    expect(marks(writeMusicXml(score({ bars: 2, right: [note("0", "5", "Ab4"), note("5", "1", "Ab4")] })))).toEqual([
      "flat",
      undefined,
      "flat",
    ]);
  });

  it("breaks systems every four bars, dense music every two, uneven forms as evenly as they go", () => {
    const breaks = (s: Score, barsPerSystem?: number): readonly string[] =>
      measuresOf(writeMusicXml(s, barsPerSystem === undefined ? {} : { barsPerSystem }))
        .filter((m) => one(m, "print")?.attributes["new-system"] === "yes")
        .map((m) => m.attributes.number ?? "");
    const run = (bars: number, perBar: number): readonly NoteEvent[] =>
      Array.from({ length: bars * perBar }, (_, i) => ({
        at: beatsOf(4 * i, perBar),
        duration: beatsOf(4, perBar),
        pitches: [pitch("C5")],
      }));
    expect(breaks(score({ bars: 12 }))).toEqual(["5", "9"]);
    expect(breaks(score({ bars: 12, pickup: beats(1) }))).toEqual(["5", "9"]);
    expect(breaks(score({ bars: 8, right: run(8, 12) }))).toEqual(["3", "5", "7"]);
    expect(breaks(score({ bars: 6 }))).toEqual(["4"]);
    expect(breaks(score({ bars: 7 }))).toEqual(["5"]);
    expect(breaks(score({ bars: 2, right: run(2, 48) }))).toEqual(["2"]);
    expect(breaks(score({ bars: 6 }), 5)).toEqual(["6"]);
    expect(() => writeMusicXml(score(), { barsPerSystem: 0 })).toThrowError(/musicxml\/systems/);
  });

  it("ends with a final bar line, and escapes what XML would misread", () => {
    const xml = writeMusicXml(score({ bars: 2, title: 'Shells & <rootless> "A"\u0007' }), {
      footer: "Stop at pain & rest.",
    });
    expect(textOf(measuresOf(xml).at(-1), "barline", "bar-style")).toBe("light-heavy");
    expect(xml).toContain("Shells &amp; &lt;rootless&gt;");
    expect(xml).not.toContain("\u0007");
    expect(deep(parse(xml), "credit-words").map((c) => c.text)).toEqual([
      'Shells & <rootless> "A"',
      "Stop at pain & rest.",
    ]);
  });

  it("stems voices apart; the left hand stands in the bass clef, the right where most of its notes lie", () => {
    const xml = writeMusicXml(score({ left: [note("0", "4", "E5"), note("1", "3", "C6")] }));
    expect(deep(parse(xml), "clef").map((c) => textOf(c, "sign"))).toEqual(["G", "F"]);
    const low = writeMusicXml(score({ right: [note("0", "4", "E2")] }));
    expect(deep(parse(low), "clef").map((c) => textOf(c, "sign"))).toEqual(["F", "F"]);
    expect(
      notesIn(xml)
        .filter((n) => textOf(n, "staff") === "2" && one(n, "pitch"))
        .map((n) => `${textOf(n, "voice")} ${textOf(n, "stem")}`),
    ).toEqual(["5 up", "6 down"]);
  });

  it("refuses what can't be printed", () => {
    expect(() => writeMusicXml(score({ right: [note("0", "1/11", "C4")] }))).toThrowError(MusicError);
  });
});
