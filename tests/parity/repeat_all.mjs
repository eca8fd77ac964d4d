// Expands repeats by the phone's built code: `node repeat_all.mjs BUNDLE RULES OUT`.
import { readFileSync, writeFileSync } from "node:fs";
import { resolve } from "node:path";
import { pathToFileURL } from "node:url";

const [bundle, rules, out] = process.argv.slice(2).map((part) => resolve(part));
const { daysOf } = await import(pathToFileURL(bundle).href);
const given = JSON.parse(readFileSync(rules, "utf-8"));
writeFileSync(out, JSON.stringify(given.map(([rule, first]) => daysOf(rule, first))));
