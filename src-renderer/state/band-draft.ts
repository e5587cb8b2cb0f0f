import type { Band, ChannelResponse } from '../../src-main/model/band.ts';
import { decimal } from './format.ts';

type NumberField = Exclude<keyof Band, 'name' | 'allowedUnit' | 'channelResponse'>;

/** A band while it is typed: every field as text, frequencies in MHz and kHz as people write them. */
export type BandDraft = Record<NumberField | 'name' | 'allowedUnit', string> & { channelResponse: ChannelResponse };

interface BandField {
  readonly key: NumberField | 'allowedUnit';
  readonly label: string;
  readonly hint: string;
  /** Hz or other base units per unit typed. */
  readonly factor: number;
}

export const BAND_FIELDS: readonly BandField[] = [
  { key: 'lowHz', label: 'From, MHz', hint: '', factor: 1e6 },
  { key: 'highHz', label: 'To, MHz', hint: '', factor: 1e6 },
  { key: 'channelHz', label: 'Channel width, kHz', hint: 'empty: one channel', factor: 1e3 },
  { key: 'channelOriginHz', label: 'An edge between channels, MHz', hint: 'empty: the lower end', factor: 1e6 },
  {
    key: 'allowedOverFloorDb',
    label: 'Allowed over the floor, dB',
    hint: 'over the lowest floor any state showed',
    factor: 1,
  },
  { key: 'allowedLevel', label: 'Allowed level', hint: 'both given: both hold', factor: 1 },
  { key: 'allowedUnit', label: 'Unit of the level', hint: 'dBm, dBµV …', factor: 1 },
  { key: 'integrationS', label: 'Integration time, s', hint: 'lowers the floor that counts', factor: 1 },
  { key: 'weight', label: 'Weight', hint: 'for what to fix next', factor: 1 },
  { key: 'sampleRateHz', label: 'Sample rate, MHz', hint: 'what folds in counts', factor: 1e6 },
  { key: 'zone', label: 'Nyquist zone', hint: 'from 1; empty: where it lies', factor: 1 },
  { key: 'localOscillatorHz', label: 'Local oscillator, MHz', hint: 'its image counts', factor: 1e6 },
  { key: 'imageRejectionDb', label: 'Filters take off outside, dB', hint: 'empty: nothing is known', factor: 1 },
];

export function draftOf(band: Band | null): BandDraft {
  const draft = { name: band?.name ?? '', channelResponse: band?.channelResponse ?? 'sharp' } as BandDraft;
  for (const { key, factor } of BAND_FIELDS) {
    const value = band?.[key];
    draft[key] =
      value === null || value === undefined
        ? key === 'weight'
          ? '1'
          : ''
        : typeof value === 'number'
          ? String(Number((value / factor).toPrecision(12)))
          : value;
  }
  return draft;
}

/** The band, or null while something needed is missing or no number. What else is wrong the program says when it is kept. */
export function bandOf(draft: BandDraft): Band | null {
  const values: Partial<Record<string, number | string | null>> = {};
  for (const { key, factor } of BAND_FIELDS) {
    if (key === 'allowedUnit') {
      values[key] = draft[key].trim() === '' ? null : draft[key].trim();
      continue;
    }
    const text = plainNumber(draft[key]);
    const value = text === '' ? null : Number(text);
    if (value !== null && !Number.isFinite(value)) return null;
    // 14.1 MHz times a million is 14 099 999.999 999 998 Hz
    values[key] = value === null ? null : Number((value * factor).toPrecision(14));
  }
  const { lowHz, highHz } = values;
  if (draft.name.trim() === '' || typeof lowHz !== 'number' || typeof highHz !== 'number') return null;
  return {
    ...(values as unknown as Omit<Band, 'name'>),
    weight: (values.weight as number | null) ?? 1,
    name: draft.name.trim(),
    channelResponse: draft.channelResponse,
  };
}

type Problems = Partial<Record<keyof BandDraft, string>>;

/** What is wrong with the fields, said as they are typed; the band's own table is checked by the same rules when it is kept. */
export function bandProblems(draft: BandDraft, others: readonly Pick<Band, 'name' | 'lowHz' | 'highHz'>[]): Problems {
  const found: Problems = {};
  const value = (key: NumberField): number | null => {
    const text = plainNumber(draft[key]);
    return text === '' ? null : Number(text) * BAND_FIELDS.find((field) => field.key === key)!.factor;
  };
  for (const { key } of BAND_FIELDS)
    if (key !== 'allowedUnit' && !Number.isFinite(Number(plainNumber(draft[key]))))
      found[key] = `“${draft[key]}” is no number`;
  const name = draft.name.trim();
  if (name === '') found.name = 'give it a name';
  else if (others.some((band) => band.name === name)) found.name = 'another band has this name';
  const [lowHz, highHz, channelHz, zone] = [value('lowHz'), value('highHz'), value('channelHz'), value('zone')];
  if (lowHz === null) found.lowHz = 'where does it begin?';
  else if (lowHz < 0) found.lowHz = 'not below 0';
  if (highHz === null) found.highHz = 'where does it end?';
  else if (lowHz !== null && highHz <= lowHz) found.highHz ??= 'the end lies above the beginning';
  const over = others.find((band) => lowHz !== null && highHz !== null && lowHz < band.highHz && band.lowHz < highHz);
  if (over !== undefined) found.highHz ??= `overlaps ${over.name}: part them at one frequency`;
  if (channelHz !== null && channelHz <= 0) found.channelHz ??= 'more than 0';
  if (channelHz !== null && lowHz !== null && highHz !== null && channelHz > highHz - lowHz)
    found.channelHz ??= 'wider than the band';
  if (draft.allowedLevel.trim() !== '' && draft.allowedUnit.trim() === '') found.allowedUnit = 'dBm, dBµV or another';
  if (zone !== null && !(Number.isInteger(zone) && zone >= 1)) found.zone ??= 'a whole number from 1';
  for (const key of ['integrationS', 'sampleRateHz'] as const) if ((value(key) ?? 1) <= 0) found[key] ??= 'more than 0';
  for (const key of ['weight', 'imageRejectionDb', 'channelOriginHz', 'localOscillatorHz'] as const)
    if ((value(key) ?? 0) < 0) found[key] ??= 'not below 0';
  return found;
}

const plainNumber = (text: string): string => text.trim().replace('\u2212', '-').replace(',', '.');

/** What an integration leaves of the allowance, said before anything is judged. */
export function remainsText({ integrationS, channelHz, lowHz, highHz, allowedOverFloorDb }: Band): string {
  if (integrationS === null || integrationS === undefined || allowedOverFloorDb === null) return '';
  const widthHz = channelHz ?? highHz - lowHz;
  const lowered = 5 * Math.log10(widthHz * integrationS);
  return `After ${decimal(integrationS)} s in ${decimal(widthHz / 1e3, 1)} kHz the noise that is left lies ${decimal(lowered, 1)} dB below the channel’s own: a line may stand ${decimal(allowedOverFloorDb, 1)} dB over that.`;
}
