import { XMLParser, XMLValidator } from "fast-xml-parser";
import { describe, expect, it } from "vitest";
import type { Assessment } from "../all.ts";
import {
  assessTake,
  beatsOf,
  makeDrill,
  makeScore,
  metre,
  parseKey,
  pitch,
  simulateTake,
  timingPicture,
} from "../all.ts";

const score = makeDrill({ key: "Eb", repeats: 2, pickup: true }).score;
const assess = () =>
  assessTake(
    score,
    simulateTake(score, { seed: 4, jitterMs: 20, wrong: 0.1, missed: 0.1, extra: 0.1, restarts: 1 }).played,
  );

interface Circle {
  readonly "@_cx": string;
  readonly "@_cy": string;
}

describe("timing picture", () => {
  it("is well-formed, with a title and a description in words", () => {
    const assessment = assess();
    const svg = timingPicture(assessment);
    expect(XMLValidator.validate(svg)).toBe(true);
    const { svg: root } = new XMLParser({ ignoreAttributes: false }).parse(svg);
    expect(root.title["#text"]).toBe("Timing of a take: Turnaround in E♭");
    expect(root.desc["#text"]).toContain(
      `${assessment.accuracy.right} of ${assessment.accuracy.asked} notes are right.`,
    );
    expect(root["@_aria-labelledby"]).toBe("timing-title timing-desc");
  });

  it("law: every note is one mark, and nothing is told by colour", () => {
    const assessment = assess();
    const svg = timingPicture(assessment);
    const count = (pattern: RegExp): number => [...svg.matchAll(pattern)].length;
    const { right, wrong, missed, extra } = assessment.accuracy;
    // The legend shows each mark once, and a right note of an earlier run.
    expect(count(/<circle /g)).toBe(right + 2);
    expect(count(/<rect x=/g)).toBe(wrong + 1);
    expect(count(/<path /g)).toBe(missed + extra + 2);
    expect(svg).not.toMatch(/#(?!000|fff|777|999)[0-9a-f]{3}/i);
  });

  it("law: a late note lies below an early one, and every mark inside the picture", () => {
    const right = [0, 1, 2, 3, 4, 5, 6, 7].map((i) => ({
      at: beatsOf(i, 1),
      duration: beatsOf(1, 1),
      pitches: [pitch("C4")],
    }));
    const plain = makeScore({ key: parseKey("C"), metre: metre("4/4"), bars: 2, right });
    const off = [0, 0, 40, 0, -40, 0, 900, 0];
    const { played } = simulateTake(plain);
    const late = assessTake(
      plain,
      played.map((note, i) => ({ ...note, onsetSeconds: note.onsetSeconds + (off[i] as number) / 1000 })).slice(0, 6),
    );
    const { svg: root } = new XMLParser({ ignoreAttributes: false }).parse(
      timingPicture(late, { width: 500, barsInRow: 2 }),
    );
    const circles = root.circle as readonly Circle[];
    expect(Number(circles[2]?.["@_cy"])).toBeGreaterThan(Number(circles[4]?.["@_cy"]));
    for (const circle of circles) {
      expect(Number(circle["@_cx"])).toBeGreaterThan(0);
      expect(Number(circle["@_cx"])).toBeLessThan(500);
      expect(Number(circle["@_cy"])).toBeLessThan(Number(root["@_height"]));
    }
  });

  it("writes titles as text, whatever is in them, and refuses sizes out of range", () => {
    const assessment = assess();
    const odd = timingPicture({ ...assessment, title: '<b> & "c"' });
    expect(XMLValidator.validate(odd)).toBe(true);
    expect(odd).toContain("&lt;b&gt; &amp; &quot;c&quot;");
    for (const options of [{ width: 1 }, { barsInRow: 0 }, { edgeMs: Number.NaN }]) {
      expect(() => timingPicture(assessment, options)).toThrowError(
        expect.objectContaining({ code: "picture/argument" }),
      );
    }
  });

  /** Two bars of quarter notes, each note told of as wanted; nothing else is drawn in the lanes but marks. */
  const told = (
    fields: Partial<Assessment["alignment"]["notes"][number]>[],
    others: Partial<Assessment["alignment"]> = {},
    rest: Partial<Assessment> = {},
  ): Assessment => {
    const right = Array.from({ length: 8 }, (_, i) => ({
      at: beatsOf(i, 1),
      duration: beatsOf(1, 1),
      pitches: [pitch("C4")],
    }));
    const plain = makeScore({ key: parseKey("C"), metre: metre("4/4"), bars: 2, right });
    const clean = assessTake(plain, simulateTake(plain).played);
    return {
      ...clean,
      ...rest,
      alignment: {
        ...clean.alignment,
        runs: [clean.alignment.runs[0] as Assessment["alignment"]["runs"][number]],
        notes: fields.map((one, i) => ({
          state: "right",
          run: 0,
          hand: "right",
          asked: i,
          heard: i,
          offMs: 0,
          ...one,
        })),
        ...others,
      },
    };
  };
  const marks = (text: string, pattern: RegExp): readonly (readonly number[])[] =>
    [...text.matchAll(pattern)].map((found) => found.slice(1).map(Number));
  const circles = (text: string) => marks(text, /<circle cx="([\d.]+)" cy="([\d.]+)" r="([\d.]+)"/g);

  it("law: time runs evenly from left to right, lateness down to the edge of the lane and no further", () => {
    // Each stands under the moment that it was asked for, whenever it was heard.
    const text = timingPicture(
      told([0, 50, -50, 100, -100, 400, -400, 25].map((offMs, i) => ({ offMs, heard: i + offMs / 500 }))),
      { barsInRow: 2, width: 900, edgeMs: 100 },
    );
    const dots = circles(text).slice(0, 8);
    const step = (dots[1]?.[0] as number) - (dots[0]?.[0] as number);
    dots.forEach((dot, i) => expect(dot[0]).toBeCloseTo((dots[0]?.[0] as number) + i * step, 0));
    const middle = dots[0]?.[1] as number;
    const lane = (dots[3]?.[1] as number) - middle;
    expect(lane).toBeGreaterThan(20);
    expect(dots.map((dot) => ((dot[1] as number) - middle) / lane)).toEqual(
      [0, 0.5, -0.5, 1, -1, 1, -1, 0.25].map((share) => expect.closeTo(share, 2)),
    );
    // Twice the edge halves what is seen; 100 ms is the edge where none is given.
    const wide = circles(timingPicture(told([{ offMs: 50 }]), { edgeMs: 200 }));
    expect((wide[0]?.[1] as number) - middle).toBeCloseTo(lane / 4, 0);
    expect(timingPicture(told([{ offMs: 50 }]), { edgeMs: 100 })).toBe(timingPicture(told([{ offMs: 50 }])));
    expect(text).toContain("edge of a lane: 100 ms");
    expect(timingPicture(told([]), { edgeMs: 60 })).toContain("edge of a lane: 60 ms");
  });

  it("bars in rows, four where no number is given, and numbered", () => {
    const numbers = (text: string): readonly string[] =>
      [...text.matchAll(/font-size="11">(\d+)</g)].map((found) => found[1] as string);
    const height = (text: string): number => Number(/height="(\d+)"/.exec(text)?.[1]);
    const nine = told([{}], {}, { bars: 9 });
    expect(numbers(timingPicture(nine))).toEqual(["1", "2", "3", "4", "5", "6", "7", "8", "9"]);
    expect(timingPicture(nine)).toBe(timingPicture(nine, { barsInRow: 4, width: 900 }));
    const rows = [9, 5, 3, 2, 1].map((barsInRow) => height(timingPicture(nine, { barsInRow })));
    // One, two, three, five and nine rows: even steps.
    const row = (rows[1] as number) - (rows[0] as number);
    expect(row).toBeGreaterThan(84);
    expect(rows).toEqual([1, 2, 3, 5, 9].map((count) => (rows[0] as number) + (count - 1) * row));
    // The first note of the second row stands under that of the first.
    const dots = circles(timingPicture(told([{}, {}, {}, {}, {}]), { barsInRow: 1 }));
    expect(dots[4]?.[0]).toBe(dots[0]?.[0]);
    expect((dots[4]?.[1] as number) - (dots[0]?.[1] as number)).toBeCloseTo(row, 1);
    for (const options of [
      { barsInRow: 1 },
      { barsInRow: 16 },
      { edgeMs: 20 },
      { edgeMs: 500 },
      { width: 300 },
      { width: 4000 },
    ])
      expect(timingPicture(nine, options)).toContain("<svg");
    for (const options of [
      { barsInRow: 17 },
      { barsInRow: 0.9 },
      { edgeMs: 19 },
      { edgeMs: 501 },
      { width: 299 },
      { width: 4001 },
    ]) {
      expect(() => timingPicture(nine, options)).toThrowError(
        expect.objectContaining({ code: "picture/argument", input: Object.values(options)[0] }),
      );
    }
  });

  it("marks by what became of a note, smaller and hollow in an earlier run; what was left out is missed", () => {
    const two = told(
      [
        { state: "right" },
        { state: "wrong" },
        { state: "missed" },
        { state: "extra", asked: undefined as never, heard: 3 },
        { run: 1 },
      ],
      { leftOut: [5, 6], runs: told([]).alignment.runs.concat(told([]).alignment.runs) },
    );
    const text = timingPicture(two);
    const [earlier, last] = circles(text);
    expect(earlier?.[2]).toBeLessThan(last?.[2] as number);
    expect(text.match(/<circle[^>]*fill="#fff" stroke="#000"/g)).toHaveLength(2);
    expect(text.match(/<circle[^>]*fill="#000"/g)).toHaveLength(2);
    // Squares, diagonal and upright crosses, each once more in the legend.
    expect(text.match(/<rect x=/g)).toHaveLength(2);
    expect(text.match(/<path d="M[\d.]+ [\d.]+L/g)).toHaveLength(1 + 2 + 1);
    expect(text.match(/<path d="M[\d.]+ [\d.]+H/g)).toHaveLength(2);
    for (const words of ["wrong key", "missed", "extra", "right, in an earlier run"])
      expect(text).toContain(`>${words}<`);
    expect(timingPicture(told([{}]))).not.toContain("earlier run");
    // A cross stands where its note was asked for: under the dots of the same moment in another take.
    const where = (pattern: RegExp): number => Number(pattern.exec(text)?.[1]);
    const dots = circles(timingPicture(told([{}, {}, {}, {}])));
    expect(where(/<rect x="([\d.]+)" y/) + 3.2).toBeCloseTo(dots[1]?.[0] as number, 1);
    expect(where(/<path d="M([\d.]+) [\d.]+L/) + 3.2).toBeCloseTo(dots[2]?.[0] as number, 1);
    expect(where(/<path d="M([\d.]+) [\d.]+H/) + 3.2).toBeCloseTo(dots[3]?.[0] as number, 1);
  });

  it("a lane for each hand that the score has, and room for a pickup", () => {
    expect(timingPicture(told([{}]))).not.toContain(">Left<");
    const both = timingPicture(assess());
    expect([
      both.includes(">Right<"),
      both.includes(">Left<"),
      both.indexOf(">Right<") < both.indexOf(">Left<"),
    ]).toEqual([true, true, true]);
    const right = [
      { at: beatsOf(-1, 1), duration: beatsOf(1, 1), pitches: [pitch("C4")] },
      { at: beatsOf(0, 1), duration: beatsOf(1, 1), pitches: [pitch("E4")] },
    ];
    const led = makeScore({ key: parseKey("C"), metre: metre("4/4"), bars: 1, pickup: beatsOf(1, 1), right });
    const text = timingPicture(assessTake(led, simulateTake(led).played));
    const [first, second] = circles(text);
    // Its bar line is a beat further right than that of a score without one.
    expect(second?.[0]).toBeGreaterThan(first?.[0] as number);
    expect(first?.[0]).toBeCloseTo(circles(timingPicture(told([{}])))[0]?.[0] as number, 1);
  });

  it("says in words how late each hand is, and what was told", () => {
    const described = (meanMs: number): string => {
      const one = told([{}]);
      const { svg: root } = new XMLParser({ ignoreAttributes: false }).parse(
        timingPicture({
          ...one,
          hands: [
            {
              ...(one.hands[0] as Assessment["hands"][number]),
              timing: { moments: 8, meanMs, meanBeats: 0, spreadMs: 12.4, spreadBeats: 0 },
            },
          ],
        }),
      );
      return root.desc["#text"];
    };
    expect(described(30.4)).toContain("The right hand is on the whole 30 milliseconds late, with a spread of 12.");
    expect(described(-30.4)).toContain("The right hand is on the whole 30 milliseconds early");
    expect(described(5)).toMatch(/^8 of 8 notes are right\. The right/);
    const heard = assess();
    for (const finding of heard.say)
      expect(timingPicture(heard).replaceAll("&quot;", '"').replaceAll("&amp;", "&")).toContain(finding.message);
    expect(timingPicture(told([{}]))).toContain(">Timing of a take</title>");
  });

  /** Two hands, a beat of pickup, five bars, two in a row. */
  const laid = (fields: Partial<Assessment> = {}): string => {
    const right = Array.from({ length: 21 }, (_, i) => ({
      at: beatsOf(i - 1, 1),
      duration: beatsOf(1, 1),
      pitches: [pitch("C5")],
    }));
    const left = Array.from({ length: 5 }, (_, i) => ({
      at: beatsOf(4 * i, 1),
      duration: beatsOf(4, 1),
      pitches: [pitch("C3")],
    }));
    const plain = makeScore({ key: parseKey("C"), metre: metre("4/4"), bars: 5, pickup: beatsOf(1, 1), right, left });
    return timingPicture({ ...assessTake(plain, simulateTake(plain).played), ...fields }, { barsInRow: 2, width: 800 });
  };
  type Line = readonly [x1: number, y1: number, x2: number, y2: number];
  const lines = (
    text: string,
    pattern = /<line x1="([-\d.]+)" y1="([-\d.]+)" x2="([-\d.]+)" y2="([-\d.]+)"/g,
  ): readonly Line[] => marks(text, pattern) as unknown as readonly Line[];
  const words = (
    text: string,
  ): readonly { readonly x: number; readonly y: number; readonly style: string; readonly text: string }[] =>
    [...text.matchAll(/<text x="([-\d.]+)" y="([-\d.]+)"([^>]*)>([^<]*)</g)].map(([, x, y, style, said]) => ({
      x: Number(x),
      y: Number(y),
      style: style as string,
      text: said as string,
    }));

  it("a lane has a whole line in the middle, a broken one at either edge, bar lines from edge to edge, and its names beside it", () => {
    const text = laid();
    const all = lines(text);
    const flat = all.filter(([, y1, , y2]) => y1 === y2);
    const broken = new Set(
      lines(
        text,
        /<line x1="([-\d.]+)" y1="([-\d.]+)" x2="([-\d.]+)" y2="([-\d.]+)" stroke="#\d+" stroke-width="[\d.]+" stroke-dasharray/g,
      ).map(String),
    );
    const middles = flat.filter((one) => !broken.has(String(one)));
    const edges = flat.filter((one) => broken.has(String(one)));
    const upright = all.filter(([x1, , x2]) => x1 === x2);
    // Three rows of two hands.
    expect([middles.length, edges.length]).toEqual([6, 12]);
    let below = 30;
    middles.forEach(([start, y, end], i) => {
      const row = Math.floor(i / 2);
      const own = edges.slice(2 * i, 2 * i + 2);
      expect(own.map(([x1, , x2]) => [x1, x2])).toEqual([
        [start, end],
        [start, end],
      ]);
      const [upper, lower] = own.map(([, at]) => at).sort((a, b) => a - b) as [number, number];
      expect(y - upper).toBeCloseTo(lower - y, 6);
      expect(upper).toBeGreaterThan(below);
      below = lower;
      const bars = upright.filter(([, top, , bottom]) => top === upper && bottom === lower).map(([x]) => x);
      expect(bars).toHaveLength(row === 2 ? 2 : 3);
      expect(bars.at(-1)).toBeCloseTo(end, 1);
      // The pickup is a quarter of a bar, in the first row alone.
      const bar = (bars[1] as number) - (bars[0] as number);
      expect(((bars[0] as number) - start) / bar).toBeCloseTo(row === 0 ? 0.25 : 0, 2);
      if (row < 2) {
        expect((bars[2] as number) - (bars[1] as number)).toBeCloseTo(bar, 0);
        expect(end).toBeGreaterThan(770);
        expect(end).toBeLessThan(800);
      }
      const [name, early, late] = [i % 2 === 0 ? "Right" : "Left", "early", "late"].map(
        (said) => words(text).filter((one) => one.text === said && one.x < start && Math.abs(one.y - y) < 50)[0],
      );
      expect(Math.abs((name?.y as number) - y - 4)).toBeLessThan(5);
      expect([early?.style, late?.style]).toEqual([expect.stringContaining("end"), expect.stringContaining("end")]);
      expect([
        (early?.y as number) > upper + 5,
        (early?.y as number) < y,
        (late?.y as number) > y,
        (late?.y as number) < lower,
      ]).toEqual([true, true, true, true]);
      // The numbers of the bars stand over the upper lane, each beside its line.
      if (i % 2 === 0) {
        bars.slice(0, -1).forEach((x, k) => {
          const number = words(text).find((one) => one.text === String(2 * row + k + 1)) as { x: number; y: number };
          expect([
            number.x > x,
            number.x < x + 10,
            upper > number.y,
            number.y > (i === 0 ? 30 : (middles[i - 1] as Line)[1] + 42),
          ]).toEqual([true, true, true, true]);
        });
      }
    });
    expect(upright).toHaveLength(2 * (3 + 3 + 2));
    // Notes on time lie on the middle of their own lane, the left hand's on the lower.
    const dots = circles(text).slice(0, -1);
    expect(dots).toHaveLength(26);
    for (const [, y] of dots) expect(middles.map(([, at]) => at)).toContain(y);
    expect([0, 2, 4].map((lane) => dots.filter(([, y]) => y === middles[lane]?.[1]).length)).toEqual([9, 8, 4]);
    expect([1, 3, 5].map((lane) => dots.filter(([, y]) => y === middles[lane]?.[1]).length)).toEqual([2, 2, 1]);
    const firsts = upright.map(([x]) => x);
    expect(text.match(/<line [^>]*stroke="#\d+"/g)).toHaveLength(all.length);
    for (const lane of [1, 3, 5])
      for (const [x] of dots.filter(([, y]) => y === middles[lane]?.[1]))
        expect(firsts.some((at) => Math.abs(at - (x as number)) < 0.2)).toBe(true);
  });

  it("what was played after the end stands at the end of the last row", () => {
    const text = timingPicture(
      told([
        {},
        { state: "extra", asked: undefined as never, heard: 8 },
        { state: "extra", asked: undefined as never, heard: 11 },
      ]),
      { barsInRow: 1 },
    );
    const ends = [
      ...new Set(
        lines(text)
          .filter(([, y1, , y2]) => y1 === y2)
          .map(([, , x2]) => x2),
      ),
    ];
    const crosses = marks(text, /<path d="M([\d.]+) ([\d.]+)H([\d.]+)/g).slice(0, 2);
    const lanes = lines(text)
      .filter(([, y1, , y2]) => y1 === y2)
      .map(([, y]) => y);
    for (const [from, y, to] of crosses) {
      expect(((from as number) + (to as number)) / 2).toBeCloseTo(ends[0] as number, 0);
      expect(lanes.slice(3)).toContain(y);
    }
  });

  it("a mark's strokes cross at its place: a square about it, a diagonal and an upright cross", () => {
    const text = timingPicture(
      told([{ state: "wrong" }, { state: "missed" }, { state: "extra", asked: undefined as never, heard: 2 }]),
    );
    const dots = circles(timingPicture(told([{}, {}, {}])));
    const [x, y, width, height] = marks(
      text,
      /<rect x="([\d.]+)" y="([\d.]+)" width="([\d.]+)" height="([\d.]+)"/g,
    )[0] as number[] as [number, number, number, number];
    expect(width).toBe(height);
    expect([x + width / 2, y + height / 2]).toEqual([
      expect.closeTo(dots[0]?.[0] as number, 0),
      expect.closeTo(dots[0]?.[1] as number, 0),
    ]);
    const n = "([\\d.]+)";
    const diagonal = marks(text, new RegExp(`M${n} ${n}L${n} ${n}M${n} ${n}L${n} ${n}`, "g"))[0] as number[];
    const [ax, ay, bx, by, cx, cy, dx, dy] = diagonal as [
      number,
      number,
      number,
      number,
      number,
      number,
      number,
      number,
    ];
    for (const [p, q, at] of [
      [ax, bx, dots[1]?.[0]],
      [ay, by, dots[1]?.[1]],
      [cx, dx, dots[1]?.[0]],
      [cy, dy, dots[1]?.[1]],
    ] as const)
      expect((p + q) / 2).toBeCloseTo(at as number, 0);
    expect([bx - ax > 4, by - ay > 4, dx - cx > 4, cy - dy > 4]).toEqual([true, true, true, true]);
    const [hx, hy, hx2, vx, vy, vy2] = marks(
      text,
      new RegExp(`M${n} ${n}H${n}M${n} ${n}V${n}`, "g"),
    )[0] as number[] as [number, number, number, number, number, number];
    expect([hx2 - hx > 4, vy2 - vy > 4]).toEqual([true, true]);
    expect([(hx + hx2) / 2, hy, vx, (vy + vy2) / 2]).toEqual(
      [dots[2]?.[0], dots[2]?.[1], dots[2]?.[0], dots[2]?.[1]].map((at) => expect.closeTo(at as number, 0)),
    );
  });

  it("the key at the foot: each mark before its word, from left to right, under everything else and inside the picture", () => {
    const [one, run] = [told([{}]), told([{}]).alignment.runs];
    for (const text of [
      timingPicture(one),
      timingPicture({
        ...one,
        alignment: {
          ...one.alignment,
          runs: [...run, ...run],
          notes: one.alignment.notes.map((note) => ({ ...note, run: 1 })),
        },
      }),
    ]) {
      const height = Number(/height="(\d+)"/.exec(text)?.[1]);
      const lowest = Math.max(...lines(text).map(([, , , y2]) => y2));
      const foot = words(text).filter(({ y }) => y > lowest);
      const earlier = text.includes("earlier run");
      expect(foot.map((word) => word.text)).toEqual([
        "right",
        "wrong key",
        "missed",
        "extra",
        ...(earlier ? ["right, in an earlier run"] : []),
        "edge of a lane: 100 ms",
      ]);
      const step = (foot[1]?.x as number) - (foot[0]?.x as number);
      expect(step).toBeGreaterThan(80);
      foot.slice(0, 4).forEach(({ x }, i) => expect(x).toBeCloseTo((foot[0]?.x as number) + i * step, 6));
      const edge = foot.at(-1) as { x: number; y: number };
      expect(edge.x - (foot.at(-2)?.x as number)).toBeGreaterThan(earlier ? 130 : 60);
      expect(edge.x - (foot.at(-2)?.x as number)).toBeLessThan(earlier ? 200 : 120);
      for (const { y } of foot) expect([y > lowest + 10, y < height - 8]).toEqual([true, true]);
      const shapes = [
        circles(text).at(earlier ? -2 : -1),
        marks(text, /<rect x="([\d.]+)" y="([\d.]+)"/g).at(-1),
        marks(text, /M([\d.]+) ([\d.]+)L/g).at(-1),
        marks(text, /M([\d.]+) ([\d.]+)H/g).at(-1),
        ...(earlier ? [circles(text).at(-1)] : []),
      ];
      shapes.forEach((shape, i) => {
        const word = foot[i] as { x: number; y: number };
        expect([
          word.x - (shape?.[0] as number) > 5,
          word.x - (shape?.[0] as number) < 20,
          Math.abs(word.y - 4 - (shape?.[1] as number)) < 5,
        ]).toEqual([true, true, true]);
      });
    }
  });

  it("nothing else is written in it, and its ground is white", () => {
    const { svg: root } = new XMLParser({ ignoreAttributes: false }).parse(laid());
    expect(root["#text"]).toBeUndefined();
    expect(root.rect[0]).toMatchObject({ "@_width": "800", "@_height": root["@_height"], "@_fill": "#fff" });
    const one = told([{}]);
    const untimed = timingPicture({ ...one, hands: one.hands.map(({ timing: _timing, ...hand }) => hand), say: [] });
    expect(untimed).toContain(">8 of 8 notes are right.</desc>");
    // A hand that the score does not have has no lane.
    expect(circles(timingPicture(told([{}, { hand: "left" }])))).toHaveLength(2);
  });
});
