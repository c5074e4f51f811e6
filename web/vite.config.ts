import { defineConfig } from "vite";

export default defineConfig({
  base: "./",
  build: {
    outDir: "../src/refledge/interfaces/web/page",
    emptyOutDir: true,
    target: "es2022",
    assetsInlineLimit: 0, // the content-security policy has no data: addresses
    modulePreload: { polyfill: false },
    chunkSizeWarningLimit: 800,
  },
});
