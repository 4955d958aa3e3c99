import { nth } from "../ground/list.ts";

/** The notes and settings of one track, in ticks. */
export interface TrackContent {
  readonly name: string;
  readonly notes: readonly TrackNote[];
  readonly tempos: readonly { readonly ticks: number; readonly microseconds: number }[];
  readonly metres: readonly { readonly ticks: number; readonly count: number; readonly unit: number }[];
  /** Each change of a sustain pedal. */
  readonly pedals: readonly PedalChange[];
  readonly warnings: readonly string[];
}

/** A sustain pedal that goes down, or up. */
export interface PedalChange {
  readonly ticks: number;
  readonly channel: number;
  readonly down: boolean;
}

// Controller 64; from half way down the dampers are off the strings (MIDI 1.0, controller table: 64 and above is on).
const SUSTAIN = 64;
const DOWN = 64;

interface TrackNote {
  readonly onsetTicks: number;
  readonly durationTicks: number;
  readonly midi: number;
  readonly velocity: number;
  readonly channel: number;
}

class Damage extends Error {}

/** Reads bytes of one track one after the other; stops with `Damage` at the end. */
class Cursor {
  readonly #bytes: Uint8Array;
  readonly #end: number;
  at: number;

  constructor(bytes: Uint8Array, from: number, to: number) {
    this.#bytes = bytes;
    this.at = from;
    this.#end = to;
  }

  get done(): boolean {
    return this.at >= this.#end;
  }

  byte(): number {
    if (this.done) throw new Damage("it stops in the middle of an event");
    return nth(this.#bytes, this.at++);
  }

  /** A data byte, whose top bit is clear. */
  data(): number {
    const byte = this.byte();
    if (byte >= 0x80) throw new Damage("a data byte is out of range");
    return byte;
  }

  variableLength(): number {
    let value = 0;
    for (let i = 0; i < 4; i++) {
      const byte = this.byte();
      value = value * 128 + (byte & 0x7f);
      if (byte < 0x80) return value;
    }
    throw new Damage("a length is longer than four bytes");
  }

  /** The next bytes, as a view. */
  take(length: number): Uint8Array {
    if (this.at + length > this.#end) throw new Damage("it stops in the middle of an event");
    this.at += length;
    return this.#bytes.subarray(this.at - length, this.at);
  }
}

/** How many data bytes follow a status from 0x80 on, by its upper half. */
const DATA_BYTES: Readonly<Record<number, number>> = { 128: 2, 144: 2, 160: 2, 176: 2, 192: 1, 208: 1, 224: 2 };

/** Reads one track; what is damaged ends it, and all before is kept. */
export const readTrack = (bytes: Uint8Array, from: number, to: number): TrackContent => {
  const notes: { onsetTicks: number; durationTicks: number; midi: number; velocity: number; channel: number }[] = [];
  const tempos: { ticks: number; microseconds: number }[] = [];
  const metres: { ticks: number; count: number; unit: number }[] = [];
  const pedals: PedalChange[] = [];
  const pressed = new Set<number>();
  const warnings = new Set<string>();
  let name = "";
  let ticks = 0;
  let running: number | undefined;
  let ended = false;
  const down = new Map<number, { onsetTicks: number; durationTicks: number }>();
  const cursor = new Cursor(bytes, from, to);

  const release = (id: number): void => {
    const note = down.get(id);
    if (note !== undefined) note.durationTicks = ticks - note.onsetTicks;
    down.delete(id);
  };
  const strike = (channel: number, midi: number, velocity: number): void => {
    const id = channel * 128 + midi;
    release(id);
    const note = { onsetTicks: ticks, durationTicks: 0, midi, velocity, channel };
    notes.push(note);
    down.set(id, note);
  };
  const meta = (): void => {
    const type = cursor.data();
    const content = cursor.take(cursor.variableLength());
    if (type === 0x2f) ended = true;
    else if (type === 0x03 && name === "") name = decodeText(content);
    else if (type === 0x51 && content.length >= 3) {
      const microseconds = (nth(content, 0) << 16) | (nth(content, 1) << 8) | nth(content, 2);
      if (microseconds > 0) tempos.push({ ticks, microseconds });
      else warnings.add("a tempo of no time at all was left out");
    } else if (type === 0x58 && content.length >= 2) {
      const [count, power] = [nth(content, 0), nth(content, 1)];
      if (count > 0 && power <= 7) metres.push({ ticks, count, unit: 2 ** power });
      else warnings.add("a time signature that can't be was left out");
    }
  };
  const event = (): void => {
    ticks += cursor.variableLength();
    const first = cursor.byte();
    if (first === 0xff) return meta();
    if (first === 0xf0 || first === 0xf7) return void cursor.take(cursor.variableLength());
    if (first > 0xf0) throw new Damage("it holds a live message that files do not have");
    const status = first >= 0x80 ? first : running;
    if (status === undefined) throw new Damage("a message lacks its status");
    running = status;
    const one = first >= 0x80 ? cursor.data() : first;
    const two = DATA_BYTES[status & 0xf0] === 2 ? cursor.data() : 0;
    const channel = status & 0x0f;
    if ((status & 0xf0) === 0x90 && two > 0) strike(channel, one, two);
    else if ((status & 0xe0) === 0x80) release(channel * 128 + one);
    else if ((status & 0xf0) === 0xb0 && one === SUSTAIN && pressed.has(channel) !== two >= DOWN) {
      pedals.push({ ticks, channel, down: two >= DOWN });
      if (two >= DOWN) pressed.add(channel);
      else pressed.delete(channel);
    }
  };

  try {
    while (!ended && !cursor.done) event();
    if (!ended) warnings.add("its end is not marked");
  } catch (error) {
    if (!(error instanceof Damage)) throw error;
    warnings.add(`${error.message}; what comes before was kept`);
  }
  if (down.size > 0)
    warnings.add(`${down.size} ${down.size === 1 ? "key is" : "keys are"} never let go and end with the track`);
  for (const id of [...down.keys()]) release(id);
  return { name, notes, tempos, metres, pedals, warnings: [...warnings] };
};

const decodeText = (content: Uint8Array): string =>
  new TextDecoder()
    .decode(content)
    .replace(/[\u0000-\u001f\u007f]/g, "")
    .slice(0, 1000);
