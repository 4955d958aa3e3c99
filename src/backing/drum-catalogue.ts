/**
 * The sounds of a small kit as keys of the General MIDI percussion map.
 *
 * Source: General MIDI System Level 1 (MIDI Manufacturers Association), percussion key map.
 *
 * @example
 * ```ts
 * import { drumKeys } from "hands-together/backing";
 *
 * drumKeys.ride; // => 51
 * ```
 */
export const drumKeys = {
  "bass-drum": 36,
  "side-stick": 37,
  snare: 38,
  "closed-hi-hat": 42,
  "pedal-hi-hat": 44,
  ride: 51,
  maracas: 70,
} as const satisfies Readonly<Record<string, number>>;

/** The name of a sound of {@link drumKeys}. */
export type DrumSound = keyof typeof drumKeys;

/** A stroke of a drum pattern. */
export interface DrumHit {
  /** Pulses from the start of the pattern's cell; a half is the offbeat, as `pulseTime` reads it. */
  readonly at: string;
  /** MIDI velocity before the player's unevenness. */
  readonly velocity: number;
}

/** One of the things that a player does with one sound. */
export interface DrumChoice {
  /** Chance against the other choices of the layer. */
  readonly weight: number;
  readonly hits: readonly DrumHit[];
}

/** One sound of a pattern; each cell takes one of its choices. */
export interface DrumLayer {
  readonly sound: DrumSound;
  /** Only in the last cell of the form, as a sign of its end. */
  readonly last?: true;
  readonly choices: readonly DrumChoice[];
}

/** A drum pattern for bars of one kind. */
export interface DrumCell {
  /** Length of the cell, which fills every bar that this number divides. */
  readonly pulses: number;
  readonly layers: readonly DrumLayer[];
}

/** A manner of playing the drums. */
export interface DrumRow {
  readonly id: string;
  readonly title: string;
  readonly cells: readonly DrumCell[];
  readonly source: string;
}

const COMMON = "common practice, no source";

const hits = (velocity: number, ...places: readonly string[]): readonly DrumHit[] =>
  places.map((at) => ({ at, velocity }));
const always = (sound: DrumSound, ...strokes: readonly (readonly DrumHit[])[]): DrumLayer => ({
  sound,
  choices: [{ weight: 1, hits: strokes.flat() }],
});
const now = (weight: number, ...strokes: readonly (readonly DrumHit[])[]): DrumChoice => ({
  weight,
  hits: strokes.flat(),
});

// Ding, ding-a: a quarter, then a quarter whose offbeat sounds too, the second of each pair a little louder.
const DING = now(8, hits(72, "0"), hits(80, "1"), hits(62, "3/2"));
const RIDE: DrumLayer = {
  sound: "ride",
  choices: [DING, now(1, hits(72, "0"), hits(80, "1")), now(1, hits(72, "0"), hits(60, "1/2"), hits(80, "1"))],
};
const RIDE_IN_THREE: DrumLayer = {
  sound: "ride",
  choices: [
    now(6, hits(76, "0"), hits(74, "1"), hits(60, "3/2"), hits(74, "2")),
    now(2, hits(76, "0"), hits(74, "1"), hits(60, "3/2"), hits(74, "2"), hits(60, "5/2")),
    now(1, hits(76, "0"), hits(74, "1"), hits(74, "2")),
  ],
};
const BACKBEAT_FOOT = always("pedal-hi-hat", hits(64, "1"));
const FEATHERED = always("bass-drum", hits(30, "0", "1"));
const SNARE_TALK: DrumLayer = { sound: "snare", choices: [now(12), now(1, hits(34, "3/2")), now(1, hits(32, "1/2"))] };
const SET_UP: DrumLayer = {
  sound: "side-stick",
  last: true,
  choices: [now(1), now(2, hits(58, "1")), now(1, hits(50, "1"), hits(58, "3/2"))],
};

/**
 * The manners of playing the drums; a new one is one more row.
 *
 * Offbeats are written as eighths, so that a score's feel swings them. General MIDI Level 1 has no brushes: `"brushes-like"` puts quiet maracas
 * where the sweep would be and quiet snare taps on the ride's places, which a synthesizer plays as just that.
 *
 * @example
 * ```ts
 * import { drumCatalogue } from "hands-together/backing";
 *
 * drumCatalogue.map((row) => row.id); // => ["ride", "brushes-like", "hi-hat-only", "shuffle", "slow-triplets", "even-eighths"]
 * ```
 */
export const drumCatalogue = [
  {
    id: "ride",
    title: "Ride cymbal, hi-hat on 2 and 4, bass drum felt more than heard",
    cells: [
      { pulses: 2, layers: [RIDE, BACKBEAT_FOOT, FEATHERED, SNARE_TALK, SET_UP] },
      {
        pulses: 3,
        layers: [
          RIDE_IN_THREE,
          { sound: "pedal-hi-hat", choices: [now(3, hits(64, "1")), now(1, hits(62, "1", "2"))] },
          always("bass-drum", hits(34, "0")),
          { sound: "snare", choices: [now(8), now(1, hits(34, "5/2")), now(1, hits(32, "3/2"))] },
        ],
      },
    ],
    source: COMMON,
  },
  {
    id: "brushes-like",
    title: "In place of brushes: a soft sweep on every beat, quiet taps above it, hi-hat on 2 and 4",
    cells: [
      {
        pulses: 2,
        layers: [
          always("maracas", hits(34, "0"), hits(40, "1")),
          {
            sound: "snare",
            choices: [now(5, hits(30, "0"), hits(38, "1"), hits(28, "3/2")), now(2, hits(30, "0"), hits(38, "1"))],
          },
          always("pedal-hi-hat", hits(50, "1")),
          always("bass-drum", hits(26, "0")),
        ],
      },
      {
        pulses: 3,
        layers: [
          always("maracas", hits(38, "0"), hits(34, "1", "2")),
          {
            sound: "snare",
            choices: [
              now(3, hits(34, "0"), hits(32, "1"), hits(26, "3/2"), hits(32, "2")),
              now(1, hits(34, "0"), hits(32, "1", "2")),
            ],
          },
          always("pedal-hi-hat", hits(50, "1")),
          always("bass-drum", hits(28, "0")),
        ],
      },
    ],
    source:
      "common practice, no source; that Level 1 has no brushes: General MIDI System Level 1 (MMA), percussion key map",
  },
  {
    id: "hi-hat-only",
    title: "Hi-hat on 2 and 4 and nothing else, to practise keeping time",
    cells: [
      { pulses: 2, layers: [BACKBEAT_FOOT] },
      { pulses: 3, layers: [always("pedal-hi-hat", hits(64, "1"))] },
    ],
    source: COMMON,
  },
  {
    id: "shuffle",
    title: "Shuffle: ride on every eighth, snare on 2 and 4, bass drum on every beat",
    cells: [
      {
        pulses: 2,
        layers: [
          always("ride", hits(74, "0", "1"), hits(60, "1/2", "3/2")),
          {
            sound: "snare",
            choices: [
              now(6, hits(78, "1")),
              now(1, hits(36, "1/2"), hits(78, "1")),
              now(1, hits(78, "1"), hits(34, "3/2")),
            ],
          },
          always("pedal-hi-hat", hits(60, "1")),
          always("bass-drum", hits(56, "0"), hits(50, "1")),
        ],
      },
    ],
    source: COMMON,
  },
  {
    id: "slow-triplets",
    title: "Slow blues: ride on every third of the beat, snare on 2 and 4",
    cells: [
      {
        pulses: 2,
        layers: [
          always("ride", hits(74, "0", "1"), hits(56, "1/3", "2/3", "4/3", "5/3")),
          { sound: "snare", choices: [now(6, hits(74, "1")), now(1, hits(74, "1"), hits(36, "5/3"))] },
          always("pedal-hi-hat", hits(56, "1")),
          { sound: "bass-drum", choices: [now(3, hits(60, "0")), now(1, hits(60, "0"), hits(46, "5/3"))] },
        ],
      },
    ],
    source: COMMON,
  },
  {
    id: "even-eighths",
    title: "Even eighths: closed hi-hat, side stick on 2 and 4, for straight feels",
    cells: [
      {
        pulses: 2,
        layers: [
          always("closed-hi-hat", hits(66, "0", "1"), hits(54, "1/2", "3/2")),
          always("side-stick", hits(64, "1")),
          { sound: "bass-drum", choices: [now(2, hits(58, "0"), hits(50, "3/2")), now(1, hits(58, "0"))] },
        ],
      },
      {
        pulses: 3,
        layers: [
          always("closed-hi-hat", hits(66, "0", "1", "2"), hits(54, "1/2", "3/2", "5/2")),
          always("side-stick", hits(60, "1", "2")),
          always("bass-drum", hits(58, "0")),
        ],
      },
    ],
    source: COMMON,
  },
] as const satisfies readonly DrumRow[];

/** The ids of {@link drumCatalogue}. */
export type DrumId = (typeof drumCatalogue)[number]["id"];
