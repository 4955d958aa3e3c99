import * as v from "valibot";
import type { Finger, Hand, NoteEvent } from "../event/index.ts";
import { check, shapeOf } from "../ground/check.ts";
import type { Pitch, PitchName } from "../pitch/index.ts";
import { alterationOf, letterOf, midiNumber, octaveOf } from "../pitch/index.ts";
import { pitchOf } from "../pitch/inner.ts";
import type { BeamState, LaidOutNote, LaidOutRest, TupletEdge } from "../score/index.ts";
import type { Beats, NoteValue } from "../time/index.ts";
import { formatBeats } from "../time/index.ts";
import { isBeats } from "../time/inner.ts";
import type { NoteAccidentals, PrintedAccidental } from "./accidentals.ts";
import type { XmlElement } from "./xml.ts";
import { element, leaf } from "./xml.ts";

/** Where a note is printed. */
export interface Place {
  readonly hand: Hand;
  /** From 1 to 4 in the right hand, 5 to 8 in the left. */
  readonly voice: number;
  /** Set where voices share the staff. */
  readonly stem?: "up" | "down";
  /** Length in divisions. */
  readonly duration: number;
  /** Whether fingers of a chord with seconds stand at one of its notes. */
  readonly stacked: boolean;
  /** Whether its fingers are printed. */
  readonly fingered: boolean;
  /** Set for strokes that stand for chords: with the rhythm of their stems, or as plain beats. */
  readonly stroke?: "rhythm" | "slashes" | undefined;
  /** Set for the bass player's part, small and on a staff of its own. */
  readonly bass?: boolean | undefined;
}

/** Phrase slurs at an event. */
export interface PhraseEdges {
  readonly starts: boolean;
  readonly stops: boolean;
  /** Set where fingers stand above: slurs keep to the other side. */
  readonly below?: boolean;
}

/** Slurs of phrases are number 1, those of grace notes 2. */
const PHRASE = 1;
const GRACE = 2;

const pitchElement = (p: Pitch): XmlElement => {
  const alter = alterationOf(p);
  return element("pitch", {}, [
    leaf("step", letterOf(p)),
    alter === 0 ? undefined : leaf("alter", alter),
    leaf("octave", octaveOf(p)),
  ]);
};

const accidentalElement = (accidental: PrintedAccidental | undefined): XmlElement | undefined =>
  accidental === undefined
    ? undefined
    : leaf("accidental", accidental.value, accidental.cautionary ? { cautionary: "yes" } : {});

const staffElement = ({ hand, bass }: Place): XmlElement | undefined =>
  bass === true ? undefined : leaf("staff", hand === "right" ? 1 : 2);

const empty = (name: string, attributes: Readonly<Record<string, string | number | undefined>> = {}): XmlElement =>
  element(name, attributes);

const notations = (children: readonly (XmlElement | undefined)[]): XmlElement | undefined =>
  children.some((child) => child !== undefined) ? element("notations", {}, children) : undefined;

// Fingers stand outside the staves: above the right hand, below the left; between voices, outside their own.
const fingering = (fingers: readonly Finger[], place: Place): XmlElement | undefined => {
  if (fingers.length === 0) return undefined;
  const above = place.stem === undefined ? place.hand === "right" : place.stem === "up";
  // The first stands next to the staff.
  const outwards = above ? fingers : [...fingers].reverse();
  return element(
    "technical",
    {},
    outwards.map((finger) => leaf("fingering", finger, { placement: above ? "above" : "below" })),
  );
};

/**
 * The fingers to write at each pitch of an event: its own, save where they are to be stacked and two notes lie a second apart. There heads stand
 * side by side, and so would their fingers, no longer in one column from low to high; one note then carries them all.
 */
const fingersAt = ({ pitches, fingers = [] }: NoteEvent, stacked: boolean): readonly (readonly Finger[])[] => {
  if (!stacked) return fingers.map((finger) => [finger]);
  const close = (a: Pitch | undefined, b: Pitch | undefined): boolean =>
    a !== undefined && b !== undefined && Math.abs(a.steps - b.steps) <= 1;
  const crowded = pitches.map((p, i) => close(pitches[i - 1], p) || close(p, pitches[i + 1]));
  if (!crowded.includes(true)) return fingers.map((finger) => [finger]);
  const carrier = Math.max(0, crowded.indexOf(false));
  return pitches.map((_, i) => (i === carrier ? fingers : []));
};

const tupletElements = (edge: TupletEdge | undefined, number: number): readonly XmlElement[] => [
  ...(edge === "start" || edge === "start-stop" ? [empty("tuplet", { type: "start", number, bracket: "yes" })] : []),
  ...(edge === "stop" || edge === "start-stop" ? [empty("tuplet", { type: "stop", number })] : []),
];

const valueElements = (
  value: NoteValue,
  accidental?: PrintedAccidental,
  size?: "cue",
): readonly (XmlElement | undefined)[] => [
  leaf("type", value.type, { size }),
  value.dots === 1 ? empty("dot") : undefined,
  accidentalElement(accidental),
  value.tuplet === undefined
    ? undefined
    : element("time-modification", {}, [
        leaf("actual-notes", value.tuplet.actual),
        leaf("normal-notes", value.tuplet.normal),
      ]),
];

/** The `note` element of a rest. */
export const restElement = (rest: LaidOutRest, place: Place): XmlElement =>
  element("note", {}, [
    empty("rest", rest.wholeBar ? { measure: "yes" } : {}),
    leaf("duration", place.duration),
    leaf("voice", place.voice),
    ...(rest.wholeBar ? [] : valueElements(rest.value, undefined, place.bass === true ? "cue" : undefined)),
    staffElement(place),
    notations(tupletElements(rest.tupletEdge, 1)),
  ]);

/** Options of {@link musicXmlNoteId}. */
export interface MusicXmlNoteIdOptions {
  /** Which of the main note's grace notes, from 0. @defaultValue none: the main note */
  readonly grace?: number | undefined;
}

/**
 * The id of a printed note in the MusicXML that {@link writeMusicXml} makes, which engravers carry on into their pictures: what a
 * page needs to light the notes that sound.
 *
 * @param hand - the staff
 * @param at - where the printed piece starts, in quarter notes from the first bar line; a grace note's is that of its main note
 * @param p - its pitch
 *
 * @example
 * ```ts
 * import { beats, pitch } from "hands-together";
 * import { musicXmlNoteId } from "hands-together/musicxml";
 *
 * musicXmlNoteId("right", beats("-1/3"), pitch("C4")); // => "right-m1_3-60"
 * ```
 */
export function musicXmlNoteId(
  hand: Hand,
  at: Beats,
  p: Pitch | PitchName,
  options: MusicXmlNoteIdOptions = {},
): string {
  check(handShape, hand, "musicxml/argument");
  check(momentShape, at, "musicxml/argument");
  check(idOptions, options, "musicxml/argument");
  return noteId(hand, at, pitchOf(p), options.grace);
}

const handShape = /* @__PURE__ */ v.picklist(["right", "left"]);
const momentShape = /* @__PURE__ */ shapeOf(isBeats, "exact beats");
const idOptions = /* @__PURE__ */ v.strictObject({
  grace: /* @__PURE__ */ v.optional(
    /* @__PURE__ */ v.pipe(
      /* @__PURE__ */ v.number(),
      /* @__PURE__ */ v.integer(),
      /* @__PURE__ */ v.minValue(0),
      /* @__PURE__ */ v.maxValue(15),
    ),
  ),
});

const noteId = (hand: Hand | "bass", at: Beats, p: Pitch, grace?: number): string => {
  const moment = formatBeats(at).replace("-", "m").replace("/", "_");
  return `${hand}-${moment}-${midiNumber(p)}${grace === undefined ? "" : `-grace${grace + 1}`}`;
};

/** The `note` elements of an event, or of one tied piece of it: grace notes first, then its pitches from low to high. */
export const noteElements = (
  note: LaidOutNote,
  place: Place,
  accidentals: NoteAccidentals,
  phrase: PhraseEdges,
): readonly XmlElement[] => {
  const fingers = place.fingered ? fingersAt(note.event, place.stacked) : [];
  const graces = note.tiedFrom ? [] : graceElements(note.event, place, accidentals);
  // Any note of a chord may carry its articulation; verovio 6.3 loses a slide that ends at the one that does.
  const marked = Math.max(
    0,
    note.event.pitches.findIndex((p) => p !== target(note.event)),
  );
  const loudness = note.tiedFrom ? undefined : dynamicsOf(note.event);
  const main = note.event.pitches.map((p, i) =>
    element(
      "note",
      { id: noteId(place.bass === true ? "bass" : place.hand, note.at, p), dynamics: i === 0 ? loudness : undefined },
      [
        i === 0 ? undefined : empty("chord"),
        pitchElement(p),
        leaf("duration", place.duration),
        note.tiedFrom ? empty("tie", { type: "stop" }) : undefined,
        note.tiedTo ? empty("tie", { type: "start" }) : undefined,
        leaf("voice", place.voice),
        ...(place.stroke === undefined
          ? valueElements(note.value, accidentals.pitches[i], place.bass === true ? "cue" : undefined)
          : valueElements(note.value)),
        place.stroke === "slashes"
          ? leaf("stem", "none")
          : place.stem === undefined
            ? undefined
            : leaf("stem", place.stem),
        place.stroke === undefined ? undefined : leaf("notehead", "slash"),
        staffElement(place),
        ...(i === 0 ? beamElements(note.beams) : []),
        notations([
          note.tiedFrom ? empty("tied", { type: "stop" }) : undefined,
          note.tiedTo ? empty("tied", { type: "start" }) : undefined,
          i === 0 && phrase.stops ? empty("slur", { type: "stop", number: PHRASE }) : undefined,
          i === 0 && phrase.starts
            ? empty("slur", { type: "start", number: PHRASE, placement: phrase.below === true ? "below" : undefined })
            : undefined,
          ...(note.tiedFrom ? [] : graceEnds(note.event, p)),
          ...(i === 0 ? tupletElements(note.tupletEdge, 1) : []),
          note.tiedFrom ? undefined : fingering(fingers[i] ?? [], place),
          i === marked && !note.tiedFrom ? articulation(note.event) : undefined,
        ]),
      ],
    ),
  );
  return [...graces, ...main];
};

// MusicXML states loudness in per cent of forte, which is a MIDI velocity of 90.
const dynamicsOf = (event: NoteEvent): string | undefined =>
  event.velocity === undefined ? undefined : String(Math.round((event.velocity * 10_000) / 90) / 100);

const articulation = (event: NoteEvent): XmlElement | undefined =>
  event.articulation === undefined ? undefined : element("articulations", {}, [empty(event.articulation)]);

const beamElements = (beams: readonly BeamState[]): readonly XmlElement[] =>
  beams.map((state, i) => leaf("beam", state, { number: i + 1 }));

/** The pitch of an event that its grace notes lead to: the nearest to the last of them, the higher of two. */
const target = (event: NoteEvent): Pitch | undefined => {
  const from = event.graces?.at(-1)?.pitch;
  if (from === undefined) return undefined;
  return event.pitches.reduce((best, p) =>
    Math.abs(p.semitones - from.semitones) <= Math.abs(best.semitones - from.semitones) ? p : best,
  );
};

const graceElements = (event: NoteEvent, place: Place, accidentals: NoteAccidentals): readonly XmlElement[] => {
  const graces = event.graces ?? [];
  return graces.map((grace, i) => {
    const state: BeamState = i === 0 ? "begin" : i === graces.length - 1 ? "end" : "continue";
    const beams: readonly BeamState[] = graces.length === 1 ? [] : [state, state];
    return element("note", { id: noteId(place.hand, event.at, grace.pitch, i) }, [
      empty("grace", { slash: grace.style === "crushed" && graces.length === 1 ? "yes" : "no" }),
      pitchElement(grace.pitch),
      leaf("voice", place.voice),
      ...valueElements({ type: graces.length === 1 ? "eighth" : "16th", dots: 0 }, accidentals.graces[i]),
      leaf("stem", place.stem ?? "up"),
      staffElement(place),
      ...beamElements(beams),
      notations([
        i === 0 ? empty("slur", { type: "start", number: GRACE }) : undefined,
        grace.style === "slide"
          ? empty("slide", { type: "start", number: (i % 16) + 1, "line-type": "solid" })
          : undefined,
        fingering(grace.finger === undefined || !place.fingered ? [] : [grace.finger], place),
      ]),
    ]);
  });
};

const graceEnds = (event: NoteEvent, p: Pitch): readonly XmlElement[] => {
  if (event.graces === undefined || target(event) !== p) return [];
  return event.graces.flatMap((grace, i) => [
    ...(i === 0 ? [empty("slur", { type: "stop", number: GRACE })] : []),
    ...(grace.style === "slide" ? [empty("slide", { type: "stop", number: (i % 16) + 1, "line-type": "solid" })] : []),
  ]);
};
