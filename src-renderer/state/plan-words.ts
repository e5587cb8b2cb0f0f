import type { Band } from '../../src-main/model/band.ts';
import type { Plan, Planning, SourceSetting } from '../../src-main/model/plan.ts';
import type { Source } from '../../src-main/model/source.ts';
import { nodeEnvelope } from '../../src-main/model/switching-wave.ts';
import { decimal, frequency, plural } from './format.ts';

/** `XO ÷ 42`, `PLL × 3 ÷ 16`, or `free`. */
export function runsBy({ lockedTo, lockNumerator, lockDenominator }: SourceSetting): string {
  if (lockedTo === null) return 'free';
  const times = (lockNumerator ?? 1) === 1 ? '' : ` × ${lockNumerator}`;
  const over = (lockDenominator ?? 1) === 1 ? '' : ` ÷ ${lockDenominator}`;
  return `${lockedTo}${times}${over}`;
}

/** The screen's one sentence: what the settings looked at would do. */
export function planSentence(today: Plan, plan: Plan, planning: Planning | null): string {
  const channels = today.bands.reduce((sum, band) => sum + band.channels, 0);
  const changed = plan.settings.filter((_, i) => plan.sources[i]!.changed);
  if (changed.length === 0) {
    const blurred = today.sources.filter(({ blursInBand }) => blursInBand);
    if (planning !== null && planning.plans.length === 0)
      return `Nothing that may be changed brings a channel back: ${today.lostChannels} of ${channels} may be lost.${
        blurred.length > 0
          ? ` ${plural(blurred.length, 'source')} ${blurred.length === 1 ? 'blurs' : 'blur'} over the bands; only locking helps there.`
          : ''
      }`;
    return `Today ${today.lostChannels} of ${channels} channels may be lost.`;
  }
  const acts = changed
    .slice(0, 2)
    .map((setting) =>
      setting.lockedTo === null
        ? `set ${setting.source} to ${frequency(setting.nominalHz)}`
        : `lock ${setting.source} to ${runsBy(setting)}`,
    );
  const more = changed.length > 2 ? `, and ${plural(changed.length - 2, 'more change')}` : '';
  const said = `${acts.join(changed.length > 2 ? ', ' : ' and ')}${more}`;
  const against = plan.lostChannels < today.lostChannels ? ' instead of' : '; today';
  return `${said[0]!.toUpperCase()}${said.slice(1)}: ${plan.lostChannels} of ${channels} channels may be lost${against} ${today.lostChannels}.`;
}

/** How sure the best plan is the best, in words. */
export function proofWords(planning: Planning, isFirstLook: boolean): string {
  const least = planning.plans.reduce((at, plan) => Math.min(at, plan.lostWeight), planning.today.lostWeight);
  if (planning.isExact) return 'The best of these is proven: no setting tried loses less.';
  const gap = Math.ceil(planning.boundGap * 1000) / 10;
  const bound = `No setting can lose less than ${Math.floor(planning.lowerBoundWeight)}, so the best, ${Math.round(least * 100) / 100}, may be ${gap} % too high.`;
  return isFirstLook ? `First plans. ${bound}` : bound;
}

/**
 * How far the first harmonic in a band stands under the fundamental at the source's own switching node, by the envelope of its
 * trapezoidal wave; null where duty or edges are not known, or no harmonic reaches a band. It says nothing of what couples.
 */
export function nodeWords({ duty, riseS }: Source, frequencyHz: number, bands: readonly Band[]): string | null {
  if (duty === null || riseS === null || !(duty > 0) || !(riseS > 0)) return null;
  const harmonics = bands
    .map(({ lowHz, highHz }) => ({ n: Math.max(1, Math.ceil(lowHz / frequencyHz)), highHz }))
    .filter(({ n, highHz }) => n * frequencyHz <= highHz)
    .map(({ n }) => n);
  if (harmonics.length === 0) return null;
  const n = Math.min(...harmonics);
  const wave = { frequencyHz, duty, riseS };
  const underDb = 20 * Math.log10(nodeEnvelope(1, wave) / nodeEnvelope(n, wave));
  return `at its own node harmonic ${n} stands ${decimal(underDb, 0)} dB under the first by the envelope; what couples is not known`;
}
