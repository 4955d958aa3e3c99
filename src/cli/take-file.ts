import type { PlayedNote } from "../assess/index.ts";
import { makeDrill } from "../drill/index.ts";
import { attempt } from "../ground/attempt.ts";
import { MusicError } from "../ground/errors.ts";
import { memo } from "../ground/memo.ts";
import { readMidi } from "../midi/index.ts";
import type { Notebook, NotebookTake } from "../notebook/index.ts";
import { hearTake } from "../notebook/index.ts";
import { midiNumber } from "../pitch/index.ts";
import type { Score } from "../score/index.ts";
import { playedNotes } from "./commands/assess.ts";
import { fromFile } from "./from-file.ts";
import { readInput } from "./io.ts";
import { shortHash } from "./names.ts";

/** A recording, read. */
export interface Recording {
  readonly file: string;
  /** Short name of its bytes. */
  readonly name: string;
  readonly played: readonly PlayedNote[];
}

/** Reads a recording. */
export const readRecording = (file: string): Recording => {
  const bytes = readInput(file);
  return { file, name: shortHash(bytes), played: playedNotes(fromFile(file, () => readMidi(bytes))) };
};

const counts = (keys: readonly number[]): ReadonlyMap<number, number> => {
  const found = new Map<number, number>();
  for (const key of keys) found.set(key, (found.get(key) ?? 0) + 1);
  return found;
};

/** How far two heaps of keys are the same, 0 to 1. */
const likeness = (one: ReadonlyMap<number, number>, other: ReadonlyMap<number, number>): number => {
  const sum = (some: ReadonlyMap<number, number>): number => [...some.values()].reduce((all, count) => all + count, 0);
  const shared = [...one].reduce((all, [key, count]) => all + Math.min(count, other.get(key) ?? 0), 0);
  return shared / Math.max(1, Math.min(sum(one), sum(other)));
};

const keysOf = (score: Score): readonly number[] =>
  [...score.right, ...score.left].flatMap(({ pitches }) => pitches.map(midiNumber));

const WEEKS_BACK = 4;
const TRIED = 3;
const ENOUGH = 0.6;
const SURE = 0.9;

interface Candidate {
  readonly drill?: string;
  readonly score: Score;
  readonly heap: ReadonlyMap<number, number>;
}

const asCandidate = (score: Score, drill?: string): Candidate => ({
  score,
  heap: counts(keysOf(score)),
  ...(drill !== undefined && { drill }),
});

// A class hears the takes of one student after another, and each asks for the same drills.
const made = memo<Candidate>(100);

/** The drill of the last weeks that was played, and the take as it was heard. */
const ofLastWeeks = (
  { entries }: Notebook,
  { played, name, file }: Recording,
  at: string,
  others: readonly Score[],
): NotebookTake => {
  const weeks = entries.flatMap((entry) => (entry.kind === "week" ? [entry.week] : [])).slice(-WEEKS_BACK);
  const drills = new Map(weeks.reverse().flatMap(({ drills: list }) => list.map((drill) => [drill.id, drill.recipe])));
  const heap = counts(played.map(({ midi }) => midi));
  const likeliest = [
    ...[...drills].map(([id, recipe]) =>
      made(`${id} ${recipe.tempo ?? ""}`, () => asCandidate(makeDrill(recipe).score, id)),
    ),
    ...others.map((score) => asCandidate(score)),
  ]
    .map((candidate) => ({ ...candidate, like: likeness(heap, candidate.heap) }))
    .sort((a, b) => b.like - a.like)
    .slice(0, TRIED);
  let best: NotebookTake | undefined;
  for (const { score, drill } of likeliest) {
    if (best !== undefined && best.accuracy >= SURE) break;
    const take = attempt(() => hearTake(score, played, { at, recording: name, drill }).take);
    if (take !== undefined && take.accuracy > (best?.accuracy ?? 0)) best = take;
  }
  if (best === undefined || best.accuracy < ENOUGH)
    throw new MusicError({
      code: "notebook/other-drill",
      input: file,
      expected: drills.size === 0 ? "a notebook with a week, or --drill" : "a take of a drill of the last four weeks",
      hint: "name the drill that was played by --drill",
    });
  return best;
};

/**
 * Hears a recording: of the drill that is named, or of whichever of the last weeks' drills it is.
 *
 * @throws MusicError `notebook/other-drill` where it is none of them, `assess/unrelated` where it is not the one named
 */
export const hearRecording = (
  notebook: Notebook,
  recording: Recording,
  {
    at,
    score,
    others = [],
  }: { readonly at: string; readonly score?: Score | undefined; readonly others?: readonly Score[] },
): NotebookTake =>
  score === undefined
    ? ofLastWeeks(notebook, recording, at, others)
    : fromFile(recording.file, () => hearTake(score, recording.played, { at, recording: recording.name }).take);
