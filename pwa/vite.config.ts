/** Build of the phone app. Everything is precached, so a cold start needs no network. */
import { svelte } from "@sveltejs/vite-plugin-svelte";
import { VitePWA } from "vite-plugin-pwa";
import { defineConfig } from "vitest/config";

const themeColour = "#1f4d4a";

export default defineConfig({
  base: "/",
  build: { target: "es2023", modulePreload: { polyfill: false } },
  plugins: [
    svelte(),
    VitePWA({
      // An update is offered, never forced: a form may be half filled in.
      registerType: "prompt",
      // Registered from code, so that the page needs no inline script.
      injectRegister: null,
      manifest: {
        id: "/",
        name: "Heelwright",
        short_name: "Heelwright",
        description: "The working record of a mobile foot-care technician.",
        start_url: "/",
        display: "standalone",
        orientation: "portrait",
        theme_color: themeColour,
        background_color: "#f7f4ee",
        icons: [
          { src: "icon.svg", sizes: "any", type: "image/svg+xml" },
          { src: "icon-192.png", sizes: "192x192", type: "image/png" },
          { src: "icon-512.png", sizes: "512x512", type: "image/png", purpose: "any" },
          { src: "icon-512.png", sizes: "512x512", type: "image/png", purpose: "maskable" },
        ],
      },
      workbox: {
        globPatterns: ["**/*.{js,css,html,svg,png,woff2,wasm,webmanifest}"],
        navigateFallback: "index.html",
        // A client's own page is not the app's: vite.sign.config.ts.
        navigateFallbackDenylist: [
          /^\/api\//,
          /^\/_allauth\//,
          /^\/static\//,
          /^\/admin\//,
          /^\/sign\.html$/,
        ],
        // The page that installs it is served by it as well: the way into a house may follow the first sign-in.
        clientsClaim: true,
        cleanupOutdatedCaches: true,
      },
    }),
  ],
  test: {
    environment: "node",
    maxWorkers: "100%",
    include: ["src/**/*.test.ts", "tests/**/*.test.ts"],
    setupFiles: ["tests/setup.ts"],
    testTimeout: 20_000,
    // How long a fresh RSA pair takes is chance.
    hookTimeout: 60_000,
  },
});
