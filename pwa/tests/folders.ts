/**
 * Which folder of src/ may import which, and which packages. Every folder stands here: one that nobody
 * has placed is a breach. A type-only import binds nothing at run time and is listed apart.
 */
import ts from "typescript";

interface Place {
  /** Folders it may import from, besides itself. */
  folders: readonly string[];
  /** Folders it may import types from. */
  types?: readonly string[];
  packages?: readonly string[];
}

export type Contract = Readonly<Record<string, Place>>;

export const CONTRACT: Contract = {
  "domain/screening": { folders: ["domain"], types: ["wire"], packages: ["@marcbachmann/cel-js"] },
  domain: { folders: ["domain/screening"], types: ["wire"] },
  wire: { folders: [] },
  store: { folders: ["domain", "wire"], packages: ["idb", "svelte/store"] },
  words: { folders: ["domain"], types: ["domain/screening", "store", "wire"] },
  parts: {
    folders: ["words", "domain", "domain/screening", "store"],
    types: ["wire"],
    packages: ["svelte", "signature_pad", "virtual:pwa-register/svelte", "zxing-wasm"],
  },
  routes: {
    folders: ["parts", "words", "domain", "domain/screening", "store", "."],
    types: ["wire"],
    packages: ["svelte", "qr"],
  },
  // The page for a client's own phone: of the store it takes the sealing alone, see sign/weight.test.ts.
  sign: {
    folders: ["parts", "words", "domain", "wire", "store", "."],
    packages: ["svelte", "idb"],
  },
  // The app itself, which puts everything together, and the router.
  ".": { folders: ["routes", "parts", "words", "store"], packages: ["svelte"] },
};

/** Tests beside the code, and what reads their vector files, may use these besides what the code may. */
const FOR_TESTS = /(\.test|\/vectors)\.ts$/;
const TEST_PACKAGES = ["vitest", "fast-check", "node:fs", "node:url"];

export interface Import {
  from: string;
  typeOnly: boolean;
}

/** The imports of a TypeScript or Svelte file, static and dynamic. */
export function importsOf(file: string, text: string): Import[] {
  const scripts = file.endsWith(".svelte")
    ? [...text.matchAll(/<script[^>]*>([\s\S]*?)<\/script>/g)].map((match) => match[1] ?? "")
    : [text];
  return scripts.flatMap((script) => {
    const source = ts.createSourceFile(file, script, ts.ScriptTarget.Latest);
    const found: Import[] = [];
    collect(source, found);
    return found;
  });
}

function collect(node: ts.Node, found: Import[]): void {
  if (ts.isImportDeclaration(node) && ts.isStringLiteral(node.moduleSpecifier)) {
    found.push({ from: node.moduleSpecifier.text, typeOnly: bringsTypesOnly(node.importClause) });
  } else if (ts.isExportDeclaration(node) && node.moduleSpecifier !== undefined) {
    const from = (node.moduleSpecifier as ts.StringLiteral).text;
    found.push({ from, typeOnly: node.isTypeOnly });
  } else if (ts.isCallExpression(node) && node.expression.kind === ts.SyntaxKind.ImportKeyword) {
    const [target] = node.arguments;
    if (target !== undefined && ts.isStringLiteral(target)) {
      found.push({ from: target.text, typeOnly: false });
    }
  }
  ts.forEachChild(node, (child) => {
    collect(child, found);
  });
}

function bringsTypesOnly(clause: ts.ImportClause | undefined): boolean {
  if (clause === undefined) return false;
  if (clause.phaseModifier === ts.SyntaxKind.TypeKeyword) return true;
  const { name, namedBindings } = clause;
  if (name !== undefined || namedBindings === undefined) return false;
  return ts.isNamedImports(namedBindings) && namedBindings.elements.every((one) => one.isTypeOnly);
}

/** The folder of the contract that a path under src/ belongs to; the longest that fits. */
export function folderOf(path: string, contract: Contract): string {
  const fits = Object.keys(contract).filter((name) => `${path}/`.startsWith(`${name}/`));
  const longest = fits.sort((one, other) => other.length - one.length)[0];
  const unplaced = path.includes("/") ? path.slice(0, path.indexOf("/")) : ".";
  return longest ?? unplaced;
}

/** Every import that the contract does not allow, in words. `file` is relative to src/. */
export function breaches(file: string, text: string, contract: Contract): string[] {
  const folder = folderOf(file, contract);
  const place = contract[folder];
  if (place === undefined) return [`${file}: the folder ${folder} has no place in the contract`];
  return importsOf(file, text)
    .filter(({ from, typeOnly }) =>
      from.startsWith(".")
        ? !mayReach(folder, folderOf(resolve(file, from), contract), typeOnly, place)
        : !mayUse(file, from, typeOnly, place),
    )
    .map(({ from }) => `${file}: ${folder} may not import ${from}`);
}

function mayReach(folder: string, target: string, typeOnly: boolean, place: Place): boolean {
  if (target === folder || place.folders.includes(target)) return true;
  return typeOnly && (place.types ?? []).includes(target);
}

function mayUse(file: string, name: string, typeOnly: boolean, place: Place): boolean {
  const allowed = [...(place.packages ?? []), ...(FOR_TESTS.test(file) ? TEST_PACKAGES : [])];
  return typeOnly || allowed.some((one) => name === one || name.startsWith(`${one}/`));
}

function resolve(file: string, from: string): string {
  return new URL(from, `file:///${file}`).pathname.slice(1);
}
