import * as v from "valibot";
import { attempt } from "../ground/attempt.ts";
import { check } from "../ground/check.ts";
import { drillFields, parseDrillRecipe } from "./drill.ts";
import { packetFields, parsePacketRecipe } from "./packet.ts";
import { parsePlanRecipe, planFields } from "./plan.ts";

/** A value as JSON with the fields of every object in order of their names, so that equal values are equal texts; functions by their source. */
export const canonicalJson = (value: unknown): string =>
  JSON.stringify(value, (_key, inner: unknown) =>
    typeof inner === "object" && inner !== null && !Array.isArray(inner)
      ? Object.fromEntries(Object.entries(inner).sort(([a], [b]) => (a < b ? -1 : a > b ? 1 : 0)))
      : typeof inner === "function" || typeof inner === "bigint"
        ? String(inner)
        : inner,
  );

const DOCUMENTS = {
  drill: { read: parseDrillRecipe, fields: drillFields },
  packet: { read: parsePacketRecipe, fields: packetFields },
  plan: { read: parsePlanRecipe, fields: planFields },
} as const;

// What is as it would be by itself is left out, so that a field that recipes get one day, or a better default, changes no name.
const withoutDefaults = (recipe: object, read: (recipe: object) => object, fields: v.ObjectEntries): object => {
  const whole = canonicalJson(recipe);
  let least: Readonly<Record<string, unknown>> = { ...recipe };
  for (const [name, field] of Object.entries(fields)) {
    if (field.type !== "optional" || !Object.hasOwn(least, name)) continue;
    const { [name]: value, ...rest } = least;
    const fixed = v.getDefault(field);
    const same =
      fixed === undefined
        ? attempt(() => canonicalJson(read(rest))) === whole
        : canonicalJson(fixed) === canonicalJson(value);
    if (same) least = rest;
  }
  return least;
};

const OFFSET = 0xcbf29ce484222325n;
const PRIME = 0x100000001b3n;
const MASK = (1n << 64n) - 1n;
const LETTERS = 8;

const kindShape = /* @__PURE__ */ v.picklist(["drill", "packet", "plan"]);

/** Eight letters and digits for a text. */
export const shortHash = (text: string): string => {
  let hash = OFFSET;
  for (const byte of new TextEncoder().encode(text)) hash = ((hash ^ BigInt(byte)) * PRIME) & MASK;
  // FNV alone carries a difference upwards only; one more round spreads it over all bits (the finalizer of MurmurHash3).
  hash = ((hash ^ (hash >> 33n)) * 0xff51afd7ed558ccdn) & MASK;
  hash = ((hash ^ (hash >> 33n)) * 0xc4ceb9fe1a85ec53n) & MASK;
  return (hash >> 24n).toString(32).padStart(LETTERS, "0");
};

/**
 * A short name for a recipe: equal for equal recipes, whatever the order of their fields and whether defaults are written out, and different
 * for different ones but for one chance in 2^40 for each two of them.
 *
 * Source: Fowler, G., Noll, L. C. & Vo, K.-P., FNV-1a with 64 bits (RFC 9923), mixed once more, its upper 40 bits in eight letters and digits.
 *
 * @throws MusicError `recipe/drill`, `recipe/packet` or `recipe/plan` for a recipe that can't be read
 *
 * @example
 * ```ts
 * import { recipeHash } from "hands-together";
 *
 * const hash = recipeHash("drill", { key: "Eb" });
 * hash.length; // => 8
 * recipeHash("drill", { tempo: 100, key: "Eb" }) === hash; // => true
 * recipeHash("drill", { tempo: 101, key: "Eb" }) === hash; // => false
 * ```
 */
export function recipeHash(kind: "drill" | "packet" | "plan", recipe: object): string {
  check(kindShape, kind, "recipe/argument");
  const { read, fields } = DOCUMENTS[kind];
  return shortHash(canonicalJson(withoutDefaults(read(recipe), read, fields)));
}
