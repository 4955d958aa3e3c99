import * as v from "valibot";
import type { Improvisation } from "../assess/index.ts";
import { formatChord } from "../chord/index.ts";
import { check, shapeOf } from "../ground/check.ts";
import { element } from "../ground/svg.ts";
import { formatPitch, midiNumber } from "../pitch/index.ts";
import { isPitch } from "../pitch/inner.ts";
import type { Score } from "../score/index.ts";
import { checkScore } from "../score/inner.ts";
import type { Beats } from "../time/index.ts";
import { barLength, beatsToNumber, pulseLength } from "../time/index.ts";
import { isBeats } from "../time/inner.ts";
import { figure, framed, line, text } from "./stroke.ts";

/** Options of {@link linePicture}. */
export interface LinePictureOptions {
  /** Bars in a row, 1 to 16. @defaultValue 4 */
  readonly barsInRow?: number | undefined;
  /** Width in pixels, 300 to 4,000. @defaultValue 900 */
  readonly width?: number | undefined;
}

const STEP = 4;
const NOTE = 6;
const LEFT = 44;
const RIGHT = 16;
const TOP = 40;
const CHORDS = 22;
const BELOW = 44;

const tenths = (value: number): string => String(Math.round(value * 10) / 10);

// No take is longer than the longest score.
const FURTHEST = 400_000;
const moment = /* @__PURE__ */ shapeOf(
  (value): value is Beats => isBeats(value) && Math.abs(value.num / value.den) <= FURTHEST,
  "a moment in exact beats",
);
const span = { at: moment, duration: moment };
const pitches = /* @__PURE__ */ v.array(/* @__PURE__ */ shapeOf(isPitch, "a pitch"));
const sentence = /* @__PURE__ */ v.pipe(/* @__PURE__ */ v.string(), /* @__PURE__ */ v.maxLength(10_000));
const remark = /* @__PURE__ */ v.looseObject({
  text: sentence,
  how: sentence,
  about: sentence,
  places: /* @__PURE__ */ v.array(
    /* @__PURE__ */ v.looseObject({ bar: /* @__PURE__ */ v.number(), beat: /* @__PURE__ */ v.optional(moment) }),
  ),
});

/** An improvised take as it was heard. */
export const heardShape = /* @__PURE__ */ v.looseObject({
  kind: /* @__PURE__ */ v.literal("improvisation"),
  title: sentence,
  praise: sentence,
  heard: /* @__PURE__ */ v.array(sentence),
  line: /* @__PURE__ */ v.pipe(
    /* @__PURE__ */ v.array(/* @__PURE__ */ v.looseObject({ ...span, pitches })),
    /* @__PURE__ */ v.minLength(1),
  ),
  phrases: /* @__PURE__ */ v.array(/* @__PURE__ */ v.looseObject(span)),
  say: /* @__PURE__ */ v.array(remark),
});

const optionsShape = /* @__PURE__ */ v.strictObject({ barsInRow: figure(1, 16), width: figure(300, 4000) });

/**
 * A picture of an improvised line, as SVG: a bar's notes as strokes by height and length under the chords, a bow under each phrase, and
 * under the bows, by number, where each thing said about the line is heard.
 *
 * The picture has a title and a description in words, its text is text, and it is black on white.
 *
 * @param heard - what `assessImprovisation` made of the take
 * @param score - the score that it was played over
 * @example
 * ```ts
 * import { assessImprovisation, makeScore, metre, parseKey } from "hands-together";
 * import { linePicture } from "hands-together/picture";
 *
 * const score = makeScore({ key: parseKey("C"), metre: metre("4/4"), bars: 1, tempo: 60 });
 * const heard = assessImprovisation(score, [60, 64, 67].map((midi, i) => ({ midi, onsetSeconds: i, durationSeconds: 1, velocity: 80 })));
 * linePicture(heard, score).startsWith("<svg "); // => true
 * linePicture(heard, score, { width: 10 }); // throws "picture/argument"
 * ```
 */
export function linePicture(heard: Improvisation, score: Score, options: LinePictureOptions = {}): string {
  check(heardShape, heard, "picture/argument");
  checkScore(score, "picture/argument");
  check(optionsShape, options, "picture/argument");
  const perRow = Math.floor(options.barsInRow ?? 4);
  const width = options.width ?? 900;
  const bar = beatsToNumber(barLength(score.metre));
  const pulse = beatsToNumber(pulseLength(score.metre));
  const notes = heard.line.map((event) => ({
    from: beatsToNumber(event.at),
    to: beatsToNumber(event.at) + beatsToNumber(event.duration),
    keys: event.pitches.map(midiNumber),
  }));
  const keys = notes.flatMap((note) => note.keys);
  const [low, high] = [Math.min(...keys), Math.max(...keys)];
  const lane = (high - low) * STEP + 2 * NOTE;
  const rowHeight = CHORDS + lane + BELOW;
  const firstBar = Math.floor(Math.min(0, ...notes.map((note) => note.from)) / bar);
  const bars = Math.max(score.bars, Math.ceil(Math.max(...notes.map((note) => note.to)) / bar)) - firstBar;
  const rows = Math.ceil(bars / perRow);
  const scale = (width - LEFT - RIGHT) / (perRow * bar);
  const top = (row: number): number => TOP + row * rowHeight + CHORDS;

  /** The parts of a stretch, one a row. */
  const pieces = (
    from: number,
    to: number,
  ): readonly { readonly row: number; readonly x1: number; readonly x2: number }[] => {
    const length = perRow * bar;
    const [start, end] = [from - firstBar * bar, to - firstBar * bar];
    const first = Math.max(0, Math.floor(start / length));
    return Array.from({ length: Math.max(0, Math.min(rows, Math.ceil(end / length)) - first) }, (_, i) => {
      const row = first + i;
      return {
        row,
        x1: LEFT + (Math.max(start, row * length) - row * length) * scale,
        x2: LEFT + (Math.min(end, (row + 1) * length) - row * length) * scale,
      };
    });
  };

  const parts: string[] = [];
  for (let row = 0; row < rows; row++) {
    const shown = Math.min(perRow, bars - row * perRow);
    for (let i = 0; i <= shown; i++) {
      const x = LEFT + i * bar * scale;
      parts.push(line(x, top(row), x, top(row) + lane, { stroke: "#777", "stroke-width": 0.8 }));
    }
    for (let i = 0; i < shown; i++)
      parts.push(
        text(LEFT + i * bar * scale + 3, top(row) + lane + 38, String(firstBar + row * perRow + i + 1), {
          "font-size": 10,
          fill: "#555",
        }),
      );
  }
  for (const span of score.chords) {
    const [piece] = pieces(beatsToNumber(span.at), beatsToNumber(span.at) + beatsToNumber(span.duration));
    const symbol = span.chord === undefined ? "N.C." : formatChord(span.chord);
    if (piece !== undefined) parts.push(text(piece.x1 + 3, top(piece.row) - 8, symbol, { "font-size": 12 }));
  }
  for (const { from, to, keys: struck } of notes) {
    for (const { row, x1, x2 } of pieces(from, to)) {
      for (const key of struck)
        parts.push(
          element("rect", {
            x: x1,
            y: top(row) + NOTE / 2 + (high - key) * STEP,
            width: Math.max(2, x2 - x1 - 1.5),
            height: NOTE,
          }),
        );
    }
  }
  for (const phrase of heard.phrases) {
    const from = beatsToNumber(phrase.at);
    for (const { row, x1, x2 } of pieces(from, from + beatsToNumber(phrase.duration))) {
      const y = top(row) + lane + 4;
      const bow = `M${tenths(x1)} ${tenths(y)}Q${tenths((x1 + x2) / 2)} ${tenths(y + 10)} ${tenths(x2)} ${tenths(y)}`;
      parts.push(element("path", { d: bow, fill: "none", stroke: "#000" }));
    }
  }
  heard.say.forEach(({ about, places }, i) => {
    if (about !== "line") return;
    for (const { bar: number, beat } of places) {
      const from = (number - 1) * bar + (beat === undefined ? 0 : beatsToNumber(beat) - 1) * pulse;
      const [piece] = pieces(from, from + 1e-6);
      if (piece === undefined) continue;
      const [x, y] = [piece.x1 + 4, top(piece.row) + lane];
      parts.push(
        element("circle", { cx: x, cy: y + 20, r: 7, fill: "#fff", stroke: "#000" }),
        text(x, y + 23.5, String(i + 1), { "font-size": 10, "text-anchor": "middle" }),
      );
    }
  });
  const height = TOP + rows * rowHeight + 8;
  const title = heard.title === "" ? "The line as it was heard" : `The line as it was heard: ${heard.title}`;
  const names = new Map(heard.line.flatMap((event) => event.pitches).map((p) => [midiNumber(p), formatPitch(p)]));
  const [all, parted] = [heard.line.length, heard.phrases.length];
  const described = [
    `${all} ${all === 1 ? "note" : "notes"} in ${parted} ${parted === 1 ? "phrase" : "phrases"}, from ${names.get(low)} to ${names.get(high)}.`,
    ...heard.say.filter(({ about }) => about === "line").map((remark) => remark.text),
  ].join(" ");
  return framed("line", { width, height }, title, described, 22, parts);
}
