import type { LineExplanation } from '../../model/attribution.ts';
import type { Spur } from '../../model/spur.ts';
import { formatDecimal, formatFrequency, prefixFor } from '../../units/format.ts';
import type { Drawing, Mark } from './drawing.ts';
import { niceTicks } from './nice-ticks.ts';
import type { PlotColumns } from './plot-columns.ts';
import { pageText } from './safe-text.ts';

export interface PlotBand {
  readonly name: string;
  readonly lowHz: number;
  readonly highHz: number;
}

export interface SpectrumPlotInput {
  readonly columns: PlotColumns;
  readonly spurs: readonly Spur[];
  readonly explanations: readonly LineExplanation[];
  readonly letterOf: (designator: string) => string;
  readonly bands: readonly PlotBand[];
  readonly unitName: string;
  readonly name: string;
}

const WIDTH = 515;
const HEIGHT = 232;
const PLOT = { left: 46, right: WIDTH - 6, top: 34, bottom: HEIGHT - 30 };
/** Room that one label takes; words are given to the strongest lines first. */
const LABEL_WIDTH = 27;

/**
 * One spectrum in ink: the trace (smallest to largest level of each column), the floor as a broken line, a mark over every spur and
 * words over the strongest. Marks of cause are told apart by their fill, so that print in grey says all that colour would.
 */
export function spectrumPlot(input: SpectrumPlotInput): Drawing {
  const { columns, spurs, explanations, bands, unitName } = input;
  const { lowHz, highHz } = columns;
  const [bottomDb, topDb] = levelRange(columns, spurs);
  const x = (hz: number): number => PLOT.left + ((hz - lowHz) / (highHz - lowHz)) * (PLOT.right - PLOT.left);
  const y = (db: number): number =>
    PLOT.bottom -
    ((Math.min(topDb, Math.max(bottomDb, db)) - bottomDb) / (topDb - bottomDb)) * (PLOT.bottom - PLOT.top);
  const marks: Mark[] = [
    ...bandMarks(bands, lowHz, highHz, x),
    ...frameMarks(lowHz, highHz, bottomDb, topDb, x, y, unitName),
    ...traceMarks(columns, x, y),
    ...spurMarks(spurs, explanations, x, y),
    ...labelMarks(spurs, explanations, input.letterOf, x),
  ];
  const strongest = [...spurs].sort((a, b) => b.overFloorDb - a.overFloorDb)[0];
  const alt =
    `Spectrum of ${pageText(input.name)} from ${formatFrequency(lowHz)} to ${formatFrequency(highHz)}: ${spurs.length} ${spurs.length === 1 ? 'spur' : 'spurs'}` +
    (strongest === undefined
      ? '.'
      : `, the highest over its floor at ${formatFrequency(strongest.frequencyHz)}, ${formatDecimal(strongest.overFloorDb, 1)} dB.`);
  return { width: WIDTH, height: HEIGHT, marks, alt };
}

function levelRange({ minimumDb, maximumDb }: PlotColumns, spurs: readonly Spur[]): [number, number] {
  const lows = minimumDb.filter(Number.isFinite);
  const highs = maximumDb.filter(Number.isFinite);
  if (lows.length === 0) return [-1, 1];
  // the lowest per cent of columns are deep dips of noise: they may touch the frame
  const low = lows.sort()[Math.floor(lows.length / 100)]!;
  const high = spurs.reduce((most, { levelDb }) => Math.max(most, levelDb), highs.sort().at(-1)!);
  const step = high - low > 60 ? 10 : 5;
  const bottom = Math.floor((low - 1) / step) * step;
  return [bottom, Math.max(bottom + step, Math.ceil((high + 1) / step) * step)];
}

function bandMarks(bands: readonly PlotBand[], lowHz: number, highHz: number, x: (hz: number) => number): Mark[] {
  return bands
    .filter((band) => band.highHz > lowHz && band.lowHz < highHz)
    .flatMap((band): Mark[] => {
      const [left, right] = [x(Math.max(lowHz, band.lowHz)), x(Math.min(highHz, band.highHz))];
      const name: Mark = {
        kind: 'text',
        x: (left + right) / 2,
        y: HEIGHT - 2,
        size: 7,
        text: pageText(band.name).slice(0, Math.max(3, Math.floor((right - left) / 3.6))),
        anchor: 'middle',
        ink: 'ink',
      };
      const line: Mark = {
        kind: 'segments',
        lines: [[left + 1, HEIGHT - 10, right - 1, HEIGHT - 10]],
        stroke: 'ink',
        width: 1.6,
      };
      return [
        {
          kind: 'rect',
          x: left,
          y: PLOT.top,
          width: right - left,
          height: PLOT.bottom - PLOT.top,
          fill: 'pale',
          stroke: null,
        },
        line,
        name,
      ];
    });
}

function frameMarks(
  lowHz: number,
  highHz: number,
  bottomDb: number,
  topDb: number,
  x: (hz: number) => number,
  y: (db: number) => number,
  unitName: string,
): Mark[] {
  const prefix = prefixFor(highHz);
  const text = (at: Partial<Extract<Mark, { kind: 'text' }>> & { x: number; y: number; text: string }): Mark => ({
    kind: 'text',
    size: 7,
    anchor: 'middle',
    ink: 'ink',
    ...at,
  });
  const frequencies = niceTicks(lowHz, highHz, 8);
  const levels = niceTicks(bottomDb, topDb, 6);
  return [
    {
      kind: 'segments',
      stroke: 'grey',
      width: 0.25,
      lines: levels.map((db) => [PLOT.left, y(db), PLOT.right, y(db)] as const),
    },
    {
      kind: 'segments',
      stroke: 'ink',
      width: 0.6,
      lines: [
        [PLOT.left, PLOT.top, PLOT.left, PLOT.bottom],
        [PLOT.left, PLOT.bottom, PLOT.right, PLOT.bottom],
      ],
    },
    {
      kind: 'segments',
      stroke: 'ink',
      width: 0.6,
      lines: frequencies.map((hz) => [x(hz), PLOT.bottom, x(hz), PLOT.bottom + 3] as const),
    },
    ...frequencies.map((hz) =>
      text({
        x: Math.min(x(hz), PLOT.right - 12),
        y: PLOT.bottom + 11,
        text: `${formatDecimal(hz / prefix.factor, tickDecimals(frequencies, prefix.factor))}`,
      }),
    ),
    ...levels.map((db) => text({ x: PLOT.left - 4, y: y(db) + 2.5, anchor: 'end', text: formatDecimal(db) })),
    text({ x: PLOT.left, y: HEIGHT - 2, anchor: 'end', text: `${prefix.symbol}Hz` }),
    text({
      x: 8,
      y: (PLOT.top + PLOT.bottom) / 2,
      text: `level [${unitName === 'unknown' ? 'unit unknown' : unitName}]`,
      upright: true,
    }),
  ];
}

function tickDecimals(ticks: readonly number[], factor: number): number {
  const step = ticks.length > 1 ? (ticks[1]! - ticks[0]!) / factor : 1;
  return Math.max(0, -Math.floor(Math.log10(step) + 1e-9));
}

function traceMarks(columns: PlotColumns, x: (hz: number) => number, y: (db: number) => number): Mark[] {
  const { frequencyHz, minimumDb, maximumDb, floorDb } = columns;
  const lines: [number, number, number, number][] = [];
  const floor: [number, number][] = [];
  let lastY = NaN;
  for (let c = 0; c < frequencyHz.length; c++) {
    const at = x(frequencyHz[c]!);
    if (Number.isFinite(floorDb[c]!)) floor.push([at, y(floorDb[c]!)]);
    if (!Number.isFinite(minimumDb[c]!)) {
      lastY = NaN;
      continue;
    }
    let [top, bottom] = [y(maximumDb[c]!), y(minimumDb[c]!)];
    // each column reaches its neighbour, so that a smooth trace is a line and not dust
    if (lastY < top) top = lastY;
    if (lastY > bottom) bottom = lastY;
    lines.push([at, top, at, Math.max(bottom, top + 0.4)]);
    lastY = (y(maximumDb[c]!) + y(minimumDb[c]!)) / 2;
  }
  return [
    { kind: 'segments', lines, stroke: 'grey', width: 0.7 },
    ...(floor.length > 1 ? [{ kind: 'path', points: floor, stroke: 'ink', width: 0.8, dash: [4, 2] } as const] : []),
  ];
}

/** Full: one source; half, as a disc with a paper dot: two or more explanations; empty: nobody knows. */
function spurMarks(
  spurs: readonly Spur[],
  explanations: readonly LineExplanation[],
  x: (hz: number) => number,
  y: (db: number) => number,
): Mark[] {
  return spurs.flatMap((spur, i): Mark[] => {
    const cause = explanations[i]?.cause ?? 'unexplained';
    const at = { x: x(spur.frequencyHz), y: y(spur.levelDb) - 4, radius: 2 } as const;
    const known = cause === 'source' || cause === 'ambiguous' || cause === 'shared';
    const disc: Mark = { kind: 'disc', ...at, fill: known ? 'ink' : 'paper', stroke: 'ink' };
    return cause === 'source' || !known
      ? [disc]
      : [disc, { kind: 'disc', ...at, radius: 0.9, fill: 'paper', stroke: 'paper' }];
  });
}

function labelMarks(
  spurs: readonly Spur[],
  explanations: readonly LineExplanation[],
  letterOf: (designator: string) => string,
  x: (hz: number) => number,
): Mark[] {
  const slots = Math.floor((PLOT.right - PLOT.left) / LABEL_WIDTH);
  const taken = new Map<number, number>();
  const order = spurs.map((_, i) => i).sort((a, b) => spurs[b]!.overFloorDb - spurs[a]!.overFloorDb);
  for (const i of order) {
    const slot = Math.min(slots - 1, Math.max(0, Math.floor((x(spurs[i]!.frequencyHz) - PLOT.left) / LABEL_WIDTH)));
    if (!taken.has(slot)) taken.set(slot, i);
  }
  return [...taken].flatMap(([slot, i]): Mark[] => {
    const middle = PLOT.left + (slot + 0.5) * LABEL_WIDTH;
    const spur = spurs[i]!;
    const at = x(spur.frequencyHz);
    return [
      { kind: 'segments', lines: [[middle, 22, at, PLOT.top]], stroke: 'grey', width: 0.35 },
      {
        kind: 'text',
        x: middle,
        y: 11,
        size: 7,
        anchor: 'middle',
        ink: 'ink',
        bold: true,
        text: tagOf(explanations[i], letterOf),
      },
      {
        kind: 'text',
        x: middle,
        y: 19,
        size: 6,
        anchor: 'middle',
        ink: 'ink',
        text: (spur.frequencyHz / prefixFor(spur.frequencyHz).factor).toPrecision(4),
      },
    ];
  });
}

const WORDS: Readonly<Partial<Record<LineExplanation['cause'], string>>> = {
  beat: 'beat',
  sideband: 'side',
  ambient: 'outside',
  instrument: 'kit',
  unexplained: 'nobody',
};

function tagOf(explanation: LineExplanation | undefined, letterOf: (designator: string) => string): string {
  if (explanation === undefined) return 'nobody';
  const word = WORDS[explanation.cause];
  if (word !== undefined) return word;
  const names = explanation.candidates
    .slice(0, 2)
    .map(({ source, harmonic }) => `${source === null ? 'u' : letterOf(source)}${harmonic}`);
  return names.length === 0 ? 'nobody' : explanation.cause === 'source' ? names[0]! : names.join('|');
}
