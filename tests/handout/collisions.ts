/// <reference lib="dom" />
import type { Page } from "playwright-core";

/** Two marks of a page that run into each other. */
export interface Collision {
  readonly marks: string;
  /** How far they overlap, in hundredths of a staff's height, the smaller of the two ways. */
  readonly by: number;
}

/**
 * Every pair of marks in a page's systems whose boxes overlap: words (fingers, chord symbols, bar numbers) with words, with tuplet signs, and with
 * what the staves hold. Letters fill about 0.56 of the height of their line; a beam or a slur fills less than its box, so it is taken in slices.
 */
export const collisionsOn = (page: Page): Promise<readonly Collision[]> =>
  page.evaluate(() => {
    type Box = readonly [left: number, right: number, top: number, bottom: number];
    interface Mark {
      readonly kind: string;
      readonly boxes: readonly Box[];
      readonly said: string;
    }
    const found: { marks: string; by: number }[] = [];
    // A line has a box without its thickness.
    const boxOf = (element: Element): Box => {
      const { left, right, top, bottom } = element.getBoundingClientRect();
      const [wide, high] = [right - left < 1 ? 0.6 : 0, bottom - top < 1 ? 0.6 : 0];
      return [left - wide, right + wide, top - high, bottom + high];
    };
    const inked = (span: Element): Box => {
      const [left, right, top, bottom] = boxOf(span);
      return [left, right, top + 0.22 * (bottom - top), bottom - 0.22 * (bottom - top)];
    };
    const words = (system: Element, kind: string): Mark[] =>
      Array.from(system.querySelectorAll(`g.${kind}`)).map((group) => {
        const spans = Array.from(group.querySelectorAll("tspan")).filter(
          (span) =>
            span.querySelector("tspan") === null &&
            /^[\x20-\x7e\xa0]+$/.test(span.textContent ?? "") &&
            (span.textContent ?? "").trim() !== "",
        );
        return { kind, boxes: spans.map(inked), said: group.textContent?.trim() ?? "" };
      });
    const shapes = (system: Element, kind: string, selector: string): Mark[] =>
      Array.from(system.querySelectorAll(selector)).map((element) => ({ kind, boxes: [boxOf(element)], said: "" }));
    // A slanted beam: the box between its corners, in eight slices.
    const beams = (system: Element): Mark[] =>
      Array.from(system.querySelectorAll("g.beam > polygon")).map((polygon) => {
        const [left, right, top, bottom] = boxOf(polygon);
        const points = (polygon.getAttribute("points") ?? "")
          .trim()
          .split(/[\s,]+/)
          .map(Number);
        const rises = (points[1] ?? 0) > (points[3] ?? 0);
        const thick = Math.min(
          bottom - top,
          (right - left) / 4,
          ((bottom - top) * Math.abs((points[7] ?? 0) - (points[1] ?? 0))) /
            Math.max(
              1,
              Math.max(...points.filter((_, i) => i % 2 === 1)) - Math.min(...points.filter((_, i) => i % 2 === 1)),
            ),
        );
        const slope = bottom - top - thick;
        return {
          kind: "beam",
          said: "",
          boxes: Array.from({ length: 8 }, (_, i): Box => {
            const share = rises ? 7 - i : i;
            const from = top + (slope * share) / 8;
            return [
              left + ((right - left) * i) / 8,
              left + ((right - left) * (i + 1)) / 8,
              from,
              from + slope / 8 + thick,
            ];
          }),
        };
      });
    const overlap = ([l1, r1, t1, b1]: Box, [l2, r2, t2, b2]: Box): number =>
      Math.min(Math.min(r1, r2) - Math.max(l1, l2), Math.min(b1, b2) - Math.max(t1, t2));
    for (const system of Array.from(document.querySelectorAll(".systems > svg, div.system > svg"))) {
      if (system.getBoundingClientRect().width === 0) continue;
      const lines = Array.from(system.querySelectorAll("g.staff")[0]?.querySelectorAll(":scope > path") ?? []).map(
        (line) => line.getBoundingClientRect().top,
      );
      const staff = Math.max(...lines) - Math.min(...lines);
      const said = [
        ...words(system, "fing"),
        ...words(system, "harm"),
        ...words(system, "mNum"),
        ...words(system, "tempo"),
        ...words(system, "dir"),
        ...words(system, "reh"),
        ...words(system, "ending"),
      ];
      const drawn = [
        ...shapes(system, "tuplet number", "g.tupletNum use"),
        ...shapes(system, "tuplet bracket", "g.tupletBracket > *"),
        ...shapes(system, "note head", "g.notehead use"),
        ...shapes(system, "accidental", "g.accid use"),
        ...shapes(system, "stem", "g.stem > path, g.stem > rect"),
        ...shapes(system, "flag", "g.flag use"),
        ...shapes(system, "rest", "g.rest use, g.mRest use"),
        ...shapes(system, "clef", "g.clef use"),
        ...shapes(system, "bracket", "g.bracketSpan > path"),
        ...beams(system),
      ];
      said.forEach((one, i) => {
        for (const other of [...said.slice(i + 1), ...drawn]) {
          const by = Math.max(...one.boxes.flatMap((a) => other.boxes.map((b) => overlap(a, b))), 0);
          if (by > staff * 0.01)
            found.push({
              marks: `${one.kind} ${one.said} with ${other.kind} ${other.said}`.trim(),
              by: Math.round((100 * by) / staff),
            });
        }
      });
    }
    return found;
  });
