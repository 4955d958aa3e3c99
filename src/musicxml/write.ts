import * as v from "valibot";
import type { Hand, NoteEvent } from "../event/index.ts";
import { CAUTION } from "../ground/caution.ts";
import { check } from "../ground/check.ts";
import { MusicError } from "../ground/errors.ts";
import { known, nth } from "../ground/list.ts";
import { step } from "../ground/watch.ts";
import type { ChordSpan } from "../progression/index.ts";
import type { LaidOutBar, LaidOutNote, LaidOutPiece, LaidOutVoice, Score } from "../score/index.ts";
import { layOutScore } from "../score/index.ts";
import type { WrittenScore } from "../score/inner.ts";
import { checkScore, writtenScore } from "../score/inner.ts";
import type { Beats, Metre } from "../time/index.ts";
import { addBeats, beats, compareBeats, isCompound, multiplyBeats, pulseLength, subtractBeats } from "../time/index.ts";
import { barStartInMetres } from "../time/inner.ts";
import type { NoteAccidentals, StaffMemory } from "./accidentals.ts";
import { accidentalsOf, signatureOf } from "./accidentals.ts";
import type { PrintedFingers } from "./fingers.ts";
import { printedFingers } from "./fingers.ts";
import { harmonyElement } from "./harmony.ts";
import type { PhraseEdges } from "./notes.ts";
import { noteElements, restElement } from "./notes.ts";
import type { NumeralMarks, NumeralsOf } from "./numerals.ts";
import { markElements, marksOf, momentOf, NO_MARKS, numeralsShape } from "./numerals.ts";
import { leftBarline, rightBarline, signsBefore, signsBehind } from "./road.ts";
import type { LeftAs } from "./strokes.ts";
import { BASS, bassAlone, withStrokes } from "./strokes.ts";
import { barsPerSystem } from "./systems.ts";
import type { Attributes, XmlElement } from "./xml.ts";
import { document, element, leaf } from "./xml.ts";

/** Options of {@link writeMusicXml}. */
export interface MusicXmlOptions {
  /** A line at the foot of the first page, such as a caution. @defaultValue none */
  readonly footer?: string | undefined;
  /** Bars to a system. @defaultValue four, or fewer where the music is dense */
  readonly barsPerSystem?: number | undefined;
  /**
   * Whether chord symbols state their degrees beside kind and text. Those that the text prints already (the 9th of 6/9, the 11th that a 13th
   * chord leaves out) are marked not to be printed; leave degrees out for an engraver that prints them all the same, as verovio 6.3 does.
   * @defaultValue true
   */
  readonly degrees?: boolean | undefined;
  /**
   * Whether the fingers of a chord with seconds stand at one of its notes, from low to high, instead of each at its own: for an engraver that
   * sets fingers beside heads which stand side by side, as verovio 6.3 does, and only to be printed. @defaultValue false
   */
  readonly stackedFingers?: boolean | undefined;
  /**
   * Which fingers are printed. `"first"`: a bar of the right hand and a shape of the left hand the first time that they come; `"turns"`: where
   * a phrase begins and where the hand turns, and a shape of the left hand the first time. @defaultValue `"all"`
   */
  readonly fingers?: PrintedFingers | undefined;
  /** Whether phrases are printed, as slurs. @defaultValue true */
  readonly slurs?: boolean | undefined;
  /** Whether tempo and swing are printed over the first bar; they are stated in any case. @defaultValue true */
  readonly tempoMark?: boolean | undefined;
  /**
   * Prints Roman numerals under the chords, counted in the key of the whole, with brackets from each ii to its V: `numeralMarks` of
   * `hands-together/harmony`, or a function of one's own.
   *
   * @defaultValue none are printed
   */
  readonly numerals?: NumeralsOf | undefined;
  /** How the left hand is printed: its notes, their rhythm as strokes, or a stroke a beat. @defaultValue `"notes"` */
  readonly leftAs?: LeftAs | undefined;
  /** Whether the bass player's line is printed, small, on a staff of its own below. @defaultValue false */
  readonly bassLine?: boolean | undefined;
  /** Width of a system in tenths of a staff space, 300 to 5,000, which tells how many bars it holds. @defaultValue that of an A4 page */
  readonly systemWidth?: number | undefined;
}

const optionsShape = /* @__PURE__ */ v.strictObject({
  footer: /* @__PURE__ */ v.optional(
    /* @__PURE__ */ v.pipe(/* @__PURE__ */ v.string(), /* @__PURE__ */ v.maxLength(10_000)),
  ),
  barsPerSystem: /* @__PURE__ */ v.optional(/* @__PURE__ */ v.unknown()),
  degrees: /* @__PURE__ */ v.optional(/* @__PURE__ */ v.boolean()),
  stackedFingers: /* @__PURE__ */ v.optional(/* @__PURE__ */ v.boolean()),
  fingers: /* @__PURE__ */ v.optional(/* @__PURE__ */ v.picklist(["all", "first", "turns", "none"])),
  slurs: /* @__PURE__ */ v.optional(/* @__PURE__ */ v.boolean()),
  tempoMark: /* @__PURE__ */ v.optional(/* @__PURE__ */ v.boolean()),
  numerals: /* @__PURE__ */ v.optional(numeralsShape),
  leftAs: /* @__PURE__ */ v.optional(/* @__PURE__ */ v.picklist(["notes", "rhythm", "slashes"])),
  bassLine: /* @__PURE__ */ v.optional(/* @__PURE__ */ v.boolean()),
  systemWidth: /* @__PURE__ */ v.optional(
    /* @__PURE__ */ v.pipe(
      /* @__PURE__ */ v.number(),
      /* @__PURE__ */ v.minValue(300),
      /* @__PURE__ */ v.maxValue(5000),
    ),
  ),
});

/**
 * Writes a score as MusicXML 4.0 (score-partwise): one piano part of two staves, with chord symbols over the right hand, fingerings,
 * tied notes, tuplet brackets, grace notes and phrase slurs.
 *
 * Sections have their letters, and a form with repeats, endings and jumps its signs, where both hands do the same each time that a bar is played;
 * else the music is written out. The notes stand as written; the tempo and the swing ratio are stated in `<sound>`. Every bar is full. Bass and drums, and what one
 * part's feel does otherwise are not printed, Roman numerals where they are asked for. A chord symbol lasts until the next; where none holds, N.C. is printed.
 * A stretch of music without fingers has none; a phrase of a single event has no slur.
 *
 * Source: W3C Music Notation Community Group, MusicXML 4.0 (2021).
 *
 * @returns the document as text, to be saved as UTF-8
 * @throws MusicError `score/voices` or `time/value` for music that can't be printed, `musicxml/divisions` when no division of the
 * quarter that MusicXML allows holds every length, `pitch/midi-range` for a pitch no keyboard of MIDI has, `musicxml/systems` for fewer than one bar to a system
 *
 * @example
 * ```ts
 * import { makeScore, metre, parseKey, writeMusicXml } from "hands-together";
 *
 * const text = writeMusicXml(makeScore({ key: parseKey("Eb"), metre: metre("4/4"), bars: 2 }));
 * text.includes("<fifths>-3</fifths>"); // => true
 * ```
 */
export function writeMusicXml(score: Score, options: MusicXmlOptions = {}): string {
  checkScore(score, "musicxml/argument");
  check(optionsShape, options, "musicxml/argument");
  const wanted = options.barsPerSystem;
  if (wanted !== undefined && !(Number.isInteger(wanted) && wanted >= 1)) {
    throw new MusicError({
      code: "musicxml/systems",
      input: wanted,
      expected: "a whole number of bars to a system, at least 1",
    });
  }
  const written = writtenScore(score);
  const bars = layOutScore(withStrokes(written.score, options.leftAs ?? "notes"));
  const bass =
    options.bassLine === true && score.bass !== undefined ? layOutScore(bassAlone(written.score)) : undefined;
  const { key, metre, metres } = score;
  // They stand below all staves.
  const numerals = marksOf(
    options.numerals,
    { key, metre, metres, bars: score.bars, chords: score.chords },
    written.onPaper,
  );
  const fingered = printedFingers(written.score, options.fingers ?? "all");
  return document(
    element("score-partwise", { version: "4.0" }, [
      score.title === "" ? undefined : element("work", {}, [leaf("work-title", score.title)]),
      element("identification", {}, [encoding, caution]),
      ...(options.footer === undefined ? [] : page(score.title, options.footer)),
      element("part-list", {}, [
        element("score-part", { id: "P1" }, [leaf("part-name", "Piano", { "print-object": "no" })]),
        bass && element("score-part", { id: "P2" }, [leaf("part-name", BASS, { "print-object": "no" })]),
      ]),
      element(
        "part",
        { id: "P1" },
        measures(written, bass === undefined ? numerals : NO_MARKS, bars, { ...options, fingered }),
      ),
      bass && element("part", { id: "P2" }, bassMeasures(written, numerals, bass)),
    ]),
  );
}

// Per cent of the size of the other staves.
const SMALL = 65;

const bassMeasures = (
  { score, signs }: WrittenScore,
  numerals: NumeralMarks,
  bars: readonly LaidOutBar[],
): readonly XmlElement[] => {
  const divisions = divisionsOf(bars, score.chords);
  const accidentals = accidentalsIn(score, bars);
  return bars.map((bar, i) => {
    const voices = bar.left.map((voice, v) =>
      voiceElements(voice, {
        hand: "left",
        number: v,
        alone: bar.left.length === 1,
        marks: nth(accidentals, i).left,
        edges: new Map(),
        divisions,
        degrees: false,
        symbols: [],
        numerals: NO_MARKS,
        stacked: false,
        fingered: new Set(),
        bass: true,
      }),
    );
    const back = element("backup", {}, [leaf("duration", inDivisions(bar.duration, divisions))]);
    // Endings are told once, in the part of both hands.
    const plain = signs.map(({ ending: _, ...rest }) => rest);
    return element("measure", { number: bar.number, ...(bar.number === 0 ? { implicit: "yes" } : {}) }, [
      ...leftBarline(plain[bar.number - 1] ?? {}),
      i > 0
        ? undefined
        : element("attributes", {}, [
            leaf("divisions", divisions),
            element("key", {}, [leaf("fifths", score.key.fifths), leaf("mode", score.key.mode)]),
            timeElement(score.metre),
            // A double bass sounds an octave below what it reads.
            element("clef", {}, [leaf("sign", "F"), leaf("line", 4), leaf("clef-octave-change", -1)]),
            element("staff-details", {}, [leaf("staff-size", SMALL)]),
          ]),
      ...(score.metres ?? []).filter((change) => change.bar === bar.number).map(({ metre }) => metreElement(metre)),
      ...score.chords
        .filter(({ at }) => compareBeats(at, bar.at) >= 0 && compareBeats(at, addBeats(bar.at, bar.duration)) < 0)
        .flatMap(({ at }) =>
          markElements(numerals.get(momentOf(at)), inDivisions(subtractBeats(at, bar.at), divisions), undefined),
        ),
      ...voices.flatMap((voice, v) => (v === 0 ? voice : [back, ...voice])),
      ...(bar.number === 0 ? [] : rightBarline(plain, bar.number - 1)),
    ]);
  });
};

// An A4 page in tenths of a staff space of 1.75 mm. With one credit on the page the title has to be one too.
const page = (title: string, footer: string): readonly XmlElement[] => [
  element("defaults", {}, [
    element("scaling", {}, [leaf("millimeters", 7), leaf("tenths", 40)]),
    element("page-layout", {}, [
      leaf("page-height", 1697),
      leaf("page-width", 1200),
      element(
        "page-margins",
        { type: "both" },
        ["left", "right", "top", "bottom"].map((side) => leaf(`${side}-margin`, 86)),
      ),
    ]),
  ]),
  ...(title === ""
    ? []
    : [credit("title", title, { "default-x": 600, "default-y": 1611, valign: "top", "font-size": 22 })]),
  credit("caution", footer, { "default-x": 600, "default-y": 60, valign: "bottom", "font-size": 8 }),
];

const credit = (type: string, words: string, place: Attributes): XmlElement =>
  element("credit", { page: 1 }, [
    leaf("credit-type", type),
    leaf("credit-words", words, { ...place, justify: "center" }),
  ]);

const encoding = element("encoding", {}, [
  leaf("software", "hands-together"),
  element("supports", { element: "accidental", type: "yes" }),
  element("supports", { element: "beam", type: "yes" }),
  element("supports", { element: "print", attribute: "new-system", type: "yes", value: "yes" }),
]);

// Tempo and fingers travel without the page that they were printed on.
const caution = element("miscellaneous", {}, [leaf("miscellaneous-field", CAUTION, { name: "caution" })]);

/** Chord spans with N.C. in every gap after the first. */
const withSilence = (score: Score): readonly ChordSpan[] => {
  const all: ChordSpan[] = [];
  const end = barStartInMetres(score, score.bars + 1);
  score.chords.forEach((span, i) => {
    all.push(span);
    const until = addBeats(span.at, span.duration);
    const next = score.chords[i + 1]?.at ?? end;
    if (compareBeats(until, next) < 0) all.push({ at: until, duration: subtractBeats(next, until), chord: undefined });
  });
  return all;
};

// A quarter in divisions: every length and every place in the score is a whole number of them.
const divisionsOf = (bars: readonly LaidOutBar[], chords: readonly ChordSpan[]): number => {
  const dens = new Set<number>(chords.map((span) => span.at.den));
  for (const bar of bars) {
    dens.add(bar.duration.den);
    for (const piece of [...bar.right, ...bar.left].flat()) dens.add(piece.duration.den).add(piece.at.den);
  }
  const divisions = [...dens].reduce(lcm, 1);
  if (divisions > 16_383) {
    throw new MusicError({
      code: "musicxml/divisions",
      input: divisions,
      expected: "lengths that a quarter of at most 16,383 divisions can hold",
      reason: "cannot-be-done",
    });
  }
  return divisions;
};

const gcd = (a: number, b: number): number => (b === 0 ? a : gcd(b, a % b));
const lcm = (a: number, b: number): number => (a / gcd(a, b)) * b;

type Marks = ReadonlyMap<LaidOutNote, NoteAccidentals>;

/** The accidentals of each bar, hand by hand. */
const accidentalsIn = (score: Score, bars: readonly LaidOutBar[]): readonly Readonly<Record<Hand, Marks>>[] => {
  const signature = signatureOf(score.key);
  const memory: Record<Hand, StaffMemory> = { right: new Map(), left: new Map() };
  const marked = (bar: LaidOutBar, hand: Hand): Marks => {
    const { marks, after } = accidentalsOf(bar[hand], signature, memory[hand]);
    memory[hand] = after;
    return marks;
  };
  return bars.map((bar) => ({ right: marked(bar, "right"), left: marked(bar, "left") }));
};

const countMarks = (marks: Marks): number =>
  [...marks.values()].reduce(
    (sum, { graces, pitches }) => sum + [...graces, ...pitches].filter((mark) => mark !== undefined).length,
    0,
  );

const measures = (
  { score, signs }: WrittenScore,
  numerals: NumeralMarks,
  bars: readonly LaidOutBar[],
  options: MusicXmlOptions & { readonly fingered: ReadonlySet<NoteEvent> },
): readonly XmlElement[] => {
  const chords = withSilence(score);
  const divisions = divisionsOf(bars, chords);
  const degrees = options.degrees ?? true;
  const accidentals = accidentalsIn(score, bars);
  const edges = options.slurs === false ? new Map<NoteEvent, PhraseEdges>() : phraseEdges(score);
  const systems = barsPerSystem(bars, {
    accidentals: accidentals.map((hands) => countMarks(hands.right) + countMarks(hands.left)),
    signature: Math.abs(score.key.fifths),
    wanted: options.barsPerSystem,
    width: options.systemWidth,
    opens: new Set(signs.flatMap(({ section, coda }, i) => (section === undefined && coda !== true ? [] : [i + 1]))),
  });
  const breaks = new Set<number>();
  let opens = 1;
  for (const count of systems) {
    if (opens > 1) breaks.add(opens);
    opens += count;
  }
  let chord = 0;
  return bars.map((bar, i) => {
    step();
    const symbols: ChordSpan[] = [];
    const said = signs[bar.number - 1] ?? {};
    const end = addBeats(bar.at, bar.duration);
    for (let span = chords[chord]; span !== undefined && compareBeats(span.at, end) < 0; span = chords[++chord])
      symbols.push(span);
    const voices = (["right", "left"] as const).flatMap((hand) =>
      bar[hand].map((voice, v) =>
        voiceElements(voice, {
          hand,
          number: v,
          alone: bar[hand].length === 1,
          marks: nth(accidentals, i)[hand],
          edges,
          divisions,
          degrees,
          symbols: hand === "right" && v === 0 ? symbols : [],
          numerals,
          stacked: options.stackedFingers === true,
          fingered: options.fingered,
          stroke: hand === "left" && options.leftAs !== "notes" ? options.leftAs : undefined,
        }),
      ),
    );
    const back = element("backup", {}, [leaf("duration", inDivisions(bar.duration, divisions))]);
    return element("measure", { number: bar.number, ...(bar.number === 0 ? { implicit: "yes" } : {}) }, [
      breaks.has(bar.number) ? element("print", { "new-system": "yes" }) : undefined,
      ...leftBarline(said),
      ...(i === 0 ? [attributesElement(score, divisions), tempoElement(score, options.tempoMark ?? true)] : []),
      ...(score.metres ?? []).filter((change) => change.bar === bar.number).map(({ metre }) => metreElement(metre)),
      ...signsBefore(said, 1),
      ...voices.flatMap((voice, v) => (v === 0 ? voice : [back, ...voice])),
      ...signsBehind(said, 1),
      ...(bar.number === 0 ? [] : rightBarline(signs, bar.number - 1)),
    ]);
  });
};

const inDivisions = (length: Beats, divisions: number): number => (length.num * divisions) / length.den;

interface VoiceContext {
  readonly hand: Hand;
  readonly number: number;
  readonly alone: boolean;
  readonly marks: Marks;
  readonly edges: ReadonlyMap<NoteEvent, PhraseEdges>;
  readonly divisions: number;
  readonly degrees: boolean;
  readonly symbols: readonly ChordSpan[];
  readonly numerals: NumeralMarks;
  readonly stacked: boolean;
  readonly fingered: ReadonlySet<NoteEvent>;
  readonly stroke?: "rhythm" | "slashes" | undefined;
  readonly bass?: boolean;
}

const LOWER_STAFF = 2;

const voiceElements = (voice: LaidOutVoice, context: VoiceContext): readonly XmlElement[] => {
  const { hand, number, alone, marks, edges, divisions, degrees } = context;
  let symbol = 0;
  return voice.flatMap((piece) => {
    const duration = inDivisions(piece.duration, divisions);
    const place = {
      hand,
      voice: number + (hand === "right" || context.bass === true ? 1 : 5),
      duration,
      stacked: context.stacked,
      stroke: context.stroke,
      bass: context.bass,
      fingered: piece.kind === "note" && context.fingered.has(piece.event),
      ...(alone ? {} : { stem: number === 0 ? ("up" as const) : ("down" as const) }),
    };
    const harmonies: XmlElement[] = [];
    const end = addBeats(piece.at, piece.duration);
    for (
      let span = context.symbols[symbol];
      span !== undefined && compareBeats(span.at, end) < 0;
      span = context.symbols[++symbol]
    ) {
      const offset = inDivisions(subtractBeats(span.at, piece.at), divisions);
      harmonies.push(harmonyElement(span.chord, offset, degrees));
      harmonies.push(...markElements(context.numerals.get(momentOf(span.at)), offset, LOWER_STAFF));
    }
    return [...harmonies, ...pieceElements(piece, place, marks, edges)];
  });
};

const pieceElements = (
  piece: LaidOutPiece,
  place: Parameters<typeof restElement>[1],
  marks: VoiceContext["marks"],
  edges: VoiceContext["edges"],
): readonly XmlElement[] => {
  if (piece.kind === "space") {
    return [
      element("forward", {}, [
        leaf("duration", place.duration),
        leaf("voice", place.voice),
        place.bass === true ? undefined : leaf("staff", place.hand === "right" ? 1 : 2),
      ]),
    ];
  }
  if (piece.kind === "rest") return [restElement(piece, place)];
  const edge = edges.get(piece.event);
  const phrase = {
    ...edge,
    starts: edge?.starts === true && !piece.tiedFrom,
    stops: edge?.stops === true && !piece.tiedTo,
  };
  return noteElements(piece, place, known(marks.get(piece)), phrase);
};

/** The first and the last event of each phrase. */
const phraseEdges = (score: Score): ReadonlyMap<NoteEvent, PhraseEdges> => {
  const edges = new Map<NoteEvent, PhraseEdges>();
  const below = score.right.some((event) => event.fingers !== undefined);
  let from = 0;
  for (const phrase of score.phrases ?? []) {
    const end = addBeats(phrase.at, phrase.duration);
    const after = (at: Beats, start: number): number => {
      let i = start;
      for (let event = score.right[i]; event !== undefined && compareBeats(event.at, at) < 0; event = score.right[i])
        i++;
      return i;
    };
    from = after(phrase.at, from);
    const to = after(end, from);
    const [first, last] = [score.right[from], score.right[to - 1]];
    if (first !== undefined && last !== undefined && to - 1 > from) {
      edges.set(first, { starts: true, stops: false, below });
      edges.set(last, { starts: false, stops: true });
    }
    from = to;
  }
  return edges;
};

const timeElement = ({ count, unit }: Metre): XmlElement =>
  element("time", {}, [leaf("beats", count), leaf("beat-type", unit)]);

const metreElement = (metre: Metre): XmlElement => element("attributes", {}, [timeElement(metre)]);

const attributesElement = (score: Score, divisions: number): XmlElement =>
  element("attributes", {}, [
    leaf("divisions", divisions),
    element("key", {}, [leaf("fifths", score.key.fifths), leaf("mode", score.key.mode)]),
    timeElement(score.metre),
    leaf("staves", 2),
    clef(1, rightClef(score.right)),
    clef(2, "F"),
  ]);

const clef = (staff: number, sign: "G" | "F"): XmlElement =>
  element("clef", { number: staff }, [leaf("sign", sign), leaf("line", sign === "G" ? 2 : 4)]);

const MIDDLE_C = 28;

/** The clef that most notes of the right hand lie nearer to; the treble clef when in doubt. The left hand's is always the bass clef. */
const rightClef = (events: readonly NoteEvent[]): "G" | "F" => {
  const steps = events.flatMap((event) => event.pitches.map((p) => p.steps));
  const mean = steps.reduce((sum, s) => sum + s, 0) / steps.length;
  return mean < MIDDLE_C - 2 ? "F" : "G";
};

const tempoElement = (score: Score, printed: boolean): XmlElement => {
  const { feel, metre, tempo } = score;
  const pulse = pulseLength(metre);
  const dotted = isCompound(metre);
  const swung = feel.ratio.first !== feel.ratio.second;
  const unit = dotted ? multiplyBeats(pulse, beats("2/3")) : pulse;
  const type =
    (
      [
        ["half", 2],
        ["quarter", 1],
        ["eighth", 1 / 2],
        ["16th", 1 / 4],
      ] as const
    ).find(([, length]) => unit.num / unit.den === length)?.[0] ?? "quarter";
  const minute = Math.round((tempo * 100 * pulse.den) / pulse.num) / 100;
  const sound = element("sound", { tempo }, [
    element("swing", {}, [
      ...(swung
        ? [leaf("first", feel.ratio.first), leaf("second", feel.ratio.second), leaf("swing-type", feel.unit)]
        : [element("straight", {})]),
      leaf("swing-style", feel.id),
    ]),
  ]);
  if (!printed) return sound;
  return element("direction", { placement: "above" }, [
    swung
      ? element("direction-type", {}, [
          leaf("words", `${feel.unit === "16th" ? "Swing 16ths" : "Swing"}\u00a0`, { "font-weight": "bold" }),
        ])
      : undefined,
    element("direction-type", {}, [
      element("metronome", { parentheses: swung ? "yes" : undefined }, [
        leaf("beat-unit", type),
        dotted ? element("beat-unit-dot", {}) : undefined,
        leaf("per-minute", minute),
      ]),
    ]),
    leaf("staff", 1),
    sound,
  ]);
};
