import { expect } from 'vitest';
import { bytesInMemory } from '../../src-main/model/byte-source.ts';
import type { ReadCapture } from '../../src-main/model/capture.ts';
import { readSamples } from '../../src-main/model/read-samples.ts';

/** What the model promises of anything a reader gives, whatever the bytes were. Samples are read from `bytes` where they are stored. */
export function expectPromises(capture: ReadCapture, bytes: Uint8Array): void {
  const { traces, recordings = [], waterfalls = [], tables = [] } = capture;
  if (traces.length + recordings.length + tables.length === 0) expect.fail('nothing was read, and nothing refused');
  for (const { frequencyHz, level } of traces) {
    if (frequencyHz.length !== level.length || level.length < 2)
      expect.fail(`${frequencyHz.length} for ${level.length}`);
    rises(frequencyHz);
  }
  for (const { frequencyHz, level, rows, rowStartS } of waterfalls) {
    rises(frequencyHz);
    if (level.length !== rows * frequencyHz.length) expect.fail('a waterfall of another size');
    if (rowStartS !== null && rowStartS.length !== rows) expect.fail('a time for not every row');
  }
  for (const { frequencyHz, valueDb } of tables) {
    rises(frequencyHz);
    if (frequencyHz.length !== valueDb.length || !valueDb.every(Number.isFinite)) expect.fail('a table with gaps');
  }
  for (const recording of recordings) {
    const { sampleCount, sampleRateHz, channels, samples, complex, annotations } = recording;
    if (!(sampleRateHz > 0) || !Number.isFinite(sampleRateHz) || sampleCount < 1 || channels.length < 1)
      expect.fail(`${sampleCount} samples of ${channels.length} channels at ${sampleRateHz}`);
    for (const { startSample, sampleCount: count } of annotations)
      if (startSample < 0 || startSample >= sampleCount || startSample + (count ?? 0) > sampleCount)
        expect.fail('a remark beyond the record');
    if (samples.kind === 'stored' && samples.dataFile !== null) continue;
    const source = bytesInMemory(bytes);
    const last = Math.max(0, sampleCount - 10);
    for (const [from, count] of [
      [0, 10],
      [last, 10],
    ] as const) {
      const block = readSamples(recording, source, channels.length - 1, from, count);
      if (block.real.length !== Math.min(count, sampleCount - from)) expect.fail('fewer samples than promised');
      if ((block.imaginary === null) === complex) expect.fail('real and complex mixed up');
    }
  }
}

function rises(frequencyHz: Float64Array): void {
  for (let i = 0; i < frequencyHz.length; i++)
    if (!Number.isFinite(frequencyHz[i]!) || (i > 0 && !(frequencyHz[i]! > frequencyHz[i - 1]!)))
      expect.fail(`frequency ${i} is ${frequencyHz[i]} after ${frequencyHz[i - 1]}`);
}
