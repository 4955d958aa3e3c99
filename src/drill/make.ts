import { MusicError } from "../errors.ts";
import type { BackingId } from "../backing/index.ts";
import { makeBacking } from "../backing/index.ts";
import type { CompingId } from "../comping/index.ts";
import { comp, compingPattern, layOutChord } from "../comping/index.ts";
import type { NoteEvent, TimeSpan } from "../event/index.ts";
import type { ExerciseId, ExerciseOptions, GeneratedLine, Line } from "../line/index.ts";
import { exerciseLine, generateLine } from "../line/index.ts";
import type { Pitch } from "../pitch/index.ts";
import { formatPitch, interval, pitch, transpose } from "../pitch/index.ts";
import type { ChordSpan, Progression } from "../progression/index.ts";
import { parseProgression, transposeProgression } from "../progression/index.ts";
import type { Scale } from "../scale/index.ts";
import { parseScale } from "../scale/index.ts";
import type { Score, ScoreInput } from "../score/index.ts";
import { makeScore } from "../score/index.ts";
import { parseFeel } from "../swing/index.ts";
import type { Beats } from "../time/index.ts";
import { ZERO, addBeats, barLength, beats, beatsToNumber, multiplyBeats, pulseLength } from "../time/index.ts";
import type { VoicedProgression } from "../voice-leading/index.ts";
import { voiceProgression } from "../voice-leading/index.ts";
import type { VoicingStyle } from "../voicing/index.ts";
import { withLeftFingers } from "./left-fingers.ts";
import type { DrillRecipe, FullDrillRecipe } from "./recipe.ts";
import { parseDrillRecipe } from "./recipe.ts";

/** A drill for both hands: the score, and what it was made from. */
export interface Drill {
  readonly kind: "drill";
  /** The recipe with every default filled in. */
  readonly recipe: FullDrillRecipe;
  readonly title: string;
  readonly score: Score;
  readonly progression: Progression;
  /** The left hand's pattern. */
  readonly comping: CompingId;
  /** The left hand's voicings, one a chord of the progression, and why. */
  readonly voiced: VoicedProgression;
  /** The right hand, once through; an improvised one tells its form. */
  readonly line: Line | GeneratedLine;
}

/**
 * Makes a drill from a recipe: the progression in its key, the smoothest left-hand voicings round its loop, a left-hand
 * pattern, and a right-hand exercise that fits it or a line of phrases over it, as one score.
 *
 * An exercise lies from C4 up, or an octave higher where fewer of its notes then lie below what the left hand holds, if that is within C7.
 * The progression is played as often as the exercise needs to come out in whole turns of it, or as it takes to give an improvised line eight
 * bars. In another key the same seed keeps a line's form and rhythm; its pitches are those that are best there, over the left hand's voicings.
 * Spans, tempo and repeats are not safe for every hand: warm up, take breaks, stop at pain, and ask a teacher or a clinician.
 *
 * @param recipe - what to make; every default is in {@link DrillRecipe}
 * @throws MusicError `drill/recipe` for a recipe that can't be read, `drill/empty` for changes without a chord, `drill/long` for
 * more than 2,000 bars or 8,000 chords in all, and the codes of the parts for what can't be done
 *
 * @example
 * ```ts
 * import { makeDrill } from "hands-together";
 *
 * const drill = makeDrill({ key: "Eb", left: "rootless", values: "triplets" });
 * drill.title; // => "Turnaround in E♭"
 * drill.score.bars; // => 4
 * drill.voiced.forms.length; // => 4
 * ```
 */
export function makeDrill(recipe: DrillRecipe): Drill {
  const full = parseDrillRecipe(recipe);
  const changes = full.chartKey === undefined
    ? parseProgression(full.changes, { key: full.key })
    : transposeProgression(parseProgression(full.changes, { key: full.chartKey }), full.key);
  const sounding = changes.chords.filter((span) => span.chord !== undefined);
  if (sounding.length === 0) throw new MusicError({ code: "drill/empty", input: full.changes, expected: "changes with at least one chord" });
  const scale = parseScale(`${changes.key.tonic} ${full.scale ?? (changes.key.mode === "minor" ? "minor blues" : "major blues")}`);
  const comping = full.comping ?? (full.left === "shell" ? "root-then-chord" : "held");
  const voiced = voiceProgression(sounding.map((span) => span.chord as NonNullable<ChordSpan["chord"]>), {
    style: styleFor(full.left, comping),
    loop: true,
    dropBass: full.lowBass,
  });
  const leftOver = (turns: number): readonly NoteEvent[] => leftHand(sounding, voiced, turnStarts(changes, turns), comping, full, changes);
  const line = full.right === "improvised"
    ? improvisedLine(changes, scale, leftOver, full)
    : exerciseAbove(full.right, { scale, progression: changes, ...(full.values && { values: full.values }), ...(full.octaves && { octaves: full.octaves }) }, leftOver);
  const bars = line.bars * full.repeats;
  const turns = bars / changes.bars;
  requireShort(bars, turns * sounding.length);
  const left = leftOver(turns);
  const right = repeated(line.events, line.bars, full.repeats, changes);
  const leads = left.some((event) => event.at.num < 0);
  const title = titleOf(changes, full);
  return {
    kind: "drill",
    recipe: full,
    title,
    progression: changes,
    comping,
    voiced,
    line,
    score: makeScore({
      title,
      key: changes.key,
      metre: changes.metre,
      tempo: full.tempo,
      feel: parseFeel(full.feel),
      bars,
      pickup: leads ? pulseLength(changes.metre) : ZERO,
      chords: turnStarts(changes, turns).flatMap((start) => changes.chords.map((span) => moved(span, start))),
      left,
      right,
      ...backingFor(changes, turns, full),
      phrases: repeated(line.phrases, line.bars, full.repeats, changes),
    }),
  };
}

// Room for phrases to be answered, and the half of a chorus that most forms are made of: common practice, no source.
const BARS_FOR_A_LINE = 8;

const improvisedLine = (
  changes: Progression, scale: Scale, leftOver: (turns: number) => readonly NoteEvent[], { seed, level, values, octaves }: FullDrillRecipe,
): GeneratedLine => {
  const turns = Math.max(1, Math.ceil(BARS_FOR_A_LINE / changes.bars));
  const chords = turnStarts(changes, turns).flatMap((start) => changes.chords.map((span) => moved(span, start)));
  return generateLine({ ...changes, bars: turns * changes.bars, chords }, {
    seed,
    scale,
    voicings: leftOver(turns),
    ...(level && { level }),
    ...(values && { values }),
    ...(octaves && { highest: pitch(`C${(4 + octaves) as 5 | 6 | 7}`) }),
  });
};

// Right-hand lines lie up to C7: common practice, no source.
const HIGHEST = pitch("C7");
const OCTAVE = interval("P8");

/** An exercise, an octave higher where fewer of its notes then lie below what the left hand holds. */
const exerciseAbove = (id: ExerciseId, options: ExerciseOptions & { readonly progression: Progression }, leftOver: (turns: number) => readonly NoteEvent[]): Line => {
  const line = exerciseLine(id, options);
  const left = leftOver(line.bars / options.progression.bars);
  const raised = line.events.map((event) => anOctaveUp(event));
  const inReach = raised.every(({ pitches }) => pitches.every((p) => p.semitones <= HIGHEST.semitones));
  return inReach && notesBelow(left, raised) < notesBelow(left, line.events) ? { ...line, events: raised } : line;
};

const anOctaveUp = ({ pitches, graces, ...event }: NoteEvent): NoteEvent => ({
  ...event,
  pitches: pitches.map((p) => transpose(p, OCTAVE)),
  ...(graces && { graces: graces.map((grace) => ({ ...grace, pitch: transpose(grace.pitch, OCTAVE) })) }),
});

/** How many notes of the right hand lie below a key that the left hand holds meanwhile. */
const notesBelow = (left: readonly NoteEvent[], right: readonly NoteEvent[]): number => {
  const held = left.map(({ at, duration, pitches }) => ({ from: beatsToNumber(at), to: beatsToNumber(addBeats(at, duration)), top: (pitches.at(-1) as Pitch).semitones }));
  let first = 0;
  return right.filter(({ at, duration, pitches }) => {
    const from = beatsToNumber(at);
    const to = beatsToNumber(addBeats(at, duration));
    while ((held[first]?.to ?? Infinity) <= from) first += 1;
    for (let i = first; (held[i]?.from ?? Infinity) < to; i++) {
      const chord = held[i] as (typeof held)[number];
      if (chord.to > from && chord.top > (pitches[0] as Pitch).semitones) return true;
    }
    return false;
  }).length;
};

// An hour and more of music; beyond that time and memory are better spent on several drills.
const MOST_BARS = 2000;
const MOST_CHORDS = 8000;

const requireShort = (bars: number, chords: number): void => {
  if (bars <= MOST_BARS && chords <= MOST_CHORDS) return;
  throw new MusicError({
    code: "drill/long", input: { bars, chords }, expected: `at most ${MOST_BARS} bars and ${MOST_CHORDS} chords, repeats counted`, hint: "shorter changes, or fewer repeats",
  });
};

// A shell with its bass root is struck one after the other; held at once, one hand reaches the root with the 3rd or the 7th.
const styleFor = (left: FullDrillRecipe["left"], pattern: CompingId): VoicingStyle =>
  left === "shell" && compingPattern(pattern).hits.some((hit) => hit.play === "all") ? "two-note-shell" : left;

const leftHand = (
  spans: readonly ChordSpan[],
  voiced: VoicedProgression,
  starts: readonly Beats[],
  pattern: CompingId,
  recipe: FullDrillRecipe,
  { metre }: Progression,
): readonly NoteEvent[] => {
  const laidOut = voiced.voicings.map((voicing, i) => layOutChord(spans[i] as ChordSpan, voicing, { dropBass: recipe.lowBass }));
  return withLeftFingers(comp(starts.flatMap((start) => laidOut.map((chord) => moved(chord, start))), { metre, pattern, pickup: recipe.pickup }));
};

const backingFor = (changes: Progression, turns: number, { backing, seed }: FullDrillRecipe): Pick<ScoreInput, "bass" | "drums"> => {
  if (backing === "none") return {};
  const { bass, drums } = makeBacking(changes, { style: backing as BackingId, seed, choruses: turns });
  return { bass, drums };
};

const turnStarts = (changes: Progression, turns: number): readonly Beats[] =>
  Array.from({ length: turns }, (_, turn) => multiplyBeats(barLength(changes.metre), beats(turn * changes.bars)));

const repeated = <T extends TimeSpan>(items: readonly T[], bars: number, repeats: number, { metre }: Progression): readonly T[] =>
  Array.from({ length: repeats }, (_, i) => multiplyBeats(barLength(metre), beats(i * bars))).flatMap((start) => items.map((item) => moved(item, start)));

const moved = <T extends TimeSpan>(item: T, by: Beats): T => (by.num === 0 ? item : { ...item, at: addBeats(item.at, by) });

const titleOf = ({ key, name, chords: spans }: Progression, { changes, chartKey }: FullDrillRecipe): string => {
  // A chart that was transposed is no longer what the recipe says.
  const chart = chartKey === undefined ? changes : spans.map((span) => span.chord?.symbol ?? "N.C.").join(" ");
  return `${name ?? chart.replace(/\s+/g, " ").slice(0, 60)} in ${formatPitch(key.tonic)}${key.mode === "minor" ? " minor" : ""}`;
};
