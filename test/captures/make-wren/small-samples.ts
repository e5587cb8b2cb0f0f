import { buildCase, type CaseInput } from '../../accuracy/cases/build-case.ts';
import type { AccuracyCase } from '../../accuracy/cases/case.ts';
import { plainSource } from '../../accuracy/cases/random-parts.ts';
import { statedSettings } from '../../accuracy/cases/stated-settings.ts';
import { surroundingsOf } from '../../accuracy/score/surroundings.ts';
import { randomCoupling } from '../../accuracy/simulator/coupling.ts';
import { seededRandom } from '../../accuracy/simulator/random.ts';
import { STEADY, type SweepSetup } from '../../accuracy/simulator/sweep.ts';

const SEED = 20_260_401;

/** A single converter over a plain floor, 3 001 points; levels in dB of whatever unit the file is in. */
function smallCase(seed: number, more: Partial<SweepSetup>, floorDb: number, fundamentalHz: number): AccuracyCase {
  const setup: SweepSetup = {
    startHz: 100e3,
    spacingHz: 2500,
    points: 3001,
    rbwHz: 3000,
    filter: 'gaussian',
    sweeps: 16,
    combine: 'power',
    peakLooks: 1,
    overlapping: true,
    roundDb: 0.01,
    ...more,
  };
  const random = seededRandom(seed);
  const input: CaseInput = {
    name: `small sample ${seed}`,
    seed,
    setup,
    floorDb: (hz) => floorDb - 2 * Math.log10(hz / 100e3),
    emitters: [
      {
        name: 'CONV-1',
        registered: true,
        fundamentalHz,
        duty: 0.37,
        riseS: 25e-9,
        coupling: randomCoupling(random, { notches: 0, undulationDb: 2, slopeDbPerDecade: 6 }),
        strongestOverFloorDb: 42,
        wander: STEADY,
      },
    ],
    foreign: [{ frequencyHz: 1_234_500, overFloorDb: 24 }],
    sources: [plainSource('CONV-1', 'converter', Math.round(fundamentalHz / 1e4) * 1e4, 50_000)],
    settings: statedSettings(setup),
    axis: { referencePpm: 0, spanPpm: 0 },
  };
  return buildCase(input, random);
}

function comma(value: number, digits: number): string {
  return value.toFixed(digits).replace('.', ',');
}

/** The small captures in other layouts and the answers to them, path under sample-captures → text. */
export function smallFiles(): Map<string, string> {
  const files = new Map<string, string>();
  const european = smallCase(SEED, {}, 5, 143_870);
  files.set(
    'layouts/semicolon-decimal-comma.csv',
    [
      'Hinweis;erfundene Daten, nichts davon wurde gemessen',
      'Auflösebandbreite;3 kHz',
      'Mittelungen;16',
      'Mittelungsart;Leistung',
      'Detektor;Sample',
      '',
      'Frequenz [MHz];Pegel [dBµV]',
      ...Array.from(european.frequencyHz, (hz, i) => `${comma(hz / 1e6, 4)};${comma(european.levelDb[i]!, 2)}`),
      '',
    ].join('\r\n'),
  );

  const averaged = smallCase(SEED + 1, {}, -104, 262_140);
  const held = smallCase(SEED + 1, { combine: 'max-hold' }, -104, 262_140);
  files.set(
    'layouts/two-traces.csv',
    [
      '# invented data: nothing here was measured',
      '# RBW: 3 kHz',
      '# Sweeps averaged: 16',
      'frequency (kHz),average (dBm),max hold (dBm)',
      ...Array.from(
        averaged.frequencyHz,
        (hz, i) => `${hz / 1e3},${averaged.levelDb[i]!.toFixed(2)},${held.levelDb[i]!.toFixed(2)}`,
      ),
      '',
    ].join('\n'),
  );

  // linear volts: 20·log10(V)
  const volts = smallCase(SEED + 2, { roundDb: 0 }, -112, 208_960);
  files.set(
    'layouts/linear-volts.txt',
    [
      'invented data: nothing here was measured',
      'Resolution bandwidth\t3000 Hz',
      'Averages\t16',
      'Average type\tpower',
      '',
      'Frequency (Hz)\tAmplitude (V)',
      ...Array.from(volts.frequencyHz, (hz, i) => `${hz}\t${(10 ** (volts.levelDb[i]! / 20)).toExponential(4)}`),
      '',
    ].join('\n'),
  );

  const answer = (file: string, unit: string, subject: AccuracyCase): unknown => {
    const surroundings = surroundingsOf(subject);
    return {
      file,
      unit,
      points: subject.frequencyHz.length,
      rbw_hz: subject.rbwHz,
      averages: 16,
      source: subject.sources[0]!.designator,
      nominal_hz: subject.sources[0]!.nominalHz,
      tolerance_ppm: subject.sources[0]!.tolerancePpm,
      fundamental_hz: subject.combs[0]!.fundamentalHz,
      line_columns: ['frequency_hz', 'level', 'over_floor_db', 'harmonic'],
      lines: subject.lines
        .filter((line, i) => surroundings[i]!.clear && line.owner.kind === 'source')
        .map((line) => [
          Number(line.frequencyHz.toFixed(1)),
          Number(line.levelDb.toFixed(2)),
          Number(line.overFloorDb.toFixed(2)),
          line.owner.kind === 'source' ? line.owner.harmonic : null,
        ]),
    };
  };
  const answers = [
    answer('semicolon-decimal-comma.csv', 'dBµV', european),
    answer('two-traces.csv', 'dBm', averaged),
    answer('linear-volts.txt', 'V', volts),
  ];
  files.set('layouts/answers.json', `${JSON.stringify({ seed: SEED, captures: answers }, null, 1)}\n`);
  return files;
}
