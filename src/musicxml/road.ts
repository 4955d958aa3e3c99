import type { BarSigns } from "../progression/index.ts";
import type { XmlElement } from "./xml.ts";
import { element, leaf } from "./xml.ts";

/** A direction above the staff, and what it means to a player. */
export const direction = (
  children: readonly XmlElement[],
  sound: Readonly<Record<string, string>> | undefined,
  staff?: 1,
): XmlElement =>
  element("direction", { placement: "above" }, [
    ...children.map((one) => element("direction-type", {}, [one])),
    staff === undefined ? undefined : leaf("staff", staff),
    sound === undefined ? undefined : element("sound", sound),
  ]);

/** What stands over the beginning of a bar; `staff` is told where there are several. */
export const signsBefore = (bar: BarSigns, staff?: 1): readonly XmlElement[] => [
  ...(bar.section === undefined ? [] : [direction([leaf("rehearsal", bar.section)], undefined, staff)]),
  ...(bar.segno === true ? [direction([element("segno", {})], { segno: "segno" }, staff)] : []),
  ...(bar.coda === true ? [direction([element("coda", {})], { coda: "coda" }, staff)] : []),
];

/** What stands over its end. */
export const signsBehind = (bar: BarSigns, staff?: 1): readonly XmlElement[] => [
  ...(bar.toCoda === true ? [direction([leaf("words", "To Coda")], { tocoda: "coda" }, staff)] : []),
  ...(bar.fine === true ? [direction([leaf("words", "Fine")], { fine: "yes" }, staff)] : []),
  ...(bar.jump === undefined
    ? []
    : [
        direction(
          [leaf("words", bar.jump)],
          bar.jump.startsWith("D.C.") ? { dacapo: "yes" } : { dalsegno: "segno" },
          staff,
        ),
      ]),
];

/** Its left bar line, where that says something. */
export const leftBarline = (bar: BarSigns): readonly XmlElement[] =>
  bar.repeatStart !== true && bar.ending === undefined
    ? []
    : [
        element("barline", { location: "left" }, [
          bar.repeatStart === true ? leaf("bar-style", "heavy-light") : undefined,
          bar.ending === undefined
            ? undefined
            : leaf("ending", `${bar.ending.join(", ")}.`, { number: bar.ending.join(","), type: "start" }),
          bar.repeatStart === true ? element("repeat", { direction: "forward" }) : undefined,
        ]),
      ];

/** The ending that a bar closes: up to its repeat, or the bar alone that begins the last one. */
const endingClosed = (bars: readonly BarSigns[], index: number): readonly number[] | undefined => {
  const bar = bars[index];
  if (bar?.repeatEnd === undefined) return bar?.ending === undefined || continues(bars, index) ? undefined : bar.ending;
  for (let at = index; at >= 0; at--) {
    const own = bars[at];
    if (own?.ending !== undefined) return own.ending;
    if (own?.repeatStart === true || (at < index && own?.repeatEnd !== undefined)) return undefined;
  }
  return undefined;
};

// Whether an ending that begins here goes on to a repeat.
const continues = (bars: readonly BarSigns[], index: number): boolean => {
  for (let at = index; at < bars.length; at++) {
    if (at > index && (bars[at]?.ending !== undefined || bars[at]?.repeatStart === true)) return false;
    if (bars[at]?.repeatEnd !== undefined) return true;
  }
  return false;
};

/** Its right bar line, where that says something; the last bar has a final one. */
export const rightBarline = (bars: readonly BarSigns[], index: number): readonly XmlElement[] => {
  const bar = bars[index];
  const ending = endingClosed(bars, index);
  const last = index === bars.length - 1;
  if (bar === undefined || (bar.repeatEnd === undefined && ending === undefined && !last)) return [];
  return [
    element("barline", { location: "right" }, [
      bar.repeatEnd !== undefined || last ? leaf("bar-style", "light-heavy") : undefined,
      ending === undefined
        ? undefined
        : element("ending", { number: ending.join(","), type: bar.repeatEnd === undefined ? "discontinue" : "stop" }),
      bar.repeatEnd === undefined
        ? undefined
        : element("repeat", { direction: "backward", times: bar.repeatEnd === 2 ? undefined : bar.repeatEnd }),
    ]),
  ];
};
