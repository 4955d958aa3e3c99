import * as v from "valibot";
import type { Assessment, BarReport, Improvisation, PlayedNote, PracticeStep } from "../assess/index.ts";
import { CAUTION } from "../drill/index.ts";
import { check, checkOnce } from "../ground/check.ts";
import { page } from "../ground/page.ts";
import { escapeXml } from "../ground/svg.ts";
import { linePicture, takePicture, timingPicture } from "../picture/index.ts";
import { assessmentShape, heardShape } from "../picture/inner.ts";
import type { Score } from "../score/index.ts";
import { COLOURS } from "./style.ts";

const STYLE = `${COLOURS}
body { margin: 0 auto; max-width: 62rem; padding: 1rem; color: var(--ink); background: var(--paper); font: 1rem/1.5 Georgia, "Times New Roman", serif; }
h1 { margin: 0; font-weight: normal; } h2 { margin: 1.5rem 0 0.5rem; font-weight: normal; border-bottom: 2px solid var(--ink); }
.date { margin: 0; color: var(--faint); }
.phone { display: none; } @media (max-width: 600px) { .wide { display: none; } .phone { display: block; } }
.hear button { min-height: 2.75rem; margin: 0 0.5rem 0.5rem 0; padding: 0 1rem; font: inherit; }
.praise { font-size: 1.15rem; font-style: italic; }
li { margin: 0.3rem 0; }
svg { display: block; max-width: 100%; height: auto; background: #fff; break-inside: avoid; }
table { display: block; overflow-x: auto; border-collapse: collapse; } th, td { padding: 0.2rem 1rem 0.2rem 0; text-align: right; border-bottom: 1px solid var(--line); }
th:first-child, td:first-child { text-align: left; } thead th { font-weight: normal; color: var(--faint); }
.caution { margin-top: 1.5rem; border-left: 4px solid var(--ink); padding: 0.25rem 0 0.25rem 1rem; }
@media print { .hear { display: none; } .wide { display: block; } .phone { display: none; } @page { margin: 14mm; } body { max-width: none; padding: 0; background: none; } }
`;

/** What {@link assessmentPage} shows beside the assessment. */
export interface AssessmentPageOptions {
  /** The take as it was assessed: then the page shows what was asked and what was played on a staff, and plays both. @defaultValue none */
  readonly played?: readonly PlayedNote[] | undefined;
  /** The day of the take, as it is to be printed, at most 40 characters. @defaultValue none */
  readonly date?: string | undefined;
}

const pageOptions = /* @__PURE__ */ v.strictObject({
  played: /* @__PURE__ */ v.optional(
    /* @__PURE__ */ v.pipe(
      /* @__PURE__ */ v.array(
        /* @__PURE__ */ v.looseObject({
          midi: /* @__PURE__ */ v.number(),
          onsetSeconds: /* @__PURE__ */ v.pipe(/* @__PURE__ */ v.number(), /* @__PURE__ */ v.finite()),
          durationSeconds: /* @__PURE__ */ v.pipe(/* @__PURE__ */ v.number(), /* @__PURE__ */ v.finite()),
          velocity: /* @__PURE__ */ v.number(),
        }),
      ),
      /* @__PURE__ */ v.maxLength(1_000_000),
    ),
  ),
  date: /* @__PURE__ */ v.optional(/* @__PURE__ */ v.pipe(/* @__PURE__ */ v.string(), /* @__PURE__ */ v.maxLength(40))),
});

/**
 * An assessment as a page for the student: what went well, at most three things to fix, what to practise next, and a picture of
 * the timing; with the take itself, a staff with what was asked and what was played, wrong notes by name, and both to be heard.
 *
 * @returns one HTML file that works from disk without a network
 *
 * @example
 * ```ts
 * import { assessTake, assessmentPage, makeDrill, simulateTake } from "hands-together";
 *
 * const { score } = makeDrill({ key: "Eb" });
 * const { played } = simulateTake(score);
 * const html = assessmentPage(assessTake(score, played), { played, date: "29 November" });
 * html.includes("<h1>Turnaround in E♭: your take</h1>"); // => true
 * html.includes("Hear what you played"); // => true
 * ```
 */
export function assessmentPage(assessment: Assessment, options: AssessmentPageOptions = {}): string {
  checkOnce(assessmentShape, assessment, "handout/argument");
  check(pageOptions, options, "handout/argument");
  if (options.played !== undefined) check(soundShape, assessment, "handout/argument");
  const { title, praise, say, practise } = assessment;
  const { played, date } = options;
  const heading = `${title === "" ? "Your take" : `${title}: your take`}`;
  return page(
    heading,
    STYLE,
    `<main>
<h1>${escapeXml(heading)}</h1>
${date === undefined ? "" : `<p class="date">${escapeXml(date)}</p>`}
<p class="praise">${escapeXml(praise)}</p>
${say.length === 0 ? "" : `<section aria-labelledby="next"><h2 id="next">To work on</h2>${list(say.map(({ message: text }) => text))}</section>`}
${practise.length === 0 ? "" : `<section aria-labelledby="practise"><h2 id="practise">What to practise next</h2>${list(practise.map(stepText))}</section>`}
${played === undefined ? "" : askedAndPlayed(assessment, played)}
${timing(assessment)}
${CAUTION_PARAGRAPH}
</main>
${played === undefined ? "" : hearing(assessment, played)}`,
  );
}

const finite = /* @__PURE__ */ v.pipe(/* @__PURE__ */ v.number(), /* @__PURE__ */ v.finite());
const soundShape = /* @__PURE__ */ v.looseObject({
  tempo: /* @__PURE__ */ v.looseObject({
    asked: /* @__PURE__ */ v.pipe(finite, /* @__PURE__ */ v.minValue(1), /* @__PURE__ */ v.maxValue(10_000)),
  }),
  alignment: /* @__PURE__ */ v.looseObject({
    asked: /* @__PURE__ */ v.array(
      /* @__PURE__ */ v.looseObject({ sounds: finite, lasts: finite, midi: finite, velocity: finite }),
    ),
  }),
});

const askedAndPlayed = (assessment: Assessment, played: readonly PlayedNote[]): string => {
  // Two pictures of one page must not share their ids.
  const phone = takePicture(assessment, played, { barsInRow: 2, width: 380 }).replace(
    /take-(title|desc)/g,
    "phone-take-$1",
  );
  return `<section aria-labelledby="notes"><h2 id="notes">Asked and played</h2>
<p class="hear"><button type="button" id="hear-asked">Hear what was asked</button><button type="button" id="hear-played">Hear what you played</button><span id="hear-status" role="status"></span></p>
<div class="wide">${takePicture(assessment, played)}</div><div class="phone">${phone}</div>
<p>A ring is a note that was asked for, a dot what you played: left of its ring it was early, right of it late. Thin lines are the beats.</p></section>`;
};

/** Both takes as seconds, keys, lengths and velocities, and the script that sounds them. */
const hearing = ({ alignment, tempo }: Assessment, played: readonly PlayedNote[]): string => {
  const rounded = (value: number): number => Math.round(value * 1000) / 1000;
  const beat = 60 / tempo.asked;
  const asked = alignment.asked.map(({ sounds, lasts, midi, velocity }) => [
    sounds * beat,
    midi,
    lasts * beat,
    velocity,
  ]);
  const own = played.map((one) => [
    one.onsetSeconds,
    one.midi,
    one.soundingSeconds ?? one.durationSeconds,
    one.velocity,
  ]);
  const fromZero = (notes: readonly (readonly number[])[]): readonly (readonly number[])[] => {
    const first = notes.reduce((least, [at = 0]) => Math.min(least, at), Infinity);
    return notes.map(([at = 0, midi = 60, length = 0, velocity = 80]) => [
      rounded(at - first),
      midi,
      rounded(length),
      velocity,
    ]);
  };
  const data = JSON.stringify({ asked: fromZero(asked), played: fromZero(own) }).replace(/</g, "\\u003c");
  return `<script type="application/json" id="takes">${data}</script>
<script>${HEARING}</script>`;
};

const HEARING = `(() => {
  "use strict";
  const takes = JSON.parse(document.getElementById("takes").textContent);
  const status = document.getElementById("hear-status");
  let audio, playing = "", timer = 0;
  const stop = () => { if (audio) audio.close(); audio = null; playing = ""; clearTimeout(timer); status.textContent = ""; };
  const hear = (name) => {
    const again = playing !== name;
    stop();
    if (!again) return;
    playing = name;
    audio = new AudioContext();
    const out = audio.createDynamicsCompressor();
    out.connect(audio.destination);
    const start = audio.currentTime + 0.1;
    let end = 0;
    for (const [at, midi, length, velocity] of takes[name]) {
      const tone = audio.createOscillator(), gain = audio.createGain();
      const loud = 0.25 * (velocity / 127) ** 2, from = start + at, to = from + Math.max(0.08, length);
      tone.type = "triangle";
      tone.frequency.value = 440 * 2 ** ((midi - 69) / 12);
      gain.gain.setValueAtTime(0, from);
      gain.gain.linearRampToValueAtTime(loud, from + 0.006);
      gain.gain.setTargetAtTime(0, to, 0.06);
      tone.connect(gain).connect(out);
      tone.start(from);
      tone.stop(to + 0.5);
      end = Math.max(end, at + length);
    }
    document.dispatchEvent(new CustomEvent("take-heard", { detail: { name, notes: takes[name].length } }));
    status.textContent = name === "asked" ? "What was asked sounds; press again to stop." : "Your take sounds; press again to stop.";
    timer = setTimeout(stop, (end + 1) * 1000);
  };
  for (const name of ["asked", "played"]) document.getElementById("hear-" + name).addEventListener("click", () => hear(name));
})();`;

/**
 * An improvised take as a page for the student: what went well, at most three things to try, a picture of the line under its chords,
 * and the left hand's timing where it was assessed.
 *
 * @param heard - what `assessImprovisation` made of the take
 * @param score - the score that it was played over
 * @returns one HTML file that works from disk without a network
 *
 * @example
 * ```ts
 * import { assessImprovisation, improvisationPage, makeDrill, simulateTake } from "hands-together";
 *
 * const { score } = makeDrill({ key: "Eb" });
 * const html = improvisationPage(assessImprovisation(score, simulateTake(score).played), score);
 * html.includes("<h1>Turnaround in E♭, improvised: your take</h1>"); // => true
 * ```
 */
export function improvisationPage(heard: Improvisation, score: Score): string {
  checkOnce(heardShape, heard, "handout/argument");
  if (heard.left !== undefined) checkOnce(assessmentShape, heard.left, "handout/argument");
  const { title, praise, say, left, heard: sentences } = heard;
  const heading = title === "" ? "Your improvised take" : `${title}, improvised: your take`;
  const items = say
    .map(({ text, how }) => `<li>${escapeXml(text)}<br><strong>Try:</strong> ${escapeXml(how)}</li>`)
    .join("");
  return page(
    heading,
    STYLE,
    `<main>
<h1>${escapeXml(heading)}</h1>
<p class="praise">${escapeXml(praise)}</p>
${say.length === 0 ? "" : `<section aria-labelledby="next"><h2 id="next">To work on</h2><ol>${items}</ol></section>`}
<section aria-labelledby="line"><h2 id="line">Your line</h2>${linePicture(heard, score)}
<p>A stroke is a note, by height and length; a bow is a phrase.${say.some(({ about }) => about === "line") ? " The numbers are those above." : ""}</p></section>
<section aria-labelledby="heard"><h2 id="heard">What was heard</h2>${sentences.map((text) => `<p>${escapeXml(text)}</p>`).join("")}</section>
${left === undefined ? "" : timing(left)}
${CAUTION_PARAGRAPH}
</main>`,
  );
}

const CAUTION_PARAGRAPH = `<p class="caution"><strong>Caution.</strong> ${escapeXml(CAUTION)}</p>`;

const list = (items: readonly string[]): string =>
  `<ol>${items.map((item) => `<li>${escapeXml(item)}</li>`).join("")}</ol>`;

const timing = (
  assessment: Assessment,
): string => `<section aria-labelledby="timing"><h2 id="timing">Early and late</h2><div class="wide">${timingPicture(assessment)}</div><div class="phone">${phoneTiming(assessment)}</div></section>
<section aria-labelledby="bars"><h2 id="bars">Bar by bar</h2>
<table><thead><tr><th scope="col">Hand</th><th scope="col">Bar</th><th scope="col">Asked</th><th scope="col">Right</th><th scope="col">Late by (ms)</th></tr></thead><tbody>
${assessment.barReports.map(rowOf).join("\n")}
</tbody></table></section>`;

// Two pictures of one page must not share their ids.
const phoneTiming = (assessment: Assessment): string =>
  timingPicture(assessment, { barsInRow: 2, width: 560 }).replace(/timing-(title|desc)/g, "phone-timing-$1");

const stepText = ({ how, hands, bars, recipe }: PracticeStep): string => {
  const stretch = Array.isArray(recipe.bars) ? [...new Set<unknown>(recipe.bars)].join(" to ") : bars.join(", ");
  const where = bars.length === 0 ? "All bars" : `Bar${/^\d+$/.test(stretch) ? "" : "s"} ${stretch}`;
  return `${how} ${where}, ${hands === "both" ? "both hands" : `${hands} hand`}, at ${recipe.tempo}, about ${recipe.repeats} times with breaks.`;
};

const rowOf = ({ hand, bar, asked, right, meanMs }: BarReport): string =>
  `<tr><td>${hand}</td><td>${bar === 0 ? "pickup" : bar}</td><td>${asked}</td><td>${right}</td><td>${meanMs === undefined ? "" : Math.round(meanMs)}</td></tr>`;
