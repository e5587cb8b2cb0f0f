import { describe, expect, it } from 'vitest';
import { settingDifferences } from '../../../src-main/engine/tracking/setting-differences.ts';
import { commonScale } from '../../../src-main/engine/tracking/side-trace.ts';
import { handTriage, type HandCapture } from './hand-triage.ts';

function differences(before: Partial<HandCapture>, after: Partial<HandCapture>) {
  const scale = commonScale([handTriage({ lines: [], ...before })], [handTriage({ lines: [], ...after })]);
  return settingDifferences(scale.before, scale.after, scale.unit);
}

describe('settingDifferences', () => {
  it('says nothing of two captures taken alike', () => {
    expect(differences({}, {})).toEqual({ warnings: [], gainDoubtDb: 0, dropDoubt: null, riseDoubt: null });
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
