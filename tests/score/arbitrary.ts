import fc from "fast-check";
import type { Beats, ChordSpan, Feel, Finger, GraceNote, Metre, NoteEvent, Pitch, Score, TimeSpan } from "../all.ts";
import {
  addBeats,
  barLength,
  beats,
  beatsOf,
  compareBeats,
  makeScore,
  multiplyBeats,
  parseChord,
  parseKey,
  parseMetre,
  pitchFromMidi,
  spellInKey,
  straight,
  subtractBeats,
  swungFeel,
  ZERO,
} from "../all.ts";

/** What a generated score may hold. */
export interface Wanted {
  /** Grace notes. @defaultValue true */
  readonly graces?: boolean;
  /** Feels besides straight. @defaultValue true */
  readonly swing?: boolean;
  /** Bass and drums. @defaultValue true */
  readonly backing?: boolean;
  /** Only chords that follow one another to the end, as MusicXML can say. @defaultValue false */
  readonly printed?: boolean;
}

const METRES = ["4/4", "3/4", "2/4", "6/8", "12/8", "5/4", "7/8", "2/2", "3/8"] as const;
const KEYS = ["C", "F", "Bb", "Eb", "Db", "Gb", "F#", "A", "C minor", "G# minor", "Eb minor", "Cb", "C#"] as const;
const SYMBOLS = [
  "C",
  "Am7",
  "Dm9",
  "G13",
  "C6/9",
  "F#m7b5",
  "Bb7(b9)",
  "Ebmaj7",
  "Abdim7",
  "C7/E",
  "G7sus4",
  "Db7alt",
  "F/A",
  "B+",
] as const;

/** Cell by cell, each cut into equal shares, the shares joined at random: everything falls where it can be printed. */
const moments = (start: Beats, end: Beats, cell: Beats, shares: readonly number[]): fc.Arbitrary<readonly Beats[]> => {
  const cells: Beats[] = [];
  const whole = subtractBeats(
    start,
    multiplyBeats(cell, beats(Math.floor(start.num / start.den / (cell.num / cell.den)))),
  );
  let at = whole.num === 0 ? start : subtractBeats(start, whole);
  for (; compareBeats(at, end) < 0; at = addBeats(at, cell)) cells.push(at);
  return fc
    .tuple(
      ...cells.map(() => fc.tuple(fc.constantFrom(...shares), fc.array(fc.boolean(), { minLength: 5, maxLength: 5 }))),
    )
    .map((cuts) =>
      cuts.flatMap(([shares, kept], c) =>
        Array.from({ length: shares }, (_, i) =>
          addBeats(cells[c] as Beats, multiplyBeats(cell, beatsOf(i, shares))),
        ).filter((m, i) => kept[i] && compareBeats(m, start) >= 0),
      ),
    );
};

interface Line {
  readonly low: number;
  readonly high: number;
  readonly size: number;
  /** Into how many a beat is cut; fives and threes in one hand's beat can't be printed together. */
  readonly shares: readonly number[];
}

const eventAt = (
  at: Beats,
  duration: Beats,
  line: Line,
  spell: (midi: number) => Pitch,
  wanted: Wanted,
): fc.Arbitrary<NoteEvent | undefined> =>
  fc
    .record({
      rest: fc.integer({ min: 0, max: 4 }).map((n) => n === 0),
      midi: fc.uniqueArray(fc.integer({ min: line.low, max: line.high }), { minLength: 1, maxLength: line.size }),
      fingered: fc.boolean(),
      finger: fc.constantFrom<Finger>(1, 2, 3, 4, 5),
      graces: fc.oneof(
        { weight: 5, arbitrary: fc.constant<[number, GraceNote["style"], boolean][]>([]) },
        {
          weight: 1,
          arbitrary: fc.array(
            fc.tuple(
              fc.integer({ min: -2, max: 2 }),
              fc.constantFrom("slide" as const, "crushed" as const),
              fc.boolean(),
            ),
            { minLength: 1, maxLength: 3 },
          ),
        },
      ),
      articulation: fc.constantFrom(undefined, undefined, undefined, "accent" as const, "staccato" as const),
      velocity: fc.option(fc.integer({ min: 1, max: 127 }), { nil: undefined, freq: 3 }),
    })
    .map(({ rest, midi, fingered, finger, graces, articulation, velocity }) => {
      if (rest) return undefined;
      const pitches = [...midi].sort((a, b) => a - b).map(spell);
      const grace = graces.map(
        ([by, style, marked]): GraceNote => ({
          pitch: spell((midi[0] as number) + by),
          style,
          ...(marked ? { finger } : {}),
        }),
      );
      return {
        at,
        duration,
        pitches,
        ...(fingered ? { fingers: pitches.map((_, i) => ((i % 5) + 1) as Finger) } : {}),
        ...(grace.length > 0 && wanted.graces !== false ? { graces: grace } : {}),
        ...(articulation === undefined ? {} : { articulation }),
        ...(velocity === undefined ? {} : { velocity }),
      };
    });

const lineOf = (
  start: Beats,
  end: Beats,
  metre: Metre,
  line: Line,
  spell: (midi: number) => Pitch,
  wanted: Wanted,
): fc.Arbitrary<readonly NoteEvent[]> =>
  moments(start, end, beatsOf(4, Math.max(4, metre.unit)), line.shares).chain((at) =>
    fc
      .tuple(...at.map((m, i) => eventAt(m, subtractBeats(at[i + 1] ?? end, m), line, spell, wanted)))
      .map((events) => events.filter((e) => e !== undefined)),
  );

const FEELS: readonly Feel[] = [
  straight,
  swungFeel("2:1"),
  swungFeel("1.3:1"),
  swungFeel("3:1", { unit: "16th" }),
  swungFeel("7:3", {
    id: "late downbeats",
    downbeatDelay: "1/16",
    parts: { left: { downbeatDelay: beats(0) }, bass: { ratio: { first: 1, second: 1 } } },
  }),
];

/** Phrases from the start of one event to the end of a later one, as they read back from slurs. */
const phrasesOver = (events: readonly NoteEvent[], cuts: readonly number[]): readonly TimeSpan[] => {
  const phrases: TimeSpan[] = [];
  let free = 0;
  for (const cut of cuts) {
    const first = events[free];
    const last = events[free + cut];
    if (first === undefined || last === undefined) break;
    const until = addBeats(last.at, last.duration);
    const next = events.findIndex((e, i) => i > free + cut && compareBeats(e.at, until) >= 0);
    // A phrase has to be the only claim on its events.
    if (
      events.every(
        (e, i) => (i >= free && i <= free + cut) || compareBeats(e.at, first.at) < 0 || compareBeats(e.at, until) >= 0,
      )
    ) {
      phrases.push({ at: first.at, duration: subtractBeats(until, first.at) });
    }
    if (next < 0) break;
    free = next;
  }
  return phrases;
};

/** Scores of one to four bars, with all that a score can hold. */
export const anyScore = (wanted: Wanted = {}): fc.Arbitrary<Score> =>
  fc
    .record({
      metre: fc.constantFrom(...METRES).map(parseMetre),
      key: fc.constantFrom(...KEYS).map(parseKey),
      bars: fc.integer({ min: 1, max: 3 }),
      pickup: fc.constantFrom("0", "0", "1", "1/2").map(beats),
      tempo: fc.oneof(fc.integer({ min: 40, max: 240 }), fc.constantFrom(110.5, 66.67)),
      feel: wanted.swing === false ? fc.constant(straight) : fc.constantFrom(...FEELS),
      title: fc.constantFrom("", "Turnaround in E♭", 'Shells & <rootless> "A"', "ii–V–I"),
      twoVoices: fc.boolean(),
    })
    .chain(({ metre, key, bars, pickup, tempo, feel, title, twoVoices }) => {
      const lead = metre.unit === 4 || metre.unit === 2 || pickup.num === 0 ? pickup : beats("1/2");
      const start = subtractBeats(ZERO, lead);
      const end = multiplyBeats(barLength(metre), beats(bars));
      const inKey = (midi: number): Pitch => spellInKey(midi, key);
      const flat = (midi: number): Pitch => pitchFromMidi(midi, "flats");
      const one = [1, 1, 2, 2, 3, 4, 5];
      const two = [1, 1, 2, 2, 3, 4];
      const line = (
        low: number,
        high: number,
        size: number,
        spell: (midi: number) => Pitch,
        shares = one,
      ): fc.Arbitrary<readonly NoteEvent[]> => lineOf(start, end, metre, { low, high, size, shares }, spell, wanted);
      const pulses = moments(ZERO, end, barLength(metre), [1, 2, 4]);
      return fc
        .record({
          right: fc.oneof(line(60, 84, 2, inKey), line(60, 72, 1, flat)),
          upper: line(52, 59, 3, inKey, two),
          lower: twoVoices ? line(36, 48, 1, inKey, two) : fc.constant([]),
          chordsAt: pulses,
          symbols: fc.array(fc.constantFrom(undefined, ...SYMBOLS), { minLength: 24, maxLength: 24 }),
          cuts: fc.array(fc.integer({ min: 1, max: 5 }), { maxLength: 4 }),
          bass: fc.option(line(28, 43, 1, inKey), { nil: undefined }),
          drums: fc.option(moments(start, end, beats("1/2"), [1, 2]), { nil: undefined }),
        })
        .map(({ right, upper, lower, chordsAt, symbols, cuts, bass, drums }) => {
          const chords = chordsAt.map((at, i): ChordSpan => {
            const symbol = symbols[i % symbols.length];
            const until = chordsAt[i + 1] ?? end;
            const length = subtractBeats(until, at);
            const short = wanted.printed !== true && i % 3 === 1;
            return {
              at,
              duration: short ? multiplyBeats(length, beats("1/2")) : length,
              chord: symbol === undefined ? undefined : parseChord(symbol),
              ...(wanted.printed !== true && i % 2 === 0 ? { numeral: "V7/ii" } : {}),
            };
          });
          const phrases = phrasesOver(right, cuts);
          return makeScore({
            title,
            key,
            metre,
            bars,
            tempo,
            feel,
            pickup: lead,
            chords,
            right,
            left: [...upper, ...lower],
            ...(phrases.length === 0 ? {} : { phrases }),
            ...(bass === undefined || wanted.backing === false
              ? {}
              : { bass: bass.map(({ at, duration, pitches }) => ({ at, duration, pitches })) }),
            ...(drums === undefined || wanted.backing === false
              ? {}
              : {
                  drums: drums
                    .map((at, i) => ({
                      at,
                      duration: beats("1/16"),
                      midi: 51,
                      ...(i % 2 === 0 ? { velocity: 90 } : {}),
                    }))
                    .filter((d, i, all) =>
                      i === all.length - 1
                        ? compareBeats(addBeats(d.at, d.duration), end) <= 0
                        : compareBeats(addBeats(d.at, d.duration), (all[i + 1] as { at: Beats }).at) <= 0,
                    ),
                }),
          });
        });
    });
