import * as v from "valibot";
import { shapeOf } from "../ground/check.ts";
import type { Door } from "../ground/door.ts";
import { door, rowFields } from "../ground/door.ts";
import { placeOf, placeSchema } from "./place.ts";

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
  "open-hi-hat": 46,
  "low-tom": 45,
  crash: 49,
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
  /**
   * Where it is played: in every cell, in the last cell of a section (a fill), in every cell but that, or in the last cell of the form alone.
   * @defaultValue `"always"`
   */
  readonly when?: "always" | "fill" | "between-fills" | "last" | undefined;
  readonly choices: readonly DrumChoice[];
}

/** A drum pattern for bars of one kind. */
export interface DrumCell {
  /** Length of the cell: it fills every bar that this number divides, or as many whole bars as make up this number. */
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
const some = (sound: DrumSound, ...choices: readonly DrumChoice[]): DrumLayer => ({ sound, choices });
const fill = (sound: DrumSound, ...choices: readonly DrumChoice[]): DrumLayer => ({ sound, when: "fill", choices });
const between = (layer: DrumLayer): DrumLayer => ({ ...layer, when: "between-fills" });

// Ding, ding-a: a quarter, then a quarter whose offbeat sounds too, the second of each pair a little louder.
const RIDE = some(
  "ride",
  now(8, hits(72, "0"), hits(80, "1"), hits(62, "3/2")),
  now(1, hits(72, "0"), hits(80, "1")),
  now(1, hits(72, "0"), hits(60, "1/2"), hits(80, "1")),
  now(1, hits(72, "0"), hits(60, "1/2"), hits(80, "1"), hits(62, "3/2")),
);
const RIDE_IN_THREE = some(
  "ride",
  now(6, hits(76, "0"), hits(74, "1"), hits(60, "3/2"), hits(74, "2")),
  now(2, hits(76, "0"), hits(74, "1"), hits(60, "3/2"), hits(74, "2"), hits(60, "5/2")),
  now(1, hits(76, "0"), hits(74, "1"), hits(74, "2")),
);
const BACKBEAT_FOOT = always("pedal-hi-hat", hits(64, "1"));
// Feathered on every beat; now and then it answers the snare with an accent off the beat.
const KICK = some(
  "bass-drum",
  now(9, hits(30, "0", "1")),
  now(1, hits(30, "0"), hits(58, "1/2")),
  now(1, hits(30, "0", "1"), hits(60, "3/2")),
  now(1, hits(52, "0"), hits(30, "1")),
);
const SNARE = between(
  some(
    "snare",
    now(9),
    now(3, hits(40, "3/2")),
    now(2, hits(38, "1/2")),
    now(2, hits(46, "1")),
    now(1, hits(34, "1/2"), hits(46, "3/2")),
    now(1, hits(42, "1/3", "2/3")),
  ),
);
// The last two beats of a section lead over the bar line.
const SNARE_FILL = fill(
  "snare",
  now(2, hits(54, "0"), hits(60, "1/2"), hits(70, "1"), hits(62, "3/2")),
  now(2, hits(50, "1/3"), hits(58, "2/3"), hits(68, "1"), hits(56, "4/3"), hits(66, "5/3")),
  now(2, hits(66, "1/2"), hits(72, "3/2")),
  now(1, hits(58, "1"), hits(52, "4/3"), hits(64, "5/3")),
);
const TOM_FILL = fill("low-tom", now(3), now(1, hits(60, "1"), hits(64, "3/2")), now(1, hits(62, "3/2")));
const FILL_IN_THREE = fill(
  "snare",
  now(2, hits(56, "1"), hits(52, "3/2"), hits(66, "2"), hits(60, "5/2")),
  now(2, hits(62, "3/2"), hits(70, "5/2")),
  now(1, hits(54, "2"), hits(60, "7/3"), hits(64, "8/3")),
);

// Side stick over two bars, three strokes in one and two in the other: the bossa nova pattern of every method.
const BOSSA_STICK = some(
  "side-stick",
  now(4, hits(58, "0"), hits(54, "3/2", "3", "5"), hits(56, "13/2")),
  now(2, hits(58, "1"), hits(54, "5/2", "4", "11/2"), hits(56, "7")),
  now(1, hits(58, "0"), hits(54, "3/2", "3", "9/2"), hits(56, "6")),
  now(1, hits(58, "0"), hits(54, "3/2", "3", "5", "6"), hits(50, "15/2")),
  now(1, hits(58, "1"), hits(54, "5/2", "4", "11/2")),
  now(1, hits(58, "0"), hits(54, "3/2", "7/2", "5"), hits(56, "13/2")),
  now(1, hits(58, "1"), hits(54, "5/2", "7/2", "5"), hits(56, "7")),
);

const WALTZ_CELL: DrumCell = {
  pulses: 3,
  layers: [
    RIDE_IN_THREE,
    some("pedal-hi-hat", now(3, hits(64, "1")), now(1, hits(62, "1", "2"))),
    some("bass-drum", now(4, hits(34, "0")), now(1, hits(34, "0"), hits(54, "5/2")), now(1, hits(34, "0", "2"))),
    between(
      some(
        "snare",
        now(5),
        now(2, hits(38, "5/2")),
        now(2, hits(36, "3/2")),
        now(1, hits(44, "2")),
        now(1, hits(34, "1/2"), hits(42, "5/2")),
      ),
    ),
    FILL_IN_THREE,
  ],
};

// Four and three: the second half of the bar a beat short.
const RIDE_IN_SEVEN: DrumCell = {
  pulses: 7,
  layers: [
    some(
      "ride",
      now(4, hits(72, "0", "2"), hits(80, "1", "3"), hits(62, "3/2", "7/2"), hits(76, "4"), hits(72, "5", "6")),
      now(2, hits(72, "0", "2"), hits(80, "1", "3"), hits(76, "4"), hits(60, "11/2"), hits(72, "5", "6")),
      now(1, hits(72, "0", "2"), hits(80, "1", "3"), hits(62, "7/2", "13/2"), hits(76, "4"), hits(72, "5", "6")),
    ),
    always("pedal-hi-hat", hits(62, "1", "3", "5")),
    some(
      "bass-drum",
      now(3, hits(38, "0", "4")),
      now(1, hits(38, "0"), hits(54, "7/2")),
      now(1, hits(38, "0", "4"), hits(52, "13/2")),
      now(1, hits(50, "0"), hits(34, "4")),
    ),
    between(
      some(
        "snare",
        now(4),
        now(2, hits(40, "7/2")),
        now(2, hits(38, "11/2")),
        now(1, hits(36, "3/2"), hits(42, "11/2")),
        now(1, hits(44, "6")),
      ),
    ),
    fill(
      "snare",
      now(2, hits(58, "4"), hits(54, "9/2"), hits(66, "5"), hits(60, "11/2"), hits(70, "6")),
      now(1, hits(64, "9/2"), hits(70, "6")),
    ),
  ],
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
 * drumCatalogue.slice(0, 4).map((row) => row.id); // => ["ride", "brushes-like", "hi-hat-only", "shuffle"]
 * ```
 */
export const drumCatalogue = [
  {
    id: "ride",
    title: "Ride cymbal, hi-hat on 2 and 4, bass drum felt more than heard",
    cells: [
      { pulses: 2, layers: [RIDE, BACKBEAT_FOOT, KICK, SNARE, SNARE_FILL, TOM_FILL] },
      WALTZ_CELL,
      RIDE_IN_SEVEN,
      {
        pulses: 5,
        layers: [
          some(
            "ride",
            now(3, hits(76, "0"), hits(72, "1"), hits(60, "3/2"), hits(72, "2"), hits(76, "3"), hits(72, "4")),
            now(2, hits(76, "0"), hits(72, "1", "2"), hits(76, "3"), hits(60, "7/2"), hits(72, "4")),
            now(
              1,
              hits(76, "0"),
              hits(72, "1"),
              hits(60, "3/2"),
              hits(72, "2"),
              hits(76, "3"),
              hits(72, "4"),
              hits(60, "9/2"),
            ),
          ),
          always("pedal-hi-hat", hits(62, "1", "4")),
          some(
            "bass-drum",
            now(3, hits(40, "0", "3")),
            now(1, hits(40, "0"), hits(54, "5/2")),
            now(1, hits(40, "0", "3"), hits(52, "9/2")),
          ),
          between(
            some(
              "snare",
              now(4),
              now(2, hits(38, "5/2")),
              now(2, hits(40, "9/2")),
              now(1, hits(36, "3/2"), hits(40, "7/2")),
            ),
          ),
          fill(
            "snare",
            now(2, hits(60, "3"), hits(56, "7/2"), hits(68, "4"), hits(62, "9/2")),
            now(1, hits(64, "7/2"), hits(70, "9/2")),
          ),
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
          some("maracas", now(4, hits(34, "0"), hits(40, "1")), now(1, hits(34, "0"), hits(40, "1"), hits(26, "3/2"))),
          some(
            "snare",
            now(4, hits(30, "0"), hits(38, "1"), hits(28, "3/2")),
            now(2, hits(30, "0"), hits(38, "1")),
            now(2, hits(30, "0"), hits(26, "1/2"), hits(38, "1"), hits(28, "3/2")),
            now(2, hits(30, "0"), hits(38, "1"), hits(26, "4/3"), hits(28, "5/3")),
            now(1, hits(30, "0"), hits(26, "1/2"), hits(38, "1")),
          ),
          always("pedal-hi-hat", hits(50, "1")),
          some("bass-drum", now(3, hits(26, "0")), now(2, hits(26, "0"), hits(36, "3/2")), now(2)),
          fill("low-tom", now(2), now(1, hits(40, "3/2")), now(1, hits(36, "1"), hits(42, "3/2"))),
        ],
      },
      {
        pulses: 3,
        layers: [
          some(
            "maracas",
            now(3, hits(38, "0"), hits(34, "1", "2")),
            now(1, hits(38, "0"), hits(34, "1", "2"), hits(26, "5/2")),
            now(1, hits(38, "0"), hits(34, "2")),
          ),
          some(
            "snare",
            now(3, hits(34, "0"), hits(32, "1"), hits(26, "3/2"), hits(32, "2")),
            now(1, hits(34, "0"), hits(32, "1", "2")),
            now(1, hits(34, "0"), hits(32, "1", "2"), hits(26, "5/2")),
            now(1, hits(34, "0"), hits(26, "1/2"), hits(32, "1", "2")),
            now(1, hits(34, "0"), hits(32, "1"), hits(26, "3/2"), hits(32, "2"), hits(26, "5/2")),
          ),
          always("pedal-hi-hat", hits(50, "1")),
          some(
            "bass-drum",
            now(3, hits(28, "0")),
            now(1, hits(28, "0"), hits(34, "5/2")),
            now(1, hits(28, "0", "2")),
            now(1),
          ),
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
      { pulses: 5, layers: [always("pedal-hi-hat", hits(64, "1", "4"))] },
      { pulses: 7, layers: [always("pedal-hi-hat", hits(64, "1", "3", "5"))] },
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
          some("ride", now(6, hits(74, "0", "1"), hits(60, "1/2", "3/2")), now(1, hits(74, "0", "1"), hits(60, "3/2"))),
          some(
            "snare",
            now(5, hits(78, "1")),
            now(3, hits(36, "1/2"), hits(78, "1")),
            now(3, hits(78, "1"), hits(34, "3/2")),
            now(2, hits(34, "1/2"), hits(78, "1"), hits(36, "3/2")),
            now(1, hits(34, "1/3", "2/3"), hits(78, "1")),
          ),
          always("pedal-hi-hat", hits(60, "1")),
          some(
            "bass-drum",
            now(5, hits(56, "0"), hits(50, "1")),
            now(2, hits(56, "0"), hits(50, "1"), hits(46, "3/2")),
            now(1, hits(56, "0"), hits(48, "1/2"), hits(50, "1")),
          ),
          fill("low-tom", now(1, hits(62, "3/2")), now(1, hits(58, "1"), hits(64, "3/2")), now(1)),
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
          some(
            "ride",
            now(6, hits(74, "0", "1"), hits(56, "1/3", "2/3", "4/3", "5/3")),
            now(1, hits(74, "0", "1"), hits(56, "2/3", "4/3", "5/3")),
            now(1, hits(74, "0", "1"), hits(56, "1/3", "2/3", "5/3")),
          ),
          some(
            "snare",
            now(5, hits(74, "1")),
            now(2, hits(74, "1"), hits(36, "5/3")),
            now(1, hits(34, "2/3"), hits(74, "1")),
            now(1, hits(34, "1/3"), hits(74, "1")),
            now(1, hits(34, "2/3"), hits(74, "1"), hits(36, "5/3")),
          ),
          always("pedal-hi-hat", hits(56, "1")),
          some(
            "bass-drum",
            now(3, hits(60, "0")),
            now(2, hits(60, "0"), hits(46, "5/3")),
            now(1, hits(60, "0"), hits(44, "2/3")),
            now(1, hits(60, "0"), hits(44, "2/3"), hits(46, "5/3")),
          ),
          fill("low-tom", now(1, hits(58, "4/3"), hits(62, "5/3")), now(1, hits(60, "5/3")), now(1)),
        ],
      },
      {
        pulses: 3,
        layers: [
          some(
            "ride",
            now(4, hits(74, "0", "1", "2"), hits(56, "1/3", "2/3", "4/3", "5/3", "7/3", "8/3")),
            now(1, hits(74, "0", "1", "2"), hits(56, "2/3", "5/3", "8/3")),
          ),
          some(
            "snare",
            now(3, hits(70, "2")),
            now(1, hits(70, "2"), hits(36, "8/3")),
            now(1, hits(34, "5/3"), hits(70, "2")),
            now(1, hits(34, "2/3"), hits(70, "2")),
            now(1, hits(34, "4/3", "5/3"), hits(70, "2")),
          ),
          some(
            "bass-drum",
            now(3, hits(60, "0")),
            now(1, hits(60, "0"), hits(46, "5/3")),
            now(1, hits(60, "0"), hits(44, "2/3")),
            now(1, hits(60, "0"), hits(46, "8/3")),
          ),
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
          some(
            "closed-hi-hat",
            now(5, hits(66, "0", "1"), hits(54, "1/2", "3/2")),
            now(1, hits(66, "0", "1"), hits(54, "1/2")),
            now(1, hits(66, "0", "1"), hits(54, "3/2")),
          ),
          some(
            "side-stick",
            now(5, hits(64, "1")),
            now(2, hits(64, "1"), hits(44, "3/2")),
            now(1, hits(40, "1/2"), hits(64, "1")),
          ),
          some(
            "bass-drum",
            now(3, hits(58, "0"), hits(50, "3/2")),
            now(2, hits(58, "0")),
            now(2, hits(58, "0"), hits(48, "1/2")),
            now(1, hits(58, "0"), hits(48, "1/2", "3/2")),
            now(1, hits(52, "1/2"), hits(50, "3/2")),
          ),
          fill("open-hi-hat", now(2, hits(60, "3/2")), now(1)),
          fill("snare", now(1), now(1, hits(56, "1/2"), hits(62, "3/2")), now(1, hits(60, "3/2"))),
        ],
      },
      {
        pulses: 3,
        layers: [
          some(
            "closed-hi-hat",
            now(4, hits(66, "0", "1", "2"), hits(54, "1/2", "3/2", "5/2")),
            now(1, hits(66, "0", "1", "2"), hits(54, "3/2", "5/2")),
          ),
          some(
            "side-stick",
            now(3, hits(60, "1", "2")),
            now(1, hits(60, "2")),
            now(1, hits(60, "1"), hits(54, "5/2")),
            now(1, hits(60, "1", "2"), hits(44, "5/2")),
            now(1, hits(54, "3/2")),
          ),
          some(
            "bass-drum",
            now(3, hits(58, "0")),
            now(1, hits(58, "0"), hits(48, "5/2")),
            now(1, hits(58, "0"), hits(46, "3/2")),
            now(1, hits(58, "0"), hits(46, "2")),
          ),
        ],
      },
      {
        pulses: 7,
        layers: [
          some(
            "closed-hi-hat",
            now(
              4,
              hits(66, "0", "1", "2", "3", "4", "5", "6"),
              hits(54, "1/2", "3/2", "5/2", "7/2", "9/2", "11/2", "13/2"),
            ),
            now(1, hits(66, "0", "1", "2", "3", "4", "5", "6"), hits(54, "1/2", "3/2", "7/2", "9/2", "11/2")),
          ),
          some(
            "side-stick",
            now(3, hits(60, "2", "5")),
            now(1, hits(60, "2", "5"), hits(44, "13/2")),
            now(1, hits(54, "3/2"), hits(60, "5")),
            now(1, hits(60, "2"), hits(54, "9/2", "6")),
          ),
          some(
            "bass-drum",
            now(3, hits(58, "0", "4")),
            now(2, hits(58, "0"), hits(50, "7/2", "4")),
            now(1, hits(58, "0", "4"), hits(48, "13/2")),
            now(1, hits(58, "0"), hits(48, "3/2", "4")),
          ),
        ],
      },
      {
        pulses: 5,
        layers: [
          some(
            "closed-hi-hat",
            now(4, hits(66, "0", "1", "2", "3", "4"), hits(54, "1/2", "3/2", "5/2", "7/2", "9/2")),
            now(1, hits(66, "0", "1", "2", "3", "4"), hits(54, "1/2", "3/2", "7/2")),
          ),
          some(
            "side-stick",
            now(3, hits(60, "2", "4")),
            now(1, hits(60, "2"), hits(54, "7/2", "4")),
            now(1, hits(54, "3/2"), hits(60, "4")),
            now(1, hits(60, "2", "4"), hits(44, "9/2")),
          ),
          some(
            "bass-drum",
            now(3, hits(58, "0", "3")),
            now(2, hits(58, "0"), hits(50, "5/2", "3")),
            now(1, hits(58, "0", "3"), hits(48, "9/2")),
            now(1, hits(58, "0"), hits(48, "3/2", "3")),
          ),
        ],
      },
    ],
    source: COMMON,
  },
  {
    id: "waltz",
    title: "Waltz: ride in three, hi-hat on 2",
    cells: [WALTZ_CELL],
    source: COMMON,
  },
  {
    id: "six-eight",
    title: "Six-eight: the bell pattern on the ride, side stick on the second beat, bass drum on the first",
    cells: [
      {
        pulses: 4,
        layers: [
          some(
            "ride",
            now(4, hits(76, "0", "4/3", "3"), hits(64, "2/3", "5/3", "7/3", "11/3")),
            now(1, hits(76, "0", "4/3", "3"), hits(64, "2/3", "7/3", "11/3")),
            now(1, hits(76, "0", "1", "2", "3"), hits(60, "2/3", "5/3", "8/3", "11/3")),
          ),
          some(
            "side-stick",
            now(4, hits(60, "1", "3")),
            now(2, hits(60, "1", "3"), hits(44, "11/3")),
            now(1, hits(60, "1"), hits(50, "7/3"), hits(56, "3")),
            now(1, hits(44, "2/3"), hits(60, "1", "3")),
          ),
          some(
            "bass-drum",
            now(3, hits(58, "0", "2")),
            now(2, hits(58, "0", "2"), hits(46, "5/3")),
            now(1, hits(58, "0"), hits(48, "5/3"), hits(52, "2")),
            now(1, hits(58, "0", "2"), hits(46, "11/3")),
          ),
          some(
            "pedal-hi-hat",
            now(3, hits(50, "1", "3")),
            now(1, hits(46, "0", "1", "2", "3")),
            now(1, hits(50, "1", "2", "3")),
          ),
          between(
            some(
              "snare",
              now(4),
              now(1, hits(32, "4/3")),
              now(1, hits(32, "10/3")),
              now(1, hits(30, "1/3"), hits(34, "8/3")),
            ),
          ),
          fill("low-tom", now(1, hits(56, "3"), hits(52, "10/3"), hits(62, "11/3")), now(1, hits(60, "10/3", "11/3"))),
        ],
      },
      {
        pulses: 3,
        layers: [
          some(
            "ride",
            now(3, hits(76, "0", "1", "2"), hits(60, "2/3", "5/3", "8/3")),
            now(1, hits(76, "0", "4/3"), hits(64, "2/3", "2"), hits(60, "8/3")),
            now(1, hits(76, "0", "1", "2"), hits(60, "1/3", "5/3")),
          ),
          some("side-stick", now(3, hits(58, "1", "2")), now(1, hits(58, "2")), now(1, hits(58, "1"), hits(44, "8/3"))),
          some(
            "bass-drum",
            now(3, hits(58, "0")),
            now(1, hits(58, "0"), hits(46, "5/3")),
            now(1, hits(58, "0"), hits(46, "8/3")),
          ),
          some("pedal-hi-hat", now(3, hits(50, "1", "2")), now(1, hits(50, "0", "1", "2"))),
        ],
      },
    ],
    source:
      "bell pattern of seven strokes in twelve: Wikipedia, 'Bell pattern' (cited from memory); the rest common practice, no source",
  },
  {
    id: "bossa",
    title: "Bossa nova: side stick over two bars, hi-hat in eighths, bass drum with the bass",
    cells: [
      {
        pulses: 8,
        layers: [
          BOSSA_STICK,
          always(
            "closed-hi-hat",
            hits(56, "0", "1", "2", "3", "4", "5", "6", "7"),
            hits(44, "1/2", "3/2", "5/2", "7/2", "9/2", "11/2", "13/2", "15/2"),
          ),
          some(
            "bass-drum",
            now(3, hits(54, "0", "2", "4", "6"), hits(46, "3/2", "7/2", "11/2", "15/2")),
            now(1, hits(54, "0", "2", "4", "6"), hits(46, "3/2", "11/2")),
            now(1, hits(54, "0", "2", "4", "6"), hits(46, "7/2", "15/2")),
            now(1, hits(54, "0", "2", "4", "6")),
          ),
          some(
            "pedal-hi-hat",
            now(3, hits(48, "1", "3", "5", "7")),
            now(1, hits(48, "1", "5")),
            now(1, hits(48, "3", "7")),
            now(1),
          ),
          some("maracas", now(4), now(1, hits(34, "1", "3", "5", "7")), now(1, hits(34, "3/2", "7/2", "11/2", "15/2"))),
          fill("snare", now(1, hits(56, "13/2"), hits(60, "15/2")), now(1, hits(58, "7"), hits(52, "15/2")), now(1)),
          some(
            "open-hi-hat",
            now(4),
            now(1, hits(50, "7/2")),
            now(1, hits(50, "15/2")),
            now(1, hits(50, "7/2", "15/2")),
          ),
        ],
      },
    ],
    source: "common practice, no source: side stick in threes against the bass drum's dotted quarters and eighths",
  },
] as const satisfies readonly DrumRow[];

/** The ids of {@link drumCatalogue}. */
export type DrumId = (typeof drumCatalogue)[number]["id"];

const soundSchema = /* @__PURE__ */ shapeOf(
  (value): value is DrumSound => typeof value === "string" && Object.hasOwn(drumKeys, value),
  /* @__PURE__ */ `a sound of the kit: ${/* @__PURE__ */ Object.keys(drumKeys).join(", ")}`,
);
const weight = /* @__PURE__ */ v.pipe(v.number(), v.integer(), v.minValue(1), v.maxValue(1000));

/** What a row for the drums must be. */
export const drumRowSchema: v.GenericSchema<DrumRow> = /* @__PURE__ */ v.strictObject({
  ...rowFields,
  cells: v.pipe(
    v.array(
      v.pipe(
        v.strictObject({
          pulses: v.pipe(v.number(), v.integer(), v.minValue(1), v.maxValue(64)),
          layers: v.pipe(
            v.array(
              v.strictObject({
                sound: soundSchema,
                when: v.optional(v.picklist(["always", "fill", "between-fills", "last"])),
                choices: v.pipe(
                  v.array(
                    v.strictObject({
                      weight,
                      hits: v.pipe(
                        v.array(
                          v.strictObject({
                            at: placeSchema,
                            velocity: v.pipe(v.number(), v.integer(), v.minValue(5), v.maxValue(123)),
                          }),
                        ),
                        v.maxLength(256),
                      ),
                    }),
                  ),
                  v.minLength(1),
                  v.maxLength(64),
                ),
              }),
            ),
            v.minLength(1),
            v.maxLength(64),
          ),
        }),
        v.check(
          ({ pulses, layers }) =>
            layers.every(({ choices }) =>
              choices.every((choice) => choice.hits.every(({ at }) => placeOf(at) < pulses)),
            ),
          "strokes within the cell",
        ),
      ),
    ),
    v.minLength(1),
    v.maxLength(16),
  ),
});

/** Manners of playing the drums, shipped and brought. */
export const drumRow: Door<DrumRow> = /* @__PURE__ */ door<DrumRow>(
  drumCatalogue,
  drumRowSchema,
  "backing/drums",
  "a manner of playing the drums",
);

/** Sounds to leave out of a drum part. */
export const soundsSchema = /* @__PURE__ */ v.array(soundSchema);
