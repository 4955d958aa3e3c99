import type { HeardPhrase } from "../heard.ts";
import { rise } from "../heard.ts";
import type { PhraseRule } from "./rule.ts";
import { COMMON } from "./rule.ts";

const OPENING = 4;

const rhythmOf = ({ notes }: HeardPhrase): string =>
  notes.slice(1, OPENING).map((note) => (note.at - (note.previous?.at ?? note.at)).toFixed(3)).join(" ");
const shapeOf = ({ notes }: HeardPhrase): string =>
  notes.slice(1, OPENING).map((note) => Math.sign(note.previous === undefined ? 0 : rise(note.previous, note))).join(" ");

export const motifAnswered: PhraseRule = {
  id: "motif-answered",
  title: "Among three phrases or more, some two begin with the same rhythm or the same shape.",
  severity: "should",
  source: `${COMMON}; how much of a solo is patterns that come back: Norgaard, M. (2014), How jazz musicians improvise, Music Perception 31(3), 271-287`,
  check: ({ phrases }) => {
    const told = phrases.filter(({ notes }) => notes.length >= OPENING);
    const note = told[1]?.notes[0];
    if (told.length < 3 || note === undefined) return [];
    const returns = (kind: (phrase: HeardPhrase) => string): boolean => new Set(told.map(kind)).size < told.length;
    if (returns(rhythmOf) || returns(shapeOf)) return [];
    return [{ note, message: "no phrase takes up the beginning of another", suggestion: "begin a later phrase with the rhythm of the first four notes" }];
  },
};
