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
 * The `harmony` element of a chord symbol. Its whole text is in the kind, so the degrees are marked not to be printed again.
 *
 * @param offset - divisions after the note before which it stands
 * @param degrees - whether to write the degrees at all
 */
export const harmonyElement = (chord: ChordSpan["chord"], offset: number, degrees: boolean): XmlElement => {
  const place = [offset === 0 ? undefined : leaf("offset", offset), leaf("staff", 1)];
  if (chord === undefined) {
    // MusicXML 4.0: with the kind "none" a function has no meaning; a root would be printed by engravers that ignore its text.
    return element("harmony", { placement: "above" }, [element("function", {}), leaf("kind", "none", { text: NO_CHORD }), ...place]);
  }
  const harmony = musicXmlHarmony(chord);
  return element("harmony", { placement: "above" }, [
    named("root", harmony.root),
    leaf("kind", harmony.kind, { text: harmony.text }),
    harmony.bass === undefined ? undefined : named("bass", harmony.bass),
    ...(degrees ? harmony.degrees : []).map((degree) => element("degree", { "print-object": "no" }, [
      leaf("degree-value", degree.value),
      leaf("degree-alter", degree.alter),
      leaf("degree-type", degree.type),
    ])),
    ...place,
  ]);
};
