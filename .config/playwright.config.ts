import { defineConfig } from '@playwright/test';

export default defineConfig({
  testDir: '../test/window',
  outputDir: '../test-results',
  testMatch: '**/*.spec.ts',
  timeout: 90_000,
  // patient enough for a busy machine, and far from the time of a whole test
  expect: { timeout: 15_000 },
  use: { actionTimeout: 20_000 },
  // a busy machine may lose a key that is pressed while a screen still comes; what passed only then is told (test/run.mjs)
  retries: 1,
  workers: 1,
  forbidOnly: true,
  projects: [{ name: 'browser' }, { name: 'electron', grep: /@electron/ }],
});
