import type { Key } from "../pitch/index.ts";
import { pitchClassOf } from "../pitch/index.ts";
import { isMinor } from "./family.ts";
import type { Unit } from "./search.ts";

/** The key of the whole, under any name. */
export type Home = Pick<Key, "tonic" | "mode">;

/** Whether the tonic chord is a dominant seventh more often than not. */
export const isBluesy = (units: readonly Unit[], home: Home): boolean => {
  const tonics = units.filter(({ root, family }) => family !== "o" && root === pitchClassOf(home.tonic));
  return 2 * tonics.filter(({ family }) => family === "7").length > tonics.length;
};

// Tenths of a point. The charts that the others were learnt from were annotated by a rule that hears V7 at the end of a blues as the I7 of
// another one, and the I7 before it as that one's IV7.
const AT_HOME = 600;
const BLUES: readonly number[] = [0, 5, 7];

/**
 * Points taken from keys away from home. In any major key a IV7 between two tonic chords is at home; and where there is one in a piece whose tonic is
 * a dominant seventh, and I7, IV7 and V7 are half of it or more, a blues, they all are, but one that has its own ii before it (common practice, no source).
 */
export const awayFrom = (units: readonly Unit[], home: Home): ((i: number, key: number) => number) | undefined => {
  const tonic = pitchClassOf(home.tonic);
  const number = tonic + (home.mode === "major" ? 0 : 12);
  const degrees = units.map(({ root }) => (root - tonic + 12) % 12);
  const dominant = units.map(({ family }) => family === "7");
  const between = degrees.map(
    (degree, i) =>
      dominant[i] === true && home.mode === "major" && degree === 5 && degrees[i - 1] === 0 && degrees[i + 1] === 0,
  );
  if (!between.includes(true)) return undefined;
  const lengthOf = (all: readonly Unit[]): number => all.reduce((sum, { length }) => sum + length, 0);
  const three = units.filter((_, i) => dominant[i] === true && BLUES.includes(degrees[i] ?? -1));
  const blues = isBluesy(units, home) && 2 * lengthOf(three) >= lengthOf(units);
  const atHome = units.map(({ root }, i) => {
    const before = units[i - 1];
    const led = before !== undefined && before.root === (root + 7) % 12 && isMinor(before.family);
    return between[i] || (blues && dominant[i] === true && !led && BLUES.includes(degrees[i] ?? -1));
  });
  return (i, key) => (key !== number && atHome[i] === true ? AT_HOME : 0);
};
