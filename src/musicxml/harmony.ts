import { musicXmlHarmony } from "../chord/index.ts";
import { alterationOf, letterOf, pitchInOctave } from "../pitch/index.ts";
import type { NoteName } from "../pitch/index.ts";
import type { ChordSpan } from "../progression/index.ts";
import type { XmlElement } from "./xml.ts";
import { element, leaf } from "./xml.ts";

/** Printed where no chord sounds. */
export const NO_CHORD = "N.C.";

const named = (tag: "root" | "bass", note: NoteName): XmlElement => {
  const p = pitchInOctave(note, 4);
  const alter = alterationOf(p);
  return element(tag, {}, [leaf(`${tag}-step`, letterOf(p)), alter === 0 ? undefined : leaf(`${tag}-alter`, alter)]);
};

/**
 * The `harmony` element of a chord symbol; the printed text is in the kind, so its degrees are not printed again.
 *
 * @param offset - divisions after the note before which it stands
 */
export const harmonyElement = (chord: ChordSpan["chord"], offset: number): XmlElement => {
  const place = [offset === 0 ? undefined : leaf("offset", offset), leaf("staff", 1)];
  if (chord === undefined) {
    // As MusicXML 4.0 asks: a root that prints nothing, and the kind "none" with its text.
    return element("harmony", { placement: "above" }, [
      element("root", {}, [leaf("root-step", "C", { text: "" })]),
      leaf("kind", "none", { text: NO_CHORD }),
      ...place,
    ]);
  }
  const { root, kind, text, bass, degrees } = musicXmlHarmony(chord);
  return element("harmony", { placement: "above" }, [
    named("root", root),
    leaf("kind", kind, { text }),
    bass === undefined ? undefined : named("bass", bass),
    ...degrees.map((degree) => element("degree", { "print-object": "no" }, [
      leaf("degree-value", degree.value),
      leaf("degree-alter", degree.alter),
      leaf("degree-type", degree.type),
    ])),
    ...place,
  ]);
};
