import type { Chord } from "../chord/index.ts";
import type { Degree } from "../pitch/index.ts";
import type { ChordPattern, ChordRole, VoicingForm, VoicingStyle } from "./form.ts";

const numberOf = (degree: string): number => Number(degree.replace(/[b#]/g, ""));
const signOf = (degree: string): string => degree.replace(/\d/g, "");

// The other names under which a chord may hold a form's degree: an octave away (6 and 13, 9 and 2, 11 and 4), and
// the altered fifths that sound as ♭13 and ♯11.
const twinsOf = (degree: Degree): readonly Degree[] => {
  const number = numberOf(degree);
  const octave = number > 7 ? number - 7 : number + 7;
  const twins = number === 3 || number === 5 || number === 7 || number === 1 ? [] : [`${signOf(degree)}${octave}` as Degree];
  return degree === "b13" ? [...twins, "#5"] : degree === "#11" ? [...twins, "b5"] : twins;
};

const sameTone = (number: number): number => (number > 7 ? number - 7 : number);

/** A chord's degrees, ready to be asked for by a form. */
interface Tones {
  readonly degrees: ReadonlySet<Degree>;
  /** Beyond root, 3rd, plain 5th and 7th, which every form shares: what the symbol was written for. */
  readonly colours: readonly Degree[];
  /** Those of them that are no plain 9, 11, 13 or 6. */
  readonly alterations: readonly Degree[];
}

const tonesOf = (chord: Chord): Tones => {
  const degrees = chord.tones.map((tone) => tone.degree);
  const colours = degrees.filter((d) => d !== "5" && ![1, 3, 7].includes(numberOf(d)));
  return { degrees: new Set(degrees), colours, alterations: colours.filter((d) => signOf(d) !== "") };
};

const named = (tones: Tones, degree: Degree): Degree | undefined =>
  tones.degrees.has(degree) ? degree : twinsOf(degree).find((twin) => tones.degrees.has(twin));

const firstOf = (tones: Tones, choices: readonly Degree[]): Degree | undefined => choices.find((d) => tones.degrees.has(d));

const ROLES: Readonly<Record<ChordRole, readonly Degree[]>> = {
  third: ["3", "b3", "4", "2"],
  fifth: ["5", "b5", "#5", "b13"],
  seventh: ["7", "b7", "bb7", "6"],
};

const matches = (tones: Tones, pattern: ChordPattern): boolean =>
  (pattern.has ?? []).every((d) => named(tones, d) !== undefined) && (pattern.not ?? []).every((d) => named(tones, d) === undefined);

// An added tension must not meet another alteration of itself: no 9 beside ♭9, no 13 beside ♭13 or ♯5.
const clashes = (tones: Tones, tension: Degree): boolean => {
  const number = sameTone(numberOf(tension));
  for (const d of tones.degrees) {
    if (sameTone(numberOf(d)) === number) return true;
    if (number === 6 && d === "#5") return true;
  }
  return false;
};

/** A form's degrees as the chord names them; `undefined` when the form isn't for this chord. */
const resolve = (form: VoicingForm, tones: Tones): readonly Degree[] | undefined => {
  if (!form.serves.some((pattern) => matches(tones, pattern))) return undefined;
  const degrees: Degree[] = [];
  for (const step of form.degrees) {
    const degree = step in ROLES
      ? firstOf(tones, ROLES[step as ChordRole])
      : named(tones, step as Degree) ?? (form.tensions.includes(step as Degree) && !clashes(tones, step as Degree) ? step as Degree : undefined);
    if (degree === undefined) return undefined;
    degrees.push(degree);
  }
  return degrees;
};

/** A form with the degrees that it takes on a certain chord. */
export interface Fit {
  readonly form: VoicingForm;
  readonly degrees: readonly Degree[];
}

/**
 * The forms that fit a chord, in the given order: of all that could be played, those of each style which sound the
 * most of the colours that the symbol names, so that G7♭9 gets its ♭9. Three notes have room for one colour, so
 * plain extensions are not asked of them.
 */
export const fitting = (chord: Chord, forms: readonly VoicingForm[]): readonly Fit[] => {
  const tones = tonesOf(chord);
  const fits: (Fit & { readonly colours: number })[] = [];
  const most = new Map<VoicingStyle, number>();
  for (const form of forms) {
    const degrees = resolve(form, tones);
    if (degrees === undefined) continue;
    const wanted = degrees.length > 3 ? tones.colours : tones.alterations;
    const colours = wanted.filter((c) => degrees.includes(c)).length;
    most.set(form.style, Math.max(most.get(form.style) ?? 0, colours));
    fits.push({ form, degrees, colours });
  }
  return fits.filter((fit) => fit.colours === most.get(fit.form.style));
};
