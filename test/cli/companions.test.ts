import { expect, test } from 'vitest';
import { join } from 'node:path';
import { companionsOf } from '../../src-main/cli/companions.ts';
import { folderWith, run } from './in-process.ts';

test('files beside a capture with its stem come along, named as the user would name them', () => {
  const folder = folderWith({
    'runs/Tone.TXT': '1',
    'runs/tone.x': 'axis',
    'runs/tone.hdr': 'head',
    'runs/tones.x': 'no',
    'runs/tone/y': 'no',
  });
  const companions = companionsOf('runs/Tone.TXT', folder);
  expect([...companions.keys()].sort()).toEqual(['runs/Tone.hdr', 'runs/Tone.x']);
  expect(new TextDecoder().decode(companions.get('runs/Tone.x') as Uint8Array)).toBe('axis');
});

test('a neighbour too large to be an axis or a header is left where it is', () => {
  const folder = folderWith({ 'a.csv': '1', 'a.raw': new Uint8Array(9 * 1024 * 1024), 'a.x': '2' });
  expect([...companionsOf(join(folder, 'a.csv'), '/').keys()]).toEqual([join(folder, 'a.x')]);
});

test('a capture in a folder that is not there has no companions', () => {
  expect(companionsOf('nowhere/a.csv', folderWith()).size).toBe(0);
});

test('levels alone take their frequencies from the axis file beside them', async () => {
  const axis = Array.from({ length: 64 }, (_, i) => String(i * 8)).join('\n');
  const levels = Array.from({ length: 64 }, (_, i) => String(1e-6 * (1 + (i % 3)))).join('\n');
  const folder = folderWith({ 'sub/tone.txt': levels, 'sub/tone.x': axis });
  const { status, out, err } = await run(folder, 'read', 'sub/tone.txt', '--json');
  expect(status, err).toBe(0);
  expect(JSON.parse(out)).toMatchObject({ captures: [{ traces: [{ points: 64, start_hz: 0, stop_hz: 504 }] }] });
});
