import type { FieldProblem, SourceEntry } from '../../src-main/api/contract.ts';
import type { Source, SourceKind, SourceOwner } from '../../src-main/model/source.ts';

/** Fields of a source as text, so that a half-typed number is kept and not thrown away. */
export interface SourceTexts {
  designator: string;
  kind: SourceKind;
  nominal: string;
  tolerance: string;
  drift: string;
  spread: string;
  lockTo: string;
  lockNumerator: string;
  lockDenominator: string;
  duty: string;
  rise: string;
  maxHarmonic: string;
  adjustLow: string;
  adjustHigh: string;
  adjustStep: string;
  fedBy: string;
  owner: SourceOwner;
  serial: string;
  notes: string;
}

const MULTIPLES: Readonly<Record<string, number>> = {
  '': 1,
  hz: 1,
  k: 1e3,
  khz: 1e3,
  m: 1e6,
  mhz: 1e6,
  g: 1e9,
  ghz: 1e9,
};

/** `409.6 kHz`, `409600`, `0,4096 MHz` in Hz; NaN where it cannot be read, null where it is empty. */
export function hertz(text: string): number | null {
  const trimmed = text.trim();
  if (trimmed === '') return null;
  const parts = /^([0-9][0-9 \u2009]*(?:[.,][0-9]*)?(?:e[+-]?\d+)?)\s*([a-z]*)$/i.exec(trimmed);
  const scale = parts === null ? undefined : MULTIPLES[parts[2]!.toLowerCase()];
  if (parts === null || scale === undefined) return NaN;
  return Number((Number(parts[1]!.replace(/[ \u2009]/g, '').replace(',', '.')) * scale).toPrecision(15));
}

/** `2 %` and `25 ppm`; a bare number is parts per million. */
export function partsPerMillion(text: string): number | null {
  const trimmed = text.trim();
  if (trimmed === '') return null;
  const parts = /^([0-9.,]+(?:e[+-]?\d+)?)\s*(%|ppm)?$/i.exec(trimmed);
  if (parts === null) return NaN;
  return Number((Number(parts[1]!.replace(',', '.')) * (parts[2] === '%' ? 1e4 : 1)).toPrecision(12));
}

function plain(text: string): number | null {
  return text.trim() === '' ? null : Number(text.trim().replace(',', '.').replace('\u2212', '-'));
}

/** A source being typed: texts, the value they mean, and what is wrong with either. */
export class SourceDraft {
  texts = $state<SourceTexts>(textsOf(null, {}));
  problems = $state.raw<readonly FieldProblem[]>([]);
  /** False until something was typed: an empty form does not scold. */
  isTouched = $state(false);
  readonly replaces: string | null;

  constructor(entry: SourceEntry | null, draft: Partial<Source> | null) {
    this.replaces = entry?.source.designator ?? null;
    this.texts = textsOf(entry?.source ?? null, draft ?? {});
  }

  /** What could not be read at all; the source itself is checked by the register. */
  readonly unreadable = $derived.by((): readonly FieldProblem[] => {
    const found: FieldProblem[] = [];
    const t = this.texts;
    const see = (field: string, text: string, value: number | null, expected: string) => {
      if (value !== null && !Number.isFinite(value))
        found.push({ field, message: `“${text}” cannot be read: ${expected}` });
    };
    if (t.designator.trim() === '') found.push({ field: 'designator', message: 'a designator is needed' });
    if (t.nominal.trim() === '')
      found.push({ field: 'nominalHz', message: 'a frequency is needed, such as 409.6 kHz' });
    see('nominalHz', t.nominal, hertz(t.nominal), 'a frequency such as 409.6 kHz');
    see('tolerancePpm', t.tolerance, partsPerMillion(t.tolerance), 'ppm or %, such as 25 or 3 %');
    see('spreadPpm', t.spread, partsPerMillion(t.spread), 'ppm or %, peak to peak');
    see('driftPpmPerK', t.drift, plain(t.drift), 'ppm per kelvin');
    see('duty', t.duty, plain(t.duty), 'a share from 0 to 1');
    see('riseS', t.rise, plain(t.rise), 'seconds, such as 2e-8');
    see('maxHarmonic', t.maxHarmonic, plain(t.maxHarmonic), 'a whole number');
    for (const text of [t.adjustLow, t.adjustHigh, t.adjustStep])
      see('adjust', text, hertz(text), 'a frequency such as 380 kHz');
    return found;
  });

  readonly source = $derived.by((): Source => {
    const t = this.texts;
    const low = hertz(t.adjustLow);
    const high = hertz(t.adjustHigh);
    return {
      designator: t.designator.trim(),
      kind: t.kind,
      nominalHz: hertz(t.nominal) ?? 0,
      tolerancePpm: partsPerMillion(t.tolerance),
      driftPpmPerK: plain(t.drift),
      spreadPpm: partsPerMillion(t.spread),
      lock:
        t.lockTo === ''
          ? null
          : { to: t.lockTo, numerator: plain(t.lockNumerator) ?? 1, denominator: plain(t.lockDenominator) ?? 1 },
      duty: plain(t.duty),
      riseS: plain(t.rise),
      maxHarmonic: plain(t.maxHarmonic),
      adjust: low === null || high === null ? null : { lowHz: low, highHz: high, stepHz: hertz(t.adjustStep) },
      fedBy: t.fedBy === '' ? null : t.fedBy,
      owner: t.owner,
      serial: t.serial.trim(),
      notes: t.notes.trim(),
    };
  });

  problem(field: string): string | undefined {
    if (!this.isTouched) return undefined;
    return (this.unreadable.find((p) => p.field === field) ?? this.problems.find((p) => p.field === field))?.message;
  }

  /** Problems of fields that have no place of their own in the form. */
  others(shown: readonly string[]): readonly FieldProblem[] {
    return this.problems.filter((problem) => !shown.includes(problem.field));
  }

  get canKeep(): boolean {
    return this.unreadable.length === 0 && this.problems.length === 0;
  }
}

const text = (value: number | null | undefined) => (value == null ? '' : String(value));

function textsOf(source: Source | null, draft: Partial<Source>): SourceTexts {
  const from: Partial<Source> = source ?? draft;
  const hz = (value: number | null | undefined) =>
    value == null ? '' : value >= 1e6 ? `${value / 1e6} MHz` : value >= 1e3 ? `${value / 1e3} kHz` : `${value} Hz`;
  const ppm = (value: number | null | undefined) =>
    value == null ? '' : value >= 1000 ? `${value / 1e4} %` : `${value} ppm`;
  return {
    designator: from.designator ?? '',
    kind: from.kind ?? 'converter',
    nominal: hz(from.nominalHz),
    tolerance: ppm(from.tolerancePpm),
    drift: text(from.driftPpmPerK),
    spread: ppm(from.spreadPpm),
    lockTo: from.lock?.to ?? '',
    lockNumerator: text(from.lock?.numerator),
    lockDenominator: text(from.lock?.denominator),
    duty: text(from.duty),
    rise: text(from.riseS),
    maxHarmonic: text(from.maxHarmonic),
    adjustLow: hz(from.adjust?.lowHz),
    adjustHigh: hz(from.adjust?.highHz),
    adjustStep: hz(from.adjust?.stepHz),
    fedBy: from.fedBy ?? '',
    owner: from.owner ?? 'ours',
    serial: from.serial ?? '',
    notes: from.notes ?? '',
  };
}
