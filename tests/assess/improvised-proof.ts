import type { NoteEvent, Pitch, Score, SimulateTakeOptions } from "../all.ts";
import {
  assessImprovisation,
  beatsOf,
  beatsToNumber,
  checkLine,
  generateLine,
  makeDrill,
  midiNumber,
  pitch,
  pitchFromMidi,
  simulateTake,
  usualScale,
} from "../all.ts";

/** A drill whose right hand is a generated line that keeps every rule. */
export interface Base {
  readonly score: Score;
  readonly seed: number;
}

const DRILLS = [
  { key: "F", left: "shell", changes: "blues" },
  { key: "Eb", left: "rootless", changes: "turnaround" },
  { key: "C", left: "rootless", changes: "two-five-one" },
  { key: "C minor", left: "shell", changes: "minor-blues" },
] as const;

/** The rules that a line breaks when its notes, and no take, are looked at. */
export const brokenRules = (score: Score): readonly string[] => {
  const { metre, chords, left, tempo, right, key } = score;
  return [
    ...new Set(
      checkLine(right, { metre, chords, voicings: left, tempo, scale: usualScale(key, chords) }).findings.map(
        ({ rule }) => rule,
      ),
    ),
  ];
};

/** For each drill so many lines of the middle grades that keep every rule, without their phrases told. */
export const cleanLines = (each: number): readonly Base[] =>
  DRILLS.flatMap((recipe) => {
    const { score, progression } = makeDrill({
      ...recipe,
      tempo: 110,
      repeats: recipe.changes.includes("blues") ? 1 : 3,
      backing: "none",
    });
    const { phrases: _, ...rest } = score;
    const found: Base[] = [];
    for (let seed = 1; found.length < each; seed++) {
      const line = generateLine(
        { ...progression, bars: score.bars, chords: score.chords },
        { seed, level: seed % 2 === 0 ? 2 : 3, voicings: score.left },
      );
      const base = { ...rest, right: line.events };
      if (brokenRules(base).length === 0) found.push({ score: base, seed });
    }
    return found;
  });

type Line = readonly NoteEvent[];

const struck = (event: NoteEvent, midi: number): NoteEvent => ({
  at: event.at,
  duration: event.duration,
  pitches: [pitchFromMidi(midi, "flats")],
});
const midiOf = (event: NoteEvent): number => midiNumber(event.pitches.at(-1) as Pitch);

/** A known fault put into a line: every way of doing it, of which those are tried that break one rule alone. */
export interface Fault {
  readonly title: string;
  readonly rule: string;
  readonly make: (line: Line, score: Score) => Iterable<Line>;
  /** Rules that are broken with it and say the same. */
  readonly also?: readonly string[];
}

const changed = (line: Line, index: number, event: NoteEvent): Line =>
  line.map((other, i) => (i === index ? event : other));

export const FAULTS: readonly Fault[] = [
  {
    title: "a phrase comes to rest on a note beside the chord",
    rule: "resting-note",
    *make(line) {
      for (const [i, event] of line.entries()) {
        const next = line[i + 1];
        if (next !== undefined && beatsToNumber(next.at) - beatsToNumber(event.at) < 2) continue;
        for (const by of [-2, -1, 1, 2])
          yield changed(line, i, { ...struck(event, midiOf(event) + by), duration: beatsOf(1, 1) });
      }
    },
  },
  {
    title: "one note struck five times",
    rule: "repeats",
    *make(line) {
      for (let i = 0; i + 5 <= line.length; i++)
        yield line.map((event, k) => (k >= i && k < i + 5 ? struck(event, midiOf(line[i] as NoteEvent)) : event));
    },
  },
  {
    title: "a leap wider than an octave",
    rule: "leap-size",
    *make(line) {
      for (let i = 1; i < line.length; i++)
        yield line.map((event, k) => (k >= i ? struck(event, midiOf(event) + 12) : event));
    },
  },
  {
    title: "no breath: eighths without a rest",
    rule: "breath",
    // Walks over the scale, of which the first that breaks nothing else is taken.
    *make(_, { bars, key, chords }) {
      const sounds = new Set(usualScale(key, chords).notes.map((name) => midiNumber(pitch(`${name}4`)) % 12));
      const keys = Array.from({ length: 22 }, (_, i) => 62 + i).filter((midi) => sounds.has(midi % 12));
      const count = 8 * bars - 9;
      for (let walk = 1; walk < 400; walk++) {
        let [chance, place] = [walk * 7919, 5];
        yield Array.from({ length: count }, (_, i) => {
          chance = (chance * 48271) % 2147483647;
          place = Math.max(
            0,
            Math.min(keys.length - 1, place + (chance % 2 === 0 ? 1 : -1) * (chance % 5 === 0 ? 2 : 1)),
          );
          return {
            at: beatsOf(i, 2),
            duration: beatsOf(i === count - 1 ? 2 : 1, 2),
            pitches: [pitchFromMidi(keys[place] as number, "flats")],
          };
        });
      }
    },
    also: ["phrase-length"],
  },
  {
    title: "two octaves too high",
    rule: "range",
    *make(line) {
      for (const by of [24, 36]) yield line.map((event) => struck(event, midiOf(event) + by));
    },
  },
];

/** Lines that break a rule alone, each with the chance of its take. */
export const faulty = (fault: Fault, bases: readonly Base[]): readonly Base[] =>
  bases.flatMap(({ score, seed }) => {
    for (const right of fault.make(score.right, score)) {
      const made = { ...score, right };
      if (
        brokenRules(made)
          .filter((rule) => !(fault.also ?? []).includes(rule))
          .join(" ") === fault.rule
      )
        return [{ score: made, seed }];
    }
    return [];
  });

const HUMAN: SimulateTakeOptions = { jitterMs: 10, velocitySpread: 5, chordSpreadMs: 10, lateLeftMs: 5 };

/** What is said about a take of a score whose right hand nobody wrote down; the take is on one track. */
export const said = ({ score, seed }: Base, faults: SimulateTakeOptions = {}): readonly string[] =>
  assessImprovisation({ ...score, right: [] }, simulateTake(score, { ...HUMAN, ...faults, seed }).played).say.map(
    ({ about, id }) => (about === "line" ? id : `left hand: ${id}`),
  );

const ROWS: readonly {
  readonly title: string;
  readonly expected: string;
  readonly bases: (clean: readonly Base[]) => readonly Base[];
  readonly faults?: SimulateTakeOptions;
}[] = [
  { title: "lines that keep every rule", expected: "", bases: (clean) => clean },
  ...FAULTS.map((fault) => ({
    title: fault.title,
    expected: fault.rule,
    bases: (clean: readonly Base[]) => faulty(fault, clean),
  })),
  {
    title: "left hand slowing down by 15 %, line with it",
    expected: "left hand: tempo-drift",
    bases: (clean) => clean,
    faults: { drift: 0.85 },
  },
];

/** The guide's table of improvised takes. */
export const improvisedTable = (each: number): string => {
  const clean = cleanLines(each);
  return [
    "| fault | said | takes | said rightly | takes with another, untrue remark |",
    "|---|---|---|---|---|",
    ...ROWS.map(({ title, expected, bases, faults }) => {
      const heard = bases(clean).map((base) => said(base, faults));
      const recalled = heard.filter((ids) => ids.includes(expected)).length;
      const others = heard.flatMap((ids) => ids.filter((id) => id !== expected));
      const counts = [...new Set(others)]
        .map((id) => `${id} ${others.filter((other) => other === id).length}`)
        .join(", ");
      const untrue = heard.filter((ids) => ids.some((id) => id !== expected)).length;
      return `| ${title} | ${expected === "" ? "none" : expected} | ${heard.length} | ${expected === "" ? "–" : `${Math.round((100 * recalled) / heard.length)} %`} | ${untrue}${counts === "" ? "" : ` (${counts})`} |`;
    }),
  ].join("\n");
};
