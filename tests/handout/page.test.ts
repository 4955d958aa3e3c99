/// <reference lib="dom" />
import { existsSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { createRequire } from "node:module";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { pathToFileURL } from "node:url";
import type { Browser, Page } from "playwright-core";
import { chromium } from "playwright-core";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import type { Engraver } from "../../src/cli/engrave.ts";
import { loadEngraver } from "../../src/cli/engrave.ts";
import { makeDrill } from "../../src/drill/index.ts";
import { handoutPage } from "../../src/handout/index.ts";
import { sliceScore, soundingNotes } from "../../src/score/index.ts";
import { beatsToNumber } from "../../src/time/index.ts";
import { collisionsOn } from "./collisions.ts";
import { staffHeights } from "./staves.ts";

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
  readonly tempo: number;
}

describe.skipIf(!there)("a handout in a browser", () => {
  const folder = mkdtempSync(join(tmpdir(), "hands-together-page-"));
  const drill = makeDrill({ key: "Eb", left: "shell", right: "slides", values: "eighths", pickup: true, tempo: 240 });
  const fresh = sliceScore(makeDrill({ key: "Eb", left: "shell", right: "improvised", level: 2, seed: 5 }).score, 1, 4);
  let engrave: Engraver;
  let browser: Browser;
  let page: Page;
  const faults: string[] = [];

  beforeAll(async () => {
    engrave = await loadEngraver();
    writeFileSync(join(folder, "page.html"), handoutPage(drill, { engrave, sightLines: [fresh] }));
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
    await page.click("#more");
    await page.locator("body").focus();
    const reached = new Set<string>();
    for (let i = 0; i < 24; i++) {
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
      "mode",
      "ladder",
      "slower",
      "faster",
      "more",
    ])
      expect([...reached]).toContain(id);
    await page.click("#more");
  });

  it.each(["light", "dark"] as const)(
    "axe-core: finds no serious fault on a %s page, closed and open",
    async (colorScheme) => {
      await page.emulateMedia({ colorScheme });
      const axe = readFileSync(createRequire(import.meta.url).resolve("axe-core/axe.min.js"), "utf8");
      await page.evaluate(axe);
      for (const open of [false, true]) {
        if (open) await page.click("#more");
        const violations = await page.evaluate(async () => {
          const { axe: engine } = globalThis as unknown as {
            axe: { run: () => Promise<{ violations: { id: string; impact: string; nodes: { html: string }[] }[] }> };
          };
          return (await engine.run()).violations.map(
            ({ id, impact, nodes }) => `${impact}: ${id}: ${nodes[0]?.html.slice(0, 120)}`,
          );
        });
        expect(violations.filter((violation) => /^(serious|critical)/.test(violation))).toEqual([]);
      }
      await page.click("#more");
      const colours = await page.evaluate(() => [
        getComputedStyle(document.body).backgroundColor,
        getComputedStyle(document.querySelector(".systems > svg svg") ?? document.body).color,
      ]);
      const dark = (rgb = ""): boolean =>
        (rgb.match(/\d+/g) ?? []).slice(0, 3).reduce((sum, c) => sum + Number(c), 0) < 384;
      expect(colours.map(dark)).toEqual(colorScheme === "dark" ? [true, false] : [false, true]);
      await page.emulateMedia({ colorScheme: "light" });
    },
  );

  it("lays out for every width from 320 to 1,600 pixels: nothing sticks out, one or two bars a system on a phone, targets of 44 pixels", async () => {
    for (const width of [320, 390, 600, 768, 1024, 1600]) {
      await page.setViewportSize({ width, height: 800 });
      await page.click("#more");
      const seen = await page.evaluate(() => ({
        out: document.documentElement.scrollWidth - innerWidth,
        bars: Array.from(document.querySelectorAll(".sheet > svg"))
          .filter((svg) => svg.getBoundingClientRect().width > 0)
          .map((svg) => svg.querySelectorAll(".measure").length),
        small: Array.from(document.querySelectorAll(".player button, .player select, .player label"))
          .map((element) => element.getBoundingClientRect())
          .filter((box) => box.width > 0 && (box.height < 43.9 || box.width < 43.9)).length,
        rows: document.querySelector(".bar")?.getBoundingClientRect().height ?? 0,
      }));
      expect([width, seen.out, seen.small]).toEqual([width, 0, 0]);
      expect(seen.rows).toBeLessThan(60);
      // The pickup is drawn as a bar of its own.
      expect(Math.max(...seen.bars)).toBeLessThanOrEqual(width < 720 ? 3 : 5);
      expect(seen.bars.length).toBeGreaterThanOrEqual(width < 720 ? drill.score.bars / 2 : 1);
      await page.click("#more");
    }
    await page.setViewportSize({ width: 1000, height: 800 });
  });

  const collect = (until: string): Promise<Scheduled[]> =>
    page.evaluate(
      (condition) =>
        new Promise<Scheduled[]>((resolve) => {
          const notes: Scheduled[] = [];
          const done = new Function("note", `return ${condition}`);
          const listen = (event: Event): void => {
            const note = (event as CustomEvent<Scheduled>).detail;
            notes.push(note);
            if (!done(note)) return;
            document.removeEventListener("note-scheduled", listen);
            (document.getElementById("play") as HTMLButtonElement).click();
            resolve(notes);
          };
          document.addEventListener("note-scheduled", listen);
          (document.getElementById("play") as HTMLButtonElement).click();
        }),
      until,
    );
  const choose = (id: string, value: string): Promise<void> =>
    page.evaluate(
      ([name, to]) => {
        const element = document.getElementById(name ?? "") as HTMLInputElement;
        if (element.type === "checkbox") element.checked = to === "on";
        else element.value = to ?? "";
        element.dispatchEvent(new Event("input", { bubbles: true }));
        element.dispatchEvent(new Event("change", { bubbles: true }));
      },
      [id, value],
    );
  const loops = (on: boolean): Promise<void> =>
    page.evaluate((yes) => {
      const button = document.getElementById("loop") as HTMLButtonElement & { checked: boolean };
      if (button.checked !== yes) button.click();
    }, on);

  it("climbs a ladder of tempos: faster by so much after each pass, and no faster than asked", async () => {
    await loops(true);
    for (const [id, value] of [
      ["tempo", "200"],
      ["from", "2"],
      ["to", "2"],
      ["count-in", "off"],
      ["ladder", "on"],
      ["ladder-step", "20"],
      ["ladder-top", "230"],
      ["ladder-when", "pass"],
    ] as const)
      await choose(id, value);
    const scheduled = await collect("note.pass === 3");
    const tempos = [0, 1, 2].map((pass) => {
      const left = scheduled.filter((note) => note.pass === pass && note.part === "bass");
      const [first, last] = [left[0], left.at(-1)];
      if (first === undefined || last === undefined) throw new Error("no bass");
      return Math.round(((last.beat - first.beat) * 60) / (last.time - first.time));
    });
    expect(tempos).toEqual([200, 220, 230]);
    await choose("tempo", "200");
    await choose("ladder-when", "good");
    const steady = await collect("note.pass === 2");
    expect(new Set(steady.map((note) => note.tempo))).toEqual(new Set([200]));
    await choose("ladder", "off");
  });

  it("calls and leaves as long for the answer: the phrase, then its length without the right hand, shown afterwards", async () => {
    await loops(false);
    for (const [id, value] of [
      ["tempo", "240"],
      ["from", "1"],
      ["to", "4"],
      ["mode", "answer"],
      ["part-left", "on"],
    ] as const)
      await choose(id, value);
    const { phrases } = await page.evaluate(
      () =>
        JSON.parse(document.getElementById("tracks")?.textContent ?? "{}") as {
          phrases: { from: number; to: number }[];
        },
    );
    const [first] = phrases;
    if (first === undefined) throw new Error("no phrase");
    const hidden: Promise<number> = page.evaluate(
      () =>
        new Promise<number>((resolve) =>
          setTimeout(() => resolve(document.querySelectorAll(".on-page .veiled").length), 400),
        ),
    );
    const scheduled = await collect(`note.part === "right" && note.beat >= ${first.to}`);
    expect(await hidden).toBeGreaterThan(0);
    const rights = scheduled.filter((note) => note.part === "right" && note.beat < first.to);
    const basses = scheduled.filter((note) => note.part === "bass" && note.beat < first.to);
    expect(rights.length).toBeGreaterThan(2);
    // The bass plays the stretch twice, the right hand once.
    const twice = basses.filter((note, i) => basses.findIndex(({ beat }) => beat === note.beat) !== i);
    expect(twice.length).toBe(basses.length / 2);
    expect(
      rights.every((note) => rights.filter(({ beat, midi }) => beat === note.beat && midi === note.midi).length === 1),
    ).toBe(true);
    const [one, two] = [basses[0], twice[0]];
    expect((two?.time ?? 0) - (one?.time ?? 0)).toBeCloseTo(((first.to - first.from) * 60) / 240, 2);
  });

  it("by ear: all is hidden, and shown bar by bar", async () => {
    await choose("mode", "ear");
    const veiled = (): Promise<number> => page.evaluate(() => document.querySelectorAll(".on-page .veiled").length);
    const bars = await page.evaluate(() => document.querySelectorAll(".on-page .measure").length);
    expect(await veiled()).toBe(bars);
    const notes = (): Promise<string[]> =>
      page.evaluate(() =>
        Array.from(document.querySelectorAll(".on-page .note"), (note) => getComputedStyle(note).visibility),
      );
    expect(new Set(await notes())).toEqual(new Set(["hidden"]));
    await page.click("#reveal");
    // Bar 1 comes with its pickup.
    expect(await veiled()).toBe(bars - 2);
    expect(new Set(await notes())).toEqual(new Set(["hidden", "visible"]));
    await choose("mode", "play");
    expect(await veiled()).toBe(0);
  });

  it("sight-reading: a fresh line is shown, read once without its right hand, then hidden, and may be heard", async () => {
    await choose("mode", "sight");
    await choose("tempo", "240");
    expect(await page.isHidden(".on-page")).toBe(true);
    await page.click("#fresh");
    expect(await page.isVisible("#sight-0")).toBe(true);
    expect(await page.evaluate(() => document.querySelectorAll("#sight-0 .note").length)).toBeGreaterThan(4);
    const scheduled = await page.evaluate(
      () =>
        new Promise<string[]>((resolve) => {
          const heard: string[] = [];
          document.addEventListener("note-scheduled", (event) =>
            heard.push((event as CustomEvent<Scheduled>).detail.part),
          );
          (document.getElementById("play") as HTMLButtonElement).click();
          const wait = setInterval(() => {
            if (document.getElementById("play")?.getAttribute("aria-pressed") !== "false") return;
            clearInterval(wait);
            resolve(heard);
          }, 50);
        }),
    );
    expect(scheduled).toContain("count-in");
    expect(scheduled).toContain("left");
    expect(scheduled).not.toContain("right");
    expect(await page.isDisabled("#play")).toBe(true);
    expect(await page.evaluate(() => document.querySelectorAll("#sight-0 .measure:not(.veiled)").length)).toBe(0);
    await page.click("#hear");
    expect(await page.evaluate(() => document.querySelectorAll("#sight-0 .veiled").length)).toBe(0);
    await page.click("#fresh");
    expect(await page.textContent("#status")).toMatch(/All fresh lines are read/);
    await choose("mode", "play");
    expect(faults).toEqual([]);
  });

  it("begins at the drill's own tempo, as slow as 20, after as many bars of clicks as the recipe asks for", async () => {
    const slow = await browser.newPage();
    const countsOf = (countIn: 0 | 2) => handoutPage(makeDrill({ key: "C", tempo: 20, countIn }), { engrave });
    await slow.setContent(countsOf(2));
    expect(await slow.inputValue("#tempo")).toBe("20");
    expect(await slow.textContent("#tempo-text")).toBe("20");
    const heard = await slow.evaluate(
      () =>
        new Promise<{ part: string; tempo: number; beat: number }[]>((resolve) => {
          const notes: { part: string; tempo: number; beat: number }[] = [];
          document.addEventListener("note-scheduled", (event) => {
            notes.push((event as CustomEvent<{ part: string; tempo: number; beat: number }>).detail);
          });
          document.getElementById("play")?.click();
          setTimeout(() => resolve(notes), 500);
        }),
    );
    expect(heard[0]).toMatchObject({ part: "count-in", tempo: 20, beat: -8 });
    await slow.setContent(countsOf(0));
    expect(await slow.isChecked("#count-in")).toBe(false);
    await slow.close();
  });

  it("what is repeated is drawn once: every note of each pass has its engraved note, and the bars that are played their place", async () => {
    const changes = "[A] |: Dm7 | G7 | Cmaj7 |1 A7 :|2 C6 | [B] Fm7 | Bb7 | Ebmaj7 | Ebmaj7";
    const folded = makeDrill({ key: "C", changes, asWritten: true, right: "improvised", level: 2 });
    const other = await browser.newPage();
    await other.setContent(handoutPage(folded, { engrave }));
    const found = await other.evaluate(() => {
      const { tracks, drawn, bars } = JSON.parse(document.getElementById("tracks")?.textContent ?? "{}") as {
        tracks: Record<string, { ids: string[] }[]>;
        drawn: number[];
        bars: number[];
      };
      const ids = [...(tracks.right ?? []), ...(tracks.left ?? [])].flatMap((note) => note.ids);
      return {
        notes: ids.length,
        missing: ids.filter((id) => document.getElementById(id) === null),
        drawn,
        bars: bars.length,
        measures: document.querySelectorAll(".on-page .measure").length,
      };
    });
    expect(found.notes).toBeGreaterThan(30);
    expect(found.missing).toEqual([]);
    expect(found.drawn).toEqual([0, 1, 2, 3, 0, 1, 2, 4, 5, 6, 7, 8]);
    expect([found.bars, found.measures]).toEqual([13, 9]);
    await other.close();
  });

  it("no two marks run into each other, in either of two font sets, on paper and on a phone", async () => {
    const other = await browser.newPage();
    const KEYS = ["C", "F#", "Bb", "Eb", "B", "Ab"];
    for (let seed = 1; seed <= 6; seed++) {
      const one = makeDrill({
        key: KEYS[seed - 1] ?? "C",
        changes: ["jazz-blues", "turnaround", "two-five-one"][seed % 3] ?? "blues",
        left: seed % 2 === 1 ? "rootless" : "shell",
        right: "improvised",
        level: seed % 2 === 1 ? 4 : 2,
        seed,
        ...(seed === 2 && { leftAs: "rhythm", bassLine: true, numerals: true }),
        ...(seed === 3 && {
          changes: "[A] |: Dm7 | G7 To Coda | Cmaj7 |1 A7 :|2 C6 D.C. al Coda | [Coda] Dm7 G7 | C6",
          chartKey: "C",
          asWritten: true,
          numerals: true,
        }),
      });
      const html = handoutPage(one, { engrave });
      for (const font of ["Liberation Serif", "DejaVu Serif"]) {
        for (const width of [1000, 390]) {
          await other.setViewportSize({ width, height: 900 });
          await other.setContent(`${html}<style>.systems text { font-family: "${font}" !important; }</style>`);
          expect([seed, font, width, await collisionsOn(other)]).toEqual([seed, font, width, []]);
        }
      }
    }
    // That it sees a collision, a planted one shows.
    await other.evaluate(() => {
      const finger = document.querySelector(".on-phone g.fing text");
      const chord = document.querySelector(".on-phone g.harm text");
      for (const place of ["x", "y"]) finger?.setAttribute(place, chord?.getAttribute(place) ?? "0");
    });
    expect(await collisionsOn(other)).not.toEqual([]);
    await other.close();
  });

  it("a page brings no music font: flats and sharps of chord symbols are Unicode's, none of a private use area", () => {
    for (const key of ["F", "E"]) {
      const html = handoutPage(makeDrill({ key, changes: "jazz-blues" }), { engrave });
      expect(html).toMatch(key === "F" ? />♭</ : />♯</);
      expect(html).not.toMatch(/[\uE000-\uF8FF]/);
    }
  });

  it.each(["turnaround", "jazz-blues"])(
    "prints staves of 6.8 mm, give or take half a millimetre, over %s twice through",
    async (changes) => {
      const other = await browser.newPage();
      await other.emulateMedia({ media: "print" });
      await other.setContent(handoutPage(makeDrill({ key: "Ab", changes, repeats: 2 }), { engrave }));
      const staves = await staffHeights(other);
      expect(staves.length).toBeGreaterThan(1);
      for (const staff of staves) expect(Math.abs(staff - 6.8)).toBeLessThan(0.5);
      await other.close();
    },
  );

  it.each(["A4", "Letter"])("prints on %s with no staff cut by a page", async (format) => {
    await page.emulateMedia({ media: "print" });
    const pdf = await page.pdf({ format, margin: { top: "14mm", bottom: "14mm", left: "14mm", right: "14mm" } });
    expect(pdf.subarray(0, 5).toString()).toBe("%PDF-");
    const unbroken = await page.evaluate(() =>
      Array.from(
        document.querySelectorAll(".on-page > svg, .cards figure, .scale figure"),
        (element) => getComputedStyle(element).breakInside,
      ),
    );
    expect(new Set(unbroken)).toEqual(new Set(["avoid"]));
    // A piece that may not break has to fit on a page: 269 mm of A4 and 251 mm of Letter between margins.
    const tallest = await page.evaluate(() =>
      Math.max(
        ...Array.from(
          document.querySelectorAll(".on-page > svg, .cards figure, .scale figure"),
          (element) => element.getBoundingClientRect().height,
        ),
      ),
    );
    expect(tallest).toBeLessThan((251 / 25.4) * 96);
    await page.emulateMedia({ media: "screen" });
  });
});
