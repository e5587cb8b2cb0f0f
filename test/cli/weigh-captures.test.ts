import { expect, test } from 'vitest';
import { comb, smallCapture } from '../api/small-capture.ts';
import { expectShape, TRIAGE_SHAPE } from '../report/document-shape.ts';
import { folderWith, run } from './in-process.ts';

const SOURCES = 'designator,kind,nominal_hz,tolerance_ppm\nDC-A,converter,300000,30000\nDC-B,converter,440000,30000\n';
const A = comb(303_000, 25);
const B = comb(451_000, 25);
const STATION: [number, number] = [1_500_000, 22];
const RESIDUAL: [number, number] = [2_222_200, 20];

interface Line {
  frequency_hz: number;
  cause: string;
  cause_alone: string;
  why: string;
  evidence: { kind: string; outcome: string; file: string | null; change_db: number | null; limit: number | null }[];
}
interface Document {
  captures: {
    file: string;
    spurs: Line[];
    combs: { source: string | null }[];
    references: { file: string; as: string; why: string }[];
    decisions?: unknown[];
  }[];
  drifts: { source: string; ppm_per_k: number; offered_ppm_per_k: number | null }[];
}
const lineAt = (document: Document, file: string, hz: number) =>
  document.captures
    .find((capture) => capture.file === file)!
    .spurs.find((spur) => Math.abs(spur.frequency_hz - hz) < 500)!;

const FILES = {
  'item.csv': smallCapture({ seed: 1, lines: [...A, ...B, STATION, RESIDUAL] }),
  'off.csv': smallCapture({ seed: 2, lines: [STATION, RESIDUAL] }),
  'end.csv': smallCapture({ seed: 3, lines: [RESIDUAL] }),
  'a-off.csv': smallCapture({ seed: 4, lines: [...B, STATION, RESIDUAL] }),
  's.csv': SOURCES,
  'c.csv':
    'file,role,sources_off,terminated_at\nitem.csv,item,,\noff.csv,off,,\nend.csv,terminated,,analyser\na-off.csv,item,DC-A,\n',
};
const CALL = ['triage', 'item.csv', 'off.csv', 'end.csv', 'a-off.csv', '--sources', 's.csv', '--conditions', 'c.csv'];

test('captures of one call serve each other as references', async () => {
  const { status, out } = await run(folderWith(FILES), ...CALL, '--json');
  expect(status).toBe(0);
  const document = JSON.parse(out) as Document;
  expectShape(document, TRIAGE_SHAPE);
  expect(lineAt(document, 'item.csv', STATION[0])).toMatchObject({ cause: 'ambient', cause_alone: 'unexplained' });
  expect(lineAt(document, 'item.csv', RESIDUAL[0])).toMatchObject({ cause: 'instrument' });
  const tooth = lineAt(document, 'item.csv', 5 * 303e3);
  expect(tooth.cause).toBe('source');
  expect(tooth.why).toMatch(/comes and goes with DC-A/);
  expect(tooth.evidence.find(({ kind }) => kind === 'switch-off')).toMatchObject({
    outcome: 'absent',
    file: 'a-off.csv',
  });
  // each capture has its own view of the others
  expect(lineAt(document, 'off.csv', STATION[0]).cause).toBe('ambient');
  expect(lineAt(document, 'end.csv', RESIDUAL[0]).cause).toBe('instrument');
  expect(document.captures[0]!.references.map(({ file, as }) => [file, as])).toEqual([
    ['off.csv', 'sources-off'],
    ['end.csv', 'terminated'],
    ['a-off.csv', 'switch-off'],
  ]);
});

test('the order of the files changes nothing but the order of the answers', async () => {
  const folder = folderWith(FILES);
  const causes = async (...files: string[]) => {
    const { out } = await run(folder, 'triage', ...files, '--sources', 's.csv', '--conditions', 'c.csv', '--json');
    const { captures } = JSON.parse(out) as Document;
    return Object.fromEntries(captures.map(({ file, spurs }) => [file, spurs.map(({ cause }) => cause)]));
  };
  expect(await causes('a-off.csv', 'end.csv', 'off.csv', 'item.csv')).toEqual(
    await causes('item.csv', 'off.csv', 'end.csv', 'a-off.csv'),
  );
});

test('the table shows what was weighed', async () => {
  const { out } = await run(folderWith(FILES), ...CALL);
  expect(out).toMatch(/1\D?500\D?0\d\d.* ambient/);
});

test('captures kept in a register serve later calls', async () => {
  const folder = folderWith(FILES);
  const tables = ['--sources', 's.csv', '--conditions', 'c.csv', '--register', 'r.spurledger'];
  await run(folder, 'triage', 'off.csv', 'end.csv', ...tables);
  const { status, out } = await run(folder, 'triage', 'item.csv', ...tables, '--json');
  expect(status).toBe(0);
  const document = JSON.parse(out) as Document;
  expect(document.captures).toHaveLength(1);
  expect(lineAt(document, 'item.csv', STATION[0]).cause).toBe('ambient');
  expect(lineAt(document, 'item.csv', RESIDUAL[0]).cause).toBe('instrument');
  expect(document.captures[0]!.decisions).toEqual([]);
});

test('one capture alone is what its own triage says, and a refused reference is told and left out', async () => {
  const folder = folderWith({ ...FILES, 'off.csv': 'nothing of use\n' });
  const alone = JSON.parse((await run(folder, 'triage', 'item.csv', '--sources', 's.csv', '--json')).out) as Document;
  expect(alone.captures[0]!.spurs.every(({ cause, cause_alone }) => cause === cause_alone)).toBe(true);
  const { status, out } = await run(folder, ...CALL, '--json');
  expect(status).toBe(3);
  expect(lineAt(JSON.parse(out) as Document, 'item.csv', STATION[0]).cause).toBe('unexplained');
});

test('drift over temperature is told once for all captures', async () => {
  const at = (seed: number, k: number) => smallCapture({ seed, lines: comb(303_000 * (1 + 200e-6 * k), 25) });
  const folder = folderWith({
    '10.csv': at(5, -15),
    '25.csv': at(6, 0),
    '40.csv': at(7, 15),
    's.csv': SOURCES,
    'c.csv': 'file,temperature_c\n10.csv,10\n25.csv,25\n40.csv,40\n',
  });
  const words = ['triage', '10.csv', '25.csv', '40.csv', '--sources', 's.csv', '--conditions', 'c.csv'];
  const { drifts } = JSON.parse((await run(folder, ...words, '--json')).out) as Document;
  expect(drifts).toHaveLength(1);
  expect(drifts[0]!.source).toBe('DC-A');
  expect(Math.abs(drifts[0]!.ppm_per_k - 200)).toBeLessThan(15);
  expect((await run(folder, ...words)).out).toMatch(/DC-A moves by .* ppm\/K from 10 to 40 °C/);
});
