import { afterEach, expect, test, vi } from 'vitest';
import { dataFolder, documentsFolder, userName } from '../../src-main/hosts/folders.ts';

afterEach(() => vi.unstubAllEnvs());

test('the environment names both folders where it wants to, and an empty name is none', () => {
  vi.stubEnv('SPURLEDGER_DATA', '/data/here');
  vi.stubEnv('SPURLEDGER_DOCUMENTS', '/documents/here');
  expect([dataFolder(), documentsFolder()]).toEqual(['/data/here', '/documents/here']);
  vi.stubEnv('SPURLEDGER_DATA', '');
  vi.stubEnv('SPURLEDGER_DOCUMENTS', '');
  expect(dataFolder()).toMatch(/spurledger$/i);
  expect(documentsFolder().length).toBeGreaterThan(0);
});

test.skipIf(process.platform !== 'linux')('on Linux the data folder follows the desktop’s base directories', () => {
  vi.stubEnv('SPURLEDGER_DATA', '');
  vi.stubEnv('XDG_DATA_HOME', '/home/someone/.data');
  expect(dataFolder()).toBe('/home/someone/.data/spurledger');
  vi.stubEnv('XDG_DATA_HOME', undefined);
  vi.stubEnv('HOME', '/home/someone');
  expect(dataFolder()).toBe('/home/someone/.local/share/spurledger');
});

test('the history has a name to write', () => {
  expect(userName()).not.toBe('');
});
