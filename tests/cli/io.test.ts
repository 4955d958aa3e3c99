import { existsSync, mkdirSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterEach, beforeEach, describe, expect, it } from "vitest";
import type { Terminal } from "../../src/cli/io.ts";
import { readInput, writeFiles } from "../../src/cli/io.ts";

// A terminal is one run of the program.
const terminal = (): Terminal => ({ write: () => {}, complain: () => {}, readStdin: () => "", columns: undefined });

let folder = "";
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), "hands-together-io-"));
});
afterEach(() => rmSync(folder, { recursive: true, force: true }));

const two = [
  { name: "a.txt", contents: "one" },
  { name: "b.mid", contents: new Uint8Array([77, 84]) },
];

describe("writing files", () => {
  it("makes the folder and leaves nothing but the files", () => {
    const out = join(folder, "new", "deep");
    expect(writeFiles(out, two, false, terminal())).toEqual([join(out, "a.txt"), join(out, "b.mid")]);
    expect(readdirSync(out).sort()).toEqual(["a.txt", "b.mid"]);
    expect(readFileSync(join(out, "a.txt"), "utf8")).toBe("one");
    expect([...readFileSync(join(out, "b.mid"))]).toEqual([77, 84]);
  });

  it("touches nothing when one of the files is there, and overwrites with force", () => {
    writeFileSync(join(folder, "b.mid"), "mine");
    expect(() => writeFiles(folder, two, false, terminal())).toThrowError(
      expect.objectContaining({ code: "cli/exists", reason: "bad-input" }),
    );
    expect(readdirSync(folder)).toEqual(["b.mid"]);
    expect(readFileSync(join(folder, "b.mid"), "utf8")).toBe("mine");
    writeFiles(folder, two, true, terminal());
    expect(readFileSync(join(folder, "a.txt"), "utf8")).toBe("one");
    expect(readdirSync(folder).sort()).toEqual(["a.txt", "b.mid"]);
  });

  it("two outputs of one run never take each other's place, whatever --force says; the same one twice is one", () => {
    const run = terminal();
    const first = [{ name: "take.html", contents: "Ana" }];
    writeFiles(folder, first, true, run);
    expect(() => writeFiles(folder, [{ name: "take.html", contents: "Ben" }], true, run)).toThrowError(
      expect.objectContaining({ code: "cli/twice" }),
    );
    expect(readFileSync(join(folder, "take.html"), "utf8")).toBe("Ana");
    expect(writeFiles(folder, [...first, { name: "b.txt", contents: "" }], false, run)).toHaveLength(2);
    writeFiles(folder, [{ name: "take.html", contents: "Ben" }], true, terminal());
    expect(readFileSync(join(folder, "take.html"), "utf8")).toBe("Ben");
  });

  it("refuses a folder that can't be made", () => {
    writeFileSync(join(folder, "file"), "");
    expect(() => writeFiles(join(folder, "file", "below"), two, false, terminal())).toThrowError(
      expect.objectContaining({ code: "cli/folder" }),
    );
    expect(readdirSync(folder)).toEqual(["file"]);
  });

  it.skipIf(!existsSync("/proc"))("refuses a place that looks like a folder and takes no file, at once", () => {
    expect(() => writeFiles("/proc/hands-together/deep", two, false, terminal())).toThrowError(
      expect.objectContaining({ code: "cli/folder", hint: "there is no such file or folder" }),
    );
  });

  it("takes back what it placed when a later file can't be", () => {
    mkdirSync(join(folder, "b.mid"));
    expect(() => writeFiles(folder, two, true, terminal())).toThrowError(
      expect.objectContaining({ name: "MusicError" }),
    );
    expect(readdirSync(folder).filter((name) => name.endsWith(".part"))).toEqual([]);
    rmSync(join(folder, "a.txt"), { force: true });
    expect(() => writeFiles(folder, two, false, terminal())).toThrowError(
      expect.objectContaining({ code: "cli/exists" }),
    );
    expect(existsSync(join(folder, "a.txt"))).toBe(false);
  });

  it.each(["../a", "a/b", "..", "."])("never leaves the folder: %s", (name) => {
    expect(() => writeFiles(join(folder, "out"), [{ name, contents: "" }], true, terminal())).toThrowError(
      expect.objectContaining({ code: "cli/name" }),
    );
    expect(readdirSync(folder)).toEqual([]);
  });

  it("says which file can't be read", () => {
    expect(() => readInput(join(folder, "none.mid"))).toThrowError(expect.objectContaining({ code: "cli/file" }));
  });
});
