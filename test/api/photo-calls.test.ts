import { expect, test } from 'vitest';
import { startApi } from './running-api.ts';

const PNG = Uint8Array.of(0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a, 1, 2, 3);
const POINT = {
  name: 'loop over U4',
  kind: 'near-field-probe',
  where: 'board B',
  coupling: 'loop of 10 mm',
  conductors: '',
  orientation: '',
  heightM: null,
  bonding: '',
  notes: '',
} as const;

test('a photograph keeps its bytes and its pins, and undo takes each act back', async () => {
  const { api, events } = startApi();
  const point = await api.pointPut({ id: null, ...POINT });
  const photo = await api.photoAdd({ name: 'board B', bytes: PNG });
  expect(photo).toMatchObject({ name: 'board B', type: 'image/png', pins: [] });
  const pins = [{ pointId: point.id, x: 0.25, y: 0.75 }];
  await api.photoPut({ id: photo.id, name: 'board B, lid off', pins });
  expect(await api.photoList({})).toEqual([{ ...photo, name: 'board B, lid off', pins }]);
  expect([...(await api.photoBytes({ id: photo.id }))]).toEqual([...PNG]);
  expect(events.some(({ event }) => 'subjects' in event && event.subjects.includes('photo'))).toBe(true);
  await api.undo({});
  expect(await api.photoList({})).toEqual([photo]);
  await api.undo({});
  expect(await api.photoList({})).toEqual([]);
  await api.redo({});
  expect([...(await api.photoBytes({ id: photo.id }))]).toEqual([...PNG]);
});

test('what is no picture, a pin off the picture and a pin of no point are refused, and nothing is kept', async () => {
  const { api } = startApi();
  const point = await api.pointPut({ id: null, ...POINT });
  await expect(api.photoAdd({ name: 'a.png', bytes: new TextEncoder().encode('<svg/>') })).rejects.toThrow(/a\.png/);
  const photo = await api.photoAdd({ name: 'board B', bytes: PNG });
  const put = (pin: { pointId: number; x: number; y: number }) =>
    api.photoPut({ id: photo.id, name: 'board B', pins: [pin] });
  await expect(put({ pointId: point.id, x: 1.01, y: 0 })).rejects.toThrow(/between 0 and 1/);
  await expect(put({ pointId: 77, x: 0.5, y: 0.5 })).rejects.toThrow(/not there/);
  await expect(api.photoBytes({ id: 9 })).rejects.toThrow(/no photo 9/);
  expect(await api.photoList({})).toEqual([photo]);
});
