import { XMLValidator } from "fast-xml-parser";
import { describe, expect, it } from "vitest";
import { makeDrill } from "../../src/drill/index.ts";
import { contourPicture, twelveKeysPicture } from "../../src/picture/index.ts";
import { midiNumber, parsePitch } from "../../src/pitch/index.ts";
import { makeScore } from "../../src/score/index.ts";
import type { Node } from "./nodes.ts";
import { nodesOf, textsOf } from "./nodes.ts";

const line = makeDrill({ key: "Eb", changes: "jazz-blues", right: "improvised", level: 3 }).score;
const PICTURES = [
  ["major, right", twelveKeysPicture("major")],
  ["major, left", twelveKeysPicture("major", { hand: "left", order: "chromatic" })],
  ["chromatic", twelveKeysPicture("chromatic")],
  ["minor blues", twelveKeysPicture("minor blues", { title: "Blues <&>" })],
  ["a line", contourPicture(line)],
  ["a line in one row", contourPicture(line, { barsInRow: 16, width: 2000 })],
] as const;

describe("pictures of keys and lines", () => {
  it.each(PICTURES)(
    "law: %s is well formed, named and described, in black, white and greys, and inside its frame",
    (_, svg) => {
      expect(XMLValidator.validate(svg)).toBe(true);
      const nodes = nodesOf(svg);
      const [root, title, description] = nodes as readonly [Node, Node, Node];
      expect([root.name, root.attributes.role, title.name, description.name]).toEqual(["svg", "img", "title", "desc"]);
      expect(root.attributes["aria-labelledby"]).toBe(`${title.attributes.id} ${description.attributes.id}`);
      expect(description.text.length).toBeGreaterThan(20);
      const colours = nodes
        .flatMap(({ attributes }) => [attributes.fill, attributes.stroke])
        .filter((colour) => colour !== undefined && colour !== "none");
      for (const colour of colours) expect(colour).toMatch(/^#([0-9a-f])\1\1$/);
      for (const { name, attributes } of nodes.filter((node) => node.name === "text" || node.name === "rect")) {
        if (name === "rect")
          expect(Number(attributes.x ?? 0) + Number(attributes.width)).toBeLessThanOrEqual(
            Number(root.attributes.width),
          );
        expect(Number(attributes.y ?? 0)).toBeGreaterThanOrEqual(0);
        expect(Number(attributes.y ?? 0)).toBeLessThanOrEqual(Number(root.attributes.height));
      }
    },
  );
});

describe("a scale in twelve keys", () => {
  // University of Evansville, Scale and Arpeggio Fingerings: major scales of the right hand. C, G, D, A, E and B have 1 2 3 1 2 3 4, F has
  // 1 2 3 4 1 2 3; the thumbs of the flat keys lie on C and F (on F and C♭ in G♭).
  it("puts keys with the same fingers into one group, as published for the right hand's major scales", () => {
    const groups = textsOf(twelveKeysPicture("major")).filter((text) => /^[a-z]: /.test(text));
    expect(groups).toEqual([
      "a: 1 2 3 1 2 3 4 in C, B, E, A, D, G",
      "b: 1 2 3 4 1 2 3 in F",
      "c: 4 1 2 3 1 2 3 in B♭",
      "d: 3 1 2 3 4 1 2 in E♭",
      "e: 3 4 1 2 3 1 2 in A♭",
      "f: 2 3 1 2 3 4 1 in D♭",
      "g: 2 3 4 1 2 3 1 in G♭",
    ]);
  });

  it("has a tile a key in the order asked for, a key a note, and a filled mark for each thumb", () => {
    const svg = twelveKeysPicture("major", { order: "fifths" });
    const names = textsOf(svg).filter((text) => /^[A-G][♭♯]?$/.test(text));
    expect(names).toEqual(["C", "G", "D", "A", "E", "B", "G♭", "D♭", "A♭", "E♭", "B♭", "F"]);
    const marks = nodesOf(svg).filter(({ name }) => name === "circle");
    expect(marks).toHaveLength(12 * 8);
    const fingers = textsOf(svg).filter((text) => /^[1-5]$/.test(text));
    expect(marks.filter(({ attributes }) => attributes.fill === "#111")).toHaveLength(
      fingers.filter((text) => text === "1").length,
    );
    expect(nodesOf(twelveKeysPicture("major", { hand: "left" })).filter(({ name }) => name === "circle")).toEqual([]);
  });

  it("refuses what is no scale", () => {
    expect(() => twelveKeysPicture("nonsense")).toThrowError(
      expect.objectContaining({ code: expect.stringMatching(/^scale/) }),
    );
    expect(() => twelveKeysPicture("major", { id: "1 x" })).toThrowError(
      expect.objectContaining({ code: "picture/id" }),
    );
  });
});

describe("the contour of a line", () => {
  const strokesOf = (svg: string): readonly Node[] =>
    nodesOf(svg).filter(({ name, attributes }) => name === "rect" && attributes.stroke !== undefined);
  const beats = (num: number, den = 1) => ({ num, den });

  it("draws each note as high as it sounds and as long as it lasts, filled where it is a tone of the chord", () => {
    const changes = makeDrill({ key: "C", changes: "Cmaj7 | Cmaj7", right: "improvised" }).score.chords;
    const right = ["C4", "D4", "E4", "C5"].map((name, i) => ({
      at: beats(i),
      duration: beats(i === 3 ? 2 : 1),
      pitches: [parsePitch(name)],
    }));
    const score = makeScore({ key: "C", metre: "4/4", bars: 2, chords: changes.slice(0, 1), right });
    const strokes = strokesOf(contourPicture(score));
    expect(strokes.map(({ attributes }) => attributes.fill)).toEqual(
      ["#111", "#fff", "#111", "#111", "#111"].slice(0, strokes.length),
    );
    const [c, d, e, top] = strokes.map(({ attributes }) => Number(attributes.y));
    // Four units a semitone.
    expect([(c ?? 0) - (d ?? 0), (c ?? 0) - (e ?? 0), (c ?? 0) - (top ?? 0)]).toEqual([8, 16, 48]);
    const [one, , , two] = strokes.map(({ attributes }) => Number(attributes.width));
    expect((two ?? 0) + 1.5).toBeCloseTo(2 * ((one ?? 0) + 1.5), 1);
  });

  it("tells the course of each phrase, and has a bow for it in every row that it reaches", () => {
    const svg = contourPicture(line, { barsInRow: 16 });
    const [, , description] = nodesOf(svg) as readonly [Node, Node, Node];
    expect(description.text.match(/Phrase \d+/g)).toHaveLength(line.phrases?.length ?? 0);
    expect(nodesOf(svg).filter(({ attributes }) => attributes.d?.includes("Q"))).toHaveLength(
      line.phrases?.length ?? 0,
    );
    expect(strokesOf(svg)).toHaveLength(line.right.length);
    const names = description.text.match(/between (\S+) and (\S+)\./g) ?? [];
    expect(names.length).toBeGreaterThan(1);
    const heights = line.right.map(({ pitches }) => midiNumber(pitches.at(-1) ?? parsePitch("C4")));
    expect(Math.max(...heights)).toBeGreaterThan(Math.min(...heights));
  });

  it("refuses a right hand that rests", () => {
    expect(() => contourPicture(makeScore({ key: "C", metre: "4/4", bars: 1 }))).toThrowError(
      expect.objectContaining({ code: "picture/empty" }),
    );
  });
});
