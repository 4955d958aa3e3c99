import { existsSync, readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import { generateLine, midiNumber, parseProgression } from "./library.ts";
import { runs } from "./runs.ts";

// The notes of the solos are no part of the repository: where they don't lie beside it, there is nothing to compare with.
const FILE = ["../shared", "../../shared"].map((place) => `${place}/corpus/solos.json`).find(existsSync);

const NINE = 9;
type Row = readonly [
  bar: number,
  beat: number,
  place: number,
  midi: number,
  chord: number,
  phrase: number,
  unit: number,
];

/** The runs of nine intervals inside each phrase. */
const runsOfNine = (phrases: readonly (readonly number[])[]): readonly string[] =>
  phrases.flatMap((midi) => {
    const steps = midi.slice(1).map((m, i) => m - (midi[i] ?? 0));
    return steps.slice(NINE - 1).map((_, i) => steps.slice(i, i + NINE).join());
  });

const solos = (): readonly (readonly string[])[] => {
  const stored: readonly { readonly notes: readonly Row[] }[] = JSON.parse(readFileSync(FILE ?? "", "utf8"));
  return stored.map(({ notes }) => {
    const phrases = new Map<number, number[]>();
    for (const [, , , midi, , phrase] of notes) phrases.set(phrase, [...(phrases.get(phrase) ?? []), midi]);
    return runsOfNine([...phrases.values()]);
  });
};

describe.skipIf(FILE === undefined)(
  "beside the solos that the model was learnt on (skipped where they don't lie beside the repository)",
  () => {
    it("law: runs of nine intervals equal a solo's no more often than solos equal each other", () => {
      const each = solos();
      const owners = new Map<string, Set<number>>();
      for (const [k, list] of each.entries())
        for (const run of list) owners.set(run, (owners.get(run) ?? new Set()).add(k));
      const all = each.flat();
      const shared = all.filter((run) => (owners.get(run)?.size ?? 0) > 1).length / all.length;
      const lines = (["blues", "aaba", "turnaround", "two-five-one"] as const).flatMap((id) =>
        Array.from({ length: runs(15) }, (_, seed) =>
          ([3, 4, 5] as const).map((level) => generateLine(parseProgression(id, { key: "F" }), { seed, level })),
        ).flat(),
      );
      const ours = lines.flatMap(({ events, phrases }) =>
        runsOfNine(
          phrases.map(({ at, duration }) =>
            events
              .filter((e) => {
                const from = e.at.num / e.at.den - at.num / at.den;
                return from >= 0 && from < duration.num / duration.den;
              })
              .flatMap(({ pitches: [p] }) => (p === undefined ? [] : [midiNumber(p)])),
          ),
        ),
      );
      const copied = ours.filter((run) => owners.has(run)).length / ours.length;
      expect(ours.length).toBeGreaterThan(runs(200));
      expect(shared).toBeGreaterThan(0.001);
      expect(copied).toBeLessThanOrEqual(shared);
    });
  },
);
