import { atLeast } from "../heard.ts";
import { nameOf } from "./names.ts";
import type { PhraseRuleRow } from "./rule.ts";
import { COMMON } from "./rule.ts";

export const oneVoice: PhraseRuleRow = {
  id: "one-voice",
  title: "A line sounds one note after the other: none starts before the last has ended.",
  severity: "must",
  source: COMMON,
  check: (line) =>
    line.notes.flatMap((note, i) => {
      const before = line.notes[i - 1];
      if (before === undefined || atLeast(note.at, before.end)) return [];
      return [
        {
          note,
          message: `${nameOf(note.pitch)} starts while ${nameOf(before.pitch)} still sounds`,
          suggestion: `end ${nameOf(before.pitch)} where ${nameOf(note.pitch)} starts`,
        },
      ];
    }),
};
