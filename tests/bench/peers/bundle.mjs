/** Bundles each peer's page: `node bundle.mjs OUT`. Vite is the phone app's own, and so is our store. */
import { dirname, join, resolve } from "node:path";
import { fileURLToPath, pathToFileURL } from "node:url";

const here = dirname(fileURLToPath(import.meta.url));
const out = resolve(process.argv[2]);
const pwa = join(here, "../../../pwa");
const vite = await import(pathToFileURL(join(pwa, "node_modules/vite/dist/node/index.js")).href);

for (const side of ["bare", "ours", "real", "rxdb", "pouch"]) {
  await vite.build({
    root: here,
    configFile: false,
    logLevel: "error",
    define: { "process.env.NODE_ENV": '"production"' },
    build: {
      outDir: out,
      emptyOutDir: false,
      target: "es2023",
      copyPublicDir: false,
      chunkSizeWarningLimit: 5000,
      lib: { entry: `pages/${side}.js`, formats: ["es"], fileName: () => `${side}.js` },
      rollupOptions: { output: { codeSplitting: false } },
    },
  });
}
