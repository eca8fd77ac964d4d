// Judges a file of cases by the built screening: `node judge_all.mjs BUNDLE CASES OUT`.
// The cases are {book, cases: [[answers, findings, age], ...]}; OUT gets the list of judgements.
import { readFileSync, writeFileSync } from "node:fs";
import { resolve } from "node:path";
import { pathToFileURL } from "node:url";

const [bundle, cases, out] = process.argv.slice(2).map((part) => resolve(part));
const { judge } = await import(pathToFileURL(bundle).href);
const { book, cases: given } = JSON.parse(readFileSync(cases, "utf-8"));
const judged = given.map(([answers, findings, age]) =>
  judge(book, answers, findings, age),
);
writeFileSync(out, JSON.stringify(judged));
