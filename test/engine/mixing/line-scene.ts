import { explainMixing, type MixingInput } from '../../../src-main/engine/mixing/explain-mixing.ts';
import type { LineExplanation } from '../../../src-main/model/attribution.ts';
import type { Band } from '../../../src-main/model/band.ts';
import type { Comb } from '../../../src-main/model/comb.ts';
import type { Spur } from '../../../src-main/model/spur.ts';
import { seeded } from '../attribution/scene.ts';

interface TrueLine {
  readonly hz: number;
  readonly overFloorDb: number;
  /** Left out for an unresolved line. */
  readonly widthHz?: number;
  readonly owner: { readonly source: string; readonly harmonic: number } | null;
}

/** The lines of one capture with what attribution says of them, made without a trace: claimed combs, and lines that nothing explains. */
export class LineScene {
  readonly lowHz: number;
  readonly highHz: number;
  readonly rbwHz: number;
  readonly sigmaHz: number;
  readonly combs: Comb[] = [];
  readonly random: ReturnType<typeof seeded>;
  private readonly lines: TrueLine[] = [];

  constructor(seed: number, lowHz = 0.5e6, highHz = 20.5e6, rbwHz = 3000, sigmaHz = 60) {
    this.lowHz = lowHz;
    this.highHz = highHz;
    this.rbwHz = rbwHz;
    this.sigmaHz = sigmaHz;
    this.random = seeded(seed);
  }

  between(low: number, high: number): number {
    return low + (high - low) * this.random.uniform();
  }

  /** A claimed comb; its fundamental is known to `sigmaHz`, and off by that much. */
  comb(source: string, fundamentalHz: number, overFloorDb = 30, keep = 0.8, sigmaHz = 1): this {
    const harmonics: number[] = [];
    const expected: number[] = [];
    for (let n = Math.ceil(this.lowHz / fundamentalHz); n * fundamentalHz < this.highHz; n++) {
      expected.push(n);
      if (this.random.uniform() > keep) continue;
      harmonics.push(n);
      this.lines.push({
        hz: n * fundamentalHz,
        overFloorDb: overFloorDb + 5 * this.random.normal(),
        owner: { source, harmonic: n },
      });
    }
    this.combs.push({
      source,
      fundamentalHz: fundamentalHz + sigmaHz * this.random.normal(),
      fundamentalSigmaHz: sigmaHz,
      harmonicsSeen: harmonics,
      harmonicsExpected: expected,
      chance: 1e-9,
      couldAlsoBe: [],
    });
    return this;
  }

  line(hz: number, overFloorDb = 15): this {
    if (hz > this.lowHz && hz < this.highHz) this.lines.push({ hz, overFloorDb, owner: null });
    return this;
  }

  /** A hump that nothing explains. */
  hump(hz: number, widthHz: number, overFloorDb = 15): this {
    if (hz > this.lowHz && hz < this.highHz) this.lines.push({ hz, overFloorDb, owner: null, widthHz });
    return this;
  }

  foreign(count: number, lowHz = this.lowHz, highHz = this.highHz): this {
    for (let i = 0; i < count; i++) this.line(this.between(lowHz, highHz), 8 - 8 * Math.log(1 - this.random.uniform()));
    return this;
  }

  /** Stations on a raster. */
  stations(count: number, rasterHz: number, lowHz: number, highHz: number): this {
    for (let i = 0; i < count; i++)
      this.line(
        Math.round(this.between(lowHz, highHz) / rasterHz) * rasterHz,
        8 - 12 * Math.log(1 - this.random.uniform()),
      );
    return this;
  }

  input(more: Partial<MixingInput> = {}): MixingInput {
    const spacingHz = this.rbwHz / 1.5;
    const points = Math.floor((this.highHz - this.lowHz) / spacingHz) + 1;
    const frequencyHz = Float64Array.from({ length: points }, (_, i) => this.lowHz + i * spacingHz);
    const separate: TrueLine[] = [];
    for (const line of [...this.lines].sort((a, b) => a.hz - b.hz)) {
      const last = separate.at(-1);
      if (last !== undefined && line.hz - last.hz <= this.rbwHz) {
        if (line.overFloorDb > last.overFloorDb) separate[separate.length - 1] = line;
      } else separate.push(line);
    }
    const spurs = separate.map(({ hz, overFloorDb, widthHz = this.rbwHz }): Spur => {
      const peakIndex = Math.max(0, Math.min(points - 1, Math.round((hz - this.lowHz) / spacingHz)));
      return {
        frequencyHz: hz + Math.max(this.sigmaHz, 0.05 * (widthHz - this.rbwHz)) * this.random.normal(),
        frequencySigmaHz: this.sigmaHz,
        levelDb: -100 + overFloorDb,
        levelSigmaDb: 0.5,
        floorDb: -100,
        overFloorDb,
        widthHz,
        shape: widthHz > 2.2 * this.rbwHz ? 'hump' : 'line',
        peakIndex,
        firstIndex: Math.max(0, peakIndex - 1),
        lastIndex: Math.min(points - 1, peakIndex + 1),
        crowded: false,
      };
    });
    const explanations = separate.map(({ owner }, i): LineExplanation =>
      owner === null
        ? { cause: 'unexplained', candidates: [], why: '' }
        : {
            cause: 'source',
            candidates: [{ ...owner, predictedHz: separate[i]!.hz, predictedSigmaHz: 10, chance: 1e-9 }],
            why: '',
          },
    );
    return {
      spurs,
      explanations,
      combs: this.combs,
      sources: [],
      sourcesOff: [],
      bands: [],
      condition: null,
      frequencyHz,
      lineWidthHz: this.rbwHz,
      claimChance: 1e-3,
      matchSigma: 3,
      axisPpm: 1,
      ...more,
    };
  }

  explain(more: Partial<MixingInput> = {}) {
    const input = this.input(more);
    return { ...explainMixing(input), spurs: input.spurs };
  }
}

export function band(name: string, more: Partial<Band>): Band {
  return {
    name,
    lowHz: 1e6,
    highHz: 20e6,
    channelHz: null,
    channelOriginHz: null,
    allowedOverFloorDb: null,
    allowedLevel: null,
    allowedUnit: null,
    weight: 1,
    sampleRateHz: null,
    localOscillatorHz: null,
    ...more,
  };
}
