import { plural } from "../say/words.ts";
import type { FindingRule, Found } from "./finding.ts";
import { OURS } from "./finding.ts";

// Beyond what the feel asks for: soloists lean some tens of milliseconds back on purpose, and nobody leans forward.
const LATE = { ms: 60, beats: 0.09 };
const EARLY = { ms: 40, beats: 0.06 };
// What may come of a machine rather than of the player.
const DELAY_MS = 90;
const DELAY_SPREAD_MS = 25;
const DRIFT = { ms: 100, beats: 0.15 };
const FEWEST = 8;

const NELIAS =
  "soloists' downbeats come some 30 ms, 9 % of a beat, after the rhythm section's (Nelias, C. et al. (2022), Downbeat delays are a key component of swing in jazz, Communications Physics 5, 237)";

const lateOrEarly = (ms: number): string => (ms > 0 ? "behind" : "ahead of");

const shown = (ms: number): string =>
  Math.abs(ms) < 600 ? `${Math.round(Math.abs(ms) / 5) * 5} ms` : `${(Math.abs(ms) / 1000).toFixed(1)} seconds`;

const beatsShown = (ms: number, tempo: number): string => {
  const beats = (Math.abs(ms) / 60_000) * tempo;
  return beats < 0.75 ? `${Math.round(100 * beats)} % of a beat` : `${Number(beats.toFixed(1))} beats`;
};

/** Behind or ahead of the band as a whole. */
export const offTheBand: FindingRule = {
  id: "off-the-band",
  title: "Behind or ahead of the band",
  topic: "tempo",
  threshold:
    "against the band's clock: a median of 60 ms and 9 % of a beat late, or 40 ms and 6 % early, beside what the feel asks for, over eight moments or more",
  source: `${OURS}; ${NELIAS}`,
  find: ({ band }) => {
    if (band === undefined || band.moments < FEWEST) return [];
    const { lateMs, tempo, spreadMs } = band;
    const limit = lateMs > 0 ? LATE : EARLY;
    if (Math.abs(lateMs) <= Math.max(limit.ms, (limit.beats * 60_000) / tempo)) return [];
    const delay =
      lateMs > DELAY_MS && spreadMs < DELAY_SPREAD_MS
        ? " If every take says so, the sound may reach you late: measure the delay of your equipment."
        : "";
    return [
      {
        weight: 0.35 + Math.abs(lateMs) / 500,
        bars: [],
        figures: { lateMs, tempo },
        text: `You play about ${shown(lateMs)} (${beatsShown(lateMs, tempo)}) ${lateOrEarly(lateMs)} the band.${delay}`,
        advice: {
          hands: "both",
          bars: [],
          slower: 0.9,
          how:
            lateMs > 0
              ? "Listen to the bass for four bars without playing, tap each beat with it, and begin only when your tap and the bass are one sound."
              : "Listen to the ride cymbal for four bars without playing, breathe out, and let each beat of the band come before you play.",
        },
      },
    ];
  },
};

/** Away from the band, little by little. */
export const bandDrift: FindingRule = {
  id: "band-drift",
  title: "Drifting away from the band",
  topic: "tempo",
  threshold:
    "against the band's clock: from the start to the end of the longest run 100 ms and 15 % of a beat, and twice its spread",
  source: OURS,
  find: ({ band }) => {
    if (band === undefined || band.moments < FEWEST) return [];
    const { startMs, endMs, spreadMs, tempo } = band;
    const by = endMs - startMs;
    if (Math.abs(by) <= Math.max(DRIFT.ms, (DRIFT.beats * 60_000) / tempo, 2 * spreadMs)) return [];
    const found: Found = {
      weight: 0.5 + Math.abs(by) / 1000,
      bars: [],
      figures: { startMs, endMs },
      text: `You drifted ${by > 0 ? "behind" : "ahead of"} the band: ${Math.abs(startMs) < LATE.ms ? "together at the start" : `${shown(startMs)} ${lateOrEarly(startMs)} it at the start`}, ${shown(endMs)} (${beatsShown(endMs, tempo)}) ${lateOrEarly(endMs)} it at the end.`,
      advice: {
        hands: "both",
        bars: [],
        slower: 0.9,
        how: `With the band, only the first beat of each bar at first: ${by > 0 ? "look ahead, so that the next bar doesn't surprise you" : "wait for the bass before you play it"}. Then fill in the rest.`,
      },
    };
    return [found];
  },
};

/** Whole bars away from where the band is. */
export const bandElsewhere: FindingRule = {
  id: "band-elsewhere",
  title: "In another bar than the band",
  topic: "flow",
  threshold: "against the band's clock: a run that begins half a bar or more away from it",
  source: OURS,
  find: ({ band, take }) => {
    // Going round and round isn't getting lost.
    const [first, ...more] = (band?.elsewhere ?? []).filter(() => take.alignment.attempt.times === 1);
    if (first === undefined) return [];
    const bars = [...new Set([first, ...more].map(({ bar }) => bar))];
    return [
      {
        weight: 0.6,
        bars,
        figures: { bars: first.bars },
        text: `When you came in at bar ${Math.max(1, first.bar)}, the band was ${plural(Math.abs(first.bars), "bar")} ${first.bars > 0 ? "further on" : "further back"}.`,
        advice: {
          hands: "both",
          bars,
          how: "When you get lost, stop, listen for the top of the next four bars, and come in there with the band rather than where you left off.",
        },
      },
    ];
  },
};
