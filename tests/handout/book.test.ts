/// <reference lib="dom" />
import { existsSync, mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { pathToFileURL } from "node:url";
import type { Browser, Page } from "playwright-core";
import { chromium } from "playwright-core";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { loadEngraver } from "../../src/cli/engrave.ts";
import { printedPdf } from "../../src/cli/pdf.ts";
import { CAUTION, makeDrill } from "../../src/drill/index.ts";
import { bookPage } from "../../src/handout/index.ts";
import { collisionsOn } from "./collisions.ts";
import { staffHeights } from "./staves.ts";

const BROWSER = process.env.HANDS_TOGETHER_CHROMIUM ?? "/usr/bin/chromium";
const there = existsSync(BROWSER);
const KEYS = ["C", "F", "Bb", "Eb", "Ab", "Db", "F#", "B", "E", "A", "D", "G"];

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
    const pagesOf = (pdf: Uint8Array): number =>
      (
        Buffer.from(pdf)
          .toString("latin1")
          .match(/\/Type\s*\/Page[^s]/g) ?? []
      ).length;
    for (const format of ["A4", "Letter"]) {
      const margin = { top: "14mm", bottom: "14mm", left: "14mm", right: "14mm" };
      expect(pagesOf(await page.pdf({ format, margin }))).toBe(leaves);
    }
    const pdf = printedPdf(html);
    expect(pagesOf(pdf)).toBe(leaves);
    expect(Buffer.from(pdf).toString("latin1")).toMatch(/\/Outlines/);
  }, 60_000);
});
