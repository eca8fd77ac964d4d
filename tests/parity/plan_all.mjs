// Orders days by the phone's built code: `node plan_all.mjs BUNDLE DAYS OUT`.
import { readFileSync, writeFileSync } from "node:fs";
import { resolve } from "node:path";
import { pathToFileURL } from "node:url";

const [bundle, days, out] = process.argv.slice(2).map((part) => resolve(part));
const { best } = await import(pathToFileURL(bundle).href);
const given = JSON.parse(readFileSync(days, "utf-8"));
writeFileSync(out, JSON.stringify(given.map((day) => best(day))));
