import { expect, it } from "vitest";
import { beatsOf, formatForm, generateLine, metre } from "./library.ts";

it("the form of a line tells the bar of each phrase, pickups in the bar that they sound in, and what it does with its motif", () => {
  const line = generateLine({ bars: 8, metre: metre("3/4") }, { scale: "C major" });
  const roles = ["statement", "statement", "return", "answer", "variation"] as const;
  const told = formatForm({
    ...line,
    phrases: [beatsOf(0, 1), beatsOf(5, 2), beatsOf(3, 1), beatsOf(17, 2), beatsOf(12, 1)].map((at) => ({
      at,
      duration: beatsOf(2, 1),
    })),
    form: roles.map((role, i) => ({
      motif: i === 1 ? "B" : "A",
      role,
      idea: "line" as const,
      idiom: "blues" as const,
    })),
  });
  expect(told).toBe(
    "bar 1 motif A (new), bar 1 motif B (new), bar 2 motif A (comes back), bar 3 motif A (answered upside down), bar 5 motif A (varied)",
  );
  expect(formatForm({ ...line, form: [], phrases: [] })).toBe("");
});
