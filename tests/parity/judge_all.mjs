// Judges a file of cases by the phone's own sources: `node judge_all.mjs PWA CASES OUT`.
// The cases are {book, cases: [[answers, findings, age], ...]}; OUT gets the list of judgements.
import { readFileSync, writeFileSync } from "node:fs";
import { join, resolve } from "node:path";
import { pathToFileURL } from "node:url";

const [pwa, cases, out] = process.argv.slice(2).map((part) => resolve(part));
const vite = await import(pathToFileURL(join(pwa, "node_modules/vite/dist/node/index.js")).href);
const server = await vite.createServer({
  root: pwa,
  configFile: false,
  logLevel: "error",
  appType: "custom",
  optimizeDeps: { noDiscovery: true },
  server: { middlewareMode: true, hmr: false, ws: false, watch: null },
});
try {
  const { judge } = await server.ssrLoadModule("/src/domain/screening/index.ts");
  const { book, cases: given } = JSON.parse(readFileSync(cases, "utf-8"));
  const judged = given.map(([answers, findings, age]) => judge(book, answers, findings, age));
  writeFileSync(out, JSON.stringify(judged));
} finally {
  await server.close();
}
