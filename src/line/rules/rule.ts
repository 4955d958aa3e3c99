import type { HeardLine, HeardNote } from "../heard.ts";

/** Where a rule is broken, and what to try. */
export interface Breach {
  /** The note that is told of. */
  readonly note: HeardNote;
  readonly message: string;
  /** What to try instead. */
  readonly suggestion: string;
}

/** A rule of phrasing, in words and as a check; one of your own is held to by `checkLine` like those that ship. */
export interface PhraseRuleRow {
  readonly id: string;
  /** What the rule asks, in a teacher's words. */
  readonly title: string;
  /** `"must"` is never broken by a generated line; `"should"` is kept as far as it can be. */
  readonly severity: "must" | "should";
  readonly source: string;
  /** Where a line breaks it. */
  readonly check: (line: HeardLine) => readonly Breach[];
}

export const COMMON = "common practice, no source";

/** The corpus that figures come from, where a rule states some. */
export const CORPUS =
  "Weimar Jazz Database v1.2 (299 solos; Pfleiderer, M. et al. (eds.) 2017, Inside the Jazzomat), computed from its note lists";
