import { readdirSync, readFileSync } from "node:fs";

import { describe, expect, it } from "vitest";

import { breaches, CONTRACT, importsOf } from "./folders";

const SRC = new URL("../src/", import.meta.url);

function sources(): string[] {
  return readdirSync(SRC, { recursive: true, encoding: "utf8" }).filter((file) =>
    /\.(ts|svelte)$/.test(file),
  );
}

describe("the folders of src/", () => {
  it("import only what the contract allows", () => {
    const found = sources().flatMap((file) =>
      breaches(file, readFileSync(new URL(file, SRC), "utf8"), CONTRACT),
    );
    expect(found).toEqual([]);
  });

  it("are all there", () => {
    const folders = sources().map((file) => file.split("/")[0]);
    for (const placed of ["domain", "wire", "store", "words", "parts", "routes"]) {
      expect(folders).toContain(placed);
    }
  });
});

describe("the contract", () => {
  it.each([
    ["domain/dwell.ts", 'import { writable } from "svelte/store";'],
    ["domain/dwell.ts", 'import { Records } from "../store/records";'],
    ["domain/effects/people.ts", 'import { openHttp } from "../../wire/http";'],
    ["domain/dwell.ts", 'const late = () => import("../store/records");'],
    ["store/sync.ts", 'import Today from "../routes/today/Today.svelte";'],
    ["store/sync.ts", 'import "../parts/Button.svelte";'],
    ["store/sync.ts", 'export { t } from "../words";'],
    ["store/sync.ts", 'import { mount } from "svelte";'],
    ["wire/http.ts", 'import { Fault } from "../store/fault";'],
    ["wire/http.ts", 'import type { Fault } from "../store/fault";'],
    ["words/en.ts", 'import { store } from "../store";'],
    [
      "parts/Button.svelte",
      '<script lang="ts">\nimport Today from "../routes/today/Today.svelte";\n</script>',
    ],
    ["routes/today/Today.svelte", '<script>import { openHttp } from "../../wire/http";</script>'],
    ["store/sync.ts", 'import { describe } from "vitest";'],
    ["domain/ids.ts", 'import { readFileSync } from "node:fs";'],
    ["helpers/any.ts", "export const nothing = 0;"],
    ["domain/dwell.ts", 'import { any } from "../helpers/any";'],
  ])("finds the breach in %s: %s", (file, text) => {
    expect(breaches(file, text, CONTRACT)).toHaveLength(1);
  });

  it.each([
    ["domain/effects/people.ts", 'import type { Id } from "../../wire/types";'],
    ["domain/standing.ts", 'import { type Id, type Day } from "../wire/types";'],
    ["store/sync.ts", 'import { openHttp } from "../wire/http";'],
    ["domain/dwell.test.ts", 'import fc from "fast-check"; import { it } from "vitest";'],
  ])("leaves %s alone: %s", (file, text) => {
    expect(breaches(file, text, CONTRACT)).toEqual([]);
  });

  it("reads every script of a Svelte file", () => {
    const text = '<script module>import "./a";</script>\n<script lang="ts">import "./b";</script>';
    expect(importsOf("X.svelte", text).map(({ from }) => from)).toEqual(["./a", "./b"]);
  });
});
