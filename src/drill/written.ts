import { nth } from "../ground/list.ts";
import type { Progression, WrittenForm } from "../progression/index.ts";
import type { FullDrillRecipe } from "../recipe/index.ts";
import { sectionsPlayed, stretchesIn, writtenOut } from "../score/inner.ts";
import type { Beats } from "../time/index.ts";
import { addBeats, compareBeats, subtractBeats, ZERO } from "../time/index.ts";
import { barStartInMetres, metreOfBar } from "../time/inner.ts";
import type { Music } from "./music.ts";
import { barsOf, joinedMusic, movedMusic } from "./music.ts";

/** Whether repeats or jumps play some bars again. */
const goesBack = ({ bars, order }: WrittenForm): boolean =>
  order.length !== bars.length || order.some((bar, i) => bar !== i + 1);

/**
 * The bars of a progression as they are written, each once; `undefined` where it is written as it is played, or where a bar that is written is never
 * played.
 */
export const asWritten = (played: Progression): Progression | undefined => {
  const { form } = played;
  if (form === undefined || !goesBack(form)) return undefined;
  const first = form.bars.map((_, i) => form.order.indexOf(i + 1) + 1);
  if (first.includes(0)) return undefined;
  const metres = first.map((bar) => metreOfBar(played, bar));
  const changes = metres.flatMap((metre, i) => {
    const before = metres[i - 1];
    return before === undefined || (before.count === metre.count && before.unit === metre.unit)
      ? []
      : [{ bar: i + 1, metre }];
  });
  let at: Beats = ZERO;
  const chords = first.flatMap((bar) => {
    const [start, end] = [barStartInMetres(played, bar), barStartInMetres(played, bar + 1)];
    const moved = played.chords
      .filter((span) => compareBeats(span.at, start) >= 0 && compareBeats(span.at, end) < 0)
      .map((span) => ({ ...span, at: addBeats(subtractBeats(span.at, start), at) }));
    at = addBeats(at, subtractBeats(end, start));
    return moved;
  });
  const { metres: _, form: __, ...rest } = played;
  return {
    ...rest,
    metre: nth(metres, 0),
    ...(changes.length > 0 && { metres: changes }),
    bars: form.bars.length,
    chords,
    sections: [],
  };
};

/** A form over so many turns of it. */
export const formOver = ({ bars, order }: WrittenForm, turns: number): WrittenForm => {
  const all = Array.from({ length: turns }, (_, turn) => turn * bars.length);
  return { bars: all.flatMap(() => bars), order: all.flatMap((before) => order.map((bar) => before + bar)) };
};

const MOST_TIMES = 16;

/**
 * The form of a drill whose repeats are printed: once through, and the whole of it, which stands between repeat signs where it is played several
 * times and has none of its own. `undefined` where nothing comes again.
 */
export const formOnPaper = (
  played: Progression,
  turns: number,
  { bars, repeats }: Pick<FullDrillRecipe, "bars" | "repeats">,
): { readonly once: WrittenForm; readonly whole: WrittenForm | undefined } | undefined => {
  if (bars !== undefined) return undefined;
  const plain: WrittenForm = {
    bars: Array.from({ length: played.bars }, () => ({})),
    order: Array.from({ length: played.bars }, (_, i) => i + 1),
  };
  const once = formOver(played.form ?? plain, turns);
  const again = goesBack(once) && asWritten(played) !== undefined;
  // A page has one D.C. or D.S.
  if (again && turns * repeats > 1 && once.bars.some(({ jump }) => jump !== undefined))
    return { once, whole: writtenOut(sectionsPlayed(formOver(once, repeats))) };
  if (repeats === 1 || repeats > MOST_TIMES || goesBack(once))
    return again || (repeats > 1 && !goesBack(once)) ? { once, whole: formOver(once, repeats) } : undefined;
  const last = once.bars.length - 1;
  const signs = once.bars.map((bar, i) => ({
    ...bar,
    ...(i === 0 && { repeatStart: true }),
    ...(i === last && { repeatEnd: repeats }),
  }));
  return { once, whole: { bars: signs, order: Array.from({ length: repeats }, () => once.order).flat() } };
};

/** Music that was made for bars as they are written, in the order in which they are played. What is held where it goes back or leaves ends there. */
export const playedOut = (
  music: Music,
  written: Pick<Progression, "metre" | "metres" | "bars">,
  { order }: WrittenForm,
): Music => {
  const stretches = stretchesIn(order, written.bars);
  const pieces: Music[] = [];
  let at: Beats = ZERO;
  for (let i = 0; i < order.length; ) {
    const bar = nth(order, i);
    const { from, to } = nth(
      stretches,
      stretches.findIndex((stretch) => stretch.from === bar),
    );
    pieces.push(movedMusic(barsOf(music, written, [from, to]), at));
    at = addBeats(at, subtractBeats(barStartInMetres(written, to + 1), barStartInMetres(written, from)));
    i += to - from + 1;
  }
  const early = { ...music, left: music.left.filter((event) => event.at.num < 0), right: [], chords: [], phrases: [] };
  return joinedMusic([early, ...pieces], order.length);
};
