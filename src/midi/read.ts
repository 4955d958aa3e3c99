import { MusicError } from "../ground/errors.ts";
import { firstPlace, nth } from "../ground/list.ts";
import type { TempoChange } from "./tempo.ts";
import { secondsAt, tempoMap } from "./tempo.ts";
import type { TrackContent } from "./track.ts";
import { readTrack } from "./track.ts";

/** One key struck and let go in a MIDI file. */
export interface PerformedNote {
  readonly onsetSeconds: number;
  readonly durationSeconds: number;
  /** How long it sounds, where a sustain pedal holds it on after the key was let go; absent elsewhere. */
  readonly soundingSeconds?: number;
  /** Onset in ticks from the start of the file. */
  readonly onsetTicks: number;
  /** Length in ticks; 0 where a file lets a key go on the tick on which it is struck. */
  readonly durationTicks: number;
  /** MIDI note number, 0 to 127. */
  readonly midi: number;
  /** 1 to 127. */
  readonly velocity: number;
  /** From 0; percussion is 9. */
  readonly channel: number;
  /** Index of the track in the file. */
  readonly track: number;
}

/** A time signature of a MIDI file. */
export interface MidiMetre {
  readonly ticks: number;
  readonly seconds: number;
  readonly count: number;
  /** A power of two. */
  readonly unit: number;
}

/** A track of a MIDI file. */
export interface MidiTrack {
  /** Its name, if the file gives one; may be empty. */
  readonly name: string;
  /** Notes in it. */
  readonly notes: number;
}

/** What was read from a MIDI file: notes in seconds and in ticks, and the tempo. */
export interface MidiPerformance {
  readonly kind: "midi-performance";
  readonly format: 0 | 1 | 2;
  readonly ticksPerQuarter: number;
  /** By onset, then key. */
  readonly notes: readonly PerformedNote[];
  /** The tempo from the start on; at least one. */
  readonly tempos: readonly TempoChange[];
  readonly metres: readonly MidiMetre[];
  readonly tracks: readonly MidiTrack[];
  /** What was damaged and how it was mended, in plain sentences; empty for a sound file. */
  readonly warnings: readonly string[];
}

/**
 * Reads the notes of a Standard MIDI File of any format, swung or not, with any number of tempo changes.
 *
 * From a damaged file it saves what it can, and says so in `warnings`: a truncated track ends where the bytes end, a key that is never
 * let go ends with its track, a key struck again while it is down ends there. Work and memory are bounded by the size of the file.
 * The tracks of a format 2 file are independent of each other: each starts at 0 and keeps its own tempo, and `tempos` is that of the first.
 *
 * Source: Standard MIDI-File Format Spec. 1.1 (MMA RP-001).
 *
 * Where time is in SMPTE frames the tempo is not known: then a quarter note is a second (1.001 at 29 frames), and `warnings` says so.
 *
 * @throws MusicError `midi/header` when no header can be found, `midi/division` for no ticks at all or frames that none are, `midi/no-tracks` when nothing of a track is left, `midi/bytes` for what is no byte array
 *
 * @example
 * ```ts
 * import { beats, makeScore, metre, parseKey, pitch, readMidi, writeMidi } from "hands-together";
 *
 * const held = { at: beats(1), duration: beats(2), pitches: [pitch("C4")] };
 * const score = makeScore({ key: parseKey("C"), metre: metre("4/4"), bars: 1, tempo: 60, right: [held] });
 * const note = readMidi(writeMidi(score, { touch: "plain" })).notes[0]!;
 * [note.midi, note.onsetSeconds, note.durationSeconds]; // => [60, 1, 2]
 * readMidi(new Uint8Array(4)); // throws "midi/header"
 * ```
 */
export function readMidi(bytes: Uint8Array): MidiPerformance {
  if (!(bytes instanceof Uint8Array)) {
    throw new MusicError({
      code: "midi/bytes",
      input: typeof bytes,
      expected: "the bytes of a MIDI file, as a Uint8Array",
    });
  }
  const warnings: string[] = [];
  const header = readHeader(bytes, warnings);
  const contents = chunks(bytes, header.end, warnings).map((chunk, i) => {
    const content = readTrack(bytes, chunk.from, chunk.to);
    warnings.push(...content.warnings.map((warning) => `track ${i + 1}: ${warning}`));
    return content;
  });
  if (contents.length === 0) {
    throw new MusicError({
      code: "midi/no-tracks",
      input: `${bytes.length} bytes`,
      expected: "a MIDI file with at least one track",
    });
  }
  if (contents.length !== header.tracks)
    warnings.push(`the header announces ${header.tracks} tracks, the file has ${contents.length}`);
  return assemble(header, contents, warnings);
}

interface Header {
  readonly format: 0 | 1 | 2;
  readonly tracks: number;
  readonly ticksPerQuarter: number;
  /** Where time is in SMPTE frames: how long so many ticks take, whatever tempo is written. */
  readonly microseconds?: number;
  readonly end: number;
}

const startsWith = (bytes: Uint8Array, at: number, id: string): boolean =>
  at + id.length <= bytes.length && [...id].every((letter, i) => bytes[at + i] === letter.charCodeAt(0));

const uint = (bytes: Uint8Array, at: number, length: number): number => {
  let value = 0;
  for (let i = 0; i < length; i++) value = value * 256 + nth(bytes, at + i);
  return value;
};

const readHeader = (bytes: Uint8Array, warnings: string[]): Header => {
  let at = 0;
  // A wrapper (RIFF, a mail gateway's lines) may come first.
  while (at < bytes.length && !(bytes[at] === 0x4d && startsWith(bytes, at, "MThd"))) at++;
  if (at + 14 > bytes.length) {
    throw new MusicError({
      code: "midi/header",
      input: `${bytes.length} bytes`,
      expected: "a Standard MIDI File, which starts with MThd and 10 bytes more",
    });
  }
  if (at > 0) warnings.push(`${at} bytes before the header were skipped`);
  const format = uint(bytes, at + 8, 2);
  const tracks = uint(bytes, at + 10, 2);
  const division = uint(bytes, at + 12, 2);
  const frames = division >= 0x8000 ? framesOf(256 - (division >> 8), division & 0xff) : undefined;
  if (frames !== undefined)
    warnings.push("time is told in frames of film, so the tempo is not known: a quarter note is read as a second");
  if (division === 0)
    throw new MusicError({ code: "midi/division", input: 0, expected: "at least one tick to a quarter note" });
  if (format > 2) warnings.push(`format ${format} is unknown and read as format 1`);
  return {
    format: format === 0 || format === 2 ? format : 1,
    tracks,
    ticksPerQuarter: frames?.ticks ?? division,
    ...(frames === undefined ? {} : { microseconds: frames.microseconds }),
    end: at + 8 + Math.max(6, uint(bytes, at + 4, 4)),
  };
};

/** SMPTE time (Spec. 1.1): ticks of so many frames a second, and how long these take; 29 stands for 30 frames in 1.001 s. */
const framesOf = (rate: number, ticks: number): { readonly ticks: number; readonly microseconds: number } => {
  if (![24, 25, 29, 30].includes(rate) || ticks === 0) {
    throw new MusicError({
      code: "midi/division",
      input: `${ticks} ticks a frame, ${rate} frames a second`,
      expected: "24, 25, 29 or 30 frames a second with at least one tick each",
    });
  }
  return rate === 29
    ? { ticks: 30 * ticks, microseconds: 1_001_000 }
    : { ticks: rate * ticks, microseconds: 1_000_000 };
};

interface Chunk {
  readonly from: number;
  readonly to: number;
}

const chunks = (bytes: Uint8Array, from: number, warnings: string[]): readonly Chunk[] => {
  const found: Chunk[] = [];
  let at = from;
  while (at + 8 <= bytes.length) {
    if (![0, 1, 2, 3].every((i) => isLetter(nth(bytes, at + i)))) {
      const next = nextTrack(bytes, at);
      warnings.push(
        next < 0
          ? `${bytes.length - at} bytes after the last track can't be read`
          : `${next - at} bytes between tracks were skipped`,
      );
      if (next < 0) break;
      at = next;
    }
    const end = at + 8 + uint(bytes, at + 4, 4);
    if (startsWith(bytes, at, "MTrk")) {
      if (end > bytes.length) warnings.push(`the file ends inside track ${found.length + 1}`);
      found.push({ from: at + 8, to: Math.min(end, bytes.length) });
    }
    at = end;
  }
  return found;
};

const isLetter = (byte: number): boolean => byte >= 0x20 && byte < 0x7f;

const nextTrack = (bytes: Uint8Array, from: number): number => {
  for (let at = from; at + 8 <= bytes.length; at++) if (bytes[at] === 0x4d && startsWith(bytes, at, "MTrk")) return at;
  return -1;
};

type Note = TrackContent["notes"][number];

/** Until which tick a pedal holds a note on that was let go: until it comes up, or the key is struck again; undefined where none does. */
const pedalledUntil = (contents: readonly TrackContent[]): ((note: Note) => number | undefined) => {
  const pedals = new Map<number, { readonly ticks: number; readonly down: boolean }[]>();
  for (const { channel, ...change } of contents.flatMap((content) => content.pedals)) {
    const own = pedals.get(channel);
    if (own === undefined) pedals.set(channel, [change]);
    else own.push(change);
  }
  if (pedals.size === 0) return () => undefined;
  for (const own of pedals.values()) own.sort((a, b) => a.ticks - b.ticks);
  const strikes = new Map<number, number[]>();
  let end = 0;
  for (const { channel, midi, onsetTicks, durationTicks } of contents.flatMap((content) => content.notes)) {
    end = Math.max(end, onsetTicks + durationTicks);
    const own = strikes.get(channel * 128 + midi);
    if (own === undefined) strikes.set(channel * 128 + midi, [onsetTicks]);
    else own.push(onsetTicks);
  }
  for (const own of strikes.values()) own.sort((a, b) => a - b);
  return ({ channel, midi, onsetTicks, durationTicks }) => {
    const own = pedals.get(channel);
    const released = onsetTicks + durationTicks;
    if (own === undefined) return undefined;
    const next = firstPlace(own, ({ ticks }) => ticks > released);
    if (next === 0 || !nth(own, next - 1).down) return undefined;
    const again = strikes.get(channel * 128 + midi) ?? [];
    const struck = again[firstPlace(again, (ticks) => ticks > onsetTicks)];
    return Math.max(released, Math.min(own[next]?.ticks ?? end, struck ?? Infinity));
  };
};

const assemble = (header: Header, contents: readonly TrackContent[], warnings: readonly string[]): MidiPerformance => {
  const { format, ticksPerQuarter, microseconds } = header;
  const mapOf = (tempos: TrackContent["tempos"]): readonly TempoChange[] =>
    tempoMap(microseconds === undefined ? tempos : [{ ticks: 0, microseconds }], ticksPerQuarter);
  const shared = mapOf(contents.flatMap((content) => content.tempos));
  const maps = contents.map((content) => (format === 2 ? mapOf(content.tempos) : shared));
  const notes = contents.flatMap((content, track) => {
    const at = secondsAt(nth(maps, track), ticksPerQuarter);
    const held = pedalledUntil(format === 2 ? [content] : contents);
    return content.notes.map((note): PerformedNote => {
      const onsetSeconds = at(note.onsetTicks);
      const until = held(note);
      return {
        onsetSeconds,
        durationSeconds: at(note.onsetTicks + note.durationTicks) - onsetSeconds,
        ...(until === undefined ? {} : { soundingSeconds: at(until) - onsetSeconds }),
        ...note,
        track,
      };
    });
  });
  notes.sort((a, b) => a.onsetTicks - b.onsetTicks || a.midi - b.midi);
  const first = secondsAt(nth(maps, 0), ticksPerQuarter);
  const metres = (format === 2 ? nth(contents, 0).metres : contents.flatMap((content) => content.metres))
    .map((m) => ({ ticks: m.ticks, seconds: first(m.ticks), count: m.count, unit: m.unit }))
    .sort((a, b) => a.ticks - b.ticks);
  return {
    kind: "midi-performance",
    format,
    ticksPerQuarter,
    notes,
    tempos: nth(maps, 0),
    metres,
    tracks: contents.map((content) => ({ name: content.name, notes: content.notes.length })),
    warnings,
  };
};
