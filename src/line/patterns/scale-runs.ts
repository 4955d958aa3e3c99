import { nth } from "../../ground/list.ts";
import type { Pitch } from "../../pitch/index.ts";
import type { Scale } from "../../scale/index.ts";
import type { Tone } from "../draft.ts";
import { holdLength, layOut, runAndHold } from "../draft.ts";
import { beatCycle, runDurations } from "../grid.ts";
import { blueNoteBelow } from "../spelling.ts";
import type { Pattern } from "./context.ts";
import { bothWays, isBlue } from "./context.ts";

const plain = (ladder: readonly Pitch[]): readonly Tone[] => ladder.map((pitch) => ({ pitch }));

/** The scale from the tonic to the top tonic, held; back down, held. */
export const upAndDown: Pattern = (context) =>
  bothWays(context, plain(context.ladder), (tones) => runAndHold(tones, context.values, context.grid));

/**
 * The degrees that are slid into: the 3 and the 6 of a scale that has either, else the 5, else the tonic. Common
 * practice, no source: ♭3 into 3 and ♭6 into 6 are the slides of the major blues, ♭5 into 5 that of the minor.
 */
export const slideDegrees = (s: Scale): readonly string[] => {
  const degrees: readonly string[] = s.degrees;
  const usual = ["3", "6"].filter((degree) => degrees.includes(degree));
  if (usual.length > 0) return usual;
  return degrees.includes("5") ? ["5"] : ["1"];
};

/** Up and down, with a grace note a semitone below each slide note; where the scale holds that note, the slide replaces it. */
export const slides: Pattern = (context) => {
  const { ladder, scale, size } = context;
  const targets = slideDegrees(scale);
  const isTarget = (index: number): boolean => index > 0 && targets.includes(scale.degrees[index % size] as string);
  const tones = ladder.flatMap((pitch, i): readonly Tone[] => {
    const replaced = isTarget(i + 1) && ladder[i + 1]?.semitones === pitch.semitones + 1;
    if (replaced) return [];
    return [isTarget(i) ? { pitch, grace: blueNoteBelow(pitch) } : { pitch }];
  });
  return bothWays(context, tones, (run) => runAndHold(run, context.values, context.grid));
};

/** From each degree of the lowest octave up to the top tonic and down to the bottom one, held; over more octaves the top is held too. */
export const eachDegree: Pattern = ({ ladder, size, values, grid, direction }) =>
  Array.from({ length: size }, (_, degree) => {
    const there = direction === "up" ? ladder.slice(degree) : ladder.slice(0, ladder.length - degree).toReversed();
    const startsBlue = isBlue(ladder, ladder.indexOf(nth(there, 0)));
    const back = direction === "up" ? ladder.toReversed() : ladder;
    return ladder.length - 1 === size
      ? [runAndHold(plain([...there, ...back.slice(1)]), values, grid, startsBlue)]
      : [runAndHold(plain(there), values, grid, startsBlue), runAndHold(plain(back), values, grid)];
  }).flat();

/** The scale up and down, begun on the last part of beat 1 and landing on the last part of a beat, where the long note anticipates the next. */
export const offTheBeat: Pattern = (context) => {
  const { grid, values } = context;
  const beat = beatCycle(values, grid)[0] as readonly number[];
  const upbeat = nth(beat, -1);
  const landing = beat.slice(0, -1);
  return bothWays(context, plain(context.ladder), (tones) => {
    const lengths = [upbeat, ...runDurations(tones.length - 2 - landing.length, values, grid), ...landing];
    const from = grid.pulse - upbeat;
    const end = from + lengths.reduce((sum, length) => sum + length, 0);
    const hold = holdLength(end, grid);
    return { bars: (end + hold) / grid.bar, notes: layOut(tones, [...lengths, hold], from) };
  });
};

/** The scale up and down with an accent on every third note of a pair rhythm and every second of a triplet rhythm. */
export const displacedAccents: Pattern = (context) => {
  const { grid, values } = context;
  const every = values === "triplets" || grid.compound ? 2 : 3;
  return bothWays(context, context.ladder, (ladder) =>
    runAndHold(
      ladder.map((pitch, i): Tone => (i % every === 0 ? { pitch, accent: true } : { pitch })),
      values,
      grid,
    ),
  );
};
