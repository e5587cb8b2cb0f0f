import type { LineTable } from '../../../src-main/engine/attribution/line-table.ts';
import { attribute, type AttributionResult } from '../../../src-main/engine/attribution/attribute.ts';
import type { Source } from '../../../src-main/model/source.ts';
import type { Spur } from '../../../src-main/model/spur.ts';

/** A seeded generator: uniform numbers in [0, 1) and standard normal ones. */
export function seeded(seed: number): { uniform: () => number; normal: () => number } {
  let state = seed >>> 0;
  const uniform = (): number => {
    state = (state + 0x6d2b79f5) | 0;
    let t = Math.imul(state ^ (state >>> 15), 1 | state);
    t = (t + Math.imul(t ^ (t >>> 7), 61 | t)) ^ t;
    return ((t ^ (t >>> 14)) >>> 0) / 4294967296;
  };
  const normal = (): number => Math.sqrt(-2 * Math.log(1 - uniform())) * Math.cos(2 * Math.PI * uniform());
  return { uniform, normal };
}

export function source(designator: string, nominalHz: number, more: Partial<Source> = {}): Source {
  return {
    designator,
    kind: 'converter',
    nominalHz,
    tolerancePpm: null,
    driftPpmPerK: null,
    spreadPpm: null,
    lock: null,
    duty: null,
    riseS: null,
    maxHarmonic: null,
    adjust: null,
    fedBy: null,
    owner: 'ours',
    serial: '',
    notes: '',
    ...more,
  };
}

/** A list of line frequencies measured with a Gaussian error, as the spur stage would hand it over. */
export class Scene {
  readonly lowHz: number;
  readonly highHz: number;
  readonly rbwHz: number;
  readonly sigmaHz: number;
  private readonly random;
  private readonly truth: { readonly hz: number; readonly levelDb: number }[] = [];

  constructor(seed: number, lowHz = 1e6, highHz = 20e6, rbwHz = 3000, sigmaHz = 60) {
    this.lowHz = lowHz;
    this.highHz = highHz;
    this.rbwHz = rbwHz;
    this.sigmaHz = sigmaHz;
    this.random = seeded(seed);
  }

  comb(
    fundamentalHz: number,
    keep: (n: number, uniform: number) => boolean = () => true,
    levelDb: (n: number) => number = () => -80,
  ): this {
    for (let n = Math.ceil(this.lowHz / fundamentalHz); n * fundamentalHz < this.highHz; n++)
      if (keep(n, this.random.uniform())) this.line(n * fundamentalHz, levelDb(n));
    return this;
  }

  line(hz: number, levelDb = -80): this {
    this.truth.push({ hz, levelDb });
    return this;
  }

  foreign(count: number): this {
    for (let i = 0; i < count; i++) this.line(this.lowHz + this.random.uniform() * (this.highHz - this.lowHz));
    return this;
  }

  spurs(): { spurs: Spur[]; frequencyHz: Float64Array } {
    const spacingHz = this.rbwHz / 2;
    const points = Math.floor((this.highHz - this.lowHz) / spacingHz) + 1;
    const frequencyHz = Float64Array.from({ length: points }, (_, i) => this.lowHz + i * spacingHz);
    const separate: { readonly hz: number; readonly levelDb: number }[] = [];
    for (const line of [...this.truth].sort((a, b) => a.hz - b.hz))
      if (separate.length === 0 || line.hz - separate[separate.length - 1]!.hz > this.rbwHz) separate.push(line);
    const spurs = separate.map(({ hz: f, levelDb }): Spur => {
      const peakIndex = Math.round((f - this.lowHz) / spacingHz);
      return {
        frequencyHz: f + this.sigmaHz * this.random.normal(),
        frequencySigmaHz: this.sigmaHz,
        levelDb,
        levelSigmaDb: 0.5,
        floorDb: -100,
        overFloorDb: levelDb + 100,
        widthHz: this.rbwHz,
        shape: 'line',
        peakIndex,
        firstIndex: Math.max(0, peakIndex - 2),
        lastIndex: Math.min(points - 1, peakIndex + 2),
        crowded: false,
      };
    });
    return { spurs, frequencyHz };
  }

  attribute(sources: readonly Source[], sourcesOff: readonly string[] = []): AttributionResult & { spurs: Spur[] } {
    const { spurs, frequencyHz } = this.spurs();
    const result = attribute({
      spurs,
      frequencyHz,
      rbwHz: this.rbwHz,
      sparse: false,
      sources,
      sourcesOff,
      claimChance: 1e-3,
      matchSigma: 3,
      axisPpm: 1,
    });
    return { ...result, spurs };
  }
}

/** A comb with these levels from its first harmonic on, and the table of its lines; null: not seen. The edge of sight is at 0 dB. */
export function seenComb(levels: readonly (number | null)[]): {
  lines: LineTable;
  comb: { firstHarmonic: number; matches: Int32Array };
} {
  const column = Float64Array.from(levels, (level) => level ?? NaN);
  return {
    lines: {
      count: levels.length,
      frequencyHz: Float64Array.from(levels, (_, i) => (i + 1) * 1e5),
      sigmaHz: column,
      fromHz: column,
      toHz: column,
      overFloorDb: column,
      levelDb: column,
      resolutionHz: 1e3,
    },
    comb: { firstHarmonic: 1, matches: Int32Array.from(levels, (level, i) => (level === null ? -1 : i)) },
  };
}
