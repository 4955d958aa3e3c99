import { formatChord } from "../chord/index.ts";
import type { LaidOutChord } from "../comping/index.ts";
import { comp, compingPattern, fitsMetre } from "../comping/index.ts";
import type { LeftHandRow } from "../comping/inner.ts";
import { chordLaidOut, drawnOver, isManner } from "../comping/inner.ts";
import type { NoteEvent, TimeSpan } from "../event/index.ts";
import { fingerChord } from "../fingering/index.ts";
import { attempt } from "../ground/attempt.ts";
import { MOST_SEED } from "../ground/chance.ts";
import { MusicError } from "../ground/errors.ts";
import { nth } from "../ground/list.ts";
import { kept } from "../ground/memo.ts";
import type { ExerciseId, ExerciseRow, GeneratedLine, Line } from "../line/index.ts";
import { checkLine, exerciseLine, generateLine } from "../line/index.ts";
import { exerciseRow } from "../line/inner.ts";
import type { PitchName } from "../pitch/index.ts";
import { interval, midiNumber, pitch, pitchFromMidi, pitchName, transpose } from "../pitch/index.ts";
import type { ChordSpan, Progression } from "../progression/index.ts";
import type { FullDrillRecipe } from "../recipe/index.ts";
import { compingOf, MOST_BARS, MOST_CHORDS, spanOf, stylesOf } from "../recipe/inner.ts";
import type { Scale } from "../scale/index.ts";
import {
  addBeats,
  barLength,
  beats,
  beatsToNumber,
  compareBeats,
  formatBeats,
  formatMetre,
  pulseLength,
  subtractBeats,
  ZERO,
} from "../time/index.ts";
import { metreStretches } from "../time/inner.ts";
import type { VoicedProgression } from "../voice-leading/index.ts";
import { voiceProgression } from "../voice-leading/index.ts";
import type { PitchRange, Voicing, VoicingStyle } from "../voicing/index.ts";
import { voicingsFor } from "../voicing/index.ts";
import { withLeftFingers } from "./left-fingers.ts";
import type { Music } from "./music.ts";
import { formOverTurns, moved, overTurns, turnStarts } from "./music.ts";
import { playTogether } from "./together.ts";

/** Both hands of a drill. */
export interface Hands {
  readonly comping: LeftHandRow;
  /** What was done otherwise than asked, and why. */
  readonly remarks: readonly string[];
  readonly voiced: VoicedProgression;
  readonly line: Line | GeneratedLine;
  /** The left hand over as many turns of the progression. */
  readonly left: LeftOver;
}

type LeftOver = (turns: number) => readonly NoteEvent[];

/**
 * Both hands in the registers where they cross least. An improvised line is made above the left hand. An exercise stands from C4 up; where it
 * crosses the left hand there, over rootless (or close) voicings in the lower part of their register, if the hand moves no more there; or an octave
 * higher; or over such voicings below their register. Of ways that cross equally the first.
 */
export const placeHands = (
  changes: Progression,
  sounding: readonly ChordSpan[],
  scale: Scale,
  asked: FullDrillRecipe,
): Hands => {
  const recipe = withOwnComping(asked, changes);
  const comping = compingOf(recipe);
  const styles = stylesOf(recipe);
  const voice = (register?: PitchRange): VoicedProgression =>
    voiceProgression(changes, {
      style: styles,
      colour: recipe.colour,
      aims: recipe.aims,
      span: spanOf(recipe),
      loop: true,
      hands: recipe.right === "comping" ? "both" : "one",
      dropBass: recipe.lowBass,
      ...(register && { register, lowIntervals: "forbid" }),
    });
  const over =
    (voiced: VoicedProgression, heard?: Line): LeftOver =>
    (turns) =>
      leftHand(sounding, voiced, turns, comping, recipe, changes, heard);
  const voiced = voice();
  if (recipe.right === "comping") {
    requireShort(changes.bars, sounding.length);
    const once = over(voiced);
    // What is drawn for both hands is drawn once.
    const left: LeftOver = isManner(comping) ? (turns) => overTurns(once(1), changes, turns) : once;
    const remarks = [
      ...new Set(voiced.fallbacks.map(({ message }) => `${message}.`)),
      ...bassesTold(voiced, comping, recipe),
    ];
    return { comping, remarks, voiced, left, line: rightHandOf(sounding, voiced, comping, scale, changes, recipe) };
  }
  const remarks = [...remarksOn(voiced), ...bassesTold(voiced, comping, recipe)];
  if (recipe.right === "improvised") {
    requireShort(changes.bars, sounding.length);
    // A line is made over chords that sound throughout, and comping that listens is drawn when it is there.
    const under: LeftOver = isManner(comping)
      ? (turns) => leftHand(sounding, voiced, turns, compingPattern("held"), recipe, changes)
      : over(voiced);
    const { line: drawn, remarks: told } = improvisedLine(changes, scale, under, recipe);
    return { comping, remarks: [...remarks, ...told], voiced, left: over(voiced, drawn), line: drawn };
  }
  const line = exerciseOf(recipe.right, changes, scale, recipe);
  const turns = line.bars / changes.bars;
  requireShort(line.bars, turns * sounding.length);
  const left = over(voiced, line);
  const row = exerciseRow(recipe.right);
  if (row.left !== undefined) {
    const broken = recipe.rules === undefined ? [] : breaches(line, changes, [], recipe);
    return {
      comping,
      remarks: [...metreRemarks(changes, comping, line), ...broken],
      voiced,
      ...playTogether(row, line, changes),
    };
  }
  const broken = recipe.rules === undefined ? [] : breaches(line, changes, left(turns), recipe);
  const told = [...remarks, ...metreRemarks(changes, comping, line), ...broken];
  const usual: Hands = { comping, remarks: told, voiced, left, line };
  const below = (from: PitchName): Hands | undefined => {
    const lower = LOWERED.some((style) => style === styles[0])
      ? attempt(() => voice({ from, to: pitchName(pitchFromMidi(lowestOf(line) - 1, "flats")) as PitchName }))
      : undefined;
    // Room that costs chords their style is none.
    return lower?.fallbacks.length === voiced.fallbacks.length
      ? { ...usual, voiced: lower, left: over(lower, line) }
      : undefined;
  };
  const noFarther = (hands: Hands | undefined): Hands | undefined =>
    hands !== undefined && hands.voiced.totalMotion <= voiced.totalMotion ? hands : undefined;
  let best = usual;
  let fewest = crossings(usual, turns);
  const nearby = () => noFarther(below(USUAL_TOP));
  const lower = () => below(LOWEST_TOP);
  const higher = () => raised(usual);
  // A melody of one's own leaves its octave last.
  for (const way of isLick(recipe.right) ? [nearby, lower, higher] : [nearby, higher, lower]) {
    const hands = fewest === 0 ? undefined : way();
    const crossed = hands === undefined ? Infinity : crossings(hands, turns);
    if (hands === undefined || crossed >= fewest) continue;
    best = hands;
    fewest = crossed;
  }
  const lifted = isLick(recipe.right) && best.line !== line;
  return {
    ...best,
    remarks: [
      ...best.remarks,
      ...(lifted ? ["The melody lies an octave higher than given, above the left hand."] : []),
      ...(fewest > 0 ? [`In ${fewest} of its notes the right hand reaches below what the left holds.`] : []),
    ],
  };
};

/** An exercise's own pattern of the left hand, where the recipe names none, the metre has it and no pickup stands in its way. */
const withOwnComping = (recipe: FullDrillRecipe, { metre }: Progression): FullDrillRecipe => {
  if (recipe.comping !== undefined || recipe.right === "improvised" || recipe.right === "comping") return recipe;
  const { comping } = exerciseRow(recipe.right);
  if (comping === undefined) return recipe;
  const row = compingPattern(comping);
  const strokes = [row.hits, ...(row.others ?? []).map(({ hits }) => hits)].flat();
  const early = recipe.pickup !== false && strokes.some(({ at }) => beats(at).num < 0);
  return fitsMetre(row, metre) && !early ? { ...recipe, comping: row } : recipe;
};

const isLick = (right: ExerciseId | ExerciseRow): boolean =>
  typeof right === "object" && typeof right.pattern === "object" && right.pattern.over === "lick";

/** Where the register of a rootless voicing's top begins. Source: MacDonald in `../voicing/rootless.ts`. */
const USUAL_TOP = "C4";
/** Styles whose register is a window of the top note, which can be let down. */
const LOWERED: readonly VoicingStyle[] = ["rootless", "three-note-rootless", "close"];
/** The lowest that it goes to make room, a fourth below. Our choice, no source. */
const LOWEST_TOP = "G3";

const exerciseOf = (
  exercise: ExerciseId | ExerciseRow,
  progression: Progression,
  scale: Scale,
  { values, octaves }: FullDrillRecipe,
): Line => exerciseLine(exercise, { scale, progression, ...(values && { values }), ...(octaves && { octaves }) });

// Room for phrases to be answered, and the half of a chorus that most forms are made of: common practice, no source.
const BARS_FOR_A_LINE = 8;

const SEEDS = 16;

const improvisedLine = (
  changes: Progression,
  scale: Scale,
  leftOver: LeftOver,
  recipe: FullDrillRecipe,
): { readonly line: GeneratedLine; readonly remarks: readonly string[] } => {
  const { seed, level, values, octaves, rules, tempo: played, lineTempo: tempo = played } = recipe;
  const turns = Math.max(1, Math.ceil(BARS_FOR_A_LINE / changes.bars));
  const chords = turnStarts(changes, turns).flatMap((start) => changes.chords.map((span) => moved(span, start)));
  const voicings = leftOver(turns);
  const drawn = (from: number): GeneratedLine =>
    generateLine(
      { ...changes, bars: turns * changes.bars, chords },
      {
        seed: from,
        scale,
        voicings,
        tempo: tempo * beatsToNumber(pulseLength(changes.metre)),
        level,
        values,
        ...(octaves && { highest: pitch(`C${(4 + octaves) as 5 | 6 | 7}`) }),
      },
    );
  let line = drawn(seed);
  if (rules === undefined) return { line, remarks: [] };
  let broken = breaches(line, changes, voicings, recipe);
  for (let next = 1; next < SEEDS && broken.length > 0; next++) {
    const other = drawn((seed + next) % (MOST_SEED + 1));
    const fewer = breaches(other, changes, voicings, recipe);
    if (fewer.length < broken.length) [line, broken] = [other, fewer];
  }
  const instead =
    line.seed === seed ? [] : [`Seed ${line.seed} in place of ${seed}: its line keeps your rules better.`];
  return { line, remarks: [...instead, ...broken] };
};

/** Where a line breaks the rules that the recipe holds it to, in words. */
const breaches = (
  { events, phrases, scale }: Line,
  changes: Progression,
  voicings: readonly NoteEvent[],
  { rules = [], tempo: played, lineTempo: tempo = played }: FullDrillRecipe,
): readonly string[] => {
  const stretches = metreStretches(changes);
  return stretches.flatMap(({ metre, bar: first, at }, i) => {
    const end = stretches[i + 1]?.at;
    const here = <T extends TimeSpan>(spans: readonly T[]): readonly T[] =>
      changes.metres === undefined
        ? spans
        : spans
            .filter((span) => compareBeats(span.at, at) >= 0 && (end === undefined || compareBeats(span.at, end) < 0))
            .map((span) => ({ ...span, at: subtractBeats(span.at, at) }));
    return checkLine(here(events), {
      chords: here(changes.chords),
      metre,
      scale,
      voicings: here(voicings),
      phrases: here(phrases),
      tempo: tempo * beatsToNumber(pulseLength(metre)),
      rules,
    }).findings.map(
      ({ rule, bar, beat, message }) => `Bar ${bar + first - 1}, beat ${formatBeats(beat)}: ${message} (${rule}).`,
    );
  });
};

/** What is to be said of voicings in another style than was asked for, and of those that leave notes to nobody. */
const remarksOn = ({ voicings, fallbacks }: VoicedProgression): readonly string[] => {
  const shared = [...new Set(voicings.filter(({ hands }) => hands.includes("right")).map(({ style }) => style))];
  return [
    ...new Set(fallbacks.map(({ message }) => `${message}.`)),
    ...shared.map((style) => `Of ${style} voicings, which are for two hands, the left hand plays its own notes.`),
  ];
};

const listed = (names: readonly string[]): string =>
  names.length < 2 ? names.join("") : `${names.slice(0, -1).join(", ")} and ${names.at(-1) ?? ""}`;

/** Who plays the bass notes of slash chords. */
const bassesTold = (
  { voicings }: VoicedProgression,
  row: LeftHandRow,
  { backing }: FullDrillRecipe,
): readonly string[] => {
  const unsaid = voicings.filter(({ chord, bass }) => chord.bass !== chord.root && bass === undefined);
  const names = [...new Set(unsaid.map(({ chord }) => formatChord(chord)))];
  if (names.length === 0) return [];
  const notes = `${names.length === 1 ? "The bass note" : "The bass notes"} of ${listed(names)}`;
  const parts = isManner(row) ? row.cells : [row, ...(row.others ?? [])];
  const struck = parts.some(({ hits }) => hits.some(({ play }) => play === "root"));
  if (struck) return [`${notes}: the left hand's own, where its pattern has the root.`];
  return backing === "none"
    ? [`${notes}: in no part here; sing it, or play it before the chord.`]
    : [`${notes}: left to the bass.`];
};

const laidOutOver = (
  spans: readonly ChordSpan[],
  { voicings }: VoicedProgression,
  lowBass: boolean,
): readonly LaidOutChord[] =>
  voicings.flatMap((voicing, i) => {
    const span = spans[i];
    return span === undefined ? [] : [chordLaidOut(span, voicing, { dropBass: lowBass })];
  });
/** What is to be said of bars in a metre that the pattern or the exercise does not have. */
const metreRemarks = (changes: Progression, comping: LeftHandRow, { events }: Line): readonly string[] => {
  const stretches = metreStretches(changes);
  return [
    ...new Set(
      stretches.slice(1).flatMap(({ metre, at, bar }, i) => {
        const end = stretches[i + 2]?.at;
        const plays = events.some(
          (event) => compareBeats(event.at, at) >= 0 && (end === undefined || compareBeats(event.at, end) < 0),
        );
        return [
          ...(isManner(comping) || fitsMetre(comping, metre)
            ? []
            : [`In ${formatMetre(metre)} the left hand holds its chords: ${comping.id} has no bar of it.`]),
          ...(plays
            ? []
            : [`From bar ${bar}, in ${formatMetre(metre)}, the right hand rests: the exercise has no bar of it.`]),
        ];
      }),
    ),
  ];
};

const leftHand = (
  spans: readonly ChordSpan[],
  voiced: VoicedProgression,
  turns: number,
  row: LeftHandRow,
  recipe: FullDrillRecipe,
  changes: Progression,
  heard?: Line,
): readonly NoteEvent[] => {
  const { metre, metres } = formOverTurns(changes, turns);
  const laidOut = laidOutOver(spans, voiced, recipe.lowBass);
  const inTurns = (chords: readonly LaidOutChord[]): readonly LaidOutChord[] =>
    turnStarts(changes, turns).flatMap((start) => chords.map((chord) => moved(chord, start)));
  const { pickup } = recipe;
  if (!isManner(row)) return withLeftFingers(comp(inTurns(laidOut), { metre, metres, pattern: row, pickup }));
  const melody =
    heard === undefined
      ? []
      : overTurns(heard.events, formOverTurns(changes, heard.bars / changes.bars), (turns * changes.bars) / heard.bars);
  const chords = inTurns(withOthers(laidOut, voiced.voicings, recipe));
  return withLeftFingers(drawnOver(row, chords, { ...drawnBy(recipe, changes), metres, melody, pickup }).events);
};

/** What comping that listens is drawn by. */
const drawnBy = (recipe: FullDrillRecipe, { metre }: Progression) => ({
  metre,
  seed: recipe.seed,
  level: levelOf(recipe),
  tempo: recipe.tempo * beatsToNumber(pulseLength(metre)),
});

const levelOf = ({ right, level }: FullDrillRecipe): 1 | 2 | 3 | 4 | 5 =>
  right === "improvised" || right === "comping" ? (level ?? 3) : exerciseRow(right).level;

/** How far the top of another position may lie from the first, in semitones, and how many there are: our choice, no source. */
const NEARBY = 7;
const POSITIONS = 2;
/** Of so many notes the top one may stay away. */
const FEWEST_TO_THIN = 4;

/** Chords with the nearest other positions in their own style, for one hand, free of mud. */
const withOthers = (
  laidOut: readonly LaidOutChord[],
  voicings: readonly Voicing[],
  recipe: FullDrillRecipe,
): readonly LaidOutChord[] => {
  const known = new Map<string, LaidOutChord["others"]>();
  const styles = stylesOf(recipe);
  return laidOut.map((chord, i) => {
    const voicing = nth(voicings, i);
    const key = `${voicing.chord.symbol} ${chord.all.map(pitchName).join(" ")}`;
    return { ...chord, others: kept(known, key, () => othersOf(chord, voicing, styles, recipe)) };
  });
};

const othersOf = (
  chord: LaidOutChord,
  voicing: Voicing,
  styles: ReturnType<typeof stylesOf>,
  recipe: FullDrillRecipe,
): NonNullable<LaidOutChord["others"]> => {
  const style = styles.find((one) => (typeof one === "string" ? one : one.style) === voicing.style);
  const options = { style, span: spanOf(recipe), dropBass: recipe.lowBass, lowIntervals: "forbid" as const };
  const found = style === undefined ? [] : (attempt(() => [...voicingsFor(voicing.chord, options)]) ?? []);
  const away = (one: LaidOutChord): number => Math.abs(nth(one.all, -1).semitones - nth(chord.all, -1).semitones);
  const same = (one: LaidOutChord): boolean => one.all.map(pitchName).join() === chord.all.map(pitchName).join();
  const nearest = found
    .filter(({ hands }) => hands.every((hand) => hand === "left"))
    .map((other) => chordLaidOut(chord, other, { dropBass: recipe.lowBass }))
    .filter((one) => !same(one) && away(one) <= NEARBY)
    .sort((a, b) => away(a) - away(b))
    .slice(0, POSITIONS)
    .map(({ chord: struck, all }) => ({ chord: struck, all }));
  const thinned = { chord: chord.chord.slice(0, -1), all: chord.all.slice(0, -1) };
  return chord.all.length < FEWEST_TO_THIN ? nearest : [...nearest, thinned];
};

/** Music with the chords of a pickup before bar 1: the left hand holds each, on the smoothest way to the first chord. */
export const withPickup = (
  music: Music,
  changes: Progression,
  { voicings }: VoicedProgression,
  recipe: FullDrillRecipe,
): Music => {
  const { pickupChords = [] } = changes;
  const sounding = pickupChords.filter(({ chord }) => chord !== undefined);
  const [first] = voicings;
  if (first === undefined || sounding.length === 0)
    return pickupChords.length === 0 ? music : { ...music, chords: [...pickupChords, ...music.chords] };
  const after = { ...changes.chords[0], at: ZERO, duration: barLength(changes.metre), chord: first.chord };
  const lead = voiceProgression(
    { ...changes, bars: 1, chords: [...sounding, after], metres: undefined },
    {
      style: stylesOf(recipe),
      colour: recipe.colour,
      aims: recipe.aims,
      span: spanOf(recipe),
      loop: false,
      dropBass: recipe.lowBass,
    },
  );
  const laidOut = laidOutOver(sounding, { ...lead, voicings: lead.voicings.slice(0, -1) }, recipe.lowBass);
  const held = withLeftFingers(laidOut.map(({ at, duration, all }): NoteEvent => ({ at, duration, pitches: all })));
  // A quick pickup into bar 1 is left out where a chord is held.
  const left = music.left.filter(({ at }) => at.num >= 0);
  return { ...music, chords: [...pickupChords, ...music.chords], left: [...held, ...left] };
};

/** What the right hand strikes where both hands comp, once through. */
const rightHandOf = (
  spans: readonly ChordSpan[],
  voiced: VoicedProgression,
  row: LeftHandRow,
  scale: Scale,
  changes: Progression,
  recipe: FullDrillRecipe,
): Line => {
  const { metre, metres, bars } = changes;
  const laidOut = laidOutOver(spans, voiced, false);
  const struck = isManner(row)
    ? drawnOver(row, laidOut, { ...drawnBy(recipe, changes), metres, pickup: recipe.pickup, hand: "right" }).events
    : comp(laidOut, { metre, metres, pattern: row, hand: "right" });
  const events = struck.map(
    (event): NoteEvent => ({ ...event, fingers: fingerChord(event.pitches, { hand: "right" }).fingers }),
  );
  return { kind: "line", id: "comping", scale, metre, metres, bars, events, phrases: [] };
};

// Right-hand lines lie up to C7 (common practice, no source); two octaves from D5, over close chords that leave no other room, end at D7 (ours).
const HIGHEST = midiNumber(pitch("D7"));
const OCTAVE = interval("P8");

const raised = (hands: Hands): Hands | undefined => {
  const events = hands.line.events.map(anOctaveUp);
  return events.every(({ pitches }) => pitches.every((p) => midiNumber(p) <= HIGHEST))
    ? { ...hands, line: { ...hands.line, events } }
    : undefined;
};

const anOctaveUp = ({ pitches, graces, ...event }: NoteEvent): NoteEvent => ({
  ...event,
  pitches: pitches.map((p) => transpose(p, OCTAVE)),
  ...(graces && { graces: graces.map((grace) => ({ ...grace, pitch: transpose(grace.pitch, OCTAVE) })) }),
});

const lowestOf = ({ events }: Line): number =>
  events.reduce((lowest, { pitches }) => Math.min(lowest, midiNumber(nth(pitches, 0))), Infinity);

/** How many notes of the right hand lie below a key that the left hand holds meanwhile; what a pattern strikes ends before it strikes again. */
const crossings = ({ left, line }: Hands, turns: number): number => {
  const held = left(turns).map(({ at, duration, pitches }) => ({
    from: beatsToNumber(at),
    to: beatsToNumber(addBeats(at, duration)),
    top: nth(pitches, -1).semitones,
  }));
  let first = 0;
  return line.events.filter(({ at, duration, pitches }) => {
    const from = beatsToNumber(at);
    const to = beatsToNumber(addBeats(at, duration));
    while ((held[first]?.to ?? Infinity) <= from) first += 1;
    for (let i = first; (held[i]?.from ?? Infinity) < to; i++) {
      if (nth(held, i).top > nth(pitches, 0).semitones) return true;
    }
    return false;
  }).length;
};

/** Refuses what is too long. */
export const requireShort = (bars: number, chords: number): void => {
  if (bars <= MOST_BARS && chords <= MOST_CHORDS) return;
  throw new MusicError({
    code: "drill/long",
    input: { bars, chords },
    expected: `at most ${MOST_BARS} bars and ${MOST_CHORDS} chords, repeats counted`,
    hint: "shorter changes, or fewer repeats",
  });
};
