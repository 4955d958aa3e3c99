import { XMLParser, XMLValidator } from "fast-xml-parser";
import { describe, expect, it } from "vitest";
import type { FoundPhrase, Improvisation, NoteEvent, Remark, Score } from "../all.ts";
import {
  assessImprovisation,
  beats,
  beatsOf,
  linePicture,
  makeScore,
  metre,
  parseKey,
  parseProgression,
  pitch,
} from "../all.ts";

type Name = Parameters<typeof pitch>[0];
const note = (at: number, duration: number, ...names: readonly Name[]): NoteEvent => ({
  at: beatsOf(Math.round(at * 4), 4),
  duration: beatsOf(Math.round(duration * 4), 4),
  pitches: names.map(pitch),
});
const phrase = (at: number, duration: number): FoundPhrase => ({
  at: beats(at),
  duration: beats(duration),
  bar: 1,
  beat: beats(1),
  notes: 4,
});
const remark = (fields: Partial<Remark>): Remark => ({
  about: "line",
  id: "range",
  places: [{ bar: 1, beat: beats(1) }],
  text: "Bar 1: high.",
  how: "Lower.",
  ...fields,
});

const score = (fields: Partial<Parameters<typeof makeScore>[0]> = {}): Score =>
  makeScore({ key: parseKey("C"), metre: metre("4/4"), bars: 2, tempo: 60, ...fields });
const heard = (line: readonly NoteEvent[], fields: Partial<Improvisation> = {}): Improvisation => ({
  ...assessImprovisation(score(), [{ midi: 60, onsetSeconds: 0, durationSeconds: 1, velocity: 80 }]),
  line,
  phrases: [],
  say: [],
  ...fields,
});
const found = (svg: string, pattern: RegExp): readonly (readonly number[])[] =>
  [...svg.matchAll(pattern)].map((match) => match.slice(1).map(Number));
/** x, y, width and height of each stroke. */
const strokes = (svg: string) => found(svg, /<rect x="([-\d.]+)" y="([-\d.]+)" width="([-\d.]+)" height="([-\d.]+)"/g);
/** x, and the y of both ends, of each bar line. */
const barLines = (svg: string) => found(svg, /<line x1="([-\d.]+)" y1="([-\d.]+)" x2="[-\d.]+" y2="([-\d.]+)"/g);
/** Start and end of each bow. */
const bows = (svg: string) => found(svg, /<path d="M([-\d.]+) ([-\d.]+)Q[-\d.]+ [-\d.]+ ([-\d.]+) ([-\d.]+)"/g);
const circles = (svg: string) => found(svg, /<circle cx="([-\d.]+)" cy="([-\d.]+)" r="([-\d.]+)"/g);
const words = (svg: string): readonly { readonly x: number; readonly y: number; readonly text: string }[] =>
  [...svg.matchAll(/<text x="([-\d.]+)" y="([-\d.]+)"[^>]*>([^<]*)</g)].map(([, x, y, text]) => ({
    x: Number(x),
    y: Number(y),
    text: text as string,
  }));
const numbers = (svg: string) => words(svg).filter(({ text }) => /^-?\d+$/.test(text));
const value = (cell: number | undefined): number => cell ?? Number.NaN;

describe("line picture", () => {
  it("law: a stroke's place tells its time, its width its length, its height its pitch", () => {
    const svg = linePicture(heard([note(0, 1, "C4"), note(1, 2, "E4"), note(3, 1, "B4"), note(4, 4, "D4")]), score(), {
      barsInRow: 2,
      width: 860,
    });
    const all = strokes(svg);
    expect(all).toHaveLength(4);
    const [lines0, , lines2] = barLines(svg);
    const beat = (value(lines2?.[0]) - value(lines0?.[0])) / 8;
    expect(all.map(([x]) => (value(x) - value(lines0?.[0])) / beat)).toEqual(
      [0, 1, 3, 4].map((at) => expect.closeTo(at, 2)),
    );
    // A little room parts a stroke from the next.
    const room = beat - value(all[0]?.[2]);
    expect(room).toBeGreaterThan(0);
    expect(room).toBeLessThan(beat / 4);
    expect(all.map(([, , width]) => (value(width) + room) / beat)).toEqual(
      [1, 2, 1, 4].map((length) => expect.closeTo(length, 2)),
    );
    const [c, e, b, d] = all.map((stroke) => value(stroke[1])) as [number, number, number, number];
    expect([(c - e) / (c - d), (c - b) / (c - d)]).toEqual([expect.closeTo(2, 6), expect.closeTo(5.5, 6)]);
    expect(c).toBeGreaterThan(d);
    // Between the ends of the bar lines, and of one height.
    expect(value(lines0?.[2]) - Math.max(...all.map(([, y, , height]) => value(y) + value(height)))).toBeLessThan(10);
    expect(Math.min(...all.map(([, y]) => value(y))) - value(lines0?.[1])).toBeLessThan(10);
    for (const { y } of numbers(svg)) expect(y).toBeGreaterThan(value(lines0?.[2]));
    for (const [, y, , height] of all) {
      expect(value(y)).toBeGreaterThan(value(lines0?.[1]));
      expect(value(y) + value(height)).toBeLessThan(value(lines0?.[2]));
    }
  });

  it("keys struck together are strokes one above the other, and a short note can be seen", () => {
    const [low, high] = strokes(linePicture(heard([note(0, 1, "C4", "G4")]), score()));
    expect(low?.[0]).toBe(high?.[0]);
    expect(value(low?.[1])).toBeGreaterThan(value(high?.[1]));
    const tiny = strokes(
      linePicture(heard([{ ...note(0, 1, "C4"), duration: beatsOf(1, 64) }]), score(), { barsInRow: 16, width: 300 }),
    );
    expect(value(tiny[0]?.[2])).toBeGreaterThanOrEqual(2);
  });

  it("bars are numbered from 1 in rows, four where no number is given, with a line at both ends of each", () => {
    const five = score({ bars: 5 });
    const svg = linePicture(heard([note(0, 1, "C4")]), five);
    expect(svg).toBe(linePicture(heard([note(0, 1, "C4")]), five, { barsInRow: 4, width: 900 }));
    expect(numbers(svg).map(({ text }) => text)).toEqual(["1", "2", "3", "4", "5"]);
    // Four bars have five lines; the last has two.
    expect(barLines(svg)).toHaveLength(7);
    expect(barLines(linePicture(heard([note(0, 1, "C4")]), score({ bars: 4 }), { barsInRow: 2 }))).toHaveLength(6);
    for (const [x1, x2] of found(svg, /<line x1="([-\d.]+)" y1="[-\d.]+" x2="([-\d.]+)" y2="[-\d.]+" stroke="#\d+"/g))
      expect(x1).toBe(x2);
    expect(svg.match(/<line [^>]*stroke="#\d+"/g)).toHaveLength(7);
    const [first, second, , , last] = numbers(svg);
    expect(last?.x).toBe(first?.x);
    expect(last?.y).toBeGreaterThan(first?.y as number);
    expect(second?.y).toBe(first?.y);
    const lines = barLines(svg);
    expect(lines[5]?.[0]).toBe(lines[0]?.[0]);
    expect(lines.slice(1, 5).map(([x], i) => (value(x) - value(lines[0]?.[0])) / (i + 1))).toEqual(
      Array.from({ length: 4 }, () => expect.closeTo((value(lines[4]?.[0]) - value(lines[0]?.[0])) / 4, 0)),
    );
    // A bar's number stands beside its line, under the lane; a row's lane ends before the next begins.
    numbers(svg).forEach(({ x, y }, i) => {
      const row = i < 4 ? 0 : 1;
      const barLine = lines[i + row];
      expect(x - value(barLine?.[0])).toBeGreaterThan(0);
      expect(x - value(barLine?.[0])).toBeLessThan(10);
      expect(y).toBeGreaterThan(value(barLine?.[2]));
    });
    expect(value(lines[5]?.[1])).toBeGreaterThan(first?.y as number);
    expect(numbers(linePicture(heard([note(0, 1, "C4")]), five, { barsInRow: 2.9 })).map(({ y }) => y)).toEqual(
      numbers(linePicture(heard([note(0, 1, "C4")]), five, { barsInRow: 2 })).map(({ y }) => y),
    );
  });

  it("law: everything lies inside the picture, the bars fill its width, and each row adds the same height", () => {
    const line = [note(0, 1, "C4"), note(8, 12, "C5"), note(30, 2, "E4")];
    const heights = [8, 4, 2, 1].map((barsInRow) => {
      const svg = linePicture(
        heard(line, { phrases: [phrase(0, 32)], say: [remark({}), remark({ places: [{ bar: 8, beat: beats(4) }] })] }),
        score({ bars: 8 }),
        { barsInRow, width: 640 },
      );
      const [, width, height] = /viewBox="0 0 (\d+) ([\d.]+)"/.exec(svg)?.map(Number) as [number, number, number];
      expect(width).toBe(640);
      for (const [x, y, w, h] of strokes(svg)) {
        expect(value(x)).toBeGreaterThan(0);
        expect(value(x) + value(w)).toBeLessThan(640);
        expect(value(y) + value(h)).toBeLessThan(height);
      }
      for (const { x, y } of words(svg)) {
        expect(x).toBeGreaterThan(0);
        expect(x).toBeLessThan(640);
        expect(y).toBeLessThan(height);
      }
      for (const [, y] of circles(svg)) expect(value(y)).toBeLessThan(height - 7);
      const right = Math.max(...barLines(svg).map(([x]) => value(x)));
      expect(right).toBeGreaterThan(600);
      expect(right).toBeLessThan(640);
      return height;
    }) as [number, number, number, number];
    const row = heights[1] - heights[0];
    expect(row).toBeGreaterThan(0);
    expect([heights[2] - heights[1], heights[3] - heights[2]]).toEqual([2 * row, 4 * row]);
  });

  it("a note over the end of a row goes on in the next; so does a bow", () => {
    const svg = linePicture(heard([note(2, 4, "C4"), note(6, 2, "E4")], { phrases: [phrase(2, 6)] }), score(), {
      barsInRow: 1,
    });
    const all = strokes(svg);
    expect(all).toHaveLength(3);
    const [start, end] = [barLines(svg)[0], barLines(svg)[1]].map((line) => value(line?.[0])) as [number, number];
    expect(value(all[0]?.[0])).toBeCloseTo((start + end) / 2, 0);
    expect(value(all[0]?.[0]) + value(all[0]?.[2])).toBeGreaterThan(end - 5);
    expect(value(all[0]?.[0]) + value(all[0]?.[2])).toBeLessThan(end);
    expect(value(all[1]?.[0])).toBeCloseTo(start, 0);
    expect(value(all[1]?.[0]) + value(all[1]?.[2])).toBeCloseTo((start + end) / 2, -1);
    expect(value(all[1]?.[1])).toBeGreaterThan(value(all[0]?.[1]));
    expect(bows(svg).map(([from, , to]) => [from, to])).toEqual([
      [expect.closeTo((start + end) / 2, 0), expect.closeTo(end, 0)],
      [expect.closeTo(start, 0), expect.closeTo(end, 0)],
    ]);
    // Under the notes of its row.
    expect(value(bows(svg)[0]?.[1])).toBeGreaterThan(value(barLines(svg)[0]?.[2]) - 1);
    expect(value(bows(svg)[1]?.[1])).toBeGreaterThan(value(barLines(svg)[2]?.[2]) - 1);
    for (const [from, y, middle, low, to] of found(
      svg,
      /<path d="M([-\d.]+) ([-\d.]+)Q([-\d.]+) ([-\d.]+) ([-\d.]+)/g,
    )) {
      expect(value(middle)).toBeCloseTo((value(from) + value(to)) / 2, 0);
      expect(value(low)).toBeGreaterThan(value(y));
    }
    // A note that ends where a row ends is whole in it.
    expect(strokes(linePicture(heard([note(0, 4, "C4")]), score(), { barsInRow: 1 }))).toHaveLength(1);
  });

  it("room for notes before bar 1 and after the written end", () => {
    const led = linePicture(heard([note(-1, 1, "C4"), note(0, 4, "D4")]), score());
    expect(numbers(led).map(({ text }) => text)).toEqual(["0", "1", "2"]);
    const [before, first] = strokes(led);
    const lines = barLines(led);
    expect(value(first?.[0])).toBeCloseTo(value(lines[1]?.[0]), 1);
    expect(value(first?.[2]) / (value(lines[2]?.[0]) - value(lines[1]?.[0]))).toBeCloseTo(1, 1);
    expect((value(before?.[0]) - value(lines[0]?.[0])) / (value(lines[1]?.[0]) - value(lines[0]?.[0]))).toBeCloseTo(
      0.75,
      1,
    );
    expect(numbers(linePicture(heard([note(0, 4, "C4"), note(11, 2, "C4")]), score())).map(({ text }) => text)).toEqual(
      ["1", "2", "3", "4"],
    );
    // A line that comes in later still has the bars before it.
    expect(numbers(linePicture(heard([note(5, 1, "C4")]), score())).map(({ text }) => text)).toEqual(["1", "2"]);
  });

  it("chords stand over the place where each begins, also where there is none", () => {
    const chart = parseProgression("Cmaj7 | N.C. | F7 G7");
    const svg = linePicture(heard([note(0, 1, "C4")]), score({ bars: 3, chords: chart.chords }), { barsInRow: 2 });
    const named = words(svg).filter(({ text }) => /^(C|N|F|G)/.test(text));
    expect(named.map(({ text }) => text)).toEqual(["Cmaj7", "N.C.", "F7", "G7"]);
    const lines = barLines(svg);
    const near = (x: number | undefined, line: number): void => {
      expect(value(x) - line).toBeGreaterThan(0);
      expect(value(x) - line).toBeLessThan(10);
    };
    near(named[0]?.x, value(lines[0]?.[0]));
    near(named[1]?.x, value(lines[1]?.[0]));
    near(named[2]?.x, value(lines[0]?.[0]));
    near(named[3]?.x, (value(lines[0]?.[0]) + value(lines[1]?.[0])) / 2);
    expect(named[0]?.y).toBeLessThan(value(lines[0]?.[1]));
    expect(named[0]?.y).toBeGreaterThan(words(svg)[0]?.y as number);
    // One that sounds before all that is shown is not named.
    const [first] = chart.chords;
    const early = {
      ...score({ bars: 1, pickup: beats(1) }),
      chords: [
        { at: beats(-1), duration: beats(1), chord: first?.chord },
        { at: beats(0), duration: beats(4), chord: undefined },
      ],
    };
    expect(
      words(linePicture(heard([note(0, 1, "C4")]), early))
        .map(({ text }) => text)
        .slice(1),
    ).toEqual(["1", "N.C."]);
    expect(named[2]?.y).toBeLessThan(value(lines[3]?.[1]));
    expect(named[2]?.y).toBeGreaterThan(value(lines[0]?.[2]));
  });

  it("each place of a remark on the line bears its number, by bar and beat; those of the left hand none", () => {
    const say = [
      remark({
        places: [
          { bar: 1, beat: beats(3) },
          { bar: 2, beat: beats(1) },
        ],
      }),
      remark({ about: "left-hand", places: [{ bar: 1 }], text: "Late." }),
      remark({ places: [{ bar: 2, beat: beatsOf(5, 2) }] }),
      remark({ places: [{ bar: 99, beat: beats(1) }] }),
      remark({ places: [{ bar: 1 }] }),
    ];
    const svg = linePicture(heard([note(0, 1, "C4")], { say }), score(), { barsInRow: 2 });
    const marks = circles(svg);
    expect(marks).toHaveLength(4);
    const lines = barLines(svg);
    const bar = value(lines[1]?.[0]) - value(lines[0]?.[0]);
    const base = value(marks[3]?.[0]);
    expect(marks.map(([x]) => (value(x) - base) / bar)).toEqual(
      [0.5, 1, 1.375, 0].map((place) => expect.closeTo(place, 2)),
    );
    expect(base - value(lines[0]?.[0])).toBeGreaterThan(0);
    expect(base - value(lines[0]?.[0])).toBeLessThan(10);
    for (const [, y] of marks) expect(value(y)).toBeGreaterThan(value(lines[0]?.[2]));
    const inside = marks.map(
      ([x, y]) => numbers(svg).find((one) => one.x === x && Math.abs(one.y - value(y)) < 6)?.text,
    );
    expect(inside).toEqual(["1", "1", "3", "5"]);
    expect(svg.match(/<text [^>]*text-anchor="middle">\d</g)).toHaveLength(4);
    // In 6/8 the beats are dotted quarter notes.
    const six = linePicture(
      heard([note(0, 1, "C4")], {
        say: [
          remark({
            places: [
              { bar: 1, beat: beats(1) },
              { bar: 1, beat: beats(2) },
            ],
          }),
        ],
      }),
      score({ metre: metre("6/8") }),
      { barsInRow: 1 },
    );
    const [one, two] = circles(six).map(([x]) => value(x)) as [number, number];
    expect((two - one) / (value(barLines(six)[1]?.[0]) - value(barLines(six)[0]?.[0]))).toBeCloseTo(0.5, 2);
  });

  it("tells in words what is drawn, whatever is in the title", () => {
    const svg = linePicture(
      heard([note(0, 1, "E4"), note(1, 1, "C4", "Bb4")], {
        title: 'A <b> & "c"',
        phrases: [phrase(0, 2)],
        say: [remark({}), remark({ about: "left-hand", text: "Late." })],
      }),
      score(),
    );
    expect(XMLValidator.validate(svg)).toBe(true);
    const { svg: root } = new XMLParser({ ignoreAttributes: false }).parse(svg);
    expect(root["#text"]).toBeUndefined();
    expect(root.rect[0]).toMatchObject({ "@_width": root["@_width"], "@_height": root["@_height"], "@_fill": "#fff" });
    expect(root.title["#text"]).toBe('The line as it was heard: A <b> & "c"');
    expect(root["@_aria-labelledby"]).toBe("line-title line-desc");
    expect([root.title["@_id"], root.desc["@_id"], root["@_role"]]).toEqual(["line-title", "line-desc", "img"]);
    const description = root.desc["#text"] as string;
    for (const fact of ["2 notes in 1 phrase,", "from C4 to B♭4", " Bar 1: high."]) expect(description).toContain(fact);
    expect(description).not.toContain("Late.");
    expect(words(svg)[0]?.text).toContain("The line as it was heard: A ");
    expect(linePicture(heard([note(0, 1, "E4")], { title: "" }), score())).toContain(
      ">The line as it was heard</title>",
    );
  });

  it("refuses sizes out of range", () => {
    for (const options of [{ barsInRow: 1 }, { barsInRow: 16 }, { width: 300 }, { width: 4000 }])
      expect(linePicture(heard([note(0, 1, "C4")]), score(), options)).toContain("<svg");
    for (const options of [
      { barsInRow: 0.9 },
      { barsInRow: 17 },
      { width: 299 },
      { width: 4001 },
      { width: Number.NaN },
    ]) {
      expect(() => linePicture(heard([note(0, 1, "C4")]), score(), options)).toThrowError(
        expect.objectContaining({ code: "picture/argument", input: Object.values(options)[0] }),
      );
    }
  });
});
