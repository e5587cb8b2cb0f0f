import { describe, expect, it } from 'vitest';
import { settingDifferences } from '../../../src-main/engine/tracking/setting-differences.ts';
import { commonScale } from '../../../src-main/engine/tracking/side-trace.ts';
import type { TraceChain } from '../../../src-main/model/triaged-trace.ts';
import { handTriage, type HandCapture } from './hand-triage.ts';

function differences(before: Partial<HandCapture>, after: Partial<HandCapture>) {
  const scale = commonScale([handTriage({ lines: [], ...before })], [handTriage({ lines: [], ...after })]);
  return settingDifferences(scale.before, scale.after, scale.unit);
}

describe('settingDifferences', () => {
  it('says nothing of two captures taken alike', () => {
    expect(differences({}, {})).toEqual({
      warnings: [],
      gainDoubtDb: 0,
      chainSigmaDb: 0,
      dropDoubt: null,
      riseDoubt: null,
    });
  });

  it('names what is stated on one side only', () => {
    expect(differences({}, { settings: { attenuationDb: 10 } }).warnings).toEqual([
      expect.stringMatching(/^attenuation differs: not stated before, 10 dB after/),
    ]);
  });

  it('takes a condition row for what the file does not say', () => {
    expect(differences({ settings: { gainDb: 20 } }, { condition: { gainDb: 20 } }).warnings).toEqual([]);
  });

  it('doubts falls from peaks to averages and rises from averages to peaks, and not the other way', () => {
    const peaks = { settings: { averaging: 'max-hold' } } as const;
    expect(differences(peaks, {})).toMatchObject({ dropDoubt: expect.any(String) as string, riseDoubt: null });
    expect(differences({}, peaks)).toMatchObject({ dropDoubt: null, riseDoubt: expect.any(String) as string });
    expect(differences(peaks, peaks)).toMatchObject({ dropDoubt: null, riseDoubt: null });
  });

  it('believes neither fall nor rise between two gain states, unless gains are stated or both sides are freed of their response', () => {
    const of = (gainState: string, more: object = {}) => ({ settings: { gainState, ...more } });
    const said = differences(of('high'), of('low'));
    expect(said.warnings).toEqual([expect.stringMatching(/^gain state differs: high before, low after/)]);
    expect(said.dropDoubt).toContain('another gain state');
    expect(said.riseDoubt).toContain('another gain state');
    expect(differences(of('high'), of('high'))).toMatchObject({ warnings: [], dropDoubt: null, riseDoubt: null });
    const gains = differences(of('high', { gainDb: 30 }), of('low', { gainDb: 10 }));
    expect(gains).toMatchObject({ gainDoubtDb: 20, dropDoubt: null });
    const freed = differences(of('high', { channelResponse: 'A high' }), of('low', { channelResponse: 'A low' }));
    expect(freed).toMatchObject({ dropDoubt: null, riseDoubt: null });
    expect(differences(of('high', { channelResponse: 'A high' }), of('low')).dropDoubt).not.toBeNull();
  });

  it('lets the doubt of a calibration chain cancel between sides that went through the same one, and adds it where they did not', () => {
    const [scale] = [commonScale([handTriage({ lines: [] })], [handTriage({ lines: [] })])];
    const through = (side: typeof scale.before, chain: TraceChain | null) =>
      side.map((one) => ({ ...one, triaged: { ...one.triaged, ...(chain === null ? {} : { chain }) } }));
    const bench = { key: 'a', name: 'cable 3 → pad', sigmaDb: 0.3 };
    const of = (before: TraceChain | null, after: TraceChain | null) =>
      settingDifferences(through(scale.before, before), through(scale.after, after), scale.unit);
    expect(of(bench, bench)).toMatchObject({ chainSigmaDb: 0, warnings: [] });
    const other = of(bench, { key: 'b', name: 'cable 4', sigmaDb: 0.4 });
    expect(other.chainSigmaDb).toBeCloseTo(0.5, 12);
    expect(other.warnings).toEqual([
      expect.stringMatching(/^calibration chain differs: cable 3 → pad before, cable 4 after; .* ± 0\.50 dB/),
    ]);
    // another version of a table of the same name is another chain
    const version = of(bench, { ...bench, key: 'a2' });
    expect(version.chainSigmaDb).toBeCloseTo(0.3 * Math.SQRT2, 12);
    expect(version.warnings[0]).toMatch(/^calibration chain differs/);
    expect(of(bench, null).chainSigmaDb).toBeCloseTo(0.3, 12);
  });

  it('names a role, a mode or a point that differs', () => {
    const said = differences(
      { condition: { role: 'item', mode: 'sounding', point: 'P1' } },
      { condition: { role: 'terminated', mode: 'idle', point: 'P2' } },
    ).warnings.join('\n');
    for (const name of [
      'role differs: item before, terminated after',
      'operating mode differs',
      'measuring point differs',
    ])
      expect(said).toContain(name);
  });
});
