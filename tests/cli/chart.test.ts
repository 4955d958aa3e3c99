import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { Midi } from "@tonejs/midi";
import { Ajv2020 } from "ajv/dist/2020.js";
import { strToU8, zipSync } from "fflate";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { beats, makeScore, parseChart, parsePitch, readLeadSheet, scoreToJson, writeLeadSheet } from "../all.ts";
import { HANDS } from "../progression/hands.ts";
import { call } from "./call.ts";

let folder = "";
const file = (name: string, contents: string | Uint8Array): string => {
  const path = join(folder, name);
  writeFileSync(path, contents);
  return path;
};
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), "hands-together-charts-"));
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

const lineOf = (...names: readonly string[]) =>
  makeScore({
    key: "C",
    metre: "4/4",
    bars: names.length,
    right: names.map((name, i) => ({ at: beats(4 * i), duration: beats(4), pitches: [parsePitch(name)] })),
  });

const TEXT = "Title: Mine\nKey: F\n[A] |: Gm7 | C7 :|x2\n[B] Fmaj7 | D7 (Ab7) |";

describe("command chart", () => {
  it("tells bars as played, sections, key and guesses in the JSON of the contract", async () => {
    const { code, out } = await call(["chart", TEXT, "--json"]);
    expect(code).toBe(0);
    const answer = JSON.parse(out) as Record<string, unknown>;
    expect(answer).toMatchObject({
      title: "Mine",
      key: "F major",
      metre: "4/4",
      bars: [
        { bar: 1, section: "A", chords: [{ symbol: "Gm7", beat: "1" }] },
        { bar: 2, section: "A", chords: [{ symbol: "C7", beat: "1" }] },
        { bar: 3, section: "A" },
        { bar: 4, section: "A" },
        { bar: 5, section: "B", chords: [{ symbol: "Fmaj7", beat: "1" }] },
        {
          bar: 6,
          section: "B",
          chords: [
            { symbol: "D7", beat: "1" },
            { symbol: "Ab7", beat: "3", optional: true },
          ],
        },
      ],
      sections: [
        { name: "A", bar: 1, bars: 2 },
        { name: "A", bar: 3, bars: 2 },
        { name: "B", bar: 5, bars: 2 },
      ],
    });
    expect(String(answer.guesses)).toContain("2 times in all");
    expect(String(answer.guesses)).toContain("brackets");
  });

  it("joins the melody of a MIDI file that another library wrote to a chart text, as a lead sheet", async () => {
    const midi = new Midi();
    const track = midi.addTrack();
    const ticks = midi.header.ppq;
    [65, 64, 62].forEach((number, i) => {
      track.addNote({ midi: number, ticks: 4 * i * ticks, durationTicks: 4 * ticks });
    });
    const melody = file("melody.mid", midi.toArray());
    const { code, out } = await call(["chart", "Key: C\nDm7 | Cmaj7 | G7", "--melody", melody, "--as", "musicxml"]);
    expect(code).toBe(0);
    expect(readLeadSheet(out).bars.map(({ melody: notes }) => notes?.map(({ pitches }) => pitches.join()))).toEqual([
      ["F4"],
      ["E4"],
      ["D4"],
    ]);
    const asScore = file("line.json", JSON.stringify(scoreToJson(lineOf("F4", "E4", "D4"))));
    const other = await call(["chart", "Key: C\nDm7 | Cmaj7 | G7", "--melody", asScore, "--as", "document"]);
    expect(parseChart(other.out).bars[2]?.melody).toEqual([{ at: "0", duration: "4", pitches: ["D4"] }]);
    for (const [args, says] of [
      [["chart", "C", "--feel", "2:1"], "--melody and a file beside --feel"],
      [["chart", "C", "--melody", melody], "ends after 4"],
      [["chart", "C", "--melody", melody, "--before", "x"], "quarter notes before bar 1"],
    ] as const) {
      const refused = await call(args);
      expect([refused.code, refused.err.split("\n").length]).toEqual([2, 2]);
      expect(refused.err).toContain(says);
    }
  });

  it.each([
    ["voice", ["voice", "A: Dm7 | G7\nC", "--style", "shell"]],
    ["analyse", ["analyse", "A: Dm7 | G7\nC"]],
    ["drill", ["drill", "--key", "C", "--changes", "A: Dm7 | G7\nC", "--force"]],
    ["packet", ["packet", "--keys", "C", "--levels", "1", "--changes", "A: Dm7 | G7\nC", "--force"]],
  ])("%s tells what it took for granted: as notes beside the text, as a field of the JSON", async (_, args) => {
    const out = args[0] === "voice" || args[0] === "analyse" ? [] : ["--out", join(folder, String(args[0]))];
    const text = await call([...args, ...out]);
    expect(text.code).toBe(0);
    expect(text.err).toContain("Taken for granted: a line end taken as a bar line (line 1, column 12)");
    const { out: json } = await call([...args, ...out, "--json"]);
    expect(JSON.parse(json).guesses).toContain("a line end taken as a bar line (line 1, column 12)");
    const plain = await call([...args, ...out, "--json"].map((word) => word.replace("\n", "|")));
    expect(JSON.stringify(JSON.parse(plain.out).guesses ?? [])).not.toContain("line end");
  });

  it("tells what the reader of a lead sheet left out, wherever changes are taken", async () => {
    const sheet = writeLeadSheet("Key: C\nDm7 | G7 | C").replace(/<mode>\w+<\/mode>/, "");
    const { out } = await call(["analyse", file("open.musicxml", sheet), "--json"]);
    expect(JSON.parse(out).guesses.join()).toContain("its signature states no mode");
  });

  it("a drill over a chart goes by its title, and keeps its seed in the name of its files", async () => {
    const out = join(folder, "named");
    const changes = file("named.txt", "Title: Mine & yours\nKey: C\nDm7 | G7 | [2/4] Cmaj7 | [4/4] A7");
    const one = await call(["drill", "--key", "C", "--changes", changes, "--out", out, "--json"]);
    expect(JSON.parse(one.out).files[0]).toMatch(/Mine-yours-in-C-shell-up-and-down-eighths-[0-9a-v]+\.musicxml$/);
    const names = await Promise.all(
      ["1", "2"].map(async (seed) => {
        const args = ["--changes", "Dm7 | G7 | Cmaj7 | A7", "--right", "improvised", "--seed", seed, "--out", out];
        const made: { files: readonly string[] } = JSON.parse(
          (await call(["drill", "--key", "C", ...args, "--json"])).out,
        );
        return made.files[0];
      }),
    );
    expect(names[0]).toContain("seed-1");
    expect(names[1]).toContain("seed-2");
  });

  it("a take of a drill whose metre changes is refused in one line", async () => {
    const out = join(folder, "mixed");
    const made: { files: readonly string[] } = JSON.parse(
      (await call(["drill", "--key", "C", "--changes", "Dm7 | [3/4] G7", "--out", out, "--json"])).out,
    );
    const [, midi = "", json = ""] = made.files;
    const { code, err } = await call(["assess", json, midi]);
    expect([code, err.split("\n").length]).toEqual([1, 2]);
    expect(err).toContain("one metre throughout");
  });

  it("shows it to a reader, as written and as played, with reasons for the key", async () => {
    const { out } = await call(["chart", TEXT]);
    for (const words of [
      "Mine",
      "F major",
      "as written",
      "as played",
      "taken for granted",
      "4 as written, 6 as played",
    ])
      expect(out).toContain(words);
  });

  it("one chart an item for -, answers in step, the place of what is refused", async () => {
    const { code, out, err } = await call(["chart", "-"], "Dm7 | G7 | C\nC | H7\nturnaround\n");
    const lines = out
      .trim()
      .split("\n")
      .map((line) => JSON.parse(line) as Record<string, unknown>);
    expect(lines).toHaveLength(3);
    expect(lines[0]).toMatchObject({ key: "C major" });
    expect(lines[1]).toMatchObject({ error: { code: "chord/root" } });
    expect(lines[2]).toMatchObject({ title: "Turnaround" });
    expect(err).toContain("line 1, column 5");
    expect(code).toBe(2);
  });

  it("reads files: text, the document as JSON, lead sheets, compressed ones", async () => {
    const expected = JSON.parse((await call(["chart", TEXT, "--json"])).out) as { bars: unknown };
    const sheet = writeLeadSheet(TEXT);
    const document = (await call(["chart", TEXT, "--as", "document", "--json"])).out;
    for (const path of [
      file("mine.txt", TEXT),
      file("mine.json", document),
      file("mine.musicxml", sheet),
      file("mine.mxl", zipSync({ "song.xml": strToU8(sheet) })),
    ]) {
      const { code, out } = await call(["chart", path, "--json"]);
      expect([code, (JSON.parse(out) as { bars: unknown }).bars]).toEqual([0, expected.bars]);
    }
    expect((await call(["chart", join(folder, "none.txt")])).code).toBe(2);
  });

  it("every command that takes changes takes a chart file", async () => {
    const path = file("changes.txt", "Dm7 | G7 | Cmaj7 | %");
    const sheet = file("changes.musicxml", writeLeadSheet("Key: C\nDm7 | G7 | Cmaj7 | %"));
    for (const given of [path, sheet]) {
      const voiced = JSON.parse((await call(["voice", given, "--json"])).out) as { voicings: { symbol: string }[] };
      expect(voiced.voicings.map(({ symbol }) => symbol)).toEqual(["Dm7", "G7", "Cmaj7", "Cmaj7"]);
      const analysed = JSON.parse((await call(["analyse", given, "--json"])).out) as { key: string };
      expect(analysed.key).toBe("C major");
      const drill = await call([
        "drill",
        "--key",
        "C",
        "--changes",
        given,
        "--out",
        join(folder, `d${given.length}`),
        "--json",
      ]);
      expect([drill.err, drill.code]).toEqual(["", 0]);
    }
  });

  it("prints it as a chart, a document or a lead sheet", async () => {
    const text = (await call(["chart", TEXT, "--as", "chart"])).out;
    expect(parseChart(text).bars).toEqual(parseChart(TEXT).bars);
    expect((await call(["chart", TEXT, "--as", "musicxml"])).out).toContain("<score-partwise");
    expect(JSON.parse((await call(["chart", TEXT, "--as", "document"])).out)).toEqual(parseChart(TEXT));
  });

  it("law: every chart that is read is one by the JSON Schema of the document, each field with a title", async () => {
    const { out } = await call(["schema", "chart", "--json"]);
    const schema = JSON.parse(out) as object;
    const valid = new Ajv2020({ strict: false }).compile(schema);
    for (const { text, options } of HANDS) expect(valid(parseChart(text, options ?? {}))).toBe(true);
    expect(valid({ ...parseChart(TEXT), bars: [{ chords: [{ symbol: "C" }] }] })).toBe(false);
    const untitled: string[] = [];
    const walk = (node: unknown, name: string): void => {
      if (typeof node !== "object" || node === null) return;
      if ("properties" in node)
        for (const [field, one] of Object.entries(node.properties as Record<string, object>)) {
          if (!("title" in one) || !("description" in one)) untitled.push(`${name}.${field}`);
          walk(one, `${name}.${field}`);
        }
      if ("items" in node) walk(node.items, name);
    };
    walk(schema, "");
    expect(untitled).toEqual([]);
  });
});
