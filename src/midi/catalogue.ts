import type { ScorePart } from "../swing/index.ts";

/** A track of the files that this library writes. */
export interface TrackRow {
  readonly part: ScorePart;
  readonly name: string;
  /** From 0; percussion is 9, the tenth. */
  readonly channel: number;
  /** General MIDI program from 0; percussion has none. */
  readonly program?: number;
  /** Volume, place from left (0) over the middle (64) to right (127), and room, each 0 to 127. */
  readonly mix?: { readonly volume: number; readonly pan: number; readonly reverb: number };
  /** Whether the track is written for every score, even when it is silent. */
  readonly always: boolean;
}

// Programs and the percussion channel: General MIDI System Level 1 (MMA). Hands have a channel each, so that a key that both play
// does not fall silent when one lets go. The mix is our own, set by ear and by a rendered check: the line above the chords, bass and ride audible.
export const TRACKS: readonly TrackRow[] = [
  {
    part: "right",
    name: "Right hand",
    channel: 0,
    program: 0,
    mix: { volume: 105, pan: 70, reverb: 40 },
    always: true,
  },
  { part: "left", name: "Left hand", channel: 1, program: 0, mix: { volume: 127, pan: 58, reverb: 40 }, always: true },
  { part: "bass", name: "Bass", channel: 2, program: 32, mix: { volume: 92, pan: 64, reverb: 24 }, always: false },
  { part: "drums", name: "Drums", channel: 9, program: 0, mix: { volume: 122, pan: 64, reverb: 32 }, always: false },
];

/** The click of a count-in: high and low wood block. */
export const COUNT_IN = {
  row: { part: "drums", name: "Count-in", channel: 9, program: 0, always: false } satisfies TrackRow,
  first: 76,
  other: 77,
} as const;
