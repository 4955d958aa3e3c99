import type { GraceNote, NoteEvent } from "../../event/index.ts";
import type { Chance } from "../../ground/chance.ts";
import { BLUES_FOUR, BLUES_ONE, DOMINANT, MAJOR } from "../../line-model/inner.ts";
import type { Pitch } from "../../pitch/index.ts";
import { keyColour, pitchFromMidi } from "../../pitch/index.ts";
import { ticksToBeats } from "../grid.ts";
import { graceOf } from "../line.ts";
import { beside, blueNoteBelow } from "../spelling.ts";
import type { Brief, Frame } from "./frame.ts";
import type { Drawn } from "./search.ts";

// Notes from one grace note to the next at least.
const GRACE_DISTANCE = 5;
// Ticks of the shortest note that is slid into.
const LEAST_SLID = 4;
// Semitones above the root that are slid into over major chords and dominants: ♭3 into 3, ♭5 into 5, ♭6 into 6. Common practice, no source.
const SLID = [4, 7, 9];
const SLIDING_KINDS = [MAJOR, DOMINANT, BLUES_ONE, BLUES_FOUR];
const SLIDES = { blues: 1.6, melodic: 0.5, bebop: 0.35 } as const;

interface Written {
  readonly pitch: Pitch;
  readonly belongs: boolean;
  readonly slid: boolean;
}

/** Spells a line as it is read, and puts in the slides that one finger can make. */
export const writeDown = (
  briefs: readonly Brief[],
  drawn: readonly Drawn[],
  blue: readonly (Pitch | undefined)[],
  frame: Frame,
  chance: Chance,
): readonly NoteEvent[] => {
  const { settings, low } = frame;
  const inOctave = (base: Pitch, midi: number): Pitch => {
    const octaves = Math.round((midi - 12 - base.semitones) / 12);
    return { kind: "pitch", steps: base.steps + 7 * octaves, semitones: base.semitones + 12 * octaves };
  };
  let sinceGrace = GRACE_DISTANCE;
  let last: Pitch | undefined;
  return briefs.flatMap(({ phrase, idiom, palette }, k): readonly NoteEvent[] => {
    const pitches = drawn[k]?.pitches ?? [];
    const over = phrase.notes.map((note, i): Written => {
      const setting = settings.at(note.at);
      const midi = low + (pitches[i] ?? 0);
      const sound = midi % 12;
      const own = (setting.belongs[sound] ?? 0) > 0;
      const blueNote = idiom === "blues" && palette?.[sound] === 1 ? blue[sound] : undefined;
      const base = own ? setting.spelled[sound] : blueNote;
      const degree = (sound - setting.root + 12) % 12;
      return {
        pitch: base === undefined ? pitchFromMidi(midi, "flats") : inOctave(base, midi),
        belongs: base !== undefined,
        slid: SLIDING_KINDS.includes(setting.kind) && SLID.includes(degree) && own,
      };
    });
    // A chromatic note is spelled by the one that it leads into, or else by the one that it comes from.
    const spelled = over.map(({ pitch, belongs }, i): Pitch => {
      if (belongs) return pitch;
      const near = [over[i + 1], over[i - 1]].find(
        (other) => other?.belongs === true && [1, 2].includes(Math.abs(other.pitch.semitones - pitch.semitones)),
      );
      return near === undefined ? pitch : beside(near.pitch, pitch.semitones - near.pitch.semitones);
    });
    return phrase.notes.map((note, i): NoteEvent => {
      const main = spelled[i] ?? pitchFromMidi(low, "flats");
      const below = blueNoteBelow(main);
      const fresh = last?.semitones !== below.semitones && last?.semitones !== main.semitones;
      const fits = over[i]?.slid === true && note.duration >= LEAST_SLID && keyColour(below) === "black" && fresh;
      const slides = fits && sinceGrace >= GRACE_DISTANCE && 100 * chance.share() < frame.grade.slides * SLIDES[idiom];
      const graces: readonly GraceNote[] = slides ? [graceOf(below)] : [];
      sinceGrace = slides ? 0 : sinceGrace + 1;
      last = main;
      return {
        at: ticksToBeats(note.at),
        duration: ticksToBeats(note.duration),
        pitches: [main],
        ...(graces.length > 0 && { graces }),
      };
    });
  });
};
