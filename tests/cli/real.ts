import { mkdirSync, mkdtempSync, symlinkSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { build } from "esbuild";

const ROOT = fileURLToPath(new URL("../..", import.meta.url));

/** A folder with the command line in it, bundled from the sources as they stand: what `node` is given to run it as a process of its own. */
export const realCommandLine = async (): Promise<{ readonly folder: string; readonly script: string }> => {
  const folder = mkdtempSync(join(tmpdir(), "hands-together-real-"));
  symlinkSync(join(ROOT, "node_modules"), join(folder, "node_modules"));
  mkdirSync(join(folder, "bin"));
  const script = join(folder, "bin/main.mjs");
  await build({
    entryPoints: [join(ROOT, "src/cli/main.ts")],
    bundle: true,
    splitting: true,
    platform: "node",
    format: "esm",
    packages: "external",
    outdir: join(folder, "bin"),
    outExtension: { ".js": ".mjs" },
    logLevel: "silent",
  });
  return { folder, script };
};
