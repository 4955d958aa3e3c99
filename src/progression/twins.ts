import type { Key, KeyMode, NoteName } from "../pitch/index.ts";
import { fifthsOf, parseKey } from "../pitch/index.ts";

const TWINS: Readonly<Record<string, NoteName>> = { Db: "C#", Gb: "F#", Cb: "B", "G#": "Ab", "D#": "Eb", "A#": "Bb" };
const twinOf = (tonic: NoteName): NoteName => TWINS[tonic] ?? tonic;

/** A key's tonic in another mode, under the name that has a key signature. */
export const inMode = (key: Key, mode: KeyMode | undefined): Key =>
  mode === undefined || mode === key.mode ? key : mode === "minor" ? minorOn(key.tonic) : majorOn(key.tonic);

/** The minor key of a tonic, or of its twin where the tonic has none. */
export const minorOn = (tonic: NoteName): Key =>
  parseKey(`${Math.abs(fifthsOf(tonic) - 3) <= 7 ? tonic : twinOf(tonic)} minor`);

/** The major key of a tonic, or of its twin where the tonic has none. */
export const majorOn = (tonic: NoteName): Key => parseKey(Math.abs(fifthsOf(tonic)) <= 7 ? tonic : twinOf(tonic));
