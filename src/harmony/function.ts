/**
 * What a chord does. `"applied-dominant"` leads to a chord that is not the tonic of the whole, `"related-two"` is its ii;
 * `"substitute-dominant"` lies a semitone above what it leads to, `"backdoor-dominant"` a whole tone below its tonic;
 * `"leading-diminished"` lies a semitone below what it leads to, `"passing-diminished"` between or over its neighbours; `"blues"` is a dominant seventh
 * at rest on I or IV; `"borrowed"` comes from the minor of a major key; `"colour"` is none of these.
 */
export type HarmonicFunction =
  | "tonic"
  | "subdominant"
  | "dominant"
  | "applied-dominant"
  | "related-two"
  | "substitute-dominant"
  | "backdoor-dominant"
  | "leading-diminished"
  | "passing-diminished"
  | "blues"
  | "borrowed"
  | "colour";
