import { capital, inBars } from "../say/words.ts";
import type { FindingRule, Found } from "./finding.ts";
import { handWords, OURS } from "./finding.ts";
import { isShort } from "./touch.ts";

const COVERS = 4;
const ASKED_SOFTER = 6;
const STIFF = 8;
const DETACHED = 0.5;
const FEWEST_JOINED = 12;
const FEWEST_BLURRED = 4;
const BLURRED_SHARE = 0.2;

/** The left hand louder than the line above it. */
export const balance: FindingRule = {
  id: "balance",
  title: "The left hand covers the right",
  topic: "together",
  threshold:
    "the left hand 4 louder in velocity than the right, and more than twice the doubt, where the page asks it to be 6 softer; over eight notes of each",
  source: `${OURS}; pianists strike the melody some 20 velocities harder than the rest (Goebl, W. (2001), Melody lead in piano performance, JASA 110(1), 563-572; from memory)`,
  find: ({ balance: heard }) => {
    if (heard === undefined || heard.asked < ASKED_SOFTER) return [];
    const over = heard.left - heard.right;
    if (over <= Math.max(COVERS, heard.doubt)) return [];
    const found: Found = {
      weight: 0.22 + over / 100,
      bars: [],
      figures: { ...heard },
      text: "The left hand is louder than the right, so the tune gets covered.",
      advice: {
        hands: "both",
        bars: [],
        slower: 0.8,
        how: "Let the right hand sing and the left hand whisper: play the left hand's chords with the keys already touched, the line with the weight of the arm.",
      },
    };
    return [found];
  },
};

/** A swung line with its weight on the beats. */
export const stiffAccents: FindingRule = {
  id: "stiff-accents",
  title: "A swung line with its weight on the beat",
  topic: "touch",
  threshold:
    "offbeats softer than the beats by 8 in velocity and more than twice the doubt, in swung eighths, over eight of each",
  source: `${OURS}; offbeats are not softer than beats in pianists' lines (Busse, W. G. (2002), Toward objective measurement and evaluation of jazz piano performance via MIDI-based groove quantize templates, Music Perception 19(3), 443-461; from memory)`,
  find: ({ hands }) =>
    hands.flatMap(({ hand, accents }): readonly Found[] => {
      if (accents === undefined || -accents.offbeats <= Math.max(STIFF, accents.doubt)) return [];
      return [
        {
          weight: 0.15 - accents.offbeats / 100,
          hand,
          bars: [],
          figures: { ...accents },
          text: `In the ${handWords(hand)}'s swung eighths the beats are louder than the notes between them; swing leans the other way.`,
          advice: {
            hands: hand,
            bars: [],
            slower: 0.8,
            how: `${capital(handWords(hand))} alone: say "doo-DAH, doo-DAH" and put a little weight on every "DAH".`,
          },
        },
      ];
    }),
};

/** Notes of a line that are let go long before the next. */
export const detached: FindingRule = {
  id: "detached",
  title: "Notes that should join let go early",
  topic: "touch",
  threshold:
    "notes shorter than a quarter that the next one follows at once, held for less than half of the way on the whole (staccato aside), over twelve",
  source: OURS,
  find: ({ hands, pedal }) =>
    hands.flatMap(({ hand, legato, held }): readonly Found[] => {
      // Who lets go of long notes as well has been told so. Under a pedal the keys may go.
      if (held !== undefined && isShort(held)) return [];
      if (legato === undefined || legato.notes < FEWEST_JOINED || legato.share >= DETACHED || pedal !== undefined)
        return [];
      return [
        {
          weight: 0.18 + 0.3 * (DETACHED - legato.share),
          hand,
          bars: [],
          figures: { ...legato },
          text: `The ${handWords(hand)}'s short notes are let go early, so the line sounds chopped; let each reach the next.`,
          advice: {
            hands: hand,
            bars: [],
            slower: 0.7,
            how: `${capital(handWords(hand))} alone: hand each key over to the next finger, as if you were walking on the keys.`,
          },
        },
      ];
    }),
};

/** A pedal that holds one chord into the next. */
export const pedalBlur: FindingRule = {
  id: "pedal-blur",
  title: "The pedal blurs two chords",
  topic: "touch",
  threshold:
    "four notes or more, and a fifth of those that the pedal holds, sounding half a beat or more into another chord than theirs",
  source: OURS,
  find: ({ pedal }) => {
    if (pedal === undefined || pedal.blurred < FEWEST_BLURRED || pedal.blurred < BLURRED_SHARE * pedal.notes) return [];
    return [
      {
        weight: 0.2 + (0.3 * pedal.blurred) / pedal.notes,
        bars: pedal.bars,
        figures: { blurred: pedal.blurred, notes: pedal.notes },
        text: `The pedal holds one chord into the next (${inBars(pedal.bars)}).`,
        advice: {
          hands: "both",
          bars: pedal.bars,
          slower: 0.7,
          how: `In ${inBars(pedal.bars)}: lift the foot just as the new chord goes down, then press again; listen for one chord at a time.`,
        },
      },
    ];
  },
};
