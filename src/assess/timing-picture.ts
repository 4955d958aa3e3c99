import type { Hand } from "../event/index.ts";
import type { AlignedNote } from "./align.ts";
import type { Assessment } from "./assess.ts";
import { HANDS } from "./model.ts";
import { at, escaped, line, text, within } from "./svg.ts";

/** Options of {@link timingPicture}. */
export interface TimingPictureOptions {
  /** Bars in a row, 1 to 16. @defaultValue 4 */
  readonly barsInRow?: number;
  /** Milliseconds at the edge of a lane, 20 to 500; what lies further off is drawn at the edge. @defaultValue 100 */
  readonly edgeMs?: number;
  /** Width in pixels, 300 to 4,000. @defaultValue 900 */
  readonly width?: number;
}

const LANE = 84;
const GAP = 14;
const ROW_GAP = 34;
const LEFT = 96;
const RIGHT = 16;
const TOP = 44;
const LEGEND = 40;
const DOT = 3.4;

/** One mark: shapes differ, not colours, so that print in black and white says the same. */
const mark = (state: AlignedNote["state"], x: number, y: number, earlier = false): string => {
  const [r, d] = [earlier ? DOT * 0.6 : DOT, 3.2];
  if (state === "right")
    return `<circle cx="${at(x)}" cy="${at(y)}" r="${at(r)}" ${earlier ? 'fill="#fff" stroke="#000"' : 'fill="#000"'}/>`;
  if (state === "wrong")
    return `<rect x="${at(x - d)}" y="${at(y - d)}" width="${at(2 * d)}" height="${at(2 * d)}" fill="#fff" stroke="#000" stroke-width="1.4"/>`;
  const arms =
    state === "missed"
      ? `M${at(x - d)} ${at(y - d)}L${at(x + d)} ${at(y + d)}M${at(x - d)} ${at(y + d)}L${at(x + d)} ${at(y - d)}`
      : `M${at(x - d)} ${at(y)}H${at(x + d)}M${at(x)} ${at(y - d)}V${at(y + d)}`;
  return `<path d="${arms}" stroke="#000" stroke-width="1.6" fill="none"/>`;
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

/**
 * A picture of the timing of a take, as SVG: for each hand a lane over the bars, a dot for each right note, above the middle when
 * early and below it when late, by the player's own clock.
 *
 * A filled dot is a right note, a small hollow one a right note of a run before the last; an open square a wrong key, a diagonal
 * cross a missed note, an upright cross an extra one. The picture has a title and a description in words, its text is text, and it
 * is black on white.
 *
 * @throws MusicError `assess/picture` for an option out of range
 *
 * @example
 * ```ts
 * import { assessTake, beats, makeScore, metre, parseKey, pitch, simulateTake } from "hands-together";
 * import { timingPicture } from "hands-together/assess";
 *
 * const right = ["C4", "D4", "Eb4", "E4"].map((name, i) => ({ at: beats(i), duration: beats(1), pitches: [pitch(name as "C4")] }));
 * const score = makeScore({ key: parseKey("C"), metre: metre("4/4"), bars: 1, right });
 * const svg = timingPicture(assessTake(score, simulateTake(score, { jitterMs: 12 }).played));
 * svg.startsWith("<svg "); // => true
 * timingPicture(assessTake(score, simulateTake(score).played), { width: 10 }); // throws "assess/picture"
 * ```
 */
export function timingPicture(assessment: Assessment, options: TimingPictureOptions = {}): string {
  const perRow = Math.floor(within("barsInRow", options.barsInRow ?? 4, 1, 16));
  const edge = within("edgeMs", options.edgeMs ?? 100, 20, 500);
  const width = within("width", options.width ?? 900, 300, 4000);
  const { alignment, bars, barLength } = assessment;
  const hands = HANDS.filter((hand) => assessment.hands.some((report) => report.hand === hand));
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
      parts.push(line(start, y, end, y, 'stroke="#000" stroke-width="1"'));
      for (const by of [-1, 1])
        parts.push(
          line(
            start,
            y + (by * LANE) / 2,
            end,
            y + (by * LANE) / 2,
            'stroke="#999" stroke-width="0.6" stroke-dasharray="2 4"',
          ),
        );
      for (let bar = 0; bar <= shown; bar++)
        parts.push(
          line(
            origin + bar * barWidth,
            y - LANE / 2,
            origin + bar * barWidth,
            y + LANE / 2,
            'stroke="#777" stroke-width="0.8"',
          ),
        );
      parts.push(text(8, y + 4, hand === "right" ? "Right" : "Left", ' font-weight="bold"'));
      parts.push(text(LEFT - 8, y - LANE / 2 + 10, "early", ' text-anchor="end" font-size="10"'));
      parts.push(text(LEFT - 8, y + LANE / 2 - 2, "late", ' text-anchor="end" font-size="10"'));
    }
    for (let bar = 0; bar < shown; bar++)
      parts.push(
        text(
          origin + bar * barWidth + 4,
          TOP + row * rowHeight + 12,
          String(row * perRow + bar + 1),
          ' font-size="11"',
        ),
      );
  }
  for (const note of alignment.notes) {
    const quarter = note.asked === undefined ? (note.heard as number) : (alignment.asked[note.asked]?.sounds as number);
    const { row, x } = place(quarter);
    if (!hands.includes(note.hand)) continue;
    const off = Math.max(-1, Math.min(1, (note.offMs ?? 0) / edge));
    parts.push(mark(note.state, x, middleOf(row, note.hand) + (off * LANE) / 2, note.run < last));
  }
  for (const index of alignment.leftOut) {
    const { sounds, hand } = alignment.asked[index] as Assessment["alignment"]["asked"][number];
    const { row, x } = place(sounds);
    parts.push(mark("missed", x, middleOf(row, hand)));
  }
  const foot = height - LEGEND / 2;
  const legend: readonly (readonly [AlignedNote["state"], string])[] = [
    ["right", "right"],
    ["wrong", "wrong key"],
    ["missed", "missed"],
    ["extra", "extra"],
  ];
  legend.forEach(([state, words], i) => {
    parts.push(mark(state, LEFT + i * 110, foot), text(LEFT + i * 110 + 10, foot + 4, words, ' font-size="11"'));
  });
  if (last > 0)
    parts.push(
      mark("right", LEFT + legend.length * 110, foot, true),
      text(LEFT + legend.length * 110 + 10, foot + 4, "right, in an earlier run", ' font-size="11"'),
    );
  parts.push(
    text(
      LEFT + legend.length * 110 + (last > 0 ? 170 : 0),
      foot + 4,
      `edge of a lane: ${Math.round(edge)} ms`,
      ' font-size="11"',
    ),
  );
  const title = assessment.title === "" ? "Timing of a take" : `Timing of a take: ${assessment.title}`;
  return [
    `<svg xmlns="http://www.w3.org/2000/svg" role="img" aria-labelledby="timing-title timing-desc" viewBox="0 0 ${width} ${height}" width="${width}" height="${height}" font-family="sans-serif" font-size="13">`,
    `<title id="timing-title">${escaped(title)}</title>`,
    `<desc id="timing-desc">${escaped(describe(assessment))}</desc>`,
    `<rect width="${width}" height="${height}" fill="#fff"/>`,
    text(8, 24, title, ' font-size="16"'),
    ...parts,
    "</svg>",
    "",
  ].join("\n");
}
