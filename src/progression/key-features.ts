/** What is measured of a key, in the order of the weights. */
export const KEY_FEATURES = [
  "tonic",
  "first",
  "two-five-one",
  "minor",
  "rest",
  "last-rest",
  "arrivals",
  "section-ends",
  "blues",
  "outside",
  "profile",
] as const;
export type Feature = (typeof KEY_FEATURES)[number];
