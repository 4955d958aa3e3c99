import type { Finger, GraceNote, Hand, NoteEvent, TimeSpan } from "../event/index.ts";
import { MusicError } from "../ground/errors.ts";
import { nth } from "../ground/list.ts";
import type { Pitch } from "../pitch/index.ts";
import { pitchName } from "../pitch/index.ts";
import { isFinger } from "../score/inner.ts";
import type { Beats } from "../time/index.ts";
import { addBeats, compareBeats, formatBeats } from "../time/index.ts";
import type { XmlNode } from "./parse.ts";
import { all, child, textOf } from "./parse.ts";
import { writtenPitch } from "./pitch.ts";

interface ReadNote {
  readonly pitch: Pitch;
  readonly tiedFrom: boolean;
  readonly tiedTo: boolean;
  readonly fingers: readonly Finger[];
}

interface Struck {
  readonly hand: Hand;
  readonly at: Beats;
  duration: Beats;
  readonly notes: ReadNote[];
  readonly graces: readonly GraceNote[];
  articulation?: "accent" | "staccato";
  readonly velocity?: number;
  readonly phrase: { starts: boolean; stops: boolean };
}

const refused = (what: string, input: unknown, expected: string): MusicError =>
  new MusicError({ code: `musicxml/${what}`, input, expected });

const pitchOf = (note: XmlNode, where: string): Pitch => {
  const pitch = child(note, "pitch");
  const written =
    pitch && writtenPitch(textOf(pitch, "step") ?? "", textOf(pitch, "alter"), textOf(pitch, "octave") ?? "");
  if (written === undefined) throw refused("pitch", textOf(pitch, "alter"), `a pitch of the twelve keys ${where}`);
  return written;
};

const notationsOf = (note: XmlNode): readonly XmlNode[] =>
  all(note, "notations").flatMap((notations) => notations.children);

// Written from the staff outwards, so that below it the last is the lowest pitch's.
const fingersOf = (notations: readonly XmlNode[], where: string): readonly Finger[] => {
  const written = notations.filter((n) => n.name === "technical").flatMap((technical) => all(technical, "fingering"));
  const fingers = written.map((f) => {
    const finger = Number(f.text);
    if (f.text.length !== 1 || !isFinger(finger)) throw refused("fingering", f.text, `a finger from 1 to 5 ${where}`);
    return finger;
  });
  return written[0]?.attributes.placement === "below" ? fingers.reverse() : fingers;
};

const has = (nodes: readonly XmlNode[], name: string, type: string, number?: string): boolean =>
  nodes.some(
    (n) =>
      n.name === name &&
      n.attributes.type === type &&
      (number === undefined || (n.attributes.number ?? "1") === number),
  );

/** Gathers the notes of a part into events as they are read. */
export class NoteReader {
  readonly #struck: Record<Hand, Struck[]> = { right: [], left: [] };
  readonly #graces = new Map<string, GraceNote[]>();
  #last: Struck | undefined;

  /** Takes a grace note, which belongs to the next note of its voice. */
  grace(note: XmlNode, where: string): void {
    const notations = notationsOf(note);
    const [finger] = fingersOf(notations, where);
    const voice = textOf(note, "voice") ?? "1";
    const style = notations.some((n) => (n.name === "slide" || n.name === "glissando") && n.attributes.type === "start")
      ? "slide"
      : "crushed";
    this.#graces.set(voice, [
      ...(this.#graces.get(voice) ?? []),
      { pitch: pitchOf(note, where), style, ...(finger === undefined ? {} : { finger }) },
    ]);
  }

  /** Takes a note, or one more pitch of the chord before it. */
  note(note: XmlNode, hand: Hand, at: Beats, duration: Beats, where: string): void {
    const notations = notationsOf(note);
    const ties = all(note, "tie").map((tie) => tie.attributes.type);
    const read: ReadNote = {
      pitch: pitchOf(note, where),
      tiedFrom: ties.includes("stop"),
      tiedTo: ties.includes("start"),
      fingers: fingersOf(notations, where),
    };
    const phrase = { starts: has(notations, "slur", "start", "1"), stops: has(notations, "slur", "stop", "1") };
    const articulations = notations
      .filter((n) => n.name === "articulations")
      .flatMap((n) => n.children.map((c) => c.name));
    const articulation = articulations.find((name) => name === "accent" || name === "staccato");
    if (child(note, "chord") !== undefined) {
      if (this.#last === undefined) throw refused("chord", "", `a note for the chord to stand on ${where}`);
      this.#last.notes.push(read);
      this.#last.phrase.starts ||= phrase.starts;
      this.#last.phrase.stops ||= phrase.stops;
      if (articulation !== undefined) this.#last.articulation ??= articulation;
      return;
    }
    const voice = textOf(note, "voice") ?? "1";
    const loudness = Number(note.attributes.dynamics);
    this.#last = {
      hand,
      at,
      duration,
      notes: [read],
      graces: this.#graces.get(voice) ?? [],
      phrase,
      ...(articulation === undefined ? {} : { articulation }),
      ...(loudness > 0 ? { velocity: Math.min(127, Math.max(1, Math.round(loudness * 0.9))) } : {}),
    };
    this.#graces.delete(voice);
    this.#struck[hand].push(this.#last);
  }

  /** The events of a hand, tied notes joined, and the phrases over them. */
  finish(hand: Hand): { readonly events: readonly NoteEvent[]; readonly phrases: readonly TimeSpan[] } {
    const events: NoteEvent[] = [];
    const open = new Map<string, number>();
    const phrases: TimeSpan[] = [];
    let phraseStart: Beats | undefined;
    const id = (at: Beats, notes: readonly ReadNote[]): string =>
      `${formatBeats(at)} ${notes
        .map((n) => pitchName(n.pitch))
        .sort()
        .join(" ")}`;
    for (const struck of [...this.#struck[hand]].sort((a, b) => compareBeats(a.at, b.at))) {
      const { at, duration, notes } = struck;
      const end = addBeats(at, duration);
      const tied = notes.filter((n) => n.tiedFrom).length;
      const on = notes.filter((n) => n.tiedTo).length;
      const mixed = (count: number): boolean => count > 0 && count < notes.length;
      const index = tied === 0 ? events.length : open.get(id(at, notes));
      if (mixed(tied) || mixed(on) || index === undefined) {
        throw refused(
          "tie",
          id(at, notes),
          "ties that join all notes of a chord to the same chord, as this library writes them",
        );
      }
      if (tied === 0) events.push(eventOf(struck));
      else {
        const before = nth(events, index);
        events[index] = { ...before, duration: addBeats(before.duration, duration) };
        open.delete(id(at, notes));
      }
      if (on > 0) open.set(id(end, notes), index);
      if (struck.phrase.stops && phraseStart !== undefined) {
        phrases.push({ at: phraseStart, duration: addBeats(end, { num: -phraseStart.num + 0, den: phraseStart.den }) });
        phraseStart = undefined;
      }
      if (struck.phrase.starts) phraseStart = at;
    }
    if (open.size > 0) throw refused("tie", [...open.keys()][0], "a note that the tie leads to");
    return { events, phrases };
  }
}

const eventOf = ({ at, duration, notes, graces, articulation, velocity }: Struck): NoteEvent => {
  const fingers = notes.flatMap((n) => n.fingers);
  if (fingers.length > 0 && fingers.length !== notes.length) {
    throw refused(
      "fingering",
      fingers.join(" "),
      `one finger for each of ${notes.length} notes, or none, at ${formatBeats(at)}`,
    );
  }
  return {
    at,
    duration,
    pitches: notes.map((n) => n.pitch),
    ...(fingers.length === 0 ? {} : { fingers }),
    ...(graces.length === 0 ? {} : { graces }),
    ...(articulation === undefined ? {} : { articulation }),
    ...(velocity === undefined ? {} : { velocity }),
  };
};
