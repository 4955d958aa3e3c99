// Takes by a model of people of its own (tests/assess/people.ts), and what is said of them: npx tsx bench/people.ts [takes] [--write]
// With --write the tables of docs/assessment.md are renewed. It takes some minutes: run it niced.
import { readFileSync, writeFileSync } from "node:fs";
import { attempt } from "../src/ground/attempt.ts";
import type { Chance } from "../src/ground/chance.ts";
import { chanceOf } from "../src/ground/chance.ts";
import { nth } from "../src/ground/list.ts";
import type { Assessment, NoteEvent, PlayedNote, Score } from "../tests/all.ts";
import { assessTake, beatsOf, makeDrill, makeScore, metre, parseKey, pitchFromMidi } from "../tests/all.ts";
import type { Habits, Stretch } from "../tests/assess/people.ts";
import { person } from "../tests/assess/people.ts";
import { withTables } from "../tests/assess/proof.ts";

const drills: readonly Score[] = [
  makeDrill({ key: "Ab", repeats: 2, values: "triplets" }).score,
  makeDrill({ key: "D", repeats: 2, values: "eighths", octaves: 2 }).score,
  makeDrill({ key: "G", left: "rootless", values: "eighths", repeats: 2 }).score,
  makeDrill({ key: "Bb", changes: "blues", left: "rootless" }).score,
  makeDrill({ key: "C minor", left: "shell" }).score,
  makeDrill({ key: "F", changes: "two-five-one", left: "three-note-rootless" }).score,
  makeDrill({ key: "E", changes: "blues", octaves: 2, tempo: 80 }).score,
  makeDrill({ key: "Db", feel: "1:1", backing: "none", tempo: 72 }).score,
];

const among = <T>(chance: Chance, list: readonly T[]): T => nth(list, Math.floor(chance.share() * list.length));

/** A melody of so many bars by a seed: steps and small leaps in quarters, eighths, halves and dotted quarters, over held fifths. */
const melody = (seed: number, bars = 8): Score => {
  const chance = chanceOf(seed, 11);
  const shapes = [
    [1, 1, 1, 1],
    [2, 1, 1],
    [1, 1, 2],
    [0.5, 0.5, 1, 1, 1],
    [1.5, 0.5, 2],
    [1, 0.5, 0.5, 2],
    [2, 2],
  ] as const;
  const scale = [0, 2, 4, 5, 7, 9, 11];
  let [at, step] = [0, 7];
  const right: NoteEvent[] = [];
  for (let bar = 0; bar < bars; bar++)
    for (const length of bar === bars - 1 ? [2, 2] : among(chance, shapes)) {
      step = Math.max(2, Math.min(14, step + among(chance, [-2, -1, -1, 1, 1, 2, 3])));
      const midi = 55 + 12 * Math.floor(step / 7) + (scale[step % 7] ?? 0);
      right.push({ at: beatsOf(at * 2, 2), duration: beatsOf(length * 2, 2), pitches: [pitchFromMidi(midi, "flats")] });
      at += length;
    }
  const left = Array.from({ length: bars }, (_, bar): NoteEvent => {
    const root = 43 + (scale[(seed + bar * 3) % 7] ?? 0);
    return {
      at: beatsOf(bar * 4, 1),
      duration: beatsOf(4, 1),
      pitches: [pitchFromMidi(root, "flats"), pitchFromMidi(root + 7, "flats")],
    };
  });
  return makeScore({ key: parseKey("C"), metre: metre("4/4"), bars, tempo: 92, right, left });
};

// None of these seeds was looked at when thresholds were set.
const FRESH = 3_000_000;
const melodies = Array.from({ length: 4 }, (_, i) => melody(FRESH + 700 + i));
const scores = [...drills, ...melodies];

const percent = (part: number, whole: number): string => (whole === 0 ? "–" : `${Math.round((100 * part) / whole)} %`);

/** What is said of takes with a habit, beside what may be. */
interface Tried {
  readonly takes: number;
  readonly untrue: number;
  readonly told: ReadonlyMap<string, number>;
}

// A take that is refused tells nothing.
const said = (score: Score, take: readonly PlayedNote[]): Pick<Assessment, "say"> =>
  attempt(() => assessTake(score, take)) ?? { say: [] };

const attempts: readonly (readonly [
  title: string,
  habits: (score: Score, seed: number) => Habits,
  may?: readonly string[],
])[] = [
  ["once through", () => ({})],
  ["the right hand alone", ({ bars }) => ({ stretches: [{ hands: "right", from: 1, to: bars }] })],
  ["the left hand alone", ({ bars }) => ({ stretches: [{ hands: "left", from: 1, to: bars }] })],
  [
    "two bars, three to five times",
    (_, seed) => ({
      stretches: Array.from({ length: 3 + (seed % 3) }, () => ({ hands: "both", from: 3, to: 4 }) as const),
    }),
  ],
  [
    "each hand alone, then both",
    ({ bars }) => ({
      stretches: (["right", "left", "both"] as const).map((hands): Stretch => ({ hands, from: 1, to: bars, after: 1 })),
    }),
  ],
  ["counted in with four taps", () => ({ countIn: 4 })],
  ["trying out before", () => ({ noodle: ["before"] })],
  ["trying out after", () => ({ noodle: ["after"] })],
  ["a layer an octave higher", () => ({ layer: true })],
  ["every key on two channels", () => ({ doubled: true })],
  ["slowing down at the end", () => ({ ritardando: 0.65 })],
  ["the left hand an octave low", () => ({ shift: { right: 0, left: -12 } }), ["other-key"]],
  [
    "hesitating once",
    ({ bars }, seed) => ({ hesitations: [{ at: 4 * (1 + (seed % (bars - 1))), seconds: 1.2 }] }),
    ["pauses", "lasted"],
  ],
];

const tryOut = (
  habits: (score: Score, seed: number) => Habits,
  may: readonly string[],
  of: readonly Score[],
  takes: number,
  from: number,
): Tried => {
  let untrue = 0;
  const told = new Map<string, number>();
  for (let i = 0; i < takes; i++) {
    const score = of[i % of.length];
    if (score === undefined) continue;
    const seed = FRESH + from + i;
    const others = said(score, person(score, seed, habits(score, seed))).say.filter(
      ({ id, message }) => !may.includes(id) && !(may.includes("lasted") && /^[^.]* lasted like /.test(message)),
    );
    if (others.length > 0) untrue++;
    if (others.length > 0 && process.env.SHOW !== undefined)
      console.log(`    score ${i % of.length} seed ${seed}: ${others.map(({ message }) => message).join(" / ")}`);
    for (const { id } of others) told.set(id, (told.get(id) ?? 0) + 1);
  }
  return { takes, untrue, told };
};

const listed = (told: ReadonlyMap<string, number>): string =>
  told.size === 0 ? "" : ` (${[...told].map(([id, count]) => `${id} ${count}`).join(", ")})`;

const [count = 500] = process.argv
  .slice(2)
  .map(Number)
  .filter((n) => n > 0);
const write = process.argv.includes("--write");
const only = process.argv.find((word) => word.startsWith("--only="))?.slice(7);
const tables: Record<string, string> = {};
const wanted = (name: string): boolean => only === undefined || only === name;

if (wanted("attempts")) {
  const each = Math.ceil(count / attempts.length);
  let [all, wrong] = [0, 0];
  const rows = attempts.map(([title, habits, may = []], i) => {
    const { takes, untrue, told } = tryOut(habits, may, scores, each, 1000 * (i + 1));
    [all, wrong] = [all + takes, wrong + untrue];
    const row = `| ${title} | ${takes} | ${untrue}${listed(told)} |`;
    console.log(row);
    return row;
  });
  const clean = tryOut(() => ({ noiseMs: 20 }), [], scores, 100, 90_000);
  rows.push(
    `| all of these | ${all} | ${wrong} |`,
    `| clean, each key spread by 20 ms | ${clean.takes} | ${clean.untrue}${listed(clean.told)} |`,
  );
  console.log(rows.slice(-2).join("\n"));
  tables.attempts = ["| what was done | takes | with an untrue remark |", "|---|---|---|", ...rows].join("\n");
}

interface Fault {
  readonly title: string;
  readonly habits: (score: Score, seed: number) => Habits;
  /** Findings of which one is to be said. */
  readonly expected: readonly string[];
  /** Findings that are true of it as well. */
  readonly also?: readonly string[];
}

const SLIPS = ["wrong-notes", "missed-notes", "extra-notes", "trouble-spot"];
const middle = ({ bars }: Score, seed: number): number => 4 * (1 + (seed % Math.max(1, bars - 2)));
const whole = ({ bars }: Score): Stretch => ({ hands: "both", from: 1, to: bars });

const faults: readonly Fault[] = [
  { title: "wrong keys, 5 %", habits: () => ({ wrong: 0.05 }), expected: ["wrong-notes", "trouble-spot"], also: SLIPS },
  {
    title: "notes left out, 5 %",
    habits: () => ({ missed: 0.05 }),
    expected: ["missed-notes", "trouble-spot"],
    also: SLIPS,
  },
  {
    title: "keys besides, 5 %",
    habits: () => ({ extra: 0.05 }),
    expected: ["extra-notes", "trouble-spot"],
    also: SLIPS,
  },
  {
    title: "a key always a half step high",
    habits: (s) => ({ always: { pitchClass: often(s), by: 1 } }),
    expected: ["wrong-notes"],
    also: SLIPS,
  },
  {
    title: "a key always a half step low",
    habits: (s) => ({ always: { pitchClass: often(s), by: -1 } }),
    expected: ["wrong-notes"],
    also: SLIPS,
  },
  { title: "right hand an octave high", habits: () => ({ shift: { right: 12, left: 0 } }), expected: ["other-key"] },
  { title: "left hand an octave low", habits: () => ({ shift: { right: 0, left: -12 } }), expected: ["other-key"] },
  { title: "both hands a third low", habits: () => ({ shift: { right: -4, left: -4 } }), expected: ["other-key"] },
  { title: "half the tempo", habits: (s) => ({ tempo: s.tempo / 2 }), expected: ["other-tempo"] },
  { title: "four fifths of the tempo", habits: (s) => ({ tempo: s.tempo * 0.8 }), expected: ["other-tempo"] },
  { title: "a sixth too fast", habits: (s) => ({ tempo: s.tempo * 1.17 }), expected: ["other-tempo"] },
  {
    title: "a stop of 1.5 s",
    habits: (s, seed) => ({ hesitations: [{ at: middle(s, seed), seconds: 1.5 }] }),
    expected: ["pauses"],
    also: ["wrong-rhythm"],
  },
  {
    title: "three stops of 1 s",
    habits: (s) => ({ hesitations: [4, 8, 12].map((at) => ({ at: Math.min(at, 4 * s.bars - 4), seconds: 1 })) }),
    expected: ["pauses"],
    also: ["wrong-rhythm"],
  },
  {
    title: "back a bar and on",
    habits: (s, seed) => {
      const bar = 2 + (seed % Math.max(1, s.bars - 2));
      return {
        stretches: [
          { hands: "both", from: 1, to: bar },
          { hands: "both", from: bar, to: s.bars, after: 0.8 },
        ],
      };
    },
    expected: ["restarts"],
  },
  {
    title: "the last two bars not reached",
    habits: (s) => ({ stretches: [{ hands: "both", from: 1, to: s.bars - 2 }] }),
    expected: [],
  },
  {
    title: "a bar left out",
    habits: (s) => ({
      stretches: [
        { hands: "both", from: 1, to: 2 },
        { hands: "both", from: 4, to: s.bars },
      ],
    }),
    expected: ["left-out", "missed-notes"],
    also: [...SLIPS, "left-out"],
  },
  { title: "the left hand 60 ms late", habits: () => ({ lateLeftMs: 60 }), expected: ["hands-apart"] },
  { title: "the left hand 70 ms early", habits: () => ({ lateLeftMs: -70 }), expected: ["hands-apart"] },
  {
    title: "chords rolled over 80 ms",
    habits: () => ({ chordSpreadMs: 80 }),
    expected: ["chord-spread"],
    also: ["hands-apart"],
  },
  { title: "notes held for two fifths", habits: () => ({ held: 0.4 }), expected: ["held-short", "detached"] },
  { title: "velocities spread by 22", habits: () => ({ velocitySpread: 22 }), expected: ["uneven-touch"] },
  {
    title: "onsets spread by 55 ms",
    habits: () => ({ noiseMs: 55 }),
    expected: ["uneven-timing", "hands-apart", "uneven-swing", "uneven-triplets"],
    also: ["chord-spread", "uneven-timing", "hands-apart", "uneven-swing", "uneven-triplets", ...SLIPS],
  },
  {
    title: "a tempo that drifts by a tenth a beat",
    habits: () => ({ drift: 0.1 }),
    expected: ["unsteady-tempo", "tempo-drift"],
    also: ["uneven-timing", "wrong-rhythm", "other-tempo", "uneven-swing", "uneven-triplets"],
  },
  { title: "swung at 1.2:1", habits: () => ({ swing: 1.2 }), expected: ["swing-ratio"] },
  { title: "swung at 3.2:1", habits: () => ({ swing: 3.2 }), expected: ["swing-ratio"] },
  {
    title: "wrong keys and keys besides",
    habits: () => ({ wrong: 0.04, extra: 0.04 }),
    expected: ["wrong-notes", "extra-notes", "trouble-spot"],
    also: SLIPS,
  },
  {
    title: "the left hand alone, 5 % wrong",
    habits: (s) => ({ stretches: [{ ...whole(s), hands: "left" }], wrong: 0.08 }),
    expected: ["wrong-notes", "trouble-spot"],
    also: SLIPS,
  },
  {
    title: "the right hand alone, 5 % left out",
    habits: (s) => ({ stretches: [{ ...whole(s), hands: "right" }], missed: 0.07 }),
    expected: ["missed-notes", "trouble-spot"],
    also: SLIPS,
  },
  {
    title: "round and round, 5 % wrong",
    habits: () => ({
      stretches: Array.from({ length: 5 }, () => ({ hands: "both", from: 1, to: 4 }) as const),
      wrong: 0.05,
    }),
    expected: ["wrong-notes", "trouble-spot"],
    also: SLIPS,
  },
  {
    title: "a whole step high, doubled channel",
    habits: () => ({ shift: { right: 2, left: 2 }, doubled: true }),
    expected: ["other-key"],
  },
];

const often = (score: Score): number => {
  const counts = new Map<number, number>();
  for (const event of score.right)
    for (const p of event.pitches) counts.set(p.semitones % 12, (counts.get(p.semitones % 12) ?? 0) + 1);
  return [...counts].sort((a, b) => b[1] - a[1])[0]?.[0] ?? 0;
};

// A fault shows only where the score has room for it.
const suits = ({ title }: Fault, score: Score): boolean => {
  const swings = score.feel.ratio.first !== score.feel.ratio.second;
  const eighths = score.right.filter(({ at }) => at.den === 2).length >= 10;
  if (title.startsWith("swung")) return swings && eighths;
  if (title.startsWith("a tempo")) return swings;
  if (title.startsWith("notes held"))
    return [...score.left, ...score.right].filter(({ duration }) => duration.num >= duration.den).length >= 6;
  if (title.startsWith("chords")) return score.left.filter(({ pitches }) => pitches.length > 1).length >= 5;
  return true;
};

if (wanted("faults")) {
  const each = Math.max(4, Math.ceil(count / 40));
  let [asked, heard, remarks, true_] = [0, 0, 0, 0];
  const rows = faults.map((fault, f) => {
    const of = scores.filter((score) => suits(fault, score));
    let [recalled, untrue] = [0, 0];
    const told = new Map<string, number>();
    for (let i = 0; i < each; i++) {
      const score = of[(i * 5 + f) % of.length];
      if (score === undefined) continue;
      const seed = FRESH + 5000 * (f + 1) + i;
      const { say } = said(score, person(score, seed, fault.habits(score, seed)));
      const ids = say.map(({ id }) => id);
      const may = [...fault.expected, ...(fault.also ?? [])];
      const others = say.filter(({ id }) => !may.includes(id));
      const isHeard = fault.expected.length === 0 || ids.some((id) => fault.expected.includes(id));
      if (process.env.SHOW !== undefined && (!isHeard || others.length > 0))
        console.log(
          `    ${fault.title}: score ${scores.indexOf(score)} seed ${seed}: ${say.map(({ message }) => message).join(" / ")}`,
        );
      if (isHeard) recalled++;
      if (others.length > 0) untrue++;
      for (const { id } of others) told.set(id, (told.get(id) ?? 0) + 1);
      [remarks, true_] = [remarks + say.length, true_ + say.length - others.length];
    }
    [asked, heard] = [asked + each, heard + recalled];
    const row = `| ${fault.title} | ${fault.expected.join(", ") || "nothing"} | ${each} | ${recalled} | ${untrue}${listed(told)} |`;
    console.log(row);
    return row;
  });
  rows.push(`| all of these | | ${asked} | ${percent(heard, asked)} | ${percent(true_, remarks)} of remarks true |`);
  // In pairs: both are to be heard among three remarks.
  let [pairs, both, one, said_, fine] = [0, 0, 0, 0, 0];
  const told = new Map<string, number>();
  const combinable = faults.filter(
    ({ expected, title, habits }) =>
      expected.length > 0 && habits(melody(1), 1).stretches === undefined && !title.includes(" and "),
  );
  for (let i = 0; i < count / 4; i++) {
    const chance = chanceOf(FRESH + 31_000 + i, 5);
    const [a, b] = [among(chance, combinable), among(chance, combinable)];
    const of = scores.filter((score) => suits(a, score) && suits(b, score));
    const score = of[i % of.length];
    if (score === undefined || a.expected[0] === b.expected[0]) continue;
    const seed = FRESH + 31_000 + i;
    const [first, second] = [a.habits(score, seed), b.habits(score, seed)];
    if (Object.keys(first).some((key) => key in second)) continue;
    const { say } = said(score, person(score, seed, { ...first, ...second }));
    const ids = say.map(({ id }) => id);
    const hits = [a, b].filter(({ expected }) => ids.some((id) => expected.includes(id))).length;
    const may = [a, b].flatMap(({ expected, also = [] }) => [...expected, ...also]);
    const others = say.filter(({ id }) => !may.includes(id));
    for (const { id } of others) told.set(id, (told.get(id) ?? 0) + 1);
    if (process.env.SHOW !== undefined && (hits < 2 || others.length > 0))
      console.log(
        `    ${a.title} + ${b.title}: score ${scores.indexOf(score)} seed ${seed}: ${ids.join(" ")} | ${others.map(({ message }) => message).join(" / ")}`,
      );
    pairs++;
    if (hits === 2) both++;
    if (hits > 0) one++;
    [said_, fine] = [said_ + say.length, fine + say.length - others.length];
  }
  rows.push(
    `| pairs of them: both said, one at least | | ${pairs} | ${percent(both, pairs)}, ${percent(one, pairs)} | ${percent(fine, said_)} of remarks true${listed(told)} |`,
  );
  console.log(rows.slice(-2).join("\n"));
  tables.people = ["| fault | said | takes | heard | with an untrue remark |", "|---|---|---|---|---|", ...rows].join(
    "\n",
  );
}

if (wanted("rhythm")) {
  let [named, place, bars, extra] = [0, 0, 0, 0];
  const takes = 100;
  for (let i = 0; i < takes; i++) {
    const score = melody(FRESH + 9000 + i);
    const chance = chanceOf(FRESH + 9000 + i, 17);
    const places = score.right
      .slice(1, -2)
      .map(({ at, duration }) => ({ at: at.num / at.den, length: duration.num / duration.den }));
    const one = among(chance, places);
    // Half or twice as long, or dotted, as people misread.
    const other = among(
      chance,
      one.length === 0.5
        ? ([1] as const)
        : one.length === 1
          ? ([0.5, 2, 0.5] as const)
          : one.length === 1.5
            ? ([1] as const)
            : ([1, 1, 3] as const),
    );
    const { say, alignment } = assessTake(
      score,
      person(score, FRESH + 9000 + i, { durations: [{ at: one.at, by: other - one.length }] }),
    );
    const misread = alignment.runs.flatMap((run) => run.misread);
    const [bar, beat] = [Math.floor(one.at / 4) + 1, (one.at % 4) + 1];
    const value = (text: string): number =>
      text
        .split("/")
        .map(Number)
        .reduce((a, b) => a / b);
    const here = misread.find((m) => m.bar === bar && Math.abs(value(m.beat) - beat) < 1e-6);
    if (here !== undefined) place++;
    if (misread.some((m) => m.bar === bar)) bars++;
    if (here !== undefined && Math.abs(here.asked - one.length) < 0.01 && Math.abs(here.played - other) < 0.01) named++;
    const others = say.filter(({ id }) => id !== "wrong-rhythm");
    if (others.length > 0 || misread.length > 1) extra++;
    if (process.env.SHOW !== undefined && (here === undefined || others.length > 0))
      console.log(
        `    ${i}: bar ${bar} beat ${beat} ${one.length} as ${other}; ${say.map(({ message }) => message).join(" / ")}`,
      );
  }
  const rows = [
    `| bar and beat | ${place} of ${takes} |`,
    `| bar, beat and both durations | ${named} of ${takes} |`,
    `| the bar | ${bars} of ${takes} |`,
    `| another remark, or another place besides | ${extra} of ${takes} |`,
  ];
  console.log(rows.join("\n"));
  tables.rhythm = ["| one duration misread in a melody of eight bars: told | takes |", "|---|---|", ...rows].join("\n");
}

if (write) {
  const guide = new URL("../docs/assessment.md", import.meta.url);
  writeFileSync(guide, withTables(readFileSync(guide, "utf8"), tables));
}
