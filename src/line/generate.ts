import * as v from "valibot";
import type { GraceNote, NoteEvent } from "../event/index.ts";
import type { Chance } from "../ground/chance.ts";
import { chanceOf, DEFAULT_SEED, seedSchema } from "../ground/chance.ts";
import { check, checkOnce } from "../ground/check.ts";
import { MusicError } from "../ground/errors.ts";
import type { Key, Pitch } from "../pitch/index.ts";
import { keyColour, pitch, pitchName } from "../pitch/index.ts";
import type { ChordSpan } from "../progression/index.ts";
import type { Scale } from "../scale/index.ts";
import { parseScale } from "../scale/index.ts";
import { addFingers } from "./fingers.ts";
import type { LineValues } from "./grid.ts";
import { gridOf, ticksToBeats } from "./grid.ts";
import { chordSlots } from "./harmony.ts";
import type { Frame, HardRule } from "./improvise/build.ts";
import { buildProblem } from "./improvise/build.ts";
import type { Grade } from "./improvise/grades.ts";
import { GRADES } from "./improvise/grades.ts";
import type { MotifRole, Plan, PlannedNote } from "./improvise/plan.ts";
import { LEAST_ROOM, planLine } from "./improvise/plan.ts";
import type { Problem } from "./improvise/problem.ts";
import { CHROMATIC, SILENT } from "./improvise/problem.ts";
import { settingsOf } from "./improvise/setting.ts";
import type { Solution } from "./improvise/solve.ts";
import { solve } from "./improvise/solve.ts";
import type { Line } from "./line.ts";
import { graceOf } from "./line.ts";
import { LEAST_SPAN, LONG_PHRASE, MOST_PEAKS } from "./rules/contour.ts";
import type { ChangesLike } from "./shape.ts";
import {
  changesOf,
  chordsSchema,
  eventsShape,
  keyShape,
  pitchNamed,
  pitchShape,
  scaleNamed,
  scaleShape,
} from "./shape.ts";
import { beside, blueNoteBelow } from "./spelling.ts";

/** What a phrase of a generated line does. */
export interface GeneratedPhrase {
  /** The motif that it begins with: `"A"` is the first that is heard. */
  readonly motif: string;
  /** `"return"`: the same steps, perhaps from another note; `"answer"`: turned upside down; `"variation"`: its last step changed. */
  readonly role: MotifRole;
}

/** A generated line and how it was made. */
export interface GeneratedLine extends Line {
  readonly id: "improvised";
  readonly seed: number;
  readonly level: 1 | 2 | 3 | 4 | 5;
  /** One for each of the line's phrases. */
  readonly form: readonly GeneratedPhrase[];
  /**
   * The score, in thousandths of a unit of log probability: no other line with this rhythm has more, but where the best of them breaks
   * the rule about contours and another was searched for.
   */
  readonly points: number;
}

/** Options of {@link generateLine}. */
export interface GenerateLineOptions {
  /** A whole number from 0 to 4294967295; the same seed gives the same line. @defaultValue 1 */
  readonly seed?: number | undefined;
  /** 1 for eighths and quarters on scale and chord, to 5 with sixteenths, chromatic notes and wide leaps. @defaultValue 3 */
  readonly level?: 1 | 2 | 3 | 4 | 5 | undefined;
  /** The scale or its name. @defaultValue the major or minor scale of the progression's key, or its mixolydian scale where the key note carries a dominant seventh */
  readonly scale?: Scale | string | undefined;
  /** @defaultValue the mixture of the level */
  readonly values?: LineValues | undefined;
  /** @defaultValue C4, or a semitone above the left hand where all that it plays reaches higher, an octave below the highest at most */
  readonly lowest?: Pitch | string | undefined;
  /** @defaultValue as far above the lowest as the level ranges (above C4 where the left hand sets the lowest, and at least an octave and a tone above that), at most C7 */
  readonly highest?: Pitch | string | undefined;
  /** What the left hand plays: no long note clashes with it, and the line keeps above it where it can. @defaultValue none */
  readonly voicings?: readonly NoteEvent[] | undefined;
}

const optionsSchema = /* @__PURE__ */ v.strictObject({
  seed: /* @__PURE__ */ v.optional(v.unknown()),
  level: /* @__PURE__ */ v.optional(v.unknown()),
  scale: /* @__PURE__ */ v.optional(scaleShape),
  values: /* @__PURE__ */ v.optional(/* @__PURE__ */ v.picklist(["eighths", "triplets", "mixed"])),
  lowest: /* @__PURE__ */ v.optional(pitchShape),
  highest: /* @__PURE__ */ v.optional(pitchShape),
  voicings: /* @__PURE__ */ v.optional(eventsShape),
});

/**
 * A line of phrases over chord changes, with fingers.
 *
 * The seed settles form and rhythm: phrases of the corpus's usual length with rests between, motifs that return, are
 * answered and varied, starts on and off the beat. The pitches are then the exact maximum of a stated score over all lines that
 * keep every rule of severity "must" (see {@link phraseRuleCatalogue}): corpus frequency of each interval, chord tones on strong
 * beats, guide tones where a chord enters, leaps that turn back, the motif's steps, the phrase's contour, and the seed's taste, a
 * random preference for each interval at each note. Where that line breaks the rule about contours, the search is made again in less
 * room. Guide tones of chords may get a slide.
 *
 * Source of the frequencies: Weimar Jazz Database v1.2; Pfleiderer, M. et al. (eds.) (2017), Inside the Jazzomat.
 *
 * @param given - a progression or its text or row; or bars, metre and chords
 * @throws MusicError `line/seed`, `line/level` for options out of range, `line/scale` when neither scale nor key is given, `line/range` when the
 * range is empty, `line/bars` when there is no room for a phrase, `line/conflict` when none of the
 * seed's first eight rhythms has a line that keeps every must, naming the rules that conflict
 *
 * @example
 * ```ts
 * import { checkLine, generateLine, parseProgression } from "hands-together";
 *
 * const changes = parseProgression("blues", { key: "F" });
 * const line = generateLine(changes, { seed: 7, level: 3 });
 * line.bars; // => 12
 * checkLine(line.events, { chords: changes.chords, scale: line.scale }).findings.filter((f) => f.severity === "must"); // => []
 * ```
 */
export function generateLine(given: ChangesLike, options: GenerateLineOptions = {}): GeneratedLine {
  check(optionsSchema, options, "line/argument");
  const changes = changesOf(given);
  const seed = options.seed ?? DEFAULT_SEED;
  check(seedSchema, seed, "line/seed");
  const level = options.level ?? 3;
  const grade = GRADES[level - 1];
  if (grade === undefined) throw new MusicError({ code: "line/level", input: level, expected: "a level from 1 to 5" });
  const frame = frameOf(changes, options, grade);
  const chance = chanceOf(seed);
  const drawn = drawLine(
    () => planLine(changes.bars, frame.grid, grade, options.values, chance, frame.settings.bare),
    frame,
    chance,
  );
  if (drawn.solution === undefined) throw conflict(drawn.plan, frame, seed, changes.bars);
  const { plan, solution } = drawn;
  const events = addFingers(toEvents(plan, frame, solution, chance));
  return {
    kind: "line",
    id: "improvised",
    scale: frame.scale,
    metre: changes.metre,
    bars: changes.bars,
    events,
    phrases: plan.phrases.map(({ first, last }) => {
      const from = (plan.notes[first] as PlannedNote).at;
      const end = plan.notes[last] as PlannedNote;
      return { at: ticksToBeats(from), duration: ticksToBeats(end.at + end.duration - from) };
    }),
    seed,
    level,
    form: plan.phrases.map(({ motif, role }) => ({ motif: String.fromCharCode(65 + motif), role })),
    points: solution.points,
  };
}

const MOST_PLANS = 8;

// A rhythm can leave no line that keeps every must; then another is drawn from the same chance, so that a seed still means one line.
const drawLine = (
  draw: () => Plan,
  frame: Frame,
  chance: Chance,
): { readonly plan: Plan; readonly solution: Solution | undefined } => {
  for (let left = MOST_PLANS; ; left--) {
    const plan = draw();
    const solution = search(plan, buildProblem(plan, frame, chance));
    if (solution !== undefined || left <= 1) return { plan, solution };
  }
};

/**
 * The best line that keeps the rule about contours, which looks at whole phrases, as far as can be: where a phrase comes to its
 * highest note too often, the search is made again with that note and all above it kept for the phrase's peak; where it circles in
 * too narrow a space, with a higher peak; and so on until no phrase does, or no line is left.
 */
const search = (plan: Plan, problem: Problem): Solution | undefined => {
  let found = solve(problem);
  while (found !== undefined && forbidFlat(plan, problem, found.pitches)) {
    const again = solve(problem);
    if (again === undefined) break;
    found = again;
  }
  return found;
};

/** Forbids what breaks the rule about contours, if anything does; always a pitch that the line has, so that the searches come to an end. */
const forbidFlat = ({ phrases }: Plan, { classes, width }: Problem, pitches: readonly number[]): boolean => {
  let flat = false;
  for (const { first, last, peak } of phrases) {
    const heights = pitches.slice(first, last + 1);
    if (heights.length < LONG_PHRASE) continue;
    const top = Math.max(...heights);
    const bottom = Math.min(...heights);
    if (top - bottom < LEAST_SPAN) {
      flat = true;
      classes.fill(SILENT, peak * width, peak * width + Math.min(width, bottom + LEAST_SPAN));
    }
    if (heights.filter((height, i) => height === top && heights[i - 1] !== top).length <= MOST_PEAKS) continue;
    flat = true;
    for (let i = first; i <= last; i++) if (i !== peak) classes.fill(SILENT, i * width + top, (i + 1) * width);
  }
  return flat;
};

/** Notes from one grace note to the next at least. */
const GRACE_DISTANCE = 6;
const LOWEST = pitch("C4");
const HIGHEST = pitch("C7");
/** The least that a line ranges over above a left hand, in semitones, which is what the easiest level ranges over. */
const LEAST_RANGE = Math.min(...GRADES.map((grade) => grade.range));

/** The highest note of the voicing that reaches least high, in semitones above C0. */
const lowestTop = (voicings: readonly NoteEvent[] = []): number =>
  voicings.length === 0
    ? -Infinity
    : voicings.reduce((least, { pitches }) => Math.min(least, Math.max(...pitches.map((p) => p.semitones))), Infinity);

const frameOf = (changes: ReturnType<typeof changesOf>, options: GenerateLineOptions, grade: Grade): Frame => {
  const lowest = options.lowest === undefined ? undefined : pitchNamed(options.lowest);
  const highest = options.highest === undefined ? undefined : pitchNamed(options.highest);
  const grid = gridOf(changes.metre);
  if (!Number.isInteger(changes.bars) || changes.bars * grid.bar < LEAST_ROOM) {
    throw new MusicError({
      code: "line/bars",
      input: changes.bars,
      expected: "whole bars with room for at least four quarter notes",
    });
  }
  const low =
    lowest?.semitones ??
    Math.max(LOWEST.semitones, Math.min(lowestTop(options.voicings) + 1, (highest?.semitones ?? Infinity) - 12));
  const above = lowest === undefined ? Math.max(LOWEST.semitones + grade.range, low + LEAST_RANGE) : low + grade.range;
  const high = highest?.semitones ?? Math.max(low, Math.min(above, HIGHEST.semitones));
  if (high < low || high - low > 60) {
    throw new MusicError({
      code: "line/range",
      input: [lowest, highest].map((p) => (p === undefined ? undefined : pitchName(p))),
      expected: "a lowest note below the highest, at most five octaves apart",
    });
  }
  const chords = changes.chords ?? [];
  const scale = scaleOf(changes.key, chords, options.scale);
  return {
    settings: settingsOf(chordSlots(chords), scale),
    scale,
    grid,
    grade,
    low,
    high,
    voicings: options.voicings ?? [],
  };
};

/** Whether the chord of the key note is a dominant seventh, as in the blues. */
const hasBluesTonic = (key: Key, chords: readonly ChordSpan[]): boolean =>
  chords.some(
    ({ chord }) =>
      chord?.root === key.tonic && ["3", "b7"].every((degree) => chord.tones.some((tone) => tone.degree === degree)),
  );

/**
 * The scale that a line is made from unless another is named: the key's major or minor scale, or its mixolydian scale where the key
 * note carries a dominant seventh, as in the blues.
 *
 * @example
 * ```ts
 * import { parseProgression } from "hands-together";
 * import { usualScale } from "hands-together/line";
 *
 * const { key, chords } = parseProgression("blues", { key: "F" });
 * usualScale(key, chords).type; // => "mixolydian"
 * ```
 */
export function usualScale(key: Key, chords: readonly ChordSpan[]): Scale {
  check(keyShape, key, "line/argument");
  checkOnce(chordsSchema, chords, "line/argument");
  return parseScale(`${key.tonic} ${key.mode === "major" && hasBluesTonic(key, chords) ? "mixolydian" : key.mode}`);
}

const scaleOf = (key: Key | undefined, chords: readonly ChordSpan[], scale: Scale | string | undefined): Scale => {
  if (scale !== undefined) return scaleNamed(scale);
  if (key !== undefined) return usualScale(key, chords);
  throw new MusicError({ code: "line/scale", input: scale, expected: "a scale, or a progression with a key" });
};

const HARD: readonly HardRule[] = [
  "range",
  "resting-note",
  "blue-third",
  "chromatic-resolves",
  "held-clash",
  "repeats",
];

/** Names a smallest set of rules that can't be kept together: each of them, left out, would let some line through. */
const conflict = (plan: Plan, frame: Frame, seed: number, bars: number): MusicError => {
  const possible = (without: ReadonlySet<HardRule>): boolean =>
    solve(buildProblem(plan, frame, chanceOf(seed), without)) !== undefined;
  const dropped = new Set<HardRule>();
  for (const rule of HARD) {
    dropped.add(rule);
    if (possible(dropped)) dropped.delete(rule);
  }
  const named = HARD.filter((rule) => !dropped.has(rule));
  return new MusicError({
    code: "line/conflict",
    input: { seed, bars },
    expected: `a line that keeps ${named.join(", ")}, which here conflict`,
    hint: "widen the range, or change the voicings",
    reason: "cannot-be-done",
  });
};

const toEvents = (plan: Plan, frame: Frame, { pitches }: Solution, chance: Chance): readonly NoteEvent[] => {
  const { settings } = frame;
  const over = pitches.map((p, i): { readonly pitch: Pitch; readonly kind: number; readonly guide: boolean } => {
    const setting = settings.at((plan.notes[i] as PlannedNote).at);
    const semitones = frame.low + p;
    const sound = ((semitones % 12) + 12) % 12;
    const base = setting.spelled[sound] as Pitch;
    return {
      pitch: { kind: "pitch", steps: base.steps + (7 * (semitones - base.semitones)) / 12, semitones },
      kind: setting.classes[sound] as number,
      guide: setting.guide[sound] === 1,
    };
  });
  // A chromatic note leads into one that belongs, and is spelled by it.
  const written = over.map(({ pitch: p, kind }, i): Pitch => {
    if (kind !== CHROMATIC) return p;
    const target = (over[i + 1] as (typeof over)[number]).pitch;
    return beside(target, p.semitones - target.semitones);
  });
  let lastGrace = -Infinity;
  return plan.notes.map((note, i): NoteEvent => {
    const main = written[i] as Pitch;
    const before = written[i - 1];
    const slides =
      over[i]?.guide === true &&
      note.duration >= 4 &&
      keyColour(blueNoteBelow(main)) === "black" &&
      before?.semitones !== main.semitones - 1 &&
      before?.semitones !== main.semitones;
    const grace: GraceNote | undefined =
      slides && i - lastGrace >= GRACE_DISTANCE && chance.below(100) < frame.grade.graces
        ? graceOf(blueNoteBelow(main))
        : undefined;
    if (grace !== undefined) lastGrace = i;
    return {
      at: ticksToBeats(note.at),
      duration: ticksToBeats(note.duration),
      pitches: [main],
      ...(grace === undefined ? {} : { graces: [grace] }),
    };
  });
};
