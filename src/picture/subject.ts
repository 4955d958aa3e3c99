import type { Finger, Hand } from "../event/index.ts";
import type { ChordFingering, Crossing, Fingering, HandPosition } from "../fingering/index.ts";
import { fingerChord } from "../fingering/index.ts";
import { check, checkOnce } from "../ground/check.ts";
import { known, nth } from "../ground/list.ts";
import type { Degree, Pitch } from "../pitch/index.ts";
import { formatPitch, noteName } from "../pitch/index.ts";
import type { Voicing } from "../voicing/index.ts";
import { voicingSchema } from "../voicing/inner.ts";
import { chordFingeringShape, fingeringShape, kindOf, marksShape } from "./shape.ts";

/** A key to mark. */
export interface KeyMark {
  readonly pitch: Pitch;
  /** Printed on the key. */
  readonly finger?: Finger | undefined;
  /** Marks of the left hand are square, of the right hand round. @defaultValue `"right"` */
  readonly hand?: Hand | undefined;
  /** The note's degree in its chord or scale, for pictures that print degrees. */
  readonly degree?: Degree | undefined;
}

/** What {@link keyboardPicture} draws. */
export type PictureSubject = Fingering | ChordFingering | Voicing | readonly KeyMark[];

/** A key with everything that is printed on it. */
export interface MarkedKey {
  readonly key: number;
  readonly pitch: Pitch;
  readonly hand: Hand;
  /** In the order in which they play it; none where no finger is told. */
  readonly fingers: readonly Finger[];
  readonly degree: Degree | undefined;
}

/** Two neighbouring keys between which the hand turns, and how, each way. */
export interface MarkedTurn {
  readonly low: number;
  readonly high: number;
  readonly rising: string | undefined;
  readonly falling: string | undefined;
}

/** A subject made ready to draw. */
export interface Scene {
  readonly title: string;
  readonly description: string;
  readonly keys: readonly MarkedKey[];
  readonly turns: readonly MarkedTurn[];
  /** Lowest and highest key of each hand position on the way through the notes once. */
  readonly positions: readonly (readonly [number, number])[];
}

const named = (p: Pitch): string => formatPitch(p);
const handName = (hand: Hand): string => (hand === "right" ? "Right hand" : "Left hand");
const fingerWord = (finger: Finger): string => (finger === 1 ? "thumb" : String(finger));

/** Reads a subject. */
export const sceneOf = (subject: PictureSubject): Scene => {
  checkSubject(subject);
  if (!("kind" in subject)) return marksScene(subject);
  if (subject.kind === "voicing") return voicingScene(subject);
  return subject.kind === "fingering"
    ? fingeringScene(subject)
    : marksScene(
        subject.pitches.map((pitch, i) => ({ pitch, hand: subject.hand, finger: nth(subject.fingers, i) })),
        handName(subject.hand),
      );
};

const checkSubject = (subject: PictureSubject): void => {
  switch (kindOf(subject)) {
    case "voicing":
      return checkOnce(voicingSchema, subject, "picture/argument");
    case "fingering":
      return checkOnce(fingeringShape, subject, "picture/argument");
    case "chord-fingering":
      return checkOnce(chordFingeringShape, subject, "picture/argument");
    default:
      return check(marksShape, subject, "picture/argument");
  }
};

const collect = (marks: readonly KeyMark[]): readonly MarkedKey[] => {
  const keys = new Map<number, MarkedKey>();
  for (const { pitch, finger, hand = "right", degree } of marks) {
    const before = keys.get(pitch.semitones);
    const fingers = before?.fingers ?? [];
    keys.set(pitch.semitones, {
      key: pitch.semitones,
      pitch: before?.pitch ?? pitch,
      hand: before?.hand ?? hand,
      fingers: finger === undefined || fingers.includes(finger) ? fingers : [...fingers, finger],
      degree: before?.degree ?? degree,
    });
  }
  return [...keys.values()].sort((a, b) => a.key - b.key);
};

const spoken = ({ pitch, fingers }: MarkedKey): string =>
  fingers.length === 0 ? named(pitch) : `${named(pitch)} ${fingers.map(fingerWord).join(" or ")}`;

const span = (keys: readonly MarkedKey[]): string => {
  const [first, last] = [keys[0], keys.at(-1)];
  if (first === undefined || last === undefined) return "";
  return first === last ? named(first.pitch) : `${named(first.pitch)} to ${named(last.pitch)}`;
};

const marksScene = (marks: readonly KeyMark[], who = "Keyboard"): Scene => {
  const keys = collect(marks);
  return {
    title: `${who}: ${keys.map(({ pitch }) => named(pitch)).join(" ")}`,
    description: `${keys.map(spoken).join(", ")}.`,
    keys,
    turns: [],
    positions: [],
  };
};

const voicingScene = (voicing: Voicing): Scene => {
  const fingers = new Map<number, Finger>();
  for (const hand of ["left", "right"] as const) {
    const struck = voicing.pitches.filter(
      (pitch, i) => voicing.hands[i] === hand && pitch !== voicing.bass && pitch.semitones !== voicing.bass?.semitones,
    );
    if (struck.length > 0)
      fingerChord(struck, { hand, size: "large" }).fingers.forEach((finger, i) =>
        fingers.set(nth(struck, i).semitones, finger),
      );
  }
  // A bass note by itself falls to the little finger.
  if (voicing.bass !== undefined) fingers.set(voicing.bass.semitones, 5);
  const keys = collect(
    voicing.pitches.map((pitch, i) => ({
      pitch,
      hand: nth(voicing.hands, i),
      degree: nth(voicing.degrees, i),
      finger: known(fingers.get(pitch.semitones)),
    })),
  );
  const bass =
    voicing.bass === undefined ? "" : ` The bass ${formatPitch(noteName(voicing.bass))} is struck by itself.`;
  const byHand = (["left", "right"] as const).flatMap((hand) => {
    const own = keys.filter((key) => key.hand === hand);
    return own.length === 0 ? [] : [`${handName(hand)}: ${own.map(spoken).join(", ")}.`];
  });
  return {
    title: `${formatSymbol(voicing.chord.symbol)}: ${keys.map(({ pitch }) => named(pitch)).join(" ")}`,
    description: byHand.join(" ") + bass,
    keys,
    turns: [],
    positions: [],
  };
};

const formatSymbol = (symbol: string): string => symbol.replace(/b/g, "♭").replace(/#/g, "♯");

const fingeringScene = (fingering: Fingering): Scene => {
  const { hand, pitches, fingers, crossings } = fingering;
  const keys = collect(pitches.map((pitch, i) => ({ pitch, hand, finger: nth(fingers, i) })));
  const once = fingering.positions.filter(({ from }) => from <= turningPoint(pitches));
  return {
    title: `${handName(hand)}: ${span(keys)}`,
    description: `${handName(hand)}, ${pitches
      .map((pitch, i) => {
        const crossing = crossings.find(({ index }) => index === i);
        const turn =
          crossing === undefined ? "" : crossing.kind === "thumb-under" ? " (thumb under)" : " (over the thumb)";
        return `${named(pitch)} ${fingerWord(nth(fingers, i))}${turn}`;
      })
      .join(", ")}.`,
    keys,
    turns: turnsOf(crossings),
    positions: once.map((position) => keysWithin(position, pitches)),
  };
};

// The note where a line that goes one way first turns back; the positions up to there are those that a picture can show.
const turningPoint = (pitches: readonly Pitch[]): number => {
  const way = Math.sign((pitches[1]?.semitones ?? 0) - (pitches[0]?.semitones ?? 0));
  const turn = pitches.findIndex((p, i) => i > 0 && Math.sign(p.semitones - nth(pitches, i - 1).semitones) !== way);
  return turn < 0 ? pitches.length - 1 : turn - 1;
};

const keysWithin = ({ from, to }: HandPosition, pitches: readonly Pitch[]): readonly [number, number] => {
  const own = pitches.slice(from, Math.min(to, turningPoint(pitches)) + 1).map((p) => p.semitones);
  return [Math.min(...own), Math.max(...own)];
};

const turnsOf = (crossings: readonly Crossing[]): readonly MarkedTurn[] => {
  const turns = new Map<string, MarkedTurn>();
  for (const { kind, from, to } of crossings) {
    const low = Math.min(from.pitch.semitones, to.pitch.semitones);
    const high = Math.max(from.pitch.semitones, to.pitch.semitones);
    const rises = from.pitch.semitones < to.pitch.semitones;
    const label = kind === "thumb-under" ? `1 under ${from.finger}` : `${to.finger} over 1`;
    const before = turns.get(`${low} ${high}`) ?? { low, high, rising: undefined, falling: undefined };
    turns.set(`${low} ${high}`, rises ? { ...before, rising: label } : { ...before, falling: label });
  }
  return [...turns.values()].sort((a, b) => a.low - b.low);
};
