import type { Chord } from "../chord/index.ts";
import type { Hand } from "../event/index.ts";
import type { Degree } from "../pitch/index.ts";
import { parsePitch } from "../pitch/index.ts";
import { voicingCatalogue } from "./catalogue.ts";
import { DEGREES, DEGREE_COUNT, idOf, isPlain, numberOf, octaveTwin } from "./degrees.ts";
import type { ChordRole, VoicingRow, VoicingStyle } from "./form.ts";
import type { Stack } from "./place.ts";
import { stack } from "./place.ts";

/** One note of a form: the degrees that may fill it, the likeliest first, and what it adds where the chord has none. */
interface Step {
  readonly accepted: readonly number[];
  /** The tension that may be added, or -1. */
  readonly tension: number;
  /** Other alterations of that tension, beside which it must not stand. */
  readonly clashes: readonly number[];
}

/** Degrees that a chord must have, each under any of its names, and degrees that it must not have. */
interface Pattern {
  readonly has: readonly (readonly number[])[];
  readonly not: readonly number[];
}

/** A row of the catalogue, ready for matching and placing. */
export interface ReadyForm {
  readonly form: VoicingRow;
  readonly steps: readonly Step[];
  readonly patterns: readonly Pattern[];
  /** Whether its lowest note is a bass that is struck by itself. */
  readonly bass: boolean;
  readonly hands: readonly Hand[];
  /** Where each hand's notes begin and end among the notes but the bass. */
  readonly held: readonly (readonly [from: number, to: number])[];
  /** The register's window in semitones. */
  readonly from: number;
  readonly to: number;
}

const ROLES: Readonly<Record<ChordRole, readonly Degree[]>> = {
  third: ["3", "b3", "4", "2"],
  fifth: ["5", "b5", "#5", "b13"],
  seventh: ["7", "b7", "bb7", "6"],
};

// A chord may hold a form's degree under another name: an octave away (6 and 13, 9 and 2, 11 and 4), or as an altered
// fifth, which sounds as ♭13 and ♯11 do.
const namesOf = (degree: Degree): readonly number[] => {
  const id = idOf(degree);
  const fifths = degree === "b13" ? [idOf("#5")] : degree === "#11" ? [idOf("b5")] : [];
  return [1, 3, 5, 7].includes(numberOf(id)) ? [id] : [id, octaveTwin(id), ...fifths];
};

const sameTone = (id: number): number => (numberOf(id) - 1) % 7;

// No 9 beside ♭9, no 13 beside ♭13 or ♯5.
const clashesOf = (tension: Degree): readonly number[] => {
  const tone = sameTone(idOf(tension));
  return DEGREES.flatMap((degree, id) => (sameTone(id) === tone || (tone === 5 && degree === "#5") ? [id] : []));
};

const ready = (form: VoicingRow): ReadyForm => {
  const bass = form.groups[0]?.bass === true;
  let at = 0;
  return {
    form,
    steps: form.degrees.map((step): Step => {
      const role = ROLES[step as ChordRole] as readonly Degree[] | undefined;
      if (role !== undefined) return { accepted: role.map(idOf), tension: -1, clashes: [] };
      const degree = step as Degree;
      const adds = form.tensions.includes(degree);
      return { accepted: namesOf(degree), tension: adds ? idOf(degree) : -1, clashes: adds ? clashesOf(degree) : [] };
    }),
    patterns: form.serves.map(({ has = [], not = [] }) => ({ has: has.map(namesOf), not: not.flatMap(namesOf) })),
    bass,
    hands: form.groups.flatMap((group) => Array<Hand>(group.notes).fill(group.hand)),
    held: form.groups.filter((group) => group.bass !== true).map((group) => [at, (at += group.notes) - 1] as const),
    from: parsePitch(form.register.from).semitones,
    to: parsePitch(form.register.to).semitones,
  };
};

/** The catalogue, ready. */
export const READY_FORMS: readonly ReadyForm[] = voicingCatalogue.map(ready);

// What a chord has at a degree; anything but nothing is a tone. Root, 3rd, plain 5th and 7th are what every form
// shares, the rest is what the symbol was written for: plain extensions, and alterations.
const NOTHING = 0;
const SHARED = 1;
const EXTENSION = 2;
const ALTERATION = 3;

const tonesOf = (chord: Chord): Uint8Array => {
  const tones = new Uint8Array(DEGREE_COUNT);
  for (const { degree } of chord.tones) {
    const id = idOf(degree);
    const number = numberOf(id);
    tones[id] = number === 1 || number === 3 || number === 7 || degree === "5" ? SHARED : isPlain(id) ? EXTENSION : ALTERATION;
  }
  return tones;
};

const firstOf = (tones: Uint8Array, ids: readonly number[]): number => {
  for (const id of ids) if (tones[id] !== NOTHING) return id;
  return -1;
};

const served = (tones: Uint8Array, patterns: readonly Pattern[]): boolean => {
  for (const { has, not } of patterns) {
    if (firstOf(tones, not) >= 0) continue;
    let all = true;
    for (const names of has) all &&= firstOf(tones, names) >= 0;
    if (all) return true;
  }
  return false;
};

/** A form with the degrees that it takes on a certain kind of chord. */
export interface Fit {
  readonly ready: ReadyForm;
  readonly degrees: readonly Degree[];
  /** Its notes but a bass that is struck by itself. */
  readonly stacked: Stack;
  /** The widest stretch of one hand. */
  readonly span: number;
}

/** Forms to choose from, and what they were found to give for kinds of chords. */
export interface FormSet {
  readonly forms: readonly ReadyForm[];
  readonly fits: Map<string, readonly Fit[]>;
}

export const formSet = (forms: readonly ReadyForm[]): FormSet => ({ forms, fits: new Map() });

// Far more kinds of chords than a chart has; a full memo is emptied.
const MOST_KINDS = 256;

/**
 * The forms that fit a chord, in their order: of all that could be played, those of each style which sound the
 * most of the colours that the symbol names, so that G7♭9 gets its ♭9. Three notes have room for one colour, so
 * plain extensions are not asked of them. What was found for a kind of chord is kept, whatever its root.
 */
export const fitting = (chord: Chord, { forms, fits }: FormSet): readonly Fit[] => {
  let kind = "";
  for (const { degree } of chord.tones) kind += `${degree} `;
  const before = fits.get(kind);
  if (before !== undefined) return before;
  if (fits.size >= MOST_KINDS) fits.clear();
  const found = find(tonesOf(chord), forms);
  fits.set(kind, found);
  return found;
};

const find = (tones: Uint8Array, forms: readonly ReadyForm[]): readonly Fit[] => {
  const found: { readonly ready: ReadyForm; readonly ids: readonly number[]; readonly colours: number }[] = [];
  const most = new Map<VoicingStyle, number>();
  for (const form of forms) {
    const ids = resolved(tones, form.steps);
    if (ids === undefined || !served(tones, form.patterns)) continue;
    const asked = ids.length > 3 ? EXTENSION : ALTERATION;
    const colours = ids.filter((id) => (tones[id] as number) >= asked).length;
    found.push({ ready: form, ids, colours });
    most.set(form.form.style, Math.max(most.get(form.form.style) ?? 0, colours));
  }
  return found.filter(({ ready: { form }, colours }) => colours === most.get(form.style)).map(({ ready: form, ids }) => {
    const stacked = stack(form.bass ? ids.slice(1) : ids);
    const widths = form.held.map(([from, to]) => (stacked.semitones[to] as number) - (stacked.semitones[from] as number));
    return { ready: form, degrees: ids.map((id) => DEGREES[id] as Degree), stacked, span: Math.max(...widths) };
  });
};

const resolved = (tones: Uint8Array, steps: readonly Step[]): readonly number[] | undefined => {
  const ids: number[] = [];
  for (const { accepted, tension, clashes } of steps) {
    const id = firstOf(tones, accepted);
    if (id < 0 && (tension < 0 || firstOf(tones, clashes) >= 0)) return undefined;
    ids.push(id < 0 ? tension : id);
  }
  return ids;
};
