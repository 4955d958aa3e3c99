/**
 * Figures of generated lines beside those of solos left out: prints the table of docs/line-statistics.md. Run:
 * `npx tsx bench/line-statistics.ts ../shared/corpus/solos.json [--part 4 --without 0] [--model FILE] [--lines FILE] [--levels 345] [--tempo 120]`, where `--lines` writes
 * the lines in the form that the classifier of the corpus reads, and `--model` draws them from tables that `bench/learn-lines.ts` wrote.
 */
import { writeFileSync } from "node:fs";
import { chordClasses } from "../src/line/harmony.ts";
import { checkLine, generateLine } from "../src/line/index.ts";
import type { LineModel } from "../src/line-model/index.ts";
import { lineModel } from "../src/line-model/index.ts";
import { midiNumber, pitchClassOf } from "../src/pitch/index.ts";
import type { ChordSpan, Progression } from "../src/progression/index.ts";
import { parseProgression } from "../src/progression/index.ts";
import { addBeats, beats, beatsToNumber } from "../src/time/index.ts";
import { argument } from "./arguments.ts";
import type { Solo } from "./corpus.ts";
import { readSolos, soloEvents } from "./corpus.ts";

const LEVELS = ([1, 2, 3, 4, 5] as const).filter((level) => (argument("--levels") ?? "12345").includes(String(level)));
const CHANGES = [
  "blues",
  "jazz-blues",
  "aaba",
  "Dm7 | G7 | Cmaj7 | % | Dm7 | G7 | Cmaj7 | A7 | Dm7 | G7 | Em7 | A7 | Dm7 | G7 | C6 | G7",
  "turnaround",
  "minor-blues",
  "two-five-one-long",
];
const KEYS = ["C", "F", "Bb", "Eb", "Ab", "G"];
const SEEDS = 30;
const LEAST_BARS = 12;
const TEMPO = Number(argument("--tempo") ?? 120);

interface Note {
  readonly at: number;
  readonly end: number;
  readonly midi: number;
  readonly chord:
    | { readonly root: number; readonly classes: ReadonlySet<number>; readonly dominant: boolean }
    | undefined;
  /** Index of the chord's stretch, and its length. */
  readonly stretch: number;
  readonly lasts: number;
  readonly phrase: number;
}
interface Heard {
  readonly notes: readonly Note[];
  readonly bars: number;
  /** The pitch class of the tonic where it carries a dominant seventh. */
  readonly blues: number | undefined;
}

const noted = (
  events: readonly { readonly at: number; readonly end: number; readonly midi: number }[],
  chords: readonly ChordSpan[],
  phrases: readonly number[],
): readonly Note[] => {
  const spans = chords.map(({ at, duration, chord }) => {
    const classes = chord === undefined ? new Set<number>() : chordClasses(chord);
    const root = chord === undefined ? 0 : pitchClassOf(chord.root);
    const dominant = classes.has((root + 4) % 12) && classes.has((root + 10) % 12);
    return { at: beatsToNumber(at), lasts: beatsToNumber(duration), chord: chord && { root, classes, dominant } };
  });
  let stretch = 0;
  let phrase = 0;
  return events.map(({ at, end, midi }) => {
    while (stretch + 1 < spans.length && (spans[stretch + 1]?.at ?? 0) <= at + 1e-6) stretch += 1;
    while (phrase + 1 < phrases.length && (phrases[phrase + 1] ?? 0) <= at + 1e-6) phrase += 1;
    return { at, end, midi, chord: spans[stretch]?.chord, stretch, lasts: spans[stretch]?.lasts ?? 0, phrase };
  });
};

const heardSolo = (solo: Solo): Heard => {
  const { events, chords, phrases } = soloEvents(solo);
  const one = events.map((e) => ({
    at: beatsToNumber(e.at),
    end: beatsToNumber(addBeats(e.at, e.duration)),
    midi: Math.max(...e.pitches.map(midiNumber)),
  }));
  const notes = noted(
    one,
    chords,
    phrases.map(({ at }) => beatsToNumber(at)),
  );
  const tonic = solo.tonality === "blues" ? solo.tonic : undefined;
  return { notes, bars: Math.ceil(((notes.at(-1)?.at ?? 0) - (notes[0]?.at ?? 0)) / 4), blues: tonic };
};

const longEnough = (changes: Progression): Progression => {
  const times = Math.max(1, Math.ceil(LEAST_BARS / changes.bars));
  const chords = Array.from({ length: times }, (_, turn) =>
    changes.chords.map((span) => ({ ...span, at: addBeats(span.at, beats(turn * changes.bars * 4)) })),
  ).flat();
  return { ...changes, bars: changes.bars * times, chords };
};

const stored: Record<string, unknown>[] = [];
const generated = (
  level: (typeof LEVELS)[number],
  model: LineModel,
): { readonly heard: readonly Heard[]; readonly musts: number } => {
  let musts = 0;
  const heard = CHANGES.flatMap((text, c) =>
    Array.from({ length: SEEDS }, (_, s): Heard => {
      const key = KEYS[s % KEYS.length] ?? "C";
      const changes = longEnough(text.includes("|") ? parseProgression(text) : parseProgression(text, { key }));
      const line = generateLine(changes, { seed: 1000 * level + 100 * c + s, level, model, tempo: TEMPO });
      musts += checkLine(line.events, {
        chords: changes.chords,
        scale: line.scale,
        phrases: line.phrases,
      }).findings.filter((f) => f.severity === "must").length;
      const events = line.events.map((e) => ({
        at: beatsToNumber(e.at),
        end: beatsToNumber(addBeats(e.at, e.duration)),
        midi: Math.max(...e.pitches.map(midiNumber)),
      }));
      stored.push({
        id: stored.length,
        level,
        notes: events.map(({ at, midi }) => [at, midi]),
        chords: changes.chords.map(({ at, chord }) => [beatsToNumber(at), chord?.symbol ?? "N.C."]),
      });
      const bluesy = line.scale.type === "mixolydian";
      return {
        notes: noted(
          events,
          changes.chords,
          line.phrases.map(({ at }) => beatsToNumber(at)),
        ),
        bars: line.bars,
        blues: bluesy ? pitchClassOf(line.scale.tonic) : undefined,
      };
    }),
  );
  return { heard, musts };
};

const share = (count: number, all: number): string => `${((100 * count) / Math.max(1, all)).toFixed(1)} %`;
const middle = (values: readonly number[]): number =>
  [...values].sort((a, b) => a - b)[Math.floor(values.length / 2)] ?? 0;

/** The figures of some lines, row by row. */
const figures = (lines: readonly Heard[]): readonly (readonly [name: string, figure: string])[] => {
  const counts = new Map<string, number>();
  const add = (name: string, by = 1): void => void counts.set(name, (counts.get(name) ?? 0) + by);
  const of = (name: string): number => counts.get(name) ?? 0;
  const ranges: number[] = [];
  for (const { notes, bars, blues } of lines) {
    // Windows of twelve bars of a solo, as long as our lines.
    const first = Math.floor((notes[0]?.at ?? 0) / 4);
    const sounding = new Set(notes.map(({ at }) => Math.floor(at / 4)));
    for (let bar = first; bar < first + bars; bar++) {
      if (bar % 4 !== 3) continue;
      add("fourth bars");
      if (!sounding.has(bar)) add("empty fourth bars");
    }
    for (let from = first; from + 12 <= first + bars; from += 12) {
      const inside = notes.filter(({ at }) => at >= 4 * from && at < 4 * (from + 14)).map(({ midi }) => midi);
      if (inside.length > 4) ranges.push(Math.max(...inside) - Math.min(...inside));
    }
    const patterns = new Map<string, number>();
    let run = 0;
    let way = 0;
    const closeRun = (): void => {
      if (run >= 4) add("in runs of 4", run);
      if (run >= 6) add("in runs of 6", run);
      run = 0;
      way = 0;
    };
    notes.forEach((note, i) => {
      const next = notes[i + 1];
      if (next === undefined || next.phrase !== note.phrase) closeRun();
      else {
        const d = next.midi - note.midi;
        add("intervals");
        if (Math.sign(d) !== way || d === 0) closeRun();
        if (d !== 0) {
          run += 1;
          way = Math.sign(d);
        }
      }
      const beat = note.at % 4;
      const onBeat = Math.abs(beat - Math.round(beat)) < 1e-6;
      if (note.chord !== undefined) {
        const tone = note.chord.classes.has(note.midi % 12);
        if (onBeat) {
          const name = Math.round(beat) % 2 === 0 ? "1 and 3" : "2 and 4";
          add(`on ${name}`);
          if (tone) add(`tones on ${name}`);
          const [two, one] = [notes[i - 2], notes[i - 1]];
          if (tone) {
            add("tones on a beat");
            if (two !== undefined && one !== undefined && two.phrase === note.phrase) {
              const [a, b] = [two.midi - note.midi, one.midi - note.midi];
              if (a * b < 0 && Math.abs(a) <= 2 && Math.abs(b) <= 2) add("enclosures");
            }
          }
        }
        if (blues !== undefined && note.chord.dominant && note.chord.root === blues) {
          add("over I7");
          add(`over I7 ${(note.midi - blues + 120) % 12}`);
        }
      }
      if (Math.abs((note.at % 1) - 0.5) < 1e-6) {
        add("offbeats");
        if (next === undefined || next.at > note.at + 0.5 + 1e-6) add("offbeats alone");
      }
      if (next === undefined || next.phrase !== note.phrase) {
        add("ends");
        if (!onBeat) add("offbeat ends");
      }
      const four = notes.slice(i, i + 5);
      if (four.length === 5 && four.at(-1)?.phrase === note.phrase) {
        const key = four
          .slice(1)
          .map((n, k) => n.midi - (four[k]?.midi ?? 0))
          .join();
        const before = patterns.get(key);
        add("patterns");
        if (before !== undefined && note.at - before <= 56) add("patterns again");
        patterns.set(key, note.at);
      }
    });
    const phrases = new Map<number, number>();
    for (const { phrase } of notes) phrases.set(phrase, (phrases.get(phrase) ?? 0) + 1);
    for (const length of phrases.values()) {
      add("phrases");
      if (length <= 4) add("short");
      if (length > 25) add("long");
    }
    const stretches = new Map<number, Note[]>();
    for (const note of notes) stretches.set(note.stretch, [...(stretches.get(note.stretch) ?? []), note]);
    for (const inside of stretches.values()) {
      const [one] = inside;
      if (one?.chord?.dominant !== true || one.lasts < 2) continue;
      const sounds = new Set(inside.map(({ midi }) => (midi - (one.chord?.root ?? 0) + 120) % 12));
      add("dominants");
      if (!sounds.has(4)) add("dominants without third");
      if (sounds.has(11)) add("dominants with major seventh");
    }
    add("bars", bars);
    add("notes", notes.length);
  }
  const rhythms = new Set<string>();
  let told = 0;
  for (const { notes } of lines) {
    const byBar = new Map<number, string[]>();
    for (const { at } of notes) {
      const bar = Math.floor(at / 4);
      byBar.set(bar, [...(byBar.get(bar) ?? []), (Math.round((at % 4) * 12) / 12).toFixed(3)]);
    }
    for (const rhythm of byBar.values()) if (told++ < 1000) rhythms.add(rhythm.join());
  }
  return [
    ["notes a bar", (of("notes") / of("bars")).toFixed(1)],
    ["4th bar of each four without an onset", share(of("empty fourth bars"), of("fourth bars"))],
    ["intervals in runs of one direction of 4 or more", share(of("in runs of 4"), of("intervals"))],
    ["… of 6 or more", share(of("in runs of 6"), of("intervals"))],
    ["phrases of 4 notes or fewer", share(of("short"), of("phrases"))],
    ["phrases of more than 25", share(of("long"), of("phrases"))],
    ["chord tones on beats 1 and 3", share(of("tones on 1 and 3"), of("on 1 and 3"))],
    ["chord tones on beats 2 and 4", share(of("tones on 2 and 4"), of("on 2 and 4"))],
    ["enclosures for each chord tone on a beat", share(of("enclosures"), of("tones on a beat"))],
    ["a pattern of four intervals comes back in 14 bars", share(of("patterns again"), of("patterns"))],
    ["different bar rhythms among 1,000 bars", String(rhythms.size)],
    ["offbeat with nothing on the next beat", share(of("offbeats alone"), of("offbeats"))],
    ["offbeat phrase ends", share(of("offbeat ends"), of("ends"))],
    ["range of a line of 12 to 16 bars, median semitones", String(middle(ranges))],
    ["over I7 of a blues: the 4th", share(of("over I7 5"), of("over I7"))],
    ["… the flat 5th", share(of("over I7 6"), of("over I7"))],
    ["… the flat 3rd", share(of("over I7 3"), of("over I7"))],
    ["dominants of two beats or more without their third", share(of("dominants without third"), of("dominants"))],
    ["… that sound a major seventh", share(of("dominants with major seventh"), of("dominants"))],
  ];
};

const file = process.argv[2] ?? "../shared/corpus/solos.json";
const parts = Number(argument("--part") ?? 1);
const without = Number(argument("--without") ?? -1);
const solos = readSolos(file).filter((_, i) => parts === 1 || i % parts === without);
const tables = argument("--model");
const run = async (): Promise<void> => {
  const model: LineModel = tables === undefined ? lineModel : (await import(tables)).TABLES;
  const columns = [figures(solos.map(heardSolo)), ...LEVELS.map((level) => figures(generated(level, model).heard))];
  console.log(`| figure | ${solos.length} solos | ${LEVELS.map((level) => `level ${level}`).join(" | ")} |`);
  console.log(`|---|---|${LEVELS.map(() => "---|").join("")}`);
  columns[0]?.forEach(([name], i) => {
    console.log(`| ${name} | ${columns.map((column) => column[i]?.[1] ?? "").join(" | ")} |`);
  });
  const lines = argument("--lines");
  if (lines !== undefined) writeFileSync(lines, JSON.stringify(stored));
};
void run();
