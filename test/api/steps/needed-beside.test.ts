import { expect, test } from 'vitest';
import { LARGEST_KEPT_BYTES, neededBeside } from '../../../src-main/api/steps/needed-beside.ts';
import { record } from '../../engine/spectrum/records.ts';

const recording = {
  ...record({ samples: 4, sampleRateHz: 1 }),
  samples: { kind: 'stored', dataFile: 'r.sigmf-data', type: 'i8', bigEndian: false, stretches: [] } as const,
};

test('kept are the samples a recording names, and what is small enough to be its description', () => {
  const large = new Uint8Array(9 * 1024 * 1024);
  const companions = new Map([
    ['r.sigmf-data', large],
    ['r.hdr', new Uint8Array(10)],
    ['r.wav', large],
  ]);
  expect([...neededBeside({ recordings: [recording] }, companions).keys()]).toEqual(['r.sigmf-data', 'r.hdr']);
  expect([...neededBeside({}, companions).keys()]).toEqual(['r.hdr']);
});

test('of samples too large for a register their length and checksum are kept, read piece by piece', () => {
  let largest = 0;
  const piece = new Uint8Array(2 ** 24);
  const source = {
    length: LARGEST_KEPT_BYTES + 1,
    read(from: number, to: number) {
      largest = Math.max(largest, to - from);
      return piece.subarray(0, to - from);
    },
  };
  const kept = neededBeside({ recordings: [recording] }, new Map([['r.sigmf-data', source]])).get('r.sigmf-data')!;
  // coreutils: head -c 536870913 /dev/zero | sha256sum
  expect(kept).toEqual({
    length: LARGEST_KEPT_BYTES + 1,
    sha256: '7c40fe5ce847740d0f0d0cdde3949d6585804cdec3ae61a15b923165699c8137',
  });
  expect(largest).toBeLessThanOrEqual(2 ** 24);
});
