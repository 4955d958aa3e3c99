import type { Assessment, Finding } from "../assess.ts";
import type { Improvisation } from "../improvised/improvisation.ts";
import type { BandReport } from "../measure/band.ts";
import { checkAssessment, checkImprovisation } from "../shapes.ts";
import { handLine } from "./hand-line.ts";
import type { PracticeStep } from "./practice.ts";
import { CAUTION } from "./practice.ts";
import { capital, inBars, inWords, plural } from "./words.ts";

const recipeLine = (step: PracticeStep): string => {
  const where = step.bars.length === 0 ? "the whole" : inBars(step.bars);
  const hands = step.hands === "both" ? "both hands" : `${step.hands} hand`;
  return `${capital(where)}, ${hands}, at ${step.recipe.tempo}, about ${step.recipe.repeats} times with breaks.`;
};

const said = (finding: Finding, i: number, step: PracticeStep | undefined): readonly string[] => [
  `${i + 1}. ${finding.message}`,
  ...(step === undefined ? [] : [`   Try: ${step.how}`, `   ${recipeLine(step)}`]),
];

/** What was heard, where that isn't the whole once through with both hands. */
const attemptLine = ({ alignment }: Assessment): readonly string[] => {
  const { attempt } = alignment ?? {};
  if (attempt === undefined) return [];
  const { hands, bars, whole, times, countIn, aside, doubled, clicks, ornaments = 0 } = attempt;
  const other = aside.length - countIn - doubled - clicks - ornaments;
  const parts = [
    ...(hands === "both" ? [] : [`the ${hands} hand alone`]),
    ...(whole
      ? []
      : [
          bars.from === bars.to
            ? inBars([bars.from])
            : `${bars.from === 0 ? "the pickup" : `bar ${bars.from}`} to bar ${bars.to}`,
        ]),
    ...(times > 1 ? [`${inWords(times)} times`] : []),
  ];
  return [
    ...(parts.length === 0 ? [] : [`I heard ${parts.join(", ")}.`]),
    ...(countIn === 0 ? [] : [`You counted in with ${plural(countIn, "tap")}.`]),
    ...(doubled < 3
      ? []
      : [
          `${capital(plural(doubled, "key"))} that sounded twice ${doubled === 1 ? "is" : "are"} counted once: a layer or a second channel sounds along.`,
        ]),
    ...(clicks === 0
      ? []
      : [
          `${capital(plural(clicks, "click"))} of a metronome ${clicks === 1 ? "is" : "are"} left out: one sound, even as only a machine is.`,
        ]),
    ...(ornaments === 0 ? [] : ["A trill counts as the note that it adorns."]),
    ...(other < 3
      ? []
      : [
          `${capital(plural(other, "key"))} beside the piece ${other === 1 ? "is" : "are"} left out: they belong to something else that was tried.`,
        ]),
  ];
};

/**
 * An assessment in words for a student: what went well, at most three things to work on with how, a line for each hand, the tempo,
 * and a caution wherever tempo or repeats are recommended.
 *
 * @returns lines parted by line feeds, with one at the end
 *
 * @example
 * ```ts
 * import { assessTake, beats, formatAssessment, makeScore, metre, parseKey, pitch, simulateTake } from "hands-together";
 *
 * const right = ["C4", "D4", "Eb4", "E4"].map((name, i) => ({ at: beats(i), duration: beats(1), pitches: [pitch(name as "C4")] }));
 * const score = makeScore({ key: parseKey("C"), metre: metre("4/4"), bars: 1, right });
 * formatAssessment(assessTake(score, simulateTake(score).played)).split("\n")[0]; // => "Every one of the 4 notes is right, and every beat is well in time."
 * ```
 */
export function formatAssessment(assessment: Assessment): string {
  checkAssessment(assessment);
  const { title, praise, say, practise, hands, tempo, band } = assessment;
  const lines = [
    ...(title === "" ? [] : [title, ""]),
    ...attemptLine(assessment),
    praise,
    ...(say.length === 0
      ? ["Nothing to fix: take it a little further when you like."]
      : ["", ...say.flatMap((finding, i) => said(finding, i, practise[i]))]),
    "",
    ...hands.map(handLine),
    `Tempo: about ${Math.round(tempo.played)} (written ${Math.round(tempo.asked)}), ${Math.round(tempo.start)} at the start, ${Math.round(tempo.end)} at the end.`,
    ...(band === undefined ? [] : [bandLine(band)]),
    ...(practise.length === 0 ? [] : ["", CAUTION]),
  ];
  return `${lines.join("\n")}\n`;
}

const lateness = (ms: number): string =>
  Math.abs(ms) < 1 ? "on it" : `${Math.round(Math.abs(ms))} ms ${ms > 0 ? "late" : "early"}`;

/** A take against the band, on the whole and beat by beat. */
const bandLine = ({ lateMs, startMs, endMs, byBeat }: BandReport): string => {
  const beats = byBeat.map(({ beat, off, lateMs: ms }) => `${beat}${off ? "+" : ""} ${lateness(ms)}`);
  const places = beats.length === 0 ? "" : ` Beat by beat: ${beats.join(", ")}.`;
  return `Against the band: ${lateness(lateMs)} on the whole, ${lateness(startMs)} at the start, ${lateness(endMs)} at the end.${places}`;
};

/**
 * An improvised take in words for a student: what went well, at most three things to try, what was heard of each hand, and a caution
 * wherever there is something to practise.
 *
 * @returns lines parted by line feeds, with one at the end
 *
 * @example
 * ```ts
 * import { assessImprovisation, formatImprovisation, makeScore, metre, parseKey } from "hands-together";
 *
 * const score = makeScore({ key: parseKey("C"), metre: metre("4/4"), bars: 2, tempo: 60 });
 * const played = [60, 62, 64, 67].map((midi, i) => ({ midi, onsetSeconds: i / 2, durationSeconds: i === 3 ? 2 : 0.4, velocity: 80 }));
 * formatImprovisation(assessImprovisation(score, played)).split("\n")[0]; // => "Your phrase begins, breathes and ends well."
 * ```
 */
export function formatImprovisation(improvisation: Improvisation): string {
  checkImprovisation(improvisation);
  const { title, praise, say, heard } = improvisation;
  const lines = [
    ...(title === "" ? [] : [`${title}, improvised`, ""]),
    praise,
    ...(say.length === 0
      ? ["Nothing to mend: take it a little further when you like."]
      : ["", ...say.flatMap(({ text, how }, i) => [`${i + 1}. ${text}`, `   Try: ${how}`])]),
    "",
    ...heard,
    ...(say.length === 0 ? [] : ["", CAUTION]),
  ];
  return `${lines.join("\n")}\n`;
}
