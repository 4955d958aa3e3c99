/** What other folders may use of this one, beside its index: pitches as MusicXML writes them. */
export { writtenPitch } from "./pitch.ts";
