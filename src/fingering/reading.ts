import type { Finger } from "../event/index.ts";

// One reader a kind of list: an engine makes one that reads them all several times as slow.
const outside = (place: number): never => {
  throw new RangeError(`no item ${place}`);
};

/** What a place of a list of small numbers holds. */
export const byteAt = (list: Uint8Array, place: number): number => list[place] ?? outside(place);
/** What a place of a table of charges holds. */
export const costAt = (list: Int32Array, place: number): number => list[place] ?? outside(place);
/** What a place of a table of sums holds. */
export const sumAt = (list: Float64Array, place: number): number => list[place] ?? outside(place);
/** What a place of a list of steps holds. */
export const stepAt = (list: Int8Array, place: number): number => list[place] ?? outside(place);
/** What a place of a list of keys holds. */
export const heightAt = (list: Int16Array, place: number): number => list[place] ?? outside(place);
/** How the hand can lie at a moment. */
export const gripsAt = <G extends object>(list: readonly G[], moment: number): G => list[moment] ?? outside(moment);

const FINGERS: readonly Finger[] = [1, 2, 3, 4, 5];

/** The finger with a number, from 1. */
export const fingerOf = (number: number): Finger => FINGERS[number - 1] ?? outside(number);
