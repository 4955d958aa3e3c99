import type { NoteEvent } from "../../event/index.ts";
import type { Chance } from "../../ground/chance.ts";
import { pitchClassOf } from "../../pitch/index.ts";
import type { Scale } from "../../scale/index.ts";
import { beatsToNumber } from "../../time/index.ts";
import type { Grid } from "../grid.ts";
import { TICKS } from "../grid.ts";
import type { Grade } from "./grades.ts";
import type { Plan, PlannedNote, PlannedPhrase } from "./plan.ts";
import type { Problem } from "./problem.ts";
import { AVOID, BLUE, CHORD, CHROMATIC, INTERVALS, NO_STEP, WIDEST } from "./problem.ts";
import type { Settings } from "./setting.ts";

/** The rules that a search can't break, by id. */
export type HardRule = "range" | "resting-note" | "blue-third" | "chromatic-resolves" | "held-clash" | "repeats";

/** What a line is searched in. */
export interface Frame {
  readonly settings: Settings;
  readonly scale: Scale;
  readonly grid: Grid;
  readonly grade: Grade;
  /** Semitones above C0. */
  readonly low: number;
  readonly high: number;
  readonly voicings: readonly NoteEvent[];
}

// A thousand times the natural logarithm of the share of each signed interval from an octave down to an octave up, in 299
// solos: Weimar Jazz Database v1.2 (Pfleiderer, M. et al. (eds.) 2017, Inside the Jazzomat), computed from its note lists.
const CORPUS_TASTE = [
  -6266, -7013, -6215, -5473, -5259, -4474, -4841, -3381, -2972, -2416, -1883, -2036, -2953, -2083, -2064, -2491, -3231,
  -3396, -4744, -4255, -5067, -5185, -5655, -6166, -5878,
] as const;

// Points; a thousand are one unit of log probability. Ours, set by looking at the page.
const STRONG_CHORD = 1300;
const STRONG_TENSION = 300;
const STRONG_FOREIGN = -6000;
const BEAT_CHORD = 500;
const BEAT_AVOID = -900;
const CHROMATIC_POINTS = -700;
const FAST_REPEAT = -2200;
const RUN_REPEAT = -1500;
const FALL_POINTS = 3000;
const TURN_POINTS = 450;
const UNDER_POINTS = -6000;
const TOO_WIDE = -20000;
const PEAK_POINTS = 2200;
const HOME_POINTS = 800;
const BLUE_POINTS = -300;
const GUIDE_POINTS = 900;
const LAST_POINTS = 1200;
const HELD_AVOID = -4000;
const CONTOUR_POINTS = 14;
const MOTIF_POINTS = 6000;
const RECOVERY_POINTS = 6000;
const APART_POINTS = 60;

/** The highest note of the voicings that sound while a note does, in semitones above C0: on it or below it, the hands are in each other's way. */
const topOf = (voicings: readonly NoteEvent[], from: number, to: number): number => {
  let top = -Infinity;
  for (const { at, duration, pitches } of voicings) {
    const start = beatsToNumber(at) * TICKS;
    if (start < to && from < start + beatsToNumber(duration) * TICKS)
      top = Math.max(top, ...pitches.map((p) => p.semitones));
  }
  return top;
};

/** Whether a note would be held a semitone or a minor ninth from a note of a voicing. */
const clashes = (semitones: number, from: number, to: number, grid: Grid, voicings: readonly NoteEvent[]): boolean =>
  voicings.some((voicing) => {
    const start = beatsToNumber(voicing.at) * TICKS;
    const end = start + beatsToNumber(voicing.duration) * TICKS;
    return (
      Math.min(to, end) - Math.max(from, start) >= grid.pulse &&
      voicing.pitches.some((p) => [-1, 1, 13].includes(semitones - p.semitones))
    );
  });

/** States the search for the pitches of a plan. Some hard rules can be left out, to find which of them conflict. */
export const buildProblem = (
  plan: Plan,
  frame: Frame,
  chance: Chance,
  without: ReadonlySet<HardRule> = new Set(),
): Problem => {
  const { grid, grade, voicings, settings } = frame;
  const low = without.has("range") ? frame.low - 24 : frame.low;
  const high = without.has("range") ? frame.high + 24 : frame.high;
  const length = plan.notes.length;
  const width = high - low + 1;
  const classes = new Uint8Array(length * width);
  const unary = new Int32Array(length * width);
  const letters = new Int16Array(length * width);
  const taste = new Int32Array(length * INTERVALS);
  const motif = new Int8Array(length).fill(NO_STEP);
  const starts = new Uint8Array(length);
  const middle = (low + high) / 2;
  const tonic = pitchClassOf(frame.scale.tonic);
  const pulses = grid.bar / grid.pulse;
  const half = pulses % 2 === 0 && pulses > 2 ? grid.bar / 2 : grid.bar;
  const free = {
    end: without.has("resting-note"),
    blue: without.has("blue-third"),
    chromatic: without.has("chromatic-resolves"),
    clash: without.has("held-clash"),
  };
  for (let i = 0; i < length; i++) {
    const note = plan.notes[i] as PlannedNote;
    const phrase = plan.phrases[note.phrase] as PlannedPhrase;
    const setting = settings.at(note.at);
    const strong = note.at % half === 0;
    const onBeat = note.at % grid.pulse === 0;
    const held = note.duration >= grid.pulse;
    const first = i === phrase.first;
    const last = i === phrase.last;
    const enters = settings.enters(note.at);
    const top = topOf(voicings, note.at, note.at + note.duration);
    const height = middle + (phrase.contour[i - phrase.first] as number);
    const ceiling = middle + (phrase.contour[phrase.peak - phrase.first] as number);
    const peak = i === phrase.peak ? PEAK_POINTS : -PEAK_POINTS;
    const before = plan.notes[i - 1];
    const after = plan.notes[i + 1];
    const joined = before !== undefined && before.at + before.duration === note.at;
    // A chromatic note stands between two others and leads onto a beat.
    const leads = joined && note.at + note.duration === after?.at && after.at % grid.pulse === 0;
    const chromatic = free.chromatic || (grade.chromatic && leads && !onBeat && !held && !first && !last);
    const blue = free.blue || (!held && !first && !last);
    // Struck again after a short note, a note reads like stutter; after a long one, or where the motif asks for it, it does not.
    const repeat =
      note.step === 0 || !joined || before.duration >= grid.pulse
        ? 0
        : note.duration < grid.pulse / 2
          ? FAST_REPEAT
          : RUN_REPEAT;
    starts[i] = first ? 1 : 0;
    if (note.step !== undefined) motif[i] = note.step;
    for (let d = -WIDEST; d <= WIDEST; d++) {
      const wide = d > grade.widest || d < -grade.widest ? TOO_WIDE : 0;
      taste[i * INTERVALS + WIDEST + d] =
        (CORPUS_TASTE[WIDEST + d] as number) + chance.gumbel() + wide + (d === 0 ? repeat : 0);
    }
    for (let p = 0; p < width; p++) {
      const semitones = low + p;
      const sound = ((semitones % 12) + 12) % 12;
      const at = i * width + p;
      const kind = setting.classes[sound] as number;
      const scaleTone = setting.inScale[sound] === 1;
      letters[at] = (setting.letters[sound] as number) + (7 * (semitones - sound)) / 12;
      const rests = kind === CHORD || (scaleTone && held);
      const allowed =
        (kind !== CHROMATIC || chromatic) &&
        (kind !== BLUE || blue) &&
        (!last || free.end || rests) &&
        (!held || free.clash || !clashes(semitones, note.at, note.at + note.duration, grid, voicings));
      if (!allowed) continue;
      classes[at] = kind;
      const away = semitones - height;
      let points = -CONTOUR_POINTS * Math.round(away * away);
      if (strong) points += kind === CHORD ? STRONG_CHORD : kind >= AVOID ? STRONG_FOREIGN : STRONG_TENSION;
      else if (onBeat) points += kind === CHORD ? BEAT_CHORD : kind === AVOID ? BEAT_AVOID : 0;
      if (kind === CHROMATIC) points += CHROMATIC_POINTS;
      if (kind === BLUE) points += BLUE_POINTS;
      if (enters && setting.guide[sound] === 1) points += GUIDE_POINTS;
      if (last && kind === CHORD) points += setting.stable[sound] === 1 ? LAST_POINTS : LAST_POINTS / 4;
      if (i === length - 1 && kind === CHORD && sound === tonic) points += HOME_POINTS;
      if (semitones >= ceiling) points += peak;
      if (semitones <= top) points += UNDER_POINTS;
      if (held && kind === AVOID) points += HELD_AVOID;
      unary[at] = points;
    }
  }
  return {
    length,
    width,
    classes,
    unary,
    letters,
    taste,
    motif,
    starts,
    motifPoints: MOTIF_POINTS,
    recoveryPoints: RECOVERY_POINTS,
    turnPoints: TURN_POINTS,
    fallPoints: FALL_POINTS,
    apart: APART_POINTS,
    resolve: !(free.chromatic || free.blue),
    limitRepeats: !without.has("repeats"),
  };
};
