import * as v from "valibot";
import { MusicError } from "../ground/errors.ts";
import type { KeyMode, NoteName } from "../pitch/index.ts";
import { parseNote } from "../pitch/index.ts";
import { parseProgression } from "../progression/index.ts";
import type { KeyOrder } from "../scale/index.ts";
import { drillKeys } from "./keys.ts";
import type { LevelId, RecipeForAnyKey } from "./levels.ts";
import { drillsFrom, drillsOfLevel, levelCatalogue } from "./levels.ts";
import type { DrillRecipe } from "./recipe.ts";
import { drillRecipeSchema, readRecipe } from "./recipe.ts";
import type { RightHandId } from "./right-hand.ts";
import { rightHandCatalogue } from "./right-hand.ts";

const tonic = v.pipe(v.string(), v.regex(/^[A-G][b#♭♯]?$/, "a note name such as Eb (minor keys by the field mode)"));
const rightHandId = v.picklist(rightHandCatalogue.map((row) => row.id));
const {
  changes,
  chartKey,
  left,
  comping,
  pickup,
  lowBass,
  scale,
  values,
  octaves,
  tempo,
  feel,
  backing,
  seed,
  repeats,
} = drillRecipeSchema.entries;

/**
 * A packet of drills in words and figures, as JSON: what {@link packetDrills} makes the recipes of single drills from. Unknown fields are
 * refused. Every field has a default, so `{}` is a whole recipe: levels 1 and 3 in all twelve keys.
 *
 * The fields of a drill stand in place of what each level would choose, in every drill of the packet.
 */
export type PacketRecipe = Omit<DrillRecipe, "key" | "right" | "level"> & {
  /** What the packet is called, on its index page. @defaultValue `"Practice packet"` */
  readonly title?: string | undefined;
  /**
   * All twelve, each spelled so that it reads best, or tonics in the order wanted, such as `["C", "F", "Bb"]`.
   * @defaultValue `"all"`
   */
  readonly keys?: "all" | readonly string[] | undefined;
  /** Order of all twelve. @defaultValue `"fourths"` */
  readonly order?: KeyOrder | undefined;
  /** Whether the keys are major or minor. @defaultValue as the changes are, and major where each level chooses its own */
  readonly mode?: KeyMode | undefined;
  /** The levels, each with a left hand, a progression and exercises of its own. @defaultValue `[1, 3]` */
  readonly levels?: readonly LevelId[] | undefined;
  /** How many of each level's exercises (an improvised line is among the first three; see {@link drillsOfLevel}), or which ones. @defaultValue 3 */
  readonly exercises?: number | readonly RightHandId[] | undefined;
};

/** A packet recipe with its defaults filled in; what is left to the levels stays away. */
export type FullPacketRecipe = Omit<PacketRecipe, "title" | "keys" | "order" | "levels" | "exercises"> & {
  readonly title: string;
  readonly keys: "all" | readonly string[];
  readonly order: KeyOrder;
  readonly levels: readonly LevelId[];
  readonly exercises: number | readonly RightHandId[];
};

/** What {@link PacketRecipe} says, as valibot checks it. */
export const packetRecipeSchema = v.strictObject({
  title: v.optional(v.pipe(v.string(), v.minLength(1), v.maxLength(200)), "Practice packet"),
  keys: v.optional(v.union([v.literal("all"), v.pipe(v.array(tonic), v.minLength(1), v.maxLength(30))]), "all"),
  order: v.optional(v.picklist(["fourths", "fifths", "chromatic"]), "fourths"),
  mode: v.optional(v.picklist(["major", "minor"])),
  levels: v.optional(
    v.pipe(v.array(v.picklist(levelCatalogue.map((row) => row.id))), v.minLength(1), v.maxLength(5)),
    [1, 3],
  ),
  exercises: v.optional(
    v.union([
      v.pipe(v.number(), v.integer(), v.minValue(1), v.maxValue(12)),
      v.pipe(v.array(rightHandId), v.minLength(1), v.maxLength(12)),
    ]),
    3,
  ),
  changes: v.optional(changes.wrapped),
  chartKey,
  left: v.optional(left.wrapped),
  comping,
  pickup: v.optional(pickup.wrapped),
  lowBass: v.optional(lowBass.wrapped),
  scale,
  values,
  octaves,
  tempo: v.optional(tempo.wrapped),
  feel: v.optional(feel.wrapped),
  backing: v.optional(backing.wrapped),
  seed: v.optional(seed.wrapped),
  repeats: v.optional(repeats.wrapped),
});

/** One drill of a packet, and where it stands in it. */
export interface PacketDrill {
  /** The tonic. */
  readonly key: NoteName;
  readonly level: LevelId;
  /** The how-manieth drill of its key and level, from 1. */
  readonly number: number;
  /** The whole recipe, as {@link makeDrill} takes it. */
  readonly recipe: DrillRecipe;
}

/**
 * Checks a packet recipe from any source and fills in its defaults.
 *
 * @param recipe - a value such as `JSON.parse` gives
 * @throws MusicError `drill/packet` for the first unknown field or bad value, with its path
 *
 * @example
 * ```ts
 * import { parsePacketRecipe } from "hands-together";
 *
 * parsePacketRecipe({ keys: ["Eb"] }).levels; // => [1, 3]
 * parsePacketRecipe({ keys: ["Eb", "H"] }); // throws "drill/packet"
 * ```
 */
export function parsePacketRecipe(recipe: unknown): FullPacketRecipe {
  return readRecipe(packetRecipeSchema, recipe, "drill/packet");
}

/**
 * The drills of a packet: key by key, and in each key level by level.
 *
 * A drill is what its level chooses, with the fields of the packet in their place. A key, level or exercise that is named twice comes once.
 *
 * @param recipe - keys, levels and what the drills have in common; every default is in {@link PacketRecipe}
 * @throws MusicError `drill/packet` for a recipe that can't be read or a mode that isn't that of its changes, and what `parseProgression` and
 * `parseScale` throw
 *
 * @example
 * ```ts
 * import { packetDrills } from "hands-together";
 *
 * packetDrills({}).length; // => 72
 * const lesson = packetDrills({ keys: ["C", "Eb"], levels: [1], exercises: ["turns"], changes: "Dm7 | G7 | Cmaj7", tempo: 80 });
 * lesson.map((drill) => drill.key); // => ["C", "Eb"]
 * lesson[1].recipe; // => { changes: "Dm7 | G7 | Cmaj7", chartKey: "C major", right: "turns", values: "eighths", octaves: 1, left: "shell", pickup: false, key: "Eb", tempo: 80 }
 * ```
 */
export function packetDrills(recipe: PacketRecipe): readonly PacketDrill[] {
  const {
    title: _title,
    keys,
    order,
    mode: asked,
    levels,
    exercises,
    chartKey: writtenIn,
    ...shared
  } = parsePacketRecipe(recipe);
  const chart =
    shared.changes === undefined
      ? undefined
      : parseProgression(shared.changes, writtenIn === undefined ? {} : { key: writtenIn });
  const mode = asked ?? chart?.key.mode ?? "major";
  if (chart !== undefined && chart.key.mode !== mode) {
    throw new MusicError({
      code: "drill/packet",
      input: mode,
      expected: `${chart.key.mode} at mode, as the changes are, or no mode`,
    });
  }
  const drills = [...new Set(levels)].flatMap((level) =>
    drillsAt(level, mode, exercises).map((drill, i) => ({ level, number: i + 1, drill })),
  );
  const inSymbols = chart?.chords.every((span) => span.numeral === undefined) === true;
  const common = { ...shared, ...(inSymbols ? { chartKey: `${chart.key.tonic} ${mode}` } : {}) };
  const first = chart ?? (drills[0]?.drill.changes as string);
  const tonics =
    keys === "all" ? drillKeys(first, shared.scale ?? `${mode} blues`, { order }) : [...new Set(keys.map(parseNote))];
  return tonics.flatMap((key) =>
    drills.map(({ level, number, drill }) => ({
      key,
      level,
      number,
      recipe: { ...drill, ...common, key: mode === "minor" ? `${key} minor` : key },
    })),
  );
}

const drillsAt = (
  level: LevelId,
  mode: KeyMode,
  exercises: FullPacketRecipe["exercises"],
): readonly RecipeForAnyKey[] =>
  typeof exercises === "number"
    ? drillsOfLevel(level, { mode }).slice(0, exercises)
    : drillsFrom(level, mode, [...new Set(exercises)]);
