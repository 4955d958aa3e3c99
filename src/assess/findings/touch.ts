import type { Finger, Hand } from "../../event/index.ts";
import type { ChordSpreadReport, HoldingReport } from "../measure/measures.ts";
import { capital, plural } from "../say/words.ts";
import type { FindingRule, Found } from "./finding.ts";
import { handWords, OURS } from "./finding.ts";

const APART_MS = 32;
const APART_SPREAD_MS = 55;
const FEWEST_TOGETHER = 6;
const SHORT_SHARE = 0.3;
const FEWEST_SHORT = 3;
const SPREAD_MS = 45;
// Of a median of few chords there is more doubt.
const DOUBT = 0.6;
// The more keys, the further apart the first and the last of keys that are equally uneven: the expected range of so many normal values beside
// that of three (Tippett, L. H. C. (1925), On the extreme individuals and the range of samples, Biometrika 17, 364-387; from memory).
const RANGES = [1, 1, 1, 1, 1.22, 1.37, 1.5] as const;
const FEWEST_CHORDS = 4;
const TOUCH = 12;
const LOUD = 9;

const isRolled = ({ chords, keys, medianMs }: ChordSpreadReport): boolean =>
  chords >= FEWEST_CHORDS &&
  medianMs * (1 - DOUBT / Math.sqrt(chords)) > SPREAD_MS * (RANGES[Math.min(6, Math.floor(keys))] ?? 1);

/** Hands that do not strike together. */
export const handsApart: FindingRule = {
  id: "hands-apart",
  title: "Hands apart",
  topic: "together",
  threshold:
    "32 ms between the hands on the whole (more than three times the doubt), or a spread of 55 ms beyond its own doubt, over six moments or more",
  source: `${OURS}; expert pianists' melody leads by up to about 30 ms (Goebl, W. (2001), Melody lead in piano performance, JASA 110(1), 563-572; from memory)`,
  find: ({ together, take, hands }) => {
    if (together === undefined || together.moments < FEWEST_TOGETHER) return [];
    const { spreadMs, moments } = together;
    // A chord that is rolled comes late as a whole only because of that.
    const rolled = (hand: Hand): number => {
      const chords = hands.find((report) => report.hand === hand)?.chords;
      return chords === undefined || !isRolled(chords) ? 0 : chords.medianMs / 2;
    };
    const leftAfterMs = Number((together.leftAfterMs - rolled("left") + rolled("right")).toFixed(1));
    const lagging = Math.abs(leftAfterMs) > Math.max(APART_MS, (3 * spreadMs) / Math.sqrt(moments));
    if (!lagging && spreadMs * (1 - 1 / Math.sqrt(moments)) <= APART_SPREAD_MS) return [];
    const shareOfBeat = Math.round(Math.abs(leftAfterMs) / (10 * take.pace));
    const found: Found = {
      weight: 0.25 + (lagging ? Math.abs(leftAfterMs) : spreadMs) / 200,
      bars: [],
      figures: { leftAfterMs, spreadMs, moments },
      text: lagging
        ? `The left hand comes about ${Math.round(Math.abs(leftAfterMs))} ms (${shareOfBeat} % of a beat) ${leftAfterMs > 0 ? "after" : "before"} the right where they should meet.`
        : "The hands meet now early, now late; let them fall as one.",
      advice: {
        hands: "both",
        bars: [],
        slower: 0.7,
        how: "Only the beats where the hands meet: prepare both, then drop them together and listen for one sound.",
      },
    };
    return [found];
  },
};

export const isShort = ({ short, notes }: HoldingReport): boolean =>
  short >= FEWEST_SHORT && short >= SHORT_SHARE * notes;

/** Long notes let go early. */
export const heldShort: FindingRule = {
  id: "held-short",
  title: "Held notes let go early",
  topic: "touch",
  threshold:
    "three notes or more of a beat or longer, and three in ten of them, let go before three fifths of their length (what a sustain pedal holds on is held)",
  source: OURS,
  find: ({ hands }) =>
    hands.flatMap(({ hand, held }): readonly Found[] =>
      held === undefined || !isShort(held)
        ? []
        : [
            {
              weight: 0.15 + (0.5 * held.short) / held.notes,
              hand,
              bars: [],
              figures: { ...held },
              text: `${held.short === held.notes ? `All ${plural(held.short, "held note")}` : `${capital(plural(held.short, "held note"))} of ${held.notes}`} in the ${handWords(hand)} ended early; let them sing for their whole length.`,
              advice: {
                hands: hand,
                bars: [],
                slower: 0.8,
                how: `${capital(handWords(hand))} alone, counting each long note to its end before the hand moves.`,
              },
            },
          ],
    ),
};

/** Chords that are broken without being asked for. */
export const chordSpread: FindingRule = {
  id: "chord-spread",
  title: "Chords not struck at once",
  topic: "touch",
  threshold:
    "a median of 45 ms from the first key to the last, of chords of four keys 55, of five 62, beyond its doubt, over four chords or more",
  source: OURS,
  find: ({ hands }) =>
    hands.flatMap(({ hand, chords }): readonly Found[] =>
      chords === undefined || !isRolled(chords)
        ? []
        : [
            {
              weight: 0.15 + chords.medianMs / 300,
              hand,
              bars: [],
              figures: { ...chords },
              text: `The ${handWords(hand)}'s chords roll a little: about ${Math.round(chords.medianMs)} ms from the first key to the last.`,
              advice: {
                hands: hand,
                bars: [],
                slower: 0.8,
                how: `${capital(handWords(hand))} alone: shape the chord in the air, touch all keys, then press them as one.`,
              },
            },
          ],
    ),
};

const FINGER_NUMBERS = [1, 2, 3, 4, 5] as const;

const FINGERS: Readonly<Record<Finger, string>> = {
  1: "thumb",
  2: "second finger",
  3: "third finger",
  4: "fourth finger",
  5: "fifth finger",
};

/** Uneven loudness, or one finger that sticks out. */
export const unevenTouch: FindingRule = {
  id: "uneven-touch",
  title: "Uneven loudness",
  topic: "touch",
  threshold: "a spread of 12 in velocity beside what is asked for, or a finger 9 louder or softer than the hand",
  source: OURS,
  find: ({ hands }) =>
    hands.flatMap(({ hand, touch }): readonly Found[] => {
      if (touch === undefined) return [];
      const [worst] = FINGER_NUMBERS.flatMap((finger) => {
        const by = touch.byFinger[finger];
        return by === undefined || Math.abs(by) < LOUD ? [] : [{ finger, by }];
      }).sort((x, y) => Math.abs(y.by) - Math.abs(x.by));
      if (worst === undefined && touch.spread <= TOUCH) return [];
      return [
        {
          weight: 0.12 + Math.max(Math.abs(worst?.by ?? 0), touch.spread) / 80,
          hand,
          kind: worst === undefined ? "all" : `${worst.finger} ${worst.by > 0}`,
          bars: [],
          figures: { spread: touch.spread, ...worst },
          text:
            worst === undefined
              ? `The ${handWords(hand)}'s notes differ in loudness more than the music asks for.`
              : `The ${FINGERS[worst.finger]} of the ${handWords(hand)} is ${worst.by > 0 ? "louder" : "softer"} than its neighbours.`,
          advice: {
            hands: hand,
            bars: [],
            slower: 0.7,
            how: `${capital(handWords(hand))} alone, softly, listening for notes of one colour.`,
          },
        },
      ];
    }),
};
