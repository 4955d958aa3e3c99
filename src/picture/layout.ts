/** Sizes of the keyboard in user units. */
export const WHITE = { width: 36, height: 150 } as const;
export const BLACK = { width: 22, height: 94 } as const;

const BLACK_CLASSES: readonly boolean[] = [
  false,
  true,
  false,
  true,
  false,
  false,
  true,
  false,
  true,
  false,
  true,
  false,
];
// A real keyboard sets the black keys off the middle of the gap, outward in each group; in tenths of a white key.
const SHIFT: Readonly<Record<number, number>> = { 1: -1, 3: 1, 6: -1.4, 8: 0, 10: 1.4 };

const modulo = (n: number, m: number): number => ((n % m) + m) % m;

/** Whether a key, counted in semitones from C0, is black. */
export const isBlack = (key: number): boolean => BLACK_CLASSES[modulo(key, 12)] === true;

// White keys below a key, counted from C0.
const whitesBelow = (key: number): number => {
  const within = modulo(key, 12);
  return Math.floor(key / 12) * 7 + BLACK_CLASSES.slice(0, within).filter((black) => !black).length;
};

/** A stretch of keys, white at both ends. */
export interface KeyRange {
  readonly low: number;
  readonly high: number;
}

/** The stretch round some keys, widened to where the groups of black keys begin and end (C or F below, E or B above). */
export const rangeAround = (lowest: number, highest: number): KeyRange => {
  let low = lowest;
  while (![0, 5].includes(modulo(low, 12))) low--;
  let high = highest;
  while (![4, 11].includes(modulo(high, 12))) high++;
  return { low, high };
};

/** Left edge of a key. */
export const leftOf = (key: number, { low }: KeyRange): number => {
  const whites = whitesBelow(key) - whitesBelow(low);
  return isBlack(key)
    ? whites * WHITE.width - BLACK.width / 2 + ((SHIFT[modulo(key, 12)] ?? 0) * WHITE.width) / 10
    : whites * WHITE.width;
};

/** Middle of a key. */
export const middleOf = (key: number, range: KeyRange): number =>
  leftOf(key, range) + (isBlack(key) ? BLACK.width : WHITE.width) / 2;

/** Width of a stretch of keys. */
export const widthOf = ({ low, high }: KeyRange): number => (whitesBelow(high) - whitesBelow(low) + 1) * WHITE.width;

/** The keys of a stretch of one colour. */
export const keysOf = ({ low, high }: KeyRange, black: boolean): readonly number[] =>
  Array.from({ length: high - low + 1 }, (_, i) => low + i).filter((key) => isBlack(key) === black);
