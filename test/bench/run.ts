import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { analyseTrace } from '../../src-main/engine/analyse.ts';
import { runningMedian } from '../../src-main/engine/numeric/running-median.ts';
import { AveragedPeriodogram } from '../../src-main/engine/spectrum/averaged-periodogram.ts';
import { isTooShort, planSegments } from '../../src-main/engine/spectrum/plan-segments.ts';
import { partsOf } from '../../src-main/engine/spectrum/sum-parts.ts';
import { sumTogether } from '../../src-main/api/jobs/sum-together.ts';
import { bytesInMemory } from '../../src-main/model/byte-source.ts';
import type { Recording } from '../../src-main/model/recording.ts';
import { windowWeights } from '../../src-main/engine/spectrum/windows.ts';
import { DEFAULT_TRIAGE_SETTINGS } from '../../src-main/model/triage-settings.ts';
import { readCapture } from '../../src-main/readers/read-capture.ts';
import { seeded } from '../engine/attribution/scene.ts';
import { SOURCE } from '../report/sample-triage.ts';
import { bestWallSeconds, line, ownSeconds, pythonSeconds } from './reference.ts';

/**
 * Our speed beside reference libraries, in processor time of one thread each, one run. Printed, never asserted: machines differ and
 * drift, so only the ratios mean anything.
 */
console.log('ratio: reference over ours, above 1 we are faster; processor time, one thread\n');

periodograms();
medians();
const folder = mkdtempSync(join(tmpdir(), 'spurledger-bench-'));
try {
  tables(folder);
} finally {
  rmSync(folder, { recursive: true, force: true });
}

function periodograms(): void {
  const samples = 2 ** 22;
  const { normal } = seeded(1);
  const re = Float64Array.from({ length: samples }, normal);
  const im = Float64Array.from({ length: samples }, normal);
  for (const points of [4096, 65_536]) {
    const plan = planSegments(samples, 1, { window: 'hann', overlap: 0.5, rbwHz: 1.5 / points });
    if (isTooShort(plan)) continue;
    const weights = windowWeights('hann', points);
    for (const isComplex of [true, false]) {
      const own = ownSeconds(() => {
        const periodogram = new AveragedPeriodogram(plan, weights, isComplex);
        for (let at = 0; at < samples; at += 65_536)
          periodogram.push(re.subarray(at, at + 65_536), isComplex ? im.subarray(at, at + 65_536) : null);
        periodogram.sums();
      }, 3);
      const reference = pythonSeconds(
        `import numpy as np, scipy.signal as s
r = np.random.default_rng(1)
x = r.standard_normal(${samples}).astype(np.float32)${isComplex ? ` + 1j * r.standard_normal(${samples}).astype(np.float32)` : ''}
x = x.astype(np.${isComplex ? 'complex64' : 'float32'})`,
        `s.welch(x, window='hann', nperseg=${points}, noverlap=${points / 2}, detrend=False, return_onesided=${isComplex ? 'False' : 'True'})`,
        3,
      );
      const what = `averaged periodogram, ${isComplex ? 'I/Q' : 'real'}, ${points} points, 4.2 million samples`;
      console.log(line(what, own, 'scipy.signal.welch', reference));
      const times = isComplex ? 4 : 8;
      const together = bestWallSeconds(threadsOn(points, times * samples, isComplex), 3);
      const theirs = reference === null ? null : times * reference;
      const longer = `  ${times} times as long, from stored samples, two threads, by the clock`;
      console.log(line(longer, together, `${times} times that`, theirs));
    }
  }
}

/** Noise as 32-bit floats in memory that two threads see, summed by both; their start is counted. */
function threadsOn(points: number, samples: number, isComplex: boolean): () => void {
  const stored = new Float32Array(new SharedArrayBuffer(4 * (isComplex ? 2 : 1) * samples));
  const { normal } = seeded(4);
  const some = Float32Array.from({ length: 2 ** 20 }, normal);
  for (let at = 0; at < stored.length; at += some.length) stored.set(some, at);
  const plan = planSegments(samples, 1, { window: 'hann', overlap: 0.5, rbwHz: 1.5 / points });
  if (isTooShort(plan)) throw new Error(plan.found);
  const recording: Recording = {
    label: '',
    complex: isComplex,
    channels: [{ name: '', unit: 'FS', scale: 1, offset: 0, fullScale: null }],
    samples: {
      kind: 'stored',
      dataFile: null,
      type: 'f32',
      bigEndian: false,
      stretches: [{ offsetBytes: 0, sampleCount: samples }],
    },
    sampleCount: samples,
    sampleRateHz: 1,
    centreHz: null,
    unevenness: null,
    takenAt: null,
    annotations: [],
    stated: [],
  };
  const parts = partsOf([{ from: 0, count: samples }], plan);
  const bytes = bytesInMemory(new Uint8Array(stored.buffer));
  return () => void sumTogether({ recording, channel: 0, window: 'hann', plan, parts, file: '' }, bytes, () => {});
}

function medians(): void {
  const points = 1_000_000;
  const { normal } = seeded(2);
  const x = Float64Array.from({ length: points }, (_, i) => -100 + i / points + 2 * normal());
  for (const width of [101, 1001, 10_001]) {
    const own = ownSeconds(() => void runningMedian(x, width), 3);
    const reference = pythonSeconds(
      `import numpy as np, bottleneck as bn\nx = np.random.default_rng(2).standard_normal(${points})`,
      `bn.move_median(x, ${width})`,
      3,
    );
    console.log(line(`running median of ${width} points over a million`, own, 'bottleneck.move_median', reference));
  }
}

function tables(folder: string): void {
  const rows = 1_000_000;
  const { normal } = seeded(3);
  const level = (i: number): number => -100 + 0.4 * normal() + (i % 3000 === 7 ? 20 : 0);
  const write = (name: string, cell: (value: number) => string): string => {
    const path = join(folder, name);
    const lines = Array.from({ length: rows }, (_, i) => `${100_000 + 25 * i},${cell(level(i))}`);
    writeFileSync(path, `${lines.join('\n')}\n`);
    return path;
  };
  const head = new TextEncoder().encode('RBW,50 Hz\nAverages,100\nAveraging,power\nFrequency (Hz),Level (dBm)\n');
  for (const [name, cell] of [
    ['short decimals', (value: number) => value.toFixed(2)],
    ['17 digits', (value: number) => value.toPrecision(17)],
  ] as const) {
    const path = write('table.csv', cell);
    const bytes = Buffer.concat([head, readFileSync(path)]);
    const own = ownSeconds(() => void readCapture(bytes, 'table.csv'), 3);
    const load = `import numpy as np\npath = ${JSON.stringify(path)}`;
    const loadtxt = pythonSeconds(load, "np.loadtxt(path, delimiter=',')", 3);
    console.log(line(`reading a million rows, ${name}`, own, 'numpy.loadtxt', loadtxt));
    if (name === '17 digits') continue;
    const sources = Array.from({ length: 20 }, (_, k) => ({
      ...SOURCE,
      designator: `DC-${k}`,
      nominalHz: 75_000 * (1 + k / 19),
    }));
    const [trace] = readCapture(bytes, 'table.csv').traces;
    const triage = ownSeconds(() => {
      readCapture(bytes, 'table.csv');
      analyseTrace({ trace: trace!, sources, condition: null, settings: DEFAULT_TRIAGE_SETTINGS });
    }, 2);
    console.log(line('reading and triage of a million points, 20 sources', triage, 'numpy.loadtxt alone', loadtxt));
  }
}
