import * as v from 'valibot';
import { ids, view } from './common.ts';

export const WATERFALL_CHECKS = {
  waterfall: v.pipe(
    v.strictObject({ captureIds: ids, ...view }),
    v.check(({ lowHz, highHz }) => lowHz < highHz, 'expected lowHz below highHz'),
    // 10⁷ cells are 40 MB, more than any screen shows
    v.check(({ captureIds, columns }) => captureIds.length * columns <= 1e7, 'expected at most ten million cells'),
  ),
};
