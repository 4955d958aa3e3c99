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

/** What a chord takes from where it stands: degrees to be played where a form has room, others that may be, and those that are not added. */
export interface Dress {
  readonly id: string;
  readonly add: readonly Degree[];
  readonly may: readonly Degree[];
  readonly avoid: readonly Degree[];
}

/** The degrees that fill a form on a chord; `undefined` where a note finds none. */
const filled = (
  form: FullVoicing,
  tones: readonly Degree[],
  added: readonly Degree[],
  avoided: readonly Degree[],
): readonly Degree[] | undefined => {
  const degrees: Degree[] = [];
  for (const step of form.degrees) {
    const own = isRole(step)
      ? firstOf(tones, ROLES[step])
      : (firstOf(tones, namesOf(step)) ??
        (firstOf(added, namesOf(step)) === undefined && !form.tensions.includes(step)
          ? undefined
          : mayBeAdded(step, tones) && !avoided.includes(step)
            ? step
            : undefined));
    if (own === undefined) return undefined;
    degrees.push(own);
  }
  return degrees;
};

/** Whether a degree is what a symbol is written for: an alteration, or a plain extension. Root, 3rd, plain 5th and 7th are what every form shares. */
const isColour = (degree: Degree, plainToo: boolean): boolean =>
  !/^([b#]*[137]|5)$/.test(degree) && (plainToo || /^[b#]/.test(degree));

// What "alt" stands for: it names a scale to choose from.
const ALTERED: readonly Degree[] = ["b9", "#9", "#11", "b13"];
const EXTENSIONS: readonly Degree[] = ["13", "11", "9"];

/**
 * The degrees that a symbol names: its alterations, its 6th, and the highest of its plain extensions; the 9 of a 13 is implied.
 *
 * Source: common practice, no source.
 */
export const namedIn = (tones: readonly Degree[]): readonly Degree[] => {
  if (ALTERED.every((degree) => tones.includes(degree))) return [];
  const highest = firstOf(tones, EXTENSIONS);
  return tones.filter(
    (degree) => isColour(degree, false) || degree === highest || degree === "6" || degree === "2" || degree === "4",
  );
};

/** A form with the degrees that it takes on a certain kind of chord. */
export interface Fit {
  readonly ready: ReadyForm;
  readonly degrees: readonly Degree[];
  /** Its notes but a bass that is struck by itself. */
  readonly stacked: Stack;
  /** The widest stretch of one hand. */
  readonly span: number;
  /** Degrees that the symbol names and it has no room for. */
  readonly leftOut: readonly Degree[];
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
 * The forms that fit a chord, in their order: of all that could be played, those of each style which leave out the fewest of the degrees that
 * the symbol names, so that G7♭9 gets its ♭9; then those that sound most of what its place adds; then the most of all its colours. Three notes
 * have room for one colour, so plain extensions are not asked of them. What was found for a kind of chord is kept, whatever its root.
 */
export const fitting = (chord: Chord, set: FormSet, dress?: Dress): readonly Fit[] => fitsOf(chord, set, dress, false);

/**
 * The forms that a chord may move through while it lasts: those that leave out no more of what the symbol names than the best, and sound some of
 * what its place adds; how many colours they have beside does not matter.
 */
export const fittingOn = (chord: Chord, set: FormSet, dress?: Dress): readonly Fit[] => fitsOf(chord, set, dress, true);

const fitsOf = (chord: Chord, { forms, fits }: FormSet, dress: Dress | undefined, lasting: boolean): readonly Fit[] => {
  let kind = `${dress?.id ?? ""}${lasting ? "+" : ""}`;
  for (const { degree } of chord.tones) kind += ` ${degree}`;
  const before = fits.get(kind);
  if (before !== undefined) return before;
  if (fits.size >= MOST_KINDS) fits.clear();
  const found = find(
    chord.tones.map(({ degree }) => degree),
    forms,
    dress,
    lasting,
  );
  fits.set(kind, found);
  return found;
};

interface Ranked {
  readonly ready: ReadyForm;
  readonly degrees: readonly Degree[];
  readonly leftOut: readonly Degree[];
  /** Compared one after another, the most first. */
  readonly rank: readonly number[];
}

const comparedTo = (a: readonly number[], b: readonly number[]): number => {
  const i = a.findIndex((value, at) => value !== b[at]);
  return i < 0 ? 0 : (a[i] ?? 0) - (b[i] ?? 0);
};

// A root a minor ninth above a 7th: common practice, no source.
const grates = ({ bass }: ReadyForm, degrees: readonly Degree[], { semitones }: Stack): boolean => {
  const upper = bass ? degrees.slice(1) : degrees;
  const seventh = upper.indexOf("7");
  const root = upper.indexOf("1", seventh + 1);
  return seventh >= 0 && root > 0 && (semitones[root] ?? 0) - (semitones[seventh] ?? 0) === 13;
};

const NO_DRESS: Omit<Dress, "id"> = { add: [], may: [], avoid: [] };

const find = (
  tones: readonly Degree[],
  forms: readonly ReadyForm[],
  dress: Dress | undefined,
  lasting: boolean,
): readonly Fit[] => {
  const found: Ranked[] = [];
  const most = new Map<string, readonly number[]>();
  const named = namedIn(tones);
  const { add, may, avoid } = dress ?? NO_DRESS;
  const added = [...add, ...may];
  for (const ready of forms) {
    const { form } = ready;
    const degrees = filled(form, tones, added, avoid);
    if (degrees === undefined || !serves(form, tones)) continue;
    const leftOut = named.filter((degree) => firstOf(degrees, namesOf(degree)) === undefined);
    // A note that is doubled counts once.
    const sounding = [...new Set(degrees)];
    const colours = sounding.filter((degree) => tones.includes(degree) && isColour(degree, degrees.length > 3)).length;
    const missed = leftOut.filter((degree) => isColour(degree, degrees.length > 3)).length;
    const rank = [-missed, sounding.filter((degree) => add.includes(degree)).length, colours];
    found.push({ ready, degrees, leftOut, rank });
    const before = most.get(form.style);
    if (before === undefined || comparedTo(rank, before) > 0) most.set(form.style, rank);
  }
  const enough = (rank: readonly number[], best: readonly number[]): boolean =>
    lasting
      ? rank[0] === best[0] && Math.min(1, rank[1] ?? 0) >= Math.min(1, best[1] ?? 0)
      : comparedTo(rank, best) === 0;
  return found
    .filter(({ ready: { form }, rank }) => enough(rank, most.get(form.style) ?? rank))
    .flatMap(({ ready, degrees, leftOut }) => {
      const stacked = stack(ready.bass ? degrees.slice(1) : degrees);
      const widths = ready.held.map(([from, to]) => (stacked.semitones[to] ?? 0) - (stacked.semitones[from] ?? 0));
      return grates(ready, degrees, stacked) ? [] : [{ ready, degrees, stacked, span: Math.max(...widths), leftOut }];
    });
};
