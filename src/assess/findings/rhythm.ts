import { capital, msAndShare } from "../say/words.ts";
import type { FindingRule, Found } from "./finding.ts";
import { handWords, OURS } from "./finding.ts";

// Taps of people without training spread by 3 to 5 % of the interval, those of musicians by less (Repp, B. H. (2005), Sensorimotor synchronization,
// Psychonomic Bulletin & Review 12(6), 969-992; from memory); at a beat of 0.6 s this is twice the musicians'.
const UNEVEN_MS = 36;
const SWING_SHARE = 0.035;
const SWING_SPREAD = 0.055;
const FEWEST_PAIRS = 8;
// Of a spread of few pairs there is more doubt.
const DOUBT = 1;
const TRIPLET_LEAN = 0.04;
const TRIPLET_SPREAD = 0.07;
const FEWEST_TRIPLETS = 4;

/** Notes early and late without a pattern. */
export const unevenTiming: FindingRule = {
  id: "uneven-timing",
  title: "Notes early and late",
  topic: "rhythm",
  threshold:
    "a spread of 36 ms (robust standard deviation) beyond its own doubt, tempo drift, swing and triplets taken out",
  source: OURS,
  find: ({ hands }) =>
    hands.flatMap(({ hand, timing }): readonly Found[] =>
      timing === undefined ||
      timing.moments < 8 ||
      timing.spreadMs * (1 - 1 / Math.sqrt(2 * timing.moments)) <= UNEVEN_MS
        ? []
        : [
            {
              weight: 0.2 + timing.spreadMs / 150,
              hand,
              bars: [],
              figures: { spreadMs: timing.spreadMs, spreadBeats: timing.spreadBeats },
              text: `The ${handWords(hand)} is sometimes early and sometimes late, by about ${msAndShare(timing.spreadMs, timing.spreadBeats)}.`,
              advice: {
                hands: hand,
                bars: [],
                slower: 0.8,
                how: `${capital(handWords(hand))} alone with a metronome, each note placed exactly with the click or between two.`,
              },
            },
          ],
    ),
};

const share = (ratio: number): number => ratio / (1 + ratio);

const shown = (ratio: number): string => `${Number(ratio.toFixed(1))}:1`;

/** Swung otherwise than asked for. */
export const swingRatio: FindingRule = {
  id: "swing-ratio",
  title: "Another swing than asked for",
  topic: "rhythm",
  threshold:
    "offbeats off by 3.5 % of the pair and by more than twice the doubt of the measurement, over eight pairs or more",
  source: OURS,
  find: ({ hands }) =>
    hands.flatMap(({ hand, swing }): readonly Found[] => {
      if (swing === undefined || swing.measured.pairs < FEWEST_PAIRS) return [];
      const { value, low, high } = swing.measured.ratio;
      const off = share(value) - share(swing.asked);
      if (Math.abs(off) <= SWING_SHARE || (low <= swing.asked && swing.asked <= high)) return [];
      const straight = swing.asked < 1.05;
      return [
        {
          weight: 0.25 + 5 * Math.abs(off),
          hand,
          kind: off < 0 ? "early" : "late",
          bars: [],
          figures: { asked: swing.asked, measured: Number(value.toFixed(3)), pairs: swing.measured.pairs },
          text: straight
            ? `The page asks for even eighths; your ${handWords(hand)} swings them at about ${shown(value)}.`
            : `Your ${handWords(hand)} swings at about ${shown(value)}, where ${shown(swing.asked)} is asked for: the offbeats come a little ${off < 0 ? "early" : "late"}.`,
          advice: {
            hands: hand,
            bars: [],
            slower: 0.8,
            how: straight
              ? `${capital(handWords(hand))} alone, counting "one and two and" with every "and" exactly halfway.`
              : `${capital(handWords(hand))} alone, counting three to a beat: the offbeat ${off < 0 ? "waits" : "comes"} with the last of the three.`,
          },
        },
      ];
    }),
};

/** Swung now more, now less. */
export const swingEvenness: FindingRule = {
  id: "uneven-swing",
  title: "Swing that changes",
  topic: "rhythm",
  threshold: "offbeats spread by 5.5 % of the pair beyond its own doubt, over eight pairs or more",
  source: OURS,
  find: ({ hands, take }) =>
    hands.flatMap(({ hand, swing, timing }): readonly Found[] => {
      // Where every note is uneven, the offbeats are not to blame.
      const general = (timing?.spreadMs ?? 0) / (1000 * take.pace);
      if (
        swing === undefined ||
        swing.measured.pairs < FEWEST_PAIRS ||
        swing.spread * (1 - DOUBT / Math.sqrt(swing.measured.pairs)) <= SWING_SPREAD ||
        swing.spread <= 1.25 * general
      )
        return [];
      return [
        {
          weight: 0.2 + 3 * swing.spread,
          hand,
          bars: [],
          figures: { spread: swing.spread, pairs: swing.measured.pairs },
          text: `The swing in your ${handWords(hand)} changes from beat to beat; choose one feel and keep it.`,
          advice: {
            hands: hand,
            bars: [],
            slower: 0.8,
            how: `${capital(handWords(hand))} alone, saying "long short, long short" in one unchanging lilt.`,
          },
        },
      ];
    }),
};

/** Triplets that are not thirds. */
export const tripletEvenness: FindingRule = {
  id: "uneven-triplets",
  title: "Uneven triplets",
  topic: "rhythm",
  threshold:
    "the second or third note off by 4 % of the triplet on the whole, or spread by 7 % beyond its own doubt, over four triplets or more",
  source: OURS,
  find: ({ hands }) =>
    hands.flatMap(({ hand, triplets }): readonly Found[] => {
      if (triplets === undefined || triplets.beats < FEWEST_TRIPLETS) return [];
      const lean = Math.abs(triplets.third) >= Math.abs(triplets.second) ? triplets.third : triplets.second;
      const leaning = Math.abs(lean) > Math.max(TRIPLET_LEAN, (3 * triplets.spread) / Math.sqrt(triplets.beats));
      if (!leaning && triplets.spread * (1 - DOUBT / Math.sqrt(triplets.beats)) <= TRIPLET_SPREAD) return [];
      const which = lean === triplets.third ? "third" : "second";
      return [
        {
          weight: 0.2 + 4 * Math.max(Math.abs(lean), triplets.spread),
          hand,
          kind: leaning ? `${which} ${lean < 0}` : "shape",
          bars: [],
          figures: { ...triplets },
          text: leaning
            ? `In the ${handWords(hand)}'s triplets the ${which} note comes ${lean < 0 ? "early" : "late"}; all three want the same length.`
            : `The ${handWords(hand)}'s triplets change in shape; all three notes want the same length.`,
          advice: {
            hands: hand,
            bars: [],
            slower: 0.8,
            how: `${capital(handWords(hand))} alone: say a three-syllable word evenly on each beat, and play with it.`,
          },
        },
      ];
    }),
};

const NAMES: readonly (readonly [quarters: number, name: string])[] = [
  [0.25, "a sixteenth"],
  [0.5, "an eighth"],
  [0.75, "a dotted eighth"],
  [1, "a quarter"],
  [1.5, "a dotted quarter"],
  [2, "a half note"],
  [3, "a dotted half"],
  [4, "a whole note"],
];

const named = (quarters: number): string =>
  NAMES.find(([length]) => Math.abs(length - quarters) < 0.01)?.[1] ?? `${Number(quarters.toFixed(2))} beats`;

/** A duration read as another. */
export const wrongRhythm: FindingRule = {
  id: "wrong-rhythm",
  title: "A duration played as another",
  topic: "rhythm",
  threshold:
    "a duration that is likelier to be another one than any change of tempo, stop or unevenness makes it (odds of 9 in natural logarithms)",
  source: OURS,
  find: ({ take }) => {
    const all = take.alignment.runs.flatMap(({ misread }) => misread);
    const [first] = all;
    if (first === undefined) return [];
    const bars = [...new Set(all.map(({ bar }) => bar))].sort((a, b) => a - b);
    const kinds = new Map<string, (typeof all)[number][]>();
    for (const one of all) {
      // Whether somebody counted wrongly or waited there can't be heard.
      const kind =
        one.played > one.asked
          ? `${named(one.asked)} lasted like ${named(one.played)}`
          : `${named(one.played)} for ${named(one.asked)}`;
      kinds.set(kind, [...(kinds.get(kind) ?? []), one]);
    }
    const told = [...kinds]
      .sort((a, b) => b[1].length - a[1].length)
      .slice(0, MOST_KINDS)
      .map(([kind, places]) => {
        const where = places.slice(0, MOST_PLACES).map(({ bar, beat }) => `bar ${Math.max(0, bar)} beat ${beat}`);
        return `${where.join(", ")}${places.length > MOST_PLACES ? " and the like" : ""}: ${kind}`;
      });
    const found: Found = {
      weight: 0.55 + 0.1 * all.length,
      bars,
      figures: { misread: all.length, asked: first.asked, played: first.played },
      // Who waits has no other rhythm.
      text: `${all.some(({ asked, played }) => played < asked) ? "The rhythm came out differently. " : ""}${capital(told.join("; "))}.`,
      advice: {
        hands: "both",
        bars,
        slower: 0.7,
        how: "Clap the rhythm of these bars while counting every beat aloud, then play it with the same counting.",
      },
    };
    return [found];
  },
};

const MOST_KINDS = 2;
const MOST_PLACES = 4;
