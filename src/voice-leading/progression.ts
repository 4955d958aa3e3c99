import * as v from "valibot";
import type { Chord } from "../chord/index.ts";
import { formatChord, formatDegree } from "../chord/index.ts";
import { check, isRecord } from "../ground/check.ts";
import { kept } from "../ground/memo.ts";
import type { ColourId } from "../harmony/index.ts";
import { colourCatalogue } from "../harmony/index.ts";
import { coloursIn } from "../harmony/inner.ts";
import type { Degree, Pitch } from "../pitch/index.ts";
import { formatPitch, parseKey } from "../pitch/index.ts";
import type { Progression } from "../progression/index.ts";
import { likeliestKey, progressionOf } from "../progression/inner.ts";
import { barLength, beats, multiplyBeats, parseMetre } from "../time/index.ts";
import type { Voicing, VoicingOptions } from "../voicing/index.ts";
import type { Placement, Voiced } from "../voicing/inner.ts";
import { bassOf, chordGiven, optionFields, voicerOf } from "../voicing/inner.ts";
import { weightsOf } from "./aims.ts";
import type { LaidCandidate } from "./candidate.ts";
import { laidOf } from "./candidate.ts";
import { once, withLater } from "./later.ts";
import type { VoiceLeading } from "./leading.ts";
import type { SmoothestPath, SmoothestPathOptions } from "./path.ts";
import { pathOver } from "./path.ts";
import { chordsSchema, pathFields } from "./shape.ts";

/** Options of {@link voiceProgression}: how chords are voiced, and how the path goes. */
export interface VoiceProgressionOptions extends VoicingOptions, SmoothestPathOptions<Voicing> {
  /**
   * `"written"`: what the symbols say, and what forms add to any symbol of their kind. `"in-context"`: what may be added depends on what the
   * chord does where it stands, by the rows of `colourCatalogue`: ♭9 and ♭13 on a dominant that leads to minor, no 9th on iii.
   * What a symbol names is played in any case.
   *
   * @defaultValue `"written"`
   */
  readonly colour?: "written" | "in-context" | undefined;
}

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

/** What a chord took from where it stands. */
export interface ChordColour {
  /** Which chord, from 0. */
  readonly index: number;
  readonly symbol: string;
  readonly colour: ColourId;
  /** Degrees that the symbol does not name and its voicing has for that reason. */
  readonly added: readonly Degree[];
  readonly message: string;
}

/** A progression in its smoothest voicings, and why. */
export interface VoicedProgression extends Omit<SmoothestPath<Voicing>, "kind"> {
  readonly kind: "voiced-progression";
  /** The form of each chord. */
  readonly forms: readonly string[];
  /** The guide tones of each chord from low to high: read across, the guide-tone line. */
  readonly guideTones: readonly (readonly GuideTone[])[];
  /**
   * The bass of each chord, that of a slash chord too: the voicing's own, or the note that it leaves to another player or hand, from E2 to E♭3
   * unless asked otherwise.
   */
  readonly basses: readonly Pitch[];
  /** A sentence for each step from chord to chord. */
  readonly explanation: readonly string[];
  /** What each chord took from where it stands, as a row of the colours; none where colours are as written. */
  readonly colours: readonly ChordColour[];
  /** Where the next of several styles stepped in; none where the first could play every chord. */
  readonly fallbacks: readonly StyleFallback[];
}

const colour = /* @__PURE__ */ v.optional(/* @__PURE__ */ v.picklist(["written", "in-context"]));
const optionsSchema = /* @__PURE__ */ v.partial(
  /* @__PURE__ */ v.strictObject({ ...optionFields, ...pathFields, colour }),
);

/** What was given: its chords, bars without a chord left out, and the progression where it was one. */
interface Given {
  readonly chords: readonly Chord[];
  readonly progression?: Progression;
}

const read = (given: string | Progression | readonly (Chord | string)[]): Given => {
  if (!isList(given)) {
    const progression = progressionOf(given);
    return { progression, chords: shared(progression.chords.flatMap(({ chord }) => chord ?? [])) };
  }
  requireShort(given);
  const known = new Map<Chord | string, Chord>();
  const chords: Chord[] = [];
  let named = true;
  for (const chord of given) {
    named &&= typeof chord === "string";
    chords.push(kept(known, chord, chordGiven));
  }
  return { chords: named ? chords : shared(chords) };
};

/** Equal chords as one, so that steps between them are weighed once. */
const shared = (chords: readonly Chord[]): readonly Chord[] => {
  const known = new Map<string, Chord>();
  return chords.map((chord) => {
    const before = kept(known, chord.symbol, () => chord);
    return before.canonical === chord.canonical ? before : chord;
  });
};

/** A list of chords as a progression of one bar each, for the ear that looks for keys. */
const barEach = (chords: readonly Chord[]): Progression => {
  const metre = parseMetre("4/4");
  const bar = barLength(metre);
  const spans = chords.map((chord, i) => ({ at: multiplyBeats(bar, beats(i)), duration: bar, chord }));
  const chart: Progression = {
    kind: "progression",
    key: parseKey("C"),
    metre,
    bars: chords.length,
    chords: spans,
    sections: [],
  };
  return { ...chart, key: likeliestKey(chart)?.key ?? chart.key };
};

const DRESSES: ReadonlyMap<string, (typeof colourCatalogue)[number]> = /* @__PURE__ */ new Map(
  /* @__PURE__ */ colourCatalogue.map((row) => [row.id, row]),
);

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
  const given = read(chords);
  requireOptions(options);
  const colours = options.colour === "in-context" ? coloursIn(given.progression ?? barEach(given.chords)) : undefined;
  const { voice, voiceOn, voicingAt } = voicerOf(options);
  const varied = (weightsOf(options.aims ?? "smooth").variety ?? 0) > 0;
  const dressOf = (i: number): (typeof colourCatalogue)[number] | undefined => DRESSES.get(colours?.[i] ?? "");
  const [found, foundOn] = [
    new Map<string | undefined, Map<Chord, Voiced>>(),
    new Map<string | undefined, Map<Chord, Voiced>>(),
  ];
  const voiced = given.chords.map((chord, i) => {
    const dress = dressOf(i);
    const goesOn = varied && given.chords[i - 1]?.symbol === chord.symbol;
    const alike = kept(goesOn ? foundOn : found, dress?.id, () => new Map<Chord, Voiced>());
    return kept(alike, chord, () => (goesOn ? voiceOn : voice)(chord, dress));
  });
  const made = new Map<Placement, Voicing>();
  const path = pathOver<Placement | LaidCandidate<Voicing>, Voicing>(
    voiced.map(({ placements }) => placements),
    options,
    laidOf,
    (laid) => ("candidate" in laid ? laid.candidate : kept(made, laid, voicingAt)),
  );
  const { voicings, leadings, reasons } = path;
  const { motion, totalMotion, largestMove, topLeaps } = path.walked;
  const basses = once(() => {
    const known = new Map<Chord, Pitch>();
    return voicings.map(({ bass, chord }) => bass ?? kept(known, chord, () => bassOf(chord, options)));
  });
  const guideTones = once(() => {
    const known = new Map<Voicing, readonly GuideTone[]>();
    return voicings.map((voicing) => kept(known, voicing, guideTonesOf));
  });
  const explanation = once(() => explanationOf(voicings, leadings()));
  return withLater(
    {
      kind: "voiced-progression" as const,
      voicings,
      motion,
      totalMotion,
      largestMove,
      topLeaps,
      forms: voicings.map((voicing) => voicing.form),
      colours: colours === undefined ? [] : voicings.flatMap((voicing, i) => colourOf(voicing, dressOf(i), i)),
      fallbacks: voiced.flatMap((one, index) =>
        one.wanted.length === 0 ? [] : fallbackOf(one, voicings[index], index),
      ),
    },
    {
      leadings,
      costs: () => reasons().costs,
      decisions: () => reasons().decisions,
      basses,
      guideTones,
      explanation,
    },
  );
}

const explanationOf = (voicings: readonly Voicing[], leadings: readonly VoiceLeading[]): readonly string[] => {
  const sentences = new Map<VoiceLeading, string>();
  const names = new Map<number, string>();
  const nameOf = (p: Pitch): string => kept(names, 1000 * p.steps + p.semitones, () => formatPitch(p));
  return leadings.map((leading, i) => {
    const [from, to] = [voicings[i], voicings[(i + 1) % voicings.length]];
    return from === undefined || to === undefined
      ? ""
      : kept(sentences, leading, () => explain(from, to, leading, nameOf));
  });
};

const colourOf = (
  { chord, degrees }: Voicing,
  row: (typeof colourCatalogue)[number] | undefined,
  index: number,
): readonly ChordColour[] => {
  if (row === undefined) return [];
  const tones: readonly Degree[] = chord.tones.map(({ degree }) => degree);
  const added = degrees.filter((degree) => !tones.includes(degree) && degree !== "1");
  const plus = added.length === 0 ? "takes nothing more" : `takes ${added.map(formatDegree).join(" and ")}`;
  return [
    { index, symbol: chord.symbol, colour: row.id, added, message: `${formatChord(chord)} ${plus}: ${row.title}` },
  ];
};

const fallbackOf = ({ wanted }: Voiced, voicing: Voicing | undefined, index: number): readonly StyleFallback[] => {
  if (voicing === undefined) return [];
  const { style, chord } = voicing;
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
