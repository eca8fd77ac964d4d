/** The catalogue and the screens agree: no word is missing, none is left over. Check: our own rule. */
import { readdirSync, readFileSync } from "node:fs";

import { describe, expect, it } from "vitest";

import { en } from "./en";
import { fill } from "./fill";
import { t } from "./index";
import { REASON_GROUPS } from "./named";

const SOURCES = new URL("..", import.meta.url);
const keys = Object.keys(en);

function sources(folder: URL): string[] {
  return readdirSync(folder, { recursive: true, encoding: "utf8" })
    .filter((name) => /\.(svelte|ts)$/.test(name) && !/\.test\.ts$|en\.ts$/.test(name))
    .map((name) => readFileSync(new URL(name, folder), "utf8"));
}

const text = sources(SOURCES).join("\n");
const written = [...text.matchAll(/\bt\(\s*"([^"]+)"/g)].map((found) => found[1] ?? "");
/** `outcome.${…}` uses every key of the group; so does named("region", …). */
const groups = [
  ...[...text.matchAll(/\bt\(\s*`([^`$]+)\$\{/g)].map((found) => found[1] ?? ""),
  ...[...text.matchAll(/\bnamed\(\s*"([^"]+)"/g)].map((found) => `${found[1] ?? ""}.`),
  "breach.",
  "reason.",
];

describe("the English catalogue", () => {
  it("has every word that a screen asks for", () => {
    expect(written.length).toBeGreaterThan(300);
    expect(written.filter((key) => !keys.includes(key))).toEqual([]);
    expect(groups.filter((group) => !keys.some((key) => key.startsWith(group)))).toEqual([]);
  });

  it("has no word that no screen asks for", () => {
    const used = (key: string) =>
      text.includes(`"${key}"`) || groups.some((group) => key.startsWith(group));
    expect(keys.filter((key) => !used(key))).toEqual([]);
  });

  it("has one meaning for each reason that an entry is under review", () => {
    const named = keys.map((key) => [
      key.slice(0, key.lastIndexOf(".")),
      key.slice(key.lastIndexOf(".") + 1),
    ]);
    const ids = named
      .filter(([group]) => REASON_GROUPS.some((one) => one === group))
      .filter(([group, id]) => group !== "standing" || !(`outcome.${id ?? ""}` in en))
      .map(([, id]) => id);
    expect(ids.filter((id, index) => ids.indexOf(id) !== index)).toEqual([]);
  });

  it("counts in both forms wherever it counts", () => {
    for (const message of Object.values(en)) {
      if (typeof message === "string") expect(message).not.toContain("{count}");
      else expect(Object.keys(message)).toEqual(["one", "other"]);
    }
  });
});

describe("a message", () => {
  it("takes its values and its plural form", () => {
    expect(t("today.count", { count: 1 })).toBe("1 visit");
    expect(t("today.count", { count: 6 })).toBe("6 visits");
  });

  it("shows a value it was not given, and takes no pattern out of one it was", () => {
    expect(fill("{name}, {at}", { name: "{at} $&" })).toBe("{at} $&, {at}");
  });
});
