import * as v from "valibot";

/** A place in pulses from the start of a bar or cell, as a whole number or a fraction such as `"7/2"`. */
export const placeSchema = /* @__PURE__ */ v.pipe(
  v.string(),
  v.regex(/^\d{1,3}(\/[1-9]\d?)?$/, 'a place in pulses, such as "0" or "7/2"'),
);

/** A place as a number, for comparing. */
export const placeOf = (at: string): number => {
  const [num = "0", den = "1"] = at.split("/");
  return Number(num) / Number(den);
};

/** Whether places come one after the other inside so many pulses. */
export const placesRise = (places: readonly string[], pulses: number): boolean =>
  places.every((at, i) => placeOf(at) < pulses && (i === 0 || placeOf(at) > placeOf(places[i - 1] ?? "0")));
