import * as v from "valibot";
import type { Drill } from "../drill/index.ts";
import { CAUTION } from "../drill/index.ts";
import type { NoteEvent } from "../event/index.ts";
import { check, shapeOf } from "../ground/check.ts";
import { page } from "../ground/page.ts";
import { escapeXml } from "../ground/svg.ts";
import type { LeftAs, PrintedFingers } from "../musicxml/index.ts";
import { formatPitch } from "../pitch/index.ts";
import type { Score } from "../score/index.ts";
import { checkScore } from "../score/inner.ts";
import type { Engrave, EngravedLayout, EngravedSystem } from "./engraved.ts";
import { engraveScore } from "./engraved.ts";
import { BOOK_STYLE } from "./style.ts";

/** A chapter of a book: one exercise in some keys. */
export interface BookChapter {
  readonly title: string;
  /** What it is for, in a sentence. @defaultValue none */
  readonly aim?: string | undefined;
  /** In the order in which they are printed. */
  readonly drills: readonly Pick<Drill, "score">[];
}

/** Options of {@link bookPage}. */
export interface BookOptions {
  /** Engraves MusicXML as SVG pictures, one a system, on systems of the width that it is told. */
  readonly engrave: Engrave;
  /** Which fingers are printed; those of the left hand stand in the first key of a chapter only. @defaultValue `"first"` */
  readonly fingers?: PrintedFingers | undefined;
  /** Whether Roman numerals stand under the chords, with brackets from each ii to its V. @defaultValue false */
  readonly numerals?: boolean | undefined;
  /** How the left hand is printed. @defaultValue its notes */
  readonly leftAs?: LeftAs | undefined;
  /** Whether the bass player's line is printed small below. @defaultValue false */
  readonly bassLine?: boolean | undefined;
  /** Under the title. @defaultValue none */
  readonly subtitle?: string | undefined;
}

const text = /* @__PURE__ */ v.pipe(/* @__PURE__ */ v.string(), /* @__PURE__ */ v.maxLength(1000));
const chaptersShape = /* @__PURE__ */ v.pipe(
  /* @__PURE__ */ v.array(
    /* @__PURE__ */ v.looseObject({
      title: text,
      aim: /* @__PURE__ */ v.optional(text),
      drills: /* @__PURE__ */ v.pipe(
        /* @__PURE__ */ v.array(/* @__PURE__ */ v.looseObject({ score: /* @__PURE__ */ v.looseObject({}) })),
        /* @__PURE__ */ v.minLength(1),
        /* @__PURE__ */ v.maxLength(100),
      ),
    }),
  ),
  /* @__PURE__ */ v.minLength(1),
  /* @__PURE__ */ v.maxLength(500),
);
const optionsShape = /* @__PURE__ */ v.strictObject({
  engrave: /* @__PURE__ */ shapeOf((value): value is Engrave => typeof value === "function", "a function"),
  fingers: /* @__PURE__ */ v.optional(/* @__PURE__ */ v.picklist(["all", "first", "turns", "none"])),
  numerals: /* @__PURE__ */ v.optional(/* @__PURE__ */ v.boolean()),
  leftAs: /* @__PURE__ */ v.optional(/* @__PURE__ */ v.picklist(["notes", "rhythm", "slashes"])),
  bassLine: /* @__PURE__ */ v.optional(/* @__PURE__ */ v.boolean()),
  subtitle: /* @__PURE__ */ v.optional(text),
});

/** What a page holds between its margins on A4 and on Letter alike, less its header and its foot. */
const BODY_MM = 236;
/** What the head of a chapter takes, with its aim and the caution. */
const HEAD_MM = 25;
const GAP_MM = 1;
/** A staff may be this much smaller to bring twelve keys onto two pages: 6.4 of 6.8 mm. */
const SMALLEST = 0.941;

/**
 * A printable book: a title page, contents, a page on how to practise, and a chapter an exercise, with headers and page numbers. Each page is laid out
 * here, for A4 and Letter alike, so that every browser prints the same pages; twelve keys of a short exercise stand on two of them. A key that
 * is longer than a page turns where the right hand rests, if it rests near the foot.
 *
 * Spans, tempo and repetition are not safe for every hand; the caution stands at the head of each chapter.
 *
 * @param title - the book's title
 * @param chapters - at least one
 * @returns one HTML file without scripts
 * @throws MusicError `handout/engraver` when the engraver answers with no list of pictures, the codes of `writeMusicXml`
 *
 * @example
 * ```ts
 * import { makeDrill } from "hands-together";
 * import { bookPage } from "hands-together/handout";
 *
 * const drills = ["C", "F", "Bb"].map((key) => makeDrill({ key }));
 * const html = bookPage("Turnarounds", [{ title: "Up and down", drills }], { engrave: () => ["<svg></svg>"] });
 * html.includes("<h1>Turnarounds</h1>"); // => true
 * ```
 */
export function bookPage(title: string, chapters: readonly BookChapter[], options: BookOptions): string {
  check(text, title, "handout/argument");
  check(chaptersShape, chapters, "handout/argument");
  check(optionsShape, options, "handout/argument");
  for (const { drills } of chapters) for (const { score } of drills) checkScore(score, "handout/argument");
  const { engrave, fingers = "first", numerals, leftAs, bassLine, subtitle = "" } = options;
  const layout: EngravedLayout = { on: "page", fingers, numerals, leftAs, bassLine };
  const glyphs = new Map<string, string>();
  const laid = chapters.map((chapter) => ({ ...chapter, leaves: leavesOf(chapter, engrave, layout, glyphs) }));
  let next = 4;
  const numbered = laid.map((chapter) => {
    const first = next;
    next += chapter.leaves.length;
    return { ...chapter, first };
  });
  const contents = numbered
    .map(
      (chapter, i) =>
        `<li><a href="#chapter-${i + 1}"><span>${escapeXml(chapter.title)}</span><span>${chapter.first}</span></a></li>`,
    )
    .join("\n");
  const body = numbered.flatMap((chapter, i) =>
    chapter.leaves.map((leaf, l) => {
      const head =
        l > 0
          ? ""
          : `<header class="chapter"><h2 id="chapter-${i + 1}">${escapeXml(chapter.title)}</h2>${chapter.aim === undefined ? "" : `<p class="aim">${escapeXml(chapter.aim)}</p>`}<p class="caution">${escapeXml(CAUTION)}</p></header>`;
      return leafOf(title, chapter.title, chapter.first + l, `${head}<div class="systems">${leaf}</div>`);
    }),
  );
  return page(
    title,
    BOOK_STYLE,
    `<svg class="glyphs" aria-hidden="true" width="0" height="0"><defs>${[...glyphs.values()].join("")}</defs></svg>
<main>
<section class="leaf title"><h1>${escapeXml(title)}</h1>${subtitle === "" ? "" : `<p>${escapeXml(subtitle)}</p>`}</section>
${leafOf(title, "Contents", 2, `<h2>Contents</h2><ol class="contents">${contents}</ol>`)}
${leafOf(title, "How to practise", 3, `<h2>How to practise</h2><ol class="steps">${STEPS.map((step) => `<li>${escapeXml(step)}</li>`).join("")}</ol><p class="caution">${escapeXml(CAUTION)}</p>`)}
${body.join("\n")}
</main>`,
  );
}

// Common practice, no source.
const STEPS = [
  "Take one key a day. Say the chords aloud before you touch the keys.",
  "Right hand alone, at a little more than half the tempo: say the fingers aloud where the hand turns.",
  "Left hand alone: let the hand move as little as the notes do, and look ahead to the next chord.",
  "Hands together at the slow tempo, two bars at a time. Loop the bars that do not come yet.",
  "Three times through without a mistake before the tempo goes up, and no more than five beats a minute at once.",
  "Rest the hands for a minute after each page, and stop while it still goes well.",
  "Write down the tempo of each key, and start below it tomorrow.",
];

const leafOf = (title: string, chapter: string, number: number, content: string): string =>
  `<section class="leaf"><p class="running"><span>${escapeXml(title)}</span><span>${escapeXml(chapter)}</span></p><div class="body">${content}</div><p class="number">${number}</p></section>`;

interface Block {
  readonly label: string;
  readonly systems: readonly EngravedSystem[];
}

const withoutLeftFingers = (score: Score): Score => ({
  ...score,
  left: score.left.map(({ fingers: _, ...event }): NoteEvent => event),
});

const leavesOf = (
  { drills }: BookChapter,
  engrave: Engrave,
  layout: EngravedLayout,
  glyphs: Map<string, string>,
): readonly string[] => {
  const blocks = drills.map(({ score }, i): Block => {
    const { tonic, mode } = score.key;
    return {
      label: `${formatPitch(tonic)}${mode === "minor" ? " minor" : ""}`,
      systems: engraveScore(i === 0 ? score : withoutLeftFingers(score), engrave, layout),
    };
  });
  const short = blocks.every(({ systems }) => systems.length === 1);
  const scales = short ? [1, 0.98, 0.96, SMALLEST] : [1];
  const tries = scales.map((scale) => ({ scale, pages: packed(blocks, scale) }));
  const best = tries.find(({ pages }) => pages.length <= Math.ceil(blocks.length / 6)) ?? tries[0];
  return (best?.pages ?? []).map((placed) => placed.map((one) => systemOf(one, best?.scale ?? 1, glyphs)).join("\n"));
};

interface Placed {
  readonly system: EngravedSystem;
  /** The key, over its first system. */
  readonly label: string;
}

/** Systems page by page: a key stays together where a page holds it, and a longer one turns where the right hand rests. */
const packed = (blocks: readonly Block[], scale: number): readonly (readonly Placed[])[] => {
  const pages: Placed[][] = [[]];
  let left = BODY_MM - HEAD_MM;
  const heightOf = ({ heightMm }: EngravedSystem): number => heightMm * scale + GAP_MM;
  const turn = (): void => {
    pages.push([]);
    left = BODY_MM;
  };
  for (const { label, systems } of blocks) {
    const whole = systems.reduce((sum, system) => sum + heightOf(system), 0);
    if (whole > left && whole <= BODY_MM) turn();
    systems.forEach((system, i) => {
      const height = heightOf(system);
      const ahead = systems[i + 1];
      const last = ahead !== undefined && height + heightOf(ahead) > left;
      // The last that would fit goes over too, where the one before it ends with a rest and it does not.
      const better = last && i > 0 && rests(systems[i - 1]) && !rests(system);
      if (height > left || better) turn();
      pages.at(-1)?.push({ system, label: i === 0 ? label : "" });
      left -= height;
    });
  }
  return pages;
};

/** Whether the right hand has a rest in the last bar of a system. */
const rests = (system: EngravedSystem | undefined): boolean => {
  const bar = system?.svg.split('class="measure"').at(-1) ?? "";
  const [, right = ""] = bar.split('class="staff"');
  return /class="m?Rest"|class="m?rest"/.test(right);
};

const systemOf = ({ system, label }: Placed, scale: number, glyphs: Map<string, string>): string => {
  const mm = (size: number): number => Math.round(size * scale * 100) / 100;
  const bare = system.svg
    .replace(/<defs>([\s\S]*?)<\/defs>/g, (_, defs: string) => {
      for (const [glyph, id = ""] of defs.matchAll(/<g id="([^"]+)">[\s\S]*?<\/g>/g)) glyphs.set(id, glyph);
      return "";
    })
    .replace(/ id="[^"]*"/g, "")
    .replace(/style="--mm:[^"]*"/, `style="width:${mm(system.widthMm)}mm;height:${mm(system.heightMm)}mm"`);
  return `<div class="system">${label === "" ? "" : `<h3>${escapeXml(label)}</h3>`}${bare}</div>`;
};
