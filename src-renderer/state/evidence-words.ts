import type { Evidence } from '../../src-main/model/evidence.ts';
import { decimal, PLUS_MINUS } from './format.ts';

/** One piece of evidence as the slip shows it: what was done, what was seen, where. */
export interface EvidenceRow {
  readonly what: string;
  readonly figure: string;
  readonly file: string;
  readonly sentence: string;
  /** True where it decides nothing. */
  readonly isOpen: boolean;
}

const WHAT: Readonly<Record<Evidence['kind'], (one: Evidence) => string>> = {
  role: () => 'This capture itself',
  'sources-off': () => 'All sources off',
  terminated: (one) => (one.where === null ? 'Input terminated' : capital(one.where.replace(/^with (the )?/, ''))),
  attenuator: (one) =>
    ({ real: 'Attenuator: arrives at the input', residual: 'Attenuator: made in the analyser' })[
      one.outcome as string
    ] ??
    (one.outcome === 'overload'
      ? `Attenuator: overload${one.order === null ? '' : ` of order ${one.order}`}`
      : 'Attenuator: undecided'),
  'switch-off': (one) => (one.outcome === 'moved-along' ? 'Moved with its comb' : `${one.sources.join(', ')} off`),
  'load-shift': (one) => `Comb moved when ${one.sources.join(', ')} went off`,
  'co-drift': () => 'Moved with its comb',
  band: () => 'Known band',
};

/** The same figures as everywhere: a change with its doubt, `≤` for proven absence, `?` for a limit that proves nothing. */
export function evidenceRow(one: Evidence, unit: string): EvidenceRow {
  const { outcome, changeDb, changeSigmaDb, limitDb } = one;
  const isOpen = ['not-sensitive', 'not-covered', 'not-comparable', 'undecided'].includes(outcome);
  const figure =
    changeDb !== null
      ? `${changeDb > 0 ? '+' : ''}${decimal(changeDb, 1)} ${PLUS_MINUS} ${decimal(changeSigmaDb ?? NaN, 1)} dB`
      : limitDb !== null
        ? `${isOpen ? '?' : '\u2264'} ${decimal(limitDb, 1)} ${unit}`
        : outcome === 'moved-along'
          ? 'moved'
          : 'no figure';
  return { what: WHAT[one.kind](one), figure, file: one.file ?? '', sentence: `${capital(one.sentence)}.`, isOpen };
}

function capital(text: string): string {
  return text === '' ? '' : text[0]!.toUpperCase() + text.slice(1);
}
