import { readdirSync, readFileSync } from 'node:fs';
import { dirname, join, relative } from 'node:path';
import { expect, test } from 'vitest';

const root = join(import.meta.dirname, '..');

/** Who may import whom: the first row whose folder a file lies in decides. A folder may always import itself. */
const LAYERS: readonly (readonly [string, readonly string[]])[] = [
  ['src-main/engine/numeric', []],
  ['src-main/engine/spectrum', ['src-main/model', 'src-main/units', 'src-main/engine/numeric']],
  ['src-main/engine/floor', ['src-main/model', 'src-main/units', 'src-main/engine/numeric']],
  ['src-main/engine/spurs', ['src-main/model', 'src-main/units', 'src-main/engine/numeric']],
  ['src-main/engine/attribution', ['src-main/model', 'src-main/units', 'src-main/engine/numeric']],
  ['src-main/engine/tracking', ['src-main/model', 'src-main/units', 'src-main/engine/numeric']],
  ['src-main/engine/evidence', ['src-main/model', 'src-main/units', 'src-main/engine/numeric']],
  ['src-main/engine/below', ['src-main/model', 'src-main/units', 'src-main/engine/numeric']],
  ['src-main/engine/mixing', ['src-main/model', 'src-main/units', 'src-main/engine/numeric']],
  ['src-main/engine/timing', ['src-main/model', 'src-main/units', 'src-main/engine/numeric']],
  ['src-main/engine/calibration', ['src-main/model', 'src-main/units', 'src-main/engine/numeric']],
  ['src-main/engine/verdict', ['src-main/model', 'src-main/units', 'src-main/engine/numeric']],
  ['src-main/engine/planning', ['src-main/model', 'src-main/units', 'src-main/engine/numeric']],
  ['src-main/engine', ['src-main/model', 'src-main/units', 'src-main/engine']],
  ['src-main/model', []],
  ['src-main/units', ['src-main/model']],
  ['src-main/readers', ['src-main/model', 'src-main/units']],
  ['src-main/report', ['src-main/model', 'src-main/units']],
  ['src-main/register', ['src-main/model', 'src-main/units']],
  [
    'src-main/api',
    ['src-main/model', 'src-main/units', 'src-main/readers', 'src-main/engine', 'src-main/report', 'src-main/register'],
  ],
  ['src-main/hosts', ['src-main/api', 'src-main/model']],
  [
    'src-main/cli',
    [
      'src-main/api',
      'src-main/model',
      'src-main/units',
      'src-main/readers',
      'src-main/engine',
      'src-main/report',
      'src-main/register',
    ],
  ],
  ...['window', 'serve', 'cli', 'preload', 'worker', 'version'].map(
    (entry) => [`src-main/${entry}.ts`, ['src-main']] as const,
  ),
  [
    'src-renderer',
    ['src-main/model', 'src-main/units', 'src-main/api/contract.ts', 'src-main/api/contract', 'src-main/api/wire.ts'],
  ],
];

/** Packages that only one place may import. */
const KEPT_PACKAGES: readonly (readonly [string, readonly string[]])[] = [
  ['better-sqlite3', ['src-main/register']],
  ['uplot', ['src-renderer/plots']],
  ['electron', ['src-main/hosts/electron', 'src-main/preload.ts']],
  ['ws', ['src-main/hosts/loopback']],
  ['pdfkit', ['src-main/api/packet']],
];

interface Import {
  readonly from: string;
  readonly to: string;
}

function importsOf(file: string, text: string): Import[] {
  const found = [
    ...text.matchAll(
      /(?:^|\n)\s*(?:import|export)\s[^;'"]*?from\s+'([^']+)'|import\('([^']+)'\)|(?:^|\n)import\s+'([^']+)'/g,
    ),
  ];
  return found.map((match) => {
    const name = (match[1] ?? match[2] ?? match[3])!;
    return { from: file, to: name.startsWith('.') ? relative(root, join(root, dirname(file), name)) : name };
  });
}

function allImports(): Import[] {
  return ['src-main', 'src-renderer'].flatMap((top) =>
    readdirSync(join(root, top), { recursive: true, encoding: 'utf8' })
      .filter((path) => /\.(ts|svelte)$/.test(path) && !path.endsWith('.d.ts'))
      .flatMap((path) => importsOf(join(top, path), readFileSync(join(root, top, path), 'utf8'))),
  );
}

const isIn = (path: string, place: string): boolean => path === place || path.startsWith(`${place}/`);

function offences(imports: readonly Import[]): string[] {
  return imports.flatMap(({ from, to }) => {
    if (!to.startsWith('src-')) {
      const kept = KEPT_PACKAGES.find(([name]) => to === name || to.startsWith(`${name}/`));
      return kept !== undefined && !kept[1].some((place) => isIn(from, place))
        ? [`${from} imports the package ${to}`]
        : [];
    }
    const layer = LAYERS.find(([folder]) => isIn(from, folder));
    if (layer === undefined) return [`${from} lies in no layer`];
    return isIn(to, layer[0]) || layer[1].some((place) => isIn(to, place))
      ? []
      : [`${from} imports ${to}; allowed: ${layer[1].join(', ')}`];
  });
}

function circles(imports: readonly Import[]): string[] {
  const next = new Map<string, string[]>();
  for (const { from, to } of imports) if (to.startsWith('src-')) next.set(from, [...(next.get(from) ?? []), to]);
  const state = new Map<string, 'open' | 'done'>();
  const found: string[] = [];
  const visit = (file: string, path: readonly string[]): void => {
    if (state.get(file) === 'done') return;
    if (state.get(file) === 'open') return void found.push([...path.slice(path.indexOf(file)), file].join(' → '));
    state.set(file, 'open');
    for (const to of next.get(file) ?? []) visit(to, [...path, file]);
    state.set(file, 'done');
  };
  for (const file of next.keys()) visit(file, []);
  return found;
}

/** Types may point both ways; what runs may not. */
const runs = (text: string): string => text.replace(/(^|\n)\s*(?:import|export) type [^;]*;/g, '$1');

test('every import follows the table of layers', () => {
  const imports = allImports();
  expect(imports.length).toBeGreaterThan(100);
  expect(offences(imports)).toEqual([]);
});

test('no file imports itself by a circle', () => {
  const imports = ['src-main', 'src-renderer'].flatMap((top) =>
    readdirSync(join(root, top), { recursive: true, encoding: 'utf8' })
      .filter((path) => /\.(ts|svelte)$/.test(path))
      .flatMap((path) => importsOf(join(top, path), runs(readFileSync(join(root, top, path), 'utf8')))),
  );
  expect(circles(imports)).toEqual([]);
});

test('an import is found however it is written', () => {
  const text = `import './a.css';
import type { A } from './a.ts';
import {
  b,
  type C,
} from '../b/b.ts';
export { d } from './d.ts';
const e = await import('./e.ts');
import f from 'uplot';`;
  expect(importsOf('src-renderer/plots/x.svelte', text).map(({ to }) => to)).toEqual([
    'src-renderer/plots/a.css',
    'src-renderer/plots/a.ts',
    'src-renderer/b/b.ts',
    'src-renderer/plots/d.ts',
    'src-renderer/plots/e.ts',
    'uplot',
  ]);
});

test('the table finds what it forbids', () => {
  const planted = [
    { from: 'src-main/engine/numeric/x.ts', to: 'src-main/model/trace.ts' },
    { from: 'src-main/engine/floor/x.ts', to: 'src-main/engine/spurs/find-spurs.ts' },
    { from: 'src-renderer/state/x.ts', to: 'src-main/api/create-api.ts' },
    { from: 'src-main/api/x.ts', to: 'better-sqlite3' },
    { from: 'src-main/window.ts', to: 'electron/main' },
    { from: 'src-main/new-folder/x.ts', to: 'src-main/model/trace.ts' },
  ];
  for (const one of planted) expect(offences([one]), one.from).toHaveLength(1);
  expect(offences([{ from: 'src-main/engine/floor/x.ts', to: 'src-main/model/trace.ts' }])).toEqual([]);
  expect(
    circles([
      { from: 'src-main/a.ts', to: 'src-main/b.ts' },
      { from: 'src-main/b.ts', to: 'src-main/a.ts' },
    ]),
  ).toHaveLength(1);
});
