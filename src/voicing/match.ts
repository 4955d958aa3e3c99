import type { Chord } from "../chord/index.ts";
import type { Hand } from "../event/index.ts";
import type { Degree } from "../pitch/index.ts";
import { parsePitch } from "../pitch/index.ts";
import type { ChordRole, FullVoicing, VoicingRow } from "./form.ts";
import type { Stack } from "./place.ts";
import { stack } from "./place.ts";
import { full } from "./row.ts";

/** A row ready for matching and placing. */
export interface ReadyForm {
  readonly form: FullVoicing;
  /** Whether its lowest note is a bass that is struck by itself. */
  readonly bass: boolean;
  readonly hands: readonly Hand[];
  /** Where each hand's notes begin and end among the notes but the bass. */
  readonly held: readonly (readonly [from: number, to: number])[];
  /** The register's window in semitones. */
  readonly from: number;
  readonly to: number;
  readonly ofTop: boolean;
  readonly width: number;
}

const ROLES: Readonly<Record<ChordRole, readonly Degree[]>> = {
  third: ["3", "b3", "4", "2"],
  fifth: ["5", "b5", "#5", "b13"],
  seventh: ["7", "b7", "bb7", "6"],
};

// A chord may hold a form's degree under another name: an octave away (6 and 13, 9 and 2, 11 and 4), or as an altered
// fifth, which sounds as ♭13 and ♯11 do.
const OTHER_NAMES: Readonly<Partial<Record<Degree, readonly Degree[]>>> = {
  "2": ["9"],
  "9": ["2"],
  b2: ["b9"],
  b9: ["b2"],
  "#2": ["#9"],
  "#9": ["#2"],
  "4": ["11"],
  "11": ["4"],
  "#4": ["#11"],
  "#11": ["#4", "b5"],
  b4: ["b11"],
  b11: ["b4"],
  "6": ["13"],
  "13": ["6"],
  b6: ["b13"],
  b13: ["b6", "#5"],
  "#6": ["#13"],
  "#13": ["#6"],
};
const namesOf = (degree: Degree): readonly Degree[] => [degree, ...(OTHER_NAMES[degree] ?? [])];

const letterOf = (degree: Degree): number => Number(degree.replace(/^[b#]+/, "")) % 7;

const USUAL_WIDTH = 10;

const ready = (row: VoicingRow): ReadyForm => {
  const form = full(row);
  const { groups, register } = form;
  const ofTop = register.of === "top";
  let at = 0;
  return {
    form,
    bass: groups.some((group) => group.bass === true),
    hands: groups.flatMap((group) => Array<Hand>(group.notes).fill(group.hand)),
    held: groups.filter((group) => group.bass !== true).map((group) => [at, (at += group.notes) - 1] as const),
    from: parsePitch(register.from).semitones,
    to: parsePitch(register.to).semitones,
    ofTop,
    width: register.width ?? (ofTop ? USUAL_WIDTH : 0),
  };
};

const READY = /* @__PURE__ */ new WeakMap<VoicingRow, ReadyForm>();

/** A row, which has been checked, made ready once. */
export const readyForm = (row: VoicingRow): ReadyForm => {
  const before = READY.get(row);
  if (before !== undefined) return before;
  const made = ready(row);
  READY.set(row, made);
  return made;
};

/** The first of some degrees that a chord has. */
const firstOf = (tones: readonly Degree[], degrees: readonly Degree[]): Degree | undefined =>
  degrees.find((degree) => tones.includes(degree));

const serves = (form: FullVoicing, tones: readonly Degree[]): boolean =>
  form.serves.some(
    ({ has = [], not = [] }) =>
      firstOf(tones, not.flatMap(namesOf)) === undefined &&
      has.every((degree) => firstOf(tones, namesOf(degree)) !== undefined),
  );

// No 9 beside ♭9, no 13 beside ♭13 or ♯5.
const mayBeAdded = (tension: Degree, tones: readonly Degree[]): boolean =>
  !tones.some((tone) => letterOf(tone) === letterOf(tension) || (tone === "#5" && letterOf(tension) === 6));

const isRole = (step: Degree | ChordRole): step is ChordRole => step in ROLES;

/** The degrees that fill a form on a chord; `undefined` where a note finds none. */
const filled = (form: FullVoicing, tones: readonly Degree[]): readonly Degree[] | undefined => {
  const degrees: Degree[] = [];
  for (const step of form.degrees) {
    const own = isRole(step)
      ? firstOf(tones, ROLES[step])
      : (firstOf(tones, namesOf(step)) ?? (form.tensions.includes(step) && mayBeAdded(step, tones) ? step : undefined));
    if (own === undefined) return undefined;
    degrees.push(own);
  }
  return degrees;
};

/** Whether a degree is what a symbol is written for: an alteration, or a plain extension. Root, 3rd, plain 5th and 7th are what every form shares. */
const isColour = (degree: Degree, plainToo: boolean): boolean =>
  !/^([b#]*[137]|5)$/.test(degree) && (plainToo || /^[b#]/.test(degree));

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
  const degrees = chord.tones.map((tone) => tone.degree);
  const kind = degrees.join(" ");
  const before = fits.get(kind);
  if (before !== undefined) return before;
  if (fits.size >= MOST_KINDS) fits.clear();
  const found = find(degrees, forms);
  fits.set(kind, found);
  return found;
};

const find = (tones: readonly Degree[], forms: readonly ReadyForm[]): readonly Fit[] => {
  const found: { readonly ready: ReadyForm; readonly degrees: readonly Degree[]; readonly colours: number }[] = [];
  const most = new Map<string, number>();
  for (const ready of forms) {
    const { form } = ready;
    const degrees = filled(form, tones);
    if (degrees === undefined || !serves(form, tones)) continue;
    const colours = degrees.filter((degree) => tones.includes(degree) && isColour(degree, degrees.length > 3)).length;
    found.push({ ready, degrees, colours });
    most.set(form.style, Math.max(most.get(form.style) ?? 0, colours));
  }
  return found
    .filter(({ ready: { form }, colours }) => colours === most.get(form.style))
    .map(({ ready, degrees }) => {
      const stacked = stack(ready.bass ? degrees.slice(1) : degrees);
      const widths = ready.held.map(([from, to]) => (stacked.semitones[to] ?? 0) - (stacked.semitones[from] ?? 0));
      return { ready, degrees, stacked, span: Math.max(...widths) };
    });
};
