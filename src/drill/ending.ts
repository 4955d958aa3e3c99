import { chordLaidOut } from "../comping/inner.ts";
import type { NoteEvent } from "../event/index.ts";
import { fingerChord } from "../fingering/index.ts";
import { nth } from "../ground/list.ts";
import type { Pitch } from "../pitch/index.ts";
import { interval, pitchAtOrAbove, transpose } from "../pitch/index.ts";
import type { ChordSpan, Progression } from "../progression/index.ts";
import type { FullDrillRecipe } from "../recipe/index.ts";
import { barsAfter, spanOf, stylesOf, tonicAtEnd } from "../recipe/inner.ts";
import { barLength, compareBeats, ZERO } from "../time/index.ts";
import { barStartInMetres, metreOfBar } from "../time/inner.ts";
import type { VoicedProgression } from "../voice-leading/index.ts";
import { voiceProgression } from "../voice-leading/index.ts";
import { withLeftFingers } from "./left-fingers.ts";
import type { Music } from "./music.ts";
import { barsOf, moved } from "./music.ts";

/** What comes after the last repeat: the tag, if one is asked for, and a bar in which all hold the tonic. */
export const closingOf = (
  changes: Progression,
  once: Music,
  { voicings }: VoicedProgression,
  recipe: FullDrillRecipe,
): Music => {
  const form = { ...changes, bars: once.bars, metres: undefined };
  const { tag: count } = barsAfter(recipe, changes, once.bars);
  const none: Music = { bars: 0, chords: [], left: [], right: [] };
  const tag = count === 0 ? none : barsOf(once, form, [once.bars - count + 1, once.bars]);
  const metre = metreOfBar(changes, changes.bars);
  const at = barStartInMetres({ metre }, count + 1);
  const chord = tonicAtEnd(changes);
  const span: ChordSpan = { at, duration: barLength(metre), chord };
  const before = nth(voicings, -1);
  const { voicings: last } = voiceProgression(
    {
      ...changes,
      metre,
      metres: undefined,
      bars: 2,
      chords: [
        { at: ZERO, duration: barLength(metre), chord: before.chord },
        { at: barLength(metre), duration: barLength(metre), chord },
      ],
    },
    {
      // Whatever the pattern is, here it is held.
      style: stylesOf({ ...recipe, comping: "held" }),
      colour: recipe.colour,
      aims: recipe.aims,
      span: spanOf(recipe),
      loop: false,
      hands: recipe.right === "comping" ? "both" : "either",
      dropBass: recipe.lowBass,
    },
  );
  const laidOut = chordLaidOut(span, nth(last, -1), { dropBass: recipe.lowBass });
  const held = withLeftFingers([{ at, duration: span.duration, pitches: laidOut.all }]);
  const right = rightAtEnd(once, laidOut.right, nth(laidOut.all, -1), changes);
  return {
    bars: count + 1,
    chords: [...tag.chords, span],
    left: [...tag.left, ...held],
    right: [
      ...tag.right,
      ...(right.length === 0
        ? []
        : [{ at, duration: span.duration, pitches: right, fingers: fingerChord(right, { hand: "right" }).fingers }]),
    ],
    ...(tag.phrases && { phrases: tag.phrases }),
  };
};

const OCTAVE = interval("P8");

/** The right hand's part of the chord, or the tonic nearest to its last note, above the left hand. */
const rightAtEnd = (
  { right }: Music,
  own: readonly Pitch[] | undefined,
  top: Pitch,
  { key }: Progression,
): readonly Pitch[] => {
  if (own !== undefined) return own;
  const last = right.at(-1)?.pitches.at(-1);
  if (last === undefined) return [];
  const above = pitchAtOrAbove(key.tonic, last);
  const below = transpose(above, interval("-P8"));
  const nearest = above.semitones - last.semitones <= last.semitones - below.semitones ? above : below;
  return [nearest.semitones > top.semitones ? nearest : nearest === below ? above : transpose(above, OCTAVE)];
};

/** Music with what comes after it. */
export const withClosing = (music: Music, closing: Music, end: NoteEvent["at"]): Music => {
  const after = <T extends NoteEvent>(items: readonly T[]): readonly T[] => items.map((item) => moved(item, end));
  // What is struck early for the first bar of a turn that does not come has no place here.
  const within = (items: readonly NoteEvent[]): readonly NoteEvent[] =>
    items.filter(({ at }) => compareBeats(at, end) < 0);
  return {
    ...music,
    bars: music.bars + closing.bars,
    chords: [...music.chords, ...closing.chords.map((span) => moved(span, end))],
    left: [...within(music.left), ...after(closing.left)],
    right: [...within(music.right), ...after(closing.right)],
    ...((music.phrases || closing.phrases) && {
      phrases: [...(music.phrases ?? []), ...(closing.phrases ?? []).map((span) => moved(span, end))],
    }),
  };
};
