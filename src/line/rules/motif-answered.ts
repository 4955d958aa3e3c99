import type { HeardNote, HeardPhrase } from "../heard.ts";
import { rise } from "../heard.ts";
import type { PhraseRuleRow } from "./rule.ts";
import { COMMON } from "./rule.ts";

const OPENING = 4;

const opening = ({ notes }: HeardPhrase, move: (from: HeardNote, to: HeardNote) => string | number): string =>
  notes
    .slice(1, OPENING)
    .map((note, i) => move(notes[i] as HeardNote, note))
    .join();
const rhythmOf = (phrase: HeardPhrase): string => opening(phrase, (from, to) => (to.at - from.at).toFixed(3));
const shapeOf = (phrase: HeardPhrase): string => opening(phrase, (from, to) => Math.sign(rise(from, to)));

export const motifAnswered: PhraseRuleRow = {
  id: "motif-answered",
  title: "Among three phrases or more, some two begin with the same rhythm or the same shape.",
  severity: "should",
  source: `${COMMON}; how much of a solo is patterns that come back: Norgaard, M. (2014), How jazz musicians improvise, Music Perception 31(3), 271-287`,
  check: ({ phrases }) => {
    const told = phrases.filter(({ notes }) => notes.length >= OPENING);
    if (told.length < 3) return [];
    const returns = (kind: (phrase: HeardPhrase) => string): boolean => new Set(told.map(kind)).size < told.length;
    if (returns(rhythmOf) || returns(shapeOf)) return [];
    return [
      {
        note: (told[1] as HeardPhrase).first,
        message: "no phrase takes up the beginning of another",
        suggestion: "begin a later phrase with the rhythm of the first four notes",
      },
    ];
  },
};
