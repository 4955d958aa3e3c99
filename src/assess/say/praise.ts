import { nth } from "../../ground/list.ts";
import type { Evidence } from "../findings/finding.ts";
import { handWords } from "../findings/finding.ts";
import type { HandReport } from "../measure/measures.ts";
import { capital } from "./words.ts";

const NEARLY = 0.9;
// What musicians' hands do at their best: half of what the findings of the same name start from, and less.
const STEADY_MS = 20;
const TOGETHER_MS = 15;
const TOGETHER_SPREAD_MS = 25;
const SWING_SHARE = 0.015;
const STEADY_TEMPO = 0.015;
const EVEN_TOUCH = 6;
const SHAPED = 0.4;
const WITH_BAND_MS = 30;
const FEWEST = 8;

const share = (ratio: number): number => ratio / (1 + ratio);

const which = (hands: readonly HandReport[], one: HandReport): string =>
  hands.length === 1 ? "your" : `your ${handWords(one.hand)}'s`;

/** What else is good about a take, most telling first; each only where the figures are well within what would be found fault with. */
const strengths = ({ hands, tempo, together, take, band }: Evidence): readonly string[] => {
  const { runs } = take.alignment;
  const timed = hands.every(({ timing }) => timing !== undefined && timing.spreadMs <= STEADY_MS);
  const swings = hands.filter(
    ({ swing }) =>
      swing !== undefined &&
      swing.asked > 1.05 &&
      swing.measured.pairs >= FEWEST &&
      swing.spread <= 0.04 &&
      Math.abs(share(swing.measured.ratio.value) - share(swing.asked)) <= SWING_SHARE,
  );
  const triplets = hands.find(
    ({ triplets: even }) =>
      even !== undefined && even.spread <= 0.04 && Math.max(Math.abs(even.second), Math.abs(even.third)) <= 0.02,
  );
  const shaped = hands.find(
    ({ accents }) =>
      accents !== undefined && accents.notes >= FEWEST && accents.shape >= SHAPED && accents.offbeats > accents.doubt,
  );
  const touch = hands.find(
    ({ touch: even }) => even !== undefined && even.notes >= FEWEST && even.spread <= EVEN_TOUCH,
  );
  // In time with oneself is not in time, where a band plays.
  const withBand =
    band === undefined ||
    (band.moments >= FEWEST && [band.lateMs, band.startMs, band.endMs].every((ms) => Math.abs(ms) <= WITH_BAND_MS));
  return [
    ...(band !== undefined && withBand ? ["you sit right with the band"] : []),
    ...(swings.length === 0
      ? []
      : [
          `${which(hands, nth(swings, 0))} swing sits where it should, at about ${Number((nth(swings, 0).swing?.measured.ratio.value ?? 2).toFixed(1))}:1`,
        ]),
    ...(triplets === undefined ? [] : [`${which(hands, triplets)} triplets are even`]),
    ...(together !== undefined &&
    together.moments >= FEWEST &&
    Math.abs(together.leftAfterMs) <= TOGETHER_MS &&
    together.spreadMs <= TOGETHER_SPREAD_MS
      ? ["your hands fall together"]
      : []),
    ...(withBand && tempo.sway > 0 && tempo.sway <= STEADY_TEMPO && Math.abs(tempo.end / tempo.start - 1) <= 0.03
      ? [`you kept the tempo steady at about ${Math.round(tempo.played)}`]
      : []),
    ...(withBand && timed && hands.length > 0 ? ["every beat is well in time"] : []),
    ...(shaped === undefined ? [] : [`${which(hands, shaped)} line is shaped: tops and offbeats speak`]),
    ...(touch === undefined ? [] : [`${which(hands, touch)} touch is even`]),
    ...(runs.length === 1 && runs.every(({ pauses }) => pauses.length === 0)
      ? ["you played it through without stopping"]
      : []),
  ];
};

const joined = (first: string, second: string | undefined): string =>
  `${capital(first)}${second === undefined ? "" : `, and ${second}`}.`;

/** What went well, concretely: the notes, where most are right, and one thing besides, both true. */
export const praise = (evidence: Evidence): string => {
  const { whole, hands, take, band } = evidence;
  const [best, second] = strengths(evidence);
  const perfect = hands.find((report) => report.accuracy === 1);
  if (whole.accuracy === 1) return joined(`every one of the ${whole.asked} notes is right`, best);
  if (perfect !== undefined) return joined(`every note of the ${handWords(perfect.hand)} is right`, best);
  if (whole.accuracy >= NEARLY) return joined(`${whole.right} of ${whole.asked} notes are right`, best);
  // The beat can be kept although notes are wrong.
  const kept =
    take.alignment.runs.length === 1 &&
    take.alignment.runs.every(({ pauses, misread }) => pauses.length === 0 && misread.length === 0) &&
    hands.length > 0 &&
    (band === undefined || Math.abs(band.endMs - band.startMs) <= WITH_BAND_MS) &&
    hands.every(({ timing }) => timing !== undefined && timing.spreadMs <= 1.5 * STEADY_MS);
  if (kept) return "You kept the beat going, also where notes went astray.";
  if (best !== undefined) return joined(best, second);
  return `${whole.right} notes are in the right place already.`;
};
