import * as v from "valibot";
import type { Chord } from "../chord/index.ts";
import { parseChord } from "../chord/index.ts";
import type { NoteEvent } from "../event/index.ts";
import { check } from "../ground/check.ts";
import type { Key } from "../pitch/index.ts";
import { parseKey, parsePitch } from "../pitch/index.ts";
import type { Chart, ChartBar, ChartChord, ChordSpan } from "../progression/index.ts";
import { chartOf } from "../progression/inner.ts";
import type { LaidOutBar, LaidOutNote, LaidOutVoice } from "../score/index.ts";
import { layOutScore, makeScore } from "../score/index.ts";
import type { Beats, Metre } from "../time/index.ts";
import {
  addBeats,
  barLength,
  beats,
  compareBeats,
  isCompound,
  minBeats,
  multiplyBeats,
  parseMetre,
  pulseLength,
  subtractBeats,
  ZERO,
} from "../time/index.ts";
import { barStartInMetres } from "../time/inner.ts";
import type { NoteAccidentals, StaffMemory } from "./accidentals.ts";
import { accidentalsOf, signatureOf } from "./accidentals.ts";
import { harmonyElement } from "./harmony.ts";
import { noteElements, restElement } from "./notes.ts";
import type { NumeralMarks, NumeralsOf } from "./numerals.ts";
import { markElements, marksOf, momentOf, NO_MARKS, numeralsShape } from "./numerals.ts";
import { direction, leftBarline, rightBarline, signsBefore, signsBehind } from "./road.ts";
import type { XmlElement } from "./xml.ts";
import { document, element, leaf } from "./xml.ts";

/** Bars that share a metre, laid out as one: notes may be tied inside it. */
interface Stretch {
  readonly from: number;
  readonly metre: Metre;
  readonly key: Key;
  readonly laid: readonly LaidOutBar[];
}

/** Options of {@link writeLeadSheet}. */
export interface LeadSheetOptions {
  /** Whether a chord symbol's degrees are written beside its text; some engravers print them twice. @defaultValue true */
  readonly degrees?: boolean | undefined;
  /**
   * Prints Roman numerals under the chords, counted in the key of the chart, with brackets from each ii to its V: `numeralMarks` of
   * `hands-together/harmony`, or a function of one's own.
   *
   * @defaultValue none are printed
   */
  readonly numerals?: NumeralsOf | undefined;
}

const optionsSchema = /* @__PURE__ */ v.strictObject({
  degrees: /* @__PURE__ */ v.optional(/* @__PURE__ */ v.boolean()),
  numerals: /* @__PURE__ */ v.optional(numeralsShape),
});

/**
 * Writes a chart as a lead sheet: one staff with chord symbols, its melody (strokes where it has none), repeats, endings, jumps, sections, and
 * metres and keys where they change.
 *
 * @param chart - a chart, or text that `parseChart` reads
 * @returns MusicXML 4.0, partwise, which `readLeadSheet` reads back without loss
 * @throws MusicError what `parseChart` throws for text, `score/voices` for a melody of more than four voices at once, `time/value` for a length
 * that has no printable value
 *
 * @example
 * ```ts
 * import { writeLeadSheet } from "hands-together/musicxml";
 *
 * writeLeadSheet("Title: Mine\n|: Dm7 | G7 :|x3").includes('<repeat direction="backward" times="3"'); // => true
 * ```
 */
export function writeLeadSheet(chart: Chart | string, options: LeadSheetOptions = {}): string {
  check(optionsSchema, options, "musicxml/argument");
  const degrees = options.degrees ?? true;
  const sheet = chartOf(chart);
  const stretches = stretchesOf(sheet);
  const divisions = divisionsOf(sheet, stretches);
  const slashes = sheet.bars.every(({ melody }) => melody === undefined || melody.length === 0);
  const numerals = options.numerals === undefined ? NO_MARKS : numeralsIn(options.numerals, sheet, stretches);
  const bars: XmlElement[] = [];
  for (const [s, stretch] of stretches.entries()) {
    let memory: StaffMemory = new Map();
    const signature = signatureOf(stretch.key);
    stretch.laid.forEach((laid, i) => {
      const index = stretch.from + i;
      const { marks, after } = accidentalsOf(laid.right, signature, memory);
      memory = after;
      bars.push(
        measure(sheet, index, laid, {
          stretch,
          divisions,
          degrees,
          marks,
          slashes,
          numerals,
          opens: i === 0 ? (s === 0 ? "all" : "change") : undefined,
          before: stretches[s - 1],
        }),
      );
    });
  }
  return document(
    element("score-partwise", { version: "4.0" }, [
      sheet.title === "" ? undefined : element("work", {}, [leaf("work-title", sheet.title)]),
      sheet.heading === undefined
        ? undefined
        : element("credit", { page: 1 }, [leaf("credit-type", "subtitle"), leaf("credit-words", sheet.heading)]),
      element("part-list", {}, [
        element("score-part", { id: "P1" }, [leaf("part-name", "Lead sheet", { "print-object": "no" })]),
      ]),
      element("part", { id: "P1" }, bars),
    ]),
  );
}

const stretchesOf = (sheet: Chart): readonly Stretch[] => {
  const starts = sheet.bars.flatMap((bar, i) =>
    i === 0 || bar.metre !== undefined || bar.key !== undefined ? [i] : [],
  );
  let metre = parseMetre(sheet.metre);
  let key = parseKey(sheet.key);
  const laid = laidOut(sheet);
  return starts.map((from, s): Stretch => {
    const bar = sheet.bars[from];
    if (bar?.metre !== undefined) metre = parseMetre(bar.metre);
    if (bar?.key !== undefined) key = parseKey(bar.key);
    return { from, metre, key, laid: laid.slice(from, starts[s + 1] ?? sheet.bars.length) };
  });
};

/** All bars at once, so that notes may be tied across changes of metre and key. */
const laidOut = ({ bars, metre: first, key, pickup }: Chart): readonly LaidOutBar[] => {
  const before = pickup === undefined ? ZERO : multiplyBeats(beats(pickup), pulseLength(parseMetre(first)));
  const metre = parseMetre((pickup === undefined ? undefined : bars[1]?.metre) ?? first);
  const [lead, ...rest] = bars;
  // A pickup that is longer than the bars behind it stands by itself.
  if (lead !== undefined && rest.length > 0 && compareBeats(before, barLength(metre)) >= 0) {
    const own = rest.map((bar, i) => (i === 0 ? withoutMetre(bar) : bar));
    return [
      ...laidOut({ ...EMPTY, bars: [withoutMetre(lead)], metre: first, key, pickup }).slice(0, 1),
      ...laidOut({ ...EMPTY, bars: own, metre: `${metre.count}/${metre.unit}`, key, pickup: undefined }),
    ];
  }
  const shift = before.num > 0 ? 0 : 1;
  const metres = bars.flatMap((bar, i) =>
    bar.metre === undefined || i + shift < 2 ? [] : [{ bar: i + shift, metre: parseMetre(bar.metre) }],
  );
  // A pickup alone has a full bar behind it, which is not written.
  const count = Math.max(1, bars.length - (1 - shift));
  const form = { metre, ...(metres.length > 0 && { metres }) };
  const end = barStartInMetres(form, count + 1);
  const right = bars.flatMap(({ melody = [] }, i) => {
    const start = i + shift === 0 ? subtractBeats(ZERO, before) : barStartInMetres(form, i + shift);
    return melody.map(({ at, duration, pitches, graces }): NoteEvent => {
      const from = addBeats(start, beats(at));
      return {
        at: from,
        duration: minBeats(beats(duration), subtractBeats(end, from)),
        pitches: pitches.map((name) => parsePitch(name)),
        ...(graces && { graces: graces.map((name) => ({ pitch: parsePitch(name), style: "crushed" as const })) }),
      };
    });
  });
  return layOutScore(makeScore({ ...form, key, bars: count, pickup: before, right })).slice(0, bars.length);
};

const EMPTY: Pick<Chart, "kind" | "version" | "title" | "guesses"> = {
  kind: "chart",
  version: 1,
  title: "",
  guesses: [],
};

const withoutMetre = ({ metre: _, ...bar }: ChartBar): ChartBar => bar;

const inBar = (index: number, at: Beats): string => `${index} ${momentOf(at)}`;

/** Numerals of the chords as they are written, one bar after the other, however they are repeated. */
const numeralsIn = (numerals: NumeralsOf, sheet: Chart, stretches: readonly Stretch[]): NumeralMarks => {
  const spans: ChordSpan[] = [];
  const places = new Map<string, string>();
  let start = ZERO;
  for (const { from, metre, laid } of stretches) {
    for (const [i, bar] of laid.entries()) {
      const chords = (sheet.bars[from + i]?.chords ?? []).map((chord) => ({
        symbol: chord.symbol,
        at: startOf(chord, pulseLength(metre)),
      }));
      for (const [c, { symbol, at }] of chords.entries()) {
        const moment = addBeats(start, at);
        const duration = subtractBeats(chords[c + 1]?.at ?? bar.duration, at);
        spans.push({ at: moment, duration, chord: symbol === "N.C." ? undefined : parseChord(symbol) });
        places.set(momentOf(moment), inBar(from + i, at));
      }
      start = addBeats(start, bar.duration);
    }
  }
  const marks = marksOf(numerals, {
    key: parseKey(sheet.key),
    metre: parseMetre(sheet.metre),
    bars: sheet.bars.length,
    chords: spans,
  });
  return new Map([...marks].map(([moment, mark]) => [places.get(moment) ?? moment, mark]));
};

const startOf = (chord: ChartChord, pulse: Beats): Beats =>
  multiplyBeats(subtractBeats(beats(chord.beat), beats(1)), pulse);

const divisionsOf = (sheet: Chart, stretches: readonly Stretch[]): number => {
  let divisions = 2;
  const take = ({ den }: Beats): void => {
    divisions = (divisions / gcd(divisions, den)) * den;
  };
  for (const { laid, from, metre } of stretches) {
    take(pulseLength(metre));
    laid.forEach((bar, i) => {
      for (const voice of bar.right) for (const piece of voice) for (const at of [piece.at, piece.duration]) take(at);
      for (const chord of sheet.bars[from + i]?.chords ?? []) take(startOf(chord, pulseLength(metre)));
    });
  }
  return divisions;
};

const gcd = (a: number, b: number): number => (b === 0 ? a : gcd(b, a % b));

interface MeasureContext {
  readonly stretch: Stretch;
  readonly before: Stretch | undefined;
  readonly divisions: number;
  readonly degrees: boolean;
  readonly marks: ReadonlyMap<LaidOutNote, NoteAccidentals>;
  readonly slashes: boolean;
  /** By bar and moment inside it. */
  readonly numerals: NumeralMarks;
  readonly opens: "all" | "change" | undefined;
}

const measure = (sheet: Chart, index: number, laid: LaidOutBar, context: MeasureContext): XmlElement => {
  const { stretch, divisions, slashes } = context;
  const bar = sheet.bars[index] ?? { chords: [] };
  const pickup = sheet.pickup !== undefined;
  const number = pickup ? index : index + 1;
  const short = pickup && index === 0;
  const chords = bar.chords.map((chord) => ({ chord, at: startOf(chord, pulseLength(stretch.metre)) }));
  const voices = slashes
    ? [slashVoice(laid, context, index, chords)]
    : laid.right.map((voice, i) => melodyVoice(voice, i, laid, context, index, i === 0 ? chords : []));
  const back = element("backup", {}, [leaf("duration", inDivisions(laid.duration, divisions))]);
  return element("measure", { number, ...(short && { implicit: "yes" }) }, [
    index > 0 && bar.section !== undefined ? element("print", { "new-system": "yes" }) : undefined,
    ...leftBarline(bar),
    ...attributes(context, divisions),
    ...(index === 0 ? opening(sheet, stretch.metre) : []),
    ...signsBefore(bar),
    ...voices.flatMap((voice, i) => (i === 0 ? voice : [back, ...voice])),
    ...signsBehind(bar),
    ...rightBarline(sheet.bars, index),
  ]);
};

const attributes = ({ stretch, before, opens }: MeasureContext, divisions: number): readonly XmlElement[] => {
  if (opens === undefined) return [];
  const { key, metre } = stretch;
  const newKey = before === undefined || before.key.tonic !== key.tonic || before.key.mode !== key.mode;
  const newMetre = before === undefined || before.metre.count !== metre.count || before.metre.unit !== metre.unit;
  const all = opens === "all";
  return [
    element("attributes", {}, [
      all ? leaf("divisions", divisions) : undefined,
      newKey ? element("key", {}, [leaf("fifths", key.fifths), leaf("mode", key.mode)]) : undefined,
      newMetre ? element("time", {}, [leaf("beats", metre.count), leaf("beat-type", metre.unit)]) : undefined,
      all ? element("clef", {}, [leaf("sign", "G"), leaf("line", 2)]) : undefined,
    ]),
  ];
};

const opening = ({ tempo, feel }: Chart, metre: Metre): readonly XmlElement[] => {
  if (tempo === undefined && feel === undefined) return [];
  const dotted = isCompound(metre);
  const unit =
    metre.unit === 2 ? "half" : metre.unit === 4 || dotted ? "quarter" : metre.unit === 8 ? "eighth" : "16th";
  const pulse = pulseLength(metre);
  return [
    direction(
      [
        ...(feel === undefined ? [] : [leaf("words", feel, { "font-weight": "bold" })]),
        ...(tempo === undefined
          ? []
          : [
              element("metronome", {}, [
                leaf("beat-unit", unit),
                dotted ? element("beat-unit-dot", {}) : undefined,
                leaf("per-minute", tempo),
              ]),
            ]),
      ],
      tempo === undefined ? undefined : { tempo: String((tempo * pulse.num) / pulse.den) },
    ),
  ];
};

const inDivisions = (length: Beats, divisions: number): number => (length.num * divisions) / length.den;

interface PlacedChord {
  readonly chord: ChartChord;
  readonly at: Beats;
}

const chordElements = (
  { chord, at }: PlacedChord,
  from: Beats,
  index: number,
  { divisions, degrees, numerals }: MeasureContext,
): readonly XmlElement[] => {
  const read: Chord | undefined = chord.symbol === "N.C." ? undefined : parseChord(chord.symbol);
  const offset = inDivisions(subtractBeats(at, from), divisions);
  const harmony = harmonyElement(read, offset, degrees);
  return [
    ...(chord.mark === undefined
      ? []
      : [
          element("direction", { placement: "above" }, [
            element("direction-type", {}, [leaf("words", chord.mark)]),
            offset === 0 ? undefined : leaf("offset", offset),
          ]),
        ]),
    chord.optional === true ? { ...harmony, attributes: { ...harmony.attributes, type: "alternate" } } : harmony,
    ...markElements(numerals.get(inBar(index, at)), offset, undefined),
  ];
};

/** The chords that begin before a moment of the bar, taken from the list. */
const until = (waiting: PlacedChord[], end: Beats): readonly PlacedChord[] => {
  const taken: PlacedChord[] = [];
  for (let next = waiting[0]; next !== undefined && compareBeats(next.at, end) < 0; next = waiting[0]) {
    taken.push(next);
    waiting.shift();
  }
  return taken;
};

const melodyVoice = (
  voice: LaidOutVoice,
  number: number,
  laid: LaidOutBar,
  context: MeasureContext,
  index: number,
  chords: readonly PlacedChord[],
): readonly XmlElement[] => {
  const { divisions, marks } = context;
  const waiting = [...chords];
  return voice.flatMap((piece) => {
    const from = subtractBeats(piece.at, laid.at);
    const symbols = until(waiting, addBeats(from, piece.duration)).flatMap((one) =>
      chordElements(one, from, index, context),
    );
    const duration = inDivisions(piece.duration, divisions);
    const place = { hand: "right" as const, voice: number + 1, duration, stacked: false, fingered: false };
    if (piece.kind === "space")
      return [element("forward", {}, [leaf("duration", duration), leaf("voice", number + 1)])];
    if (piece.kind === "rest") return [...symbols, restElement(piece, place)];
    const accidentals = marks.get(piece) ?? { graces: [], pitches: [] };
    return [...symbols, ...noteElements(piece, place, accidentals, { starts: false, stops: false })];
  });
};

// One stroke a pulse, on the middle line.
const slashVoice = (
  laid: LaidOutBar,
  context: MeasureContext,
  index: number,
  chords: readonly PlacedChord[],
): readonly XmlElement[] => {
  const { metre } = context.stretch;
  const { divisions } = context;
  const waiting = [...chords];
  const pulse = pulseLength(metre);
  const type =
    metre.unit === 2
      ? "half"
      : metre.unit === 4 || isCompound(metre)
        ? "quarter"
        : metre.unit === 8
          ? "eighth"
          : "16th";
  const strokes: XmlElement[] = [];
  for (let at = ZERO; compareBeats(at, laid.duration) < 0; at = addBeats(at, pulse)) {
    const length = minBeats(pulse, subtractBeats(laid.duration, at));
    for (const one of until(waiting, addBeats(at, length))) strokes.push(...chordElements(one, at, index, context));
    strokes.push(
      element("note", {}, [
        element("pitch", {}, [leaf("step", "B"), leaf("octave", 4)]),
        leaf("duration", inDivisions(length, divisions)),
        leaf("voice", 1),
        leaf("type", type),
        isCompound(metre) ? element("dot", {}) : undefined,
        leaf("stem", "none"),
        leaf("notehead", "slash"),
      ]),
    );
  }
  return strokes;
};
