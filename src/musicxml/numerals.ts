import { analysisOf, formatNumeral } from "../harmony/inner.ts";
import type { Key } from "../pitch/index.ts";
import type { ChordSpan, Progression } from "../progression/index.ts";
import type { Beats, Metre } from "../time/index.ts";
import { formatBeats } from "../time/index.ts";
import type { XmlElement } from "./xml.ts";
import { element, leaf } from "./xml.ts";

/** What harmony has to say at a chord. */
export interface NumeralMark {
  /** In the key of the whole, as printed; absent where a chord goes on. */
  readonly numeral?: string;
  /** A bracket under a ii and its V begins or ends. */
  readonly bracket?: "start" | "stop";
  /** Brackets are numbered, since one may begin before another has ended. */
  readonly number: number;
}

/** What stands at each moment where a chord begins; keys are moments as text. */
export type NumeralMarks = ReadonlyMap<string, NumeralMark>;

export const NO_MARKS: NumeralMarks = new Map();

/** Numerals and ii–V brackets for chords in a key. */
export const numeralMarks = (chords: readonly ChordSpan[], key: Key, metre: Metre, bars: number): NumeralMarks => {
  const progression: Progression = { kind: "progression", key, metre, bars, chords, sections: [] };
  const { chords: read, twoFives } = analysisOf(progression);
  const brackets = new Map<number, Pick<NumeralMark, "bracket" | "number">>();
  for (const [i, { two, five }] of twoFives.entries()) {
    brackets.set(two, { bracket: "start", number: (i % 2) + 1 });
    brackets.set(five, { bracket: "stop", number: (i % 2) + 1 });
  }
  const marks = new Map<string, NumeralMark>();
  for (const [i, { at, home, chord }] of read.entries()) {
    const before = read[i - 1];
    const goesOn = before !== undefined && before.chord.canonical === chord.canonical && before.home === home;
    const bracket = brackets.get(i);
    if (goesOn && bracket === undefined) continue;
    marks.set(formatBeats(at), { number: 1, ...bracket, ...(!goesOn && { numeral: formatNumeral(home) }) });
  }
  return marks;
};

/** The directions of a mark, below a staff. */
export const markElements = (
  mark: NumeralMark | undefined,
  offset: number,
  staff: number | undefined,
): readonly XmlElement[] => {
  if (mark === undefined) return [];
  const below = (child: XmlElement): XmlElement =>
    element("direction", { placement: "below" }, [
      element("direction-type", {}, [child]),
      offset === 0 ? undefined : leaf("offset", offset),
      staff === undefined ? undefined : leaf("staff", staff),
    ]);
  return [
    ...(mark.numeral === undefined ? [] : [below(leaf("words", mark.numeral))]),
    ...(mark.bracket === undefined
      ? []
      : [
          below(
            element("bracket", { type: mark.bracket, number: mark.number, "line-end": "up", "line-type": "solid" }),
          ),
        ]),
  ];
};

/** When a chord begins, for {@link NumeralMarks}. */
export const momentOf = (at: Beats): string => formatBeats(at);
