import * as v from "valibot";
import { check } from "../ground/check.ts";
import { MusicError } from "../ground/errors.ts";
import { element, words } from "../ground/svg.ts";
import type { Pitch } from "../pitch/index.ts";
import { formatPitch, noteName } from "../pitch/index.ts";
import { framed, INK } from "./frame.ts";
import type { KeyRange } from "./layout.ts";
import { BLACK, isBlack, keysOf, leftOf, middleOf, rangeAround, WHITE, widthOf } from "./layout.ts";
import { reachShape } from "./shape.ts";
import type { MarkedKey, MarkedTurn, PictureSubject, Scene } from "./subject.ts";
import { sceneOf } from "./subject.ts";

/** What {@link keyboardPicture} is asked. */
export interface KeyboardPictureOptions {
  /** Printed above the keys and read out first. @defaultValue made from the subject */
  readonly title?: string | undefined;
  /** Read out after the title. @defaultValue every note with its finger */
  readonly description?: string | undefined;
  /** What is printed on the marked keys beside the finger. @defaultValue `"notes"` */
  readonly names?: "notes" | "degrees" | "none" | undefined;
  /** Whether a line below the keys says what the signs mean. @defaultValue `true` */
  readonly legend?: boolean | undefined;
  /** What the keyboard holds besides the marked keys: given the same notes, several pictures show the same keys. @defaultValue none */
  readonly reach?: readonly Pitch[] | undefined;
  /** Start of the ids inside; has to differ between pictures on one page. @defaultValue made from the content */
  readonly id?: string | undefined;
}

const wording = /* @__PURE__ */ v.optional(
  /* @__PURE__ */ v.pipe(/* @__PURE__ */ v.string(), /* @__PURE__ */ v.maxLength(10_000)),
);

const optionsShape = /* @__PURE__ */ v.strictObject({
  title: wording,
  description: wording,
  names: /* @__PURE__ */ v.optional(/* @__PURE__ */ v.unknown()),
  legend: /* @__PURE__ */ v.optional(/* @__PURE__ */ v.boolean()),
  reach: /* @__PURE__ */ v.optional(reachShape),
  id: /* @__PURE__ */ v.optional(/* @__PURE__ */ v.unknown()),
});

const MARGIN = 14;
const TITLE = 30;
const TURN_LINE = 13;
const ARCH = 30;
const POSITIONS = 30;
const LEGEND = 22;

/**
 * A piano keyboard as an SVG picture: the keys of a scale, line, chord or voicing marked with their fingers, and where the
 * hand turns.
 *
 * The thumb's mark is filled, the others are open; left-hand marks are square, right-hand marks round. Arrows over the keys
 * show the turns each way, brackets under them what lies under the hand between turns, the first way through. Only black, white
 * and one grey are used, and all words are text. The picture has a title and a description for screen readers.
 *
 * @param subject - a fingering, a chord's fingering, a voicing (its fingers are worked out), or keys to mark
 * @returns one `<svg>` element, without an XML declaration
 * @throws MusicError `picture/empty` when there is nothing to mark, `picture/names` and `picture/id` for options that are none
 *
 * @example
 * ```ts
 * import { fingerScale, keyboardPicture } from "hands-together";
 *
 * const svg = keyboardPicture(fingerScale("C major blues", { hand: "right" }), { title: "C major blues" });
 * svg.startsWith("<svg "); // => true
 * svg.includes(">1 under 3 →</text>"); // => true
 * ```
 */
export function keyboardPicture(subject: PictureSubject, options: KeyboardPictureOptions = {}): string {
  check(optionsShape, options, "picture/argument");
  const scene = sceneOf(subject);
  const [first, last] = [scene.keys[0], scene.keys.at(-1)];
  if (first === undefined || last === undefined) {
    throw new MusicError({ code: "picture/empty", input: subject, expected: "at least one note to mark" });
  }
  const names = options.names ?? "notes";
  if (!["notes", "degrees", "none"].includes(names))
    throw new MusicError({ code: "picture/names", input: names, expected: "notes, degrees or none" });
  const reach = (options.reach ?? []).map(({ semitones }) => semitones);
  const range = rangeAround(Math.min(first.key, ...reach), Math.max(last.key, ...reach));
  const turns = stacked(scene.turns, range);
  const top =
    MARGIN + TITLE + Math.max(0, ...turns.map(({ level, lines }) => ARCH + TURN_LINE * (level + lines.length)));
  const signs = options.legend === false ? "" : legend(scene);
  const below = (scene.positions.length > 1 ? POSITIONS : 6) + (signs === "" ? 0 : LEGEND);
  const width = Math.max(widthOf(range) + 2 * MARGIN, 360);
  const height = top + WHITE.height + below + MARGIN;
  const title = options.title ?? scene.title;
  const body = [
    element("rect", { width, height, fill: "#fff" }),
    words(title, { x: MARGIN, y: MARGIN + 14, "font-size": 16, "font-weight": "bold" }),
    element("g", { transform: `translate(${MARGIN} ${top})` }, [
      ...keysOf(range, false).map((key) => keyShape(key, range)),
      ...keysOf(range, true).map((key) => keyShape(key, range)),
      ...scene.keys.map((key) => mark(key, range, names)),
      ...turns.map(arrow),
      ...(scene.positions.length > 1 ? scene.positions.map((position) => bracket(position, range)) : []),
    ]),
    ...(signs === "" ? [] : [words(signs, { x: MARGIN, y: height - MARGIN, "font-size": 11 })]),
  ];
  return framed(body, {
    title,
    description: options.description ?? scene.description,
    width,
    height,
    id: options.id,
  });
}

// `data-midi` lets a page light the keys that sound.
const keyShape = (key: number, range: KeyRange): string => {
  const size = isBlack(key) ? BLACK : WHITE;
  return element("rect", {
    "data-midi": key + 12,
    x: leftOf(key, range),
    y: 0,
    width: size.width,
    height: size.height,
    rx: isBlack(key) ? 2 : 3,
    fill: isBlack(key) ? "#222" : "#fff",
    stroke: INK,
    "stroke-width": 1,
  });
};

const RADIUS = 12;

const mark = (marked: MarkedKey, range: KeyRange, names: KeyboardPictureOptions["names"]): string => {
  const black = isBlack(marked.key);
  const x = middleOf(marked.key, range);
  const y = black ? 52 : 112;
  const thumb = marked.fingers.length === 1 && marked.fingers[0] === 1;
  const bare = marked.fingers.length === 0;
  const radius = bare ? 6 : black ? 10 : RADIUS;
  const fill = thumb || (bare && !black) ? INK : "#fff";
  // A ring of the other tone keeps a filled mark apart from a black key.
  const stroke = black ? "#fff" : INK;
  const outline =
    marked.hand === "left"
      ? element("rect", {
          x: x - radius,
          y: y - radius,
          width: 2 * radius,
          height: 2 * radius,
          rx: 2,
          fill,
          stroke,
          "stroke-width": 1.8,
        })
      : element("circle", { cx: x, cy: y, r: radius, fill, stroke, "stroke-width": 1.8 });
  const fingers = marked.fingers.join(" ");
  const label = names === "none" ? "" : names === "degrees" ? degreeText(marked) : formatPitch(noteName(marked.pitch));
  return [
    outline,
    ...(fingers === ""
      ? []
      : [
          words(fingers, {
            x,
            y: y + (fingers.length > 1 ? 4 : 5),
            "text-anchor": "middle",
            "font-size": fingers.length > 1 ? 10 : 15,
            "font-weight": "bold",
            fill: thumb ? "#fff" : INK,
          }),
        ]),
    ...(label === ""
      ? []
      : [
          words(label, {
            x,
            y: black ? 82 : 141,
            "text-anchor": "middle",
            "font-size": black ? 11 : 13,
            fill: black ? "#fff" : INK,
          }),
        ]),
  ].join("");
};

const degreeText = ({ degree }: MarkedKey): string => (degree ?? "").replace(/b/g, "♭").replace(/#/g, "♯");

interface StackedTurn {
  readonly turn: MarkedTurn;
  readonly from: number;
  readonly to: number;
  readonly lines: readonly string[];
  /** How many lines its words are lifted, so as not to run into those on the left. */
  readonly level: number;
}

// Room that a turn's words take, over the arch's middle.
const WORDS_WIDTH = 72;

const stacked = (turns: readonly MarkedTurn[], range: KeyRange): readonly StackedTurn[] => {
  const placed: StackedTurn[] = [];
  for (const turn of turns) {
    const [from, to] = [middleOf(turn.low, range), middleOf(turn.high, range)];
    const { rising, falling } = turn;
    const lines = [
      ...(rising === undefined ? [] : [`${rising} →`]),
      ...(falling === undefined ? [] : [`← ${falling}`]),
    ];
    const near = placed.filter((other) => Math.abs(other.from + other.to - from - to) / 2 < WORDS_WIDTH);
    let level = 0;
    while (near.some((other) => level < other.level + other.lines.length && other.level < level + lines.length))
      level++;
    placed.push({ turn, from, to, lines, level });
  }
  return placed;
};

const arrow = ({ turn, from, to, lines, level }: StackedTurn): string => {
  const middle = (from + to) / 2;
  const reach = Math.max(14, (to - from) / 2);
  const [left, right] = [round(middle - reach), round(middle + reach)];
  const head = (x: number): string =>
    element("path", { d: `M${round(x - 4)} -9 L${x} -2 L${round(x + 4)} -9 Z`, fill: INK });
  const foot = -24 - TURN_LINE * level;
  return [
    // The arch comes down steeply onto both keys, so that the heads point at them.
    element("path", {
      d: `M${left} -4 C${left} -24 ${right} -24 ${right} -4`,
      fill: "none",
      stroke: INK,
      "stroke-width": 1.6,
    }),
    ...(level === 0
      ? []
      : [element("path", { d: `M${round(middle)} -20 V${foot + 2}`, fill: "none", stroke: INK, "stroke-width": 0.8 })]),
    ...(turn.rising === undefined ? [] : [head(right)]),
    ...(turn.falling === undefined ? [] : [head(left)]),
    ...lines.map((line, i) =>
      words(line, {
        x: middle,
        y: foot - TURN_LINE * (lines.length - 1 - i),
        "text-anchor": "middle",
        "font-size": 11,
      }),
    ),
  ].join("");
};

// Short enough that brackets on a black key and the white one beside it stay apart.
const BRACKET_END = 6;

const bracket = ([low, high]: readonly [number, number], range: KeyRange): string => {
  const from = middleOf(low, range) - BRACKET_END;
  const to = middleOf(high, range) + BRACKET_END;
  const y = WHITE.height + 8;
  return element("path", {
    d: `M${round(from)} ${y} v7 H${round(to)} v-7`,
    fill: "none",
    stroke: INK,
    "stroke-width": 1.6,
  });
};

const round = (n: number): number => Math.round(n * 100) / 100;

const legend = ({ keys, turns, positions }: Scene): string => {
  const hands = new Set(keys.map(({ hand }) => hand));
  const fingered = keys.some(({ fingers }) => fingers.length > 0);
  return [
    fingered ? "filled: thumb" : undefined,
    hands.size > 1 ? "square: left hand, round: right hand" : undefined,
    turns.length > 0 ? "arrow: the hand turns" : undefined,
    positions.length > 1 ? "bracket: one hand position" : undefined,
  ]
    .filter((line) => line !== undefined)
    .join(" · ");
};
