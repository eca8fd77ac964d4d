/** What the page for a client's own phone loads. Check: our own rule; a bad line carries it. */
import { existsSync, readFileSync } from "node:fs";

import { expect, it } from "vitest";

import { importsOf } from "../folders";

const SRC = new URL("../../src/", import.meta.url);
const ENDINGS = ["", ".ts", ".svelte.ts", "/index.ts"];

/** Every file of src/ that is there at run time. */
function reached(first: string): Set<string> {
  const found = new Set<string>();
  const waiting = [new URL(first, SRC)];
  for (let file = waiting.pop(); file !== undefined; file = waiting.pop()) {
    const name = file.href.slice(SRC.href.length);
    if (found.has(name)) continue;
    found.add(name);
    if (!/\.(ts|svelte)$/.test(name)) continue;
    for (const { from, typeOnly } of importsOf(name, readFileSync(file, "utf8"))) {
      if (typeOnly || !from.startsWith(".")) continue;
      const bare = new URL(from, file);
      const ending = ENDINGS.find(
        (each) => /\.\w+$/.test(bare.pathname + each) && existsSync(new URL(bare.href + each)),
      );
      waiting.push(new URL(bare.href + (ending ?? "")));
    }
  }
  return found;
}

it("has neither the app's catalogue nor its store, but for the sealing", () => {
  const files = [...reached("sign/main.ts")];
  expect(files).toContain("parts/signing/TextPage.svelte");
  expect(files).not.toContain("words/en.ts");
  expect(files.filter((file) => file.startsWith("routes/"))).toEqual([]);
  const store = files.filter((file) => file.startsWith("store/"));
  expect(store.sort()).toEqual(["store/fault.ts", "store/seal.ts"]);
});

it("is found to have them where it does", () => {
  const files = reached("main.ts");
  expect(files).toContain("words/en.ts");
  expect(files).toContain("store/phone_store.ts");
});
