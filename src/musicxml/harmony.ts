import type { NoteName } from "../pitch/index.ts";
import { alterationOf, letterOf, pitchInOctave } from "../pitch/index.ts";
import type { ChordSpan } from "../progression/index.ts";
import type { MusicXmlHarmony, MusicXmlHarmonyDegree } from "./chord.ts";
import { harmonyOf } from "./chord.ts";
import type { XmlElement } from "./xml.ts";
import { element, leaf } from "./xml.ts";

/** Printed where no chord sounds. */
export const NO_CHORD = "N.C.";

const named = (tag: "root" | "bass", note: NoteName): XmlElement => {
  const p = pitchInOctave(note, 4);
  const alter = alterationOf(p);
  return element(tag, {}, [leaf(`${tag}-step`, letterOf(p)), alter === 0 ? undefined : leaf(`${tag}-alter`, alter)]);
};

interface PrintedDegree extends MusicXmlHarmonyDegree {
  /** What is printed before the degree's sign and number; undefined where the degree is not printed. */
  readonly prefix: string | undefined;
}

const SIGNS = ["♭♭", "♭", "", "♯", "♯♯"] as const;

/**
 * How text and degrees share the printing. Degrees that are just what the text has in brackets are printed as degrees, and the text ends before
 * the brackets; all others (the 11th that a 13th chord leaves out, the 9th of 6/9) are in the text already and marked not to be printed.
 */
const shared = ({
  text,
  degrees,
}: MusicXmlHarmony): { readonly text: string; readonly degrees: readonly PrintedDegree[] } => {
  const hidden = { text, degrees: degrees.map((degree) => ({ ...degree, prefix: undefined })) };
  const brackets = /^(.*)\(([^()]+)\)$/u.exec(text);
  if (brackets === null) return hidden;
  const [, plain = "", bracketed = ""] = brackets;
  const items = bracketed.split(",");
  if (items.length !== degrees.length) return hidden;
  const printed = items.map((item): PrintedDegree | undefined => {
    const [, prefix = "", sign, value] = /^(add|no)?([♭♯]*)(\d+)$/u.exec(item) ?? [];
    const degree = degrees.find(
      (d) => d.value === Number(value) && SIGNS[d.alter + 2] === sign && (d.type === "subtract") === (prefix === "no"),
    );
    return degree === undefined ? undefined : { ...degree, prefix };
  });
  return printed.every((degree) => degree !== undefined) ? { text: plain, degrees: printed } : hidden;
};

/**
 * The `harmony` element of a chord symbol.
 *
 * @param offset - divisions after the note before which it stands
 * @param degrees - whether to write degrees; without them the text says all
 */
export const harmonyElement = (chord: ChordSpan["chord"], offset: number, degrees: boolean): XmlElement => {
  const place = [offset === 0 ? undefined : leaf("offset", offset), leaf("staff", 1)];
  if (chord === undefined) {
    // MusicXML 4.0: with the kind "none" a function has no meaning; a root would be printed by engravers that ignore its text.
    return element("harmony", { placement: "above" }, [
      element("function", {}),
      leaf("kind", "none", { text: NO_CHORD }),
      ...place,
    ]);
  }
  const harmony = harmonyOf(chord);
  const printed = degrees ? shared(harmony) : { text: harmony.text, degrees: [] };
  return element("harmony", { placement: "above" }, [
    named("root", harmony.root),
    leaf("kind", harmony.kind, { text: printed.text }),
    harmony.bass === undefined ? undefined : named("bass", harmony.bass),
    ...printed.degrees.map((degree) =>
      element("degree", { "print-object": degree.prefix === undefined ? "no" : undefined }, [
        leaf("degree-value", degree.value),
        leaf("degree-alter", degree.alter),
        leaf("degree-type", degree.type, { text: degree.prefix }),
      ]),
    ),
    ...place,
  ]);
};
