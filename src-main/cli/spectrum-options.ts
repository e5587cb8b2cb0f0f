import { DEFAULT_SPECTRUM_SETTINGS, type SpectrumSettings, type WindowName } from '../model/spectrum-settings.ts';
import { WINDOW_NAMES } from '../engine/spectrum/windows.ts';
import type { OpenOptions } from '../api/steps/open-capture.ts';
import { WrongCall } from './terminal.ts';

/** Options that say how spectra are made of recordings, for parseArgs. */
export const SPECTRUM_OPTIONS = {
  window: { type: 'string', multiple: true },
  'rbw-hz': { type: 'string', multiple: true },
  overlap: { type: 'string', multiple: true },
  'centre-hz': { type: 'string', multiple: true },
  'sample-rate-hz': { type: 'string', multiple: true },
  'volts-per-unit': { type: 'string', multiple: true },
  'impedance-ohm': { type: 'string', multiple: true },
} as const;

export type SpectrumOptionName = keyof typeof SPECTRUM_OPTIONS;
export const SPECTRUM_OPTION_NAMES = Object.keys(SPECTRUM_OPTIONS) as SpectrumOptionName[];

/**
 * What the call says of recordings.
 *
 * @param only gives the one value of an option, or null
 * @throws WrongCall
 */
export function spectrumOptions(only: (name: SpectrumOptionName) => string | null): OpenOptions {
  const positive = (name: SpectrumOptionName): number | null => numberOf(name, only(name), (value) => value > 0);
  const overlap = numberOf('overlap', only('overlap'), (value) => value >= 0 && value <= 0.95);
  const centreHz = numberOf('centre-hz', only('centre-hz'), () => true);
  const sampleRateHz = positive('sample-rate-hz');
  const spectrum: SpectrumSettings = {
    ...DEFAULT_SPECTRUM_SETTINGS,
    window: windowOf(only('window')),
    rbwHz: positive('rbw-hz'),
    overlap: overlap ?? DEFAULT_SPECTRUM_SETTINGS.overlap,
    centreHz,
    voltsPerUnit: positive('volts-per-unit'),
    impedanceOhm: positive('impedance-ohm'),
  };
  return {
    spectrum,
    hints: {
      ...(centreHz === null ? {} : { centreHz }),
      ...(sampleRateHz === null ? {} : { sampleRateHz }),
    },
  };
}

function windowOf(text: string | null): WindowName {
  if (text === null) return DEFAULT_SPECTRUM_SETTINGS.window;
  const known = WINDOW_NAMES.find((name) => name === text.toLowerCase());
  if (known !== undefined) return known;
  throw new WrongCall(`--window is "${text}"; expected one of ${WINDOW_NAMES.join(', ')}`);
}

function numberOf(name: string, text: string | null, isGood: (value: number) => boolean): number | null {
  if (text === null) return null;
  const value = /^[+-]?(\d+\.?\d*|\.\d+)([eE][+-]?\d+)?$/.test(text) ? Number(text) : NaN;
  if (Number.isFinite(value) && isGood(value)) return value;
  const expected =
    name === 'overlap' ? 'a share from 0 to 0.95' : name === 'centre-hz' ? 'a number' : 'a number above 0';
  throw new WrongCall(`--${name} is "${text}"; expected ${expected}`);
}
