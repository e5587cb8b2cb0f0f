import type { Band, ChannelResponse } from '../../model/band.ts';
import { parseTable, strictRows, writeTable, type TableContents, type TableRow } from './table.ts';

export const BAND_COLUMNS = [
  'name',
  'low_hz',
  'high_hz',
  'channel_hz',
  'channel_origin_hz',
  'allowed_over_floor_db',
  'allowed_level',
  'allowed_unit',
  'weight',
  'sample_rate_hz',
  'local_oscillator_hz',
] as const;

/** Columns that a table may have beside these; written only where a band states one. */
export const MORE_BAND_COLUMNS = ['zone', 'integration_s', 'channel_response', 'image_rejection_db'] as const;

const ALL_COLUMNS = [...BAND_COLUMNS, ...MORE_BAND_COLUMNS];
const RESPONSES: readonly ChannelResponse[] = [
  'sharp',
  'rectangular',
  'hann',
  'hamming',
  'blackman-harris',
  'flat-top',
];

/**
 * Protected receive bands from their table. Reversed or overlapping bands, a channel wider than its band, an allowed level
 * without a unit and a repeated name are refused.
 *
 * @throws InputError
 */
export function readBandTable(text: string, file: string): TableContents<Band> {
  const { rows, warnings } = parseTable(text, file, ALL_COLUMNS, ['name', 'low_hz', 'high_hz']);
  const bands: Band[] = [];
  for (const row of rows) {
    const name = row.required('name');
    const lowHz = row.requiredNumber('low_hz', 0, 1e12);
    const highHz = row.requiredNumber('high_hz', 0, 1e12);
    if (bands.some((band) => band.name === name))
      throw row.problem('name', `“${name}” a second time`, 'each name once', 'Rename one of the two.');
    if (!(highHz > lowHz))
      throw row.problem(
        'high_hz',
        `${highHz} Hz for a band that begins at ${lowHz} Hz`,
        'an end above its beginning',
        'Exchange the two.',
      );
    const over = bands.find((band) => band.lowHz < highHz && lowHz < band.highHz);
    if (over !== undefined)
      throw row.problem(
        'low_hz',
        `${lowHz} … ${highHz} Hz, which overlaps “${over.name}”`,
        'bands that do not overlap',
        'Part them at one frequency.',
      );
    const channelHz = row.number('channel_hz', 0, Infinity, false);
    if (channelHz !== null && channelHz > highHz - lowHz)
      throw row.problem(
        'channel_hz',
        `${channelHz} Hz`,
        `at most the band's width, ${highHz - lowHz} Hz`,
        'Make the channel narrower.',
      );
    const allowedLevel = row.number('allowed_level', -Infinity, Infinity);
    const allowedUnit = row.textOrNull('allowed_unit');
    if (allowedLevel !== null && allowedUnit === null)
      throw row.problem(
        'allowed_unit',
        'nothing',
        'the unit of allowed_level',
        'Write dBm, dBµV or what the captures are in.',
      );
    bands.push({
      name,
      lowHz,
      highHz,
      channelHz,
      channelOriginHz: row.number('channel_origin_hz', 0, Infinity),
      allowedOverFloorDb: row.number('allowed_over_floor_db', -200, 200),
      allowedLevel,
      allowedUnit,
      weight: row.number('weight', 0, 1e9) ?? 1,
      sampleRateHz: row.number('sample_rate_hz', 0, Infinity, false),
      localOscillatorHz: row.number('local_oscillator_hz', 0, Infinity),
      ...moreOf(row),
    });
  }
  return { rows: bands, warnings };
}

/** What only some tables say; a cell left empty leaves the field out. */
function moreOf(row: TableRow): Pick<Band, 'zone' | 'integrationS' | 'channelResponse' | 'imageRejectionDb'> {
  const zone = row.number('zone', 1, 1e6);
  if (zone !== null && !Number.isInteger(zone))
    throw row.problem('zone', `“${zone}”`, 'a whole number from 1', 'Count Nyquist zones from 1.');
  const integrationS = row.number('integration_s', 0, 1e12, false);
  const imageRejectionDb = row.number('image_rejection_db', 0, 300);
  return {
    ...(zone === null ? {} : { zone }),
    ...(integrationS === null ? {} : { integrationS }),
    ...(row.text('channel_response') === '' ? {} : { channelResponse: row.oneOf('channel_response', RESPONSES, null) }),
    ...(imageRejectionDb === null ? {} : { imageRejectionDb }),
  };
}

/** The bands of a table alone, for a caller that has no place for warnings; see strictRows. @throws InputError */
export function parseBandTable(text: string, file: string): Band[] {
  return strictRows(readBandTable(text, file), file);
}

/** The table of these bands; readBandTable reads it back to the same values. */
export function writeBandTable(bands: readonly Band[]): string {
  const more = bands.map((b) => [
    b.zone ?? null,
    b.integrationS ?? null,
    b.channelResponse ?? null,
    b.imageRejectionDb ?? null,
  ]);
  const used = MORE_BAND_COLUMNS.flatMap((column, c) => (more.some((row) => row[c] !== null) ? [{ column, c }] : []));
  return writeTable(
    [...BAND_COLUMNS, ...used.map(({ column }) => column)],
    bands.map((b, i) => [
      b.name,
      b.lowHz,
      b.highHz,
      b.channelHz,
      b.channelOriginHz,
      b.allowedOverFloorDb,
      b.allowedLevel,
      b.allowedUnit,
      b.weight,
      b.sampleRateHz,
      b.localOscillatorHz,
      ...used.map(({ c }) => more[i]![c]!),
    ]),
  );
}
