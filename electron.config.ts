import { svelte } from '@sveltejs/vite-plugin-svelte';
import { defineConfig } from 'electron-vite';

/** The builds: window and serve (the two hosts), worker beside them, preload, page. The command line runs from source. */
export default defineConfig({
  main: {
    build: {
      outDir: 'out/main',
      rollupOptions: {
        input: { window: 'src-main/window.ts', serve: 'src-main/serve.ts', worker: 'src-main/worker.ts' },
        // the worker is found by its name beside the file that starts it
        output: { format: 'es', entryFileNames: '[name].js', chunkFileNames: '[name].js' },
      },
    },
  },
  preload: {
    build: {
      outDir: 'out/preload',
      rollupOptions: {
        input: { preload: 'src-main/preload.ts' },
        output: { format: 'cjs', entryFileNames: '[name].cjs' },
      },
    },
  },
  renderer: {
    root: 'src-renderer',
    plugins: [svelte({ configFile: false })],
    build: { outDir: 'out/renderer', minify: true, rollupOptions: { input: 'src-renderer/index.html' } },
  },
});
