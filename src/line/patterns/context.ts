import type { Pitch } from "../../pitch/index.ts";
import type { Scale } from "../../scale/index.ts";
import type { DraftPhrase } from "../draft.ts";
import type { Grid, LineValues } from "../grid.ts";

/** What an exercise is built from. */
export interface PatternContext {
  readonly scale: Scale;
  readonly grid: Grid;
  readonly values: LineValues;
  /** Which way the line sets out. */
  readonly direction: "up" | "down";
  /** From the bottom tonic to the top tonic. */
  readonly ladder: readonly Pitch[];
  /** The pitch of a degree above the bottom tonic, counted along the scale; negative below it. */
  readonly pitchAt: (index: number) => Pitch;
}

/** How an exercise is made: the phrases of one round, which is then repeated. */
export type Pattern = (context: PatternContext) => readonly DraftPhrase[];
