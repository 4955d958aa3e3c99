/// <reference lib="dom" />
import { existsSync, mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import type { Browser } from "playwright-core";
import { chromium } from "playwright-core";
import type { PreviewServer } from "vite";
import { build, preview } from "vite";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { answer } from "./program.ts";

const BROWSER = process.env.HANDS_TOGETHER_CHROMIUM ?? "/usr/bin/chromium";
const there = existsSync(BROWSER);
if (!there && process.env.CI !== undefined) throw new Error(`no browser at ${BROWSER}: set HANDS_TOGETHER_CHROMIUM`);

const PROGRAM = JSON.stringify(fileURLToPath(new URL("program.ts", import.meta.url)));

describe.skipIf(!there)("a bundle by Vite in Chromium", () => {
  const root = mkdtempSync(join(tmpdir(), "hands-together-fit-"));
  let server: PreviewServer;
  let browser: Browser;
  const answers: Record<string, string> = {};
  const faults: string[] = [];

  beforeAll(async () => {
    writeFileSync(
      join(root, "index.html"),
      '<!doctype html><html lang="en"><title>fit</title><script type="module" src="/main.ts"></script></html>',
    );
    writeFileSync(
      join(root, "main.ts"),
      `
      import { answer } from ${PROGRAM};
      const worker = new Worker(new URL("./worker.ts", import.meta.url), { type: "module" });
      worker.onmessage = ({ data }) => { window.answers = { page: answer(), worker: data }; };
      worker.onerror = ({ message }) => { window.answers = { page: answer(), worker: message }; };`,
    );
    writeFileSync(join(root, "worker.ts"), `import { answer } from ${PROGRAM}; postMessage(answer());`);
    await build({ root, logLevel: "error", configFile: false, worker: { format: "es" } });
    server = await preview({ root, logLevel: "error", configFile: false, preview: { port: 0, host: "127.0.0.1" } });
    browser = await chromium.launch({
      executablePath: BROWSER,
      args: ["--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking"],
    });
    const page = await browser.newPage();
    page.on("pageerror", (error) => faults.push(String(error)));
    await page.goto(server.resolvedUrls?.local[0] ?? "");
    await page.waitForFunction("window.answers !== undefined");
    Object.assign(answers, await page.evaluate("window.answers"));
  });
  afterAll(async () => {
    await browser.close();
    await server.close();
    rmSync(root, { recursive: true, force: true });
  });

  it("runs without an error", () => {
    expect(faults).toEqual([]);
  });

  it.each(["page", "worker"])("computes in a %s what it computes in Node", (place) => {
    expect(answers[place]).toBe(answer());
    expect(answers[place]?.length).toBeGreaterThan(10_000);
  });
});
