import { fileURLToPath } from 'node:url';
import { svelte } from '@sveltejs/vite-plugin-svelte';
import { defineConfig } from 'vitest/config';

const root = fileURLToPath(new URL('..', import.meta.url));
const patience = { testTimeout: 60_000, hookTimeout: 60_000 };

/** Two kinds of tests: everything in Node as it is, and the page's state, whose runes must be compiled for the browser. */
export default defineConfig({
  test: {
    root,
    maxWorkers: 2,
    projects: [
      {
        test: {
          ...patience,
          name: 'node',
          root,
          include: ['test/**/*.test.ts'],
          exclude: ['test/window/**', 'test/renderer/**', 'node_modules/**', 'out/**'],
        },
      },
      {
        plugins: [svelte({ configFile: false })],
        resolve: { conditions: ['browser'] },
        test: { ...patience, name: 'page', root, include: ['test/renderer/**/*.test.ts'] },
      },
    ],
  },
});
