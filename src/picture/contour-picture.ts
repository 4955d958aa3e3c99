import * as v from "valibot";
import { formatChord } from "../chord/index.ts";
import { check } from "../ground/check.ts";
import { MusicError } from "../ground/errors.ts";
import { element, words } from "../ground/svg.ts";
import type { Pitch } from "../pitch/index.ts";
import { formatPitch, midiNumber } from "../pitch/index.ts";
import type { Score } from "../score/index.ts";
import { checkScore } from "../score/inner.ts";
import { addBeats, beatsToNumber, compareBeats } from "../time/index.ts";
import { barStartInMetres, placeInMetres } from "../time/inner.ts";
import { framed, INK } from "./frame.ts";
import { figure } from "./stroke.ts";

/** Options of {@link contourPicture}. */
export interface ContourPictureOptions {
  /** Bars in a row, 1 to 16. @defaultValue 4 */
  readonly barsInRow?: number | undefined;
  /** Width in pixels, 300 to 4,000. @defaultValue 760 */
  readonly width?: number | undefined;
  /** Printed above and read out first. @defaultValue made from the title of the score */
  readonly title?: string | undefined;
  /** Start of the ids inside; has to differ between pictures on one page. @defaultValue made from the content */
  readonly id?: string | undefined;
}

const optionsShape = /* @__PURE__ */ v.strictObject({
  barsInRow: figure(1, 16),
  width: figure(300, 4000),
  title: /* @__PURE__ */ v.optional(
    /* @__PURE__ */ v.pipe(/* @__PURE__ */ v.string(), /* @__PURE__ */ v.maxLength(1000)),
  ),
  id: /* @__PURE__ */ v.optional(/* @__PURE__ */ v.unknown()),
});

const MARGIN = 14;
const HEAD = 26;
const CHORDS = 22;
const STEP = 4;
const NOTE = 7;
const BELOW = 30;
const LEGEND = 20;

interface Drawn {
  readonly from: number;
  readonly to: number;
  readonly pitch: Pitch;
  /** Whether it is a tone of the chord that sounds with it. */
  readonly inChord: boolean;
}

/**
 * The contour of a score's right-hand line over its chords, as an SVG picture: each note a stroke as high as it sounds and as long as it lasts, joined
 * to the next; filled where it is a tone of its chord, open where it is not; under each phrase a bow.
 *
 * Of notes struck together the highest is drawn. Only black, white and greys are used, and all words are text; the title and the description tell the
 * course of each phrase.
 *
 * @returns one `<svg>` element, without an XML declaration
 * @throws MusicError `picture/empty` for a score whose right hand rests, `picture/id` for an id that is none
 *
 * @example
 * ```ts
 * import { makeDrill } from "hands-together";
 * import { contourPicture } from "hands-together/picture";
 *
 * const { score } = makeDrill({ key: "Eb", changes: "jazz-blues", right: "improvised" });
 * contourPicture(score).startsWith("<svg "); // => true
 * ```
 */
export function contourPicture(score: Score, options: ContourPictureOptions = {}): string {
  checkScore(score, "picture/argument");
  check(optionsShape, options, "picture/argument");
  const notes = notesOf(score);
  const [first] = notes;
  if (first === undefined)
    throw new MusicError({ code: "picture/empty", input: score.title, expected: "a right hand that plays" });
  const perRow = Math.floor(options.barsInRow ?? 4);
  const width = options.width ?? 760;
  const starts = Array.from({ length: score.bars + 1 }, (_, i) => beatsToNumber(barStartInMetres(score, i + 1)));
  const end = starts.at(-1) ?? 0;
  const rowStarts = starts.filter((_, i) => i % perRow === 0 && i < score.bars);
  const rows = rowStarts.map((from, r) => ({
    from: r === 0 ? Math.min(from, first.from) : from,
    to: rowStarts[r + 1] ?? end,
  }));
  const longest = Math.max(...rows.map(({ from, to }) => to - from));
  const scale = (width - 2 * MARGIN) / longest;
  const keys = notes.map(({ pitch }) => midiNumber(pitch));
  const [low, high] = [Math.min(...keys), Math.max(...keys)];
  const lane = (high - low) * STEP + NOTE;
  const rowHeight = CHORDS + lane + BELOW;
  const body = rows.flatMap(({ from, to }, r) => {
    const top = MARGIN + HEAD + r * rowHeight + CHORDS;
    const x = (at: number): number => MARGIN + (Math.min(Math.max(at, from), to) - from) * scale;
    const y = (p: Pitch): number => top + (high - midiNumber(p)) * STEP;
    const inRow = (a: number, b: number): boolean => b > from && a < to;
    const own = notes.filter((note) => inRow(note.from, note.to));
    return [
      ...starts.flatMap((at, bar) =>
        at < from || at > to
          ? []
          : [
              element("path", { d: `M${hundredths(x(at))} ${top} v${lane}`, stroke: "#777", "stroke-width": 0.8 }),
              ...(at === to
                ? []
                : [words(String(bar + 1), { x: x(at) + 3, y: top + lane + 24, "font-size": 10, fill: "#555" })]),
            ],
      ),
      ...score.chords.flatMap(({ at, chord }, i) => {
        const moment = beatsToNumber(at);
        const before = score.chords[i - 1]?.chord?.canonical;
        const said = chord === undefined ? "N.C." : formatChord(chord);
        return moment < from || moment >= to || (before === chord?.canonical && moment > from)
          ? []
          : [words(said, { x: x(moment) + 2, y: top - 8, "font-size": 12 })];
      }),
      ...own.slice(1).flatMap((note, i) => {
        const before = own[i];
        return before === undefined || note.from - before.to > 0.5
          ? []
          : [
              element("path", {
                d: `M${hundredths(x(before.to))} ${y(before.pitch) + NOTE / 2} L${hundredths(x(note.from))} ${y(note.pitch) + NOTE / 2}`,
                stroke: "#777",
                "stroke-width": 1,
              }),
            ];
      }),
      ...own.map(({ from: a, to: b, pitch, inChord }) =>
        element("rect", {
          x: x(a),
          y: y(pitch),
          width: Math.max(3, x(b) - x(a) - 1.5),
          height: NOTE,
          fill: inChord ? INK : "#fff",
          stroke: INK,
          "stroke-width": 1,
        }),
      ),
      ...(score.phrases ?? []).flatMap(({ at, duration }) => {
        const [a, b] = [beatsToNumber(at), beatsToNumber(addBeats(at, duration))];
        const [left, right, foot] = [hundredths(x(a)), hundredths(x(b)), top + lane + 4];
        return inRow(a, b)
          ? [
              element("path", {
                d: `M${left} ${foot} Q${hundredths((left + right) / 2)} ${foot + 9} ${right} ${foot}`,
                fill: "none",
                stroke: INK,
              }),
            ]
          : [];
      }),
    ];
  });
  const title =
    options.title ?? (score.title === "" ? "The line over its chords" : `The line over its chords: ${score.title}`);
  const height = MARGIN + HEAD + rows.length * rowHeight + LEGEND + MARGIN;
  return framed(
    [
      element("rect", { width, height, fill: "#fff" }),
      words(title, { x: MARGIN, y: MARGIN + 14, "font-size": 16, "font-weight": "bold" }),
      ...body,
      words("filled: a tone of the chord · open: another note · bow: a phrase", {
        x: MARGIN,
        y: height - MARGIN,
        "font-size": 11,
      }),
    ],
    { title, description: described(score, notes), width, height, id: options.id, sort: "contour" },
  );
}

const hundredths = (n: number): number => Math.round(n * 100) / 100;

const notesOf = (score: Score): readonly Drawn[] => {
  let chord = 0;
  return score.right.flatMap(({ at, duration, pitches }): readonly Drawn[] => {
    const pitch = pitches.at(-1);
    if (pitch === undefined) return [];
    while (chord + 1 < score.chords.length && compareBeats(score.chords[chord + 1]?.at ?? at, at) <= 0) chord++;
    const tones = score.chords[chord]?.chord?.tones ?? [];
    const inChord = tones.some(({ note }) => (midiNumber(`${note}4`) - midiNumber(pitch)) % 12 === 0);
    return [{ from: beatsToNumber(at), to: beatsToNumber(addBeats(at, duration)), pitch, inChord }];
  });
};

/** The course of each phrase, or of the whole where none are told. */
const described = (score: Score, notes: readonly Drawn[]): string => {
  const spans = score.phrases ?? [];
  const parts =
    spans.length === 0
      ? [notes]
      : spans.map(({ at, duration }) =>
          notes.filter(({ from }) => from >= beatsToNumber(at) && from < beatsToNumber(addBeats(at, duration))),
        );
  return parts
    .flatMap((part, i): readonly string[] => {
      const [first, last] = [part[0], part.at(-1)];
      if (first === undefined || last === undefined) return [];
      const sorted = [...part].sort((a, b) => midiNumber(a.pitch) - midiNumber(b.pitch));
      const [bottom = first, top = first] = [sorted[0], sorted.at(-1)];
      const span = spans[i];
      const where =
        span === undefined ? "The line" : `Phrase ${i + 1}, from bar ${Math.max(0, placeInMetres(score, span.at).bar)}`;
      return [
        `${where}: ${part.length} notes, from ${formatPitch(first.pitch)} to ${formatPitch(last.pitch)}, between ${formatPitch(bottom.pitch)} and ${formatPitch(top.pitch)}.`,
      ];
    })
    .join(" ");
};
