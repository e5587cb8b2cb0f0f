import type { Coverage } from '../../model/coverage.ts';
import type { Ruling, Verdict } from '../../model/verdict.ts';

const WORDS = 'none one two three four five six seven eight nine ten eleven twelve'.split(' ');

/** A few words, never “holds” where nothing is required or anything is open. */
export function headingOf(verdicts: readonly Verdict[]): string {
  if (verdicts.length === 0) return 'Nothing is required yet.';
  if (verdicts.some(({ ruling }) => ruling === 'falls short')) return 'The build does not hold yet.';
  if (verdicts.some(({ ruling }) => ruling === 'not shown')) return 'The build is not shown to hold yet.';
  if (verdicts.some(({ isLimitConfirmed }) => !isLimitConfirmed))
    return 'The build holds, against a limit nobody confirmed.';
  return 'The build holds.';
}

export function sentenceOf(verdicts: readonly Verdict[], { gaps }: Coverage, confidence: number): string {
  if (verdicts.length === 0) return 'Enter a requirement: a band, what it allows, and where it must be shown.';
  const count = (ruling: Ruling) => verdicts.filter((one) => one.ruling === ruling).length;
  const [holds, short, open] = [count('holds'), count('falls short'), count('not shown')];
  const parts = [
    `${capital(numberOf(holds))} of ${numberOf(verdicts.length)} ${verdicts.length === 1 ? 'verdict holds' : 'verdicts hold'} with the doubt counted against the build at ${Number((100 * confidence).toPrecision(4))} % confidence`,
    short > 0 ? `${numberOf(short)} ${short === 1 ? 'falls' : 'fall'} short` : '',
    open > 0 ? `${numberOf(open)} ${open === 1 ? 'is' : 'are'} not shown (${reasonsText(verdicts)})` : '',
  ].filter((part) => part !== '');
  const unmeasured =
    gaps === 0
      ? ''
      : ` ${capital(numberOf(gaps))} required ${gaps === 1 ? 'combination was' : 'combinations were'} never wholly measured.`;
  return `${parts.join('; ')}.${unmeasured}`;
}

/** Reasons, the commonest first: `not exercised 3, not measured 1`. */
function reasonsText(verdicts: readonly Verdict[]): string {
  const counts = new Map<string, number>();
  for (const { reason } of verdicts) if (reason !== null) counts.set(reason, (counts.get(reason) ?? 0) + 1);
  const sorted = [...counts].sort((a, b) => b[1] - a[1]);
  return sorted.length === 1 ? sorted[0]![0] : sorted.map(([reason, n]) => `${reason} ${n}`).join(', ');
}

function numberOf(n: number): string {
  return WORDS[n] ?? String(n);
}

function capital(text: string): string {
  return text[0]!.toUpperCase() + text.slice(1);
}
