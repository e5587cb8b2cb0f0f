import type { Plan, Planning, SourceSetting } from '../../src-main/model/plan.ts';
import { frequency, plural } from './format.ts';

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
