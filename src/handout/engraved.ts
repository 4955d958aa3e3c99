import * as v from "valibot";
import { check } from "../ground/check.ts";
import { nth } from "../ground/list.ts";
import { escapeXml } from "../ground/svg.ts";
import { numeralMarks } from "../harmony/index.ts";
import type { LeftAs, PrintedFingers } from "../musicxml/index.ts";
import { writeMusicXml } from "../musicxml/index.ts";
import type { Score } from "../score/index.ts";

/** How engraved music is drawn: the lines take the ink of the page, so that it shows on dark ones too. */
export const ENGRAVING_STYLE = `
.systems > svg { display: block; width: min(100%, calc(var(--mm) * 1.5mm)); height: auto; margin: 0 auto; overflow: visible; break-inside: avoid; color: var(--ink); fill: currentColor; }
.systems > svg svg { overflow: visible; color: inherit; fill: currentColor; }
.systems path, .systems polygon, .systems polyline, .systems rect, .systems ellipse { stroke: currentColor; }
.systems .staff > path, .systems .ledgerLines path { stroke-width: 15; }
.systems text { font-family: "Times New Roman", "Liberation Serif", Tinos, "Nimbus Roman", Times, serif; stroke: none; }
.systems .fing, .systems .tempo, .systems .reh, .systems .ending { font-weight: bold; }
.systems .mNum { font-style: italic; }
`;

/** What an engraver is told beside the music. */
export interface EngravingPaper {
  /** Width of a system, where the five lines of a staff are 72 high. */
  readonly width: number;
}

/** Turns MusicXML into SVG pictures, one a system. */
export type Engrave = (musicXml: string, paper: EngravingPaper) => readonly string[];

/** A system that is ready for a page. */
export interface EngravedSystem {
  readonly svg: string;
  /** Width and height on paper, where the staff has its full size. */
  readonly widthMm: number;
  readonly heightMm: number;
}

/** Height of a staff on paper: what piano music is mostly engraved in, between the 6.5 and 7.5 mm of common practice. */
export const STAFF_MM = 6.8;
/** Width of the music on A4 and Letter alike, inside margins of 14 mm and more. */
export const MUSIC_MM = 182;
/** Width of a phone's page, where the staff is as high as on paper. */
const PHONE_MM = 95;

const STAFF = 72;
const TENTHS = 40;

/** How the music is laid out. */
export interface EngravedLayout {
  /** `"page"`: for paper and large screens; `"phone"`: one or two bars a system. */
  readonly on: "page" | "phone";
  readonly fingers: PrintedFingers;
  /** Whether numerals stand under the chords. @defaultValue false */
  readonly numerals?: boolean | undefined;
  /** How the left hand is printed. @defaultValue its notes */
  readonly leftAs?: LeftAs | undefined;
  /** Whether the bass player's line is printed. @defaultValue false */
  readonly bassLine?: boolean | undefined;
}

const systemsShape = /* @__PURE__ */ v.array(/* @__PURE__ */ v.string());

/**
 * A score's systems at full size: the staff is as high in a long piece as in a short one, and the music flows over as many systems as it needs.
 *
 * The title and the tempo are left to the page, which has more room for them than the space over the first bar.
 */
export const engraveScore = (
  score: Score,
  engrave: Engrave,
  { on, fingers, numerals, leftAs, bassLine }: EngravedLayout,
): readonly EngravedSystem[] => {
  const mm = on === "page" ? MUSIC_MM : PHONE_MM;
  const width = Math.round((mm / STAFF_MM) * STAFF);
  const xml = (barsPerSystem?: number): string =>
    writeMusicXml(
      { ...score, title: "" },
      {
        degrees: false,
        stackedFingers: true,
        slurs: false,
        tempoMark: false,
        fingers,
        numerals: numerals === true ? numeralMarks : undefined,
        leftAs,
        bassLine,
        systemWidth: (width / STAFF) * TENTHS,
        barsPerSystem,
      },
    );
  const systemsOf = (musicXml: string): readonly string[] => {
    const systems = engrave(musicXml, { width });
    check(systemsShape, systems, "handout/engraver");
    return systems;
  };
  const whole = xml();
  const first = systemsOf(whole);
  // Where the engraver had to break the page by itself, the bars are shared out evenly, so that no bar stands alone.
  const broken = first.length > 1 && !whole.includes("<print new-system");
  const systems = broken ? systemsOf(xml(Math.ceil(score.bars / first.length))) : first;
  return systems.map((svg, i) =>
    engraved(svg, { mm, prefix: on === "page" ? "" : `${on}-`, keepsFont: i === 0 && on === "page" }),
  );
};

/** One system made ready: sized, with ids of its own, its words set for whatever font there is. */
const engraved = (
  svg: string,
  { mm, prefix, keepsFont }: { readonly mm: number; readonly prefix: string; readonly keepsFont: boolean },
): EngravedSystem => {
  const [, wide = "1", high = "1"] = /<svg[^>]*?viewBox="0 0 ([\d.]+) ([\d.]+)"/.exec(svg) ?? [];
  const perUnit = mmPerUnit(svg, Number(wide)) ?? mm / Number(wide);
  const [widthMm, heightMm] = [Number(wide) * perUnit, Number(high) * perUnit].map(
    (size) => Math.round(size * 100) / 100,
  );
  const font = keepsFont ? (/@font-face[^<]*/.exec(svg)?.[0] ?? "") : "";
  const bare = svg.replace(/<style[^>]*>[\s\S]*?<\/style>/g, "");
  const named = prefix === "" ? bare : bare.replace(/ id="/g, ` id="${prefix}`).replace(/href="#/g, `href="#${prefix}`);
  const sized = named
    .replace(/^[\s\S]*?<svg /, `<svg style="--mm:${widthMm ?? mm}" aria-hidden="true" `)
    .replace(/^[^>]*>/, (open) => (font === "" ? open : `${open}<style>${font}</style>`))
    .replace(/\n\s*/g, "");
  const moved = clearOfStems(typeset(sized));
  const { svg: clear, above: lifted } = chordsClear(moved.svg);
  const letters = lettersBeside(clear);
  const road = roadClear(letters.svg);
  const above = Math.max(moved.above, lifted, letters.above, road.above);
  const { svg: told, below: lowered } = numeralsClear(road.svg);
  const below = Math.max(moved.below, lowered);
  const grown = taller(told, above, below);
  const more = grown === told ? 0 : ((above + below) / innerWidthOf(told)) * (widthMm ?? mm);
  return { svg: grown, widthMm: widthMm ?? mm, heightMm: Math.round(((heightMm ?? mm) + more) * 100) / 100 };
};

const innerWidthOf = (svg: string): number =>
  Number(/class="definition-scale"[^>]*viewBox="0 0 ([\d.]+) /.exec(svg)?.[1] ?? 1);

/** A system with more room above and below, in the engraver's units. */
const taller = (svg: string, above: number, below: number): string => {
  const unit = innerWidthOf(svg);
  if (above + below === 0 || unit === 1) return svg;
  return svg
    .replace(/viewBox="0 0 ([\d.]+) ([\d.]+)"/, (_, wide: string, high: string) => {
      const more = ((above + below) / unit) * Number(wide);
      return `viewBox="0 0 ${wide} ${Math.round((Number(high) + more) * 100) / 100}"`;
    })
    .replace(
      /(class="definition-scale"[^>]*viewBox=")0 0 ([\d.]+) ([\d.]+)"/,
      (_, before: string, wide: string, high: string) =>
        `${before}0 ${-above} ${wide} ${Number(high) + above + below}"`,
    );
};

/** Millimetres to a unit of the outer box, from the five lines of its first staff. */
const mmPerUnit = (svg: string, wide: number): number | undefined => {
  const inner = /<svg[^>]*class="definition-scale"[^>]*viewBox="0 0 ([\d.]+) /.exec(svg)?.[1];
  const lines = [
    ...svg.slice(svg.indexOf('class="staff"')).matchAll(/<path d="M[-\d.]+ ([-\d.]+)\s*L[-\d.]+ ([-\d.]+)"/g),
  ]
    .slice(0, 5)
    .map(([, from]) => Number(from));
  const height = lines.length === 5 ? nth(lines, 4) - nth(lines, 0) : 0;
  return inner === undefined || height <= 0 ? undefined : STAFF_MM / ((height / Number(inner)) * wide);
};

// Advance widths in thousandths of the size: Adobe Core 14 AFM, Times-Roman. The engraver leaves room for these; a wider font is set narrower.
const WIDTHS: Readonly<Record<string, number>> = Object.fromEntries(
  [
    ["0123456789bdghknopquvxy#$", 500],
    ["acez", 444],
    ["fIr()-", 333],
    ["ijlt/", 278],
    ["s", 389],
    ["m", 778],
    ["wADGHKNOQUVXYw", 722],
    ["BCR", 667],
    ["EZLT", 611],
    ["FPS", 556],
    ["+=<>", 564],
    ["M", 889],
    ["W", 944],
    ["J", 389],
    [".,: \u00a0", 250],
    ["♭♯°ø", 500],
    ["Δ△", 612],
  ].flatMap(([letters, width]) => [...String(letters)].map((letter) => [letter, Number(width)])),
);

/** The width of a text, in the unit of its size. */
const widthOf = (text: string, size: number): number =>
  Math.round([...text].reduce((sum, letter) => sum + ((WIDTHS[letter] ?? 500) * size) / 1000, 0));

const fitted = (text: string, size: number, attributes = ""): string =>
  `<tspan font-size="${size}px"${attributes} textLength="${widthOf(text, size)}" lengthAdjust="spacingAndGlyphs">${escapeXml(text)}</tspan>`;

/** Words of an engraving as they should stand: chord symbols with raised extensions, and all of them in the room that they were given. */
const typeset = (svg: string): string =>
  svg
    .replace(
      /(<g [^>]*class="harm"[^>]*>)<text x="([-\d.]+)" y="([-\d.]+)"[^>]*>([\s\S]*?)<\/text>/g,
      (_, open: string, x: string, y: string, content: string) =>
        `${open}<text x="${x}" y="${y}" font-size="0px">${chordSymbol(content)}</text>`,
    )
    // A bar number stands close over the clef, and some fonts reach far below their figures.
    .replace(/(class="mNum[^>]*><text y=")([-\d.]+)/g, (_, before: string, y: string) => `${before}${Number(y) - 60}`)
    // What stands under a small staff is read as often as what stands under a large one.
    .replace(
      /(class="dir"[^>]*><text x="[-\d.]+" y=")([-\d.]+)("[^>]*>(?:<tspan[^>]*>)*<tspan font-size=")([\d.]+)px/g,
      (whole, before: string, y: string, between: string, size: string) =>
        Number(size) >= WORDS || Number(size) === 0
          ? whole
          : `${before}${Math.round(Number(y) + LETTERS * (WORDS - Number(size)))}${between}${WORDS}px`,
    )
    .replace(/(<g [^>]*class="(?:fing|mNum|dir)[^>]*>)([\s\S]*?)<\/g>/g, (_, open: string, content: string) => {
      const set = content.replace(/<tspan font-size="([\d.]+)px">([^<]+)<\/tspan>/g, (__, size: string, text: string) =>
        fitted(text.trim(), Number(size)),
      );
      return `${open}${set}</g>`;
    });

// The size of words in the engraver's units.
const WORDS = 405;
// Height of a figure's ink in its size, and the air between it and the end of a stem, in the engraver's units.
const FIGURE = 0.68;
const AIR = 45;
const BESIDE = 170;

/** Fingers that stand beside the end of a stem move out to stand beyond it, with those that are stacked on them. */
const clearOfStems = (svg: string): { readonly svg: string; readonly above: number; readonly below: number } => {
  const stems = [...svg.matchAll(/class="stem"[^>]*><path d="M([-\d.]+) ([-\d.]+) L[-\d.]+ ([-\d.]+)"/g)].map(
    ([, x, a, b]) => ({
      x: Number(x),
      top: Math.min(Number(a), Number(b)),
      bottom: Math.max(Number(a), Number(b)),
    }),
  );
  const moved = new Map<string, number>();
  const finger = /(class="fing"[^>]*><text x="([-\d.]+)" y=")([-\d.]+)("[\s\S]*?font-size="([1-9][\d.]*)px")/g;
  for (const [, , x, y, , size] of svg.matchAll(finger)) {
    const [at, foot, height] = [Number(x), Number(y), Number(size) * FIGURE];
    for (const stem of stems) {
      if (Math.abs(stem.x - at) > BESIDE || stem.top > foot || stem.bottom < foot - height) continue;
      const above = foot - stem.top < stem.bottom - (foot - height);
      const by = above ? stem.top - AIR - foot : stem.bottom + AIR + height - foot;
      const id = `${x} ${above}`;
      if (Math.abs(by) > Math.abs(moved.get(id) ?? 0)) moved.set(id, by);
    }
  }
  if (moved.size === 0) return { svg, above: 0, below: 0 };
  const height = Number(/class="definition-scale"[^>]*viewBox="0 0 [\d.]+ ([\d.]+)"/.exec(svg)?.[1] ?? Infinity);
  let [over, under] = [0, 0];
  const middle = (x: string): number => {
    const near = stems
      .filter((stem) => Math.abs(stem.x - Number(x)) <= BESIDE)
      .map(({ top, bottom }) => (top + bottom) / 2);
    return near.reduce((sum, one) => sum + one, 0) / Math.max(1, near.length);
  };
  const set = svg.replace(finger, (whole, before: string, x: string, y: string, after: string, size: string) => {
    const above = Number(y) < middle(x);
    const by = moved.get(`${x} ${above}`);
    if (by === undefined) return whole;
    const foot = Math.round(Number(y) + by);
    over = Math.max(over, Math.round(Number(size)) - foot);
    under = Math.max(under, foot + AIR - height);
    return `${before}${foot}${after}`;
  });
  return { svg: set, above: over, below: under };
};

// How high the letters of a numeral stand, in its size.
const LETTERS = 0.75;

/** Numerals stand in one line, below the lowest finger over any of them. */
const numeralsClear = (svg: string): { readonly svg: string; readonly below: number } => {
  const numeral = /(class="dir"[^>]*><text x="([-\d.]+)" y=")([-\d.]+)("[\s\S]*?font-size="([1-9][\d.]*)px")/g;
  const numerals = [...svg.matchAll(numeral)].map(([, , x, y, , size]) => ({
    x: Number(x),
    y: Number(y),
    size: Number(size),
  }));
  if (numerals.length === 0) return { svg, below: 0 };
  const feet = [...svg.matchAll(/class="fing"[^>]*><text x="([-\d.]+)" y="([-\d.]+)"/g)].map(([, x, y]) => ({
    x: Number(x),
    y: Number(y),
  }));
  let line = Math.max(...numerals.map(({ y }) => y));
  for (const { x, y, size } of numerals)
    for (const foot of feet)
      if (foot.x > x - size && foot.x < x + 4 * size && foot.y < y + 4 * size)
        line = Math.max(line, Math.round(foot.y + 2 * AIR + LETTERS * size));
  // A bracket runs under the letters, and under every finger between them.
  for (const [, from, to] of svg.matchAll(/class="bracketSpan"[^>]*>[\s\S]*?<path d="M([-\d.]+) [-\d.]+ L([-\d.]+) /g))
    for (const foot of feet)
      if (foot.x > Number(from) - BESIDE && foot.x < Number(to) + BESIDE)
        line = Math.max(line, Math.round(foot.y + 2 * AIR - BRACKET_AIR + BRACKET_END));
  const height = Number(/class="definition-scale"[^>]*viewBox="0 0 [\d.]+ ([\d.]+)"/.exec(svg)?.[1] ?? Infinity);
  const set = svg.replace(
    numeral,
    (_, before: string, _x: string, _y: string, after: string) => `${before}${line}${after}`,
  );
  const [bracketed, lowest] = bracketsBelow(set, line + BRACKET_AIR);
  return { svg: bracketed, below: Math.max(0, Math.max(line, lowest) + 2 * AIR - height) };
};

// How far a bracket lies under the letters, and how high its ends are, in the engraver's units.
const BRACKET_AIR = 240;
const BRACKET_END = 150;

/** Brackets, which the engraver sets over the staff where chord symbols may be, lie under the numerals and open upwards. */
const bracketsBelow = (svg: string, line: number): readonly [svg: string, lowest: number] => {
  let lowest = 0;
  const set = svg.replace(
    /(class="bracketSpan"[^>]*>)((?:<polyline[^>]*\/>|<path[^>]*\/>|\s)*)/g,
    (whole, open: string, drawn: string) => {
      const [, from, to] = /<path d="M([-\d.]+) [-\d.]+ L([-\d.]+) /.exec(drawn) ?? [];
      if (from === undefined || to === undefined) return whole;
      lowest = line;
      const ends = [...drawn.matchAll(/points="([-\d.]+),/g)].map(([, x]) => `M${x} ${line - BRACKET_END} V${line}`);
      return `${open}<path d="M${from} ${line} H${to} ${ends.join(" ")}" stroke-width="18" fill="none" stroke="currentColor" />`;
    },
  );
  return [set, lowest];
};

// How far an accidental reaches above its line, and a chord symbol above its own, in the engraver's units.
const ACCIDENTAL = 330;
const SYMBOL = 330;

/** Chord symbols stand in one line, over the highest finger or accidental below any of them. */
const chordsClear = (svg: string): { readonly svg: string; readonly above: number } => {
  const symbol = /(class="harm"[^>]*><text x="([-\d.]+)" y=")([-\d.]+)("[\s\S]*?)<\/text>/g;
  const marks = [
    ...[...svg.matchAll(/class="fing"[^>]*><text x="([-\d.]+)" y="([-\d.]+)"[\s\S]*?font-size="([1-9][\d.]*)px/g)].map(
      ([, x, y, size]) => ({
        x: Number(x),
        top: Number(y) - Number(size) * FIGURE,
        foot: Number(y),
      }),
    ),
    ...[...svg.matchAll(/class="accid"[^>]*><use[^>]*translate\(([-\d.]+), ([-\d.]+)\)/g)].map(([, x, y]) => ({
      x: Number(x) + BESIDE / 2,
      top: Number(y) - ACCIDENTAL,
      foot: Number(y) + ACCIDENTAL / 2,
    })),
  ];
  let [lift, highest] = [0, Infinity];
  for (const [, , x = "0", y = "0", content = ""] of svg.matchAll(symbol)) {
    const [from, line] = [Number(x), Number(y)];
    const letters = [...content.matchAll(/textLength="(\d+)"/g)].reduce((sum, [, length]) => sum + Number(length), 0);
    const to = from + letters;
    highest = Math.min(highest, line);
    for (const mark of marks) {
      if (mark.x < from - BESIDE || mark.x > to + BESIDE || mark.foot < line - SYMBOL) continue;
      lift = Math.max(lift, Math.round(line + 2 * AIR - mark.top));
    }
  }
  if (lift === 0 || lift > 2 * SYMBOL) return { svg, above: 0 };
  const set = svg.replace(
    symbol,
    (_, before: string, _x: string, y: string, after: string) => `${before}${Number(y) - lift}${after}</text>`,
  );
  return { svg: set, above: Math.max(0, Math.round(SYMBOL - highest + lift)) };
};

interface Inked {
  readonly from: number;
  readonly to: number;
  readonly top: number;
  readonly foot: number;
}

const lettersWide = (content: string): number =>
  [...content.matchAll(/textLength="(\d+)"/g)].reduce((sum, [, length]) => sum + Number(length), 0);

/** Words of the road, such as To Coda, which end with their bar, stand over whatever they would touch. */
const roadClear = (svg: string): { readonly svg: string; readonly above: number } => {
  const marks: readonly Inked[] = [
    ...[...svg.matchAll(/class="fing"[^>]*><text x="([-\d.]+)" y="([-\d.]+)"[\s\S]*?font-size="([1-9][\d.]*)px/g)].map(
      ([, x, y, size]): Inked => ({
        from: Number(x) - BESIDE / 2,
        to: Number(x) + BESIDE / 2,
        top: Number(y) - Number(size) * FIGURE,
        foot: Number(y),
      }),
    ),
    ...[...svg.matchAll(/class="harm"[^>]*><text x="([-\d.]+)" y="([-\d.]+)"([\s\S]*?)<\/text>/g)].map(
      ([, x, y, content = ""]): Inked => ({
        from: Number(x),
        to: Number(x) + lettersWide(content),
        top: Number(y) - SYMBOL,
        foot: Number(y) + AIR,
      }),
    ),
    ...[...svg.matchAll(/class="accid"[^>]*><use[^>]*translate\(([-\d.]+), ([-\d.]+)\)/g)].map(
      ([, x, y]): Inked => ({
        from: Number(x),
        to: Number(x) + BESIDE,
        top: Number(y) - ACCIDENTAL,
        foot: Number(y) + ACCIDENTAL / 2,
      }),
    ),
  ];
  let above = 0;
  const set = svg.replace(
    /(class="dir \w+"[^>]*><text x="([-\d.]+)" y=")([-\d.]+)("[\s\S]*?<\/text>)/g,
    (_, before: string, x: string, y: string, after: string) => {
      const end = Number(x);
      const from = end - lettersWide(after);
      let foot = Number(y);
      for (const mark of [...marks].sort((a, b) => b.top - a.top))
        if (mark.to > from - AIR && mark.from < end + AIR && mark.foot > foot - SYMBOL && mark.top < foot + AIR)
          foot = Math.round(mark.top - 2 * AIR);
      above = Math.max(above, SYMBOL - foot);
      return `${before}${foot}${after}`;
    },
  );
  return { svg: set, above };
};

/** Letters of sections stand in the line of the chord symbols, left of the one that they would touch. */
const lettersBeside = (svg: string): { readonly svg: string; readonly above: number } => {
  const chords = [...svg.matchAll(/class="harm"[^>]*><text x="([-\d.]+)" y="([-\d.]+)"/g)].map(([, x, y]) => ({
    x: Number(x),
    y: Number(y),
  }));
  if (chords.length === 0) return { svg, above: 0 };
  const line = Math.min(...chords.map(({ y }) => y));
  let above = 0;
  const set = svg.replace(
    /(class="reh"[^>]*><rect [^>]*?)x="([-\d.]+)" y="([-\d.]+)"([^>]*?width="([\d.]+)"[^>]*><text x=")([-\d.]+)(" y=")([-\d.]+)/g,
    (
      whole,
      open: string,
      left: string,
      top: string,
      rest: string,
      wide: string,
      middle: string,
      mid: string,
      foot: string,
    ) => {
      const [from, to] = [Number(left), Number(left) + Number(wide)];
      const next = chords.find(({ x }) => x > from - AIR && x < to + AIR);
      const aside = next === undefined ? 0 : Math.round(to + AIR - next.x);
      const up = Math.round(Number(foot) - line);
      above = Math.max(above, AIR - Number(top) + Math.max(0, up));
      return up <= 0
        ? whole
        : `${open}x="${from - aside}" y="${Number(top) - up}"${rest}${Number(middle) - aside}${mid}${Number(foot) - up}`;
    },
  );
  return { svg: set, above };
};

interface Piece {
  readonly text: string;
  readonly size: number;
  readonly music: boolean;
}

// A page brings no music font: the engraver's signs are Unicode's here. Source: SMuFL 1.4, figured bass, U+EA63 to U+EA67.
const SIGNS: Readonly<Record<string, string>> = {
  "\uea63": "♭♭",
  "\uea64": "♭",
  "\uea65": "♮",
  "\uea66": "♯",
  "\uea67": "♯♯",
};
// Letters stand at so much of the size that the engraver gives its music font beside them.
const LETTER_TO_SIGN = 405 / 720;

const RAISED = 0.74;
const RISE = 0.24;

/** A chord symbol of an engraving: root and minor on the line, the rest smaller and raised, a bass after its stroke on the line again. */
const chordSymbol = (content: string): string => {
  const pieces = [
    ...content.matchAll(/<tspan(?: font-family="([^"]*)")? font-size="([\d.]+)px"[^>]*>([^<]+)<\/tspan>/g),
  ].map(([, family, size, text = ""]): Piece => {
    const music = family !== undefined;
    return { text, size: Number(size) * (music ? LETTER_TO_SIGN : 1), music };
  });
  const letters = pieces.flatMap(({ text, size, music }) =>
    [...text].map((letter): Piece => ({ text: letter, size, music })),
  );
  const first = letters[0];
  if (first === undefined || !/^[A-G]$/.test(first.text)) return content;
  let end = 1;
  while (letters[end]?.music === true) end++;
  const minor = letters[end]?.text === "m" && letters[end + 1]?.text !== "a" ? 1 : 0;
  const slash = letters.findIndex(({ text }, i) => text === "/" && /^[A-G]$/.test(letters[i + 1]?.text ?? ""));
  const bass = slash < 0 ? letters.length : slash;
  return [
    run(letters.slice(0, end + minor), 1, 0),
    run(letters.slice(end + minor, bass), RAISED, -Math.round(RISE * first.size)),
    run(letters.slice(bass), 1, end + minor < bass ? Math.round(RISE * first.size) : 0),
  ].join("");
};

/** Letters of a kind together, at a share of their size, moved down by so much. */
const run = (letters: readonly Piece[], share: number, down: number): string => {
  const groups: Piece[] = [];
  for (const letter of letters) {
    const last = groups.at(-1);
    if (last !== undefined && last.music === letter.music)
      groups[groups.length - 1] = { ...last, text: last.text + letter.text };
    else groups.push(letter);
  }
  return groups
    .map(({ text, size, music }, i) => {
      const moved = i === 0 && down !== 0 ? ` dy="${down}"` : "";
      const own = Math.round(size * share);
      return fitted(music ? [...text].map((sign) => SIGNS[sign] ?? sign).join("") : text, own, moved);
    })
    .join("");
};
