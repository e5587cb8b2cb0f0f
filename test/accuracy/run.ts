/**
 * Campaigns with known truth, printed with the bounds beside the figures. Exit status 1 where a bound fails.
 *
 *   npx node test/accuracy/run.ts                       the whole measure: every campaign at its full size (about ten minutes)
 *   npx node test/accuracy/run.ts --campaign a --cases 40 --seed 1 [--faults 10]
 *
 * a: ordinary bench; b: hard bench (`--theme` picks one of its themes); c: captures in which nothing registered runs, for the stated chance;
 * n: the same as lists of lines without spectra, by the thousand; d: before and after of one build, and the same state twice.
 * `--faults n` lists the first n faults of each kind with seed and frequency.
 */
import { parseArgs } from 'node:util';
import { DEFAULT_COMPARE_SETTINGS } from '../../src-main/model/compare-settings.ts';
import type { AccuracyCase } from './cases/case.ts';
import { HARD_THEMES, hardCase } from './cases/hard-case.ts';
import { plainCase } from './cases/plain-case.ts';
import { addScore, runCampaign, type CaseScore } from './run-campaign.ts';
import { FIX_TRIED, type BeforeAfterOptions } from './cases/before-after-case.ts';
import { runComparisons } from './run-compare.ts';
import { runLineNull } from './run-lines.ts';
import { mostClaims, runNull, type NullRow } from './run-null.ts';
import type { StatusFault } from './score/score-comparison.ts';
import { HARD_BOUNDS, ORDINARY_BOUNDS } from './score/bounds.ts';
import { emptyTally, figuresOf, holds, type Bounds, type Figure, type Tally } from './score/tally.ts';

const { values } = parseArgs({
  options: {
    campaign: { type: 'string' },
    cases: { type: 'string' },
    seed: { type: 'string', default: '1' },
    theme: { type: 'string' },
    faults: { type: 'string', default: '0' },
  },
});

/** How many cases make the full measure of each campaign. */
const FULL_SIZE: Readonly<Record<string, number>> = { a: 60, b: 132, c: 120, n: 2000, d: 24 };
const REPORTS: Readonly<Record<string, (cases: number) => void>> = {
  a: (cases) => reportNames('a', plainCase, ORDINARY_BOUNDS, cases),
  b: (cases) => {
    const theme = HARD_THEMES.find((name) => name === values.theme);
    reportNames('b', (seed) => hardCase(seed, theme), HARD_BOUNDS, cases);
  },
  c: reportNull,
  n: reportLineNull,
  d: reportComparisons,
};
const chosen = values.campaign === undefined ? Object.keys(REPORTS) : [values.campaign];
for (const campaign of chosen) {
  const report = REPORTS[campaign];
  if (report === undefined) {
    process.stderr.write(`no campaign ${campaign}: choose one of ${Object.keys(REPORTS).join(', ')}\n`);
    process.exit(2);
  }
  report(Number(values.cases ?? (values.campaign === undefined ? FULL_SIZE[campaign] : 40)));
}

/** Lines found and named in captures of one campaign. */
function reportNames(letter: string, makeCase: (seed: number) => AccuracyCase, bounds: Bounds, cases: number): void {
  const most = Number(values.faults);
  const faults: Record<string, string[]> = { missed: [], phantom: [], named: [] };
  const note = ({ subject, spurs, names }: CaseScore): void => {
    const where = (hz: number, db: number): string =>
      `seed ${subject.seed} (${subject.name}) ${(hz / 1e6).toFixed(6)} MHz, ${db.toFixed(1)} dB over floor`;
    for (const miss of spurs.missed) faults['missed']!.push(where(miss.frequencyHz, miss.overFloorDb));
    for (const extra of spurs.phantomAt) faults['phantom']!.push(where(extra.frequencyHz, extra.overFloorDb));
    for (const fault of names.faults)
      faults['named']!.push(`${where(fault.frequencyHz, fault.overFloorDb)}: is ${fault.truth}; said ${fault.said}`);
  };
  const byName = new Map<string, Tally>();
  const byReception = new Map<string, Tally>();
  const fine = emptyTally();
  const coarse = emptyTally();
  runCampaign(makeCase, cases, Number(values.seed), (score) => {
    note(score);
    const { subject } = score;
    // bounds are promised where points are no further apart than the bandwidth
    addScore(subject.spacingHz > subject.rbwHz ? coarse : fine, score);
    addScore(member(byName, subject.name), score);
    addScore(member(byReception, subject.reception), score);
  });
  const figures = figuresOf(fine, bounds);
  process.stdout.write(
    `campaign ${letter}, ${cases} cases from seed ${values.seed}; ${fine.cases} with points no further apart than the bandwidth\n${figures.map(row).join('\n')}\n`,
  );
  if (byName.size > 1) process.stdout.write(groups('sources', byName));
  if (byReception.size > 1) process.stdout.write(groups('reception', byReception));
  if (coarse.cases > 0)
    process.stdout.write(`coarse points, no bounds\n${figuresOf(coarse, {}).map(row).join('\n')}\n`);
  for (const [kind, list] of Object.entries(faults)) {
    // the first of each seed, so that one bad capture does not hide the others
    const perSeed = new Map<string, number>();
    const shown = list.filter((text) => {
      const seed = text.split(' ')[1]!;
      perSeed.set(seed, (perSeed.get(seed) ?? 0) + 1);
      return perSeed.get(seed)! <= 3;
    });
    for (const text of shown.slice(0, most)) process.stdout.write(`${kind}: ${text}\n`);
  }
  if (!figures.every(holds)) process.exitCode = 1;
}

function member(groupOf: Map<string, Tally>, key: string): Tally {
  let tally = groupOf.get(key);
  if (tally === undefined) groupOf.set(key, (tally = emptyTally()));
  return tally;
}

/** One line a group: the figures that matter most. */
function groups(title: string, groupOf: ReadonlyMap<string, Tally>): string {
  const shown = [
    'recall of clear lines',
    'phantoms a capture',
    'frequency error, isolated, RBW rms',
    'frequency inside 1 sigma',
    'level error, mean dB',
    'level inside 1 sigma',
    'right source and harmonic',
    'wrong, of judged lines',
    'only owner: said source',
    'unknown combs found in 20 ppm',
  ];
  const heads = ['recall', 'phantom', 'f rms', 'f 1σ', 'lev dB', 'lev 1σ', 'right', 'wrong', 'said', 'unknown'];
  const lines = [...groupOf].sort().map(([key, tally]) => {
    const figures = figuresOf(tally, {});
    const cells = shown.map((name) =>
      figures
        .find((figure) => figure.name === name)!
        .value.toFixed(4)
        .padStart(8),
    );
    return `${key.padEnd(28)}${String(tally.cases).padStart(4)} ${cells.join('')}`;
  });
  return `${title.padEnd(32)} ${heads.map((head) => head.padStart(8)).join('')}\n${lines.join('\n')}\n`;
}

function row(figure: Figure): string {
  const bound = [
    figure.least === undefined ? '' : `≥ ${figure.least}`,
    figure.most === undefined ? '' : `≤ ${figure.most}`,
  ]
    .filter((text) => text !== '')
    .join(' and ');
  const verdict = bound === '' ? '' : holds(figure) ? 'holds' : 'FAILS';
  return `${figure.name.padEnd(38)} ${figure.value.toFixed(4).padStart(9)}  of ${String(figure.of).padStart(7)}  ${bound.padEnd(18)} ${verdict}`;
}

function reportNull(cases: number): void {
  process.stdout.write(
    `campaign c, ${cases} captures of each kind from seed ${values.seed}; nothing registered runs\n`,
  );
  reportChance((kind, onClaim) => runNull(kind, cases, Number(values.seed), onClaim));
}

function reportLineNull(cases: number): void {
  process.stdout.write(
    `campaign n, ${cases} lists of lines of each kind from seed ${values.seed}; nothing registered runs\n`,
  );
  reportChance((kind, onClaim) => runLineNull(kind, cases, Number(values.seed), onClaim));
}

/** The share of captures with a claim below each level beside the level, and the power at it. */
function reportChance(
  run: (kind: NullRow['kind'], onClaim: (seed: number, source: string, chance: number) => void) => readonly NullRow[],
): void {
  const claims: string[] = [];
  for (const kind of ['random lines', 'unregistered combs'] as const)
    for (const one of run(kind, (seed, source, chance) =>
      claims.push(`claimed: seed ${seed} (${kind}) ${source} at chance ${chance.toExponential(1)}`),
    )) {
      const limit = mostClaims(one.level, one.captures);
      const verdict = one.claimed <= limit ? 'holds' : 'FAILS';
      if (one.claimed > limit) process.exitCode = 1;
      process.stdout.write(
        `${kind.padEnd(20)} chance < ${String(one.level).padEnd(6)} claimed in ${String(one.claimed).padStart(5)} of ${one.captures} (≤ ${limit.toFixed(1)}) ${verdict}; power ${one.power} of ${one.powerOf}\n`,
      );
    }
  for (const text of claims.slice(0, Number(values.faults))) process.stdout.write(`${text}\n`);
}

function reportComparisons(cases: number): void {
  const seed = Number(values.seed);
  const tried = runComparisons(FIX_TRIED, cases, seed);
  const figures: Figure[] = [
    { name: 'right status', value: tried.right / tried.judged, of: tried.judged, least: 0.98 },
    { name: 'false cleared', value: tried.falseCleared, of: tried.judged, most: 0 },
    { name: 'was there before, called new', value: tried.falseNew, of: tried.judged, most: 0 },
    ...Object.entries(tried.byKind).map(([kind, { judged, right }]) => ({
      name: `  ${kind}`,
      value: right / judged,
      of: judged,
    })),
  ];
  // the same state twice, each line scattered by the set-up's default repeatability: changes at the stated rate
  const twice: BeforeAfterOptions = { deeds: false, repeats: 1, levelScatterDb: 1, wanderPpm: 100 };
  const same = runComparisons(twice, cases, seed);
  const stated = DEFAULT_COMPARE_SETTINGS.changeRate;
  const sampling = 4 * Math.sqrt(stated / same.unchanged);
  figures.push(
    {
      name: 'same state twice: called changed',
      value: same.unchangedCalledChanged / same.unchanged,
      of: same.unchanged,
      least: Math.max(0, stated - sampling),
      most: stated + sampling,
    },
    {
      name: 'same state twice: change / sigma, rms',
      value: Math.sqrt(same.squaredPull / same.unchanged),
      of: same.unchanged,
    },
    { name: 'same state twice: cleared or new', value: same.falseCleared + same.falseNew, of: same.unchanged, most: 0 },
  );
  process.stdout.write(`campaign d, ${cases} cases from seed ${seed}\n${figures.map(row).join('\n')}\n`);
  // what must never be said comes first
  const grave = ({ expected }: StatusFault): number => (expected.includes('never') ? 0 : 1);
  for (const fault of [...tried.faults, ...same.faults]
    .sort((a, b) => grave(a) - grave(b))
    .slice(0, Number(values.faults)))
    process.stdout.write(
      `seed ${fault.seed} ${(fault.frequencyHz / 1e6).toFixed(6)} MHz ${fault.line}: ${fault.expected}; said ${fault.said}\n`,
    );
  if (!figures.every(holds)) process.exitCode = 1;
}
