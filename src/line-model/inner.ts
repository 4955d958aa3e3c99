/** What other folders of ours may import besides the index. */
export {
  BLUES_FOUR,
  BLUES_ONE,
  CELLS,
  CHORD_KINDS,
  chordKindOf,
  DIMINISHED,
  DOMINANT,
  KINDS,
  MAJOR,
  MINOR,
  partsOf,
  RANGE,
  TEMPOS,
  tempoClass,
} from "./shape.ts";
