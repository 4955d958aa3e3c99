import type { Assessment, BarReport, Improvisation, PracticeStep } from "../assess/index.ts";
import { CAUTION } from "../drill/index.ts";
import { checkOnce } from "../ground/check.ts";
import { escapeXml } from "../ground/svg.ts";
import { linePicture, timingPicture } from "../picture/index.ts";
import { assessmentShape, heardShape } from "../picture/inner.ts";
import type { Score } from "../score/index.ts";
import { page } from "./html.ts";
import { COLOURS } from "./style.ts";

const STYLE = `${COLOURS}
body { margin: 0 auto; max-width: 62rem; padding: 1rem; color: var(--ink); background: var(--paper); font: 1rem/1.5 Georgia, "Times New Roman", serif; }
h1 { margin: 0; font-weight: normal; } h2 { margin: 1.5rem 0 0.5rem; font-weight: normal; border-bottom: 2px solid var(--ink); }
.praise { font-size: 1.15rem; font-style: italic; }
li { margin: 0.3rem 0; }
svg { display: block; max-width: 100%; height: auto; background: #fff; break-inside: avoid; }
table { display: block; overflow-x: auto; border-collapse: collapse; } th, td { padding: 0.2rem 1rem 0.2rem 0; text-align: right; border-bottom: 1px solid var(--line); }
th:first-child, td:first-child { text-align: left; } thead th { font-weight: normal; color: var(--faint); }
.caution { margin-top: 1.5rem; border-left: 4px solid var(--ink); padding: 0.25rem 0 0.25rem 1rem; }
@media print { @page { margin: 14mm; } body { max-width: none; padding: 0; background: none; } }
`;

/**
 * An assessment as a page for the student: what went well, at most three things to fix, what to practise next, and a picture of
 * the timing.
 *
 * @returns one HTML file that works from disk without a network
 *
 * @example
 * ```ts
 * import { assessTake, assessmentPage, makeDrill, simulateTake } from "hands-together";
 *
 * const { score } = makeDrill({ key: "Eb" });
 * assessmentPage(assessTake(score, simulateTake(score).played)).includes("<h1>Turnaround in E♭: your take</h1>"); // => true
 * ```
 */
export function assessmentPage(assessment: Assessment): string {
  checkOnce(assessmentShape, assessment, "handout/argument");
  const { title, praise, say, practise } = assessment;
  const heading = `${title === "" ? "Your take" : `${title}: your take`}`;
  return page(
    heading,
    STYLE,
    `<main>
<h1>${escapeXml(heading)}</h1>
<p class="praise">${escapeXml(praise)}</p>
${say.length === 0 ? "" : `<section aria-labelledby="next"><h2 id="next">To work on</h2>${list(say.map(({ message: text }) => text))}</section>`}
${practise.length === 0 ? "" : `<section aria-labelledby="practise"><h2 id="practise">What to practise next</h2>${list(practise.map(stepText))}</section>`}
${timing(assessment)}
${CAUTION_PARAGRAPH}
</main>`,
  );
}

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
): string => `<section aria-labelledby="timing"><h2 id="timing">Early and late</h2>${timingPicture(assessment)}</section>
<section aria-labelledby="bars"><h2 id="bars">Bar by bar</h2>
<table><thead><tr><th scope="col">Hand</th><th scope="col">Bar</th><th scope="col">Asked</th><th scope="col">Right</th><th scope="col">Late by (ms)</th></tr></thead><tbody>
${assessment.barReports.map(rowOf).join("\n")}
</tbody></table></section>`;

const stepText = ({ how, hands, bars, recipe }: PracticeStep): string => {
  const where = bars.length === 0 ? "All bars" : `Bar${bars.length === 1 ? "" : "s"} ${bars.join(", ")}`;
  return `${how} ${where}, ${hands === "both" ? "both hands" : `${hands} hand`}, at ${recipe.tempo}, about ${recipe.repeats} times with breaks.`;
};

const rowOf = ({ hand, bar, asked, right, meanMs }: BarReport): string =>
  `<tr><td>${hand}</td><td>${bar === 0 ? "pickup" : bar}</td><td>${asked}</td><td>${right}</td><td>${meanMs === undefined ? "" : Math.round(meanMs)}</td></tr>`;
