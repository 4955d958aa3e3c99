import { XMLParser, XMLValidator } from "fast-xml-parser";
import { describe, expect, it } from "vitest";
import type { Assessment } from "../../src/index.ts";
import { assessTake, beatsOf, makeDrill, makeScore, metre, parseKey, pitch, simulateTake, timingPicture } from "../../src/index.ts";

const score = makeDrill({ key: "Eb", repeats: 2, pickup: true }).score;
const assess = () => assessTake(score, simulateTake(score, { seed: 4, jitterMs: 20, wrong: 0.1, missed: 0.1, extra: 0.1, restarts: 1 }).played);

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
    expect(root.desc["#text"]).toContain(`${assessment.accuracy.right} of ${assessment.accuracy.asked} notes are right.`);
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
    const right = [0, 1, 2, 3, 4, 5, 6, 7].map((i) => ({ at: beatsOf(i, 1), duration: beatsOf(1, 1), pitches: [pitch("C4")] }));
    const plain = makeScore({ key: parseKey("C"), metre: metre("4/4"), bars: 2, right });
    const off = [0, 0, 40, 0, -40, 0, 900, 0];
    const { played } = simulateTake(plain);
    const late = assessTake(plain, played.map((note, i) => ({ ...note, onsetSeconds: note.onsetSeconds + (off[i] as number) / 1000 })).slice(0, 6));
    const { svg: root } = new XMLParser({ ignoreAttributes: false }).parse(timingPicture(late, { width: 500, barsInRow: 2 }));
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
      expect(() => timingPicture(assessment, options)).toThrowError(expect.objectContaining({ code: "assess/picture" }));
    }
  });

  /** Two bars of quarter notes, each note told of as wanted; nothing else is drawn in the lanes but marks. */
  const told = (fields: Partial<Assessment["alignment"]["notes"][number]>[], others: Partial<Assessment["alignment"]> = {}, rest: Partial<Assessment> = {}): Assessment => {
    const right = Array.from({ length: 8 }, (_, i) => ({ at: beatsOf(i, 1), duration: beatsOf(1, 1), pitches: [pitch("C4")] }));
    const plain = makeScore({ key: parseKey("C"), metre: metre("4/4"), bars: 2, right });
    const clean = assessTake(plain, simulateTake(plain).played);
    return {
      ...clean, ...rest,
      alignment: { ...clean.alignment, runs: [clean.alignment.runs[0] as Assessment["alignment"]["runs"][number]], notes: fields.map((one, i) => ({ state: "right", run: 0, hand: "right", asked: i, heard: i, offMs: 0, ...one })), ...others },
    };
  };
  const marks = (text: string, pattern: RegExp): readonly (readonly number[])[] => [...text.matchAll(pattern)].map((found) => found.slice(1).map(Number));
  const circles = (text: string) => marks(text, /<circle cx="([\d.]+)" cy="([\d.]+)" r="([\d.]+)"/g);

  it("law: time runs evenly from left to right, lateness down to the edge of the lane and no further", () => {
    const text = timingPicture(told([0, 50, -50, 100, -100, 400, -400, 25].map((offMs) => ({ offMs }))), { barsInRow: 2, width: 900, edgeMs: 100 });
    const dots = circles(text).slice(0, 8);
    const step = (dots[1]?.[0] as number) - (dots[0]?.[0] as number);
    dots.forEach((dot, i) => expect(dot[0]).toBeCloseTo((dots[0]?.[0] as number) + i * step, 0));
    const middle = dots[0]?.[1] as number;
    const lane = (dots[3]?.[1] as number) - middle;
    expect(lane).toBeGreaterThan(20);
    expect(dots.map((dot) => ((dot[1] as number) - middle) / lane)).toEqual([0, 0.5, -0.5, 1, -1, 1, -1, 0.25].map((share) => expect.closeTo(share, 2)));
    // Twice the edge halves what is seen; 100 ms is the edge where none is given.
    const wide = circles(timingPicture(told([{ offMs: 50 }]), { edgeMs: 200 }));
    expect((wide[0]?.[1] as number) - middle).toBeCloseTo(lane / 4, 0);
    expect(timingPicture(told([{ offMs: 50 }]), { edgeMs: 100 })).toBe(timingPicture(told([{ offMs: 50 }])));
    expect(text).toContain("edge of a lane: 100 ms");
    expect(timingPicture(told([]), { edgeMs: 60 })).toContain("edge of a lane: 60 ms");
  });

  it("bars in rows, four where no number is given, and numbered", () => {
    const numbers = (text: string): readonly string[] => [...text.matchAll(/font-size="11">(\d+)</g)].map((found) => found[1] as string);
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
    for (const options of [{ barsInRow: 1 }, { barsInRow: 16 }, { edgeMs: 20 }, { edgeMs: 500 }, { width: 300 }, { width: 4000 }]) expect(timingPicture(nine, options)).toContain("<svg");
    for (const options of [{ barsInRow: 17 }, { barsInRow: 0.9 }, { edgeMs: 19 }, { edgeMs: 501 }, { width: 299 }, { width: 4001 }]) {
      expect(() => timingPicture(nine, options)).toThrowError(expect.objectContaining({ code: "assess/picture", input: options }));
    }
  });

  it("marks by what became of a note, smaller and hollow in an earlier run; what was left out is missed", () => {
    const two = told([{ state: "right" }, { state: "wrong" }, { state: "missed" }, { state: "extra", asked: undefined as never, heard: 3 }, { run: 1 }], { leftOut: [5, 6], runs: told([]).alignment.runs.concat(told([]).alignment.runs) });
    const text = timingPicture(two);
    const [earlier, last] = circles(text);
    expect(earlier?.[2]).toBeLessThan(last?.[2] as number);
    expect(text.match(/<circle[^>]*fill="#fff" stroke="#000"/g)).toHaveLength(2);
    expect(text.match(/<circle[^>]*fill="#000"/g)).toHaveLength(2);
    // Squares, diagonal and upright crosses, each once more in the legend.
    expect(text.match(/<rect x=/g)).toHaveLength(2);
    expect(text.match(/<path d="M[\d.]+ [\d.]+L/g)).toHaveLength(1 + 2 + 1);
    expect(text.match(/<path d="M[\d.]+ [\d.]+H/g)).toHaveLength(2);
    for (const words of ["wrong key", "missed", "extra", "right, in an earlier run"]) expect(text).toContain(`>${words}<`);
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
    expect([both.includes(">Right<"), both.includes(">Left<"), both.indexOf(">Right<") < both.indexOf(">Left<")]).toEqual([true, true, true]);
    const right = [{ at: beatsOf(-1, 1), duration: beatsOf(1, 1), pitches: [pitch("C4")] }, { at: beatsOf(0, 1), duration: beatsOf(1, 1), pitches: [pitch("E4")] }];
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
      const { svg: root } = new XMLParser({ ignoreAttributes: false }).parse(timingPicture({ ...one, hands: [{ ...(one.hands[0] as Assessment["hands"][number]), timing: { moments: 8, meanMs, meanBeats: 0, spreadMs: 12.4, spreadBeats: 0 } }] }));
      return root.desc["#text"];
    };
    expect(described(30.4)).toContain("The right hand is on the whole 30 milliseconds late, with a spread of 12.");
    expect(described(-30.4)).toContain("The right hand is on the whole 30 milliseconds early");
    expect(described(5)).toMatch(/^8 of 8 notes are right\. The right/);
    const heard = assess();
    for (const finding of heard.say) expect(timingPicture(heard).replaceAll("&quot;", '"').replaceAll("&amp;", "&")).toContain(finding.message);
    expect(timingPicture(told([{}]))).toContain(">Timing of a take</title>");
  });
});
