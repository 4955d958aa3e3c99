import { known, nth } from "../../ground/list.ts";
import { barLength, beatsToNumber } from "../../time/index.ts";
import type { AlignedNote } from "../align/align.ts";
import type { HandReport } from "../measure/measures.ts";
import { barOf } from "../measure/measures.ts";
import { notesOf } from "../measure/model.ts";
import { capital, DIFFICULTY_WORDS, inBars, plural } from "../say/words.ts";
import type { Evidence, FindingRule, Found } from "./finding.ts";
import { handWords, OURS } from "./finding.ts";

const barsOf = ({ take }: Evidence, report: HandReport, state: AlignedNote["state"]): readonly number[] => {
  const length = beatsToNumber(barLength(take.score.metre));
  const bars = notesOf(take, report.hand)
    .filter((note) => note.state === state)
    .map((note) => barOf(take, note, length));
  if (state === "missed")
    for (const i of take.alignment.leftOut)
      if (nth(take.asked, i).hand === report.hand) bars.push(nth(take.asked, i).bar);
  return [...new Set(bars)].sort((a, b) => a - b);
};

const shareWeight = (count: number, report: HandReport): number => 0.1 + (5 * count) / Math.max(1, report.asked);

/** Notes left out. */
export const missedNotes: FindingRule = {
  id: "missed-notes",
  title: "Notes left out",
  topic: "notes",
  threshold: "one or more, beside bars that were left out as a whole",
  source: OURS,
  find: (evidence) =>
    evidence.hands.flatMap((report): readonly Found[] => {
      const missed = notesOf(evidence.take, report.hand).filter((note) => note.state === "missed").length;
      if (missed === 0) return [];
      const bars = barsOf(evidence, { ...report }, "missed");
      const { asked, hand } = report;
      return [
        {
          weight: shareWeight(missed, report),
          hand,
          bars,
          figures: { missed, asked },
          text: `${capital(plural(missed, "note"))} of ${asked} in the ${handWords(hand)} did not sound (${inBars(bars)}).`,
          advice: {
            hands: hand,
            bars,
            slower: 0.8,
            how: `${capital(handWords(hand))} alone in ${inBars(bars)}: let every key reach the bottom, and count aloud so that none is skipped.`,
          },
        },
      ];
    }),
};

/** Keys struck besides. */
export const extraNotes: FindingRule = {
  id: "extra-notes",
  title: "Keys brushed or struck besides",
  topic: "notes",
  threshold: "one or more",
  source: OURS,
  find: (evidence) =>
    evidence.hands
      .filter((report) => report.extra > 0)
      .map((report): Found => {
        const bars = barsOf(evidence, report, "extra");
        const { extra, asked, hand } = report;
        return {
          weight: 0.8 * shareWeight(extra, report),
          hand,
          bars,
          figures: { extra, asked },
          text: `${capital(plural(extra, "key"))} sounded in the ${handWords(hand)} that the page does not ask for (${inBars(bars)}).`,
          advice: {
            hands: hand,
            bars,
            slower: 0.7,
            how: `${capital(handWords(hand))} alone in ${inBars(bars)}: fingers close to the keys, and move only when you know where to.`,
          },
        };
      }),
};

/** Slips that share a cause or a bar. */
export const troubleSpot: FindingRule = {
  id: "trouble-spot",
  title: "Slips in one kind of place",
  topic: "notes",
  threshold:
    "three slips or more at one kind of crossing or leap, at least half of the hand's slips and twice what chance would put there; or in one bar three or more and two in five of the hand's slips",
  source: OURS,
  find: ({ troubleSpots, hands }) =>
    troubleSpots.flatMap((spot): readonly Found[] => {
      const { hand, difficulty, slips, of, bars } = spot;
      const { asked } = known(hands.find((report) => report.hand === hand));
      const figures = { slips, of };
      const share = slips === of ? "All" : 2 * slips > of ? "Most" : "Many";
      if (difficulty === undefined) {
        // Of a slip or two the names tell more.
        if (slips < FEWEST_TOLD) return [];
        return [
          {
            weight: 0.08 + (5 * slips) / Math.max(1, asked),
            hand,
            bars,
            figures,
            text: `${share} of the slips in your ${handWords(hand)} are in ${inBars(bars)}.`,
            advice: {
              hands: hand,
              bars,
              slower: 0.7,
              how: `Only ${inBars(bars)}, ${handWords(hand)} alone, then with the bar before it.`,
            },
          },
        ];
      }
      const where = DIFFICULTY_WORDS[difficulty];
      return [
        {
          weight: 0.25 + (5 * of) / Math.max(1, asked),
          hand,
          bars,
          figures,
          text: `${share} of the slips in your ${handWords(hand)} come right where ${where} (${inBars(bars)}).`,
          advice: {
            hands: hand,
            bars,
            slower: 0.6,
            how:
              difficulty === "leap"
                ? `Practise only the leaps in ${inBars(bars)}: look at the next key, move early, land, then play.`
                : `Practise only the turns in ${inBars(bars)}: two notes before and two after, until ${where} without a bump.`,
          },
        },
      ];
    }),
};

const FEWEST_TOLD = 3;
