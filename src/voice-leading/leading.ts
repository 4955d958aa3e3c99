import * as v from "valibot";
import { check } from "../ground/check.ts";
import type { NoteName, Pitch, PitchName } from "../pitch/index.ts";
import { comparePitches, pitchClassOf } from "../pitch/index.ts";
import { pitchOf } from "../pitch/inner.ts";
import { namedPitchesSchema } from "../voicing/inner.ts";
import type { VoiceLeadingMetric } from "./metric.ts";
import { finished, joined, METRICS, sizeOf } from "./metric.ts";
import { bestPairing } from "./pairing.ts";
import { refusal } from "./refusal.ts";
import { noteNamesSchema } from "./shape.ts";

/** One voice's step from a chord to the next. */
export interface VoiceMove {
  readonly from: Pitch;
  readonly to: Pitch;
  /** Negative when it falls, 0 when it stays. */
  readonly semitones: number;
}

/** How one chord moves to another, voice by voice. */
export interface VoiceLeading {
  readonly kind: "voice-leading";
  /** From the lowest voice to the highest; as many as the larger chord has notes. */
  readonly moves: readonly VoiceMove[];
  readonly metric: VoiceLeadingMetric;
  /** Size under the metric. */
  readonly distance: number;
  /** All moves added up, in semitones. */
  readonly total: number;
  /** The largest single move, in semitones. */
  readonly largest: number;
  /** The notes that stay, as the first chord spells them. */
  readonly commonTones: readonly Pitch[];
}

/** Options of {@link voiceLeading}. */
export interface VoiceLeadingOptions {
  /** @defaultValue `"sum"` */
  readonly metric?: VoiceLeadingMetric | undefined;
}

const optionsSchema = /* @__PURE__ */ v.strictObject({
  metric: /* @__PURE__ */ v.optional(/* @__PURE__ */ v.unknown()),
});

export const requireMetric = (metric: VoiceLeadingMetric): VoiceLeadingMetric => {
  if (!METRICS.includes(metric)) throw refusal("metric", metric, '"sum", "largest" or "euclidean"');
  return metric;
};

const requireNotes = (notes: readonly unknown[]): void => {
  if (notes.length === 0) throw refusal("empty", notes, "chords of one note or more");
};

/**
 * The smallest voice leading between two chords in register.
 *
 * Exact. Chords of one size lead without crossing, the lowest note to the lowest and so on, which no other pairing can
 * beat. In chords of two sizes the smaller one's notes are doubled, so that every note of both is used and the larger
 * chord's notes move once each; of equal answers that one is given which doubles the lowest notes.
 *
 * Source: Tymoczko, D. (2006), The Geometry of Musical Chords, Science 313, 72–74, supporting text, for the absence
 * of crossings (cited from memory; proven against all pairings in the tests).
 *
 * @param from - the first chord's notes, in any order
 * @param to - the second chord's notes, in any order
 * @throws MusicError `voice-leading/empty` when a chord has no notes, `voice-leading/metric` for an unknown metric
 *
 * @example
 * ```ts
 * import { pitch, voiceLeading } from "hands-together";
 *
 * const dm9 = [pitch("F3"), pitch("A3"), pitch("C4"), pitch("E4")];
 * const g13 = [pitch("F3"), pitch("A3"), pitch("B3"), pitch("E4")];
 * voiceLeading(dm9, g13).moves.map((move) => move.semitones); // => [0, 0, -1, 0]
 * voiceLeading(dm9, ["F3", "A3", "B3", "E4"]).commonTones.length; // => 3
 * ```
 */
export function voiceLeading(
  from: readonly (Pitch | PitchName)[],
  to: readonly (Pitch | PitchName)[],
  options: VoiceLeadingOptions = {},
): VoiceLeading {
  check(namedPitchesSchema, from, "voice-leading/argument");
  check(namedPitchesSchema, to, "voice-leading/argument");
  check(optionsSchema, options, "voice-leading/argument");
  const metric = requireMetric(options.metric ?? "sum");
  requireNotes(from);
  requireNotes(to);
  return leadingBetween(from.map(pitchOf), to.map(pitchOf), metric);
}

const rising = (notes: readonly Pitch[]): readonly Pitch[] =>
  notes.every((note, i) => i === 0 || comparePitches(notes[i - 1] ?? note, note) <= 0)
    ? notes
    : [...notes].sort(comparePitches);

/** The smallest voice leading, of chords and a metric that have been checked. */
export const leadingBetween = (
  from: readonly Pitch[],
  to: readonly Pitch[],
  metric: VoiceLeadingMetric,
): VoiceLeading => {
  const [a, b] = [rising(from), rising(to)];
  const pairing =
    a.length === b.length
      ? undefined
      : bestPairing(
          a.map((p) => p.semitones),
          b.map((p) => p.semitones),
          metric,
        );
  const moves: VoiceMove[] = [];
  const commonTones: Pitch[] = [];
  let [size, total, largest] = [0, 0, 0];
  for (let i = 0; i < (pairing ?? a).length; i++) {
    const [x, y] = pairing?.[i] ?? [i, i];
    const [start, end] = [a[x], b[y]];
    if (start === undefined || end === undefined) continue;
    const semitones = end.semitones - start.semitones;
    moves.push({ from: start, to: end, semitones });
    size = joined(metric, size, semitones);
    total += Math.abs(semitones);
    largest = Math.max(largest, Math.abs(semitones));
    if (semitones === 0) commonTones.push(start);
  }
  return { kind: "voice-leading", moves, metric, distance: finished(metric, size), total, largest, commonTones };
};

/** One voice's step between pitch classes, the shorter way round. */
export interface PitchClassMove {
  readonly from: NoteName;
  readonly to: NoteName;
  /** From -6 to 6; negative when it falls. */
  readonly semitones: number;
}

/** How one chord moves to another when octaves don't count. */
export interface PitchClassLeading {
  readonly kind: "pitch-class-leading";
  /** In the order of the first chord's notes as given. */
  readonly moves: readonly PitchClassMove[];
  readonly metric: VoiceLeadingMetric;
  /** Size under the metric. */
  readonly distance: number;
  /** All moves added up, in semitones. */
  readonly total: number;
  /** The largest single move, in semitones. */
  readonly largest: number;
}

const MOST_NOTES = 12;

/**
 * The smallest voice leading between two chords as pitch classes: each voice goes the shorter way round the octave.
 *
 * Exact: tries every way round the circle without crossings, the smaller chord's notes doubled where sizes differ.
 * Of equal answers that one is given with the smaller sum, then the smaller largest move, then the smaller squares,
 * then the one that falls the most.
 *
 * Source: Tymoczko, D. (2008), Scale Theory, Serial Theory and Voice Leading, Music Analysis 27(1), 1–49: rotations
 * of the sorted chords suffice (cited from memory; proven against all pairings in the tests).
 *
 * @param from - one to twelve note names
 * @param to - one to twelve note names
 * @throws MusicError `voice-leading/empty` when a chord has no notes, `voice-leading/size` when it has more than twelve,
 * `voice-leading/metric` for an unknown metric, `pitch/name` for what is no note name
 *
 * @example
 * ```ts
 * import { pitchClassLeading } from "hands-together/voice-leading";
 *
 * const leading = pitchClassLeading(["D", "F", "A", "C"], ["G", "B", "D", "F"]);
 * leading.moves.map((move) => move.to); // => ["D", "F", "G", "B"]
 * leading.total; // => 3
 * ```
 */
export function pitchClassLeading(
  from: readonly NoteName[],
  to: readonly NoteName[],
  options: VoiceLeadingOptions = {},
): PitchClassLeading {
  check(optionsSchema, options, "voice-leading/argument");
  const metric = requireMetric(options.metric ?? "sum");
  for (const chord of [from, to]) {
    check(noteNamesSchema, chord, "voice-leading/argument");
    requireNotes(chord);
    if (chord.length > MOST_NOTES) throw refusal("size", chord, "chords of at most twelve notes");
  }
  const swap = from.length < to.length;
  const large = byPitchClass(swap ? to : from);
  const small = byPitchClass(swap ? from : to);
  let best: Ranked = { moves: [], rank: [Infinity, 0, 0, 0, 0] };
  for (const partners of roundTheCircle(large.length, small.length)) {
    const moves = large.map((note, i): PitchClassMove => {
      const partner = small[partners[i] ?? 0] ?? note;
      const [a, b] = swap ? [partner, note] : [note, partner];
      return { from: a.name, to: b.name, semitones: shorterWay(b.pitchClass - a.pitchClass) };
    });
    const sizes = moves.map((move) => move.semitones);
    const rank: Ranked["rank"] = [
      sizeOf(metric, sizes),
      sizeOf("sum", sizes),
      sizeOf("largest", sizes),
      sizeOf("euclidean", sizes),
      sizes.reduce((sum, size) => sum + size, 0),
    ];
    if (precedes(rank, best.rank)) best = { moves, rank };
  }
  const {
    moves,
    rank: [distance, total, largest],
  } = best;
  const order = (move: PitchClassMove): number => from.indexOf(move.from);
  return {
    kind: "pitch-class-leading",
    moves: [...moves].sort((a, b) => order(a) - order(b)),
    metric,
    distance,
    total,
    largest,
  };
}

interface Ranked {
  readonly moves: readonly PitchClassMove[];
  readonly rank: readonly [distance: number, total: number, largest: number, root: number, net: number];
}

interface Placed {
  readonly name: NoteName;
  readonly pitchClass: number;
}

const byPitchClass = (notes: readonly NoteName[]): readonly Placed[] =>
  notes.map((name) => ({ name, pitchClass: pitchClassOf(name) })).sort((a, b) => a.pitchClass - b.pitchClass);

// A tritone falls.
const shorterWay = (semitones: number): number => {
  const up = ((semitones % 12) + 12) % 12;
  return up < 6 ? up : up - 12;
};

const precedes = (a: readonly number[], b: readonly number[]): boolean => {
  const i = a.findIndex((value, at) => value !== b[at]);
  return i >= 0 && (a[i] ?? 0) < (b[i] ?? 0);
};

/**
 * Every map of `large` places round a circle onto `small` ones that keeps their order and leaves none out: the partner
 * of each place is that of the last, or the next. A full turn ends on the first partner, which is then shared by both ends.
 */
function* roundTheCircle(large: number, small: number): Generator<readonly number[]> {
  for (let first = 0; first < small; first++) {
    // One bit for each place after the first: whether it goes on to the next partner.
    for (let bits = 0; bits < 2 ** (large - 1); bits++) {
      const partners = [first];
      for (let place = large - 2; place >= 0; place--) partners.push((partners.at(-1) ?? 0) + ((bits >> place) & 1));
      const turned = (partners.at(-1) ?? 0) - first;
      if (turned === small - 1 || turned === small) yield partners.map((partner) => partner % small);
    }
  }
}
