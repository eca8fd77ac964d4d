import { readFileSync } from "node:fs";

import openapiTS, { astToString, COMMENT_HEADER } from "openapi-typescript";
import { expect, it } from "vitest";

import { COMMAND_NAMES } from "../../src/domain/effects";

interface Schema {
  components: { schemas: Record<string, { properties: Record<string, unknown> }> };
}

const WIRE = new URL("../../src/wire/", import.meta.url);
const source = readFileSync(new URL("openapi.json", WIRE), "utf8");
const exported = JSON.parse(source) as Schema;

it("types are as the exported schema generates them: else run npm run wire", async () => {
  const generated = astToString(await openapiTS(source));
  const kept = readFileSync(new URL("schema.ts", WIRE), "utf8");
  expect(kept).toBe(COMMENT_HEADER + generated);
});

it("every command of the server has its local effect, and no other has", () => {
  const commands = Object.keys(exported.components.schemas["Commands"]?.properties ?? {});
  expect([...COMMAND_NAMES].sort()).toEqual(commands.sort());
});
