/// <reference lib="dom" />
import { existsSync, readdirSync, readFileSync } from "node:fs";
import { fileURLToPath } from "node:url";
import { build } from "esbuild";
import type { Browser } from "playwright-core";
import { chromium } from "playwright-core";
import { afterAll, beforeAll, describe, expect, it } from "vitest";

const BROWSER = process.env.HANDS_TOGETHER_CHROMIUM ?? "/usr/bin/chromium";
const ROOT = fileURLToPath(new URL("../..", import.meta.url));

// The instrument plays what is written, the third note a half step too high and every note 40 ms late; its time stamps are exact, whenever they come.
const STUDENT = `
import { play } from "app";
const input = { onmidimessage: undefined };
navigator.requestMIDIAccess = async () => ({ inputs: new Map([["one", input]]) });
window.faults = [];
window.addEventListener("error", ({ message }) => window.faults.push(message));
let late;
const tell = (told) => {
  if (told.lateMs !== undefined) late = told.lateMs;
  if (told.band === undefined) return;
  told.live.asked.forEach(({ midi, sounds }, i) => {
    const stamp = 1000 * (told.band.secondsAt(sounds) + 0.04 - told.opened);
    const key = midi + (i === 2 ? 1 : 0);
    setTimeout(() => input.onmidimessage({ data: Uint8Array.of(0x90, key, 80), timeStamp: stamp }), stamp - performance.now());
    setTimeout(() => input.onmidimessage({ data: Uint8Array.of(0x80, key, 64), timeStamp: stamp + 200 }), stamp + 200 - performance.now());
  });
};
play(tell).then(({ accuracy, say }) => { window.heard = { accuracy, say: say.map(({ id }) => id), late }; }, (error) => { window.heard = { error: String(error) }; });
`;

describe.skipIf(!existsSync(BROWSER))("the app of the guide, in Chromium with a simulated instrument", () => {
  let browser: Browser;
  beforeAll(async () => {
    browser = await chromium.launch({
      executablePath: BROWSER,
      args: ["--no-sandbox", "--disable-gpu", "--autoplay-policy=no-user-gesture-required", "--no-first-run"],
    });
  });
  afterAll(() => browser.close());

  it("plays by the clock of its sound, and hears one wrong key and a player who is late", async () => {
    const guide = readFileSync(`${ROOT}docs/an-app-that-listens.md`, "utf8");
    const [, app = ""] = /```js\n\/\/ app\.js\n([\s\S]*?)```/.exec(guide) ?? [];
    const folders = readdirSync(`${ROOT}src`);
    const { outputFiles } = await build({
      stdin: { contents: STUDENT, resolveDir: ROOT },
      bundle: true,
      write: false,
      format: "iife",
      plugins: [
        {
          name: "guide",
          setup: ({ onResolve, onLoad }) => {
            onResolve({ filter: /^app$/ }, () => ({ path: "app", namespace: "guide" }));
            onLoad({ filter: /.*/, namespace: "guide" }, () => ({ contents: app, resolveDir: ROOT }));
            onResolve({ filter: /^hands-together/ }, ({ path }) => {
              const folder = path.split("/")[1];
              return {
                path: `${ROOT}src/${folder !== undefined && folders.includes(folder) ? `${folder}/` : ""}index.ts`,
              };
            });
          },
        },
      ],
    });
    const page = await browser.newPage();
    await page.setContent(
      `<!doctype html><script>${(outputFiles[0]?.text ?? "").replaceAll("</script", "<\\/script")}</script>`,
    );
    await page.waitForFunction("window.heard !== undefined", undefined, { timeout: 60_000 });
    const heard = (await page.evaluate("window.heard")) as {
      readonly accuracy: { readonly asked: number; readonly right: number; readonly wrong: number };
      readonly late: number;
    };
    expect(await page.evaluate("window.faults")).toEqual([]);
    expect(heard.accuracy.wrong).toBe(1);
    expect(heard.accuracy.right).toBe(heard.accuracy.asked - 1);
    expect(heard.late).toBeGreaterThan(39);
    expect(heard.late).toBeLessThan(41);
  });
});
