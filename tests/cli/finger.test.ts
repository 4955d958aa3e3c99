import { mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, describe, expect, it } from "vitest";
import { makeDrill } from "../../src/drill/index.ts";
import {
  fingerAlternatives,
  fingerDifficulty,
  fingerPassage,
  fingerPrice,
  fingerScale,
  fingerThroughKeys,
} from "../../src/fingering/index.ts";
import { CAUTION } from "../../src/ground/caution.ts";
import { writeMusicXml } from "../../src/musicxml/index.ts";
import type { Answer } from "./call.ts";
import { call as commandLine } from "./call.ts";

const call = (...args: readonly string[]): Promise<Answer> => commandLine(["finger", ...args]);
const json = async (...args: readonly string[]): Promise<unknown> => JSON.parse((await call(...args, "--json")).out);

const folder = mkdtempSync(join(tmpdir(), "hands-together-finger-"));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

// The command line against the functions that it is a way to.
describe("finger, option by option", () => {
  const notes = "C4 D4 E4 F4 G4 A4 G4 F4";

  it("--hand", async () => {
    for (const hand of ["left", "right"] as const)
      expect(await json(notes, "--hand", hand)).toMatchObject({ fingers: fingerPassage(notes, { hand }).fingers });
  });

  it("--fixed counts notes from 1", async () => {
    const { fingers } = fingerPassage(notes, { hand: "right", fixed: { 0: 2, 3: 1 } });
    expect(await json(notes, "--fixed", "1=2 4=1")).toMatchObject({ fingers });
    expect(fingers[0]).toBe(2);
    expect(await json("--scale", "C major", "--fixed", "2=3")).toMatchObject({
      fingers: fingerScale("C major", { hand: "right", fixed: { 1: 3 } }).fingers,
    });
    expect((await call(notes, "--fixed", "0=1")).code).toBe(2);
    expect((await call(notes, "--fixed", "1=6")).code).toBe(2);
    expect((await call(notes, "--fixed", "99=1")).code).toBe(2);
  });

  it("--resting", async () => {
    const { fingers } = fingerPassage(notes, { hand: "right", resting: [4, 5] });
    expect(await json(notes, "--resting", "4 5")).toMatchObject({ fingers });
    expect(fingers).not.toContain(4);
    expect((await call(notes, "--resting", "6")).code).toBe(2);
    expect((await call(notes, "--resting", "")).code).toBe(2);
  });

  it("--size, by name and measured", async () => {
    const wide = "C3+E4";
    expect((await call(wide, "--hand", "left", "--size", "small")).out).toContain("rolled");
    expect((await call(wide, "--hand", "left", "--size", "large")).out).not.toContain("rolled");
    expect((await call(wide, "--hand", "left", "--size", "1-5=16")).out).not.toContain("rolled");
    expect((await call(wide, "--hand", "left", "--size", "1-5=12")).out).toContain("rolled");
    expect((await call(wide, "--size", "5-1=12")).code).toBe(2);
    expect((await call(wide, "--size", "1-5=12 1-5=13")).code).toBe(2);
    expect((await call(wide, "--size", "1-5=99")).err).toContain("spans from 1 to 24 semitones");
  });

  it("--keep, of a score only", async () => {
    expect((await call(notes, "--keep")).code).toBe(2);
  });

  it("--tempo and --goal: what is fast takes other fingers, from the practice tempo on", async () => {
    const again = "C4 C4 C4 C4";
    const fingersAt = async (...args: readonly string[]) => json(again, ...args);
    const [slow, fast, towards] = [
      await fingersAt("--tempo", "60"),
      await fingersAt("--tempo", "320"),
      await fingersAt("--tempo", "60", "--goal", "320"),
    ];
    expect(fast).not.toEqual(slow);
    expect(towards).toMatchObject({ fingers: fingerPassage(again, { hand: "right", tempo: 320 }).fingers });
    expect((await call(again, "--tempo", "5")).code).toBe(2);
  });

  it("--rules", async () => {
    expect(await json(notes, "--rules", "parncutt-1997")).toMatchObject({
      cost: fingerPassage(notes, { hand: "right", rules: "parncutt-1997" }).cost,
    });
    expect((await call(notes, "--rules", "mine")).code).toBe(2);
  });

  it("--loop", async () => {
    expect(await json("C4 E4 D4", "--loop")).toMatchObject({
      cost: fingerPassage("C4 E4 D4", { hand: "right", loop: true }).cost,
    });
  });

  it("--alternatives", async () => {
    const found = fingerAlternatives(notes, { hand: "right", count: 3 });
    expect(await json(notes, "--alternatives", "3")).toMatchObject({
      alternatives: found.map(({ fingers, cost }) => ({ fingers, cost })),
    });
    expect((await call(notes, "--alternatives", "3")).out.match(/^cost \d+$/gm)).toHaveLength(3);
    expect((await call(notes, "--alternatives", "9")).code).toBe(2);
  });

  it("--why-not names the price and the rules that ask it", async () => {
    const { price, priceByRule } = fingerPrice("D4 Eb4 E4 G4", { hand: "right", index: 1, finger: 1 });
    expect(await json("D4 Eb4 E4 G4", "--why-not", "2=1")).toMatchObject({ price, priceByRule });
    expect((await call("D4 Eb4 E4 G4", "--why-not", "2=1")).out).toContain(`1 on note 2 costs ${price} more: `);
    expect((await call("D4 Eb4", "--why-not", "9=1")).code).toBe(2);
  });

  it("--why", async () => {
    const { out } = await call(notes, "--why");
    expect(out).toContain("start with the thumb on C");
    expect(out).toMatch(/^cost \d+: /m);
  });

  it("--keys and --key", async () => {
    const found = fingerThroughKeys("D4 F4 A4 C5", { hand: "right", key: "C", keys: ["C", "F#"] });
    expect(await json("D4 F4 A4 C5", "--keys", "C F#")).toMatchObject({
      shared: found.shared,
      keys: found.keys.map(({ key, fingers }) => ({ key, fingers })),
    });
    expect((await call("Eb4 G4", "--keys", "all", "--key", "Eb")).out.match(/^[A-G][♭♯]?$/gm)).toHaveLength(12);
    expect((await call("C4 D4", "--keys", "H")).code).toBe(2);
  });

  it("--difficulty", async () => {
    const { difficulty, bars } = fingerDifficulty(notes, { hand: "right", tempo: 90 });
    expect(await json(notes, "--difficulty", "--tempo", "90")).toMatchObject({ difficulty, bars });
    expect((await call(notes, "--difficulty")).out).toMatch(/^bar 1: [\d.]+ points in its busiest second$/m);
  });

  it("chords and held notes", async () => {
    expect(await json("C4+G4~2 E4 F4")).toMatchObject({
      fingers: fingerPassage("C4+G4~2 E4 F4", { hand: "right" }).fingers,
    });
  });

  it("says the caution where something strains, and nowhere else", async () => {
    expect((await call("C4+C5 D4+D5 E4+E5 F4+F5", "--tempo", "200")).out).toContain(CAUTION);
    expect((await call(notes)).out).not.toContain(CAUTION);
    expect((await call("--help")).out.replaceAll("\n", " ")).toContain(CAUTION.slice(0, 40));
  });

  it("--score, --out, --keep and --force: the same file with fingers for both hands", async () => {
    const [score, out] = [join(folder, "in.musicxml"), join(folder, "out.musicxml")];
    const bare = writeMusicXml(makeDrill({ key: "Eb" }).score).replace(/\s*<fingering[^>]*>[^<]*<\/fingering>/g, "");
    writeFileSync(score, bare);
    const { code, out: told } = await call("--score", score, "--out", out);
    expect([code, told.includes("out.musicxml")]).toEqual([0, true]);
    const written = readFileSync(out, "utf8");
    expect(written.match(/<fingering>[1-5]</g)?.length).toBeGreaterThan(20);
    expect((await call("--score", score, "--out", out)).code).toBe(2);
    expect((await call("--score", score, "--out", out, "--force")).code).toBe(0);
    const other = written.replace(/<fingering>\d</, "<fingering>4<");
    writeFileSync(score, other);
    await call("--score", score, "--out", out, "--keep", "--force");
    expect(/<fingering>(\d)</.exec(readFileSync(out, "utf8"))?.[1]).toBe("4");
    expect((await call("--score", join(folder, "none.musicxml"))).code).toBe(2);
  });
});
