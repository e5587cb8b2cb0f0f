import { describe, expect, it } from 'vitest';
import { analyseTrace } from '../../../src-main/engine/analyse.ts';
import { UNKNOWN_SETTINGS } from '../../../src-main/model/capture.ts';
import { DEFAULT_TRIAGE_SETTINGS } from '../../../src-main/model/triage-settings.ts';
import { seededRandom } from '../../accuracy/simulator/random.ts';
import { sweep } from '../../accuracy/simulator/sweep.ts';
import { source } from '../attribution/scene.ts';
import { LineScene } from './line-scene.ts';

const MODULATED = source('SS', 5e5, { tolerancePpm: 30_000, spreadPpm: 20_000 });

describe('humps of a modulated source', () => {
  it('are named by place and width, and tell how far it sweeps', () => {
    const scene = new LineScene(1);
    for (let n = 1; n <= 16; n++) if (n % 5 !== 0) scene.hump(n * 502e3, n * 502e3 * 0.018);
    const { explanations, combs, spreads, spurs } = scene.foreign(15).explain({ sources: [MODULATED] });
    expect(combs.map((comb) => comb.source)).toEqual(['SS']);
    expect(Math.abs(combs[0]!.fundamentalHz - 502e3)).toBeLessThan(3 * combs[0]!.fundamentalSigmaHz);
    expect(combs[0]!.harmonicsSeen).not.toContain(5);
    expect(spreads[0]).toMatchObject({ source: 'SS', statedPpm: 20_000 });
    expect(Math.abs(spreads[0]!.estimatedPpm - 18_000)).toBeLessThan(2 * spreads[0]!.sigmaPpm);
    const third = spurs.findIndex((spur) => spur.shape === 'hump' && Math.abs(spur.frequencyHz - 3 * 502e3) < 10e3);
    expect(explanations[third]).toMatchObject({ cause: 'source', candidates: [{ source: 'SS', harmonic: 3 }] });
    expect(explanations[third]!.why).toMatch(
      /hump 27\.\d+ kHz wide.*harmonic 3 of SS, whose modulation makes it 30\.\d+ kHz/,
    );
  });

  it('that do not widen with their number are not its own', () => {
    const scene = new LineScene(2);
    for (let n = 1; n <= 16; n++) scene.hump(n * 502e3, 40e3);
    expect(scene.explain({ sources: [MODULATED] }).combs).toEqual([]);
  });

  it('are not claimed of lines and humps at random more often than stated', () => {
    const captures = 80;
    const smallest: number[] = [];
    for (let seed = 0; seed < captures; seed++) {
      const scene = new LineScene(seed + 60_000).foreign(seed % 4 === 0 ? 300 : 20);
      for (let i = 0; i < 2 + (seed % 15); i++) {
        const hz = scene.between(0.6e6, 12e6);
        scene.hump(hz, hz * 0.02 * scene.between(0.3, 2));
      }
      const sources = [
        MODULATED,
        source('S2', 3.1e5, { tolerancePpm: 50_000, spreadPpm: 60_000 }),
        source('S3', 1.2e6, { tolerancePpm: 20_000, spreadPpm: 5_000 }),
      ];
      smallest.push(Math.min(1, ...scene.explain({ claimChance: 0.1, sources }).combs.map(({ chance }) => chance)));
    }
    for (const level of [0.1, 0.01, 0.001])
      expect(smallest.filter((chance) => chance < level).length, `chance < ${level}`).toBeLessThanOrEqual(
        level * captures + 3 * Math.sqrt(level * (1 - level) * captures),
      );
  });

  it.each([10_000, 20_000, 40_000])(
    'are put together from the peaks that few sweeps leave of them (%d ppm), and replace combs fitted to those peaks',
    (spreadPpm) => {
      const setup = {
        startHz: 0.2e6,
        spacingHz: 2e3,
        points: 4000,
        rbwHz: 3e3,
        filter: 'gaussian',
        sweeps: 64,
        combine: 'power',
        peakLooks: 1,
        overlapping: true,
        roundDb: 0.01,
      } as const;
      const wander = { driftPpm: 0, jitterPpm: 0, spreadPpm };
      const lines = Array.from({ length: 15 }, (_, i) => ({
        frequencyHz: (i + 1) * 502e3,
        levelDb: -60 - 3 * Math.log2(i + 1),
        wander,
      }));
      const level = sweep(setup, lines, new Float64Array(setup.points).fill(-100), seededRandom(4));
      const { combs, explanations, spreads, spurs } = analyseTrace({
        trace: {
          label: '',
          frequencyHz: Float64Array.from({ length: setup.points }, (_, i) => setup.startHz + i * setup.spacingHz),
          level,
          unit: { name: 'dBm', scale: 'decibel', quantity: 'power' } as never,
          settings: { ...UNKNOWN_SETTINGS, rbwHz: 3e3, averages: 64, averaging: 'power', detector: 'sample' },
        },
        sources: [source('SS', 5e5, { tolerancePpm: 30_000, spreadPpm }), source('V2', 7e5, { tolerancePpm: 50_000 })],
        condition: null,
        settings: DEFAULT_TRIAGE_SETTINGS,
      });
      expect(combs.map((comb) => comb.source)).toEqual(['SS']);
      expect(Math.abs(spreads![0]!.estimatedPpm / spreadPpm - 1)).toBeLessThan(0.2);
      const judged = spurs.flatMap(({ frequencyHz }, i) => {
        const n = Math.round(frequencyHz / 502e3);
        const { cause, candidates } = explanations[i]!;
        return n <= 0.4 / (spreadPpm * 1e-6) ? [cause === 'source' && candidates[0]!.harmonic === n] : [];
      });
      expect(judged.filter((right) => right).length).toBeGreaterThanOrEqual(0.95 * judged.length);
    },
  );
});
