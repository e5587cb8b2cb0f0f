import type { LimitLine } from '../../../model/limit-line.ts';
import { CONDUCTED } from './conducted.ts';
import { EXTERNAL_NOISE_LINES } from './external-noise.ts';
import { RADIATED } from './radiated.ts';
import { RADIO_ASTRONOMY } from './radio-astronomy.ts';
import { VEHICLE_AND_MILITARY } from './vehicle-and-military.ts';

/**
 * Published limits that come with the program, each with its document and what is known of its values. Limits whose figures could not
 * even be remembered with confidence are left out on purpose (aircraft equipment, space standards, DC power ports): enter them as a table.
 */
export const BUILT_IN_LIMITS: readonly LimitLine[] = [
  ...CONDUCTED,
  ...RADIATED,
  ...VEHICLE_AND_MILITARY,
  RADIO_ASTRONOMY,
  ...EXTERNAL_NOISE_LINES,
];
