import {
  appendFileSync,
  linkSync,
  mkdirSync,
  renameSync,
  rmSync,
  symlinkSync,
  utimesSync,
  writeFileSync,
} from 'node:fs';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { readStill } from '../../../src-main/api/watch/complete-file.ts';
import { FolderWatch, type StillFile } from '../../../src-main/api/watch/folder-watch.ts';
import { freshFolder } from '../running-api.ts';

function watched(refuse: (name: string) => string | null = () => null) {
  const folder = freshFolder();
  const taken: StillFile[] = [];
  const watch = new FolderWatch(folder, (file) => {
    taken.push(file);
    return Promise.resolve(refuse(file.name));
  });
  const look = async (times: number) => {
    for (let i = 0; i < times; i++) await watch.look();
  };
  const names = () => taken.map(({ name }) => name);
  const write = (name: string, text: string) => writeFileSync(join(folder, name), text);
  return { folder, taken, watch, look, names, write };
}

test('a file is handed over once, after it stood still for three looks', async () => {
  const { watch, look, names, write, taken } = watched();
  write('a.csv', '1,2');
  await look(2);
  expect(names()).toEqual([]);
  expect(watch.sight.waitingFor).toEqual(['a.csv']);
  await look(5);
  expect(names()).toEqual(['a.csv']);
  expect(new TextDecoder().decode(taken[0]!.bytes)).toBe('1,2');
  expect(watch.sight).toEqual({ waitingFor: [], refused: [], problem: null });
});

test('a half-written file is waited for as long as it grows', async () => {
  const { folder, look, names, write, taken } = watched();
  write('a.csv', '1');
  for (let i = 0; i < 6; i++) {
    await look(2);
    appendFileSync(join(folder, 'a.csv'), `,${i}`);
  }
  expect(names()).toEqual([]);
  await look(4);
  expect(new TextDecoder().decode(taken[0]!.bytes)).toBe('1,0,1,2,3,4,5');
});

test('an empty file is waited for; a file changed later is handed over again', async () => {
  const { look, names, write } = watched();
  write('a.csv', '');
  await look(6);
  expect(names()).toEqual([]);
  write('a.csv', '1');
  await look(4);
  write('a.csv', '1,2');
  await look(4);
  expect(names()).toEqual(['a.csv', 'a.csv']);
});

test('names of unfinished and hidden files and folders are passed over, until the writer gives the last name', async () => {
  const { folder, look, names, write, watch } = watched();
  for (const name of ['.hidden.csv', 'b.csv.part', 'c.tmp', '~d.csv', 'e.csv~']) write(name, '1');
  mkdirSync(join(folder, 'f.csv'));
  await look(4);
  expect(names()).toEqual([]);
  expect(watch.sight.waitingFor).toEqual([]);
  renameSync(join(folder, 'b.csv.part'), join(folder, 'b.csv'));
  await look(4);
  expect(names()).toEqual(['b.csv']);
});

test('a symbolic link is refused and never followed, also where it took the place of a file', async () => {
  const { folder, look, names, watch } = watched();
  const secret = join(freshFolder(), 'secret.csv');
  writeFileSync(secret, '1,2');
  symlinkSync(secret, join(folder, 'a.csv'));
  await look(4);
  expect(names()).toEqual([]);
  expect(watch.sight.refused).toEqual([{ file: 'a.csv', reason: 'a symbolic link, which is not followed' }]);
  await expect(readStill(join(folder, 'a.csv'), { size: 3, modifiedMs: 0 })).rejects.toThrow(/ELOOP/);
});

test('a hard link is a file like any other', async () => {
  const { folder, look, names } = watched();
  const other = join(freshFolder(), 'x.csv');
  writeFileSync(other, '1');
  linkSync(other, join(folder, 'a.csv'));
  await look(4);
  expect(names()).toEqual(['a.csv']);
});

test('a file that changes between look and reading is not given', async () => {
  const { folder, write } = watched();
  write('a.csv', '1,2');
  const path = join(folder, 'a.csv');
  utimesSync(path, 1000, 1000);
  expect(await readStill(path, { size: 3, modifiedMs: 1_000_000 })).not.toBeNull();
  expect(await readStill(path, { size: 2, modifiedMs: 1_000_000 })).toBeNull();
  expect(await readStill(path, { size: 3, modifiedMs: 999_000 })).toBeNull();
});

test('what is refused is listed with its reason, asked for no more, and asked again once it changed', async () => {
  const { look, names, write, watch } = watched((name) => (name === 'bad.csv' ? 'no spectrum' : null));
  write('bad.csv', 'x');
  write('good.csv', '1');
  await look(6);
  expect(names()).toEqual(['bad.csv', 'good.csv']);
  expect(watch.sight.refused).toEqual([{ file: 'bad.csv', reason: 'no spectrum' }]);
  write('bad.csv', 'xyz');
  await look(4);
  expect(names()).toEqual(['bad.csv', 'good.csv', 'bad.csv']);
});

test('a recording comes with its samples, once both stand still, and samples alone are nothing', async () => {
  const { folder, look, taken, write, watch } = watched();
  write('a.sigmf-data', '12345678');
  await look(4);
  expect(taken).toEqual([]);
  expect(watch.sight.waitingFor).toEqual([]);
  write('a.sigmf-meta', '{}');
  await look(2);
  appendFileSync(join(folder, 'a.sigmf-data'), '9');
  await look(2);
  expect(taken).toEqual([]);
  await look(4);
  expect(taken.map(({ name, companions }) => [name, [...companions.keys()]])).toEqual([
    ['a.sigmf-meta', ['a.sigmf-data']],
  ]);
});

test('a folder that goes away is said, and looked at again when it is back', async () => {
  const { folder, look, names, watch } = watched();
  rmSync(folder, { recursive: true });
  await look(1);
  expect(watch.sight.problem).toMatch(/cannot be looked at: ENOENT/);
  mkdirSync(folder);
  writeFileSync(join(folder, 'a.csv'), '1');
  await look(4);
  expect(names()).toEqual(['a.csv']);
  expect(watch.sight.problem).toBeNull();
});
