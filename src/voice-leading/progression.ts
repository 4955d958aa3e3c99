import * as v from "valibot";
import type { Chord } from "../chord/index.ts";
import { check, isRecord } from "../ground/check.ts";
import { kept } from "../ground/memo.ts";
import type { Degree, Pitch } from "../pitch/index.ts";
import { formatPitch } from "../pitch/index.ts";
import type { Progression } from "../progression/index.ts";
import { progressionOf } from "../progression/inner.ts";
import type { Voicing, VoicingOptions } from "../voicing/index.ts";
import type { Voiced } from "../voicing/inner.ts";
import { chordGiven, optionFields, voicerOf } from "../voicing/inner.ts";
import type { VoiceLeading } from "./leading.ts";
import type { SmoothestPath, SmoothestPathOptions } from "./path.ts";
import { pathThrough } from "./path.ts";
import { chordsSchema, pathFields } from "./shape.ts";

/** Options of {@link voiceProgression}: how chords are voiced, and how the path goes. */
export interface VoiceProgressionOptions extends VoicingOptions, SmoothestPathOptions<Voicing> {}

/** A 3rd or 7th as it sounds; of a suspended chord its 4th or 2nd, of a sixth chord its 6th. */
export interface GuideTone {
  readonly degree: Degree;
  readonly pitch: Pitch;
}

/** A chord that the first of several styles could not play. */
export interface StyleFallback {
  /** Which chord, from 0. */
  readonly index: number;
  readonly symbol: string;
  /** The styles before, in order of preference. */
  readonly wanted: readonly string[];
  /** The style that stepped in. */
  readonly style: string;
  readonly message: string;
}

/** A progression in its smoothest voicings, and why. */
export interface VoicedProgression extends Omit<SmoothestPath<Voicing>, "kind"> {
  readonly kind: "voiced-progression";
  /** The form of each chord. */
  readonly forms: readonly string[];
  /** The guide tones of each chord from low to high: read across, the guide-tone line. */
  readonly guideTones: readonly (readonly GuideTone[])[];
  /** A sentence for each step from chord to chord. */
  readonly explanation: readonly string[];
  /** Where the next of several styles stepped in; none where the first could play every chord. */
  readonly fallbacks: readonly StyleFallback[];
}

const optionsSchema = /* @__PURE__ */ v.partial(/* @__PURE__ */ v.strictObject({ ...optionFields, ...pathFields }));

/** The chords of what was given, bars without a chord left out. */
const chordsOf = (given: string | Progression | readonly (Chord | string)[]): readonly Chord[] => {
  if (!isList(given)) return progressionOf(given).chords.flatMap(({ chord }) => chord ?? []);
  requireShort(given);
  const read = new Map<Chord | string, Chord>();
  return given.map((chord) => kept(read, chord, chordGiven));
};

const isList = <T>(given: string | Progression | readonly T[]): given is readonly T[] =>
  typeof given !== "string" && !isRecord(given);

const requireShort = (chords: unknown): void => check(chordsSchema, chords, "voice-leading/argument");
const requireOptions = (options: unknown): void => check(optionsSchema, options, "voice-leading/argument");

/**
 * Voices a progression with the least motion from chord to chord: an exact optimum over all placements of all forms of
 * the style, open or as a loop. Aims and tie-breaks are those of {@link smoothestPath}. A bass note that is struck by
 * itself keeps to its range and doesn't count as motion.
 *
 * Chords that have no form in the style need a second style: `style: ["rootless", "close"]`; `fallbacks` says where it stepped in. Spans are
 * not safe for every hand: see {@link VoicingOptions.span}.
 *
 * @param chords - a progression or its text, such as `"Dm7 | G7"`, whose bars without a chord are left out; or a list of chords or symbols
 * @throws MusicError the codes of {@link voicingsFor} and {@link smoothestPath}, and those of `parseProgression` for a text
 *
 * @example
 * ```ts
 * import { pitchName, voiceProgression } from "hands-together";
 *
 * const shells = voiceProgression(["Cmaj7", "Am7", "Dm7", "G7"], { style: "shell", loop: true });
 * shells.voicings.map((voicing) => voicing.pitches.map(pitchName).join(" ")); // => ["C3 E3 B3", "A2 G3 C4", "D3 F3 C4", "G2 F3 B3"]
 * shells.motion; // => [4, 2, 1, 1]
 * shells.explanation[2]; // => "Dm7 (A) to G7 (B): C4 falls a semitone to B3; F3 stays. Motion 1, largest move 1."
 * ```
 */
export function voiceProgression(
  chords: string | Progression | readonly (Chord | string)[],
  options: VoiceProgressionOptions = {},
): VoicedProgression {
  const read = chordsOf(chords);
  requireOptions(options);
  const { voice } = voicerOf(options);
  const found = new Map<string, Voiced>();
  const voiced = read.map((chord) => kept(found, `${chord.symbol} ${chord.canonical}`, () => voice(chord)));
  const { kind: _, ...path } = pathThrough(
    voiced.map(({ voicings }) => voicings),
    options,
  );
  const { voicings, leadings } = path;
  const sentences = new Map<VoiceLeading, string>();
  const names = new Map<number, string>();
  const nameOf = (p: Pitch): string => kept(names, 1000 * p.steps + p.semitones, () => formatPitch(p));
  const guides = new Map<Voicing, readonly GuideTone[]>();
  return {
    kind: "voiced-progression",
    ...path,
    forms: voicings.map((voicing) => voicing.form),
    guideTones: voicings.map((voicing) => kept(guides, voicing, guideTonesOf)),
    explanation: leadings.map((leading, i) => {
      const [from, to] = [voicings[i], voicings[(i + 1) % voicings.length]];
      return from === undefined || to === undefined
        ? ""
        : kept(sentences, leading, () => explain(from, to, leading, nameOf));
    }),
    fallbacks: voiced.flatMap((one, index) => fallbackOf(one, index)),
  };
}

const fallbackOf = ({ voicings: [first], wanted }: Voiced, index: number): readonly StyleFallback[] => {
  if (first === undefined || wanted.length === 0) return [];
  const { style, chord } = first;
  const message = `${chord.symbol} has no ${wanted.join(" or ")} voicing that can be placed here: played in ${style}`;
  return [{ index, symbol: chord.symbol, wanted, style, message }];
};

const THIRDS: readonly Degree[] = ["3", "b3", "4", "2"];
const SEVENTHS: readonly Degree[] = ["7", "b7", "bb7", "6"];

const guideTonesOf = ({ degrees, pitches }: Voicing): readonly GuideTone[] => {
  const third = THIRDS.find((degree) => degrees.includes(degree));
  const seventh = SEVENTHS.find((degree) => degrees.includes(degree));
  return pitches.flatMap((pitch, i) => {
    const degree = degrees[i];
    return degree !== undefined && (degree === third || degree === seventh) ? [{ degree, pitch }] : [];
  });
};

const INTERVALS = [
  "",
  "a semitone",
  "a whole tone",
  "a minor third",
  "a major third",
  "a fourth",
  "a tritone",
  "a fifth",
] as const;

const explain = (from: Voicing, to: Voicing, leading: VoiceLeading, name: (pitch: Pitch) => string): string => {
  const { moves, commonTones, distance, largest } = leading;
  let moved = "";
  for (const move of moves) {
    if (move.semitones === 0) continue;
    const size = Math.abs(move.semitones);
    const verb = move.semitones > 0 ? "rises" : "falls";
    moved += `${moved === "" ? "" : ", "}${name(move.from)} ${verb} ${INTERVALS[size] ?? `${size} semitones`} to ${name(move.to)}`;
  }
  const stays = commonTones.map(name);
  const stayed = stays.length < 2 ? stays.join("") : `${stays.slice(0, -1).join(", ")} and ${stays.at(-1) ?? ""}`;
  const staying =
    stays.length === 0 ? "" : `${moved === "" ? "" : "; "}${stayed} ${stays.length === 1 ? "stays" : "stay"}`;
  return (
    `${from.chord.symbol} (${from.label}) to ${to.chord.symbol} (${to.label}): ${moved}${staying}. ` +
    `Motion ${Number.isInteger(distance) ? distance : distance.toFixed(2)}, largest move ${largest}.`
  );
};
