import type { Progression, ProgressionRow } from "../progression/index.ts";
import { progressionOf } from "../progression/inner.ts";
import type { Beats } from "../time/index.ts";
import { analysisOf } from "./analysis.ts";
import { formatNumeral } from "./numeral.ts";

/** What harmony has to say at a chord, for a page. */
export interface NumeralMark {
  /** Where its chord begins, in quarter notes from the first bar line. */
  readonly at: Beats;
  /** The numeral in the key of the whole, as printed; absent where a chord goes on. */
  readonly numeral?: string;
  /** A bracket under a ii and its V begins or ends. */
  readonly bracket?: "start" | "stop";
  /** Brackets are numbered 1 and 2 in turn, since one may begin before another has ended. */
  readonly number: number;
}

/**
 * Roman numerals to print under the chords of a progression, counted in the key of the whole, and brackets from each ii to its V: what
 * `writeMusicXml` and `writeLeadSheet` take as their option `numerals`.
 *
 * @param progression - a progression, a row of the catalogue, or a text for `parseProgression`
 * @returns marks in order of time; none where a chord only goes on
 * @throws MusicError the codes of `parseProgression`
 *
 * @example
 * ```ts
 * import { numeralMarks } from "hands-together/harmony";
 *
 * const marks = numeralMarks("Dm7 G7 | Cmaj7 | Cmaj7");
 * marks.map(({ numeral, bracket }) => [numeral, bracket]); // => [["ii7", "start"], ["V7", "stop"], ["Imaj7", undefined]]
 * ```
 */
export function numeralMarks(progression: string | Progression | ProgressionRow): readonly NumeralMark[] {
  const { chords, twoFives } = analysisOf(progressionOf(progression));
  const brackets = new Map<number, Pick<NumeralMark, "bracket" | "number">>();
  for (const [i, { two, five }] of twoFives.entries()) {
    brackets.set(two, { bracket: "start", number: (i % 2) + 1 });
    brackets.set(five, { bracket: "stop", number: (i % 2) + 1 });
  }
  return chords.flatMap(({ at, home, chord }, i): readonly NumeralMark[] => {
    const before = chords[i - 1];
    const goesOn = before !== undefined && before.chord.canonical === chord.canonical && before.home === home;
    const bracket = brackets.get(i);
    return goesOn && bracket === undefined
      ? []
      : [{ at, number: 1, ...bracket, ...(!goesOn && { numeral: formatNumeral(home) }) }];
  });
}
