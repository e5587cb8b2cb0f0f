import { createHash } from 'node:crypto';
import type { Api, CaptureAdded, CaptureSummary, TraceColumns } from '../../src-main/api/contract.ts';
import { Refused } from '../../src-main/api/api-problem.ts';
import { InputError } from '../../src-main/model/input-problem.ts';

export const PROBLEM = {
  file: 'bench.csv',
  place: 'line 7',
  found: '"-∞"',
  expected: 'a level in dBm',
  wayOut: 'Export the trace again.',
};

export const AWKWARD = [NaN, Infinity, -Infinity, -0, Number.MIN_VALUE, 0.1 + 0.2];

/** Calls that answer with what is hard to carry. What a test does not use is missing. */
export const STUB = {
  /** Says the bytes' hash in place of a file name, and their type in place of a layout. */
  captureAdd: ({ bytes }) =>
    Promise.resolve({
      capture: { file: createHash('sha256').update(bytes).digest('hex'), layout: bytes.constructor.name },
      alreadyKnown: false,
    } as CaptureAdded),
  traceColumns: ({ columns }) =>
    Promise.resolve({
      captureId: 1,
      traceIndex: 0,
      frequencyHz: Float64Array.from({ length: columns }, (_, i) => 1e5 + i * 0.1),
      minimumDb: Float64Array.from(AWKWARD),
      maximumDb: new Float64Array(0),
      floorDb: Float64Array.of(NaN),
      thresholdDb: Float64Array.of(-0),
      thinned: true,
    } satisfies TraceColumns),
  /** Says which fields arrived, and that null is not "left out". */
  captureAssign: (argument) =>
    Promise.resolve([
      { file: Object.keys(argument).sort().join(), stateId: argument.stateId } as unknown as CaptureSummary,
    ]),
  sourceImport: () => Promise.reject(new InputError(PROBLEM)),
  registerOpen: () => Promise.reject(new Refused('another window holds it')),
  undo: () => Promise.reject(new TypeError('our fault')),
  redo: () => {
    throw new Error('thrown at once');
  },
  captureRemove: () => Promise.resolve(undefined),
  /** A mistake of ours: what is no plain data cannot travel. */
  sourceExport: () =>
    Promise.resolve({
      file: 'a',
      get text(): string {
        throw new Error('no plain data');
      },
    }),
  close: () => Promise.reject(new Error('closed by a page')),
} satisfies Partial<Api> & { close: () => Promise<never> } as unknown as Api;
