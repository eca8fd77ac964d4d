// Builds the phones and their scheduler: `node bundle.mjs PWA OUT_FOLDER [BUG]` makes main.js.
import { dirname, join, resolve } from "node:path";
import { fileURLToPath, pathToFileURL } from "node:url";

const [pwa, out] = process.argv.slice(2, 4).map((part) => resolve(part));
const bug = process.argv[4] ?? "";
const here = dirname(fileURLToPath(import.meta.url));
const vite = await import(
  pathToFileURL(join(pwa, "node_modules/vite/dist/node/index.js")).href
);

// Planted bugs of the phone: a file, what stands in it, and what the bug makes of that.
const bugs = {
  no_replay: ["store/parts.ts", "[...applied, ...waiting]", "[]"],
};

/** Changes the source on its way into the bundle; fails where the place is not there any more. */
function planted([file, right, wrong]) {
  let found = false;
  return {
    name: "planted",
    enforce: "pre",
    transform(code, id) {
      if (!id.endsWith(file) || !code.includes(right)) return null;
      found = true;
      return code.replace(right, wrong);
    },
    buildEnd(error) {
      if (!error && !found)
        throw new Error(`nowhere to plant the bug: ${right}`);
    },
  };
}

await vite.build({
  root: pwa,
  configFile: false,
  logLevel: "error",
  plugins: bug in bugs ? [planted(bugs[bug])] : [],
  ssr: { noExternal: true },
  resolve: {
    alias: {
      "fake-indexeddb/auto": join(
        pwa,
        "node_modules/fake-indexeddb/auto/index.mjs",
      ),
      "svelte/store": join(
        pwa,
        "node_modules/svelte/src/store/index-server.js",
      ),
    },
  },
  build: {
    ssr: join(here, "phones/main.ts"),
    outDir: out,
    emptyOutDir: false,
    target: "es2023",
    minify: false,
    sourcemap: true,
    copyPublicDir: false,
    rollupOptions: { output: { entryFileNames: "main.mjs" } },
  },
});
