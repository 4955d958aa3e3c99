import type { Chord } from "../chord/index.ts";
import { kept } from "../ground/memo.ts";
import type { Degree, Pitch } from "../pitch/index.ts";
import { formatPitch } from "../pitch/index.ts";
import type { Voicing, VoicingOptions } from "../voicing/index.ts";
import { voicingsFor } from "../voicing/index.ts";
import type { VoiceLeading } from "./leading.ts";
import type { SmoothestPath, SmoothestPathOptions } from "./path.ts";
import { smoothestPath } from "./path.ts";

/** Options of {@link voiceProgression}: how chords are voiced, and how the path goes. */
export interface VoiceProgressionOptions extends VoicingOptions, SmoothestPathOptions<Voicing> {}

/** A 3rd or 7th as it sounds; of a suspended chord its 4th or 2nd, of a sixth chord its 6th. */
export interface GuideTone {
  readonly degree: Degree;
  readonly pitch: Pitch;
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
}

/**
 * Voices a progression with the least motion from chord to chord: an exact optimum over all placements of all forms of
 * the style, open or as a loop. Aims and tie-breaks are those of {@link smoothestPath}. A bass note that is struck by
 * itself keeps to its range and doesn't count as motion.
 *
 * Chords that have no form in the style need a second style: `style: ["rootless", "close"]`. Spans are not safe for
 * every hand: see {@link VoicingOptions.span}.
 *
 * @param chords - chords or symbols; leave bars without a chord out
 * @throws MusicError the codes of {@link voicingsFor} and {@link smoothestPath}
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
  chords: readonly (Chord | string)[],
  options: VoiceProgressionOptions = {},
): VoicedProgression {
  const found = new Map<string, readonly Voicing[]>();
  const candidates = chords.map((chord) =>
    kept(found, typeof chord === "string" ? chord : `${chord.symbol} ${chord.canonical}`, () => [
      ...voicingsFor(chord, options),
    ]),
  );
  const { kind: _, ...path } = smoothestPath(candidates, options);
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
    explanation: leadings.map((leading, i) =>
      kept(sentences, leading, () =>
        explain(voicings[i] as Voicing, voicings[(i + 1) % voicings.length] as Voicing, leading, nameOf),
      ),
    ),
  };
}

const THIRDS: readonly string[] = ["3", "b3", "4", "2"];
const SEVENTHS: readonly string[] = ["7", "b7", "bb7", "6"];

const guideTonesOf = ({ degrees, pitches }: Voicing): readonly GuideTone[] => {
  const third = THIRDS.find((degree) => degrees.includes(degree as Degree));
  const seventh = SEVENTHS.find((degree) => degrees.includes(degree as Degree));
  const tones: GuideTone[] = [];
  degrees.forEach((degree, i) => {
    if (degree === third || degree === seventh) tones.push({ degree, pitch: pitches[i] as Pitch });
  });
  return tones;
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
  const stayed = stays.length < 2 ? stays.join("") : `${stays.slice(0, -1).join(", ")} and ${stays.at(-1) as string}`;
  const staying =
    stays.length === 0 ? "" : `${moved === "" ? "" : "; "}${stayed} ${stays.length === 1 ? "stays" : "stay"}`;
  return (
    `${from.chord.symbol} (${from.label}) to ${to.chord.symbol} (${to.label}): ${moved}${staying}. ` +
    `Motion ${Number.isInteger(distance) ? distance : distance.toFixed(2)}, largest move ${largest}.`
  );
};
