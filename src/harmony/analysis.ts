import type { Chord } from "../chord/index.ts";
import { degreeOver, formatChord } from "../chord/index.ts";
import type { TimeSpan } from "../event/index.ts";
import { kept } from "../ground/memo.ts";
import type { Key, NoteName } from "../pitch/index.ts";
import { fifthsOf, formatPitch, parseKey, pitchClassOf } from "../pitch/index.ts";
import type { Progression, ProgressionRow } from "../progression/index.ts";
import { placeIn, progressionOf } from "../progression/inner.ts";
import type { Beats } from "../time/index.ts";
import { addBeats, beatsToNumber, compareBeats } from "../time/index.ts";
import type { ColourId } from "./colours.ts";
import { colourIdOf } from "./colours.ts";
import { dominates, familyOf, isMinor } from "./family.ts";
import type { HarmonicFunction } from "./function.ts";
import { awayFrom, isBluesy } from "./home.ts";
import { numeralIn, romanOf, semitonesIn } from "./numeral.ts";
import type { Pedal } from "./pedals.ts";
import { pedalsOf } from "./pedals.ts";
import { shippedPoints } from "./points.ts";
import type { ChordScaleId } from "./scales.ts";
import { scaleNotes } from "./scales.ts";
import type { Unit } from "./search.ts";
import { KEYS, readKeys } from "./search.ts";

/** How a phrase comes to rest at a chord: V–I, substitute–I, ♭VII7–I, IV–I, V–vi, or on V at the end of a section. */
export type Cadence = "authentic" | "tritone" | "backdoor" | "plagal" | "deceptive" | "half";

/** A chord and what it does where it stands. */
export interface AnalysedChord extends TimeSpan {
  /** From 1. */
  readonly bar: number;
  /** In pulses of the metre, from 1. */
  readonly beat: Beats;
  readonly chord: Chord;
  /** The key of the moment: for a dominant that leads somewhere, the key of what it leads to. */
  readonly key: Key;
  /** The chord in the key of the moment, such as `"V7"`. */
  readonly numeral: string;
  /** The chord in the key of the whole, such as `"V7/ii"`. */
  readonly home: string;
  readonly function: HarmonicFunction;
  /** How the phrase comes to rest here, where it does. */
  readonly cadence?: Cadence;
  /** The scale that it is heard with, as a row of the chord-scale table. */
  readonly scale: ChordScaleId;
  /** The bass note that stays under it and its neighbours, where one does. */
  readonly pedal?: NoteName;
  /** What may be added to its symbol here, as a row of the colours; absent where nothing is. */
  readonly colour?: ColourId;
  /** How many points the best reading with another key here costs more: the less, the less sure. */
  readonly margin: number;
  /** That other key. */
  readonly otherKey: Key;
  /** All this as a sentence. */
  readonly sentence: string;
}

/** A ii and its V, by places in the list of chords. */
export interface TwoFive {
  readonly two: number;
  readonly five: number;
  /** The chord that they lead to, where they do. */
  readonly one?: number;
}

/** A stretch in one key of the moment, by places in the list of chords, both included. */
export interface KeyRegion {
  readonly key: Key;
  readonly from: number;
  readonly to: number;
}

/** What the chords of a progression do. */
export interface HarmonicAnalysis {
  readonly kind: "harmonic-analysis";
  /** The key of the whole, as the chart has it. */
  readonly key: Key;
  /** One a chord of the chart, bars without a chord left out. */
  readonly chords: readonly AnalysedChord[];
  readonly regions: readonly KeyRegion[];
  readonly twoFives: readonly TwoFive[];
  /** Bass notes that stay while the chords change. */
  readonly pedals: readonly Pedal[];
}

const ELEMENTS: readonly NoteName[] = ["C", "Db", "D", "Eb", "E", "F", "F#", "G", "Ab", "A", "Bb", "B"];
const SHARPS: Readonly<Partial<Record<NoteName, NoteName>>> = {
  Db: "C#",
  Eb: "D#",
  "F#": "Gb",
  Ab: "G#",
  Bb: "A#",
  B: "Cb",
};

// By number and by the key of the whole, of which there are fifteen signatures.
const NAMED = /* @__PURE__ */ new Map<number, Key>();

/** The key of a number under the name that lies nearest to the key of the whole, round the circle of fifths. */
const keyOf = (number: number, home: Key): Key =>
  kept(NAMED, number * 64 + home.fifths + 32, () => nameKey(number, home));

const nameKey = (number: number, home: Key): Key => {
  const mode = number < 12 ? "major" : "minor";
  const name = ELEMENTS[number % 12] ?? "C";
  const best = [name, SHARPS[name] ?? name]
    .map((tonic) => ({ tonic, fifths: fifthsOf(tonic) - (mode === "minor" ? 3 : 0) }))
    .filter(({ fifths }) => Math.abs(fifths) <= 7)
    .sort((a, b) => Math.abs(a.fifths - home.fifths) - Math.abs(b.fifths - home.fifths))[0];
  return parseKey(`${best?.tonic ?? name} ${mode}`);
};

/** A chord that sounds on, however often the chart repeats it. */
export interface Group extends Unit {
  readonly chord: Chord;
  readonly key: Key;
  readonly semitones: number;
  readonly spans: readonly number[];
  readonly end: Beats;
}

interface Sounding extends TimeSpan {
  readonly chord: Chord;
}

/**
 * The key of the moment, degree and function of every chord of a progression, its cadences, ii–Vs, substitutes and applied chords.
 *
 * The keys are those of the one best reading of all, an exact search over stated points: what a chord is worth on its degree of a key, by length;
 * a step from degree to degree; leaving a key and entering another; the distance between the two. The points were learnt from annotated charts:
 * `docs/harmony.md` says from which, how far they agree on charts kept aside, and where they differ. `margin` says how near the next reading is.
 *
 * Source: Viterbi (1967) for the search; functions are common practice, no source.
 *
 * @param progression - a progression, a row of the catalogue, or a text for `parseProgression`
 * @throws MusicError the codes of `parseProgression`
 *
 * @example
 * ```ts
 * import { analyseHarmony } from "hands-together/harmony";
 *
 * const { chords } = analyseHarmony("Cmaj7 | Em7b5 A7 | Dm7 | Db7 | C6");
 * chords.map(({ numeral }) => numeral); // => ["Imaj7", "iiø7", "V7", "ii7", "bII7", "I6"]
 * chords.map(({ home }) => home); // => ["Imaj7", "iiø7/ii", "V7/ii", "ii7", "subV7/I", "I6"]
 * chords[5]?.cadence; // => "tritone"
 * ```
 */
export function analyseHarmony(progression: string | Progression | ProgressionRow): HarmonicAnalysis {
  return analysisOf(progressionOf(progression));
}

/** A chord and the scale that it is heard with where it stands. */
export interface ChordScale extends TimeSpan {
  readonly chord: Chord;
  /** A row of the chord-scale table. */
  readonly scale: ChordScaleId;
  /** Its notes from the chord's root up, spelled as degrees over it. */
  readonly notes: readonly NoteName[];
}

/**
 * The scale of each chord where it stands, bars without a chord left out: what {@link analyseHarmony} says of scales, spelled, without the rest.
 *
 * Source: the rows of `chordScaleCatalogue` say where each is written down; which one a chord takes by its function is common practice.
 *
 * @param progression - a progression, a row of the catalogue, or a text for `parseProgression`
 * @throws MusicError the codes of `parseProgression`
 *
 * @example
 * ```ts
 * import { chordScales } from "hands-together/harmony";
 *
 * const [, five] = chordScales("Dm7b5 | G7 | Cm6");
 * five?.scale; // => "mixolydian-b9-b13"
 * five?.notes; // => ["G", "Ab", "B", "C", "D", "Eb", "F"]
 * ```
 */
export function chordScales(progression: string | Progression | ProgressionRow): readonly ChordScale[] {
  return chordScalesIn(progressionOf(progression));
}

interface ReadGroup {
  readonly group: Group;
  /** The same in the key that its function is told in. */
  readonly heard: Group;
  readonly what: HarmonicFunction;
}

// The chords that a key has on its degrees, in semitones above its tonic; in major also the half-diminished one on the raised fourth, and the
// major ones that are borrowed from minor keys.
const DIATONIC: Readonly<Record<Key["mode"], readonly string[]>> = {
  major: ["0M", "1M", "2m", "3M", "4m", "5M", "6h", "8M", "9m", "10M", "11h"],
  minor: ["0m", "0n", "2h", "3M", "5m", "7m", "8M", "10M"],
};

/** Whether a dominant follows, at once or after one more, that makes a minor chord its ii: a fourth above it, or a semitone below. */
const isTwo = (group: Group, following: readonly (Group | undefined)[]): boolean =>
  isMinor(group.family) &&
  group.family !== "n" &&
  following.some((one) => one !== undefined && dominates(one.family) && [5, 11].includes(up(group, one) ?? 0));

/** Whether a chord does something in its key of the moment: a chord of the key, its dominant or that one's substitute. */
const belongs = ({ key, semitones, family }: Group): boolean =>
  DIATONIC[key.mode].includes(`${semitones}${family}`) || (dominates(family) && (semitones === 7 || semitones === 1));

/**
 * A chord alone in a key of the moment that has it in the key of the whole too does there what it does: a IV by itself is no other key's I, and
 * no chord is a ii without its V.
 */
const heardIn = (group: Group, [before, after, then]: Neighbours, home: Key): Group => {
  const inHome = semitonesIn(home, group.chord.root);
  const alone = ![before, after].some(
    (one) => one !== undefined && one.root !== group.root && sameKey(one.key, group.key) && belongs(one),
  );
  // A dominant on IV that leads to no chord of its own.
  if (alone && group.family === "7" && inHome === 5 && home.mode === "major" && up(group, after) !== 5)
    return { ...group, key: home, semitones: inHome };
  const idle = group.semitones === 2 && isMinor(group.family) && !isTwo(group, [after, then]);
  return (alone || idle) && DIATONIC[home.mode].includes(`${inHome}${group.family}`)
    ? { ...group, key: home, semitones: inHome }
    : group;
};

interface ReadHarmony {
  readonly sounding: readonly Sounding[];
  readonly keys: readonly number[];
  readonly short: () => readonly Float64Array[];
  readonly read: readonly ReadGroup[];
}

const readHarmony = ({ key: home, chords }: Pick<Progression, "key" | "chords">): ReadHarmony => {
  const sounding = chords.flatMap((span): Sounding[] =>
    span.chord === undefined ? [] : [{ ...span, chord: span.chord }],
  );
  const merged = mergedOf(sounding);
  const bluesy = isBluesy(merged, home);
  const { keys, short } = readKeys(merged, shippedPoints(), awayFrom(merged, home));
  const groups = merged.map((group, i): Group => {
    const key = keyOf(keys[i] ?? 0, home);
    return { ...group, key, semitones: semitonesIn(key, group.chord.root) };
  });
  const read = groups.map((group, i): ReadGroup => {
    const [before, after] = [groups[i - 1], groups[i + 1]];
    const heard = heardIn(group, [before, after, groups[i + 2]], home);
    return { group, heard, what: functionOf({ group: heard, before, after, then: groups[i + 2], home, bluesy }) };
  });
  return { sounding, keys, short, read };
};

/** Whether the minor seventh of a chord is its bass, or the bass that follows under it. */
const seventhBelow = (group: Group, after: Group | undefined): boolean =>
  [group, after].some(
    (one) => one !== undefined && one.root === group.root && degreeOver(one.chord.root, one.chord.bass) === "b7",
  );

const colourAt = ({ heard: group, what }: ReadGroup, around: Neighbours, home: Key): ColourId | undefined =>
  colourIdOf({
    chord: group.chord,
    family: group.family,
    semitones: group.semitones,
    inHome: semitonesIn(home, group.chord.root),
    key: group.key,
    home,
    what,
    leadsToMinor: intoMinor(group, what, around, home),
    seventhBelow: seventhBelow(group, around[1]),
  });

/** The colour of each chord, bars without one left out: what {@link analysisOf} says of colours, and nothing more. */
export const coloursIn = (progression: Progression): readonly (ColourId | undefined)[] => {
  const { sounding, read } = readHarmony(progression);
  const colours = new Array<ColourId | undefined>(sounding.length);
  for (const [i, one] of read.entries()) {
    const colour = colourAt(one, [read[i - 1]?.group, read[i + 1]?.group, read[i + 2]?.group], progression.key);
    for (const at of one.group.spans) colours[at] = colour;
  }
  return colours;
};

/** As {@link chordScales}, of what has been checked: no sentence, no margin and no reader of charts. */
export const chordScalesIn = (progression: Progression): readonly ChordScale[] => {
  const { sounding, read } = readHarmony(progression);
  const scales = new Array<ChordScale>(sounding.length);
  for (const [i, { group, heard, what }] of read.entries()) {
    const scale = scaleOf(heard, what, [read[i - 1]?.group, read[i + 1]?.group, read[i + 2]?.group], progression.key);
    const notes = scaleNotes(group.chord.root, scale);
    for (const at of group.spans) {
      const span = sounding[at];
      if (span !== undefined) scales[at] = { ...span, scale, notes };
    }
  }
  return scales;
};

/** What a chord does where it stands, without the words. */
export interface ChordInContext {
  readonly key: Key;
  /** Semitones of its root above the tonic of that key. */
  readonly degree: number;
  readonly function: HarmonicFunction;
  readonly scale: ChordScaleId;
}

/** Degree, function and scale of each chord, bars without one left out, and the ii–Vs: what lines are made from, and nothing more. */
export const contextOf = (
  progression: Pick<Progression, "key" | "chords">,
): { readonly chords: readonly ChordInContext[]; readonly twoFives: readonly TwoFive[] } => {
  const { read } = readHarmony(progression);
  const groups = read.map(({ group }) => group);
  const found = read.flatMap(({ group, heard, what }, i) => {
    const around = [groups[i - 1], groups[i + 1], groups[i + 2]] as const;
    const scale = scaleOf(heard, what, around, progression.key);
    return group.spans.map(() => ({ key: group.key, degree: group.semitones, function: what, scale }));
  });
  return { chords: found, twoFives: twoFivesOf(groups) };
};

/** As {@link analyseHarmony}, of what has been checked. */
export const analysisOf = (progression: Progression): HarmonicAnalysis => {
  const { key: home, sections } = progression;
  const { sounding, keys, short: shortOf, read } = readHarmony(progression);
  const short = shortOf();
  const groups = read.map(({ group }) => group);
  const ends = sections.map(({ bar, bars }) => bar + bars);
  const pedals = pedalsOf(sounding);
  const pedalAt = (at: number): NoteName | undefined => pedals.find(({ from, to }) => from <= at && at <= to)?.note;
  const chords: AnalysedChord[] = [];
  for (const [i, one] of read.entries()) {
    const { group, heard, what } = one;
    const [before, after] = [read[i - 1], groups[i + 1]];
    const scale = scaleOf(heard, what, [groups[i - 1], after, groups[i + 2]], home);
    const numeral = numeralIn(group.key, group.chord, group.family, up(group, after) === 11);
    const inHome = homeOf(group, what, [after, groups[i + 2]], home);
    const endsSection = ends.includes(placeIn(progression, group.end).bar);
    const cadence = cadenceAt(group, before, endsSection, home);
    const colour = colourAt(one, [groups[i - 1], after, groups[i + 2]], home);
    const { margin, other } = nextReading(short[i], keys[i] ?? 0, home);
    const pedal = pedalAt(group.spans[0] ?? -1);
    const sentence = sentenceOf(group, { pedal, what, numeral, home: inHome, cadence, margin, other, after });
    for (const [j, at] of group.spans.entries()) {
      const span = sounding[at];
      if (span === undefined) continue;
      const { bar, beat } = placeIn(progression, span.at);
      chords.push({
        at: span.at,
        duration: span.duration,
        bar,
        beat,
        chord: span.chord,
        key: group.key,
        numeral,
        home: inHome,
        function: what,
        ...(cadence !== undefined && j === 0 && { cadence }),
        scale,
        ...(pedal !== undefined && { pedal }),
        ...(colour !== undefined && { colour }),
        margin,
        otherKey: other,
        sentence,
      });
    }
  }
  return {
    kind: "harmonic-analysis",
    key: home,
    chords,
    regions: regionsOf(chords),
    twoFives: twoFivesOf(groups),
    pedals,
  };
};

const mergedOf = (sounding: readonly Sounding[]): readonly Omit<Group, "key" | "semitones">[] => {
  const merged: Omit<Group, "key" | "semitones">[] = [];
  for (const [i, { chord, at, duration }] of sounding.entries()) {
    const last = merged.at(-1);
    const [length, end] = [beatsToNumber(duration), addBeats(at, duration)];
    if (last !== undefined && last.chord.canonical === chord.canonical && compareBeats(last.end, at) === 0) {
      merged[merged.length - 1] = { ...last, length: last.length + length, spans: [...last.spans, i], end };
    } else {
      merged.push({ chord, root: pitchClassOf(chord.root), family: familyOf(chord), length, spans: [i], end });
    }
  }
  return merged;
};

const up = (from: Unit, to: Unit | undefined): number | undefined =>
  to === undefined ? undefined : (to.root - from.root + 12) % 12;
const sameKey = (a: Key, b: Key): boolean => a.tonic === b.tonic && a.mode === b.mode;

/** A chord among its neighbours. */
interface Place {
  readonly group: Group;
  readonly before: Group | undefined;
  readonly after: Group | undefined;
  /** The one after that. */
  readonly then: Group | undefined;
  readonly home: Key;
  /** Whether the tonic of the whole is a dominant seventh more often than not. */
  readonly bluesy: boolean;
}

const functionOf = (place: Place): HarmonicFunction => {
  const { group, after, then, home } = place;
  const { family, semitones, key, chord } = group;
  if (family === "o") return up(group, after) === 1 ? "leading-diminished" : "passing-diminished";
  if (family === "7" || (family === "s" && hasSeventh(chord))) return dominantFunction(place);
  const atHome = key.tonic === home.tonic;
  if (isMinor(family) && family !== "n" && after !== undefined && dominates(after.family) && up(group, after) === 5) {
    if (semitonesIn(home, chord.root) === 5 && home.mode === "major" && up(after, then) === 2) return "borrowed";
    if (!atHome) return "related-two";
  }
  return semitones === 2 && isMinor(family) ? (atHome ? "subdominant" : "related-two") : plainFunction(place);
};

const dominantFunction = ({ group, before, after, home, bluesy }: Place): HarmonicFunction => {
  const { family, semitones, key, chord } = group;
  const [step, inHome] = [up(group, after), semitonesIn(home, chord.root)];
  if (home.mode === "major" && inHome === 10 && step === 2) return "backdoor-dominant";
  const afterItsTwo = before !== undefined && isMinor(before.family) && up(before, group) === 5;
  if (bluesy && family === "7" && (inHome === 0 || inHome === 5) && !afterItsTwo) return "blues";
  if (step === 11 && inHome !== 0) return "substitute-dominant";
  if (step === 5) return inHome === 7 ? "dominant" : "applied-dominant";
  if (semitones === 7) return key.tonic === home.tonic ? "dominant" : "applied-dominant";
  if (family === "7" && key.mode === "major" && (semitones === 0 || (semitones === 5 && bluesy))) return "blues";
  if (semitones === 1) return "substitute-dominant";
  if (semitones === 10 && key.mode === "major") return "backdoor-dominant";
  return semitones === 5 || semitones === 10 ? "subdominant" : "colour";
};

const hasSeventh = ({ tones }: Chord): boolean => tones.some(({ degree }) => degree === "b7");

const plainFunction = ({ group, before, after }: Place): HarmonicFunction => {
  const { family, semitones, key } = group;
  const { mode } = key;
  const minor = isMinor(family);
  if (family === "h")
    return semitones === 11 || (semitones === 6 && up(group, after) === 1) ? "leading-diminished" : "subdominant";
  if (mode === "minor") {
    if (semitones === 0) return "tonic";
    if (semitones === 3 && !minor) return "tonic";
    if (semitones === 5 || (semitones === 8 && !minor) || (semitones === 10 && !minor) || (semitones === 1 && !minor))
      return "subdominant";
    return semitones === 7 ? "dominant" : "colour";
  }
  if (semitones === 0) return minor ? "borrowed" : "tonic";
  if ((semitones === 4 || semitones === 9) && minor) return "tonic";
  if (semitones === 5) return minor ? "borrowed" : "subdominant";
  if (semitones === 7) return minor || before === undefined ? "colour" : "dominant";
  return [1, 3, 8, 10].includes(semitones) && !minor ? "borrowed" : "colour";
};

// What an applied chord leads to, as the numeral behind the stroke.
const targetIn = (home: Key, root: number, minor: boolean): string =>
  romanOf((root - pitchClassOf(home.tonic) + 12) % 12, minor ? "m" : "M");

// The chords of a major key that have a minor third.
const minorIn = ({ mode, tonic }: Key, root: number): boolean =>
  mode === "major" && [2, 4, 9, 11].includes((root - pitchClassOf(tonic) + 12) % 12);

const homeOf = (
  group: Group,
  what: HarmonicFunction,
  [after, then]: readonly (Group | undefined)[],
  home: Key,
): string => {
  const { key, chord, family, root } = group;
  const target = (semitones: number, chords: Group | undefined): string => {
    const lands = chords !== undefined && chords.root === (root + semitones) % 12;
    const there = (root + semitones) % 12;
    return targetIn(home, there, lands ? isMinor(chords.family) : minorIn(home, there) || key.mode === "minor");
  };
  const falls = up(group, after) === 11;
  const numeral = numeralIn(key, chord, family, falls);
  if (what === "substitute-dominant") return `subV7/${target(11, after)}`;
  if (what === "applied-dominant") return `${numeral.replace(/^[#b]?[IV]+/, "V")}/${target(5, after)}`;
  if (what === "related-two") return `${numeral.replace(/^[#b]?[iv]+/, "ii")}/${target(10, then)}`;
  return numeralIn(home, chord, family, falls);
};

const cadenceAt = (
  { semitones, key, family, chord }: Group,
  before: { readonly group: Group; readonly what: HarmonicFunction } | undefined,
  endsSection: boolean,
  home: Key,
): Cadence | undefined => {
  if (endsSection && semitones === 7 && dominates(family) && key.tonic === home.tonic) return "half";
  if (before === undefined) return undefined;
  const from = before.group;
  const [fromHome, here] = [semitonesIn(home, from.chord.root), semitonesIn(home, chord.root)];
  if (here === 0 && fromHome === 5 && from.family !== "o" && family !== "o") return "plagal";
  if (from.key.tonic !== key.tonic) return undefined;
  if (semitones === 0 && family !== "o" && family !== "h") {
    if (before.what === "substitute-dominant") return "tritone";
    if (before.what === "backdoor-dominant") return "backdoor";
    if (from.semitones === 7 && dominates(from.family)) return "authentic";
  }
  const sixth = key.mode === "major" ? semitones === 9 && isMinor(family) : semitones === 8 && family === "M";
  return sixth && from.semitones === 7 && dominates(from.family) ? "deceptive" : undefined;
};

const nextReading = (
  short: Float64Array | undefined,
  key: number,
  home: Key,
): { readonly margin: number; readonly other: Key } => {
  let other = key === 0 ? 1 : 0;
  for (let k = 0; k < KEYS; k++) if (k !== key && (short?.[k] ?? 0) < (short?.[other] ?? 0)) other = k;
  // Tenths; sums of whole numbers, so exact.
  return { margin: Math.round(short?.[other] ?? 0) / 10, other: keyOf(other, home) };
};

const regionsOf = (chords: readonly AnalysedChord[]): readonly KeyRegion[] => {
  const regions: KeyRegion[] = [];
  for (const [i, { key }] of chords.entries()) {
    const last = regions.at(-1);
    if (last !== undefined && sameKey(last.key, key)) regions[regions.length - 1] = { ...last, to: i };
    else regions.push({ key, from: i, to: i });
  }
  return regions;
};

const twoFivesOf = (groups: readonly Group[]): readonly TwoFive[] => {
  const pairs: TwoFive[] = [];
  for (const [i, two] of groups.entries()) {
    const [five, one] = [groups[i + 1], groups[i + 2]];
    const [first, second] = [two.spans[0], five?.spans[0]];
    if (five === undefined || first === undefined || second === undefined) continue;
    const step = up(two, five);
    const minor = two.family === "m" || two.family === "h";
    // Of a substitute the root lies a semitone below the ii's.
    if (!minor || !dominates(five.family) || !(step === 5 || (step === 11 && up(five, one) === 11))) continue;
    const leads = one !== undefined && up(five, one) === (step === 5 ? 5 : 11) && !dominates(one.family);
    pairs.push({ two: first, five: second, ...(leads && one.spans[0] !== undefined && { one: one.spans[0] }) });
  }
  return pairs;
};

interface Said {
  readonly pedal: NoteName | undefined;
  readonly what: HarmonicFunction;
  readonly numeral: string;
  readonly home: string;
  readonly cadence: Cadence | undefined;
  readonly margin: number;
  readonly other: Key;
  readonly after: Group | undefined;
}

const keyText = ({ tonic, mode }: Key): string => `${tonic} ${mode}`;

const WHAT: Readonly<Record<HarmonicFunction, string>> = {
  tonic: "a tonic chord",
  subdominant: "a subdominant chord",
  dominant: "the dominant",
  "applied-dominant": "an applied dominant",
  "related-two": "the ii of an applied dominant",
  "substitute-dominant": "a tritone substitute",
  "backdoor-dominant": "the backdoor dominant",
  "leading-diminished": "a leading-note chord",
  "passing-diminished": "a passing diminished chord",
  blues: "a dominant seventh at rest, as in the blues",
  borrowed: "borrowed from the minor",
  colour: "a colour outside of the key's functions",
};

const sentenceOf = (group: Group, { pedal, what, numeral, home, cadence, margin, other, after }: Said): string => {
  const { chord, key } = group;
  const leads = after === undefined ? "" : `, before ${formatChord(after.chord)}`;
  const whole = home === numeral ? "" : ` (${home} in the key of the whole)`;
  const over = pedal === undefined ? "" : `, over a pedal on ${formatPitch(pedal)}`;
  const rests = cadence === undefined ? "" : `; ${cadence === "authentic" ? "an" : "a"} ${cadence} cadence ends here`;
  return `${formatChord(chord)} is ${numeral} of ${keyText(key)}${whole}: ${WHAT[what]}${leads}${over}${rests}. As a chord of ${keyText(other)} the reading would cost ${margin} points more.`;
};

/** The chords before and after one. */
type Neighbours = readonly [before: Group | undefined, after: Group | undefined, then: Group | undefined];

/** Which row of the chord-scale table a chord is heard with. */
const scaleOf = (group: Group, what: HarmonicFunction, around: Neighbours, home: Key): ChordScaleId => {
  const { chord, family, semitones, key } = group;
  const has = (degree: string): boolean => chord.tones.some((tone) => tone.degree === degree);
  if (family === "o") return "whole-half";
  if (family === "h") return has("9") ? "locrian-natural-2" : "locrian";
  if (family === "n")
    return has("b7") ? "dorian" : what === "tonic" || what === "borrowed" || has("7") ? "melodic-minor" : "dorian";
  if (family === "m") {
    if (has("b9")) return "phrygian";
    if (has("b13") || has("b6")) return "aeolian";
    if (has("9") && (semitones === 4 || semitones === 7) && !has("13")) return "aeolian";
    if (key.mode === "major") return semitones === 4 ? "phrygian" : semitones === 9 ? "aeolian" : "dorian";
    return semitones === 0 && !has("b7") && !seventhBelow(group, around[1])
      ? "melodic-minor"
      : semitones === 7
        ? "phrygian"
        : "dorian";
  }
  if (family === "M") {
    if (has("#5")) return "lydian-augmented";
    if (has("#11") || has("#4")) return "lydian";
    return semitones === 0 || semitones === 7 ? "ionian" : "lydian";
  }
  if (family === "s") return has("b9") ? "phrygian" : "mixolydian";
  return dominantScale(has, what, intoMinor(group, what, around, home));
};

const dominantScale = (has: (degree: string) => boolean, what: HarmonicFunction, minor: boolean): ChordScaleId => {
  const ninth = has("b9") || has("#9");
  if ((has("#5") || has("b13")) && !has("5")) return ninth || has("#11") || has("b5") ? "altered" : "whole-tone";
  if (ninth)
    return has("13") ? "half-whole" : has("#9") ? "altered" : has("b13") || minor ? "mixolydian-b9-b13" : "half-whole";
  if (has("b13")) return "mixolydian-b9-b13";
  if (has("#11") || has("b5")) return "lydian-dominant";
  if (has("13") || has("9"))
    return what === "substitute-dominant" || what === "backdoor-dominant" ? "lydian-dominant" : "mixolydian";
  if (what === "blues") return "mixolydian";
  if (minor) return "mixolydian-b9-b13";
  return what === "dominant" || what === "applied-dominant" ? "mixolydian" : "lydian-dominant";
};

/** Whether a dominant, or its ii, leads to minor: to the chord that follows a fifth below; or else as its half-diminished ii says, or its key. */
const intoMinor = (group: Group, what: HarmonicFunction, [before, after, then]: Neighbours, home: Key): boolean => {
  const { root, semitones, key } = group;
  // The ii of a chord leads where its dominant does.
  if (what === "related-two")
    return then !== undefined && then.root === (root + 10) % 12
      ? isMinor(then.family)
      : key.mode === "minor" || minorIn(home, (root + 10) % 12);
  if (!DOMINANTS.includes(what)) return false;
  if (after !== undefined && after.root === (root + 5) % 12 && !dominates(after.family)) return isMinor(after.family);
  if (before?.family === "h" && up(before, group) === 5) return true;
  if (key.mode === "minor" && semitones === 7) return true;
  // Where it leads on to nothing of its own, the key of the whole says what it would lead to.
  return up(group, after) !== 5 && minorIn(home, (root + 5) % 12);
};

const DOMINANTS: readonly HarmonicFunction[] = ["dominant", "applied-dominant"];
