import { formatChord, formatDegree } from "../chord/index.ts";
import { compingPattern } from "../comping/index.ts";
import type { Drill } from "../drill/index.ts";
import { CAUTION } from "../drill/index.ts";
import type { Hand } from "../event/index.ts";
import { fingerScale } from "../fingering/index.ts";
import { formatForm } from "../line/index.ts";
import { musicXmlNoteId, writeMusicXml } from "../musicxml/index.ts";
import { keyboardPicture } from "../picture/index.ts";
import { formatPitch, midiNumber, pitchName } from "../pitch/index.ts";
import type { RightHandRow } from "../recipe/index.ts";
import { rightHandCatalogue } from "../recipe/index.ts";
import type { Score, SoundingNote } from "../score/index.ts";
import type { ScorePart } from "../swing/index.ts";
import { notate } from "../time/index.ts";
import type { Voicing } from "../voicing/index.ts";
import { escapeHtml, page } from "./html.ts";
import { PLAYER } from "./player.ts";
import { practiceSteps } from "./steps.ts";
import { STYLE } from "./style.ts";
import { playerTracks } from "./tracks.ts";

/** What {@link handoutPage} needs from outside. */
export interface HandoutOptions {
  /**
   * Engraves MusicXML as SVG pictures, one a system, such as verovio does. The ids of its notes have to be those of the MusicXML, so
   * that the page can light what sounds.
   */
  readonly engrave: (musicXml: string) => readonly string[];
}

/**
 * A handout for a student: one HTML file that works from disk without a network, prints on A4 and Letter, and plays.
 *
 * It holds what the sheet is for, the engraved music, a keyboard picture of each voicing and of the scale with its turns, steps of
 * practice, and the caution. The player has a tempo that keeps the swing, a loop of bars, a switch for each hand, bass and drums, and a
 * count-in; what sounds is lit on the page and on the keyboards. Spans, tempo and repetition are not safe for every hand.
 *
 * @returns the page as text
 * @throws MusicError the codes of `writeMusicXml` and `keyboardPicture`
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
  const systems = engraveEvenly({ ...drill.score, title: "" }, options.engrave);
  const tracks = playerTracks(drill.score, (part, note) => idsOf(drill.score, part, note));
  return page(
    drill.title,
    STYLE,
    `<main>
<h1>${escapeHtml(drill.title)}</h1>
<p class="job">${escapeHtml(rightHand(drill).aim)}</p>
<p class="details">${escapeHtml(detailsOf(drill))}</p>
${controls(drill)}
<section aria-labelledby="music"><h2 id="music">Music</h2>
<div class="systems" role="img" aria-label="${escapeHtml(`Engraved music, ${drill.score.bars} bars; the scale and the chords are told below.`)}">${withOneFont(systems).join("\n")}</div></section>
<section aria-labelledby="left-hand"><h2 id="left-hand">Left hand</h2>
<div class="cards" data-hand="left">${voicingCards(distinct(drill.voiced.voicings))}</div></section>
<section aria-labelledby="right-hand" class="scale"><h2 id="right-hand">Right hand</h2>
${scaleFigure(drill)}</section>
<section aria-labelledby="steps"><h2 id="steps">How to practise</h2>
<ol>${practiceSteps(drill)
      .map((step) => `<li>${escapeHtml(step)}</li>`)
      .join("")}</ol></section>
<p class="caution"><strong>Caution.</strong> ${escapeHtml(CAUTION)}</p>
</main>
<script type="application/json" id="tracks">${JSON.stringify(tracks).replace(/</g, "\\u003c")}</script>
<script>${PLAYER}</script>`,
  );
}

const rightHand = ({ line }: Drill): Pick<RightHandRow, "title" | "aim"> =>
  rightHandCatalogue.find((row) => row.id === line.id) ?? { title: line.id, aim: "Play the line as it stands." };

const detailsOf = (drill: Drill): string => {
  const { recipe, line, voiced, score } = drill;
  const chords = [...new Set(voiced.voicings.map(({ chord }) => formatChord(chord)))];
  const pattern = compingPattern(drill.comping);
  return (
    `Right hand: ${formatPitch(line.scale.tonic)} ${line.scale.type}, ${rightHand(drill).title.toLowerCase()}, ${recipe.values === undefined ? `level ${recipe.level}` : `in ${recipe.values}`}. ` +
    `Left hand: ${[recipe.left].flat().join(" or ")} voicings of ${chords.join(", ")}; ${pattern.title}. ${score.bars} bars, ${recipe.tempo} beats a minute.`
  );
};

const controls = ({ score, recipe }: Drill): string => {
  const bars = Array.from({ length: score.bars }, (_, i) => i + 1);
  const select = (id: string, label: string, chosen: number): string =>
    `<label>${label} <select id="${id}">${bars.map((bar) => `<option${bar === chosen ? " selected" : ""}>${bar}</option>`).join("")}</select></label>`;
  const box = (id: string, label: string, there: boolean): string =>
    `<label><input type="checkbox" id="${id}"${there ? " checked" : " disabled"}> ${label}</label>`;
  const has = { bass: score.bass !== undefined, drums: score.drums !== undefined };
  return `<section class="player" aria-label="Player">
<button type="button" id="play" aria-pressed="false">Play</button>
<label>Tempo <input type="range" id="tempo" min="30" max="${Math.max(240, recipe.tempo)}" step="1" value="${recipe.tempo}"> <span id="tempo-text">${recipe.tempo}</span></label>
<fieldset><legend>Bars</legend>${select("from", "from", 1)} ${select("to", "to", score.bars)}</fieldset>
<label><input type="checkbox" id="loop" checked> loop</label>
<label><input type="checkbox" id="count-in" checked> count-in</label>
<fieldset><legend>Hear</legend>${box("part-right", "right hand", true)} ${box("part-left", "left hand", true)} ${box("part-bass", "bass", has.bass)} ${box("part-drums", "drums", has.drums)}</fieldset>
<span class="status" id="status" role="status"></span>
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
      return `<figure>${keyboardPicture(voicing, { title: formatChord(voicing.chord), legend: false, reach })}<figcaption>${escapeHtml(degrees)}</figcaption></figure>`;
    })
    .join("\n");
};

const scaleFigure = ({ line, recipe }: Drill): string => {
  const fingering = fingerScale(line.scale, { hand: "right", ...(recipe.octaves && { octaves: recipe.octaves }) });
  const title = `${formatPitch(line.scale.tonic)} ${line.scale.type}`;
  const remarks = fingering.remarks.map(({ message }) => `<p>${escapeHtml(message)}</p>`).join("");
  const form = "form" in line ? `<p>Phrases: ${escapeHtml(formatForm(line))}.</p>` : "";
  return `<figure data-hand="right">${keyboardPicture(fingering, { title })}</figure>${remarks}${form}`;
};

// Where the engraver had to break the page by itself, the bars are shared out evenly among as many systems, so that no bar stands alone.
const engraveEvenly = (score: Score, engrave: HandoutOptions["engrave"]): readonly string[] => {
  const musicXml = writeMusicXml(score, { degrees: false });
  const systems = engrave(musicXml);
  if (systems.length === 1 || musicXml.includes("new-system")) return systems;
  return engrave(writeMusicXml(score, { degrees: false, barsPerSystem: Math.ceil(score.bars / systems.length) }));
};

// Every system brings the same text font; one is enough for the page.
const withOneFont = (systems: readonly string[]): readonly string[] =>
  systems.map((svg, i) => (i === 0 ? svg : svg.replace(/<style[^>]*>[^<]*@font-face[\s\S]*?<\/style>/g, "")));

const idsOf = (score: Score, part: ScorePart, note: SoundingNote): readonly string[] => {
  if (part !== "right" && part !== "left") return [];
  const hand: Hand = part;
  const event = score[hand][note.event];
  if (event === undefined) return [];
  const played = note.grace ? undefined : event.pitches.find((p) => midiNumber(p) === note.midi);
  if (played !== undefined)
    return notate(event.at, event.duration, score.metre).map((piece) => musicXmlNoteId(hand, piece.at, played));
  return (event.graces ?? []).flatMap(({ pitch }, i) =>
    midiNumber(pitch) === note.midi ? [musicXmlNoteId(hand, event.at, pitch, { grace: i })] : [],
  );
};
