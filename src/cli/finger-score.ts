import type { Finger, GraceNote, Hand, NoteEvent } from "../event/index.ts";
import type { FingeringRemark, LineFingeringOptions } from "../fingering/index.ts";
import { fingerPassage } from "../fingering/index.ts";
import { MusicError } from "../ground/errors.ts";
import { writtenPitch } from "../musicxml/inner.ts";
import type { Pitch } from "../pitch/index.ts";
import type { Beats } from "../time/index.ts";
import { addBeats, beatsOf, compareBeats, equalBeats, subtractBeats, ZERO } from "../time/index.ts";

/** A score with fingers, and what was done to it. */
export interface FingeredScore {
  readonly text: string;
  readonly fingered: Readonly<Record<Hand, number>>;
  readonly remarks: readonly { readonly hand: Hand; readonly bar: number; readonly message: string }[];
}

/** A note as it stands in the text. */
interface WrittenNote {
  /** Where its element ends in the text, before the closing tag, and where it begins. */
  readonly from: number;
  readonly to: number;
  readonly body: string;
  readonly bar: number;
  readonly hand: Hand;
  readonly at: Beats;
  readonly duration: Beats;
  readonly pitch: Pitch;
  readonly grace: boolean;
  readonly slides: boolean;
  readonly tiedFrom: boolean;
  readonly written: Finger | undefined;
}

const refused = (what: string, input: unknown, expected: string): MusicError =>
  new MusicError({ code: `cli/${what}`, input, expected });

// Comments and marked sections are passed over whole, so that nothing inside them is taken for a note.
const PIECES =
  /<!--[\s\S]*?-->|<!\[CDATA\[[\s\S]*?\]\]>|<(note|backup|forward|attributes)(?=[\s>/])[^>]*?(?:\/>|>([\s\S]*?)<\/\1\s*>)|<(measure|part)(?=[\s>])[^>]*>/g;

const inside = (body: string, name: string): string | undefined =>
  new RegExp(`<${name}\\b[^>]*>\\s*([^<]*?)\\s*</${name}\\s*>`).exec(body)?.[1];
const has = (body: string, name: string): boolean => new RegExp(`<${name}\\b`).test(body);
const numberIn = (body: string, name: string): number => Number(inside(body, name) ?? Number.NaN);

const FINGERS: readonly Finger[] = [1, 2, 3, 4, 5];

const notesIn = (text: string, oneStaff: Hand): readonly WrittenNote[] => {
  const notes: WrittenNote[] = [];
  let [divisions, bar, part] = [1, 0, 0];
  let [now, before] = [ZERO, ZERO];
  let barStart = ZERO;
  let furthest = ZERO;
  const move = (body: string): Beats => {
    const length = numberIn(body, "duration");
    if (!Number.isInteger(length) || length < 0)
      throw refused("score", body.slice(0, 80), "a note with a whole duration");
    return beatsOf(length, divisions);
  };
  const reach = (at: Beats): void => {
    now = at;
    if (compareBeats(at, furthest) > 0) furthest = at;
  };
  for (const match of text.matchAll(PIECES)) {
    const [whole, name, body = "", frame] = match;
    if (frame === "part") {
      if (++part > 1) throw refused("score", "more than one part", "a piano score of one part with one staff or two");
      [barStart, furthest, now, bar] = [ZERO, ZERO, ZERO, 0];
    } else if (frame === "measure") {
      bar++;
      barStart = furthest;
      now = barStart;
    } else if (name === "attributes") {
      const given = numberIn(body, "divisions");
      if (Number.isInteger(given) && given > 0) divisions = given;
    } else if (name === "backup") now = subtractBeats(now, move(body));
    else if (name === "forward") reach(addBeats(now, move(body)));
    else if (name === "note") {
      const grace = has(body, "grace");
      const duration = grace ? ZERO : move(body);
      const chord = has(body, "chord");
      const at = chord ? before : now;
      if (!chord && !grace) {
        before = now;
        reach(addBeats(now, duration));
      }
      const [step, octave] = [inside(body, "step"), inside(body, "octave")];
      if (has(body, "rest") || has(body, "unpitched") || has(body, "cue") || step === undefined) continue;
      const written = writtenPitch(step, inside(body, "alter"), octave ?? "");
      if (written === undefined)
        throw refused("score", inside(body, "alter"), `a pitch of the twelve keys in bar ${bar}`);
      const staff = inside(body, "staff");
      const end = (match.index ?? 0) + whole.length;
      const own = Number(inside(body, "fingering"));
      notes.push({
        from: match.index ?? 0,
        to: end,
        body: whole,
        bar,
        hand: staff === undefined ? oneStaff : staff === "1" ? "right" : "left",
        at,
        duration,
        pitch: written,
        grace,
        slides: /<(?:slide|glissando)\b[^>]*type="start"/.test(body),
        tiedFrom: /<tie\b[^>]*type="stop"/.test(body),
        written: FINGERS.find((finger) => finger === own),
      });
    }
  }
  return notes;
};

interface Struck {
  readonly event: NoteEvent;
  /** The notes of its graces and pitches, in the order in which they are fingered. */
  readonly notes: readonly WrittenNote[];
}

// What sounds on through ties is one note; notes of one length that begin together are struck together.
const struckBy = (notes: readonly WrittenNote[]): readonly Struck[] => {
  const ends = new Map<WrittenNote, Beats>();
  const open: WrittenNote[] = [];
  let graces: WrittenNote[] = [];
  const gracesOf = new Map<WrittenNote, readonly WrittenNote[]>();
  const first: WrittenNote[] = [];
  for (const note of notes) {
    if (note.grace) {
      graces.push(note);
      continue;
    }
    const end = addBeats(note.at, note.duration);
    const tied = note.tiedFrom
      ? open.find((one) => one.pitch.semitones === note.pitch.semitones && equalBeats(ends.get(one) ?? ZERO, note.at))
      : undefined;
    if (tied !== undefined) {
      ends.set(tied, end);
      continue;
    }
    ends.set(note, end);
    open.push(note);
    first.push(note);
    gracesOf.set(note, graces);
    graces = [];
  }
  const groups = new Map<string, WrittenNote[]>();
  for (const note of first) {
    const end = ends.get(note) ?? note.at;
    const key = `${note.at.num}/${note.at.den} ${end.num}/${end.den}`;
    const group = groups.get(key) ?? [];
    if (!group.some((one) => one.pitch.semitones === note.pitch.semitones)) groups.set(key, [...group, note]);
  }
  return [...groups.values()]
    .map((group): Struck => {
      const rising = [...group].sort((a, b) => a.pitch.semitones - b.pitch.semitones);
      const [one] = rising as [WrittenNote];
      const before = group.flatMap((note) => gracesOf.get(note) ?? []);
      return {
        event: {
          at: one.at,
          duration: subtractBeats(ends.get(one) ?? one.at, one.at),
          pitches: rising.map((note) => note.pitch),
          ...(before.length > 0 && {
            graces: before.map((note): GraceNote => ({ pitch: note.pitch, style: note.slides ? "slide" : "crushed" })),
          }),
        },
        notes: [...before, ...rising],
      };
    })
    .sort((a, b) => compareBeats(a.event.at, b.event.at));
};

const withFinger = (body: string, finger: Finger): string => {
  const bare = body
    .replace(/<fingering\b[^>]*?(?:\/>|>[^<]*<\/fingering\s*>)\s*/g, "")
    .replace(/<technical\s*>\s*<\/technical\s*>\s*/g, "")
    .replace(/<notations\s*>\s*<\/notations\s*>\s*/g, "");
  const technical = `<technical><fingering>${finger}</fingering></technical>`;
  if (/<\/notations\s*>/.test(bare)) return bare.replace(/<\/notations\s*>/, (end) => `${technical}${end}`);
  // By the order of the standard, notations stand before lyrics and what is only played or listened for.
  const later = /<(?:lyric|play|listen)\b|<\/note\s*>/.exec(bare);
  const at = later?.index ?? bare.length;
  return `${bare.slice(0, at)}<notations>${technical}</notations>${bare.slice(at)}`;
};

/**
 * The same MusicXML with a finger on every note that a hand strikes; nothing else of the text is touched. The upper of two staves is the right hand's.
 *
 * @param keep - whether fingers that are written stay, and the others go by them
 * @throws MusicError `cli/score` for what is no partwise score of one part, and the codes of `fingerPassage`
 */
export const fingerMusicXml = (
  text: string,
  options: Omit<LineFingeringOptions, "fixed"> & { readonly keep: boolean },
): FingeredScore => {
  if (!/<score-partwise\b/.test(text)) throw refused("score", text.slice(0, 80), "a partwise MusicXML score");
  const { keep, hand: oneStaff, ...asked } = options;
  const notes = notesIn(text, oneStaff);
  const edits: { readonly from: number; readonly to: number; readonly text: string }[] = [];
  const remarks: { readonly hand: Hand; readonly bar: number; readonly message: string }[] = [];
  const fingered = { left: 0, right: 0 };
  for (const hand of ["right", "left"] as const) {
    const struck = struckBy(notes.filter((note) => note.hand === hand));
    if (struck.length === 0) continue;
    const flat = struck.flatMap((one) => one.notes);
    const fixed = Object.fromEntries(
      flat.flatMap(({ written }, i) => (keep && written !== undefined ? [[i, written] as const] : [])),
    );
    const found = fingerPassage(
      struck.map(({ event }) => event),
      { ...asked, hand, fixed },
    );
    flat.forEach((note, i) => {
      const finger = found.fingers[i];
      if (finger === undefined) return;
      edits.push({ from: note.from, to: note.to, text: withFinger(note.body, finger) });
      fingered[hand]++;
    });
    remarks.push(
      ...found.remarks.map(({ index, message }: FingeringRemark) => ({
        hand,
        bar: flat[index ?? 0]?.bar ?? 1,
        message,
      })),
    );
  }
  if (edits.length === 0) throw refused("score", text.slice(0, 80), "a score with at least one note");
  let [out, at] = ["", 0];
  for (const edit of edits.sort((a, b) => a.from - b.from)) {
    out += text.slice(at, edit.from) + edit.text;
    at = edit.to;
  }
  return { text: out + text.slice(at), fingered, remarks };
};
