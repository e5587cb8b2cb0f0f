import { readFileSync } from 'node:fs';
import { expect, test } from 'vitest';
import { APP_VERSION } from '../src-main/version.ts';

interface Package {
  readonly version: string;
  readonly dependencies: Record<string, string>;
  readonly devDependencies: Record<string, string>;
}
const pack = JSON.parse(readFileSync(new URL('../package.json', import.meta.url), 'utf8')) as Package;

test('the program says the version of its package', () => {
  expect(APP_VERSION).toBe(pack.version);
});

test('every package is pinned to one version', () => {
  for (const [name, version] of Object.entries({ ...pack.dependencies, ...pack.devDependencies }))
    expect(version, name).toMatch(/^\d+\.\d+\.\d+$/);
});
