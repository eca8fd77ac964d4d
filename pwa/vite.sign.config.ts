/**
 * Build of the page on which a client signs on their own phone. Apart from the app's: neither does the app keep it
 * for use without a network, nor does the page load anything that only the app needs.
 */
import { readFile, writeFile } from "node:fs/promises";
import { join } from "node:path";
import { promisify } from "node:util";
import { gzip } from "node:zlib";

import { svelte } from "@sveltejs/vite-plugin-svelte";
import { defineConfig, type Plugin } from "vite";

/** The server sends what it finds packed beside a file: a third of the bytes, on a line that may be bad. */
const packed: Plugin = {
  name: "packed",
  async writeBundle({ dir = "dist" }, bundle) {
    for (const name of Object.keys(bundle)) {
      const file = join(dir, name);
      await writeFile(`${file}.gz`, await promisify(gzip)(await readFile(file), { level: 9 }));
    }
  },
};

export default defineConfig({
  base: "/",
  build: {
    target: "es2023",
    modulePreload: { polyfill: false },
    // The app's build comes first, and empties the folder.
    emptyOutDir: false,
    copyPublicDir: false,
    assetsDir: "sign",
    rolldownOptions: { input: "sign.html" },
  },
  plugins: [svelte(), packed],
});
