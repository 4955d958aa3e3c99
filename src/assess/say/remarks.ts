import { known, nth } from "../../ground/list.ts";
import type { LineFinding, LineReport } from "../../line/index.ts";
import type { Beats } from "../../time/index.ts";
import type { Assessment } from "../assess.ts";
import type { PhraseAnswer } from "../improvised/answers.ts";
import type { LineSound } from "../improvised/line-sound.ts";
import type { OverChord } from "../improvised/over-chords.ts";
import { handLine } from "./hand-line.ts";
import { capital, inBars, plural } from "./words.ts";

/** One thing to tell a student about an improvised take. */
export interface Remark {
  readonly about: "line" | "left-hand";
  /** The rule of phrasing (`phraseRuleCatalogue`) or the finding (`findingCatalogue`) that it comes from. */
  readonly id: string;
  /** Where it is heard, bar and beat counted from 1; for the left hand the bars alone, and none for the whole. */
  readonly places: readonly { readonly bar: number; readonly beat?: Beats }[];
  /** What is heard, in a sentence. */
  readonly text: string;
  /** What to try, in a sentence. */
  readonly how: string;
}

const MOST = 3;

/** Three things at most: on the line and on the left hand by turns, the line first, each kind weightiest first. */
export const remarks = (
  findings: readonly LineFinding[],
  left: Assessment | undefined,
  time: readonly Remark[],
): readonly Remark[] => {
  // What is felt by everybody comes before what is found by rule; how it is swung and struck comes last.
  const [first, last] = [time.filter(({ id }) => TIME.has(id)), time.filter(({ id }) => !TIME.has(id))];
  const line = [...first, ...lineRemarks(findings), ...last];
  const hand =
    left === undefined
      ? []
      : left.say.map(
          ({ id, bars, message: text }, i): Remark => ({
            about: "left-hand",
            id,
            places: bars.map((bar) => ({ bar })),
            text,
            how: nth(left.practise, i).how,
          }),
        );
  return Array.from({ length: Math.max(line.length, hand.length) }, (_, i) => [line[i], hand[i]])
    .flat()
    .filter((remark) => remark !== undefined)
    .slice(0, MOST);
};

// Soloists' downbeats come some 30 ms, 9 % of a beat, after the rhythm section's at 150, and more where it is slower (Nelias, C. et al. (2022),
// Downbeat delays are a key component of swing in jazz, Communications Physics 5, 237): a line is late beyond that. Before it none is meant to be.
const LATE = { beats: 0.1, ms: 55, always: 80 };
const EARLY = { beats: 0.07, ms: 35 };
// Twice the spread of trained hands, and beyond what the nearest place of the beat can hide.
const UNEVEN = { beats: 0.065, ms: 38 };

const TIME: ReadonlySet<string> = new Set(["late-line", "early-line", "uneven-line"]);

/** When a line was played beside the beat. */
export interface LineTime {
  /** By how many beats it is late as a whole. */
  readonly lag: number;
  readonly lateMs: number;
  /** How far its notes lie from their places beside that. */
  readonly offMs: number;
  readonly beatMs: number;
  /** What told the beat, in words. */
  readonly beat: string;
}

/** Whether a line lies behind or ahead of the beat, or now here and now there. */
export const timeRemark = ({ lag, lateMs, offMs, beatMs, beat }: LineTime): readonly Remark[] => {
  const isLate = (lag > LATE.beats && lateMs > LATE.ms) || lateMs > LATE.always;
  const isEarly = lag < -EARLY.beats && lateMs < -EARLY.ms;
  if (!isLate && !isEarly)
    return offMs <= UNEVEN.ms || offMs <= UNEVEN.beats * beatMs
      ? []
      : [
          {
            about: "line",
            id: "uneven-line",
            places: [],
            text: `The notes of the line come now early, now late, by about ${offMs} ms (${Math.round((100 * offMs) / beatMs)} % of a beat).`,
            how: "Sing the line first and tap the beat; then play it slowly enough that each note falls with the tap or halfway between two.",
          },
        ];
  return [
    {
      about: "line",
      id: isLate ? "late-line" : "early-line",
      places: [],
      text: `The whole line comes about ${Math.abs(lateMs)} ms (${Math.round(100 * Math.abs(lag))} % of a beat) ${isLate ? "behind" : "ahead of"} ${beat}.`,
      how: "Play the line's first phrase only, with the left hand's chord and the first note on the beat falling as one; then let it lean back on purpose.",
    },
  ];
};

// Straight and swung are told apart by everybody beyond these ratios.
const STRAIGHT = 1.15;
const SWUNG = 1.5;
const FLAT = 2.5;
const FEWEST_FLAT = 24;

/** How a line is swung beside what the page asks for, and whether all of it is equally loud. */
export const soundRemarks = ({ swing, touch }: LineSound, notes = Infinity): readonly Remark[] => {
  const played = swing?.measured.ratio;
  const straight = swing !== undefined && played !== undefined && swing.asked >= SWUNG && played.high < STRAIGHT;
  const swung = swing !== undefined && played !== undefined && swing.asked < 1.05 && played.low > SWUNG;
  const remark = (id: string, text: string, how: string): Remark => ({ about: "line", id, places: [], text, how });
  return [
    ...(straight
      ? [
          remark(
            "straight-line",
            "Your eighths are even, where the page asks for swing.",
            'Say "long short, long short" with the left hand\'s beat, then play the line to it.',
          ),
        ]
      : []),
    ...(swung
      ? [
          remark(
            "swung-line",
            "Your eighths swing, where the page asks for even ones.",
            'Count "one and two and", with every "and" exactly halfway.',
          ),
        ]
      : []),
    ...(touch !== undefined && touch.spread < FLAT && notes >= FEWEST_FLAT
      ? [
          remark(
            "flat-line",
            "Every note of the line is about as loud as the next.",
            "Choose one note in each phrase that matters most, and lean towards it.",
          ),
        ]
      : []),
  ];
};

// Breaches of one rule are all of one severity.
const musts = ([first]: readonly LineFinding[]): number => (first?.severity === "must" ? 1 : 0);

/** Each rule once, "must" before "should" and what is broken most before the rest; told where it is broken first. */
const lineRemarks = (findings: readonly LineFinding[]): readonly Remark[] => {
  const byRule = new Map<string, LineFinding[]>();
  for (const finding of findings) byRule.set(finding.rule, [...(byRule.get(finding.rule) ?? []), finding]);
  // A line that never breathes is one long phrase: said once.
  if (byRule.has("breath")) byRule.delete("phrase-length");
  return [...byRule.values()]
    .sort((a, b) => musts(b) - musts(a) || b.length - a.length)
    .map((breaches): Remark => {
      const first = nth(breaches, 0);
      const [, ...others] = new Set(breaches.map(({ bar }) => Math.max(bar, 0)));
      const also = others.length === 0 ? "" : `, and the like in ${inBars(others)}`;
      return {
        about: "line",
        id: first.rule,
        places: breaches.map(({ bar, beat }) => ({ bar, beat })),
        text: `${capital(inBars([first.bar]))}: ${first.message}${also}.`,
        how: `${capital(first.suggestion)}.`,
      };
    });
};

// In transcribed solos 54 % of the notes on the beat are tones of the chord (Pfleiderer, M. et al. (eds.) (2017), Inside the Jazzomat; counted
// from its data); among twelve keys chance puts a third there. Fewer notes than this tell nothing.
const TELLING = 0.55;
const FEWEST_TELLING = 8;
// Fewer than chance leaves room for, with what else chance would do: leap, and lie outside.
const FITTING = 0.42;

/** What is known of a line beside the rules that it keeps. */
interface LineFacts {
  /** Whether it lies in time with the left hand. */
  readonly inTime: boolean;
  /** Whether something is said of its time. */
  readonly offTime: boolean;
  /** How often its figure comes back, where it is built on one. */
  readonly riff: number | undefined;
  /** The share of its notes that belong to no chord and lead nowhere. */
  readonly outside: number;
  /** The share of its steps that are wider than a fourth. */
  readonly leaping: number;
  /** A phrase that answers the one before it. */
  readonly answer: PhraseAnswer | undefined;
}

// Of twelve keys by chance about a third lies outside and leads nowhere; in lines over chords few do.
const MOST_OUTSIDE = 0.15;
// A line moves mostly by step (common practice, no source); of keys by chance over an octave and a half every second step is wider than a fourth.
const MOST_LEAPING = 0.4;

/** What went well in a line, concretely; the first of these that is true. */
export const praiseLine = (
  { phrases, findings }: LineReport,
  notes: number,
  strong: { readonly notes: number; readonly chordTones: number },
  { inTime, offTime, riff, outside, leaping, answer }: LineFacts,
): string => {
  const kept = (...rules: readonly string[]): boolean => !findings.some(({ rule }) => rules.includes(rule));
  const one = phrases.length === 1;
  const overChords = strong.notes > 0;
  const tells = strong.notes >= FEWEST_TELLING && strong.chordTones >= TELLING * strong.notes;
  // Also a line of chance rests now and then on a note that belongs.
  const fits =
    outside <= MOST_OUTSIDE &&
    leaping <= MOST_LEAPING &&
    (strong.notes < FEWEST_TELLING || strong.chordTones >= FITTING * strong.notes);
  const time = inTime ? ", in time with your left hand" : "";
  if (riff !== undefined) return `Your figure comes back ${plural(riff, "time")} and holds the chorus together${time}.`;
  // With few chord tones on the beat a line may be shaped well, but nothing says that it fits the chords.
  if (answer !== undefined && fits && !offTime)
    return `Your ${nthWord(answer.answer)} phrase answers the one before it: the same rhythm and shape${answer.higher === 0 ? "" : answer.higher > 0 ? ", higher up" : ", lower down"}${time}.`;
  if (!offTime && findings.length === 0 && (tells || !overChords || (fits && strong.notes < FEWEST_TELLING)))
    return one
      ? `Your phrase begins, breathes and ends well${time}.`
      : `Your line has ${plural(phrases.length, "phrase")}, and each begins, breathes and ends well${time}.`;
  if (overChords && fits && kept("resting-note"))
    return one
      ? `Your phrase comes to rest on a note that belongs${time}.`
      : `Each of your ${plural(phrases.length, "phrase")} comes to rest on a note that belongs${time}.`;
  if (tells && fits)
    return one
      ? `Your line begins clearly, and its strong beats tell the chords${time}.`
      : `Your phrases begin clearly, and their strong beats tell the chords${time}.`;
  if (!offTime && fits && !one && kept("breath", "phrase-length"))
    return `You leave room to breathe: ${plural(phrases.length, "phrase")}, none too long${time}.`;
  if (fits && kept("leap-recovery", "leap-size")) return `Your line moves smoothly: no leap is left hanging${time}.`;
  return `You kept a line of ${notes} notes going${time}.`;
};

const ORDINALS = ["first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth"] as const;

const nthWord = (index: number): string => ORDINALS[index] ?? `${index + 1}th`;

/** Why there is, or is not, an assessment of the left hand. */
export type LeftHandHeard = "assessed" | "not-written" | "not-heard" | "another";

interface HeardTake {
  readonly line: readonly unknown[];
  readonly phrases: readonly unknown[];
  readonly offMs: number;
  readonly lateMs: number;
  readonly beatFrom: "left-hand" | "tempo";
  readonly sound: LineSound;
  readonly overChords: readonly OverChord[];
  readonly left?: Assessment;
  readonly leftHand: LeftHandHeard;
}

const LEFT_HAND: Readonly<Record<Exclude<LeftHandHeard, "assessed">, string>> = {
  "not-written": "Left hand: none is written, so nothing is said about it.",
  "not-heard": "Left hand: none was heard, so nothing is said about it.",
  another: "Left hand: another one than the written was heard, so nothing is said about it.",
};

const MOST_CHORDS = 12;
const SIGNS: Readonly<Record<string, string>> = { b: "♭", "#": "♯" };

/** What was played over each chord, a few chords long: degrees, and figures by name. */
const chordLines = (over: readonly OverChord[]): readonly string[] =>
  over.length === 0
    ? []
    : [
        `Over the chords: ${over
          .slice(0, MOST_CHORDS)
          .map(({ bar, symbol, notes, figures }) => {
            const degrees = notes.map(({ degree }) => degree.replace(/[b#]/g, (sign) => SIGNS[sign] ?? sign)).join(" ");
            return `bar ${bar} ${symbol}: ${degrees}${figures.length === 0 ? "" : ` (${figures.join(", ").replace(/ ([b#]+)(\d)/g, (_, signs: string, d: string) => ` ${[...signs].map((sign) => SIGNS[sign] ?? sign).join("")}${d}`)})`}`;
          })
          .join("; ")}${over.length > MOST_CHORDS ? "; and so on" : ""}.`,
      ];

/** What was heard of each hand and by what the beat was told, in plain sentences. */
export const heardLines = ({
  line,
  phrases,
  offMs,
  lateMs,
  sound: { swing, touch },
  overChords,
  beatFrom,
  left,
  leftHand,
}: HeardTake): readonly string[] => [
  `Right hand, improvised: ${plural(line.length, "note")} in ${plural(phrases.length, "phrase")}; ${offMs} ms on the whole from the nearest eighth, triplet or sixteenth${lateMs === 0 ? "" : `, ${Math.abs(lateMs)} ms ${lateMs > 0 ? "behind" : "ahead of"} the left hand`}.`,
  ...(swing === undefined && touch === undefined
    ? []
    : [
        `${capital(
          [
            ...(swing === undefined
              ? []
              : [
                  `swing ${swing.measured.ratio.value.toFixed(1)}:1 over ${swing.measured.pairs} pairs, asked ${Number(swing.asked.toFixed(1))}:1`,
                ]),
            ...(touch === undefined
              ? []
              : [
                  `loudness ${Math.round(touch.mean)} of 127, give or take ${Math.round(touch.spread)}${touch.offbeats === undefined ? "" : `, notes off the beat ${Math.abs(Math.round(touch.offbeats))} ${touch.offbeats < 0 ? "softer" : "louder"}`}`,
                ]),
          ].join("; "),
        )}.`,
      ]),
  ...chordLines(overChords),
  ...(leftHand === "assessed" ? known(left).hands.map(handLine) : [LEFT_HAND[leftHand]]),
  beatFrom === "left-hand"
    ? "The left hand told the beat."
    : "No left hand told the beat: it was counted at the written tempo from where the first bar was said to begin.",
];
