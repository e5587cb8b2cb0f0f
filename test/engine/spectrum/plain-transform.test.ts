import { describe, expect, test } from 'vitest';
import { hasVectorLanes, PairedTransform } from '../../../src-main/engine/numeric/paired-transform.ts';
import { AveragedPeriodogram } from '../../../src-main/engine/spectrum/averaged-periodogram.ts';
import {
  fastestTransforms,
  PlainTransform,
  type MakeTransforms,
} from '../../../src-main/engine/spectrum/plain-transform.ts';
import { windowWeights } from '../../../src-main/engine/spectrum/windows.ts';
import { seeded } from '../attribution/scene.ts';

const plain: MakeTransforms = (...its) => new PlainTransform(...its);

test('this machine has vector lanes, and they are taken', () => {
  expect(hasVectorLanes()).toBe(true);
  expect(fastestTransforms(16, new Float64Array(16), 16, false)).toBeInstanceOf(PairedTransform);
});

test('done by hand: an impulse has power 1 at every bin, and its products are 1 too', () => {
  const transform = new PlainTransform(16, new Float64Array(16).fill(1), 16, true);
  transform.real[0] = 1;
  transform.place(0, 'real', 0, null);
  transform.place(1, 'imaginary', 0, null);
  transform.addMirrored();
  expect([...transform.power()]).toEqual(new Array(16).fill(1));
  expect([...transform.products().re]).toEqual(new Array(9).fill(1));
  transform.clear();
  expect(Math.max(...transform.power())).toBe(0);
});

describe('a host without vector lanes gets the same sums by the library', () => {
  const points = 128;
  for (const isComplex of [false, true])
    for (const segments of [1, 2, 3, 4, 7])
      test(`${segments} segments of ${isComplex ? 'an I/Q' : 'a real'} record`, () => {
        const window = 100; // shorter than the transform: zeros follow it
        const { normal } = seeded(segments);
        const samples = window + (segments - 1) * 50;
        const real = Float64Array.from({ length: samples }, normal);
        const imaginary = isComplex ? Float64Array.from({ length: samples }, normal) : null;
        const heard: number[][] = [];
        const [lanes, library] = [fastestTransforms, plain].map((make, which) => {
          const plan = {
            windowPoints: window,
            stepPoints: 50,
            transformPoints: points,
          } as ConstructorParameters<typeof AveragedPeriodogram>[0];
          const own: number[] = [];
          heard[which] = own;
          const periodogram = new AveragedPeriodogram(
            plan,
            windowWeights('hann', window),
            isComplex,
            (power) => own.push(...power),
            make,
          );
          periodogram.push(real, imaginary);
          return periodogram.sums();
        });
        const strongest = Math.max(...lanes!.power);
        const apart = (a: ArrayLike<number>, b: ArrayLike<number>): number => {
          expect(a.length).toBe(b.length);
          return Math.max(0, ...Array.from(a, (value, k) => Math.abs(value - b[k]!))) / strongest;
        };
        expect(library!.segments).toBe(segments);
        expect(apart(lanes!.power, library!.power)).toBeLessThan(1e-13);
        expect(apart(lanes!.mirrorRe, library!.mirrorRe)).toBeLessThan(1e-13);
        expect(apart(lanes!.mirrorIm, library!.mirrorIm)).toBeLessThan(1e-13);
        expect(heard[0]!.length).toBeGreaterThan(0);
        expect(apart(heard[0]!, heard[1]!)).toBeLessThan(1e-13);
      });
});
