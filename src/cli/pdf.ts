import { execFileSync } from "node:child_process";
import { existsSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { pathToFileURL } from "node:url";
import { MusicError } from "../ground/errors.ts";

const PLACES = ["/usr/bin/chromium", "/usr/bin/chromium-browser", "/snap/bin/chromium"];
const PATIENCE = 180_000;

/**
 * Prints a page as PDF by Chromium, with an outline of its headings; nothing is fetched.
 *
 * @throws MusicError `cli/chromium` when no Chromium is found, or when it fails
 */
export const printedPdf = (html: string): Uint8Array => {
  const browser = [process.env.HANDS_TOGETHER_CHROMIUM, ...PLACES].find(
    (path) => path !== undefined && existsSync(path),
  );
  if (browser === undefined)
    throw failed(
      "no Chromium at its usual places",
      "set HANDS_TOGETHER_CHROMIUM to where it is, or print the page from a browser",
    );
  const folder = mkdtempSync(join(tmpdir(), "hands-together-pdf-"));
  try {
    const [page, pdf] = [join(folder, "page.html"), join(folder, "page.pdf")];
    writeFileSync(page, html);
    const own = [`--user-data-dir=${join(folder, "profile")}`, `--print-to-pdf=${pdf}`, pathToFileURL(page).href];
    // Chromium has no sandbox for root, whom containers run as.
    const root = process.getuid?.() === 0 ? ["--no-sandbox"] : [];
    execFileSync(
      browser,
      [
        "--headless",
        "--disable-gpu",
        "--no-first-run",
        "--disable-background-networking",
        "--no-pdf-header-footer",
        "--generate-pdf-document-outline",
        ...root,
        ...own,
      ],
      { stdio: "pipe", timeout: PATIENCE },
    );
    return new Uint8Array(readFileSync(pdf));
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
    expected: "Chromium, to print the book as PDF",
    hint,
    reason: "cannot-be-done",
  });
