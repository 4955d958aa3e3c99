import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { arrangementCatalogue, backingCatalogue, makeBacking } from "../../src/backing/index.ts";
import { midiNumber } from "../../src/pitch/index.ts";
import { parseProgression } from "../../src/progression/index.ts";
import { beatsToNumber } from "../../src/time/index.ts";

const num = beatsToNumber;

describe("arrangements", () => {
  it("law: whatever the arrangement, the form is filled: the root where a chord enters, no key twice at once, in order of time", () => {
    fc.assert(
      fc.property(
        fc.constantFrom(...arrangementCatalogue.map(({ id }) => id)),
        fc.constantFrom(...backingCatalogue.map(({ id }) => id)),
        fc.integer({ min: 1, max: 5 }),
        fc.integer({ min: 0, max: 9999 }),
        fc.boolean(),
        (arrangement, style, choruses, seed, ending) => {
          const metre = style === "waltz" ? "3/4" : style === "five-four" ? "5/4" : "4/4";
          const form = parseProgression("Dm7 | G7 | Cmaj7 | A7", {
            key: "C",
            metre,
          });
          const { bass, drums, reasons } = makeBacking(form, { arrangement, style, choruses, seed, ending });
          expect(reasons.length).toBe(bass.length);
          const bar = Number(metre[0]);
          const roots = [2, 7, 0, 9];
          for (let b = 0; b < 4 * choruses; b++) {
            const note = bass.find(({ at }) => num(at) === b * bar);
            expect(note).toBeDefined();
            expect(midiNumber(note?.pitches[0] as never) % 12).toBe(roots[b % 4]);
          }
          bass.forEach((note, i) => {
            const next = bass[i + 1];
            if (next !== undefined) expect(num(note.at) + num(note.duration)).toBeLessThanOrEqual(num(next.at) + 1e-9);
          });
          const end = 4 * choruses * bar;
          for (const { at, duration } of drums) expect(num(at) + num(duration)).toBeLessThanOrEqual(end + 1e-9);
          expect([...drums].sort((a, b) => num(a.at) - num(b.at)).map(({ at }) => at)).toEqual(
            drums.map(({ at }) => at),
          );
          expect(makeBacking(form, { arrangement, style, choruses, seed, ending }).bass).toEqual(bass);
        },
      ),
      { numRuns: 80 },
    );
  });

  it("law: of a walking chorus after one in two the last note before it leads there by a step or a fifth", () => {
    const form = parseProgression("Dm7 | G7 | Cmaj7 | A7", { key: "C" });
    for (let seed = 0; seed < 20; seed++) {
      const { bass, reasons } = makeBacking(form, { arrangement: "two-then-four", choruses: 3, seed });
      const last = bass.findIndex(({ at }) => num(at) === 32) - 1;
      expect(reasons[last]?.role).toBe("approach");
      const [a, b] = [bass[last], bass[last + 1]].map((note) => midiNumber(note?.pitches[0] as never));
      expect([1, 2, 5, 7]).toContain(Math.abs((a ?? 0) - (b ?? 0)));
    }
  });

  it("refuses an arrangement that is not there", () => {
    expect(() => makeBacking("turnaround", { arrangement: "stop-tim" as never })).toThrow(
      expect.objectContaining({ code: "backing/arrangement", hint: "did you mean stop-time?" }),
    );
  });
});
