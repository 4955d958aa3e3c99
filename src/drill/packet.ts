import type { KeyMode, NoteName } from "../pitch/index.ts";
import { parseNote } from "../pitch/index.ts";
import { parseProgression } from "../progression/index.ts";
import type { DrillRecipe, LevelId, LevelRow, PacketRecipe, RecipeForAnyKey } from "../recipe/index.ts";
import { drillsOfLevel, parsePacketRecipe } from "../recipe/index.ts";
import { drillKeys } from "./keys.ts";

/** One drill of a packet, and where it stands in it. */
export interface PacketDrill {
  /** The tonic. */
  readonly key: NoteName;
  readonly level: LevelId | LevelRow;
  /** The how-manieth drill of its key and level, from 1. */
  readonly number: number;
  /** The whole recipe, as {@link makeDrill} takes it. */
  readonly recipe: DrillRecipe;
}

/**
 * The drills of a packet: key by key, and in each key level by level.
 *
 * A drill is what its level chooses, with the fields of the packet in their place. A key, level or exercise that is named twice comes once.
 *
 * @param recipe - keys, levels and what the drills have in common; every default is in {@link PacketRecipe}
 * @throws MusicError `recipe/packet` for a recipe that can't be read or a mode that isn't that of its changes
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
  const mode: KeyMode = asked ?? chart?.key.mode ?? "major";
  const drills = [...new Set(levels)].flatMap((level) =>
    drillsOfLevel(level, { mode, exercises }).map((drill, i) => ({ level, number: i + 1, drill })),
  );
  const inSymbols = chart?.chords.every((span) => span.numeral === undefined) === true;
  // A level's pattern of the left hand goes with its own voicings, changes and pickups.
  const own = [shared.changes, shared.metre, shared.left, shared.pickup].every((one) => one === undefined);
  const common = { ...given(shared), ...(inSymbols ? { chartKey: `${chart.key.tonic} ${mode}` } : {}) };
  const first = chart ?? drills[0]?.drill.changes ?? "turnaround";
  const tonics =
    keys === "all" ? drillKeys(first, shared.scale ?? `${mode} blues`, { order }) : [...new Set(keys.map(parseNote))];
  return tonics.flatMap((key) =>
    drills.map(({ level, number, drill }) => ({
      key,
      level,
      number,
      recipe: { ...(own ? drill : withoutComping(drill)), ...common, key: mode === "minor" ? `${key} minor` : key },
    })),
  );
}

const withoutComping = ({ comping: _, ...drill }: RecipeForAnyKey): RecipeForAnyKey => drill;

// A field that says `undefined` says nothing: the level's own stands.
const given = <T extends object>(fields: T): T => {
  const said = { ...fields };
  for (const key of Object.keys(said)) if (said[key as keyof T] === undefined) delete said[key as keyof T];
  return said;
};
