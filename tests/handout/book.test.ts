/// <reference lib="dom" />
import { existsSync, mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { pathToFileURL } from "node:url";
import type { Browser, Page } from "playwright-core";
import { chromium } from "playwright-core";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { printedPdf } from "../../src/cli/chromium.ts";
import { loadEngraver } from "../../src/cli/engrave.ts";
import { CAUTION, makeDrill, packetDrills } from "../../src/drill/index.ts";
import { bookPage } from "../../src/handout/index.ts";
import type { LevelId } from "../../src/recipe/index.ts";
import { collisionsOn } from "./collisions.ts";
import { staffHeights } from "./staves.ts";

const BROWSER = process.env.HANDS_TOGETHER_CHROMIUM ?? "/usr/bin/chromium";
const there = existsSync(BROWSER);
const KEYS = ["C", "F", "Bb", "Eb", "Ab", "Db", "F#", "B", "E", "A", "D", "G"];

const pagesOf = (pdf: Uint8Array): number =>
  (
    Buffer.from(pdf)
      .toString("latin1")
      .match(/\/Type\s*\/Page[^s]/g) ?? []
  ).length;

describe("a book", () => {
  it("asks for chapters with drills, and lets no text in as markup", () => {
    const engrave = () => ["<svg></svg>"];
    expect(() => bookPage("T", [], { engrave })).toThrowError(expect.objectContaining({ code: "handout/argument" }));
    expect(() => bookPage("T", [{ title: "C", drills: [] }], { engrave })).toThrowError(
      expect.objectContaining({ code: "handout/argument" }),
    );
    const html = bookPage("<b>\u0007", [{ title: "<i>", drills: [makeDrill({ key: "C" })] }], { engrave });
    expect(html).not.toMatch(/<b>|<i>|\u0007/);
    expect(html).not.toContain("<script");
  });
});

describe.skipIf(!there)("a book in a browser", () => {
  const folder = mkdtempSync(join(tmpdir(), "hands-together-book-"));
  let browser: Browser;
  let page: Page;
  let html = "";

  beforeAll(async () => {
    const engrave = await loadEngraver();
    const long = ["C", "Ab"].map((key) =>
      makeDrill({ key, changes: "jazz-blues", right: "improvised", level: 3, left: "rootless", repeats: 2 }),
    );
    html = bookPage(
      "Twelve keys",
      [
        { title: "Up and down", aim: "Even eighths.", drills: KEYS.map((key) => makeDrill({ key })) },
        { title: "Blues", drills: long },
      ],
      { engrave },
    );
    writeFileSync(join(folder, "book.html"), html);
    browser = await chromium.launch({
      executablePath: BROWSER,
      args: ["--no-sandbox", "--disable-gpu", "--disable-background-networking"],
    });
    page = await browser.newPage({ viewport: { width: 1000, height: 1000 } });
    await page.emulateMedia({ media: "print" });
    await page.goto(pathToFileURL(join(folder, "book.html")).href);
  }, 120_000);
  afterAll(async () => {
    await browser.close();
    rmSync(folder, { recursive: true, force: true });
  });

  it("has a title page, contents, how to practise, and twelve keys of a short exercise on two pages, none of them too full", async () => {
    const leaves = await page.evaluate(() =>
      Array.from(document.querySelectorAll(".leaf"), (leaf) => ({
        systems: leaf.querySelectorAll("div.system").length,
        keys: leaf.querySelectorAll("h3").length,
        number: leaf.querySelector(".number")?.textContent ?? "",
        chapter: leaf.querySelector(".running span:last-child")?.textContent ?? "",
        height: (leaf.scrollHeight / 96) * 25.4,
        full:
          (((leaf.querySelector(".systems")?.getBoundingClientRect().bottom ?? 0) - leaf.getBoundingClientRect().top) /
            96) *
          25.4,
      })),
    );
    expect(leaves.map(({ keys }) => keys).slice(0, 5)).toEqual([0, 0, 0, 6, 6]);
    expect(leaves.slice(1).map(({ number }) => number)).toEqual(leaves.slice(1).map((_, i) => String(i + 2)));
    expect(new Set(leaves.slice(5).map(({ chapter }) => chapter))).toEqual(new Set(["Blues"]));
    for (const { height, full } of leaves) {
      expect(height).toBeLessThan(251.4);
      expect(full).toBeLessThan(246);
    }
  });

  it("tells in its contents on which page a chapter begins, and the caution once a chapter", async () => {
    const told = await page.evaluate(() =>
      Array.from(document.querySelectorAll(".contents a"), (link) => [
        link.querySelector("span:last-child")?.textContent,
        document
          .querySelector(link.getAttribute("href") ?? "")
          ?.closest(".leaf")
          ?.querySelector(".number")?.textContent,
      ]),
    );
    expect(told).toHaveLength(2);
    for (const [said, found] of told) expect(said).toBe(found);
    expect(html.split(CAUTION).length - 1).toBe(3);
  });

  it("prints staves of 6.8 mm, give or take half a millimetre, and no two marks run into each other", async () => {
    const staves = await staffHeights(page);
    expect(staves.length).toBeGreaterThan(20);
    for (const staff of staves) expect(Math.abs(staff - 6.8)).toBeLessThan(0.5);
    expect(await collisionsOn(page)).toEqual([]);
  });

  it("prints as one PDF, a page a leaf on A4 and Letter, with an outline", async () => {
    const leaves = html.split('class="leaf').length - 1;
    for (const format of ["A4", "Letter"]) {
      const margin = { top: "14mm", bottom: "14mm", left: "14mm", right: "14mm" };
      expect(pagesOf(await page.pdf({ format, margin }))).toBe(leaves);
    }
  }, 60_000);

  it("of three levels in twelve keys is made and printed in under 30 seconds of the processor's time, with its pages, sizes and outline", async () => {
    const engrave = await loadEngraver();
    const before = process.cpuUsage();
    const chapters = [1, 2, 3].map((level) => ({
      title: `Level ${level}`,
      drills: packetDrills({ levels: [level as LevelId], exercises: 1, numerals: true }).map(({ recipe }) =>
        makeDrill(recipe),
      ),
    }));
    const book = bookPage("Three levels", chapters, { engrave, numerals: true });
    const { user, system } = process.cpuUsage(before);
    expect((user + system) / 1e6).toBeLessThan(30);
    const leaves = book.split('class="leaf').length - 1;
    expect(leaves).toBeGreaterThan(3 + 3);
    const headings = Array.from(book.matchAll(/<h[123][^>]*>([^<]*)</g), ([, text]) => text);
    expect(headings.length).toBe(3 + 3 + 36);
    // Paper in points: ISO 216 (210 by 297 mm), ANSI/ASME Y14.1 (8.5 by 11 inches).
    for (const [paper, wide, high] of [
      ["A4", 210 / 25.4, 297 / 25.4],
      ["Letter", 8.5, 11],
    ] as const) {
      const pdf = printedPdf(book, paper);
      expect(pagesOf(pdf)).toBe(leaves);
      const text = Buffer.from(pdf).toString("latin1");
      expect(text).toMatch(/\/Outlines/);
      // The outline has a title a heading, and the document one of its own.
      expect(text.match(/\/Title /g)?.length).toBe(headings.length + 1);
      const boxes = Array.from(text.matchAll(/\/MediaBox \[0 0 ([\d.]+) ([\d.]+)\]/g), ([, x, y]) => [
        Number(x),
        Number(y),
      ]);
      expect(boxes.length).toBeGreaterThan(0);
      for (const [x, y] of boxes) {
        expect(Math.abs((x ?? 0) - wide * 72)).toBeLessThan(1);
        expect(Math.abs((y ?? 0) - high * 72)).toBeLessThan(1);
      }
    }
  }, 180_000);

  it("prints numerals and strokes where they are asked for, and no two marks run into each other", async () => {
    const engrave = await loadEngraver();
    const drills = ["C", "Gb"].map((key) =>
      makeDrill({ key, changes: "jazz-blues", left: "rootless", comping: "charleston" }),
    );
    const other = await browser.newPage({ viewport: { width: 1000, height: 1000 } });
    await other.emulateMedia({ media: "print" });
    await other.setContent(
      bookPage("B", [{ title: "Blues", drills }], { engrave, numerals: true, leftAs: "rhythm", bassLine: true }),
    );
    expect(await other.evaluate(() => document.body.textContent)).toMatch(/ii7/);
    expect(await collisionsOn(other)).toEqual([]);
    for (const staff of await staffHeights(other)) expect(Math.abs(staff - 6.8)).toBeLessThan(0.5);
    await other.close();
  }, 60_000);
});
