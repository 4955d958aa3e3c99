import * as v from "valibot";
import type { KeyMode } from "../pitch/index.ts";
import { parseKey } from "../pitch/index.ts";
import type { ProgressionRow } from "../progression/index.ts";
import { parseProgression } from "../progression/index.ts";
import { sharedFields } from "./drill.ts";
import type { Clash, Given } from "./field.ts";
import { answerOf, documentFields, field, listOf, plainDocument, refusedBy, rule, together } from "./field.ts";
import { exercisesShape, levelShape } from "./levels.ts";
import { readDocument } from "./read.ts";

/** The name of a key's tonic in lists of keys. */
export const tonic = v.pipe(
  v.string(),
  v.regex(/^[A-G][b#♭♯]?$/, "a note name such as Eb (minor keys by the field mode)"),
);

/** Fields of documents about many keys. */
export const keyFields = {
  keys: v.optional(
    field(
      v.union([v.literal("all"), listOf(tonic, 30)]),
      "Keys",
      'All twelve, each spelled so that it reads best, or tonics in the order wanted, such as "C F Bb Eb".',
    ),
    "all",
  ),
  order: v.optional(
    field(
      v.picklist(["fourths", "fifths", "chromatic", "easiest"]),
      "Order",
      "The order of all twelve keys; easiest: those first whose scale lies best under the right hand.",
    ),
    "fourths",
  ),
} as const;

/** Whether keys are major or minor. */
export const modeShape = v.picklist(["major", "minor"]);

/** The fields of a packet. */
export const packetFields = {
  title: v.optional(
    field(
      v.pipe(v.string(), v.minLength(1), v.maxLength(200)),
      "Title",
      "What the packet is called, on its index page.",
    ),
    "Practice packet",
  ),
  ...keyFields,
  mode: v.optional(
    field(
      modeShape,
      "Mode",
      "Major or minor keys (as the changes are, and major where each level chooses its own, unless given).",
    ),
  ),
  levels: v.optional(
    field(
      listOf(levelShape, 5),
      "Levels",
      "The levels, 1 to 5 or rows of one's own, each with a left hand, a progression and exercises.",
    ),
    [1, 3],
  ),
  exercises: v.optional(
    field(
      exercisesShape,
      "Exercises",
      'How many of each level\'s exercises (an improvised line is among the first three), or which, such as "turns slides improvised".',
    ),
    3,
  ),
  ...v.partial(v.strictObject(sharedFields)).entries,
} as const;

const packetObject = v.strictObject({ ...documentFields("packet"), ...packetFields });

type PacketDocument = v.InferOutput<typeof packetObject>;

/** Whether changes are in major or minor, as their last chord or their own key tells. */
export const modeOf = (changes: string | ProgressionRow, chartKey: string | undefined): KeyMode =>
  parseProgression(changes, chartKey === undefined ? {} : { key: chartKey }).key.mode;

const keysAndModeFit = rule<PacketDocument>(({ changes, chartKey, mode, keys }): readonly Clash<PacketDocument>[] => {
  const found = changes === undefined ? mode : answerOf(() => modeOf(changes, chartKey));
  if (typeof found === "object") return [{ field: "chartKey", expected: found.refused }];
  if (mode !== undefined && found !== mode)
    return [{ field: "mode", expected: `${found}, as the changes are, or no mode` }];
  return keys === "all"
    ? []
    : unreadKeys(keys, found ?? "major").map((expected): Clash<PacketDocument> => ({ field: "keys", expected }));
});

/** What is wrong with tonics in a mode: not each of them has a key there. */
export const unreadKeys = (keys: readonly string[], mode: KeyMode): readonly string[] =>
  keys.flatMap((key) => refusedBy(() => parseKey(`${key} ${mode}`)) ?? []);

/** What {@link PacketRecipe} says, as valibot checks it. */
export const packetRecipeSchema = v.pipe(
  packetObject,
  v.title("Packet"),
  v.description(
    "A packet of drills in words and figures: keys, levels, exercises, and what stands in place of each level's own choice. Every field has a default. No span or tempo is safe for every hand.",
  ),
  together(keysAndModeFit),
);

/**
 * A packet of drills in words and figures, as JSON: what `packetDrills` makes the recipes of single drills from. Unknown fields are
 * refused. Every field has a default, so `{}` is a whole recipe: levels 1 and 3 in all twelve keys.
 *
 * The fields of a drill stand in place of what each level would choose, in every drill of the packet. Each field is told in the JSON Schema
 * of a packet, `hands-together/schemas/packet.json`.
 */
export type PacketRecipe = Given<v.InferInput<typeof packetObject>>;

/** A packet recipe with its defaults filled in; what is left to the levels stays away. */
export type FullPacketRecipe = Given<Omit<v.InferOutput<typeof packetObject>, "$schema" | "kind" | "version">>;

/**
 * Checks a packet recipe from any source and fills in its defaults.
 *
 * @param recipe - a value such as `JSON.parse` gives
 * @throws MusicError `recipe/packet` for unknown fields, bad values and fields that don't go together: all that is wrong, each with its path
 *
 * @example
 * ```ts
 * import { parsePacketRecipe } from "hands-together";
 *
 * parsePacketRecipe({ keys: ["Eb"] }).levels; // => [1, 3]
 * parsePacketRecipe({ keys: ["Eb", "H"] }); // throws "recipe/packet"
 * ```
 */
export function parsePacketRecipe(recipe: unknown): FullPacketRecipe {
  return plainDocument(readDocument(packetRecipeSchema, recipe, "recipe/packet"));
}
