import type { LineExplanation, Candidate } from '../model/attribution.ts';
import type { Spur } from '../model/spur.ts';
import type { Triage } from '../model/triage.ts';

/**
 * A triage as it is kept: what there is much of as columns of numbers, the rest as plain data.
 *
 * `numbers` holds the floor's mean, its threshold, then each number of the spurs, column by column. A capture full of lines takes less
 * than half the room that plain data would.
 */
export interface PackedTriage {
  readonly body: unknown;
  readonly numbers: Float64Array;
}

/** The numbers of a spur, in the order of their columns. */
const SPUR_NUMBERS = [
  'frequencyHz',
  'frequencySigmaHz',
  'levelDb',
  'levelSigmaDb',
  'floorDb',
  'overFloorDb',
  'widthHz',
  'peakIndex',
  'firstIndex',
  'lastIndex',
] as const satisfies readonly (keyof Spur)[];

interface Body {
  readonly rest: Omit<Triage, 'floor' | 'spurs' | 'explanations'>;
  readonly floor: Omit<Triage['floor'], 'meanDb' | 'thresholdDb'>;
  readonly points: number;
  readonly humps: readonly number[];
  readonly crowded: readonly number[];
  readonly explanations: readonly PackedExplanation[];
}

type PackedExplanation = readonly [
  cause: LineExplanation['cause'],
  why: string,
  candidates: readonly (readonly [Candidate['source'], number, number, number, number])[],
];

export function packTriage({ floor, spurs, explanations, ...rest }: Triage): PackedTriage {
  const { meanDb, thresholdDb, ...floorRest } = floor;
  const points = meanDb.length;
  const numbers = new Float64Array(2 * points + SPUR_NUMBERS.length * spurs.length);
  numbers.set(meanDb);
  numbers.set(thresholdDb, points);
  let at = 2 * points;
  for (const name of SPUR_NUMBERS) for (const spur of spurs) numbers[at++] = spur[name];
  const body: Body = {
    rest,
    floor: floorRest,
    points,
    humps: placesOf(spurs, (spur) => spur.shape === 'hump'),
    crowded: placesOf(spurs, (spur) => spur.crowded),
    explanations: explanations.map(({ cause, why, candidates }) => [
      cause,
      why,
      candidates.map((c) => [c.source, c.harmonic, c.predictedHz, c.predictedSigmaHz, c.chance]),
    ]),
  };
  return { body, numbers };
}

export function unpackTriage({ body, numbers }: PackedTriage): Triage {
  const { rest, floor, points, humps, crowded, explanations } = body as Body;
  const count = (numbers.length - 2 * points) / SPUR_NUMBERS.length;
  const humpPlaces = new Set(humps);
  const crowdedPlaces = new Set(crowded);
  const column = (name: (typeof SPUR_NUMBERS)[number]): Float64Array => {
    const from = 2 * points + SPUR_NUMBERS.indexOf(name) * count;
    return numbers.subarray(from, from + count);
  };
  const [frequencyHz, frequencySigmaHz, levelDb] = [
    column('frequencyHz'),
    column('frequencySigmaHz'),
    column('levelDb'),
  ];
  const [levelSigmaDb, floorDb, overFloorDb] = [column('levelSigmaDb'), column('floorDb'), column('overFloorDb')];
  const [widthHz, peakIndex] = [column('widthHz'), column('peakIndex')];
  const [firstIndex, lastIndex] = [column('firstIndex'), column('lastIndex')];
  const spurs = Array.from({ length: count }, (_, i): Spur => ({
    frequencyHz: frequencyHz[i]!,
    frequencySigmaHz: frequencySigmaHz[i]!,
    levelDb: levelDb[i]!,
    levelSigmaDb: levelSigmaDb[i]!,
    floorDb: floorDb[i]!,
    overFloorDb: overFloorDb[i]!,
    widthHz: widthHz[i]!,
    shape: humpPlaces.has(i) ? 'hump' : 'line',
    peakIndex: peakIndex[i]!,
    firstIndex: firstIndex[i]!,
    lastIndex: lastIndex[i]!,
    crowded: crowdedPlaces.has(i),
  }));
  return {
    ...rest,
    floor: { ...floor, meanDb: numbers.slice(0, points), thresholdDb: numbers.slice(points, 2 * points) },
    spurs,
    explanations: explanations.map(([cause, why, candidates]) => ({
      cause,
      why,
      candidates: candidates.map(([source, harmonic, predictedHz, predictedSigmaHz, chance]) => ({
        source,
        harmonic,
        predictedHz,
        predictedSigmaHz,
        chance,
      })),
    })),
  };
}

function placesOf(spurs: readonly Spur[], is: (spur: Spur) => boolean): number[] {
  return spurs.flatMap((spur, place) => (is(spur) ? [place] : []));
}
