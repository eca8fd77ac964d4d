// Builds a part of the phone as it is shipped: `node bundle.mjs PWA ENTRY OUT_FILE`.
import { basename, dirname, join, resolve } from "node:path";
import { pathToFileURL } from "node:url";

const [, , root, entry, file] = process.argv;
const [pwa, out] = [resolve(root), resolve(file)];
const vite = await import(
  pathToFileURL(join(pwa, "node_modules/vite/dist/node/index.js")).href
);
await vite.build({
  root: pwa,
  configFile: false,
  logLevel: "error",
  build: {
    outDir: dirname(out),
    target: "es2023",
    copyPublicDir: false,
    lib: { entry, formats: ["es"], fileName: () => basename(out) },
  },
});
