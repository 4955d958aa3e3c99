import { inWords } from "../say/words.ts";
import type { FindingRule, Found } from "./finding.ts";
import { OURS } from "./finding.ts";

const OTHER_TEMPO = 0.08;
const DRIFT = 0.06;
const SWAY = 0.02;

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
  threshold: "6 % between the start and the end of the longest run",
  source: OURS,
  find: ({ tempo: { start, end } }) => {
    const change = end / start - 1;
    if (Math.abs(change) <= DRIFT) return [];
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
  threshold: "2 % (standard deviation) about an even change of tempo",
  source: OURS,
  find: ({ tempo }) => {
    if (tempo.sway <= SWAY) return [];
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
