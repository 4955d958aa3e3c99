import * as v from "valibot";
import type { Finger } from "../event/index.ts";
import { shapeOf } from "../ground/check.ts";
import type { Door } from "../ground/door.ts";
import { door, rowFields } from "../ground/door.ts";
import type { EndRule } from "./ends.ts";
import { END_RULES } from "./ends.ts";
import type { HandSpans } from "./spans.ts";
import { naturalSpan } from "./spans.ts";

/** A key and the finger that plays it. */
export interface FingeredKey {
  readonly finger: Finger;
  readonly black: boolean;
}

/**
 * How one note follows another: `"plain"`; `"fast"` (too quick for one finger to repeat a key); `"slide"` (a written slide of one
 * finger); `"crushed"` (a grace note with a finger of its own); `"free"` (after a rest of a beat or more, which frees the hand);
 * `"moved"` (a chord of the same shape, more than a third away: the hand moves as it is).
 */
export type MoveKind = "plain" | "fast" | "slide" | "crushed" | "free" | "moved";

/** One note with the colours of its neighbours; they are undefined at the ends of a passage. */
export interface NoteWindow extends FingeredKey {
  readonly previousBlack: boolean | undefined;
  readonly nextBlack: boolean | undefined;
  /** Whether the note names the scale that is being played. */
  readonly tonic: boolean;
  /** The finger that the note has when its scale is played by itself, where a scale was named or recognised. */
  readonly pattern: Finger | undefined;
  /** The finger that the note has every time its figure comes back, where it belongs to one. */
  readonly sequence: Finger | undefined;
  /** How often its figure is played, where it belongs to one: twice, or three times and more. */
  readonly sequenceTimes: 2 | 3 | undefined;
  /** Whether its figure has chords in it. */
  readonly sequenceChords: boolean;
}

/** Two consecutive notes. */
export interface PairWindow {
  readonly from: FingeredKey;
  readonly to: FingeredKey;
  /** Semitones from the first to the second, for a right hand; the left hand's are turned round. */
  readonly interval: number;
  readonly move: MoveKind;
}

/** Three consecutive notes. */
export interface TripleWindow {
  readonly first: FingeredKey;
  readonly middle: FingeredKey;
  readonly last: FingeredKey;
  /** Semitones from the first to the middle note, for a right hand. */
  readonly before: number;
  /** Semitones from the middle to the last note, for a right hand. */
  readonly after: number;
}

/** A hand on more than one key, from the thumb's side outward. */
export interface ChordWindow {
  readonly keys: readonly FingeredKey[];
  /** Semitones between neighbouring keys. */
  readonly gaps: readonly number[];
}

/** A key that takes another finger than at the moment before. */
export interface HeldWindow {
  /** Whether it is held on, not struck again. */
  readonly held: boolean;
}

interface RuleBase {
  /** Stable name, by which a rule is switched off or weighted. */
  readonly id: string;
  /** What it charges, in one sentence. */
  readonly title: string;
  /** The published rule, or "common practice" or "ours" with the reason. */
  readonly source: string;
}

/** A rule that looks at one note, struck by itself. */
export interface NoteRule extends RuleBase {
  readonly reads: "note";
  /** Whether it also speaks on each note of a chord, whose neighbours it does not see. */
  readonly inChords?: true;
  /** Points for what it sees, zero or more. */
  readonly points: (window: NoteWindow) => number;
}

/** A rule that looks at two consecutive notes. */
export interface PairRule extends RuleBase {
  readonly reads: "pair";
  /** Whether it also speaks where a rest frees the hand in between. */
  readonly acrossRests?: true;
  /** Points for what it sees, zero or more. */
  readonly points: (window: PairWindow, spans: HandSpans) => number;
}

/** A rule that looks at three consecutive notes. */
export interface TripleRule extends RuleBase {
  readonly reads: "triple";
  /** Points for what it sees, zero or more. */
  readonly points: (window: TripleWindow, spans: HandSpans) => number;
}

/** A rule that looks at all keys under the hand, where there is more than one. */
export interface ChordRule extends RuleBase {
  readonly reads: "chord";
  /** Points for what it sees, zero or more. */
  readonly points: (window: ChordWindow, spans: HandSpans) => number;
}

/** A rule that looks at a key whose finger changes while it is held, or from chord to chord. */
export interface HeldRule extends RuleBase {
  readonly reads: "held";
  /** Points for what it sees, zero or more. */
  readonly points: (window: HeldWindow) => number;
}

/**
 * A rule of the cost: whole points, zero or more, for what it sees. Where chords are struck, rules of two and three notes look at the innermost
 * voice and at the outermost.
 */
export type FingeringRule = NoteRule | PairRule | TripleRule | ChordRule | HeldRule;

/** Whether a move passes the thumb under, or a finger over the thumb. */
export const isTurn = ({ from, to, interval }: Pick<PairWindow, "from" | "to" | "interval">): boolean =>
  (to.finger === 1 && from.finger !== 1 && interval > 0) || (from.finger === 1 && to.finger !== 1 && interval < 0);

/** Whether one finger can slip from the first key to the second: black to the white key beside it. */
export const isSlide = (fromBlack: boolean, toBlack: boolean, interval: number): boolean =>
  fromBlack && !toBlack && Math.abs(interval) === 1;

const bit = (finger: number): number => 1 << finger;
const THREE_FOUR_FIVE = bit(3) | bit(4) | bit(5);

const REFUSED = 50;
const UNWRITTEN = 16;
// The thumb and the little finger don't slip off a black key with any ease.
const SLIPPING = [0, 15, 0, 0, 2, 15] as const;

/** One point where the outer finger over thumb and 2nd finger is not the one that arpeggios use. */
export const handFrame = ({ first, middle, last, before, after }: TripleWindow): number => {
  const rising = before > 0 && after > 0;
  const falling = before < 0 && after < 0;
  if (middle.finger !== 2 || !(rising || falling)) return 0;
  const thumb = rising ? first : last;
  const outer = rising ? last : first;
  if (thumb.finger !== 1 || (outer.finger !== 3 && outer.finger !== 4)) return 0;
  const span = Math.abs(before + after);
  const step = Math.abs(rising ? after : before);
  const far = span > 8 || step > 4 || (span === 8 && !thumb.black && !outer.black);
  return far === (outer.finger === 3) ? 1 : 0;
};

const LEARNT = "ours; it pays on printed fingers that were kept aside (docs/fingering.md)";

// Semitones from the thumb over five neighbouring keys of a scale.
const FIVE_KEYS = [0, 0, 2, 4, 5, 7] as const;
const MOST_DRIFT = 24;
const driftOf = (from: FingeredKey, to: FingeredKey, interval: number): number =>
  Math.abs(interval - (FIVE_KEYS[to.finger] - FIVE_KEYS[from.finger]));

/** Steps of a scale in so many semitones. */
const stepsIn = (semitones: number): number => Math.round((Math.abs(semitones) * 7) / 12);
const apart = ({ from, to }: PairWindow): number => Math.abs(to.finger - from.finger);

const neighbours = (keys: readonly FingeredKey[], inner: Finger, outer: Finger): number =>
  keys.filter(({ finger }, i) => finger === inner && keys[i + 1]?.finger === outer).length;

const eachPair = (
  { keys, gaps }: ChordWindow,
  points: (span: number, inner: FingeredKey, outer: FingeredKey) => number,
): number => {
  let sum = 0;
  keys.forEach((inner, i) => {
    let span = 0;
    for (let j = i + 1; j < keys.length; j++) {
      span += gaps[j - 1] ?? 0;
      const outer = keys[j];
      if (outer !== undefined) sum += points(span, inner, outer);
    }
  });
  return sum;
};

const RULES = [
  // The paper knows no written slides; what one costs is up to the rule for slides.
  {
    id: "stretch",
    title:
      "Two points for every semitone that two neighbouring notes lie beyond the comfortable span of their fingers.",
    source: "Parncutt et al. (1997), rule 1",
    reads: "pair",
    points: ({ from, to, interval, move }, spans) => {
      if (move === "slide") return 0;
      const { minComfortable, maxComfortable } = spans.between(from.finger, to.finger);
      const span = naturalSpan(from.finger, to.finger, interval);
      return 2 * Math.max(0, span - maxComfortable, minComfortable - span);
    },
  },
  // The published totals only come out when the span is read in the fingers' natural order.
  {
    id: "small-span",
    title: "One point (thumb) or two (other fingers) for every semitone below the relaxed span of the two fingers.",
    source: "Parncutt et al. (1997), rule 2",
    reads: "pair",
    points: ({ from, to, interval, move }, spans) => {
      if (move === "slide") return 0;
      const short = spans.between(from.finger, to.finger).minRelaxed - naturalSpan(from.finger, to.finger, interval);
      return Math.max(0, short) * (from.finger === 1 || to.finger === 1 ? 1 : 2);
    },
  },
  {
    id: "large-span",
    title: "One point (thumb) or two (other fingers) for every semitone above the relaxed span of the two fingers.",
    source: "Parncutt et al. (1997), rule 3",
    reads: "pair",
    points: ({ from, to, interval, move }, spans) => {
      if (move === "slide") return 0;
      const over = naturalSpan(from.finger, to.finger, interval) - spans.between(from.finger, to.finger).maxRelaxed;
      return Math.max(0, over) * (from.finger === 1 || to.finger === 1 ? 1 : 2);
    },
  },
  {
    id: "position-change-count",
    title:
      "One point where three notes do not fit under the hand, two where the thumb carries it to a place out of reach.",
    source: "Parncutt et al. (1997), rule 4",
    reads: "triple",
    points: ({ first, middle, last, before, after }, spans) => {
      const reach = spans.between(first.finger, last.finger);
      const span = naturalSpan(first.finger, last.finger, before + after);
      if (span <= reach.maxComfortable && span >= reach.minComfortable) return 0;
      const between = before * after > 0;
      const outOfReach = span > reach.maxPractical || span < reach.minPractical;
      return middle.finger === 1 && between && outOfReach ? 2 : 1;
    },
  },
  {
    id: "position-change-size",
    title:
      "One point for every semitone that the first and third of three notes lie beyond the comfortable span of their fingers.",
    source: "Parncutt et al. (1997), rule 5",
    reads: "triple",
    points: ({ first, last, before, after }, spans) => {
      const reach = spans.between(first.finger, last.finger);
      const span = naturalSpan(first.finger, last.finger, before + after);
      return Math.max(0, span - reach.maxComfortable, reach.minComfortable - span);
    },
  },
  {
    id: "weak-finger",
    title: "One point for every use of the 4th or 5th finger.",
    source: "Parncutt et al. (1997), rule 6",
    reads: "note",
    points: ({ finger }) => (finger >= 4 ? 1 : 0),
  },
  {
    id: "three-four-five",
    title: "One point for three consecutive notes on fingers 3, 4 and 5 in any order.",
    source: "Parncutt et al. (1997), rule 7",
    reads: "triple",
    points: ({ first, middle, last }) =>
      (bit(first.finger) | bit(middle.finger) | bit(last.finger)) === THREE_FOUR_FIVE ? 1 : 0,
  },
  {
    id: "three-to-four",
    title: "One point where the 4th finger follows the 3rd.",
    source: "Parncutt et al. (1997), rule 8",
    reads: "pair",
    points: ({ from, to }) => (from.finger === 3 && to.finger === 4 ? 1 : 0),
  },
  {
    id: "four-on-black",
    title: "One point where 3 and 4 follow each other, in either order, with 3 on a white key and 4 on a black one.",
    source: "Parncutt et al. (1997), rule 9",
    reads: "pair",
    points: ({ from, to }) => {
      const three = from.finger === 3 ? from : to;
      const four = from.finger === 3 ? to : from;
      return three.finger === 3 && four.finger === 4 && !three.black && four.black ? 1 : 0;
    },
  },
  {
    id: "thumb-on-black",
    title: "One point for the thumb on a black key, two more for each neighbouring note on a white key.",
    source: "Parncutt et al. (1997), rule 10",
    reads: "note",
    points: ({ finger, black, previousBlack, nextBlack }) =>
      finger === 1 && black ? 1 + (previousBlack === false ? 2 : 0) + (nextBlack === false ? 2 : 0) : 0,
  },
  {
    id: "five-on-black",
    title: "Two points for each neighbouring note on a white key when the 5th finger plays a black one.",
    source: "Parncutt et al. (1997), rule 11",
    reads: "note",
    points: ({ finger, black, previousBlack, nextBlack }) =>
      finger === 5 && black ? (previousBlack === false ? 2 : 0) + (nextBlack === false ? 2 : 0) : 0,
  },
  {
    id: "thumb-passing",
    title:
      "One point for a pass of thumb or finger between keys of one colour, three where the thumb passes to or from a black key and the finger plays a white one.",
    source: "Parncutt et al. (1997), rule 12",
    reads: "pair",
    points: (window) => {
      if (!isTurn(window)) return 0;
      const { from, to } = window;
      if (from.black === to.black) return 1;
      const thumb = from.finger === 1 ? from : to;
      return thumb.black ? 3 : 0;
    },
  },
  // The paper only ranks fingerings whose every interval is practicable; as a charge it also ranks those of a passage
  // that has none, and is zero for all others.
  {
    id: "practical-span",
    title:
      "A charge where two neighbouring notes lie beyond the practicable span of their fingers, or one finger moves to another key.",
    source: "Parncutt et al. (1997), the choice of candidate fingerings by Table 1",
    reads: "pair",
    points: ({ from, to, interval }, spans) => {
      const { minPractical, maxPractical } = spans.between(from.finger, to.finger);
      const span = naturalSpan(from.finger, to.finger, interval);
      return span > maxPractical || span < minPractical ? 1 : 0;
    },
  },
  {
    id: "reach",
    title:
      "A charge where the hand must leap: two neighbouring notes beyond the practicable span of their fingers; a slide is no leap.",
    source: "ours, after Parncutt et al. (1997), Table 1",
    reads: "pair",
    points: ({ from, to, interval }, spans) => {
      if (from.finger === to.finger && isSlide(from.black, to.black, interval)) return 0;
      const { minPractical, maxPractical } = spans.between(from.finger, to.finger);
      const span = naturalSpan(from.finger, to.finger, interval);
      return span > maxPractical || span < minPractical ? 1 : 0;
    },
  },
  {
    id: "thumb-on-white",
    title: "One point for the thumb on a black key, whatever its neighbours.",
    source: "C. P. E. Bach, Versuch über die wahre Art das Clavier zu spielen I (1753), ch. 1 § 61; the charge is ours",
    reads: "note",
    points: ({ finger, black }) => (finger === 1 && black ? 1 : 0),
  },
  {
    id: "turn-on-five",
    title: "One point where the thumb passes under the 5th finger or the 5th crosses over the thumb.",
    source:
      "C. P. E. Bach, Versuch über die wahre Art das Clavier zu spielen I (1753), ch. 1 § 61: the thumb passes after 2, 3 or 4, never after 5",
    reads: "pair",
    points: (window) => (isTurn(window) && Math.max(window.from.finger, window.to.finger) === 5 ? 1 : 0),
  },
  {
    id: "few-turns",
    title: "One point for every turn of the hand: long groups, one turn a position.",
    source: "common practice, no source",
    reads: "pair",
    points: (window) => (isTurn(window) ? 1 : 0),
  },
  {
    id: "near-turn",
    title: "One point where the hand turns across more than a half step.",
    source: "ours: the thumb passes most easily to the next key",
    reads: "pair",
    points: (window) => (isTurn(window) && Math.abs(window.interval) > 1 ? 1 : 0),
  },
  {
    id: "neighbour-fingers",
    title: "One point for every finger that is passed over between two notes of one position less than a third apart.",
    source: "common practice, no source",
    reads: "pair",
    points: (window) =>
      isTurn(window) || Math.abs(window.interval) >= 3
        ? 0
        : Math.max(0, Math.abs(window.from.finger - window.to.finger) - 1),
  },
  {
    id: "hand-frame",
    title:
      "Over thumb and 2nd finger, one point for a 3rd finger a sixth or more from the thumb or a fourth from the 2nd, or a 4th finger nearer than that; a minor sixth with a black key in it counts as near.",
    source:
      "computed from the arpeggios of Beringer & Dunhill, A Manual of Scales, Broken Chords and Arpeggios (1900), in D. Randolph's transcription",
    reads: "triple",
    points: handFrame,
  },
  {
    id: "turn-after-turn",
    title: "One point where the hand turns twice within three notes: one turn a position.",
    source: "ours: the smallest number of turns is common practice",
    reads: "triple",
    points: ({ first, middle, last, before, after }) =>
      isTurn({ from: first, to: middle, interval: before }) && isTurn({ from: middle, to: last, interval: after })
        ? 1
        : 0,
  },
  {
    id: "compact-group",
    title: "One point for a third or more inside a position: the hand turns at the wide steps.",
    source: "ours: it decides pentatonic scales as they are commonly played",
    reads: "pair",
    points: (window) => (!isTurn(window) && Math.abs(window.interval) >= 3 ? 1 : 0),
  },
  {
    id: "thumb-use",
    title: "One point for every use of the thumb: it is kept for where it carries the hand.",
    source: LEARNT,
    reads: "note",
    points: ({ finger }) => (finger === 1 ? 1 : 0),
  },
  {
    id: "ring-finger",
    title: "One point for every use of the 4th finger.",
    source: LEARNT,
    reads: "note",
    points: ({ finger }) => (finger === 4 ? 1 : 0),
  },
  {
    id: "little-on-black",
    title: "One point for the 5th finger on a black key, whatever its neighbours.",
    source: LEARNT,
    reads: "note",
    points: ({ finger, black }) => (finger === 5 && black ? 1 : 0),
  },
  {
    id: "two-on-white",
    title: "One point for the 2nd finger on a white key.",
    source: LEARNT,
    reads: "note",
    points: ({ finger, black }) => (finger === 2 && !black ? 1 : 0),
  },
  {
    id: "three-on-white",
    title: "One point for the 3rd finger on a white key: the long fingers lie on the black ones.",
    source: LEARNT,
    reads: "note",
    points: ({ finger, black }) => (finger === 3 && !black ? 1 : 0),
  },
  {
    id: "one-finger",
    title: "One point where one finger moves to another key, a slide apart.",
    source: LEARNT,
    reads: "pair",
    points: ({ from, to, interval, move }) => (from.finger === to.finger && interval !== 0 && move !== "slide" ? 1 : 0),
  },
  {
    id: "turn-on-four",
    title: "One point where the thumb passes under the 4th finger or the 4th crosses over the thumb.",
    source: LEARNT,
    reads: "pair",
    points: (window) => (isTurn(window) && Math.max(window.from.finger, window.to.finger) === 4 ? 1 : 0),
  },
  {
    id: "position-drift",
    title:
      "One point for every semitone that two notes lie off the place that their fingers have over five neighbouring keys.",
    source: LEARNT,
    reads: "pair",
    points: (window) =>
      isTurn(window) || window.move === "slide"
        ? 0
        : Math.min(MOST_DRIFT, driftOf(window.from, window.to, window.interval)),
  },
  {
    id: "position-drift-of-three",
    title: "The same of the first and the last of three notes.",
    source: LEARNT,
    reads: "triple",
    points: ({ first, last, before, after }) => Math.min(MOST_DRIFT, driftOf(first, last, before + after)),
  },
  {
    id: "fingers-left-over",
    title: "One point for every finger between two that has no key of its scale to lie on.",
    source: LEARNT,
    reads: "pair",
    points: (window) =>
      isTurn(window) || window.interval === 0 ? 0 : Math.max(0, apart(window) - stepsIn(window.interval)),
  },
  {
    id: "crushed-on-five",
    title:
      "One point where the 5th finger plays a crushed note or the note that one leads to: ornaments lie on 1 to 4.",
    source: LEARNT,
    reads: "pair",
    points: ({ from, to, move }) => (move === "crushed" && (from.finger === 5 || to.finger === 5) ? 1 : 0),
  },
  {
    id: "same-key-again",
    title: "One point where the first and the last of three notes are one key with two fingers.",
    source: LEARNT,
    reads: "triple",
    points: ({ first, last, before, after }) =>
      before !== 0 && before + after === 0 && first.finger !== last.finger ? 1 : 0,
  },
  {
    id: "same-finger-again",
    title: "One point where the first and the last of three notes are two keys with one finger.",
    source: LEARNT,
    reads: "triple",
    points: ({ first, last, before, after }) => (before + after !== 0 && first.finger === last.finger ? 1 : 0),
  },
  {
    id: "chord-spread",
    title:
      "One point for every step of a scale that two neighbouring fingers of a chord span beyond their own, up to a fifth.",
    source: LEARNT,
    reads: "chord",
    points: ({ keys, gaps }) =>
      gaps.reduce((sum, gap, i) => {
        const [inner, outer] = [keys[i], keys[i + 1]];
        return inner === undefined || outer === undefined
          ? sum
          : sum + Math.max(0, Math.min(4, stepsIn(gap)) - (outer.finger - inner.finger));
      }, 0),
  },
  {
    id: "chord-one-two",
    title: "One point where thumb and 2nd finger are neighbours in a chord.",
    source: LEARNT,
    reads: "chord",
    points: ({ keys }) => neighbours(keys, 1, 2),
  },
  {
    id: "chord-three-four",
    title: "One point where 3rd and 4th finger are neighbours in a chord.",
    source: LEARNT,
    reads: "chord",
    points: ({ keys }) => neighbours(keys, 3, 4),
  },
  {
    id: "chord-no-thumb",
    title: "One point for a chord without the thumb.",
    source: LEARNT,
    reads: "chord",
    points: ({ keys }) => (keys[0]?.finger === 1 ? 0 : 1),
  },
  {
    id: "scale-pattern",
    title: "One point where a note of a named scale has another finger than when the scale is played by itself.",
    source: "ours: a scale keeps its fingers in every octave, and lines on it borrow them",
    reads: "note",
    points: ({ finger, pattern }) => (pattern !== undefined && pattern !== finger ? 1 : 0),
  },
  {
    id: "sequence-pattern",
    title:
      "One point where a note of a figure that comes back has another finger than the figure has every time, four where it is played three times or more, forty where it has chords.",
    source: "common practice, no source: a sequence keeps its fingers",
    reads: "note",
    inChords: true,
    points: ({ finger, sequence, sequenceTimes, sequenceChords }) =>
      sequence === undefined || sequence === finger ? 0 : sequenceChords ? 40 : sequenceTimes === 2 ? 1 : 4,
  },
  {
    id: "slides",
    title:
      "A written slide keeps one finger, the 2nd or 3rd at best; a crushed note has its own; elsewhere one finger slips from a black key at sixteen points.",
    source: "common practice, no source",
    reads: "pair",
    points: ({ from, to, interval, move }) => {
      const same = from.finger === to.finger;
      if (move === "slide") return same ? SLIPPING[from.finger] : REFUSED;
      if (move === "crushed") return same ? REFUSED : 0;
      return same && isSlide(from.black, to.black, interval) ? UNWRITTEN + SLIPPING[from.finger] : 0;
    },
  },
  {
    id: "repeated-key",
    title: "One point where a key that is struck again fast keeps its finger.",
    source: "common practice, no source; of printed repetitions 66 of 75 change the finger (docs/fingering.md)",
    reads: "pair",
    points: ({ from, to, interval, move }) => (interval === 0 && move === "fast" && from.finger === to.finger ? 1 : 0),
  },
  {
    id: "finger-order",
    title: "One point where fingers other than the thumb cross, or one finger moves to another key.",
    source: "common practice, no source",
    reads: "pair",
    points: (window) => {
      const { from, to, interval, move } = window;
      return move === "slide" ||
        interval === 0 ||
        isTurn(window) ||
        Math.sign(to.finger - from.finger) === Math.sign(interval)
        ? 0
        : 1;
    },
  },
  {
    id: "between-blacks",
    title:
      "One point where another finger than the thumb squeezes onto a white key between the two black keys beside it.",
    source: "University of Evansville, Scale and Arpeggio Fingerings, chromatic scale",
    reads: "triple",
    points: ({ first, middle, last, before, after }) =>
      before === after && Math.abs(before) === 1 && first.black && last.black && middle.finger !== 1 ? 1 : 0,
  },
  {
    id: "thumb-on-tonic",
    title: "One point where another finger than the thumb plays the tonic.",
    source:
      "computed from 24 published rows (University of Evansville, Scale and Arpeggio Fingerings): every white tonic has the thumb, or the 5th finger at the outer end",
    reads: "note",
    points: ({ finger, tonic }) => (tonic && finger !== 1 ? 1 : 0),
  },
  {
    id: "three-on-black",
    title:
      "One point where another finger than the 3rd plays a black key between two white ones that it touches, in half steps.",
    source:
      "University of Evansville, Scale and Arpeggio Fingerings, chromatic scale: the 3rd finger on every black key",
    reads: "triple",
    points: ({ first, middle, last, before, after }) =>
      before === after && Math.abs(before) === 1 && middle.black && !first.black && !last.black && middle.finger !== 3
        ? 1
        : 0,
  },
  {
    id: "black-group",
    title: "One point where two black keys a tone apart are not played by 2 and 3.",
    source: "University of Evansville, Scale and Arpeggio Fingerings: 2 and 3 on C♯ D♯, 2 3 4 on F♯ G♯ A♯",
    reads: "pair",
    points: ({ from, to, interval }) =>
      from.black &&
      to.black &&
      Math.abs(interval) === 2 &&
      Math.min(from.finger, to.finger) * 10 + Math.max(from.finger, to.finger) !== 23
        ? 1
        : 0,
  },
  {
    id: "four-on-white",
    title: "One point for the 4th finger on a white key: in a scale it takes a black one where it can.",
    source:
      "computed from 24 published rows (University of Evansville, Scale and Arpeggio Fingerings), wherever the thumb leaves a choice",
    reads: "note",
    points: ({ finger, black }) => (finger === 4 && !black ? 1 : 0),
  },
  {
    id: "chord-stretch",
    title:
      "Two points for every semitone that two keys under the hand lie beyond the comfortable span of their fingers.",
    source: "Parncutt et al. (1997), Table 1; over every pair of fingers of a chord: ours",
    reads: "chord",
    points: (window, spans) =>
      eachPair(window, (span, a, b) => {
        const { minComfortable, maxComfortable } = spans.between(a.finger, b.finger);
        return 2 * Math.max(0, span - maxComfortable, minComfortable - span);
      }),
  },
  {
    id: "chord-span",
    title:
      "One point (thumb) or two (other fingers) for every semitone that two keys under the hand lie beyond the relaxed span of their fingers.",
    source: "Parncutt et al. (1997), Table 1; over every pair of fingers of a chord: ours",
    reads: "chord",
    points: (window, spans) =>
      eachPair(window, (span, a, b) => {
        const { minRelaxed, maxRelaxed } = spans.between(a.finger, b.finger);
        return Math.max(0, span - maxRelaxed, minRelaxed - span) * (a.finger === 1 ? 1 : 2);
      }),
  },
  {
    id: "chord-black",
    title: "Three points for the thumb, two for the 5th finger on a black key where another key of the chord is white.",
    source: "ours, after Parncutt et al. (1997), rules 10 and 11",
    reads: "chord",
    points: ({ keys }) =>
      keys.every((key) => key.black)
        ? 0
        : keys.reduce((sum, { finger, black }) => sum + (black && finger === 1 ? 3 : black && finger === 5 ? 2 : 0), 0),
  },
  {
    id: "chord-frame",
    title:
      "One point for each three neighbouring keys of a larger chord that arpeggios would not take so (hand-frame).",
    source: "Beringer & Dunhill, A Manual of Scales, Broken Chords and Arpeggios (1900); in chords: ours",
    reads: "chord",
    points: ({ keys, gaps }) =>
      keys.slice(3).reduce((sum, _, i) => {
        const [first, middle, last] = [keys[i], keys[i + 1], keys[i + 2]];
        return first === undefined || middle === undefined || last === undefined
          ? sum
          : sum + handFrame({ first, middle, last, before: gaps[i] ?? 0, after: gaps[i + 1] ?? 0 });
      }, 0),
  },
  {
    id: "held-finger",
    title: "One point where the finger on a held key is changed for another.",
    source: "common practice, no source: substitution is for where the hand could not go on otherwise",
    reads: "held",
    points: ({ held }) => (held ? 1 : 0),
  },
  {
    id: "common-finger",
    title:
      "One point where a key that two chords in a row share changes its finger, or a key of a shape that moves elsewhere as it is.",
    source: "common practice, no source",
    reads: "held",
    points: ({ held }) => (held ? 0 : 1),
  },
] as const satisfies readonly FingeringRule[];

/** The id of a rule of fingering that ships; `"ends-…"` are those of the ends of a scale. */
export type FingeringRuleId = (typeof RULES)[number]["id"] | (typeof END_RULES)[number]["id"];

/** A rule of fingering as the catalogue lists it: what it reads and how it charges, or how the ends of a scale give way. */
export type FingeringRuleRow = FingeringRule | EndRule;

/**
 * Every rule of fingering, published and ours.
 *
 * @example
 * ```ts
 * import { fingeringRuleCatalogue } from "hands-together/fingering";
 *
 * fingeringRuleCatalogue.filter((rule) => rule.source.startsWith("Parncutt et al. (1997), rule")).length; // => 12
 * ```
 */
export const fingeringRuleCatalogue: readonly FingeringRuleRow[] = [...RULES, ...END_RULES];

const isPoints = (value: unknown): value is FingeringRule["points"] => typeof value === "function";

const ruleSchema = /* @__PURE__ */ v.looseObject({
  ...rowFields,
  reads: /* @__PURE__ */ v.picklist(["note", "pair", "triple", "chord", "held"]),
  points: /* @__PURE__ */ shapeOf(isPoints, "a function from a window to whole points of zero or more"),
}) as v.GenericSchema<FingeringRule>;

/** The way in for rules that charge: ids of the catalogue, or rows with a function of one's own (in programs; JSON holds none). */
export const fingeringRule: Door<FingeringRule> = /* @__PURE__ */ door<FingeringRule>(
  RULES,
  ruleSchema,
  "fingering/rule",
  "a rule of fingering",
);

/** A rule with the weight that it has in a set: a whole number from 0 to 1000. */
export interface WeightedRule {
  readonly rule: FingeringRuleId | FingeringRule;
  readonly weight: number;
}

/** A set of rules with their weights: what a fingering is judged by. */
export interface FingeringRuleSetRow {
  readonly id: string;
  readonly title: string;
  readonly source: string;
  readonly rules: readonly WeightedRule[];
}

const weighted = (weights: Readonly<Partial<Record<FingeringRuleId, number>>>): readonly WeightedRule[] =>
  RULES.flatMap(({ id }) => {
    const weight = weights[id];
    return weight === undefined ? [] : [{ rule: id, weight }];
  });

const TWELVE = {
  stretch: 1,
  "small-span": 1,
  "large-span": 1,
  "position-change-count": 1,
  "position-change-size": 1,
  "weak-finger": 1,
  "three-four-five": 1,
  "three-to-four": 1,
  "four-on-black": 1,
  "thumb-on-black": 1,
  "five-on-black": 1,
  "thumb-passing": 1,
} as const;

// Learnt: npx tsx bench/fingering-fit.ts printed-fingerings.json, 2026-11-29; held-out figures in docs/fingering.md. Fifty to one of likelihood.
const LEARNT_WEIGHTS = {
  "small-span": 4,
  "large-span": 7,
  "position-change-count": 17,
  "position-change-size": 3,
  "weak-finger": 20,
  "three-four-five": 20,
  "three-to-four": 14,
  "four-on-black": 8,
  "five-on-black": 11,
  "thumb-passing": 37,
  reach: 43,
  "thumb-on-white": 85,
  "turn-on-five": 88,
  "near-turn": 50,
  "neighbour-fingers": 6,
  "hand-frame": 35,
  "turn-after-turn": 24,
  "thumb-use": 27,
  "ring-finger": 5,
  "little-on-black": 56,
  "two-on-white": 17,
  "three-on-white": 14,
  "one-finger": 20,
  "turn-on-four": 17,
  "position-drift": 5,
  "position-drift-of-three": 6,
  "fingers-left-over": 32,
  "crushed-on-five": 71,
  "same-key-again": 40,
  "same-finger-again": 13,
  "chord-spread": 35,
  "chord-one-two": 48,
  "chord-three-four": 17,
  "chord-no-thumb": 20,
  slides: 6,
  "repeated-key": 114,
  "finger-order": 104,
  "between-blacks": 55,
  "black-group": 20,
  "chord-stretch": 4,
  "chord-span": 31,
  "chord-black": 34,
} as const;

const SETS = [
  {
    id: "standard",
    title: "weights learnt from printed fingers, for passages, lines and chords",
    source:
      "learnt from printed fingerings of composers long dead (docs/fingering.md); what no printed finger shows is ours",
    rules: weighted({
      ...LEARNT_WEIGHTS,
      "scale-pattern": 400,
      "sequence-pattern": 14,
      "held-finger": 30,
      "common-finger": 20,
      "chord-frame": 90,
    }),
  },
  {
    id: "parncutt-1997",
    title: "the twelve rules of the paper alone",
    source: "Parncutt et al. (1997)",
    rules: weighted({ ...TWELVE, "practical-span": 100, "chord-stretch": 1, "chord-span": 1, "held-finger": 12 }),
  },
  {
    id: "scale",
    title: "the conventions of scales and arpeggios, weighted so that each yields to the ones before it",
    source: "University of Evansville, Scale and Arpeggio Fingerings; the weights are ours",
    rules: weighted({
      "finger-order": 1000,
      "thumb-on-white": 400,
      "few-turns": 40,
      "between-blacks": 40,
      "hand-frame": 30,
      "thumb-on-tonic": 25,
      "three-on-black": 8,
      "weak-finger": 6,
      "thumb-passing": 6,
      "neighbour-fingers": 6,
      "black-group": 4,
      "four-on-white": 2,
      "compact-group": 2,
      "near-turn": 1,
      slides: 1,
    }),
  },
] as const satisfies readonly FingeringRuleSetRow[];

/** The name of a set of rules that ships. */
export type FingeringRuleSetId = (typeof SETS)[number]["id"];

/**
 * The sets of rules that ship, with their weights.
 *
 * @example
 * ```ts
 * import { fingeringRuleSetCatalogue } from "hands-together/fingering";
 *
 * fingeringRuleSetCatalogue.map((set) => set.id); // => ["standard", "parncutt-1997", "scale"]
 * ```
 */
export const fingeringRuleSetCatalogue: readonly FingeringRuleSetRow[] = SETS;

const ruleSetSchema = /* @__PURE__ */ v.looseObject({
  ...rowFields,
  rules: /* @__PURE__ */ v.pipe(
    /* @__PURE__ */ v.array(
      /* @__PURE__ */ v.strictObject({
        rule: /* @__PURE__ */ v.lazy(() => fingeringRule.shape),
        weight: /* @__PURE__ */ v.pipe(
          /* @__PURE__ */ v.number(),
          /* @__PURE__ */ v.integer(),
          /* @__PURE__ */ v.minValue(0),
          /* @__PURE__ */ v.maxValue(1000),
        ),
      }),
    ),
    /* @__PURE__ */ v.minLength(1),
    /* @__PURE__ */ v.maxLength(200),
  ),
}) as unknown as v.GenericSchema<FingeringRuleSetRow>;

/** The way in for sets of rules: ids of the catalogue, or a set of one's own. */
export const fingeringRuleSet: Door<FingeringRuleSetRow> = /* @__PURE__ */ door<FingeringRuleSetRow>(
  SETS,
  ruleSetSchema,
  "fingering/rule",
  "a set of rules of fingering",
);
