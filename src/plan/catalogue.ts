import type { DrillRecipe } from "../drill/index.ts";
import type { KeyMode } from "../pitch/index.ts";

/** What the drills of a level have in common; the exercises themselves carry their grade. */
export interface LevelRow {
  readonly level: 1 | 2 | 3 | 4 | 5;
  readonly title: string;
  /** The progression, in major keys and in minor ones. */
  readonly changes: Readonly<Record<KeyMode, string>>;
  /** Left hand of every drill. */
  readonly left: NonNullable<DrillRecipe["left"]>;
  readonly pickup: boolean;
  /** Note values, by turns from drill to drill. */
  readonly values: readonly NonNullable<DrillRecipe["values"]>[];
  /** Octaves of the scale, where the exercise doesn't need more. */
  readonly octaves: NonNullable<DrillRecipe["octaves"]>;
  readonly source: string;
}

const SOURCE = "our choice after common practice, no source";

/** The levels of practice plans, easiest first. */
export const levelCatalogue = [
  {
    level: 1, title: "First lessons", changes: { major: "turnaround", minor: "minor-turnaround" },
    left: "shell", pickup: false, values: ["eighths"], octaves: 1, source: SOURCE,
  },
  {
    level: 2, title: "Shells in motion", changes: { major: "turnaround", minor: "minor-turnaround" },
    left: "shell", pickup: true, values: ["eighths", "triplets"], octaves: 1, source: SOURCE,
  },
  {
    level: 3, title: "Rootless voicings", changes: { major: "two-five-one", minor: "minor-two-five-one" },
    left: "rootless", pickup: false, values: ["eighths", "triplets"], octaves: 1, source: SOURCE,
  },
  {
    level: 4, title: "Two octaves", changes: { major: "turnaround-dominants", minor: "minor-turnaround-flat-six" },
    left: "rootless", pickup: false, values: ["eighths", "triplets"], octaves: 2, source: SOURCE,
  },
  {
    level: 5, title: "Substitutes, triplets first", changes: { major: "turnaround-tritone", minor: "minor-cycle" },
    left: "rootless", pickup: false, values: ["triplets", "eighths"], octaves: 2, source: SOURCE,
  },
] as const satisfies readonly LevelRow[];

/** A level of {@link levelCatalogue}: 1 for first lessons to 5 for the advanced. */
export type PracticeLevel = (typeof levelCatalogue)[number]["level"];
