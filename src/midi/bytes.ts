import { allow } from "../ground/watch.ts";
/**
 * Bytes of a Standard MIDI File, written into one growing buffer: linear in what is written.
 *
 * Source: Standard MIDI-File Format Spec. 1.1 (MIDI Manufacturers Association, RP-001).
 */
export class ByteWriter {
  #bytes = new Uint8Array(1024);
  #length = 0;

  /** How many bytes are written. */
  get length(): number {
    return this.#length;
  }

  /** Appends bytes. */
  bytes(...values: readonly number[]): void {
    this.#reserve(values.length);
    for (const value of values) this.#bytes[this.#length++] = value;
  }

  /** Appends a text as its length and its UTF-8 bytes. */
  text(text: string): void {
    const encoded = new TextEncoder().encode(text);
    this.variableLength(encoded.length);
    this.#reserve(encoded.length);
    this.#bytes.set(encoded, this.#length);
    this.#length += encoded.length;
  }

  /** Appends a 16-bit number, high byte first. */
  uint16(value: number): void {
    this.bytes((value >> 8) & 0xff, value & 0xff);
  }

  /** Appends a 32-bit number, high byte first. */
  uint32(value: number): void {
    this.bytes((value >>> 24) & 0xff, (value >>> 16) & 0xff, (value >>> 8) & 0xff, value & 0xff);
  }

  /** Appends a variable-length quantity, 0 to 0x0FFFFFFF: seven bits a byte, high ones first, all but the last with the top bit set. */
  variableLength(value: number): void {
    if (value >= 0x200000) this.bytes(0x80 | (value >>> 21));
    if (value >= 0x4000) this.bytes(0x80 | ((value >>> 14) & 0x7f));
    if (value >= 0x80) this.bytes(0x80 | ((value >>> 7) & 0x7f));
    this.bytes(value & 0x7f);
  }

  /** Appends a chunk: four letters, the length of what `content` writes, and that. */
  chunk(id: "MThd" | "MTrk", content: () => void): void {
    for (let i = 0; i < 4; i++) this.bytes(id.charCodeAt(i));
    const at = this.#length;
    this.uint32(0);
    content();
    new DataView(this.#bytes.buffer).setUint32(at, this.#length - at - 4);
  }

  /** What was written, in a buffer of its own. */
  finish(): Uint8Array {
    allow("bytes", this.#length);
    return this.#bytes.slice(0, this.#length);
  }

  #reserve(more: number): void {
    if (this.#length + more <= this.#bytes.length) return;
    const grown = new Uint8Array(Math.max(2 * this.#bytes.length, this.#length + more));
    grown.set(this.#bytes.subarray(0, this.#length));
    this.#bytes = grown;
  }
}
