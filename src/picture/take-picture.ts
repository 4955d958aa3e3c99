import * as v from "valibot";
import type { Assessment, PlayedNote } from "../assess/index.ts";
import { check, checkOnce, shapeOf } from "../ground/check.ts";
import { element } from "../ground/svg.ts";
import { figure, framed, line, text } from "./stroke.ts";
import { assessmentShape } from "./take-shape.ts";

/** Options of {@link takePicture}. */
export interface TakePictureOptions {
  /** Bars in a row, 1 to 16. @defaultValue 4 */
  readonly barsInRow?: number | undefined;
  /** Width in pixels, 300 to 4,000. @defaultValue 900 */
  readonly width?: number | undefined;
}

const [LEFT, RIGHT, TOP, LEGEND, ROW_GAP] = [24, 16, 44, 36, 26];
/** Half the distance of two lines: one step of the scale. */
const STEP = 4.5;
/** Steps between the staves beside their own; a note on the first beat stands so far behind its bar line. */
const [BETWEEN, INSET] = [4, 12];
const MIDDLE_C = 28;
// E4 G4 B4 D5 F5 and G2 B2 D3 F3 A3, in steps above C0.
const LINES = [30, 32, 34, 36, 38, 18, 20, 22, 24, 26];
const LETTERS = "CDEFGAB";
const NAMES = {
  flats: ["C", "Db", "D", "Eb", "E", "F", "Gb", "G", "Ab", "A", "Bb", "B"],
  sharps: ["C", "C#", "D", "D#", "E", "F", "F#", "G", "G#", "A", "A#", "B"],
};

const printed = (name: string): string =>
  name
    .replace(/-?\d+$/, "")
    .replace(/b/g, "♭")
    .replace(/#/g, "♯");

/** Steps above C0 of a name with its octave. */
const stepsOf = (name: string): number => LETTERS.indexOf(name.charAt(0)) + 7 * Number(/-?\d+$/.exec(name)?.[0] ?? 4);

const note = /* @__PURE__ */ v.looseObject({
  pitch: /* @__PURE__ */ v.pipe(/* @__PURE__ */ v.string(), /* @__PURE__ */ v.regex(/^[A-G](#{0,3}|b{0,3})-?\d$/)),
  midi: /* @__PURE__ */ v.number(),
});
const notesShape = /* @__PURE__ */ v.looseObject({
  alignment: /* @__PURE__ */ v.looseObject({ asked: /* @__PURE__ */ v.array(note) }),
});
const isPlayed = (value: unknown): value is readonly PlayedNote[] =>
  Array.isArray(value) &&
  value.length <= 1_000_000 &&
  value.every((one) => Number.isInteger(Object(one).midi) && one.midi >= 0 && one.midi <= 127);
const playedShape = /* @__PURE__ */ shapeOf(isPlayed, "the notes of the take");
const optionsShape = /* @__PURE__ */ v.strictObject({ barsInRow: figure(1, 16), width: figure(300, 4000) });

/**
 * A picture of what was asked and what was played, as SVG: on a staff for two hands a ring for each asked note where it is written, a dot for each
 * key where it was heard by the player's own clock, so that early lies left of its ring and late right of it. Wrong keys and keys besides carry their
 * names, what was missed stays an empty ring with its name; thin lines are the beats.
 *
 * Of several runs the one with the most notes is drawn. The picture has a title and a description in words, its text is text, and shapes differ,
 * not colours alone.
 *
 * @param played - the take as it was assessed
 *
 * @example
 * ```ts
 * import { assessTake, beats, makeScore, metre, parseKey, pitch, simulateTake } from "hands-together";
 * import { takePicture } from "hands-together/picture";
 *
 * const right = ["C4", "D4", "Eb4", "E4"].map((name, i) => ({ at: beats(i), duration: beats(1), pitches: [pitch(name as "C4")] }));
 * const score = makeScore({ key: parseKey("C"), metre: metre("4/4"), bars: 1, right });
 * const { played } = simulateTake(score, { wrongAt: [2] });
 * takePicture(assessTake(score, played), played).includes("wrong"); // => true
 * ```
 */
export function takePicture(
  assessment: Assessment,
  played: readonly PlayedNote[],
  options: TakePictureOptions = {},
): string {
  checkOnce(assessmentShape, assessment, "picture/argument");
  check(notesShape, assessment, "picture/argument");
  check(playedShape, played, "picture/argument");
  check(optionsShape, options, "picture/argument");
  const perRow = Math.floor(options.barsInRow ?? 4);
  const { width = 900 } = options;
  const { alignment, bars, barLength } = assessment;
  const flats = alignment.asked.filter(({ pitch }) => pitch.slice(1).startsWith("b")).length;
  const names =
    NAMES[flats * 2 >= alignment.asked.filter(({ pitch }) => /[b#]/.test(pitch.slice(1))).length ? "flats" : "sharps"];
  const nameOf = (midi: number): string => `${names[midi % 12] ?? "C"}${Math.floor(midi / 12) - 1}`;
  const counts = alignment.runs.map(
    (_, run) => alignment.notes.filter((one) => one.run === run && one.state !== "missed").length,
  );
  const run = counts.indexOf(Math.max(...counts));
  const shown = alignment.notes.filter((one) => one.run === run);

  const heads = shown.flatMap(({ state, asked: index, played: key, heard, hand }) => {
    const asked = index === undefined ? undefined : alignment.asked[index];
    const midi = key === undefined ? undefined : played[key]?.midi;
    const shift = asked === undefined || midi === undefined || state !== "right" ? 0 : midi - asked.midi;
    // In another octave or key a right note stands where it is written.
    const struck = midi === undefined ? undefined : state === "right" ? asked?.pitch : nameOf(midi - shift);
    return [{ state, asked, struck, heard, hand }];
  });
  const steps = heads
    .flatMap(({ asked, struck }) => [asked?.pitch, struck])
    .flatMap((name) => (name === undefined ? [] : [stepsOf(name)]));
  const [low, high] = [Math.min(16, ...steps) - 3, Math.max(40, ...steps) + 5];
  const pickup = Math.max(0, ...alignment.asked.map(({ sounds }) => -sounds));
  const barWidth = (width - LEFT - RIGHT) / (perRow + pickup / barLength);
  const origin = LEFT + (pickup / barLength) * barWidth;
  const rows = Math.ceil(bars / perRow);
  const rowHeight = (high - low + BETWEEN) * STEP + ROW_GAP;
  const height = TOP + rows * rowHeight + LEGEND;
  const yOf = (row: number, at: number): number =>
    TOP + row * rowHeight + ROW_GAP + (high - at + (at > MIDDLE_C ? 0 : at < MIDDLE_C ? BETWEEN : BETWEEN / 2)) * STEP;
  const place = (quarter: number): { readonly row: number; readonly x: number } => {
    const bar = Math.min(bars - 1e-9, quarter / barLength);
    const row = Math.max(0, Math.floor(Math.floor(bar) / perRow));
    const inBar = bar - row * perRow;
    // A little room behind each bar line, taken from the bar's end.
    const from = Math.floor(inBar);
    return { row, x: origin + from * barWidth + INSET + (inBar - from) * (barWidth - INSET) };
  };

  const parts: string[] = [];
  for (let row = 0; row < rows; row++) {
    const count = Math.min(perRow, bars - row * perRow);
    const [start, end] = [row === 0 ? LEFT : origin, origin + count * barWidth];
    for (const at of LINES)
      parts.push(line(start, yOf(row, at), end, yOf(row, at), { stroke: "#888", "stroke-width": 0.7 }));
    const [top, bottom] = [yOf(row, 38), yOf(row, 18)];
    for (let beat = 0; beat <= count * barLength + 1e-9; beat++) {
      const inBar = (beat / barLength) % 1;
      const x =
        origin +
        Math.floor(beat / barLength + 1e-9) * barWidth +
        (inBar < 1e-9 ? 0 : INSET + inBar * (barWidth - INSET));
      const isBar = Math.abs(beat / barLength - Math.round(beat / barLength)) < 1e-9;
      parts.push(
        line(
          x,
          top,
          x,
          bottom,
          isBar
            ? { stroke: "#000", "stroke-width": 1 }
            : { stroke: "#bbb", "stroke-width": 0.6, "stroke-dasharray": "2 3" },
        ),
      );
    }
    for (let bar = 0; bar < count; bar++)
      parts.push(
        text(origin + bar * barWidth + 3, top - 3 * STEP - 8, String(row * perRow + bar + 1), { "font-size": 11 }),
      );
  }
  const ledgers = (row: number, x: number, at: number): void => {
    for (let l = 40; l <= at; l += 2)
      parts.push(line(x - 7, yOf(row, l), x + 7, yOf(row, l), { stroke: "#888", "stroke-width": 0.7 }));
    for (let l = 16; l >= at; l -= 2)
      parts.push(line(x - 7, yOf(row, l), x + 7, yOf(row, l), { stroke: "#888", "stroke-width": 0.7 }));
    if (at === MIDDLE_C)
      parts.push(line(x - 7, yOf(row, at), x + 7, yOf(row, at), { stroke: "#888", "stroke-width": 0.7 }));
  };
  const ring = (x: number, y: number, missed: boolean): string =>
    element("ellipse", {
      cx: x,
      cy: y,
      rx: 5.2,
      ry: 3.8,
      fill: "none",
      stroke: "#000",
      "stroke-width": 1.2,
      ...(missed ? { "stroke-dasharray": "2 1.6" } : {}),
    });
  const key = (state: "right" | "wrong" | "extra" | "missed", x: number, y: number): string =>
    state === "right"
      ? element("circle", { cx: x, cy: y, r: 2.4, fill: "#000" })
      : state === "wrong"
        ? element("path", { d: `M${x.toFixed(1)} ${(y - 5).toFixed(1)}l5 5l-5 5l-5 -5z`, fill: "#b00020" })
        : element("path", {
            d: `M${(x - 4).toFixed(1)} ${y.toFixed(1)}h8M${x.toFixed(1)} ${(y - 4).toFixed(1)}v8`,
            stroke: "#b00020",
            "stroke-width": 2,
            fill: "none",
          });
  const said: string[] = [];
  for (const { state, asked, struck, heard } of heads) {
    if (asked !== undefined) {
      const { row, x } = place(asked.sounds);
      const at = stepsOf(asked.pitch);
      ledgers(row, x, at);
      parts.push(ring(x, yOf(row, at), state === "missed"));
      const signs = printed(asked.pitch).slice(1);
      if (signs !== "") parts.push(text(x - 8, yOf(row, at) + 3.5, signs, { "font-size": 10, "text-anchor": "end" }));
      if (state === "missed") {
        parts.push(
          text(x, yOf(row, at) - 7, printed(asked.pitch), {
            "font-size": 10,
            "text-anchor": "middle",
            "font-style": "italic",
          }),
        );
        said.push(`${printed(asked.pitch)} missed in bar ${Math.max(0, asked.bar)}`);
      }
    }
    if (struck === undefined || heard === undefined || state === "missed") continue;
    // What comes a little before its bar line still stands beside its ring.
    const own = place(asked?.sounds ?? heard);
    const { row } = own;
    const x = own.x + (heard - (asked?.sounds ?? heard)) * ((barWidth - INSET) / barLength);
    const at = stepsOf(struck);
    if (state !== "right") {
      ledgers(row, x, at);
      parts.push(
        text(x, yOf(row, at) - 8, printed(struck), {
          "font-size": 11,
          "font-weight": "bold",
          "text-anchor": "middle",
          fill: "#b00020",
        }),
      );
      said.push(
        asked === undefined
          ? `${printed(struck)} besides`
          : `${printed(struck)} for ${printed(asked.pitch)} in bar ${Math.max(0, asked.bar)}`,
      );
    }
    parts.push(key(state, x, yOf(row, at)));
  }
  const foot = height - LEGEND / 2;
  const small = { "font-size": 11 };
  const step = Math.min(130, (width - LEFT) / 5);
  parts.push(ring(LEFT + 6, foot, false), text(LEFT + 16, foot + 4, "asked", small));
  for (const [i, [state, name]] of (
    [
      ["right", "played"],
      ["wrong", "wrong"],
      ["extra", "besides"],
    ] as const
  ).entries())
    parts.push(key(state, LEFT + (i + 1) * step, foot), text(LEFT + (i + 1) * step + 10, foot + 4, name, small));
  parts.push(ring(LEFT + 4 * step, foot, true), text(LEFT + 4 * step + 10, foot + 4, "missed", small));
  const title =
    assessment.title === "" ? "What was asked and what was played" : `Asked and played: ${assessment.title}`;
  const description =
    said.length === 0
      ? "Every key is the one that was asked for."
      : `${said.slice(0, 20).join("; ")}${said.length > 20 ? "; and more" : ""}.`;
  return framed("take", { width, height }, title, description, 24, parts);
}
