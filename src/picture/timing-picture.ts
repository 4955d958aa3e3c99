import * as v from "valibot";
import type { AlignedNote, Assessment } from "../assess/index.ts";
import type { Hand } from "../event/index.ts";
import { check, checkOnce } from "../ground/check.ts";
import { element } from "../ground/svg.ts";
import { figure, framed, line, text } from "./stroke.ts";
import { assessmentShape } from "./take-shape.ts";

/** Options of {@link timingPicture}. */
export interface TimingPictureOptions {
  /** Bars in a row, 1 to 16. @defaultValue 4 */
  readonly barsInRow?: number | undefined;
  /** Milliseconds at the edge of a lane, 20 to 500; what lies further off is drawn at the edge. @defaultValue 100 */
  readonly edgeMs?: number | undefined;
  /** Width in pixels, 300 to 4,000. @defaultValue 900 */
  readonly width?: number | undefined;
}

const LANE = 84;
const GAP = 14;
const ROW_GAP = 34;
const LEFT = 96;
const RIGHT = 16;
const TOP = 44;
const LEGEND = 40;
const DOT = 3.4;

const tenths = (value: number): string => String(Math.round(value * 10) / 10);

/** One mark: shapes differ, not colours, so that print in black and white says the same. */
const mark = (state: AlignedNote["state"], x: number, y: number, earlier = false): string => {
  const [r, d] = [earlier ? DOT * 0.6 : DOT, 3.2];
  if (state === "right")
    return element("circle", {
      cx: x,
      cy: y,
      r,
      ...(earlier ? { fill: "#fff", stroke: "#000" } : { fill: "#000" }),
    });
  if (state === "wrong")
    return element("rect", {
      x: x - d,
      y: y - d,
      width: 2 * d,
      height: 2 * d,
      fill: "#fff",
      stroke: "#000",
      "stroke-width": 1.4,
    });
  const arms =
    state === "missed"
      ? `M${tenths(x - d)} ${tenths(y - d)}L${tenths(x + d)} ${tenths(y + d)}M${tenths(x - d)} ${tenths(y + d)}L${tenths(x + d)} ${tenths(y - d)}`
      : `M${tenths(x - d)} ${tenths(y)}H${tenths(x + d)}M${tenths(x)} ${tenths(y - d)}V${tenths(y + d)}`;
  return element("path", { d: arms, stroke: "#000", "stroke-width": 1.6, fill: "none" });
};

const describe = ({ hands, accuracy, say }: Assessment): string => {
  const timing = hands.flatMap(({ hand, timing: t }) =>
    t === undefined
      ? []
      : [
          `The ${hand} hand is on the whole ${Math.round(Math.abs(t.meanMs))} milliseconds ${t.meanMs < 0 ? "early" : "late"}, with a spread of ${Math.round(t.spreadMs)}.`,
        ],
  );
  return [
    `${accuracy.right} of ${accuracy.asked} notes are right.`,
    ...timing,
    ...say.map((finding) => finding.message),
  ].join(" ");
};

const optionsShape = /* @__PURE__ */ v.strictObject({
  barsInRow: figure(1, 16),
  edgeMs: figure(20, 500),
  width: figure(300, 4000),
});

/**
 * A picture of the timing of a take, as SVG: for each hand a lane over the bars, a dot for each right note, above the middle when
 * early and below it when late, by the player's own clock.
 *
 * A filled dot is a right note, a small hollow one a right note of a run before the last; an open square a wrong key, a diagonal
 * cross a missed note, an upright cross an extra one. The picture has a title and a description in words, its text is text, and it
 * is black on white.
 *
 * @example
 * ```ts
 * import { assessTake, beats, makeScore, metre, parseKey, pitch, simulateTake } from "hands-together";
 * import { timingPicture } from "hands-together/picture";
 *
 * const right = ["C4", "D4", "Eb4", "E4"].map((name, i) => ({ at: beats(i), duration: beats(1), pitches: [pitch(name as "C4")] }));
 * const score = makeScore({ key: parseKey("C"), metre: metre("4/4"), bars: 1, right });
 * const svg = timingPicture(assessTake(score, simulateTake(score, { jitterMs: 12 }).played));
 * svg.startsWith("<svg "); // => true
 * timingPicture(assessTake(score, simulateTake(score).played), { width: 10 }); // throws "picture/argument"
 * ```
 */
export function timingPicture(assessment: Assessment, options: TimingPictureOptions = {}): string {
  checkOnce(assessmentShape, assessment, "picture/argument");
  check(optionsShape, options, "picture/argument");
  const perRow = Math.floor(options.barsInRow ?? 4);
  const { edgeMs: edge = 100, width = 900 } = options;
  const { alignment, bars, barLength } = assessment;
  const hands = (["right", "left"] as const).filter((hand) => assessment.hands.some((report) => report.hand === hand));
  const pickup = Math.max(0, ...alignment.asked.map(({ sounds }) => -sounds));
  const barWidth = (width - LEFT - RIGHT) / (perRow + pickup / barLength);
  const origin = LEFT + (pickup / barLength) * barWidth;
  const rows = Math.ceil(bars / perRow);
  const rowHeight = hands.length * (LANE + GAP) + ROW_GAP;
  const height = TOP + rows * rowHeight + LEGEND;
  const last = alignment.runs.length - 1;
  const middleOf = (row: number, hand: Hand): number =>
    TOP + row * rowHeight + 18 + hands.indexOf(hand) * (LANE + GAP) + LANE / 2;
  const place = (quarter: number): { readonly row: number; readonly x: number } => {
    const bar = Math.min(bars - 1e-9, quarter / barLength);
    const row = Math.max(0, Math.floor(Math.floor(bar) / perRow));
    return { row, x: origin + (bar - row * perRow) * barWidth };
  };

  const parts: string[] = [];
  for (let row = 0; row < rows; row++) {
    const shown = Math.min(perRow, bars - row * perRow);
    for (const hand of hands) {
      const y = middleOf(row, hand);
      const start = row === 0 ? LEFT : origin;
      const end = origin + shown * barWidth;
      parts.push(line(start, y, end, y, { stroke: "#000", "stroke-width": 1 }));
      const edgeStyle = { stroke: "#999", "stroke-width": 0.6, "stroke-dasharray": "2 4" };
      for (const by of [-1, 1]) parts.push(line(start, y + (by * LANE) / 2, end, y + (by * LANE) / 2, edgeStyle));
      for (let bar = 0; bar <= shown; bar++) {
        const x = origin + bar * barWidth;
        parts.push(line(x, y - LANE / 2, x, y + LANE / 2, { stroke: "#777", "stroke-width": 0.8 }));
      }
      parts.push(text(8, y + 4, hand === "right" ? "Right" : "Left", { "font-weight": "bold" }));
      const small = { "text-anchor": "end", "font-size": 10 };
      parts.push(text(LEFT - 8, y - LANE / 2 + 10, "early", small), text(LEFT - 8, y + LANE / 2 - 2, "late", small));
    }
    for (let bar = 0; bar < shown; bar++)
      parts.push(
        text(origin + bar * barWidth + 4, TOP + row * rowHeight + 12, String(row * perRow + bar + 1), {
          "font-size": 11,
        }),
      );
  }
  for (const note of alignment.notes) {
    const quarter = (note.asked === undefined ? note.heard : alignment.asked[note.asked]?.sounds) ?? 0;
    const { row, x } = place(quarter);
    if (!hands.includes(note.hand)) continue;
    const off = Math.max(-1, Math.min(1, (note.offMs ?? 0) / edge));
    parts.push(mark(note.state, x, middleOf(row, note.hand) + (off * LANE) / 2, note.run < last));
  }
  for (const { sounds, hand } of alignment.leftOut.flatMap((index) => alignment.asked[index] ?? [])) {
    const { row, x } = place(sounds);
    parts.push(mark("missed", x, middleOf(row, hand)));
  }
  const foot = height - LEGEND / 2;
  const small = { "font-size": 11 };
  const legend: readonly (readonly [AlignedNote["state"], string])[] = [
    ["right", "right"],
    ["wrong", "wrong key"],
    ["missed", "missed"],
    ["extra", "extra"],
  ];
  legend.forEach(([state, said], i) => {
    parts.push(mark(state, LEFT + i * 110, foot), text(LEFT + i * 110 + 10, foot + 4, said, small));
  });
  const after = LEFT + legend.length * 110;
  if (last > 0)
    parts.push(mark("right", after, foot, true), text(after + 10, foot + 4, "right, in an earlier run", small));
  parts.push(text(after + (last > 0 ? 170 : 0), foot + 4, `edge of a lane: ${Math.round(edge)} ms`, small));
  const title = assessment.title === "" ? "Timing of a take" : `Timing of a take: ${assessment.title}`;
  return framed("timing", { width, height }, title, describe(assessment), 24, parts);
}
