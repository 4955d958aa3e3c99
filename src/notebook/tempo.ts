import { parseKey } from "../pitch/index.ts";
import type { Book } from "./book.ts";
import { message, stateOf } from "./book.ts";
import type { SkillRow } from "./catalogue.ts";
import type { MessageData } from "./document.ts";
import { tempoShown } from "./evidence.ts";

const STEP = 4;
const FLAWLESS_STEP = 8;
const BACK = 8;
const SLOWEST = 40;
// Beyond it a skill that is known gets no faster: other things are worth more.
const OVER_GOAL = 1.5;

/** The tempo of a skill's next drill, and why. It rises after a clean take only. */
export const nextTempo = (
  book: Book,
  row: SkillRow,
  key: string,
): { readonly tempo: number; readonly reason: MessageData } => {
  const [start, goal] = row.tempo;
  const takes = book.takes.filter((take) => take.skill === row.id && take.whole);
  const last = takes.at(-1);
  const week = book.weeks.findLast(({ drills }) => drills.some((drill) => isOf(drill, row)));
  const gave = week?.drills.find((drill) => isOf(drill, row));
  const { run } = stateOf(book, row);
  if (last === undefined || (week !== undefined && last.at.slice(0, 10) < week.start)) {
    const tempo = gave?.tempo ?? Math.min(start, last === undefined ? start : tempoShown(last));
    return { tempo, reason: message(gave === undefined ? "tempo.start" : "tempo.unheard", { tempo }) };
  }
  const asked = Math.round(last.tempo.asked);
  if (run <= -2) {
    const tempo = Math.max(Math.min(SLOWEST, start), asked - BACK);
    return { tempo, reason: message("tempo.back", { tempo, before: asked, takes: -run }) };
  }
  if (run < 0) return { tempo: asked, reason: message("tempo.same", { tempo: asked }) };
  const shown = Math.floor(tempoShown(last));
  const here = takes.filter((take) => sameKey(take.key, key)).at(-1);
  if (here === undefined) return { tempo: shown, reason: message("tempo.new-key", { tempo: shown }) };
  if (!here.clean) {
    const tempo = Math.min(shown, Math.round(here.tempo.asked));
    return { tempo, reason: message("tempo.same-in-key", { tempo }) };
  }
  const step = last.accuracy >= 0.99 && last.findings.length === 0 ? FLAWLESS_STEP : STEP;
  const tempo = Math.max(shown, Math.min(Math.floor(goal * OVER_GOAL), shown + step));
  return tempo > shown
    ? { tempo, reason: message("tempo.up", { tempo, before: shown }) }
    : { tempo, reason: message("tempo.enough", { tempo }) };
};

const isOf = (
  { skill, part }: { readonly skill?: string | undefined; readonly part: string },
  row: SkillRow,
): boolean => skill === row.id && part !== "trouble-spot";

const sameKey = (one: string, other: string): boolean => {
  const [a, b] = [parseKey(one), parseKey(other)];
  return a.tonic === b.tonic && a.mode === b.mode;
};
