import type { Chord } from "../chord/index.ts";
import { kept } from "../ground/memo.ts";
import type { Key, KeyMode, NoteName } from "../pitch/index.ts";
import { fifthsOf, pitchClassOf } from "../pitch/index.ts";
import { beatsToNumber } from "../time/index.ts";
import type { Feature } from "./key-features.ts";
import { KEY_FEATURES } from "./key-features.ts";
import { KEY_PROFILES, KEY_WEIGHTS } from "./key-weights.ts";
import { majorOn, minorOn } from "./twins.ts";
import type { Progression } from "./types.ts";

/** A key that a chart may be in. */
export interface KeyCandidate {
  readonly key: Key;
  /** Among all 24 keys, from 0 to 1; they add up to 1. */
  readonly share: number;
  /** What speaks for it, the weightiest first, in words. */
  readonly reasons: readonly string[];
}

/** The families of chords that a key is told by. */
type Family = "M" | "7" | "m" | "h" | "o";
/** In the order of the columns of a profile. */
export const FAMILIES: readonly Family[] = ["M", "7", "m", "h", "o"];
const FAMILY: Readonly<Record<Chord["quality"], Family>> = {
  major: "M",
  augmented: "M",
  power: "M",
  dominant: "7",
  suspended: "7",
  minor: "m",
  "minor-major": "m",
  "half-diminished": "h",
  diminished: "o",
};

/** A chord as key finding sees it. */
interface Heard {
  readonly root: number;
  readonly family: Family;
  /** Pitch classes of its tones as bits, C the lowest. */
  readonly tones: number;
  /** Three tones, no more. */
  readonly triad: boolean;
  /** A chord to rest on: major, or minor without a minor seventh. */
  readonly rests: boolean;
  /** Share of the whole chart's time. */
  readonly share: number;
  readonly beginsSection: boolean;
}

const heardChord = (chord: Chord): Pick<Heard, "root" | "family" | "tones" | "triad" | "rests"> => {
  const family = FAMILY[chord.quality];
  return {
    root: pitchClassOf(chord.root),
    family,
    tones: chord.tones.reduce((bits, { note }) => bits | (1 << pitchClassOf(note)), 0),
    triad: chord.tones.length === 3,
    rests: family === "M" || (family === "m" && !chord.tones.some(({ degree }) => degree === "b7")),
  };
};

const hear = ({ chords, sections, metre }: Progression): readonly Heard[] => {
  const sounding = chords.flatMap((span) => (span.chord === undefined ? [] : [{ ...span, chord: span.chord }]));
  const total = sounding.reduce((sum, { duration }) => sum + beatsToNumber(duration), 0);
  const known = new Map<string, ReturnType<typeof heardChord>>();
  const barBeats = (4 * metre.count) / metre.unit;
  const starts = new Set(sections.map(({ bar }) => (bar - 1) * barBeats));
  return sounding.map(({ chord, at, duration }) => ({
    ...kept(known, chord.canonical, () => heardChord(chord)),
    share: beatsToNumber(duration) / total,
    beginsSection: starts.has(beatsToNumber(at)),
  }));
};

const profileOf = (heard: readonly Heard[], tonic: number): readonly number[] => {
  const profile = new Array<number>(60).fill(0);
  for (const { root, family, share } of heard) {
    const cell = 5 * ((root - tonic + 12) % 12) + FAMILIES.indexOf(family);
    profile[cell] = (profile[cell] ?? 0) + share;
  }
  return profile;
};

/** What is counted for one key, with the numbers that the reasons name. */
interface Measured {
  readonly values: Readonly<Record<Feature, number>>;
  readonly arrivals: readonly [here: number, all: number];
  readonly ends: readonly [here: number, all: number];
}

// The major scale, and the minor one with either seventh, as bits from the tonic.
const SCALES: Readonly<Record<KeyMode, number>> = { major: 0b101010110101, minor: 0b110110101101 };

/** One pass over the chords, seen from a tonic. */
const measure = (
  heard: readonly Heard[],
  tonic: number,
  mode: KeyMode,
  profiles: Readonly<Record<KeyMode, readonly number[]>>,
): Measured => {
  const degreeOf = ({ root }: Heard): number => (root - tonic + 12) % 12;
  const isTonic = ({ root, family }: Heard): boolean =>
    root === tonic && (mode === "major" ? family === "M" || family === "7" : family === "m");
  const scale = ((SCALES[mode] << tonic) | (SCALES[mode] >> (12 - tonic))) & 0xfff;
  const profile = profiles[mode];
  let [onTonic, onRests, restsHere, dominantTonic, triads, outside, likelihood] = [0, 0, 0, 0, 0, 0, 0];
  let [changes, twoFives, arrivals, arrivalsHere, parts, ends, endsHere] = [0, 0, 0, 0, 0, 0, 0];
  let subdominantSeventh = false;
  let before: Heard | undefined;
  let twoBefore: Heard | undefined;
  let lastRest: Heard | undefined;
  let partRest: Heard | undefined;
  const closePart = (): void => {
    if (partRest !== undefined) {
      ends++;
      if (isTonic(partRest)) endsHere++;
    }
    partRest = undefined;
  };
  for (const [i, one] of heard.entries()) {
    const { root, family, share } = one;
    const here = isTonic(one);
    if (i === 0 || one.beginsSection) {
      closePart();
      parts++;
    }
    if (here) onTonic += share;
    if (root === tonic && family === "7") dominantTonic += share;
    if (family === "7" && degreeOf(one) === 5) subdominantSeventh = true;
    if (one.triad) triads += share;
    if ((one.tones & ~scale) !== 0) outside += share;
    likelihood += share * (profile[5 * degreeOf(one) + FAMILIES.indexOf(family)] ?? 0);
    if (one.rests) {
      onRests += share;
      if (here) restsHere += share;
      lastRest = partRest = one;
    }
    // One chord where it is played again and again.
    if (before !== undefined && before.root === root && before.family === family) continue;
    changes++;
    const fall = before === undefined ? 0 : (before.root - root + 12) % 12;
    // A dominant that falls a fifth or a semitone to a major or minor chord.
    if (before?.family === "7" && (fall === 7 || fall === 1) && (family === "M" || family === "m")) {
      arrivals++;
      if (here) arrivalsHere++;
    }
    const five = before?.family === "7" && [7, 1, 10].includes(degreeOf(before));
    const two = (twoBefore?.family === "m" || twoBefore?.family === "h") && [2, 5, 8].includes(degreeOf(twoBefore));
    if (here && five && two) twoFives++;
    [twoBefore, before] = [before, one];
  }
  closePart();
  const [first] = heard;
  return {
    values: {
      tonic: onTonic,
      first: first !== undefined && isTonic(first) ? 1 : 0,
      "two-five-one": (4 * twoFives) / Math.max(4, changes),
      minor: mode === "minor" ? 1 : 0,
      rest: restsHere / Math.max(0.02, onRests),
      "last-rest": lastRest !== undefined && isTonic(lastRest) ? 1 : 0,
      arrivals: arrivals === 0 ? 0 : arrivalsHere / arrivals,
      "section-ends": ends === 0 ? 0 : endsHere / ends,
      blues: mode === "major" && dominantTonic > 0.2 && subdominantSeventh ? 1 : 0,
      // Where chords are plain triads the scale tells more than in a chart of sevenths.
      outside: triads * outside,
      profile: likelihood,
    },
    arrivals: [arrivalsHere, arrivals],
    ends: [endsHere, parts > 1 ? ends : 0],
  };
};

const MODES: readonly KeyMode[] = ["major", "minor"];

/** What the weights are made from: for each of the 24 keys its features, and the time on each degree and family. For the script alone. */
export const keyEvidence = (
  progression: Progression,
  profiles: Readonly<Record<KeyMode, readonly number[]>>,
): readonly {
  readonly tonic: number;
  readonly mode: KeyMode;
  readonly features: readonly number[];
  readonly profile: readonly number[];
}[] => {
  const heard = hear(progression);
  return heard.length === 0
    ? []
    : Array.from({ length: 12 }, (_, tonic) => tonic).flatMap((tonic) =>
        MODES.map((mode) => {
          const { values } = measure(heard, tonic, mode, profiles);
          return {
            tonic,
            mode,
            features: KEY_FEATURES.map((feature) => values[feature]),
            profile: profileOf(heard, tonic),
          };
        }),
      );
};

interface Scored extends Measured {
  readonly tonic: number;
  readonly mode: KeyMode;
  readonly score: number;
}

const scoredKeys = (heard: readonly Heard[]): readonly Scored[] =>
  Array.from({ length: 12 }, (_, tonic) => tonic).flatMap((tonic) =>
    MODES.map((mode): Scored => {
      const measured = measure(heard, tonic, mode, KEY_PROFILES);
      const score = KEY_FEATURES.reduce((sum, feature) => sum + KEY_WEIGHTS[feature] * measured.values[feature], 0);
      return { tonic, mode, ...measured, score };
    }),
  );

const spellerFor = ({ chords }: Progression): ((tonic: number, mode: KeyMode) => Key) =>
  speller(chords.flatMap(({ chord }) => chord?.root ?? []));

/** The likeliest key of a progression alone; `undefined` where no chord sounds. */
export const likeliestKey = (progression: Progression): Omit<KeyCandidate, "share"> | undefined => {
  const heard = hear(progression);
  if (heard.length === 0) return undefined;
  const best = scoredKeys(heard).reduce((most, one) => (one.score > most.score ? one : most));
  const key = spellerFor(progression)(best.tonic, best.mode);
  return { key, reasons: reasonsFor(best, key) };
};

/** The keys of a progression, the likeliest first; none where no chord sounds. */
export const keysOf = (progression: Progression): readonly KeyCandidate[] => {
  const heard = hear(progression);
  if (heard.length === 0) return [];
  const spell = spellerFor(progression);
  const measured = scoredKeys(heard);
  const most = Math.max(...measured.map(({ score }) => score));
  const all = measured.reduce((sum, { score }) => sum + Math.exp(score - most), 0);
  return [...measured]
    .sort((a, b) => b.score - a.score)
    .map(({ tonic, mode, score, ...rest }): KeyCandidate => {
      const key = spell(tonic, mode);
      return { key, share: Math.round((1000 * Math.exp(score - most)) / all) / 1000, reasons: reasonsFor(rest, key) };
    });
};

const reasonsFor = ({ values, arrivals, ends }: Measured, { tonic, mode }: Key): readonly string[] => {
  const chord = mode === "minor" ? `${tonic} minor` : tonic;
  const told: readonly (readonly [feature: Feature, words: string])[] = [
    ["two-five-one", `ii-V-I into ${chord}`],
    [
      "arrivals",
      arrivals[1] === 1
        ? `the dominant that resolves leads to ${chord}`
        : `${arrivals[0]} of ${arrivals[1]} dominants that resolve lead to ${chord}`,
    ],
    ["section-ends", `${ends[0]} of ${ends[1]} sections come to rest on ${chord}`],
    ["last-rest", `the last chord at rest is on ${chord}`],
    ["first", `it begins on ${chord}`],
    ["blues", `${tonic}7 and the seventh chord on its fourth, as in a blues`],
    ["tonic", `${chord} for ${Math.round(100 * values.tonic)} % of the time`],
  ];
  return told
    .filter(([feature]) => values[feature] > 0 && (feature !== "section-ends" || ends[1] > 0))
    .sort(([a], [b]) => KEY_WEIGHTS[b] * values[b] - KEY_WEIGHTS[a] * values[a])
    .map(([, words]) => words);
};

const NAMES: readonly NoteName[] = ["C", "Db", "D", "Eb", "E", "F", "F#", "G", "Ab", "A", "Bb", "B"];

// As its own root is mostly written; else on the side of the chart's other roots.
const speller = (roots: readonly NoteName[]): ((tonic: number, mode: KeyMode) => Key) => {
  const counts = new Map<NoteName, number>();
  for (const root of roots) counts.set(root, (counts.get(root) ?? 0) + 1);
  const names = [...counts].sort(([, a], [, b]) => b - a).map(([name]) => ({ name, tone: pitchClassOf(name) }));
  const flat = [...counts].reduce((sum, [root, count]) => sum + count * fifthsOf(root), 0) <= 0;
  return (tone, mode) => {
    const plain = NAMES[tone] ?? "C";
    const name = names.find((one) => one.tone === tone)?.name ?? (plain === "F#" && flat ? "Gb" : plain);
    // Rare names, such as F♭, have no twin with a signature among those that keys are respelled to.
    const tonic = Math.abs(fifthsOf(name) - (mode === "minor" ? 3 : 0)) <= 7 ? name : plain;
    return mode === "minor" ? minorOn(tonic) : majorOn(tonic);
  };
};
