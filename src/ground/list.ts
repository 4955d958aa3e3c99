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
