import { existsSync, mkdirSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { basename, dirname, join } from "node:path";
import { Ajv2020 as Ajv } from "ajv/dist/2020.js";
import { strFromU8, unzipSync } from "fflate";
import { afterEach, beforeEach, describe, expect, it } from "vitest";
import { writeMidi } from "../../src/midi/index.ts";
import { pitch } from "../../src/pitch/index.ts";
import { scoreFromJson } from "../../src/score/index.ts";
import { beatsOf } from "../../src/time/index.ts";
import { call } from "./call.ts";

let folder = "";
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), "hands-together-cli-"));
});
afterEach(() => rmSync(folder, { recursive: true, force: true }));

/** The one file of a kind: commands may write others beside. */
const ofKind = (files: readonly string[], ending: string): string => {
  const found = files.filter((file) => file.endsWith(ending));
  expect([ending, found.length]).toEqual([ending, 1]);
  return found[0] as string;
};
const drillFilesOf = (out: string): Readonly<Record<"xml" | "midi" | "json", string>> => {
  const { files } = JSON.parse(out) as { files: string[] };
  return { xml: ofKind(files, ".musicxml"), midi: ofKind(files, ".mid"), json: ofKind(files, ".json") };
};

const lineCount = (text: string): number => text.split("\n").filter((line) => line !== "").length;

describe("command line", () => {
  it("says its version", async () => {
    const { version } = JSON.parse(readFileSync("package.json", "utf8")) as { version: string };
    expect(await call(["--version"])).toEqual({ code: 0, out: `${version}\n`, err: "" });
  });

  it("chord: spells a symbol in the JSON of the contract", async () => {
    expect(await call(["chord", "G13(b9)", "--json"])).toEqual({
      code: 0,
      err: "",
      out: `${JSON.stringify({
        symbol: "G13(b9)",
        root: "G",
        bass: "G",
        tones: [
          ["1", "G"],
          ["3", "B"],
          ["5", "D"],
          ["b7", "F"],
          ["b9", "Ab"],
          ["13", "E"],
        ].map(([degree, note]) => ({ degree, note })),
      })}\n`,
    });
    expect((await call(["chord", "Cm7/Bb"])).out).toContain("B♭ in the bass");
  });

  it("voice: one JSON document with forms, pitches and motion", async () => {
    const { code, out } = await call(["voice", "Dm9 | G13 | Cmaj9", "--style", "rootless", "--json"]);
    const json = JSON.parse(out) as {
      voicings: { symbol: string; form: string; pitches: string[] }[];
      motion: number[];
      totalMotion: number;
    };
    expect(code).toBe(0);
    expect(json.voicings.map((voicing) => voicing.symbol)).toEqual(["Dm9", "G13", "Cmaj9"]);
    for (const { pitches, form } of json.voicings) {
      expect(pitches).toHaveLength(4);
      expect(typeof form).toBe("string");
    }
    // Worked in tables after MacDonald's forms: ii to V moves one note by a semitone, V to I five semitones (computed there).
    expect(json.motion).toEqual([1, 5]);
    expect(json.totalMotion).toBe(6);
  });

  it("voice: a loop's motion has one more entry, back to the first chord", async () => {
    const { out } = await call(["voice", "turnaround", "--key", "Eb", "--style", "shell", "--loop", "--json"]);
    const json = JSON.parse(out) as { voicings: unknown[]; motion: number[]; totalMotion: number };
    expect(json.motion).toHaveLength(json.voicings.length);
    expect(json.motion.reduce((a, b) => a + b, 0)).toBe(json.totalMotion);
  });

  it("finger: notes and scales, the top note once", async () => {
    const notes = JSON.parse((await call(["finger", "C4 D4 Eb4 E4", "--hand", "right", "--json"])).out) as {
      pitches: string[];
      fingers: number[];
    };
    expect(notes.pitches).toEqual(["C4", "D4", "Eb4", "E4"]);
    expect(notes.fingers).toHaveLength(4); // fingers of single scales are held against tables in tests/fingering
    const scale = JSON.parse((await call(["finger", "--scale", "C major", "--octaves", "2", "--json"])).out) as {
      pitches: string[];
      fingers: number[];
      crossings: { index: number; kind: string }[];
    };
    expect(scale.pitches).toHaveLength(29);
    expect(scale.pitches[14]).toBe("C6");
    expect(scale.fingers.slice(0, 15).join("")).toBe("123123412312345");
    expect(scale.crossings.slice(0, 3)).toEqual([
      { index: 3, kind: "thumb-under" },
      { index: 7, kind: "thumb-under" },
      { index: 10, kind: "thumb-under" },
    ]);
  });

  it("drill: writes MusicXML, MIDI and JSON, and says where", async () => {
    const { code, out } = await call([
      "drill",
      "--key",
      "Eb",
      "--changes",
      "turnaround",
      "--left",
      "shell",
      "--right",
      "up-and-down",
      "--values",
      "triplets",
      "--tempo",
      "110",
      "--out",
      folder,
      "--json",
    ]);
    expect(code).toBe(0);
    const { xml, midi, json } = drillFilesOf(out);
    for (const file of [xml, midi, json]) expect(existsSync(file)).toBe(true);
    expect(readFileSync(midi).subarray(0, 4).toString()).toBe("MThd");
  });

  it("drill: writes an improvised line, tells its form, and names its files by level and seed", async () => {
    const args = [
      "drill",
      "--key",
      "F",
      "--changes",
      "blues",
      "--left",
      "rootless",
      "--right",
      "improvised",
      "--level",
      "2",
      "--out",
      folder,
    ];
    const { code, out } = await call([...args, "--seed", "7"]);
    expect(code).toBe(0);
    expect(out).toMatch(/^Right hand, level 2, seed 7, \d phrases: bar 1 motif A \(new\), bar \d+ motif/m);
    expect((await call([...args, "--seed", "8"])).code).toBe(0);
    const names = readdirSync(folder).filter((name) => name.endsWith(".json"));
    const ofSeed = (seed: number): string =>
      ofKind(
        names.filter((name) => name.includes(`seed-${seed}-`)),
        ".json",
      );
    for (const seed of [7, 8])
      expect(ofSeed(seed)).toMatch(
        new RegExp(`^blues-in-F-rootless-improvised-level-2-seed-${seed}-[0-9a-v]{8}\\.json$`),
      );
    // Bars 1, 3, … where the phrases begin are those of the file.
    const score = scoreFromJson(JSON.parse(readFileSync(join(folder, ofSeed(7)), "utf8")));
    const bars = [...out.matchAll(/bar (\d+) motif/g)].map(([, bar]) => Number(bar));
    expect(bars).toEqual((score.phrases ?? []).map(({ at }) => Math.floor(at.num / at.den / 4) + 1));
    expect(await call(["drill", "--key", "C", "--right", "turns", "--level", "2", "--out", folder])).toMatchObject({
      code: 2,
      out: "",
      err: expect.stringContaining("no level beside the exercise turns") as string,
    });
  });

  it("writes compressed MusicXML and a picture of each system where it is asked to", async () => {
    expect((await call(["drill", "--key", "Eb", "--mxl", "--systems", "--out", folder])).code).toBe(0);
    const files = readdirSync(folder);
    const ending = (text: string): readonly string[] => files.filter((name) => name.endsWith(text));
    expect(ending(".svg").length).toBe(files.length - 4);
    expect(ending("-system-1.svg").length).toBe(1);
    const [plain = "", packed = ""] = [ending(".musicxml")[0], ending(".mxl")[0]];
    const inside = unzipSync(readFileSync(join(folder, packed)))["score.musicxml"];
    expect(strFromU8(inside ?? new Uint8Array())).toBe(readFileSync(join(folder, plain), "utf8"));
  });

  it("drill: reads recipes one a line and answers in order, refusals included", async () => {
    const lines = ['{"key":"Eb"}', '{"key":"H"}', "{", '{"key":"F","left":"rootless"}'].join("\n");
    const { code, out, err } = await call(["drill", "-", "--out", folder], lines);
    const answers = out
      .trim()
      .split("\n")
      .map((line) => JSON.parse(line) as { files?: string[]; error?: { code: string; input: unknown } });
    expect(answers.map((answer) => answer.error?.code)).toEqual([undefined, "recipe/drill", "cli/drill", undefined]);
    expect(code).toBe(2);
    expect(lineCount(err)).toBe(2);
    const named = answers.flatMap((answer) => answer.files ?? []);
    expect(new Set(named).size).toBe(named.length);
    expect(readdirSync(folder).sort()).toEqual(named.map((file) => basename(file)).sort());
  });

  it.each(["chord", "voice", "finger"])(
    "%s: reads one item a line for - and answers in JSON Lines, in step",
    async (command) => {
      const items = {
        chord: ["Cmaj7", "Cmaj8", "Dm7"],
        voice: ["Dm9 | G13", "I viii", "Cmaj7"],
        finger: ["C4 D4", "H4", "E4 F4 G4"],
      }[command] as string[];
      const { code, out, err } = await call([command, "-"], `${items.join("\r\n")}\n\n`);
      const answers = out
        .trim()
        .split("\n")
        .map((line) => JSON.parse(line) as { error?: { code: string; expected: string } });
      expect(answers).toHaveLength(3);
      expect(answers.map((answer) => answer.error === undefined)).toEqual([true, false, true]);
      expect(code).toBe(2);
      expect(lineCount(err)).toBe(1);
    },
  );

  it.each([
    [["drill", "--key", "H"]],
    [["drill", "--key", "C", "--changes", "I viii"]],
    [["voice", "Cmaj8"]],
    [["chord", "Cmaj8"]],
    [["chord", "c"]],
    [["finger", "C4 H4"]],
    [["finger"]],
    [["finger", "C4", "--scale", "C major"]],
    [["finger", "--scale", "C majr"]],
    [["drill"]],
    [["drill", "--key", "C", "--left", "shells"]],
    [["drill", "--key", "C", "--octaves", "9"]],
    [["drill", "--key", "C", "--tempo", "fast"]],
    [["drill", "--key", "C", "--feel", "bouncy"]],
    [["voice", ""]],
    [["voice", "N.C."]],
    [["finger", "C4", "--hand", "third"]],
    [["chords", "C"]],
    [["chord"]],
    [["chord", "C", "--jsn"]],
    [["drill", "--key", "C", "--scale", "nonsense"]],
    [["drill", "recipe.json"]],
  ])("bad input %j: what was expected on standard error, exit 2, no file touched", async (args) => {
    const { code, out, err } = await call([...args, ...(args[0] === "drill" ? ["--out", folder] : [])]);
    expect(code).toBe(2);
    expect(out).toBe("");
    expect(err).toMatch(/expected|error|Expected/);
    expect(lineCount(err)).toBe(1);
    expect(readdirSync(folder)).toEqual([]);
  });

  it("says what was expected in one line", async () => {
    expect((await call(["drill", "--key", "H", "--out", folder])).err).toMatch(
      /^recipe\/drill: got "H", expected a key such as Eb.* at key\n$/,
    );
    expect((await call(["voice", "Cmaj8"])).err).toMatch(/^chord\/symbol: got "Cmaj8", expected .*character 5.*\n$/);
  });

  it("refuses an existing file without --force, and a folder that can't be made", async () => {
    expect((await call(["drill", "--key", "C", "--out", folder])).code).toBe(0);
    const before = readdirSync(folder).map((name) => readFileSync(join(folder, name), "utf8"));
    const again = await call(["drill", "--key", "C", "--out", folder]);
    expect([again.code, again.out]).toEqual([2, ""]);
    expect(again.err).toMatch(/^cli\/exists: .*--force/);
    expect(readdirSync(folder).map((name) => readFileSync(join(folder, name), "utf8"))).toEqual(before);
    expect((await call(["drill", "--key", "C", "--out", folder, "--force"])).code).toBe(0);
    expect(readdirSync(folder)).toHaveLength(before.length);
    writeFileSync(join(folder, "file"), "");
    const nowhere = await call(["drill", "--key", "C", "--out", join(folder, "file", "below")]);
    expect([nowhere.code, nowhere.out, lineCount(nowhere.err)]).toEqual([2, "", 1]);
  });

  it("every command has help with the caution where spans, speed or repetition are set", async () => {
    for (const command of ["chord", "voice", "finger", "drill"]) {
      const { code, out } = await call([command, "--help"]);
      expect(code).toBe(0);
      expect(out).toContain("--json");
      if (command !== "chord") expect(out).toContain("stop at any pain");
    }
    expect((await call(["--help"])).out).toContain("drill");
  });

  it("exits 1 when what was asked for can't be done", async () => {
    const { code, err } = await call(["voice", "Cmaj9", "--style", "rootless", "--span", "2"]);
    expect(code).toBe(1);
    expect(lineCount(err)).toBe(1);
  });
});

describe("names of files", () => {
  const stems = (): readonly string[] => readdirSync(folder).filter((name) => name.endsWith(".mid"));

  // The recipes that gave one name before: they differ in tempo, scale, feel, backing, or in a sign of a chord.
  it("law: different recipes never share a file name", async () => {
    const options = [
      [],
      ["--tempo", "90"],
      ["--scale", "minor blues"],
      ["--feel", "3:2"],
      ["--backing", "none"],
      ["--title", "Für Ana"],
      ...["C-7", "C+7", "Cø7", "C°7", "CΔ7"].map((changes) => ["--changes", changes]),
    ];
    for (const one of options) expect((await call(["drill", "--key", "C", "--out", folder, ...one])).code).toBe(0);
    expect(stems()).toHaveLength(options.length);
    const readable = new Set(stems().map((name) => name.replace(/-[0-9a-v]{8}\.mid$/, "")));
    for (const chord of ["C-7", "C-plus-7", "Cø7", "C-dim-7", "CΔ7"]) {
      expect([...readable].filter((stem) => stem.startsWith(`${chord}-in-C`))).toHaveLength(1);
    }
  });

  it("a default that is written out, and another order of fields, is the same drill", async () => {
    const lines = ['{"key":"C"}', '{"tempo":100,"key":"C","version":1,"kind":"drill"}', '{"key":"C","left":"shell"}'];
    const { code, out } = await call(["drill", "-", "--out", folder], lines.join("\n"));
    expect([code, new Set(out.trim().split("\n")).size, stems().length]).toEqual([0, 1, 1]);
  });

  it("letters of every script stay", async () => {
    const lines = ["четверг", "木曜日", "Ελληνικά"].map((title) =>
      JSON.stringify({ title, keys: ["C"], levels: [1], exercises: 1 }),
    );
    expect((await call(["packet", "-", "--out", folder], lines.join("\n"))).code).toBe(0);
    expect(readdirSync(folder).sort()).toEqual(["1-четверг", "2-木曜日", "3-Ελληνικά"].sort());
  });

  it("two students' takes of one name give two pages", async () => {
    const { json, midi } = drillFilesOf((await call(["drill", "--key", "C", "--out", folder, "--json"])).out);
    const takes = ["ana", "ben"].map((student) => {
      mkdirSync(join(folder, student));
      const take = join(folder, student, "take.mid");
      writeFileSync(take, readFileSync(midi));
      return take;
    });
    const out = join(folder, "pages");
    expect((await call(["assess", json, "-", "--out", out, "--force"], takes.join("\n"))).code).toBe(0);
    expect(readdirSync(out)).toHaveLength(2);
    for (const page of readdirSync(out)) expect(page).toMatch(/^take-[0-9a-v]{8}-assessed\.html$/);
  });
});

describe("schema", () => {
  it.each(["drill", "packet", "plan", "score"])(
    "prints that of a %s, with its address, and it can be compiled",
    async (name) => {
      const { code, out } = await call(["schema", name]);
      const schema = JSON.parse(out) as {
        $schema: string;
        $id: string;
        title: string;
        properties: Record<string, unknown>;
      };
      expect([code, schema.$schema]).toEqual([0, "https://json-schema.org/draft/2020-12/schema"]);
      expect(schema.$id).toBe(`urn:hands-together:schema:${name}`);
      expect(new Ajv({ strict: false }).compile(schema)).toBeTypeOf("function");
    },
  );

  it("writes all of them into a folder", async () => {
    expect((await call(["schema", "--out", folder])).code).toBe(0);
    for (const name of ["drill", "packet", "plan", "score"])
      expect(`${(await call(["schema", name])).out}`).toBe(readFileSync(join(folder, `${name}.json`), "utf8"));
  });

  it("names the nearest", async () => {
    expect(await call(["schema", "dril"])).toMatchObject({
      code: 2,
      err: expect.stringContaining("did you mean drill?") as string,
    });
  });
});

describe("packet", () => {
  const small = (): string[] => ["packet", "--keys", "C Eb", "--levels", "1,3", "--exercises", "2", "--out", folder];
  const all = (root: string): string[] =>
    readdirSync(root, { recursive: true, withFileTypes: true })
      .filter((entry) => entry.isFile())
      .map((entry) => join(entry.parentPath, entry.name))
      .sort();

  it("writes every key and level, hands separate and together, with an index that links them all", async () => {
    const { code, out, err } = await call([...small(), "--json"]);
    expect(code).toBe(0);
    const { files } = JSON.parse(out) as { files: string[] };
    expect([...files].sort()).toEqual(all(folder));
    for (const key of ["C", "E-flat"]) {
      for (const level of ["level-1-1-", "level-1-2-", "level-3-1-", "level-3-2-"]) {
        const own = files.filter((file) => basename(dirname(file)) === key && basename(file).startsWith(level));
        for (const ending of [".musicxml", ".json", "-right-hand.mid", "-left-hand.mid", "-backing.mid"])
          ofKind(own, ending);
        expect(own.some((file) => /-[0-9a-v]{8}\.mid$/.test(file))).toBe(true);
      }
    }
    const index = readFileSync(ofKind(files, "index.html"), "utf8");
    const links = [...index.matchAll(/href="([^"#]+)"/g)].map((match) =>
      join(folder, decodeURIComponent(match[1] as string)),
    );
    expect(links.sort()).toEqual(files.filter((file) => !file.endsWith("index.html")).sort());
    expect(lineCount(err)).toBe(8); // a plain line a drill, since this is no terminal
  });

  it("goes on where it stopped, and refuses what differs", async () => {
    await call(small());
    const files = all(folder);
    const whole = files.map((file) => readFileSync(file, "base64"));
    rmSync(
      ofKind(
        files.filter((file) => file.includes("level-1-2-") && file.includes("E-flat")),
        ".json",
      ),
    );
    rmSync(files.at(-1) as string);
    expect((await call(small())).code).toBe(0);
    expect(all(folder).map((file) => readFileSync(file, "base64"))).toEqual(whole);
    const other = await call([...small(), "--tempo", "90"]);
    expect([other.code, other.out]).toEqual([2, ""]);
    expect(all(folder).map((file) => readFileSync(file, "base64"))).toEqual(whole);
    expect((await call([...small(), "--tempo", "90", "--force"])).code).toBe(0);
  });

  // midi-file (npm): an independent reader.
  it("law: hands separate together equal hands together", async () => {
    const { parseMidi } = await import("midi-file");
    await call(small());
    const onsets = (file: string): string[] => {
      const { tracks } = parseMidi(readFileSync(file));
      return tracks
        .flatMap((track) => {
          let ticks = 0;
          return track.flatMap((event) => {
            ticks += event.deltaTime;
            return event.type === "noteOn" && event.velocity > 0
              ? [`${ticks} ${event.channel} ${event.noteNumber} ${event.velocity}`]
              : [];
          });
        })
        .sort();
    };
    for (const file of all(folder).filter((name) => name.endsWith("-backing.mid"))) {
      const stem = file.replace(/-backing\.mid$/, "");
      const backing = onsets(file);
      const without = (name: string): string[] => {
        const rest = [...backing];
        return onsets(name).filter((note) => {
          const i = rest.indexOf(note);
          if (i < 0) return true;
          rest.splice(i, 1);
          return false;
        });
      };
      const [right, left] = [without(`${stem}-right-hand.mid`), without(`${stem}-left-hand.mid`)];
      expect(right.length * left.length).toBeGreaterThan(0);
      expect([...right, ...left, ...backing].sort()).toEqual(onsets(`${stem}.mid`));
    }
  });

  it.each([
    ["--keys", "C H"],
    ["--keys", ""],
    ["--levels", "9"],
    ["--levels", ","],
    ["--order", "sideways"],
    ["--changes", "I viii"],
    ["--scale", "nothing"],
  ])("refuses %s %j", async (option, value) => {
    const { code, out } = await call(["packet", option, value, "--out", join(folder, "new")]);
    expect([code, out]).toEqual([2, ""]);
    expect(readdirSync(folder)).toEqual([]);
  });
});

describe("check", () => {
  const drill = async () => drillFilesOf((await call(["drill", "--key", "C", "--out", folder, "--json"])).out);

  it("reads MusicXML, MIDI and JSON, and finds nothing in an exercise", async () => {
    for (const file of Object.values(await drill())) {
      const { code, out } = await call([
        "check",
        file,
        "--feel",
        "2:1",
        "--changes",
        "turnaround",
        "--key",
        "C",
        "--scale",
        "C major blues",
        "--json",
      ]);
      const json = JSON.parse(out) as {
        phrases: { bar: number; beat: string; notes: number }[];
        findings: { severity: string }[];
      };
      expect(code).toBe(0);
      expect(json.findings.filter(({ severity }) => severity === "must")).toEqual([]);
      expect(json.phrases.reduce((sum, phrase) => sum + phrase.notes, 0)).toBe(28); // seven notes in each of four bars
    }
  });

  it("says where, what and what to try", async () => {
    const { json: file } = await drill();
    const score = JSON.parse(readFileSync(file, "utf8")) as { right: { pitches: string[] }[] };
    // A note above C7, where lines end: common practice, no source.
    score.right = score.right.slice(0, 3).map((note, i) => (i === 1 ? { ...note, pitches: ["C8"] } : note));
    const cut = join(folder, "cut.json");
    writeFileSync(cut, JSON.stringify({ ...score, phrases: [] }));
    const json = JSON.parse((await call(["check", cut, "--json"])).out) as {
      findings: { rule: string; bar: number; beat: string; message: string }[];
    };
    expect(json.findings.length).toBeGreaterThan(0);
    for (const finding of json.findings)
      expect(Object.keys(finding)).toEqual(expect.arrayContaining(["rule", "bar", "beat", "message"]));
    expect((await call(["check", cut])).out).toContain("try:");
  });

  it("a drill's score tells its own scale", async () => {
    const { json: file } = drillFilesOf(
      (await call(["drill", "--key", "C", "--changes", "C6 | %", "--out", folder, "--json"])).out,
    );
    const score = JSON.parse(readFileSync(file, "utf8")) as { recipe: unknown; right: { pitches: string[] }[] };
    // F sharp over C6 rubs against no tone of the chord; but the drill's key has none, and lydian would have to be told.
    const [first] = score.right;
    const right = [{ ...first, pitches: ["F#4"], duration: "4", fingers: undefined, graces: undefined }];
    const told = join(folder, "told.json");
    const untold = join(folder, "untold.json");
    writeFileSync(told, JSON.stringify({ ...score, right, phrases: [] }));
    writeFileSync(untold, JSON.stringify({ ...score, right, phrases: [], recipe: undefined }));
    const rules = async (...given: string[]): Promise<readonly string[]> => {
      const { out } = await call(["check", ...given, "--json"]);
      return (JSON.parse(out) as { findings: { rule: string }[] }).findings.map(({ rule }) => rule);
    };
    expect(await rules(untold)).not.toContain("resting-note");
    expect(await rules(untold, "--scale", "C major blues")).toContain("resting-note");
    expect(await rules(told)).toEqual(await rules(untold, "--scale", "C major blues"));
    expect(await rules(told, "--scale", "C lydian")).not.toContain("resting-note");
  });

  it("refuses what is no score", async () => {
    const file = join(folder, "x.json");
    for (const text of ["", "{", "{}", "hello", "<a/>", "MThd"]) {
      writeFileSync(file, text);
      const { code, out, err } = await call(["check", file]);
      expect([code, out, lineCount(err)]).toEqual([2, "", 1]);
    }
    expect((await call(["check", join(folder, "none.json")])).code).toBe(2);
  });
});

describe("assess", () => {
  it("finds nothing in the drill's own MIDI, and says so; a page on request", async () => {
    const files = drillFilesOf(
      (await call(["drill", "--key", "Eb", "--values", "triplets", "--out", folder, "--json"])).out,
    );
    for (const drill of [files.xml, files.json]) {
      const { code, out } = await call(["assess", drill, files.midi, "--json"]);
      const json = JSON.parse(out) as { kind: string; findings: unknown[]; accuracy: { accuracy: number } };
      expect([code, json.kind, json.findings, json.accuracy.accuracy]).toEqual([0, "assessment", [], 1]);
    }
    const page = await call(["assess", files.json, files.midi, "--out", folder]);
    expect(page.code).toBe(0);
    expect(readdirSync(folder).some((name) => name.endsWith("-assessed.html"))).toBe(true);
    expect((await call(["assess", files.json, files.midi, "--out", folder])).code).toBe(2);
  });

  it("hears an improvised line over the drill's left hand: text, JSON and a page", async () => {
    const files = drillFilesOf(
      (
        await call([
          "drill",
          "--key",
          "F",
          "--left",
          "rootless",
          "--changes",
          "two-five-one",
          "--out",
          folder,
          "--json",
        ])
      ).out,
    );
    const take = join(folder, "take.mid");
    const score = scoreFromJson(readFileSync(files.json, "utf8"));
    const right = ["D5", "Bb4", "A4", "G4", "A4", "A4", "A4", "A4", "A4", "Bb4", "C5"].map((name, i) => ({
      at: beatsOf(i, 2),
      duration: beatsOf(i === 10 ? 4 : 1, 2),
      pitches: [pitch(name as "C4")],
    }));
    writeFileSync(take, writeMidi({ ...score, right }));
    const { code, out } = await call(["assess", files.json, take, "--improvised", "--out", folder, "--json"]);
    const json = JSON.parse(out) as {
      kind: string;
      line: unknown[];
      say: { id: string; places: unknown[] }[];
      left: { kind: string; accuracy: { accuracy: number } };
      files: string[];
    };
    expect([code, json.kind, json.left.kind, json.left.accuracy.accuracy, json.line.length]).toEqual([
      0,
      "improvisation",
      "assessment",
      1,
      11,
    ]);
    expect(json.line[1]).toEqual({ at: "1/2", duration: "1/2", pitches: ["Bb4"] });
    // The fifth A in a row is the ninth note: the first beat of bar 2.
    expect(json.say.map(({ id, places }) => [id, places])).toEqual([["repeats", [{ bar: 2, beat: "1" }]]]);
    expect(readFileSync(ofKind(json.files, "-assessed.html"), "utf8")).toContain("struck 5 times in a row");
    const text = (await call(["assess", files.json, take, "--improvised", "--scale", "F major blues"])).out;
    expect(text).toMatch(/Bar 2: A is struck 5 times in a row.*\n {3}Try: /);
  });

  it.each([
    [["--scale", "F major"]],
    [["--first-bar", "2"]],
    [["--clock", "own", "--first-bar", "2"]],
    [["--band-tempo", "90"]],
    [["--clock", "band", "--band-tempo", "fast"]],
    [["--improvised", "--clock", "band"]],
    [["--improvised", "--first-bar", "soon"]],
    [["--improvised", "--first-bar", "1e9"]],
    [["--improvised", "--scale", "F majr"]],
  ])("refuses %j", async (args) => {
    const files = drillFilesOf((await call(["drill", "--key", "F", "--out", folder, "--json"])).out);
    const { code, out, err } = await call(["assess", files.json, files.midi, ...args]);
    expect([code, out, lineCount(err)]).toEqual([2, "", 1]);
  });

  it("hears a take against the band that it played along with", async () => {
    const files = drillFilesOf(
      (await call(["drill", "--key", "F", "--backing", "none", "--out", folder, "--json"])).out,
    );
    const args = ["assess", files.json, files.midi, "--clock", "band"];
    expect((await call(args)).out).toMatch(/Against the band: on it on the whole, on it at the start/);
    const early = JSON.parse((await call([...args, "--first-bar", "0.2", "--json"])).out) as {
      band: { lateMs: number };
      say: { id: string }[];
    };
    expect([early.band.lateMs, early.say.map(({ id }) => id)]).toEqual([-200, ["off-the-band"]]);
  });

  it("reads takes one a line, and refuses what is no take", async () => {
    const files = drillFilesOf((await call(["drill", "--key", "C", "--out", folder, "--json"])).out);
    const damaged = join(folder, "damaged.mid");
    writeFileSync(damaged, readFileSync(files.midi).subarray(0, 10));
    const { code, out, err } = await call(
      ["assess", files.json, "-"],
      [files.midi, damaged, join(folder, "none.mid")].join("\n"),
    );
    expect(
      err
        .trim()
        .split("\n")
        .map((line) => /(damaged|none)\.mid/.exec(line)?.[1]),
    ).toEqual(["damaged", "none"]);
    const answers = out
      .trim()
      .split("\n")
      .map((line) => JSON.parse(line) as { kind?: string; error?: { code: string } });
    expect(answers.map((answer) => answer.kind ?? answer.error?.code.split("/")[0])).toEqual([
      "assessment",
      "midi",
      "cli",
    ]);
    expect(code).toBe(2);
    expect((await call(["assess", files.midi, files.midi])).code).toBe(2);
    const cut = join(folder, "cut.musicxml");
    writeFileSync(cut, readFileSync(files.xml).subarray(0, 2000));
    for (const args of [
      ["assess", cut, files.midi],
      ["check", cut],
    ])
      expect((await call(args)).err).toMatch(/^musicxml\/.*cut\.musicxml/);
    expect((await call(["check", damaged])).err).toMatch(/^midi\/.*damaged\.mid/);
  });
});

describe("plan", () => {
  it("prints a table, JSON, and a calendar into a folder", async () => {
    expect((await call(["plan", "--weeks", "1"])).out).toContain("warm-up");
    const { code, out } = await call([
      "plan",
      "--weeks",
      "1",
      "--weak",
      "Eb",
      "--keys",
      "C F Bb Eb",
      "--start",
      "2027-01-04",
      "--out",
      folder,
      "--json",
    ]);
    const json = JSON.parse(out) as { kind: string; days: unknown[]; files: string[] };
    expect([code, json.kind, json.days.length]).toEqual([0, "practice-plan", 5]);
    expect(readFileSync(ofKind(json.files, ".ics"), "utf8")).toMatch(/^BEGIN:VCALENDAR\r\n/);
  });

  it.each([
    [["--level", "9"]],
    [["--keys", "C H"]],
    [["--weeks", "0"]],
    [["--start", "tomorrow"]],
    [["--weak", "F#", "--keys", "C F"]],
  ])("refuses %j", async (args) => {
    const { code, out } = await call(["plan", ...args]);
    expect([code, out]).toEqual([2, ""]);
  });

  it("exits 1 when a day is too short for a drill", async () => {
    expect((await call(["plan", "--minutes", "2"])).code).toBe(1);
  });
});
