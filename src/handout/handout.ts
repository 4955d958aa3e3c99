import * as v from "valibot";
import { formatChord, formatDegree } from "../chord/index.ts";
import type { Drill } from "../drill/index.ts";
import { CAUTION } from "../drill/index.ts";
import { fingerScale } from "../fingering/index.ts";
import { check, shapeOf } from "../ground/check.ts";
import { page } from "../ground/page.ts";
import { escapeXml } from "../ground/svg.ts";
import { chordScaleCatalogue } from "../harmony/index.ts";
import { analysisOf, formatNumeral } from "../harmony/inner.ts";
import { formatForm } from "../line/index.ts";
import type { PrintedFingers } from "../musicxml/index.ts";
import { contourPicture, keyboardPicture } from "../picture/index.ts";
import { degreeInterval, formatPitch, pitchName, transposeNote } from "../pitch/index.ts";
import type { RightHandRow } from "../recipe/index.ts";
import { idOfRow, rightHandOf } from "../recipe/inner.ts";
import type { Score } from "../score/index.ts";
import { checkScore, writtenScore } from "../score/inner.ts";
import { beatsToNumber, pulseLength } from "../time/index.ts";
import type { Voicing } from "../voicing/index.ts";
import type { Engrave } from "./engraved.ts";
import { engraveScore } from "./engraved.ts";
import { PLAYER } from "./player.ts";
import { practiceSteps } from "./steps.ts";
import { STYLE } from "./style.ts";
import { playerTracks } from "./tracks.ts";

/** What {@link handoutPage} needs from outside, and may be asked. */
export interface HandoutOptions {
  /**
   * Engraves MusicXML as SVG pictures, one a system, such as verovio does, on systems of the width that it is told (a staff is 72 high). The ids
   * of its notes have to be those of the MusicXML, so that the page can light what sounds.
   */
  readonly engrave: Engrave;
  /** Which fingers are printed. @defaultValue what the recipe says, else `"first"`: those of a bar, and of a shape of the left hand, that come for the first time */
  readonly fingers?: PrintedFingers | undefined;
  /** Scores of a few bars that the page holds for sight-reading, at most 12; each may be read once. @defaultValue none */
  readonly sightLines?: readonly Score[] | undefined;
}

const optionsShape = /* @__PURE__ */ v.strictObject({
  engrave: /* @__PURE__ */ shapeOf((value): value is Engrave => typeof value === "function", "a function"),
  fingers: /* @__PURE__ */ v.optional(/* @__PURE__ */ v.picklist(["all", "first", "turns", "none"])),
  sightLines: /* @__PURE__ */ v.optional(
    /* @__PURE__ */ v.pipe(/* @__PURE__ */ v.array(/* @__PURE__ */ v.looseObject({})), /* @__PURE__ */ v.maxLength(12)),
  ),
});

/**
 * A handout for a student: one HTML file that works from disk without a network, prints on A4 and Letter, and plays.
 *
 * It holds what the sheet is for, the engraved music, a keyboard picture of each voicing and of the scale with its turns, steps of
 * practice, and the caution. The music is printed with staves of 6.8 mm, however long it is; on a phone it flows over systems of one or two bars.
 *
 * The player has a tempo that keeps the swing, a loop of bars whose tempo climbs after each pass or each good one, a switch for each hand, bass and
 * drums, and a count-in; what sounds is lit on the page and on the keyboards. Besides playing along there is call and response (a phrase is
 * played, its length left for the answer, then it is shown), playing by ear (the music is shown bar by bar), and sight-reading of fresh lines, one
 * chance each. Spans, tempo and repetition are not safe for every hand.
 *
 * @returns the page as text
 * @throws MusicError `handout/engraver` when the engraver answers with no list of pictures, the codes of `writeMusicXml` and `keyboardPicture`
 *
 * @example
 * ```ts
 * import { makeDrill, handoutPage } from "hands-together";
 *
 * const html = handoutPage(makeDrill({ key: "Eb" }), { engrave: () => ["<svg></svg>"] });
 * html.includes("<h1>Turnaround in E♭</h1>"); // => true
 * ```
 */
export function handoutPage(drill: Drill, options: HandoutOptions): string {
  check(drillShape, drill, "handout/argument");
  checkScore(drill.score, "handout/argument");
  check(optionsShape, options, "handout/argument");
  const { numerals, leftAs, bassLine } = drill.recipe;
  const printed = { numerals, leftAs, bassLine };
  const { engrave, fingers = drill.recipe.fingers ?? "first", sightLines: lines = [] } = options;
  for (const line of lines) checkScore(line, "handout/argument");
  const touch = drill.recipe.touch ?? (drill.recipe.feel === "ballad" ? "ballad" : "played");
  const own = playerTracks(drill.score, touch);
  const tracks = {
    ...own,
    countIn: countInOf(drill),
    prefixes: ["", "phone-"],
    sight: lines.map((score, i) => ({
      ...playerTracks(score, touch),
      prefixes: [`sight-${i}-phone-`],
    })),
  };
  const music = (on: "page" | "phone"): string =>
    `<div class="systems sheet on-${on}" role="img" aria-label="${escapeXml(`Engraved music, ${drill.score.bars} bars; the scale and the chords are told below.`)}">${engraveScore(
      drill.score,
      engrave,
      { ...printed, on, fingers },
    )
      .map(({ svg }) => svg)
      .join("\n")}</div>`;
  return page(
    `${drill.title}: ${exerciseOf(drill)}`,
    STYLE,
    `<main>
<h1>${escapeXml(drill.title)}</h1>
<p class="exercise">${escapeXml(exerciseOf(drill))}</p>
<p class="job">${escapeXml(rightHand(drill).aim)}</p>
<p class="details">${escapeXml(detailsOf(drill))}</p>
<section aria-labelledby="music"><h2 id="music">Music</h2>
${tempoMark(drill)}
${music("page")}
${music("phone")}
${lines.map((score, i) => sightSheet(score, i, engrave)).join("\n")}</section>
<section aria-labelledby="left-hand"><h2 id="left-hand">${drill.recipe.right === "comping" ? "Both hands" : "Left hand"}</h2>
<div class="cards" data-hand="left">${voicingCards(distinct(drill.voiced.voicings))}</div></section>
${drill.recipe.right === "comping" ? "" : scaleSection(drill)}
${drill.recipe.numerals === true ? harmonySection(drill) : ""}
<section aria-labelledby="steps"><h2 id="steps">How to practise</h2>
<ol>${practiceSteps(drill)
      .map((step) => `<li>${escapeXml(step)}</li>`)
      .join("")}</ol></section>
<p class="caution"><strong>Caution.</strong> ${escapeXml(CAUTION)}</p>
</main>
${controls(drill, lines.length)}
<script type="application/json" id="tracks">${JSON.stringify(tracks).replace(/</g, "\\u003c")}</script>
<script>${PLAYER}</script>`,
  );
}

const list = /* @__PURE__ */ v.array(/* @__PURE__ */ v.looseObject({}));
const idOrRow = /* @__PURE__ */ v.union([
  /* @__PURE__ */ v.string(),
  /* @__PURE__ */ v.looseObject({ id: /* @__PURE__ */ v.string() }),
]);

const drillShape = /* @__PURE__ */ v.looseObject({
  kind: /* @__PURE__ */ v.literal("drill"),
  title: /* @__PURE__ */ v.pipe(/* @__PURE__ */ v.string(), /* @__PURE__ */ v.maxLength(1000)),
  recipe: /* @__PURE__ */ v.looseObject({
    tempo: /* @__PURE__ */ v.pipe(/* @__PURE__ */ v.number(), /* @__PURE__ */ v.finite()),
    values: /* @__PURE__ */ v.optional(/* @__PURE__ */ v.string()),
    left: /* @__PURE__ */ v.union([idOrRow, /* @__PURE__ */ v.array(idOrRow)]),
    right: /* @__PURE__ */ v.union([
      /* @__PURE__ */ v.string(),
      /* @__PURE__ */ v.looseObject({ title: /* @__PURE__ */ v.string(), aim: /* @__PURE__ */ v.string() }),
    ]),
  }),
  score: /* @__PURE__ */ v.looseObject({}),
  comping: /* @__PURE__ */ v.looseObject({
    title: /* @__PURE__ */ v.pipe(/* @__PURE__ */ v.string(), /* @__PURE__ */ v.maxLength(1000)),
  }),
  line: /* @__PURE__ */ v.looseObject({ id: /* @__PURE__ */ v.string(), scale: /* @__PURE__ */ v.looseObject({}) }),
  voiced: /* @__PURE__ */ v.looseObject({ voicings: list }),
});

const NOTE =
  '<svg viewBox="0 0 10 16" role="img" aria-label="quarter note"><ellipse cx="4" cy="13" rx="3.4" ry="2.5" transform="rotate(-20 4 13)"/><path d="M7.2 12.4V1" stroke-width="1"/></svg>';

/** The tempo over the music, where no sign of the first bar can be in its way. */
const tempoMark = ({ score }: Drill): string => {
  const { feel, metre } = score;
  const swung = feel.ratio.first !== feel.ratio.second;
  const pulses = Math.round((score.tempo / beatsToNumber(pulseLength(metre))) * 100) / 100;
  const unit = beatsToNumber(pulseLength(metre)) === 1 ? NOTE : "beat";
  return `<p class="tempo-mark">${swung ? `Swing${feel.unit === "16th" ? " 16ths" : ""}, ` : ""}${unit} = ${pulses}</p>`;
};

const sightSheet = (score: Score, number: number, engrave: Engrave): string =>
  `<div class="sight" id="sight-${number}" hidden><p>Fresh line ${number + 1}: look it over, then play it once.</p><div class="systems" role="img" aria-label="A fresh line of ${score.bars} bars">${engraveScore(
    score,
    engrave,
    { on: "phone", fingers: "none" },
  )
    .map(({ svg }) => svg.replace(/ id="/g, ` id="sight-${number}-`).replace(/href="#/g, `href="#sight-${number}-`))
    .join("\n")}</div></div>`;

/** Bars of clicks before the music; where none are asked for, the page offers one. */
const countInOf = ({ recipe }: Drill): number => Math.max(1, recipe.countIn ?? 1);

const capital = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1);

/** What is practised, for the line under the title: the exercise, its values or level, and the voicings. */
const exerciseOf = (drill: Drill): string =>
  capital([rightHand(drill).title.toLowerCase(), howFast(drill)].filter((part) => part !== "").join(", "));

/** The values of an exercise, where it has notes shorter than a quarter at all, or the level of a line. */
const howFast = ({ recipe: { values, level }, score }: Drill): string => {
  if (values === undefined) return level === undefined ? "" : `level ${level}`;
  return score.right.some(({ duration }) => beatsToNumber(duration) < 1) ? `in ${values}` : "";
};

const rightHand = ({ recipe }: Drill): Pick<RightHandRow, "title" | "aim"> => rightHandOf(recipe.right);

const detailsOf = (drill: Drill): string => {
  const { recipe, line, voiced, score } = drill;
  const chords = [...new Set(voiced.voicings.map(({ chord }) => formatChord(chord)))];
  const both = recipe.right === "comping";
  const fast = howFast(drill);
  const right = `${formatPitch(line.scale.tonic)} ${line.scale.type}, ${rightHand(drill).title.toLowerCase()}${fast === "" ? "" : `, ${fast}`}`;
  return `${both ? "Both hands" : `Right hand: ${right}. Left hand`}: ${[recipe.left].flat().map(idOfRow).join(" or ")} voicings of ${chords.join(", ")}; ${drill.comping.title}. ${score.bars} bars, ${recipe.tempo} beats a minute.`;
};

const controls = ({ score, recipe }: Drill, fresh: number): string => {
  const bars = writtenScore(score).bars.map((written, i) => ({ bar: i + 1, written }));
  const select = (id: string, label: string, chosen: number): string =>
    `<label>${label} <select id="${id}">${bars.map(({ bar, written }) => `<option value="${bar}"${bar === chosen ? " selected" : ""}>${bar === written ? bar : `${bar} (as ${written})`}</option>`).join("")}</select></label>`;
  const box = (id: string, label: string, there: boolean): string =>
    `<label><input type="checkbox" id="${id}"${there ? " checked" : " disabled"}> ${label}</label>`;
  const has = { bass: score.bass !== undefined, drums: score.drums !== undefined };
  const top = Math.max(240, recipe.tempo);
  const way = (id: string, label: string): string => `<option value="${id}">${label}</option>`;
  return `<section class="player" aria-label="Player">
<div class="more" id="panel" hidden>
<label>Way <select id="mode">${way("play", "play along")}${way("answer", "call and response")}${way("ear", "by ear")}${fresh === 0 ? "" : way("sight", "sight-reading")}</select></label>
<label>Tempo <input type="range" id="tempo" min="20" max="${top}" step="1" value="${recipe.tempo}"></label>
<fieldset><legend>Bars</legend>${select("from", "from", 1)} ${select("to", "to", score.bars)}</fieldset>
<fieldset><legend>Ladder</legend>${`<label><input type="checkbox" id="ladder"> faster by</label>`} <label><input type="number" id="ladder-step" min="1" max="40" value="4" aria-label="beats a minute faster"></label>
<label>after <select id="ladder-when">${way("pass", "each pass")}${way("good", "each good pass")}</select></label> <label>up to <input type="number" id="ladder-top" min="20" max="${top}" value="${Math.min(top, recipe.tempo + 40)}"></label></fieldset>
<label><input type="checkbox" id="count-in"${recipe.countIn === 0 ? "" : " checked"}> count-in${recipe.countIn !== undefined && recipe.countIn > 1 ? ` of ${recipe.countIn} bars` : ""}</label>
<fieldset><legend>Hear</legend>${box("part-right", "right hand", true)} ${box("part-left", "left hand", true)} ${box("part-bass", "bass", has.bass)} ${box("part-drums", "drums", has.drums)}</fieldset>
<p data-told="answer" hidden>A phrase is played; its length is left for your answer; then it is shown.</p>
<p data-told="ear" hidden>The music is hidden. Find it on the keys, then show it bar by bar.</p>
<p data-told="sight" hidden>A line that you have not seen: one look, one chance.</p>
</div>
<div class="bar">
<button type="button" id="play" aria-pressed="false">Play</button>
<button type="button" id="slower" aria-label="slower">−</button><span class="tempo-now" id="tempo-text">${recipe.tempo}</span><button type="button" id="faster" aria-label="faster">+</button>
<button type="button" id="loop" aria-pressed="true">Loop</button>
<button type="button" id="good" hidden>Good</button><button type="button" id="reveal" hidden>Show a bar</button><button type="button" id="fresh" hidden>Fresh line</button><button type="button" id="hear" hidden>Hear it</button>
<span class="status" id="status" role="status"></span>
<button type="button" id="more" aria-expanded="false" aria-controls="panel">More</button>
</div>
</section>`;
};

const distinct = (voicings: readonly Voicing[]): readonly Voicing[] => {
  const seen = new Set<string>();
  return voicings.filter(({ chord, pitches }) => {
    const name = `${chord.canonical} ${pitches.map(pitchName).join(" ")}`;
    return seen.has(name) ? false : Boolean(seen.add(name));
  });
};

// On one stretch of keys, so that the eye sees how little the hand moves from card to card.
const voicingCards = (voicings: readonly Voicing[]): string => {
  const reach = voicings.flatMap(({ pitches }) => pitches);
  return voicings
    .map((voicing) => {
      const degrees = voicing.degrees.map(formatDegree).join(" ");
      return `<figure>${keyboardPicture(voicing, { title: formatChord(voicing.chord), legend: false, reach })}<figcaption>${escapeXml(degrees)}</figcaption></figure>`;
    })
    .join("\n");
};

/** What each chord does, and the scale that it is heard with, note by note. */
const harmonySection = ({ progression }: Drill): string => {
  const told = new Map<string, string>();
  for (const { chord, home, scale, key } of analysisOf(progression).chords) {
    const row = chordScaleCatalogue.find(({ id }) => id === scale);
    const notes = row?.degrees.map((degree) => formatPitch(transposeNote(chord.root, degreeInterval(degree)))) ?? [];
    const cells = [
      formatChord(chord),
      formatNumeral(home),
      `${formatPitch(key.tonic)} ${key.mode}`,
      `${row?.title ?? scale}: ${notes.join(" ")}`,
    ];
    told.set(cells.join(" "), `<tr>${cells.map((cell) => `<td>${escapeXml(cell)}</td>`).join("")}</tr>`);
  }
  return `<section aria-labelledby="harmony" class="harmony"><h2 id="harmony">Harmony</h2>
<table><thead><tr><th>Chord</th><th>In the key</th><th>Key of the moment</th><th>Scale</th></tr></thead><tbody>${[...told.values()].join("")}</tbody></table></section>`;
};

const scaleSection = (drill: Drill): string =>
  `<section aria-labelledby="right-hand" class="scale"><h2 id="right-hand">Right hand</h2>
${scaleFigure(drill)}</section>`;

const scaleFigure = ({ line, recipe, score }: Drill): string => {
  const fingering = fingerScale(line.scale, { hand: "right", ...(recipe.octaves && { octaves: recipe.octaves }) });
  const title = `${formatPitch(line.scale.tonic)} ${line.scale.type}`;
  const remarks = fingering.remarks.map(({ message }) => `<p>${escapeXml(message)}</p>`).join("");
  const form =
    "form" in line && score.right.length > 0
      ? `<figure class="contour">${contourPicture(score, { title: "The line over its chords" })}</figure><p>Phrases: ${escapeXml(formatForm(line))}.</p>`
      : "";
  return `<figure data-hand="right">${keyboardPicture(fingering, { title })}</figure>${remarks}${form}`;
};
