import * as v from "valibot";
import type { Finger, Hand } from "../event/index.ts";
import type { ScaleFingering } from "../fingering/index.ts";
import { fingerScale } from "../fingering/index.ts";
import { check } from "../ground/check.ts";
import { nth } from "../ground/list.ts";
import { element, words } from "../ground/svg.ts";
import type { NoteName } from "../pitch/index.ts";
import { formatPitch, keyColour } from "../pitch/index.ts";
import type { KeyOrder, Scale, ScaleRow } from "../scale/index.ts";
import { parseScale, scale, twelveKeys } from "../scale/index.ts";
import { framed, INK } from "./frame.ts";

/** Options of {@link twelveKeysPicture}. */
export interface TwelveKeysPictureOptions {
  /** @defaultValue `"right"` */
  readonly hand?: Hand | undefined;
  /** @defaultValue `"fourths"` */
  readonly order?: KeyOrder | undefined;
  /** Printed above and read out first. @defaultValue the scale and the hand */
  readonly title?: string | undefined;
  /** Start of the ids inside; has to differ between pictures on one page. @defaultValue made from the content */
  readonly id?: string | undefined;
}

const typeShape = /* @__PURE__ */ v.union([
  /* @__PURE__ */ v.pipe(/* @__PURE__ */ v.string(), /* @__PURE__ */ v.maxLength(80)),
  /* @__PURE__ */ v.looseObject({ id: /* @__PURE__ */ v.string() }),
]);
const optionsShape = /* @__PURE__ */ v.strictObject({
  hand: /* @__PURE__ */ v.optional(/* @__PURE__ */ v.picklist(["right", "left"])),
  order: /* @__PURE__ */ v.optional(/* @__PURE__ */ v.picklist(["fourths", "fifths", "chromatic"])),
  title: /* @__PURE__ */ v.optional(
    /* @__PURE__ */ v.pipe(/* @__PURE__ */ v.string(), /* @__PURE__ */ v.maxLength(1000)),
  ),
  id: /* @__PURE__ */ v.optional(/* @__PURE__ */ v.unknown()),
});

/** Keys whose scale has the same fingers in every octave. */
interface Group {
  readonly letter: string;
  readonly fingers: string;
  readonly keys: readonly NoteName[];
}

const MARGIN = 14;
const HEAD = 34;
const COLUMNS = 3;
const TILE = { width: 262, height: 118 } as const;
const WHITE_KEY = { top: 24, height: 56 } as const;
const BLACK_KEY = { top: 24, height: 36 } as const;
const LINE = 17;

/**
 * A scale in the twelve keys, as an SVG picture: of each key the notes of one octave in order, as black and white keys with their fingers, and a
 * letter that is the same for keys with the same fingers, so that what is learnt in one key is seen to serve in others.
 *
 * The thumb's mark is filled, the others are open; left-hand marks are square, right-hand marks round; a bracket holds what lies under the hand
 * between turns, as in `keyboardPicture`. Only black, white and greys are used, and all words are text. The picture has a title and a description
 * for screen readers.
 *
 * @param type - a scale without its tonic, such as `"major blues"`, or a row of one's own
 * @returns one `<svg>` element, without an XML declaration
 * @throws MusicError what `parseScale` and `fingerScale` throw, `picture/id` for an id that is none
 *
 * @example
 * ```ts
 * import { twelveKeysPicture } from "hands-together/picture";
 *
 * const svg = twelveKeysPicture("major", { hand: "right" });
 * svg.includes(">a: 1 2 3 1 2 3 4 in C, B, E, A, D, G</text>"); // => true
 * ```
 */
export function twelveKeysPicture(type: string | ScaleRow, options: TwelveKeysPictureOptions = {}): string {
  check(typeShape, type, "picture/argument");
  check(optionsShape, options, "picture/argument");
  const { hand = "right", order = "fourths" } = options;
  const scaleOn = (key: NoteName): Scale =>
    typeof type === "string" ? parseScale(`${key} ${type}`) : scale(key, type);
  const { degrees, type: name } = scaleOn("C");
  const keys = twelveKeys({ degrees, order }).map((key) => ({
    key,
    fingering: fingerScale(scaleOn(key), { hand, direction: "up" }),
  }));
  const groups = groupsOf(keys);
  const rows = Math.ceil(keys.length / COLUMNS);
  const legend = [
    ...groups.map(
      ({ letter, fingers, keys: own }) => `${letter}: ${fingers} in ${own.map((key) => formatPitch(key)).join(", ")}`,
    ),
    "same letter: same fingers in every octave · filled: thumb · bracket: one hand position",
  ];
  const width = 2 * MARGIN + COLUMNS * TILE.width;
  const height = 2 * MARGIN + HEAD + rows * TILE.height + legend.length * LINE;
  const title = options.title ?? `${name.charAt(0).toUpperCase()}${name.slice(1)} in twelve keys, ${hand} hand`;
  const body = [
    element("rect", { width, height, fill: "#fff" }),
    words(title, { x: MARGIN, y: MARGIN + 14, "font-size": 16, "font-weight": "bold" }),
    ...keys.map(({ key, fingering }, i) => {
      const group = groups.find(({ keys: own }) => own.includes(key));
      const [x, y] = [MARGIN + (i % COLUMNS) * TILE.width, MARGIN + HEAD + Math.floor(i / COLUMNS) * TILE.height];
      return element("g", { transform: `translate(${x} ${y})` }, tile(key, group?.letter ?? "", fingering));
    }),
    ...legend.map((line, i) =>
      words(line, { x: MARGIN, y: MARGIN + HEAD + rows * TILE.height + (i + 1) * LINE - 4, "font-size": 12 }),
    ),
  ];
  const description = `${groups
    .map(
      ({ letter, fingers, keys: own }) =>
        `Group ${letter}, fingers ${fingers}: ${own.map((key) => formatPitch(key)).join(", ")}.`,
    )
    .join(" ")} From each tonic up.`;
  return framed(body, { title, description, width, height, id: options.id, sort: "keys" });
}

const groupsOf = (
  keys: readonly { readonly key: NoteName; readonly fingering: ScaleFingering }[],
): readonly Group[] => {
  const byFingers = new Map<string, NoteName[]>();
  for (const { key, fingering } of keys) {
    const fingers = fingering.octaveFingers.join(" ");
    byFingers.set(fingers, [...(byFingers.get(fingers) ?? []), key]);
  }
  return [...byFingers].map(([fingers, own], i) => ({ letter: String.fromCharCode(97 + i), fingers, keys: own }));
};

const tile = (
  key: NoteName,
  letter: string,
  { hand, pitches, fingers, positions }: ScaleFingering,
): readonly string[] => {
  const step = Math.min(28, (TILE.width - 24) / pitches.length);
  const middle = (i: number): number => step * (i + 0.5);
  const bottom = WHITE_KEY.top + WHITE_KEY.height;
  return [
    words(formatPitch(key), { x: 0, y: 15, "font-size": 15, "font-weight": "bold" }),
    element("rect", { x: 30, y: 1, width: 18, height: 18, fill: "#fff", stroke: INK }),
    words(letter, { x: 39, y: 14, "text-anchor": "middle", "font-size": 13 }),
    ...pitches.map((p, i) => {
      const black = keyColour(p) === "black";
      const { top, height } = black ? BLACK_KEY : WHITE_KEY;
      const own = { x: step * i, y: top, width: step, height };
      return element("rect", { ...own, fill: black ? "#222" : "#fff", stroke: INK, "stroke-width": 1 });
    }),
    ...pitches.flatMap((p, i) => mark(middle(i), keyColour(p) === "black", hand, nth(fingers, i), step)),
    ...positions.map(({ from, to }) =>
      element("path", {
        d: `M${middle(from) - 6} ${bottom + 5} v6 H${middle(to) + 6} v-6`,
        fill: "none",
        stroke: INK,
        "stroke-width": 1.6,
      }),
    ),
  ];
};

const mark = (x: number, black: boolean, hand: Hand, finger: Finger, step: number): readonly string[] => {
  const radius = Math.min(10, step / 2 - 2);
  const y = black ? BLACK_KEY.top + BLACK_KEY.height - 13 : WHITE_KEY.top + WHITE_KEY.height - 13;
  const style = { fill: finger === 1 ? INK : "#fff", stroke: black ? "#fff" : INK, "stroke-width": 1.6 };
  return [
    hand === "left"
      ? element("rect", { x: x - radius, y: y - radius, width: 2 * radius, height: 2 * radius, rx: 2, ...style })
      : element("circle", { cx: x, cy: y, r: radius, ...style }),
    words(String(finger), {
      x,
      y: y + 4.5,
      "text-anchor": "middle",
      "font-size": 12.5,
      "font-weight": "bold",
      fill: finger === 1 ? "#fff" : INK,
    }),
  ];
};
