// Builds the phone's screening as it is shipped: `node bundle.mjs PWA OUT_FOLDER` makes screening.mjs.
import { join, resolve } from "node:path";
import { pathToFileURL } from "node:url";

const [pwa, out] = process.argv.slice(2).map((part) => resolve(part));
const vite = await import(pathToFileURL(join(pwa, "node_modules/vite/dist/node/index.js")).href);
await vite.build({
  root: pwa,
  configFile: false,
  logLevel: "error",
  build: {
    outDir: out,
    target: "es2023",
    copyPublicDir: false,
    lib: { entry: "src/domain/screening/index.ts", formats: ["es"], fileName: () => "screening.mjs" },
  },
});
