import { existsSync, readdirSync, readFileSync, statSync } from "node:fs";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import ts from "typescript";
import { describe, expect, it } from "vitest";

const ROOT = fileURLToPath(new URL("..", import.meta.url));

interface Snippet {
  readonly place: string;
  readonly code: string;
}

const walk = (folder: string, ending: string): string[] =>
  readdirSync(join(ROOT, folder)).flatMap((name) => {
    const path = `${folder}/${name}`;
    if (path === "docs/api") return [];
    return statSync(join(ROOT, path)).isDirectory() ? walk(path, ending) : path.endsWith(ending) ? [path] : [];
  });

const snippetsIn = (file: string): Snippet[] => {
  const text = readFileSync(join(ROOT, file), "utf8");
  const fence = file.endsWith(".md") ? /```ts\n([\s\S]*?)```/g : /\* ```ts\n([\s\S]*?)\s*\* ```/g;
  return [...text.matchAll(fence)].map((match) => ({
    place: `${file}:${text.slice(0, match.index).split("\n").length}`,
    code: (match[1] as string).replace(/^\s*\* ?/gm, file.endsWith(".md") ? "$&" : ""),
  }));
};

const snippets = [...walk("src", ".ts"), ...walk("docs", ".md"), "README.md"].flatMap(snippetsIn);

const entries = [
  "",
  ...readdirSync(join(ROOT, "src"), { withFileTypes: true })
    .filter((entry) => entry.isDirectory() && existsSync(join(ROOT, "src", entry.name, "index.ts")))
    .map(({ name }) => name),
];
const modules = new Map<string, object>(
  await Promise.all(entries.map(async (name) => [name, await import(join(ROOT, "src", name, "index.ts"))] as const)),
);
const moduleOf = (name: string): object => {
  const found = modules.get(name);
  if (found === undefined) throw new Error(`no subpath ${name}`);
  return found;
};

// `expression; // => literal` becomes an equality, `expression; // throws "code"` an expected error.
const checked = (code: string): string =>
  code
    .replace(/^(?!\s*(?:(?:const|let|import)\b|\/\/))(\s*)(.+?);\s*\/\/ => (.+)$/gm, "$1__equal($2, ($3));")
    .replace(/^(\s*)(?!(?:const|let|import)\b)(.+?);\s*\/\/ throws "(.+)"$/gm, '$1__throws(() => $2, "$3");')
    .replace(/^import \{([^}]*)\} from "hands-together(?:\/([a-z-]+))?";$/gm, 'const {$1} = __module("$2");')
    .replace(/^import type .*$/gm, "");

const run = (code: string): number => {
  let checks = 0;
  const equal = (actual: unknown, expected: unknown): void => {
    checks++;
    expect(actual).toEqual(expected);
  };
  const throws = (action: () => unknown, code: string): void => {
    checks++;
    expect(action).toThrowError(expect.objectContaining({ code }));
  };
  const javascript = ts.transpile(checked(code), { target: ts.ScriptTarget.ES2022, module: ts.ModuleKind.ESNext });
  new Function("__module", "__equal", "__throws", javascript)(moduleOf, equal, throws);
  return checks;
};

describe("documentation", () => {
  it.each(snippets)("$place runs and says the truth", ({ code }) => {
    expect(run(code)).toBeGreaterThan(0);
  });

  it("law: every public function has a doc comment with an example, and every public name has a doc comment", () => {
    const program = ts.createProgram([join(ROOT, "tests/all.ts")], {
      noEmit: true,
      allowImportingTsExtensions: true,
      module: ts.ModuleKind.ESNext,
      moduleResolution: ts.ModuleResolutionKind.Bundler,
      target: ts.ScriptTarget.ES2022,
    });
    const checker = program.getTypeChecker();
    const root = checker.getSymbolAtLocation(
      program.getSourceFile(join(ROOT, "tests/all.ts")) as ts.SourceFile,
    ) as ts.Symbol;
    const faults = checker.getExportsOfModule(root).flatMap((name) => {
      const symbol = name.flags & ts.SymbolFlags.Alias ? checker.getAliasedSymbol(name) : name;
      const isFunction = (symbol.flags & ts.SymbolFlags.Function) !== 0;
      const said = ts.displayPartsToString(symbol.getDocumentationComment(checker)).trim();
      const example = symbol.getJsDocTags(checker).some((tag) => tag.name === "example");
      return said === ""
        ? [`${symbol.name} is not documented`]
        : isFunction && !example
          ? [`${symbol.name} has no example`]
          : [];
    });
    expect(faults).toEqual([]);
  });

  it("every snippet type-checks as a user would compile it", () => {
    const files = new Map(
      snippets.map(({ code }, i) => [join(ROOT, `tests/__snippet${i}.ts`), `${code}\nexport {};\n`]),
    );
    const options: ts.CompilerOptions = {
      strict: true,
      noEmit: true,
      skipLibCheck: true,
      target: ts.ScriptTarget.ES2022,
      module: ts.ModuleKind.ESNext,
      moduleResolution: ts.ModuleResolutionKind.Bundler,
      allowImportingTsExtensions: true,
      types: ["node"],
      lib: ["lib.es2023.d.ts"],
      paths: { "hands-together": [join(ROOT, "src/index.ts")], "hands-together/*": [join(ROOT, "src/*/index.ts")] },
    };
    const host = ts.createCompilerHost(options);
    const { getSourceFile, fileExists, readFile } = host;
    host.fileExists = (name) => files.has(name) || fileExists(name);
    host.readFile = (name) => files.get(name) ?? readFile(name);
    host.getSourceFile = (name, version, ...rest) => {
      const code = files.get(name);
      return code === undefined ? getSourceFile(name, version, ...rest) : ts.createSourceFile(name, code, version);
    };
    const program = ts.createProgram([...files.keys()], options, host);
    const faults = ts
      .getPreEmitDiagnostics(program)
      .filter((d) => d.file !== undefined && files.has(d.file.fileName))
      .map((d) => {
        const index = [...files.keys()].indexOf(d.file?.fileName ?? "");
        return `${snippets[index]?.place}: ${ts.flattenDiagnosticMessageText(d.messageText, " ")}`;
      });
    expect(faults).toEqual([]);
  });
});
