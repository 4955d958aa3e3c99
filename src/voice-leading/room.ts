/**
 * Room for the search's tables, which is used again by the next search: a short progression would spend more time on new typed arrays than on
 * its path. Only searches that fit in it take it, and no search runs inside of another.
 */
const MOST = 8192;
const ROOM = { floats: new Float64Array(MOST), whole: new Int32Array(MOST) };

let [floatsTaken, wholeTaken] = [0, 0];

/** All room is free again. */
export const clearRoom = (): void => {
  floatsTaken = 0;
  wholeTaken = 0;
};

/** So many zeros. */
export const floats = (length: number): Float64Array => {
  const end = floatsTaken + length;
  if (end > MOST) return new Float64Array(length);
  const part = ROOM.floats.subarray(floatsTaken, end).fill(0);
  floatsTaken = end;
  return part;
};

/** So many zeros, for whole numbers. */
export const wholes = (length: number): Int32Array => {
  const end = wholeTaken + length;
  if (end > MOST) return new Int32Array(length);
  const part = ROOM.whole.subarray(wholeTaken, end).fill(0);
  wholeTaken = end;
  return part;
};
