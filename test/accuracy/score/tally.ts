import { emptyNameScore, type NameScore } from './score-names.ts';
import { emptySpurScore, type SpurScore } from './score-spurs.ts';

/** Adds the counts of one score to another; lists are left alone. */
export function addCounts<T extends object>(total: T, one: T): void {
  const sums = total as Record<string, unknown>;
  for (const [key, value] of Object.entries(one))
    if (typeof value === 'number') sums[key] = (sums[key] as number) + value;
}

export interface Tally {
  cases: number;
  readonly spurs: SpurScore;
  readonly names: NameScore;
}

export function emptyTally(): Tally {
  return { cases: 0, spurs: emptySpurScore(), names: emptyNameScore() };
}

/** One figure with the bound that it has to keep, if any. */
export interface Figure {
  readonly name: string;
  readonly value: number;
  /** How many things it was counted over. */
  readonly of: number;
  readonly least?: number;
  readonly most?: number;
}

/** A figure that was counted over nothing keeps every bound. */
export function holds({ value, of, least, most }: Figure): boolean {
  return of === 0 || ((least === undefined || value >= least) && (most === undefined || value <= most));
}

/** Bounds of the ordinary campaign, and of the hard one. Left out: only printed. */
export type Bounds = Readonly<Record<string, { readonly least?: number; readonly most?: number }>>;

/** The figures of a campaign beside their bounds. */
export function figuresOf({ cases, spurs, names }: Tally, bounds: Bounds): Figure[] {
  const share = (name: string, part: number, of: number): Figure => ({
    name,
    value: of === 0 ? NaN : part / of,
    of,
    ...bounds[name],
  });
  const rms = (name: string, sum: number, of: number): Figure => ({
    name,
    value: Math.sqrt(sum / of),
    of,
    ...bounds[name],
  });
  return [
    share('recall of clear lines', spurs.found, spurs.clearLines),
    share('phantoms a capture', spurs.phantoms, cases),
    rms('frequency error, isolated, RBW rms', spurs.squaredErrorRbw, spurs.isolated),
    rms('frequency error, all clear, RBW rms', spurs.squaredErrorAllRbw, spurs.found),
    share('frequency inside 1 sigma', spurs.insideOne, spurs.isolated),
    share('frequency inside 2 sigma', spurs.insideTwo, spurs.isolated),
    share('level error, mean dB', spurs.sumLevelDb, spurs.isolated),
    rms('level error, dB rms', spurs.squaredLevelDb, spurs.isolated),
    share('level inside 1 sigma', spurs.levelInsideOne, spurs.isolated),
    share('level inside 2 sigma', spurs.levelInsideTwo, spurs.isolated),
    share('right source and harmonic', names.right, names.judged),
    share('wrong, of judged lines', names.wrongJudged, names.judged),
    share('wrong, of all lines named', names.wrong, names.named),
    share('only owner: said source', names.onlyOwnerSaidSource, names.onlyOwner),
    share('foreign lines blamed', names.foreignBlamed, names.foreign),
    share('foreign blamed beyond accident', names.foreignBlamed - names.foreignExpected, names.foreign),
    share('unknown combs found in 20 ppm', names.unknownFound, names.unknownCombs),
    share('unknown combs inside own 3 sigma', names.unknownInsideThree, names.unknownFound),
    share('false unknown combs a capture', names.unknownFalse, cases),
  ];
}
