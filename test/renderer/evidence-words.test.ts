import { describe, expect, test } from 'vitest';
import type { Evidence } from '../../src-main/model/evidence.ts';
import { evidenceRow } from '../../src-renderer/state/evidence-words.ts';

const one = (more: Partial<Evidence>): Evidence => ({
  kind: 'sources-off',
  file: 'off.csv',
  outcome: 'same',
  sources: [],
  supports: [],
  contradicts: [],
  changeDb: null,
  changeSigmaDb: null,
  limitDb: null,
  order: null,
  where: null,
  sentence: 'stands there',
  ...more,
});

describe('evidenceRow(evidence, unit)', () => {
  test('a level seen there is its change with its doubt', () => {
    expect(evidenceRow(one({ changeDb: -0.94, changeSigmaDb: 1.46 }), 'dBm')).toEqual({
      what: 'All sources off',
      figure: '−0.9 ± 1.5 dB',
      file: 'off.csv',
      sentence: 'Stands there.',
      isOpen: false,
    });
    expect(evidenceRow(one({ changeDb: 9.96, changeSigmaDb: 1.4 }), 'dBm').figure).toBe('+10.0 ± 1.4 dB');
  });

  test('proven absence and a limit that proves nothing never look alike', () => {
    expect(evidenceRow(one({ outcome: 'absent', limitDb: -117.1 }), 'dBm').figure).toBe('≤ −117.1 dBm');
    expect(evidenceRow(one({ outcome: 'not-sensitive', limitDb: -81 }), 'dBm')).toMatchObject({
      figure: '? −81.0 dBm',
      isOpen: true,
    });
  });

  test.each([
    [{ kind: 'attenuator', outcome: 'overload', order: 3 }, 'Attenuator: overload of order 3'],
    [{ kind: 'attenuator', outcome: 'overload', order: null }, 'Attenuator: overload'],
    [{ kind: 'attenuator', outcome: 'real' }, 'Attenuator: arrives at the input'],
    [{ kind: 'attenuator', outcome: 'residual' }, 'Attenuator: made in the analyser'],
    [{ kind: 'attenuator', outcome: 'undecided' }, 'Attenuator: undecided'],
    [{ kind: 'switch-off', outcome: 'absent', sources: ['A', 'B'] }, 'A, B off'],
    [{ kind: 'switch-off', outcome: 'moved-along', sources: ['A'] }, 'Moved with its comb'],
    [{ kind: 'terminated', where: 'with the input terminated at the analyser' }, 'Input terminated at the analyser'],
    [{ kind: 'terminated' }, 'Input terminated'],
  ] as const)('%j is headed %s', (more, what) => {
    expect(evidenceRow(one(more), 'dBm').what).toBe(what);
  });
});
