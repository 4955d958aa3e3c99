import { attempt } from "../ground/attempt.ts";
import { memo } from "../ground/memo.ts";
import type { Degree, NoteName } from "../pitch/index.ts";
import { degreeInterval, transposeNote } from "../pitch/index.ts";

/** A scale that is played over a chord: a row of the chord-scale table. */
export interface ChordScaleRow {
  readonly id: string;
  readonly title: string;
  /** Counted from the root of the chord. */
  readonly degrees: readonly Degree[];
  /** Where it is written down. */
  readonly source: string;
}

const NETTLES =
  "Nettles, B. & Graf, R. (1997), The Chord Scale Theory and Jazz Harmony (cited from memory; notes as in tonal 6.4.3)";
const LEVINE = "Levine, M. (1995), The Jazz Theory Book, part 2 (cited from memory; notes as in tonal 6.4.3)";

const words = (text: string): readonly Degree[] => text.split(" ").filter((word): word is Degree => word !== "");

const row = <Id extends string>(
  id: Id,
  title: string,
  degrees: string,
  source: string,
): ChordScaleRow & { readonly id: Id } => ({
  id,
  title,
  degrees: words(degrees),
  source,
});

/**
 * The scales that chords are heard with, by the degrees over the chord's root.
 *
 * @example
 * ```ts
 * import { chordScaleCatalogue } from "hands-together/harmony";
 *
 * chordScaleCatalogue.find((row) => row.id === "lydian-dominant")?.degrees; // => ["1", "2", "3", "#4", "5", "6", "b7"]
 * ```
 */
export const chordScaleCatalogue = [
  row("ionian", "ionian", "1 2 3 4 5 6 7", NETTLES),
  row("dorian", "dorian", "1 2 b3 4 5 6 b7", NETTLES),
  row("phrygian", "phrygian", "1 b2 b3 4 5 b6 b7", NETTLES),
  row("lydian", "lydian", "1 2 3 #4 5 6 7", NETTLES),
  row("mixolydian", "mixolydian", "1 2 3 4 5 6 b7", NETTLES),
  row("aeolian", "aeolian", "1 2 b3 4 5 b6 b7", NETTLES),
  row("locrian", "locrian", "1 b2 b3 4 b5 b6 b7", NETTLES),
  row("locrian-natural-2", "locrian ♮2", "1 2 b3 4 b5 b6 b7", LEVINE),
  row("melodic-minor", "melodic minor", "1 2 b3 4 5 6 7", LEVINE),
  row("lydian-augmented", "lydian augmented", "1 2 3 #4 #5 6 7", LEVINE),
  row("lydian-dominant", "lydian dominant", "1 2 3 #4 5 6 b7", LEVINE),
  row("altered", "altered", "1 b2 #2 3 #4 b6 b7", LEVINE),
  row("mixolydian-b9-b13", "mixolydian ♭9 ♭13", "1 b2 3 4 5 b6 b7", NETTLES),
  row("half-whole", "half-whole diminished", "1 b2 #2 3 #4 5 6 b7", LEVINE),
  row("whole-half", "whole-half diminished", "1 2 b3 4 b5 b6 6 7", LEVINE),
  row("whole-tone", "whole-tone", "1 2 3 #4 #5 b7", LEVINE),
] as const satisfies readonly ChordScaleRow[];

/** The ids of {@link chordScaleCatalogue}. */
export type ChordScaleId = (typeof chordScaleCatalogue)[number]["id"];

const spelled = /* @__PURE__ */ memo<readonly NoteName[]>(600);

/** The notes of a chord scale on a root; those that no note name spells are left out. */
export const scaleNotes = (root: NoteName, id: ChordScaleId): readonly NoteName[] =>
  spelled(`${root} ${id}`, () => {
    const degrees = chordScaleCatalogue.find((one) => one.id === id)?.degrees ?? [];
    return degrees.flatMap((degree) => attempt(() => transposeNote(root, degreeInterval(degree))) ?? []);
  });
