import fc from "fast-check";
import { XMLValidator } from "fast-xml-parser";
import { describe, expect, it } from "vitest";
import { fingerChord, fingerPassage, fingerScale } from "../../src/fingering/index.ts";
import type { PictureSubject } from "../../src/picture/index.ts";
import { keyboardPicture } from "../../src/picture/index.ts";
import { BLACK, isBlack, keysOf, leftOf, middleOf, rangeAround, WHITE, widthOf } from "../../src/picture/layout.ts";
import { keyColour, parsePitch, pitchFromMidi } from "../../src/pitch/index.ts";
import { voicingsFor } from "../../src/voicing/index.ts";
import type { Node } from "./nodes.ts";
import { nodesOf, textsOf } from "./nodes.ts";

const KEYS = ["C", "Db", "D", "Eb", "E", "F", "F#", "G", "Ab", "A", "Bb", "B"] as const;
const HANDS = ["right", "left"] as const;

const subjects = (): readonly (readonly [string, PictureSubject])[] => [
  ...KEYS.flatMap((key) =>
    HANDS.flatMap((hand) =>
      ["major", "major blues", "minor blues", "chromatic"].map(
        (type) => [`${key} ${type} ${hand}`, fingerScale(`${key} ${type}`, { hand, octaves: 2 })] as const,
      ),
    ),
  ),
  ...["Dm9", "G13", "Cmaj7", "F#m7b5", "Bb7alt"].flatMap((symbol) =>
    (["rootless", "shell", "spread"] as const).flatMap((style) =>
      [...voicingsFor(symbol, { style })].slice(0, 2).map((voicing) => [`${symbol} ${style}`, voicing] as const),
    ),
  ),
  ["chord", fingerChord(["Eb3", "G3", "Bb3", "Db4"].map(parsePitch), { hand: "left" })],
  ["line", fingerPassage("E4 G4 B4 D5 C5 A4 F#4 G4 E4 D4 Eb4 E4 G4".split(" ").map(parsePitch), { hand: "right" })],
  ["marks", [{ pitch: parsePitch("F#4") }, { pitch: parsePitch("A0"), finger: 5, hand: "left" }]],
];

describe("the keyboard", () => {
  it("law: white keys stand side by side, black keys between them without touching, as the colours of the pitches say", () => {
    fc.assert(
      fc.property(fc.integer({ min: 0, max: 60 }), fc.integer({ min: 0, max: 48 }), (lowest, more) => {
        const range = rangeAround(lowest, lowest + more);
        const whites = keysOf(range, false);
        whites.forEach((key, i) => expect(leftOf(key, range)).toBe(i * WHITE.width));
        expect(widthOf(range)).toBe(whites.length * WHITE.width);
        expect([isBlack(range.low), isBlack(range.high)]).toEqual([false, false]);
        expect([range.low <= lowest, range.high >= lowest + more]).toEqual([true, true]);
        const blacks = keysOf(range, true);
        blacks.forEach((key, i) => {
          expect(keyColour(pitchFromMidi(key + 12, "flats"))).toBe("black");
          // Over the line between its white neighbours, clear of the next black key.
          const line = leftOf(key + 1, range);
          expect(leftOf(key, range)).toBeLessThan(line);
          expect(leftOf(key, range) + BLACK.width).toBeGreaterThan(line);
          const next = blacks[i + 1];
          if (next !== undefined) expect(leftOf(next, range)).toBeGreaterThan(leftOf(key, range) + BLACK.width + 8);
        });
      }),
    );
  });
});

describe("a picture", () => {
  it.each(subjects())(
    "law: %s is well formed, named and described, its ids its own, in black, white and greys",
    (_, subject) => {
      const svg = keyboardPicture(subject);
      expect(XMLValidator.validate(svg)).toBe(true);
      const nodes = nodesOf(svg);
      const [root, title, description] = nodes as readonly [Node, Node, Node];
      expect([root.name, root.attributes.role, title.name, description.name]).toEqual(["svg", "img", "title", "desc"]);
      expect(root.attributes["aria-labelledby"]).toBe(`${title.attributes.id} ${description.attributes.id}`);
      expect([title.text.length > 3, description.text.length > 3]).toEqual([true, true]);
      const colours = nodes
        .flatMap(({ attributes }) => [attributes.fill, attributes.stroke])
        .filter((colour) => colour !== undefined && colour !== "none");
      for (const colour of colours) expect(colour).toMatch(/^#([0-9a-f])\1\1$/);
      expect(
        nodes.filter(({ name }) => !["svg", "title", "desc", "g", "rect", "circle", "path", "text"].includes(name)),
      ).toEqual([]);
    },
  );

  it("law: every word and mark lies inside the picture, and the words of the turns do not run into each other", () => {
    for (const [, subject] of subjects()) {
      const nodes = nodesOf(keyboardPicture(subject));
      const [root, group] = [nodes[0] as Node, nodes.find(({ name }) => name === "g") as Node];
      const [, , width, height] = (root.attributes.viewBox as string).split(" ").map(Number) as [
        number,
        number,
        number,
        number,
      ];
      const [dx, dy] = /translate\((\S+) (\S+)\)/
        .exec(group.attributes.transform as string)
        ?.slice(1)
        .map(Number) as [number, number];
      const middle = nodes
        .filter(({ attributes }) => attributes["text-anchor"] === "middle")
        .map(({ attributes, text }) => ({
          x: Number(attributes.x),
          y: Number(attributes.y),
          half: [...text].length * Number(attributes["font-size"]) * 0.3,
          text,
        }));
      for (const { x, y, half } of middle) {
        expect(x + dx - half).toBeGreaterThanOrEqual(0);
        expect(x + dx + half).toBeLessThanOrEqual(width);
        expect(y + dy).toBeGreaterThan(14);
        expect(y + dy).toBeLessThan(height);
      }
      const turns = middle.filter(({ text }) => /under|over/.test(text));
      turns.forEach((a, i) =>
        turns.slice(i + 1).forEach((b) => {
          if (Math.abs(a.y - b.y) < 10) expect(Math.abs(a.x - b.x)).toBeGreaterThanOrEqual(a.half + b.half);
        }),
      );
      for (const { name, attributes } of nodes.filter((node) => node.name === "rect")) {
        expect([name, Number(attributes.width) > 0 && Number(attributes.height) > 0]).toEqual(["rect", true]);
      }
    }
  });

  it("law: each marked key carries its finger over its own key", () => {
    for (const key of KEYS)
      for (const hand of HANDS) {
        const fingering = fingerScale(`${key} major`, { hand, octaves: 1, direction: "up" });
        const range = rangeAround(fingering.pitches[0]!.semitones, fingering.pitches.at(-1)!.semitones);
        const marks = nodesOf(keyboardPicture(fingering)).filter(
          ({ attributes, text }) => /^[1-5]$/.test(text) && attributes["font-weight"] === "bold",
        );
        const expected = fingering.pitches.map((p, i) => [
          Math.round(middleOf(p.semitones, range) * 100) / 100,
          String(fingering.fingers[i]),
        ]);
        expect(marks.map(({ attributes, text }) => [Number(attributes.x), text])).toEqual(expected);
      }
  });

  it("marks the thumb by a filled sign, the left hand by squares", () => {
    const right = nodesOf(keyboardPicture(fingerScale("C major", { hand: "right", direction: "up" })));
    const circles = right.filter(({ name }) => name === "circle");
    expect(circles.map(({ attributes }) => attributes.fill === "#111")).toEqual([
      true,
      false,
      false,
      true,
      false,
      false,
      false,
      false,
    ]);
    const left = nodesOf(keyboardPicture(fingerScale("C major", { hand: "left", direction: "up" })));
    expect(left.filter(({ name }) => name === "circle")).toEqual([]);
  });

  it("common practice, no source: shows where the hand turns in C major blues, up and down", () => {
    const texts = textsOf(keyboardPicture(fingerScale("C major blues", { hand: "right" })));
    expect(texts.filter((text) => /under|over/.test(text))).toEqual([
      "1 under 3 →",
      "← 3 over 1",
      "1 under 3 →",
      "← 3 over 1",
    ]);
    const up = textsOf(keyboardPicture(fingerScale("C major blues", { hand: "right", direction: "up" })));
    expect(up.filter((text) => /under|over/.test(text))).toEqual(["1 under 3 →", "1 under 3 →"]);
    const left = textsOf(keyboardPicture(fingerScale("C major", { hand: "left" })));
    expect(left.filter((text) => /under|over/.test(text))).toEqual(["3 over 1 →", "← 1 under 3"]);
  });

  it("brackets each hand position once, on the first way through", () => {
    const brackets = (subject: PictureSubject) =>
      nodesOf(keyboardPicture(subject)).filter(
        ({ name, attributes }) => name === "path" && /v7 H/.test(attributes.d as string),
      ).length;
    for (const direction of ["up", "down", "up-and-down"] as const)
      expect(brackets(fingerScale("C major blues", { hand: "right", octaves: 2, direction }))).toBe(5);
    expect(brackets(fingerPassage(["C4", "D4", "E4"].map(parsePitch), { hand: "right" }))).toBe(0);
  });

  it("describes every note with its finger in words", () => {
    const description = nodesOf(keyboardPicture(fingerScale("C major blues", { hand: "right", direction: "up" })))[2]
      ?.text;
    expect(description).toBe(
      "Right hand, C4 thumb, D4 2, E♭4 3, E4 thumb (thumb under), G4 2, A4 3, C5 thumb (thumb under).",
    );
  });

  it("prints degrees of a voicing on request, note names by default, or nothing", () => {
    const [voicing] = voicingsFor("Dm9", { style: "rootless" });
    const rows = (names: "notes" | "degrees" | "none") =>
      textsOf(keyboardPicture(voicing!, { names, legend: false, title: "x" })).filter(
        (text) => !/^[1-5x]$/.test(text) || names === "degrees",
      );
    expect(rows("degrees")).toContain("♭3");
    expect(rows("notes").sort()).toEqual(["A", "C", "E", "F"]);
    expect(rows("none")).toEqual([]);
  });

  it("law: any title and description come through as written, and the same input gives the same picture", () => {
    const marks = [{ pitch: parsePitch("C4"), finger: 1 as const }];
    const printable = fc.string({ unit: "grapheme", minLength: 1, maxLength: 60 });
    fc.assert(
      fc.property(printable, printable, (title, description) => {
        const svg = keyboardPicture(marks, { title, description });
        expect(XMLValidator.validate(svg)).toBe(true);
        const nodes = nodesOf(svg);
        expect([nodes[1]?.text, nodes[2]?.text]).toEqual([title, description]);
        expect(keyboardPicture(marks, { title, description })).toBe(svg);
      }),
    );
    expect(() =>
      XMLValidator.validate(keyboardPicture(marks, { title: '</title><script>\u0000\uD800&"' })),
    ).not.toThrow();
    expect(nodesOf(keyboardPicture(marks, { title: '</title><script>\u0000\uD800&"' }))[1]?.text).toBe(
      '</title><script>&"',
    );
  });

  it("gives two different pictures different ids, and takes an id of one's own", () => {
    const id = (svg: string) => nodesOf(svg)[1]?.attributes.id;
    const [a, b] = ["C4", "D4"].map((name) => keyboardPicture([{ pitch: parsePitch(name) }])) as [string, string];
    expect(id(a)).not.toBe(id(b));
    expect(id(keyboardPicture([{ pitch: parsePitch("C4") }], { id: "blues" }))).toBe("blues-title");
  });

  it("law: pictures that reach to the same notes show the same keys, theirs among them", () => {
    const keysIn = (svg: string) =>
      nodesOf(svg)
        .flatMap(({ attributes }) => attributes["data-midi"] ?? [])
        .sort();
    const note = fc.integer({ min: 21, max: 108 }).map((midi) => pitchFromMidi(midi, "flats"));
    fc.assert(
      fc.property(fc.array(note, { minLength: 2, maxLength: 5 }), (reach) => {
        const shown = reach.map((pitch) => keysIn(keyboardPicture([{ pitch }], { reach })));
        for (const keys of shown) expect(keys).toEqual(keysIn(keyboardPicture(reach.map((pitch) => ({ pitch })))));
      }),
      { numRuns: 20 },
    );
    expect(keysIn(keyboardPicture([{ pitch: parsePitch("C4") }]))).toHaveLength(5);
  });

  it("refuses an empty subject, unknown names and ids that are none", () => {
    expect(() => keyboardPicture([])).toThrow("picture/empty");
    expect(() => keyboardPicture([{ pitch: parsePitch("C4") }], { names: "colours" as "notes" })).toThrow(
      "picture/names",
    );
    expect(() => keyboardPicture([{ pitch: parsePitch("C4") }], { id: '1 "' })).toThrow("picture/id");
  });
});
