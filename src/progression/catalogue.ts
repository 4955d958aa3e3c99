import type { KeyMode } from "../pitch/index.ts";

/** A named progression: a row of the catalogue, or of your own. */
export interface ProgressionRow {
  /** Lower case with hyphens, as typed on the command line. */
  readonly id: string;
  /** A title for a page. */
  readonly title: string;
  /** The changes in the chart grammar, as Roman numerals. */
  readonly changes: string;
  /** The mode that its numerals are read in. */
  readonly mode: KeyMode;
  /** The metre that it is played in unless another is asked for. */
  readonly metre: string;
  /** Length in bars, repeats played out. */
  readonly bars: number;
  /** Where it is written down, or that it is common practice. */
  readonly source: string;
}

const COMMON = "common practice, no source";

const row = (
  id: string,
  title: string,
  bars: number,
  changes: string,
  mode: KeyMode = "major",
  metre = "4/4",
): ProgressionRow => ({ id, title, changes, mode, metre, bars, source: COMMON });

/**
 * Named progressions in the trade's generic terms. A new one is one row.
 *
 * @example
 * ```ts
 * import { progressionCatalogue } from "hands-together";
 *
 * progressionCatalogue.find((row) => row.id === "turnaround")?.changes; // => "I | vi | ii | V"
 * ```
 */
export const progressionCatalogue: readonly ProgressionRow[] = [
  row("turnaround", "Turnaround", 4, "I | vi | ii | V"),
  row("turnaround-two-bars", "Turnaround, two chords a bar", 2, "I vi | ii V"),
  row("turnaround-dominant", "Turnaround with a dominant on VI", 4, "I | VI7 | ii | V"),
  row("turnaround-dominants", "Turnaround of dominants", 4, "I | VI7 | II7 | V7"),
  row("turnaround-from-three", "Turnaround from iii", 4, "iii | VI7 | ii | V"),
  row("turnaround-tritone", "Turnaround with tritone substitutes", 4, "I | subV7/ii | ii | subV7"),
  row("turnaround-tritone-dominants", "Turnaround of tritone substitutes only", 4, "I | bIII7 | bVI7 | bII7"),
  row(
    "turnaround-flat-side",
    "Turnaround of major sevenths on the flat side",
    4,
    "Imaj7 | bIIImaj7 | bVImaj7 | bIImaj7",
  ),
  row("turnaround-diminished", "Turnaround with rising diminished chords", 4, "I | #io7 | ii | #iio7"),
  row("turnaround-passing", "Turnaround with one passing diminished chord", 4, "I | #io7 | ii | V"),
  row("turnaround-stepwise", "Turnaround falling by step", 4, "I | bVII7 | bVI7 | V7"),
  row("minor-turnaround", "Minor turnaround", 4, "i6 | viø | iiø | V7b9", "minor"),
  row("minor-turnaround-flat-six", "Minor turnaround through the flat sixth", 4, "i6 | bVImaj7 | iiø | V7b9", "minor"),

  row("two-five-one", "ii–V–I in major", 4, "ii | V | I | %"),
  row("two-five-one-short", "ii–V–I in major, two bars", 2, "ii V | I"),
  row("two-five-one-long", "ii–V–I in major, eight bars", 8, "ii | % | V | % | I | % | % | %"),
  row("two-five-one-tritone", "ii–V–I with the tritone substitute", 4, "ii | subV7 | I | %"),
  row("two-five-one-altered", "ii–V–I with an altered dominant", 4, "ii | V7alt | I | %"),
  row("two-five-one-suspended", "ii–V–I with a suspended dominant", 4, "ii | V13sus4 V7b9 | I | %"),
  row("minor-two-five-one", "ii–V–i in minor", 4, "iiø | V7b9 | i6 | %", "minor"),
  row("minor-two-five-one-short", "ii–V–i in minor, two bars", 2, "iiø V7b9 | i6", "minor"),
  row("minor-two-five-one-long", "ii–V–i in minor, eight bars", 8, "iiø | % | V7b9 | % | i6 | % | imaj7 | i6", "minor"),
  row("backdoor", "Backdoor", 4, "iv | bVII7 | I | %"),
  row("minor-subdominant", "Major to minor subdominant", 4, "IV | iv6 | I | V7/ii"),
  row(
    "relative-minor-and-back",
    "ii–V–i in the relative minor, then ii–V–I in major",
    8,
    "iiø/vi | V7b9/vi | vi | % | ii | V | I | %",
  ),
  row("blues", "12-bar blues, basic", 12, "I7 | % | % | % | IV7 | % | I7 | % | V7 | IV7 | I7 | V7"),
  row(
    "blues-quick-change",
    "12-bar blues with a quick change",
    12,
    "I7 | IV7 | I7 | % | IV7 | % | I7 | % | V7 | IV7 | I7 | V7",
  ),
  row(
    "jazz-blues",
    "12-bar jazz blues",
    12,
    "I7 | IV7 | I7 | ii/IV V7/IV | IV7 | #ivo7 | I7 | iii VI7 | ii | V7 | I7 VI7 | ii V7",
  ),
  row(
    "blues-turnaround",
    "12-bar major blues with turnaround",
    12,
    "I6 | IV7 | I6 | I7 | IV7 | iv6 | I6 | VI7 | ii | V7 | I6 VI7 | ii V7",
  ),
  row(
    "minor-blues",
    "12-bar minor blues",
    12,
    "i7 | iv7 | i7 | % | iv7 | % | i7 | % | bVI7 | V7b9 | i7 | iiø V7b9",
    "minor",
  ),
  row("eight-bar-blues", "8-bar blues", 8, "I7 | V7 | IV7 | % | I7 | V7 | I7 IV7 | I7 V7"),
  row(
    "slow-blues",
    "12-bar blues in twelve-eight",
    12,
    "I7 | IV7 | I7 | % | IV7 | #ivo7 | I7@5 | VI7 | ii | V7 | I7 VI7 | ii V7",
    "major",
    "12/8",
  ),
  row(
    "waltz-blues",
    "12-bar minor blues in three",
    12,
    "i7 | % | % | % | iv7 | % | i7 | % | bVI7 | V7b9 | i7 | V7b9",
    "minor",
    "3/4",
  ),

  row("dominant-bridge", "Bridge of dominants", 8, "III7 | % | VI7 | % | II7 | % | V7 | %"),
  row(
    "aaba",
    "32-bar AABA with a bridge of dominants",
    32,
    "[A] |: I6 VI7 | ii V7 | iii VI7 | ii V7 | I6 I7 | IV6 #ivo7 [1] iii VI7 | ii V7 :| [2] I6 V7 | I6 |" +
      " [B] III7 | % | VI7 | % | II7 | % | V7 | % | [A] I6 VI7 | ii V7 | iii VI7 | ii V7 | I6 I7 | IV6 #ivo7 | I6 V7 | I6",
  ),
  row("diatonic-cycle", "Diatonic cycle of fifths", 8, "I | IV | vii | iii | vi | ii | V | I"),
  row("minor-cycle", "Minor cycle of fifths", 8, "i7 | iv7 | bVII7 | bIII | bVI | iiø | V7b9 | i6", "minor"),
  row(
    "cycle-of-fourths",
    "Dominants round the cycle of fourths",
    12,
    "I7 IV7 bVII7 bIII7 bVI7 bII7 #IV7 VII7 III7 VI7 II7 V7",
  ),
  row(
    "cycle-of-fifths",
    "Major sevenths round the cycle of fifths",
    12,
    "Imaj7 Vmaj7 IImaj7 VImaj7 IIImaj7 VIImaj7 #IVmaj7 bIImaj7 bVImaj7 bIIImaj7 bVIImaj7 IVmaj7",
  ),
  row("descending-two-fives", "ii–V pairs falling by semitone", 4, "iii VI7 | biii bVI7 | ii V7 | I"),
  row("descending-two-fives-by-tone", "ii–V pairs falling by whole tone", 4, "iii VI7 | ii V7 | i7 IV7 | bVIImaj7"),
  row(
    "tonics-by-major-thirds",
    "Tonics rising by major thirds, a ii–V before each",
    8,
    "I | ii/III V7/III | IIImaj7 | ii/bVI V7/bVI | bVImaj7 | ii V7 | I | %",
  ),
  row("walk-up", "Walk-up through the raised fourth", 4, "I I7@3 | IV #ivo7 | I@5 VI7 | II7 V7"),
  row("tag-ending", "Tag ending", 8, "|: iii VI7 | ii V7 :|*3 I6 | %"),

  row("tonic-pedal", "Tonic pedal", 4, "I | ii@1 | V7@1 | I"),
  row("dominant-pedal", "Dominant pedal", 4, "ii@5 | V9 | ii@5 | V7b9"),
  row("dorian-vamp", "Two-chord minor vamp", 2, "i7 | IV7", "minor"),
  row("major-vamp", "Two-chord major vamp", 2, "I7 | bVIImaj7"),
  row(
    "suspended-resolving",
    "Suspended chords that resolve, by fourths",
    4,
    "V9sus4 V7 | I9sus4 I7 | IV9sus4 IV7 | I6",
  ),
  row("montuno", "Two-bar montuno, major", 2, "I6 IV6 | V7 IV6"),
  row("minor-montuno", "Two-bar montuno, minor", 2, "i6 iv6 | V7b9 iv6", "minor"),
  row("minor-line", "Minor tonic with a falling inner line", 4, "im | imaj7 | i7 | i6", "minor"),
  row("minor-descent", "Minor descent to the dominant", 4, "i7 | bVII7 | bVImaj7 | V7", "minor"),
];
