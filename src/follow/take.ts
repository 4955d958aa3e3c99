import type { PlayedNote } from "../assess/index.ts";
import { MusicError } from "../ground/errors.ts";

const MOST_NOTES = 1_000_000;

interface Held {
  readonly index: number;
  readonly channel: number;
}

/** The keys of a take as they come and go, with what a pedal holds on. */
export class Take {
  private readonly notes: { -readonly [K in keyof PlayedNote]: PlayedNote[K] }[] = [];
  private readonly down = new Map<number, Held>();
  private readonly pedalled = new Map<number, Held>();
  private readonly pedals = new Set<number>();
  latest = -Infinity;

  get length(): number {
    return this.notes.length;
  }

  on(note: Omit<PlayedNote, "durationSeconds">): number {
    const { channel = 0, midi, onsetSeconds } = note;
    if (this.notes.length >= MOST_NOTES)
      throw new MusicError({ code: "follow/notes", input: this.notes.length + 1, expected: "at most a million notes" });
    // A key that goes down again was let go, whether that was told or not.
    this.off(midi, onsetSeconds, channel);
    this.release(channel * 128 + midi, onsetSeconds);
    this.latest = Math.max(this.latest, onsetSeconds);
    const index = this.notes.push({ ...note, durationSeconds: 0 }) - 1;
    this.down.set(channel * 128 + midi, { index, channel });
    return index;
  }

  off(midi: number, seconds: number, channel: number): void {
    const key = channel * 128 + midi;
    const held = this.down.get(key);
    this.latest = Math.max(this.latest, seconds);
    if (held === undefined) return;
    const note = this.notes[held.index];
    if (note !== undefined) note.durationSeconds = Math.max(0, seconds - note.onsetSeconds);
    this.down.delete(key);
    if (this.pedals.has(channel)) this.pedalled.set(key, held);
  }

  pedal(isDown: boolean, seconds: number, channel: number): void {
    this.latest = Math.max(this.latest, seconds);
    if (isDown) this.pedals.add(channel);
    else {
      this.pedals.delete(channel);
      for (const [key, held] of this.pedalled) if (held.channel === channel) this.release(key, seconds);
    }
  }

  private release(key: number, seconds: number): void {
    const note = this.notes[this.pedalled.get(key)?.index ?? -1];
    if (note !== undefined) note.soundingSeconds = Math.max(note.durationSeconds, seconds - note.onsetSeconds);
    this.pedalled.delete(key);
  }

  /** All of it; what is still held sounds until the last moment that was told. */
  played(): readonly PlayedNote[] {
    const open = new Set([...this.down.values()].map(({ index }) => index));
    const pedalled = new Set([...this.pedalled.values()].map(({ index }) => index));
    return this.notes.map((note, i) => ({
      ...note,
      ...(open.has(i) && { durationSeconds: Math.max(0, this.latest - note.onsetSeconds) }),
      ...(pedalled.has(i) && { soundingSeconds: Math.max(note.durationSeconds, this.latest - note.onsetSeconds) }),
    }));
  }
}
