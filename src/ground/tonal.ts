import { ScaleType } from "tonal";

/** A scale of tonal's dictionary: its names and its intervals as degrees ("1", "b3", "#4"). */
export interface DictionaryScale {
  readonly name: string;
  readonly aliases: readonly string[];
  readonly degrees: readonly string[];
}

// tonal writes an interval as number and quality, "3m" or "4A".
const degreeOf = (interval: string): string => {
  const [, number = "", quality = ""] = /^(\d+)([PMmAd]+)$/.exec(interval) ?? [];
  const perfect = ["1", "4", "5", "8"].includes(number);
  const sign =
    quality === "P" || quality === "M"
      ? ""
      : quality === "m"
        ? "b"
        : quality.startsWith("A")
          ? "#".repeat(quality.length)
          : "b".repeat(quality.length + (perfect ? 0 : 1));
  return sign + number;
};

/** Every scale of tonal's dictionary, in its order. */
export const dictionaryScales = (): readonly DictionaryScale[] =>
  ScaleType.all().map((s) => ({ name: s.name, aliases: s.aliases, degrees: s.intervals.map(degreeOf) }));
