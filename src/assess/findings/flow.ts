import { known, nth } from "../../ground/list.ts";
import { capital, inBars, plural } from "../say/words.ts";
import type { FindingRule, Found } from "./finding.ts";
import { OURS } from "./finding.ts";

const unique = (bars: readonly number[]): readonly number[] => [...new Set(bars)].sort((a, b) => a - b);

/** Going back to play something again. */
export const restarts: FindingRule = {
  id: "restarts",
  title: "Went back",
  topic: "flow",
  threshold: "one or more",
  source: OURS,
  find: ({ take }) => {
    const back = take.alignment.runs.flatMap((run, i) =>
      run.begins === "back" ? [{ to: run.from.bar, from: nth(take.alignment.runs, i - 1).to.bar }] : [],
    );
    if (back.length === 0) return [];
    const broken = unique(back.map(({ from }) => from));
    const found: Found = {
      weight: 0.4 + 0.1 * back.length,
      bars: broken,
      figures: { restarts: back.length },
      text: `You went back ${back.length === 1 ? "once" : `${plural(back.length, "time")}`}, after ${inBars(broken)}. Finding the spot is good practice; in a run-through, let it go and play on.`,
      advice: {
        hands: "both",
        bars: broken,
        slower: 0.8,
        how: `Start one bar before ${inBars(broken)} and play through it without stopping, whatever happens.`,
      },
    };
    return [found];
  },
};

/** Stops without going back. */
export const pauses: FindingRule = {
  id: "pauses",
  title: "Stopped",
  topic: "flow",
  threshold: "a gap longer than the music by 0.6 beats and 0.3 seconds",
  source: OURS,
  find: ({ take }) => {
    const stops = take.alignment.runs.flatMap((run) => run.pauses);
    if (stops.length === 0) return [];
    const bars = unique(stops.map(({ bar }) => bar));
    const found: Found = {
      weight: 0.4 + 0.08 * stops.length,
      bars,
      figures: { pauses: stops.length, longest: Math.max(...stops.map(({ seconds }) => Number(seconds.toFixed(2)))) },
      text: `The music stopped for a moment on the way to ${inBars(bars)}.`,
      advice: {
        hands: "both",
        bars,
        slower: 0.7,
        how: `Take the tempo at which you can reach ${inBars(bars)} without stopping, and look ahead one beat.`,
      },
    };
    return [found];
  },
};

/** Bars that nothing was played of. */
export const leftOut: FindingRule = {
  id: "left-out",
  title: "Bars left out",
  topic: "flow",
  threshold: "notes that no run came to",
  source: OURS,
  find: ({ take }) => {
    const { leftOut: missing } = take.alignment;
    if (missing.length === 0) return [];
    const bars = unique(missing.map((index) => known(take.asked[index]?.bar)));
    const tail = missing[0] === take.asked.length - missing.length;
    const found: Found = {
      weight: 0.45 + missing.length / take.asked.length,
      bars,
      figures: { notes: missing.length },
      text: tail
        ? `You got as far as bar ${take.asked[nth(missing, 0) - 1]?.bar ?? 1}; ${inBars(bars)} ${bars.length === 1 ? "is" : "are"} still to come.`
        : `${capital(inBars(bars))} ${bars.length === 1 ? "was" : "were"} left out.`,
      advice: { hands: "both", bars, slower: 0.7, how: `Learn ${inBars(bars)} alone, each hand by itself first.` },
    };
    return [found];
  },
};
