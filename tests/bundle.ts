import { fileURLToPath } from "node:url";
import { gzipSync } from "node:zlib";
import { build } from "esbuild";

const ROOT = fileURLToPath(new URL("..", import.meta.url));

/** Where a subpath begins. */
export const entry = (subpath: string): string => (subpath === "." ? "./src/index.ts" : `./src/${subpath}/index.ts`);

/** A module with all that it imports, minified: its code, its bytes after gzip -9, and the files that anything is left of. */
export const bundle = async (
  contents: string,
): Promise<{ readonly code: Uint8Array; readonly size: number; readonly modules: readonly string[] }> => {
  const { outputFiles, metafile } = await build({
    stdin: { contents, resolveDir: ROOT, loader: "ts" },
    bundle: true,
    minify: true,
    format: "esm",
    target: "es2022",
    platform: "browser",
    treeShaking: true,
    write: false,
    metafile: true,
    logLevel: "error",
  });
  const code = outputFiles[0]?.contents ?? new Uint8Array();
  const inputs = Object.values(metafile.outputs).flatMap((output) => Object.entries(output.inputs));
  return {
    code,
    size: gzipSync(code, { level: 9 }).length,
    modules: inputs.filter(([, { bytesInOutput }]) => bytesInOutput > 0).map(([path]) => path),
  };
};

/** A module that exports everything of some subpaths. */
export const all = (...subpaths: readonly string[]): string =>
  subpaths.map((subpath) => `export * from "${entry(subpath)}";`).join("\n");
