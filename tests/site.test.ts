/// <reference lib="dom" />
import { existsSync, readdirSync } from "node:fs";
import { fileURLToPath } from "node:url";
import type { Browser, Page } from "playwright-core";
import { chromium } from "playwright-core";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { entries, frontPage } from "../docs/site.ts";

const BROWSER = process.env.HANDS_TOGETHER_CHROMIUM ?? "/usr/bin/chromium";
const DOCS = fileURLToPath(new URL("../docs", import.meta.url));

describe("the front page", () => {
  it("law: every guide is on it and can be found", () => {
    const guides = readdirSync(DOCS).filter((name) => name.endsWith(".md"));
    const linked = new Set(entries().map(({ link }) => link));
    expect(guides.filter((name) => !linked.has(`documents/${name.replace(".md", ".html")}`))).toEqual([]);
  });

  describe.skipIf(!existsSync(BROWSER))("in Chromium, offline", () => {
    let browser: Browser;
    let page: Page;
    beforeAll(async () => {
      browser = await chromium.launch({ executablePath: BROWSER, args: ["--no-sandbox", "--disable-gpu"] });
      page = await browser.newPage();
      await page.context().setOffline(true);
      await page.setContent(await frontPage());
    });
    afterAll(() => browser.close());

    // What a newcomer would type, and a guide or a name that answers it.
    it.each([
      ["rootless", "voicing"],
      ["live", "listens"],
      ["worker", "server"],
      ["install", "app"],
      ["transpose", "hands-together"],
      ["fingring", "Fingering"],
    ])("%s finds something of %s", async (query, expected) => {
      await page.fill("#query", query);
      const found = await page.locator("#found li").allTextContents();
      expect(found.length).toBeGreaterThan(0);
      expect(found.join("\n").toLowerCase()).toContain(expected.toLowerCase());
    });

    it("has the line to install before anything else", async () => {
      expect(await page.locator("main > *").nth(1).textContent()).toBe("npm install hands-together");
    });
  });
});
