/**
 * Feel: how written time becomes sounding time.
 *
 * @module swing
 */
export type { Feel, FeelPart, PartFeel, SwingRatio, SwungFeelOptions } from "./feel.ts";
export { partFeel, straight, swingRatio, swungFeel } from "./feel.ts";
export { soundingSpan, soundingTime, writtenTime } from "./sounding.ts";
