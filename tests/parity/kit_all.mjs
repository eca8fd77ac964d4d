// Judges a file of the kit's cases by the built rules: `node kit_all.mjs BUNDLE CASES OUT`.
import { readFileSync, writeFileSync } from "node:fs";
import { resolve } from "node:path";
import { pathToFileURL } from "node:url";

const [bundle, cases, out] = process.argv.slice(2).map((part) => resolve(part));
const { judged } = await import(pathToFileURL(bundle).href);
const given = JSON.parse(readFileSync(cases, "utf-8"));
writeFileSync(out, JSON.stringify(given.map(judged)));
