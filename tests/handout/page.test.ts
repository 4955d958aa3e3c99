/// <reference lib="dom" />
import { existsSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { createRequire } from "node:module";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { pathToFileURL } from "node:url";
import type { Browser, Page } from "playwright-core";
import { chromium } from "playwright-core";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { loadEngraver } from "../../src/cli/engrave.ts";
import { makeDrill } from "../../src/drill/index.ts";
import { handoutPage } from "../../src/handout/index.ts";
import { writeMusicXml } from "../../src/musicxml/index.ts";
import { soundingNotes } from "../../src/score/index.ts";
import { beatsToNumber } from "../../src/time/index.ts";

// Debian's Chromium. The page is tested where a browser is at hand; .ci/run puts one there and demands it.
const BROWSER = process.env.HANDS_TOGETHER_CHROMIUM ?? "/usr/bin/chromium";
const there = existsSync(BROWSER);
if (!there && process.env.CI !== undefined) throw new Error(`no browser at ${BROWSER}: set HANDS_TOGETHER_CHROMIUM`);

interface Scheduled {
  readonly part: string;
  readonly midi: number;
  readonly beat: number;
  readonly time: number;
  readonly pass: number;
}

describe.skipIf(!there)("a handout in a browser", () => {
  const folder = mkdtempSync(join(tmpdir(), "hands-together-page-"));
  const drill = makeDrill({ key: "Eb", left: "shell", right: "slides", values: "eighths", pickup: true, tempo: 240 });
  let browser: Browser;
  let page: Page;
  const faults: string[] = [];

  beforeAll(async () => {
    const engrave = await loadEngraver();
    writeFileSync(join(folder, "page.html"), handoutPage(drill, { engrave }));
    browser = await chromium.launch({
      executablePath: BROWSER,
      args: [
        "--no-sandbox",
        "--disable-gpu",
        "--disable-quic",
        "--no-first-run",
        "--disable-background-networking",
        "--disable-component-update",
        "--disable-sync",
        "--autoplay-policy=no-user-gesture-required",
      ],
    });
    page = await browser.newPage();
    page.on("console", (message) => {
      if (["error", "warning"].includes(message.type())) faults.push(message.text());
    });
    page.on("pageerror", (error) => faults.push(String(error)));
    page.on("request", (request) => {
      if (!/^(file|data|blob):/.test(request.url())) faults.push(`asked for ${request.url()}`);
    });
    await page.goto(pathToFileURL(join(folder, "page.html")).href);
  });
  afterAll(async () => {
    await browser.close();
    rmSync(folder, { recursive: true, force: true });
  });

  it("loads from disk without an error and without the network", () => {
    expect(faults).toEqual([]);
  });

  it("has an engraved note for every note that the player lights", async () => {
    const missing = await page.evaluate(() => {
      const { tracks } = JSON.parse(document.getElementById("tracks")?.textContent ?? "{}") as {
        tracks: Record<string, { ids: string[] }[]>;
      };
      const ids = [...(tracks.right ?? []), ...(tracks.left ?? [])].flatMap((note) => note.ids);
      return { ids: ids.length, missing: ids.filter((id) => document.getElementById(id) === null) };
    });
    expect(missing.ids).toBeGreaterThan(40);
    expect(missing.missing).toEqual([]);
  });

  it("plays the score: what is scheduled is what sounds, at the tempo and in the swing of the score", async () => {
    const scheduled = await page.evaluate(
      () =>
        new Promise<Scheduled[]>((resolve) => {
          const notes: Scheduled[] = [];
          document.addEventListener("note-scheduled", (event) => notes.push((event as CustomEvent<Scheduled>).detail));
          (document.getElementById("loop") as HTMLInputElement).checked = false;
          (document.getElementById("play") as HTMLButtonElement).click();
          const wait = setInterval(() => {
            if (document.getElementById("play")?.getAttribute("aria-pressed") !== "false") return;
            clearInterval(wait);
            resolve(notes);
          }, 50);
        }),
    );
    const clicks = scheduled.filter((note) => note.part === "count-in");
    expect(clicks).toHaveLength(4);
    for (const part of ["right", "left", "bass", "drums"] as const) {
      const expected = soundingNotes(drill.score, part)
        .map((note) => `${note.midi} ${beatsToNumber(note.at).toFixed(4)}`)
        .sort();
      expect(
        scheduled
          .filter((note) => note.part === part)
          .map((note) => `${note.midi} ${note.beat.toFixed(4)}`)
          .sort(),
      ).toEqual(expected);
    }
    // At 240 a beat lasts a quarter of a second; the audio clock keeps it to the millisecond.
    const [first] = clicks as [Scheduled];
    for (const note of scheduled) expect(note.time - first.time).toBeCloseTo((note.beat - first.beat) / 4, 3);
  });

  it("keeps the swing at another tempo, loops the bars that are asked for, and leaves out a hand that is off", async () => {
    const scheduled = await page.evaluate(
      () =>
        new Promise<Scheduled[]>((resolve) => {
          const notes: Scheduled[] = [];
          let done = false;
          const set = (id: string, value: string): void => {
            const element = document.getElementById(id) as HTMLInputElement;
            element.value = value;
            element.dispatchEvent(new Event("input", { bubbles: true }));
            element.dispatchEvent(new Event("change", { bubbles: true }));
          };
          const check = (id: string, on: boolean): void => {
            (document.getElementById(id) as HTMLInputElement).checked = on;
          };
          document.addEventListener("note-scheduled", (event) => {
            if (done) return;
            notes.push((event as CustomEvent<Scheduled>).detail);
            if (notes.some((note) => note.pass === 2)) {
              done = true;
              (document.getElementById("play") as HTMLButtonElement).click();
              resolve(notes);
            }
          });
          set("tempo", "200");
          set("from", "2");
          set("to", "2");
          check("loop", true);
          check("count-in", false);
          check("part-left", false);
          (document.getElementById("play") as HTMLButtonElement).click();
        }),
    );
    const rights = scheduled.filter((note) => note.part === "right" && note.pass < 2);
    expect(scheduled.some((note) => note.part === "left")).toBe(false);
    const bar = soundingNotes(drill.score, "right")
      .filter((note) => beatsToNumber(note.at) >= 4 && beatsToNumber(note.at) < 8)
      .map((note) => beatsToNumber(note.at).toFixed(4));
    expect(rights.filter((note) => note.pass === 0).map((note) => note.beat.toFixed(4))).toEqual(bar);
    expect(rights.filter((note) => note.pass === 1).map((note) => note.beat.toFixed(4))).toEqual(bar);
    const [first] = rights as [Scheduled];
    for (const note of rights)
      expect(note.time - first.time).toBeCloseTo(((note.beat - first.beat + 4 * note.pass) * 60) / 200, 3);
  });

  it("lights what sounds on the page and on the keyboards", async () => {
    const lit = await page.evaluate(
      () =>
        new Promise<{ notes: number; keys: number; after: number }>((resolve) => {
          (document.getElementById("part-left") as HTMLInputElement).checked = true;
          const button = document.getElementById("play") as HTMLButtonElement;
          button.click();
          const most = { notes: 0, keys: 0 };
          const look = setInterval(() => {
            most.notes = Math.max(most.notes, document.querySelectorAll(".systems .sounding").length);
            most.keys = Math.max(most.keys, document.querySelectorAll("[data-midi].sounding").length);
          }, 10);
          setTimeout(() => {
            clearInterval(look);
            button.click();
            resolve({ ...most, after: document.querySelectorAll(".sounding").length });
          }, 1500);
        }),
    );
    expect(lit.notes).toBeGreaterThan(1);
    expect(lit.keys).toBeGreaterThan(1);
    expect(lit.after).toBe(0);
  });

  it("works by keyboard alone", async () => {
    await page.locator("body").press("Space");
    expect(await page.getAttribute("#play", "aria-pressed")).toBe("true");
    await page.locator("body").press("Space");
    expect(await page.getAttribute("#play", "aria-pressed")).toBe("false");
    const reached = new Set<string>();
    for (let i = 0; i < 12; i++) {
      await page.keyboard.press("Tab");
      reached.add(await page.evaluate(() => document.activeElement?.id ?? ""));
    }
    for (const id of [
      "play",
      "tempo",
      "from",
      "to",
      "loop",
      "count-in",
      "part-right",
      "part-left",
      "part-bass",
      "part-drums",
    ])
      expect([...reached]).toContain(id);
  });

  it("axe-core: finds no serious fault", async () => {
    const axe = readFileSync(createRequire(import.meta.url).resolve("axe-core/axe.min.js"), "utf8");
    await page.evaluate(axe);
    const violations = await page.evaluate(async () => {
      const { axe: engine } = globalThis as unknown as {
        axe: { run: () => Promise<{ violations: { id: string; impact: string; nodes: { html: string }[] }[] }> };
      };
      return (await engine.run()).violations.map(
        ({ id, impact, nodes }) => `${impact}: ${id}: ${nodes[0]?.html.slice(0, 120)}`,
      );
    });
    expect(violations.filter((violation) => /^(serious|critical)/.test(violation))).toEqual([]);
  });

  // An improvised line often opens with a rest, over which verovio sets the chord symbol low and lifts it to the others' height afterwards.
  it("no tempo runs into a chord symbol or a finger", async () => {
    const engrave = await loadEngraver();
    const other = await browser.newPage();
    for (let seed = 1; seed <= 24; seed++) {
      const { score } = makeDrill({
        key: ["C", "F", "Bb", "Eb", "G"][seed % 5] as string,
        changes: ["jazz-blues", "blues", "turnaround", "two-five-one"][seed % 4] as string,
        left: seed % 2 === 1 ? "rootless" : "shell",
        right: "improvised",
        level: ((seed % 5) + 1) as 1 | 2 | 3 | 4 | 5,
        seed,
      });
      await other.setContent(engrave(writeMusicXml(score, { degrees: false }))[0] as string);
      const boxes = await other.evaluate(() => {
        // Of a line of text, what its letters fill; signs of the music font reach far beyond what they show.
        const of = (what: string): number[][] =>
          Array.from(document.querySelectorAll(`${what} tspan`))
            .filter(
              (span) =>
                span.querySelector("tspan") === null &&
                /^[\x20-\x7e\xa0]+$/.test(span.textContent ?? "") &&
                (span.textContent ?? "").trim() !== "",
            )
            .map((span) => span.getBoundingClientRect())
            .map(({ left, right, top, bottom, height }) => [left, right, top + 0.22 * height, bottom - 0.22 * height]);
        return { tempo: of("g.tempo"), others: [...of("g.harm"), ...of("g.fing")] };
      });
      const meet = (
        [left, right, top, bottom]: readonly number[],
        [left2, right2, top2, bottom2]: readonly number[],
      ): boolean =>
        Number(left) < Number(right2) &&
        Number(left2) < Number(right) &&
        Number(top) < Number(bottom2) &&
        Number(top2) < Number(bottom);
      expect(boxes.tempo.length).toBeGreaterThan(0);
      expect(boxes.others.length).toBeGreaterThan(4);
      expect([seed, boxes.tempo.filter((a) => boxes.others.some((b) => meet(a, b)))]).toEqual([seed, []]);
    }
    await other.close();
  });

  it.each(["A4", "Letter"])("prints on %s with no staff cut by a page", async (format) => {
    await page.emulateMedia({ media: "print" });
    const pdf = await page.pdf({ format, margin: { top: "14mm", bottom: "14mm", left: "14mm", right: "14mm" } });
    expect(pdf.subarray(0, 5).toString()).toBe("%PDF-");
    const unbroken = await page.evaluate(() =>
      Array.from(
        document.querySelectorAll(".systems svg, .cards figure, .scale figure"),
        (element) => getComputedStyle(element).breakInside,
      ),
    );
    expect(new Set(unbroken)).toEqual(new Set(["avoid"]));
    // A piece that may not break has to fit on a page: 269 mm of A4 and 251 mm of Letter between margins.
    const tallest = await page.evaluate(() =>
      Math.max(
        ...Array.from(
          document.querySelectorAll(".systems svg, .cards figure, .scale figure"),
          (element) => element.getBoundingClientRect().height,
        ),
      ),
    );
    expect(tallest).toBeLessThan((251 / 25.4) * 96);
    await page.emulateMedia({ media: "screen" });
  });
});
