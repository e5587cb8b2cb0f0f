import { expect, test } from 'vitest';
import { folderWith, run } from './in-process.ts';

const BANDS = 'name,low_hz,high_hz,channel_hz\nlow,2000000,6000000,20000\n';
const SOURCES =
  'designator,kind,nominal_hz,tolerance_ppm,adjust_low_hz,adjust_high_hz,adjust_step_hz\n' +
  'A,converter,305000,0,250000,400000,5000\nB,converter,447000,0,,,\n';

const planned = async (sources: string, bands: string, ...more: string[]) => {
  const folder = folderWith({ 's.csv': sources, 'b.csv': bands });
  const { status, out, err } = await run(folder, 'plan', '--sources', 's.csv', '--bands', 'b.csv', ...more);
  return { status, err, out, document: out.startsWith('{') ? (JSON.parse(out) as Record<string, never>) : null };
};

test('plan writes its document with the default seed stated, and the same again', async () => {
  const [first, second] = [await planned(SOURCES, BANDS, '--json'), await planned(SOURCES, BANDS, '--json')];
  expect(first.status, first.err).toBe(0);
  expect(first.document).toMatchObject({ schema: 'spurledger.plan/1', seed: 1, bound_gap: 0, today: { changes: 0 } });
  expect(first.out).toBe(second.out);
  const seeded = await planned(SOURCES, BANDS, '--json', '--seed', '12');
  expect(seeded.document).toMatchObject({ seed: 12 });
});

test('the best plan is the best of all 31 settings, worked out here by counting', async () => {
  const { document } = await planned(SOURCES, BANDS, '--json');
  const channels = (f: number) =>
    Array.from({ length: 200 }, (_, i) => i).filter((i) =>
      Array.from({ length: 40 }, (_, n) => (n + 1) * f).some((hz) => hz >= 2e6 + i * 2e4 && hz <= 2e6 + (i + 1) * 2e4),
    );
  const lostWith = (f: number) => new Set([...channels(f), ...channels(447e3)]).size;
  const least = Math.min(...Array.from({ length: 31 }, (_, i) => lostWith(250e3 + i * 5e3)));
  const { today, plans } = document as unknown as {
    today: { lost_channels: number };
    plans: readonly { lost_channels: number; changes: number }[];
  };
  expect(today.lost_channels).toBe(lostWith(305e3));
  expect(Math.min(...plans.map((plan) => plan.lost_channels))).toBe(least);
});

test('for each source, setting and band the document says which channels, and how many of them are its alone', async () => {
  const { document } = await planned(SOURCES, BANDS, '--json');
  // channel i of 20 kHz from 2 MHz, ends included, counted from 1
  const touched = (f: number) =>
    Array.from({ length: 200 }, (_, i) => i + 1).filter((i) =>
      Array.from({ length: 40 }, (_, n) => (n + 1) * f).some((hz) => hz >= 2e6 + (i - 1) * 2e4 && hz <= 2e6 + i * 2e4),
    );
  const written = (text: string) =>
    text.split(' ').flatMap((run) => {
      const [first, last = first] = run.split('-').map(Number) as [number, number?];
      return Array.from({ length: last - first + 1 }, (_, i) => first + i);
    });
  type InBand = { name: string; channels: string; sole_channels: number; shared_channels: number };
  type OnePlan = { settings: { nominal_hz: number }[]; sources: { bands: InBand[] }[] };
  const { today, plans } = document as unknown as { today: OnePlan; plans: OnePlan[] };
  for (const plan of [today, ...plans]) {
    const of = plan.settings.map(({ nominal_hz: hz }) => touched(hz));
    for (const [s, { bands }] of plan.sources.entries()) {
      expect(bands.map(({ name }) => name)).toEqual(['low']);
      expect(written(bands[0]!.channels)).toEqual(of[s]);
      const shared = of[s]!.filter((i) => of[1 - s]!.includes(i)).length;
      expect(bands[0]).toMatchObject({ shared_channels: shared, sole_channels: of[s]!.length - shared });
    }
  }
});

test('leakage and temperature can be stated', async () => {
  const wide = await planned(SOURCES, BANDS, '--json', '--leakage-hz', '20000', '--temperature-span-k', '10');
  expect(wide.document).toMatchObject({ settings: { leakage_hz: 20000, temperature_span_k: 10 } });
  const narrow = await planned(SOURCES, BANDS, '--json');
  const lost = (made: typeof wide) =>
    (made.document as unknown as { today: { lost_channels: number } }).today.lost_channels;
  expect(lost(wide)).toBeGreaterThan(2 * lost(narrow));
});

test.each([
  ['no band', SOURCES, 'name,low_hz,high_hz,channel_hz\n', /no band/],
  [
    'a channel wider than its band',
    SOURCES,
    'name,low_hz,high_hz,channel_hz\nx,1,2,5\n',
    /b\.csv, line 2, column channel_hz/,
  ],
  ['a range that excludes the step', SOURCES.replace(',5000', ',500000'), BANDS, /step/],
  ['locks in a circle', 'designator,kind,nominal_hz,locked_to\nA,other,1000,B\nB,other,1000,A\n', BANDS, /circle/],
  [
    'a fixed source that contradicts its lock',
    'designator,kind,nominal_hz,locked_to,lock_denominator\nA,other,1000,,\nB,other,600,A,2\n',
    BANDS,
    /600 Hz beside a lock to A × 1 \/ 2/,
  ],
])('%s ends in status 3 with the reason, and adds nothing', async (_, sources, bands, words) => {
  const { status, err, document } = await planned(sources, bands, '--json');
  expect(status).toBe(3);
  expect(err).toMatch(words);
  expect(document).toMatchObject({ plans: [], today: null, bound_gap: null });
  expect((document as unknown as { problems: readonly unknown[] }).problems).toHaveLength(1);
});

test('without --json a table for people', async () => {
  const { status, out } = await planned(SOURCES, BANDS);
  expect(status).toBe(0);
  expect(out).toContain('of 200 channels lost instead of');
});
