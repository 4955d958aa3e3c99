/**
 * Learns the model of lines from a corpus of transcribed solos and writes `src/line-model/tables.ts`: counts alone, of what stands in
 * three solos or more. Run: `npx tsx bench/learn-lines.ts ../shared/corpus/solos.json [--part 4 [--without 0]] [--out FILE]`, where
 * `--part 4 --without 0` leaves the first quarter of the solos out, to be measured on.
 *
 * Source: Weimar Jazz Database, by way of the R package jazzodata (Frieler, Pfleiderer, Zaddach, Abesser 2022); Pfleiderer, M. et al.
 * (eds.) (2017), Inside the Jazzomat.
 */
import { writeFileSync } from "node:fs";
import { gzipSync } from "node:zlib";
import { chanceOf } from "../src/ground/chance.ts";
import { NO_RUN, PAIRS, RUNS, readModel, SORTS, sortOf, stepRun } from "../src/line/improvise/model.ts";
import { draw } from "../src/line/improvise/plan.ts";
import type { LineModel } from "../src/line-model/index.ts";
import { CELLS, CHORD_KINDS, KINDS, RANGE, TEMPOS, tempoClass } from "../src/line-model/shape.ts";
import { argument } from "./arguments.ts";
import type { CorpusNote } from "./corpus.ts";
import { readSolos } from "./corpus.ts";

const LEAST_SOLOS = 3;

/** Counts of outcomes by context, and in how many solos each was seen. */
class Tally {
  readonly #counts = new Map<number, Map<number, { count: number; solos: Set<number> }>>();
  add(context: number, outcome: number, solo: number): void {
    const row = this.#counts.get(context) ?? new Map<number, { count: number; solos: Set<number> }>();
    const cell = row.get(outcome) ?? { count: 0, solos: new Set<number>() };
    cell.count += 1;
    cell.solos.add(solo);
    row.set(outcome, cell);
    this.#counts.set(context, row);
  }
  /** Each context with its kept counts and how many were left out; "context:left out,outcome count,…", contexts as differences. */
  write(): string {
    let last = 0;
    const rows: string[] = [];
    for (const [context, row] of [...this.#counts].sort(([a], [b]) => a - b)) {
      const kept = [...row].filter(([, { solos }]) => solos.size >= LEAST_SOLOS).sort(([a], [b]) => a - b);
      if (kept.length === 0) continue;
      const out =
        [...row.values()].reduce((sum, { count }) => sum + count, 0) - kept.reduce((s, [, c]) => s + c.count, 0);
      rows.push(
        [
          (context - last).toString(36),
          out.toString(36),
          ...kept.map(([d, { count }]) => `${d.toString(36)}.${count.toString(36)}`),
        ].join(" "),
      );
      last = context;
    }
    return rows.join(",");
  }
}

const file = process.argv[2] ?? "../shared/corpus/solos.json";
const parts = Number(argument("--part") ?? 1);
const without = Number(argument("--without") ?? -1);
const solos = readSolos(file).filter((_, i) => parts === 1 || i % parts !== without);
const NONE = 2 * RANGE + 1;
const TEMPO_CLASSES = [...TEMPOS, Number.POSITIVE_INFINITY];

const tables = {
  intervals: [new Tally(), new Tally(), new Tally(), new Tally()],
  harmony: [new Tally(), new Tally()],
  degrees: new Tally(),
  firsts: new Tally(),
  lasts: new Tally(),
  between: new Tally(),
  kinds: new Tally(),
  lengths: new Tally(),
  moves: new Tally(),
  starts: new Tally(),
  gaps: new Tally(),
  ends: new Tally(),
  places: new Tally(),
  cells: [new Tally(), new Tally(), new Tally(), new Tally(), new Tally()],
};

// Each annotated beat goes to the written rhythm whose places lie nearest; but a pair that is laid back, so that it stands a quarter of the
// beat late, is read as the eighths that it is.
const cellOf = (places: readonly number[]): number => {
  const [first = 0, second = 0] = places;
  const late = places.length === 2 && first > 3 && first < 8 && second >= 16 && second <= 20;
  if (late) return CELLS.findIndex((cell) => cell.join() === "0,6");
  const taken = places.slice(0, 6);
  const offs = CELLS.map((cell) =>
    cell.length === taken.length
      ? cell.reduce((sum, tick, k) => sum + Math.abs(2 * tick - (taken[k] ?? 0)), 0)
      : Number.POSITIVE_INFINITY,
  );
  return offs.indexOf(Math.min(...offs));
};
interface Moment {
  readonly h: readonly [number, number, number];
  readonly run: number;
  readonly idea: number;
  readonly kind: number;
  readonly from: number;
  readonly place: number;
  readonly out: number;
}
const moments: Moment[] = [];

const placeOf = ({ beat }: CorpusNote, tick: number): number =>
  tick === 0 ? (beat % 2 === 1 ? 0 : 1) : tick === 6 ? 2 : 3;
// In 24ths, as annotated: triplets, sixteenths, and all that is neither.
const partOf = (place: number): number => (place % 12 === 0 ? 0 : place % 8 === 0 ? 1 : place % 6 === 0 ? 2 : 3);
const annotated = TEMPO_CLASSES.map(() => [0, 0, 0, 0]);
const kindOf = (unit: string): number => {
  const kind = new Map<string, (typeof KINDS)[number]>([
    ["line", "line"],
    ["lick", "lick"],
    ["fragment", "lick"],
    ["rhythm", "riff"],
  ]).get(unit);
  return KINDS.indexOf(kind ?? "melody");
};

for (const { id, tempo, units, notes: all, harmonyAt } of solos) {
  const t = tempoClass(tempo);
  const phrases: CorpusNote[][] = [];
  for (const note of all) {
    const last = phrases.at(-1);
    if (last?.[0]?.phrase === note.phrase) last.push(note);
    else phrases.push([note]);
  }
  let before: CorpusNote | undefined;
  for (const phrase of phrases) {
    const votes = new Map<number, number>();
    for (const { unit } of phrase) {
      const k = kindOf(units[unit] ?? "");
      votes.set(k, (votes.get(k) ?? 0) + 1);
    }
    const kind = [...votes].reduce((a, b) => (b[1] > a[1] ? b : a))[0];
    tables.kinds.add(t, kind, id);
    tables.lengths.add(kind, Math.min(60, phrase.length), id);
    const [first] = phrase;
    const last = phrase.at(-1);
    if (first === undefined || last === undefined) continue;
    if (before !== undefined) {
      const gap = first.at - before.at;
      tables.gaps.add(t, Math.min(48, Math.max(1, Math.round(2 * gap))), id);
      const d = first.midi - before.midi;
      if (Math.abs(d) <= 2 * RANGE) tables.between.add(0, d + 2 * RANGE, id);
    }
    before = last;
    // Rhythm, beat by beat; of the last beat nothing is learnt, since what of another phrase may stand in it.
    const beats = new Map<number, number[]>();
    for (const note of phrase) {
      const beat = Math.floor(note.at);
      beats.set(beat, [...new Set([...(beats.get(beat) ?? []), note.place])]);
      const counts = annotated[t] ?? [];
      counts[partOf(note.place)] = (counts[partOf(note.place)] ?? 0) + 1;
    }
    const firstBeat = Math.floor(first.at);
    const lastBeat = Math.floor(last.at);
    const ticks = new Map<number, readonly number[]>();
    let one = CELLS.length;
    let two = CELLS.length;
    for (let beat = firstBeat; beat <= lastBeat; beat++) {
      const places = beats.get(beat) ?? [];
      const cell = cellOf(places);
      ticks.set(beat, CELLS[cell] ?? []);
      const inBar = ((beat % 4) + 4) % 4;
      if (beat < lastBeat || phrase.length === 1) {
        const many = CELLS.length + 1;
        tables.cells[0]?.add(t, cell, id);
        tables.cells[1]?.add(kind * TEMPO_CLASSES.length + t, cell, id);
        tables.cells[2]?.add((t * many + one) * 4 + inBar, cell, id);
        tables.cells[3]?.add((t * many + two) * many + one, cell, id);
        tables.cells[4]?.add(((t * many + two) * many + one) * 4 + inBar, cell, id);
      }
      [two, one] = [one, cell];
    }
    const tickOf = (note: CorpusNote): number => {
      const beat = Math.floor(note.at);
      const written = ticks.get(beat) ?? [];
      return written[(beats.get(beat) ?? []).indexOf(note.place)] ?? written.at(-1) ?? 0;
    };
    const spot = (note: CorpusNote): number => {
      const tick = tickOf(note);
      return (tick === 0 ? 0 : tick === 6 ? 1 : 2) * 4 + note.beat - 1;
    };
    tables.starts.add(t, (first.beat - 1) * 12 + tickOf(first), id);
    tables.ends.add(kind, spot(last), id);
    for (const note of phrase) tables.places.add(kind, spot(note), id);

    let h: [number, number, number] = [NONE, NONE, NONE];
    let run = NO_RUN;
    phrase.forEach((note, i) => {
      const chord = harmonyAt(note);
      if (chord !== undefined) {
        const degree = (note.midi - chord.root + 1200) % 12;
        tables.degrees.add(chord.kind, degree, id);
        if (i === 0) tables.firsts.add(chord.kind, degree, id);
        if (i === phrase.length - 1) tables.lasts.add(chord.kind, degree, id);
      }
      const previous = phrase[i - 1];
      if (previous === undefined) return;
      const d = note.midi - previous.midi;
      if (Math.abs(d) > RANGE) {
        h = [NONE, NONE, NONE];
        run = NO_RUN;
        return;
      }
      const out = d + RANGE;
      const base = NONE + 1;
      tables.intervals[0]?.add(0, out, id);
      tables.intervals[1]?.add(h[0], out, id);
      if (h[1] !== NONE) tables.intervals[2]?.add(h[1] * base + h[0], out, id);
      if (h[2] !== NONE) tables.intervals[3]?.add((h[2] * base + h[1]) * base + h[0], out, id);
      tables.moves.add(kind, out, id);
      if (chord !== undefined) {
        const from = (previous.midi - chord.root + 1200) % 12;
        const place = placeOf(note, tickOf(note));
        moments.push({ h, run, idea: kind, kind: chord.kind, from, place, out });
        tables.harmony[0]?.add(chord.kind * 12 + from, out, id);
        tables.harmony[1]?.add((chord.kind * 12 + from) * 4 + place, out, id);
      }
      h = [out, h[0], h[1]];
      run = stepRun(run, d);
    });
  }
}

/**
 * What history and chord say of the next interval is multiplied, though they often say the same. So factors are found by which each
 * interval after each interval and run, each degree at each place over each kind of chord, and each sort of interval after a run of up to eight in one
 * direction, is expected as often as it comes. Source of the method: Darroch, J. N., &
 * Ratcliff, D. (1972), Generalized iterative scaling for log-linear models, Annals of Mathematical Statistics 43(5), 1470-1480.
 */
const settle = (written: LineModel): { readonly pairs: string; readonly targets: string; readonly runs: string } => {
  const model = readModel(written);
  const many = 2 * RANGE + 1;
  const pairs = new Float64Array(PAIRS * many).fill(1);
  const targets = new Float64Array(CHORD_KINDS * 12 * 4).fill(1);
  const runs = new Float64Array(RUNS * 2 * SORTS).fill(1);
  const sorts = Array.from({ length: many }, (_, d) => sortOf(d - RANGE));
  const states = moments.map(({ h }) => {
    let state = model.start;
    for (const one of h.filter((d) => d !== NONE).toReversed()) state = model.next[state * many + one] ?? 0;
    return state;
  });
  for (let round = 0; round < 30; round++) {
    const [asked, got] = [new Float64Array(pairs.length), new Float64Array(pairs.length)];
    const [askedTo, gotTo] = [new Float64Array(targets.length), new Float64Array(targets.length)];
    const [askedRun, gotRun] = [new Float64Array(runs.length), new Float64Array(runs.length)];
    moments.forEach(({ run, idea, kind, from, place, out: came }, k) => {
      const r = (2 * run + (place < 2 ? 0 : 1)) * SORTS;
      const pair = model.pairs[states[k] ?? 0] ?? 0;
      const row = new Float64Array(many);
      let sum = 0;
      for (let d = 0; d < many; d++) {
        const to = (kind * 12 + ((from + d - RANGE + 24) % 12)) * 4 + place;
        row[d] =
          (model.melody[(states[k] ?? 0) * many + d] ?? 0) *
          (model.harmony[((kind * 12 + from) * 4 + place) * many + d] ?? 0) *
          Math.sqrt(model.moves[idea * many + d] ?? 1) *
          (pairs[pair * many + d] ?? 1) *
          (runs[r + (sorts[d] ?? 0)] ?? 1) *
          (targets[to] ?? 1);
        sum += row[d] ?? 0;
      }
      for (let d = 0; d < many; d++) {
        const share = (row[d] ?? 0) / sum;
        const to = (kind * 12 + ((from + d - RANGE + 24) % 12)) * 4 + place;
        got[pair * many + d] = (got[pair * many + d] ?? 0) + share;
        gotTo[to] = (gotTo[to] ?? 0) + share;
        const sort = r + (sorts[d] ?? 0);
        gotRun[sort] = (gotRun[sort] ?? 0) + share;
      }
      asked[pair * many + came] = (asked[pair * many + came] ?? 0) + 1;
      const to = (kind * 12 + ((from + came - RANGE + 24) % 12)) * 4 + place;
      askedTo[to] = (askedTo[to] ?? 0) + 1;
      const sort = r + (sorts[came] ?? 0);
      askedRun[sort] = (askedRun[sort] ?? 0) + 1;
    });
    pairs.forEach((factor, i) => {
      pairs[i] = factor * Math.sqrt(((asked[i] ?? 0) + 5) / ((got[i] ?? 0) + 5));
    });
    targets.forEach((factor, i) => {
      targets[i] = factor * Math.sqrt(((askedTo[i] ?? 0) + 5) / ((gotTo[i] ?? 0) + 5));
    });
    runs.forEach((factor, i) => {
      runs[i] = factor * Math.sqrt(((askedRun[i] ?? 0) + 5) / ((gotRun[i] ?? 0) + 5));
    });
  }
  const hundredths = (factors: Float64Array): string =>
    Array.from(factors, (f) => Math.round(100 * Math.log(f))).join(" ");
  return { pairs: hundredths(pairs), targets: hundredths(targets), runs: hundredths(runs) };
};

// Of the places of sixteenths some are those of eighths that are laid back, and of those that are neither eighths, triplets nor sixteenths less
// than half are meant: the others are noise of the annotation. Ours, no source.
const MEANT = [1, 1, Number(argument("--sixteenths") ?? 0.8)];
// At slow tempos most of it is laid back freely; where beats are short, a turn in sixths of one is more often meant.
const ODD = [0.46, 0.46, 0.75, 0.75];

/**
 * Reading rhythms as they are written leaves fewer triplets and sixteenths than were annotated. So factors for each are found by which their
 * places come as often in rhythms drawn from the model, at each class of tempo.
 */
const asOften = (written: LineModel): string => {
  const logs = TEMPO_CLASSES.map(() => [0, 0, 0, 0]);
  TEMPO_CLASSES.forEach((_, t) => {
    const counts = annotated[t] ?? [];
    const notes = counts.reduce((sum, count) => sum + count, 0);
    const asked = counts.map((count, part) => ((MEANT[part] ?? ODD[t] ?? 1) * count) / notes);
    const factors = logs[t] ?? [];
    for (let round = 0; round < 40; round++) {
      const { cell } = readModel({
        ...written,
        parts: logs
          .flat()
          .map((log) => Math.round(100 * log))
          .join(" "),
      });
      const chance = chanceOf(t, round);
      const got = [0, 0, 0, 0];
      let sum = 0;
      let [two, one] = [CELLS.length, CELLS.length];
      for (let beat = 0; beat < 6000; beat++) {
        const kind = Math.floor(beat / 12) % 3;
        if (beat % 12 === 0) [two, one] = [CELLS.length, CELLS.length];
        const drawn = draw(cell(t, kind, beat % 4, one, two), chance);
        for (const tick of CELLS[drawn] ?? []) {
          got[partOf(2 * tick)] = (got[partOf(2 * tick)] ?? 0) + 1;
          sum += 1;
        }
        [two, one] = [one, drawn];
      }
      for (const part of [1, 2, 3])
        factors[part] = Math.max(
          -0.7,
          (factors[part] ?? 0) + 0.3 * Math.log(((asked[part] ?? 0) + 0.002) / ((got[part] ?? 0) / sum + 0.002)),
        );
    }
  });
  return logs
    .flat()
    .map((log) => Math.round(100 * log))
    .join(" ");
};

const written = {
  intervals: tables.intervals.map((t) => t.write()),
  harmony: tables.harmony.map((t) => t.write()),
  degrees: tables.degrees.write(),
  firsts: tables.firsts.write(),
  lasts: tables.lasts.write(),
  between: tables.between.write(),
  kinds: tables.kinds.write(),
  lengths: tables.lengths.write(),
  moves: tables.moves.write(),
  starts: tables.starts.write(),
  gaps: tables.gaps.write(),
  ends: tables.ends.write(),
  places: tables.places.write(),
  cells: tables.cells.map((t) => t.write()),
};
const model: LineModel = {
  ...written,
  parts: asOften({ ...written, pairs: "", targets: "", runs: "", parts: "" }),
  ...settle({ ...written, pairs: "", targets: "", runs: "", parts: "" }),
};
const text = Object.entries(model)
  .map(([name, table]: [string, string | readonly string[]]) =>
    typeof table === "string"
      ? `  ${name}: "${table}",\n`
      : `  ${name}: [\n${table.map((part) => `    "${part}",\n`).join("")}  ],\n`,
  )
  .join("");
const header = `/**
 * Counts of intervals, degrees, rhythms, lengths and starts in ${solos.length} transcribed solos in 4/4 (traditional, swing, bebop, cool, hard bop), of what
 * stands in three solos or more; made by \`bench/learn-lines.ts\`. Each table: contexts with commas between them, each as the difference
 * to the one before, the count of what was left out, and outcomes with their counts, in base 36.
 *
 * Source: Weimar Jazz Database, by way of the R package jazzodata (MIT licence; Frieler, Pfleiderer, Zaddach, Abesser 2022); Pfleiderer,
 * M. et al. (eds.) (2017), Inside the Jazzomat; computed from its note lists on 2026-11-29.
 */
`;
const source = `${header}export const TABLES = {\n${text}};\n`;
const out = argument("--out") ?? new URL("../src/line-model/tables.ts", import.meta.url).pathname;
writeFileSync(out, source);
console.log(
  `${solos.length} solos, ${source.length} bytes, ${gzipSync(source, { level: 9 }).length} after gzip, ${TEMPOS.length + 1} classes of tempo`,
);
