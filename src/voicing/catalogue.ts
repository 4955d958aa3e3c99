import type { FullVoicing } from "./form.ts";
import { CLOSE, DROP_2, GUIDE_TONES, SHELLS, TENTHS } from "./frames.ts";
import { ROOTLESS, THREE_NOTE } from "./rootless.ts";
import { DROPPED, LOCKED, UPPER_STRUCTURES } from "./two-hands.ts";
import { FOURTHS, SPREAD } from "./wide.ts";

/**
 * Every voicing form, in the order in which {@link voicingsFor} tries them. A new voicing is one more row.
 *
 * Sources stand in each row; most are common practice, no source.
 *
 * @example
 * ```ts
 * import { voicingCatalogue } from "hands-together";
 *
 * voicingCatalogue.find((form) => form.id === "rootless-13-b")?.degrees; // => ["b7", "9", "3", "13"]
 * ```
 */
export const voicingCatalogue: readonly FullVoicing[] = [
  ...GUIDE_TONES,
  ...SHELLS,
  ...ROOTLESS,
  ...THREE_NOTE,
  ...CLOSE,
  ...DROP_2,
  ...DROPPED,
  ...FOURTHS,
  ...TENTHS,
  ...SPREAD,
  ...UPPER_STRUCTURES,
  ...LOCKED,
];
