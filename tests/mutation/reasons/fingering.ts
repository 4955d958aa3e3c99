import type { Reason } from "../reasons.ts";

export const REASONS: readonly Reason[] = [];
