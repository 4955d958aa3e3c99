import { BLUES_FOUR, BLUES_ONE, DIMINISHED, DOMINANT, MAJOR, MINOR } from "../../line-model/inner.ts";
import type { ServedChord, VocabularyRow } from "../vocabulary.ts";
import type { Brief, Figures, Frame } from "./frame.ts";
import type { PlannedNote } from "./plan.ts";
import type { Idea } from "./search.ts";

/** The rows that a level plays. */
export const figuresOf = (rows: readonly VocabularyRow[], level: number): Figures => {
  const played = rows.filter((row) => row.level <= level);
  return {
    rows: played,
    steps: played.map(({ tones }) => tones.slice(1).map((tone, i) => tone - (tones[i] ?? 0))),
  };
};

const SERVED: Readonly<Record<ServedChord, readonly number[]>> = {
  major: [MAJOR],
  dominant: [DOMINANT, BLUES_ONE, BLUES_FOUR],
  minor: [MINOR],
  diminished: [DIMINISHED],
};
const PARTS = { eighths: 2, triplets: 3, sixteenths: 4 } as const;
const NONE: readonly number[] = [];

/** Which figures may begin at each note of a phrase: where the rhythm is theirs, the chord is one that they serve, and every note can be played. */
export const entriesOf = (
  { rows, steps }: Figures,
  { idiom }: Brief,
  notes: readonly PlannedNote[],
  { settings, grid, low, grade }: Frame,
  weight: Float64Array,
  width: number,
): Idea["entries"] => {
  // How many notes follow each at the same distance.
  const runs = new Int32Array(notes.length);
  const gaps = notes.map(({ at }, i) => (notes[i + 1]?.at ?? 0) - at);
  for (let i = notes.length - 2; i >= 0; i--)
    runs[i] = i + 2 < notes.length && gaps[i + 1] === gaps[i] ? (runs[i + 1] ?? 0) + 1 : 1;
  const fits = notes.map(({ at }, i): readonly (readonly [row: number, from: number])[] => {
    if ((runs[i] ?? 0) < 2) return [];
    const inBeat = at % grid.pulse;
    const starts = inBeat === 0 ? "on" : 2 * inBeat === grid.pulse ? "off" : undefined;
    if (starts === undefined) return [];
    return rows.flatMap((row, r) => {
      const last = i + row.tones.length - 1;
      if (row.starts !== starts || row.tones.length - 1 > (runs[i] ?? 0) || !row.idioms.includes(idiom)) return [];
      if ((gaps[i] ?? 0) * PARTS[row.values] !== grid.pulse) return [];
      const here = settings.at(at);
      const there = settings.at(notes[last]?.at ?? 0);
      if (!row.over.some((served) => SERVED[served].includes(there.kind))) return [];
      const joined =
        row.from === "two"
          ? here.kind === MINOR && (here.root - there.root + 12) % 12 === 7
          : settings.slot(at) === settings.slot(notes[last]?.at ?? 0);
      const wide = steps[r]?.some((step) => Math.abs(step) > grade.widest) === true;
      return joined && !wide ? [[r, (there.root + (row.tones[0] ?? 0) + 120) % 12] as const] : [];
    });
  });
  return (i, p) => {
    const here = fits[i] ?? [];
    if (here.length === 0) return NONE;
    return here
      .filter(([row, from]) => {
        if ((low + p) % 12 !== from) return false;
        let at = p;
        return (steps[row] ?? []).every((step, k) => {
          at += step;
          return at >= 0 && at < width && (weight[(i + k + 1) * width + at] ?? 0) > 0;
        });
      })
      .map(([row]) => row);
  };
};
