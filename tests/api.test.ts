import { readdirSync, readFileSync, statSync } from "node:fs";
import { join, relative } from "node:path";
import { fileURLToPath } from "node:url";
import ts from "typescript";
import { describe, expect, it } from "vitest";
import * as inRoot from "../src/index.ts";
import * as api from "./all.ts";

const ROOT = fileURLToPath(new URL("..", import.meta.url));
const MOST_POSITIONAL = 4;
const MOST_IN_ROOT = 150;

const program = ts.createProgram([join(ROOT, "tests/all.ts"), join(ROOT, "src/index.ts")], {
  noEmit: true,
  strict: true,
  allowImportingTsExtensions: true,
  skipLibCheck: true,
  types: [],
  module: ts.ModuleKind.ESNext,
  moduleResolution: ts.ModuleResolutionKind.Bundler,
  target: ts.ScriptTarget.ES2022,
  lib: ["lib.es2023.d.ts"],
});
const checker = program.getTypeChecker();
const rootOf = (file: string): ts.Symbol =>
  checker.getSymbolAtLocation(program.getSourceFile(join(ROOT, file)) as ts.SourceFile) as ts.Symbol;
const symbols = checker
  .getExportsOfModule(rootOf("tests/all.ts"))
  .map((name) => (name.flags & ts.SymbolFlags.Alias ? checker.getAliasedSymbol(name) : name));
const declarations = symbols.flatMap((symbol) => symbol.declarations ?? []);
const functions = declarations.filter(ts.isFunctionDeclaration);
const interfaces = declarations.filter(ts.isInterfaceDeclaration);

const placeOf = (node: ts.Node): string => {
  const file = node.getSourceFile();
  return `${relative(ROOT, file.fileName)}:${file.getLineAndCharacterOfPosition(node.getStart()).line + 1}`;
};
const within = (node: ts.Node): readonly ts.Node[] => {
  const inner: ts.Node[] = [];
  const visit = (child: ts.Node): void => {
    inner.push(child);
    child.forEachChild(visit);
  };
  visit(node);
  return inner;
};
const tagsOf = (node: ts.Node, name: string): readonly string[] =>
  ts
    .getJSDocTags(node)
    .filter((tag) => tag.tagName.text === name)
    .map((tag) => ts.getTextOfJSDocComment(tag.comment) ?? "");
const isOptional = (parameter: ts.ParameterDeclaration): boolean =>
  parameter.questionToken !== undefined || parameter.initializer !== undefined;
const insideReadonly = (node: ts.Node): boolean => {
  for (let up = node.parent; up !== undefined && !ts.isInterfaceDeclaration(up); up = up.parent) {
    if (ts.isTypeReferenceNode(up) && up.typeName.getText() === "Readonly") return true;
  }
  return false;
};
const kebab = (name: string): string => name.replace(/(?<=[a-z])(?=[A-Z])/g, "-").toLowerCase();

describe("public names", () => {
  it("law: the root holds what an app or a script needs, each a name of a subpath; the rest stays on the subpaths", () => {
    expect(Object.keys(inRoot).filter((name) => !(name in api))).toEqual([]);
    expect(checker.getExportsOfModule(rootOf("src/index.ts")).length).toBeLessThanOrEqual(MOST_IN_ROOT);
  });

  it("law: everything public is readonly, down to the arrays inside", () => {
    // The types that a function states, without its body.
    const stated = [
      ...interfaces,
      ...declarations.filter(ts.isTypeAliasDeclaration),
      ...functions.flatMap((f) => [
        ...f.parameters.flatMap((p) => p.type ?? []),
        ...(f.type === undefined ? [] : [f.type]),
      ]),
    ];
    const faults = stated.flatMap(within).filter((node) => {
      if (ts.isPropertySignature(node))
        return !node.modifiers?.some((modifier) => modifier.kind === ts.SyntaxKind.ReadonlyKeyword);
      if (ts.isArrayTypeNode(node) || ts.isTupleTypeNode(node))
        return !(ts.isTypeOperatorNode(node.parent) && node.parent.operator === ts.SyntaxKind.ReadonlyKeyword);
      if (ts.isTypeReferenceNode(node)) {
        const name = node.typeName.getText();
        return ["Array", "Map", "Set"].includes(name) || (name === "Record" && !insideReadonly(node));
      }
      return false;
    });
    expect(faults.map((node) => `${placeOf(node)} ${node.getText()}`)).toEqual([]);
  });

  it("law: options are one trailing object, the only thing that may be left out, and few things stand before it", () => {
    const faults = functions.flatMap((f) =>
      f.parameters.flatMap((parameter, i) => {
        const options = /\w*Options\b/.test(parameter.type?.getText() ?? "");
        const last = i === f.parameters.length - 1;
        return [
          ...(options && !last ? ["stands before others"] : []),
          ...(!options && isOptional(parameter) ? ["may be left out, and is no field of options"] : []),
          ...(i >= MOST_POSITIONAL ? ["is one too many"] : []),
        ].map((fault) => `${placeOf(parameter)} ${f.name?.text} ${parameter.getText()}: ${fault}`);
      }),
    );
    expect(faults).toEqual([]);
  });

  it("law: every field of options that may be left out says what it is then", () => {
    const faults = interfaces
      .filter((i) => i.name.text.endsWith("Options"))
      .flatMap((i) =>
        i.members.filter((member) => member.questionToken !== undefined && tagsOf(member, "defaultValue").length === 0),
      );
    expect(faults.map((member) => `${placeOf(member)} ${member.name?.getText()}`)).toEqual([]);
  });

  // The members of a closed union, such as the pieces of a voice, leave out the family's name; a stored value has the kind of the value.
  it("law: a domain value's kind is its type's name", () => {
    const unions = new Set(
      declarations
        .filter(ts.isTypeAliasDeclaration)
        .flatMap(({ type }) => (ts.isUnionTypeNode(type) ? type.types.map((part) => part.getText()) : [])),
    );
    const named = (name: string, kind: string): boolean =>
      kind === kebab(name.replace(/Json$/, "")) || (unions.has(name) && kebab(name).endsWith(`-${kind}`));
    const kinds = interfaces.flatMap((i) =>
      i.members
        .filter(ts.isPropertySignature)
        .filter(
          (member) =>
            member.name.getText() === "kind" && member.type !== undefined && ts.isLiteralTypeNode(member.type),
        )
        .map((member) => ({ name: i.name.text, kind: (member.type?.getText() ?? "").replaceAll('"', "") })),
    );
    expect(kinds.length).toBeGreaterThan(20);
    expect(kinds.filter(({ name, kind }) => !named(name, kind))).toEqual([]);
  });

  const catalogues = Object.entries(api).filter(([name]) =>
    name.endsWith("Catalogue"),
  ) as unknown as readonly (readonly [string, readonly Readonly<Record<string, unknown>>[]])[];

  it.each(catalogues)("law: the rows of %s have an id of their own, a title and a source", (_name, rows) => {
    expect(rows.length).toBeGreaterThan(0);
    expect(new Set(rows.map(({ id }) => id)).size).toBe(rows.length);
    expect(rows.filter(({ id, title, source }) => id === undefined || !title || !source)).toEqual([]);
  });

  it("law: a row is named after its catalogue, and so is the type of its ids", () => {
    const names = new Set(symbols.map((symbol) => symbol.name));
    const stems = catalogues.map(([name]) =>
      name.replace(/Catalogue$/, "").replace(/^./, (letter) => letter.toUpperCase()),
    );
    expect(stems.filter((stem) => !names.has(`${stem}Row`))).toEqual([]);
    expect(
      [...names]
        .filter((name) => /^[A-Z]\w*Row$/.test(name))
        .map((name) => name.slice(0, -3))
        .sort(),
    ).toEqual([...stems].sort());
  });

  it("law: every error code is an area and what is wrong, and is documented", () => {
    const files = (folder: string): string[] =>
      readdirSync(join(ROOT, folder)).flatMap((name) => {
        const path = `${folder}/${name}`;
        return statSync(join(ROOT, path)).isDirectory() ? files(path) : [path];
      });
    const texts = files("src").map((path) => ({ path, text: readFileSync(join(ROOT, path), "utf8") }));
    const documented = new Set(
      texts.flatMap(({ text }) => [...text.matchAll(/`([a-z-]+\/[a-z-]+)`/g)].map((match) => match[1])),
    );
    const thrown = texts.flatMap(({ path, text }) =>
      [...text.matchAll(/new MusicError\(\{\s*code: "([^"]+)"/g)].map((match) => ({ path, code: match[1] as string })),
    );
    expect(thrown.length).toBeGreaterThan(90);
    expect(thrown.filter(({ code }) => !/^[a-z]+(-[a-z]+)*\/[a-z]+(-[a-z]+)*$/.test(code))).toEqual([]);
    // The command line has no reference; its help and its guides are tested by themselves. What all areas say of an argument is said once.
    const said = (code: string): boolean => documented.has(code) || code.endsWith("/argument");
    expect(thrown.filter(({ path, code }) => !said(code) && !path.startsWith("src/cli/"))).toEqual([]);
  });
});
