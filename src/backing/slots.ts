import type { TimeSpan } from "../event/index.ts";
import { MusicError } from "../ground/errors.ts";
import { nth } from "../ground/list.ts";
import { pedalsOf } from "../harmony/inner.ts";
import type { Progression } from "../progression/index.ts";
import type { Beats, Metre } from "../time/index.ts";
import {
  addBeats,
  barLength,
  beats,
  compareBeats,
  divideBeats,
  equalBeats,
  formatMetre,
  multiplyBeats,
  pulseLength,
  pulseTime,
  subtractBeats,
} from "../time/index.ts";
import { barStartInMetres, metreStretches, placeInMetres } from "../time/inner.ts";
import type { BassPlay, BassRow } from "./bass-catalogue.ts";
import { bassCatalogue } from "./bass-catalogue.ts";
import type { BassHarmony } from "./harmony.ts";
import { harmonyOf } from "./harmony.ts";

/** A place in the bass part that wants a note. */
export interface BassSlot extends TimeSpan {
  readonly harmony: BassHarmony;
  /** A new chord enters here. */
  readonly enters: boolean;
  /** A new chord enters where this note ends. */
  readonly leads: boolean;
  /** The pitch classes that the place is for; `undefined` where the manner leaves it free. */
  readonly only: readonly number[] | undefined;
  /** Its chord stands over a bass note that stays. */
  readonly pedal: boolean;
  /** Where in the bar: its first beat, the middle of a bar of an even number of pulses, or elsewhere. */
  readonly place: "downbeat" | "middle" | "other";
}

const endOf = (span: TimeSpan): Beats => addBeats(span.at, span.duration);

/** Pulses in a bar; `undefined` where they are not whole. */
export const pulsesIn = (m: Metre): number | undefined => {
  const pulses = divideBeats(barLength(m), pulseLength(m));
  return pulses.den === 1 ? pulses.num : undefined;
};

/** A place of a whole bar, and what it is for. */
interface Onset {
  readonly at: Beats;
  readonly play: BassPlay;
  readonly place: BassSlot["place"];
}

const barIn = (row: BassRow, pulses: number | undefined) =>
  row.bars.find((candidate) => pulses !== undefined && pulses % candidate.pulses === 0);

/** Whether a manner has a bar of each metre. */
export const playsBass = (row: BassRow, metres: readonly Metre[]): boolean =>
  metres.every((m) => barIn(row, pulsesIn(m)) !== undefined);

/** The row's bar for a metre, the strokes repeated to fill it. */
const onsetsIn = (row: BassRow, m: Metre, first: boolean): readonly Onset[] => {
  const pulses = pulsesIn(m);
  const bar = barIn(row, pulses);
  if (pulses === undefined || bar === undefined) {
    // In a bar on the way that the manner does not have, roots are held.
    if (!first) return [];
    throw new MusicError({
      code: "backing/metre",
      input: formatMetre(m),
      expected: `a metre that ${row.id} bass has a bar of`,
      ...(pulses === undefined
        ? {}
        : {
            hint: `${bassCatalogue
              .filter(({ bars }) => bars.some((b) => pulses % b.pulses === 0))
              .map(({ id }) => id)
              .join(", ")} fit`,
          }),
      reason: "cannot-be-done",
    });
  }
  return Array.from({ length: pulses / bar.pulses }, (_, i) =>
    bar.at.map((place, n): Onset => {
      const at = pulseTime(addBeats(beats(place), beats(i * bar.pulses)), m);
      return { at, play: bar.play?.[n] ?? "free", place: placeOf(at, m) };
    }),
  ).flat();
};

const placeOf = (offset: Beats, m: Metre): BassSlot["place"] => {
  if (offset.num === 0) return "downbeat";
  const middle = middleOf(m);
  return middle !== undefined && equalBeats(offset, middle) ? "middle" : "other";
};

/** Stretches of one chord; neighbouring spans of the same chord are one, spans without chord none. */
interface Stretch extends TimeSpan {
  readonly harmony: BassHarmony;
}

const stretchesOf = ({ chords: spans, key }: Pick<Progression, "chords" | "key">): readonly Stretch[] => {
  const stretches: Stretch[] = [];
  for (const { at, duration, chord } of spans) {
    if (chord === undefined) continue;
    const last = stretches.at(-1);
    if (last !== undefined && last.harmony.chord.canonical === chord.canonical && equalBeats(endOf(last), at)) {
      stretches[stretches.length - 1] = { ...last, duration: addBeats(last.duration, duration) };
    } else stretches.push({ at, duration, harmony: harmonyOf(chord, key) });
  }
  return stretches;
};

/**
 * Every place for a note, in order: where a chord enters, and from there on wherever the row has one in the bar.
 *
 * @param around - whether the first chord follows the last
 * @param ending - whether the last chord has one long note
 */
export const slotsOf = (
  progression: Pick<Progression, "chords" | "key" | "metre" | "metres" | "bars">,
  row: BassRow,
  around: boolean,
  ending = false,
): readonly BassSlot[] => {
  const bars = barsOf(progression, row);
  const stretches = stretchesOf(progression);
  const pedals = new Set(
    pedalsOf(stretches.map(({ harmony, ...span }) => ({ ...span, chord: harmony.chord }))).flatMap(({ from, to }) =>
      Array.from({ length: to - from + 1 }, (_, i) => from + i),
    ),
  );
  const end = barStartInMetres(progression, progression.bars + 1);
  return stretches.flatMap((stretch, i) => {
    const next =
      stretches[i + 1] ??
      (around && compareBeats(endOf(stretch), end) >= 0 && stretches[0]?.at.num === 0 ? stretches[0] : undefined);
    const joins = next !== undefined && (next === stretches[0] || equalBeats(endOf(stretch), next.at));
    const ends = ending && i === stretches.length - 1;
    const { bar, offset, metre } = placeInMetres(progression, stretch.at);
    const first: Onset = { at: stretch.at, play: "root", place: placeOf(offset, metre) };
    const starts = ends ? [first] : onsetsOver(first, endOf(stretch), bars, bar);
    return starts.map(({ at, play, place }, n): BassSlot => {
      const last = n === starts.length - 1;
      return {
        at,
        duration: subtractBeats(starts[n + 1]?.at ?? endOf(stretch), at),
        harmony: stretch.harmony,
        enters: n === 0,
        leads: last && joins,
        only: n === 0 ? undefined : pedals.has(i) ? [stretch.harmony.bass] : classesFor(play, stretch.harmony),
        pedal: pedals.has(i),
        place,
      };
    });
  });
};

const classesFor = (play: BassPlay, { bass, fifth }: BassHarmony): readonly number[] | undefined =>
  play === "free" ? undefined : play === "root" ? [bass] : play === "fifth" ? [fifth] : [bass, fifth];

const middleOf = (m: Metre): Beats | undefined => {
  const pulses = pulsesIn(m) ?? 1;
  return pulses > 2 && pulses % 2 === 0 ? multiplyBeats(barLength(m), beats("1/2")) : undefined;
};

/** A bar with the places of its metre. */
interface BarOfOnsets {
  readonly at: Beats;
  readonly onsets: readonly Onset[];
}

const barsOf = (form: Pick<Progression, "metre" | "metres" | "bars">, row: BassRow): readonly BarOfOnsets[] =>
  metreStretches(form).flatMap(({ metre, bar, at, bars }, i) => {
    const onsets = onsetsIn(row, metre, i === 0);
    const length = barLength(metre);
    return Array.from({ length: Math.min(bars, form.bars - bar + 1) }, (_, n) => ({
      at: addBeats(at, multiplyBeats(length, beats(n))),
      onsets,
    }));
  });

const onsetsOver = (first: Onset, end: Beats, bars: readonly BarOfOnsets[], from: number): readonly Onset[] => {
  const starts = [first];
  for (let b = from - 1; b < bars.length; b++) {
    const bar = nth(bars, b);
    if (compareBeats(bar.at, end) >= 0) break;
    for (const { at: offset, play, place } of bar.onsets) {
      const at = addBeats(bar.at, offset);
      if (compareBeats(at, first.at) > 0 && compareBeats(at, end) < 0) starts.push({ at, play, place });
    }
  }
  return starts;
};
