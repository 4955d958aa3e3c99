import { agrees } from "../harmony.ts";
import { anticipates } from "../heard.ts";
import { advice, nameOf } from "./names.ts";
import type { PhraseRuleRow } from "./rule.ts";

export const strongBeats: PhraseRuleRow = {
  id: "strong-beats",
  title:
    "Of the notes on strong beats, at least half of each phrase agree with the chord: its tones, or tensions that lie a semitone above none of them. A phrase that keeps to one scale over the changes is free.",
  severity: "should",
  source:
    "common practice; that place in the bar sets notes off by their tonal function: Järvinen, T. (1995), Tonal hierarchies in jazz improvisation, Music Perception 12(4), 415-437 (no figures)",
  check: (line) =>
    line.phrases.flatMap(({ notes }) => {
      if (notes.every((note) => line.scaleClasses?.has(note.sound) === true)) return [];
      const strong = notes.flatMap((note) =>
        note.strong && note.chord !== undefined ? [{ note, chord: note.chord }] : [],
      );
      const foreign = strong.filter(
        ({ note, chord }) => !agrees(note.sound, chord.classes) && !anticipates(note, line.pulse),
      );
      if (2 * foreign.length <= strong.length) return [];
      const { note, chord } = foreign[0] as (typeof foreign)[number];
      return [
        {
          note,
          message: `${foreign.length} of ${strong.length} notes on strong beats rub against the chord, the first ${nameOf(note.pitch)} over ${chord.symbol}`,
          suggestion: `aim at ${advice(note)} there, or start an eighth note earlier`,
        },
      ];
    }),
};
