import { execFileSync } from "node:child_process";
import { existsSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { pathToFileURL } from "node:url";
import { MusicError } from "../ground/errors.ts";

const PLACES = [
  "/usr/bin/chromium",
  "/usr/bin/chromium-browser",
  "/snap/bin/chromium",
  "/usr/bin/google-chrome",
  "/Applications/Chromium.app/Contents/MacOS/Chromium",
  "/Applications/Google Chrome.app/Contents/MacOS/Google Chrome",
  "/Applications/Microsoft Edge.app/Contents/MacOS/Microsoft Edge",
  "C:\\Program Files\\Google\\Chrome\\Application\\chrome.exe",
  "C:\\Program Files (x86)\\Microsoft\\Edge\\Application\\msedge.exe",
];
const PATIENCE = 180_000;

/** Paper that a page is printed on. */
export const PAPERS = ["A4", "Letter"] as const;
export type Paper = (typeof PAPERS)[number];

/**
 * Prints a page as PDF by Chromium, with an outline of its headings; nothing is fetched.
 *
 * @throws MusicError `cli/chromium` when no Chromium is found, or when it fails
 */
export const printedPdf = (html: string, paper: Paper = "A4"): Uint8Array =>
  made(html.replace("</head>", `<style>@page { size: ${paper}; }</style></head>`), "pdf", (file) => [
    "--no-pdf-header-footer",
    "--generate-pdf-document-outline",
    `--print-to-pdf=${file}`,
  ]);

/** Pixels across a picture for slides: those of a full screen. */
const PNG_WIDTH = 1920;

/**
 * A picture as PNG by Chromium, as wide as a screen and on no ground, so that it lies on a slide of any colour that black can be read on.
 *
 * @throws MusicError `cli/chromium` when no Chromium is found, or when it fails
 */
export const picturePng = (svg: string): Uint8Array => {
  const [, wide = "1", high = "1"] = /viewBox="0 0 ([\d.]+) ([\d.]+)"/.exec(svg) ?? [];
  const height = Math.ceil((PNG_WIDTH * Number(high)) / Number(wide));
  const sized = svg.replace(/^<svg /, '<svg class="whole" ');
  const style = `html,body{margin:0;background:transparent}.whole{display:block;width:${PNG_WIDTH}px;height:${height}px}`;
  return made(
    `<!doctype html><html><head><meta charset="utf-8"><style>${style}</style></head><body>${sized.replace(/class="whole" ([^>]*?)class="systems"/, 'class="whole systems" $1')}</body></html>`,
    "png",
    (file) => [
      "--hide-scrollbars",
      "--default-background-color=00000000",
      "--force-device-scale-factor=1",
      `--window-size=${PNG_WIDTH},${height}`,
      `--screenshot=${file}`,
    ],
  );
};

const made = (html: string, ending: "pdf" | "png", how: (file: string) => readonly string[]): Uint8Array => {
  const browser = [process.env.HANDS_TOGETHER_CHROMIUM, ...PLACES].find(
    (path) => path !== undefined && existsSync(path),
  );
  if (browser === undefined)
    throw failed(
      "no Chromium at its usual places",
      "set HANDS_TOGETHER_CHROMIUM to where it is, or open the page in a browser and print it",
    );
  const folder = mkdtempSync(join(tmpdir(), "hands-together-page-"));
  try {
    const [page, file] = [join(folder, "page.html"), join(folder, `page.${ending}`)];
    writeFileSync(page, html);
    // Chromium has no sandbox for root, whom containers run as.
    const root = process.getuid?.() === 0 ? ["--no-sandbox"] : [];
    execFileSync(
      browser,
      [
        "--headless",
        "--disable-gpu",
        "--no-first-run",
        "--disable-background-networking",
        ...root,
        `--user-data-dir=${join(folder, "profile")}`,
        ...how(file),
        pathToFileURL(page).href,
      ],
      { stdio: "pipe", timeout: PATIENCE },
    );
    return new Uint8Array(readFileSync(file));
  } catch (error) {
    throw failed(browser, error instanceof Error ? (error.message.split("\n")[0] ?? "") : String(error));
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
};

const failed = (input: string, hint: string): MusicError =>
  new MusicError({
    code: "cli/chromium",
    input,
    expected: "Chromium, to make a PDF or a PNG picture",
    hint,
    reason: "cannot-be-done",
  });
