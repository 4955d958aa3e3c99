import type { KeyMode } from "../pitch/index.ts";
import type { Feature } from "./key-features.ts";

// Made by bench/likely-keys.ts from 194 first choruses with a stated major or minor key. Source: Weimar Jazz Database by way of jazzodata
// (MIT licence; Frieler, Pfleiderer, Zaddach, Abesser 2022); Pfleiderer, M. et al. (eds.) (2017), Inside the Jazzomat. Learnt on one half and
// tried on the other, both ways, the first key is right for 90.7 %. The weight of "outside" is set by hand.

/** How much each feature of a key counts. */
export const KEY_WEIGHTS: Readonly<Record<Feature, number>> = {
  tonic: 0.55,
  first: 1.27,
  "two-five-one": 0.7,
  minor: -0.67,
  rest: 0.56,
  "last-rest": 0.88,
  arrivals: 0.57,
  "section-ends": 0.93,
  blues: 1.2,
  outside: -8.0,
  profile: 1.55,
};

/** Logarithm of the share of time on each of twelve degrees, five families of chords each: major, dominant, minor, half-diminished, diminished. */
export const KEY_PROFILES: Readonly<Record<KeyMode, readonly number[]>> = {
  major: [
    -1.74, -1.98, -4.65, -7.12, -6.03, -4.68, -4.48, -5.55, -7.1, -5.52, -5.28, -3.03, -2.45, -5.56, -6.24, -4.98,
    -4.82, -4.9, -7.57, -5.35, -5.81, -4.05, -3.97, -5.35, -6.97, -3.87, -2.59, -4.25, -7.19, -6.73, -6.3, -5.28, -5.96,
    -5.74, -5.49, -5.45, -2.07, -4.6, -6.71, -7.57, -5.16, -4.5, -6.7, -7.01, -6.28, -6.6, -2.88, -4.0, -6.99, -7.07,
    -4.7, -3.96, -5.36, -7.57, -7.25, -5.78, -4.62, -6.05, -5.16, -6.9,
  ],
  minor: [
    -5.37, -3.78, -0.86, -5.8, -6.25, -5.05, -3.57, -4.21, -5.96, -6.25, -5.4, -3.94, -3.63, -3.6, -6.25, -4.25, -4.42,
    -5.03, -6.25, -6.25, -6.25, -6.25, -6.25, -5.55, -6.25, -5.07, -3.43, -2.81, -6.0, -6.25, -6.25, -5.36, -6.25,
    -5.84, -5.83, -5.74, -2.44, -5.01, -4.96, -6.25, -4.16, -3.38, -4.79, -6.25, -6.25, -6.25, -5.04, -5.72, -6.25,
    -6.25, -5.2, -4.21, -3.77, -6.25, -6.25, -5.63, -5.36, -6.25, -6.25, -6.25,
  ],
};
