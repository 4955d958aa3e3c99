/** A list by place, as arrays and typed arrays have it. */
interface Places<T> {
  readonly length: number;
  readonly [place: number]: T;
}

/**
 * The item at a place that is known to be there; from the end where the place is negative.
 *
 * Where the place is outside, something of ours is broken, so it is no error for a user.
 */
export const nth = <T>(list: Places<T>, place: number): T => {
  const item = list[place < 0 ? list.length + place : place];
  if (item === undefined) throw new RangeError(`no item ${place} among ${list.length}`);
  return item;
};

/** A value that is known to be there. */
export const known = <T>(value: T | undefined): T => {
  if (value === undefined) throw new RangeError("a value that was thought to be there is missing");
  return value;
};

/** The place of the first item of a list in order that is far enough on: the list's length where none is. */
export const firstPlace = <T>(list: Places<T>, isFar: (item: T) => boolean): number => {
  let [low, high] = [0, list.length];
  while (low < high) {
    const middle = (low + high) >> 1;
    if (isFar(nth(list, middle))) high = middle;
    else low = middle + 1;
  }
  return low;
};

/** The least of some numbers, however many; Infinity of none. */
export const least = (values: readonly number[]): number =>
  values.reduce((low, value) => Math.min(low, value), Infinity);

/** The greatest of some numbers, however many; -Infinity of none. */
export const greatest = (values: readonly number[]): number =>
  values.reduce((high, value) => Math.max(high, value), -Infinity);
