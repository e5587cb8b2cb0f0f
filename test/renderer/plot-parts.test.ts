import { describe, expect, test } from 'vitest';
import { frequencyTicks, levelTicks, niceStep } from '../../src-renderer/plots/axis-ticks.ts';
import { channelsOf } from '../../src-renderer/plots/channels.ts';
import { markY } from '../../src-renderer/plots/paint-spectrum.ts';
import { columnAt, raised } from '../../src-renderer/plots/column-at.ts';
import { railSlots } from '../../src-renderer/plots/rail-slots.ts';
import { scalesOf } from '../../src-renderer/plots/trace-plot-scales.ts';
import { SourceNames } from '../../src-renderer/state/source-names.ts';
import { spurRows } from '../../src-renderer/state/spur-rows.ts';
import { FakeClient, seeded } from './fake-client.ts';

const client = new FakeClient();
const { triage } = client.scene(1);
const band = {
  name: 'II',
  lowHz: 9e6,
  highHz: 13e6,
  channelHz: 20e3,
  channelOriginHz: null,
  allowedOverFloorDb: 6,
  allowedLevel: null,
  allowedUnit: null,
  weight: 1,
  sampleRateHz: null,
  localOscillatorHz: null,
};
const rows = spurRows(triage, new SourceNames(client.sources, triage.combs), [band], [], 'dBm');

describe('axis ticks', () => {
  test('niceStep() is 1, 2 or 5 times a power of ten and never leaves more steps than asked', () => {
    const random = seeded(4);
    for (let i = 0; i < 500; i++) {
      const range = 10 ** (random() * 12 - 3);
      const most = 2 + Math.floor(random() * 20);
      const step = niceStep(range, most);
      expect(range / step).toBeLessThanOrEqual(most * (1 + 1e-9));
      expect([1, 2, 5, 10]).toContain(Number((step / 10 ** Math.floor(Math.log10(step) + 1e-9)).toFixed(6)));
    }
  });

  test('labels carry as many digits as their step needs, so that no two are alike', () => {
    for (const [low, high] of [
      [9e6, 13e6],
      [9.99e6, 10.01e6],
      [100, 900],
      [2.4e9, 2.4001e9],
    ] as const) {
      const labels = frequencyTicks(low, high, 8).ticks.flatMap((tick) => tick.label ?? []);
      expect(labels.length).toBeGreaterThan(2);
      expect(new Set(labels).size).toBe(labels.length);
    }
  });

  test('levelTicks() stays inside the range', () => {
    expect(levelTicks(-110, -62, 6)).toEqual([-110, -100, -90, -80, -70]);
  });
});

describe('scalesOf', () => {
  test('puts the lowest frequency left, the highest level on top', () => {
    const scales = scalesOf(200, 100, { lowHz: 1e6, highHz: 3e6, lowDb: -100, highDb: -50 });
    expect([scales.x(1e6), scales.x(2e6), scales.x(3e6)]).toEqual([0, 100, 200]);
    expect([scales.y(-50), scales.y(-75), scales.y(-100)]).toEqual([0, 50, 100]);
  });
});

describe('railSlots', () => {
  const x = (hz: number) => ((hz - 1e6) / 19e6) * 1000;
  test('every spur in view is named or counted, none twice', () => {
    const slots = railSlots(rows, x, 1000, 70, null);
    const said = slots.reduce((sum, slot) => sum + 1 + slot.more, 0);
    expect(said).toBe(rows.filter((row) => x(row.spur.frequencyHz) >= 0 && x(row.spur.frequencyHz) <= 1000).length);
    expect(slots.every((slot) => slot.width >= 70)).toBe(true);
  });

  test('the chosen spur has the words of its slot, whatever else is there', () => {
    const weakest = rows.toSorted((a, b) => a.spur.overFloorDb - b.spur.overFloorDb)[0]!;
    const slots = railSlots(rows, x, 1000, 70, weakest.index);
    expect(slots.some((slot) => slot.row === weakest)).toBe(true);
  });

  test('leaders never leave their slot', () => {
    for (const slot of railSlots(rows, x, 1000, 70, null)) {
      expect(Math.abs(x(slot.row.spur.frequencyHz) - slot.centre)).toBeLessThanOrEqual(slot.width / 2 + 1e-9);
    }
  });
});

describe('channelsOf', () => {
  test('a spur spoils every channel its width touches, and only where it exceeds what is allowed', () => {
    const [group] = channelsOf([band], rows);
    expect(group!.count).toBe(200);
    for (let channel = 0; channel < 200; channel++) {
      const [low, high] = [9e6 + channel * 20e3, 9e6 + (channel + 1) * 20e3];
      const slow = rows.some(
        (row) =>
          row.band === band &&
          row.marginDb! < 0 &&
          row.spur.frequencyHz + row.spur.widthHz / 2 >= low &&
          row.spur.frequencyHz - row.spur.widthHz / 2 < high,
      );
      expect(group!.lost.has(channel), `channel ${channel}`).toBe(slow);
    }
  });
});

describe('columnAt(columns, hz) and markY(row, columns)', () => {
  const columns = {
    captureId: 1,
    traceIndex: 0,
    thinned: false,
    frequencyHz: Float64Array.of(1e6, 2e6, 3e6, 4e6),
    minimumDb: Float64Array.of(-100, -100, -100, -100),
    maximumDb: Float64Array.of(-99, -50, -60, -99),
    floorDb: new Float64Array(0),
    thresholdDb: new Float64Array(0),
  };

  test('the column that begins at or below a frequency, as a walk along them finds it', () => {
    const random = seeded(8);
    for (let i = 0; i < 200; i++) {
      const hz = 5e6 * random();
      const slow = columns.frequencyHz.findLastIndex((start) => start <= hz);
      expect(columnAt(columns, hz)).toBe(Math.max(0, slow));
    }
    expect(columnAt({ ...columns, frequencyHz: new Float64Array(0) }, 1e6)).toBeNull();
  });

  test('columns are raised by so many decibels, and by none stay the same', () => {
    expect([...raised(columns, 30).maximumDb]).toEqual([-69, -20, -30, -69]);
    expect(raised(columns, 0)).toBe(columns);
  });

  test('a mark sits on the trace where its own level lies under it: a held trace reads above the mean', () => {
    const scales = scalesOf(400, 100, { lowHz: 1e6, highHz: 4e6, lowDb: -100, highDb: 0 });
    const low = {
      ...rows[0]!,
      spur: { ...rows[0]!.spur, frequencyHz: 2.4e6, levelDb: -80, floorDb: -95, overFloorDb: 10 },
    };
    expect(markY(scales, low, 1, columns)).toBe(scales.y(-50) - 8);
    expect(markY(scales, low, 1, null)).toBe(scales.y(-80) - 8);
    const outside = { ...low, spur: { ...low.spur, frequencyHz: 0.5e6 } };
    expect(markY(scales, outside, 1, columns)).toBe(scales.y(-80) - 8);
    const high = { ...low, spur: { ...low.spur, levelDb: -20 } };
    expect(markY(scales, high, 1, columns)).toBe(scales.y(-20) - 8);
  });
});
