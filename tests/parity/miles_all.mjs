// Reckons a file of random years by the built rules: `node miles_all.mjs BUNDLE CASES OUT`.
import { readFileSync, writeFileSync } from "node:fs";
import { resolve } from "node:path";
import { pathToFileURL } from "node:url";

const [bundle, cases, out] = process.argv.slice(2).map((part) => resolve(part));
const { claimed } = await import(pathToFileURL(bundle).href);
const given = JSON.parse(readFileSync(cases, "utf-8"));
writeFileSync(
  out,
  JSON.stringify(given.cases.map((one) => claimed(given.rates, one))),
);
