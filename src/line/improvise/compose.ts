import type { NoteEvent } from "../../event/index.ts";
import type { Chance } from "../../ground/chance.ts";
import { step } from "../../ground/watch.ts";
import { DIMINISHED, MAJOR, MINOR, RANGE } from "../../line-model/inner.ts";
import { beatsToNumber } from "../../time/index.ts";
import type { Grid } from "../grid.ts";
import { TICKS } from "../grid.ts";
import type { OpenNote } from "../rules/rule.ts";
import { entriesOf } from "./figures.ts";
import type { Brief, Frame } from "./frame.ts";
import type { Model } from "./model.ts";
import { INTERVALS } from "./model.ts";
import type { Drawn, Idea } from "./search.ts";
import { drawLine, likeliest, NOTHING } from "./search.ts";
import type { Setting, Settings } from "./setting.ts";

const MIDI_OF_C0 = 12;
// How much likelier a note near either end of the range is, from the end inwards: lines turn before they get there.
const EDGE = [0.3, 0.5, 0.75, 0.9];
// How much likelier the interval is that a motif asks for, and the note that it begins on.
const BONUS = { statement: 1, return: 60, variation: 60, answer: 10 } as const;
const AGAIN = 8;
// How much likelier an interval is that followed the same three before in the line, so that patterns come back as they do in the corpus.
const ECHO = 6;
const LONGEST = 3;
// Of a dominant that has so many notes of a phrase the third is stated.
const FEW = { easy: 3, hard: 4 } as const;
const EASY = 3;
// How much likelier a note is that lies under the left hand.
const UNDER = 0.02;
// How much likelier a note outside chord and scale is to be held for a beat than the corpus, which does not tell how long notes last, would have it. Ours, from reading lines.
const STANDING = 0.05;
// From so much of a beat on it stands.
const STANDS = 0.75;
// How much likelier than in the corpus an interval is that a hand has so many seconds for: it knows notes, and no hand. Ours.
const PACES: readonly {
  readonly below: number;
  readonly reach: readonly (readonly [semitones: number, factor: number])[];
}[] = [
  { below: Infinity, reach: [[12, 1]] },
  {
    below: 0.16,
    reach: [
      [7, 1],
      [12, 0.35],
    ],
  },
  {
    below: 0.1,
    reach: [
      [2, 1],
      [4, 0.8],
      [7, 0.35],
      [12, 0.05],
    ],
  },
];
const PASSED = [MAJOR, MINOR, DIMINISHED];
// How much likelier the last note of all is a tone of its chord.
const CLOSES = 12;
// How much likelier the notes of a palette are, and of the blues scales the fourth, the flat fifth and the flat third: so that over the I7 of a
// blues they come about as often as in the corpus.
const IN_PALETTE = { handful: 1.4, blues: 1.5, other: 1 } as const;
const BLUE = { handful: { 3: 0.85, 5: 1.7, 6: 2.6 }, other: { 3: 1, 5: 0.85, 6: 2.45 } } as const;

interface Sounding {
  readonly at: number;
  readonly end: number;
  readonly heights: readonly number[];
}

const sounding = (voicings: readonly NoteEvent[]): readonly Sounding[] =>
  voicings
    .map(({ at, duration, pitches }) => {
      const start = beatsToNumber(at) * TICKS;
      const end = start + beatsToNumber(duration) * TICKS;
      return { at: start, end, heights: pitches.map((p) => p.semitones + MIDI_OF_C0) };
    })
    .sort((a, b) => a.at - b.at);

/** The voicings that sound while a note does; notes are asked for in order of time. */
const soundingAt = (voiced: readonly Sounding[]) => {
  let first = 0;
  return (from: number, to: number): readonly Sounding[] => {
    while (first < voiced.length && (voiced[first]?.end ?? 0) <= from) first += 1;
    const found: Sounding[] = [];
    for (let i = first; i < voiced.length; i++) {
      const one = voiced[i];
      if (one === undefined || one.at >= to) break;
      if (one.end > from) found.push(one);
    }
    return found;
  };
};

/** Draws the pitches of each phrase in turn, each from the model given what came before it; or the index of the phrase that has none that keeps what must hold. */
export const compose = (briefs: readonly Brief[], frame: Frame, chance: Chance): readonly Drawn[] | number => {
  const drawn: Drawn[] = [];
  const echo = new Map<number, Float64Array>();
  const voicedAt = soundingAt(sounding(frame.voicings));
  for (const [k, brief] of briefs.entries()) {
    step();
    const source = brief.phrase.source === undefined ? undefined : drawn[brief.phrase.source];
    const idea = { ...ideaOf(brief, drawn.at(-1), source, frame, voicedAt), echo };
    const found = frame.likeliest ? likeliest(idea, frame.model) : drawLine(idea, frame.model, chance);
    if (found === undefined) return k;
    drawn.push(found);
    remember(found, frame.model, echo);
  }
  return drawn;
};

/** What followed each three intervals is likelier to follow them again. */
const remember = ({ pitches }: Drawn, { orders, next, start }: Model, echo: Map<number, Float64Array>): void => {
  let state = start;
  for (let i = 1; i < pitches.length; i++) {
    const d = (pitches[i] ?? 0) - (pitches[i - 1] ?? 0) + RANGE;
    if (orders[state] === LONGEST) {
      const row = echo.get(state) ?? new Float64Array(INTERVALS).fill(1);
      row[d] = ECHO;
      echo.set(state, row);
    }
    state = next[state * INTERVALS + d] ?? start;
  }
};

/** By pitch class, how much likelier a note is than the corpus alone would have it. */
const tiltOf = (setting: Setting, { palette, idiom }: Brief, { grade, tonic }: Frame): Float64Array => {
  const inside = grade.handful ? IN_PALETTE.handful : idiom === "blues" ? IN_PALETTE.blues : IN_PALETTE.other;
  const foreign = idiom === "melodic" ? grade.chromatic / 2 : grade.chromatic;
  const blue = new Map(Object.entries(grade.handful ? BLUE.handful : BLUE.other));
  return Float64Array.from({ length: 12 }, (_, sound) => {
    if (palette?.[sound] === 1)
      return idiom === "blues" ? inside * (blue.get(String((sound - tonic + 12) % 12)) ?? 1) : inside;
    const belongs = setting.belongs[sound] ?? 0;
    return belongs === 2 || (belongs === 1 && !grade.handful) ? 1 : foreign;
  });
};

const withPalette = (belongs: Uint8Array, palette: Uint8Array | undefined): Uint8Array =>
  palette === undefined ? belongs : belongs.map((own, sound) => Math.max(own, palette[sound] ?? 0));

const ideaOf = (
  brief: Brief,
  before: Drawn | undefined,
  source: Drawn | undefined,
  frame: Frame,
  voicedAt: ReturnType<typeof soundingAt>,
): Idea => {
  const { phrase, palette } = brief;
  const { model, settings, grid, grade, low, high, rules } = frame;
  const { notes } = phrase;
  const length = notes.length;
  const width = high - low + 1;
  const weight = new Float64Array(length * width);
  const may = new Uint8Array(length * width);
  const kind = new Int32Array(length);
  const root = new Int32Array(length);
  const place = new Int32Array(length);
  const wanted = new Int8Array(length).fill(NOTHING);
  const falls = new Int16Array(length).fill(-1);
  const start = new Float64Array(width);
  const slots = notes.map(({ at }) => settings.slot(at));
  const edge = Float64Array.from({ length: width }, (_, p) => (EDGE[p] ?? 1) * (EDGE[width - 1 - p] ?? 1));
  const tilts = new Map<Setting, { readonly tilt: Float64Array; readonly belongs: Uint8Array }>();
  const open = notes.map((note, i): OpenNote => {
    const setting = settings.at(note.at);
    const [left, entered] = [slots[i - 1] ?? -1, slots[i] ?? -1];
    if (left >= 0 && entered === left + 1 && settings.slots[left]?.falls === true) {
      const { seventh } = settings.at(notes[i - 1]?.at ?? 0);
      const { tells } = setting;
      if (seventh !== undefined && tells !== undefined) falls[i] = 12 * seventh + tells;
    }
    const end = note.at + note.duration;
    // A note struck just before a chord and held into it is heard over that chord.
    const later = settings.at(Math.max(note.at, Math.min(end - 1, note.at + grid.pulse / 2)));
    let known = tilts.get(setting);
    if (known === undefined)
      tilts.set(
        setting,
        (known = { tilt: tiltOf(setting, brief, frame), belongs: withPalette(setting.belongs, palette) }),
      );
    const { tilt, belongs } = known;
    // Blue notes may stand over the chords of a blues and over dominants; over others they pass.
    const stays = (over: Setting, sound: number): boolean =>
      (over.belongs[sound] ?? 0) > 0 || (palette?.[sound] === 1 && !PASSED.includes(over.kind));
    const last = i === length - 1;
    const held = note.duration >= grid.pulse;
    const standing = last || note.duration >= STANDS * grid.pulse;
    const heldInto = later === setting ? belongs : withPalette(later.belongs, palette);
    kind[i] = setting.kind * 12;
    root[i] = setting.root;
    const inBeat = note.at % grid.pulse;
    const onBeat = Math.round((note.at % grid.bar) / grid.pulse) % 2;
    place[i] = inBeat === 0 ? onBeat : 2 * inBeat === grid.pulse ? 2 : 3;
    for (let p = 0; p < width; p++) {
      const sound = (low + p) % 12;
      const ends = last ? (model.lasts[setting.kind * 12 + ((sound - setting.root + 12) % 12)] ?? 1) : 1;
      const stands = standing && !stays(setting, sound) && !stays(later, sound) ? STANDING : 1;
      const closes = last && brief.closes && belongs[sound] === 2 ? CLOSES : 1;
      weight[i * width + p] = (tilt[sound] ?? 1) * ends * (edge[p] ?? 1) * stands * closes;
    }
    const against: number[] = [];
    for (const { at, end: until, heights } of voicedAt(note.at, end)) {
      const together = Math.min(end, until) - Math.max(note.at, at) >= grid.pulse;
      for (const height of heights) {
        for (let p = 0; p <= Math.min(width - 1, height - low); p++)
          weight[i * width + p] = (weight[i * width + p] ?? 0) * UNDER;
        if (together) against.push(height);
      }
    }
    const same = later === setting;
    return {
      at: note.at / TICKS,
      duration: note.duration / TICKS,
      first: i === 0,
      last,
      held,
      onBeat: inBeat === 0,
      level: frame.level,
      belongs,
      later: heldInto,
      sour: same
        ? setting.sour
        : later.sour.map((sours, sound) =>
            later.belongs[sound] === 2 ? 0 : Math.max(sours, setting.sour[sound] ?? 0),
          ),
      foreign: same ? setting.banned : setting.banned.map((ban, sound) => Math.max(ban, later.banned[sound] ?? 0)),
      against,
    };
  });
  open.forEach((note, i) => {
    const tests = rules.flatMap(({ keep }) => keep?.(note) ?? []);
    for (let p = 0; p < width; p++) may[i * width + p] = tests.every((test) => test(low + p)) ? 1 : 0;
  });
  const leads = open.map((note, i) => {
    const next = open[i + 1];
    return next === undefined ? [] : rules.flatMap(({ lead }) => lead?.(note, next) ?? []);
  });
  const asks = leads.some((tests) => tests.length > 0);
  const setting = settings.at(notes[0]?.at ?? 0);
  const lastPitch = before?.pitches.at(-1);
  const again = phrase.role === "answer" ? undefined : source?.pitches[0];
  for (let p = 0; p < width; p++) {
    const degree = (low + p - setting.root + 120) % 12;
    const near =
      lastPitch === undefined
        ? Math.exp(-(((p - width / 2) / (width / 4)) ** 2))
        : (model.between[p - lastPitch + 2 * RANGE] ?? 0);
    const first = (model.firsts[setting.kind * 12 + degree] ?? 1) * (model.degrees[setting.kind * 12 + degree] ?? 1);
    start[p] = near * (weight[p] ?? 0) * first * (p === again ? AGAIN : 1);
  }
  if (source !== undefined)
    for (let i = 1; i < Math.min(phrase.taken, source.pitches.length, length); i++) {
      const d = (source.pitches[i] ?? 0) - (source.pitches[i - 1] ?? 0);
      wanted[i] = phrase.role === "answer" ? 0 - d : d;
    }
  const moves = Float64Array.from({ length: PACES.length * INTERVALS }, (_, at) => {
    const d = at % INTERVALS;
    const size = Math.abs(d - RANGE);
    const reach = PACES[Math.floor(at / INTERVALS)]?.reach.find(([most]) => size <= most)?.[1] ?? 0;
    return size > grade.widest ? 0 : reach * Math.sqrt(model.moves[phrase.kind * INTERVALS + d] ?? 1);
  });
  const pace = Uint8Array.from(notes, ({ at }, i) => {
    const seconds = ((at - (notes[i - 1]?.at ?? -Infinity)) / TICKS) * (60 / frame.tempo);
    return PACES.findLastIndex(({ below }) => seconds < below);
  });
  const entering = phrase.role === "statement" ? grade.vocabulary : 0;
  return {
    length,
    width,
    low,
    start,
    weight,
    kind,
    root,
    place,
    moves,
    pace,
    circling: grade.circling,
    falls,
    wanted,
    bonus: BONUS[phrase.role],
    entering,
    figures: frame.figures.steps,
    entries: entering > 0 ? entriesOf(frame.figures, brief, notes, frame, weight, width) : () => [],
    may,
    thirds: thirdsOf(
      slots,
      notes.map(({ at }) => settings.at(at)),
      brief.bare ? Infinity : FEW[frame.level > EASY ? "hard" : "easy"],
      settings,
      grid,
    ),
    allows: asks
      ? (i, p, from) => from === undefined || (leads[i - 1] ?? []).every((test) => test(low + from, low + p))
      : undefined,
  };
};

/** The stretches of a phrase over one dominant of two beats or more in which its third has to sound. */
const thirdsOf = (
  slots: readonly number[],
  heard: readonly Setting[],
  few: number,
  settings: Settings,
  grid: Grid,
): Idea["thirds"] => {
  const found: { first: number; last: number; sound: number; must: boolean }[] = [];
  let first = 0;
  slots.forEach((slot, i) => {
    if (slots[i + 1] === slot) return;
    const third = heard[i]?.third;
    const long = (settings.slots[slot]?.duration ?? 0) >= 2 * grid.pulse;
    if (third !== undefined && long) found.push({ first, last: i, sound: third, must: i + 1 - first >= few });
    first = i + 1;
  });
  return found;
};
