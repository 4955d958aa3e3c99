import type { Hand } from "../../event/index.ts";
import type { BandReport } from "../measure/band.ts";
import type { AccuracyReport, HandReport, TempoReport, TogetherReport } from "../measure/measures.ts";
import type { Take } from "../measure/model.ts";
import type { BalanceReport, PedalReport } from "../measure/sound.ts";
import type { TroubleSpot } from "../measure/trouble.ts";
import type { Advice } from "../say/practice.ts";

/** Everything that was measured in a take. */
export interface Evidence {
  readonly take: Take;
  readonly whole: AccuracyReport;
  readonly hands: readonly HandReport[];
  readonly tempo: TempoReport;
  readonly together: TogetherReport | undefined;
  /** Where the band's clock is known. */
  readonly band?: BandReport | undefined;
  /** Where both hands have enough notes. */
  readonly balance?: BalanceReport | undefined;
  /** Where a pedal held notes on. */
  readonly pedal?: PedalReport | undefined;
  readonly troubleSpots: readonly TroubleSpot[];
}

/** What a rule says of a take. */
export interface Found {
  /** How much it matters beside other findings, from 0; about 1 for what must be fixed first. */
  readonly weight: number;
  readonly hand?: Hand;
  /** What it is about more narrowly than its rule: findings of one kind in both hands are told in one remark. @defaultValue the rule */
  readonly kind?: string;
  /** Bars that it is about; empty for the whole. */
  readonly bars: readonly number[];
  /** For the student: kind, concrete, one or two sentences. */
  readonly text: string;
  /** The figures that it rests on. */
  readonly figures: Readonly<Record<string, number>>;
  readonly advice: Advice;
}

/** Something that can be wrong with a take. */
export interface FindingRule {
  readonly id: string;
  readonly title: string;
  /** Of findings on one topic in one hand the student hears the weightiest. */
  readonly topic: "notes" | "flow" | "tempo" | "rhythm" | "together" | "touch" | "key";
  /** When it is said. */
  readonly threshold: string;
  /** Where the threshold comes from. */
  readonly source: string;
  readonly find: (evidence: Evidence) => readonly Found[];
}

export const OURS = "our own threshold, set on simulated takes";

/** `"right hand"` or `"left hand"`. */
export const handWords = (hand: Hand): string => `${hand} hand`;
