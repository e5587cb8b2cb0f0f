import { defineConfig } from '@playwright/test';

export default defineConfig({
  testDir: '../test/window',
  outputDir: '../test-results',
  testMatch: '**/*.spec.ts',
  timeout: 90_000,
  workers: 1,
  forbidOnly: true,
  projects: [{ name: 'browser' }, { name: 'electron' }],
});
