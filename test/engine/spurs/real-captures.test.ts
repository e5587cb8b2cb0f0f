import { describe, expect, test } from 'vitest';
import { estimateFloor } from '../../../src-main/engine/floor/estimate-floor.ts';
import { findSpurs } from '../../../src-main/engine/spurs/find-spurs.ts';
import type { Spur } from '../../../src-main/model/spur.ts';
import { readCapture } from '../../../src-main/readers/read-capture.ts';
import { columnToDecibels } from '../../../src-main/units/levels.ts';
import { realCapture, realCaptures } from '../../shared.ts';

/** Spurs of the first trace of a file; what is known to be true of it is in the origin note beside it. */
function spursOf(path: string): Spur[] {
  const { bytes, file, companions } = realCapture(path);
  const trace = readCapture(bytes, file, companions).traces[0]!;
  const input = {
    frequencyHz: trace.frequencyHz,
    levelDb: columnToDecibels(trace.level, trace.unit),
    settings: trace.settings,
  };
  const floor = estimateFloor({ ...input, falseAlarmsPerCapture: 0.05, floorWindowPoints: null });
  return findSpurs({ ...input, floor, frequencyAccuracyPpm: 1 }).spurs;
}

// without the folder of real captures beside the repository these are skipped
describe.skipIf(realCaptures === null)('findSpurs on captures that nobody here made', () => {
  test('0 to 3 GHz with nothing but the feed-through at 0 Hz: that one and no other', () => {
    const spurs = spursOf('sa-nul-bytes/0_3GHz_dbm.csv');
    expect(spurs.map((spur) => spur.frequencyHz)).toEqual([0]);
  });

  test('a quiet analyser with its feed-through at the low end: nothing else', () => {
    const spurs = spursOf('sa-nul-bytes/quiet_0p1_30MHz_dbm.csv');
    expect(spurs.map((spur) => spur.frequencyHz)).toEqual([100e3]);
  });

  test('references of a receiver without a source, 3.5 dB of ripple at 0.02 dB of noise: the first blocks hold no line', () => {
    for (const file of ['noised1.dat', 'noised150ohterm.dat']) expect(spursOf(`psd-blocks-hline/${file}`)).toEqual([]);
  });

  test('sky of the same receiver: the narrow interference near 1420.17 to 1420.25 MHz, below 1 dB, is found', () => {
    const spurs = spursOf('psd-blocks-hline/measd1az315el73.dat');
    expect(spurs.some((spur) => spur.frequencyHz > 1420.165e6 && spur.frequencyHz < 1420.255e6)).toBe(true);
  });

  test('the known tone: 10 mVrms (−40 dBV) at 3 kHz, and a DC bin', () => {
    const spurs = spursOf('fft-known-tone/tone3k.txt');
    const strongest = spurs.filter((spur) => spur.frequencyHz > 20).sort((a, b) => b.levelDb - a.levelDb)[0]!;
    expect(Math.abs(strongest.frequencyHz - 3000)).toBeLessThan(2);
    expect(Math.abs(strongest.levelDb + 40)).toBeLessThan(0.3);
    expect(spurs.filter((spur) => Math.abs(spur.frequencyHz - 3000) < 60)).toHaveLength(1);
  });

  test('a converter over two floors: the same groups, whatever the floor', () => {
    for (const file of ['case1.csv', 'case2.csv']) {
      const spurs = spursOf(`fft-linear-converter/${file}`);
      for (const hz of [2880, 3080, 9950, 10050])
        expect(spurs.some((spur) => Math.abs(spur.frequencyHz - hz) < 5)).toBe(true);
    }
  });
});
