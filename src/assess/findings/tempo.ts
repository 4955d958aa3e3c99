import type { Score } from "../../score/index.ts";
import { inWords } from "../say/words.ts";
import type { Evidence, FindingRule, Found } from "./finding.ts";
import { OURS } from "./finding.ts";

const OTHER_TEMPO = 0.08;
// Music with a beat that others keep, and music that may breathe.
const DRIFT = { groove: 0.095, free: 0.2 };
const SWAY = { groove: 0.03, free: 0.1 };
// A drift goes one way: it is larger than the sway about it by as much.
const ONE_WAY = 2.5;

const EXPRESSIVE =
  "skilled pianists' beats differ by a tenth to a quarter of their length in music without a groove, in arches over phrases and towards the end (Repp, B. H. (1992), Diversity and commonality in music performance, JASA 92(5), 2546-2568; from memory); listeners notice a change of tempo of about 6 % (Drake, C. & Botte, M.-C. (1993), Tempo sensitivity in auditory sequences, Perception & Psychophysics 54(3), 277-286; from memory)";

/** Whether the music has a beat that is kept: it swings, or bass or drums play along. */
const isGroove = ({ feel, bass, drums }: Score): boolean =>
  feel.ratio.first !== feel.ratio.second || bass !== undefined || drums !== undefined;

const kindOf = (take: Evidence["take"]): "groove" | "free" => (isGroove(take.score) ? "groove" : "free");

const one = (found: Found): readonly Found[] => [found];

/** Another tempo than the page's. */
export const otherTempo: FindingRule = {
  id: "other-tempo",
  title: "Another tempo than written",
  topic: "tempo",
  threshold: "8 % from the score's tempo",
  source: OURS,
  find: ({ tempo: { asked, played } }) => {
    if (Math.abs(played / asked - 1) <= OTHER_TEMPO) return [];
    const slower = played < asked;
    return one({
      weight: 0.2,
      bars: [],
      figures: { asked, played },
      text: slower
        ? `You played at about ${Math.round(played)}; the page says ${Math.round(asked)}. That is a good way to learn it: move up a step at a time when it is easy.`
        : `You played at about ${Math.round(played)}; the page says ${Math.round(asked)}. Try it at the written tempo and listen to every note.`,
      advice: {
        hands: "both",
        bars: [],
        slower: slower ? 1.08 : 1,
        how: slower ? "The whole, one step faster than today, if today was easy." : "The whole at the written tempo.",
      },
    });
  },
};

/** Getting faster or slower. */
export const drift: FindingRule = {
  id: "tempo-drift",
  title: "Getting faster or slower",
  topic: "tempo",
  threshold:
    "9.5 % between the start and the end of the longest run but its last two bars, in music that neither swings nor has a rhythm section 20 %, and 2.5 times what the tempo sways about it",
  source: `${OURS}; ${EXPRESSIVE}`,
  find: ({ tempo: { start, end, sway }, take }) => {
    const change = end / start - 1;
    if (Math.abs(change) <= DRIFT[kindOf(take)] || Math.abs(Math.log(end / start)) <= ONE_WAY * sway) return [];
    return one({
      weight: 0.25 + 2 * Math.abs(change),
      bars: [],
      figures: { start, end },
      text: `You ${change > 0 ? "sped up" : "slowed down"} on the way: from about ${Math.round(start)} at the start to ${Math.round(end)} at the end.`,
      advice: {
        hands: "both",
        bars: [],
        repeats: 2,
        how:
          change > 0
            ? "With a metronome on two and four; breathe out at the end of each phrase."
            : "With a metronome on two and four; count the last bars aloud.",
      },
    });
  },
};

/** A tempo that sways. */
export const sway: FindingRule = {
  id: "unsteady-tempo",
  title: "Unsteady tempo",
  topic: "tempo",
  threshold:
    "3 % (standard deviation) about an even change of tempo, in music that neither swings nor has a rhythm section 10 %, beside arches over phrases of two, four or eight bars; the last two bars may slow down",
  source: `${OURS}; ${EXPRESSIVE}`,
  find: ({ tempo, take }) => {
    const kind = kindOf(take);
    if ((kind === "free" ? tempo.besideArches : tempo.sway) <= SWAY[kind]) return [];
    const range = Math.round(tempo.played * tempo.sway * 1.5);
    return one({
      weight: 0.25 + 6 * tempo.sway,
      bars: [],
      figures: { sway: tempo.sway, played: tempo.played },
      text: `The tempo sways by about ${range <= 12 ? inWords(Math.max(1, range)) : range} beats a minute either side of ${Math.round(tempo.played)}.`,
      advice: {
        hands: "both",
        bars: [],
        slower: 0.9,
        repeats: 2,
        how: "With a metronome, first on every beat, then on two and four only.",
      },
    });
  },
};
